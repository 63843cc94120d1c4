//! Arguments of the command that merges the parts of a batch.

use std::path::PathBuf;

use clap::Args;

use super::Format;

#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  coldring build specs/*.yaml --shard 1/2 --out out-1      on one machine
  coldring build specs/*.yaml --shard 2/2 --out out-2      on another
  coldring merge out-1 out-2 --format json > all.json

Every part is given the same specs, roster and options and makes its own share, by a digest
of the procedure number or of the fuser's badge. A part that is missing, and the same paper
with different contents in two folders, are errors. Only manifests are read: that the files
are as listed is for whoever copies them to check by their sha256.

A batch is listed with its missing parts, its specs without papers, and how many could not
be run. Nothing is about people. `coldring explain --json merged` tells what the JSON holds.

Exit code: 0 all fits together, 1 it does not, 2 could not run.")]
pub(crate) struct MergeArguments {
    /// Output folders, as --out named them
    #[arg(required = true, value_name = "DIR")]
    pub(crate) folders: Vec<PathBuf>,
    /// How the list is printed
    #[arg(long, value_enum, default_value = "text")]
    pub(crate) format: Format,
}
