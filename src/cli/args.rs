//! The command line: every command and option with its help.

mod batch;
mod people;
mod preview;
mod proof;

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::compile::{Correction, PaperKind};
use crate::language::Language;
use crate::limits::Basis;
use crate::plan::Joints;
use crate::shard::Shard;
use crate::size::{Size, SizeError};
use crate::spec::{CardTrim, Flip, Paper};
use crate::units::{Duration, Length, parse_quantity};
pub use batch::MergeArguments;
pub use people::{CardsArguments, FusersArguments, FusersFormat, SubmittalArguments};
pub use preview::PreviewArguments;
pub use proof::{KeysArguments, VerifyArguments};

/// Turns a socket-fusion procedure written as YAML into the written procedure,
/// pocket cards and true-scale depth marks, as PDF.
#[derive(Debug, Parser)]
#[command(
    version,
    max_term_width = 92,
    after_help = "\
Start with:
  coldring new my-procedure.yaml         a commented spec to fill in
  coldring check my-procedure.yaml       what is wrong with it, and how to mend it
  coldring build my-procedure.yaml       the three papers, in out/

The papers advise; they approve nothing. The authority having jurisdiction, the
operator's qualified procedure and the makers' instructions govern."
)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// How this program calls itself for work that is done in a process of its own.
pub const APART: &str = "apart";

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Check specs and write their papers
    Build(BuildArguments),
    /// Print the wallet cards of the fusers who are qualified
    Cards(CardsArguments),
    /// Check specs and write nothing
    Check(CheckArguments),
    /// Tell what differs between two revisions, and what has to be qualified again
    Compare(CompareArguments),
    /// Print a worksheet of the figures that are from memory, to confirm them
    Confirm(ConfirmArguments),
    /// Print the form of a qualification record and the joint log
    Forms(FormsArguments),
    /// List who is qualified under which procedure, until when and why
    Fusers(FusersArguments),
    /// Estimate what the heating times do to the pipe; advice, never a time
    Heat(HeatArguments),
    /// Tell why a rule exists and how to satisfy it; without a rule, list all
    Explain(ExplainArguments),
    /// Make the key pair that signs papers
    Keys(KeysArguments),
    /// List the published figures with size, basis and source
    Limits(LimitsArguments),
    /// Join the manifests of a batch that was made in parts
    Merge(MergeArguments),
    /// Tell how long a joint takes, and estimate a day's joints
    Plan(PlanArguments),
    /// Show the papers of a spec in the browser, as it is typed
    Preview(PreviewArguments),
    /// Show a procedure as it resolves: every figure, or a spec with no choice left open
    Show(ShowArguments),
    /// Bind procedures, records, fusers and attached PDFs into one PDF for review
    Submittal(SubmittalArguments),
    /// Write a commented spec to start from
    New(NewArguments),
    /// Tell what the signed code of a paper proves
    Verify(VerifyArguments),
    /// Work for another process of this program
    #[command(name = APART, hide = true)]
    Apart,
}

/// How findings are printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For people, on standard error.
    Text,
    /// One JSON document on standard output.
    Json,
}

/// Arguments of `build`.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  coldring build specs/*.yaml
  coldring build my.yaml --only card --paper a4 --out /tmp/papers
  coldring build my.yaml --house our-style
  coldring build my.yaml --only depth-marks --measured-x 99.6mm --measured-y 100.2mm
  coldring build specs/*.yaml --shard 3/16 --out out-3      then: coldring merge out-*

Exit code: 0 no errors, 1 errors in a spec (nothing is written for it), 2 could not run.")]
pub struct BuildArguments {
    /// Specs to build
    #[arg(required = true, value_name = "SPEC")]
    pub specs: Vec<PathBuf>,
    /// Folder the papers go to, each procedure in its own
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,
    /// Make only these papers
    #[arg(long, value_enum, value_delimiter = ',', value_name = "PAPERS")]
    pub only: Vec<PaperKind>,
    /// Print on this paper, whatever the spec says
    #[arg(long, value_enum)]
    pub paper: Option<Paper>,
    /// Set the papers in the house style of this folder, which holds house.yaml
    #[arg(long, value_name = "DIR")]
    pub house: Option<PathBuf>,
    /// Cut the cards to this size, whatever the spec says
    #[arg(long, value_enum, value_name = "TRIM")]
    pub card_trim: Option<CardTrim>,
    /// How a sheet of cards is turned, or that it is folded, whatever the spec says
    #[arg(long, value_enum)]
    pub flip: Option<Flip>,
    /// Set the papers in these languages, whatever the spec says: one, or two
    /// with one on each side of the card
    #[arg(long, value_enum, value_delimiter = ',', value_name = "LANGUAGES")]
    pub language: Vec<Language>,
    /// How long your printer prints the 100 mm bar that runs to the right on an
    /// uncorrected page of depth marks; they are corrected by both bars
    #[arg(
        long,
        value_name = "LENGTH",
        value_parser = bar,
        requires = "measured_y",
        allow_hyphen_values = true
    )]
    pub measured_x: Option<Length>,
    /// The same for the 100 mm bar that runs down
    #[arg(
        long,
        value_name = "LENGTH",
        value_parser = bar,
        requires = "measured_x",
        allow_hyphen_values = true
    )]
    pub measured_y: Option<Length>,
    /// Sign the papers with this private key, which `coldring keys` made: each
    /// carries a QR code, and nothing else of it changes
    #[arg(long, value_name = "FILE")]
    pub key: Option<PathBuf>,
    /// Do only this part of a batch that several machines share
    #[arg(long, value_name = "PART/PARTS", value_parser = Shard::parse)]
    pub shard: Option<Shard>,
    /// The date that date rules compare with [default: today]
    #[arg(long, value_name = "DATE")]
    pub as_of: Option<NaiveDate>,
    /// How findings are printed
    #[arg(long, value_enum, default_value = "text")]
    pub format: Format,
    /// Build again what is unchanged
    #[arg(long)]
    pub force: bool,
}

fn bar(text: &str) -> Result<Length, &'static str> {
    let bar = parse_quantity(text)
        .and_then(|quantity| quantity.length())
        .map_err(|_| "write the length with its unit, as in 99.6mm")?;
    if !Correction::is_measurable(bar) {
        return Err(
            "the 100 mm bar prints between 95 and 105 mm: print at 100 %, with no fit to page, \
             and measure again",
        );
    }
    Ok(bar)
}

/// Arguments of `check`.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  coldring check my.yaml
  coldring check specs/*.yaml --format json
  coldring check my.yaml --heat

Exit code: 0 no errors, 1 errors in a spec, 2 could not run.")]
pub struct CheckArguments {
    /// Specs to check
    #[arg(required = true, value_name = "SPEC")]
    pub specs: Vec<PathBuf>,
    /// Do only this part of a batch that several machines share
    #[arg(long, value_name = "PART/PARTS", value_parser = Shard::parse)]
    pub shard: Option<Shard>,
    /// The date that date rules compare with [default: today]
    #[arg(long, value_name = "DATE")]
    pub as_of: Option<NaiveDate>,
    /// How findings are printed
    #[arg(long, value_enum, default_value = "text")]
    pub format: Format,
    /// Run the heat model too, whose rules only warn
    #[arg(long)]
    pub heat: bool,
}

/// Arguments of `compare`.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  coldring compare specs/earlier/my-r1.yaml my.yaml
  coldring compare my-r1.yaml my.yaml --notice out
  coldring compare my-r1.yaml my.yaml --format json

Each change is essential (what the test joints proved), supplementary (how the work is done
or checked) or editorial; `coldring limits essential-variables` has the class of every field
with its basis. An essential change of a qualified procedure is an error until the later spec
cites a record that the earlier one does not. Both specs are read with the tables of this
program: a figure that only the tables have changed is no change.

JSON is {\"version\": 1, \"procedure_requalify\": ..., \"fusers\": ..., \"changes\": [...],
\"findings\": [...]}; fusers is requalify, tell or nothing. The notice is one page, written
only where there is no error.

Exit code: 0 compared, 1 errors in a spec or between the two, 2 could not run.")]
pub struct CompareArguments {
    /// The earlier spec
    #[arg(value_name = "OLD")]
    pub old: PathBuf,
    /// The later spec
    #[arg(value_name = "NEW")]
    pub new: PathBuf,
    /// Write a notice of the changes, as PDF, into this folder
    #[arg(long, value_name = "DIR")]
    pub notice: Option<PathBuf>,
    /// Print the notice on this paper, whatever the later spec says
    #[arg(long, value_enum, requires = "notice")]
    pub paper: Option<Paper>,
    /// Set the notice in this language, whatever the later spec says
    #[arg(long, value_enum, requires = "notice")]
    pub language: Option<Language>,
    /// The date that date rules compare with [default: today]
    #[arg(long, value_name = "DATE")]
    pub as_of: Option<NaiveDate>,
    /// How the comparison is printed
    #[arg(long, value_enum, default_value = "text")]
    pub format: Format,
}

/// Arguments of `heat`.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  coldring heat my.yaml
  coldring heat specs/*.yaml --format csv > estimates.csv

A thermal estimate, not validated against measured joints; the published or qualified time
governs. JSON is {\"version\": 1, \"heading\": ..., \"specs\": [...]}, one row for each size and
wall; a figure's unit stands at the end of its name (_c: °C), and a row without an estimate
says why in no_estimate. CSV has the same columns.

Exit code: 0 estimated, 1 errors in a spec (no table is made for it), 2 could not run.")]
pub struct HeatArguments {
    /// Specs whose joints to estimate
    #[arg(required = true, value_name = "SPEC")]
    pub specs: Vec<PathBuf>,
    /// The date that date rules compare with [default: today]
    #[arg(long, value_name = "DATE")]
    pub as_of: Option<NaiveDate>,
    /// How the estimates are printed
    #[arg(long, value_enum, default_value = "text")]
    pub format: TableFormat,
}

/// Arguments of `confirm`.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  coldring confirm my.yaml                   a worksheet, to fill in by hand
  coldring confirm my.yaml --file > read.yaml

A qualified person with the edition at hand fills in the worksheet. The readings go into a
confirmations file, which the spec names by its path from the spec's own folder:
  figures: {confirmations: read.yaml}
A figure that was read as the tables give it is printed with the edition as its source. One
that was read otherwise is an error until the spec says which governs.

Exit code: 0 written, or nothing to confirm, 1 the spec cannot be read, 2 could not run.")]
pub struct ConfirmArguments {
    /// Spec whose figures to confirm
    #[arg(value_name = "SPEC")]
    pub spec: PathBuf,
    /// Folder the worksheet goes to
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,
    /// Print on this paper, whatever the spec says
    #[arg(long, value_enum)]
    pub paper: Option<Paper>,
    /// Set the worksheet in the house style of this folder, which holds house.yaml
    #[arg(long, value_name = "DIR")]
    pub house: Option<PathBuf>,
    /// Write no worksheet; print a confirmations file to fill in
    #[arg(long)]
    pub file: bool,
}

/// Arguments of `forms`.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  coldring forms my.yaml                              blank, to be written in
  coldring forms my.yaml --record records/PQ-7.yaml   the record as a form

A record names people: its form stays out of the procedure and the manifest.
Exit code: 0 no errors, 1 errors in the spec or the record, 2 could not run.")]
pub struct FormsArguments {
    /// Spec of the procedure that the joints are made by
    #[arg(value_name = "SPEC")]
    pub spec: PathBuf,
    /// Print this record as a form, with what each test came to
    #[arg(long, value_name = "FILE")]
    pub record: Option<PathBuf>,
    /// Folder the forms go to
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,
    /// Print on this paper, whatever the spec says
    #[arg(long, value_enum)]
    pub paper: Option<Paper>,
    /// Set the forms in this language, whatever the spec says
    #[arg(long, value_enum)]
    pub language: Option<Language>,
    /// Set the forms in the house style of this folder, which holds house.yaml
    #[arg(long, value_name = "DIR")]
    pub house: Option<PathBuf>,
    /// Compare dates with this day instead of today
    #[arg(long, value_name = "YYYY-MM-DD")]
    pub as_of: Option<NaiveDate>,
}

/// Arguments of `explain`.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  coldring explain face-outside-window")]
pub struct ExplainArguments {
    /// The rule, as a finding names it
    pub rule: Option<String>,
}

/// How figures are listed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum TableFormat {
    /// For people.
    Text,
    /// One JSON document.
    Json,
    /// A header and one row each, for a spreadsheet.
    Csv,
}

/// Arguments of `limits`.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  coldring limits                            every figure
  coldring limits us-cycles --size \"1-1/4 IPS\"
  coldring limits --basis recalled,not-found what nobody has checked
  coldring limits --format csv > limits.csv
  coldring limits --changes

JSON is {\"version\": 1, \"library\": ..., \"figures\": [...]}. A figure has id, table, size,
kind, value, unit, written, basis, source, note and conflict. Its value is a number in the
unit of the source, [least, most] for a range, the text of a statement, or null for what was
looked for and not found. Fields without content are null. CSV (UTF-8) has the same columns,
with least and most beside value for ranges, and the library's version.

Exit code: 0 listed, even if nothing matches; 2 could not run.")]
pub struct LimitsArguments {
    /// One table only
    pub table: Option<String>,
    /// Only figures known this well
    #[arg(long, value_enum, value_delimiter = ',', value_name = "BASES")]
    pub basis: Vec<Basis>,
    /// Only figures of this size: 1-1/4 IPS, 1/2 CTS, 63 mm
    #[arg(long, value_parser = size)]
    pub size: Option<Size>,
    /// How the figures are listed
    #[arg(long, value_enum, default_value = "text")]
    pub format: TableFormat,
    /// Print what changed in the library from version to version
    #[arg(long, exclusive = true)]
    pub changes: bool,
}

fn size(text: &str) -> Result<Size, &'static str> {
    Size::parse(text).map_err(|error| match error {
        SizeError::NoSystem => "say which system: 1 IPS, 1 CTS, or 63 mm for metric pipe",
        SizeError::NotASize => "a size is written as 1-1/4 IPS, 1/2 CTS or 63 mm",
    })
}

/// Arguments of `plan`.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  coldring plan my.yaml
  coldring plan my.yaml --joints \"1 IPS=40,2 IPS=12\" --preparation \"6 min\"
  coldring plan my.yaml --joints \"63 mm=20\" --format json

A plan: no time in it shortens one in the procedure. Preparation is never assumed; time
it on your own crews. JSON is {\"version\": 1, \"joint_times\": [...], \"day\": ...,
\"assumptions\": [...]}; every time has its unit at the end of its name (_s: seconds).
CSV has the joint times alone.

Exit code: 0 planned, 1 errors in the spec (no plan is made for it), 2 could not run.")]
pub struct PlanArguments {
    /// Spec whose joints to plan
    #[arg(value_name = "SPEC")]
    pub spec: PathBuf,
    /// Joints of the day by size, in the order they are made: 1 IPS=40,2 IPS=12
    #[arg(long, value_delimiter = ',', value_name = "SIZE=COUNT", value_parser = joints)]
    pub joints: Vec<Joints>,
    /// Cutting, setting the depth and cleaning, for each joint: 6 min
    #[arg(
        long,
        value_name = "TIME",
        value_parser = preparation,
        requires = "joints",
        allow_hyphen_values = true
    )]
    pub preparation: Option<Duration>,
    /// The date that date rules compare with [default: today]
    #[arg(long, value_name = "DATE")]
    pub as_of: Option<NaiveDate>,
    /// How the plan is printed
    #[arg(long, value_enum, default_value = "text")]
    pub format: TableFormat,
}

/// More joints of a size than a crew makes in a year.
const MOST_JOINTS: u32 = 9999;

/// A day: what takes longer is no preparation of a joint.
const LONGEST_PREPARATION: Duration = Duration::from_seconds(24 * 3600);

fn joints(text: &str) -> Result<Joints, String> {
    let how = "write size and number, as in 1 IPS=40";
    let (named, count) = text.split_once('=').ok_or(how)?;
    let count = count.trim().parse::<u32>().map_err(|_| how)?;
    if !(1..=MOST_JOINTS).contains(&count) {
        return Err(format!("the number is from 1 to {MOST_JOINTS}"));
    }
    let size = size(named)?;
    Ok(Joints { size, count })
}

fn preparation(text: &str) -> Result<Duration, &'static str> {
    parse_quantity(text)
        .and_then(|quantity| quantity.duration())
        .ok()
        .filter(|time| (Duration::ZERO..=LONGEST_PREPARATION).contains(time))
        .ok_or("write a time of up to a day with its unit, as in 6 min")
}

/// How a resolved procedure is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ShowFormat {
    /// A spec.
    Yaml,
    /// One JSON document.
    Json,
    /// A header and a row for each figure.
    Csv,
}

/// Arguments of `show`.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  coldring show my.yaml --resolved > my-explicit.yaml
  coldring show my.yaml --resolved --format csv > figures.csv

YAML is a spec that resolves to the same procedure: ranges of sizes written out, and paper,
language, strips and cards stated where the spec leaves them to the program. What the tables
add stands in comments, since a time in a spec is the organization's own; the author's
comments are lost. Keep it beside the spec: it names the same files.

JSON is {\"version\": 1, \"procedure\": ..., \"revision\": ..., \"figures\": [...]}. A figure has
size, walls and wall where it is of one; figure (its name), kind, value (a number, the two
ends of a range, words, or null where there is none), unit, written, basis, standing (of a
derived figure that of its worst input), source, and id and conflict in the tables. Numbers
are in the units of the practice, times in seconds; what does not come out even is rounded
to a millionth of the unit. CSV has a row for each figure, with a range in least and most.

Exit code: 0 shown, 1 errors in the spec (nothing is shown), 2 could not run.")]
pub struct ShowArguments {
    /// Spec to show
    #[arg(value_name = "SPEC")]
    pub spec: PathBuf,
    /// With every figure and every choice resolved
    #[arg(long, required = true)]
    pub resolved: bool,
    /// The date that date rules compare with [default: today]
    #[arg(long, value_name = "DATE")]
    pub as_of: Option<NaiveDate>,
    /// How it is printed
    #[arg(long, value_enum, default_value = "yaml")]
    pub format: ShowFormat,
}

/// Arguments of `new`.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  coldring new my-procedure.yaml")]
pub struct NewArguments {
    /// The file to write; one that exists is left alone
    pub file: PathBuf,
}
