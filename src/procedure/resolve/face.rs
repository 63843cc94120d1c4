//! The range of the heater's face temperature. The window applies to the face: display
//! plus measured offset, plus or minus the controller's swing.

use crate::core::units::{Range, Temperature, TemperatureDifference, TemperatureUnit};
use crate::published::Library;
use crate::spec::{FaceCheckMethod, Heater};

/// The range of the face temperature.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FaceBand {
    /// Set point plus offset.
    pub center: Temperature,
    /// The controller's swing in each direction; zero if not given.
    pub swing: TemperatureDifference,
    /// Accuracy of the face check in each direction, if known.
    pub accuracy: Option<TemperatureDifference>,
}

impl FaceBand {
    /// The range for a heater; an unknown offset counts as zero.
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
            center: heater.set_point.value.0 + offset,
            swing: heater.swing.as_ref().map_or(none, |s| s.value.0),
            accuracy: stated.or(stick),
        }
    }

    /// The range from swing alone.
    pub fn with_swing(&self) -> Range<Temperature> {
        Range::new(self.center - self.swing, self.center + self.swing)
    }

    /// The range including the accuracy of the check.
    pub fn proven(&self) -> Range<Temperature> {
        let reach = self.swing + self.accuracy.unwrap_or_default();
        Range::new(self.center - reach, self.center + reach)
    }
}

/// Default accuracy of a stick in each direction: a published percentage of its rating.
pub(crate) fn stick_accuracy(
    (rating, unit): (Temperature, TemperatureUnit),
    limits: &Library,
) -> Option<TemperatureDifference> {
    let share = limits
        .entry("us-heater:stick-accuracy:percent")?
        .percent()?;
    Some(rating.share(share.value, unit))
}
