//! The thermal estimate: advice for those who write and qualify
//! a procedure. It contains no time to work by.

use super::heat_figures::{self, both, estimated, heating};
use serde::Serialize;

use crate::core::units::{DimensionRatio, Range, Temperature, TimeUnit};
use crate::papers::sheets::drawing::HeatChart;
use crate::papers::sheets::procedure::writer::{Align, Block, Cell, Clause, Writer, format};
use crate::procedure::resolve::{Joint, Pipe};
use crate::process::socket::heat::advice::{Advice, Estimate, NoEstimate, Row, shown};
use crate::process::socket::heat::{CollapseFlag, LEAST_WITH_SOLIDIFICATION, Refusal};

/// The part of the paper with the estimate.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct HeatPart {
    title: String,
    lead: String,
    /// What it must never be taken for, white on black.
    bar: String,
    bar_text: String,
    basis: String,
    chart: Option<HeatChart>,
    /// Table and remarks.
    blocks: Vec<Block>,
}

pub(crate) fn estimate(w: &Writer, advice: &Advice) -> HeatPart {
    let mut blocks = Vec::new();
    if let Some(resin) = advice.resin.filter(|resin| resin.stands_in) {
        blocks.push(w.text(Clause::HeatStandIn {
            model: resin.name.to_owned(),
            resin: w.resin(),
        }));
    }
    let rows: Vec<_> = estimated(advice)
        .map(|(joint, pipe, estimate)| row(w, joint, pipe, estimate))
        .collect();
    if !rows.is_empty() {
        let ranges = estimated(advice)
            .any(|(_, _, estimate)| estimate.heating.most > estimate.heating.least);
        let caption = if ranges {
            Clause::HeatCaption
        } else {
            Clause::HeatCaptionOne
        };
        blocks.extend(w.table(caption, columns(w), rows, true));
    }
    let refused = refused(w, advice);
    if !refused.is_empty() {
        blocks.push(w.text(Clause::HeatNone));
        blocks.push(Block::List { items: refused });
    }
    if estimated(advice).next().is_some() {
        blocks.push(Block::lead_in_list(reading(w, advice)));
    }
    HeatPart {
        title: w.say(Clause::TitleHeat),
        lead: w.say(Clause::HeatLead),
        bar: w.say(Clause::HeatBar),
        bar_text: w.say(Clause::HeatBarText),
        basis: w.say(basis(w, advice)),
        chart: heat_figures::chart(w, advice),
        blocks,
    }
}

/// What the estimates apply to.
fn basis(w: &Writer, advice: &Advice) -> Clause {
    Clause::HeatBasis {
        face: w.units().temperature(advice.heater_face),
        pipe: w.units().temperature(advice.pipe_temperature),
        socket: advice.socket_wall.show(),
    }
}

fn columns(w: &Writer) -> Vec<(Clause, Align)> {
    vec![
        (Clause::ColumnSize, Align::Left),
        (Clause::HeatColumnWall, Align::Left),
        (Clause::HeatColumnHeating, Align::Right),
        (Clause::HeatColumnPipe, Align::Right),
        (Clause::HeatColumnSocket, Align::Right),
        (Clause::HeatColumnShare, Align::Right),
        (Clause::HeatColumnCollapse, Align::Left),
        (
            Clause::HeatColumnInterface {
                unit: w.units().temperature_unit().symbol().to_owned(),
            },
            Align::Right,
        ),
        (Clause::HeatColumnCeiling, Align::Right),
        (Clause::HeatColumnSetting, Align::Right),
    ]
}

fn row(w: &Writer, joint: &Joint, pipe: &Pipe, estimate: &Estimate) -> Vec<Cell> {
    let Estimate {
        shortest, longest, ..
    } = estimate;
    let depths = |shortest, longest| both(w, shown::depth(shortest), &shown::depth(longest));
    let whole = |share| shown::share(share).show().replace(" %", "");
    let degrees = |temperature| shown::degrees(temperature, w.units().temperature_unit());
    let ceiling = shortest
        .change_over_ceiling
        .map(|ceiling| shown::ceiling(ceiling).number(TimeUnit::Second));
    let flag = match longest.collapse {
        CollapseFlag::None => Cell::plain(w.say(Clause::HeatFlagNone)),
        CollapseFlag::Caution => Cell::plain(w.say(Clause::HeatFlagCaution)).strong(),
        CollapseFlag::High => Cell::plain(w.say(Clause::HeatFlagHigh)).strong(),
    };
    vec![
        Cell::plain(joint.size.to_string()),
        Cell::plain(pipe.label.name(w.units())),
        Cell::plain(heating(w, estimate.heating)),
        Cell::plain(depths(shortest.pipe_melt, longest.pipe_melt)),
        Cell::plain(depths(shortest.socket_melt, longest.socket_melt)),
        Cell::plain(both(
            w,
            whole(shortest.melted_share),
            &whole(longest.melted_share),
        )),
        flag,
        Cell::plain(both(
            w,
            degrees(shortest.interface),
            &degrees(longest.interface),
        )),
        Cell::plain(w.say(Clause::HeatCeiling {
            ceiling: ceiling.unwrap_or_else(|| w.say(Clause::HeatCeilingNone)),
            allowed: estimate.change_over.number(TimeUnit::Second),
        })),
        Cell::plain(estimate.solidification.map_or_else(
            || format::DASH.to_owned(),
            |times| heating(w, shown::span(times)),
        )),
    ]
}

/// The rows without an estimate, each with its reason; a single sentence if the
/// reason is the resin.
fn refused(w: &Writer, advice: &Advice) -> Vec<String> {
    let refusal_text = |row: &Row| {
        let reason = w.say(reason(w, row)?);
        let wall = row.pipe.map(|pipe| pipe.label.name(w.units()));
        Some((row.joint.size.to_string(), wall, reason))
    };
    let mut reasons: Vec<(String, Vec<String>)> = Vec::new();
    for (size, wall, reason) in advice.rows.iter().filter_map(refusal_text) {
        let name = wall.map_or_else(|| size.clone(), |wall| format!("{size} {wall}"));
        match reasons.iter_mut().find(|(known, _)| *known == reason) {
            Some((_, names)) => names.push(name),
            None => reasons.push((reason, vec![name])),
        }
    }
    reasons
        .into_iter()
        .map(|(reason, names)| {
            w.say(Clause::HeatNoneRow {
                names: names.join(", "),
                reason,
            })
        })
        .collect()
}

/// Why a row has no estimate.
fn reason(w: &Writer, row: &Row) -> Option<Clause> {
    let ratio = row.pipe.and_then(|pipe| pipe.ratio);
    let between = |range: &Range<Temperature>| {
        let end = |temperature| w.units().temperature(temperature);
        format!(
            "{} {} {}",
            end(range.least),
            w.say(Clause::To),
            end(range.most)
        )
    };
    if row.joint.depth.known().is_none() {
        return Some(Clause::NoEstimateDepth);
    }
    Some(match row.estimate.as_ref().err()? {
        NoEstimate::ResinNotModeled => Clause::NoEstimateResin,
        NoEstimate::NoPipe => Clause::NoEstimatePipe,
        NoEstimate::UnlikeTimes => Clause::NoEstimateUnlike,
        NoEstimate::NoHeating => Clause::NoEstimateHeating,
        NoEstimate::NoChangeOver => Clause::NoEstimateChangeOver,
        NoEstimate::Refused(refusal) => match refusal {
            Refusal::PipeTemperature(range) => Clause::NoEstimateColdPipe {
                range: between(range),
            },
            Refusal::Ambient(range) => Clause::NoEstimateAir {
                range: between(range),
            },
            Refusal::HeaterFace(range) => Clause::NoEstimateFace {
                range: between(range),
            },
            Refusal::DimensionRatio(range) => Clause::NoEstimateRatio {
                ratio: ratio.map_or_else(String::new, DimensionRatio::number),
                least: range.least.number(),
                most: range.most.number(),
            },
            Refusal::SocketWall => Clause::NoEstimateSocket,
            Refusal::Time => Clause::NoEstimateTime,
            Refusal::Tables(_) => Clause::NoEstimateTables,
            Refusal::NotSettled => Clause::NoEstimateSettled,
        },
    })
}

/// How to read the table, and the effect of cold and hot pipe.
fn reading(w: &Writer, advice: &Advice) -> Vec<String> {
    let mut items = vec![
        w.say(Clause::HeatReadMelt),
        w.say(Clause::HeatReadCeiling {
            step: w.practice_words().heat_step.to_owned(),
        }),
        w.say(Clause::HeatReadSetting {
            least: w.in_print(&w.units().minimum_length(LEAST_WITH_SOLIDIFICATION)),
        }),
    ];
    if let Some(cold) = advice.coldest() {
        items.push(w.say(Clause::HeatCold {
            temperature: w.units().minimum_temperature(cold.temperature),
            longer: cold.longer.show(),
        }));
    }
    let joined = w.p.joints.iter().filter(|j| j.depth.known().is_some());
    let heats = joined.filter_map(|joint| joint.cycle.heat());
    let shortest = heats.map(|heat| heat.value.least).min();
    if let (Some(step), Some(shortest)) = (&w.p.cold_step, shortest) {
        items.push(w.say(Clause::HeatColdStep {
            step: step.value.show(),
            twice: step.value.thousandths(2000).show(),
            shortest: shortest.show(),
        }));
    }
    if let Some(hot) = advice.hottest() {
        items.push(w.say(Clause::HeatHot {
            temperature: w.units().maximum_temperature(hot.temperature),
            deeper: hot.deeper.show(),
        }));
    }
    for end in advice.beyond_model() {
        let [model, allowed] = [end.model, end.allowed].map(|temperature| {
            if end.hot {
                w.units().maximum_temperature(temperature)
            } else {
                w.units().minimum_temperature(temperature)
            }
        });
        items.push(w.say(if end.hot {
            Clause::HeatBeyondHot { model, allowed }
        } else {
            Clause::HeatBeyondCold { model, allowed }
        }));
    }
    items
}
