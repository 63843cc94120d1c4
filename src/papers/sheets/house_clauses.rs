//! Clauses in the words of a house: text with quantities, branches and loops, tried
//! before any paper is made.

use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::{Mutex, PoisonError};

use minijinja::{Environment, UndefinedBehavior, Value};

/// Steps a clause of a house may take; a long one without loops takes fifty.
const FUEL: u64 = 2_000;
/// Longest text a clause of a house may come to, in characters.
const LONGEST_CLAUSE: usize = 2_000;

/// What went wrong in a clause of a house.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct ClauseFailure {
    pub(crate) key: String,
    /// What is wrong.
    pub(crate) message: String,
    /// Where in its text.
    pub(crate) range: Option<Range<usize>>,
}

/// Clauses in the words of a house. They may branch and loop, so each has only
/// so much fuel, and one that fails is noted and left to the program's words.
#[derive(Debug)]
pub(crate) struct HouseClauses {
    texts: BTreeMap<String, String>,
    environment: Environment<'static>,
    failures: Mutex<Vec<ClauseFailure>>,
}

impl HouseClauses {
    /// Clauses by key.
    pub(crate) fn new(texts: BTreeMap<String, String>) -> Self {
        // Nothing but text, quantities, branches and loops: no filter, function
        // or other template.
        let mut environment = Environment::empty();
        environment.set_undefined_behavior(UndefinedBehavior::Strict);
        environment.set_fuel(Some(FUEL));
        environment.set_recursion_limit(16);
        Self {
            texts,
            environment,
            failures: Mutex::new(Vec::new()),
        }
    }

    /// Words a clause, if the house has words for it that can be rendered.
    pub(crate) fn render(&self, key: &str, quantities: &Value) -> Option<String> {
        let text = self.texts.get(key)?;
        self.try_render(key, text, quantities)
            .map_err(|failure| {
                let failures = self.failures.lock();
                failures
                    .unwrap_or_else(PoisonError::into_inner)
                    .push(failure);
            })
            .ok()
    }

    fn try_render(
        &self,
        key: &str,
        text: &str,
        quantities: &Value,
    ) -> Result<String, ClauseFailure> {
        let failed = |message: String, range| ClauseFailure {
            key: key.to_owned(),
            message,
            range,
        };
        let words = self
            .environment
            .render_str(text, quantities)
            .map_err(|error| {
                let message = match error.detail() {
                    Some(detail) => format!("{}: {detail}", error.kind()),
                    None => error.kind().to_string(),
                };
                failed(message, error.range())
            })?;
        let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
        match words.chars().count() {
            0 => Err(failed("the clause says nothing".to_owned(), None)),
            long if long > LONGEST_CLAUSE => Err(failed(
                format!("the clause comes to {long} characters; at most {LONGEST_CLAUSE} fit"),
                None,
            )),
            _ => Ok(words),
        }
    }

    /// Which quantities each clause names, and whether it can be rendered; for
    /// the check before any paper is made.
    pub(crate) fn trial(&self, key: &str, quantities: &[&str]) -> Result<Trial, ClauseFailure> {
        let text = self.texts.get(key).map_or("", String::as_str);
        let template = self
            .environment
            .template_from_str(text)
            .map_err(|error| ClauseFailure {
                key: key.to_owned(),
                message: match error.detail() {
                    Some(detail) => format!("{}: {detail}", error.kind()),
                    None => error.kind().to_string(),
                },
                range: error.range(),
            })?;
        let named: Vec<_> = template.undeclared_variables(false).into_iter().collect();
        let strange: Vec<_> = named
            .into_iter()
            .filter(|name| !quantities.contains(&name.as_str()))
            .collect();
        if !strange.is_empty() {
            return Ok(Trial {
                strange,
                unsaid: Vec::new(),
            });
        }
        // Each quantity by a word of its own: one that a branch keeps from the
        // paper is missing as if it were not named.
        let stand_in = |name: &str| format!("<{name}>");
        let values: BTreeMap<_, _> = quantities.iter().map(|q| (*q, stand_in(q))).collect();
        let said = self.try_render(key, text, &Value::from(values))?;
        Ok(Trial {
            strange,
            unsaid: quantities
                .iter()
                .filter(|name| !said.contains(&stand_in(name)))
                .map(ToString::to_string)
                .collect(),
        })
    }

    /// What failed so far.
    pub(crate) fn failures(&self) -> Vec<ClauseFailure> {
        let failures = self.failures.lock();
        failures.unwrap_or_else(PoisonError::into_inner).clone()
    }
}

/// What a clause of a house does with its quantities.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Trial {
    /// Names that are no quantity of the clause.
    pub(crate) strange: Vec<String>,
    /// Quantities that it does not say.
    pub(crate) unsaid: Vec<String>,
}
