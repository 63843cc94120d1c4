//! Finds what a text names: sizes, resins, ratios, revisions. Only whole words with a
//! single meaning count, because a false alarm does more harm than a missed error.

use crate::core::size::{Size, SizeSystem};

/// Words that mark something as not claimed.
const NOT_CLAIMED: &[&str] = &[
    "replaces",
    "replacing",
    "replaced",
    "replace",
    "supersedes",
    "superseding",
    "formerly",
    "former",
    "not",
    "no",
    "non",
    "except",
    "excluding",
    "excludes",
    "without",
    "other",
    "than",
    "instead",
    "unlike",
    "from",
];

/// Words that connect two sizes of one system.
const JOINS: &[&str] = &["and", "or", "to", "through", "thru", "&"];

/// Words for polymers.
const POLYMERS: &[(&str, Polymer)] = &[
    ("pe", Polymer::Polyethylene),
    ("polyethylene", Polymer::Polyethylene),
    ("hdpe", Polymer::HighDensity),
    ("mdpe", Polymer::MediumDensity),
    ("pp", Polymer::Polypropylene),
    ("polypropylene", Polymer::Polypropylene),
    ("pvc", Polymer::Other),
    ("cpvc", Polymer::Other),
    ("pvdf", Polymer::Other),
    ("pex", Polymer::Other),
    ("pe-x", Polymer::Other),
    ("abs", Polymer::Other),
    ("polybutylene", Polymer::Other),
    ("nylon", Polymer::Other),
];

/// PP designations without times in the tables.
const OTHER_PP: &[&str] = &["PPRCT"];

/// A polymer or a density of polyethylene.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Polymer {
    Polyethylene,
    MediumDensity,
    HighDensity,
    Polypropylene,
    Other,
}

/// The words of a text.
#[derive(Debug)]
pub(crate) struct Words(Vec<String>);

impl Words {
    /// Splits a text into lower-case words. Numbers keep their inner signs (`1-1/4`,
    /// `13.5`) and designations their hyphens (`pe100-rc`, `hc-sf-104`); commas,
    /// parentheses, and periods are words of their own.
    pub(crate) fn new(text: &str) -> Self {
        let mut spelled = String::new();
        for c in text.chars() {
            match c {
                '½' => spelled.push_str(" 1/2"),
                '¼' => spelled.push_str(" 1/4"),
                '¾' => spelled.push_str(" 3/4"),
                '–' | '‑' => spelled.push('-'),
                c => spelled.extend(c.to_lowercase()),
            }
        }
        let mut words = Vec::new();
        let mut word = String::new();
        let mut chars = spelled.chars().peekable();
        while let Some(c) = chars.next() {
            let next = chars.peek().copied().unwrap_or(' ');
            let digits = next.is_ascii_digit() && word.ends_with(|c: char| c.is_ascii_digit());
            let joins = match c {
                '-' => next.is_alphanumeric() && !word.is_empty(),
                '/' | '.' => digits,
                c => c.is_alphanumeric(),
            };
            if joins {
                word.push(c);
                continue;
            }
            if !word.is_empty() {
                words.push(std::mem::take(&mut word));
            }
            if matches!(c, ',' | ';' | '.' | ':' | '(' | ')' | '&' | '/') {
                words.push(c.to_string());
            }
        }
        if !word.is_empty() {
            words.push(word);
        }
        Self(words)
    }

    fn get(&self, at: usize) -> Option<&str> {
        self.0.get(at).map(String::as_str)
    }

    fn before(&self, at: usize) -> Option<(usize, &str)> {
        let before = at.checked_sub(1)?;
        Some((before, self.get(before)?))
    }

    pub(crate) fn has(&self, word: &str) -> bool {
        self.0.iter().any(|known| known == word)
    }

    /// Whether two words are adjacent or joined by a hyphen.
    pub(crate) fn has_pair(&self, first: &str, second: &str) -> bool {
        let pairs = self.0.iter().zip(self.0.iter().skip(1));
        self.has(&format!("{first}-{second}"))
            || pairs.into_iter().any(|(a, b)| a == first && b == second)
    }

    pub(crate) fn iter(&self) -> impl Iterator<Item = &str> {
        self.0.iter().map(String::as_str)
    }

    /// Whether the text may name something it excludes, replaces, or compares with.
    pub(crate) fn names_the_unclaimed(&self) -> bool {
        NOT_CLAIMED.iter().any(|word| self.has(word))
    }

    /// Inch sizes named with their system: `3/4 and 1 IPS`.
    pub(crate) fn inch_sizes(&self) -> Vec<Size> {
        let mut sizes = Vec::new();
        for (at, word) in self.0.iter().enumerate() {
            let system = match word.as_str() {
                "ips" => SizeSystem::Ips,
                "cts" => SizeSystem::Cts,
                _ => continue,
            };
            self.list_before(at, system.name(), &mut sizes);
        }
        sizes
    }

    /// Metric sizes named with their unit: `63 mm`.
    pub(crate) fn metric_sizes(&self) -> Vec<Size> {
        let mut sizes = Vec::new();
        for (at, word) in self.0.iter().enumerate() {
            if word == "mm" {
                self.list_before(at, "mm", &mut sizes);
            } else if word.ends_with("mm") {
                sizes.extend(Size::parse(word).ok());
            }
        }
        sizes
    }

    /// Sizes in the list before a word.
    fn list_before(&self, end: usize, system: &str, sizes: &mut Vec<Size>) {
        let mut end = end;
        // A comma alone does not connect sizes: `section 4, 2 IPS`.
        let mut is_list = false;
        while let Some((start, size)) = self.size_before(end, system) {
            sizes.push(size);
            let Some((before, word)) = self.before(start) else {
                return;
            };
            if JOINS.contains(&word) {
                is_list = true;
                end = match self.before(before) {
                    Some((comma, ",")) => comma,
                    _ => before,
                };
            } else if word == "," && is_list {
                end = before;
            } else {
                return;
            }
        }
    }

    fn size_before(&self, end: usize, system: &str) -> Option<(usize, Size)> {
        let (mut at, mut word) = self.before(end)?;
        if matches!(word, "in" | "inch") {
            (at, word) = self.before(at)?;
        }
        let is_number = |word: &str| word.chars().all(|c| c.is_ascii_digit());
        let mut number = word.to_owned();
        if word.contains('/')
            && !word.contains('-')
            && let Some((whole, before)) = self.before(at).filter(|(_, w)| is_number(w))
        {
            number = format!("{before}-{word}");
            at = whole;
        }
        let size = Size::parse(&format!("{number} {system}")).ok()?;
        Some((at, size))
    }

    /// Dimension ratios: `DR 11`, `SDR-13.5`.
    pub(crate) fn ratios(&self) -> Vec<String> {
        let mut ratios = Vec::new();
        for (at, word) in self.0.iter().enumerate() {
            let bare = word.strip_prefix('s').unwrap_or(word);
            let Some(rest) = bare.strip_prefix("dr") else {
                continue;
            };
            let rest = rest.strip_prefix('-').unwrap_or(rest);
            let number = if rest.is_empty() {
                self.get(at + 1).unwrap_or_default()
            } else {
                rest
            };
            if is_decimal(number) {
                ratios.push(plain(number).to_owned());
            }
        }
        ratios
    }

    /// Resins named by designation, spelled as in `codes`.
    pub(crate) fn resins(&self, codes: &[&str]) -> Vec<String> {
        let mut resins = Vec::new();
        let mut at = 0;
        while let Some(word) = self.get(at) {
            at += 1;
            let joined = match (word, self.get(at)) {
                ("pe" | "pp", Some(next)) => designation(&format!("{word}{next}"), codes),
                _ => None,
            };
            if let Some(resin) = joined {
                at += 1;
                resins.push(resin);
            } else {
                resins.extend(designation(word, codes));
            }
        }
        resins
    }

    /// Polymers named by a word, as written.
    pub(crate) fn polymers(&self) -> Vec<(String, Polymer)> {
        let named = |word: &str| {
            let (_, polymer) = POLYMERS.iter().find(|(known, _)| *known == word)?;
            let name = if word.len() > 5 {
                word.to_owned()
            } else {
                word.to_uppercase()
            };
            Some((name, *polymer))
        };
        self.iter().filter_map(named).collect()
    }

    /// Revisions: `revision 2`, `Rev. 2`.
    pub(crate) fn revisions(&self) -> Vec<u32> {
        let mut revisions = Vec::new();
        for (at, word) in self.0.iter().enumerate() {
            if !matches!(word.as_str(), "revision" | "rev") {
                continue;
            }
            let next = match self.get(at + 1) {
                Some(".") => self.get(at + 2),
                next => next,
            };
            revisions.extend(next.and_then(|number| number.parse::<u32>().ok()));
        }
        revisions
    }
}

/// A designation without inner signs.
pub(crate) fn bare(code: &str) -> String {
    let marks = [' ', '-'];
    code.to_uppercase().replace(marks, "")
}

/// The designation a word stands for: one of the tables, or one of the same form.
fn designation(word: &str, codes: &[&str]) -> Option<String> {
    let word = bare(word);
    if let Some(code) = codes.iter().find(|code| bare(code) == word) {
        return Some((*code).to_owned());
    }
    let digits = word.strip_prefix("PE").unwrap_or_default();
    let is_code = (2..=4).contains(&digits.len()) && digits.chars().all(|c| c.is_ascii_digit());
    (is_code || OTHER_PP.contains(&word.as_str())).then_some(word)
}

fn is_decimal(word: &str) -> bool {
    let (whole, part) = word.split_once('.').unwrap_or((word, "0"));
    [whole, part]
        .iter()
        .all(|digits| !digits.is_empty() && digits.chars().all(|c| c.is_ascii_digit()))
}

/// A decimal without trailing zeros.
fn plain(number: &str) -> &str {
    if number.contains('.') {
        number.trim_end_matches('0').trim_end_matches('.')
    } else {
        number
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inch(text: &str) -> Vec<String> {
        let mut sizes = Words::new(text).inch_sizes();
        sizes.sort();
        sizes.iter().map(Size::to_string).collect()
    }

    #[test]
    fn sizes_are_read_with_their_system() {
        assert_eq!(inch("3/4 and 1 IPS service pipe"), ["3/4 IPS", "1 IPS"]);
        assert_eq!(inch("1, 1-1/4, and 2 IPS"), ["1 IPS", "1-1/4 IPS", "2 IPS"]);
        assert_eq!(inch("1 1/4 IPS, 1¼ IPS"), ["1-1/4 IPS", "1-1/4 IPS"]);
        assert_eq!(inch("1/2 CTS to 1 CTS"), ["1/2 CTS", "1 CTS"]);
        assert_eq!(inch("Adds 2 in. IPS"), Vec::<String>::new());
        assert_eq!(inch("per section 4, 2 IPS tools"), ["2 IPS"]);
        assert_eq!(inch("IPS pipe, 2 gauges, shipments"), Vec::<String>::new());
        let metric = |text| Words::new(text).metric_sizes().len();
        assert_eq!(metric("20 to 63 mm"), 2);
        assert_eq!(metric("63mm, and 90 mm"), 2);
        assert_eq!(metric("summer"), 0);
    }

    #[test]
    fn resins_are_whole_words() {
        let codes = ["PE4710", "PE100", "PE100-RC", "PP-R"];
        let named = |text| Words::new(text).resins(&codes);
        assert_eq!(named("PE4710 pipe"), ["PE4710"]);
        assert_eq!(named("pe 4710, PE-4710"), ["PE4710", "PE4710"]);
        assert_eq!(named("PE 100-RC"), ["PE100-RC"]);
        assert_eq!(named("PPR and PE2708"), ["PP-R", "PE2708"]);
        for text in ["TYPE4710", "PE pipe 4710", "G-PE4710", "PP", "pe1"] {
            assert_eq!(named(text), Vec::<String>::new(), "{text}");
        }
    }

    #[test]
    fn ratios_and_revisions_are_whole_words() {
        assert_eq!(
            Words::new("DR 11, SDR-13.5, dr9.0").ratios(),
            ["11", "13.5", "9"]
        );
        assert!(Words::new("Dr. 11, drum 9, order 7").ratios().is_empty());
        assert_eq!(Words::new("Rev. 2, revision 3").revisions(), [2, 3]);
        assert!(Words::new("rev B, revised 4").revisions().is_empty());
    }
}
