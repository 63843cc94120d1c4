//! Boundary conditions at a wall's surface: heater, still air, or insulation.

/// Stefan-Boltzmann constant, W/(m² K⁴).
const STEFAN_BOLTZMANN: f64 = 5.670_374e-8;
/// 0 °C in kelvin.
const ZERO_CELSIUS: f64 = 273.15;
/// Iterations for a radiating surface; each gains about two digits, because plastic
/// conducts far better than air.
const SURFACE_ROUNDS: usize = 4;

/// One side of a wall. Temperatures in °C.
#[derive(Debug, Clone, Copy)]
pub(super) enum Boundary {
    /// No heat flow.
    #[cfg_attr(not(test), expect(dead_code, reason = "only the closed forms need it"))]
    Insulated,
    /// A fixed conductance, W/(m² K), to something at `at`.
    Contact {
        /// Temperature beyond the surface.
        at: f64,
        conductance: f64,
    },
    /// Free convection, `factor` (dT/D)^(1/4) W/(m² K), and grey radiation.
    Air {
        /// Temperature of air and surroundings.
        at: f64,
        /// Diameter of the surface, m.
        diameter: f64,
        /// Factor of the convection law.
        factor: f64,
        /// Emissivity of the surface.
        emissivity: f64,
    },
}

/// A boundary linearized for one step: a conductance per meter of pipe from the outermost
/// cell's middle to a fixed temperature.
#[derive(Debug, Clone, Copy)]
pub(super) struct Film {
    /// W/(m K).
    pub(crate) conductance: f64,
    /// Temperature beyond, °C.
    pub(crate) at: f64,
    /// Share of the temperature drop that lies beyond the surface.
    beyond: f64,
}

impl Film {
    /// Surface temperature, given that of the cell beneath it.
    pub(super) fn surface(&self, cell: f64) -> f64 {
        self.at + (cell - self.at) * self.beyond
    }
}

impl Boundary {
    /// The film over a surface of `area` m² per meter whose nearest cell, at
    /// temperature `cell`, lies behind `resistance` m K/W.
    pub(super) fn film(&self, area: f64, resistance: f64, cell: f64) -> Film {
        match *self {
            Boundary::Insulated => Film {
                conductance: 0.0,
                at: cell,
                beyond: 1.0,
            },
            Boundary::Contact { at, conductance } => film(at, conductance * area, resistance),
            Boundary::Air {
                at,
                diameter,
                factor,
                emissivity,
            } => {
                let mut settled = film(at, 0.0, resistance);
                for _ in 0..SURFACE_ROUNDS {
                    let surface = settled.surface(cell);
                    let convection = factor * ((surface - at).abs() / diameter).powf(0.25);
                    let (hot, cold) = (surface + ZERO_CELSIUS, at + ZERO_CELSIUS);
                    let radiation =
                        emissivity * STEFAN_BOLTZMANN * (hot * hot + cold * cold) * (hot + cold);
                    settled = film(at, (convection + radiation) * area, resistance);
                }
                settled
            }
        }
    }
}

fn film(at: f64, outside: f64, resistance: f64) -> Film {
    let beyond = 1.0 / (1.0 + outside * resistance);
    Film {
        conductance: outside * beyond,
        at,
        beyond,
    }
}
