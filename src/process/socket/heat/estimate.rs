//! Computes a joint stage by stage and extracts the estimate.

use std::ops::ControlFlow;

use crate::core::units::{Duration, Length, Percent};
use crate::process::socket::heat::collapse::CollapseFlag;
use crate::process::socket::heat::joint::{JointEstimate, JointInput, MeltPoint, Refusal};
use crate::process::socket::heat::material::Material;
use crate::process::socket::heat::properties::ResinProperties;
use crate::process::socket::heat::quantity::{
    celsius, duration, length, meters, percent, seconds, temperature,
};
use crate::process::socket::heat::stages::{Parts, Setup};
use crate::process::socket::heat::tables::Tables;

/// Cells in each wall: melt depth within 1.5 % of a grid eight times as fine.
const CELLS: usize = 24;
/// Maximum change-over computed, s.
const LONGEST_CHANGE_OVER: f64 = 600.0;
/// Maximum cooling time computed, s.
const LONGEST_COOLING: f64 = 3600.0;
/// Allowed error in the energy balance, as a share of the heat in the joint.
const ENERGY_CLOSES: f64 = 1e-10;
/// Molten fraction at which plastic counts as melt, or as set.
const HALF: f64 = 0.5;

/// Estimates one joint.
///
/// # Errors
/// A [`Refusal`] for a joint outside the model's range.
pub fn joint(input: &JointInput) -> Result<JointEstimate, Refusal> {
    joint_and_curve(input).map(|(joint, _)| joint)
}

/// Estimates one joint, with the melt depth of pipe and socket against time on the
/// heater.
///
/// # Errors
/// A [`Refusal`] for a joint outside the model's range.
pub(crate) fn joint_and_curve(
    input: &JointInput,
) -> Result<(JointEstimate, Vec<MeltPoint>), Refusal> {
    let inputs = Inputs::new(input)?;
    let mut points = Vec::new();
    let joint = inputs.estimate(inputs.setup(CELLS, 1.0), |time, parts| {
        points.push(inputs.melt_point(time, parts));
    });
    Ok((joint.ok_or(Refusal::NotSettled)?, points))
}

/// Estimates one joint after a shorter heating and after its own, with the melt depth
/// of its own. The shorter heating is the start of the longer, so it is computed once.
///
/// # Errors
/// A [`Refusal`] for a joint outside the model's range.
pub(crate) fn joint_at_both(
    input: &JointInput,
    shorter: Duration,
) -> Result<([JointEstimate; 2], Vec<MeltPoint>), Refusal> {
    let at_shorter = JointInput {
        heating: shorter,
        ..*input
    };
    at_shorter.accept()?;
    let inputs = Inputs::new(input)?;
    let (mut points, mut parts) = (Vec::new(), inputs.setup(CELLS, 1.0).parts());
    let start = parts.heat_held();
    let times = (seconds(shorter), seconds(input.heating));
    let early = parts.heat_past(times, |time, parts| {
        points.push(inputs.melt_point(time, parts));
    });
    let early = early.ok_or(Refusal::NotSettled)?;
    let finish = |parts| inputs.finish(parts, start).ok_or(Refusal::NotSettled);
    Ok(([finish(early)?, finish(parts)?], points))
}

/// Melt depth of the pipe alone against time on the heater, up to the heating time of
/// `input` or until it is more than `enough`.
///
/// # Errors
/// A [`Refusal`] for a joint outside the model's range.
pub fn pipe_melt(
    input: &JointInput,
    enough: Option<Length>,
) -> Result<Vec<(Duration, Length)>, Refusal> {
    let inputs = Inputs::new(input)?;
    let mut points = Vec::new();
    let mut parts = inputs.setup(CELLS, 1.0).parts();
    parts
        .heat_pipe(seconds(input.heating), |time, parts| {
            let depth = length(inputs.pipe_melt(parts));
            points.push((duration(time), depth));
            match enough {
                Some(enough) if depth > enough => ControlFlow::Break(()),
                _ => ControlFlow::Continue(()),
            }
        })
        .ok_or(Refusal::NotSettled)?;
    Ok(points)
}

/// Socket wall over pipe wall, for a fitting whose wall is not known.
pub(crate) fn socket_wall_ratio() -> Percent {
    // The tables are part of the program; a test keeps them readable.
    let ratio = Tables::embedded().map_or(1.0, |tables| tables.process.socket_wall_ratio.value);
    percent(ratio)
}

/// A checked input and the tables it needs.
#[derive(Debug, Clone, Copy)]
pub(super) struct Inputs<'a> {
    input: &'a JointInput,
    tables: &'a Tables,
    resin: &'a ResinProperties,
    material: &'a Material,
}

impl<'a> Inputs<'a> {
    pub(super) fn new(input: &'a JointInput) -> Result<Self, Refusal> {
        input.accept()?;
        let tables = Tables::embedded().map_err(Refusal::Tables)?;
        let missing = Refusal::Tables("a resin is missing");
        Ok(Self {
            input,
            tables,
            resin: tables.properties(input.resin).ok_or(missing)?,
            material: tables.material(input.resin).ok_or(missing)?,
        })
    }

    pub(super) fn setup(&self, cells: usize, fineness: f64) -> Setup<'a> {
        let wall = meters(self.input.wall);
        let assumed = wall * self.tables.process.socket_wall_ratio.value;
        Setup {
            material: self.material,
            process: &self.tables.process,
            diameter: meters(self.input.outside_diameter),
            wall,
            socket_wall: self.input.socket_wall.map_or(assumed, meters),
            start: celsius(self.input.pipe_temperature),
            heater: celsius(self.input.heater_face),
            ambient: celsius(self.input.ambient),
            cells,
            fineness,
        }
    }

    pub(super) fn estimate(
        &self,
        setup: Setup<'a>,
        mut on_heater: impl FnMut(f64, &Parts),
    ) -> Option<JointEstimate> {
        let mut parts = setup.parts();
        let start = parts.heat_held();
        parts.heat(seconds(self.input.heating), |time, parts| {
            on_heater(time, parts);
            ControlFlow::Continue(())
        })?;
        self.finish(parts, start)
    }

    /// What becomes of heated parts, whose heat was `start` J/m before.
    fn finish(&self, mut parts: Parts<'a>, start: f64) -> Option<JointEstimate> {
        let wall = meters(self.input.wall);
        let heat_gained = parts.heat_taken;
        let (pipe_melt, socket_melt) = self.melt(&parts);
        let melted = pipe_melt / wall;
        let stiff = 1.0 - hotter(&parts.pipe_profile(), CollapseFlag::STIFF_BELOW) / wall;
        let bore = parts.bore()?;
        let ceiling = self.change_over(&mut parts)?;

        let mut joined = parts.join();
        let interface = joined.interface()?;
        let set_at = self.resin.solidification_onset.as_ref().map(|p| p.value);
        let mut onset = FallingCrossing::from(interface, set_at.unwrap_or(f64::NEG_INFINITY));
        let mut half = FallingCrossing::from(joined.molten_at_interface()?, HALF);
        joined.cool(LONGEST_COOLING, |time, joined| {
            if let (Some(interface), Some(molten)) =
                (joined.interface(), joined.molten_at_interface())
            {
                onset.observe(time, interface);
                half.observe(time, molten);
            }
            let known = half.at.is_some() && (onset.at.is_some() || set_at.is_none());
            if known {
                ControlFlow::Break(())
            } else {
                ControlFlow::Continue(())
            }
        })?;

        // No answer is better than one in which heat was made or lost.
        let energy_error = joined.body.heat() - start - joined.heat_taken;
        if energy_error.abs() > ENERGY_CLOSES * heat_gained.abs().max(start.abs()) {
            return None;
        }

        Some(JointEstimate {
            pipe_melt: length(pipe_melt),
            socket_melt: length(socket_melt),
            melted_share: percent(melted),
            stiff_share: percent(stiff),
            bore: temperature(bore),
            interface: temperature(interface),
            change_over_ceiling: ceiling.map(duration),
            solidification_onset: onset.at.map(duration),
            half_solid: half.at.map(duration),
            collapse: CollapseFlag::from_shares(melted, stiff),
        })
    }

    fn melt_point(&self, time: f64, parts: &Parts) -> MeltPoint {
        let (pipe, socket) = self.melt(parts);
        MeltPoint {
            time: duration(time),
            pipe: length(pipe),
            socket: length(socket),
        }
    }

    /// Melt depths of pipe and socket, m. Depth is read where the temperature
    /// passes that of half melting, which varies more evenly between cells
    /// than the molten fraction does.
    fn melt(&self, parts: &Parts) -> (f64, f64) {
        let socket = hotter(&parts.socket_profile(), self.material.half_melted);
        (self.pipe_melt(parts), socket)
    }

    fn pipe_melt(&self, parts: &Parts) -> f64 {
        hotter(&parts.pipe_profile(), self.material.half_melted)
    }

    /// Computes the allowed change-over. Returns the time in air until the cooler fused
    /// surface is too cold to fuse; if the allowed time is shorter, a copy of the parts
    /// is computed further.
    fn change_over(&self, parts: &mut Parts<'a>) -> Option<Option<f64>> {
        let onset = self.resin.solidification_onset.as_ref();
        let limit = onset.map_or(self.material.melting_foot, |onset| {
            onset.value.max(self.material.melting_foot)
        });
        let cooler = |parts: &Parts| parts.surfaces().map(|(pipe, socket)| pipe.min(socket));
        let mut fall = FallingCrossing::from(cooler(parts)?, limit);
        let mut watch = |time, parts: &Parts| {
            if let Some(surface) = cooler(parts) {
                fall.observe(time, surface);
            }
            fall.at
        };
        let allowed = seconds(self.input.change_over);
        let mut ceiling = None;
        parts.change_over(0.0, allowed, |time, parts| {
            ceiling = watch(time, parts);
            ControlFlow::Continue(())
        })?;
        if ceiling.is_none() {
            let mut followed = parts.clone();
            followed.change_over(allowed, LONGEST_CHANGE_OVER, |time, parts| {
                ceiling = watch(time, parts);
                if ceiling.is_some() {
                    ControlFlow::Break(())
                } else {
                    ControlFlow::Continue(())
                }
            })?;
        }
        Some(ceiling)
    }
}

/// Distance from the fused face to where a wall is no hotter than `limit`, m.
/// `profile` lists distance from the face and temperature, face first.
fn hotter(profile: &[(f64, f64)], limit: f64) -> f64 {
    let mut reached = 0.0;
    let mut before: Option<(f64, f64)> = None;
    for &(depth, temperature) in profile {
        if temperature <= limit {
            return before.map_or(0.0, |(from, hot)| {
                from + (depth - from) * (hot - limit) / (hot - temperature)
            });
        }
        reached = depth;
        before = Some((depth, temperature));
    }
    reached
}

/// Detects when a value falls to a limit.
#[derive(Debug, Clone, Copy)]
struct FallingCrossing {
    limit: f64,
    last: (f64, f64),
    at: Option<f64>,
}

impl FallingCrossing {
    fn from(value: f64, limit: f64) -> Self {
        Self {
            limit,
            last: (0.0, value),
            at: (value <= limit).then_some(0.0),
        }
    }

    fn observe(&mut self, time: f64, value: f64) {
        if self.at.is_none() && value <= self.limit {
            let (from, high) = self.last;
            self.at = Some(from + (time - from) * (high - self.limit) / (high - value));
        }
        self.last = (time, value);
    }
}
