//! The forms that go with a procedure: the qualification record, blank or filled
//! in from a record file, the joint log, the test sheet of a fuser and the lesson
//! sheet. Record and log are made from any spec that can be read, even one with errors:
//! joints are made to prove a draft. The two sheets that people learn times from are not.

use chrono::NaiveDate;

use super::in_house::house_findings;
use super::wallet::check_rule_set;
use super::{
    Checked, Identity, ParsedInputs, check_inputs, identity, languages, paper_date, to_json,
};
use crate::core::digest;
use crate::core::finding::{self, Finding, Severity};
use crate::core::source::{Role, Source, Sources};
use crate::core::units::print::with_decimal_mark;
use crate::papers::sheets::{Frame, PaperKind};
use crate::papers::typeset::{Page, Print, TypesetError, typeset};
use crate::people::fusers::Rules;
use crate::procedure::record::{Records, support};
use crate::procedure::resolve::resolve;
use crate::process::socket::sheets;
use crate::rules::Context;
use crate::spec::language::Language;
use crate::spec::{Paper, Status};

/// A form to be filled in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub(crate) enum FormKind {
    /// The qualification record of the procedure.
    Record,
    /// The joint log of a crew.
    JointLog,
    /// The test sheet of a fuser.
    TestSheet,
    /// The lesson sheet of a trainer.
    LessonSheet,
}

impl FormKind {
    const ALL: [FormKind; 4] = [
        FormKind::Record,
        FormKind::JointLog,
        FormKind::TestSheet,
        FormKind::LessonSheet,
    ];

    /// Whether people learn the procedure's times from it.
    fn teaches(self) -> bool {
        matches!(self, FormKind::TestSheet | FormKind::LessonSheet)
    }

    fn file_name(self) -> &'static str {
        match self {
            FormKind::Record => "record-form.pdf",
            FormKind::JointLog => "joint-log.pdf",
            FormKind::TestSheet => "test-sheet.pdf",
            FormKind::LessonSheet => "lesson-sheet.pdf",
        }
    }
}

/// What forms are asked for.
pub(crate) struct FormsOrder<'a> {
    pub(crate) sources: &'a Sources,
    /// Fills in its form, which is then the only one.
    pub(crate) record: Option<Source>,
    /// The blank forms to make; all if empty.
    pub(crate) only: &'a [FormKind],
    /// Rule sets for how long a fuser stays qualified, for the test sheet.
    pub(crate) rules: &'a Rules,
    /// The paper size, to override the spec's.
    pub(crate) paper: Option<Paper>,
    /// The language, to override the spec's.
    pub(crate) language: Option<Language>,
    /// The date that date rules compare with.
    pub(crate) as_of: NaiveDate,
}

/// The result of asking for forms.
#[derive(Debug)]
pub(crate) struct Forms {
    /// The spec and the record given by the user; findings point into both.
    pub(crate) sources: Sources,
    /// Findings about the spec if it cannot be read, otherwise about the record.
    pub(crate) checked: Checked,
    /// Number and revision, if forms were made.
    pub(crate) identity: Option<Identity>,
    /// File name and PDF of each form.
    pub(crate) files: Vec<(&'static str, Vec<u8>)>,
    /// Whether sheets that teach times are left out, since the spec has errors.
    pub(crate) withheld: bool,
    /// For the record given by the user: how many of its test joints count, and
    /// how many it has.
    pub(crate) counted: (usize, usize),
}

/// Makes the forms of a spec; given a record, fills in its form.
///
/// # Errors
/// [`TypesetError`] if one of our own templates fails.
pub(crate) fn forms(order: FormsOrder<'_>) -> Result<Forms, TypesetError> {
    let FormsOrder {
        sources,
        record,
        only,
        rules,
        paper,
        language,
        as_of,
    } = order;
    let spec_digest = digest::spec_digest(sources);
    let filled = record.is_some();
    let sources = match record {
        Some(record) => sources.clone().with(Role::Record, Ok(record)),
        None => sources.clone(),
    };
    let requested: Vec<_> = language.into_iter().collect();
    let inputs = ParsedInputs::read(&sources, &requested);
    let procedure = inputs.procedure();
    let Some(procedure) = procedure
        .filter(|_| !inputs.unread && !inputs.unprintable() && !inputs.house_has_errors(&sources))
    else {
        let procedure = inputs.procedure();
        let checked = check_inputs(&sources, &inputs, procedure.as_ref(), None, as_of);
        return Ok(Forms {
            sources,
            checked,
            identity: None,
            files: Vec::new(),
            withheld: false,
            counted: (0, 0),
        });
    };
    let (spec, as_issued) = (procedure.spec, &procedure);
    let (records, findings) = if filled {
        read_record(&sources, &inputs, as_of)
    } else {
        (Records::default(), Vec::new())
    };
    let of_record = resolve(spec, &inputs.limits).with_records(&records.files);
    let judged = support(&of_record, &inputs.limits).joints;
    let counted = judged.iter().filter(|joint| joint.counts()).count();
    let counted = (counted, judged.len());
    let paper = inputs.paper(paper, &procedure);
    let language = language.unwrap_or_else(|| languages(spec, &[]).0);
    let frame = || {
        let kind = PaperKind::Procedure;
        inputs.frame(Frame::new(as_issued, paper, &spec_digest, kind, language))
    };
    let print = |page, name: &str, sheet| {
        typeset(&Print {
            page,
            sheet,
            attached: Vec::new(),
            house: inputs.house_files(&sources),
            code: None,
            identity: format!("{} {spec_digest} {name}", spec.number.value),
            date: paper_date(spec),
        })
    };
    let mut of_rules = Vec::new();
    if !filled && (only.is_empty() || only.contains(&FormKind::TestSheet)) {
        check_rule_set(spec, rules, &mut of_rules);
    }
    // By a rule set that does not govern the work the sheet would state a wrong date.
    let wrong_rule = of_rules
        .iter()
        .any(|finding| finding.severity() == Severity::Error);
    let rule = rules
        .for_procedure(&spec.number.value)
        .filter(|_| !wrong_rule);
    let is_wanted = |kind: &FormKind| !filled && (only.is_empty() || only.contains(kind));
    let mut of_spec = match FormKind::ALL
        .iter()
        .any(|kind| is_wanted(kind) && kind.teaches())
    {
        true => check_inputs(&sources, &inputs, Some(&procedure), None, as_of).findings,
        false => Vec::new(),
    };
    of_spec.retain(|finding| finding.severity() == Severity::Error);
    let withheld = !of_spec.is_empty();
    let mark = language.decimal_mark(procedure.practice());
    // Nobody may work by a withdrawn procedure, nor be taught it.
    let withdrawn = spec.status.value == Status::Withdrawn;
    let kinds = FormKind::ALL.into_iter().filter(|kind| {
        is_wanted(kind)
            && (*kind == FormKind::Record || !withdrawn)
            && !(withheld && kind.teaches())
    });
    let make = || -> Result<Vec<(&'static str, Vec<u8>)>, TypesetError> {
        let mut files = Vec::new();
        let limits = &inputs.limits;
        let mut add = |name, (page, sheet): (Page, Result<String, TypesetError>)| {
            files.push((name, print(page, name, sheet?)?));
            Ok::<(), TypesetError>(())
        };
        let record_sheet = || {
            let sheet = sheets::record(&of_record, filled, limits, frame());
            (Page::Record, to_json(&sheet))
        };
        if filled && !records.files.is_empty() {
            add(FILLED, with_decimal_mark(mark, record_sheet))?;
        }
        for kind in kinds {
            let made = with_decimal_mark(mark, || match kind {
                FormKind::Record => record_sheet(),
                FormKind::JointLog => {
                    let sheet = sheets::joint_log(&procedure, frame());
                    (Page::JointLog, to_json(&sheet))
                }
                FormKind::TestSheet => {
                    let sheet = sheets::test_sheet(&procedure, rule, limits, frame());
                    (Page::TestSheet, to_json(&sheet))
                }
                FormKind::LessonSheet => {
                    let sheet = sheets::lesson_sheet(&procedure, limits, frame());
                    (Page::LessonSheet, to_json(&sheet))
                }
            });
            add(kind.file_name(), made)?;
        }
        inputs.check_clauses(&sources, &frame().words)?;
        Ok(files)
    };
    let mut checked = Checked {
        identity: Some(identity(spec)),
        spec_digest: spec_digest.clone(),
        findings,
    };
    checked.findings.extend(of_spec);
    checked.findings.extend(of_rules);
    let files = match make() {
        Ok(files) => files,
        Err(error) => {
            checked.findings.extend(house_findings(&inputs, error)?);
            Vec::new()
        }
    };
    Ok(Forms {
        identity: Some(identity(spec)),
        checked,
        files,
        withheld,
        counted,
        sources,
    })
}

/// The form of a record, filled in.
pub(super) const FILLED: &str = "record.pdf";

/// The record given by the user, and the findings about it.
fn read_record(
    sources: &Sources,
    inputs: &ParsedInputs,
    as_of: NaiveDate,
) -> (Records, Vec<Finding>) {
    let mut records = Records::default();
    let last = sources.all_of_role(Role::Record).last();
    let (Some(Ok((file, source))), Some(spec)) = (last, &inputs.spec) else {
        return (records, Vec::new());
    };
    // The spec may not name the record, so findings point at its status instead.
    let named_at = spec.status.span;
    records.add(file, named_at, source);
    let procedure = resolve(spec, &inputs.limits).with_records(&records.files);
    let mut findings = crate::process::check(&Context {
        procedure: &procedure,
        limits: &inputs.limits,
        as_of,
        unread: records.unread,
        advice: None,
    });
    findings.extend(records.findings.iter().chain(&inputs.findings).cloned());
    findings.retain(|finding| finding.file == file);
    findings.iter_mut().for_each(|finding| {
        // Drop locations in the spec: it may not name the record.
        finding.related.retain(|related| related.file == file);
    });
    finding::sort(&mut findings);
    // A partly read record would print as if it were complete.
    if records.unread {
        records.files.clear();
    }
    (records, findings)
}
