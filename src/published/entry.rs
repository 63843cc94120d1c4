//! A number that keeps its basis, source, and ID. A derived number is only as
//! good as its worst input, and a recalled one prints with a mark.

use serde::Serialize;

use crate::core::size::Size;
use crate::core::units::{
    Duration, Length, Percent, Range, Temperature, TemperatureDifference, TemperatureUnit,
};

/// How well a figure is known.
///
/// The order is the order of trust, best first, so that the standing of a
/// derived figure is the greatest of its inputs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Basis {
    /// Read in the text of the standard or regulation itself.
    Standard,
    /// Read in an edition of the standard by somebody the author names.
    Confirmed,
    /// Measured by the author, with a source that says how.
    Measured,
    /// Set by the organization, with its source.
    Organization,
    /// Computed from other figures by a stated formula.
    Derived,
    /// Read in a text that attributes it to the standard it names.
    Secondary,
    /// A fact of the trade without a published source.
    Practice,
    /// From memory; nobody has checked it against the standard.
    Recalled,
    /// Looked for and not found; there is no value.
    #[serde(rename = "not found")]
    NotFound,
}

impl Basis {
    /// Reads the word used in the tables.
    pub fn parse(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|basis| basis.word() == word)
    }

    /// Every basis, in order of trust.
    pub(crate) const ALL: [Basis; 9] = [
        Basis::Standard,
        Basis::Confirmed,
        Basis::Measured,
        Basis::Organization,
        Basis::Derived,
        Basis::Secondary,
        Basis::Practice,
        Basis::Recalled,
        Basis::NotFound,
    ];

    /// The word used in tables, listings and papers.
    pub fn word(self) -> &'static str {
        match self {
            Basis::Standard => "standard",
            Basis::Confirmed => "confirmed",
            Basis::Measured => "measured",
            Basis::Organization => "organization",
            Basis::Derived => "derived",
            Basis::Secondary => "secondary",
            Basis::Practice => "practice",
            Basis::Recalled => "recalled",
            Basis::NotFound => "not found",
        }
    }
}

/// The value of a published figure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Value {
    /// A length.
    Length(Length),
    /// A range of lengths.
    LengthRange(Range<Length>),
    /// A time.
    Duration(Duration),
    /// A range of times.
    DurationRange(Range<Duration>),
    /// A temperature.
    Temperature(Temperature),
    /// A range of temperatures.
    TemperatureRange(Range<Temperature>),
    /// A difference of temperature.
    TemperatureDifference(TemperatureDifference),
    /// A percentage.
    Percent(Percent),
    /// A statement.
    Text(String),
    /// The source says that the work is not advisable.
    NotAdvisable,
    /// Looked for and not found.
    NotFound,
}

macro_rules! value_from {
    ($($from:ty => $variant:ident,)*) => {
        $(impl From<$from> for Value {
            fn from(value: $from) -> Self {
                Value::$variant(value)
            }
        })*
    };
}

value_from! {
    Length => Length,
    Range<Length> => LengthRange,
    Duration => Duration,
    Range<Duration> => DurationRange,
    Temperature => Temperature,
    Range<Temperature> => TemperatureRange,
    TemperatureDifference => TemperatureDifference,
    Percent => Percent,
}

impl From<(Temperature, TemperatureUnit)> for Value {
    fn from((value, _): (Temperature, TemperatureUnit)) -> Self {
        Value::Temperature(value)
    }
}

impl From<(TemperatureDifference, TemperatureUnit)> for Value {
    fn from((value, _): (TemperatureDifference, TemperatureUnit)) -> Self {
        Value::TemperatureDifference(value)
    }
}

impl Value {
    /// The kind of quantity, in listings for programs: the unit alone does not
    /// tell a temperature from a difference of temperature.
    pub fn kind(&self) -> Option<&'static str> {
        match self {
            Value::Length(_) | Value::LengthRange(_) => Some("length"),
            Value::Duration(_) | Value::DurationRange(_) => Some("time"),
            Value::Temperature(_) | Value::TemperatureRange(_) => Some("temperature"),
            Value::TemperatureDifference(_) => Some("temperature difference"),
            Value::Percent(_) => Some("percent"),
            Value::Text(_) | Value::NotAdvisable => Some("text"),
            Value::NotFound => None,
        }
    }
}

/// A published figure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// `table:key:column`, stable from version to version.
    pub id: String,
    /// The pipe size it belongs to, if it does.
    pub size: Option<Size>,
    /// Its value.
    pub value: Value,
    /// The value as the table writes it.
    pub written: String,
    /// How well it is known.
    pub basis: Basis,
    /// Where it was read.
    pub source: String,
    /// What else to know about it.
    pub note: Option<String>,
    /// The row of the `conflicts` table that tells of sources that disagree.
    pub conflict: Option<String>,
}

/// A value with its standing, on its way from a table or a spec to the page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sourced<T> {
    /// The value.
    pub value: T,
    /// What kind of figure it is.
    pub basis: Basis,
    /// How far it can be trusted: its basis, or for a derived figure the worst
    /// of its inputs.
    pub weakest_basis: Basis,
    /// Where it comes from, or the formula that gave it.
    pub source: String,
    /// The published figure's id, where there is one.
    pub id: Option<String>,
    /// The slug of a conflict between sources, if there is one.
    pub conflict: Option<String>,
    /// The characters the author wrote it with, so that `0.64 in` does not
    /// turn into `0.640 in` on its way to the page.
    pub written: Option<String>,
}

impl<T> Sourced<T> {
    /// A value that the author states, with a source.
    pub(crate) fn stated(value: T, basis: Basis, source: impl Into<String>) -> Self {
        Self {
            value,
            basis,
            weakest_basis: basis,
            source: source.into(),
            id: None,
            conflict: None,
            written: None,
        }
    }

    /// The same figure, with the characters it was written with.
    pub(crate) fn written_as(mut self, text: &str) -> Self {
        self.written = Some(text.to_owned());
        self
    }

    /// A value computed by `formula`; `inputs` are the standings of what went in.
    pub(crate) fn derived(value: T, formula: impl Into<String>, inputs: &[Basis]) -> Self {
        Self {
            basis: Basis::Derived,
            weakest_basis: inputs.iter().copied().max().unwrap_or(Basis::Derived),
            ..Self::stated(value, Basis::Derived, formula)
        }
    }

    /// Whether the figure rests on memory and must be verified before use.
    pub fn needs_verifying(&self) -> bool {
        self.weakest_basis >= Basis::Recalled
    }
}

impl Entry {
    /// The figure with a value of another type, standing and source kept.
    fn sourced<T>(&self, value: T) -> Sourced<T> {
        Sourced {
            value,
            basis: self.basis,
            weakest_basis: self.basis,
            source: self.source.clone(),
            id: Some(self.id.clone()),
            conflict: self.conflict.clone(),
            written: None,
        }
    }

    /// The figure as a length.
    pub fn length(&self) -> Option<Sourced<Length>> {
        match self.value {
            Value::Length(value) => Some(self.sourced(value)),
            _ => None,
        }
    }

    /// The figure as a range of lengths.
    pub(crate) fn length_range(&self) -> Option<Sourced<Range<Length>>> {
        match self.value {
            Value::LengthRange(value) => Some(self.sourced(value)),
            _ => None,
        }
    }

    /// The figure as a time.
    pub(crate) fn duration(&self) -> Option<Sourced<Duration>> {
        match self.value {
            Value::Duration(value) => Some(self.sourced(value)),
            _ => None,
        }
    }

    /// The figure as a range of times.
    pub(crate) fn duration_range(&self) -> Option<Sourced<Range<Duration>>> {
        match self.value {
            Value::DurationRange(value) => Some(self.sourced(value)),
            _ => None,
        }
    }

    /// The figure as a temperature.
    pub(crate) fn temperature(&self) -> Option<Sourced<Temperature>> {
        match self.value {
            Value::Temperature(value) => Some(self.sourced(value)),
            _ => None,
        }
    }

    /// The figure as a range of temperatures.
    pub(crate) fn temperature_range(&self) -> Option<Sourced<Range<Temperature>>> {
        match self.value {
            Value::TemperatureRange(value) => Some(self.sourced(value)),
            _ => None,
        }
    }

    /// The figure as a percentage.
    pub(crate) fn percent(&self) -> Option<Sourced<Percent>> {
        match self.value {
            Value::Percent(value) => Some(self.sourced(value)),
            _ => None,
        }
    }

    /// The figure as a statement.
    pub fn text(&self) -> Option<&str> {
        match &self.value {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }
}
