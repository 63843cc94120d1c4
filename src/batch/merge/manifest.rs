//! A manifest as it is read back, whichever of the three it is. It is a file that
//! anybody can edit, so nothing in it is believed to be as this program wrote it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::batch::shard::Shard;

/// The form of manifests that is read.
const VERSION: u32 = 1;

/// A file that a manifest lists.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize, Serialize, JsonSchema)]
pub(crate) struct File {
    /// File.
    pub(crate) name: String,
    /// Its size.
    pub(crate) bytes: u64,
    /// Its SHA-256.
    pub(crate) sha256: String,
    /// Cards in it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) cards: Option<u64>,
}

/// Which part of which batch.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize, JsonSchema)]
pub(crate) struct PartOf {
    /// The part.
    #[serde(flatten)]
    pub(crate) shard: Shard,
    /// Digest of what the whole batch was given.
    pub(crate) batch: String,
}

/// What became of a spec in a part of a batch.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize, Serialize, JsonSchema)]
pub(crate) struct PartSpec {
    /// Number of a procedure.
    pub(crate) number: Option<String>,
    /// Its revision.
    pub(crate) revision: Option<u32>,
    /// Digest of its spec.
    pub(crate) spec_digest: String,
    /// How many errors it has.
    pub(crate) errors: u64,
    /// How many files were written for it.
    pub(crate) files: u64,
}

/// A manifest.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Manifest {
    /// Of the papers of a procedure.
    Procedure {
        /// Its number.
        number: String,
        /// Its revision.
        revision: u32,
        /// Digest of the spec.
        spec_digest: String,
        /// Digest of everything they depend on.
        build_digest: String,
        /// The papers.
        files: Vec<File>,
    },
    /// Of the wallet cards of a day, or a part of them.
    Cards {
        /// The day.
        as_of: String,
        /// Which part.
        part: Option<PartOf>,
        /// The files.
        files: Vec<File>,
    },
    /// Of a part of a batch of specs.
    Part {
        /// Which.
        part: PartOf,
        /// How many specs are in it, those included that could not be opened.
        held: u64,
        /// What became of each.
        specs: Vec<PartSpec>,
    },
}

/// All fields of the three.
#[derive(Deserialize)]
struct Fields {
    version: u32,
    number: Option<String>,
    revision: Option<u32>,
    spec_digest: Option<String>,
    build_digest: Option<String>,
    as_of: Option<String>,
    shard: Option<PartOf>,
    held: Option<u64>,
    specs: Option<Vec<PartSpec>>,
    files: Option<Vec<File>>,
}

impl Manifest {
    /// Reads a manifest.
    ///
    /// # Errors
    /// Why it is none.
    pub(crate) fn parse(text: &str) -> Result<Self, String> {
        let fields: Fields = serde_json::from_str(text).map_err(|error| error.to_string())?;
        if fields.version != VERSION {
            let found = fields.version;
            return Err(format!("it has version {found}; version {VERSION} is read"));
        }
        if let Some(PartOf { shard, .. }) = &fields.shard
            && !shard.is_possible()
        {
            return Err(format!("there is no part {shard} of a batch"));
        }
        let lacks = |what: &str| format!("it has no {what}");
        if let Some(number) = fields.number {
            return Ok(Self::Procedure {
                number,
                revision: fields.revision.ok_or_else(|| lacks("revision"))?,
                spec_digest: fields.spec_digest.ok_or_else(|| lacks("spec_digest"))?,
                build_digest: fields.build_digest.ok_or_else(|| lacks("build_digest"))?,
                files: fields.files.ok_or_else(|| lacks("files"))?,
            });
        }
        if let Some(specs) = fields.specs {
            return Ok(Self::Part {
                part: fields.shard.ok_or_else(|| lacks("shard"))?,
                held: fields.held.ok_or_else(|| lacks("held"))?,
                specs,
            });
        }
        Ok(Self::Cards {
            as_of: (fields.as_of).ok_or("it is of no procedure, no wallet cards and no part")?,
            part: fields.shard,
            files: fields.files.ok_or_else(|| lacks("files"))?,
        })
    }
}
