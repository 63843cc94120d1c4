//! `coldring new`: a commented spec to start from, and the schema beside it that
//! editors read.

use std::fs;
use std::io::ErrorKind;
use std::path::Path;

use super::ExitStatus;
use super::args::NewArguments;
use super::input;
use super::output::{Access, OutputError, write_new};
use super::verbosity::print_status;
use crate::authoring::schema::{self, Kind};
use crate::authoring::starter::{NoStarter, Starter};

/// Writes the starter, never over a file.
pub fn run(arguments: &NewArguments) -> ExitStatus {
    let path = arguments.file.display();
    let NewArguments { sizes, service, .. } = arguments;
    let starter = match Starter::new(sizes.clone(), *service, input::date_or_today(None)) {
        Ok(starter) => starter.text(),
        Err(why) => {
            super::print_error(match why {
                NoStarter::TwoPractices => {
                    "inch sizes are in US practice and metric sizes in metric practice, and a spec \
                     follows one; write a spec for each"
                }
                NoStarter::SizeTwice => "a size stands twice in --sizes; name each once",
                NoStarter::UnknownSize => {
                    "a size in --sizes is in no table of pipe; `coldring limits` lists those that \
                     are"
                }
            });
            return ExitStatus::CouldNotRun;
        }
    };
    let spec = match arguments.no_schema {
        true => starter,
        false => modeline() + &starter,
    };
    match write_new(&arguments.file, spec.as_bytes(), Access::Everyone) {
        Ok(()) => {}
        Err(error) if already_exists(&error) => {
            super::print_error(&format!(
                "{path} exists already and was left alone; give another name"
            ));
            return ExitStatus::CouldNotRun;
        }
        Err(error) => {
            super::print_error(&error.to_string());
            return ExitStatus::CouldNotRun;
        }
    }
    print_status(&format!("wrote {path}; next: coldring check {path}\n"));
    if arguments.no_schema {
        return ExitStatus::Clean;
    }
    schema_beside(arguments.file.parent().unwrap_or(Path::new("")))
}

/// The comment by which an editor finds the schema: a path from the spec, so
/// that nothing is fetched.
fn modeline() -> String {
    format!(
        "# yaml-language-server: $schema={}\n\
         # Your editor takes completion and help from the file named above; both may be deleted.\n",
        Kind::Spec.file_name()
    )
}

/// Writes the schema of a spec, unless it is there.
fn schema_beside(folder: &Path) -> ExitStatus {
    let path = folder.join(Kind::Spec.file_name());
    let text = schema::text(Kind::Spec);
    match write_new(&path, text.as_bytes(), Access::Everyone) {
        Ok(()) => print_status(&format!(
            "wrote {}, for editors that read YAML by a schema\n",
            path.display()
        )),
        Err(error) if already_exists(&error) => {
            if fs::read_to_string(&path).is_ok_and(|there| there == text) {
                return ExitStatus::Clean;
            }
            let out = match folder.as_os_str().is_empty() {
                true => Path::new("."),
                false => folder,
            };
            print_status(&format!(
                "left {} as it was: it is not that of this version; coldring schema spec --out {} \
                 replaces it\n",
                path.display(),
                out.display()
            ));
        }
        Err(error) => {
            super::print_error(&error.to_string());
            return ExitStatus::CouldNotRun;
        }
    }
    ExitStatus::Clean
}

fn already_exists(error: &OutputError) -> bool {
    matches!(error, OutputError::Io { error, .. } if error.kind() == ErrorKind::AlreadyExists)
}
