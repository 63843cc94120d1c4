//! `coldring check`: findings, and nothing written.

use super::RunResult;
use super::args::{CheckArguments, CheckFormat};
use super::folders::FolderClaims;
use super::input;
use super::progress::Progress;
use super::report::Report;
use super::shard::specs_in_shard;
use crate::papers::compile;

pub(crate) fn run(arguments: &CheckArguments) -> RunResult {
    let as_of = input::date_or_today(arguments.as_of);
    let mut report = Report::new(arguments.format).explaining(arguments.explain);
    let check = if arguments.heat {
        compile::check_with_heat
    } else {
        compile::check
    };
    let mut folders = FolderClaims::default();
    let part = specs_in_shard(&arguments.specs, arguments.shard);
    let shown = arguments.format == CheckFormat::Text;
    let progress = Progress::new("checking", part.specs.len(), shown);
    for path in &part.specs {
        match input::read_spec(path) {
            Ok(sources) => {
                let mut checked = check(&sources, as_of);
                let twice = (checked.identity.as_ref())
                    .and_then(|identity| folders.claim(identity, &sources.spec().name));
                checked.findings.extend(twice);
                progress.suspend(|| report.add_spec(&sources, &checked));
            }
            Err(failure) => progress.suspend(|| report.add_failure(failure)),
        }
        progress.inc();
    }
    progress.finish();
    if let [spec] = arguments.specs.as_slice() {
        let adds = if arguments.heat {
            ""
        } else {
            " (also runs the thermal estimate)"
        };
        report.next_if_clean(format!("coldring build {}{adds}", spec.display()));
    }
    Ok(report.finish())
}
