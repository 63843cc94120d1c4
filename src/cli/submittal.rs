//! `coldring submittal`: one PDF of a submittal's file and all that it names.

use std::path::Path;

use super::RunResult;
use super::args::SubmittalArguments;
use super::build::template_error;
use super::input::{self, Failure};
use super::output::write_files;
use super::report::{Report, is_error};
use super::sandbox::run_in_sandbox;
use super::verbosity::print_written;
use crate::core::budget;
use crate::core::sandbox::{Task, ask};
use crate::core::source::{HouseFile, Sources, Unavailable};
use crate::papers::compile::{CompiledSubmittal, submittal};
use crate::people::submittal::{
    Attachment, Enclosed, EnclosedProcedure, Fault, NamedProcedure, Pages, Submittal, decode,
};

pub(crate) fn run(arguments: &SubmittalArguments) -> RunResult {
    let mut report = Report::text().errors_only();
    let result = make_submittal(arguments, &mut report);
    Ok(report.finish_with(result))
}

/// Makes one submittal, as part of a report.
pub(crate) fn make_submittal(
    arguments: &SubmittalArguments,
    report: &mut Report,
) -> Result<(), Failure> {
    let house = input::read_house(arguments.house.as_deref())?;
    let source = input::read_text(&arguments.file, budget::SUBMITTAL.bytes)?;
    let sources = Sources::from(source)
        .with_sandbox(run_in_sandbox)
        .in_house(house.clone());
    let (decoded, mut findings) = decode(&sources.spec().text);
    let Some(decoded) = decoded else {
        report.add_findings(&sources, findings);
        return Ok(());
    };
    let enclosed = read_enclosed(&arguments.file, &decoded, &house);
    let made = submittal(
        &sources,
        &decoded,
        &enclosed,
        arguments.paper,
        arguments.as_of,
    )
    .map_err(|error| template_error(&sources, &error))?;
    let CompiledSubmittal {
        findings: found,
        file_findings,
        pdf,
    } = made;
    findings.extend(found);
    let has_error = findings.iter().any(is_error);
    for (sources, checked) in &file_findings {
        report.add_spec(sources, checked);
    }
    report.add_findings(&sources, findings);
    // The PDF is also made where part of the submittal's file could not be read.
    if let Some(pdf) = pdf.filter(|_| !has_error) {
        // In its own folder, since it names people and the manifest of the papers must not.
        let folder = format!(
            "{}-r{}-submittal",
            decoded.number.value, decoded.revision.value
        );
        let written = write_files(&arguments.out, &folder, [("submittal.pdf", pdf.as_slice())]);
        print_written(&written.map_err(|error| format!("{}: {error}", sources.spec().name))?);
    }
    Ok(())
}

/// Reads the files that a submittal names.
fn read_enclosed(file: &Path, submittal: &Submittal, house: &[HouseFile]) -> Enclosed {
    let roster = submittal.fusers.as_ref().map(|named| &named.roster);
    Enclosed {
        procedures: submittal
            .procedures
            .iter()
            .map(|named| read_procedure(file, named, house))
            .collect(),
        roster: roster.map(|path| input::read_enclosed_text(file, path, budget::ROSTER.bytes)),
        attachments: submittal
            .attachments
            .iter()
            .map(|named| read_attachment(file, &named.file))
            .collect(),
    }
}

fn read_procedure(file: &Path, named: &NamedProcedure, house: &[HouseFile]) -> EnclosedProcedure {
    let spec = |path: &String| {
        input::find_enclosed(file, path).and_then(|path| {
            input::read_spec(&path).map_err(|why| match why {
                Failure::Message(message) => Unavailable::Unreadable(message),
                Failure::Finding(_, finding) => Unavailable::Unreadable(finding.message),
            })
        })
    };
    let read = |path: &String| input::read_enclosed_text(file, path, budget::RECORD.bytes);
    EnclosedProcedure {
        spec: spec(&named.spec).map(|sources| sources.in_house(house.to_vec())),
        previous: named.previous.iter().map(|path| spec(path)).collect(),
        records: named.records.iter().map(|path| read(path)).collect(),
    }
}

/// A PDF to attach. Its pages are placed in the sandbox first: an untrusted PDF can
/// crash its reader.
fn read_attachment(file: &Path, named: &str) -> Result<Attachment, Fault> {
    let bytes = input::read_enclosed_bytes(file, named, budget::ATTACHMENT_BYTES);
    let bytes = bytes.map_err(Fault::Unavailable)?;
    let tried = ask::<_, Result<Pages, Fault>>(run_in_sandbox, Task::Attachment, &(), &[&bytes]);
    let (pages, _) = tried.map_err(|why| Fault::Stopped(why.to_string()))?;
    Ok(Attachment {
        pages: pages?,
        bytes,
    })
}
