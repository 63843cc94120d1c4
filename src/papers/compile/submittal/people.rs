//! The fuser list of a submittal: who on the roster is listed, and the findings
//! about them.

use std::collections::{BTreeSet, HashMap};

use chrono::NaiveDate;

use super::Binder;
use super::faults::not_read;
use crate::core::finding::{Finding, Severity};
use crate::core::source::{Source, Unavailable};
use crate::papers::compile::{Checked, read_roster};
use crate::papers::sheets::{self, ListedFuser};
use crate::people::fusers::{self, Roster, Rules, Standing};
use crate::people::submittal::{NamedRoster, rules};
use crate::published::library;
use crate::spec::nearest;

/// Most badges named in one finding.
const MAX_NAMED: usize = 5;

impl Binder {
    /// Lists who is qualified for the procedures added so far.
    pub(super) fn fusers(&mut self, named: &NamedRoster, given: &Result<Source, Unavailable>) {
        let source = match given {
            Ok(source) => source,
            Err(why) => return self.findings.push(not_read(&named.roster, why)),
        };
        let (roster, rules, found) = self.roster(named, source);
        let is_error = |finding: &Finding| finding.severity() == Severity::Error;
        if found.iter().any(is_error) {
            self.findings.push(
                rules::SUBMITTED_ROSTER_HAS_ERRORS
                    .at(
                        named.roster.span,
                        format!("the roster '{}' has errors", named.roster.value),
                    )
                    .help("fix what is said of it above"),
            );
            let checked = Checked {
                identity: None,
                spec_digest: String::new(),
                findings: found,
            };
            self.file_findings.push((source.clone().into(), checked));
            return;
        }
        self.unknown_badges(named, &roster);
        let standings = fusers::evaluate(&roster, &rules, library(), self.as_of);
        let standings: Vec<_> = standings
            .iter()
            .map(|standing| self.under_revision(standing, &rules))
            .collect();
        let listed = self.listed(named, &roster, &standings);
        let found = not_qualified(named, &listed, &self.numbers, self.as_of);
        let item = sheets::fusers_item(self.words, &listed, &rules, self.as_of);
        self.findings.extend(found);
        self.items.push(item);
    }

    /// The standing under the submitted revision.
    fn under_revision<'r>(&self, standing: &Standing<'r>, rules: &Rules) -> Standing<'r> {
        let mut numbers = self.numbers.iter();
        let place = numbers.position(|number| standing.procedure() == Some(number));
        match place.and_then(|place| self.revisions.get(place)) {
            Some(revisions) => fusers::for_revision(standing, revisions, rules),
            None => standing.clone(),
        }
    }

    /// One row per fuser and procedure, in roster order. Fusers that the
    /// submittal names get a row for every procedure; otherwise those on record
    /// for it are listed.
    fn listed<'a>(
        &'a self,
        named: &NamedRoster,
        roster: &'a Roster,
        standings: &'a [Standing<'a>],
    ) -> Vec<ListedFuser<'a>> {
        let places: HashMap<(&str, &str), &Standing<'_>> = standings
            .iter()
            .filter_map(|s| Some(((s.fuser.badge.value.as_str(), s.procedure()?), s)))
            .collect();
        let badges: BTreeSet<&str> = named.badges.iter().map(|b| b.value.as_str()).collect();
        let mut listed = Vec::new();
        for fuser in &roster.fusers {
            let badge = fuser.badge.value.as_str();
            let is_named = badges.contains(badge);
            for procedure in &self.numbers {
                let standing = places.get(&(badge, procedure.as_str())).copied();
                if is_named || (badges.is_empty() && standing.is_some()) {
                    listed.push(ListedFuser {
                        fuser,
                        procedure,
                        standing,
                    });
                }
            }
        }
        listed
    }

    fn roster(&self, named: &NamedRoster, source: &Source) -> (Roster, Rules, Vec<Finding>) {
        let is_csv = fusers::is_csv(&source.name);
        read_roster(source, is_csv, &named.rules, self.as_of)
    }

    fn unknown_badges(&mut self, named: &NamedRoster, roster: &Roster) {
        let known: BTreeSet<&str> = roster
            .fusers
            .iter()
            .map(|f| f.badge.value.as_str())
            .collect();
        for badge in &named.badges {
            if known.contains(badge.value.as_str()) {
                continue;
            }
            let finding = rules::SUBMITTED_BADGE_UNKNOWN.at(
                badge.span,
                format!("badge {} is not on the roster", badge.value),
            );
            let candidates: Vec<&str> = known.iter().copied().collect();
            self.findings.push(match nearest(badge, &candidates) {
                Some(near) => finding.help(format!("did you mean {near}?")),
                None => finding,
            });
        }
    }
}

/// Reports who on the list is not qualified, and which procedures have nobody.
/// Findings name badges, never people.
fn not_qualified(
    named: &NamedRoster,
    listed: &[ListedFuser<'_>],
    procedures: &[String],
    day: NaiveDate,
) -> Vec<Finding> {
    let rule = &rules::SUBMITTED_FUSER_NOT_QUALIFIED;
    let mut findings = Vec::new();
    let describe = |row: &&ListedFuser<'_>| {
        let badge = &row.fuser.badge.value;
        format!("{badge} under {} ({})", row.procedure, row.state().word())
    };
    // A fuser who is qualified for one procedure need not be on record for
    // another.
    let qualified: BTreeSet<&str> = listed
        .iter()
        .filter(|row| row.qualified())
        .map(|row| row.fuser.badge.value.as_str())
        .collect();
    let is_news = |row: &&ListedFuser<'_>| {
        let elsewhere = qualified.contains(row.fuser.badge.value.as_str());
        !row.qualified() && (row.standing.is_some() || !elsewhere)
    };
    let not: Vec<_> = listed.iter().filter(is_news).collect();
    for badge in &named.badges {
        let of_badge = not
            .iter()
            .filter(|row| row.fuser.badge.value == badge.value);
        let of_badge: Vec<_> = of_badge.map(describe).collect();
        if !of_badge.is_empty() {
            let message = format!("not qualified on {day}: {}", of_badge.join(", "));
            findings.push(rule.at(badge.span, message));
        }
    }
    if named.badges.is_empty() && !not.is_empty() {
        let mut badges: Vec<_> = not.iter().take(MAX_NAMED).map(describe).collect();
        if not.len() > MAX_NAMED {
            badges.push(format!("{} more", not.len() - MAX_NAMED));
        }
        let message = format!("not qualified on {day}: {}", badges.join(", "));
        findings.push(rule.at(named.roster.span, message));
    }
    for number in procedures {
        let mut of_procedure = listed.iter().filter(|row| row.procedure == number);
        if !of_procedure.any(ListedFuser::qualified) {
            findings.push(rules::NO_FUSER_FOR_PROCEDURE.at(
                named.roster.span,
                format!("nobody on the list is qualified for {number} on {day}"),
            ));
        }
    }
    findings
}
