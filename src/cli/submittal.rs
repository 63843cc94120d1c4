//! `coldring submittal`: one PDF of a submittal's file and all that it names.

use std::path::Path;

use super::ExitStatus;
use super::args::{Format, SubmittalArguments};
use super::check::unread;
use super::input::{self, ReadError};
use super::output::{OutputError, OutputFolder};
use super::report::Report;
use super::sandbox::run_in_sandbox;
use super::verbosity::print_status;
use crate::core::budget;
use crate::core::digest;
use crate::core::finding::Finding;
use crate::core::sandbox::{Task, ask};
use crate::core::source::{HouseFile, Sources, Unavailable};
use crate::papers::compile::{Checked, CompiledSubmittal, submittal};
use crate::papers::typeset::TypesetError;
use crate::people::submittal::{
    Attachment, Enclosed, EnclosedProcedure, Fault, NamedProcedure, Pages, Submittal, decode,
};

/// The file that is written.
const FILE: &str = "submittal.pdf";

/// Makes one submittal.
pub fn run(arguments: &SubmittalArguments) -> ExitStatus {
    let mut report = Report::new(Format::Text);
    bind(arguments, &mut report);
    report.finish()
}

/// Makes one submittal, as part of a report.
pub fn bind(arguments: &SubmittalArguments, report: &mut Report) {
    let house = arguments.house.as_deref().map(input::read_house);
    match (
        input::read_text(&arguments.file, budget::SUBMITTAL.bytes),
        house.transpose(),
    ) {
        (_, Err(message)) | (Err(ReadError::Io(message)), _) => report.add_failure(&message),
        (Err(ReadError::Rejected(sources, finding)), _) => {
            report.add_spec(&sources, &unread(&sources, *finding), Vec::new());
        }
        (Ok(source), Ok(house)) => {
            let house = house.unwrap_or_default();
            let sources = Sources::from(source)
                .with_sandbox(run_in_sandbox)
                .in_house(house.clone());
            make(arguments, &sources, &house, report);
        }
    }
}

fn make(
    arguments: &SubmittalArguments,
    sources: &Sources,
    house: &[HouseFile],
    report: &mut Report,
) {
    let (of, mut findings) = decode(&sources.spec().text);
    let Some(of) = of else {
        return report.add_spec(sources, &checked(sources, findings), Vec::new());
    };
    let enclosed = enclosed(&arguments.file, &of, house);
    let made = submittal(sources, &of, &enclosed, arguments.paper, arguments.as_of);
    let made = match made {
        Ok(made) => made,
        Err(error) => return report.add_failure(&failed(sources, &error)),
    };
    let CompiledSubmittal {
        findings: found,
        of_files,
        pdf,
    } = made;
    findings.extend(found);
    let has_error = findings
        .iter()
        .any(|finding| finding.severity() == crate::core::finding::Severity::Error);
    for (sources, checked) in &of_files {
        report.add_spec(sources, checked, Vec::new());
    }
    if !findings.is_empty() {
        report.add_spec(sources, &checked(sources, findings), Vec::new());
    }
    // What of the file could not be read is an error found before.
    let Some(pdf) = pdf.filter(|_| !has_error) else {
        return;
    };
    match write(&arguments.out, &of, &pdf) {
        Ok(path) => print_status(&format!("wrote {path}\n")),
        Err(error) => report.add_failure(&format!("{}: {error}", sources.spec().name)),
    }
}

fn checked(sources: &Sources, findings: Vec<Finding>) -> Checked {
    Checked {
        identity: None,
        spec_digest: digest::spec_digest(sources),
        findings,
    }
}

fn failed(sources: &Sources, error: &TypesetError) -> String {
    super::build::template_error(sources, error)
}

/// Reads all that a submittal names.
fn enclosed(file: &Path, of: &Submittal, house: &[HouseFile]) -> Enclosed {
    let roster = of.fusers.as_ref().map(|named| &named.roster);
    Enclosed {
        procedures: of
            .procedures
            .iter()
            .map(|named| procedure(file, named, house))
            .collect(),
        roster: roster.map(|path| input::read_enclosed_text(file, path, budget::ROSTER.bytes)),
        attachments: of
            .attachments
            .iter()
            .map(|named| attachment(file, &named.file))
            .collect(),
    }
}

fn procedure(file: &Path, named: &NamedProcedure, house: &[HouseFile]) -> EnclosedProcedure {
    let spec = |path: &String| {
        input::find_enclosed(file, path).and_then(|path| {
            input::read_spec(&path).map_err(|why| match why {
                ReadError::Io(message) => Unavailable::Unreadable(message),
                ReadError::Rejected(_, finding) => Unavailable::Unreadable(finding.message),
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

/// A PDF to attach, once its pages were placed by way of trial: readers of PDFs
/// break down over files made to break them.
fn attachment(file: &Path, named: &str) -> Result<Attachment, Fault> {
    let bytes = input::read_enclosed_bytes(file, named, budget::ATTACHMENT_BYTES);
    let bytes = bytes.map_err(Fault::Unavailable)?;
    let tried = ask::<_, Result<Pages, Fault>>(run_in_sandbox, Task::Attachment, &(), &[&bytes]);
    let (pages, _) = tried.map_err(|why| Fault::Stopped(why.to_string()))?;
    Ok(Attachment {
        pages: pages?,
        bytes,
    })
}

/// A folder of its own: records and the list of fusers name people, so the
/// submittal is no paper of a procedure and in no manifest.
fn write(out: &Path, of: &Submittal, pdf: &[u8]) -> Result<String, OutputError> {
    let folder = format!("{}-r{}-submittal", of.number.value, of.revision.value);
    let mut output = OutputFolder::open(out, &folder)?;
    output.write(FILE, pdf)?;
    Ok(output.path().join(FILE).display().to_string())
}
