//! Arguments of the commands that help to write files.

use std::path::PathBuf;

use clap::Args;

use super::figures::size;
use crate::authoring::schema::Kind;
use crate::core::size::Size;
use crate::spec::Service;

#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  coldring new my-procedure.yaml
  coldring new my-gas.yaml --sizes \"3/4 IPS, 1-1/4 IPS\" --service gas
  coldring new my-water.yaml --sizes \"25 mm, 32 mm\" --no-schema
  coldring new records/PQ-001.yaml --record my.yaml
  coldring new my-roster.yaml --roster my.yaml
  coldring new submittal/S-001.yaml --submittal my.yaml
  coldring new my-style/house.yaml --house my.yaml

A file written for a spec already has the spec's number, revision, sizes, walls, times
and limits. Lines for what was measured or done are comments; fill them in.

A schema, coldring-KIND.schema.json, is written beside the file, unless there is one.
Editors that read YAML by a schema, some with an extension for it, then complete words,
show what a field is for and underline what is wrong as you type, without a network.

Exit code: 0 written, 2 could not run.")]
pub(crate) struct NewArguments {
    /// The file to write; one that exists is left alone
    pub(crate) file: PathBuf,
    /// Your sizes: 3/4 IPS, 1 CTS, 63 mm; metric ones are in metric practice
    #[arg(long, value_name = "SIZES", value_delimiter = ',', value_parser = size)]
    pub(crate) sizes: Vec<Size>,
    /// What the pipe carries
    #[arg(long, value_enum, default_value = "water")]
    pub(crate) service: Service,
    /// Write a record of test joints for this spec
    #[arg(long, value_name = "SPEC", group = "beside", conflicts_with_all = ["sizes", "service"])]
    pub(crate) record: Option<PathBuf>,
    /// Write a roster of fusers for this spec
    #[arg(long, value_name = "SPEC", group = "beside", conflicts_with_all = ["sizes", "service"])]
    pub(crate) roster: Option<PathBuf>,
    /// Write a submittal of this spec
    #[arg(long, value_name = "SPEC", group = "beside", conflicts_with_all = ["sizes", "service"])]
    pub(crate) submittal: Option<PathBuf>,
    /// Write a house style, the house.yaml of its folder, for the papers of this spec
    #[arg(long, value_name = "SPEC", group = "beside", conflicts_with_all = ["sizes", "service"])]
    pub(crate) house: Option<PathBuf>,
    /// Write only the file, without the line that names a schema
    #[arg(long)]
    pub(crate) no_schema: bool,
}

#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  coldring schema                     what there is
  coldring schema record              the schema of a record
  coldring schema --out .             all of them, as coldring-KIND.schema.json

An editor takes the schema of a file from a comment at its top, with the path from the
file:
  # yaml-language-server: $schema=coldring-spec.schema.json
The program ignores it. A schema is JSON Schema 2020-12. It says what can be read;
`coldring check` still says what is missing or cannot be right.

Exit code: 0 printed or written, 2 could not run.")]
pub(crate) struct SchemaArguments {
    /// Kind of file; without it, they are listed
    #[arg(value_enum, value_name = "KIND")]
    pub(crate) kind: Option<Kind>,
    /// Write into this folder, replacing earlier ones
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
}
