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

/// Functions of one variable sampled at equal steps, linear between the samples and
/// beyond their ends. What is needed together stands together, so that it takes one
/// look-up; the solver spends most of its time here.
#[derive(Debug, Clone)]
pub(super) struct UniformTable<const N: usize> {
    first: f64,
    step: f64,
    /// 1 / step.
    per_step: f64,
    /// Values at the start of each step, and their slopes over it.
    pieces: Vec<([f64; N], [f64; N])>,
}

impl<const N: usize> UniformTable<N> {
    /// Samples at `first`, `first + step`, ...
    pub(super) fn new(first: f64, step: f64, samples: &[[f64; N]]) -> Self {
        let pieces = samples
            .windows(2)
            .filter_map(|pair| match pair {
                [a, b] => {
                    let mut slopes = *b;
                    for (slope, start) in slopes.iter_mut().zip(a) {
                        *slope = (*slope - start) / step;
                    }
                    Some((*a, slopes))
                }
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

    /// Values and slopes at `x`.
    #[inline]
    pub(super) fn at(&self, x: f64) -> ([f64; N], [f64; N]) {
        // A float below zero casts to piece 0, so both ends extrapolate.
        let piece =
            (((x - self.first) * self.per_step) as usize).min(self.pieces.len().saturating_sub(1));
        let zero = ([0.0; N], [0.0; N]);
        let (mut values, slopes) = self.pieces.get(piece).copied().unwrap_or(zero);
        let from = self.first + self.step * piece as f64;
        for (value, slope) in values.iter_mut().zip(slopes) {
            *value += slope * (x - from);
        }
        (values, slopes)
    }

    /// Values at `x`.
    #[inline]
    pub(super) fn values(&self, x: f64) -> [f64; N] {
        self.at(x).0
    }
}

/// Where the rising function whose samples are `rising`, taken at `first`,
/// `first + step`, ..., has the values from its first to its last in `count` equal
/// strides: the first value, the stride, and the places.
pub(super) fn inverse(first: f64, step: f64, rising: &[f64], count: usize) -> (f64, f64, Vec<f64>) {
    let (low, high) = match rising {
        [low, .., high] => (*low, *high),
        _ => (0.0, 1.0),
    };
    let stride = (high - low) / count as f64;
    let mut places = Vec::with_capacity(count + 1);
    let mut sought = low;
    for (index, pair) in rising.windows(2).enumerate() {
        if let [a, b] = pair {
            while sought <= *b && places.len() <= count {
                let share = (sought - a) / (b - a).max(f64::MIN_POSITIVE);
                places.push(first + step * (index as f64 + share));
                sought = low + stride * places.len() as f64;
            }
        }
    }
    (low, stride, places)
}
