//! Spigot ends: whether they enter a socket as far as pipe does.

use crate::core::units::print::Bound;
use crate::core::units::{Length, Range};
use crate::papers::sheets::procedure::source_rows::SourceRows;
use crate::papers::sheets::procedure::writer::{Align, Cell, Clause, Section, Writer, format};
use crate::procedure::resolve::Joint;
use crate::published::{Basis, Sourced};
use crate::spec::{FittingKind, Spigot};

pub(crate) fn spigots(w: &Writer) -> Option<Section> {
    if !w.covers(FittingKind::Spigot) {
        return None;
    }
    let words = w.practice_words();
    let mut blocks = vec![w.text(words.spigot_intro.clone())];
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
                (words.spigot_column.clone(), Align::Right),
                (Clause::ColumnSpigotOd, Align::Right),
                (Clause::ColumnOdBand, Align::Right),
                (Clause::ColumnSpigotWall, Align::Right),
                (Clause::ColumnThinnest, Align::Right),
            ],
            rows,
            true,
        ));
    }
    blocks.push(w.list([Clause::SpigotMeasure, Clause::SpigotReject]));
    Some(w.section(Clause::TitleSpigot, blocks))
}

fn spigot_row(w: &Writer, joint: &Joint) -> Option<Vec<Cell>> {
    let units = w.units();
    let mut spigots = w.p.spec.fittings.spigots.iter();
    let (_, spigot) = spigots.find(|(size, _)| size.value == joint.size)?;
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
    let mut rings = w.p.spec.tools.cold_rings.iter();
    let (_, ring) = rings.find(|(size, _)| size.value == joint.size)?;
    let width = ring.width.as_ref()?;
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
        None => (Basis::Organization, w.say(Clause::SourceUnsourced)),
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

/// The numbers of spigots, for the sources sheet.
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
