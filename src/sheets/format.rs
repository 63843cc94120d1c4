//! Figures as they are printed: US units first, the others beside, and the
//! verify mark wherever a figure rests on memory.

use super::block::Cell;
use super::clause::Clause;
use super::clauses::Clauses;
use crate::limits::{Basis, Sourced};
use crate::resolve::{Joint, WallLabel};
use crate::size::{Size, SizeSystem};
pub use crate::units::print::{length, temperature, temperature_range};
use crate::units::{
    Duration, Length, LengthUnit, Range, Temperature, TemperatureDifference, TemperatureUnit,
    TimeUnit,
};

/// Stands where a figure is not known.
pub const NONE: &str = "\u{2014}";

/// A range of temperatures, Fahrenheit over Celsius.
pub fn temperature_range_cell(value: Range<Temperature>, to: &str) -> Cell {
    Cell::plain(temperature_range(value, TemperatureUnit::Fahrenheit, to)).below(temperature_range(
        value,
        TemperatureUnit::Celsius,
        to,
    ))
}

/// A difference, Fahrenheit over Celsius.
pub fn difference_cell(value: TemperatureDifference) -> Cell {
    Cell::plain(value.show(TemperatureUnit::Fahrenheit)).below(value.show(TemperatureUnit::Celsius))
}

/// Inches alone, with the digits the author wrote where it was in inches.
pub fn inches(figure: &Sourced<Length>) -> String {
    figure
        .written
        .as_deref()
        .and_then(|text| text.strip_suffix(LengthUnit::Inch.symbol()))
        .map_or_else(
            || figure.value.number(LengthUnit::Inch, 3),
            |number| number.trim_end().to_owned(),
        )
}

/// Inches as above, with their unit.
pub fn with_inches(figure: &Sourced<Length>) -> String {
    format!("{} {}", inches(figure), LengthUnit::Inch.symbol())
}

/// Inches over millimetres; the unit of the inches stands in the heading.
pub fn length_cell(figure: &Sourced<Length>) -> Cell {
    Cell::plain(inches(figure))
        .below(figure.value.show(LengthUnit::Millimetre))
        .verify(figure.needs_verifying())
}

/// The cell of a figure that may be absent.
pub fn or_none<T>(figure: Option<&T>, cell: impl FnOnce(&T) -> Cell) -> Cell {
    figure.map_or_else(|| Cell::plain(NONE), cell)
}

/// A time with its unit.
pub fn time_cell(figure: &Sourced<Duration>) -> Cell {
    Cell::plain(figure.value.show()).verify(figure.needs_verifying())
}

/// Seconds alone; the unit stands in the heading.
pub fn seconds_cell(figure: &Sourced<Duration>) -> Cell {
    Cell::plain(figure.value.number(TimeUnit::Second)).verify(figure.needs_verifying())
}

/// The heating time to aim at, which is the shortest; the longest is worded by
/// `at_most`. Each end carries its own mark when the range is from memory.
pub fn heating_cell(
    figure: &Sourced<Range<Duration>>,
    at_most: impl FnOnce(String) -> String,
) -> Cell {
    let Range { least, most } = figure.value;
    let cell = Cell::plain(least.number(TimeUnit::Second))
        .strong()
        .verify(figure.needs_verifying());
    if least == most {
        return cell;
    }
    Cell {
        sub_verify: cell.verify,
        ..cell.below(at_most(most.number(TimeUnit::Second)))
    }
}

/// How a wall is named: `DR 11`, `0.090 in`.
pub fn wall(label: WallLabel) -> String {
    match label {
        WallLabel::Ratio(ratio) => format!("DR {}", ratio.number()),
        WallLabel::Stated(wall) => wall.show(LengthUnit::Inch),
    }
}

/// Sizes in one line, the system once: `3/4, 1, 2 IPS; 1/2 CTS`.
pub fn sizes(joints: &[Joint]) -> String {
    let of = |system: SizeSystem| {
        let sizes: Vec<_> = joints
            .iter()
            .map(|joint| joint.size)
            .filter(|size| size.system() == system)
            .map(Size::nominal)
            .collect();
        (!sizes.is_empty()).then(|| format!("{} {}", sizes.join(", "), system.name()))
    };
    [SizeSystem::Ips, SizeSystem::Cts, SizeSystem::Metric]
        .into_iter()
        .filter_map(of)
        .collect::<Vec<_>>()
        .join("; ")
}

/// The word for a basis, as the papers print it.
pub fn basis(basis: Basis, words: &Clauses) -> String {
    words.render(match basis {
        Basis::Standard => Clause::BasisStandard,
        Basis::Measured => Clause::BasisMeasured,
        Basis::Organization => Clause::BasisOrganization,
        Basis::Derived => Clause::BasisDerived,
        Basis::Secondary => Clause::BasisSecondary,
        Basis::Practice => Clause::BasisPractice,
        Basis::Recalled => Clause::BasisRecalled,
        Basis::NotFound => Clause::BasisNotFound,
    })
}

/// A statement, followed by a plain warning when it rests on memory.
pub fn marked(text: &str, verify: bool, words: &Clauses) -> String {
    if !verify {
        return text.to_owned();
    }
    words.render(Clause::VerifyText {
        text: text.to_owned(),
    })
}
