//! The spec that `coldring new` writes for the sizes and service asked for:
//! commented, with everything only the user can give left open.

mod beside;

use chrono::NaiveDate;
use minijinja::value::{Serde, Value};
use minijinja::{Environment, UndefinedBehavior, context};

use serde::Serialize;

pub use beside::{Beside, Paths, beside};

use crate::core::size::{Size, SizeSystem};
use crate::core::units::DimensionRatio;
use crate::procedure::resolve::pusher_threshold;
use crate::process::socket::practice::{PRACTICES, Practice};
use crate::published::{ResinGroup, library};
use crate::rules::scope::table_rounding;
use crate::spec::Service;

/// What the starter is for.
#[derive(Debug, Clone)]
pub struct Starter {
    practice: &'static Practice,
    sizes: Vec<Size>,
    service: Service,
    today: NaiveDate,
}

/// Why there is no starter for the sizes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoStarter {
    /// Metric sizes and inch sizes, and a spec follows one practice.
    TwoPractices,
    /// A size is named twice.
    SizeTwice,
    /// A size that no table of pipe has.
    UnknownSize,
}

/// An entry of the pipe that the starter claims.
#[derive(Debug, Serialize)]
struct PipeEntry {
    sizes: Vec<String>,
    /// Whether it is claimed by the ratio of the starter.
    ratio: bool,
    /// The wall, as it is written.
    wall: Option<String>,
    /// What is read from the print line.
    read: &'static str,
}

/// The ratio that the starter claims pipe with.
const RATIO: DimensionRatio = DimensionRatio::from_tenths(110);
/// A wall that is for the author to fill in.
const UNKNOWN_WALL: &str = "…";

/// The column at which the comments of a line begin, where its text leaves room.
const COMMENTS_AT: usize = 34;

impl Starter {
    /// For these sizes, smallest first whatever their order; none asks for two that
    /// are common. Metric sizes are in metric practice.
    ///
    /// # Errors
    /// The sizes do not go into one spec.
    pub fn new(
        mut sizes: Vec<Size>,
        service: Service,
        today: NaiveDate,
    ) -> Result<Self, NoStarter> {
        if sizes.is_empty() {
            sizes.extend(
                ["3/4 IPS", "1 IPS"]
                    .iter()
                    .flat_map(|size| Size::parse(size)),
            );
        }
        sizes.sort();
        let count = sizes.len();
        sizes.dedup();
        if sizes.len() < count {
            return Err(NoStarter::SizeTwice);
        }
        let known = |size: &Size| library().outside_diameter(*size).is_some();
        if !sizes.iter().all(known) {
            return Err(NoStarter::UnknownSize);
        }
        let joins = |practice: &&Practice| sizes.iter().all(|size| practice.has(size.system()));
        let mut practices = PRACTICES.into_iter();
        let practice = practices.find(joins).ok_or(NoStarter::TwoPractices)?;
        Ok(Self {
            practice,
            sizes,
            service,
            today,
        })
    }

    /// The spec.
    pub fn text(&self) -> String {
        let (practice, words) = (self.practice, &self.practice.starter);
        let sizes: Vec<_> = self.sizes.iter().map(ToString::to_string).collect();
        let pipes = Value::from(Serde(self.pipes()));
        // IPS is wider than CTS of the same nominal size.
        let width = |size: &Size| library().outside_diameter(*size).map(|od| od.value);
        let largest = self.sizes.iter().max_by_key(|size| width(size));
        let from = pusher_threshold(&practice.pusher, library());
        let by_machine = largest.and_then(width) >= from.map(|from| from.value);
        let largest = largest.map(ToString::to_string).unwrap_or_default();
        let filled = environment().render_str(
            include_str!("../../templates/starters/spec.yaml.j2"),
            context! {
                metric => !practice.has_ring(),
                gas => self.service == Service::Gas,
                service => self.service.word(),
                today => self.today.to_string(),
                largest,
                by_machine,
                places => words.places,
                example_units => words.quantities,
                example_range => words.range,
                practice => practice.key,
                resin => words.resin,
                degree => practice.units.temperature_unit().symbol().trim_start_matches('°'),
                set_point => words.set_point,
                cold => words.cold,
                paper => practice.paper.word(),
                sizes,
                pipes,
            },
        );
        // The template is the program's own and every value is given: a test renders it.
        aligned(&filled.unwrap_or_default())
    }

    /// The pipe that is claimed, sizes of one wall in one entry.
    fn pipes(&self) -> Vec<PipeEntry> {
        let mut entries: Vec<PipeEntry> = Vec::new();
        for size in &self.sizes {
            let (ratio, wall) = self.wall_of(*size);
            let same = |entry: &&mut PipeEntry| {
                // A ratio with a wall is claimed size by size.
                entry.ratio == ratio && entry.wall == wall && !(ratio && wall.is_some())
            };
            match entries.iter_mut().find(same) {
                Some(entry) => entry.sizes.push(size.to_string()),
                None => entries.push(PipeEntry {
                    sizes: vec![size.to_string()],
                    read: match (ratio, &wall, size.system()) {
                        (true, None, SizeSystem::Metric) => "the SDR on the print line",
                        (true, None, _) => "the DR on the print line",
                        (true, Some(_), _) => "SDR and wall on the print line",
                        (false, _, SizeSystem::Cts) => "the wall on the print line of the tubing",
                        (false, ..) => "the wall, or dimension_ratio, on the print line",
                    },
                    ratio,
                    wall,
                }),
            }
        }
        entries
    }

    /// How a size is claimed: by the ratio, or with a wall. Tubing is sold by its wall,
    /// and where a ratio gives no wall that the service allows, it stands beside it.
    fn wall_of(&self, size: Size) -> (bool, Option<String>) {
        let limits = library();
        let of_gas = limits.gas_wall(size);
        let written = || {
            let figure = of_gas.as_ref().and_then(|wall| wall.id.as_deref());
            let figure = figure.and_then(|id| limits.entry(id));
            figure
                .map_or(UNKNOWN_WALL, |figure| &figure.written)
                .to_owned()
        };
        match size.system() {
            SizeSystem::Ips => {
                let by_ratio = limits.outside_diameter(size).map(|od| RATIO.wall(od.value));
                let both = of_gas.as_ref().zip(by_ratio);
                let too_thin = both.is_some_and(|(gas, wall)| wall + table_rounding() < gas.value);
                match too_thin && self.service == Service::Gas {
                    true => (false, Some(written())),
                    false => (true, None),
                }
            }
            SizeSystem::Cts => (false, Some(written())),
            SizeSystem::Metric => {
                let wall = limits.metric_wall(ResinGroup::MetricPe, size, RATIO);
                let Some(wall) = wall else {
                    return (true, Some(UNKNOWN_WALL.to_owned()));
                };
                let too_thin = of_gas.as_ref().is_some_and(|gas| wall.value < gas.value);
                let too_thin = too_thin && self.service == Service::Gas;
                (true, too_thin.then(written))
            }
        }
    }
}

fn environment() -> Environment<'static> {
    let mut environment = Environment::new();
    environment.set_undefined_behavior(UndefinedBehavior::Strict);
    environment
}

/// The text with the comments beside its lines one under the other.
fn aligned(text: &str) -> String {
    let line = |line: &str| match line.split_once(" # ") {
        Some((said, comment)) if !said.trim().is_empty() && !said.trim().starts_with('#') => {
            format!(
                "{:COMMENTS_AT$}# {}",
                format!("{} ", said.trim_end()),
                comment.trim_start()
            )
        }
        _ => line.to_owned(),
    };
    text.lines().map(|one| line(one) + "\n").collect()
}

#[cfg(test)]
mod tests;
