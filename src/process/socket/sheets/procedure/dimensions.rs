//! Pipe by size: between which diameters a pi tape must read, and the walls.

use crate::core::units::print::Bound;
use crate::core::units::{Length, LengthUnit};
use crate::papers::sheets::parts::{
    DimensionHeads, LengthUnitName, PipeDimensions, SizeDimensions, WallDimensions,
};
use crate::papers::sheets::practice::Dimension;
use crate::papers::sheets::procedure::writer::{Block, Cell, Clause, Section, Writer, format};
use crate::procedure::resolve::{Joint, Pipe};
use crate::published::Sourced;

pub(crate) fn dimensions(w: &Writer) -> Section {
    let words = &w.practice_words().dimensions;
    let by_size = has_ovality(w);
    let sizes: Vec<_> = w.p.sizes().map(|joint| size(w, joint)).collect();
    let has_over = sizes
        .iter()
        .flat_map(|size| &size.walls)
        .any(|wall| wall.over.is_some());
    let head = |title, below| [w.say(title), w.say(below)];
    let heads = DimensionHeads {
        size: w.size_head(),
        nominal: head(Clause::DimensionOd, Clause::DimensionNominal),
        least: head(Clause::DimensionPiTape, Clause::DimensionLeast),
        greatest: head(Clause::DimensionPiTape, Clause::DimensionGreatest),
        out_of_round: by_size.then(|| head(Clause::DimensionOutOfRound, Clause::DimensionAtMost)),
        wall: w.say(Clause::ColumnWall),
        least_wall: head(Clause::DimensionWall, Clause::DimensionLeast),
        over: has_over.then(|| head(Clause::DimensionOver, Clause::DimensionTolerance)),
        inside: head(Clause::DimensionInside, Clause::DimensionAtLeastWall),
    };
    let mut notes = vec![w.say(Clause::DimensionsTape)];
    if w.p.sizes().any(|joint| joint.od_band.is_none()) {
        notes.push(w.say(Clause::DimensionsNoTolerance));
    }
    if by_size {
        notes.push(w.say(Clause::DimensionsAsMade));
    }
    let dimensions = PipeDimensions {
        unit: LengthUnitName::from(w.units().length_unit()),
        heads,
        sizes,
        notes,
    };
    w.section(
        Clause::TitleDimensions,
        vec![Block::PipeDimensions(Box::new(dimensions))],
    )
    .lead(w.say(words.lead.clone()))
}

/// Whether out-of-roundness is limited size by size.
fn has_ovality(w: &Writer) -> bool {
    let columns = w.practice_words().dimensions.columns;
    columns.contains(&Dimension::OutOfRoundness)
}

fn size(w: &Writer, joint: &Joint) -> SizeDimensions {
    let cell = |number: &Sourced<Length>, bound| length(w, number, bound);
    // Both limits are rounded to the side that lets no pipe pass that fails.
    let end = |length: Length, bound| {
        joint.od_band.as_ref().map_or_else(
            || Cell::plain(w.say(Clause::DimensionNotPublished)),
            |band| {
                let number = Sourced {
                    value: length,
                    written: None,
                    ..Sourced::derived(length, "", &[band.weakest_basis])
                };
                cell(&number, bound)
            },
        )
    };
    let band = joint.od_band.as_ref().map(|band| band.value);
    let (least, greatest) = band.map_or((Length::ZERO, Length::ZERO), |b| (b.least, b.most));
    // Every wall of the size, whatever its heating time.
    let of_size = w.p.joints.iter().filter(|other| other.size == joint.size);
    SizeDimensions {
        size: w.size_name(joint.size),
        nominal: format::or_dash(joint.outside_diameter.as_ref(), |od| {
            cell(od, Bound::Nominal)
        }),
        least: end(least, Bound::Minimum),
        greatest: end(greatest, Bound::Maximum),
        out_of_round: has_ovality(w).then(|| {
            format::or_dash(joint.out_of_roundness.as_ref(), |most| {
                cell(most, Bound::Maximum)
            })
        }),
        walls: of_size
            .flat_map(|joint| &joint.pipes)
            .map(|pipe| wall(w, pipe))
            .collect(),
    }
}

/// A length without its units, which the heading of the table has.
fn length(w: &Writer, number: &Sourced<Length>, bound: Bound) -> Cell {
    let cell = format::length_cell(w.units(), number, bound);
    let symbol = LengthUnit::Millimeter.symbol();
    let bare = |other: String| other.trim_end_matches(symbol).trim_end().to_owned();
    Cell {
        sub: cell.sub.map(bare),
        ..cell
    }
}

fn wall(w: &Writer, pipe: &Pipe) -> WallDimensions {
    let cell = |number: &Sourced<Length>, bound| length(w, number, bound);
    WallDimensions {
        name: pipe.label.name(w.units()),
        least: cell(&pipe.minimum_wall, Bound::Minimum),
        over: pipe
            .wall_tolerance
            .as_ref()
            .map(|over| cell(over, Bound::Maximum)),
        inside: cell(&pipe.inside_diameter, Bound::Nominal),
    }
}
