//! `coldring forms`: the form of a qualification record, blank or filled, and
//! the joint log.

use super::ExitStatus;
use super::args::{Format, FormsArguments};
use super::check::unread;
use super::input::{self, ReadError};
use super::output::{OutputError, OutputFolder};
use super::report::Report;
use super::verbosity::print_status;
use crate::core::budget;
use crate::core::source::{Source, Sources};
use crate::papers::compile::{Forms, Identity, forms};

/// Makes the forms of one spec.
pub fn run(arguments: &FormsArguments) -> ExitStatus {
    let mut report = Report::new(Format::Text);
    match read(arguments) {
        Ok((sources, record)) => make(arguments, sources, record, &mut report),
        Err(ReadError::Io(message)) => report.add_failure(&message),
        Err(ReadError::Rejected(sources, finding)) => {
            report.add_spec(&sources, &unread(&sources, *finding), Vec::new());
        }
    }
    report.finish()
}

fn read(arguments: &FormsArguments) -> Result<(Sources, Option<Source>), ReadError> {
    let sources = input::read_spec(&arguments.spec)?;
    let sources = match &arguments.house {
        None => sources,
        Some(folder) => sources.in_house(input::read_house(folder).map_err(ReadError::Io)?),
    };
    let record = match &arguments.record {
        None => None,
        Some(path) => Some(input::read_text(path, budget::RECORD.bytes)?),
    };
    Ok((sources, record))
}

fn make(arguments: &FormsArguments, sources: Sources, record: Option<Source>, report: &mut Report) {
    let as_of = input::date_or_today(arguments.as_of);
    let (paper, language) = (arguments.paper, arguments.language);
    let forms = match forms(&sources, record, paper, language, as_of) {
        Ok(forms) => forms,
        Err(error) => {
            return report.add_failure(&super::build::template_error(&sources, &error));
        }
    };
    let written = match &forms.identity {
        Some(identity) => write(arguments, identity, &forms),
        None => Ok(Vec::new()),
    };
    match written {
        Ok(written) => {
            for path in &written {
                print_status(&format!("wrote {path}\n"));
            }
            if !forms.checked.findings.is_empty() {
                report.add_spec(&forms.sources, &forms.checked, Vec::new());
            }
        }
        Err(error) => report.add_failure(&format!("{}: {error}", sources.spec().name)),
    }
}

fn write(
    arguments: &FormsArguments,
    identity: &Identity,
    forms: &Forms,
) -> Result<Vec<String>, OutputError> {
    if forms.files.is_empty() {
        return Ok(Vec::new());
    }
    // A folder of their own: forms are no papers of the procedure, and a record
    // names people, whom the manifest of the papers must not.
    let folder = format!("{}-r{}-forms", identity.number, identity.revision);
    let mut output = OutputFolder::open(&arguments.out, &folder)?;
    let mut written = Vec::new();
    for (name, pdf) in &forms.files {
        output.write(name, pdf)?;
        written.push(output.path().join(name).display().to_string());
    }
    Ok(written)
}
