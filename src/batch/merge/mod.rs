//! Manifests of several output folders → one list and what does not fit together: missing
//! parts of a batch, and one paper with two contents. Duplicates are listed once.

mod manifest;
pub(crate) mod rules;

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::Serialize;

use crate::batch::shard::Shard;
use crate::core::finding::Finding;
use crate::core::source::Source;
use manifest::Manifest;
pub(crate) use manifest::{File, PartOf, PartSpec};

/// Maximum number of missing parts named in a message.
const MOST_NAMED: usize = 10;

/// The papers of a procedure.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Procedure {
    /// Number of the procedure.
    pub(crate) number: String,
    /// Its revision.
    pub(crate) revision: u32,
    /// Digest of the spec.
    pub(crate) spec_digest: String,
    /// Digest of the build.
    pub(crate) build_digest: String,
    /// Path of its manifest.
    pub(crate) manifest: String,
    /// The papers.
    pub(crate) files: Vec<File>,
}

/// The wallet cards of a day, or a part of them.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Cards {
    /// Day of the cards.
    pub(crate) as_of: String,
    /// Which part.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) shard: Option<PartOf>,
    /// Path of its manifest.
    pub(crate) manifest: String,
    /// The files.
    pub(crate) files: Vec<File>,
}

/// A batch that was made in parts.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Batch {
    /// Digest of what the whole batch was given.
    pub(crate) batch: String,
    /// How many parts there are.
    pub(crate) of: u32,
    /// Parts that were not found.
    pub(crate) missing: Vec<u32>,
    /// Specs that have no papers, with what is known of each.
    pub(crate) without_papers: Vec<PartSpec>,
    /// Specs that could not be run.
    pub(crate) not_run: u64,
}

/// All that the manifests list.
#[derive(Debug, Default, Serialize, JsonSchema)]
pub(crate) struct Listing {
    /// By number, then revision.
    pub(crate) procedures: Vec<Procedure>,
    /// By day, then part.
    pub(crate) cards: Vec<Cards>,
    /// By digest.
    pub(crate) batches: Vec<Batch>,
}

/// The merged list, and findings with the index of their manifest.
#[derive(Debug, Default)]
pub(crate) struct Merged {
    /// The list.
    pub(crate) listing: Listing,
    /// Findings about what does not fit together.
    pub(crate) findings: Vec<(usize, Finding)>,
}

/// Merges manifests. The list does not depend on their order, except which of two folders
/// with the same papers it names.
pub(crate) fn merge(manifests: &[Source]) -> Merged {
    let mut findings = Vec::new();
    let mut read = Vec::new();
    for (place, source) in manifests.iter().enumerate() {
        match Manifest::parse(&source.text) {
            Ok(manifest) => read.push((place, source.name.as_str(), manifest)),
            Err(why) => {
                let finding = rules::MANIFEST_NOT_READ.about_file(why);
                let help = "build that folder again, with this version of coldring";
                findings.push((place, finding.help(help)));
            }
        }
    }
    let listing = Listing {
        procedures: procedures(&read, &mut findings),
        cards: cards(&read, &mut findings),
        batches: batches(&read, &mut findings),
    };
    Merged { listing, findings }
}

type ReadManifest<'s> = (usize, &'s str, Manifest);
type Found = Vec<(usize, Finding)>;

/// The first entry with each key, and its manifest.
type First<'s, K, T> = BTreeMap<K, (&'s str, T)>;

fn procedures(read: &[ReadManifest<'_>], findings: &mut Found) -> Vec<Procedure> {
    let mut all: First<'_, _, Procedure> = BTreeMap::new();
    for (place, name, manifest) in read {
        let Manifest::Procedure {
            number,
            revision,
            spec_digest,
            build_digest,
            files,
        } = manifest
        else {
            continue;
        };
        // As in folder names, case does not matter.
        let key = (number.to_lowercase(), *revision);
        let Some((at, first)) = all.get_mut(&key) else {
            let procedure = Procedure {
                number: number.clone(),
                revision: *revision,
                spec_digest: spec_digest.clone(),
                build_digest: build_digest.clone(),
                manifest: (*name).to_owned(),
                files: files.clone(),
            };
            all.insert(key, (name, procedure));
            continue;
        };
        let what = format!("{number} revision {revision}");
        if first.spec_digest != *spec_digest {
            let message = format!("{what} was made of another spec than in {at}");
            findings.push((*place, same_paper_differs(message)));
        }
        // Other papers of the same spec belong to the same procedure.
        merge_files(&mut first.files, files, &what, at, *place, findings);
    }
    all.into_values().map(|(_, procedure)| procedure).collect()
}

fn cards(read: &[ReadManifest<'_>], findings: &mut Found) -> Vec<Cards> {
    let mut all: First<'_, _, Cards> = BTreeMap::new();
    for (place, name, manifest) in read {
        let Manifest::Cards { as_of, part, files } = manifest else {
            continue;
        };
        let key = (as_of.clone(), part.clone());
        if let Some((at, first)) = all.get_mut(&key) {
            let what = format!("the wallet cards of {as_of}");
            merge_files(&mut first.files, files, &what, at, *place, findings);
            continue;
        }
        let cards = Cards {
            as_of: as_of.clone(),
            shard: part.clone(),
            manifest: (*name).to_owned(),
            files: files.clone(),
        };
        all.insert(key, (name, cards));
    }
    all.into_values().map(|(_, cards)| cards).collect()
}

/// Merges the files of another folder and reports those that differ.
fn merge_files(
    first: &mut Vec<File>,
    files: &[File],
    what: &str,
    at: &str,
    place: usize,
    findings: &mut Found,
) {
    for file in files {
        match first.iter().find(|other| other.name == file.name) {
            None => first.push(file.clone()),
            Some(other) if other.sha256 == file.sha256 => {}
            Some(_) => {
                let name = &file.name;
                let message = format!("{name} of {what} is another file than in {at}");
                findings.push((place, same_paper_differs(message)));
            }
        }
    }
}

fn same_paper_differs(message: String) -> Finding {
    rules::SAME_PAPER_DIFFERS
        .about_file(message)
        .help("keep the one of the current spec; build all parts from the same files")
}

/// The parts of one batch.
#[derive(Default)]
struct Parts<'m> {
    /// Index of the manifest of each part found.
    manifests: BTreeMap<Shard, usize>,
    specs: Vec<(usize, &'m PartSpec)>,
    not_run: u64,
}

fn batches(read: &[ReadManifest<'_>], findings: &mut Found) -> Vec<Batch> {
    let mut all: BTreeMap<(&str, u32), Parts<'_>> = BTreeMap::new();
    let mut made = BTreeSet::new();
    for (place, _, manifest) in read {
        let part = match manifest {
            Manifest::Procedure {
                number,
                revision,
                spec_digest,
                ..
            } => {
                made.insert((number.as_str(), *revision, spec_digest.as_str()));
                continue;
            }
            Manifest::Cards { part, .. } => part.as_ref(),
            Manifest::Part { part, .. } => Some(part),
        };
        let Some(PartOf { shard, batch }) = part else {
            continue;
        };
        let parts = all.entry((batch, shard.count())).or_default();
        let again = parts.manifests.insert(*shard, *place).is_some();
        if let (Manifest::Part { held, specs, .. }, false) = (manifest, again) {
            let known = u64::try_from(specs.len()).unwrap_or(u64::MAX);
            parts.not_run = parts.not_run.saturating_add(held.saturating_sub(known));
            parts.specs.extend(specs.iter().map(|spec| (*place, spec)));
        }
    }
    let others = all.len() > 1;
    let mut batches = Vec::new();
    for ((batch, of), parts) in all {
        let present: BTreeSet<_> = parts.manifests.keys().map(|shard| shard.number()).collect();
        let missing: Vec<_> = (1..=of)
            .filter(|number| !present.contains(number))
            .collect();
        if let (Some(place), false) = (parts.manifests.values().next(), missing.is_empty()) {
            findings.push((*place, incomplete(&missing, of, others)));
        }
        for (place, spec) in &parts.specs {
            let Some((number, revision)) = spec.number.as_deref().zip(spec.revision) else {
                continue;
            };
            let key = (number, revision, spec.spec_digest.as_str());
            if spec.files > 0 && !made.contains(&key) {
                let message = format!("no folder holds the papers of {number} revision {revision}");
                let finding = rules::PAPERS_OF_SHARD_MISSING.about_file(message);
                let help = "give the folder that this part wrote them to, or run it again";
                findings.push((*place, finding.help(help)));
            }
        }
        let without = parts.specs.iter().filter(|(_, spec)| spec.files == 0);
        batches.push(Batch {
            batch: batch.to_owned(),
            of,
            missing,
            without_papers: without.map(|(_, spec)| (*spec).clone()).collect(),
            not_run: parts.not_run,
        });
    }
    batches
}

fn incomplete(missing: &[u32], of: u32, others: bool) -> Finding {
    let named: Vec<_> = missing
        .iter()
        .take(MOST_NAMED)
        .map(|number| format!("{number}/{of}"))
        .collect();
    let more = match missing.len().saturating_sub(MOST_NAMED) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    let (parts, are) = if missing.len() == 1 {
        ("part", "is")
    } else {
        ("parts", "are")
    };
    let named = named.join(", ");
    let message = format!("{parts} {named}{more} of this batch {are} not there");
    let help = if others {
        "parts of another batch are: a part joins only those that were given the same files, \
         options and version of coldring"
    } else {
        "run it with the same files, options and version of coldring, and give its folder too"
    };
    rules::SHARD_MISSING.about_file(message).help(help)
}

#[cfg(test)]
mod tests;
