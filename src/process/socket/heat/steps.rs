//! The lengths of time steps: short while a face has just been touched, then
//! in proportion to the time since, as a conduction front slows. The steps do
//! not depend on when the stage ends, except for the last, which is cut to it;
//! so a longer heating time repeats a shorter one and adds to it.

/// Shortest step, s.
const SHORTEST: f64 = 0.01;
/// Step over time elapsed.
const GROWTH: f64 = 0.08;

/// The steps from the start of a stage to its end.
#[derive(Debug, Clone)]
pub(super) struct Steps {
    elapsed: f64,
    end: f64,
    fineness: f64,
}

impl Steps {
    /// Steps of a stage from `elapsed` seconds after its start to its `end`.
    pub(super) fn between(elapsed: f64, end: f64) -> Self {
        Self {
            elapsed,
            end,
            fineness: 1.0,
        }
    }

    /// The same, each step shorter by the factor `fineness`.
    pub(super) fn finer(self, fineness: f64) -> Self {
        Self { fineness, ..self }
    }
}

impl Iterator for Steps {
    /// Length of the step and the time at its end, s.
    type Item = (f64, f64);

    fn next(&mut self) -> Option<(f64, f64)> {
        let left = self.end - self.elapsed;
        if left <= 0.0 {
            return None;
        }
        let step = (GROWTH * self.elapsed).max(SHORTEST) / self.fineness;
        if step < left {
            self.elapsed += step;
            Some((step, self.elapsed))
        } else {
            self.elapsed = self.end;
            Some((left, self.end))
        }
    }
}
