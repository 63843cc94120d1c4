//! What the tables say of published times as a whole.

use crate::papers::sheets::procedure::writer::Writer;
use crate::procedure::resolve::Joint;
use crate::published::{Entry, ResinGroup};

/// The statement that published times are guide values.
const GUIDE_VALUES: &str = "metric-temperatures:guide-values:text";

/// The same, for PP-R.
const GUIDE_VALUES_PPR: &str = "metric-temperatures:guide-values-ppr:text";

/// The statement on guide values, if a published time is used.
pub(crate) fn guide_values<'a>(w: &Writer<'a>) -> Option<&'a Entry> {
    let published = |joint: &Joint| joint.cycle.heat().is_some_and(|heat| heat.id.is_some());
    let statement = match w.p.resin.as_ref()?.group {
        ResinGroup::MetricPe => GUIDE_VALUES,
        ResinGroup::PpR => GUIDE_VALUES_PPR,
        ResinGroup::PpH | ResinGroup::MediumDensity | ResinGroup::HighDensity => return None,
    };
    w.limits
        .entry(statement)
        .filter(|_| w.p.joints.iter().any(published))
}
