//! `coldring compare`: what differs between two revisions of a procedure, and
//! what has to be qualified again.

mod json;
mod text;

use std::path::Path;

use super::ExitStatus;
use super::args::{CompareArguments, Format};
use super::check::unread;
use super::input::{self, ReadError};
use super::output::{OutputError, OutputFolder};
use super::report::Report;
use super::verbosity::print_status;
use crate::core::source::Sources;
use crate::papers::compile::{Compared, NoticeOptions, compare};

/// The file of the notice.
const NOTICE: &str = "change-notice.pdf";

/// Compares two specs.
pub fn run(arguments: &CompareArguments) -> ExitStatus {
    let mut report = Report::new(Format::Text);
    let old = read_spec(&arguments.old, &mut report);
    let new = read_spec(&arguments.new, &mut report);
    if let (Some(old), Some(new)) = (old, new) {
        compare_specs(arguments, &old, &new, &mut report);
    }
    report.finish()
}

fn read_spec(path: &Path, report: &mut Report) -> Option<Sources> {
    match input::read_spec(path) {
        Ok(sources) => return Some(sources),
        Err(ReadError::Io(message)) => report.add_failure(&message),
        Err(ReadError::Rejected(sources, finding)) => {
            report.add_spec(&sources, &unread(&sources, *finding), Vec::new());
        }
    }
    None
}

fn compare_specs(arguments: &CompareArguments, old: &Sources, new: &Sources, report: &mut Report) {
    let options = NoticeOptions {
        wanted: arguments.notice.is_some(),
        paper: arguments.paper,
        language: arguments.language,
    };
    let as_of = input::date_or_today(arguments.as_of);
    let compared = match compare(old, new, options, as_of) {
        Ok(compared) => compared,
        Err(error) => return report.add_failure(&super::build::template_error(new, &error)),
    };
    if let Some(checked) = &compared.unread {
        report.add_spec(old, checked, Vec::new());
    }
    let written = match write(arguments, &compared) {
        Ok(written) => written,
        Err(error) => return report.add_failure(&format!("{}: {error}", new.spec().name)),
    };
    if let Some(comparison) = &compared.comparison {
        let names = [&old.spec().name, &new.spec().name];
        match arguments.format {
            Format::Text => super::print(&text::comparison(comparison, names)),
            Format::Json => super::print_json(&json::comparison(
                comparison,
                names,
                &compared,
                written.as_deref(),
            )),
        }
    }
    if let (Some(path), Format::Text) = (&written, arguments.format) {
        print_status(&format!("\nwrote {path}\n"));
    }
    if !compared.checked.findings.is_empty() {
        report.add_spec(&compared.sources, &compared.checked, Vec::new());
    }
}

fn write(arguments: &CompareArguments, compared: &Compared) -> Result<Option<String>, OutputError> {
    let (Some(out), Some(pdf), Some(identity)) =
        (&arguments.notice, &compared.notice, &compared.identity)
    else {
        return Ok(None);
    };
    // A folder of its own: a notice is between two revisions, no paper of one.
    let folder = format!("{}-r{}-changes", identity.number, identity.revision);
    let mut output = OutputFolder::open(out, &folder)?;
    output.write(NOTICE, pdf)?;
    Ok(Some(output.path().join(NOTICE).display().to_string()))
}
