//! Functions given by their values: rows of unequal spacing as people write
//! them, and evenly spaced tables that the solver can look up in constant time.

/// Rows of temperature (or offset) and value, linear between them.
pub(crate) type Rows = Vec<[f64; 2]>;

/// Linear between `rows`, held at the ends.
pub(super) fn interpolate(rows: &Rows, x: f64) -> f64 {
    let mut before: Option<[f64; 2]> = None;
    for &[at, value] in rows {
        if x <= at {
            return match before {
                Some([from, start]) => start + (value - start) * (x - from) / (at - from),
                None => value,
            };
        }
        before = Some([at, value]);
    }
    before.map_or(0.0, |[_, value]| value)
}

/// A function sampled at equal steps, linear between the samples and beyond
/// their ends.
#[derive(Debug, Clone)]
pub(super) struct UniformTable {
    first: f64,
    step: f64,
    /// 1 / step, because the solver spends much of its time here.
    per_step: f64,
    /// Value at the start of each step, and slope over it.
    pieces: Vec<(f64, f64)>,
}

impl UniformTable {
    /// Samples at `first`, `first + step`, ...
    pub(super) fn new(first: f64, step: f64, samples: &[f64]) -> Self {
        let pieces = samples
            .windows(2)
            .filter_map(|pair| match pair {
                [a, b] => Some((*a, (b - a) / step)),
                _ => None,
            })
            .collect();
        Self {
            first,
            step,
            per_step: 1.0 / step,
            pieces,
        }
    }

    /// Value and slope at `x`.
    pub(super) fn at(&self, x: f64) -> (f64, f64) {
        // A float below zero casts to piece 0, so both ends extrapolate.
        let piece =
            (((x - self.first) * self.per_step) as usize).min(self.pieces.len().saturating_sub(1));
        let (start, slope) = self.pieces.get(piece).copied().unwrap_or_default();
        let from = self.first + self.step * piece as f64;
        (start + slope * (x - from), slope)
    }

    /// Value at `x`.
    pub(super) fn value(&self, x: f64) -> f64 {
        self.at(x).0
    }

    /// The inverse of the rising function whose samples are `rising`, taken at
    /// `first`, `first + step`, ..., as a table of `count` equal steps of the
    /// value.
    pub(super) fn inverse(first: f64, step: f64, rising: &[f64], count: usize) -> Self {
        let (low, high) = match rising {
            [low, .., high] => (*low, *high),
            _ => (0.0, 1.0),
        };
        let stride = (high - low) / count as f64;
        let mut samples = Vec::with_capacity(count + 1);
        let mut sought = low;
        for (index, pair) in rising.windows(2).enumerate() {
            if let [a, b] = pair {
                while sought <= *b && samples.len() <= count {
                    let share = (sought - a) / (b - a).max(f64::MIN_POSITIVE);
                    samples.push(first + step * (index as f64 + share));
                    sought = low + stride * samples.len() as f64;
                }
            }
        }
        Self::new(low, stride, &samples)
    }
}
