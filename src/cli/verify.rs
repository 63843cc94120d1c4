//! `coldring verify`: what the signed code of a paper proves.

pub(super) mod answer;

use std::path::Path;

use super::args::{Format, VerifyArguments};
use super::input::{self, Failure, is_csv, read_bytes};
use super::keys::read_public;
use super::sandbox::run_in_sandbox;
use super::{ExitStatus, RunResult, print, print_json};
use crate::core::budget;
use crate::core::sandbox::{Task, ask};
use crate::core::source::Source;
use crate::verify::{PaperContents, PaperReport, Register, Verifier};

pub(crate) fn run(arguments: &VerifyArguments) -> RunResult {
    let report = report(arguments, &verifier(arguments)?)?;
    let as_of = input::date_or_today(arguments.as_of);
    match arguments.format {
        Format::Text => print(&report.text(as_of)),
        Format::Json => print_json(&answer::json(&report, as_of)),
    }
    Ok(if report.holds() {
        ExitStatus::Clean
    } else {
        ExitStatus::Errors
    })
}

fn verifier(arguments: &VerifyArguments) -> Result<Verifier, String> {
    let trusted = arguments.trust.iter().map(|path| read_public(path));
    let records = arguments.record.iter().map(|path| text(path));
    Ok(Verifier {
        trusted: trusted.collect::<Result<_, _>>()?,
        register: arguments.register.as_deref().map(register).transpose()?,
        as_of: input::date_or_today(arguments.as_of),
        spec: match &arguments.spec {
            Some(path) => Some(input::read_spec(path).map_err(Failure::into_message)?),
            None => None,
        },
        records: records.collect::<Result<_, _>>()?,
        house: input::read_house(arguments.house.as_deref())?,
        required: arguments.require.clone(),
        sandbox: Some(run_in_sandbox),
    })
}

fn text(path: &Path) -> Result<Source, String> {
    // The limit for a record also serves for a register.
    input::read_text(path, budget::RECORD.bytes).map_err(Failure::into_message)
}

fn register(path: &Path) -> Result<Register, String> {
    let source = text(path)?;
    let read = if is_csv(path) {
        Register::from_csv(&source.text)
    } else {
        Register::from_yaml(&source.text)
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

fn report(arguments: &VerifyArguments, verifier: &Verifier) -> Result<PaperReport, String> {
    match (&arguments.pdf, &arguments.text) {
        (Some(path), _) => {
            let name = path.display().to_string();
            let bytes = read_bytes(path, budget::VERIFIED_BYTES)?;
            let contents = read_in_sandbox(bytes).map_err(|error| {
                format!(
                    "cannot verify {name}: {error}; give a PDF that a reader opens, or the text \
                     of a code with --text"
                )
            })?;
            Ok(PaperReport::on_file(name, contents, verifier))
        }
        (None, Some(text)) => Ok(PaperReport::on_text(text, verifier)),
        (None, None) => Err("give a PDF or --text".to_owned()),
    }
}

/// Reads an untrusted file in the sandbox.
fn read_in_sandbox(bytes: Vec<u8>) -> Result<PaperContents, String> {
    type Answer = Result<(PaperContents, Vec<String>), String>;
    let (contents, attached) = ask::<_, Answer>(run_in_sandbox, Task::Verify, &(), &[&bytes])
        .map_err(|why| format!("reading it {why}, so nothing is proven"))?;
    let (contents, names) = contents?;
    Ok(contents.with(bytes, names, attached))
}
