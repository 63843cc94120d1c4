//! The command `coldring`: hands the arguments to the library and ends with
//! its exit code.

use std::process::ExitCode;

fn main() -> ExitCode {
    coldring::cli::run()
}
