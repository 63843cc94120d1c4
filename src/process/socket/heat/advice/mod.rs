//! Procedure → thermal estimates of its joints: each size and wall at its
//! shortest and longest heating time, or the model's reason for not answering.
//! An estimate explains and warns; it never sets a time. `check` runs it only
//! with `--heat`, to stay quick, and `build` where it makes the paper that prints
//! it. Its rules are warnings, and nothing of it reaches a time, the card, or a strip.

mod cache;
mod estimate;
pub(crate) mod shown;
#[cfg(test)]
mod tests;

use std::fmt;

pub(crate) use cache::EstimateCache;
pub(crate) use estimate::{ColdPipe, Estimate, HotPipe};

use crate::core::parallel;
use crate::core::units::{Percent, Range, Temperature};
use crate::procedure::resolve::{Joint, Pipe, Procedure};
use crate::process::socket::heat;
use crate::process::socket::heat::Refusal;

/// Pipe and air temperature of the base case: a mild day, 23 °C (73 °F).
fn mild_day() -> Temperature {
    Temperature::from_celsius(23.0)
}

/// The estimates of a procedure.
#[derive(Debug)]
pub struct Advice<'p> {
    /// The procedure's resin.
    pub designation: String,
    /// Temperature of the heater's faces in the estimates.
    pub heater_face: Temperature,
    /// Temperature of pipe and air in the estimates.
    pub pipe_temperature: Temperature,
    /// Pipe temperatures the procedure allows.
    pub allowed: Option<Range<Temperature>>,
    /// Assumed ratio of socket wall to pipe wall; the fittings' is not known.
    pub socket_wall: Percent,
    /// The resin with the properties used; `None` if the model has none for this resin.
    pub resin: Option<ModelResin>,
    /// One row for each size and wall, in the procedure's order.
    pub rows: Vec<Row<'p>>,
}

/// One size and wall with its estimate.
#[derive(Debug)]
pub struct Row<'p> {
    /// The joint.
    pub joint: &'p Joint,
    /// The pipe; `None` if OD or wall is unknown.
    pub pipe: Option<&'p Pipe>,
    /// The estimate, or why there is none.
    pub estimate: Result<Estimate, NoEstimate>,
}

/// An end of the procedure's pipe temperatures that has no estimate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct BeyondModel {
    /// Whether it is the hot end.
    pub(crate) hot: bool,
    /// Limit of the model.
    pub(crate) model: Temperature,
    /// Limit of the procedure.
    pub allowed: Temperature,
}

/// The resin whose properties represent the procedure's resin.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ModelResin {
    /// The row in the model's tables.
    pub resin: heat::Resin,
    /// Name of that row.
    pub name: &'static str,
    /// Whether it only stands in for the procedure's resin.
    pub stands_in: bool,
}

/// Why a row has no estimate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoEstimate {
    /// The model has no properties for the resin.
    ResinNotModeled,
    /// No outside diameter or wall is known.
    NoPipe,
    /// Pipe and fitting have different heating times, which the model does not support.
    UnlikeTimes,
    /// No heating time is published or given.
    NoHeating,
    /// No change-over is published or given.
    NoChangeOver,
    /// The model refuses.
    Refused(Refusal),
}

impl fmt::Display for NoEstimate {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NoEstimate::ResinNotModeled => write!(out, "the resin is not in the model"),
            NoEstimate::NoPipe => write!(out, "no outside diameter and wall are known"),
            NoEstimate::UnlikeTimes => {
                write!(out, "pipe and fitting are heated for unlike times")
            }
            NoEstimate::NoHeating => write!(out, "no heating time is known"),
            NoEstimate::NoChangeOver => write!(out, "no change-over is known"),
            NoEstimate::Refused(refusal) => refusal.fmt(out),
        }
    }
}

impl<'p> Row<'p> {
    /// The estimate, if there is one.
    pub(crate) fn estimated(&self) -> Option<(&'p Pipe, &Estimate)> {
        self.pipe.zip(self.estimate.as_ref().ok())
    }

    /// Why there is none, in words. The ratio by which pipe is sold is rounded, so a wall
    /// outside the model's range is given with its own ratio.
    pub(crate) fn why_none(&self) -> Option<String> {
        let reason = self.estimate.as_ref().err()?;
        let ratio = self.pipe.and_then(|pipe| pipe.ratio);
        if let (NoEstimate::Refused(Refusal::DimensionRatio(covered)), Some(ratio)) =
            (reason, ratio)
        {
            let (side, end, does) = if ratio < covered.least {
                ("below", covered.least, "begins")
            } else {
                ("above", covered.most, "ends")
            };
            return Some(format!(
                "OD over minimum wall is {}, {side} the {} that the estimate {does} at",
                ratio.number(),
                end.number()
            ));
        }
        Some(reason.to_string())
    }
}

impl<'p> Advice<'p> {
    /// Estimates every joint of a procedure.
    #[cfg(test)]
    pub(crate) fn new(procedure: &'p Procedure<'_>) -> Self {
        Self::with_cache(procedure, &EstimateCache::default())
    }

    /// The same, with cached estimates.
    pub(crate) fn with_cache(procedure: &'p Procedure<'_>, cache: &EstimateCache) -> Self {
        let resin = model_resin(&procedure.spec.resin.value);
        let heater_face = procedure.face.center;
        let walls = procedure.joints.iter().flat_map(|joint| {
            let pipes: Vec<_> = joint.pipes.iter().map(Some).collect();
            let pipes = if pipes.is_empty() { vec![None] } else { pipes };
            pipes.into_iter().map(move |pipe| (joint, pipe))
        });
        let walls: Vec<_> = walls.collect();
        // This takes half the time of a check with the model and a sixth of a build.
        let rows = parallel::map(&walls, |&(joint, pipe)| Row {
            joint,
            pipe,
            estimate: estimate_key(procedure, resin, joint, pipe)
                .and_then(|question| cache.answer(&question).map_err(NoEstimate::Refused)),
        });
        Self {
            designation: procedure.spec.resin.value.clone(),
            heater_face,
            pipe_temperature: mild_day(),
            allowed: procedure
                .spec
                .pipe_temperature
                .as_ref()
                .map(|range| range.value),
            socket_wall: heat::socket_wall_ratio(),
            resin,
            rows,
        }
    }

    /// Rows with an estimate.
    pub(crate) fn estimated(&self) -> impl Iterator<Item = (&'p Joint, &'p Pipe, &Estimate)> {
        self.rows.iter().filter_map(|row| {
            row.estimated()
                .map(|(pipe, estimate)| (row.joint, pipe, estimate))
        })
    }

    /// The largest increase of heating time for the same melt on pipe at the cold end of
    /// the procedure's range.
    pub(crate) fn coldest(&self) -> Option<ColdPipe> {
        self.estimated()
            .filter_map(|(_, _, estimate)| estimate.cold)
            .max_by_key(|cold| cold.longer)
    }

    /// The ends of the procedure's pipe temperatures beyond the model, each with the
    /// model's limit.
    pub(crate) fn beyond_model(&self) -> impl Iterator<Item = BeyondModel> {
        let model = heat::pipe_temperatures();
        let range = self.allowed.filter(|_| self.estimated().next().is_some());
        let ends = range.map(|range| {
            [
                (range.least < model.least).then_some(BeyondModel {
                    hot: false,
                    model: model.least,
                    allowed: range.least,
                }),
                (range.most > model.most).then_some(BeyondModel {
                    hot: true,
                    model: model.most,
                    allowed: range.most,
                }),
            ]
        });
        ends.into_iter().flatten().flatten()
    }

    /// The largest effect of pipe at the hot end of the procedure's range, as far as the
    /// model goes.
    pub(crate) fn hottest(&self) -> Option<HotPipe> {
        self.estimated()
            .filter_map(|(_, _, estimate)| estimate.hot)
            .max_by_key(|hot| hot.deeper)
    }
}

/// The model's input for a joint, or what is missing.
fn estimate_key(
    procedure: &Procedure<'_>,
    resin: Option<ModelResin>,
    joint: &Joint,
    pipe: Option<&Pipe>,
) -> Result<estimate::EstimateKey, NoEstimate> {
    let resin = resin.ok_or(NoEstimate::ResinNotModeled)?;
    let (od, pipe) = joint
        .outside_diameter
        .as_ref()
        .zip(pipe)
        .ok_or(NoEstimate::NoPipe)?;
    if procedure.unlike_pair(joint.size).is_some() {
        return Err(NoEstimate::UnlikeTimes);
    }
    let heating = joint.cycle.heat().ok_or(NoEstimate::NoHeating)?;
    let change_over = joint.cycle.change_over().ok_or(NoEstimate::NoChangeOver)?;
    let range = procedure.spec.pipe_temperature.as_ref();
    Ok(estimate::EstimateKey {
        base: heat::JointInput {
            resin: resin.resin,
            outside_diameter: od.value,
            wall: pipe.minimum_wall.value,
            socket_wall: Some(heat::socket_wall_ratio().of_length(pipe.minimum_wall.value)),
            heating: heating.value.least,
            change_over: change_over.value,
            heater_face: procedure.face.center,
            pipe_temperature: mild_day(),
            ambient: mild_day(),
        },
        heating: heating.value,
        pipe_range: range.map(|range| within_model(range.value)),
    })
}

/// The part of a range of pipe temperatures that the model covers.
fn within_model(range: Range<Temperature>) -> Range<Temperature> {
    let model = heat::pipe_temperatures();
    let held = |temperature: Temperature| temperature.clamp(model.least, model.most);
    Range::new(held(range.least), held(range.most))
}

/// The model's resin for a designation.
fn model_resin(code: &str) -> Option<ModelResin> {
    use heat::Resin::{Pe2708, Pe4710, PpR};
    let (resin, name, stands_in) = match code {
        "PE4710" => (Pe4710, "PE4710", false),
        "PE100" => (Pe4710, "PE100", false),
        "PE3608" | "PE3408" | "PE100-RC" => (Pe4710, "PE4710 and PE100", true),
        "PE2708" => (Pe2708, "PE2708", false),
        "PE2406" | "PE80" => (Pe2708, "PE2708", true),
        "PP-R" => (PpR, "PP-R", false),
        _ => return None,
    };
    Some(ModelResin {
        resin,
        name,
        stands_in,
    })
}
