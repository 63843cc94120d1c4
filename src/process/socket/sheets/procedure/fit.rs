//! The fit of pipe and socket: a table of the sizes whose sockets or spigots are
//! known, with the columns that at least one size fills.

use crate::core::units::print::{Bound, UnitsFirst, millimeters};
use crate::core::units::{Length, LengthUnit, Range};
use crate::papers::sheets::procedure::writer::{Align, Block, Cell, Clause, Writer, format};
use crate::procedure::resolve::{Fit, RingRoom, SocketEnd, fits};
use crate::published::Sourced;

/// A column: its heading, and its cell for a size.
type FitColumn<'a> = (Clause, Box<dyn Fn(&Fit) -> Option<Cell> + 'a>);

/// The table and its explanation; empty if no socket or spigot is known.
pub(crate) fn fit(w: &Writer) -> Vec<Block> {
    let fits = fits(w.p);
    if fits.is_empty() {
        return Vec::new();
    }
    let columns: Vec<_> = columns(w)
        .into_iter()
        .filter(|(_, cell)| fits.iter().any(|fit| cell(fit).is_some()))
        .collect();
    let row = |fit: &Fit| {
        let numbers = columns
            .iter()
            .map(|(_, cell)| cell(fit).unwrap_or_else(|| Cell::plain(format::DASH)));
        std::iter::once(Cell::plain(fit.size.to_string()).strong())
            .chain(numbers)
            .collect()
    };
    let rows = fits.iter().map(row).collect();
    let mut headings = vec![(Clause::ColumnSize, Align::Left)];
    headings.extend(
        columns
            .iter()
            .map(|(title, _)| (title.clone(), Align::Right)),
    );
    let mut blocks = w.table(Clause::FitCaption { unit: w.unit() }, headings, rows, true);
    if fits
        .iter()
        .any(|fit| fit.mouth.is_some() || fit.root.is_some())
    {
        blocks.push(w.text(Clause::FitNoteInterference));
    }
    blocks.push(w.text(Clause::FitNote));
    if fits.iter().any(|fit| fit.ring_room.is_some()) {
        blocks.push(w.text(Clause::FitNoteRoom));
    }
    blocks
}

/// Every number of the table, for the sources sheet: name, size, and number.
pub(crate) fn sourced_numbers(w: &Writer) -> Vec<(Clause, String, Sourced<Range<Length>>)> {
    let mut numbers = Vec::new();
    for fit in fits(w.p) {
        let mut add = |name: Clause, sourced: Option<&Sourced<Range<Length>>>| {
            if let Some(sourced) = sourced {
                numbers.push((name, fit.size.to_string(), sourced.clone()));
            }
        };
        for (end, socket, interference) in [
            (&fit.mouth, Clause::FigureFitMouth, Clause::FigureFitAtMouth),
            (&fit.root, Clause::FigureFitRoot, Clause::FigureFitAtRoot),
        ] {
            add(socket, end.as_ref().map(|end| &end.socket));
            add(interference, end.as_ref().map(|end| &end.interference));
        }
        if let Some(room) = &fit.ring_room {
            add(Clause::FigureFitRoom, Some(&as_range(&room.room)));
            add(
                Clause::FigureFitRing,
                room.ring.as_ref().map(as_range).as_ref(),
            );
        }
    }
    numbers
}

/// A length as a range of zero width.
fn as_range(sourced: &Sourced<Length>) -> Sourced<Range<Length>> {
    Sourced {
        value: Range::new(sourced.value, sourced.value),
        basis: sourced.basis,
        weakest_basis: sourced.weakest_basis,
        source: sourced.source.clone(),
        id: sourced.id.clone(),
        conflict: sourced.conflict.clone(),
        written: sourced.written.clone(),
    }
}

fn columns<'a>(w: &'a Writer) -> Vec<FitColumn<'a>> {
    let within = [Bound::Minimum, Bound::Maximum];
    let cell = move |sourced: &Sourced<Range<Length>>, bounds| {
        let cell = Cell::plain(range(w, sourced.value)).verify(sourced.needs_verifying());
        match w.units() {
            UnitsFirst::Us => cell.below(in_millimeters(w, sourced.value, bounds)),
            UnitsFirst::Metric => cell,
        }
    };
    let socket = move |end: &Option<SocketEnd>| end.as_ref().map(|end| cell(&end.socket, within));
    let interference = move |end: &Option<SocketEnd>| {
        // Computed from the two ranges, so it is not a limit.
        let nominal = [Bound::Nominal, Bound::Nominal];
        end.as_ref().map(|end| cell(&end.interference, nominal))
    };
    vec![
        (
            Clause::ColumnFitOd,
            Box::new(move |fit: &Fit| Some(cell(&fit.od_band, within))),
        ),
        (
            Clause::ColumnFitMouth,
            Box::new(move |fit: &Fit| socket(&fit.mouth)),
        ),
        (
            Clause::ColumnFitRoot,
            Box::new(move |fit: &Fit| socket(&fit.root)),
        ),
        (
            Clause::ColumnFitAtMouth,
            Box::new(move |fit: &Fit| interference(&fit.mouth)),
        ),
        (
            Clause::ColumnFitAtRoot,
            Box::new(move |fit: &Fit| interference(&fit.root)),
        ),
        (
            Clause::ColumnFitRoom,
            Box::new(move |fit: &Fit| fit.ring_room.as_ref().map(|room| ring_room(w, room))),
        ),
    ]
}

fn ring_room(w: &Writer, room: &RingRoom) -> Cell {
    let cell = Cell::plain(number(w.units(), room.room.value));
    let cell = cell.verify(room.room.needs_verifying());
    let ring = room.ring.as_ref().map(|ring| {
        w.say(Clause::FitRing {
            width: match w.units() {
                UnitsFirst::Us => w.units().length(ring.value),
                UnitsFirst::Metric => number(w.units(), ring.value),
            },
        })
    });
    let millimeters = match w.units() {
        UnitsFirst::Us => {
            let printed = room.room.value.printed(LengthUnit::Inch, Bound::Nominal);
            Some(w.units().other_length(printed, Bound::Maximum))
        }
        UnitsFirst::Metric => None,
    };
    let below: Vec<_> = millimeters.into_iter().chain(ring).collect();
    if below.is_empty() {
        return cell;
    }
    cell.below(below.join("; "))
}

/// The number of a length in the first unit.
fn number(units: UnitsFirst, length: Length) -> String {
    let symbol = units.length_unit().symbol();
    let shown = match units {
        UnitsFirst::Us => length.show(LengthUnit::Inch),
        UnitsFirst::Metric => millimeters(length),
    };
    shown.trim_end_matches(symbol).trim_end().to_owned()
}

/// `32.0 to 32.3`; the unit is in the caption or follows.
pub(crate) fn range(w: &Writer, band: Range<Length>) -> String {
    let number = |length| number(w.units(), length);
    join_ends(w, band, number(band.least), number(band.most))
}

/// A range in millimeters, converted from its printed inches.
fn in_millimeters(w: &Writer, band: Range<Length>, bounds: [Bound; 2]) -> String {
    let converted = |end: Length, bound| {
        let printed = end.printed(LengthUnit::Inch, Bound::Nominal);
        millimeters(printed.printed(LengthUnit::Millimeter, bound))
    };
    let [least, most] = bounds;
    let unit = LengthUnit::Millimeter.symbol();
    let least = converted(band.least, least);
    let least = least.trim_end_matches(unit).trim_end().to_owned();
    join_ends(w, band, least, converted(band.most, most))
}

/// Both ends of a range, or one number if they are equal.
fn join_ends(w: &Writer, band: Range<Length>, least: String, most: String) -> String {
    if band.least == band.most {
        return most;
    }
    format!("{least} {} {most}", w.say(Clause::To))
}
