//! `coldring check`: findings, and nothing written.

use super::Ending;
use super::args::CheckArguments;
use super::folders::Folders;
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
    let mut folders = Folders::default();
    for path in &part(&arguments.specs, arguments.shard).specs {
        match input::read(path) {
            Ok(sources) => {
                let mut checked = check(&sources, as_of);
                let twice = (checked.identity.as_ref())
                    .and_then(|identity| folders.take(identity, &sources.spec().name));
                checked.findings.extend(twice);
                report.spec(&sources, &checked, Vec::new());
            }
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
