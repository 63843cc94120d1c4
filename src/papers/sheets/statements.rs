//! Translations of the statements in the published tables, by entry ID, each with
//! the English text it was made from.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Deserialize;

use crate::spec::language::Language;

/// The statements of one language; empty for the tables' own language.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Statements {
    statements: BTreeMap<String, Statement>,
    sources: BTreeMap<String, String>,
    quantities: BTreeMap<String, String>,
}

/// A translation and its original.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Statement {
    en: String,
    text: String,
}

impl Statements {
    /// The statements of a language.
    pub(crate) fn load(language: Language) -> &'static Statements {
        static TABLES: Statements = Statements {
            statements: BTreeMap::new(),
            sources: BTreeMap::new(),
            quantities: BTreeMap::new(),
        };
        static ES: LazyLock<Statements> = LazyLock::new(|| Statements::read(Language::Es));
        match language {
            Language::En => &TABLES,
            Language::Es => &ES,
        }
    }

    fn read(language: Language) -> Self {
        // The statements are part of the program, and a test reads every one.
        language.statements().map_or_else(Self::default, |file| {
            serde_json::from_str(file)
                .unwrap_or_else(|error| panic!("the statements cannot be read: {error}"))
        })
    }

    /// The note on the entry with this ID.
    pub(crate) fn note<'a>(&'a self, id: &str, english: &'a str) -> &'a str {
        let row = id.rsplit_once(':').map_or(id, |(row, _)| row);
        self.statement(&format!("{row}:note"), english)
    }

    /// The translation of this entry, if made from this English text. If the text
    /// differs, somebody confirmed it in an edition, and it is printed unchanged.
    pub(crate) fn statement<'a>(&'a self, id: &str, english: &'a str) -> &'a str {
        self.statements
            .get(id)
            .filter(|statement| statement.en == english)
            .map_or(english, |statement| &statement.text)
    }

    /// The language of this statement, if it is not translated because somebody
    /// confirmed it in the words of an edition.
    pub(crate) fn language(&self, id: &str, english: &str) -> Option<Language> {
        let stands = self.statement(id, english) == english;
        (stands && !self.statements.is_empty()).then_some(Language::En)
    }

    /// The trade's name of a quantity.
    pub(crate) fn quantity(&self, english: String) -> String {
        self.quantities.get(&english).cloned().unwrap_or(english)
    }

    /// A source in words. Plain citations and the author's own text are left
    /// unchanged; the parts of a source are separated by semicolons, and a part may
    /// have one itself, so the longest that is known goes first.
    pub(crate) fn source(&self, english: &str) -> String {
        let ends = english.rmatch_indices("; ").map(|(at, _)| at);
        for end in std::iter::once(english.len()).chain(ends) {
            let (part, rest) = english.split_at(end);
            if let Some(text) = self.sources.get(part) {
                return self.with_rest(text, rest);
            }
        }
        let (part, rest) = english.split_at(english.find("; ").unwrap_or(english.len()));
        self.with_rest(part, rest)
    }

    fn with_rest(&self, part: &str, rest: &str) -> String {
        match rest.strip_prefix("; ") {
            Some(rest) => format!("{part}; {}", self.source(rest)),
            None => part.to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::procedure::resolve::{recalled_in_use, trade_quantity};
    use crate::process::socket::practice::PRACTICES;
    use crate::published::{Basis, library};

    #[test]
    fn a_source_is_translated_part_by_part_although_a_part_has_a_semicolon() {
        let words = Statements::load(Language::Es);
        let read = "GOST R 50838-2009 (gas pipe; ISO 4437:2007, modified), Table 1";
        let own = "caliper, 2026-10-28; three fittings";
        let said = words.source(&format!(
            "{own}; {read}; read for another resin, taken over for PP"
        ));
        for english in ["gas pipe", "Table", "read for"] {
            assert!(!said.contains(english), "{said}");
        }
        assert!(said.starts_with(own), "{said}");
        assert_eq!(words.source(own), own);
    }

    /// The ID and English text of every statement that papers print.
    fn printed() -> BTreeMap<String, String> {
        let limits = library();
        let mut figures = Vec::new();
        for table in [
            "hazards",
            "acceptance",
            "rejection",
            "acceptance-rules",
            "joint-tests",
            "compatibility",
        ] {
            figures.extend(limits.texts(table, "text"));
        }
        for column in ["name", "why"] {
            figures.extend(limits.texts("essential-variables", column));
        }
        for column in ["name", "sides", "figures", "decision"] {
            figures.extend(limits.texts("conflicts", column));
        }
        for practice in PRACTICES {
            figures.extend(limits.cold_statements(practice));
            let extracts = limits.extracts(practice, true);
            figures.extend(extracts.into_iter().map(|(_, text)| text));
        }
        for id in [
            "practice:cold-trial:text",
            "practice:cold-trial-metric:text",
            "metric-temperatures:guide-values:text",
            "metric-temperatures:guide-values-ppr:text",
            "fuser-rules:smaller-size:text",
            "metric-temperatures:lowest-ambient-pe:text",
            "metric-range:machine-from:text",
            "us-range:holding-tool-from:text",
        ] {
            figures.extend(limits.entry(id));
        }
        let texts = figures.into_iter();
        let mut printed: BTreeMap<_, _> = texts
            .map(|entry| (entry.id.clone(), entry.text().unwrap().to_owned()))
            .collect();
        for id in [
            "compatibility:several-makers:text",
            "compatibility:tested-range:text",
            "fuser-rules:smaller-size:text",
            "us-depth:insertion-depth:text",
            "us-heater:warm-up:text",
            "wall-rules:us-maximum-ratio:text",
            "us-times:wait-before-pressure-test:time",
            "metric-depth:pp:text",
            "metric-ppr-cycles:hold:hold",
            "resins:PE3408:group",
        ] {
            let entry = limits.entry(id).unwrap();
            let (row, _) = id.rsplit_once(':').unwrap();
            printed.insert(format!("{row}:note"), entry.note.clone().unwrap());
        }
        printed
    }

    fn numbers(text: &str) -> Vec<&str> {
        let mut numbers: Vec<_> = text
            .split(|c: char| !c.is_ascii_digit())
            .filter(|number| !number.is_empty())
            .collect();
        numbers.sort_unstable();
        numbers
    }

    #[test]
    fn every_statement_that_a_paper_prints_is_in_every_language() {
        let printed = printed();
        assert!(printed.len() > 70);
        for language in Language::all().filter(|l| l.statements().is_some()) {
            let known = &Statements::load(language).statements;
            let missing: Vec<_> = printed
                .keys()
                .filter(|id| !known.contains_key(*id))
                .collect();
            let left_over: Vec<_> = known
                .keys()
                .filter(|id| !printed.contains_key(*id))
                .collect();
            let changed: Vec<_> = known
                .iter()
                .filter(|(id, known)| printed.get(*id).is_some_and(|en| *en != known.en))
                .map(|(id, _)| id)
                .collect();
            assert!(
                missing.is_empty() && left_over.is_empty() && changed.is_empty(),
                "{}: missing {missing:?}; of no paper {left_over:?}; made from an earlier \
                 English text, to be read again {changed:?}",
                language.tag()
            );
            for (id, statement) in known {
                assert_eq!(numbers(&statement.en), numbers(&statement.text), "{id}");
                assert_ne!(statement.en, statement.text, "{id}");
            }
        }
    }

    /// Whether a source contains words beyond numbers and document names.
    fn has_words(source: &str) -> bool {
        source.split(' ').any(|word| {
            let word = word.trim_matches(|c: char| "(),;:.".contains(c));
            word.len() > 1
                && word.chars().all(|c| c.is_ascii_alphabetic() || c == '\'')
                && word.chars().any(|c| c.is_ascii_lowercase())
        })
    }

    #[test]
    fn every_source_in_words_is_in_every_language() {
        for language in Language::all().filter(|l| l.statements().is_some()) {
            let statements = Statements::load(language);
            let tables = library().tables().iter();
            let sources = tables.flat_map(|table| &table.entries).map(|f| &f.source);
            let mut missing: Vec<_> = sources
                .filter(|source| has_words(source) && !statements.sources.contains_key(*source))
                .collect();
            missing.dedup();
            assert!(missing.is_empty(), "{}: {missing:?}", language.tag());
            for (english, text) in &statements.sources {
                assert_eq!(numbers(english), numbers(text), "{english}");
            }
        }
    }

    /// Specs that together use every recalled number that a worksheet can list:
    /// all sizes of each practice and family, with no table value overridden.
    fn specs() -> Vec<String> {
        let of = |name: &str, edits: &[(&str, &str)]| {
            let path = format!("{}/tests/data/{name}", env!("CARGO_MANIFEST_DIR"));
            edits.iter().fold(
                std::fs::read_to_string(path).unwrap(),
                |text, (old, new)| {
                    assert!(text.contains(old), "{old}");
                    text.replace(old, new)
                },
            )
        };
        let measured = |size: &str, by: &str| {
            format!(
                "  measured: {{{size}: {{out_of_roundness: {by}, source: caliper}}}}\n  pipe_temperature"
            )
        };
        let (mm, inch) = (measured("32 mm", "0.4 mm"), measured("1 IPS", "0.01 in"));
        let handling = (
            "    before_handling: {value",
            "    # before_handling: {value",
        );
        let metric = [
            ("32 mm to 63 mm", "16 mm to 75 mm"),
            ("  pipe_temperature", &mm),
            handling,
        ];
        let ppr = [
            ("resin: PE100", "resin: PP-R"),
            (
                "32 mm to 63 mm, dimension_ratio: 11}",
                "20 mm to 63 mm, dimension_ratio: [7.4, 11]}",
            ),
        ];
        let us = [
            (
                "    - {sizes: 1 IPS",
                "    - {sizes: 1/2 IPS to 4 IPS, dimension_ratio: 17}\n    \
                 - {sizes: 1/2 CTS to 2 CTS, dimension_ratio: 11}\n    - {sizes: 1 IPS",
            ),
            ("  pipe_temperature", &inch),
            ("  change_over: {value", "  # change_over: {value"),
            handling,
            ("least_wall:", "cold_weather: {}\nleast_wall:"),
        ];
        vec![
            of("metric-base.yaml", &metric),
            of("metric-base.yaml", &ppr),
            of("base.yaml", &us),
        ]
    }

    #[test]
    fn every_quantity_of_a_worksheet_is_in_every_language() {
        let mut named = BTreeSet::new();
        for text in specs() {
            let spec = crate::spec::decode(&text).0.unwrap();
            let procedure = crate::procedure::resolve::resolve(&spec, library());
            let recalled = recalled_in_use(&procedure, library()).into_iter();
            named.extend(recalled.filter(|f| f.text().is_none()).map(trade_quantity));
        }
        for language in Language::all().filter(|l| l.statements().is_some()) {
            let known = &Statements::load(language).quantities;
            let known: BTreeSet<_> = known.keys().cloned().collect();
            assert_eq!(named, known, "{}", language.tag());
        }
    }

    #[test]
    fn what_somebody_confirmed_in_other_words_stands() {
        let spanish = Statements::load(Language::Es);
        let id = "acceptance:square:text";
        let entry = library().entry(id).unwrap();
        assert_eq!(entry.basis, Basis::Recalled);
        assert_ne!(
            spanish.statement(id, entry.text().unwrap()),
            entry.text().unwrap()
        );
        assert_eq!(
            spanish.statement(id, "As the edition has it."),
            "As the edition has it."
        );
        assert_eq!(
            spanish.source("own drawing; sheet 3"),
            "own drawing; sheet 3"
        );
    }
}
