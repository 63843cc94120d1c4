//! Arguments of the commands that check specs and make their papers.

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::{Args, ValueEnum};

use super::Format;
use crate::batch::shard::Shard;
use crate::core::units::{Length, parse_quantity};
use crate::papers::compile::{Correction, PaperKind};
use crate::spec::language::Language;
use crate::spec::plausible::date_argument;
use crate::spec::{CardTrim, Flip, Paper};

#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  coldring check my.yaml
  coldring check specs/*.yaml --format json
  coldring check specs/*.yaml --format sarif > findings.sarif
  coldring check my.yaml --heat --explain

`coldring explain --json findings` documents the JSON. SARIF is the OASIS format,
version 2.1.0, that build servers and editors read; paths in it are as you gave them,
and columns count Unicode characters.

Exit code: 0 no errors, 1 errors in a spec, 2 could not run.")]
pub(crate) struct CheckArguments {
    /// Specs to check
    #[arg(required = true, value_name = "SPEC")]
    pub(crate) specs: Vec<PathBuf>,
    /// Do only this part of a batch that several machines share
    #[arg(long, value_name = "PART/PARTS", value_parser = Shard::parse)]
    pub(crate) shard: Option<Shard>,
    /// Date to check against [default: today]
    #[arg(long, value_name = "DATE", value_parser = date_argument)]
    pub(crate) as_of: Option<NaiveDate>,
    /// How findings are printed
    #[arg(long, value_enum, default_value = "text")]
    pub(crate) format: CheckFormat,
    /// Also run the thermal estimate; it only warns
    #[arg(long)]
    pub(crate) heat: bool,
    /// Show each finding with its lines of the spec and the reason
    #[arg(long)]
    pub(crate) explain: bool,
}

/// How `check` prints findings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum CheckFormat {
    /// For people, on standard error.
    Text,
    /// One JSON document on standard output.
    Json,
    /// One SARIF 2.1.0 log on standard output.
    Sarif,
}

#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  coldring build specs/*.yaml
  coldring build my.yaml --only card --paper a4 --out papers
  coldring build my.yaml --house our-style
  coldring build my.yaml --only depth-marks --measured-x 99.6mm --measured-y 100.2mm
  coldring build my.yaml --image png --image-resolution 200
  coldring build specs/*.yaml --shard 3/16 --out out-3      then: coldring merge out-*

With --image a picture of each page is written beside the PDF, procedure-01.png, for
viewing and for other documents. Print from the PDF: a picture of depth marks is to
scale only if it is printed at 100 %, so check its bars with a ruler.

`coldring explain --json` documents the JSON and the manifest.

Exit code: 0 no errors, 1 errors in a spec (nothing is written for it), 2 could not run.")]
pub(crate) struct BuildArguments {
    /// What is built, and how.
    #[command(flatten)]
    pub(crate) papers: PapersArguments,
    /// Do only this part of a batch that several machines share
    #[arg(long, value_name = "PART/PARTS", value_parser = Shard::parse, hide_short_help = true)]
    pub(crate) shard: Option<Shard>,
    /// How findings are printed
    #[arg(long, value_enum, default_value = "text")]
    pub(crate) format: Format,
    /// Rebuild even if nothing changed
    #[arg(long)]
    pub(crate) force: bool,
}

#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  coldring watch my.yaml
  coldring watch specs/*.yaml --house our-style --only card
  coldring watch submittal/AF-S-031.yaml

The papers are built at the start, and again whenever the spec is saved, or any file it
was built from: its records and confirmations, the house style. Unchanged papers are
left alone. A finding is printed once, then only counted. An error stops nothing: fix it
and save. If a file is missing, watch waits for it.

The file of a submittal is watched too, with the specs, records, roster and PDFs that it
encloses; only --out, --paper, --house and --as-of apply to it.

End it with Ctrl-C: a paper being written is finished first.

Exit code: 0 ended with Ctrl-C, 2 could not run.")]
pub(crate) struct WatchArguments {
    /// What is built, and how.
    #[command(flatten)]
    pub(crate) papers: PapersArguments,
}

/// Arguments of both `build` and `watch`.
#[derive(Debug, Args)]
pub(crate) struct PapersArguments {
    /// Specs to build
    #[arg(required = true, value_name = "SPEC")]
    pub(crate) specs: Vec<PathBuf>,
    /// Folder the papers go to
    ///
    /// Each procedure has a folder of its own in it.
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub(crate) out: PathBuf,
    /// Make only these papers
    #[arg(long, value_enum, value_delimiter = ',', value_name = "PAPERS")]
    pub(crate) only: Vec<PaperKind>,
    /// Print on this paper; overrides the spec
    #[arg(long, value_enum)]
    pub(crate) paper: Option<Paper>,
    /// Set the papers in the house style of this folder
    ///
    /// The folder holds house.yaml.
    #[arg(long, value_name = "DIR")]
    pub(crate) house: Option<PathBuf>,
    /// Cut the cards to this size; overrides the spec
    #[arg(long, value_enum, value_name = "TRIM", hide_short_help = true)]
    pub(crate) card_trim: Option<CardTrim>,
    /// How to turn the sheet for the back, or fold it; overrides the spec
    #[arg(long, value_enum, hide_short_help = true)]
    pub(crate) flip: Option<Flip>,
    /// Set the papers in these languages; overrides the spec
    ///
    /// One, or two with one on each side of the card.
    #[arg(long, value_enum, value_delimiter = ',', value_name = "LANGUAGES")]
    pub(crate) language: Vec<Language>,
    /// Length measured on the horizontal 100 mm bar of an uncorrected sheet of depth marks;
    /// give both bars, and the sheet is corrected
    #[arg(
        long,
        value_name = "LENGTH",
        value_parser = bar,
        requires = "measured_y",
        allow_hyphen_values = true,
        hide_short_help = true
    )]
    pub(crate) measured_x: Option<Length>,
    /// Length measured on the vertical 100 mm bar
    #[arg(
        long,
        value_name = "LENGTH",
        value_parser = bar,
        requires = "measured_x",
        allow_hyphen_values = true,
        hide_short_help = true
    )]
    pub(crate) measured_y: Option<Length>,
    /// Sign the papers with this private key
    ///
    /// `coldring keys` makes one. Each paper carries a QR code; nothing else on it
    /// changes.
    #[arg(long, value_name = "FILE")]
    pub(crate) key: Option<PathBuf>,
    /// Write a picture of each page beside its PDF
    #[arg(long, value_enum, value_name = "FORM")]
    pub(crate) image: Option<ImageForm>,
    /// Resolution of PNG pictures in dots per inch, 36 to 600 [default: 110]
    #[arg(
        long,
        value_name = "DPI",
        value_parser = clap::value_parser!(u16).range(36..=600),
        requires = "image",
        hide_short_help = true
    )]
    pub(crate) image_resolution: Option<u16>,
    /// Date to check against [default: today]
    #[arg(long, value_name = "DATE", value_parser = date_argument, hide_short_help = true)]
    pub(crate) as_of: Option<NaiveDate>,
}

/// What pictures of pages are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum ImageForm {
    /// Pixels.
    Png,
    /// Lines and outlines, at true size.
    Svg,
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
