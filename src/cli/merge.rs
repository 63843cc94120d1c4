//! `coldring merge`: the manifests of several output folders as one list.

use std::fs;
use std::path::{Path, PathBuf};

use serde::Serialize;

use super::args::{Format, MergeArguments};
use super::documents::{Head, MERGED};
use super::input::{self, ReadError};
use super::json::{JsonFinding, json_finding};
use super::output::MANIFEST;
use super::report::Report;
use super::{ExitStatus, pluralize};
use crate::batch::merge::{File, Listing, Merged, merge, rules};
use crate::core::finding;
use crate::core::source::{Source, Sources};
use crate::papers::compile::Checked;

/// The largest manifest that is read: one of some 100,000 specs.
const MOST_BYTES: usize = 32 << 20;

#[derive(Serialize)]
struct Document {
    #[serde(flatten)]
    head: Head,
    #[serde(flatten)]
    listing: Listing,
    findings: Vec<JsonFinding>,
}

/// Joins the manifests.
pub fn run(arguments: &MergeArguments) -> ExitStatus {
    let mut report = Report::new(Format::Text);
    let mut manifests = Vec::new();
    for out in &arguments.folders {
        let found = match manifests_in(out) {
            Ok(found) if found.is_empty() => Err(format!(
                "{}: no folder in it holds a {MANIFEST}; give the folders that --out named",
                out.display()
            )),
            found => found,
        };
        match found {
            Ok(paths) => {
                for path in paths {
                    read(&path, &mut manifests, &mut report);
                }
            }
            Err(message) => report.add_failure(&message),
        }
    }
    let Merged { listing, findings } = merge(&manifests);
    let mut told = Vec::new();
    for (place, source) in manifests.into_iter().enumerate() {
        let of_it = findings.iter().filter(|(of, _)| *of == place);
        let of_it: Vec<_> = of_it.map(|(_, finding)| finding.clone()).collect();
        if !of_it.is_empty() {
            let sources = Sources::from(source);
            told.extend(of_it.iter().map(|found| json_finding(found, &sources)));
            report_findings(&sources, of_it, &mut report);
        }
    }
    match arguments.format {
        Format::Text => super::print(&text(&listing)),
        Format::Json => {
            let document = Document {
                head: MERGED,
                listing,
                findings: told,
            };
            // Plain fields of plain types: there is nothing that cannot be written.
            let document = serde_json::to_string_pretty(&document).unwrap_or_default();
            super::print_json(&format!("{document}\n"));
        }
    }
    report.finish()
}

/// The manifests in the folders of an output folder, by name.
fn manifests_in(out: &Path) -> Result<Vec<PathBuf>, String> {
    let io = |error: std::io::Error| input::cannot_read(out.display(), &error);
    let mut paths = Vec::new();
    for entry in fs::read_dir(out).map_err(io)? {
        let path = entry.map_err(io)?.path().join(MANIFEST);
        if path.is_file() {
            paths.push(path);
        }
    }
    paths.sort();
    Ok(paths)
}

fn read(path: &Path, manifests: &mut Vec<Source>, report: &mut Report) {
    match input::read_text(path, MOST_BYTES) {
        Ok(source) => manifests.push(source),
        Err(ReadError::Io(message)) => report.add_failure(&message),
        Err(ReadError::Rejected(sources, mut finding)) => {
            finding.rule = &rules::MANIFEST_NOT_READ;
            report_findings(&sources, vec![*finding], report);
        }
    }
}

fn report_findings(sources: &Sources, findings: Vec<finding::Finding>, report: &mut Report) {
    let checked = Checked {
        identity: None,
        spec_digest: String::new(),
        findings,
    };
    report.add_spec(sources, &checked, Vec::new());
}

/// The list for people. Names come from files that anybody can edit, so a
/// character that would move the cursor is shown, not sent.
fn text(listing: &Listing) -> String {
    let mut text = String::new();
    for procedure in &listing.procedures {
        text.push_str(&format!(
            "{} revision {}: {}, spec {}\n",
            procedure.number.escape_debug(),
            procedure.revision,
            pluralize(papers(&procedure.files), "paper"),
            crate::core::digest::short(&procedure.spec_digest).escape_debug(),
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
            pluralize(usize::try_from(number).unwrap_or(usize::MAX), "card"),
            pluralize(cards.files.len(), "file"),
        ));
    }
    for batch in &listing.batches {
        let there = usize::try_from(batch.of)
            .unwrap_or(usize::MAX)
            .saturating_sub(batch.missing.len());
        text.push_str(&format!(
            "batch {}: {there} of {}\n",
            crate::core::digest::short(&batch.batch).escape_debug(),
            pluralize(usize::try_from(batch.of).unwrap_or(usize::MAX), "part"),
        ));
        for spec in &batch.without_papers {
            let name = spec.number.as_deref().unwrap_or("a file that is no spec");
            text.push_str(&format!(
                "  no papers of {} (spec {}): {}\n",
                name.escape_debug(),
                crate::core::digest::short(&spec.spec_digest).escape_debug(),
                pluralize(usize::try_from(spec.errors).unwrap_or(usize::MAX), "error"),
            ));
        }
        if batch.not_run > 0 {
            text.push_str(&format!(
                "  {} could not be run; what was said of it tells why\n",
                pluralize(usize::try_from(batch.not_run).unwrap_or(usize::MAX), "spec"),
            ));
        }
    }
    text
}

/// How many of the files are papers, and not pictures of their pages.
fn papers(files: &[File]) -> usize {
    let papers = files.iter().filter(|file| file.name.ends_with(".pdf"));
    papers.count()
}
