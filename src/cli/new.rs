//! `coldring new`: a commented spec to start from, and its schema for editors.

use std::fs;
use std::io::ErrorKind;
use std::path::Path;

use super::args::NewArguments;
use super::input;
use super::output::{Access, OutputError, write_new};
use super::verbosity::print_status;
use super::{ExitStatus, RunResult};
use crate::authoring::schema::{self, Kind};
use crate::authoring::starter::{NoStarter, Starter};

/// Writes the starter, never over a file.
pub(crate) fn run(arguments: &NewArguments) -> RunResult {
    let path = arguments.file.display();
    let NewArguments { sizes, service, .. } = arguments;
    let starter = Starter::new(sizes.clone(), *service, input::date_or_today(None));
    let starter = starter.map_err(|why| {
        let why = match why {
            NoStarter::TwoPractices => {
                "inch sizes are in US practice and metric sizes in metric practice, and a spec \
             follows one; write a spec for each"
            }
            NoStarter::SizeTwice => "a size stands twice in --sizes; name each once",
            NoStarter::UnknownSize => {
                "a size in --sizes is in no table of pipe; `coldring limits` lists those that are"
            }
        };
        why.to_owned()
    })?;
    let mut spec = starter.text();
    if !arguments.no_schema {
        spec.insert_str(0, &modeline());
    }
    write_new(&arguments.file, spec.as_bytes(), Access::Everyone).map_err(|error| {
        if already_exists(&error) {
            format!("{path} exists already and was left alone; give another name")
        } else {
            error.to_string()
        }
    })?;
    print_status(&format!("wrote {path}; next: coldring check {path}\n"));
    if !arguments.no_schema {
        write_schema(arguments.file.parent().unwrap_or(Path::new("")))?;
    }
    Ok(ExitStatus::Clean)
}

/// The comment that tells an editor the path of the schema.
fn modeline() -> String {
    format!(
        "# yaml-language-server: $schema={}\n\
         # Your editor takes completion and help from the file named above; both may be deleted.\n",
        Kind::Spec.file_name()
    )
}

/// Writes the schema of a spec, unless it is there.
fn write_schema(folder: &Path) -> Result<(), OutputError> {
    let path = folder.join(Kind::Spec.file_name());
    let text = schema::text(Kind::Spec);
    match write_new(&path, text.as_bytes(), Access::Everyone) {
        Ok(()) => print_status(&format!(
            "wrote {}, for editors that read YAML by a schema\n",
            path.display()
        )),
        Err(error) if already_exists(&error) => {
            if fs::read_to_string(&path).is_ok_and(|there| there == text) {
                return Ok(());
            }
            let out = if folder.as_os_str().is_empty() {
                Path::new(".")
            } else {
                folder
            };
            print_status(&format!(
                "left {} as it was: it is not that of this version; coldring schema spec --out {} \
                 replaces it\n",
                path.display(),
                out.display()
            ));
        }
        Err(error) => return Err(error),
    }
    Ok(())
}

fn already_exists(error: &OutputError) -> bool {
    matches!(error, OutputError::Io { error, .. } if error.kind() == ErrorKind::AlreadyExists)
}
