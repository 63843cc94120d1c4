//! A fact: one thing that a procedure states, under the name of its variable in
//! the table `essential-variables`. Two facts are the same when their values
//! are, whatever units they were written in.

use chrono::NaiveDate;

use crate::core::size::Size;
use crate::core::source::{Span, Spanned};
use crate::core::units::Range;
use crate::process::socket::practice::Practice;
pub(crate) use crate::published::Value as Quantity;
use crate::spec::words::{self, Word};
use crate::spec::written::{Stated, Written};

/// What is stated.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Value {
    /// That it is there at all.
    Present,
    /// The author's own words.
    Text(String),
    /// A word of the format, or a number that is only counted or compared.
    Word(String),
    /// A quantity, or a range of them.
    Quantity(Quantity),
    /// A size of pipe.
    Size(Size),
}

impl<T: Into<Quantity>> From<T> for Value {
    fn from(quantity: T) -> Self {
        Value::Quantity(quantity.into())
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
pub(crate) struct Of {
    label: String,
    size: Option<Size>,
}

impl Of {
    /// Of a size and a wall of it, or of another thing of that size.
    pub(crate) fn size_and(size: Size, rest: &str) -> Self {
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
pub(crate) const ALONE: &str = "";

/// Collects the facts of one spec.
pub(crate) struct Collector<'s> {
    /// The text that the places point into.
    text: &'s str,
    /// Whose names of walls hold.
    pub(crate) practice: &'static Practice,
    /// What was collected.
    pub(crate) facts: Vec<Fact>,
}

impl<'s> Collector<'s> {
    /// Of a spec with this text.
    pub(crate) fn new(text: &'s str, practice: &'static Practice) -> Self {
        Self {
            text,
            practice,
            facts: Vec::new(),
        }
    }

    /// Adds a fact.
    pub(crate) fn add(
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
    pub(crate) fn present(&mut self, variable: &'static str, of: impl Into<Of>, span: Span) {
        self.add(variable, of, Value::Present, "", span);
    }

    /// The characters at a place, without quotes.
    pub(crate) fn at(&self, span: Span) -> &'s str {
        let text = self.text.get(span.range()).unwrap_or_default();
        text.trim_matches(['"', '\''])
    }
}

/// What is a fact by itself, under the variable of its field.
pub(crate) trait Stating {
    fn add(&self, variable: &'static str, of: &Of, to: &mut Collector<'_>);
}

impl<T: Stating> Stating for Option<T> {
    fn add(&self, variable: &'static str, of: &Of, to: &mut Collector<'_>) {
        if let Some(value) = self {
            value.add(variable, of, to);
        }
    }
}

/// A quantity, shown as it was written.
impl<T: Clone + Into<Quantity>> Stating for Written<T> {
    fn add(&self, variable: &'static str, of: &Of, to: &mut Collector<'_>) {
        let value = Value::Quantity(self.value.clone().into());
        to.add(variable, of.clone(), value, &self.text, self.span);
    }
}

/// The value; its source is a fact of its own.
impl<T: Clone + Into<Quantity>> Stating for Stated<T> {
    fn add(&self, variable: &'static str, of: &Of, to: &mut Collector<'_>) {
        self.value.add(variable, of, to);
    }
}

/// What the author said in words.
impl Stating for Spanned<String> {
    fn add(&self, variable: &'static str, of: &Of, to: &mut Collector<'_>) {
        let value = Value::Text(self.value.clone());
        to.add(variable, of.clone(), value, &self.value, self.span);
    }
}

/// A word of the format, shown as the spec has it.
impl<T: Word> Stating for Spanned<T> {
    fn add(&self, variable: &'static str, of: &Of, to: &mut Collector<'_>) {
        let value = Value::Word(words::name(&self.value).to_owned());
        to.add(variable, of.clone(), value, to.at(self.span), self.span);
    }
}

impl Stating for Spanned<u32> {
    fn add(&self, variable: &'static str, of: &Of, to: &mut Collector<'_>) {
        let value = Value::Word(self.value.to_string());
        to.add(variable, of.clone(), value, to.at(self.span), self.span);
    }
}

impl Stating for Spanned<NaiveDate> {
    fn add(&self, variable: &'static str, of: &Of, to: &mut Collector<'_>) {
        let day = self.value.to_string();
        to.add(
            variable,
            of.clone(),
            Value::Word(day.clone()),
            day,
            self.span,
        );
    }
}

impl Stating for Spanned<Size> {
    fn add(&self, variable: &'static str, of: &Of, to: &mut Collector<'_>) {
        let size = Value::Size(self.value);
        to.add(
            variable,
            of.clone(),
            size,
            self.value.to_string(),
            self.span,
        );
    }
}

/// Each of the author's own words is there.
impl Stating for Vec<Spanned<String>> {
    fn add(&self, variable: &'static str, _of: &Of, to: &mut Collector<'_>) {
        for text in self {
            to.present(variable, text.value.as_str(), text.span);
        }
    }
}

/// Each size or range of sizes is there.
impl Stating for Vec<Spanned<Range<Size>>> {
    fn add(&self, variable: &'static str, _of: &Of, to: &mut Collector<'_>) {
        for range in self {
            let (least, most) = (range.value.least, range.value.most);
            let of = match least == most {
                true => least.to_string(),
                false => format!("{least} to {most}"),
            };
            to.present(variable, of.as_str(), range.span);
        }
    }
}

/// A tool of each of the sizes is there.
impl<T> Stating for Vec<(Spanned<Size>, T)> {
    fn add(&self, variable: &'static str, _of: &Of, to: &mut Collector<'_>) {
        for (size, _) in self {
            to.present(variable, size.value, size.span);
        }
    }
}
