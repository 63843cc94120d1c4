//! The model's input data as published: every number with its basis. SI units,
//! temperatures in °C.

use serde::Deserialize;

use crate::process::socket::heat::table::Rows;

/// A resin with known thermal properties.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
pub enum Resin {
    /// PE 4710 and PE 100, high-density polyethylene.
    #[serde(rename = "PE4710_PE100")]
    Pe4710,
    /// PE 2708, medium-density polyethylene.
    #[serde(rename = "PE2708_MDPE")]
    Pe2708,
    /// PP-R, random copolymer polypropylene.
    #[serde(rename = "PP_R")]
    PpR,
}

#[cfg(test)]
impl Resin {
    /// Every resin of the tables.
    pub(crate) const ALL: [Resin; 3] = [Resin::Pe4710, Resin::Pe2708, Resin::PpR];
}

/// A number and its basis.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Property<T> {
    /// The number, in the unit its table states.
    pub(crate) value: T,
    /// Basis: `secondary`, `derived`, `recalled`.
    pub(crate) basis: String,
    /// Likely range of the true value, if known.
    #[serde(default)]
    pub(crate) range: Option<[f64; 2]>,
    /// Its own source, if it has one.
    #[serde(default)]
    pub(crate) source: Option<String>,
}

/// One resin's thermal properties.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ResinProperties {
    pub(crate) resin: Resin,
    /// Density, kg/m³, taken as constant.
    pub(crate) density: Property<f64>,
    /// Latent heat of melting at the peak, J/kg.
    pub(crate) latent_heat: Property<f64>,
    /// Melting peak, °C.
    pub(crate) melting_peak: Property<f64>,
    /// Width of the melting curve over that of the measured one.
    pub(crate) stretch: Property<f64>,
    /// Share of the melting that belongs to the low-temperature tail.
    pub(crate) tail_weight: Property<f64>,
    /// Where the tail starts, °C.
    pub(crate) tail_start: Property<f64>,
    /// How far below its melting the resin crystallizes, K.
    pub(crate) supercooling: Property<f64>,
    /// Interface temperature at which the joint begins to set, °C.
    #[serde(default)]
    pub(crate) solidification_onset: Option<Property<f64>>,
    /// Specific heat of the solid, J/(kg K).
    pub(crate) specific_heat_solid: Property<Rows>,
    /// Specific heat of the melt, J/(kg K).
    pub(crate) specific_heat_melt: Property<Rows>,
    /// Conductivity of the solid, W/(m K).
    pub(crate) conductivity_solid: Property<Rows>,
    /// Conductivity of the melt, W/(m K).
    pub(crate) conductivity_melt: Property<Rows>,
    /// Source of the numbers.
    pub(crate) source: String,
}

/// Heat transfer into and out of the plastic.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Process {
    /// Between heater face and plastic, W/(m² K).
    pub(crate) contact_conductance: Property<f64>,
    /// Between bore and the still air in it, W/(m² K).
    pub(crate) bore_air: Property<f64>,
    /// Socket wall over pipe wall.
    pub(crate) socket_wall_ratio: Property<f64>,
    /// Emissivity of the plastic.
    pub(crate) emissivity: Property<f64>,
    /// Factor of the free convection law, W/(m² K) at 1 K/m.
    pub(crate) free_convection: Property<f64>,
    /// Main peak of the melting curve: K from the peak, molten fraction.
    pub(crate) melting_curve: Property<Rows>,
}
