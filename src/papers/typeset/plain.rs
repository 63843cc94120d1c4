//! How a string stands in running text: without the breaks that would part a number
//! from its unit, and with those that a long run of letters needs. Templates call it
//! as `plain`, some eight hundred times a procedure; searched there by regular
//! expressions, these strings took an eighth of its time.

use typst::diag::SourceResult;
use typst::foundations::{Args, Func, Str};

use super::native::native;

const NO_BREAK: char = '\u{a0}';
/// Where a run without a place to break may break.
const MAY_BREAK: char = '\u{200b}';
/// A longer run gets breaks, so that it does not run off the paper.
const LONGEST_RUN: usize = 24;
/// Letters from one break to the next.
const PIECE: usize = 8;

/// The units that papers print. One that is missing here only loses the tie to its
/// number.
const UNITS: [&str; 12] = [
    "°F", "°C", "%", "in", "mm", "s", "min", "h", "psi", "bar", "IPS", "CTS",
];

/// The function that templates see.
pub(super) fn function() -> Func {
    native!(
        "plain",
        "A string as text, with the breaks a number needs and a long run allows.",
        of_arguments
    )
}

fn of_arguments(arguments: &mut Args) -> SourceResult<String> {
    let string: Str = arguments.expect("string")?;
    Ok(plain(&string))
}

fn plain(string: &str) -> String {
    let tied = tied(string);
    // So few bytes hold no long run.
    if tied.len() <= LONGEST_RUN {
        return tied;
    }
    tied.split_inclusive(has_break).map(breakable).collect()
}

/// The string with its numbers tied to what they belong to.
fn tied(string: &str) -> String {
    let string = string.replace('\t', " ");
    let mut tied = String::with_capacity(string.len() + 8);
    let mut rest = string.as_str();
    while let Some((before, after)) = rest.split_once(' ') {
        tied.push_str(before);
        let tie =
            before_unit(&tied, after) || after_ratio(&tied, after) || before_scale(&tied, after);
        tied.push(if tie { NO_BREAK } else { ' ' });
        rest = after;
    }
    tied + rest
}

/// `500 °F`, `3/4 IPS`.
fn before_unit(before: &str, after: &str) -> bool {
    let is_number = |c: char| c.is_ascii_digit() || "¼½¾⅛⅜⅝⅞".contains(c);
    let starts_with = |unit: &str| {
        let rest = after.strip_prefix(unit);
        rest.is_some_and(|rest| !rest.starts_with(is_of_word))
    };
    before.ends_with(is_number) && UNITS.into_iter().any(starts_with)
}

/// `DR 11`.
fn after_ratio(before: &str, after: &str) -> bool {
    let word = before.strip_suffix("DR");
    let word = word.map(|word| word.strip_suffix('S').unwrap_or(word));
    word.is_some_and(|word| !word.ends_with(is_of_word)) && after.starts_with(is_digit)
}

/// `Scale 1:1`.
fn before_scale(before: &str, after: &str) -> bool {
    let mut scale = after.chars();
    let [first, colon, second] = [scale.next(), scale.next(), scale.next()];
    first.is_some_and(is_digit)
        && colon == Some(':')
        && second.is_some_and(is_digit)
        && before.ends_with(|c: char| !c.is_whitespace())
}

/// A run with the break behind it, if there is one.
fn breakable(run: &str) -> String {
    let letters = run.strip_suffix(has_break).unwrap_or(run).chars().count();
    if letters <= LONGEST_RUN {
        return run.to_owned();
    }
    let mut broken = String::with_capacity(run.len() * 2);
    for (n, letter) in run.chars().enumerate() {
        if n > 0 && n < letters && n % PIECE == 0 {
            broken.push(MAY_BREAK);
        }
        broken.push(letter);
    }
    broken
}

fn has_break(c: char) -> bool {
    c.is_whitespace() || matches!(c, '/' | '-')
}

fn is_digit(c: char) -> bool {
    c.is_ascii_digit()
}

fn is_of_word(c: char) -> bool {
    c.is_ascii_alphanumeric() || c == '_'
}

#[cfg(test)]
mod tests {
    use super::{MAY_BREAK, NO_BREAK, plain};
    use proptest::prelude::*;

    fn shown(string: &str) -> String {
        plain(string).replace(NO_BREAK, "~").replace(MAY_BREAK, "|")
    }

    #[test]
    fn a_number_keeps_its_unit() {
        for (string, expected) in [
            ("at 500 °F or 260 °C", "at 500~°F or 260~°C"),
            ("0.64 in, 16 mm", "0.64~in, 16~mm"),
            ("3/4, 1-1/4 IPS", "3/4, 1-1/4~IPS"),
            ("5\t%", "5~%"),
            ("8 s 30 min", "8~s 30~min"),
            ("5 inches, 5 sec, a in", "5 inches, 5 sec, a in"),
            ("DR 11, SDR 11", "DR~11, SDR~11"),
            ("XDR 11, DR x", "XDR 11, DR x"),
            ("Scale 1:1, at 1:x", "Scale~1:1, at 1:x"),
        ] {
            assert_eq!(shown(string), expected);
        }
    }

    #[test]
    fn only_a_long_run_gets_breaks() {
        let (short, long) = ("a".repeat(24), "a".repeat(25));
        assert_eq!(
            shown(&format!("{short} {short}")),
            format!("{short} {short}")
        );
        let pieces = "aaaaaaaa|aaaaaaaa|aaaaaaaa|a";
        assert_eq!(
            shown(&format!("{long}/{long}")),
            format!("{pieces}/{pieces}")
        );
        // Letters count, not bytes, and no break stands before a break.
        assert_eq!(shown(&"é".repeat(24)), "é".repeat(24));
        assert!(!shown(&format!("{} b", "a".repeat(32))).contains("| "));
    }

    proptest! {
        #[test]
        fn nothing_but_breaks_is_changed(string in ".{0,80}") {
            let unbroken = plain(&string).replace(MAY_BREAK, "");
            let spaced = |text: &str| text.replace([NO_BREAK, '\t'], " ");
            prop_assert_eq!(spaced(&unbroken), spaced(&string.replace(MAY_BREAK, "")));
        }
    }
}
