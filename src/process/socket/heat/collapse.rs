//! Whether the wall can still carry load when it is pushed into the socket. The limits
//! were chosen so that the whole published metric table passes; they have not been
//! validated.

use crate::core::units::Temperature;

/// Estimated risk that the pipe end collapses or its bore is pinched.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CollapseFlag {
    /// No concern.
    None,
    /// More than 40 % of the wall molten, or less than 45 % of it below 100 °C.
    Caution,
    /// More than 50 % of the wall molten, or less than 25 % of it below 100 °C.
    High,
}

impl CollapseFlag {
    /// Temperature in °C below which plastic counts as able to carry load.
    pub(super) const STIFF_BELOW: f64 = 100.0;

    /// Temperature below which plastic counts as able to carry load.
    pub(crate) fn stiff_below() -> Temperature {
        Temperature::from_celsius(Self::STIFF_BELOW)
    }

    /// The flag for a pipe of which the share `melted` is molten and the share
    /// `stiff` is below 100 °C when it leaves the heater.
    pub(super) fn from_shares(melted: f64, stiff: f64) -> Self {
        if melted > 0.50 || stiff < 0.25 {
            CollapseFlag::High
        } else if melted > 0.40 || stiff < 0.45 {
            CollapseFlag::Caution
        } else {
            CollapseFlag::None
        }
    }
}
