//! What a house style brings to the papers: its wording, its sections, who
//! signs, and what the pages need to draw logo and letterhead. Everything
//! is plain text; a figure still comes from the procedure alone.

use std::collections::BTreeMap;
use std::ops::{Deref, Range};
use std::sync::{Arc, Mutex, PoisonError};

use minijinja::{Environment, UndefinedBehavior, Value};
use serde::Serialize;

use super::block::{Block, Section, SignatureRole};
use super::clause::Clause;
use super::clauses::{Clauses, Language};

/// Steps a clause of a house may take; a long one without loops takes fifty.
const FUEL: u64 = 2_000;
/// Longest text a clause of a house may come to, in characters.
const LONGEST_CLAUSE: usize = 2_000;

/// How an organization wants its papers.
#[derive(Debug, Clone, Default)]
pub struct HouseStyle {
    /// What the pages draw.
    pub look: HouseLook,
    /// Who signs, in place of the usual three.
    pub signatures: Vec<SignatureRole>,
    /// Sections and paragraphs of its own, by language.
    pub extra: Vec<(Language, Extra)>,
    /// Clauses in its own words: language, key and text.
    pub replaced: Vec<(Language, String, String)>,
}

/// What the pages draw of a house style.
#[derive(Debug, Clone, Default, Serialize)]
pub struct HouseLook {
    /// Name of the organization.
    pub name: String,
    /// Its address, line by line.
    pub address: Vec<String>,
    /// Telephone, mail and web, one to a line.
    pub contacts: Vec<Contact>,
    /// The virtual file of the logo.
    pub logo: Option<String>,
    /// Color of headings and name, as `#rrggbb`.
    pub primary: Option<String>,
    /// Color of the rules at head and foot.
    pub accent: Option<String>,
}

/// A way to reach a house.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Contact {
    /// As it is printed.
    pub text: String,
    /// What it leads to on a screen.
    pub link: Option<String>,
}

/// Where text of the house goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// Before what the procedure covers.
    BeforeScope,
    /// After the cautions.
    AfterCautions,
    /// After what is accepted and rejected.
    AfterAcceptance,
    /// After everything else.
    End,
}

/// Text that a house adds to the procedure.
#[derive(Debug, Clone)]
pub struct Extra {
    /// Where.
    pub at: Place,
    /// Heading of a section; without one the paragraphs join the section there.
    pub title: Option<String>,
    /// Its paragraphs.
    pub paragraphs: Vec<String>,
}

/// The wording of a paper: the program's, or that with a house's laid over it.
#[derive(Debug, Clone)]
pub enum Words {
    /// The program's.
    Program(&'static Clauses),
    /// A house's.
    House(Arc<Clauses>),
}

impl Deref for Words {
    type Target = Clauses;
    fn deref(&self) -> &Clauses {
        match self {
            Words::Program(clauses) => clauses,
            Words::House(clauses) => clauses,
        }
    }
}

impl HouseStyle {
    /// Whether it brings words of its own.
    pub fn words_more(&self) -> bool {
        !(self.replaced.is_empty() && self.extra.is_empty() && self.signatures.is_empty())
    }

    /// The wording of a language in this house.
    pub fn words(&self, language: Language) -> Words {
        let texts: BTreeMap<_, _> = self
            .replaced
            .iter()
            .filter(|(of, ..)| *of == language)
            .map(|(_, key, text)| (key.clone(), text.clone()))
            .collect();
        if texts.is_empty() {
            return Words::Program(Clauses::load(language));
        }
        let house = HouseClauses::new(texts);
        Words::House(Arc::new(Clauses::in_house(language, house)))
    }

    /// Puts the roles, sections and paragraphs of the house in their places, and
    /// says on the sources sheet which words are the house's.
    pub fn add_to(&self, sections: &mut Vec<Section>, language: Language, words: &Clauses) {
        if !self.signatures.is_empty() {
            let blocks = sections.iter_mut().flat_map(|section| &mut section.blocks);
            for block in blocks {
                if let Block::Signatures { roles, .. } = block {
                    *roles = self.signatures.clone();
                }
            }
        }
        let of_language = self.extra.iter().filter(|(of, _)| *of == language);
        let extra: Vec<_> = of_language.map(|(_, extra)| extra).collect();
        let replaced = self.replaced.iter().filter(|(of, ..)| *of == language);
        let mut own: Vec<_> = replaced.map(|(_, key, _)| key.clone()).collect();
        own.extend(extra.iter().filter_map(|extra| {
            let joined = || {
                let section = words.render(extra.at.section()?);
                Some(words.render(Clause::HouseParagraph { section }))
            };
            extra.title.clone().or_else(joined)
        }));
        if !own.is_empty()
            && let Some(at) = place_of(&Clause::TitleSources, sections)
            && let Some(sources) = sections.get_mut(at)
        {
            let clauses = own.join(", ");
            sources.blocks.push(Block::Text {
                text: words.render(Clause::HouseWords { clauses }),
            });
        }
        // What is put right behind a heading or a section comes before what was put
        // there earlier, so that those go backwards to stand as they are written.
        let (forwards, backwards): (Vec<_>, Vec<_>) = extra.into_iter().partition(|extra| {
            extra.title.is_some() == matches!(extra.at, Place::BeforeScope | Place::End)
        });
        for extra in forwards.into_iter().chain(backwards.into_iter().rev()) {
            let section = extra.at.section();
            let at = section.and_then(|section| place_of(&section, sections));
            extra.insert(sections, at);
        }
    }
}

/// The place of the section that a clause heads, in whatever words.
fn place_of(title: &Clause, sections: &[Section]) -> Option<usize> {
    sections.iter().position(|s| s.key == Some(title.key()))
}

impl Place {
    /// The clause that heads the section there.
    fn section(self) -> Option<Clause> {
        match self {
            Place::BeforeScope => Some(Clause::TitleScope),
            Place::AfterCautions => Some(Clause::TitleCautions),
            Place::AfterAcceptance => Some(Clause::TitleAcceptance),
            Place::End => None,
        }
    }
}

impl Extra {
    /// Inserts it at the section numbered `at`, or at the end.
    fn insert(&self, sections: &mut Vec<Section>, at: Option<usize>) {
        let paragraphs = self.paragraphs.iter().cloned();
        let blocks: Vec<_> = paragraphs.map(|text| Block::Text { text }).collect();
        let before = self.at == Place::BeforeScope;
        match (&self.title, at) {
            (Some(title), at) => {
                let section = Section {
                    key: None,
                    title: title.clone(),
                    blocks,
                    own_page: false,
                };
                let last = sections.len();
                let place = at.map_or(last, |at| if before { at } else { at + 1 });
                sections.insert(place.min(last), section);
            }
            (None, at) => {
                let place = at.or(sections.len().checked_sub(1));
                let Some(section) = place.and_then(|place| sections.get_mut(place)) else {
                    return;
                };
                let place = if before { 0 } else { section.blocks.len() };
                section.blocks.splice(place..place, blocks);
            }
        }
    }
}

/// What went wrong in a clause of a house.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClauseFailure {
    /// Key of the clause.
    pub key: String,
    /// What is wrong.
    pub message: String,
    /// Where in its text.
    pub range: Option<Range<usize>>,
}

/// Clauses in the words of a house. They may branch and loop, so each has only
/// so much fuel, and one that fails is noted and left to the program's words.
#[derive(Debug)]
pub struct HouseClauses {
    texts: BTreeMap<String, String>,
    environment: Environment<'static>,
    failures: Mutex<Vec<ClauseFailure>>,
}

impl HouseClauses {
    /// Clauses by key.
    pub fn new(texts: BTreeMap<String, String>) -> Self {
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
    pub(super) fn render(&self, key: &str, quantities: &Value) -> Option<String> {
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
    pub fn trial(&self, key: &str, quantities: &[&str]) -> Result<Trial, ClauseFailure> {
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
    pub fn failures(&self) -> Vec<ClauseFailure> {
        let failures = self.failures.lock();
        failures.unwrap_or_else(PoisonError::into_inner).clone()
    }
}

/// What a clause of a house does with its quantities.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Trial {
    /// Names that are no quantity of the clause.
    pub strange: Vec<String>,
    /// Quantities that it does not say.
    pub unsaid: Vec<String>,
}
