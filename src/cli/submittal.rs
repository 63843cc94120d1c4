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
use crate::core::source::{HouseFile, Source, Sources, Unavailable};
use crate::papers::compile::{CompiledSubmittal, submittal};
use crate::people::submittal::{Attachment, Enclosed, EnclosedFiles, Fault, Pages, decode};

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
    let enclosed = Enclosed::read(
        &decoded,
        &Disk {
            file: &arguments.file,
            house: &house,
        },
    );
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

/// The files in the folder of a submittal and in its parent.
struct Disk<'a> {
    /// The submittal.
    file: &'a Path,
    house: &'a [HouseFile],
}

impl EnclosedFiles for Disk<'_> {
    fn spec(&self, named: &str) -> Result<Sources, Unavailable> {
        let path = input::find_enclosed(self.file, named)?;
        let sources = input::read_spec(&path).map_err(|why| match why {
            Failure::Message(message) => Unavailable::Unreadable(message),
            Failure::Finding(_, finding) => Unavailable::Unreadable(finding.message),
        })?;
        Ok(sources.in_house(self.house.to_vec()))
    }

    fn text(&self, named: &str, most: usize) -> Result<Source, Unavailable> {
        input::read_enclosed_text(self.file, named, most)
    }

    /// Its pages are placed in the sandbox first: an untrusted PDF can crash its reader.
    fn attachment(&self, named: &str) -> Result<Attachment, Fault> {
        let bytes = input::read_enclosed_bytes(self.file, named, budget::ATTACHMENT_BYTES);
        let bytes = bytes.map_err(Fault::Unavailable)?;
        type Tried = Result<Pages, Fault>;
        let tried = ask::<_, Tried>(run_in_sandbox, Task::Attachment, &(), &[&bytes]);
        let (pages, _) = tried.map_err(|why| Fault::Stopped(why.to_string()))?;
        Ok(Attachment {
            pages: pages?,
            bytes,
        })
    }
}
