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

Give every part the same files and options; procedures and badges are split by digest. A
part that is missing, and the same paper with different contents in two folders, are
errors. Only manifests are read: check the copied files with their sha256 yourself.

A batch is listed with its missing parts, its specs without papers, and how many could
not be run. It names no people. `coldring explain --json merged` documents the JSON.

Exit code: 0 complete and consistent, 1 not, 2 could not run.")]
pub(crate) struct MergeArguments {
    /// Output folders, as --out named them
    #[arg(required = true, value_name = "DIR")]
    pub(crate) folders: Vec<PathBuf>,
    /// How the list is printed
    #[arg(long, value_enum, default_value = "text")]
    pub(crate) format: Format,
}
