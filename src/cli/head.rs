//! How each JSON document begins: `format` and `version`. A field may be added
//! to a version; a field that changes meaning or goes makes a new version.

use schemars::JsonSchema;
use serde::Serialize;

/// How every document begins. Its version changes when a field changes meaning
/// or goes; a field may be added to a version.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct Head {
    /// What the document is.
    pub(crate) format: &'static str,
    /// Version of its form.
    pub(crate) version: u32,
}

/// Of `check` and `build`.
pub(crate) const FINDINGS: Head = first("coldring-findings");
/// Of `cards`.
pub(crate) const CARDS: Head = first("coldring-cards");
/// The manifest of wallet cards.
pub(crate) const CARDS_MANIFEST: Head = first("coldring-cards-manifest");
/// Of `compare`.
pub(crate) const COMPARISON: Head = first("coldring-comparison");
/// Of `fusers`.
pub(crate) const FUSERS: Head = first("coldring-fusers");
/// Of `heat`.
pub(crate) const ESTIMATES: Head = first("coldring-estimates");
/// Of `limits`.
pub(crate) const LIMITS: Head = first("coldring-limits");
/// The manifest of the papers of a procedure.
pub(crate) const MANIFEST: Head = first("coldring-manifest");
/// Of `merge`.
pub(crate) const MERGED: Head = first("coldring-merged");
/// The manifest of a part of a batch.
pub(crate) const PART_MANIFEST: Head = first("coldring-part-manifest");
/// Of `plan`.
pub(crate) const PLAN: Head = first("coldring-plan");
/// Of `show`.
pub(crate) const PROCEDURE: Head = first("coldring-procedure");
/// Of `verify`.
pub(crate) const VERIFICATION: Head = first("coldring-verification");

const fn first(format: &'static str) -> Head {
    Head { format, version: 1 }
}
