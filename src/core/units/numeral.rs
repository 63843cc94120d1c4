//! Takes the number that a quantity begins with: a decimal one, or a fraction as a rule
//! is divided.

use super::number::ONE;
use super::{Decimal, NumberError};

/// Signs between the ends of a range: hyphens, dashes, and the minus. Each may also be
/// the sign of a number.
pub(super) const RANGE_SIGNS: [char; 6] = ['-', '\u{2010}', '\u{2011}', '–', '—', '\u{2212}'];

/// A decimal number, or a fraction as a rule is divided: `0.64`, `5/8`, `1-1/4`, `1¼`; with
/// whether it is a fraction, and the text after it.
pub(super) fn take_number(text: &str) -> Result<(Decimal, bool, &str), NumberError> {
    let mut characters = text.chars();
    let (negative, unsigned) = match characters.next() {
        Some(sign) if RANGE_SIGNS.contains(&sign) => (true, characters.as_str()),
        Some('+') => (false, characters.as_str()),
        _ => (false, text),
    };
    if let Some((millionths, rest)) = take_fraction(unsigned) {
        let millionths = if negative { -millionths } else { millionths };
        let number = Decimal::from_scaled(millionths, ONE);
        return Ok((number, true, rest.trim_start()));
    }
    let end = unsigned.find(|c: char| !c.is_ascii_digit() && c != '.');
    let (digits, rest) = unsigned.split_at(end.unwrap_or(unsigned.len()));
    let number = Decimal::parse(digits)?;
    let sign = if negative { -1 } else { 1 };
    let number = Decimal {
        millionths: sign * number.millionths,
        ..number
    };
    Ok((number, false, rest.trim_start()))
}

/// Fractions that have a character of their own, as top and bottom.
const VULGAR: &[(char, i64, i64)] = &[
    ('½', 1, 2),
    ('¼', 1, 4),
    ('¾', 3, 4),
    ('⅛', 1, 8),
    ('⅜', 3, 8),
    ('⅝', 5, 8),
    ('⅞', 7, 8),
];

/// A fraction of a rule with 64 divisions or fewer, which millionths hold exactly.
fn take_fraction(text: &str) -> Option<(i64, &str)> {
    let (whole, after_whole) = take_digits(text);
    if let Some(rest) = after_whole.strip_prefix(['/', '⁄']) {
        let (millionths, rest) = part_of_one(whole?, rest)?;
        return Some((millionths, rest));
    }
    let joined = match whole {
        Some(_) => after_whole.trim_start_matches([' ', '-', '\u{2011}', '\u{A0}']),
        None => after_whole,
    };
    let whole = whole.unwrap_or(0).checked_mul(ONE)?;
    let mut characters = joined.chars();
    let sign = characters.next()?;
    if let Some((_, top, bottom)) = VULGAR.iter().find(|(vulgar, ..)| *vulgar == sign) {
        return Some((whole.checked_add(top * ONE / bottom)?, characters.as_str()));
    }
    let (top, rest) = take_digits(joined);
    // Digits that are not set off would be those of one number.
    let rest = rest
        .strip_prefix(['/', '⁄'])
        .filter(|_| joined != after_whole)?;
    let (millionths, rest) = part_of_one(top?, rest)?;
    Some((whole.checked_add(millionths)?, rest))
}

fn part_of_one(top: i64, rest: &str) -> Option<(i64, &str)> {
    let (bottom, rest) = take_digits(rest);
    let bottom = bottom.filter(|bottom| matches!(bottom, 2 | 4 | 8 | 16 | 32 | 64))?;
    (0 < top && top < bottom).then(|| (top * ONE / bottom, rest))
}

/// The whole number of up to nine digits that a text begins with.
fn take_digits(text: &str) -> (Option<i64>, &str) {
    let end = text.find(|c: char| !c.is_ascii_digit());
    let (digits, rest) = text.split_at(end.unwrap_or(text.len()));
    let number = (digits.len() <= 9).then(|| digits.parse().ok());
    (number.flatten(), rest)
}
