//! Where the temperature of the heater's face lies: the window binds the face,
//! and face = display + measured offset, swinging each way.

use crate::core::units::{Range, Temperature, TemperatureDifference, TemperatureUnit};
use crate::published::Library;
use crate::spec::{FaceCheckMethod, Heater};

/// The band the face temperature lies in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FaceBand {
    /// Set point plus offset.
    pub middle: Temperature,
    /// The controller's swing each way; none where the spec gives none.
    pub swing: TemperatureDifference,
    /// Accuracy of the check each way, where it is known.
    pub accuracy: Option<TemperatureDifference>,
}

impl FaceBand {
    /// The band for a heater; an offset that is not known counts as none.
    pub(crate) fn new(heater: &Heater, limits: &Library) -> Self {
        let none = TemperatureDifference::ZERO;
        let offset = heater.face_offset.as_ref().map_or(none, |o| o.value.0);
        let check = heater.face_check.as_ref();
        let stated = check.and_then(|c| c.accuracy.as_ref()).map(|a| a.value.0);
        let stick = check
            .filter(|c| c.method.value != FaceCheckMethod::Pyrometer)
            .and_then(|c| c.melts.as_ref())
            .and_then(|melts| stick_accuracy(melts.value, limits));
        Self {
            middle: heater.set_point.value.0 + offset,
            swing: heater.swing.as_ref().map_or(none, |s| s.value.0),
            accuracy: stated.or(stick),
        }
    }

    /// The band with the swing alone.
    pub fn with_swing(&self) -> Range<Temperature> {
        Range::new(self.middle - self.swing, self.middle + self.swing)
    }

    /// The band that the check can prove: swing and accuracy added.
    pub fn proven(&self) -> Range<Temperature> {
        let reach = self.swing + self.accuracy.unwrap_or_default();
        Range::new(self.middle - reach, self.middle + reach)
    }
}

/// How far from its rating a stick may melt, each way, when the spec is silent:
/// a published share of the rating.
pub(crate) fn stick_accuracy(
    (rating, unit): (Temperature, TemperatureUnit),
    limits: &Library,
) -> Option<TemperatureDifference> {
    let share = limits
        .entry("us-heater:stick-accuracy:percent")?
        .percent()?;
    Some(rating.share(share.value, unit))
}
