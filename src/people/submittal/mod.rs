//! A submittal: the papers handed to a contractor or engineer for review, bound
//! in one PDF. This room reads the submittal file, inspects the attached PDFs,
//! and holds the rules.
//!
//! Attached PDFs are checked to the letter, because the renderer that places
//! them turns damaged pages into blank ones. Two readers must get the same
//! bytes for each stream, Flate data must end in its checksum, and images and
//! JPEGs must decode to their full size (`streams.rs`, `jpeg.rs`); everything a
//! page draws with must be there, and its content must be readable to the end
//! (`content.rs`). A changed bit that only alters a color cannot be detected.
//! Encrypted PDFs are refused, even with an empty password.

mod attachment;
mod content;
mod decode;
mod jpeg;
pub(crate) mod rules;
mod streams;

pub use attachment::inspect;
pub(crate) use attachment::{Attachment, Fault, MOST_PAGES, Pages};
pub use decode::decode;
pub(crate) use decode::{
    NamedAttachment, NamedProcedure, NamedRoster, Party, Submittal, SubmittedPapers,
    submittal_schema,
};

use crate::core::source::{Source, Sources, Unavailable};

/// The files a submittal names, in its order.
#[derive(Debug, Clone, Default)]
pub(crate) struct Enclosed {
    pub(crate) procedures: Vec<EnclosedProcedure>,
    /// The roster, if one is named.
    pub(crate) roster: Option<Result<Source, Unavailable>>,
    /// The PDFs to attach.
    pub(crate) attachments: Vec<Result<Attachment, Fault>>,
}

/// A procedure and its records, as far as they could be read.
#[derive(Debug, Clone)]
pub(crate) struct EnclosedProcedure {
    /// The spec, with the files it names and the house style.
    pub(crate) spec: Result<Sources, Unavailable>,
    /// Its records that are submitted.
    pub(crate) records: Vec<Result<Source, Unavailable>>,
    /// Specs of its earlier revisions.
    pub(crate) previous: Vec<Result<Sources, Unavailable>>,
}
