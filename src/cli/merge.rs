//! `coldring merge`: the manifests of several output folders as one list.

use std::fs;
use std::path::{Path, PathBuf};

use schemars::JsonSchema;
use serde::Serialize;

use super::args::{Format, MergeArguments};
use super::head::{Head, MERGED};
use super::input;
use super::output::MANIFEST;
use super::report::Report;
use super::{RunResult, pluralize, print, print_json};
use crate::batch::merge::{File, Listing, Merged, merge, rules};
use crate::core::digest::short;
use crate::core::finding_json::{JsonFinding, json_finding};
use crate::core::source::Sources;

/// The largest manifest that is read: one of some 100,000 specs.
const MOST_BYTES: usize = 32 << 20;

#[derive(Serialize, JsonSchema)]
pub(super) struct Document {
    #[serde(flatten)]
    head: Head,
    #[serde(flatten)]
    listing: Listing,
    findings: Vec<JsonFinding>,
}

pub(crate) fn run(arguments: &MergeArguments) -> RunResult {
    let mut report = Report::text();
    let mut manifests = Vec::new();
    for out in &arguments.folders {
        let paths = manifests_in(out).unwrap_or_else(|message| {
            report.add_failure(message);
            Vec::new()
        });
        for path in paths {
            match input::read_text(&path, MOST_BYTES) {
                Ok(source) => manifests.push(source),
                Err(failure) => report.add_failure(failure.of_rule(&rules::MANIFEST_NOT_READ)),
            }
        }
    }
    let Merged { listing, findings } = merge(&manifests);
    let mut all = Vec::new();
    for (place, source) in manifests.into_iter().enumerate() {
        let own = findings.iter().filter(|(of, _)| *of == place);
        let own: Vec<_> = own.map(|(_, finding)| finding.clone()).collect();
        let sources = Sources::from(source);
        all.extend(own.iter().map(|finding| json_finding(finding, &sources)));
        report.add_findings(&sources, own);
    }
    match arguments.format {
        Format::Text => print(&text(&listing)),
        Format::Json => print_json(&Document {
            head: MERGED,
            listing,
            findings: all,
        }),
    }
    Ok(report.finish())
}

/// The manifests in the folders of an output folder, by name; at least one.
fn manifests_in(out: &Path) -> Result<Vec<PathBuf>, String> {
    let io = |error: std::io::Error| input::cannot_read(out.display(), &error);
    let mut paths = Vec::new();
    for entry in fs::read_dir(out).map_err(io)? {
        let path = entry.map_err(io)?.path().join(MANIFEST);
        if path.is_file() {
            paths.push(path);
        }
    }
    if paths.is_empty() {
        return Err(format!(
            "{}: no folder in it holds a {MANIFEST}; give the folders that --out named",
            out.display()
        ));
    }
    paths.sort();
    Ok(paths)
}

/// The list for people. Names come from untrusted files, so they are escaped.
fn text(listing: &Listing) -> String {
    let mut text = String::new();
    for procedure in &listing.procedures {
        text.push_str(&format!(
            "{} revision {}: {}, spec {}\n",
            procedure.number.escape_debug(),
            procedure.revision,
            pluralize(papers(&procedure.files), "paper"),
            short(&procedure.spec_digest).escape_debug(),
        ));
    }
    for cards in &listing.cards {
        let number = cards.files.iter().filter_map(|file| file.cards);
        let number = number.fold(0_u64, u64::saturating_add);
        let part = cards.shard.as_ref().map(|part| part.shard);
        let part = part.map_or_else(String::new, |shard| format!(", part {shard}"));
        text.push_str(&format!(
            "wallet cards of {}{part}: {}, {}\n",
            cards.as_of.escape_debug(),
            pluralize(to_usize(number), "card"),
            pluralize(cards.files.len(), "file"),
        ));
    }
    for batch in &listing.batches {
        let there = to_usize(batch.of).saturating_sub(batch.missing.len());
        text.push_str(&format!(
            "batch {}: {there} of {}\n",
            short(&batch.batch).escape_debug(),
            pluralize(to_usize(batch.of), "part"),
        ));
        for spec in &batch.without_papers {
            let name = spec.number.as_deref().unwrap_or("a file that is no spec");
            text.push_str(&format!(
                "  no papers of {} (spec {}): {}\n",
                name.escape_debug(),
                short(&spec.spec_digest).escape_debug(),
                pluralize(to_usize(spec.errors), "error"),
            ));
        }
        if batch.not_run > 0 {
            text.push_str(&format!(
                "  {} could not be run; what was said of it tells why\n",
                pluralize(to_usize(batch.not_run), "spec"),
            ));
        }
    }
    text
}

/// How many of the files are papers rather than pictures of pages.
fn papers(files: &[File]) -> usize {
    let papers = files.iter().filter(|file| file.name.ends_with(".pdf"));
    papers.count()
}

fn to_usize(count: impl TryInto<usize>) -> usize {
    count.try_into().unwrap_or(usize::MAX)
}
