//! The command `coldring`: hands the arguments to the library and ends with
//! its exit code.

use std::process::ExitCode;

#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    coldring::cli::run()
}
