//! Writes the days on which qualifications end as an iCalendar file (RFC 5545).
//!
//! The same roster and day give the same bytes. Entries are identified by badge and
//! procedure, so importing a later file moves them.

use chrono::{Days, NaiveDate};

use super::standing::Standing;
use crate::core::digest;

/// Maximum length of a line in bytes, without its end.
const LONGEST_LINE: usize = 75;

/// A calendar with an all-day entry on the last day of every current qualification, and a
/// reminder `remind` days before.
pub fn calendar(standings: &[Standing<'_>], remind: u32, as_of: NaiveDate) -> String {
    let mut file = File::default();
    for (name, value) in [
        ("BEGIN", "VCALENDAR"),
        ("VERSION", "2.0"),
        ("PRODID", "-//coldring//fusers//EN"),
        ("CALSCALE", "GREGORIAN"),
    ] {
        file.line(name, value);
    }
    for standing in standings.iter().filter(|standing| standing.qualified()) {
        if let Some((procedure, until)) = standing.procedure().zip(standing.valid_until) {
            event(&mut file, standing, procedure, until, remind, as_of);
        }
    }
    file.line("END", "VCALENDAR");
    file.text
}

fn event(
    file: &mut File,
    standing: &Standing<'_>,
    procedure: &str,
    until: NaiveDate,
    remind: u32,
    as_of: NaiveDate,
) {
    let day = |date: NaiveDate| date.format("%Y%m%d").to_string();
    let (name, badge) = (&standing.fuser.name.value, &standing.fuser.badge.value);
    let summary = format!("{name} ({badge}): last day of qualification under {procedure}");
    let description = format!(
        "{}. Rule: {}, {} ({}). As of {as_of}.",
        standing.reason,
        standing.rule.map_or("", |rule| rule.word()),
        standing.source,
        standing.basis.word()
    );
    file.line("BEGIN", "VEVENT");
    file.line("UID", &uid(badge, procedure));
    file.line("DTSTAMP", &format!("{}T000000Z", day(as_of)));
    file.line("DTSTART;VALUE=DATE", &day(until));
    let next = until.checked_add_days(Days::new(1)).unwrap_or(until);
    file.line("DTEND;VALUE=DATE", &day(next));
    file.text("SUMMARY", &summary);
    file.text("DESCRIPTION", &description);
    // The entry does not block the day.
    file.line("CLASS", "PRIVATE");
    file.line("TRANSP", "TRANSPARENT");
    file.line("BEGIN", "VALARM");
    file.line("ACTION", "DISPLAY");
    file.line("TRIGGER", &format!("-P{remind}D"));
    file.text("DESCRIPTION", &summary);
    file.line("END", "VALARM");
    file.line("END", "VEVENT");
}

/// The stable ID of an entry; it does not reveal the badge.
fn uid(badge: &str, procedure: &str) -> String {
    let digest = digest::sha256(format!("{badge}\0{procedure}").as_bytes());
    format!("{}@fusers.coldring", digest.get(..32).unwrap_or(&digest))
}

/// A calendar file being written.
#[derive(Default)]
struct File {
    text: String,
}

impl File {
    /// Adds a property with a text value, escaped.
    fn text(&mut self, name: &str, value: &str) {
        let escaped = value
            .replace('\\', "\\\\")
            .replace(';', "\\;")
            .replace(',', "\\,")
            .replace('\n', "\\n");
        self.line(name, &escaped);
    }

    /// Adds a property, folded to the line length without cutting a character.
    fn line(&mut self, name: &str, value: &str) {
        let mut width = 0;
        for c in name.chars().chain([':']).chain(value.chars()) {
            if width + c.len_utf8() > LONGEST_LINE {
                self.text.push_str("\r\n ");
                width = 1;
            }
            self.text.push(c);
            width += c.len_utf8();
        }
        self.text.push_str("\r\n");
    }
}
