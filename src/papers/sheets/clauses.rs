//! Renders clauses in a language: one file of texts per language, minijinja
//! over the quantities each clause carries. Text from a spec reaches typst as
//! JSON strings only, so nothing a user writes is ever markup. Tests find a
//! text that is missing, left over, or uses a quantity its clause does not
//! have.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use minijinja::{Environment, UndefinedBehavior, Value};

use super::clause::Clause;
use super::house_clauses::HouseClauses;
use super::statements::Statements;
use crate::core::units::print::marked;
use crate::procedure::resolve::trade_quantity;
use crate::published::Entry;
pub use crate::spec::language::Language;

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
        // Marks a number in a text of ours.
        environment.add_filter("number", |number: String| marked(&number));
        Self {
            // The texts are part of the program, and a test renders every one.
            texts: serde_json::from_str(language.clauses())
                .unwrap_or_else(|error| panic!("the clauses cannot be read: {error}")),
            statements: Statements::load(language),
            environment,
            house: None,
        }
    }

    /// The texts of a language, with a house style's replacements.
    pub(crate) fn in_house(language: Language, house: HouseClauses) -> Clauses {
        let own = Self::load(language);
        Self {
            texts: own.texts.clone(),
            statements: own.statements,
            environment: own.environment.clone(),
            house: Some(house),
        }
    }

    /// The program's template text of a clause.
    pub(crate) fn own_text(&self, key: &str) -> Option<&str> {
        self.texts.get(key).map(String::as_str)
    }

    /// The house style's clauses, if any.
    pub(crate) fn house(&self) -> Option<&HouseClauses> {
        self.house.as_ref()
    }

    /// The statement in an entry, if it is one.
    pub(crate) fn statement<'a>(&'a self, entry: &'a Entry) -> Option<&'a str> {
        Some(self.statements.statement(&entry.id, entry.text()?))
    }

    /// The language of an entry's statement, if it is not that of the clauses.
    pub(crate) fn statement_lang(&self, entry: &Entry) -> Option<Language> {
        self.statements.language(&entry.id, entry.text()?)
    }

    /// The trade name of an entry: `heating 3/4 IPS`.
    pub(crate) fn trade_name(&self, entry: &Entry) -> String {
        let quantity = self.trade_quantity(entry);
        match entry.size {
            Some(size) => format!("{quantity} {size}"),
            None => quantity,
        }
    }

    /// The trade name of an entry's quantity: `heating`.
    pub(crate) fn trade_quantity(&self, entry: &Entry) -> String {
        self.statements.quantity(trade_quantity(entry))
    }

    /// The note on an entry.
    pub(crate) fn note<'a>(&'a self, entry: &'a Entry) -> Option<&'a str> {
        let note = entry.note.as_deref()?;
        Some(self.statements.note(&entry.id, note))
    }

    /// The source of an entry, or how it was derived.
    pub(crate) fn source(&self, source: &str) -> String {
        self.statements.source(source)
    }

    /// Renders a clause.
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
    use std::path::Path;

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

    /// Keys of the clauses whose translation somebody has reviewed against
    /// today's English, separated by commas, or `all`.
    const READ_AGAIN: &str = "COLDRING_READ_AGAIN";

    /// A short digest of each clause's English text.
    fn english() -> BTreeMap<String, String> {
        let digest = |text: &str| crate::core::digest::sha256(text.as_bytes())[..8].to_owned();
        let texts = Clauses::load(Language::En).texts.iter();
        texts
            .map(|(key, text)| (key.clone(), digest(text)))
            .collect()
    }

    #[test]
    fn every_clause_was_made_from_the_english_text_of_today() {
        let english = english();
        for language in Language::all().filter(|l| *l != Language::En) {
            let name = format!("templates/clauses/{}.made-from.yaml", language.tag());
            let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(&name);
            let file = std::fs::read_to_string(&path).unwrap();
            let mut made: BTreeMap<String, String> = serde_yaml::from_str(&file).unwrap();
            if let Ok(keys) = std::env::var(READ_AGAIN) {
                let read = |key: &str| keys == "all" || keys.split(',').any(|k| k == key);
                made.retain(|key, _| english.contains_key(key));
                let read = english.iter().filter(|(key, _)| read(key));
                made.extend(read.map(|(key, digest)| (key.clone(), digest.clone())));
                let head = file.lines().take_while(|line| line.starts_with('#'));
                let mut lines: Vec<_> = head.map(str::to_owned).collect();
                lines.extend(made.iter().map(|(key, of)| format!("{key}: \"{of}\"")));
                std::fs::write(&path, lines.join("\n") + "\n").unwrap();
            }
            let changed: Vec<_> = english
                .iter()
                .filter(|(key, digest)| made.get(*key) != Some(digest))
                .map(|(key, _)| key.as_str())
                .collect();
            let left_over: Vec<_> = made.keys().filter(|k| !english.contains_key(*k)).collect();
            assert!(
                changed.is_empty() && left_over.is_empty(),
                "{name}: made from an earlier English text, to be read again: {}; of no clause: \
                 {left_over:?}. When they say the same once more, run this test with \
                 {READ_AGAIN}={}",
                changed.join(" "),
                changed.join(",")
            );
        }
    }

    /// The numbers and program options in a text, without its quantities.
    fn fixed(text: &str) -> Vec<String> {
        let own = text.split("{{").map(|part| part.rsplit("}}").next());
        let mut found: Vec<_> = own
            .flatten()
            .flat_map(|part| part.split(|c: char| !c.is_ascii_alphanumeric() && c != '-'))
            .map(|word| word.trim_end_matches('-'))
            .filter(|word| word.starts_with("--") || word.starts_with(|c: char| c.is_ascii_digit()))
            .map(str::to_owned)
            .collect();
        found.sort();
        found
    }

    #[test]
    fn every_language_has_the_numbers_and_options_of_the_english() {
        assert_eq!(fixed("{{ 7 }}: 4 in, --measured-x."), ["--measured-x", "4"]);
        let english = Clauses::load(Language::En);
        for language in Language::all() {
            for (key, text) in &Clauses::load(language).texts {
                let known = english.texts.get(key).map(|text| fixed(text));
                assert_eq!(Some(fixed(text)), known, "{}: {key}", language.tag());
            }
        }
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
