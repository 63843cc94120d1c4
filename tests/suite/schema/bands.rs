//! What a schema says is taken is what its reader takes: the ends of each band are
//! read, and what lies beyond them is a slip.

use regex::Regex;

use super::{all_errors, everywhere, none, of};
use crate::schema::document::with;
use coldring::authoring::schema::Kind;
use serde_json::{Value as Json, json};

fn is_slip(kind: Kind, document: &Json) -> bool {
    let found = all_errors(kind, &document.to_string());
    found.iter().any(|f| f.rule.slug == "implausible-value")
}

/// A fifth further out than an end of a band; nothing below an end of zero.
fn beyond(end: &str, out: f64) -> Option<String> {
    let (number, unit) = end.split_once(' ').unwrap_or((end, ""));
    if number.matches('-').count() == 2 {
        let day: chrono::NaiveDate = end.parse().unwrap();
        let days = chrono::Days::new(1);
        let next = if out > 0.0 { day + days } else { day - days };
        return Some(next.to_string());
    }
    let number: f64 = number.replace('−', "-").parse().unwrap();
    if number == 0.0 {
        return None;
    }
    let further = number + out * number.abs() / 5.0;
    Some(format!("{further:.4} {unit}"))
}

#[test]
fn what_is_taken_is_told() {
    let band = Regex::new(r"Accepted: (\S+(?: [°%A-Za-z]+)?) to ([^;(]+?)(?: \(|;)").unwrap();
    let (mut wrong, mut tried) = (Vec::new(), 0);
    for (kind, way, place) in everywhere() {
        let told = place.get("description").and_then(Json::as_str);
        let Some(found) = told.and_then(|told| band.captures(told)) else {
            continue;
        };
        tried += 1;
        let (least, most) = (&found[1], &found[2]);
        let slip = |text: &str| is_slip(kind, &with(of(kind), &way, json!(text)));
        for end in [least, most] {
            if slip(end) {
                wrong.push(format!("{kind:?} {way:?}: {end} is refused"));
            }
        }
        for further in [beyond(least, -1.0), beyond(most, 1.0)] {
            let taken = further.filter(|further| !slip(further));
            wrong.extend(taken.map(|further| format!("{kind:?} {way:?}: {further} is taken")));
        }
    }
    none(wrong);
    assert!(tried > 50, "{tried}");
}
