//! What a house style adds to the papers: its wording, its sections, who signs,
//! and what the pages need to draw logo and letterhead. All of it is plain text;
//! numbers come from the procedure alone.

use std::collections::BTreeMap;
use std::ops::Deref;
use std::sync::Arc;

use serde::Serialize;

use super::block::{Block, Section, SignatureRole};
use super::clause::Clause;
use super::clauses::{Clauses, Language};
use super::house_clauses::HouseClauses;

/// How an organization wants its papers to look.
#[derive(Debug, Clone, Default)]
pub struct HouseStyle {
    /// What the pages draw.
    pub look: HouseLook,
    /// Who signs, instead of the default three.
    pub signatures: Vec<SignatureRole>,
    /// Added sections and paragraphs, by language.
    pub extra: Vec<(Language, Extra)>,
    /// Reworded clauses: language, key, and text.
    pub replaced: Vec<(Language, String, String)>,
}

/// What the pages draw of a house style.
#[derive(Debug, Clone, Default, Serialize)]
pub struct HouseLook {
    /// Name of the organization.
    pub name: String,
    /// Its address, line by line.
    pub address: Vec<String>,
    /// Telephone, e-mail, and web, one per line.
    pub contacts: Vec<Contact>,
    /// The virtual file of the logo.
    pub logo: Option<String>,
    /// Color of headings and organization name, as `#rrggbb`.
    pub primary: Option<String>,
    /// Color of the lines in header and footer.
    pub accent: Option<String>,
}

/// A way to reach the organization.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Contact {
    /// As printed.
    pub text: String,
    /// Its link on a screen.
    pub link: Option<String>,
}

/// Where added text goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// Before the cautions, the first section that has no page of its own; without a
    /// heading, on the first page.
    BeforeScope,
    /// After the cautions.
    AfterCautions,
    /// After the acceptance criteria.
    AfterAcceptance,
    /// At the end.
    End,
}

/// Text that a house adds to the procedure.
#[derive(Debug, Clone)]
pub struct Extra {
    /// Where it goes.
    pub at: Place,
    /// Heading of a new section; without one the paragraphs join the section
    /// there.
    pub title: Option<String>,
    /// Its text.
    pub paragraphs: Vec<String>,
}

/// The wording of a paper: the program's, with or without a house style's
/// replacements.
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
    pub(crate) fn has_own_words(&self) -> bool {
        !(self.replaced.is_empty() && self.extra.is_empty() && self.signatures.is_empty())
    }

    /// The wording of a language in this house style.
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

    fn extra_in(&self, language: Language) -> Vec<&Extra> {
        let of_language = self.extra.iter().filter(|(of, _)| *of == language);
        of_language.map(|(_, extra)| extra).collect()
    }

    /// Which clauses, sections and paragraphs of the procedure are the house's, by
    /// key or heading.
    pub(crate) fn own_words(&self, language: Language, words: &Clauses) -> Vec<String> {
        let replaced = self.replaced.iter().filter(|(of, ..)| *of == language);
        let mut own: Vec<_> = replaced.map(|(_, key, _)| key.clone()).collect();
        own.extend(self.extra_in(language).iter().filter_map(|extra| {
            let joined = || {
                let section = words.render(extra.at.section()?);
                Some(words.render(Clause::HouseParagraph { section }))
            };
            extra.title.clone().or_else(joined)
        }));
        own
    }

    /// Inserts the sections and paragraphs of the house style. Returns the paragraphs
    /// that belong to what is covered, which stands on the first page.
    pub(crate) fn add_to(&self, sections: &mut Vec<Section>, language: Language) -> Vec<String> {
        let (scope, extra): (Vec<_>, Vec<_>) = self
            .extra_in(language)
            .into_iter()
            .partition(|extra| extra.at == Place::BeforeScope && extra.title.is_none());
        // Text inserted right after a heading or section ends up before text
        // inserted there earlier, so it is inserted in reverse to keep the
        // written order.
        let (forwards, backwards): (Vec<_>, Vec<_>) = extra.into_iter().partition(|extra| {
            extra.title.is_some() == matches!(extra.at, Place::BeforeScope | Place::End)
        });
        for extra in forwards.into_iter().chain(backwards.into_iter().rev()) {
            let section = extra.at.section();
            let at = section.and_then(|section| place_of(&section, sections));
            extra.insert(sections, at);
        }
        let paragraphs = scope.into_iter().flat_map(|extra| &extra.paragraphs);
        paragraphs.cloned().collect()
    }
}

/// The index of the section with this heading, however it is worded.
fn place_of(title: &Clause, sections: &[Section]) -> Option<usize> {
    sections.iter().position(|s| s.key == Some(title.key()))
}

impl Place {
    /// The heading clause of the section it refers to.
    fn section(self) -> Option<Clause> {
        match self {
            Place::BeforeScope | Place::AfterCautions => Some(Clause::TitleCautions),
            Place::AfterAcceptance => Some(Clause::TitleAcceptance),
            Place::End => None,
        }
    }
}

impl Extra {
    /// Inserts it at index `at`, or at the end.
    fn insert(&self, sections: &mut Vec<Section>, at: Option<usize>) {
        let paragraphs = self.paragraphs.iter().cloned();
        let blocks: Vec<_> = paragraphs.map(|text| Block::Text { text }).collect();
        let before = self.at == Place::BeforeScope;
        match (&self.title, at) {
            (Some(title), at) => {
                let section = Section {
                    key: None,
                    title: title.clone(),
                    lead: None,
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
                section.blocks.extend(blocks);
            }
        }
    }
}
