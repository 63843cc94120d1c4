//! `coldring schema`: the schemas that editors read, printed or written.

use std::fs::create_dir_all;
use std::path::Path;

use super::args::SchemaArguments;
use super::output::{OutputError, overwrite_generated};
use super::{ExitStatus, RunResult, print};
use crate::authoring::schema::{Kind, text};

pub(crate) fn run(arguments: &SchemaArguments) -> RunResult {
    let kinds = match arguments.kind {
        Some(kind) => vec![kind],
        None => Kind::ALL.to_vec(),
    };
    match (&arguments.out, arguments.kind) {
        (Some(folder), _) => {
            for kind in kinds {
                let path = folder.join(kind.file_name());
                write_schema(&path, kind)?;
                print(&format!("wrote {}\n", path.display()));
            }
        }
        (None, Some(kind)) => print(&text(kind)),
        (None, None) => print(&list(&kinds)),
    }
    Ok(ExitStatus::Clean)
}

fn list(kinds: &[Kind]) -> String {
    let line = |kind: &Kind| format!("{:<15}{}\n", kind.word(), kind.about());
    let lines: String = kinds.iter().map(line).collect();
    format!("{lines}\nprint one: coldring schema spec      write all: coldring schema --out .\n")
}

fn write_schema(path: &Path, kind: Kind) -> Result<(), OutputError> {
    if let Some(folder) = path.parent() {
        create_dir_all(folder).map_err(OutputError::io("make the folder", folder))?;
    }
    overwrite_generated(path, text(kind).as_bytes())
}
