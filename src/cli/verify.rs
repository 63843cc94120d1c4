//! `coldring verify`: what the signed code of a paper proves.

mod answer;

use std::path::Path;

use super::ExitStatus;
use super::args::{self, Format, VerifyArguments};
use super::input::{self, ReadError, read_bytes};
use super::keys::read_public;
use super::sandbox::run_in_sandbox;
use crate::core::budget;
use crate::core::sandbox::{Task, ask};
use crate::core::source::Source;
use crate::verify::{CodeReport, PaperContents, Register, Requirement, Verdict, Verifier};

/// What came out for a paper.
struct Outcome {
    /// The paper, as the user named it.
    paper: String,
    /// Each code that was found.
    answers: Vec<CodeReport>,
    /// What is to be said of the file as a whole.
    remarks: Vec<(Verdict, String)>,
}

/// Verifies a paper.
pub fn run(arguments: &VerifyArguments) -> ExitStatus {
    let outcome = verifier(arguments).and_then(|verifier| outcome(arguments, verifier));
    match outcome {
        Ok(outcome) => {
            let as_of = input::date_or_today(arguments.as_of);
            match arguments.format {
                Format::Text => super::print(&answer::text(&outcome, as_of)),
                Format::Json => super::print_json(&answer::json(&outcome, as_of)),
            }
            match outcome.holds() {
                true => ExitStatus::Clean,
                false => ExitStatus::Errors,
            }
        }
        Err(message) => {
            super::print_error(&message);
            ExitStatus::CouldNotRun
        }
    }
}

impl Outcome {
    /// Whether no check fails, and nothing is to be said of the file as a whole.
    fn holds(&self) -> bool {
        let mut checks = self.answers.iter().flat_map(|answer| &answer.checks);
        self.remarks.is_empty() && checks.all(|check| !check.fails)
    }
}

fn verifier(arguments: &VerifyArguments) -> Result<Verifier, String> {
    let trusted = arguments.trust.iter().map(|path| read_public(path));
    let house = arguments.house.as_deref().map(input::read_house);
    let records = arguments.record.iter().map(|path| text(path));
    Ok(Verifier {
        trusted: trusted.collect::<Result<_, _>>()?,
        register: arguments.register.as_deref().map(register).transpose()?,
        as_of: input::date_or_today(arguments.as_of),
        spec: match &arguments.spec {
            Some(path) => Some(input::read_spec(path).map_err(ReadError::into_message)?),
            None => None,
        },
        records: records.collect::<Result<_, _>>()?,
        house: house.transpose()?.unwrap_or_default(),
        required: arguments.require.iter().copied().map(required).collect(),
        sandbox: Some(run_in_sandbox),
    })
}

fn required(what: args::Required) -> Requirement {
    match what {
        args::Required::Spec => Requirement::Spec,
        args::Required::Pages => Requirement::Pages,
        args::Required::Register => Requirement::Register,
    }
}

fn text(path: &Path) -> Result<Source, String> {
    // A record and a register may have as much as each other.
    input::read_text(path, budget::RECORD.bytes).map_err(ReadError::into_message)
}

fn register(path: &Path) -> Result<Register, String> {
    let source = text(path)?;
    let ending = path.extension().and_then(|ending| ending.to_str());
    let csv = ending.is_some_and(|ending| ending.eq_ignore_ascii_case("csv"));
    let read = match csv {
        true => Register::from_csv(&source.text),
        false => Register::from_yaml(&source.text),
    };
    read.map_err(|wrong| {
        let wrong: Vec<_> = wrong.iter().map(|line| format!("\n  {line}")).collect();
        format!(
            "cannot use the register {}; `coldring verify --help` shows one:{}",
            source.name,
            wrong.concat()
        )
    })
}

fn outcome(arguments: &VerifyArguments, verifier: Verifier) -> Result<Outcome, String> {
    match (&arguments.pdf, &arguments.text) {
        (Some(path), _) => {
            let name = path.display().to_string();
            let bytes = read_bytes(path, budget::VERIFIED_BYTES)?;
            let looked = read_in_sandbox(bytes);
            let looked = looked.map_err(|error| {
                format!(
                    "cannot verify {name}: {error}; give a PDF that a reader opens, or the text \
                     of a code with --text"
                )
            })?;
            let (answers, remarks) = answers(looked, &verifier);
            Ok(Outcome {
                paper: name,
                answers,
                remarks,
            })
        }
        (None, Some(text)) => Ok(Outcome {
            paper: "the text".to_owned(),
            answers: vec![verifier.answer(Vec::new(), text.trim().to_owned(), None)],
            remarks: Vec::new(),
        }),
        (None, None) => Err("give a PDF or --text".to_owned()),
    }
}

/// Looks at a file from anybody, in a process of its own.
fn read_in_sandbox(bytes: Vec<u8>) -> Result<PaperContents, String> {
    type Answer = Result<(PaperContents, Vec<String>), String>;
    let (looked, attached) = ask::<_, Answer>(run_in_sandbox, Task::Verify, &(), &[&bytes])
        .map_err(|why| format!("reading it {why}, so nothing is proven"))?;
    let (mut looked, names) = looked?;
    looked.pdf.attached = names.into_iter().zip(attached).collect();
    looked.pdf.bytes = bytes;
    Ok(looked)
}

fn answers(
    looked: PaperContents,
    verifier: &Verifier,
) -> (Vec<CodeReport>, Vec<(Verdict, String)>) {
    let PaperContents { pdf, seen } = looked;
    let mut remarks = Vec::new();
    if seen.codes.is_empty() {
        let said = "no signed code was found on the pages, so nothing is proven".to_owned();
        remarks.push((Verdict::Missing, said));
    }
    if seen.unseen > 0 {
        let said = format!("{} of {} pages were not looked at", seen.unseen, seen.pages);
        remarks.push((Verdict::Missing, said));
    }
    let answers = seen.codes.into_iter();
    let answers = answers.map(|(text, pages)| verifier.answer(pages, text, Some(&pdf)));
    (answers.collect(), remarks)
}
