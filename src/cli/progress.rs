//! The progress bar; nothing where standard error is not a terminal.

use std::fmt::Write;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressState, ProgressStyle};

use super::verbosity::{Level, is_shown};

/// Fewer are done before anybody could read it.
const FEWEST: usize = 2;

const TEMPLATE: &str = "{prefix} {pos} of {len}  {bar:24}  {rate}, {eta} left";

pub(crate) struct Progress(ProgressBar);

impl Progress {
    /// A bar for `count` things; hidden unless `shown`, and with `--quiet` or
    /// `--verbose`, whose lines would run through it.
    pub(crate) fn new(doing: &'static str, count: usize, shown: bool) -> Self {
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
            // It does not matter if it cannot be drawn.
            let _ = write!(line, "{:.1} a second", state.per_sec());
        };
        let bar = match ProgressStyle::with_template(TEMPLATE) {
            Ok(style) => bar.with_style(style.with_key("rate", rate)),
            Err(_) => bar,
        };
        Self(bar.with_prefix(doing))
    }

    pub(crate) fn inc(&self) {
        self.0.inc(1);
    }

    /// Advances by `more`, of `of` in all.
    pub(crate) fn advance(&self, more: usize, of: usize) {
        let number = |count| u64::try_from(count).unwrap_or(u64::MAX);
        self.0.set_length(number(of));
        self.0.inc(number(more));
    }

    /// Does work that prints, with the bar out of its way.
    pub(crate) fn suspend<T>(&self, work: impl FnOnce() -> T) -> T {
        self.0.suspend(work)
    }

    pub(crate) fn finish(&self) {
        self.0.finish_and_clear();
    }
}
