//! Arguments of the commands that read a roster or write the names of people.

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::{Args, ValueEnum};

use super::TableFormat;
use crate::batch::shard::Shard;
use crate::people::fusers::Choice;
use crate::spec::language::Language;
use crate::spec::plausible::date_argument;
use crate::spec::{CardTrim, Flip, Paper};

#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  coldring fusers people.yaml
  coldring fusers people.yaml --as-of 2027-01-15 --procedure AF-JP-12
  coldring fusers people.csv --rules us-gas --rules HC-SF-104=six-months-without-use
  coldring fusers people.csv --rules \"own:12:Operations Manual 7.9\"
  coldring fusers people.yaml --format ics > expiries.ics

A roster is YAML, or CSV by its ending: UTF-8, commas or semicolons, a header, a row for
each fuser and procedure, more rows for more specimens or failed joints. Its columns:
  name, badge, procedure              required; the procedure may be empty
  language                            en, es or another code
  specimen_date, specimen_result, specimen_joint, specimen_revision, specimen_sizes,
  specimen_record                     the result is pass or fail; commas between sizes;
                                      joint, revision and sizes may be empty
  last_production_joint, certificate  dates, year first: 2026-09-14
  production_joints, confirmed        dates with spaces between them
  failed_joint_date, failed_joint_found_by, failed_joint_note
                                      the day it was found, by test or visual
A rule set is chosen in a YAML roster or with --rules, which governs; none is guessed.
`coldring limits fuser-rules` has each with its source. A qualification holds through
its last day, that day included.

`coldring explain --json fusers` documents the JSON; CSV has the fields of its rows as
columns. Text is copied as is; text that a spreadsheet would run as a formula gets a
warning. ICS is a calendar of the last days of those qualified, each with a reminder as
long ahead as --due-within.

A roster is personal data: it is written only to standard output.

Exit code: 0 listed, 1 errors in the roster (nobody is listed), 2 could not run.")]
pub(crate) struct FusersArguments {
    /// Roster of the fusers, YAML or CSV
    #[arg(value_name = "FILE")]
    pub(crate) file: PathBuf,
    /// The day the list is for [default: today]
    #[arg(long, value_name = "DATE", value_parser = date_argument)]
    pub(crate) as_of: Option<NaiveDate>,
    /// Days before expiry that count as due soon
    #[arg(long, value_name = "DAYS", default_value = "60 days", value_parser = days)]
    pub(crate) due_within: u32,
    /// List this procedure only
    #[arg(long, value_name = "NUMBER")]
    pub(crate) procedure: Option<String>,
    /// Rule set for all procedures or for one: us-gas, HC-SF-104=us-gas, own:12:SOURCE
    #[arg(long, value_name = "RULE", value_parser = Choice::parse)]
    pub(crate) rules: Vec<Choice>,
    /// How the list is printed
    #[arg(long, value_enum, default_value = "text")]
    pub(crate) format: FusersFormat,
}

/// How the list of fusers is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum FusersFormat {
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

#[derive(Debug, Args)]
#[command(after_long_help = "\
Example:
  coldring submittal submittal/AF-S-031.yaml

The file says what is submitted and what is enclosed; paths start at its folder, and may
begin with one ../ to reach specs beside it:
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
files, same bytes: dates are checked against the date of the submittal, or --as-of.

Exit code: 0 no errors, 1 errors in a file (nothing is written), 2 could not run.")]
pub(crate) struct SubmittalArguments {
    /// File of the submittal
    #[arg(value_name = "FILE")]
    pub(crate) file: PathBuf,
    /// The day fusers are listed for, instead of the date of the submittal
    #[arg(long, value_name = "DATE", value_parser = date_argument)]
    pub(crate) as_of: Option<NaiveDate>,
    /// Folder the submittal goes to, in one of its own
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub(crate) out: PathBuf,
    /// Print on this paper; overrides the file
    #[arg(long, value_enum)]
    pub(crate) paper: Option<Paper>,
    /// Set the papers in the house style of this folder, which holds house.yaml
    #[arg(long, value_name = "DIR")]
    pub(crate) house: Option<PathBuf>,
}

#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  coldring cards af-jp-12.yaml --fusers people.yaml --as-of 2026-11-25
  coldring cards af-jp-12.yaml --fusers people.csv --rules us-gas --combined
  coldring cards af-jp-12.yaml --fusers people.yaml --previous af-jp-12-r1.yaml
  coldring cards af-jp-12.yaml --fusers people.yaml --key private.pem

Each fuser who is qualified that day under a spec's procedure gets a card: name, badge,
the procedure's number and revision, the last day, that day included, and its figures,
in the fuser's own language. Everybody else is listed with the reason. A specimen counts
for the revision it was made by. For a later one, give the earlier spec with --previous:
it counts if no change requires fusers to requalify. `coldring explain fusers` has more.

Cards are laid out on sheets, about 400 per file, in OUT/cards-DATE. Only the cards name
people. A key puts a signed code on every card; its file must be readable by its owner
only.

JSON has a row for each fuser and procedure on the roster; CSV has the fields of the
rows as columns. `coldring explain --json cards` documents them.

Exit code: 0 printed, 1 errors in a spec (no cards of it) or in the roster (no cards at
all), 2 could not run.")]
pub(crate) struct CardsArguments {
    /// Specs of the procedures, one of each
    #[arg(required = true, value_name = "SPEC")]
    pub(crate) specs: Vec<PathBuf>,
    /// Roster of the fusers, YAML or CSV
    #[arg(long, value_name = "FILE")]
    pub(crate) fusers: PathBuf,
    /// Spec of an earlier revision, to see whether its specimens still count
    #[arg(long, value_name = "SPEC")]
    pub(crate) previous: Vec<PathBuf>,
    /// The day the cards are for [default: today]
    #[arg(long, value_name = "DATE", value_parser = date_argument)]
    pub(crate) as_of: Option<NaiveDate>,
    /// Folder the cards go to
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub(crate) out: PathBuf,
    /// One card with all procedures of a fuser, folded like an accordion
    #[arg(long)]
    pub(crate) combined: bool,
    /// Print on this paper; overrides the specs
    #[arg(long, value_enum)]
    pub(crate) paper: Option<Paper>,
    /// Cut the cards to this size; overrides the specs
    #[arg(long, value_enum, value_name = "TRIM", hide_short_help = true)]
    pub(crate) card_trim: Option<CardTrim>,
    /// How to turn the sheet for the back, or fold it; overrides the specs
    #[arg(long, value_enum, hide_short_help = true)]
    pub(crate) flip: Option<Flip>,
    /// Set all cards in this language; overrides the roster
    #[arg(long, value_enum)]
    pub(crate) language: Option<Language>,
    /// Set the cards in the house style of this folder, which holds house.yaml
    #[arg(long, value_name = "DIR", hide_short_help = true)]
    pub(crate) house: Option<PathBuf>,
    /// Rule set for all procedures or for one: us-gas, HC-SF-104=us-gas, own:12:SOURCE
    #[arg(long, value_name = "RULE", value_parser = Choice::parse)]
    pub(crate) rules: Vec<Choice>,
    /// Sign a code on every card with this private key
    ///
    /// PKCS #8 in PEM, as `coldring keys` makes it.
    #[arg(long, value_name = "FILE")]
    pub(crate) key: Option<PathBuf>,
    /// Do only this part of a batch that several machines share
    #[arg(long, value_name = "PART/PARTS", value_parser = Shard::parse, hide_short_help = true)]
    pub(crate) shard: Option<Shard>,
    /// How the list of cards is printed
    #[arg(long, value_enum, default_value = "text")]
    pub(crate) format: TableFormat,
}
