//! What a house style brings to the papers: its wording, its sections, who
//! signs, and what the pages need to draw logo and letterhead. Everything
//! is plain text; a figure still comes from the procedure alone.

use std::collections::BTreeMap;
use std::ops::Deref;
use std::sync::Arc;

use serde::Serialize;

use super::block::{Block, Section, SignatureRole};
use super::clause::Clause;
use super::clauses::{Clauses, Language};
use super::house_clauses::HouseClauses;

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
    pub(crate) fn words_more(&self) -> bool {
        !(self.replaced.is_empty() && self.extra.is_empty() && self.signatures.is_empty())
    }

    /// The wording of a language in this house.
    pub(crate) fn words(&self, language: Language) -> Words {
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
    pub(crate) fn add_to(&self, sections: &mut Vec<Section>, language: Language, words: &Clauses) {
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
