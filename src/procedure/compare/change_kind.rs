//! How a fact of one procedure differs from that of another.

use crate::spec::fact::{Quantity, Value};

/// How a fact differs between two procedures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum ChangeKind {
    /// Stated in the later one alone.
    Added,
    /// Stated in the earlier one alone.
    Removed,
    /// More of it.
    Higher,
    /// Less of it.
    Lower,
    /// A range that takes in all it did, and more.
    Wider,
    /// A range that takes in a part of what it did.
    Narrower,
    /// Another one, neither more nor less.
    Changed,
}

impl ChangeKind {
    /// The end of a key in the table `essential-variables`.
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
    /// How this value differs from an earlier one; `None` where it is the same.
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

/// How a quantity differs from an earlier one.
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
