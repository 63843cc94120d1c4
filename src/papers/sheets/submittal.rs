//! The sheet of a submittal: cover, contents, fuser list, and the pages of each
//! PDF to place. The template assigns page numbers, since only layout knows them.

use chrono::{Datelike, NaiveDate};
use serde::Serialize;

use super::clause::Clause;
use super::clauses::{Clauses, Language};
use super::format;
use super::frame::typst_name;
use super::house::HouseLook;
use crate::people::fusers::{Fuser, Rules, Standing, State};
use crate::people::submittal::{Party, Submittal};
use crate::published::Basis;
use crate::spec::{Paper, Spec, Status};

/// Most enclosures listed on the cover; the contents list all.
const MAX_ON_COVER: usize = 8;

/// Everything in a submittal except the placed pages.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct SubmittalSheet {
    pub(crate) lang: Language,
    /// The paper size by typst's name.
    #[serde(serialize_with = "typst_name")]
    pub(crate) paper: Paper,
    /// What the pages draw of the house style.
    pub(crate) house: Option<HouseLook>,
    pub(crate) document_title: String,
    /// The submitting organization.
    pub(crate) organization: String,
    /// The word "submittal".
    pub(crate) kind: String,
    pub(crate) number: String,
    pub(crate) revision: String,
    /// Its date: year, month, day.
    pub(crate) date_parts: (i32, u32, u32),
    pub(crate) title: String,
    /// Project, contract, parties: label and lines.
    pub(crate) facts: Vec<(String, Vec<String>)>,
    pub(crate) remarks: Vec<String>,
    /// The disclaimer.
    pub(crate) statement: String,
    /// The boxes for review stamps.
    pub(crate) reviews: Vec<String>,
    /// The enclosures listed on the cover.
    pub(crate) enclosed: Vec<String>,
    /// The number of enclosures that the cover leaves out.
    pub(crate) more: Option<String>,
    /// The enclosures, in order.
    pub(crate) items: Vec<Item>,
    /// How pages are placed.
    pub(crate) placing: Vec<String>,
    pub(crate) labels: Labels,
}

/// The labels of headings and footers.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Labels {
    pub(crate) cover: String,
    pub(crate) enclosed: String,
    pub(crate) contents: String,
    pub(crate) item: String,
    /// Label of a page count.
    pub(crate) pages: String,
    /// Label of a page of the submittal.
    pub(crate) page: String,
    /// Label of a page of a placed PDF.
    pub(crate) sheet: String,
    /// Between a number and its total.
    pub(crate) of: String,
    /// Before a scale.
    pub(crate) at: String,
    pub(crate) signature: String,
    pub(crate) date: String,
}

/// An enclosure.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct Item {
    pub(crate) name: String,
    /// Notes in the contents.
    pub(crate) notes: Vec<String>,
    /// The status, if nobody may work by it.
    pub(crate) status: Option<String>,
    /// The PDF whose pages are placed.
    pub(crate) placed: Option<Placed>,
    /// The fuser list, if this is it.
    pub(crate) fusers: Option<FuserList>,
}

/// A PDF whose pages are placed.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct Placed {
    /// Its virtual path.
    pub(crate) file: String,
    /// Alternative text of each page.
    pub(crate) alternatives: Vec<String>,
    /// Whether it is a paper made by this program, which leaves room for the
    /// footer and has drawings to scale.
    pub(crate) full_size: bool,
    /// Its bookmarks, each with its page.
    pub(crate) bookmarks: Vec<(String, usize)>,
    /// The note on the file, if it is attached too.
    pub(crate) attached: Option<String>,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct FuserList {
    pub(crate) intro: String,
    pub(crate) columns: [String; 5],
    /// Name, badge, procedure, expiry date, and state; and whether qualified.
    pub(crate) rows: Vec<([String; 5], bool)>,
    pub(crate) rules: Vec<String>,
}

pub(crate) fn procedure_item(words: &Clauses, spec: &Spec, name: String, placed: Placed) -> Item {
    let status = match spec.status.value {
        Status::Draft => Some(Clause::StatusDraft),
        Status::Withdrawn => Some(Clause::StatusWithdrawn),
        Status::Qualified => None,
    };
    Item {
        name,
        notes: vec![spec.title.value.clone()],
        status: status.map(|clause| words.render(clause)),
        placed: Some(placed),
        fusers: None,
    }
}

/// A fuser and a procedure on the list.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ListedFuser<'a> {
    pub(crate) fuser: &'a Fuser,
    pub(crate) procedure: &'a str,
    /// `None` if nothing is on record.
    pub(crate) standing: Option<&'a Standing<'a>>,
}

impl ListedFuser<'_> {
    pub(crate) fn state(&self) -> State {
        self.standing.map_or(State::NeverQualified, |s| s.state)
    }

    /// Whether the rule set allows the fuser to use the procedure.
    pub(crate) fn qualified(&self) -> bool {
        self.state() == State::Qualified
    }
}

/// The list of fusers, with the rule of each procedure and the organization's decisions
/// on specimens of earlier revisions.
pub(crate) fn fusers_item(
    words: &Clauses,
    listed: &[ListedFuser<'_>],
    decided: &Rules,
    as_of: NaiveDate,
) -> Item {
    let say = |clause| words.render(clause);
    let date = as_of.to_string();
    let mut rules: Vec<String> = Vec::new();
    for row in listed {
        let Some(standing) = row.standing.filter(|s| !s.source.is_empty()) else {
            continue;
        };
        let line = say(Clause::SubmittalFusersRule {
            procedure: row.procedure.to_owned(),
            source: words.source(&standing.source),
            basis: format::basis(standing.basis, words),
        });
        let line = format::marked(&line, standing.basis >= Basis::Recalled, words);
        if !rules.contains(&line) {
            rules.push(line);
        }
    }
    let held = decided.held().iter().filter(|held| {
        let mut procedures = listed.iter().map(|row| row.procedure);
        procedures.any(|procedure| procedure == held.procedure.value)
    });
    rules.extend(held.map(|held| {
        say(Clause::SubmittalFusersHeld {
            procedure: held.procedure.value.clone(),
            made_by: held.made_by.value.to_string(),
            holds_for: held.holds_for.value.to_string(),
            source: held.source.clone(),
        })
    }));
    let row = |row: &ListedFuser<'_>| {
        let until = row.standing.and_then(|standing| standing.valid_until);
        let cells = [
            row.fuser.name.value.clone(),
            row.fuser.badge.value.clone(),
            row.procedure.to_owned(),
            until.map_or_else(|| "\u{2013}".to_owned(), |day| day.to_string()),
            say(state(row.state())),
        ];
        (cells, row.qualified())
    };
    Item {
        name: say(Clause::SubmittalFusers { date: date.clone() }),
        fusers: Some(FuserList {
            intro: say(Clause::SubmittalFusersIntro { date }),
            columns: [
                Clause::LabelName,
                Clause::SubmittalBadge,
                Clause::SubmittalFuserProcedure,
                Clause::SubmittalUntil,
                Clause::SubmittalState,
            ]
            .map(say),
            rows: listed.iter().map(row).collect(),
            rules,
        }),
        ..Item::default()
    }
}

fn state(state: State) -> Clause {
    match state {
        State::Qualified => Clause::StateQualified,
        State::Lapsed => Clause::StateLapsed,
        State::UseNotShown => Clause::StateUseNotShown,
        State::OtherRevision => Clause::StateOtherRevision,
        State::OtherSize => Clause::StateOtherSize,
        State::ProcedureNotQualified => Clause::StateProcedureNotQualified,
        State::FailedJoint => Clause::StateFailedJoint,
        State::FailedSpecimen => Clause::StateFailedSpecimen,
        State::NeverQualified => Clause::StateNeverQualified,
        State::NoRule => Clause::StateNoRule,
    }
}

pub(crate) fn submittal(
    of: &Submittal,
    items: Vec<Item>,
    paper: Paper,
    lang: Language,
    house: Option<HouseLook>,
) -> SubmittalSheet {
    let words = Clauses::load(lang);
    let say = |clause| words.render(clause);
    let revision = of.revision.to_string();
    let mut facts = vec![(Clause::SubmittalProject, vec![of.project.value.clone()])];
    let contract = of.contract.iter().map(|contract| contract.value.clone());
    facts.extend(contract.map(|contract| (Clause::SubmittalContract, vec![contract])));
    facts.push((Clause::SubmittalSection, vec![of.section.value.clone()]));
    facts.push((Clause::SubmittalBy, lines(&of.by)));
    facts.push((Clause::SubmittalTo, lines(&of.to)));
    facts.push((Clause::LabelDate, vec![of.date.to_string()]));
    let names = items.iter().map(|item| match &item.status {
        None => item.name.clone(),
        Some(status) => format!("{} – {status}", item.name),
    });
    let mut enclosed: Vec<_> = names.collect();
    let more = enclosed.len() > MAX_ON_COVER;
    let more = more.then(|| {
        let rest = enclosed.split_off(MAX_ON_COVER - 1);
        say(Clause::SubmittalMore {
            count: rest.len().to_string(),
        })
    });
    let is_placed = |full_size: bool| {
        let mut placed = items.iter().filter_map(|item| item.placed.as_ref());
        placed.any(|placed| placed.full_size == full_size)
    };
    let placing = [
        (is_placed(true), Clause::SubmittalFullSize),
        (is_placed(false), Clause::SubmittalScaled),
    ];
    SubmittalSheet {
        lang,
        paper,
        house,
        document_title: say(Clause::SubmittalDocumentTitle {
            number: of.number.value.clone(),
            revision: revision.clone(),
            title: of.title.value.clone(),
        }),
        organization: of.by.name.value.clone(),
        kind: say(Clause::PaperSubmittal),
        number: of.number.value.clone(),
        revision: format!("{} {revision}", say(Clause::RevisionLabel)),
        date_parts: (of.date.year(), of.date.month(), of.date.day()),
        title: of.title.value.clone(),
        facts: facts
            .into_iter()
            .map(|(label, lines)| (say(label), lines))
            .collect(),
        remarks: of.remarks.iter().map(|text| text.value.clone()).collect(),
        statement: say(Clause::SubmittalStatement),
        reviews: [Clause::SubmittalContractor, Clause::SubmittalEngineer]
            .map(say)
            .into(),
        enclosed,
        more,
        placing: placing
            .into_iter()
            .filter_map(|(is, clause)| is.then(|| say(clause)))
            .collect(),
        items,
        labels: Labels {
            cover: say(Clause::SubmittalCover),
            enclosed: say(Clause::SubmittalEnclosed),
            contents: say(Clause::SubmittalContents),
            item: say(Clause::SubmittalItem),
            pages: say(Clause::SubmittalPages),
            page: say(Clause::PageLabel),
            sheet: say(Clause::SubmittalSheet),
            of: say(Clause::OfLabel),
            at: say(Clause::SubmittalAt),
            signature: say(Clause::LabelSignature),
            date: say(Clause::LabelDate),
        },
    }
}

fn lines(party: &Party) -> Vec<String> {
    let name = std::iter::once(&party.name);
    name.chain(&party.lines)
        .map(|line| line.value.clone())
        .collect()
}
