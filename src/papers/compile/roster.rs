//! A roster as the papers of fusers take it: decoded, judged, and its text checked.

use chrono::NaiveDate;

use super::check_roster_text;
use crate::core::finding::{self, Finding};
use crate::core::source::Source;
use crate::people::fusers::{self, Choice, Roster, Rules};
use crate::published::library;

/// The roster, its rule sets, and all findings. Rule sets that are chosen govern.
pub(crate) fn read_roster(
    source: &Source,
    is_csv: bool,
    chosen: &[Choice],
    as_of: NaiveDate,
) -> (Roster, Rules, Vec<Finding>) {
    let (roster, mut findings) = if is_csv {
        fusers::decode_csv(&source.text)
    } else {
        fusers::decode_yaml(&source.text)
    };
    let mut rules = roster.rules.clone();
    for choice in chosen {
        rules.choose(choice.clone());
    }
    findings.extend(check_roster_text(source, is_csv));
    if findings.is_empty() {
        findings = fusers::review(&roster, &rules, library(), as_of);
    }
    finding::sort(&mut findings);
    (roster, rules, findings)
}
