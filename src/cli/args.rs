//! The command line: every command and option with its help.

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::compile::PaperKind;
use crate::spec::Paper;

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
    /// Check specs and write nothing
    Check(CheckArguments),
    /// Tell why a rule exists and how to satisfy it; without a rule, list all
    Explain(ExplainArguments),
    /// List the published figures with size, basis and source
    Limits(LimitsArguments),
    /// Write a commented spec to start from
    New(NewArguments),
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
    /// The date that date rules compare with [default: today]
    #[arg(long, value_name = "DATE")]
    pub as_of: Option<NaiveDate>,
    /// How findings are printed
    #[arg(long, value_enum, default_value = "text")]
    pub format: Format,
}

/// Arguments of `check`.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  coldring check my.yaml
  coldring check specs/*.yaml --format json

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
}

/// Arguments of `explain`.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  coldring explain face-outside-window")]
pub struct ExplainArguments {
    /// The rule, as a finding names it
    pub rule: Option<String>,
}

/// Arguments of `limits`.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  coldring limits\n  coldring limits us-cycles")]
pub struct LimitsArguments {
    /// One table only
    pub table: Option<String>,
}

/// Arguments of `new`.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  coldring new my-procedure.yaml")]
pub struct NewArguments {
    /// The file to write; one that exists is left alone
    pub file: PathBuf,
}
