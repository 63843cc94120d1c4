//! Shares a batch of specs out by `--shard`, and leaves word of what a part was
//! given and made, so that `coldring merge` finds a part that is missing.

use std::path::{Path, PathBuf};

use serde::Serialize;

use super::documents::{Head, PART_MANIFEST};
use super::input::{self, ReadError};
use super::json::JsonSpec;
use super::output::{OutputError, OutputFolder};
use crate::batch::merge::{PartOf, PartSpec};
use crate::batch::shard::{Item, Shard};
use crate::core::budget;
use crate::core::digest::{build_digest, sha256};
use crate::core::source::HouseFile;
use crate::published::library;
use crate::spec::decode;

/// The specs of a part, and the digest of those of all parts.
pub struct ShardSpecs {
    /// In the order they were given.
    pub specs: Vec<PathBuf>,
    /// Digests of all specs of the batch, sorted: the order in which a machine
    /// lists its files does not make another batch.
    pub batch_digests: Vec<String>,
}

/// The specs that are in a part; all, unread, where there are no parts.
pub fn specs_in_shard(specs: &[PathBuf], shard: Option<Shard>) -> ShardSpecs {
    let Some(shard) = shard else {
        return ShardSpecs {
            specs: specs.to_vec(),
            batch_digests: Vec::new(),
        };
    };
    let mut batch_digests = Vec::with_capacity(specs.len());
    let mut held = Vec::new();
    for path in specs {
        let (digest, is_held) = match input::read_text(path, budget::SPEC.bytes) {
            Ok(source) => {
                let number = decode(&source.text).0.map(|spec| spec.number.value);
                let item = match &number {
                    Some(number) => Item::Procedure(number),
                    None => Item::Unread(source.text.as_bytes()),
                };
                (sha256(source.text.as_bytes()), shard.holds(item))
            }
            // What is said of it is said by the part that has it.
            Err(ReadError::Io(_) | ReadError::Rejected(..)) => {
                let name = path.as_os_str().as_encoded_bytes();
                (sha256(name), shard.holds(Item::Unread(name)))
            }
        };
        batch_digests.push(digest);
        if is_held {
            held.push(path.clone());
        }
    }
    batch_digests.sort();
    ShardSpecs {
        specs: held,
        batch_digests,
    }
}

/// Which part of which batch this is. A batch is what all its parts were given:
/// the digests of the specs, sorted, the house style, and the rest in words.
pub fn batch_part(shard: Shard, specs: &[String], house: &[HouseFile], rest: &str) -> PartOf {
    let specs = specs.iter().map(|digest| ("spec", digest.as_bytes()));
    let house = house
        .iter()
        .filter_map(|file| Some((file.role.word(), file.bytes.as_deref().ok()?)));
    let inputs: Vec<_> = specs.chain(house).collect();
    let tool = env!("CARGO_PKG_VERSION");
    PartOf {
        shard,
        batch: build_digest(&inputs, rest, tool, library().version()),
    }
}

/// What `manifest.json` of a part holds. The papers have manifests of their own.
#[derive(Debug, Serialize)]
struct Manifest {
    #[serde(flatten)]
    head: Head,
    tool: String,
    limits: String,
    shard: PartOf,
    held: usize,
    specs: Vec<PartSpec>,
}

/// Leaves word of a part beside its papers, after the last of them.
///
/// # Errors
/// Why it cannot be written.
pub fn write_shard_manifest(
    out: &Path,
    part: PartOf,
    held: usize,
    specs: &[JsonSpec],
) -> Result<(), OutputError> {
    let count = |number: usize| u64::try_from(number).unwrap_or(u64::MAX);
    let specs = specs.iter().map(|spec| PartSpec {
        number: spec.number.clone(),
        revision: spec.revision,
        spec_digest: spec.spec_digest.clone(),
        errors: count(spec.errors),
        files: count(spec.written.len()),
    });
    let folder = part.shard.folder();
    let manifest = Manifest {
        head: PART_MANIFEST,
        tool: format!("coldring {}", env!("CARGO_PKG_VERSION")),
        limits: library().version().to_owned(),
        shard: part,
        held,
        specs: specs.collect(),
    };
    // Plain fields of plain types: there is nothing that cannot be written.
    let text = serde_json::to_string_pretty(&manifest).unwrap_or_default() + "\n";
    let output = OutputFolder::open(out, &folder)?;
    output.finish(text.as_bytes()).map(|_| ())
}
