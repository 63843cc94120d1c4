//! Arguments of the preview in the browser.

use std::path::PathBuf;

use chrono::NaiveDate;

use crate::spec::plausible::date_argument;
use clap::Args;

#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  coldring preview my.yaml
  coldring preview my.yaml --house our-style --port 8765

Prints a link to a page on this computer: the spec to edit with a list of its fields,
what is wrong with it, and its papers as they would be printed, the card first. Where
the text that fixes a finding is known, a button writes it into the page, not into the
file. The link works once, for one browser; more tabs of that browser may follow. The
page uses no network, and the file is written only when you save. Ctrl-C ends it.

Exit code: 0 ended, 2 could not run.")]
pub(crate) struct PreviewArguments {
    /// Spec to edit and look at
    #[arg(value_name = "SPEC")]
    pub(crate) spec: PathBuf,
    /// Port on this computer [default: a free one]
    #[arg(
        long,
        value_name = "PORT",
        default_value_t = 0,
        hide_default_value = true
    )]
    pub(crate) port: u16,
    /// Set the papers in the house style of this folder, which holds house.yaml
    #[arg(long, value_name = "DIR")]
    pub(crate) house: Option<PathBuf>,
    /// Date to check against [default: today]
    #[arg(long, value_name = "DATE", value_parser = date_argument)]
    pub(crate) as_of: Option<NaiveDate>,
}
