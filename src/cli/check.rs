//! `coldring check`: findings, and nothing written.

use super::Ending;
use super::args::{CheckArguments, CheckFormat};
use super::folders::Folders;
use super::input::{self, Unreadable};
use super::progress::Progress;
use super::report::Report;
use super::shard::part;
use crate::core::digest;
use crate::core::finding::Finding;
use crate::core::source::Sources;
use crate::papers::compile::{self, Checked};

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
    let part = part(&arguments.specs, arguments.shard);
    let shown = arguments.format == CheckFormat::Text;
    let progress = Progress::over("checking", part.specs.len(), shown);
    for path in &part.specs {
        match input::read(path) {
            Ok(sources) => {
                let mut checked = check(&sources, as_of);
                let twice = (checked.identity.as_ref())
                    .and_then(|identity| folders.take(identity, &sources.spec().name));
                checked.findings.extend(twice);
                progress.aside(|| report.spec(&sources, &checked, Vec::new()));
            }
            Err(Unreadable::Io(message)) => progress.aside(|| report.failed(&message)),
            Err(Unreadable::NotText(sources, finding)) => {
                let checked = unread(&sources, *finding);
                progress.aside(|| report.spec(&sources, &checked, Vec::new()));
            }
        }
        progress.one_done();
    }
    progress.end();
    if let [spec] = arguments.specs.as_slice() {
        let adds = match arguments.heat {
            true => "",
            false => ", which adds what the thermal estimate finds",
        };
        report.if_clean(format!("coldring build {}{adds}", spec.display()));
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
