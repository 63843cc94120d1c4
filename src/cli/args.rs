//! The command line: every command and option with its help.

mod batch;
mod figures;
mod papers;
mod people;
mod preview;
mod proof;
mod schema;
mod shell;

use std::ffi::OsString;
use std::path::PathBuf;

use chrono::NaiveDate;
use clap::builder::StyledStr;
use clap::error::{ContextKind, ContextValue};
use clap::{Args, Parser, Subcommand, ValueEnum};

use super::terminal::sanitize;
use crate::papers::compile::FormKind;
use crate::people::fusers::Choice;
use crate::spec::Paper;
use crate::spec::language::Language;
use crate::spec::plausible::date_argument;
pub(crate) use batch::MergeArguments;
pub(crate) use figures::{
    HeatArguments, LimitsArguments, PlanArguments, ShowArguments, ShowFormat, TableFormat,
};
pub(crate) use papers::{
    BuildArguments, CheckArguments, CheckFormat, ImageForm, PapersArguments, WatchArguments,
};
pub(crate) use people::{CardsArguments, FusersArguments, FusersFormat, SubmittalArguments};
pub(crate) use preview::PreviewArguments;
pub(crate) use proof::{KeysArguments, VerifyArguments};
pub(crate) use schema::{NewArguments, SchemaArguments};
pub(crate) use shell::ShellArguments;

/// Turns a socket-fusion procedure written as YAML into the written procedure,
/// pocket cards and true-scale depth marks, as PDF.
#[derive(Debug, Parser)]
#[command(
    version,
    long_version = super::version::long(),
    max_term_width = 92,
    subcommand_value_name = "COMMAND",
    subcommand_help_heading = "Commands",
    // One screen, in the order in which people need the commands.
    override_help = include_str!("args/top.txt")
)]
pub(crate) struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub(crate) command: Command,
    /// How much is printed.
    #[command(flatten)]
    pub(crate) verbosity: Verbosity,
}

impl Arguments {
    /// Parses the arguments of this process; ends it if they are wrong.
    pub(crate) fn parse_or_exit() -> Self {
        Self::try_parse().unwrap_or_else(|mut error| {
            let missing = error.get(ContextKind::InvalidArg);
            if let Some(ContextValue::Strings(missing)) = missing
                && missing.iter().any(|name| name.starts_with("--fusers"))
            {
                // There are two kinds of card; the user may want the other.
                let tip = "for the pocket card of a procedure: coldring build SPEC --only card";
                let tips = ContextValue::StyledStrs(vec![StyledStr::from(tip)]);
                error.insert(ContextKind::Suggested, tips);
            }
            exit(&error)
        })
    }
}

/// Ends the process with an error of usage, or with the help. Clap prints arguments
/// unchanged, and one may be a file name with any characters.
fn exit(error: &clap::Error) -> ! {
    let is_unsafe = |argument: OsString| {
        let argument = argument.to_string_lossy();
        sanitize(&argument) != argument
    };
    if error.use_stderr() && std::env::args_os().any(is_unsafe) {
        super::print_stderr(&error.render().to_string());
        std::process::exit(error.exit_code());
    }
    error.exit()
}

#[derive(Debug, Args)]
pub(crate) struct Verbosity {
    /// Print only errors and the output you asked for
    #[arg(
        short,
        long,
        global = true,
        conflicts_with = "verbose",
        help_heading = "All commands"
    )]
    pub(crate) quiet: bool,
    /// Show what is read and decided, and findings in full
    #[arg(short, long, global = true, help_heading = "All commands")]
    pub(crate) verbose: bool,
}

/// The hidden command that works in a sandbox for another process of this program.
pub(crate) const SANDBOX_WORKER: &str = "sandbox-worker";

/// The commands, in the order in which people need them.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Write a commented file to start from: spec, record, roster, submittal, house style
    New(NewArguments),
    /// Check specs and write nothing
    Check(CheckArguments),
    /// Check specs and write their papers
    Build(BuildArguments),
    /// Show the papers in your browser as you type
    Preview(PreviewArguments),
    /// Build the papers again whenever one of their files is saved
    Watch(WatchArguments),
    /// Print a worksheet for confirming the figures taken from memory
    Confirm(ConfirmArguments),
    /// Print forms: qualification record, joint log, test sheet, lesson sheet
    Forms(FormsArguments),
    /// Bind procedures, records, fusers and attached PDFs into one PDF for review
    Submittal(SubmittalArguments),
    /// List who is qualified under which procedure, until when and why
    Fusers(FusersArguments),
    /// Print wallet cards for the fusers who are qualified
    Cards(CardsArguments),
    /// Show what differs between two revisions and what must be requalified
    Compare(CompareArguments),
    /// Make the key pair that signs papers
    Keys(KeysArguments),
    /// Check the signed code on a paper
    Verify(VerifyArguments),
    /// List the published figures with size, basis and source
    Limits(LimitsArguments),
    /// Show the full procedure: every number, or a spec with every choice written out
    Show(ShowArguments),
    /// Show how long a joint takes and estimate a day's work
    Plan(PlanArguments),
    /// Estimate what the heating times do to the pipe; advice only, sets no time
    Heat(HeatArguments),
    /// Explain a rule, a topic or a field; with no name, list them all
    Explain(ExplainArguments),
    /// Print JSON Schema of the files you write, for your editor
    Schema(SchemaArguments),
    /// Write completions for the shell, and man pages
    Shell(ShellArguments),
    /// Join the manifests of a batch that was made in parts
    Merge(MergeArguments),
    /// Work for another process of this program
    #[command(name = SANDBOX_WORKER, hide = true)]
    SandboxWorker,
}

/// How findings are printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Format {
    /// For people, on standard error.
    Text,
    /// One JSON document on standard output.
    Json,
}

#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  coldring compare specs/earlier/my-r1.yaml my.yaml
  coldring compare my-r1.yaml my.yaml --notice out
  coldring compare my-r1.yaml my.yaml --format json

Each change is essential (what the test joints proved), supplementary (how the work is
done or checked) or editorial; `coldring limits essential-variables` has the class of
every field with its basis. An essential change of a qualified procedure is an error
until the later spec cites a record that the earlier one does not. Both specs are read
with the tables of this program: a difference that comes only from a newer table does
not count.

The notice is written only where there is no error. `coldring explain --json
comparison` documents the JSON.

Exit code: 0 compared, 1 errors in a spec or between the two, 2 could not run.")]
pub(crate) struct CompareArguments {
    /// The earlier spec
    #[arg(value_name = "OLD")]
    pub(crate) old: PathBuf,
    /// The later spec
    #[arg(value_name = "NEW")]
    pub(crate) new: PathBuf,
    /// Write a notice of the changes, as PDF, into this folder
    #[arg(long, value_name = "DIR")]
    pub(crate) notice: Option<PathBuf>,
    /// Print the notice on this paper; overrides the later spec
    #[arg(long, value_enum, requires = "notice")]
    pub(crate) paper: Option<Paper>,
    /// Set the notice in this language; overrides the later spec
    #[arg(long, value_enum, requires = "notice")]
    pub(crate) language: Option<Language>,
    /// Date to check against [default: today]
    #[arg(long, value_name = "DATE", value_parser = date_argument)]
    pub(crate) as_of: Option<NaiveDate>,
    /// How the comparison is printed
    #[arg(long, value_enum, default_value = "text")]
    pub(crate) format: Format,
}

#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  coldring confirm my.yaml                   a worksheet, to fill in by hand
  coldring confirm my.yaml --file > read.yaml

A qualified person with the edition at hand fills in the worksheet. The readings go into
a confirmations file, which the spec names by its path from the spec's own folder:
  figures: {confirmations: read.yaml}
If the edition agrees with the table, the paper cites the edition. If not, that is an
error until the spec says which governs.

Exit code: 0 written, or nothing to confirm, 1 the spec cannot be read, 2 could not run.")]
pub(crate) struct ConfirmArguments {
    /// Spec whose figures to confirm
    #[arg(value_name = "SPEC")]
    pub(crate) spec: PathBuf,
    /// Folder the worksheet goes to
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub(crate) out: PathBuf,
    /// Print on this paper; overrides the spec
    #[arg(long, value_enum)]
    pub(crate) paper: Option<Paper>,
    /// Set the worksheet in the house style of this folder, which holds house.yaml
    #[arg(long, value_name = "DIR")]
    pub(crate) house: Option<PathBuf>,
    /// Write no worksheet; print a confirmations file to fill in
    #[arg(long)]
    pub(crate) file: bool,
}

#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  coldring forms my.yaml                              all of them, blank
  coldring forms my.yaml --only test-sheet --fusers people.yaml
  coldring forms my.yaml --record records/PQ-7.yaml   the record as a form

record-form.pdf is for the test joints that qualify the procedure, test-sheet.pdf for
those that qualify a fuser, joint-log.pdf for the joints of the job, lesson-sheet.pdf
for a trainer. The test sheet says when the next test is due by the rule set that a
roster or --rules chooses for the procedure; without one it leaves the date to the
examiner. Nothing else of the roster is printed. `coldring explain fusers` shows a
filled sheet and its roster entry.

A record names people: its form stays out of the procedure and the manifest.
Exit code: 0 no errors, 1 errors in the spec or the record, 2 could not run.")]
pub(crate) struct FormsArguments {
    /// Spec of the procedure that the joints are made by
    #[arg(value_name = "SPEC")]
    pub(crate) spec: PathBuf,
    /// Print this record as a filled-in form with the result of each test
    #[arg(long, value_name = "FILE", conflicts_with_all = ["only", "fusers", "rules"])]
    pub(crate) record: Option<PathBuf>,
    /// Make only these forms
    #[arg(long, value_enum, value_delimiter = ',', value_name = "FORMS")]
    pub(crate) only: Vec<FormKind>,
    /// Take the rule set from this roster, YAML or CSV
    #[arg(long, value_name = "FILE")]
    pub(crate) fusers: Option<PathBuf>,
    /// Rule set for all procedures or for one: us-gas, HC-SF-104=us-gas, own:12:SOURCE
    #[arg(long, value_name = "RULE", value_parser = Choice::parse)]
    pub(crate) rules: Vec<Choice>,
    /// Folder the forms go to
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub(crate) out: PathBuf,
    /// Print on this paper; overrides the spec
    #[arg(long, value_enum)]
    pub(crate) paper: Option<Paper>,
    /// Set the forms in this language; overrides the spec
    #[arg(long, value_enum)]
    pub(crate) language: Option<Language>,
    /// Set the forms in the house style of this folder, which holds house.yaml
    #[arg(long, value_name = "DIR")]
    pub(crate) house: Option<PathBuf>,
    /// Date to check against [default: today]
    #[arg(long, value_name = "DATE", value_parser = date_argument)]
    pub(crate) as_of: Option<NaiveDate>,
}

#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  coldring explain                        every rule and topic, one line each
  coldring explain face-outside-window    a rule
  coldring explain trouble                a topic: what to do when something goes wrong
  coldring explain spec                   a kind of file, field by field
  coldring explain spec tools.cold_rings  one field, with its place in the file
  coldring explain --json                 the JSON documents
  coldring explain --json findings        what the fields of one hold

Exit code: 0 explained, 2 there is no such rule, topic, file, field or document.")]
pub(crate) struct ExplainArguments {
    /// A rule, as a finding names it, a topic, or a kind of file
    #[arg(value_name = "NAME")]
    pub(crate) name: Option<String>,
    /// One field of that kind of file, and the fields inside it: tools.cold_rings
    #[arg(value_name = "FIELD", conflicts_with = "json")]
    pub(crate) field: Option<String>,
    /// Document the fields of a JSON document; without a name, list all
    #[arg(long, value_name = "NAME", num_args = 0..=1, conflicts_with = "name")]
    pub(crate) json: Option<Option<String>>,
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    /// A longer line of text that is broken by hand is broken again by the terminal, which
    /// leaves a word alone on the next one.
    #[test]
    fn no_help_line_is_longer_than_88_columns() {
        let command = Arguments::command();
        let commands = command.get_subcommands();
        let named = commands.filter_map(|of| {
            let after = of.get_after_long_help()?.to_string();
            Some((of.get_name().to_owned(), after))
        });
        let top = (
            "coldring".to_owned(),
            include_str!("args/top.txt").to_owned(),
        );
        let helps: Vec<_> = named.chain([top]).collect();
        assert!(helps.len() > 20, "{}", helps.len());
        for (name, help) in &helps {
            for line in help.lines() {
                assert!(line.chars().count() <= 88, "{name}: {line}");
            }
        }
    }
}
