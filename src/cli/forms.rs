//! `coldring forms`: the form of a qualification record, blank or filled, the
//! joint log, the test sheet of a fuser and the lesson sheet.

use super::RunResult;
use super::args::FormsArguments;
use super::build::template_error;
use super::folders::folder_name;
use super::fusers::{read_roster, read_roster_file};
use super::input::{self, Failure};
use super::output::write_files;
use super::report::{Report, is_error};
use super::verbosity::{print_status, print_written};
use crate::core::budget;
use crate::core::source::Sources;
use crate::papers::compile::{FormsOrder, Identity, forms};
use crate::people::fusers::Rules;

pub(crate) fn run(arguments: &FormsArguments) -> RunResult {
    let mut report = Report::text().errors_only();
    let result = make_forms(arguments, &mut report);
    Ok(report.finish_with(result))
}

fn make_forms(arguments: &FormsArguments, report: &mut Report) -> Result<(), Failure> {
    let sources = input::read_spec(&arguments.spec)?;
    let sources = sources.in_house(input::read_house(arguments.house.as_deref())?);
    let record = arguments.record.as_deref();
    let record = record.map(|path| input::read_text(path, budget::RECORD.bytes));
    let record = record.transpose()?;
    let Some(rules) = rules(arguments, report)? else {
        return Ok(());
    };
    let forms = forms(FormsOrder {
        sources: &sources,
        record,
        only: &arguments.only,
        rules: &rules,
        paper: arguments.paper,
        language: arguments.language,
        as_of: input::date_or_today(arguments.as_of),
    })
    .map_err(|error| template_error(&sources, &error))?;
    if let Some(identity) = &forms.identity
        && !forms.files.is_empty()
    {
        let files = forms
            .files
            .iter()
            .map(|(name, pdf)| (*name, pdf.as_slice()));
        let written = write_files(&arguments.out, &folder(identity), files);
        print_written(&written.map_err(|error| format!("{}: {error}", sources.spec().name))?);
    }
    // Only a withdrawn procedure leaves out what is asked for.
    if forms.identity.is_some() && forms.files.is_empty() && !forms.checked.has_error() {
        let name = &sources.spec().name;
        let message = format!(
            "{name}: the procedure is withdrawn, so nobody works by it; only --only record is made"
        );
        return Err(message.into());
    }
    if forms.withheld {
        print_status(&format!(
            "{} has errors; no test sheet or lesson sheet was made\n",
            sources.spec().name
        ));
    }
    if !forms.checked.findings.is_empty() {
        report.add_spec(&forms.sources, &forms.checked);
    }
    Ok(())
}

/// The rule sets of the roster and of the command line, which governs; `None` if the
/// roster has errors.
fn rules(arguments: &FormsArguments, report: &mut Report) -> Result<Option<Rules>, Failure> {
    let Some(file) = &arguments.fusers else {
        let mut rules = Rules::default();
        for choice in &arguments.rules {
            rules.choose(choice.clone());
        }
        return Ok(Some(rules));
    };
    let source = read_roster_file(file)?;
    let as_of = input::date_or_today(arguments.as_of);
    let (_, rules, findings) = read_roster(file, &arguments.rules, as_of, &source);
    let has_errors = findings.iter().any(is_error);
    report.add_findings(&Sources::from(source), findings);
    Ok((!has_errors).then_some(rules))
}

/// A folder of their own, since a record names people and the manifest of the
/// papers must not.
fn folder(identity: &Identity) -> String {
    format!("{}-forms", folder_name(identity))
}
