//! Arguments of the commands that list figures: published, of a procedure, or
//! estimated.

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::{Args, ValueEnum};

use crate::core::size::{Size, SizeError};
use crate::core::units::{Duration, parse_quantity};
use crate::procedure::plan::Joints;
use crate::published::Basis;
use crate::spec::plausible::{PREPARATION, date_argument};

/// How figures are listed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum TableFormat {
    /// For people.
    Text,
    /// One JSON document.
    Json,
    /// A header and one row each, for a spreadsheet.
    Csv,
}

#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  coldring heat my.yaml
  coldring heat specs/*.yaml --format csv > estimates.csv

A thermal estimate, not validated against measured joints; the published or qualified
time governs. There is a row for each size and wall; a figure's unit is at the end of
its name (_c: °C), and a row without an estimate says why in no_estimate. CSV has the
columns of the JSON, and `coldring explain --json estimates` documents them.

Exit code: 0 estimated, 1 errors in a spec (no table is made for it), 2 could not run.")]
pub(crate) struct HeatArguments {
    /// Specs whose joints to estimate
    #[arg(required = true, value_name = "SPEC")]
    pub(crate) specs: Vec<PathBuf>,
    /// Date to check against [default: today]
    #[arg(long, value_name = "DATE", value_parser = date_argument)]
    pub(crate) as_of: Option<NaiveDate>,
    /// How the estimates are printed
    #[arg(long, value_enum, default_value = "text")]
    pub(crate) format: TableFormat,
}

#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  coldring limits                            every figure
  coldring limits us-cycles --size \"1-1/4 IPS\"
  coldring limits --basis recalled,not-found  what nobody has checked
  coldring limits --format csv > limits.csv
  coldring limits --changes

The value of a figure is a number in the unit of the source, [minimum, maximum] for a
range, the text of a statement, or null for what was looked for and not found. CSV
(UTF-8) has the columns of the JSON, with `least` and `most` (minimum and maximum)
beside value for ranges, and the library's version; `coldring explain --json limits`
documents them.

Exit code: 0 listed, even if nothing matches; 2 could not run.")]
pub(crate) struct LimitsArguments {
    /// One table only
    pub(crate) table: Option<String>,
    /// Only figures known this well
    #[arg(long, value_enum, value_delimiter = ',', value_name = "BASES")]
    pub(crate) basis: Vec<Basis>,
    /// Only figures of this size: 1-1/4 IPS, 1/2 CTS, 63 mm
    #[arg(long, value_parser = size)]
    pub(crate) size: Option<Size>,
    /// How the figures are listed
    #[arg(long, value_enum, default_value = "text")]
    pub(crate) format: TableFormat,
    /// Print what changed in the library from version to version
    #[arg(long, exclusive = true)]
    pub(crate) changes: bool,
}

pub(super) fn size(text: &str) -> Result<Size, &'static str> {
    Size::parse(text).map_err(|error| match error {
        SizeError::NoSystem => "say which system: 1 IPS, 1 CTS, or 63 mm for metric pipe",
        SizeError::NotASize => "a size is written as 1-1/4 IPS, 1/2 CTS or 63 mm",
    })
}

#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  coldring plan my.yaml
  coldring plan my.yaml --joints \"1 IPS=40,2 IPS=12\" --preparation \"6 min\"
  coldring plan my-metric.yaml --joints \"63 mm=20\" --format json

A plan: no time in it shortens one in the procedure. Preparation is never assumed; time
your own crews. In JSON every time has its unit at the end of its name (_s: seconds);
`coldring explain --json plan` documents it. CSV has only the joint times.

Exit code: 0 planned, 1 errors in the spec (no plan is made for it), 2 could not run.")]
pub(crate) struct PlanArguments {
    /// Spec whose joints to plan
    #[arg(value_name = "SPEC")]
    pub(crate) spec: PathBuf,
    /// Joints of the day by size, in the order they are made: 1 IPS=40,2 IPS=12
    #[arg(long, value_delimiter = ',', value_name = "SIZE=COUNT", value_parser = joints)]
    pub(crate) joints: Vec<Joints>,
    /// Cutting, setting the depth and cleaning, for each joint: 6 min
    #[arg(
        long,
        value_name = "TIME",
        value_parser = preparation,
        requires = "joints",
        allow_hyphen_values = true
    )]
    pub(crate) preparation: Option<Duration>,
    /// Date to check against [default: today]
    #[arg(long, value_name = "DATE", value_parser = date_argument)]
    pub(crate) as_of: Option<NaiveDate>,
    /// How the plan is printed
    #[arg(long, value_enum, default_value = "text")]
    pub(crate) format: TableFormat,
}

/// More joints of a size than a crew makes in a year.
const MOST_JOINTS: u32 = 9999;

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
        .filter(|time| PREPARATION.contains(*time))
        .ok_or("write a time of up to a day with its unit, as in 6 min")
}

/// How a resolved procedure is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum ShowFormat {
    /// A spec.
    Yaml,
    /// One JSON document.
    Json,
    /// A header and a row for each figure.
    Csv,
}

#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  coldring show my.yaml --resolved > my-explicit.yaml
  coldring show my.yaml --resolved --format csv > figures.csv

YAML is a spec for the same procedure, with ranges of sizes written out, and with paper,
language, strips and cards stated where the spec leaves them to the program. Numbers
from the tables are comments, since a time in a spec is the organization's own; the
author's comments are lost. Keep it beside the spec: it names the same files.

JSON has every figure with its basis, its standing (for a derived figure, the basis of
its worst input) and its source; `coldring explain --json procedure` documents the
fields. Numbers are in the units of the practice, times in seconds; values are rounded
to one millionth of the unit. CSV has a row for each figure, with a range in `least` and
`most`.

Exit code: 0 shown, 1 errors in the spec (nothing is shown), 2 could not run.")]
pub(crate) struct ShowArguments {
    /// Spec to show
    #[arg(value_name = "SPEC")]
    pub(crate) spec: PathBuf,
    /// With every number and every choice written out
    #[arg(long, required = true)]
    pub(crate) resolved: bool,
    /// Date to check against [default: today]
    #[arg(long, value_name = "DATE", value_parser = date_argument)]
    pub(crate) as_of: Option<NaiveDate>,
    /// How it is printed
    #[arg(long, value_enum, default_value = "yaml")]
    pub(crate) format: ShowFormat,
}
