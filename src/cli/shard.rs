//! Shares a batch of specs between machines (`--shard`). Each part writes a manifest
//! of what it was given and made, so that `coldring merge` finds a missing part.

use std::path::{Path, PathBuf};

use schemars::JsonSchema;
use serde::Serialize;

use super::head::{Head, PART_MANIFEST};
use super::input;
use super::json::JsonSpec;
use super::output::{OutputError, OutputFolder};
use crate::batch::merge::{PartOf, PartSpec};
use crate::batch::shard::{Item, Shard};
use crate::core::budget;
use crate::core::digest::{build_digest, sha256};
use crate::core::source::HouseFile;
use crate::published::library;
use crate::spec::decode;

/// The specs of a part, and the digests of those of all parts.
pub(crate) struct ShardSpecs {
    /// In the order they were given.
    pub(crate) specs: Vec<PathBuf>,
    /// Digests of all specs of the batch, sorted, since machines may list their files
    /// in different orders.
    pub(crate) batch_digests: Vec<String>,
}

/// The specs of a part; all of them, unread, where there are no parts.
pub(crate) fn specs_in_shard(specs: &[PathBuf], shard: Option<Shard>) -> ShardSpecs {
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
                (sha256(source.text.as_bytes()), shard.contains(item))
            }
            // The part that has it reports why.
            Err(_) => {
                let name = path.as_os_str().as_encoded_bytes();
                (sha256(name), shard.contains(Item::Unread(name)))
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

/// Which part of which batch this is. The digest of a batch is over all that its
/// parts were given: the digests of the specs, the house style, and `rest`.
pub(crate) fn batch_part(
    shard: Shard,
    specs: &[String],
    house: &[HouseFile],
    rest: &str,
) -> PartOf {
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

/// The `manifest.json` of a part. The papers have manifests of their own.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Manifest {
    #[serde(flatten)]
    head: Head,
    /// Program and its version.
    tool: String,
    /// Version of the tables.
    limits: String,
    shard: PartOf,
    /// How many specs were in the part.
    held: usize,
    specs: Vec<PartSpec>,
}

/// Writes the manifest of a part, after the last of its papers.
pub(crate) fn write_shard_manifest(
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
    OutputFolder::open(out, &folder)?.finish_with(&manifest)?;
    Ok(())
}
