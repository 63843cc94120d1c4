//! `coldring confirm`: the worksheet of the figures that are from memory, or the
//! beginning of the file that its readings go into.

use super::Ending;
use super::args::{ConfirmArguments, Format};
use super::check::unread;
use super::input::{self, Unreadable};
use super::level::say;
use super::output::{OutputError, OutputFolder};
use super::report::Report;
use crate::core::source::Sources;
use crate::papers::compile::{Identity, Worksheet, worksheet};

/// Makes the worksheet of one spec.
pub fn run(arguments: &ConfirmArguments) -> Ending {
    let mut report = Report::new(Format::Text);
    let sources = match input::read(&arguments.spec) {
        Ok(sources) => sources,
        Err(Unreadable::Io(message)) => {
            report.failed(&message);
            return report.finish();
        }
        Err(Unreadable::NotText(sources, finding)) => {
            report.spec(&sources, &unread(&sources, *finding), Vec::new());
            return report.finish();
        }
    };
    let sources = match &arguments.house {
        None => sources,
        Some(folder) => match input::read_house(folder) {
            Ok(house) => sources.in_house(house),
            Err(message) => {
                report.failed(&message);
                return report.finish();
            }
        },
    };
    match worksheet(&sources, arguments.paper, input::as_of(None)) {
        Ok(Worksheet::Unread(checked)) => {
            report.spec(&sources, &checked, Vec::new());
            report.finish()
        }
        Ok(Worksheet::NothingRecalled) => {
            super::print(&format!(
                "{}: no figure in use is from memory; there is nothing to confirm\n",
                sources.spec().name
            ));
            Ending::Clean
        }
        Ok(Worksheet::Made { file, .. }) if arguments.file => {
            super::print_file(&file);
            Ending::Clean
        }
        Ok(Worksheet::Made { identity, pdf, .. }) => written(&sources, arguments, &identity, &pdf),
        Err(error) => {
            super::complain(&super::build::template_failed(&sources, &error));
            Ending::CouldNotRun
        }
    }
}

fn written(
    sources: &Sources,
    arguments: &ConfirmArguments,
    identity: &Identity,
    pdf: &[u8],
) -> Ending {
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
            say(&format!("wrote {path}\n"));
            Ending::Clean
        }
        Err(error) => {
            super::complain(&format!("{}: {error}", sources.spec().name));
            Ending::CouldNotRun
        }
    }
}

/// The worksheet's file.
const NAME: &str = "worksheet.pdf";
