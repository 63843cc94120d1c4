//! A number that keeps its basis, source, and ID. A derived number is only as
//! good as its worst input, and a recalled one prints with a mark.

use serde::Serialize;

use crate::core::size::Size;
use crate::core::units::{
    Duration, Length, Percent, Range, Temperature, TemperatureDifference, TemperatureUnit,
};

/// How well a number is known.
///
/// Ordered by trust, best first, so the weakest basis of a derived number is the maximum
/// of its inputs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Basis {
    /// Read in the text of the standard or regulation itself.
    Standard,
    /// Read in an edition of the standard by a person the author names.
    Confirmed,
    /// Measured by the author, with a source that says how.
    Measured,
    /// Set by the organization, with its source.
    Organization,
    /// Computed from other numbers by a stated formula.
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

/// The value of a published number.
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
    /// The source advises against the work.
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
    /// The kind of quantity in listings, since a unit does not tell a temperature from a
    /// difference.
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

/// A published number.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// `table:key:column`, stable from version to version.
    pub id: String,
    /// The pipe size it applies to, if any.
    pub size: Option<Size>,
    /// Its value.
    pub value: Value,
    /// The value as written in the table.
    pub written: String,
    /// Its basis.
    pub basis: Basis,
    /// Its source.
    pub source: String,
    /// A note on it.
    pub note: Option<String>,
    /// The row of the `conflicts` table that describes the disagreement of sources, if
    /// any.
    pub conflict: Option<String>,
}

/// A value with its basis and source, on its way from a table or spec to a page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sourced<T> {
    /// The value.
    pub value: T,
    /// Where the number comes from.
    pub basis: Basis,
    /// The weakest basis among the inputs of a derived number; otherwise `basis`.
    pub weakest_basis: Basis,
    /// Its source, or the formula that produced it.
    pub source: String,
    /// ID of the published number, if any.
    pub id: Option<String>,
    /// Slug of the conflict between sources, if any.
    pub conflict: Option<String>,
    /// The value as the author wrote it, so that `0.64 in` does not become `0.640 in` on
    /// the page.
    pub written: Option<String>,
}

impl<T> Sourced<T> {
    /// A value stated by the author, with a source.
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

    /// Adds the characters it was written with.
    pub(crate) fn written_as(mut self, text: &str) -> Self {
        self.written = Some(text.to_owned());
        self
    }

    /// A value computed by `formula`; `inputs` are the bases of its inputs.
    pub(crate) fn derived(value: T, formula: impl Into<String>, inputs: &[Basis]) -> Self {
        Self {
            basis: Basis::Derived,
            weakest_basis: inputs.iter().copied().max().unwrap_or(Basis::Derived),
            ..Self::stated(value, Basis::Derived, formula)
        }
    }

    /// Whether the number rests on memory and must be verified before use.
    pub fn needs_verifying(&self) -> bool {
        self.weakest_basis >= Basis::Recalled
    }
}

impl Entry {
    /// This entry with a typed value.
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

    /// The entry as a length.
    pub fn length(&self) -> Option<Sourced<Length>> {
        match self.value {
            Value::Length(value) => Some(self.sourced(value)),
            _ => None,
        }
    }

    /// The entry as a range of lengths.
    pub(crate) fn length_range(&self) -> Option<Sourced<Range<Length>>> {
        match self.value {
            Value::LengthRange(value) => Some(self.sourced(value)),
            _ => None,
        }
    }

    /// The entry as a time.
    pub(crate) fn duration(&self) -> Option<Sourced<Duration>> {
        match self.value {
            Value::Duration(value) => Some(self.sourced(value)),
            _ => None,
        }
    }

    /// The entry as a range of times.
    pub(crate) fn duration_range(&self) -> Option<Sourced<Range<Duration>>> {
        match self.value {
            Value::DurationRange(value) => Some(self.sourced(value)),
            _ => None,
        }
    }

    /// The entry as a temperature.
    pub(crate) fn temperature(&self) -> Option<Sourced<Temperature>> {
        match self.value {
            Value::Temperature(value) => Some(self.sourced(value)),
            _ => None,
        }
    }

    /// The entry as a range of temperatures.
    pub(crate) fn temperature_range(&self) -> Option<Sourced<Range<Temperature>>> {
        match self.value {
            Value::TemperatureRange(value) => Some(self.sourced(value)),
            _ => None,
        }
    }

    /// The entry as a percentage.
    pub(crate) fn percent(&self) -> Option<Sourced<Percent>> {
        match self.value {
            Value::Percent(value) => Some(self.sourced(value)),
            _ => None,
        }
    }

    /// The entry as a statement.
    pub fn text(&self) -> Option<&str> {
        match &self.value {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }
}
