//! `coldring check`: findings, and nothing written.

use super::Ending;
use super::args::CheckArguments;
use super::input::{self, Unreadable};
use super::report::Report;
use super::shard::part;
use crate::compile::{self, Checked};
use crate::digest;
use crate::finding::Finding;
use crate::source::Sources;

/// Checks every spec.
pub fn run(arguments: &CheckArguments) -> Ending {
    let as_of = input::as_of(arguments.as_of);
    let mut report = Report::new(arguments.format);
    let check = if arguments.heat {
        compile::check_with_heat
    } else {
        compile::check
    };
    for path in &part(&arguments.specs, arguments.shard).specs {
        match input::read(path) {
            Ok(sources) => report.spec(&sources, &check(&sources, as_of), Vec::new()),
            Err(Unreadable::Io(message)) => report.failed(&message),
            Err(Unreadable::NotText(sources, finding)) => {
                report.spec(&sources, &unread(&sources, *finding), Vec::new());
            }
        }
    }
    report.finish()
}

/// What is known of a file that is not a text.
pub fn unread(sources: &Sources, finding: Finding) -> Checked {
    Checked {
        identity: None,
        spec_digest: digest::spec_digest(sources),
        findings: vec![finding],
    }
}
