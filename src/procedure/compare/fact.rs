//! A fact: one thing that a procedure states, under the name of its variable in
//! the table `essential-variables`. Two facts are the same when their values
//! are, whatever units they were written in.

use crate::core::size::Size;
use crate::core::source::{Span, Spanned};
use crate::core::units::{
    Duration, Length, Percent, Range, Temperature, TemperatureDifference, TemperatureUnit,
};
use crate::spec::Written;

/// What is stated.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Value {
    /// That it is there at all.
    Present,
    /// The author's own words.
    Text(String),
    /// A word of the format, or a number that is only counted or compared.
    Word(String),
    /// A length.
    Length(Length),
    /// A range of lengths.
    Lengths(Range<Length>),
    /// A time.
    Time(Duration),
    /// A range of times.
    Times(Range<Duration>),
    /// A temperature.
    Temperature(Temperature),
    /// A range of temperatures.
    Temperatures(Range<Temperature>),
    /// A difference of temperatures.
    Difference(TemperatureDifference),
    /// A share.
    Percent(Percent),
    /// A size of pipe.
    Size(Size),
}

/// How a fact differs between two procedures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum How {
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

impl How {
    /// The end of a key in the table `essential-variables`.
    pub fn key(self) -> &'static str {
        match self {
            How::Added => "added",
            How::Removed => "removed",
            How::Higher => "higher",
            How::Lower => "lower",
            How::Wider => "wider",
            How::Narrower => "narrower",
            How::Changed => "changed",
        }
    }
}

impl Value {
    /// How this value differs from an earlier one; `None` where it is the same.
    pub fn beside(&self, earlier: &Value) -> Option<How> {
        if self == earlier {
            return None;
        }
        Some(match (earlier, self) {
            (Value::Length(was), Value::Length(is)) => direction(was, is),
            (Value::Time(was), Value::Time(is)) => direction(was, is),
            (Value::Temperature(was), Value::Temperature(is)) => direction(was, is),
            (Value::Difference(was), Value::Difference(is)) => direction(was, is),
            (Value::Percent(was), Value::Percent(is)) => direction(was, is),
            (Value::Size(was), Value::Size(is)) if was.system() == is.system() => {
                direction(was, is)
            }
            (Value::Temperatures(was), Value::Temperatures(is)) => {
                if is.contains(was.least) && is.contains(was.most) {
                    How::Wider
                } else if was.contains(is.least) && was.contains(is.most) {
                    How::Narrower
                } else {
                    How::Changed
                }
            }
            _ => How::Changed,
        })
    }
}

fn direction<T: PartialOrd>(was: &T, is: &T) -> How {
    if is > was { How::Higher } else { How::Lower }
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
    Range<Length> => Lengths,
    Duration => Time,
    Range<Duration> => Times,
    Temperature => Temperature,
    Range<Temperature> => Temperatures,
    Percent => Percent,
}

impl From<(Temperature, TemperatureUnit)> for Value {
    fn from((value, _): (Temperature, TemperatureUnit)) -> Self {
        Value::Temperature(value)
    }
}

impl From<(TemperatureDifference, TemperatureUnit)> for Value {
    fn from((value, _): (TemperatureDifference, TemperatureUnit)) -> Self {
        Value::Difference(value)
    }
}

/// One thing that a procedure states.
#[derive(Debug, Clone)]
pub struct Fact {
    /// Its name in the table `essential-variables`.
    pub variable: &'static str,
    /// What it is stated of, such as a size; empty where there is one alone.
    pub of: String,
    /// The size it is stated of, where it is one.
    pub size: Option<Size>,
    /// What is stated.
    pub value: Value,
    /// The value for people: as it was written, or as the tables print it.
    pub shown: String,
    /// Where it stands in the spec.
    pub span: Span,
}

/// What a fact is stated of.
#[derive(Debug, Clone, Default)]
pub struct Of {
    label: String,
    size: Option<Size>,
}

impl Of {
    /// Of a size and a wall of it, or of another thing of that size.
    pub fn size_and(size: Size, rest: &str) -> Self {
        Self {
            label: format!("{size} {rest}"),
            size: Some(size),
        }
    }
}

impl From<Size> for Of {
    fn from(size: Size) -> Self {
        Self {
            label: size.to_string(),
            size: Some(size),
        }
    }
}

impl From<&str> for Of {
    fn from(label: &str) -> Self {
        Self {
            label: label.to_owned(),
            size: None,
        }
    }
}

/// Nothing in particular: there is one alone.
pub const ALONE: &str = "";

/// Collects the facts of one spec.
pub struct Collector<'s> {
    /// The text that the places point into.
    text: &'s str,
    /// What was collected.
    pub facts: Vec<Fact>,
}

impl<'s> Collector<'s> {
    /// Of a spec with this text.
    pub fn new(text: &'s str) -> Self {
        Self {
            text,
            facts: Vec::new(),
        }
    }

    /// Adds a fact.
    pub fn add(
        &mut self,
        variable: &'static str,
        of: impl Into<Of>,
        value: Value,
        shown: impl Into<String>,
        span: Span,
    ) {
        let of = of.into();
        self.facts.push(Fact {
            variable,
            of: of.label,
            size: of.size,
            value,
            shown: shown.into(),
            span,
        });
    }

    /// Adds that something is there.
    pub fn present(&mut self, variable: &'static str, of: impl Into<Of>, span: Span) {
        self.add(variable, of, Value::Present, "", span);
    }

    /// Adds what the author said in words.
    pub fn text<'t>(
        &mut self,
        variable: &'static str,
        of: impl Into<Of>,
        text: impl IntoIterator<Item = &'t Spanned<String>>,
    ) {
        let of = of.into();
        for text in text {
            let value = Value::Text(text.value.clone());
            self.add(variable, of.clone(), value, &text.value, text.span);
        }
    }

    /// Adds a word of the format, shown as the spec has it.
    pub fn word<'t, T: std::fmt::Debug + 't>(
        &mut self,
        variable: &'static str,
        of: impl Into<Of>,
        word: impl IntoIterator<Item = &'t Spanned<T>>,
    ) {
        let of = of.into();
        for word in word {
            // The words of the format are enums without a text of their own.
            let value = Value::Word(format!("{:?}", word.value));
            self.add(variable, of.clone(), value, self.at(word.span), word.span);
        }
    }

    /// Adds a quantity, shown as it was written.
    pub fn quantity<'t, T: Clone + Into<Value> + 't>(
        &mut self,
        variable: &'static str,
        of: impl Into<Of>,
        written: impl IntoIterator<Item = &'t Written<T>>,
    ) {
        let of = of.into();
        for written in written {
            let value = written.value.clone().into();
            self.add(variable, of.clone(), value, &written.text, written.span);
        }
    }

    /// The characters at a place, without quotes.
    pub fn at(&self, span: Span) -> &'s str {
        let text = self.text.get(span.range()).unwrap_or_default();
        text.trim_matches(['"', '\''])
    }
}
