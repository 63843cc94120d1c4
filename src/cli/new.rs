//! `coldring new`: a commented spec to start from.

use std::fs::OpenOptions;
use std::io::{ErrorKind, Write};

use super::Ending;
use super::args::NewArguments;

/// The starter; a test checks that it passes with warnings only.
pub const STARTER: &str = include_str!("../../templates/starter.yaml");

/// Writes the starter, never over a file.
pub fn run(arguments: &NewArguments) -> Ending {
    let path = arguments.file.display();
    let created = OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(&arguments.file)
        .and_then(|mut file| file.write_all(STARTER.as_bytes()));
    match created {
        Ok(()) => {
            super::print(&format!("wrote {path}; next: coldring check {path}\n"));
            Ending::Clean
        }
        Err(error) if error.kind() == ErrorKind::AlreadyExists => {
            super::complain(&format!(
                "{path} exists already and was left alone; give another name"
            ));
            Ending::CouldNotRun
        }
        Err(error) => {
            super::complain(&format!("cannot write {path}: {error}"));
            Ending::CouldNotRun
        }
    }
}
