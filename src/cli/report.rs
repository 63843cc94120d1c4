//! Gathers what became of each spec and prints it, for people or for programs.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use super::args::{CheckFormat, Format};
use super::verbosity::{Level, is_shown};
use super::{ExitStatus, json, print_stderr, render, sarif};
use crate::core::finding::{Finding, Severity};
use crate::core::source::Sources;
use crate::papers::compile::Checked;

/// Most findings of one spec that are printed for people; nobody reads more
/// before mending the first.
const MOST_SHOWN: usize = 200;

/// What a report comes out as.
pub enum ReportFormat {
    /// For people, on standard error, as it comes.
    Text,
    /// One document at the end.
    Json(Vec<json::JsonFinding>),
    /// One log at the end.
    Sarif(sarif::SarifLog),
}

impl From<Format> for ReportFormat {
    fn from(format: Format) -> Self {
        match format {
            Format::Text => ReportFormat::Text,
            Format::Json => ReportFormat::Json(Vec::new()),
        }
    }
}

impl From<CheckFormat> for ReportFormat {
    fn from(format: CheckFormat) -> Self {
        match format {
            CheckFormat::Text => ReportFormat::Text,
            CheckFormat::Json => ReportFormat::Json(Vec::new()),
            CheckFormat::Sarif => ReportFormat::Sarif(sarif::SarifLog::default()),
        }
    }
}

/// What a run has found and written so far.
pub struct Report {
    format: ReportFormat,
    specs: Vec<json::JsonSpec>,
    /// Errors, warnings and notes.
    counts: [usize; 3],
    /// The rule of the first error.
    first_error: Option<&'static str>,
    next_if_clean: Option<String>,
    /// What earlier runs of a watch printed.
    printed: Option<PrintedFindings>,
    status: ExitStatus,
}

impl Report {
    /// A report that will be printed in a format.
    pub fn new(format: impl Into<ReportFormat>) -> Self {
        Self {
            format: format.into(),
            specs: Vec::new(),
            counts: [0; 3],
            first_error: None,
            next_if_clean: None,
            printed: None,
            status: ExitStatus::Clean,
        }
    }

    /// A report for people that does not print again what was printed before.
    pub fn continuing(printed: PrintedFindings) -> Self {
        Self {
            printed: Some(printed),
            ..Self::new(Format::Text)
        }
    }

    /// Takes in one spec; its findings are printed at once for people.
    pub fn add_spec(&mut self, sources: &Sources, checked: &Checked, written: Vec<String>) {
        self.add_built_spec(sources, checked, written, Vec::new());
    }

    /// The same, with the papers that could not be made of it.
    pub fn add_built_spec(
        &mut self,
        sources: &Sources,
        checked: &Checked,
        written: Vec<String>,
        withheld: Vec<json::WithheldPaper>,
    ) {
        let counts = count(&checked.findings);
        if let ReportFormat::Text = self.format {
            self.print_findings(sources, &checked.findings);
        }
        match &mut self.format {
            ReportFormat::Text => {}
            ReportFormat::Json(findings) => {
                findings.extend(
                    checked
                        .findings
                        .iter()
                        .map(|f| json::json_finding(f, sources)),
                );
            }
            ReportFormat::Sarif(log) => log.add_findings(&checked.findings, sources),
        }
        let mut errors = checked.findings.iter().filter(|f| is_error(f));
        if let Some(error) = errors.next() {
            self.first_error.get_or_insert(error.rule.slug);
            self.raise_status(ExitStatus::Errors);
        }
        for (sum, count) in self.counts.iter_mut().zip(counts) {
            *sum += count;
        }
        self.specs.push(json::json_spec(
            sources.spec().name.clone(),
            checked
                .identity
                .as_ref()
                .map(|id| (id.number.clone(), id.revision)),
            checked.spec_digest.clone(),
            &checked.findings,
            written,
            withheld,
        ));
    }

    /// Prints findings for people: with `--quiet` errors alone, and in a watch
    /// what it has not printed before.
    fn print_findings(&mut self, sources: &Sources, findings: &[Finding]) {
        let is_wanted = |finding: &&Finding| is_shown(Level::Usual) || is_error(finding);
        let mut shown: Vec<Finding> = findings.iter().filter(is_wanted).cloned().collect();
        // A person first reads what they can mend; sources that disagree they cannot.
        shown.sort_by_key(|f| (Reverse(f.severity()), f.rule.about_sources));
        let mut still = Vec::new();
        if let Some(printed) = &mut self.printed {
            (shown, still) = printed.split_off_printed(sources, shown);
        }
        let rest = shown.len().saturating_sub(MOST_SHOWN);
        shown.truncate(MOST_SHOWN);
        if !shown.is_empty() {
            super::print_findings(&render::render(&shown, sources, super::color()));
        }
        if rest > 0 {
            print_stderr(&format!(
                "... and {rest} more findings; --format json lists them all"
            ));
        }
        if !still.is_empty() {
            let [errors, warnings, notes] = count(&still);
            let name = &sources.spec().name;
            let summary = render::summary(errors, warnings, notes);
            print_stderr(&match errors {
                // The errors of now may all be new.
                0 => format!(
                    "as before in {name}: {}",
                    summary.trim_start_matches("no errors, ")
                ),
                _ => format!("still {summary} in {name}"),
            });
        }
    }

    /// Takes in that something could not be run at all.
    pub fn add_failure(&mut self, message: &str) {
        if let ReportFormat::Sarif(log) = &mut self.format {
            log.add_failure(message);
        }
        super::print_error(message);
        self.raise_status(ExitStatus::CouldNotRun);
    }

    /// What to do next if all is well.
    pub fn next_if_clean(&mut self, next: String) {
        self.next_if_clean = Some(next);
    }

    /// The specs so far, and what became of each.
    pub fn specs(&self) -> &[json::JsonSpec] {
        &self.specs
    }

    /// Whether anything has to be mended before all is well.
    pub fn has_errors(&self) -> bool {
        self.status != ExitStatus::Clean
    }

    fn raise_status(&mut self, status: ExitStatus) {
        self.status = self.status.max(status);
    }

    /// Prints the summary of one turn of a watch, and gives what has been printed by
    /// now, for the next.
    pub fn finish_turn(mut self) -> PrintedFindings {
        let printed = self.printed.take().unwrap_or_default();
        // A watch says itself what is next.
        self.first_error = None;
        self.finish();
        printed
    }

    /// Prints the summary or the document, and tells how the run ended.
    pub fn finish(self) -> ExitStatus {
        match self.format {
            ReportFormat::Json(findings) => {
                let document = json::JsonDocument::new(findings, self.specs);
                let mut text = Vec::new();
                // Writing to memory cannot fail.
                let _ = document.write(&mut text);
                super::print_json(&String::from_utf8_lossy(&text));
            }
            ReportFormat::Sarif(log) => super::print_json(&log.finish(self.status)),
            ReportFormat::Text => {
                let [errors, warnings, notes] = self.counts;
                if !self.specs.is_empty() && (is_shown(Level::Usual) || errors > 0) {
                    print_stderr(&render::summary(errors, warnings, notes));
                }
                if let Some(slug) = self.first_error {
                    print_stderr(&format!(
                        "next: mend what is marked and run this again; `coldring explain {slug}` \
                         tells more of the first error"
                    ));
                } else if let (ExitStatus::Clean, Some(next)) = (self.status, &self.next_if_clean)
                    && is_shown(Level::Usual)
                {
                    print_stderr(&format!("next: {next}"));
                }
            }
        }
        self.status
    }
}

/// The findings of each spec that a watch has printed.
#[derive(Debug, Default)]
pub struct PrintedFindings(BTreeMap<String, Vec<Finding>>);

impl PrintedFindings {
    /// Of the findings of a spec, those that are new and those that were printed
    /// when it was last looked at. Where a finding stands does not count: a line
    /// that was put in above moves it.
    fn split_off_printed(
        &mut self,
        sources: &Sources,
        found: Vec<Finding>,
    ) -> (Vec<Finding>, Vec<Finding>) {
        let before = self.0.entry(sources.spec().name.clone()).or_default();
        let mut left = std::mem::replace(before, found.clone());
        found.into_iter().partition(|finding| {
            let same = |printed: &Finding| {
                (printed.rule.slug, printed.file, &printed.message)
                    == (finding.rule.slug, finding.file, &finding.message)
            };
            let place = left.iter().position(same);
            place.map(|place| left.swap_remove(place)).is_none()
        })
    }
}

fn is_error(finding: &Finding) -> bool {
    finding.severity() == Severity::Error
}

/// How many are errors, warnings and notes.
fn count(findings: &[Finding]) -> [usize; 3] {
    [Severity::Error, Severity::Warning, Severity::Note]
        .map(|severity| findings.iter().filter(|f| f.severity() == severity).count())
}
