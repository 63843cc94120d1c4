//! Gathers what became of each spec and prints it, for people or for programs.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use super::args::{CheckFormat, Format};
use super::input::Failure;
use super::verbosity::{Level, is_shown};
use super::{ExitStatus, brief, json, print_stderr, render, sarif};
use crate::core::digest;
use crate::core::finding::{Finding, Severity};
use crate::core::finding_json::{JsonFinding, json_finding};
use crate::core::source::Sources;
use crate::papers::compile::Checked;
use crate::people::{fusers, submittal, wallet};

/// Most findings of one spec that are printed for people; nobody reads more
/// before fixing the first.
const MOST_SHOWN: usize = 200;

impl From<Format> for CheckFormat {
    fn from(format: Format) -> Self {
        match format {
            Format::Text => CheckFormat::Text,
            Format::Json => CheckFormat::Json,
        }
    }
}

/// What a run has found and written so far.
pub(crate) struct Report {
    format: CheckFormat,
    /// For JSON.
    findings: Vec<JsonFinding>,
    sarif: sarif::SarifLog,
    specs: Vec<json::JsonSpec>,
    /// Errors, warnings and notes.
    counts: [usize; 3],
    /// The rule of the first error.
    first_error: Option<&'static str>,
    /// The command to suggest where there are no errors.
    next_if_clean: Option<String>,
    /// What earlier turns of a watch printed.
    printed: Option<PrintedFindings>,
    /// Whether findings are shown with the lines of the spec and the reasons, however
    /// many there are.
    explains: bool,
    /// The option that shows them so.
    explain_option: &'static str,
    /// Whether some findings were printed in a line each.
    brief: bool,
    /// Whether only the errors of specs are printed.
    errors_only: bool,
    /// Whether the counts hold what the thermal estimate finds.
    estimated: bool,
    /// The specs with warnings or notes that were not printed.
    unprinted: Vec<String>,
    status: ExitStatus,
}

impl Report {
    pub(crate) fn new(format: impl Into<CheckFormat>) -> Self {
        Self {
            format: format.into(),
            findings: Vec::new(),
            sarif: sarif::SarifLog::default(),
            specs: Vec::new(),
            counts: [0; 3],
            first_error: None,
            next_if_clean: None,
            printed: None,
            explains: is_shown(Level::Verbose),
            explain_option: "-v",
            brief: false,
            errors_only: false,
            estimated: true,
            unprinted: Vec::new(),
            status: ExitStatus::Clean,
        }
    }

    /// A report for people.
    pub(crate) fn text() -> Self {
        Self::new(Format::Text)
    }

    /// The same that shows the lines of the spec and the reasons of all findings.
    pub(crate) fn explaining(self, explains: bool) -> Self {
        Self {
            explains: self.explains || explains,
            explain_option: "--explain",
            ..self
        }
    }

    /// The same that prints only the errors of the specs, which `check` lists.
    pub(crate) fn errors_only(self) -> Self {
        Self {
            errors_only: true,
            ..self
        }
    }

    /// The same whose findings are those of `check` without `--heat`, unless `estimated`.
    pub(crate) fn with_estimates(self, estimated: bool) -> Self {
        Self { estimated, ..self }
    }

    /// A report for people that does not print findings again.
    pub(crate) fn continuing(printed: PrintedFindings) -> Self {
        Self {
            printed: Some(printed),
            ..Self::text()
        }
    }

    /// Adds a spec; for people its findings are printed at once.
    pub(crate) fn add_spec(&mut self, sources: &Sources, checked: &Checked) {
        self.add_built_spec(sources, checked, Vec::new(), Vec::new());
    }

    /// Adds the findings of a file that is no spec, if there are any: all are printed.
    pub(crate) fn add_findings(&mut self, sources: &Sources, findings: Vec<Finding>) {
        if !findings.is_empty() {
            let errors_only = std::mem::replace(&mut self.errors_only, false);
            self.add_spec(sources, &without_identity(sources, findings));
            self.errors_only = errors_only;
        }
    }

    /// Adds a spec with the paths of its papers, and the papers that are withheld.
    pub(crate) fn add_built_spec(
        &mut self,
        sources: &Sources,
        checked: &Checked,
        written: Vec<String>,
        withheld: Vec<json::WithheldPaper>,
    ) {
        match self.format {
            CheckFormat::Text => self.print_findings(sources, &checked.findings),
            CheckFormat::Json => {
                let findings = checked.findings.iter();
                let findings = findings.map(|f| json_finding(f, sources));
                self.findings.extend(findings);
            }
            CheckFormat::Sarif => self.sarif.add_findings(&checked.findings, sources),
        }
        if let Some(error) = checked.findings.iter().find(|f| is_error(f)) {
            self.first_error.get_or_insert(error.rule.slug);
            self.raise_status(ExitStatus::Errors);
        }
        for (sum, count) in self.counts.iter_mut().zip(count(&checked.findings)) {
            *sum += count;
        }
        let identity = checked.identity.as_ref();
        self.specs.push(json::json_spec(
            sources.spec().name.clone(),
            identity.map(|id| (id.number.clone(), id.revision)),
            checked.spec_digest.clone(),
            &checked.findings,
            written,
            withheld,
        ));
    }

    /// Prints findings for people: with `--quiet` only errors, in a watch only those
    /// not printed before.
    fn print_findings(&mut self, sources: &Sources, findings: &[Finding]) {
        let all = is_shown(Level::Usual) && (!self.errors_only || self.explains);
        let shows_usual = is_shown(Level::Usual);
        let is_wanted = |finding: &&Finding| {
            all || is_error(finding) || (shows_usual && is_about_people(finding))
        };
        if self.errors_only && !all && !findings.iter().all(|f| is_wanted(&f)) {
            self.unprinted.push(sources.spec().name.clone());
        }
        let mut shown: Vec<Finding> = findings.iter().filter(is_wanted).cloned().collect();
        // What the reader can fix comes first; sources that disagree they cannot fix.
        shown.sort_by_key(|f| (Reverse(f.severity()), f.rule.about_sources));
        let mut still = Vec::new();
        if let Some(printed) = &mut self.printed {
            (shown, still) = printed.split_off_printed(sources, shown);
        }
        let rest = shown.len().saturating_sub(MOST_SHOWN);
        shown.truncate(MOST_SHOWN);
        if !shown.is_empty() {
            self.brief |= !self.explains && brief::is_enough(shown.len());
            super::print_findings(&match self.explains || !brief::is_enough(shown.len()) {
                true => render::render(&shown, sources, super::color(), self.explains),
                false => brief::render(&shown, sources, super::color()),
            });
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
                // All errors may be new.
                0 => format!(
                    "as before in {name}: {}",
                    summary.trim_start_matches("no errors, ")
                ),
                _ => format!("still {summary} in {name}"),
            });
        }
    }

    /// Adds something that could not be read or run.
    pub(crate) fn add_failure(&mut self, failure: impl Into<Failure>) {
        match failure.into() {
            Failure::Message(message) => {
                self.sarif.add_failure(&message);
                super::print_error(&message);
                self.raise_status(ExitStatus::CouldNotRun);
            }
            Failure::Finding(sources, finding) => self.add_findings(&sources, vec![*finding]),
        }
    }

    /// Sets the command to suggest where there are no errors.
    pub(crate) fn next_if_clean(&mut self, next: String) {
        self.next_if_clean = Some(next);
    }

    pub(crate) fn specs(&self) -> &[json::JsonSpec] {
        &self.specs
    }

    pub(crate) fn has_errors(&self) -> bool {
        self.status != ExitStatus::Clean
    }

    fn raise_status(&mut self, status: ExitStatus) {
        self.status = self.status.max(status);
    }

    /// Prints the summary of one turn of a watch; returns what is printed by now.
    pub(crate) fn finish_turn(mut self) -> PrintedFindings {
        let printed = self.printed.take().unwrap_or_default();
        // A watch prints its own next step.
        self.first_error = None;
        self.finish();
        printed
    }

    /// Adds the failure, if the command had one, and ends the report.
    pub(crate) fn finish_with(mut self, result: Result<(), Failure>) -> ExitStatus {
        if let Err(failure) = result {
            self.add_failure(failure);
        }
        self.finish()
    }

    /// Prints the summary or the document.
    pub(crate) fn finish(self) -> ExitStatus {
        match self.format {
            CheckFormat::Json => {
                super::print_json(&json::JsonDocument::new(self.findings, self.specs));
            }
            CheckFormat::Sarif => super::print_json(&self.sarif.finish(self.status)),
            CheckFormat::Text => {
                let [errors, warnings, notes] = self.counts;
                if !self.specs.is_empty() && (is_shown(Level::Usual) || errors > 0) {
                    let summary = render::summary(errors, warnings, notes);
                    let check = if self.estimated {
                        "check --heat"
                    } else {
                        "check"
                    };
                    print_stderr(&match self.unprinted.as_slice() {
                        [] if self.brief => {
                            let option = self.explain_option;
                            format!("{summary}; {option} shows each with its lines and why")
                        }
                        [] => summary,
                        [spec] => format!("{summary}: coldring {check} {spec} lists them"),
                        _ => format!("{summary}: coldring {check} SPEC lists those of a spec"),
                    });
                }
                if let Some(slug) = self.first_error {
                    print_stderr(&format!(
                        "next: fix what is marked and run this again; `coldring explain {slug}` \
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
pub(crate) struct PrintedFindings(BTreeMap<String, Vec<Finding>>);

impl PrintedFindings {
    /// Splits the findings of a spec into new ones and those printed in the last
    /// turn. Places do not count: a line inserted above moves a finding.
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

/// Findings of a file that is not read as a spec.
pub(crate) fn without_identity(sources: &Sources, findings: Vec<Finding>) -> Checked {
    Checked {
        identity: None,
        spec_digest: digest::spec_digest(sources),
        findings,
    }
}

pub(crate) fn is_error(finding: &Finding) -> bool {
    finding.severity() == Severity::Error
}

/// Whether it is about the people of a job, which `check` knows nothing of.
fn is_about_people(finding: &Finding) -> bool {
    let rules = [
        wallet::rules::RULES,
        submittal::rules::RULES,
        fusers::rules::RULES,
    ];
    let mut rules = rules.into_iter().flatten();
    rules.any(|rule| rule.slug == finding.rule.slug)
}

/// How many are errors, warnings and notes.
fn count(findings: &[Finding]) -> [usize; 3] {
    [Severity::Error, Severity::Warning, Severity::Note]
        .map(|severity| findings.iter().filter(|f| f.severity() == severity).count())
}
