//! The parts of a page, as templates read them.

use serde::Serialize;

use super::cell::Cell;
use super::figures::JointFigure;
use super::pages::{InspectionPage, StepsPage};
use super::parts::{
    Abnormal, ColdForm, FieldWork, HeaterCheck, KitCheck, PipeDimensions, PipeTemperature,
    PrintLine, ReducerTable, SafetyPanels, SpigotEnds, ThreadedTransition, TrialJoints,
    UnlikePairs,
};
use super::records::{Duties, FailedJoint, JointMark, Qualified, RecordsKept};

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Align {
    Left,
    Right,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Column {
    pub(crate) title: String,
    pub(crate) align: Align,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Table {
    pub(crate) caption: String,
    pub(crate) columns: Vec<Column>,
    pub(crate) rows: Vec<Vec<Cell>>,
    /// Whether it is set in small type, for reading at a desk.
    pub(crate) small: bool,
}

/// The labels of the lines to sign on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct SignatureLabels {
    pub(crate) name: String,
    pub(crate) signature: String,
    pub(crate) date: String,
}

/// A line to sign on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SignatureRole {
    /// The signer's role.
    pub role: String,
    /// A note below the role.
    pub note: Option<String>,
}

/// A list item with a lead-in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct LeadInItem {
    /// The lead-in, with its colon.
    pub(crate) head: Option<String>,
    pub(crate) text: String,
}

impl LeadInItem {
    /// Longest lead-in; anything longer before a colon is a sentence.
    const LONGEST: usize = 50;

    /// Splits an item at its first colon.
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

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub(crate) enum Block {
    Text {
        text: String,
    },
    List {
        items: Vec<String>,
    },
    /// A bulleted list whose items start with a lead-in.
    Heads {
        items: Vec<LeadInItem>,
    },
    Table(Table),
    /// What the verify mark means.
    VerifyLegend,
    /// A section along the axis of a joint, to scale.
    JointFigure(JointFigure),
    /// The steps with their pictures, on a page of their own.
    StepsPage(Box<StepsPage>),
    /// A good joint and rejected ones, on a page of their own.
    InspectionPage(Box<InspectionPage>),
    SafetyPanels(Box<SafetyPanels>),
    KitCheck(Box<KitCheck>),
    HeaterCheck(Box<HeaterCheck>),
    PrintLine(Box<PrintLine>),
    PipeDimensions(Box<PipeDimensions>),
    ReducerTable(Box<ReducerTable>),
    ThreadedTransition(Box<ThreadedTransition>),
    SpigotEnds(Box<SpigotEnds>),
    UnlikePairs(Box<UnlikePairs>),
    FieldWork(Box<FieldWork>),
    Abnormal(Box<Abnormal>),
    PipeTemperature(Box<PipeTemperature>),
    TrialJoints(Box<TrialJoints>),
    ColdForm(Box<ColdForm>),
    Duties(Box<Duties>),
    JointMark(Box<JointMark>),
    FailedJoint(Box<FailedJoint>),
    RecordsKept(Box<RecordsKept>),
    Qualified(Box<Qualified>),
}

impl Block {
    /// A list whose items start with a lead-in.
    pub(crate) fn lead_in_list(items: Vec<String>) -> Self {
        Self::Heads {
            items: items.into_iter().map(LeadInItem::new).collect(),
        }
    }
}

/// A section; its number is its position.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Section {
    /// The key of the heading's clause, which identifies the section however it
    /// is worded; `None` for a section added by a house style.
    #[serde(skip)]
    pub(crate) key: Option<&'static str>,
    pub(crate) title: String,
    /// A line beside the heading that says what the section is for.
    pub(crate) lead: Option<String>,
    pub(crate) blocks: Vec<Block>,
    /// Whether it starts a new page.
    pub(crate) own_page: bool,
}

impl Section {
    /// Adds a line beside the heading.
    pub(crate) fn lead(mut self, lead: String) -> Self {
        self.lead = Some(lead);
        self
    }
}
