//! Reads dates. Only the year first is read: any other order is a different day to
//! somebody, so the finding writes out the days that may be meant.

use chrono::NaiveDate;

use super::node::Node;
use super::plausible;
use super::rules;
use super::scalar::scalar;
use crate::core::finding::Finding;
use crate::core::source::Spanned;

/// A date, year first.
pub(crate) fn date(node: &Node, findings: &mut Vec<Finding>) -> Option<Spanned<NaiveDate>> {
    let written = scalar(node, findings)?;
    match NaiveDate::parse_from_str(written, "%Y-%m-%d") {
        Ok(date) if written.len() == 10 => {
            let date = plausible::counted(&plausible::DATE, date, node.span, written, findings)?;
            Some(Spanned::new(date, node.span))
        }
        _ => {
            let days: Vec<_> = meant(written).iter().map(ToString::to_string).collect();
            let help = match days.as_slice() {
                [] => "write the year, the month and the day: 2026-09-14".to_owned(),
                days => format!("the year comes first: write {}", days.join(" or ")),
            };
            let message = format!("'{written}' is not a date");
            let finding = rules::NOT_A_DATE.at(node.span, message).help(help);
            findings.push(match days.as_slice() {
                [day] => finding.edit(node.span, day),
                _ => finding,
            });
            None
        }
    }
}

const MONTHS: [&str; 12] = [
    "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec",
];

/// The days that a text may mean, the month before the day first.
fn meant(text: &str) -> Vec<NaiveDate> {
    // What a spreadsheet adds to a day.
    let (day, time) = text.split_once(['T', ' ']).unwrap_or((text, ""));
    let is_time = time.contains(':');
    let text = if is_time { day } else { text };
    let is_between = |c: char| !c.is_alphanumeric();
    let parts: Vec<_> = text.split(is_between).filter(|p| !p.is_empty()).collect();
    let days = match parts.as_slice() {
        [compact] if compact.len() == 8 => {
            let number = |range: std::ops::Range<usize>| compact.get(range).and_then(number);
            vec![day_of(number(0..4), number(4..6), number(6..8))]
        }
        [a, b, c] => match [month(a), month(b), month(c)] {
            [Some(m), None, None] => vec![day_of(year(c), Some(m), number(b))],
            [None, Some(m), None] => vec![
                day_of(year(c), Some(m), number(a)),
                day_of(four_digits(a), Some(m), number(c)),
            ],
            [None, None, None] if four_digits(a).is_some() => {
                vec![day_of(four_digits(a), number(b), number(c))]
            }
            [None, None, None] => vec![
                day_of(year(c), number(a), number(b)),
                day_of(year(c), number(b), number(a)),
            ],
            _ => Vec::new(),
        },
        _ => Vec::new(),
    };
    let mut days: Vec<_> = days.into_iter().flatten().collect();
    days.dedup();
    days
}

fn day_of(year: Option<u32>, month: Option<u32>, day: Option<u32>) -> Option<NaiveDate> {
    NaiveDate::from_ymd_opt(i32::try_from(year?).ok()?, month?, day?)
}

/// A month by its name or the first letters of it.
fn month(text: &str) -> Option<u32> {
    let text = text.to_lowercase();
    let at = MONTHS.iter().position(|name| text.starts_with(name))?;
    u32::try_from(at + 1).ok()
}

fn number(text: &str) -> Option<u32> {
    text.parse().ok()
}

fn four_digits(text: &str) -> Option<u32> {
    number(text).filter(|_| text.len() == 4)
}

/// A year of four digits, or of two in this century.
fn year(text: &str) -> Option<u32> {
    match text.len() {
        2 => number(text).map(|year| 2000 + year),
        _ => four_digits(text),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_days_that_may_be_meant_are_written_out() {
        for (text, days) in [
            ("11/2/2026", vec!["2026-11-02", "2026-02-11"]),
            ("11/25/2026", vec!["2026-11-25"]),
            ("25.11.2026", vec!["2026-11-25"]),
            ("5/5/26", vec!["2026-05-05"]),
            ("2026/11/2", vec!["2026-11-02"]),
            ("2026-11-2", vec!["2026-11-02"]),
            ("20261102", vec!["2026-11-02"]),
            ("Nov 2, 2026", vec!["2026-11-02"]),
            ("2 November 2026", vec!["2026-11-02"]),
            ("02-Nov-26", vec!["2026-11-02"]),
            ("2026-Nov-02", vec!["2026-11-02"]),
            ("2026-11-02T00:00:00", vec!["2026-11-02"]),
            ("2026-11-02 00:00:00", vec!["2026-11-02"]),
            ("11/2/2026 0:00", vec!["2026-11-02", "2026-02-11"]),
        ] {
            let found: Vec<_> = meant(text).iter().map(ToString::to_string).collect();
            assert_eq!(found, days, "{text}");
        }
        for text in [
            "",
            "soon",
            "2026",
            "2026-13-45",
            "31/31/2026",
            "46328",
            "Nov Nov 2026",
        ] {
            assert!(meant(text).is_empty(), "{text}");
        }
    }

    proptest::proptest! {
        #[test]
        fn never_panics(text in "\\PC{0,24}") {
            let _ = meant(&text);
        }
    }
}
