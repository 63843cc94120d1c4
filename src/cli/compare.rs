//! `coldring compare`: what differs between two revisions of a procedure, and
//! what has to be qualified again.

pub(super) mod json;
mod text;

use super::args::{CompareArguments, Format};
use super::build::template_error;
use super::folders::folder_name;
use super::input::{self, Failure};
use super::output::{OutputError, write_files};
use super::report::Report;
use super::verbosity::print_status;
use super::{RunResult, print, print_json};
use crate::core::source::Sources;
use crate::papers::compile::{Compared, NoticeOptions, compare};

pub(crate) fn run(arguments: &CompareArguments) -> RunResult {
    let mut report = Report::text();
    let old = input::read_spec(&arguments.old);
    let new = input::read_spec(&arguments.new);
    let result = match (old, new) {
        (Ok(old), Ok(new)) => compare_specs(arguments, &old, &new, &mut report),
        (old, new) => {
            for failure in [old.err(), new.err()].into_iter().flatten() {
                report.add_failure(failure);
            }
            Ok(())
        }
    };
    Ok(report.finish_with(result))
}

fn compare_specs(
    arguments: &CompareArguments,
    old: &Sources,
    new: &Sources,
    report: &mut Report,
) -> Result<(), Failure> {
    let options = NoticeOptions {
        enabled: arguments.notice.is_some(),
        paper: arguments.paper,
        language: arguments.language,
    };
    let as_of = input::date_or_today(arguments.as_of);
    let compared =
        compare(old, new, options, as_of).map_err(|error| template_error(new, &error))?;
    if let Some(checked) = &compared.unread {
        report.add_spec(old, checked);
    }
    let name = &new.spec().name;
    let names = [&old.spec().name, name];
    let notice = write_notice(arguments, &compared).map_err(|error| format!("{name}: {error}"))?;
    if let Some(comparison) = &compared.comparison {
        match arguments.format {
            Format::Text => print(&text::comparison(comparison, names)),
            Format::Json => {
                let notice = notice.as_deref();
                print_json(&json::document(comparison, names, &compared, notice));
            }
        }
    }
    if let (Some(path), Format::Text) = (&notice, arguments.format) {
        print_status(&format!("\nwrote {path}\n"));
    }
    if !compared.checked.findings.is_empty() {
        report.add_spec(&compared.sources, &compared.checked);
    }
    Ok(())
}

/// Writes the notice into a folder of its own: it is about two revisions, and no
/// paper of one of them.
fn write_notice(
    arguments: &CompareArguments,
    compared: &Compared,
) -> Result<Option<String>, OutputError> {
    let (Some(out), Some(pdf), Some(identity)) =
        (&arguments.notice, &compared.notice, &compared.identity)
    else {
        return Ok(None);
    };
    let folder = format!("{}-changes", folder_name(identity));
    Ok(write_files(out, &folder, [("change-notice.pdf", pdf.as_slice())])?.pop())
}
