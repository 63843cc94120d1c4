//! Spigot ends: whether they enter a socket as far as pipe does.

use crate::core::units::print::{Bound, UnitsFirst};
use crate::core::units::{Length, LengthUnit, Range};
use crate::papers::sheets::drawing::micrometers;
use crate::papers::sheets::parts::{Rule, SpigotDrawing, SpigotEnds, runs};
use crate::papers::sheets::procedure::source_rows::SourceRows;
use crate::papers::sheets::procedure::writer::{Block, Cell, Clause, Section, Writer, format};
use crate::procedure::resolve::Joint;
use crate::published::{Basis, Sourced};
use crate::spec::{FittingKind, Spigot, Written};

pub(crate) fn spigots(w: &Writer) -> Option<Section> {
    if !w.covers(FittingKind::Spigot) {
        return None;
    }
    let words = w.practice_words();
    let rows: Vec<_> =
        w.p.sizes()
            .filter_map(|joint| spigot_row(w, joint))
            .collect();
    let open = w.p.sizes().filter(|joint| spigot_of(w, joint).is_none());
    let open = format::sizes(open.collect::<Vec<_>>());
    let unit = w.say(match w.units().length_unit() {
        LengthUnit::Inch => Clause::HeadInch,
        LengthUnit::Millimeter => Clause::HeadMillimeter,
    });
    let head = |clause| [w.say(clause), unit.clone()];
    let heads = vec![
        [w.say(Clause::ColumnSize), String::new()],
        head(Clause::ColumnStraight),
        head(words.spigot_column.clone()),
        head(Clause::ColumnSpigotOd),
        head(Clause::ColumnOdBand),
        head(Clause::ColumnSpigotWall),
        head(Clause::ColumnThinnest),
    ];
    let rule = |order, detail| Rule {
        order: runs(&w.say(order), "", false),
        detail: w.say(detail),
    };
    let ends = SpigotEnds {
        drawing: w.p.sizes().filter_map(|joint| drawing(w, joint)).last(),
        rules: vec![
            rule(words.spigot_holds.clone(), Clause::SpigotReject),
            rule(Clause::SpigotMeasure, Clause::SpigotMeasureHow),
        ],
        heads,
        rows,
        open: (!open.is_empty()).then(|| [open, w.say(Clause::SpigotOpen)]),
    };
    let section = w.section(Clause::TitleSpigot, vec![Block::SpigotEnds(Box::new(ends))]);
    Some(section.lead(w.say(words.spigot_intro.clone())))
}

fn spigot_of<'a>(w: &Writer<'a>, joint: &Joint) -> Option<&'a Spigot> {
    let mut spigots = w.p.spec.fittings.spigots.iter();
    let (_, spigot) = spigots.find(|(size, _)| size.value == joint.size)?;
    Some(spigot)
}

/// A spigot with its depth and ring, to scale.
fn drawing(w: &Writer, joint: &Joint) -> Option<SpigotDrawing> {
    let spigot = spigot_of(w, joint)?;
    let straight = straight_length(w, spigot);
    let depth = joint.depth.known()?;
    let od = outside_diameter(w, spigot).or_else(|| joint.outside_diameter.clone())?;
    let thinnest = joint.pipes.last().map(|pipe| pipe.minimum_wall.clone());
    let wall = wall(w, spigot).or(thinnest)?;
    let ring = ring_width(w, joint);
    let number = |length: &Sourced<Length>| format::number(w.units(), length, Bound::Nominal);
    let label =
        |clause: fn(String) -> Clause, length: &Sourced<Length>| w.say(clause(number(length)));
    let straight_label = label(|length| Clause::SpigotStraightLabel { length }, &straight);
    let depth_label = label(|length| Clause::SpigotDepthLabel { length }, depth);
    let ring_length = ring
        .map(|width| Sourced::stated(width.value, Basis::Organization, "").written_as(&width.text));
    let ring_label = ring_length
        .as_ref()
        .map(|width| label(|length| Clause::SpigotRingLabel { length }, width));
    let labels = [
        Some(&straight_label),
        Some(&depth_label),
        ring_label.as_ref(),
    ];
    let labels: Vec<_> = labels.into_iter().flatten().map(String::as_str).collect();
    Some(SpigotDrawing {
        alt: w.say(Clause::SpigotAlt {
            size: joint.size.to_string(),
            labels: labels.join(", "),
        }),
        size: joint.size.to_string(),
        straight: micrometers(straight.value),
        depth: micrometers(depth.value),
        ring: ring_length.map(|width| micrometers(width.value)),
        radius: micrometers(od.value) / 2,
        wall: micrometers(wall.value),
        straight_label,
        depth_label,
        ring_label,
    })
}

/// The width of the cold ring of a size, if there is one and it is stated.
fn ring_width<'a>(w: &Writer<'a>, joint: &Joint) -> Option<&'a Written<Length>> {
    if !w.practice().has_ring() {
        return None;
    }
    let mut rings = w.p.spec.tools.cold_rings.iter();
    let (_, ring) = rings.find(|(size, _)| size.value == joint.size)?;
    ring.width.as_ref()
}

fn spigot_row(w: &Writer, joint: &Joint) -> Option<Vec<Cell>> {
    let units = w.units();
    let spigot = spigot_of(w, joint)?;
    let cell = |number: &Sourced<Length>| format::length_cell(units, number, Bound::Nominal);
    let least = |number: &Sourced<Length>| format::length_cell(units, number, Bound::Minimum);
    let measured = |number: Option<Sourced<Length>>| {
        number.map_or_else(|| Cell::plain(w.say(Clause::NotMeasured)), |f| cell(&f))
    };
    let of_size = w.p.joints.iter().filter(|j| j.size == joint.size);
    let thinnest = of_size
        .flat_map(|joint| &joint.pipes)
        .map(|pipe| &pipe.minimum_wall)
        .min_by_key(|wall| wall.value);
    Some(vec![
        Cell::plain(joint.size.to_string()).strong(),
        cell(&straight_length(w, spigot)),
        format::or_dash(needed_length(w, joint).as_ref(), least),
        measured(outside_diameter(w, spigot)),
        format::or_dash(joint.od_band.as_ref(), |band| {
            let end = |length, bound| {
                let end = Sourced::stated(length, Basis::Derived, "");
                let other = match units {
                    UnitsFirst::Us => format::other_unit(units, &end, bound),
                    UnitsFirst::Metric => String::new(),
                };
                (format::number(units, &end, bound), other)
            };
            let Range { least, most } = band.value;
            let (least, other_least) = end(least, Bound::Minimum);
            let (most, other_most) = end(most, Bound::Maximum);
            let to = w.say(Clause::To);
            let cell = Cell::plain(format!("{least} {to} {most}")).verify(band.needs_verifying());
            if other_most.is_empty() {
                return cell;
            }
            let symbol = LengthUnit::Millimeter.symbol();
            let other_least = other_least.trim_end_matches(symbol).trim_end();
            cell.below(format!("{other_least} {to} {other_most}"))
        }),
        measured(wall(w, spigot)),
        format::or_dash(thinnest, least),
    ])
}

/// The straight length needed for depth and cold ring; without a ring, the depth
/// alone.
fn needed_length(w: &Writer, joint: &Joint) -> Option<Sourced<Length>> {
    let depth = joint.depth.known()?;
    if !w.practice().has_ring() {
        return Some(depth.clone());
    }
    let width = ring_width(w, joint)?;
    Some(Sourced::derived(
        depth.value + width.value,
        "insertion depth + width of the cold ring",
        &[depth.weakest_basis, Basis::Organization],
    ))
}

/// The straight length of a spigot end. Without a source it does not count as
/// measured.
pub(crate) fn straight_length(w: &Writer, spigot: &Spigot) -> Sourced<Length> {
    let length = &spigot.straight_length;
    let (basis, source) = match &spigot.source {
        Some(source) => (Basis::Measured, source.value.clone()),
        None => (Basis::Organization, w.say(Clause::SourceSpec)),
    };
    Sourced::stated(length.value, basis, source).written_as(&length.text)
}

fn outside_diameter(w: &Writer, spigot: &Spigot) -> Option<Sourced<Length>> {
    let od = spigot.outside_diameter.as_ref()?;
    let known = straight_length(w, spigot);
    Some(Sourced::stated(od.value, known.basis, known.source).written_as(&od.text))
}

fn wall(w: &Writer, spigot: &Spigot) -> Option<Sourced<Length>> {
    let wall = spigot.wall.as_ref()?;
    let known = straight_length(w, spigot);
    Some(Sourced::stated(wall.value, known.basis, known.source).written_as(&wall.text))
}

/// The numbers of spigots, for the paper of the sources.
pub(crate) fn add_source_rows(rows: &mut SourceRows, w: &Writer) {
    for (size, spigot) in &w.p.spec.fittings.spigots {
        let of = size.value.to_string();
        let od = outside_diameter(w, spigot);
        rows.length(Clause::FigureSpigotOd, &of, od.as_ref(), Bound::Nominal);
        let wall = wall(w, spigot);
        rows.length(Clause::FigureSpigotWall, &of, wall.as_ref(), Bound::Nominal);
    }
    // Without a ring it is the depth, which has a row of its own.
    let ringed = w.p.sizes().filter(|_| w.practice().has_ring());
    for joint in ringed.filter(|joint| spigot_row(w, joint).is_some()) {
        let needed = needed_length(w, joint).map(|length| Sourced {
            source: w.say(Clause::SourceSpigotNeeded),
            ..length
        });
        let of = joint.size.to_string();
        rows.length(
            Clause::FigureSpigotNeeded,
            &of,
            needed.as_ref(),
            Bound::Minimum,
        );
    }
}
