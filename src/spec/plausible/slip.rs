//! Which single slip would explain a value that is not plausible: the same number
//! in another unit, or the same digits with the decimal point elsewhere.

use super::Band;
use crate::core::units::{
    Decimal, Duration, Length, LengthUnit, Percent, Pressure, PressureUnit, Quantity, Range,
    Temperature, TemperatureDifference, TemperatureUnit, parse_quantity,
};

/// A quantity that is written with a unit.
pub trait Quantifiable: Copy + Ord + 'static {
    /// The symbols of its units.
    const UNITS: &'static [&'static str];

    /// Both ends of what was written; nothing where it measures something else.
    fn read(quantity: &Quantity) -> Option<Range<Self>>;

    /// Number and unit, with as few places as it takes, rounded up or down to a
    /// value that lies inside a band of which this is an end.
    fn inside(self, unit: &str, up: bool) -> String;
}

fn one<T: Copy + Ord, E>(value: Result<T, E>) -> Option<Range<T>> {
    value.ok().map(|value| Range::new(value, value))
}

/// The number cut to `grain` millionths, up or down, without zeros at its end.
/// What lies within a rounding of a grain is that grain.
fn cut(number: Decimal, grain: i64, up: bool) -> String {
    const ROUNDING: i64 = 50;
    let over = number.millionths.rem_euclid(grain);
    let below = number.millionths - over;
    let millionths = if over <= ROUNDING {
        below
    } else if up || grain - over <= ROUNDING {
        below + grain
    } else {
        below
    };
    Decimal::from_scaled(millionths, 1_000_000).to_string()
}

impl Quantifiable for Length {
    const UNITS: &'static [&'static str] = &["in", "mm"];

    fn read(quantity: &Quantity) -> Option<Range<Self>> {
        quantity.length_range().ok()
    }

    fn inside(self, unit: &str, up: bool) -> String {
        let (unit, grain) = match unit {
            "mm" => (LengthUnit::Millimeter, 10_000),
            _ => (LengthUnit::Inch, 1_000),
        };
        format!("{} {}", cut(self.decimal(unit), grain, up), unit.symbol())
    }
}

impl Quantifiable for Duration {
    const UNITS: &'static [&'static str] = &["s", "min", "h"];

    fn read(quantity: &Quantity) -> Option<Range<Self>> {
        quantity.duration_range().ok()
    }

    fn inside(self, _unit: &str, _up: bool) -> String {
        self.show()
    }
}

fn scale(unit: &str) -> TemperatureUnit {
    match unit {
        "°C" => TemperatureUnit::Celsius,
        _ => TemperatureUnit::Fahrenheit,
    }
}

impl Quantifiable for Temperature {
    const UNITS: &'static [&'static str] = &["°F", "°C"];

    fn read(quantity: &Quantity) -> Option<Range<Self>> {
        quantity.temperature_range().ok()
    }

    fn inside(self, unit: &str, up: bool) -> String {
        let unit = scale(unit);
        let number = cut(self.decimal(unit), 1_000_000, up);
        format!("{number} {}", unit.symbol())
    }
}

impl Quantifiable for TemperatureDifference {
    const UNITS: &'static [&'static str] = &["°F", "°C"];

    fn read(quantity: &Quantity) -> Option<Range<Self>> {
        one(quantity.temperature_difference())
    }

    fn inside(self, unit: &str, up: bool) -> String {
        let unit = scale(unit);
        let number = cut(self.decimal(unit), 100_000, up);
        format!("{number} {}", unit.symbol())
    }
}

impl Quantifiable for Percent {
    const UNITS: &'static [&'static str] = &["%"];

    fn read(quantity: &Quantity) -> Option<Range<Self>> {
        one(quantity.percent())
    }

    fn inside(self, _unit: &str, _up: bool) -> String {
        self.show()
    }
}

impl Quantifiable for Pressure {
    const UNITS: &'static [&'static str] = &["psi", "bar", "kPa", "MPa"];

    fn read(quantity: &Quantity) -> Option<Range<Self>> {
        one(quantity.pressure())
    }

    fn inside(self, unit: &str, up: bool) -> String {
        let (unit, grain) = match unit {
            "bar" => (PressureUnit::Bar, 100_000),
            "kPa" => (PressureUnit::Kilopascal, 1_000_000),
            "MPa" => (PressureUnit::Megapascal, 10_000),
            _ => (PressureUnit::Psi, 1_000_000),
        };
        format!("{} {}", cut(self.decimal(unit), grain, up), unit.symbol())
    }
}

/// The unit of a written quantity, if it has but one.
pub(super) fn unit_of(written: &str) -> Option<String> {
    let (_, _, unit) = parse_quantity(written).ok()?.numbers()?;
    Some(unit)
}

/// What may have been meant, if one slip explains the value: the two likeliest, other
/// units before a point in the wrong place.
pub(super) fn likely<T: Quantifiable>(written: &str, band: &Band<T>) -> Option<String> {
    let (least, most, unit) = parse_quantity(written).ok()?.numbers()?;
    let plausible = |text: &String| {
        let read = parse_quantity(text).ok().and_then(|q| T::read(&q));
        read.is_some_and(|read| band.contains(read.least) && band.contains(read.most))
    };
    let text = |least: Decimal, most: Option<Decimal>, unit: &str| match most {
        Some(most) => format!("{least} to {most} {unit}"),
        None => format!("{least} {unit}"),
    };
    let units = T::UNITS.iter().filter(|other| **other != unit);
    let units = units.map(|other| text(least, most, other));
    let moved = [(1, 10), (10, 1)].into_iter().map(|by| {
        let most = most.map(|most| moved(most, by));
        text(moved(least, by), most, &unit)
    });
    let meant: Vec<_> = units.chain(moved).filter(plausible).take(2).collect();
    (!meant.is_empty()).then(|| format!("did you mean {}?", meant.join(" or ")))
}

/// The digits with the point elsewhere.
fn moved(number: Decimal, (times, over): (i64, i64)) -> Decimal {
    Decimal::from_scaled(number.millionths.saturating_mul(times), over * 1_000_000)
}
