//! How a resin stores and conducts heat. Enthalpy is the state; temperature
//! and molten fraction follow from it and from where the plastic has been,
//! because it melts near its peak and crystallizes some 15 to 45 K lower.
//!
//! With h_s, h_l the enthalpies of solid and melt and f the melting curve,
//!
//! ```text
//! H(T, φ) = h_s(T) + φ (h_l(T) - h_s(T))        h_l - h_s = L at the peak
//! f(T)    = (1 - w) main((T - Tm) / stretch) + w x²
//! x       = clip((T - start) / (Tm - 10 stretch - start), 0, 1)
//! φ       = clip(φ before, f(T), f(T + supercooling))
//! k       = (1 - φ) k_s(T) + φ k_l(T)
//! ```
//!
//! Units: °C, J/kg, W/(m K), kg/m³.

use crate::process::socket::heat::properties::ResinProperties;
use crate::process::socket::heat::table::{Rows, UniformTable, interpolate, inverse};

/// Temperatures the tables span, °C: well beyond what a joint can reach.
const LOWEST: f64 = -60.0;
const HIGHEST: f64 = 330.0;
/// Spacing of the temperature tables, K.
const SPACING: f64 = 0.2;
/// Steps in the inverse tables: about a fifth of a kelvin each.
const INVERSE_STEPS: usize = 2048;
/// Newton steps on the temperature of a half-molten cell; the function is
/// nearly straight, so three are usual.
const FROZEN_STEPS: usize = 8;
/// When that temperature is good enough, K.
const FROZEN_TOLERANCE: f64 = 1e-7;

/// Halvings of the tables' span: to a millionth of a kelvin.
const BISECTIONS: usize = 30;

/// A resin, ready to compute with.
#[derive(Debug, Clone)]
pub(super) struct Material {
    /// Density, kg/m³.
    pub(crate) density: f64,
    /// Temperature at which a warmed resin is half molten, °C.
    pub(crate) half_melted: f64,
    /// Foot of the main melting peak, °C; below it only the tail melts.
    pub(crate) melting_foot: f64,
    /// By temperature: enthalpy of the solid, and how much more the melt has.
    phases: UniformTable<2>,
    /// By enthalpy, of plastic that melts: temperature, and the phases there.
    heating: UniformTable<3>,
    /// The same of plastic that crystallizes.
    cooling: UniformTable<3>,
    /// By temperature: molten fraction of warmed plastic.
    melting: UniformTable<1>,
    /// By temperature: conductivity of solid and melt.
    conductivity: UniformTable<2>,
}

/// State of a cell at a given enthalpy.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct State {
    /// °C.
    pub(crate) temperature: f64,
    /// Molten fraction; off 0 or 1 by the rounding of the tables.
    pub(crate) molten: f64,
    /// dT/dH, K kg/J.
    pub(crate) slope: f64,
}

impl Material {
    /// Tabulates a resin whose main melting peak has the shape `curve`.
    pub(super) fn new(resin: &ResinProperties, curve: &Rows) -> Self {
        let count = ((HIGHEST - LOWEST) / SPACING).round() as usize;
        let temperatures: Vec<f64> = (0..=count)
            .map(|index| LOWEST + SPACING * index as f64)
            .collect();
        let sampled =
            |f: &dyn Fn(f64) -> f64| -> Vec<f64> { temperatures.iter().map(|&t| f(t)).collect() };
        let pairs = |a: &[f64], b: &[f64]| -> Vec<[f64; 2]> {
            a.iter().zip(b).map(|(&a, &b)| [a, b]).collect()
        };
        let even = |samples: &[[f64; 2]]| UniformTable::new(LOWEST, SPACING, samples);
        let peak = resin.melting_peak.value;

        let solid = integral(&sampled(&|t| {
            interpolate(&resin.specific_heat_solid.value, t)
        }));
        let melt = integral(&sampled(&|t| {
            interpolate(&resin.specific_heat_melt.value, t)
        }));
        // The two are a latent heat apart at the peak, which fixes the melt's zero.
        let [solid_at_peak, melt_at_peak] = even(&pairs(&solid, &melt)).values(peak);
        let lift = solid_at_peak + resin.latent_heat.value - melt_at_peak;
        let latent: Vec<f64> = melt.iter().zip(&solid).map(|(m, s)| m + lift - s).collect();
        let phases = even(&pairs(&solid, &latent));

        let molten = |t: f64| molten_fraction(resin, curve, t);
        let branch = |shift: f64| {
            let samples = sampled(&|t| {
                let [solid, latent] = phases.values(t);
                solid + molten(t + shift) * latent
            });
            let (first, stride, temperatures) = inverse(LOWEST, SPACING, &samples, INVERSE_STEPS);
            let at = |&t: &f64| {
                let [solid, latent] = phases.values(t);
                [t, solid, latent]
            };
            let states: Vec<_> = temperatures.iter().map(at).collect();
            UniformTable::new(first, stride, &states)
        };
        let melting: Vec<_> = temperatures.iter().map(|&t| [molten(t)]).collect();
        let conducts = |rows| sampled(&|t| interpolate(rows, t));
        Self {
            density: resin.density.value,
            half_melted: rises_to(0.5, &molten),
            melting_foot: curve
                .first()
                .map_or(peak, |[offset, _]| peak + offset * resin.stretch.value),
            heating: branch(0.0),
            cooling: branch(resin.supercooling.value),
            melting: UniformTable::new(LOWEST, SPACING, &melting),
            conductivity: even(&pairs(
                &conducts(&resin.conductivity_solid.value),
                &conducts(&resin.conductivity_melt.value),
            )),
            phases,
        }
    }

    /// The enthalpy of plastic that has been warmed to `temperature`, J/kg.
    pub(super) fn enthalpy(&self, temperature: f64) -> f64 {
        let [solid, latent] = self.phases.values(temperature);
        let [molten] = self.melting.values(temperature);
        solid + molten * latent
    }

    /// The state at `enthalpy` of plastic whose molten fraction was `before`
    /// and whose temperature is somewhere `near`.
    ///
    /// H is the middle one of three rising functions of T (melting curve,
    /// crystallizing curve, fraction unchanged), so exactly one of their
    /// inverses holds, and the fraction tells which.
    #[inline]
    pub(super) fn state(&self, enthalpy: f64, before: f64, near: f64) -> State {
        let heating = on_branch(&self.heating, enthalpy);
        if heating.molten >= before {
            return heating;
        }
        let cooling = on_branch(&self.cooling, enthalpy);
        if cooling.molten <= before {
            return cooling;
        }
        self.unchanged(enthalpy, before, near)
    }

    fn unchanged(&self, enthalpy: f64, molten: f64, near: f64) -> State {
        let mut temperature = near;
        let mut slope = 0.0;
        for _ in 0..FROZEN_STEPS {
            let ([solid, latent], [solid_heat, more_heat]) = self.phases.at(temperature);
            slope = 1.0 / (solid_heat + molten * more_heat);
            let change = (enthalpy - solid - molten * latent) * slope;
            temperature += change;
            if change.abs() < FROZEN_TOLERANCE {
                break;
            }
        }
        State {
            temperature,
            molten,
            slope,
        }
    }

    /// Conductivity, W/(m K).
    #[inline]
    pub(super) fn conductivity(&self, state: State) -> f64 {
        let [solid, melt] = self.conductivity.values(state.temperature);
        solid + state.molten.clamp(0.0, 1.0) * (melt - solid)
    }
}

/// The state at `enthalpy` on one of the two branches.
fn on_branch(branch: &UniformTable<3>, enthalpy: f64) -> State {
    let ([temperature, solid, latent], [slope, ..]) = branch.at(enthalpy);
    State {
        temperature,
        // From the enthalpy rather than from the curve, so that the branches
        // meet without a jump that Newton's method could trip over.
        molten: (enthalpy - solid) / latent,
        slope,
    }
}

/// The running integral of `samples` over the temperature tables' spacing.
fn integral(samples: &[f64]) -> Vec<f64> {
    let mut sum = 0.0;
    let mut before = None;
    samples
        .iter()
        .map(|&sample| {
            sum += before.map_or(0.0, |last: f64| 0.5 * (last + sample) * SPACING);
            before = Some(sample);
            sum
        })
        .collect()
}

/// Where the rising function `f` reaches `value`, by bisection.
fn rises_to(value: f64, f: &dyn Fn(f64) -> f64) -> f64 {
    let (mut below, mut above) = (LOWEST, HIGHEST);
    for _ in 0..BISECTIONS {
        let middle = 0.5 * (below + above);
        if f(middle) < value {
            below = middle;
        } else {
            above = middle;
        }
    }
    above
}

/// The molten fraction of plastic slowly warmed to `t`.
fn molten_fraction(resin: &ResinProperties, curve: &Rows, t: f64) -> f64 {
    let (peak, stretch) = (resin.melting_peak.value, resin.stretch.value);
    let (weight, start) = (resin.tail_weight.value, resin.tail_start.value);
    let main = interpolate(curve, (t - peak) / stretch);
    let tail = ((t - start) / (peak - 10.0 * stretch - start)).clamp(0.0, 1.0);
    (1.0 - weight) * main + weight * tail * tail
}
