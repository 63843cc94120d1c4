//! The paper that documents are set on.

/// Paper the documents are set on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, clap::ValueEnum)]
pub enum Paper {
    /// 8.5 × 11 in.
    Letter,
    /// 210 × 297 mm.
    A4,
}

impl Paper {
    /// The word in a spec.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Letter => "letter",
            Self::A4 => "a4",
        }
    }
}
