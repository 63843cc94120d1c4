//! Words clauses in a language: a file of texts per language, minijinja over the
//! quantities each clause carries. A test finds a text that is missing, left
//! over, or words a quantity that its clause does not have.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use minijinja::{Environment, UndefinedBehavior, Value};
use serde::Serialize;

use super::clause::Clause;
use super::house::HouseClauses;

/// A language the papers can be set in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Language {
    /// US English.
    En,
}

/// The texts of one language.
#[derive(Debug)]
pub struct Clauses {
    texts: BTreeMap<String, String>,
    environment: Environment<'static>,
    house: Option<HouseClauses>,
}

impl Clauses {
    /// The texts of a language.
    pub fn load(language: Language) -> &'static Clauses {
        static EN: LazyLock<Clauses> =
            LazyLock::new(|| Clauses::read(include_str!("../../templates/clauses/en.yaml")));
        match language {
            Language::En => &EN,
        }
    }

    fn read(file: &str) -> Self {
        let mut environment = Environment::new();
        environment.set_undefined_behavior(UndefinedBehavior::Strict);
        Self {
            // The texts are part of the program and a test renders every one.
            texts: serde_yaml::from_str(file)
                .unwrap_or_else(|error| panic!("the clauses cannot be read: {error}")),
            environment,
            house: None,
        }
    }

    /// The texts of a language, some of them in the words of a house.
    pub fn in_house(language: Language, house: HouseClauses) -> Clauses {
        let own = Self::load(language);
        Self {
            texts: own.texts.clone(),
            environment: own.environment.clone(),
            house: Some(house),
        }
    }

    /// The words of the house, where there are any.
    pub fn house(&self) -> Option<&HouseClauses> {
        self.house.as_ref()
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
        let clauses = Clauses::load(Language::En);
        let mut declared = BTreeSet::new();
        for (key, quantities) in Clause::ALL {
            assert!(declared.insert(*key), "{key} is declared twice");
            let text = clauses
                .texts
                .get(*key)
                .unwrap_or_else(|| panic!("{key} has no text"));
            let template = clauses.environment.template_from_str(text).unwrap();
            let used: BTreeSet<_> = template.undeclared_variables(false).into_iter().collect();
            let given: BTreeSet<_> = quantities.iter().map(ToString::to_string).collect();
            assert_eq!(used, given, "{key}");
            let values: BTreeMap<_, _> = quantities.iter().map(|name| (*name, "?")).collect();
            assert!(
                !template
                    .render(Value::from(values))
                    .unwrap()
                    .trim()
                    .is_empty(),
                "{key} is empty"
            );
        }
        let texts: BTreeSet<_> = clauses.texts.keys().map(String::as_str).collect();
        assert_eq!(texts, declared);
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
