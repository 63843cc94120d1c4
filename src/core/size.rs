//! Pipe sizes: a nominal size in one of the trade's size systems.

use std::fmt;

use crate::core::units::Length;
use crate::core::units::print::UnitsFirst;

/// The system a nominal size belongs to; the same nominal size is a different
/// pipe in each.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SizeSystem {
    /// Iron pipe size, inches.
    Ips,
    /// Copper tube size, inches.
    Cts,
    /// Outside diameter in millimeters.
    Metric,
}

impl SizeSystem {
    /// The units its pipe is made to.
    pub(crate) fn units(self) -> UnitsFirst {
        match self {
            SizeSystem::Ips | SizeSystem::Cts => UnitsFirst::Us,
            SizeSystem::Metric => UnitsFirst::Metric,
        }
    }

    /// The letters the trade uses.
    pub(crate) fn name(self) -> &'static str {
        match self {
            SizeSystem::Ips => "IPS",
            SizeSystem::Cts => "CTS",
            SizeSystem::Metric => "metric",
        }
    }
}

/// A nominal pipe size. Ordered by system, then by size.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Size {
    system: SizeSystem,
    /// Inch sizes in 64ths of an inch, metric ones in tenths of a millimeter.
    nominal: u16,
}

/// Why a text is not a size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SizeError {
    /// No nominal size could be read.
    NotASize,
    /// A nominal size in inches without IPS or CTS.
    NoSystem,
}

/// What stands for something else in the spelling of a size.
const ALIKE: &[(&str, &str)] = &[
    ("½", " 1/2"),
    ("¼", " 1/4"),
    ("¾", " 3/4"),
    ("⅛", " 1/8"),
    ("⅜", " 3/8"),
    ("⅝", " 5/8"),
    ("⅞", " 7/8"),
    ("⁄", "/"),
    ("\u{2010}", "-"),
    ("\u{2011}", "-"),
    ("–", "-"),
    ("−", "-"),
    ("\u{A0}", " "),
    ("″", "\""),
    ("”", "\""),
    ("“", "\""),
    ("''", "\""),
    ("⌀", "d"),
    ("ø", "d"),
];
/// How a metric size is marked.
const METRIC_MARKS: [&str; 6] = [
    "mm",
    "metric",
    "millimeter",
    "millimeters",
    "millimetre",
    "millimetres",
];
/// How the inch is marked, the longest first.
const INCH_MARKS: [&str; 5] = ["inches", "inch", "in.", "in", "\""];

impl Size {
    /// Reads `1-1/4 IPS`, `1 1/4" IPS`, `1¼ inch IPS`, `1.25 IPS`, `1/2 CTS`, `63 mm`,
    /// `d 63`. Decimal inches are read for quarters below 3 in alone: other decimals
    /// may be an outside diameter, as 3.5 in is that of 3 IPS.
    ///
    /// # Errors
    /// [`SizeError::NoSystem`] when an inch size does not say IPS or CTS,
    /// [`SizeError::NotASize`] for anything else.
    pub fn parse(text: &str) -> Result<Self, SizeError> {
        let mut folded = text.to_lowercase();
        for (written, meant) in ALIKE {
            folded = folded.replace(written, meant);
        }
        let text = folded.trim();
        for (word, system) in [("ips", SizeSystem::Ips), ("cts", SizeSystem::Cts)] {
            let nominal = text.strip_suffix(word).or_else(|| text.strip_prefix(word));
            if let Some(nominal) = nominal {
                return inches(without_mark(nominal))
                    .map(|nominal| Size { system, nominal })
                    .ok_or(SizeError::NotASize);
            }
        }
        let diameter = text.strip_prefix("od").or_else(|| text.strip_prefix('d'));
        let number = diameter.unwrap_or(text);
        let number = number.strip_suffix("od").unwrap_or(number).trim_end();
        let mut units = METRIC_MARKS.iter();
        let unit = units.find_map(|unit| number.strip_suffix(unit));
        if diameter.is_some() || unit.is_some() {
            return metric(unit.unwrap_or(number)).ok_or(SizeError::NotASize);
        }
        match inches(without_mark(text)) {
            Some(_) => Err(SizeError::NoSystem),
            None => Err(SizeError::NotASize),
        }
    }

    /// The system the size belongs to.
    pub fn system(self) -> SizeSystem {
        self.system
    }

    /// The nominal size as a length, which for inch pipe is no diameter of it.
    pub(crate) fn nominal_length(self) -> Length {
        let nominal = i64::from(self.nominal);
        match self.system {
            SizeSystem::Ips | SizeSystem::Cts => Length::from_mils(nominal * 1000).scaled(1, 64),
            SizeSystem::Metric => Length::from_micrometers(nominal * 100),
        }
    }

    /// The nominal size alone: `1-1/4`, `63`.
    pub(crate) fn nominal(self) -> String {
        if self.system == SizeSystem::Metric {
            let (whole, tenth) = (self.nominal / 10, self.nominal % 10);
            return if tenth == 0 {
                whole.to_string()
            } else {
                format!("{whole}.{tenth}")
            };
        }
        let (whole, mut top, mut bottom) = (self.nominal / 64, self.nominal % 64, 64);
        while top != 0 && top % 2 == 0 {
            (top, bottom) = (top / 2, bottom / 2);
        }
        match (whole, top) {
            (whole, 0) => whole.to_string(),
            (0, top) => format!("{top}/{bottom}"),
            (whole, top) => format!("{whole}-{top}/{bottom}"),
        }
    }
}

impl fmt::Display for Size {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.system {
            SizeSystem::Metric => write!(f, "{} mm", self.nominal()),
            system => write!(f, "{} {}", self.nominal(), system.name()),
        }
    }
}

fn metric(text: &str) -> Option<Size> {
    let (whole, tenth) = match text.trim().split_once('.') {
        Some((whole, tenth)) if tenth.len() == 1 => (whole, digits(tenth)?),
        Some(_) => return None,
        None => (text.trim(), 0),
    };
    let nominal = digits(whole)?.checked_mul(10)?.checked_add(tenth)?;
    (nominal > 0).then_some(Size {
        system: SizeSystem::Metric,
        nominal,
    })
}

/// The number without its inch mark: `1-1/4` of `1-1/4-inch`.
fn without_mark(text: &str) -> &str {
    let text = text.trim();
    let unmarked = INCH_MARKS.iter().find_map(|mark| text.strip_suffix(mark));
    unmarked.map_or(text, |number| number.trim_end_matches([' ', '-']))
}

/// A nominal size in 64ths of an inch.
fn inches(text: &str) -> Option<u16> {
    let text = text.trim();
    let (whole, part) = match text.split_once(['-', ' ']) {
        Some((whole, part)) => (digits(whole)?, part.trim_start_matches(['-', ' '])),
        None if text.contains('/') => (0, text),
        None => match text.split_once('.') {
            Some((whole, decimals)) => return quarters(whole, decimals),
            None => return digits(text)?.checked_mul(64).filter(|nominal| *nominal > 0),
        },
    };
    let (top, bottom) = part.split_once('/')?;
    let (top, bottom) = (digits(top)?, digits(bottom)?);
    if top == 0 || top >= bottom || !matches!(bottom, 2 | 4 | 8 | 16) {
        return None;
    }
    whole.checked_mul(64)?.checked_add(top * (64 / bottom))
}

/// A size whose fraction is written in decimals: `1.25`, `.5`.
fn quarters(whole: &str, decimals: &str) -> Option<u16> {
    let whole = match whole {
        "" => 0,
        whole => digits(whole).filter(|whole| *whole < 3)?,
    };
    let part = match decimals {
        "0" | "00" => 0,
        "25" => 16,
        "5" | "50" => 32,
        "75" => 48,
        _ => return None,
    };
    Some(whole * 64 + part).filter(|nominal| *nominal > 0)
}

fn digits(text: &str) -> Option<u16> {
    let plain = !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    plain.then(|| text.parse().ok()).flatten()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_sizes_as_people_write_them() {
        for text in [
            "1-1/4 IPS",
            "1 1/4 IPS",
            "1¼ IPS",
            "1-¼ ips",
            "1-1/4 in IPS",
            "1-1/4 inch IPS",
            "1 1/4\" IPS",
            "1-1/4-in. IPS",
            "1–1/4″ IPS",
            "1 - 1/4 IPS",
            "1\u{2011}1⁄4 IPS",
            "1.25 IPS",
            "1.25\" Ips",
            "IPS 1-1/4",
        ] {
            assert_eq!(
                Size::parse(text).map(|s| s.to_string()),
                Ok("1-1/4 IPS".into()),
                "{text}"
            );
        }
        assert_eq!(
            Size::parse("1/2CTS").map(|s| s.to_string()),
            Ok("1/2 CTS".into())
        );
        for text in [
            "63 mm",
            "63mm",
            "63 MM",
            "d 63",
            "d63 mm",
            "D63",
            "⌀ 63",
            "Ø63 mm",
            "63 mm OD",
            "OD 63 mm",
            "63 millimeters",
            "63 Millimetre",
        ] {
            assert_eq!(
                Size::parse(text).map(|s| s.to_string()),
                Ok("63 mm".into()),
                "{text}"
            );
        }
        for (text, size) in [
            ("⅝ CTS", "5/8 CTS"),
            ("1.5in IPS", "1-1/2 IPS"),
            ("25mm", "25 mm"),
        ] {
            assert_eq!(Size::parse(text).map(|s| s.to_string()), Ok(size.into()));
        }
        assert_eq!(Size::parse("1-1/4"), Err(SizeError::NoSystem));
        for text in [
            "",
            "IPS",
            "5/4 IPS",
            "1/3 IPS",
            "one IPS",
            "0 IPS",
            "99999 IPS",
            "mm",
            "d",
            "2 in mm",
            // Outside diameters, and what may be one.
            "1.315 IPS",
            "1.125 CTS",
            "3.5 IPS",
            "0.625 CTS",
            "0.0 IPS",
            "DN 25",
            "1-2 IPS",
        ] {
            assert_eq!(Size::parse(text), Err(SizeError::NotASize), "{text}");
        }
    }

    #[test]
    fn sizes_sort_by_size_not_by_letters() {
        let mut sizes: Vec<_> = ["2 IPS", "1-1/4 IPS", "3/4 IPS", "1 IPS"]
            .iter()
            .filter_map(|s| Size::parse(s).ok())
            .collect();
        sizes.sort();
        let names: Vec<_> = sizes.iter().map(|s| s.nominal()).collect();
        assert_eq!(names, ["3/4", "1", "1-1/4", "2"]);
    }

    proptest::proptest! {
        #[test]
        fn never_panics(text in "\\PC*") {
            let _ = Size::parse(&text);
        }
    }
}
