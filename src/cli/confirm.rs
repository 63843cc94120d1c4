//! `coldring confirm`: the worksheet of the figures that are from memory, or the
//! beginning of the file that its readings go into.

use super::args::ConfirmArguments;
use super::build::template_error;
use super::folders::folder_name;
use super::input::{self, Failure};
use super::output::write_files;
use super::report::Report;
use super::verbosity::print_written;
use super::{RunResult, print, print_file};
use crate::papers::compile::{Worksheet, worksheet};

pub(crate) fn run(arguments: &ConfirmArguments) -> RunResult {
    let mut report = Report::text();
    let result = confirm(arguments, &mut report);
    Ok(report.finish_with(result))
}

fn confirm(arguments: &ConfirmArguments, report: &mut Report) -> Result<(), Failure> {
    let sources = input::read_spec(&arguments.spec)?;
    let sources = sources.in_house(input::read_house(arguments.house.as_deref())?);
    let name = &sources.spec().name;
    let made = worksheet(&sources, arguments.paper, input::date_or_today(None))
        .map_err(|error| template_error(&sources, &error))?;
    match made {
        Worksheet::Unread(checked) => report.add_spec(&sources, &checked),
        Worksheet::NothingRecalled => print(&format!(
            "{name}: no figure in use is from memory; there is nothing to confirm\n"
        )),
        Worksheet::Made { file, .. } if arguments.file => print_file(&file),
        Worksheet::Made { identity, pdf, .. } => {
            // In its own folder, since the manifest of the papers must not list it.
            let folder = format!("{}-confirm", folder_name(&identity));
            let written = write_files(&arguments.out, &folder, [("worksheet.pdf", pdf.as_slice())]);
            print_written(&written.map_err(|error| format!("{name}: {error}"))?);
        }
    }
    Ok(())
}
