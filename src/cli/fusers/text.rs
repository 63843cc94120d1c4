//! The list of fusers for people: procedure by procedure, who is qualified, who
//! is due soon, and who is not, each with the day and the reason.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use crate::people::fusers::{self, Rules, Standing};
use crate::published::{Basis, library};

pub(crate) fn list(
    file: &str,
    standings: &[Standing<'_>],
    rules: &Rules,
    due_within: u32,
    as_of: NaiveDate,
) -> String {
    let mut text = format!("{file} as of {as_of}\n");
    let procedures: BTreeSet<_> = standings.iter().map(Standing::procedure).collect();
    // Fusers with nothing on record come last.
    let (none, some): (Vec<_>, Vec<_>) = procedures.into_iter().partition(Option::is_none);
    for procedure in some.into_iter().chain(none) {
        let rows: Vec<_> = standings
            .iter()
            .filter(|standing| standing.procedure() == procedure)
            .collect();
        text.push_str(&format!("\n{}\n", heading(procedure, &rows)));
        text.push_str(&held_revisions(procedure, rules));
        let (qualified, not): (Vec<_>, Vec<_>) = rows.into_iter().partition(|s| s.qualified());
        // The roster does not say which sizes a procedure has, so a fuser who passed in
        // some of them may lack others.
        let (all, some): (Vec<_>, Vec<_>) =
            qualified.into_iter().partition(|s| s.sizes().is_empty());
        for (which, standings) in [("", all), (" in the sizes named only", some)] {
            let (due, current): (Vec<_>, Vec<_>) = standings
                .into_iter()
                .partition(|s| s.due_within(due_within, as_of));
            let soon = format!("qualified{which}, due within {due_within} days");
            text.push_str(&section(&format!("qualified{which}"), &current, as_of));
            text.push_str(&section(&soon, &due, as_of));
        }
        text.push_str(&section("not qualified", &not, as_of));
    }
    text.push_str(
        "\nAccording to the roster and rule sets above. Dates shown are the last day of \
        validity. A specimen\ncounts for the revision it was made by; `coldring cards` checks \
        whether it still counts for the\ncurrent revision. The list approves nobody. A qualified \
        person decides who may work.\n",
    );
    text
}

/// The procedure and the rule that decides, with its source.
fn heading(procedure: Option<&str>, standings: &[&Standing<'_>]) -> String {
    let Some(procedure) = procedure else {
        return "Nothing on record".to_owned();
    };
    match standings.first().and_then(|standing| standing.rule) {
        Some(rule) => {
            let (source, basis) = rule.source(library());
            let verify = if basis >= Basis::Recalled {
                ": verify"
            } else {
                ""
            };
            let (rule, basis) = (rule.word(), basis.word());
            format!("{procedure}, {rule}: {source} ({basis}{verify})")
        }
        None => procedure.to_owned(),
    }
}

/// What the organization has decided on specimens of earlier revisions, with its source.
fn held_revisions(procedure: Option<&str>, rules: &Rules) -> String {
    let of_procedure = rules
        .held()
        .iter()
        .filter(|held| Some(held.procedure.value.as_str()) == procedure);
    let lines = of_procedure.map(|held| {
        format!(
            "  a specimen made by revision {} counts for revision {}: {} (organization)\n",
            held.made_by.value, held.holds_for.value, held.source
        )
    });
    lines.collect()
}

fn section(title: &str, standings: &[&Standing<'_>], as_of: NaiveDate) -> String {
    if standings.is_empty() {
        return String::new();
    }
    let badges = standings.iter().map(|s| s.fuser.badge.chars().count());
    let names = standings.iter().map(|s| s.fuser.name.chars().count());
    let (badge, name) = (badges.max().unwrap_or(0), names.max().unwrap_or(0));
    let mut text = format!("  {title}: {}\n", standings.len());
    for standing in standings {
        let until = standing
            .valid_until
            .map_or_else(|| "-".to_owned(), |day| day.to_string());
        let left = match standing.days_left(as_of) {
            Some(1) => "1 day".to_owned(),
            Some(days) if standing.qualified() => format!("{days} days"),
            _ => String::new(),
        };
        let sizes = match standing.sizes() {
            [] => String::new(),
            sizes => format!("for {} and smaller: ", fusers::size_list(sizes)),
        };
        text.push_str(&format!(
            "    {:badge$}  {:name$}  {until:10}  {left:9}  {sizes}{}\n",
            standing.fuser.badge.value, standing.fuser.name.value, standing.reason
        ));
    }
    text
}
