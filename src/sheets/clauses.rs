//! Words clauses in a language: a file of texts per language, minijinja over the
//! quantities each clause carries. A test finds a text that is missing, left
//! over, or words a quantity that its clause does not have.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use minijinja::{Environment, UndefinedBehavior, Value};

use super::clause::Clause;
use super::house::HouseClauses;
use super::statements::Statements;
pub use crate::language::Language;
use crate::limits::Figure;
use crate::units::print::marked;

/// The texts of one language.
#[derive(Debug)]
pub struct Clauses {
    texts: BTreeMap<String, String>,
    statements: &'static Statements,
    environment: Environment<'static>,
    house: Option<HouseClauses>,
}

impl Clauses {
    /// The texts of a language.
    pub fn load(language: Language) -> &'static Clauses {
        static EN: LazyLock<Clauses> = LazyLock::new(|| Clauses::read(Language::En));
        static ES: LazyLock<Clauses> = LazyLock::new(|| Clauses::read(Language::Es));
        match language {
            Language::En => &EN,
            Language::Es => &ES,
        }
    }

    fn read(language: Language) -> Self {
        let mut environment = Environment::new();
        environment.set_undefined_behavior(UndefinedBehavior::Strict);
        // A number within a text of ours.
        environment.add_filter("number", |number: String| marked(&number));
        Self {
            // The texts are part of the program and a test renders every one.
            texts: serde_yaml::from_str(language.clauses())
                .unwrap_or_else(|error| panic!("the clauses cannot be read: {error}")),
            statements: Statements::load(language),
            environment,
            house: None,
        }
    }

    /// The texts of a language, some of them in the words of a house.
    pub fn in_house(language: Language, house: HouseClauses) -> Clauses {
        let own = Self::load(language);
        Self {
            texts: own.texts.clone(),
            statements: own.statements,
            environment: own.environment.clone(),
            house: Some(house),
        }
    }

    /// The words of the house, where there are any.
    pub fn house(&self) -> Option<&HouseClauses> {
        self.house.as_ref()
    }

    /// The statement of a figure; none where the figure is none.
    pub fn statement<'a>(&'a self, figure: &'a Figure) -> Option<&'a str> {
        Some(self.statements.statement(&figure.id, figure.text()?))
    }

    /// What else to know about a figure.
    pub fn note<'a>(&'a self, figure: &'a Figure) -> Option<&'a str> {
        let note = figure.note.as_deref()?;
        Some(self.statements.note(&figure.id, note))
    }

    /// Where a figure was read, or how it was derived.
    pub fn source(&self, source: &str) -> String {
        self.statements.source(source)
    }

    /// Words a clause.
    pub fn render(&self, clause: Clause) -> String {
        let (key, quantities) = clause.parts();
        let quantities = Value::from(quantities);
        let house = self.house.as_ref();
        if let Some(words) = house.and_then(|house| house.render(key, &quantities)) {
            return words;
        }
        self.texts
            .get(key)
            .ok_or_else(|| format!("clause {key}: no text"))
            .and_then(|text| {
                self.environment
                    .render_str(text, quantities)
                    .map_err(|error| format!("clause {key}: {error}"))
            })
            .unwrap_or_else(|error| panic!("{error}"))
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_language_words_every_clause_over_its_quantities() {
        for language in Language::all() {
            words_every_clause(language);
        }
    }

    fn words_every_clause(language: Language) {
        let clauses = Clauses::load(language);
        let mut missing = Vec::new();
        let mut wrong = Vec::new();
        let mut declared = BTreeSet::new();
        for (key, quantities) in Clause::ALL {
            assert!(declared.insert(*key), "{key} is declared twice");
            let Some(text) = clauses.texts.get(*key) else {
                missing.push(*key);
                continue;
            };
            let template = clauses.environment.template_from_str(text).unwrap();
            let used: BTreeSet<_> = template.undeclared_variables(false).into_iter().collect();
            let given: BTreeSet<_> = quantities.iter().map(ToString::to_string).collect();
            if used != given {
                wrong.push(format!("{key}: words {used:?}, has {given:?}"));
                continue;
            }
            let values: BTreeMap<_, _> = quantities.iter().map(|name| (*name, "?")).collect();
            assert!(
                !template
                    .render(Value::from(values))
                    .unwrap()
                    .trim()
                    .is_empty(),
                "{}: {key} is empty",
                language.tag()
            );
        }
        let texts: BTreeSet<_> = clauses.texts.keys().map(String::as_str).collect();
        let left_over: Vec<_> = texts.difference(&declared).collect();
        assert!(
            missing.is_empty() && wrong.is_empty() && left_over.is_empty(),
            "{}: missing {missing:?}; wrong quantities {wrong:?}; left over {left_over:?}",
            language.tag()
        );
    }

    #[test]
    fn what_a_user_writes_is_never_a_template() {
        let words = Clauses::load(Language::En);
        let hostile = "{{ 7 * 7 }} {% raw %} <b>&";
        let shown = words.render(Clause::VerifyText {
            text: hostile.to_owned(),
        });
        assert!(shown.contains(hostile), "{shown}");
    }
}
