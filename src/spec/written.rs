//! A quantity as it was written, beside its value.

use super::tree::Tree;
use super::words::{self, Word};
use crate::core::size::Size;
use crate::core::source::{Span, Spanned};
use crate::core::units::{DimensionRatio, Range};
use chrono::NaiveDate;

/// A quantity as it was written, beside its value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Written<T> {
    /// The value.
    pub value: T,
    /// The characters in the spec.
    pub text: String,
    /// Where they stand.
    pub span: Span,
}

/// A value with the author's source for it.
#[derive(Debug, Clone)]
pub struct Stated<T> {
    /// The value as written.
    pub value: Written<T>,
    /// Where the author has it from.
    pub source: Option<Spanned<String>>,
}

/// A single value of the format, which is written back in one piece.
pub(crate) trait Scalar {
    /// As it is written.
    fn scalar(&self) -> String;

    /// The same as YAML.
    fn tree(&self) -> Tree {
        Tree::Scalar(self.scalar())
    }
}

impl<T> Scalar for Written<T> {
    fn scalar(&self) -> String {
        self.text.clone()
    }
}

impl<T: Word> Scalar for Spanned<T> {
    fn scalar(&self) -> String {
        words::name(&self.value).to_owned()
    }
}

impl Scalar for Spanned<Range<Size>> {
    fn scalar(&self) -> String {
        let Range { least, most } = self.value;
        match least == most {
            true => least.to_string(),
            false => format!("{least} to {most}"),
        }
    }
}

impl Scalar for Spanned<DimensionRatio> {
    fn scalar(&self) -> String {
        self.value.exact()
    }
}

macro_rules! displayed {
    ($($shown:ty),*) => {
        $(impl Scalar for Spanned<$shown> {
            fn scalar(&self) -> String {
                self.value.to_string()
            }
        })*
    };
}
displayed!(String, u32, NaiveDate, Size);
