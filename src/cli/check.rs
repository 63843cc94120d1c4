//! `coldring check`: findings, and nothing written.

use super::Ending;
use super::args::CheckArguments;
use super::input::{self, Unreadable};
use super::report::Report;
use crate::compile::{self, Checked};
use crate::digest;

/// Checks every spec.
pub fn run(arguments: &CheckArguments) -> Ending {
    let as_of = input::as_of(arguments.as_of);
    let mut report = Report::new(arguments.format);
    for path in &arguments.specs {
        match input::read(path) {
            Ok(source) => report.spec(&source, &compile::check(&source, as_of), Vec::new()),
            Err(Unreadable::Io(message)) => report.failed(&message),
            Err(Unreadable::NotText(source, finding)) => {
                report.spec(&source, &unread(&source, *finding), Vec::new());
            }
        }
    }
    report.finish()
}

/// What is known of a file that is not a text.
pub fn unread(source: &crate::source::Source, finding: crate::finding::Finding) -> Checked {
    Checked {
        identity: None,
        spec_digest: digest::sha256(source.text.as_bytes()),
        findings: vec![finding],
    }
}
