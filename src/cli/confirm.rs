//! `coldring confirm`: the worksheet of the figures that are from memory, or the
//! beginning of the file that its readings go into.

use super::ExitStatus;
use super::args::{ConfirmArguments, Format};
use super::check::unread;
use super::input::{self, ReadError};
use super::output::{OutputError, OutputFolder};
use super::report::Report;
use super::verbosity::print_status;
use crate::core::source::Sources;
use crate::papers::compile::{Identity, Worksheet, worksheet};

/// Makes the worksheet of one spec.
pub fn run(arguments: &ConfirmArguments) -> ExitStatus {
    let mut report = Report::new(Format::Text);
    let sources = match input::read_spec(&arguments.spec) {
        Ok(sources) => sources,
        Err(ReadError::Io(message)) => {
            report.add_failure(&message);
            return report.finish();
        }
        Err(ReadError::Rejected(sources, finding)) => {
            report.add_spec(&sources, &unread(&sources, *finding), Vec::new());
            return report.finish();
        }
    };
    let sources = match &arguments.house {
        None => sources,
        Some(folder) => match input::read_house(folder) {
            Ok(house) => sources.in_house(house),
            Err(message) => {
                report.add_failure(&message);
                return report.finish();
            }
        },
    };
    match worksheet(&sources, arguments.paper, input::date_or_today(None)) {
        Ok(Worksheet::Unread(checked)) => {
            report.add_spec(&sources, &checked, Vec::new());
            report.finish()
        }
        Ok(Worksheet::NothingRecalled) => {
            super::print(&format!(
                "{}: no figure in use is from memory; there is nothing to confirm\n",
                sources.spec().name
            ));
            ExitStatus::Clean
        }
        Ok(Worksheet::Made { file, .. }) if arguments.file => {
            super::print_file(&file);
            ExitStatus::Clean
        }
        Ok(Worksheet::Made { identity, pdf, .. }) => {
            write_worksheet(&sources, arguments, &identity, &pdf)
        }
        Err(error) => {
            super::print_error(&super::build::template_error(&sources, &error));
            ExitStatus::CouldNotRun
        }
    }
}

fn write_worksheet(
    sources: &Sources,
    arguments: &ConfirmArguments,
    identity: &Identity,
    pdf: &[u8],
) -> ExitStatus {
    // A folder of its own: the worksheet is no paper of the procedure, and the
    // manifest of the papers must not name it.
    let folder = format!("{}-r{}-confirm", identity.number, identity.revision);
    let write = || -> Result<String, OutputError> {
        let mut output = OutputFolder::open(&arguments.out, &folder)?;
        output.write(NAME, pdf)?;
        Ok(output.path().join(NAME).display().to_string())
    };
    match write() {
        Ok(path) => {
            print_status(&format!("wrote {path}\n"));
            ExitStatus::Clean
        }
        Err(error) => {
            super::print_error(&format!("{}: {error}", sources.spec().name));
            ExitStatus::CouldNotRun
        }
    }
}

/// The worksheet's file.
const NAME: &str = "worksheet.pdf";
