//! `coldring schema`: the schemas that editors read, printed or written.

use std::path::Path;

use super::ExitStatus;
use super::args::SchemaArguments;
use super::output::{OutputError, overwrite_generated};
use crate::authoring::schema::{Kind, text};

/// Prints one schema, writes one or all into a folder, or lists what there is.
pub fn run(arguments: &SchemaArguments) -> ExitStatus {
    let kinds = match arguments.kind {
        Some(kind) => vec![kind],
        None => Kind::ALL.to_vec(),
    };
    match (&arguments.out, arguments.kind) {
        (Some(folder), _) => return write(&kinds, folder),
        (None, Some(kind)) => super::print(&text(kind)),
        (None, None) => super::print(&listed(&kinds)),
    }
    ExitStatus::Clean
}

fn listed(kinds: &[Kind]) -> String {
    let line = |kind: &Kind| format!("{:<15}{}\n", kind.word(), kind.about());
    let lines: String = kinds.iter().map(line).collect();
    format!("{lines}\nprint one: coldring schema spec      write all: coldring schema --out .\n")
}

fn write(kinds: &[Kind], folder: &Path) -> ExitStatus {
    for kind in kinds {
        let path = folder.join(kind.file_name());
        match make(&path, *kind) {
            Ok(()) => super::print(&format!("wrote {}\n", path.display())),
            Err(error) => {
                super::print_error(&error.to_string());
                return ExitStatus::CouldNotRun;
            }
        }
    }
    ExitStatus::Clean
}

fn make(path: &Path, kind: Kind) -> Result<(), OutputError> {
    if let Some(folder) = path.parent() {
        std::fs::create_dir_all(folder).map_err(OutputError::io("make the folder", folder))?;
    }
    overwrite_generated(path, text(kind).as_bytes())
}
