//! Gathers what became of each spec and prints it, for people or for programs.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use super::args::{CheckFormat, Format};
use super::level::{Level, says};
use super::{Ending, findings_to_stderr, json, render, sarif, to_stderr};
use crate::core::finding::{Finding, Severity};
use crate::core::source::Sources;
use crate::papers::compile::Checked;

/// Most findings of one spec that are printed for people; nobody reads more
/// before mending the first.
const MOST_SHOWN: usize = 200;

/// What a report comes out as.
pub enum Shape {
    /// For people, on standard error, as it comes.
    Text,
    /// One document at the end.
    Json(Vec<json::JsonFinding>),
    /// One log at the end.
    Sarif(sarif::Run),
}

impl From<Format> for Shape {
    fn from(format: Format) -> Self {
        match format {
            Format::Text => Shape::Text,
            Format::Json => Shape::Json(Vec::new()),
        }
    }
}

impl From<CheckFormat> for Shape {
    fn from(format: CheckFormat) -> Self {
        match format {
            CheckFormat::Text => Shape::Text,
            CheckFormat::Json => Shape::Json(Vec::new()),
            CheckFormat::Sarif => Shape::Sarif(sarif::Run::default()),
        }
    }
}

/// What a run has found and written so far.
pub struct Report {
    shape: Shape,
    specs: Vec<json::JsonSpec>,
    /// Errors, warnings and notes.
    counts: [usize; 3],
    /// The rule of the first error.
    first_error: Option<&'static str>,
    if_clean: Option<String>,
    /// What earlier runs of a watch told.
    told: Option<Told>,
    ending: Ending,
}

impl Report {
    /// A report that will be printed in a format.
    pub fn new(format: impl Into<Shape>) -> Self {
        Self {
            shape: format.into(),
            specs: Vec::new(),
            counts: [0; 3],
            first_error: None,
            if_clean: None,
            told: None,
            ending: Ending::Clean,
        }
    }

    /// A report for people that does not print again what was told before.
    pub fn after(told: Told) -> Self {
        Self {
            told: Some(told),
            ..Self::new(Format::Text)
        }
    }

    /// Takes in one spec; its findings are printed at once for people.
    pub fn spec(&mut self, sources: &Sources, checked: &Checked, written: Vec<String>) {
        self.built(sources, checked, written, Vec::new());
    }

    /// The same, with the papers that could not be made of it.
    pub fn built(
        &mut self,
        sources: &Sources,
        checked: &Checked,
        written: Vec<String>,
        withheld: Vec<json::WithheldPaper>,
    ) {
        let counts = count(&checked.findings);
        if let Shape::Text = self.shape {
            self.show(sources, &checked.findings);
        }
        match &mut self.shape {
            Shape::Text => {}
            Shape::Json(findings) => {
                findings.extend(checked.findings.iter().map(|f| json::finding(f, sources)));
            }
            Shape::Sarif(run) => run.take(&checked.findings, sources),
        }
        let mut errors = checked.findings.iter().filter(|f| is_error(f));
        if let Some(error) = errors.next() {
            self.first_error.get_or_insert(error.rule.slug);
            self.ends(Ending::Errors);
        }
        for (sum, count) in self.counts.iter_mut().zip(counts) {
            *sum += count;
        }
        self.specs.push(json::spec(
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
    /// what it has not told before.
    fn show(&mut self, sources: &Sources, findings: &[Finding]) {
        let heard = |finding: &&Finding| says(Level::Usual) || is_error(finding);
        let mut shown: Vec<Finding> = findings.iter().filter(heard).cloned().collect();
        // A person first reads what they can mend; sources that disagree they cannot.
        shown.sort_by_key(|f| (Reverse(f.severity()), f.rule.about_sources));
        let mut still = Vec::new();
        if let Some(told) = &mut self.told {
            (shown, still) = told.parted(sources, shown);
        }
        let rest = shown.len().saturating_sub(MOST_SHOWN);
        shown.truncate(MOST_SHOWN);
        if !shown.is_empty() {
            findings_to_stderr(&render::render(&shown, sources, super::color()));
        }
        if rest > 0 {
            to_stderr(&format!(
                "... and {rest} more findings; --format json lists them all"
            ));
        }
        if !still.is_empty() {
            let [errors, warnings, notes] = count(&still);
            let name = &sources.spec().name;
            let summary = render::summary(errors, warnings, notes);
            to_stderr(&match errors {
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
    pub fn failed(&mut self, message: &str) {
        if let Shape::Sarif(run) = &mut self.shape {
            run.failed(message);
        }
        super::complain(message);
        self.ends(Ending::CouldNotRun);
    }

    /// What to do next if all is well.
    pub fn if_clean(&mut self, next: String) {
        self.if_clean = Some(next);
    }

    /// The specs so far, and what became of each.
    pub fn specs(&self) -> &[json::JsonSpec] {
        &self.specs
    }

    /// Whether anything has to be mended before all is well.
    pub fn has_errors(&self) -> bool {
        self.ending != Ending::Clean
    }

    fn ends(&mut self, ending: Ending) {
        self.ending = self.ending.max(ending);
    }

    /// Prints the summary of one turn of a watch, and gives what has been told by
    /// now, for the next.
    pub fn finish_turn(mut self) -> Told {
        let told = self.told.take().unwrap_or_default();
        // A watch says itself what is next.
        self.first_error = None;
        self.finish();
        told
    }

    /// Prints the summary or the document, and tells how the run ended.
    pub fn finish(self) -> Ending {
        match self.shape {
            Shape::Json(findings) => {
                let document = json::JsonDocument::new(findings, self.specs);
                let mut text = Vec::new();
                // Writing to memory cannot fail.
                let _ = document.write(&mut text);
                super::print_json(&String::from_utf8_lossy(&text));
            }
            Shape::Sarif(run) => super::print_json(&run.log(self.ending)),
            Shape::Text => {
                let [errors, warnings, notes] = self.counts;
                if !self.specs.is_empty() && (says(Level::Usual) || errors > 0) {
                    to_stderr(&render::summary(errors, warnings, notes));
                }
                if let Some(slug) = self.first_error {
                    to_stderr(&format!(
                        "next: mend what is marked and run this again; `coldring explain {slug}` \
                         tells more of the first error"
                    ));
                } else if let (Ending::Clean, Some(next)) = (self.ending, &self.if_clean)
                    && says(Level::Usual)
                {
                    to_stderr(&format!("next: {next}"));
                }
            }
        }
        self.ending
    }
}

/// The findings of each spec that a watch has printed.
#[derive(Debug, Default)]
pub struct Told(BTreeMap<String, Vec<Finding>>);

impl Told {
    /// Of the findings of a spec, those that are new and those that were told
    /// when it was last looked at. Where a finding stands does not count: a line
    /// that was put in above moves it.
    fn parted(&mut self, sources: &Sources, found: Vec<Finding>) -> (Vec<Finding>, Vec<Finding>) {
        let before = self.0.entry(sources.spec().name.clone()).or_default();
        let mut left = std::mem::replace(before, found.clone());
        found.into_iter().partition(|finding| {
            let same = |told: &Finding| {
                (told.rule.slug, told.file, &told.message)
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
