//! The parts a page is made of, as its template reads them.

use serde::Serialize;

use super::drawing::{CrossSection, HeatChart};
use super::figures::{AcceptancePlate, HeaterFigure, JointFigure, StepPicture, StepsFigure};
use crate::spec::language::Language;

/// A figure or a word in a table.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Cell {
    /// What is read first.
    pub text: String,
    /// The smaller line below: the other unit, or the longest time.
    pub sub: Option<String>,
    /// Whether the figure is from memory and carries the verify mark.
    pub verify: bool,
    /// Whether the figure of the smaller line is, and carries a mark of its own.
    pub sub_verify: bool,
    /// Whether it stands out.
    pub strong: bool,
    /// The language of its text, where it is not the paper's.
    pub lang: Option<Language>,
    /// How many more columns it goes across; the row has so many cells less.
    pub across: usize,
}

impl Cell {
    /// A cell of plain text.
    pub(crate) fn plain(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            ..Self::default()
        }
    }

    /// Both lines in one: `490 to 510 °F (254.5 to 265.5 °C)`.
    pub(crate) fn in_one_line(&self) -> String {
        match &self.sub {
            Some(sub) => format!("{} ({sub})", self.text),
            None => self.text.clone(),
        }
    }

    /// The same cell with a second line.
    pub(crate) fn below(mut self, sub: impl Into<String>) -> Self {
        self.sub = Some(sub.into());
        self
    }

    /// The same cell, standing out.
    pub(crate) fn strong(mut self) -> Self {
        self.strong = true;
        self
    }

    /// The same cell, its text in another language than the paper's, if in one.
    pub(crate) fn lang(mut self, lang: Option<Language>) -> Self {
        self.lang = lang;
        self
    }

    /// The same cell, marked if `verify`.
    pub(crate) fn verify(mut self, verify: bool) -> Self {
        self.verify = verify;
        self
    }
}

/// Where the text of a column stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Align {
    /// Words.
    Left,
    /// Figures.
    Right,
}

/// A column of a table.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Column {
    /// Its heading.
    pub(crate) title: String,
    /// Where its text stands.
    pub(crate) align: Align,
}

/// A table; every row fills its columns.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Table {
    /// What it shows.
    pub(crate) caption: String,
    pub(crate) columns: Vec<Column>,
    pub(crate) rows: Vec<Vec<Cell>>,
    /// Whether it is set in small type, for reading at a desk.
    pub(crate) small: bool,
}

/// A numbered step.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Step {
    /// What to do.
    pub(crate) text: String,
    /// What else to know while doing it.
    pub(crate) detail: Option<String>,
    /// Whether it is what to do when the step before went wrong.
    pub(crate) branch: bool,
    /// The small figure of the step, among those drawn together.
    #[serde(skip)]
    pub(crate) picture: Option<StepPicture>,
}

impl Step {
    /// The same step, with a figure.
    pub(crate) fn drawn(mut self, picture: StepPicture) -> Self {
        self.picture = Some(picture);
        self
    }
}

/// The headings above the lines to sign on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct SignatureLabels {
    /// Above the name.
    pub(crate) name: String,
    /// Above the signature.
    pub(crate) signature: String,
    /// Above the date.
    pub(crate) date: String,
}

/// Somebody who signs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SignatureRole {
    /// In what role.
    pub role: String,
    /// What else is said of it.
    pub note: Option<String>,
}

/// An item that says first what it is about.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Headed {
    /// What it is about, with its colon.
    pub(crate) head: Option<String>,
    /// What is said of it.
    pub(crate) text: String,
}

impl Headed {
    /// Longest head; what is longer before a colon is a sentence.
    const LONGEST: usize = 50;

    /// An item whose head ends at its first colon.
    pub(crate) fn new(item: String) -> Self {
        match item.split_once(": ") {
            Some((head, text)) if head.chars().count() <= Self::LONGEST && !head.contains('.') => {
                Self {
                    head: Some(format!("{head}:")),
                    text: text.to_owned(),
                }
            }
            _ => Self {
                head: None,
                text: item,
            },
        }
    }
}

/// One block of a section.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub(crate) enum Block {
    /// A paragraph.
    Text {
        /// Its words.
        text: String,
    },
    /// A bulleted list.
    List {
        items: Vec<String>,
    },
    /// A bulleted list whose items say first what they are about.
    Heads {
        items: Vec<Headed>,
    },
    /// A bulleted list in another language than the paper's.
    ListIn {
        /// Its language.
        lang: Language,
        items: Vec<String>,
    },
    /// A list to tick off.
    Checks {
        items: Vec<String>,
    },
    /// Numbered steps.
    Steps {
        /// The steps.
        items: Vec<Step>,
    },
    /// A caution with its signal word.
    Caution {
        /// The signal word of the tables, which says how grave it is.
        signal: String,
        /// The signal word as it is printed.
        word: String,
        /// The hazard and what to do about it.
        text: String,
    },
    Table(Table),
    /// Lines to sign on.
    Signatures {
        /// Who signs.
        roles: Vec<SignatureRole>,
        /// The headings.
        labels: SignatureLabels,
    },
    /// What the verify mark means.
    VerifyLegend,
    /// Melt against time.
    HeatChart(HeatChart),
    /// A joint cut across, with its melt.
    HeatSection(CrossSection),
    /// A joint cut along its axis, to scale.
    JointFigure(JointFigure),
    /// The steps as small figures.
    StepsFigure(StepsFigure),
    /// The heater with its adapters.
    HeaterFigure(HeaterFigure),
    /// A good joint and what is refused.
    AcceptancePlate(AcceptancePlate),
}

impl Block {
    /// A list whose items say first what they are about.
    pub(crate) fn heads(items: Vec<String>) -> Self {
        Self::Heads {
            items: items.into_iter().map(Headed::new).collect(),
        }
    }

    /// The caption, where the block is a drawing.
    pub(crate) fn drawing_caption(&mut self) -> Option<&mut String> {
        match self {
            Self::HeatChart(figure) => Some(&mut figure.caption),
            Self::HeatSection(figure) => Some(&mut figure.caption),
            Self::JointFigure(figure) => Some(&mut figure.caption),
            Self::StepsFigure(figure) => Some(&mut figure.caption),
            Self::HeaterFigure(figure) => Some(&mut figure.caption),
            Self::AcceptancePlate(figure) => Some(&mut figure.caption),
            _ => None,
        }
    }
}

/// A section; its number is its place.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Section {
    /// The key of its heading's clause, by which it is found again in whatever
    /// words; none of a section that a house style adds.
    #[serde(skip)]
    pub(crate) key: Option<&'static str>,
    /// Its heading.
    pub(crate) title: String,
    /// What it holds.
    pub(crate) blocks: Vec<Block>,
    /// Whether it starts a page.
    pub(crate) own_page: bool,
}
