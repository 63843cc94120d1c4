//! What may be written for single values, made from the tables and words that
//! the readers use.
//!
//! Quantities, counts and texts have no `examples` and no `default`: editors put
//! the first of them into the file when a field is chosen, and a figure that
//! nobody measured must not get into a spec that way. How a value is written
//! stands in the description.

use schemars::json_schema;

use super::field::{Value, either};
use crate::fusers::rule_set::PUBLISHED;
use crate::limits::{Practice, library};
use crate::size::SizeSystem;
use crate::spec::plausible::{self, Band, Quantifiable};
use crate::spec::quantities::{self, Wanted};
use crate::spec::{TO_BE_MEASURED, values};
use crate::units::{
    Duration, Length, Measure, Percent, Range, Temperature, TemperatureDifference, spellings,
};

/// Digits as `Decimal` reads them, without a sign.
const NUMBER: &str = r"(?:[0-9]{1,9}(?:[.][0-9]{1,6})?|[.][0-9]{1,6})";
/// A nominal size in inches.
const INCHES: &str = r"(?:(?:[0-9]+[- ])?[0-9]+/(?:2|4|8|16)|[0-9]+|[0-9]*[- ]?[½¼¾])";

/// A line of text, as in the example.
pub(super) fn text_like(example: &str) -> Value {
    text(&format!("As in \u{201c}{example}\u{201d}."))
}

/// A line of text; `how` says what of.
pub(super) fn text(how: &str) -> Value {
    let schema = json_schema!({
        // YAML takes `7` and `true` for something else; the reader takes them as written.
        "type": ["string", "number", "boolean"],
        "minLength": 1,
        "maxLength": values::LONGEST_TEXT,
    });
    Value::new(schema, how)
}

/// The path of a file, from the folder of the file that names it.
pub(super) fn path(example: &str) -> Value {
    text(&format!(
        "A path from this file's own folder, as in {example}."
    ))
}

/// The number of a procedure.
pub(super) fn procedure_number() -> Value {
    let longest = values::LONGEST_NUMBER;
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
pub(super) fn date() -> Value {
    let schema = json_schema!({
        "type": "string",
        "pattern": "^[0-9]{4}-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12][0-9]|3[01])$",
    });
    let Range { least, most } = plausible::DATE.range;
    let how = "A date: year, month, day, as in 2026-09-14.";
    worded(schema, how).told(format!("{how} {}", taken(&format!("{least} to {most}"))))
}

/// One of the words that a reader knows.
pub(super) fn word<T>(words: &[(&'static str, T)]) -> Value {
    one_of(names(words))
}

/// The words of a table of words.
pub(super) fn names<T>(words: &[(&'static str, T)]) -> impl Iterator<Item = &'static str> {
    words.iter().map(|(word, _)| *word)
}

/// One of these words.
pub(super) fn one_of<'w>(words: impl IntoIterator<Item = &'w str>) -> Value {
    let words: Vec<_> = words.into_iter().collect();
    Value::new(json_schema!({"type": "string", "enum": words}), "")
}

/// One word of several, each of which has fields of its own beside it.
pub(super) fn word_among<'w>(word: &str, words: impl IntoIterator<Item = &'w str>) -> Value {
    let words: Vec<_> = words.into_iter().collect();
    let how = format!("One of: {}.", words.join(", "));
    worded(json_schema!({"type": "string", "const": word}), how)
}

/// The number of the format.
pub(super) fn format_one() -> Value {
    Value::new(json_schema!({"enum": [1, "1"], "default": 1}), "")
}

/// A language as a code of letters, for what is no paper of the program.
pub(super) fn language_code() -> Value {
    let pattern = r"^\s*[a-z]{2,3}(?:-[A-Za-z0-9]{2,8})*\s*$";
    worded(
        json_schema!({"type": "string", "pattern": pattern}),
        "A code of two or three letters, as in en or es.",
    )
}

/// The choice of a rule set in one line, as on the command line.
pub(super) fn rule_choice() -> Value {
    let words: Vec<_> = names(PUBLISHED).collect();
    let pattern = format!(
        r"^\s*(?:[^:=]*[^:=\s]\s*=\s*)?(?:{}|own:\s*[0-9]+\s*:.*\S.*)\s*$",
        words.join("|")
    );
    let how = "One of the words; for one procedure alone as in SF-001=us-gas; your own as in \
               own:12:Operations Manual 7.9.";
    let other = worded(json_schema!({"type": "string", "pattern": pattern}), how);
    either([one_of(words), other.titled("other")]).told(how)
}

/// A whole number from 1.
pub(super) fn counting_number(band: &Band<u32>) -> Value {
    whole_number(1, band)
}

/// A whole number from 0.
pub(super) fn count(band: &Band<u32>) -> Value {
    whole_number(0, band)
}

fn whole_number(least: u32, band: &Band<u32>) -> Value {
    // For a plain integer, editors put a 0 into the file.
    let schema = json_schema!({
        "type": ["string", "integer"],
        "pattern": "^[+]?[0-9]+$",
        "minimum": least.max(band.range.least),
        "maximum": band.range.most,
    });
    worded(schema, format!("A whole number from {least}."))
}

/// A schema with a sentence that says how its values are written. Editors that
/// know `errorMessage` say it where a value does not fit; to others it is a note.
fn worded(schema: schemars::Schema, how: impl Into<String>) -> Value {
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

/// Whether a field takes one value or a range of them too.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Reach {
    One,
    Range,
}

/// What the reader takes, for the end of a description.
fn taken(shown: &str) -> String {
    format!("Taken from {shown}; anything else is a slip.")
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
    let signed = wanted.measure == Measure::Temperature;
    let number = format!("{}{NUMBER}", if signed { "[-+\u{2212}]?" } else { "[+]?" });
    let units: Vec<_> = spellings(wanted.measure).map(in_any_case).collect();
    let unit = format!(r"\s*(?:{})", units.join("|"));
    let one = format!("{number}{unit}");
    let pattern = match reach {
        Reach::One => format!(r"^\s*{one}\s*$"),
        Reach::Range => {
            let first = format!(r"{number}(?:{unit})?\s*(?:to |\u2013|-)\s*");
            format!(r"^\s*(?:{first})?{one}\s*$")
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
    worded(json_schema!({"type": "string", "pattern": pattern}), how)
}

/// A spelling of a unit as the reader takes it: capitals or not, unless it is
/// one letter.
fn in_any_case(spelling: &'static str) -> String {
    let one_letter = spelling.len() == 1;
    let letter = |c: char| match c {
        '°' => "[°º]".to_owned(),
        c if c.is_ascii_alphabetic() && !one_letter => {
            format!("[{}{}]", c.to_ascii_lowercase(), c.to_ascii_uppercase())
        }
        c => c.to_string(),
    };
    spelling.chars().map(letter).collect()
}

/// A length.
pub(super) fn length(band: &Band<Length>) -> Value {
    banded(&quantities::LENGTH, Reach::One, band)
}

/// A length, or a range of lengths.
pub(super) fn length_range(band: &Band<Length>) -> Value {
    banded(&quantities::LENGTH_RANGE, Reach::Range, band)
}

/// A time.
pub(super) fn duration(band: &Band<Duration>) -> Value {
    banded(&quantities::TIME, Reach::One, band)
}

/// A time, or a range of times.
pub(super) fn duration_range(band: &Band<Duration>) -> Value {
    banded(&quantities::TIME_RANGE, Reach::Range, band)
}

/// A temperature of the heater.
pub(super) fn temperature(band: &Band<Temperature>) -> Value {
    banded(&quantities::TEMPERATURE, Reach::One, band)
}

/// A temperature of pipe or air.
pub(super) fn weather() -> Value {
    let wanted = Wanted {
        example: Some("72 °F"),
        ..quantities::TEMPERATURE
    };
    banded(&wanted, Reach::One, &plausible::WEATHER)
}

/// A range of temperatures of pipe or air.
pub(super) fn temperature_range() -> Value {
    let band = &plausible::WEATHER;
    banded(&quantities::TEMPERATURE_RANGE, Reach::Range, band)
}

/// A difference of temperature.
pub(super) fn temperature_difference(band: &Band<TemperatureDifference>) -> Value {
    banded(&quantities::DIFFERENCE, Reach::One, band)
}

/// A pressure.
pub(super) fn pressure() -> Value {
    banded(&quantities::PRESSURE, Reach::One, &plausible::TEST_PRESSURE)
}

/// A percentage.
pub(super) fn percent(band: &Band<Percent>) -> Value {
    banded(&quantities::PERCENT, Reach::One, band)
}

/// A depth that was measured, or that is still to be.
pub(super) fn depth() -> Value {
    let measured = quantity(&quantities::LENGTH, Reach::One);
    let length = measured.how.trim_end_matches('.');
    let how = format!("{length}, or \u{201c}{TO_BE_MEASURED}\u{201d}.");
    let unmeasured = json_schema!({"type": "string", "const": TO_BE_MEASURED});
    let unmeasured = worded(unmeasured, how.as_str()).titled(TO_BE_MEASURED);
    let measured = measured.with("errorMessage", wanted(&how));
    let told = format!("{how} {}", in_band(&plausible::DEPTH));
    either([unmeasured, measured]).told(told)
}

/// The sizes that the tables know.
fn known_sizes() -> Vec<String> {
    let systems = [SizeSystem::Ips, SizeSystem::Cts, SizeSystem::Metric];
    let sizes = systems.into_iter().flat_map(|s| library().sizes(s));
    sizes.map(|size| size.to_string()).collect()
}

/// A size as `Size::parse` reads it.
fn size_pattern() -> String {
    let inch = format!(r#"{INCHES}\s*(?:in|")?\s*(?:[iI][pP][sS]|[cC][tT][sS])"#);
    let metric = r"[0-9]+(?:[.][0-9])?";
    format!(r"(?:{inch}|{metric}\s*mm|d\s*{metric}\s*(?:mm)?)")
}

/// The sizes of the tables, which editors offer, or what is written otherwise.
fn sizes_or(pattern: String, how: &str) -> Value {
    let known = worded(json_schema!({"type": "string", "enum": known_sizes()}), how);
    let other = worded(json_schema!({"type": "string", "pattern": pattern}), how);
    either([known, other.titled("other")]).told(how)
}

/// A nominal size with its size system.
pub(super) fn size() -> Value {
    let pattern = format!(r"^\s*{}\s*$", size_pattern());
    sizes_or(
        pattern,
        "A nominal size with its system, as in 1-1/4 IPS, 1/2 CTS or 63 mm.",
    )
}

/// A size, or a range of sizes of one system.
pub(super) fn size_range() -> Value {
    let size = size_pattern();
    let pattern = format!(r"^\s*(?:(?:{size}|{INCHES}) to )?\s*{size}\s*$");
    sizes_or(
        pattern,
        "A nominal size with its system, or a range in one system, as in 1-1/4 IPS, 63 mm or \
         3/4 IPS to 2 IPS.",
    )
}

/// Both ends of a reducing fitting.
pub(super) fn size_pair() -> Value {
    let size = size_pattern();
    let schema =
        json_schema!({"type": "string", "pattern": format!(r"^\s*{size}\s*[x×]\s*{size}\s*$")});
    worded(schema, "The sizes of both ends, as in 1 IPS x 3/4 IPS.")
}

/// The ratio of outside diameter to wall.
pub(super) fn dimension_ratio() -> Value {
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
pub(super) fn resin() -> Value {
    let codes = [Practice::Us, Practice::Metric];
    let codes = codes.into_iter().flat_map(|p| library().resin_codes(p));
    one_of(codes)
}
