//! How a fact differs between two procedures.

use crate::spec::fact::{Quantity, Value};

/// The kind of change.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum ChangeKind {
    /// Only in the later procedure.
    Added,
    /// Only in the earlier procedure.
    Removed,
    /// The value went up.
    Higher,
    /// The value went down.
    Lower,
    /// The range contains the earlier one.
    Wider,
    /// The range lies within the earlier one.
    Narrower,
    /// Different, with no order.
    Changed,
}

impl ChangeKind {
    /// The suffix of its key in the table `essential-variables`.
    pub fn key(self) -> &'static str {
        match self {
            ChangeKind::Added => "added",
            ChangeKind::Removed => "removed",
            ChangeKind::Higher => "higher",
            ChangeKind::Lower => "lower",
            ChangeKind::Wider => "wider",
            ChangeKind::Narrower => "narrower",
            ChangeKind::Changed => "changed",
        }
    }
}

impl Value {
    /// The change from an earlier value; `None` if equal.
    pub(crate) fn change_from(&self, earlier: &Value) -> Option<ChangeKind> {
        if self == earlier {
            return None;
        }
        Some(match (earlier, self) {
            (Value::Quantity(was), Value::Quantity(is)) => quantity_change(was, is),
            (Value::Size(was), Value::Size(is)) if was.system() == is.system() => {
                direction(was, is)
            }
            _ => ChangeKind::Changed,
        })
    }
}

/// The change from an earlier quantity.
fn quantity_change(was: &Quantity, is: &Quantity) -> ChangeKind {
    match (was, is) {
        (Quantity::Length(was), Quantity::Length(is)) => direction(was, is),
        (Quantity::Duration(was), Quantity::Duration(is)) => direction(was, is),
        (Quantity::Temperature(was), Quantity::Temperature(is)) => direction(was, is),
        (Quantity::TemperatureDifference(was), Quantity::TemperatureDifference(is)) => {
            direction(was, is)
        }
        (Quantity::Percent(was), Quantity::Percent(is)) => direction(was, is),
        (Quantity::TemperatureRange(was), Quantity::TemperatureRange(is)) => {
            if is.contains(was.least) && is.contains(was.most) {
                ChangeKind::Wider
            } else if was.contains(is.least) && was.contains(is.most) {
                ChangeKind::Narrower
            } else {
                ChangeKind::Changed
            }
        }
        _ => ChangeKind::Changed,
    }
}

fn direction<T: PartialOrd>(was: &T, is: &T) -> ChangeKind {
    if is > was {
        ChangeKind::Higher
    } else {
        ChangeKind::Lower
    }
}
