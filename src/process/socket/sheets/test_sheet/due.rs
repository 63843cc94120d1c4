//! Until when a passed test holds, in the words of a rule set and with the periods of
//! its table. The day itself is written in by hand.

use chrono::Months;
use serde::Serialize;

use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::procedure::writer::Writer;
use crate::people::fusers::{RuleSet, period};
use crate::published::Basis;

#[derive(Debug, Clone, Serialize)]
pub(crate) struct Due {
    pub(crate) label: String,
    /// How the date is found.
    pub(crate) rule: String,
    /// Whether the periods of the rule are recalled.
    pub(crate) verify: bool,
}

pub(super) fn due(w: &Writer, rule: Option<&RuleSet>) -> Due {
    let (text, verify) = match rule.and_then(|rule| Some((rule, last_day(w, rule)?))) {
        None => (Clause::TestDueOpen, false),
        Some((rule, text)) => {
            let (source, basis) = rule.source(w.limits);
            let stated = Clause::RecordCriterionWithSource {
                text: w.say(text),
                source: w.words.source(source),
            };
            (stated, basis >= Basis::Recalled)
        }
    };
    Due {
        label: w.say(Clause::TestDue),
        rule: w.say(text),
        verify,
    }
}

/// The last day under a rule set.
fn last_day(w: &Writer, rule: &RuleSet) -> Option<Clause> {
    let months = |key| months(w, key);
    Some(match rule {
        RuleSet::UsGas => Clause::TestDueGas {
            months: months(rule.word())?,
        },
        RuleSet::SixMonthsWithoutUse => Clause::TestDueUse {
            months: months(rule.word())?,
        },
        RuleSet::TwoYearCertificate => Clause::TestDueCertificate {
            months: months(rule.word())?,
            step: months("certificate-confirmation")?,
        },
        RuleSet::Own { months, .. } => Clause::TestDueOwn {
            months: months.to_string(),
        },
    })
}

fn months(w: &Writer, key: &str) -> Option<String> {
    period(w.limits, key).map(|months: Months| months.as_u32().to_string())
}

/// The reason for a test that lies in a time without use, unless the rule set knows of
/// none.
pub(super) fn lapse(w: &Writer, rule: Option<&RuleSet>) -> Option<Clause> {
    match rule {
        None => Some(Clause::TestLapsed),
        Some(RuleSet::SixMonthsWithoutUse) => Some(Clause::TestLapsedMonths {
            months: months(w, RuleSet::SixMonthsWithoutUse.word())?,
        }),
        Some(RuleSet::UsGas | RuleSet::TwoYearCertificate | RuleSet::Own { .. }) => None,
    }
}
