//! Rounds estimates to what they deserve: depths to 0.1 mm, temperatures to 10 °C,
//! fractions to 1 %, times to 1 s or 10 s. The same on papers, in listings, and in
//! findings.

use crate::core::units::{
    Decimal, Duration, Length, LengthUnit, Percent, Range, Temperature, TemperatureUnit,
};
use crate::process::socket::heat::CollapseFlag;

/// Uncertainty of a depth or fraction, as printed.
pub(crate) const UNCERTAINTY: &str = "±20 %";

/// The range of a depth with this uncertainty, for drawing.
pub(crate) fn uncertain(depth: Length) -> Range<Length> {
    Range::new(depth.scaled(80, 100), depth.scaled(120, 100))
}

/// A depth in millimeters, without its unit.
pub(crate) fn depth(depth: Length) -> String {
    depth.number(LengthUnit::Millimeter, 1)
}

/// A fraction in whole percent.
pub(crate) fn share(share: Percent) -> Percent {
    // This share of 100 is its number.
    whole_percent(share.of(100))
}

pub(crate) fn whole_percent(number: i64) -> Percent {
    Percent::written(Decimal {
        millionths: number * 1_000_000,
        places: 0,
    })
}

/// A temperature to the nearest 10 °C.
pub(crate) fn temperature(temperature: Temperature) -> Temperature {
    Temperature::from_celsius((temperature.celsius() / 10.0).round() * 10.0)
}

/// The number of a temperature, to the nearest 10 °C or 20 °F.
pub(crate) fn degrees(temperature: Temperature, unit: TemperatureUnit) -> String {
    let to = |step: f64, number: f64| (number / step).round() * step;
    let number = match unit {
        TemperatureUnit::Celsius => to(10.0, temperature.celsius()),
        TemperatureUnit::Fahrenheit => to(20.0, temperature.celsius() * 1.8 + 32.0),
    };
    format!("{number:.0}")
}

/// A maximum time in whole seconds, rounded down.
pub(crate) fn ceiling(time: Duration) -> Duration {
    Duration::from_float_seconds(time.seconds().floor())
}

/// A range of times, rounded outward to ten seconds.
pub(crate) fn span(times: Range<Duration>) -> Range<Duration> {
    let tens = |time: f64| Duration::from_float_seconds(time * 10.0);
    Range::new(
        tens((times.least.seconds() / 10.0).floor()),
        tens((times.most.seconds() / 10.0).ceil()),
    )
}

/// The flag's name in listings.
pub(crate) fn flag(flag: CollapseFlag) -> &'static str {
    match flag {
        CollapseFlag::None => "none",
        CollapseFlag::Caution => "caution",
        CollapseFlag::High => "high",
    }
}

#[cfg(test)]
mod tests {
    use crate::process::socket::heat::advice::shown::*;

    #[test]
    fn nothing_is_shown_finer_than_it_is_known() {
        let s = Duration::from_float_seconds;
        assert_eq!(depth(Length::from_mm(0.842)), "0.8");
        assert_eq!(
            share(Percent::written(Decimal::parse("43.4").unwrap())).show(),
            "43 %"
        );
        assert_eq!(
            temperature(Temperature::from_celsius(146.8)),
            Temperature::from_celsius(150.0)
        );
        assert_eq!(ceiling(s(6.97)), s(6.0));
        assert_eq!(
            span(Range::new(s(50.6), s(92.7))),
            Range::new(s(50.0), s(100.0))
        );
        let known = uncertain(Length::from_mm(1.0));
        assert_eq!(
            (known.least, known.most),
            (Length::from_mm(0.8), Length::from_mm(1.2))
        );
    }
}
