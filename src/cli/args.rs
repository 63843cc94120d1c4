//! The command line: every command and option with its help.

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::compile::{Correction, PaperKind};
use crate::fusers::Choice;
use crate::language::Language;
use crate::limits::Basis;
use crate::plan::Joints;
use crate::size::{Size, SizeError};
use crate::spec::{CardTrim, Flip, Paper};
use crate::units::{Duration, Length, parse_quantity};

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
    /// Tell how long a joint takes, and estimate a day's joints
    Plan(PlanArguments),
    /// Bind procedures, records, fusers and attached PDFs into one PDF for review
    Submittal(SubmittalArguments),
    /// Write a commented spec to start from
    New(NewArguments),
    /// Tell what the signed code of a paper proves
    Verify(VerifyArguments),
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
    /// The date that date rules compare with [default: today]
    #[arg(long, value_name = "DATE")]
    pub as_of: Option<NaiveDate>,
    /// How findings are printed
    #[arg(long, value_enum, default_value = "text")]
    pub format: Format,
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

/// Arguments of `fusers`.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  coldring fusers people.yaml
  coldring fusers people.yaml --as-of 2027-01-15 --procedure AF-JP-12
  coldring fusers people.csv --rules us-gas --rules HC-SF-104=six-months-without-use
  coldring fusers people.csv --rules \"own:12:Operations Manual 7.9\"
  coldring fusers people.yaml --format ics > expiries.ics

A roster is YAML, or CSV by its ending: UTF-8, commas or semicolons, a header, a row for
each fuser and procedure, more rows for more specimens or failed joints. Its columns:
  name, badge, procedure              always there; the procedure may be empty
  language                            en, es or another code
  specimen_date, specimen_result, specimen_joint, specimen_record
                                      the result is pass or fail; the joint may be empty
  last_production_joint, certificate  dates, year first: 2026-09-14
  confirmed                           dates with spaces between them
  failed_joint_date, failed_joint_found_by, failed_joint_note
                                      the day it was found, by test or visual
A rule set is chosen in a YAML roster or with --rules, which governs; none is guessed.
`coldring limits fuser-rules` has each with its source. A qualification holds through its
last day, that day included.

JSON is {\"version\": 1, \"as_of\": ..., \"rows\": [...]}; CSV has the fields of the rows as
columns. Texts are written as they stand on the roster; one that a spreadsheet would take
for a formula is a warning. ICS is a calendar of the last days of those qualified, each
with a reminder as long ahead as --due-within.

A roster is about people: nothing of it is written anywhere but to standard output.

Exit code: 0 listed, 1 errors in the roster (nobody is listed), 2 could not run.")]
pub struct FusersArguments {
    /// Roster of the fusers, YAML or CSV
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// The day the list is for [default: today]
    #[arg(long, value_name = "DATE")]
    pub as_of: Option<NaiveDate>,
    /// How long ahead the end of a qualification is due soon
    #[arg(long, value_name = "DAYS", default_value = "60 days", value_parser = days)]
    pub due_within: u32,
    /// List this procedure only
    #[arg(long, value_name = "NUMBER")]
    pub procedure: Option<String>,
    /// Rule set for all procedures or for one: us-gas, HC-SF-104=us-gas, own:12:SOURCE
    #[arg(long, value_name = "RULE", value_parser = Choice::parse)]
    pub rules: Vec<Choice>,
    /// How the list is printed
    #[arg(long, value_enum, default_value = "text")]
    pub format: FusersFormat,
}

/// How the list of fusers is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum FusersFormat {
    /// For people.
    Text,
    /// One JSON document.
    Json,
    /// A header and one row each, for a spreadsheet.
    Csv,
    /// A calendar of the last days.
    Ics,
}

/// Ten years: no rule set looks further ahead.
const MOST_DAYS: u32 = 3650;

fn days(text: &str) -> Result<u32, String> {
    let text = text.trim();
    let number = text
        .strip_suffix("days")
        .or_else(|| text.strip_suffix("day"))
        .unwrap_or(text);
    let days = number.trim().parse::<u32>().ok();
    days.filter(|days| *days <= MOST_DAYS)
        .ok_or_else(|| format!("write a number of days up to {MOST_DAYS}, as in 60 days"))
}

/// Arguments of `submittal`.
#[derive(Debug, Args)]
#[command(after_help = "\
Example:
  coldring submittal submittal/AF-S-031.yaml

The file says what the submittal is of and what it encloses; paths start at its folder, and
may begin with one ../ to reach specs that stand beside it:
  coldring-submittal: 1
  number: AF-S-031
  revision: 0
  date: 2026-11-25
  title: Socket fusion of gas service pipe
  project: Mill Lane main replacement
  contract: MLM-26-04                       may be left out
  section: 7.3, Joining of plastic pipe
  submitted_by: {name: Alder Fork Gas, lines: [12 Weir Street]}
  submitted_to: {name: Tarn Bridge Engineers}
  remarks: [Replaces the submittal of May.] may be left out, like all below
  paper: letter                             or a4
  language: en                              or es
  procedures:
    - {spec: ../procedure.yaml, records: [../records/PQ-7.yaml]}
  fusers: {roster: ../people/fusers.yaml, badges: [AF-014], rules: [us-gas]}
  attachments:
    - {file: attachments/certificate.pdf, title: Material certificate}

It goes into a folder of its own, since records and the list of fusers name people. Same
files, same bytes: findings about dates go by the date of the submittal unless told otherwise.

Exit code: 0 no errors, 1 errors in a file (nothing is written), 2 could not run.")]
pub struct SubmittalArguments {
    /// File of the submittal
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// The day fusers are listed for, instead of the date of the submittal
    #[arg(long, value_name = "DATE")]
    pub as_of: Option<NaiveDate>,
    /// Folder the submittal goes to, in one of its own
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,
    /// Print on this paper, whatever the file says
    #[arg(long, value_enum)]
    pub paper: Option<Paper>,
    /// Set the papers in the house style of this folder, which holds house.yaml
    #[arg(long, value_name = "DIR")]
    pub house: Option<PathBuf>,
}

/// Arguments of `cards`.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  coldring cards af-jp-12.yaml --fusers people.yaml --as-of 2026-11-25
  coldring cards specs/*.yaml --fusers people.csv --rules us-gas --combined
  coldring cards af-jp-12.yaml --fusers people.yaml --key private.pem

Each fuser who is qualified that day under a spec's procedure gets a card: name, badge, the
procedure's number and revision, the last day, that day included, and its figures, in the
fuser's own language. Everybody else is listed with the reason. A roster names procedures
by number; whether a new revision asks for qualifying again is for a qualified person.
`coldring fusers` says by which rule somebody is qualified.

Cards come imposed on sheets, some 400 in a file, into OUT/cards-DATE. The files name people
on the cards only. A key puts a signed code on every card; its file may be read by nobody
but its owner.

JSON is {\"version\": 1, \"as_of\": ..., \"files\": [...], \"rows\": [...]}, one row for each
fuser and procedure on the roster; CSV has the fields of the rows as columns.

Exit code: 0 printed, 1 errors in a spec (no cards of it) or in the roster (no cards at
all), 2 could not run.")]
pub struct CardsArguments {
    /// Specs of the procedures, one of each
    #[arg(required = true, value_name = "SPEC")]
    pub specs: Vec<PathBuf>,
    /// Roster of the fusers, YAML or CSV
    #[arg(long, value_name = "FILE")]
    pub fusers: PathBuf,
    /// The day the cards are for [default: today]
    #[arg(long, value_name = "DATE")]
    pub as_of: Option<NaiveDate>,
    /// Folder the cards go to
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,
    /// One card with all procedures of a fuser, folded like an accordion
    #[arg(long)]
    pub combined: bool,
    /// Print on this paper, whatever the specs say
    #[arg(long, value_enum)]
    pub paper: Option<Paper>,
    /// Cut the cards to this size, whatever the specs say
    #[arg(long, value_enum, value_name = "TRIM")]
    pub card_trim: Option<CardTrim>,
    /// How a sheet of cards is turned, or that it is folded, whatever the specs say
    #[arg(long, value_enum)]
    pub flip: Option<Flip>,
    /// Set all cards in this language, whatever the fusers read
    #[arg(long, value_enum)]
    pub language: Option<Language>,
    /// Word the figures in the house style of this folder, which holds house.yaml
    #[arg(long, value_name = "DIR")]
    pub house: Option<PathBuf>,
    /// Rule set for all procedures or for one: us-gas, HC-SF-104=us-gas, own:12:SOURCE
    #[arg(long, value_name = "RULE", value_parser = Choice::parse)]
    pub rules: Vec<Choice>,
    /// Sign a code on every card with this private key, PKCS #8 in PEM
    #[arg(long, value_name = "FILE")]
    pub key: Option<PathBuf>,
    /// How the list of cards is printed
    #[arg(long, value_enum, default_value = "text")]
    pub format: TableFormat,
}

/// Arguments of `keys`.
#[derive(Debug, Args)]
#[command(after_help = "\
Example:
  coldring keys alder-fork --out ~/keys
  coldring build my.yaml --key ~/keys/alder-fork.private.pem

NAME.private.pem signs (Ed25519, PKCS #8): whoever has it can sign papers in your
organization's name, so keep it off shared drives and out of version control, and keep a
copy where a fire does not reach. NAME.public.pem verifies (SPKI): hand it to inspectors,
in person or on a page of yours they already trust. Neither file is ever overwritten.

Exit code: 0 written, 2 could not run.")]
pub struct KeysArguments {
    /// What the two files are called
    #[arg(value_name = "NAME")]
    pub name: String,
    /// Folder they go to
    #[arg(long, value_name = "DIR", default_value = ".")]
    pub out: PathBuf,
}

/// Arguments of `verify`.
#[derive(Debug, Args)]
#[command(
    group = clap::ArgGroup::new("paper").required(true),
    after_help = "\
Examples:
  coldring verify procedure.pdf --trust alder-fork.public.pem
  coldring verify card.pdf --trust alder-fork.public.pem --spec specs/alder-fork-gas.yaml
  coldring verify --text \"COLDRING/1/WALLET/...\" --trust alder-fork.public.pem
  coldring verify scan.pdf --trust alder-fork.public.pem --register current.csv

Codes of a PDF are read as the eye sees them, so a scan of 300 dots an inch or more will
do. Each is answered line by line: `proven`; `FALSE`; `missing`, asked for and not to be had; `unchecked`. The pages are
proven only when the spec makes the same file again, byte for byte. Otherwise compare the
paper with one from the organization: a code can be copied onto another paper.

A register says which revision is current: CSV with the columns number, revision and, where
a procedure was withdrawn, withdrawn with the day; or YAML with the same keys:
  procedures:
    - {number: AF-JP-12, revision: 3}
    - {number: AF-JP-09, revision: 1, withdrawn: 2026-05-01}

The text of a code, version 1, is fields with / between them:
  COLDRING/1/PAPER/BADGE/ then for each procedure NUMBER/REVISION/STATUS/DIGEST/UNTIL/
  then KEY/SIGNATURE
PAPER is PROCEDURE, CARD, MARKS or WALLET; BADGE stands on wallet cards; STATUS is DRAFT,
QUALIFIED or WITHDRAWN; DIGEST is the first 32 hex digits of the spec's SHA-256 (with the
files it names, of the lines `role digest` of all of them); UNTIL is the last valid day of
a person's qualification; KEY is the first 8 hex digits of the SHA-256 of the public key's
32 bytes; SIGNATURE is Ed25519 (RFC 8032) in base 32 (RFC 4648, unpadded) over all that
stands before its /. Other characters are written as in a URL (RFC 3986), lower case too.

JSON is {\"version\": 1, \"codes\": [{..., \"checks\": [{\"check\", \"verdict\", \"said\"}]}], ...}.

A signature tells who issued a paper. It approves nothing, and says nothing of whether the
procedure is sound.

Exit code: 0 nothing is false or missing, 1 something is, 2 could not run.")]
pub struct VerifyArguments {
    /// Paper to verify, as PDF
    #[arg(value_name = "PDF", group = "paper")]
    pub pdf: Option<PathBuf>,
    /// Text of a QR code, as a telephone reads it
    #[arg(long, value_name = "TEXT", group = "paper")]
    pub text: Option<String>,
    /// Public key of the organization; several may be trusted
    #[arg(long, required = true, value_name = "FILE")]
    pub trust: Vec<PathBuf>,
    /// Register of current revisions, CSV or YAML
    #[arg(long, value_name = "FILE")]
    pub register: Option<PathBuf>,
    /// The day for which last days and withdrawals are told [default: today]
    #[arg(long, value_name = "DATE")]
    pub as_of: Option<NaiveDate>,
    /// The spec that the paper was made from, beside the files it names
    #[arg(long, value_name = "SPEC")]
    pub spec: Option<PathBuf>,
    /// A record that the attached spec names; records are never attached
    #[arg(long, value_name = "FILE", conflicts_with = "spec")]
    pub record: Vec<PathBuf>,
    /// The house style that the paper is set in, where it is not attached
    #[arg(long, value_name = "DIR")]
    pub house: Option<PathBuf>,
    /// How the answer is printed
    #[arg(long, value_enum, default_value = "text")]
    pub format: Format,
}

/// Arguments of `new`.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  coldring new my-procedure.yaml")]
pub struct NewArguments {
    /// The file to write; one that exists is left alone
    pub file: PathBuf,
}
