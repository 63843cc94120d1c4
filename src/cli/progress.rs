//! A line on the terminal while many things are done: how many, how fast, how
//! long still. Nothing where standard error is no terminal, as in a log.

use std::fmt::Write;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressState, ProgressStyle};

use super::verbosity::{Level, is_shown};

/// Fewer are done before anybody has read the line.
const FEWEST: usize = 2;

const TEMPLATE: &str = "{prefix} {pos} of {len}  {bar:24}  {rate}, {eta} left";

/// The line.
pub struct Progress(ProgressBar);

impl Progress {
    /// For so many things; hidden unless it is to be `shown`, and where more or
    /// less is said than usual: the lines of `--verbose` would run through it.
    pub fn new(doing: &'static str, count: usize, shown: bool) -> Self {
        let usual = is_shown(Level::Usual) && !is_shown(Level::Verbose);
        let target = if shown && usual && count >= FEWEST {
            // Draws nothing where standard error is not a terminal.
            ProgressDrawTarget::stderr()
        } else {
            ProgressDrawTarget::hidden()
        };
        let count = u64::try_from(count).unwrap_or(u64::MAX);
        let bar = ProgressBar::with_draw_target(Some(count), target);
        let rate = |state: &ProgressState, line: &mut dyn Write| {
            // A line that cannot be drawn is not missed.
            let _ = write!(line, "{:.1} a second", state.per_sec());
        };
        let bar = match ProgressStyle::with_template(TEMPLATE) {
            Ok(style) => bar.with_style(style.with_key("rate", rate)),
            Err(_) => bar,
        };
        Self(bar.with_prefix(doing))
    }

    /// One more is done.
    pub fn inc(&self) {
        self.0.inc(1);
    }

    /// So many more are done, of so many in all.
    pub fn advance(&self, more: usize, of: usize) {
        let number = |count| u64::try_from(count).unwrap_or(u64::MAX);
        self.0.set_length(number(of));
        self.0.inc(number(more));
    }

    /// Does what prints, with the line out of its way.
    pub fn suspend<T>(&self, work: impl FnOnce() -> T) -> T {
        self.0.suspend(work)
    }

    /// Takes the line away.
    pub fn finish(&self) {
        self.0.finish_and_clear();
    }
}
