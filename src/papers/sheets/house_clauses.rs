//! Clauses that a house style rewords: text with quantities, branches, and loops,
//! tried before any paper is made.

use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::{Mutex, PoisonError};

use minijinja::{Environment, UndefinedBehavior, Value};

/// Most steps a house clause may run; a long one without loops takes fifty.
const FUEL: u64 = 2_000;
/// Longest output of a house clause, in characters.
const LONGEST_CLAUSE: usize = 2_000;

/// A house clause that could not be rendered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct ClauseFailure {
    pub(crate) key: String,
    pub(crate) message: String,
    /// Where in its template.
    pub(crate) range: Option<Range<usize>>,
}

/// Reworded clauses. They may branch and loop, so each has limited fuel; if one
/// fails, the failure is recorded and the program's own words are used.
#[derive(Debug)]
pub(crate) struct HouseClauses {
    texts: BTreeMap<String, String>,
    environment: Environment<'static>,
    failures: Mutex<Vec<ClauseFailure>>,
}

impl HouseClauses {
    pub(crate) fn new(texts: BTreeMap<String, String>) -> Self {
        // Only text, quantities, branches, and loops: no filters, functions, or
        // includes.
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

    /// Renders a clause, if the house style rewords it and its text can be
    /// rendered.
    pub(crate) fn render(&self, key: &str, quantities: &Value) -> Option<String> {
        let text = self.texts.get(key)?;
        self.try_render(key, text, quantities)
            .map_err(|failure| {
                let failures = self.failures.lock();
                let mut failures = failures.unwrap_or_else(PoisonError::into_inner);
                // Several parts of a paper may print the same clause.
                if !failures.contains(&failure) {
                    failures.push(failure);
                }
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

    /// Tries a clause before any paper is made: which quantities it names, and
    /// whether it renders.
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
        let unknown: Vec<_> = named
            .into_iter()
            .filter(|name| !quantities.contains(&name.as_str()))
            .collect();
        if !unknown.is_empty() {
            return Ok(Trial {
                unknown,
                missing: Vec::new(),
            });
        }
        // Each quantity is a distinct word, so one that a branch leaves out
        // counts as missing.
        let stand_in = |name: &str| format!("<{name}>");
        let values: BTreeMap<_, _> = quantities.iter().map(|q| (*q, stand_in(q))).collect();
        let rendered = self.try_render(key, text, &Value::from(values))?;
        Ok(Trial {
            unknown,
            missing: quantities
                .iter()
                .filter(|name| !rendered.contains(&stand_in(name)))
                .map(ToString::to_string)
                .collect(),
        })
    }

    pub(crate) fn failures(&self) -> Vec<ClauseFailure> {
        let failures = self.failures.lock();
        failures.unwrap_or_else(PoisonError::into_inner).clone()
    }
}

/// The result of trying a house clause.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Trial {
    /// Names that are not quantities of the clause.
    pub(crate) unknown: Vec<String>,
    /// Quantities that do not appear in the output.
    pub(crate) missing: Vec<String>,
}
