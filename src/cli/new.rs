//! `coldring new`: a commented spec to start from.

use std::io::ErrorKind;

use super::Ending;
use super::args::NewArguments;
use super::level::say;
use super::output::{OutputError, Readers, write_new};

/// The starter; a test checks that it passes with warnings only.
pub const STARTER: &str = include_str!("../../templates/starter.yaml");

/// Writes the starter, never over a file.
pub fn run(arguments: &NewArguments) -> Ending {
    let path = arguments.file.display();
    match write_new(&arguments.file, STARTER.as_bytes(), Readers::All) {
        Ok(()) => {
            say(&format!("wrote {path}; next: coldring check {path}\n"));
            Ending::Clean
        }
        Err(OutputError::Io { error, .. }) if error.kind() == ErrorKind::AlreadyExists => {
            super::complain(&format!(
                "{path} exists already and was left alone; give another name"
            ));
            Ending::CouldNotRun
        }
        Err(error) => {
            super::complain(&error.to_string());
            Ending::CouldNotRun
        }
    }
}
