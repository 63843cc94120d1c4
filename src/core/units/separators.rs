//! Numbers with commas and spaces in them. A spec has a decimal point and no
//! thousands separators, since `1,050 psi` is one thousand and fifty to one reader
//! and a little more than one to the next; this says what may have been meant.

/// What a text may mean whose numbers hold commas, spaces or apostrophes: with
/// these as thousands separators, and with the comma as the decimal mark. Empty
/// where its numbers have neither, or where they fit neither.
#[derive(Debug, Default, PartialEq, Eq)]
pub(crate) struct Readings {
    /// `1050 psi` for `1,050 psi`.
    pub(crate) thousands: Option<String>,
    /// `1.050 psi` for `1,050 psi`.
    pub(crate) decimal: Option<String>,
}

/// What separates groups of three digits.
const GROUPING: &[char] = &[',', '\'', '’', '_', ' ', '\u{A0}', '\u{2009}', '\u{202F}'];

/// Both readings of a text.
pub(crate) fn readings(text: &str) -> Readings {
    let (mut thousands, mut decimal) = (Some(String::new()), Some(String::new()));
    let mut any = false;
    let mut rest = text;
    while !rest.is_empty() {
        let start = rest
            .find(|c: char| c.is_ascii_digit())
            .unwrap_or(rest.len());
        let (before, from_digit) = rest.split_at(start);
        let (number, after) = take_number(from_digit);
        any |= number.contains(GROUPING);
        let (as_thousands, as_decimal) = match number.contains(GROUPING) {
            true => (without_grouping(number), with_point(number)),
            false => (Some(number.to_owned()), Some(number.to_owned())),
        };
        let join = |text: Option<String>, number: Option<String>| {
            let (text, number) = (text?, number?);
            Some(text + before + &number)
        };
        thousands = join(thousands, as_thousands);
        decimal = join(decimal, as_decimal);
        rest = after;
    }
    match any {
        true => Readings { thousands, decimal },
        false => Readings::default(),
    }
}

/// The number that a text begins with, whatever separates its digits.
fn take_number(text: &str) -> (&str, &str) {
    let digits = |text: &str| {
        text.find(|c: char| !c.is_ascii_digit())
            .unwrap_or(text.len())
    };
    let mut end = digits(text);
    loop {
        let rest = text.get(end..).unwrap_or_default();
        let Some(mark) = rest.chars().next() else {
            break;
        };
        let after = rest.get(mark.len_utf8()..).unwrap_or_default();
        let more = digits(after);
        let joins = match mark {
            ',' | '.' => more > 0,
            // Two numbers stand apart as well, so only what can be a group joins.
            mark if GROUPING.contains(&mark) => more == 3,
            _ => false,
        };
        if !joins {
            break;
        }
        end += mark.len_utf8() + more;
    }
    text.split_at(end)
}

/// `1050.5` for `1,050.5`.
fn without_grouping(number: &str) -> Option<String> {
    let (whole, fraction) = match number.split_once('.') {
        Some((_, fraction)) if !fraction.chars().all(|c| c.is_ascii_digit()) => return None,
        Some((whole, fraction)) => (whole, Some(fraction)),
        None => (number, None),
    };
    let whole = joined(whole, GROUPING)?;
    Some(match fraction {
        Some(fraction) => format!("{whole}.{fraction}"),
        None => whole,
    })
}

/// `1.05` for `1,05`, and `1050.5` for `1.050,5`.
fn with_point(number: &str) -> Option<String> {
    let (whole, fraction) = number.split_once(',')?;
    if !fraction.chars().all(|c| c.is_ascii_digit()) {
        return None;
    }
    let plain = whole.chars().all(|c| c.is_ascii_digit());
    let whole = match plain {
        true => whole.to_owned(),
        false => joined(
            whole,
            &['.', '\'', '’', '_', ' ', '\u{A0}', '\u{2009}', '\u{202F}'],
        )?,
    };
    Some(format!("{whole}.{fraction}"))
}

/// Groups of three digits as one number.
fn joined(number: &str, marks: &[char]) -> Option<String> {
    let mut groups = number.split(marks);
    let first = groups.next()?;
    let leads = (1..=3).contains(&first.len()) && !first.starts_with('0');
    let mut more = groups.peekable();
    let whole = leads && more.peek().is_some() && more.all(|group| group.len() == 3);
    whole.then(|| number.chars().filter(char::is_ascii_digit).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn both(text: &str) -> (Option<String>, Option<String>) {
        let Readings { thousands, decimal } = readings(text);
        (thousands, decimal)
    }

    #[test]
    fn both_readings_are_offered_where_both_are_possible() {
        for (text, thousands, decimal) in [
            ("1,050 psi", "1050 psi", "1.050 psi"),
            ("12,345", "12345", "12.345"),
            (
                "1,050 to 1,200 psi",
                "1050 to 1200 psi",
                "1.050 to 1.200 psi",
            ),
        ] {
            let expected = (Some(thousands.to_owned()), Some(decimal.to_owned()));
            assert_eq!(both(text), expected, "{text}");
        }
    }

    #[test]
    fn digits_tell_which_reading_is_meant() {
        for (text, decimal) in [
            ("0,71 in", "0.71 in"),
            ("0,050 in", "0.050 in"),
            ("1,05", "1.05"),
            ("1234,567", "1234.567"),
            ("1.050,5 psi", "1050.5 psi"),
            ("18,5 to 21,5 s", "18.5 to 21.5 s"),
            ("1,050 to 1,25 psi", "1.050 to 1.25 psi"),
        ] {
            assert_eq!(both(text), (None, Some(decimal.to_owned())), "{text}");
        }
        for (text, thousands) in [
            ("1,050.5 psi", "1050.5 psi"),
            ("1,234,567", "1234567"),
            ("1 050 psi", "1050 psi"),
            ("1'050 psi", "1050 psi"),
            ("10\u{202F}500 psi", "10500 psi"),
        ] {
            assert_eq!(both(text), (Some(thousands.to_owned()), None), "{text}");
        }
    }

    #[test]
    fn a_text_without_them_has_no_other_reading() {
        for text in [
            "",
            "psi",
            "1050 psi",
            "18 to 21 s",
            "1 1/4 IPS",
            "20 °F, 110 °F",
        ] {
            assert_eq!(readings(text), Readings::default(), "{text}");
        }
        // Neither groups of three nor one decimal mark.
        assert_eq!(both("1,05,3"), (None, None));
    }

    proptest::proptest! {
        #[test]
        fn never_panics(text in "[0-9,.' ½é]{0,20}") {
            let _ = readings(&text);
        }
    }
}
