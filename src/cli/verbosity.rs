//! How much a run prints beside what it was asked for: `--quiet` and
//! `--verbose`, set once at the start. One value for the process, because only
//! printing depends on it.

use std::fmt::Display;
use std::sync::atomic::{AtomicU8, Ordering};
use std::time::Instant;

use super::args::Verbosity;

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[repr(u8)]
pub(crate) enum Level {
    /// Errors, and the answer that was asked for.
    Quiet,
    /// Also what was written, warnings and notes.
    Usual,
    /// Also what was read and decided, and how long it took.
    Verbose,
}

static LEVEL: AtomicU8 = AtomicU8::new(Level::Usual as u8);

/// Sets the level of this run.
pub(crate) fn set(flags: &Verbosity) {
    let level = match (flags.quiet, flags.verbose) {
        (true, _) => Level::Quiet,
        (false, true) => Level::Verbose,
        (false, false) => Level::Usual,
    };
    LEVEL.store(level as u8, Ordering::Relaxed);
}

/// Whether what is printed at a level is shown.
pub(crate) fn is_shown(level: Level) -> bool {
    LEVEL.load(Ordering::Relaxed) >= level as u8
}

/// Prints on standard output what was done, unless `--quiet`.
pub(crate) fn print_status(text: &str) {
    if is_shown(Level::Usual) {
        super::print(text);
    }
}

/// Prints the paths of files that were written.
pub(crate) fn print_written(paths: &[String]) {
    for path in paths {
        print_status(&format!("wrote {path}\n"));
    }
}

/// Prints on standard error what is read or decided, with `--verbose`.
pub(crate) fn log_detail(text: impl FnOnce() -> String) {
    if is_shown(Level::Verbose) {
        super::print_stderr(&text());
    }
}

/// Does work and logs how long it took.
pub(crate) fn log_time<T>(what: impl Display, work: impl FnOnce() -> T) -> T {
    let started = Instant::now();
    let done = work();
    log_detail(|| {
        let milliseconds = started.elapsed().as_secs_f64() * 1000.0;
        format!("{what}: {milliseconds:.1} ms")
    });
    done
}
