//! A wall cut into rings. Cells are thinnest at the fusion face, where the
//! temperature falls steepest, and grow geometrically away from it.

use std::f64::consts::TAU;

/// Thickness ratio of the farthest cell to the cell at the face.
const FAR_OVER_NEAR: f64 = 8.0;

/// The side of a wall with the thin cells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum FineSide {
    /// At the inner radius: a socket.
    Inside,
    /// At the outer radius: a pipe.
    Outside,
}

/// One ring, a meter long. Radii in meters.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ring {
    /// Inner radius.
    pub(crate) inner: f64,
    /// Middle radius, where the temperature is defined.
    pub(crate) middle: f64,
    /// Outer radius.
    pub(crate) outer: f64,
    /// Volume, m³ per meter.
    pub(crate) volume: f64,
    /// Thermal resistance from inner radius to middle, times conductivity, m·(1/m).
    pub(crate) inward: f64,
    /// The same from middle to outer radius.
    pub(crate) outward: f64,
}

impl Ring {
    fn between(inner: f64, outer: f64) -> Self {
        let middle = 0.5 * (inner + outer);
        Self {
            inner,
            middle,
            outer,
            volume: 0.5 * TAU * (outer - inner) * (outer + inner),
            // The center of a solid rod conducts no further inward.
            inward: if inner > 0.0 {
                ((middle - inner) / inner).ln_1p() / TAU
            } else {
                f64::INFINITY
            },
            outward: ((outer - middle) / middle).ln_1p() / TAU,
        }
    }
}

/// Rings from radius `inner` to `outer`, meters, from inside to outside.
pub(super) fn rings(inner: f64, outer: f64, count: usize, finest: FineSide) -> Vec<Ring> {
    let growth = FAR_OVER_NEAR.powf(1.0 / count.saturating_sub(1).max(1) as f64);
    let growth = match finest {
        FineSide::Inside => growth,
        FineSide::Outside => 1.0 / growth,
    };
    let share =
        |cells: usize| (growth.powf(cells as f64) - 1.0) / (growth.powf(count as f64) - 1.0);
    (0..count)
        .map(|cell| {
            let radius = |cells| inner + (outer - inner) * share(cells);
            Ring::between(radius(cell), radius(cell + 1))
        })
        .collect()
}
