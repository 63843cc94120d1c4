//! Formats numbers for print: the practice's units first, the others beside them
//! where that helps, and the verify mark on every number that rests on a recalled
//! one.

use super::cell::Cell;
use super::clause::Clause;
use super::clauses::Clauses;
use crate::core::size::{Size, SizeSystem};
use crate::core::units::print::{Bound, UnitsFirst, marked as marked_number, millimeters};
use crate::core::units::{
    Duration, Length, LengthUnit, Range, Temperature, TemperatureDifference, TimeUnit,
};
use crate::procedure::resolve::Joint;
use crate::published::{Basis, Sourced};

/// Printed where a number is unknown.
pub(crate) const DASH: &str = "\u{2014}";

/// A range of temperatures in the practice's unit: `490 to 510 °F`.
pub(crate) fn temperature_range(units: UnitsFirst, value: Range<Temperature>, to: &str) -> String {
    let [first, _] = units.temperature_range(value, to);
    first
}

/// A range of temperatures, the practice's unit above the other.
pub(crate) fn temperature_range_cell(
    units: UnitsFirst,
    value: Range<Temperature>,
    to: &str,
) -> Cell {
    let [first, other] = units.temperature_range(value, to);
    Cell::plain(first).below(other)
}

/// A temperature difference, the practice's unit above the other.
pub(crate) fn difference_cell(units: UnitsFirst, value: TemperatureDifference) -> Cell {
    let [first, other] = units.difference(value);
    Cell::plain(first).below(other)
}

/// A length in the first unit, as printed: with the author's digits if written in
/// that unit, otherwise rounded. A limit converted from the author's unit is
/// rounded to the safe side; a computed number to the nearest, like published
/// wall tables.
fn printed(units: UnitsFirst, sourced: &Sourced<Length>, bound: Bound) -> Length {
    let unit = units.length_unit();
    match &sourced.written {
        Some(text) if text.ends_with(unit.symbol()) => sourced.value,
        Some(_) => sourced.value.printed(unit, bound),
        None => sourced.value.printed(unit, Bound::Nominal),
    }
}

/// The number of a length in the first unit, with the author's digits if written
/// in that unit.
pub(crate) fn number(units: UnitsFirst, sourced: &Sourced<Length>, bound: Bound) -> String {
    let symbol = units.length_unit().symbol();
    let printed = printed(units, sourced, bound);
    let shown = match (&sourced.written, units) {
        (Some(text), _) if text.ends_with(symbol) => marked_number(text),
        (_, UnitsFirst::Us) => printed.show(LengthUnit::Inch),
        (_, UnitsFirst::Metric) => millimeters(printed),
    };
    shown.trim_end_matches(symbol).trim_end().to_owned()
}

/// A length with its unit.
pub(crate) fn with_unit(units: UnitsFirst, sourced: &Sourced<Length>, bound: Bound) -> String {
    let number = number(units, sourced, bound);
    format!("{number} {}", units.length_unit().symbol())
}

/// The printed number of a length, in the other unit.
pub(crate) fn other_unit(units: UnitsFirst, sourced: &Sourced<Length>, bound: Bound) -> String {
    units.other_length(printed(units, sourced, bound), bound)
}

/// A length with its unit, and in US work the millimeters after it.
pub(crate) fn with_other_unit(
    units: UnitsFirst,
    sourced: &Sourced<Length>,
    bound: Bound,
) -> String {
    let first = with_unit(units, sourced, bound);
    match units {
        UnitsFirst::Us => format!("{first} ({})", other_unit(units, sourced, bound)),
        UnitsFirst::Metric => first,
    }
}

/// A text of the program with its lengths in inches as a paper prints them:
/// `0.075 in (1.91 mm)` with the unit of the table heads, `inch`.
pub(crate) fn in_print(text: &str, inch: &str) -> String {
    const UNIT: &str = " in (";
    let mut printed = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once(UNIT) {
        printed.push_str(before);
        let length = before.ends_with(|c: char| c.is_ascii_digit())
            && after
                .split_once(')')
                .is_some_and(|(other, _)| other.ends_with(" mm"));
        match length {
            true => printed.push_str(&format!(" {inch} (")),
            false => printed.push_str(UNIT),
        }
        rest = after;
    }
    printed.push_str(rest);
    printed
}

/// A column heading. A no-break space keeps the unit with the word before it.
pub(crate) fn heading(title: &str) -> String {
    let mut tied = String::new();
    for word in title.split(' ') {
        let unit = ["in", "mm", "s", "min"].contains(&word.trim_end_matches(','));
        let sign = ["\u{b1}", "+"].contains(&word);
        // A sign belongs between the comma and its unit.
        let behind = tied.ends_with([',', '\u{b1}', '+']);
        if (unit || sign) && behind {
            tied.push('\u{a0}');
        } else if !tied.is_empty() {
            tied.push(' ');
        }
        tied.push_str(word);
    }
    tied
}

/// A length whose unit is in the heading: inches above millimeters, or in metric
/// practice millimeters alone.
pub(crate) fn length_cell(units: UnitsFirst, sourced: &Sourced<Length>, bound: Bound) -> Cell {
    let cell = Cell::plain(number(units, sourced, bound)).verify(sourced.needs_verifying());
    match units {
        UnitsFirst::Us => cell.below(other_unit(units, sourced, bound)),
        UnitsFirst::Metric => cell,
    }
}

/// Millimeters with this many decimal places: `12.50 mm`.
pub(crate) fn millimeters_to(length: Length, places: u8) -> String {
    let unit = LengthUnit::Millimeter;
    format!("{} {}", length.number(unit, places), unit.symbol())
}

/// A tolerance in one direction, as on metric pipe: `+0.3 / −0`.
pub(crate) fn plus_only(tolerance: Length) -> String {
    let shown = millimeters(tolerance);
    let number = shown.trim_end_matches(LengthUnit::Millimeter.symbol());
    format!("+{} / \u{2212}0", number.trim_end())
}

/// The cell of a number, or a dash.
pub(crate) fn or_dash<T>(sourced: Option<&T>, cell: impl FnOnce(&T) -> Cell) -> Cell {
    sourced.map_or_else(|| Cell::plain(DASH), cell)
}

/// Spans the other `columns` of a row in place of a size's times until its depth
/// is measured, so that nobody works by them.
pub(crate) fn no_joint(words: &Clauses, columns: usize) -> Cell {
    Cell {
        across: columns.saturating_sub(1),
        ..Cell::plain(words.render(Clause::NoJoint))
            .below(words.render(Clause::NoJointDepth))
            .strong()
    }
}

/// Whole minutes alone, as the unit is in the heading; any other time with its
/// unit.
pub(crate) fn minutes_cell(sourced: &Sourced<Duration>) -> Cell {
    let minutes = sourced.value.number(TimeUnit::Minute);
    let whole = minutes.bytes().all(|b| b.is_ascii_digit());
    let shown = if whole { minutes } else { sourced.value.show() };
    Cell::plain(shown).verify(sourced.needs_verifying())
}

/// The heating time to aim at, which is the shortest; `at_most` formats the
/// longest. Each end carries its own mark if the range is recalled.
pub(crate) fn heating_cell(
    sourced: &Sourced<Range<Duration>>,
    at_most: impl FnOnce(String) -> String,
) -> Cell {
    let Range { least, most } = sourced.value;
    let cell = Cell::plain(least.number(TimeUnit::Second))
        .strong()
        .verify(sourced.needs_verifying());
    if least == most {
        return cell;
    }
    Cell {
        sub_verify: cell.verify,
        ..cell.below(at_most(most.number(TimeUnit::Second)))
    }
}

/// The walls of a joint: `SDR 9, SDR 11`.
pub(crate) fn walls(units: UnitsFirst, joint: &Joint) -> String {
    let walls = joint.pipes.iter().map(|pipe| pipe.label.name(units));
    walls.collect::<Vec<_>>().join(", ")
}

/// A joint within its procedure: the size, and the walls if the size has more
/// than one joint.
pub(crate) fn joint(units: UnitsFirst, joint: &Joint, joints: &[Joint]) -> String {
    let size = joint.size.to_string();
    if shares_size(joint, joints) {
        return format!("{size} {}", walls(units, joint));
    }
    size
}

/// Whether another joint of the same size, with other walls, has a time of its
/// own.
pub(crate) fn shares_size(joint: &Joint, joints: &[Joint]) -> bool {
    joints.iter().filter(|j| j.size == joint.size).count() > 1
}

/// The suffix of a size system: `IPS`, or `mm` for metric.
pub(crate) fn system(system: SizeSystem) -> &'static str {
    match system {
        SizeSystem::Metric => LengthUnit::Millimeter.symbol(),
        inches => inches.name(),
    }
}

/// Sizes on one line, each system once: `3/4, 1, 2 IPS; 1/2 CTS`.
pub(crate) fn sizes<'j>(joints: impl IntoIterator<Item = &'j Joint> + Clone) -> String {
    let of = |of: SizeSystem| {
        let mut sizes: Vec<_> = joints
            .clone()
            .into_iter()
            .map(|joint| joint.size)
            .filter(|size| size.system() == of)
            .collect();
        sizes.dedup();
        let sizes: Vec<_> = sizes.into_iter().map(Size::nominal).collect();
        (!sizes.is_empty()).then(|| format!("{} {}", sizes.join(", "), system(of)))
    };
    [SizeSystem::Ips, SizeSystem::Cts, SizeSystem::Metric]
        .into_iter()
        .filter_map(of)
        .collect::<Vec<_>>()
        .join("; ")
}

/// The printed word for a basis.
pub(crate) fn basis(basis: Basis, words: &Clauses) -> String {
    words.render(match basis {
        Basis::Standard => Clause::BasisStandard,
        Basis::Confirmed => Clause::BasisConfirmed,
        Basis::Measured => Clause::BasisMeasured,
        Basis::Organization => Clause::BasisOrganization,
        Basis::Derived => Clause::BasisDerived,
        Basis::Secondary => Clause::BasisSecondary,
        Basis::Practice => Clause::BasisPractice,
        Basis::Recalled => Clause::BasisRecalled,
        Basis::NotFound => Clause::BasisNotFound,
    })
}

/// A statement, followed by a plain warning if it is recalled.
pub(crate) fn marked(text: &str, verify: bool, words: &Clauses) -> String {
    if !verify {
        return text.to_owned();
    }
    words.render(Clause::VerifyText {
        text: text.to_owned(),
    })
}

/// `81 to 84 s`.
pub(crate) fn seconds_range(range: Range<Duration>, to: &str) -> String {
    let most = format!("{} s", range.most.number(TimeUnit::Second));
    if range.least == range.most {
        return most;
    }
    format!("{} {to} {most}", range.least.number(TimeUnit::Second))
}
