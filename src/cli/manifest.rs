//! The manifest of the papers: their digests, and what they were made from.

use schemars::JsonSchema;
use serde::Serialize;

use super::head::{Head, MANIFEST};
use super::json::WithheldPaper;
use crate::core::digest;
use crate::core::source::Sources;
use crate::papers::compile::{Identity, Outcome, TypesetPaper};
use crate::published::library;

/// The `manifest.json`. It has no folder, machine or time, so that the same inputs in
/// a new folder give the same manifest.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Manifest {
    #[serde(flatten)]
    head: Head,
    /// Program and its version.
    tool: String,
    /// Version of the tables.
    limits: String,
    /// Number of the procedure.
    number: String,
    /// Its revision.
    revision: u32,
    /// SHA-256 of the spec and the files it names.
    spec_digest: String,
    /// SHA-256 of all that went in.
    build_digest: String,
    inputs: Vec<ManifestInput>,
    files: Vec<ManifestFile>,
    withheld: Vec<WithheldPaper>,
    /// Files of earlier runs that this one did not make.
    stale: Vec<String>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct ManifestInput {
    /// What a file is to the spec.
    role: &'static str,
    /// Its path in the house style.
    #[serde(skip_serializing_if = "Option::is_none")]
    path: Option<String>,
    /// Its SHA-256.
    sha256: String,
}

#[derive(Debug, Serialize, JsonSchema)]
struct ManifestFile {
    /// File.
    name: String,
    /// Its size.
    bytes: usize,
    /// Its SHA-256.
    sha256: String,
}

impl Manifest {
    /// The manifest of what was made; `stale` names papers of earlier runs.
    pub(crate) fn new(
        sources: &Sources,
        identity: &Identity,
        outcome: &Outcome,
        stale: Vec<String>,
    ) -> Self {
        Self {
            head: MANIFEST,
            tool: format!("coldring {}", env!("CARGO_PKG_VERSION")),
            limits: library().version().to_owned(),
            number: identity.number.clone(),
            revision: identity.revision,
            spec_digest: outcome.checked.spec_digest.clone(),
            build_digest: outcome.build_digest.clone(),
            inputs: std::iter::once(("spec", sources.spec()))
                .chain(
                    sources
                        .readable()
                        .map(|(_, role, file)| (role.word(), file)),
                )
                .map(|(role, file)| ManifestInput {
                    role,
                    path: None,
                    sha256: digest::sha256(file.text.as_bytes()),
                })
                .chain(sources.house().filter_map(|(_, file)| {
                    Some(ManifestInput {
                        role: file.role.word(),
                        path: Some(file.path.clone()),
                        sha256: digest::sha256(file.bytes.as_ref().ok()?),
                    })
                }))
                .collect(),
            files: outcome
                .papers
                .iter()
                .flat_map(TypesetPaper::files)
                .map(|(name, bytes)| ManifestFile {
                    name,
                    bytes: bytes.len(),
                    sha256: digest::sha256(bytes),
                })
                .collect(),
            withheld: outcome.withheld.iter().map(WithheldPaper::from).collect(),
            stale,
        }
    }
}
