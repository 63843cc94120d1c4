//! The fit of pipe and socket, for the sources sheet: of the sizes whose sockets or
//! spigots are known.

use crate::core::units::print::{UnitsFirst, millimeters};
use crate::core::units::{Length, LengthUnit, Range};
use crate::papers::sheets::procedure::writer::{Clause, Writer};
use crate::procedure::resolve::fits;
use crate::published::Sourced;

/// Every number of the fit: name, size, and number.
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

/// Both ends of a range, or one number if they are equal.
fn join_ends(w: &Writer, band: Range<Length>, least: String, most: String) -> String {
    if band.least == band.most {
        return most;
    }
    format!("{least} {} {most}", w.say(Clause::To))
}
