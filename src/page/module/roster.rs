//! Who on a roster is qualified until when, as `coldring fusers` tells it, and the
//! wallet cards of `coldring cards`.

use serde::Deserialize;
use serde_json::{Value, json};

use super::{Answer, Answered, SpecText, as_bytes, as_json, json_findings, template_error};
use crate::core::budget;
use crate::core::finding::{Finding, Severity};
use crate::core::source::{Source, Sources};
use crate::page::memory::MemoryFiles;
use crate::papers::compile::{
    Checked, WalletOptions, WalletOrder, WalletOutcome, read_roster, wallet,
};
use crate::people::fusers::{Choice, Roster, Rules, calendar, evaluate, is_csv};
use crate::published::library;

#[derive(Debug, Deserialize)]
pub(super) struct RosterRequest {
    #[serde(flatten)]
    text: SpecText,
    /// The path of the roster.
    roster: String,
    /// Rule sets, which govern over those of the roster, as on the command line.
    #[serde(default)]
    rules: Vec<String>,
    /// How many days ahead an end is due soon.
    #[serde(default)]
    due_within: u32,
    /// The path of an earlier revision, to decide whether its specimens still count.
    #[serde(default)]
    earlier: Option<String>,
}

/// A roster that was read.
struct Read {
    source: Source,
    roster: Roster,
    rules: Rules,
    findings: Vec<Finding>,
}

impl RosterRequest {
    fn read(&self, files: &MemoryFiles) -> Result<Read, String> {
        let source = files.text(&self.roster, budget::ROSTER.bytes)?;
        let chosen: Result<Vec<_>, _> = { self.rules.iter() }
            .map(|rule| Choice::parse(rule))
            .collect();
        let csv = is_csv(&self.roster);
        let (roster, rules, findings) = read_roster(&source, csv, &chosen?, self.text.today);
        Ok(Read {
            source,
            roster,
            rules,
            findings,
        })
    }
}

impl Read {
    /// A row that was not read may be the joint that somebody failed.
    fn has_error(&self) -> bool {
        has_error(&self.findings)
    }

    fn findings(&self, severity: impl Fn(Severity) -> bool) -> Vec<Value> {
        let findings = self.findings.iter();
        let findings: Vec<_> = findings.filter(|it| severity(it.severity())).collect();
        findings_of(findings, &Sources::from(self.source.clone()))
    }
}

fn has_error(findings: &[Finding]) -> bool {
    let mut findings = findings.iter();
    findings.any(|finding| finding.severity() == Severity::Error)
}

fn findings_of<'f>(
    findings: impl IntoIterator<Item = &'f Finding>,
    sources: &Sources,
) -> Vec<Value> {
    let findings: Vec<_> = findings.into_iter().cloned().collect();
    let findings = json_findings(&findings, sources).into_iter();
    findings.map(|finding| json!(finding)).collect()
}

/// Findings, and the rows if there is no error.
pub(super) fn standings(files: &MemoryFiles, request: &RosterRequest) -> Answered {
    let read = request.read(files)?;
    let as_of = request.text.today;
    let standings = match read.has_error() {
        true => Vec::new(),
        false => evaluate(&read.roster, &read.rules, library(), as_of),
    };
    let rows = standings.iter().map(|standing| {
        json!({
            "name": standing.fuser.name.value,
            "badge": standing.fuser.badge.value,
            "procedure": standing.procedure(),
            "qualified": standing.qualified(),
            "valid_until": standing.valid_until.map(|day| day.to_string()),
            "days_left": standing.days_left(as_of),
            "due": standing.due_within(request.due_within, as_of),
            "reason": standing.reason,
            "rule": standing.rule.map(|rule| rule.word()),
            "source": standing.source,
            "basis": standing.basis.word(),
        })
    });
    let rows: Vec<_> = rows.collect();
    as_json(json!({
        "as_of": as_of.to_string(),
        "findings": read.findings(|_| true),
        "rows": rows,
    }))
}

/// The calendar of the days on which qualifications end.
pub(super) fn calendar_file(files: &MemoryFiles, request: &RosterRequest) -> Answered {
    let read = request.read(files)?;
    if read.has_error() {
        return Err(ERRORS.to_owned());
    }
    let as_of = request.text.today;
    let standings = evaluate(&read.roster, &read.rules, library(), as_of);
    as_bytes(calendar(&standings, request.due_within, as_of).into_bytes())
}

const ERRORS: &str = "the roster has errors; fix them first";

/// The files of cards one after the other, and for each row its card or why there is none.
pub(super) fn cards(files: &MemoryFiles, request: &RosterRequest) -> Answered {
    let read = request.read(files)?;
    if read.has_error() {
        return Err(ERRORS.to_owned());
    }
    let text = &request.text;
    let sources = text.sources(files);
    let sources = sources.map_err(|(_, finding)| finding.message.clone())?;
    let earlier = request.earlier.as_deref().map(|path| {
        let spec = files.text(path, budget::SPEC.bytes)?;
        let sources = files.sources(path, &spec.text, text.house.as_deref());
        sources.map_err(|(_, finding)| finding.message.clone())
    });
    let earlier: Vec<_> = earlier.transpose()?.into_iter().collect();
    let options = text.paper_options()?;
    let as_of = text.today;
    let standings = evaluate(&read.roster, &read.rules, library(), as_of);
    let outcome = wallet(&WalletOrder {
        specs: std::slice::from_ref(&sources),
        previous: &earlier,
        standings: &standings,
        rules: &read.rules,
        as_of,
        options: WalletOptions {
            combined: false,
            paper: options.paper,
            card_trim: options.card_trim,
            flip: options.flip,
            language: options.languages.first().copied(),
        },
        signer: None,
        threads: 1,
        made: &|_, _| (),
    });
    let outcome = outcome.map_err(|error| template_error(&error))?;
    let stops = has_error(&outcome.roster_findings);
    let mut findings = read.findings(|severity| severity == Severity::Error);
    let roster = Sources::from(read.source.clone());
    for (checked, sources) in { outcome.checked.iter().zip([&sources]) }
        .chain(outcome.previous_findings.iter().zip(&earlier))
    {
        findings.extend(findings_of(errors(checked), sources));
    }
    findings.extend(findings_of(&outcome.roster_findings, &roster));
    Ok(told(&outcome, &findings, stops))
}

fn errors(checked: &Checked) -> impl Iterator<Item = &Finding> {
    let findings = checked.findings.iter();
    findings.filter(|finding| finding.severity() == Severity::Error)
}

fn told(outcome: &WalletOutcome<'_>, findings: &[Value], stops: bool) -> Answer {
    let files = || outcome.files.iter().filter(|_| !stops);
    let about = files()
        .map(|file| json!({ "name": file.name, "cards": file.cards, "bytes": file.bytes.len() }));
    let rows = outcome.rows.iter().filter(|_| !stops).map(|row| {
        json!({
            "name": row.fuser.name.value,
            "badge": row.fuser.badge.value,
            "procedure": row.procedure,
            "valid_until": row.valid_until.map(|day| day.to_string()),
            "file": row.file,
            "reason": row.no_card_reason,
        })
    });
    Answer {
        json: json!({
            "findings": findings,
            "files": about.collect::<Vec<_>>(),
            "rows": rows.collect::<Vec<_>>(),
        }),
        bytes: files()
            .flat_map(|file| file.bytes.iter().copied())
            .collect(),
    }
}
