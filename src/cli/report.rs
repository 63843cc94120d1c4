//! Gathers what became of each spec and prints it, for people or as JSON.

use super::args::Format;
use super::{Ending, json, render};
use crate::compile::Checked;
use crate::finding::{Finding, Severity};
use crate::source::Sources;

/// Most findings of one spec that are printed for people; nobody reads more
/// before mending the first.
const MOST_SHOWN: usize = 200;

/// What a run has found and written so far.
pub struct Report {
    format: Format,
    findings: Vec<json::JsonFinding>,
    specs: Vec<json::JsonSpec>,
    notes: usize,
    ending: Ending,
}

impl Report {
    /// A report that will be printed in `format`.
    pub fn new(format: Format) -> Self {
        Self {
            format,
            findings: Vec::new(),
            specs: Vec::new(),
            notes: 0,
            ending: Ending::Clean,
        }
    }

    /// Takes in one spec; its findings are printed at once for people.
    pub fn spec(&mut self, sources: &Sources, checked: &Checked, written: Vec<String>) {
        if self.format == Format::Text && !checked.findings.is_empty() {
            let shown = checked.findings.len().min(MOST_SHOWN);
            let (shown, rest) = checked.findings.split_at(shown);
            eprintln_text(&render::render(shown, sources, super::color()));
            if !rest.is_empty() {
                eprintln_text(&format!(
                    "... and {} more findings; --format json lists them all",
                    rest.len()
                ));
            }
        }
        let count = |severity: Severity| count(&checked.findings, severity);
        if count(Severity::Error) > 0 {
            self.ends(Ending::Errors);
        }
        self.notes += count(Severity::Note);
        self.findings
            .extend(checked.findings.iter().map(|f| json::finding(f, sources)));
        self.specs.push(json::spec(
            sources.spec().name.clone(),
            checked
                .identity
                .as_ref()
                .map(|id| (id.number.clone(), id.revision)),
            checked.spec_digest.clone(),
            &checked.findings,
            written,
        ));
    }

    /// Takes in that something could not be run at all.
    pub fn failed(&mut self, message: &str) {
        super::complain(message);
        self.ends(Ending::CouldNotRun);
    }

    /// The specs so far, and what became of each.
    pub fn specs(&self) -> &[json::JsonSpec] {
        &self.specs
    }

    fn ends(&mut self, ending: Ending) {
        self.ending = self.ending.max(ending);
    }

    /// Prints the summary or the document, and tells how the run ended.
    pub fn finish(self) -> Ending {
        let notes = self.notes;
        let document = json::JsonDocument::new(self.findings, self.specs);
        match self.format {
            Format::Json => {
                let mut text = Vec::new();
                // Writing to memory cannot fail.
                let _ = document.write(&mut text);
                super::print(&String::from_utf8_lossy(&text));
            }
            Format::Text if !document.specs.is_empty() => eprintln_text(&format!(
                "{}\n",
                render::summary(document.errors, document.warnings, notes)
            )),
            Format::Text => {}
        }
        self.ending
    }
}

fn count(findings: &[Finding], severity: Severity) -> usize {
    findings.iter().filter(|f| f.severity() == severity).count()
}

fn eprintln_text(text: &str) {
    use std::io::Write;
    let _ = writeln!(std::io::stderr().lock(), "{}", text.trim_end_matches('\n'));
}
