//! Kinds of work beside the plain joint, each shown only where the spec has
//! it: reducers, threaded transitions, spigot ends, and pipe and fitting that
//! are heated for unlike times.

use super::super::block::{Align, Block, Cell, Section};
use super::super::clause::Clause;
use super::super::format;
use super::sources::Sheet;
use super::{Writer, metric_work, scope};
use crate::core::size::Size;
use crate::core::units::print::Bound;
use crate::core::units::{Duration, Length, Range, TimeUnit};
use crate::procedure::resolve::{Joint, Procedure, sequence, unlike_source};
use crate::published::{Basis, Practice, Sourced};
use crate::spec::{FirstOn, FittingKind, Spigot};

/// The sections of the kinds that the spec has.
pub(super) fn sections(w: &Writer) -> Vec<Section> {
    [reducing(w), threaded(w), spigots(w), unlike(w)]
        .into_iter()
        .flatten()
        .collect()
}

fn covers(w: &Writer, kind: FittingKind) -> bool {
    let mut kinds = w.p.spec.fittings.kinds.iter();
    kinds.any(|known| known.value == kind)
}

fn list(w: &Writer, items: &[Clause]) -> Block {
    Block::List {
        items: items.iter().map(|item| w.say(item.clone())).collect(),
    }
}

fn reducing(w: &Writer) -> Option<Section> {
    if !covers(w, FittingKind::Reducer) {
        return None;
    }
    let mut blocks = Vec::new();
    let ends = w.p.spec.fittings.reducers.iter().flat_map(|reducer| {
        let fitting = format!("{} x {}", reducer.large, reducer.small);
        [reducer.large, reducer.small]
            .into_iter()
            .flat_map(|size| w.p.joints.iter().filter(move |j| j.size == size))
            .map(move |joint| end_row(w, &fitting, joint))
    });
    let rows: Vec<_> = ends.collect();
    if rows.is_empty() {
        blocks.push(w.text(Clause::ReducingUnstated));
    } else {
        blocks.push(w.text(Clause::ReducingIntro));
        let handling = w.by_practice(Clause::ColumnCooling, Clause::ColumnHandling);
        blocks.extend(w.table(
            Clause::ReducingCaption,
            vec![
                (Clause::ColumnReducer, Align::Left),
                (Clause::ColumnEnd, Align::Left),
                (Clause::ColumnDepth { unit: w.unit() }, Align::Right),
                (Clause::ColumnHeating, Align::Right),
                (Clause::ColumnChangeOver, Align::Right),
                (Clause::ColumnHold, Align::Right),
                (handling, Align::Right),
            ],
            rows,
            false,
        ));
    }
    blocks.push(list(
        w,
        &[
            Clause::ReducingOneEnd,
            Clause::ReducingWait,
            Clause::ReducingAdapters,
        ],
    ));
    Some(w.section(Clause::TitleReducing, blocks))
}

fn end_row(w: &Writer, fitting: &str, joint: &Joint) -> Vec<Cell> {
    let units = w.units();
    let (fitting, end) = (
        Cell::plain(fitting),
        Cell::plain(format::joint(units, joint, &w.p.joints)),
    );
    let Some(depth) = joint.depth.known() else {
        return vec![fitting, end, format::no_joint(w.words, 5)];
    };
    vec![
        fitting,
        end,
        format::length_cell(units, depth, Bound::Nominal),
        heating(w, joint),
        format::or_none(joint.change_over.as_ref(), format::seconds_cell),
        match w.p.practice() {
            Practice::Us => format::or_none(joint.hold.as_ref(), format::seconds_cell),
            Practice::Metric => metric_work::hold_cell(w, joint),
        },
        format::or_none(joint.before_handling.as_ref(), format::time_cell),
    ]
}

/// The heating time of a joint; where pipe and fitting are heated for unlike
/// times one figure would be wrong, and the cell says where to look.
pub(super) fn heating(w: &Writer, joint: &Joint) -> Cell {
    if w.p.unlike(joint.size).is_some() {
        return Cell::plain(w.say(Clause::SeeUnlike));
    }
    format::or_none(joint.heat.as_ref(), |heat| {
        format::heating_cell(heat, |seconds| w.say(Clause::AtMostSeconds { seconds }))
    })
}

fn threaded(w: &Writer) -> Option<Section> {
    if !covers(w, FittingKind::ThreadedTransition) {
        return None;
    }
    let items = [
        Clause::ThreadedCycle,
        Clause::ThreadedWrench,
        Clause::ThreadedFlats,
    ];
    Some(w.section(Clause::TitleThreaded, vec![list(w, &items)]))
}

fn spigots(w: &Writer) -> Option<Section> {
    if !covers(w, FittingKind::Spigot) {
        return None;
    }
    let (intro, needed) = match w.p.practice() {
        Practice::Us => (Clause::SpigotIntro, Clause::ColumnNeededRing),
        Practice::Metric => (Clause::SpigotIntroMetric, Clause::ColumnNeededDepth),
    };
    let mut blocks = vec![w.text(intro)];
    let rows: Vec<_> =
        w.p.sizes()
            .filter_map(|joint| spigot_row(w, joint))
            .collect();
    if !rows.is_empty() {
        blocks.extend(w.table(
            Clause::SpigotCaption { unit: w.unit() },
            vec![
                (Clause::ColumnSize, Align::Left),
                (Clause::ColumnStraight, Align::Right),
                (needed, Align::Right),
                (Clause::ColumnSpigotOd, Align::Right),
                (Clause::ColumnOdBand, Align::Right),
                (Clause::ColumnSpigotWall, Align::Right),
                (Clause::ColumnThinnest, Align::Right),
            ],
            rows,
            true,
        ));
    }
    blocks.push(list(w, &[Clause::SpigotMeasure, Clause::SpigotReject]));
    Some(w.section(Clause::TitleSpigot, blocks))
}

fn spigot_row(w: &Writer, joint: &Joint) -> Option<Vec<Cell>> {
    let units = w.units();
    let mut spigots = w.p.spec.fittings.spigots.iter();
    let (_, spigot) = spigots.find(|(size, _)| size.value == joint.size)?;
    let cell = |figure: &Sourced<Length>| format::length_cell(units, figure, Bound::Nominal);
    let least = |figure: &Sourced<Length>| format::length_cell(units, figure, Bound::Minimum);
    let measured = |figure: Option<Sourced<Length>>| {
        figure.map_or_else(|| Cell::plain(w.say(Clause::NotMeasured)), |f| cell(&f))
    };
    let of_size = w.p.joints.iter().filter(|j| j.size == joint.size);
    let thinnest = of_size
        .flat_map(|joint| &joint.pipes)
        .map(|pipe| &pipe.least_wall)
        .min_by_key(|wall| wall.value);
    Some(vec![
        Cell::plain(joint.size.to_string()).strong(),
        cell(&scope::spigot_length(w, spigot)),
        format::or_none(needed_length(w, joint).as_ref(), least),
        measured(outside_diameter(w, spigot)),
        format::or_none(joint.od_band.as_ref(), |band| {
            let end = |length| {
                let end = Sourced::stated(length, Basis::Derived, "");
                format::number(units, &end, Bound::Nominal)
            };
            let Range { least, most } = band.value;
            Cell::plain(format!(
                "{} {} {}",
                end(least),
                w.say(Clause::To),
                end(most)
            ))
            .verify(band.needs_verifying())
        }),
        measured(wall(w, spigot)),
        format::or_none(thinnest, least),
    ])
}

/// The straight length that depth and cold ring take; in metric practice the
/// depth alone.
fn needed_length(w: &Writer, joint: &Joint) -> Option<Sourced<Length>> {
    let depth = joint.depth.known()?;
    if w.p.practice() == Practice::Metric {
        return Some(depth.clone());
    }
    let mut rings = w.p.spec.tools.cold_rings.iter();
    let (_, ring) = rings.find(|(size, _)| size.value == joint.size)?;
    let width = ring.width.as_ref()?;
    Some(Sourced::derived(
        depth.value + width.value,
        "insertion depth + width of the cold ring",
        &[depth.standing, Basis::Organization],
    ))
}

fn outside_diameter(w: &Writer, spigot: &Spigot) -> Option<Sourced<Length>> {
    let od = spigot.outside_diameter.as_ref()?;
    let known = scope::spigot_length(w, spigot);
    Some(Sourced::stated(od.value, known.basis, known.source).as_written(&od.text))
}

fn wall(w: &Writer, spigot: &Spigot) -> Option<Sourced<Length>> {
    let wall = spigot.wall.as_ref()?;
    let known = scope::spigot_length(w, spigot);
    Some(Sourced::stated(wall.value, known.basis, known.source).as_written(&wall.text))
}

fn unlike(w: &Writer) -> Option<Section> {
    let fittings = &w.p.spec.fittings;
    let rows: Vec<_> = claimed_pairs(w.p)
        .filter_map(|size| sequence_row(w, size))
        .collect();
    if rows.is_empty() {
        return None;
    }
    let mut blocks = Vec::new();
    if let Some(resin) = &fittings.resin {
        blocks.push(w.text(Clause::UnlikeResins {
            pipe: w.resin(),
            fitting: resin.value.clone(),
        }));
    }
    blocks.push(w.text(Clause::UnlikeIntro));
    blocks.extend(w.table(
        Clause::UnlikeCaption,
        vec![
            (Clause::ColumnSize, Align::Left),
            (Clause::ColumnFirstOn, Align::Left),
            (Clause::ColumnOtherOn, Align::Left),
            (Clause::ColumnBothOff, Align::Right),
            (Clause::ColumnPipeHeated, Align::Right),
            (Clause::ColumnFittingHeated, Align::Right),
            (Clause::ColumnRecord, Align::Left),
        ],
        rows,
        false,
    ));
    blocks.push(list(
        w,
        &[
            Clause::UnlikeFirst,
            Clause::UnlikeOther,
            Clause::UnlikeOff,
            Clause::UnlikeLate,
        ],
    ));
    blocks.push(w.text(Clause::UnlikeOrder));
    Some(w.section(Clause::TitleUnlike, blocks))
}

/// What the print line of pipe and fitting must read.
pub(super) fn print_line(w: &Writer) -> Clause {
    let resin = w.resin();
    let of_fittings = w.p.spec.fittings.resin.as_ref();
    match of_fittings.filter(|fitting| fitting.value != resin) {
        None => Clause::StepPrintLineDetail { resin },
        Some(fitting) => Clause::StepPrintLineUnlike {
            pipe: resin,
            fitting: fitting.value.clone(),
        },
    }
}

/// What to know while heating; sizes with a sequence of their own are sent to it.
pub(super) fn heat_detail(w: &Writer) -> Clause {
    let sizes: Vec<_> = claimed_pairs(w.p).map(|size| size.to_string()).collect();
    if sizes.is_empty() {
        return Clause::StepHeatDetail;
    }
    Clause::StepHeatUnlike {
        sizes: sizes.join(", "),
    }
}

fn claimed_pairs<'p>(p: &'p Procedure<'_>) -> impl Iterator<Item = Size> + 'p {
    let sizes = p.sizes().map(|joint| joint.size);
    sizes.filter(|size| p.unlike(*size).is_some())
}

fn sequence_row(w: &Writer, size: Size) -> Option<Vec<Cell>> {
    let pair = w.p.unlike(size)?;
    if !w.p.is_joined(size) {
        let size = Cell::plain(size.to_string()).strong();
        return Some(vec![size, format::no_joint(w.words, 6)]);
    }
    let sequence = sequence(pair)?;
    let verify = sequence.needs_verifying();
    let (pipe, fitting) = (w.say(Clause::PartPipe), w.say(Clause::PartFitting));
    let (first, other) = match sequence.value.first {
        FirstOn::Pipe => (pipe, fitting),
        FirstOn::Fitting => (fitting, pipe),
    };
    let at = |time: Duration| {
        w.say(Clause::AtSeconds {
            seconds: time.number(TimeUnit::Second),
        })
    };
    let on = |part: String, time| Cell::plain(part).below(at(time)).verify(verify).strong();
    let heat = |range: Range<Duration>| {
        let figure = Sourced::stated(range, Basis::Organization, "");
        Cell {
            strong: false,
            ..format::heating_cell(&figure, |seconds| w.say(Clause::AtMostSeconds { seconds }))
        }
    };
    let off = Sourced::derived(sequence.value.both_off, "", &[sequence.standing]);
    Some(vec![
        Cell::plain(size.to_string()).strong(),
        on(first, Duration::ZERO),
        on(other, sequence.value.other_on),
        format::heating_cell(&off, |seconds| w.say(Clause::AtMostSeconds { seconds })),
        heat(pair.pipe_heat.value),
        heat(pair.fitting_heat.value),
        Cell::plain(
            pair.record
                .as_ref()
                .map_or_else(String::new, |record| record.value.clone()),
        ),
    ])
}

/// The figures of the kinds, for the sources sheet.
pub(super) fn figures(sheet: &mut Sheet, w: &Writer) {
    for (size, spigot) in &w.p.spec.fittings.spigots {
        let of = size.value.to_string();
        let od = outside_diameter(w, spigot);
        sheet.length(Clause::FigureSpigotOd, &of, od.as_ref(), Bound::Nominal);
        let wall = wall(w, spigot);
        sheet.length(Clause::FigureSpigotWall, &of, wall.as_ref(), Bound::Nominal);
    }
    let to = w.say(Clause::To);
    let show = |range: &Range<Duration>| seconds(*range, &to);
    for size in claimed_pairs(w.p).filter(|size| w.p.is_joined(*size)) {
        let (Some(pair), of) = (w.p.unlike(size), size.to_string()) else {
            continue;
        };
        for (name, heat) in [
            (Clause::FigureUnlikePipe, &pair.pipe_heat),
            (Clause::FigureUnlikeFitting, &pair.fitting_heat),
        ] {
            let figure = Sourced::stated(heat.value, Basis::Organization, unlike_source(pair));
            sheet.add(name, &of, &figure, show);
        }
        if let Some(sequence) = sequence(pair) {
            sheet.add(Clause::FigureUnlikeOn, &of, &sequence, |sequence| {
                sequence.other_on.show()
            });
            sheet.add(Clause::FigureUnlikeOff, &of, &sequence, |sequence| {
                show(&sequence.both_off)
            });
        }
    }
}

/// `81 to 84 s`.
pub(super) fn seconds(range: Range<Duration>, to: &str) -> String {
    let most = format!("{} s", range.most.number(TimeUnit::Second));
    if range.least == range.most {
        return most;
    }
    format!("{} {to} {most}", range.least.number(TimeUnit::Second))
}
