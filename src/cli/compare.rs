//! `coldring compare`: what differs between two revisions of a procedure, and
//! what has to be qualified again.

mod json;
mod text;

use std::path::Path;

use super::Ending;
use super::args::{CompareArguments, Format};
use super::check::unread;
use super::input::{self, Unreadable};
use super::level::say;
use super::output::{OutputError, OutputFolder};
use super::report::Report;
use crate::core::source::Sources;
use crate::papers::compile::{Compared, NoticeOptions, compare};

/// The file of the notice.
const NOTICE: &str = "change-notice.pdf";

/// Compares two specs.
pub fn run(arguments: &CompareArguments) -> Ending {
    let mut report = Report::new(Format::Text);
    let old = read(&arguments.old, &mut report);
    let new = read(&arguments.new, &mut report);
    if let (Some(old), Some(new)) = (old, new) {
        tell(arguments, &old, &new, &mut report);
    }
    report.finish()
}

fn read(path: &Path, report: &mut Report) -> Option<Sources> {
    match input::read(path) {
        Ok(sources) => return Some(sources),
        Err(Unreadable::Io(message)) => report.failed(&message),
        Err(Unreadable::NotText(sources, finding)) => {
            report.spec(&sources, &unread(&sources, *finding), Vec::new());
        }
    }
    None
}

fn tell(arguments: &CompareArguments, old: &Sources, new: &Sources, report: &mut Report) {
    let options = NoticeOptions {
        wanted: arguments.notice.is_some(),
        paper: arguments.paper,
        language: arguments.language,
    };
    let as_of = input::as_of(arguments.as_of);
    let compared = match compare(old, new, options, as_of) {
        Ok(compared) => compared,
        Err(error) => return report.failed(&super::build::template_failed(new, &error)),
    };
    if let Some(checked) = &compared.unread {
        report.spec(old, checked, Vec::new());
    }
    let written = match write(arguments, &compared) {
        Ok(written) => written,
        Err(error) => return report.failed(&format!("{}: {error}", new.spec().name)),
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
        say(&format!("\nwrote {path}\n"));
    }
    if !compared.checked.findings.is_empty() {
        report.spec(&compared.sources, &compared.checked, Vec::new());
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
