//! Rule sets: how long a person stays qualified. A rule set is chosen, never guessed; its
//! periods and sources are in the table `fuser-rules`.

use chrono::{Datelike, Months, NaiveDate};

use crate::core::source::{Span, Spanned};
use crate::published::{Basis, Entry, Library};
use crate::spec::declare::kinds::{counting_number, plain, procedure_number, text_like};
use crate::spec::declare::{group, required};
use crate::spec::plausible;

/// Longest period of an organization's own rule set, in months; more is a typing error.
pub(crate) const LONGEST_OWN: u32 = 120;

/// A rule set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum RuleSet {
    /// 49 CFR 192.285(c), for gas in the United States.
    UsGas,
    /// Lapses after six months without use.
    SixMonthsWithoutUse,
    /// A two-year certificate that the employer confirms every six months.
    TwoYearCertificate,
    /// The organization's own: a number of months from the specimen.
    Own {
        /// Number of months.
        months: u32,
        /// Source of the organization's decision.
        source: String,
    },
}

/// Words for the rule sets without further fields.
pub(crate) const PUBLISHED: &[(&str, RuleSet)] = &[
    (US_GAS, RuleSet::UsGas),
    (SIX_MONTHS, RuleSet::SixMonthsWithoutUse),
    (TWO_YEARS, RuleSet::TwoYearCertificate),
];
/// Word for the organization's own rule set.
pub(crate) const OWN: &str = "own";
/// All words.
pub(crate) const WORDS: [&str; 4] = [US_GAS, SIX_MONTHS, TWO_YEARS, OWN];

const US_GAS: &str = "us-gas";
const SIX_MONTHS: &str = "six-months-without-use";
const TWO_YEARS: &str = "two-year-certificate";

impl RuleSet {
    pub(crate) fn word(&self) -> &'static str {
        match self {
            RuleSet::UsGas => US_GAS,
            RuleSet::SixMonthsWithoutUse => SIX_MONTHS,
            RuleSet::TwoYearCertificate => TWO_YEARS,
            RuleSet::Own { .. } => OWN,
        }
    }

    /// The published statement behind it; `None` for the organization's own.
    pub(crate) fn basis_entry<'l>(&self, limits: &'l Library) -> Option<&'l Entry> {
        row(limits, self.word(), "text")
    }

    /// Its source and basis.
    pub(crate) fn source<'a>(&'a self, limits: &'a Library) -> (&'a str, Basis) {
        match (self, self.basis_entry(limits)) {
            (RuleSet::Own { source, .. }, _) => (source, Basis::Organization),
            (_, Some(entry)) => (&entry.source, entry.basis),
            (_, None) => ("", Basis::NotFound),
        }
    }
}

/// A cell of the table `fuser-rules`.
pub(super) fn row<'l>(limits: &'l Library, key: &str, column: &str) -> Option<&'l Entry> {
    limits.entry(&format!("fuser-rules:{key}:{column}"))
}

/// A period from the table in calendar months: `15 months`, `2 years`.
pub(crate) fn period(limits: &Library, key: &str) -> Option<Months> {
    let (count, unit) = row(limits, key, "period")?.text()?.split_once(' ')?;
    let count: u32 = count.parse().ok()?;
    match unit {
        "months" => Some(Months::new(count)),
        "years" => count.checked_mul(12).map(Months::new),
        _ => None,
    }
}

/// The same day `by` calendar months later, or the last day of that month.
pub(super) fn later(date: NaiveDate, by: Months) -> NaiveDate {
    date.checked_add_months(by).unwrap_or(NaiveDate::MAX)
}

/// December 31 of the year after that of `date`.
pub(super) fn end_of_next_year(date: NaiveDate) -> NaiveDate {
    NaiveDate::from_ymd_opt(date.year().saturating_add(1), 12, 31).unwrap_or(NaiveDate::MAX)
}

/// Assigns rule sets to procedures.
#[derive(Debug, Clone, Default)]
pub struct Rules {
    choices: Vec<Choice>,
    held: Vec<HeldRevision>,
}

group! {
    /// An organization's own word that specimens made by one revision of a procedure
    /// hold for a later one.
    pub struct HeldRevision {
        /// The number of the procedure.
        procedure: Spanned<String> = required(procedure_number()),
        /// The revision that the specimens were made by.
        made_by: Spanned<u32> = required(counting_number(&plausible::REVISION)),
        /// The later revision that they hold for too.
        holds_for: Spanned<u32> = required(counting_number(&plausible::REVISION)),
        /// Where your organization says so.
        source: String = required(plain(text_like("Operations Manual 7.9"))),
    }
}

/// The choice of a rule set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// The procedure; `None` for every procedure without its own choice.
    pub procedure: Option<String>,
    /// The rule set.
    pub rule: RuleSet,
    /// Place in the roster; `None` on the command line.
    pub span: Option<Span>,
}

impl Rules {
    /// Adds a choice, replacing one for the same procedure.
    pub fn choose(&mut self, choice: Choice) {
        self.choices.retain(|c| c.procedure != choice.procedure);
        self.choices.push(choice);
    }

    /// The rule set for a procedure, if one is chosen.
    pub(crate) fn for_procedure(&self, procedure: &str) -> Option<&RuleSet> {
        let choice_for = |wanted: Option<&str>| {
            let mut choices = self.choices.iter();
            choices.find(|choice| choice.procedure.as_deref() == wanted)
        };
        choice_for(Some(procedure))
            .or_else(|| choice_for(None))
            .map(|c| &c.rule)
    }

    /// Adds a decision that specimens of an earlier revision hold for a later one.
    pub(super) fn add_held_revision(&mut self, held: HeldRevision) {
        self.held.push(held);
    }

    /// Decisions on specimens of earlier revisions.
    pub(crate) fn held(&self) -> &[HeldRevision] {
        &self.held
    }

    /// Every choice.
    pub(crate) fn choices(&self) -> &[Choice] {
        &self.choices
    }
}

impl Choice {
    /// Reads a choice from the command line: `us-gas`, `HC-SF-104=us-gas`, or
    /// `own:12:HC Operations Manual 7.9`.
    ///
    /// # Errors
    /// What to write, in words.
    pub fn parse(text: &str) -> Result<Self, String> {
        let (procedure, rule) = match text.split_once('=') {
            // The source of an own rule set may contain `=`.
            Some((procedure, rule)) if !procedure.contains(':') => (Some(procedure.trim()), rule),
            _ => (None, text),
        };
        if procedure == Some("") {
            return Err("write the procedure before the =, as in AF-JP-12=us-gas".to_owned());
        }
        Ok(Self {
            procedure: procedure.map(str::to_owned),
            rule: rule_set(rule.trim())?,
            span: None,
        })
    }

    /// A choice in a roster, for one procedure or for all.
    pub(super) fn from_roster(
        procedure: Option<&Spanned<String>>,
        rule: RuleSet,
        span: Span,
    ) -> Self {
        Self {
            procedure: procedure.map(|procedure| procedure.value.clone()),
            rule,
            span: Some(span),
        }
    }
}

fn rule_set(text: &str) -> Result<RuleSet, String> {
    if let Some((_, rule)) = PUBLISHED.iter().find(|(word, _)| *word == text) {
        return Ok(rule.clone());
    }
    let Some(own) = text.strip_prefix("own:") else {
        return Err(format!(
            "use one of: {}; an organization's own is written own:12:SOURCE, with its months",
            WORDS.join(", ")
        ));
    };
    let (months, source) = own.split_once(':').unwrap_or((own, ""));
    let months = months.trim().parse().unwrap_or(0);
    if !(1..=LONGEST_OWN).contains(&months) {
        return Err(format!(
            "the months are a whole number from 1 to {LONGEST_OWN}"
        ));
    }
    let source = source.trim();
    if source.is_empty() || source.chars().any(char::is_control) {
        return Err("say where the rule stands, as in own:12:Operations Manual 7.9".to_owned());
    }
    Ok(RuleSet::Own {
        months,
        source: source.to_owned(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::published::library;

    #[test]
    fn every_published_rule_set_has_its_row_and_its_period() {
        for (word, rule) in PUBLISHED {
            assert_eq!(rule.word(), *word);
            assert!(rule.basis_entry(library()).is_some(), "{word}");
            assert!(!rule.source(library()).0.is_empty(), "{word}");
        }
        let months = |key| period(library(), key);
        assert_eq!(months("us-gas"), Some(Months::new(15)));
        assert_eq!(months("six-months-without-use"), Some(Months::new(6)));
        assert_eq!(months("two-year-certificate"), Some(Months::new(24)));
        assert_eq!(months("certificate-confirmation"), Some(Months::new(6)));
        for key in ["failed-joint", "failed-specimen"] {
            assert!(row(library(), key, "text").is_some(), "{key}");
        }
    }

    #[test]
    fn choices_of_the_command_line() {
        let own = |months, source: &str| RuleSet::Own {
            months,
            source: source.to_owned(),
        };
        for (text, procedure, rule) in [
            ("us-gas", None, RuleSet::UsGas),
            ("A-1=us-gas", Some("A-1"), RuleSet::UsGas),
            ("own:12:Manual a=b", None, own(12, "Manual a=b")),
            ("A-1=own:1:M: 7", Some("A-1"), own(1, "M: 7")),
            ("own:120:M", None, own(120, "M")),
        ] {
            let choice = Choice::parse(text).unwrap();
            assert_eq!(
                (choice.procedure.as_deref(), choice.rule),
                (procedure, rule)
            );
        }
        for text in [
            "",
            "usgas",
            "own",
            "own:",
            "own:0:M",
            "own:121:M",
            "own:12",
            "own:12: ",
            "=us-gas",
            "A-1=",
            "own:-1:M",
        ] {
            assert!(Choice::parse(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_choice_for_a_procedure_comes_before_the_default() {
        let mut rules = Rules::default();
        assert_eq!(rules.for_procedure("A"), None);
        rules.choose(Choice::parse("us-gas").unwrap());
        rules.choose(Choice::parse("A=two-year-certificate").unwrap());
        assert_eq!(rules.for_procedure("A"), Some(&RuleSet::TwoYearCertificate));
        assert_eq!(rules.for_procedure("B"), Some(&RuleSet::UsGas));
        rules.choose(Choice::parse("A=six-months-without-use").unwrap());
        assert_eq!(
            rules.for_procedure("A"),
            Some(&RuleSet::SixMonthsWithoutUse)
        );
        assert_eq!(rules.choices().len(), 2);
    }
}
