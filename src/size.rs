//! Pipe sizes: a nominal size in one of the trade's size systems.

use std::fmt;

use crate::units::Length;
use crate::units::print::UnitsFirst;

/// The system a nominal size belongs to; the same nominal size is a different
/// pipe in each.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SizeSystem {
    /// Iron pipe size, inches.
    Ips,
    /// Copper tube size, inches.
    Cts,
    /// Outside diameter in millimetres.
    Metric,
}

impl SizeSystem {
    /// The units its pipe is made to.
    pub fn units(self) -> UnitsFirst {
        match self {
            SizeSystem::Ips | SizeSystem::Cts => UnitsFirst::Us,
            SizeSystem::Metric => UnitsFirst::Metric,
        }
    }

    /// The letters the trade uses.
    pub fn name(self) -> &'static str {
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
    /// Inch sizes in 64ths of an inch, metric ones in tenths of a millimetre.
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

/// Fractions that have a character of their own.
const VULGAR: &[(char, &str)] = &[('½', "1/2"), ('¼', "1/4"), ('¾', "3/4")];

impl Size {
    /// Reads `1-1/4 IPS`, `1 1/4 IPS`, `1¼ IPS`, `1/2 CTS`, `63 mm`, `d 63`.
    ///
    /// # Errors
    /// [`SizeError::NoSystem`] when an inch size does not say IPS or CTS,
    /// [`SizeError::NotASize`] for anything else.
    pub fn parse(text: &str) -> Result<Self, SizeError> {
        let text = text.trim();
        if let Some(rest) = text.strip_prefix('d').map(str::trim_start) {
            let number = rest.strip_suffix("mm").unwrap_or(rest);
            return metric(number).ok_or(SizeError::NotASize);
        }
        if let Some(number) = text.strip_suffix("mm") {
            return metric(number).ok_or(SizeError::NotASize);
        }
        let upper = text.to_ascii_uppercase();
        for system in [SizeSystem::Ips, SizeSystem::Cts] {
            if let Some(end) = upper.strip_suffix(system.name()).map(str::len) {
                let nominal = &text[..end];
                let nominal = nominal.trim().trim_end_matches("in").trim_end_matches('"');
                return inches(nominal.trim())
                    .map(|nominal| Size { system, nominal })
                    .ok_or(SizeError::NotASize);
            }
        }
        let bare = text.trim_end_matches("in").trim_end_matches('"').trim();
        match inches(bare) {
            Some(_) => Err(SizeError::NoSystem),
            None => Err(SizeError::NotASize),
        }
    }

    /// The system the size belongs to.
    pub fn system(self) -> SizeSystem {
        self.system
    }

    /// The nominal size as a length, which for inch pipe is no diameter of it.
    pub fn nominal_length(self) -> Length {
        let nominal = i64::from(self.nominal);
        match self.system {
            SizeSystem::Ips | SizeSystem::Cts => Length::from_mils(nominal * 1000).scaled(1, 64),
            SizeSystem::Metric => Length::from_micrometres(nominal * 100),
        }
    }

    /// The same nominal size in another inch system.
    pub fn in_system(self, system: SizeSystem) -> Self {
        Self { system, ..self }
    }

    /// The nominal size alone: `1-1/4`, `63`.
    pub fn nominal(self) -> String {
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

/// A nominal size in 64ths of an inch.
fn inches(text: &str) -> Option<u16> {
    let mut text = text.to_owned();
    for (symbol, spelled) in VULGAR {
        text = text.replace(*symbol, &format!(" {spelled}"));
    }
    let text = text.trim();
    let (whole, fraction) = match text.split_once(['-', ' ']) {
        Some((whole, fraction)) => (digits(whole)?, Some(fraction.trim())),
        None if text.contains('/') => (0, Some(text)),
        None => (digits(text)?, None),
    };
    let part = match fraction {
        None => 0,
        Some(fraction) => {
            let (top, bottom) = fraction.split_once('/')?;
            let (top, bottom) = (digits(top)?, digits(bottom)?);
            if top == 0 || top >= bottom || !matches!(bottom, 2 | 4 | 8 | 16) {
                return None;
            }
            top * (64 / bottom)
        }
    };
    let nominal = whole.checked_mul(64)?.checked_add(part)?;
    (nominal > 0).then_some(nominal)
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
        for text in ["1-1/4 IPS", "1 1/4 IPS", "1¼ IPS", "1¼ ips", "1-1/4 in IPS"] {
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
        for text in ["63 mm", "d 63", "d63 mm"] {
            assert_eq!(
                Size::parse(text).map(|s| s.to_string()),
                Ok("63 mm".into()),
                "{text}"
            );
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
