//! The drawing of the thermal estimate: melt depth against time for each size.

use crate::core::units::{Duration, Length, Range, TimeUnit};
use crate::papers::sheets::drawing::{Bar, ChartKey, HeatChart, Panel, micrometers};
use crate::papers::sheets::procedure::writer::{Clause, Writer, format};
use crate::procedure::resolve::{Joint, Pipe};
use crate::process::socket::heat::advice::{Advice, Estimate, shown};
use crate::process::socket::heat::{CollapseFlag, JointEstimate, MeltPoint};

/// Step of the depth axis, µm.
const DEPTH_STEP: i64 = 500;

/// The time axis ends at a multiple of this, ms.
const TIME_STEP: i64 = 5_000;

/// Segments of a drawn curve.
const CURVE_STRETCHES: usize = 16;

type Estimated<'a> = (&'a Joint, &'a Pipe, &'a Estimate);

fn milliseconds(time: Duration) -> i64 {
    (time.seconds() * 1e3).round() as i64
}

/// The chart: one panel per joint, for its thinnest wall.
pub(crate) fn chart(w: &Writer, advice: &Advice) -> Option<HeatChart> {
    let mut thinnest: Vec<Estimated> = Vec::new();
    for (joint, pipe, estimate) in estimated(advice) {
        match thinnest
            .last_mut()
            .filter(|(of, _, _)| std::ptr::eq(*of, joint))
        {
            // Walls are sorted thickest first.
            Some(last) => *last = (joint, pipe, estimate),
            None => thinnest.push((joint, pipe, estimate)),
        }
    }
    let deepest = thinnest
        .iter()
        .map(|(_, _, e)| micrometers(shown::uncertain(e.longest.pipe_melt).most))
        .max()?;
    let longest = thinnest
        .iter()
        .map(|(_, _, e)| milliseconds(e.heating.most))
        .max()?;
    let depth_end = up_to(deepest, DEPTH_STEP);
    let time_end = up_to(longest, TIME_STEP);
    let descriptions: Vec<_> = thinnest
        .iter()
        .map(|(joint, _, e)| {
            w.say(Clause::HeatChartAltSize {
                size: joint.size.to_string(),
                heating: heating(w, e.heating),
                melt: melt(w, e),
            })
        })
        .collect();
    Some(HeatChart {
        caption: w.say(Clause::HeatChartCaption),
        alt: w.say(Clause::HeatChartAlt {
            sizes: descriptions.join("; "),
        }),
        time_label: w.say(Clause::HeatChartTime),
        depth_label: w.say(Clause::HeatChartDepth),
        time_end,
        time_ticks: (0..=time_end / TIME_STEP)
            .map(|tick| tick * TIME_STEP)
            .map(|at| {
                let named = at % (time_step(time_end)) == 0;
                (at, named.then(|| (at / 1_000).to_string()))
            })
            .collect(),
        depth_end,
        depth_ticks: (0..=depth_end / DEPTH_STEP)
            .map(|tick| tick * DEPTH_STEP)
            .map(|at| (at, shown::depth(Length::from_micrometers(at))))
            .collect(),
        panels: thinnest
            .into_iter()
            .map(|estimated| panel(w, estimated, depth_end))
            .collect(),
        limit_label: w.say(Clause::HeatKeyLimit),
        key: key(w),
    })
}

/// How to read the chart.
fn key(w: &Writer) -> ChartKey {
    let stiff = w.units().temperature(CollapseFlag::stiff_below());
    ChartKey {
        title: w.say(Clause::HeatKeyTitle),
        curve: w.say(Clause::HeatKeyCurve),
        window: w.say(Clause::HeatKeyWindow),
        bars: w.say(Clause::HeatKeyBars),
        limit: w.say(Clause::HeatKeyLimit),
        flags: [
            (
                Clause::HeatTagHigh,
                Clause::HeatKeyHigh {
                    stiff: stiff.clone(),
                },
            ),
            (Clause::HeatTagCaution, Clause::HeatKeyCaution { stiff }),
        ]
        .map(|(tag, means)| (w.say(tag), w.say(means))),
    }
}

/// The step of the times that are named, ms: no more than four are.
fn time_step(end: i64) -> i64 {
    let steps = [1, 2, 4, 8, 12, 24].map(|times| times * TIME_STEP);
    let fits = steps.into_iter().find(|step| end / step <= 4);
    fits.unwrap_or(end.max(TIME_STEP))
}

/// The next multiple of `step`.
fn up_to(value: i64, step: i64) -> i64 {
    (value + step - 1) / step * step
}

fn melt(w: &Writer, estimate: &Estimate) -> String {
    both(
        w,
        shown::depth(estimate.shortest.pipe_melt),
        &shown::depth(estimate.longest.pipe_melt),
    )
}

fn panel(w: &Writer, (joint, pipe, estimate): Estimated, depth_end: i64) -> Panel {
    let bar = |time: Duration, joint: &JointEstimate| {
        let known = shown::uncertain(joint.pipe_melt);
        Bar {
            time: milliseconds(time),
            depth: micrometers(joint.pipe_melt),
            least: micrometers(known.least),
            most: micrometers(known.most),
        }
    };
    let times = estimate.heating;
    let mut bars = vec![bar(times.least, &estimate.shortest)];
    if times.most > times.least {
        bars.push(bar(times.most, &estimate.longest));
    }
    let caution = shown::whole_percent(40).of_length(pipe.minimum_wall.value);
    let flag = match estimate.longest.collapse {
        CollapseFlag::None => None,
        CollapseFlag::Caution => Some(Clause::HeatTagCaution),
        CollapseFlag::High => Some(Clause::HeatTagHigh),
    };
    Panel {
        title: joint.size.to_string(),
        subtitle: w.say(Clause::HeatPanelWall {
            wall: pipe.label.name(w.units()),
            thickness: format::millimeters_to(pipe.minimum_wall.value, 2),
        }),
        curve: smooth(
            &estimate.curve,
            &[
                (times.least, estimate.shortest.pipe_melt),
                (times.most, estimate.longest.pipe_melt),
            ],
        ),
        window: (milliseconds(times.least), milliseconds(times.most)),
        heating: w.say(Clause::HeatPanelHeating {
            heating: heating(w, times),
        }),
        verify: joint
            .cycle
            .heat()
            .is_some_and(|heat| heat.needs_verifying()),
        melt: w.say(Clause::HeatPanelMelt {
            melt: melt(w, estimate),
        }),
        bars,
        limit: Some(micrometers(caution)).filter(|limit| *limit <= depth_end),
        flag: flag.map(|flag| w.say(flag)),
    }
}

/// The curve to draw: ms and µm.
///
/// The melt front passes from cell to cell of the model, and each step leaves a
/// ripple on the computed points. Averaging over segments that are equal in the
/// square root of time, in which melt depth grows almost linearly, removes it.
/// The curve still ends at the printed depths.
fn smooth(points: &[MeltPoint], printed: &[(Duration, Length)]) -> Vec<(i64, i64)> {
    let root = |time: Duration| time.seconds().sqrt();
    let end = points.last().map_or(0.0, |point| root(point.time));
    let width = end / CURVE_STRETCHES as f64;
    let clear = |at: f64| {
        let apart = |(time, _): &(Duration, Length)| (root(*time) - at).abs() > width * 0.75;
        printed.iter().all(apart)
    };
    let means = (0..CURVE_STRETCHES).filter_map(|stretch| {
        let (from, to) = (width * stretch as f64, width * (stretch + 1) as f64);
        let within = points.iter().filter(|point| {
            let at = root(point.time);
            at >= from && at < to
        });
        let (count, at, depth) = within.fold((0, 0.0, 0.0), |(count, at, depth), point| {
            (count + 1, at + root(point.time), depth + point.pipe.mm())
        });
        let mean = |sum: f64| sum / f64::from(count);
        (count > 0 && clear(mean(at))).then(|| {
            let time = mean(at).powi(2) * 1e3;
            (time.round() as i64, (mean(depth) * 1e3).round() as i64)
        })
    });
    let mut curve: Vec<_> = std::iter::once((0, 0))
        .chain(means)
        .chain(
            printed
                .iter()
                .map(|&(time, depth)| (milliseconds(time), micrometers(depth))),
        )
        .collect();
    curve.sort_unstable();
    curve.dedup();
    curve
}

/// The estimates to show. A size that is not joined has none, because each states
/// a heating time.
pub(crate) fn estimated<'a, 'p>(
    advice: &'a Advice<'p>,
) -> impl Iterator<Item = (&'p Joint, &'p Pipe, &'a Estimate)> {
    advice
        .estimated()
        .filter(|(joint, ..)| joint.depth.known().is_some())
}

/// The number at the shortest and at the longest heating time; one number if both
/// print alike.
pub(crate) fn both(w: &Writer, shortest: String, longest: &str) -> String {
    if shortest == longest {
        return shortest;
    }
    format!("{shortest} {} {longest}", w.say(Clause::To))
}

pub(crate) fn heating(w: &Writer, heating: Range<Duration>) -> String {
    let seconds = |time: Duration| time.number(TimeUnit::Second);
    both(w, seconds(heating.least), &seconds(heating.most))
}
