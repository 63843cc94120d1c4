//! A submittal: what is handed to a contractor or an engineer for review, as one
//! PDF. Its file says what it is of and names what it encloses; this stage reads
//! that file, looks at the PDFs that are attached, and holds the rules.

mod attachment;
mod content;
mod decode;
mod jpeg;
mod model;
pub mod rules;
mod streams;

pub use attachment::{Attachment, Fault, MOST_PAGES, Pages, inspect};
pub use decode::decode;
pub use model::{NamedAttachment, NamedProcedure, NamedRoster, Party, Submittal};

use crate::core::source::{Source, Sources, Unavailable};

/// The files that a submittal names, read in the order of the file.
#[derive(Debug, Clone, Default)]
pub struct Enclosed {
    /// The procedures.
    pub procedures: Vec<EnclosedProcedure>,
    /// The roster, where one is named.
    pub roster: Option<Result<Source, Unavailable>>,
    /// The PDFs to attach.
    pub attachments: Vec<Result<Attachment, Fault>>,
}

/// A procedure and its records, as far as they could be read.
#[derive(Debug, Clone)]
pub struct EnclosedProcedure {
    /// The spec, with the files it names and the house style.
    pub spec: Result<Sources, Unavailable>,
    /// Its records that are submitted.
    pub records: Vec<Result<Source, Unavailable>>,
    /// The specs of its earlier revisions.
    pub previous: Vec<Result<Sources, Unavailable>>,
}
