//! What may be written for single values, made from the tables and words that
//! the readers use.
//!
//! Quantities, counts and texts have no `examples` and no `default`: editors put
//! the first of them into the file when a field is chosen, and a figure that
//! nobody measured must not get into a spec that way. How a value is written
//! stands in the description.

use schemars::json_schema;
use serde_json::json;

use super::{Value, either};
use crate::core::size::SizeSystem;
use crate::core::units::{
    Duration, Length, Measure, Percent, Pressure, Range, Temperature, TemperatureDifference,
    unit_pattern,
};
use crate::process::socket::practice::PRACTICES;
use crate::published::library;
use crate::spec::plausible::{self, Band, Quantifiable};
use crate::spec::quantities::{self, Wanted};
use crate::spec::scalar::LONGEST_TEXT;
use crate::spec::values::LONGEST_NUMBER;
use crate::spec::words::{Word, spellings};

/// Digits as `Decimal` reads them, without a sign.
const NUMBER: &str = r"(?:[0-9]{1,9}(?:[.][0-9]{1,6})?|[.][0-9]{1,6})";
/// A fraction as a rule is divided.
const FRACTION: &str = r"(?:[0-9]+[/⁄](?:2|4|8|16|32|64)|[½¼¾⅛⅜⅝⅞])";
/// A nominal size in inches, with or without an inch mark.
const INCHES: &str = r#"(?:(?:[0-9]*[-\s\u2010\u2011–−]*(?:[0-9]+[/⁄](?:2|4|8|16)|[½¼¾⅛⅜⅝⅞])|[0-9]+|[0-9]*[.](?:00?|25|50?|75))[-\s]*(?:[iI][nN][cC][hH](?:[eE][sS])?|[iI][nN][.]?|["″”“]|'')?)"#;

/// A line of text, as in the example.
pub(crate) fn text_like(example: &str) -> Value {
    text(&format!("Example: {example}."))
}

/// A line of text; `how` says what of.
pub(crate) fn text(how: &str) -> Value {
    let schema = json_schema!({
        // YAML takes `7` and `true` for something else; the reader takes them as written.
        "type": ["string", "number", "boolean"],
        "minLength": 1,
        "maxLength": LONGEST_TEXT,
    });
    Value::new(schema, how)
}

/// The path of a file, from the folder of the file that names it.
pub(crate) fn path(example: &str) -> Value {
    text(&format!(
        "A path from this file's own folder, such as {example}."
    ))
}

/// Where somebody has a value from.
pub(crate) fn source() -> Value {
    text("Example: Operations Manual 4.6, or: caliper, 2026-08-11.")
}

pub(crate) fn procedure_number() -> Value {
    let longest = LONGEST_NUMBER;
    let schema = json_schema!({
        "type": ["string", "number"],
        "pattern": format!(
            r"^\s*[A-Za-z0-9](?:[A-Za-z0-9._-]{{0,{}}}[A-Za-z0-9_-])?\s*$",
            longest - 2
        ),
    });
    let how = format!(
        "Letters, digits, hyphens, underscores and points, at most {longest}, as in SF-001."
    );
    worded(schema, how)
}

/// A day.
pub(crate) fn date() -> Value {
    let schema = json_schema!({
        "type": "string",
        "pattern": "^[0-9]{4}-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12][0-9]|3[01])$",
    });
    let Range { least, most } = plausible::DATE.range;
    let how = "A date: year, month, day, as in 2026-09-14.";
    worded(schema, how).told(format!("{how} {}", taken(&format!("{least} to {most}"))))
}

/// One of the words that a reader knows.
pub(crate) fn word<T: Word>() -> Value {
    let former = T::FORMER.iter().map(|(word, _)| *word);
    offered(names::<T>().collect(), former.collect())
}

/// One of these words, which editors offer, or another spelling of one.
pub(crate) fn any_spelling<'w>(words: impl IntoIterator<Item = &'w str>) -> Value {
    offered(words.into_iter().collect(), Vec::new())
}

/// These words, which editors offer, another spelling of one, or a word of earlier files.
fn offered(words: Vec<&str>, former: Vec<&str>) -> Value {
    let spelled = spelled(words.iter().copied().chain(former));
    let listed = one_of(words);
    either([listed, spelled.titled("other spelling")])
}

/// Any spelling of these words that is read.
fn spelled<'w>(words: impl IntoIterator<Item = &'w str>) -> Value {
    const BETWEEN: &str = r"[-_\s\u2010\u2011–−]*";
    let words: Vec<_> = words.into_iter().collect();
    let letters = |spelling: String| {
        let letters: Vec<_> = spelling.chars().map(any_case).collect();
        letters.join(BETWEEN)
    };
    let spellings = words.iter().flat_map(|word| spellings(word));
    let spellings: Vec<_> = spellings.map(letters).collect();
    let pattern = format!("^{BETWEEN}(?:{}){BETWEEN}$", spellings.join("|"));
    // `true` and `false` are no text to YAML.
    let kind = match words.contains(&"yes") {
        true => json!(["string", "boolean"]),
        false => json!("string"),
    };
    Value::new(json_schema!({"type": kind, "pattern": pattern}), "").closed()
}

fn any_case(c: char) -> String {
    let upper: String = c.to_uppercase().collect();
    match c.to_string() == upper {
        true => c.to_string(),
        false => format!("[{c}{upper}]"),
    }
}

/// The words of a list of words.
pub(crate) fn names<T: Word>() -> impl Iterator<Item = &'static str> {
    T::WORDS.iter().map(|(word, _)| *word)
}

/// One of these words.
pub(crate) fn one_of<'w>(words: impl IntoIterator<Item = &'w str>) -> Value {
    let words: Vec<_> = words.into_iter().collect();
    Value::new(json_schema!({"type": "string", "enum": words}), "")
}

/// One word of several, each of which has fields of its own beside it.
pub(crate) fn word_among<'w>(word: &str, words: impl IntoIterator<Item = &'w str>) -> Value {
    let words: Vec<_> = words.into_iter().collect();
    let how = format!("One of: {}.", words.join(", "));
    let exact = worded(
        json_schema!({"type": "string", "const": word}),
        how.as_str(),
    );
    either([exact, spelled([word]).titled("other spelling")]).told(how)
}

/// The number of the format.
pub(crate) fn format_one() -> Value {
    Value::new(json_schema!({"enum": [1, "1"], "default": 1}), "")
}

/// A language as a code of letters, for what is no paper of the program.
pub(crate) fn language_code() -> Value {
    let pattern = r"^\s*[A-Za-z]{2,3}(?:-[A-Za-z0-9]{2,8})*\s*$";
    worded(
        json_schema!({"type": "string", "pattern": pattern}),
        "A code of two or three letters, as in en or es.",
    )
}

/// A whole number from 1.
pub(crate) fn counting_number(band: &Band<u32>) -> Value {
    whole_number(1, band)
}

/// A whole number from 0.
pub(crate) fn count(band: &Band<u32>) -> Value {
    whole_number(0, band)
}

fn whole_number(least: u32, band: &Band<u32>) -> Value {
    // For a plain integer, editors put a 0 into the file.
    let schema = json_schema!({
        "type": ["string", "integer"],
        "pattern": r"^\s*[+]?[0-9]+\s*$",
        "minimum": least.max(band.range.least),
        "maximum": band.range.most,
    });
    worded(schema, format!("A whole number from {least}."))
}

/// A schema with a sentence that says how its values are written. Editors that
/// know `errorMessage` say it where a value does not fit; to others it is a note.
pub(crate) fn worded(schema: schemars::Schema, how: impl Into<String>) -> Value {
    let how = how.into();
    let wanted = wanted(&how);
    Value::new(schema, how).with("errorMessage", wanted)
}

/// The sentence as a message.
fn wanted(how: &str) -> String {
    let mut letters = how.trim_end_matches('.').chars();
    let first = letters.next().map(|first| first.to_ascii_lowercase());
    let rest: String = first.into_iter().chain(letters).collect();
    format!("wanted here: {rest}")
}

/// What stands between the ends of a range.
const RANGE: &str =
    r"[tT][oO]|[tT][hH][rR][uU]|[tT][hH][rR][oO][uU][gG][hH]|[-\u2010\u2011\u2212–—]";

/// Whether a field takes one value or a range of them too.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Reach {
    One,
    Range,
}

/// What the reader takes, for the end of a description.
fn taken(shown: &str) -> String {
    format!("Accepted: {shown}; other values are an error.")
}

/// A quantity inside its band, which the description tells.
fn banded<T: Quantifiable>(wanted: &Wanted, reach: Reach, band: &Band<T>) -> Value {
    let value = quantity(wanted, reach);
    let how = format!("{} {}", value.how, in_band(band));
    value.told(how)
}

fn in_band<T: Quantifiable>(band: &Band<T>) -> String {
    let shown = band.shown();
    taken(&match shown.split_first() {
        Some((first, [])) => first.clone(),
        Some((first, others)) => format!("{first} ({})", others.join(", ")),
        None => String::new(),
    })
}

fn quantity(wanted: &Wanted, reach: Reach) -> Value {
    let signs = match wanted.measure {
        Measure::Temperature => r"(?:[-+\u2010\u2011\u2212–—]|\+/-\s*|±\s*)?",
        _ => "[+]?",
    };
    let unit = format!(r"\s*{}", unit_pattern(wanted.measure));
    let (number, one) = match wanted.measure {
        Measure::Length => {
            let whole = r"(?:[0-9]{1,9}[-\s\u2011]*)?";
            let number = format!("{signs}(?:{whole}{FRACTION}|{NUMBER})");
            let one = format!("{number}{unit}");
            (number, one)
        }
        Measure::Time => {
            let number = format!("{signs}{NUMBER}");
            // `1 min 30 s`
            let one = format!(r"{number}{unit}(?:\s*{NUMBER}{unit})?");
            (number, one)
        }
        _ => {
            let number = format!("{signs}{NUMBER}");
            let one = format!("{number}{unit}");
            (number, one)
        }
    };
    let pattern = match reach {
        Reach::One => format!(r"^\s*{one}\s*$"),
        Reach::Range => {
            let between = format!(r"\s*(?:{RANGE})\s*");
            format!(r"^\s*(?:(?:{one}|{number}){between})?{one}\s*$")
        }
    };
    let Wanted {
        what,
        units,
        example,
        ..
    } = wanted;
    let what = what.strip_prefix("a ").unwrap_or(what);
    let unit = match *units {
        "%" => String::new(),
        units => format!(" with its unit ({units})"),
    };
    let as_in = example.map(|example| format!(", as in {example}"));
    let how = format!("A {what}{unit}{}.", as_in.unwrap_or_default());
    worded(json_schema!({"type": "string", "pattern": pattern}), how).in_units(units)
}

pub(crate) fn length(band: &Band<Length>) -> Value {
    banded(&quantities::LENGTH, Reach::One, band)
}

pub(crate) fn length_range(band: &Band<Length>) -> Value {
    banded(&quantities::LENGTH_RANGE, Reach::Range, band)
}

/// A time.
pub(crate) fn duration(band: &Band<Duration>) -> Value {
    banded(&quantities::TIME, Reach::One, band)
}

/// A time, or a range of times.
pub(crate) fn duration_range(band: &Band<Duration>) -> Value {
    banded(&quantities::TIME_RANGE, Reach::Range, band)
}

/// A temperature of the heater.
pub(crate) fn temperature(band: &Band<Temperature>) -> Value {
    banded(&quantities::TEMPERATURE, Reach::One, band)
}

/// A temperature of pipe or air.
pub(crate) fn weather() -> Value {
    let wanted = Wanted {
        example: Some("72 °F"),
        ..quantities::TEMPERATURE
    };
    banded(&wanted, Reach::One, &plausible::WEATHER)
}

/// A range of temperatures of pipe or air.
pub(crate) fn temperature_range() -> Value {
    let band = &plausible::WEATHER;
    banded(&quantities::TEMPERATURE_RANGE, Reach::Range, band)
}

pub(crate) fn temperature_difference(band: &Band<TemperatureDifference>) -> Value {
    banded(&quantities::DIFFERENCE, Reach::One, band)
}

/// A difference of temperature that counts each way.
pub(crate) fn temperature_spread(band: &Band<TemperatureDifference>) -> Value {
    temperature_difference(band)
}

pub(crate) fn pressure(band: &Band<Pressure>) -> Value {
    banded(&quantities::PRESSURE, Reach::One, band)
}

/// A percentage.
pub(crate) fn percent(band: &Band<Percent>) -> Value {
    banded(&quantities::PERCENT, Reach::One, band)
}

/// A depth that was measured, or these words for one that is still to be.
pub(crate) fn depth(to_be_measured: &str) -> Value {
    let measured = quantity(&quantities::LENGTH, Reach::One);
    let length = measured.how.trim_end_matches('.');
    let how = format!("{length}, or \u{201c}{to_be_measured}\u{201d}.");
    let unmeasured = json_schema!({"type": "string", "const": to_be_measured});
    let unmeasured = worded(unmeasured, how.as_str()).titled(to_be_measured);
    let spelled = spelled([to_be_measured]).titled("other spelling");
    let measured = measured.with("errorMessage", wanted(&how));
    let told = format!("{how} {}", in_band(&plausible::DEPTH));
    either([unmeasured, measured, spelled]).told(told)
}

/// The sizes that the tables know.
fn known_sizes() -> Vec<String> {
    let systems = [SizeSystem::Ips, SizeSystem::Cts, SizeSystem::Metric];
    let sizes = systems.into_iter().flat_map(|s| library().sizes(s));
    sizes.map(|size| size.to_string()).collect()
}

/// A size as `Size::parse` reads it.
fn size_pattern() -> String {
    let system = "(?:[iI][pP][sS]|[cC][tT][sS])";
    let diameter = r"(?:[oO]?[dD]|[øØ⌀])";
    let metric = r"[0-9]+(?:[.][0-9])?";
    let unit = "(?:[mM][mM]|[mM][eE][tT][rR][iI][cC]|[mM][iI][lL][lL][iI][mM][eE][tT](?:[eE][rR]|[rR][eE])[sS]?)";
    format!(
        r"(?:{INCHES}\s*{system}|{system}\s*{INCHES}|{diameter}\s*{metric}\s*{unit}?(?:\s*[oO][dD])?|{metric}\s*{unit}(?:\s*[oO][dD])?)"
    )
}

/// The sizes of the tables, which editors offer, or what is written otherwise.
fn sizes_or(pattern: String, how: &str) -> Value {
    let known = worded(json_schema!({"type": "string", "enum": known_sizes()}), how);
    let other = worded(json_schema!({"type": "string", "pattern": pattern}), how);
    either([known, other.titled("other")]).told(how)
}

/// A nominal size with its size system.
pub(crate) fn size() -> Value {
    let pattern = format!(r"^\s*{}\s*$", size_pattern());
    sizes_or(
        pattern,
        "A nominal size with its system, as in 1-1/4 IPS, 1/2 CTS or 63 mm.",
    )
}

/// A size, or a range of sizes of one system.
pub(crate) fn size_range() -> Value {
    let size = size_pattern();
    let pattern = format!(r"^\s*(?:(?:{size}|{INCHES})\s*(?:{RANGE})\s*)?{size}\s*$");
    sizes_or(
        pattern,
        "A nominal size with its system, or a range in one system, as in 1-1/4 IPS, 63 mm or \
         3/4 IPS to 2 IPS.",
    )
}

/// Both ends of a reducing fitting.
pub(crate) fn size_pair() -> Value {
    let size = size_pattern();
    let schema = json_schema!({"type": "string", "pattern": format!(r"^\s*(?:{size}|{INCHES})\s*[xX×]\s*{size}\s*$")});
    worded(schema, "The sizes of both ends, as in 1 IPS x 3/4 IPS.")
}

/// The ratio of outside diameter to wall.
pub(crate) fn dimension_ratio() -> Value {
    let Range { least, most } = plausible::RATIO.range;
    let (least, most) = (least.exact(), most.exact());
    let number = |text: &str| text.parse::<f64>().ok();
    let schema = json_schema!({
        "type": ["number", "string"],
        "minimum": number(&least),
        "maximum": number(&most),
        "pattern": format!(r"^\s*(?:[sS]?[dD][rR]\s*-?\s*)?[+]?{NUMBER}\s*$"),
    });
    let how = format!("A ratio from {least} to {most}, as in 11, DR 11 or SDR 13.5.");
    worded(schema, how)
}

/// A resin of the tables.
pub(crate) fn resin() -> Value {
    let codes = PRACTICES.into_iter();
    any_spelling(codes.flat_map(|p| library().resin_codes(p)))
}
