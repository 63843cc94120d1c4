//! `coldring forms`: the form of a qualification record, blank or filled, and
//! the joint log.

use super::RunResult;
use super::args::FormsArguments;
use super::build::template_error;
use super::folders::folder_name;
use super::input::{self, Failure};
use super::output::write_files;
use super::report::Report;
use super::verbosity::print_written;
use crate::core::budget;
use crate::papers::compile::{Identity, forms};

pub(crate) fn run(arguments: &FormsArguments) -> RunResult {
    let mut report = Report::text();
    let result = make_forms(arguments, &mut report);
    Ok(report.finish_with(result))
}

fn make_forms(arguments: &FormsArguments, report: &mut Report) -> Result<(), Failure> {
    let sources = input::read_spec(&arguments.spec)?;
    let sources = sources.in_house(input::read_house(arguments.house.as_deref())?);
    let record = arguments.record.as_deref();
    let record = record.map(|path| input::read_text(path, budget::RECORD.bytes));
    let forms = forms(
        &sources,
        record.transpose()?,
        arguments.paper,
        arguments.language,
        input::date_or_today(arguments.as_of),
    )
    .map_err(|error| template_error(&sources, &error))?;
    if let Some(identity) = &forms.identity
        && !forms.files.is_empty()
    {
        let files = forms
            .files
            .iter()
            .map(|(name, pdf)| (*name, pdf.as_slice()));
        let written = write_files(&arguments.out, &folder(identity), files);
        print_written(&written.map_err(|error| format!("{}: {error}", sources.spec().name))?);
    }
    if !forms.checked.findings.is_empty() {
        report.add_spec(&forms.sources, &forms.checked);
    }
    Ok(())
}

/// A folder of their own, since a record names people and the manifest of the
/// papers must not.
fn folder(identity: &Identity) -> String {
    format!("{}-forms", folder_name(identity))
}
