//! The notice of changes between two revisions of a procedure: what must be
//! requalified, the changes by class, and lines to sign on. Changes of one
//! variable are grouped.

use serde::Serialize;

use super::clause::Clause;
use super::frame::Frame;
use super::house::Words;
use crate::core::digest;
use crate::procedure::compare::{
    Change, ChangeKind, Class, Comparison, Fact, Fusers, Quantity, Side, Value,
};
use crate::spec::Status;

#[derive(Debug, Clone, Serialize)]
pub(crate) struct ChangeNotice {
    pub(crate) frame: Frame,
    pub(crate) title: String,
    /// The earlier and the later revision.
    pub(crate) sides: [NoticeSide; 2],
    /// What is required of the procedure, and of the fusers.
    pub(crate) answers: [Answer; 2],
    /// The changes by class; empty classes are left out.
    pub(crate) groups: Vec<Group>,
    /// Printed if nothing differs.
    pub(crate) nothing: Option<String>,
    /// What the paper is, and who decides.
    pub(crate) caution: String,
    pub(crate) signatures: [String; 2],
    /// The labels of the signature lines.
    pub(crate) labels: [String; 3],
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct NoticeSide {
    /// "Earlier" or "later".
    pub(crate) label: String,
    /// Revision, date, and status.
    pub(crate) revision: String,
    /// The revision's own account: what it changes, and its effective date.
    pub(crate) says: Vec<String>,
    /// Digest of its spec, with its label.
    pub(crate) digest: (String, String),
}

/// A requirement.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Answer {
    /// Whom it concerns.
    pub(crate) label: String,
    /// The answer in a word or two.
    pub(crate) short: String,
    /// The answer in a sentence.
    pub(crate) text: String,
    /// Whether something must be done before anybody works by it.
    pub(crate) strong: bool,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct Group {
    pub(crate) class: &'static str,
    /// Name and meaning of the class.
    pub(crate) title: (String, String),
    pub(crate) lines: Vec<Line>,
    /// Printed instead of the changes if the page has no room for them.
    pub(crate) counted: String,
}

/// All changes of one variable in one direction.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Line {
    pub(crate) name: String,
    /// What each change applies to, if to something in particular, and the change
    /// itself.
    pub(crate) items: Vec<(String, String)>,
    /// Why it is in its class.
    pub(crate) why: Option<String>,
    /// The source of its class; `None` if the organization decides.
    pub(crate) basis: Option<String>,
}

pub(crate) fn change_notice(comparison: &Comparison, mut frame: Frame) -> ChangeNotice {
    let words = frame.words.clone();
    let say = |clause| words.render(clause);
    let title = say(Clause::PaperChangeNotice);
    frame.document_title = say(Clause::DocumentTitle {
        paper: title.clone(),
        number: frame.number.clone(),
        revision: frame.revision.clone(),
        title: frame.title.clone(),
    });
    let nothing = comparison.changes.is_empty();
    ChangeNotice {
        title,
        sides: [
            side(&comparison.old, Clause::NoticeEarlier, &words),
            side(&comparison.new, Clause::NoticeLater, &words),
        ],
        answers: [
            procedure_answer(comparison, &words),
            fusers_answer(comparison, &words),
        ],
        groups: change_groups(comparison, &words),
        nothing: nothing.then(|| say(Clause::NoticeNothing)),
        caution: say(Clause::NoticeCaution),
        signatures: [say(Clause::NoticeIssuedBy), say(Clause::NoticeReceivedBy)],
        labels: [
            say(Clause::LabelName),
            say(Clause::LabelSignature),
            say(Clause::LabelDate),
        ],
        frame,
    }
}

fn side(side: &Side, label: Clause, words: &Words) -> NoticeSide {
    let status = words.render(match side.status {
        Status::Draft => Clause::NoticeDraft,
        Status::Qualified => Clause::NoticeQualified,
        Status::Withdrawn => Clause::NoticeWithdrawn,
    });
    NoticeSide {
        label: words.render(label),
        revision: words.render(Clause::NoticeRevision {
            revision: side.revision.to_string(),
            date: side.date.to_string(),
            status,
        }),
        says: revision_notes(side, words),
        digest: (
            words.render(Clause::DigestLabel),
            digest::short(&side.digest).to_owned(),
        ),
    }
}

/// A revision's own account of itself.
pub(crate) fn revision_notes(side: &Side, words: &Words) -> Vec<String> {
    let change = side.change.clone();
    let effective = side.effective.map(|day| {
        words.render(Clause::NoticeInForce {
            date: day.to_string(),
        })
    });
    change.into_iter().chain(effective).collect()
}

/// What is required of the procedure.
pub(crate) fn procedure_answer(comparison: &Comparison, words: &Words) -> Answer {
    let say = |clause| words.render(clause);
    let again = comparison.requalify();
    let (short, text) = match (again, comparison.proof.is_empty()) {
        (false, _) => (Clause::NoticeNotAgain, Clause::NoticeProcedureStands),
        (true, true) => (Clause::NoticeAgain, Clause::NoticeProcedureAgain),
        (true, false) => (
            Clause::NoticeAgain,
            Clause::NoticeProcedureProven {
                records: comparison.proof.join(", "),
            },
        ),
    };
    Answer {
        label: say(Clause::NoticeProcedure),
        short: say(short),
        text: say(text),
        strong: again,
    }
}

/// What is required of the fusers.
pub(crate) fn fusers_answer(comparison: &Comparison, words: &Words) -> Answer {
    let say = |clause| words.render(clause);
    let asked = comparison.fusers();
    let (short, text) = match asked {
        Fusers::Nothing => (Clause::NoticeNotAgain, Clause::NoticeFusersNothing),
        Fusers::Tell => (Clause::NoticeTell, Clause::NoticeFusersTell),
        Fusers::Requalify => {
            let changes = comparison.changes.iter();
            let of = changes.filter(|change| change.rating.fusers == asked);
            let mut names: Vec<_> = of.map(|change| name(change, words)).collect();
            names.dedup();
            let names = names.join(", ");
            (Clause::NoticeAgain, Clause::NoticeFusersAgain { names })
        }
    };
    Answer {
        label: say(Clause::NoticeFusers),
        short: say(short),
        text: say(text),
        strong: asked == Fusers::Requalify,
    }
}

pub(crate) fn change_groups(comparison: &Comparison, words: &Words) -> Vec<Group> {
    let say = |clause| words.render(clause);
    let classes = [
        (
            Class::Essential,
            Clause::ClassEssential,
            Clause::ClassEssentialIs,
        ),
        (
            Class::Supplementary,
            Clause::ClassSupplementary,
            Clause::ClassSupplementaryIs,
        ),
        (
            Class::Editorial,
            Clause::ClassEditorial,
            Clause::ClassEditorialIs,
        ),
    ];
    let groups = classes.map(|(class, title, meaning)| {
        let changes: Vec<_> = comparison.of_class(class).collect();
        Group {
            class: class.word(),
            title: (say(title), say(meaning)),
            counted: say(Clause::NoticeCounted {
                count: changes.len().to_string(),
            }),
            lines: lines(&changes, words),
        }
    });
    let mut groups: Vec<_> = groups.into();
    groups.retain(|group| !group.lines.is_empty());
    groups
}

fn lines(changes: &[&Change], words: &Words) -> Vec<Line> {
    let same = |a: &&Change, b: &&Change| {
        a.variable == b.variable && a.rating.class_entry.id == b.rating.class_entry.id
    };
    let together = changes.chunk_by(same);
    together
        .filter_map(|changes| line(changes, words))
        .collect()
}

fn line(changes: &[&Change], words: &Words) -> Option<Line> {
    let rating = &changes.first()?.rating;
    let why = rating.why.as_ref().and_then(|why| words.statement(why));
    let why = match (why, rating.undecided()) {
        (Some(why), true) => Some(format!("{why} {}", words.render(Clause::NoticeUndecided))),
        (why, _) => why.map(str::to_owned),
    };
    let mut items: Vec<(String, String)> = Vec::new();
    for change in changes {
        let differs = differs(change, words);
        let mut of = in_words(change.variable, &change.of, words);
        if change.no_joint {
            of = format!("{of} ({})", words.render(Clause::NoJoint));
        }
        // A change that several sizes share is printed once.
        match items.iter_mut().find(|(_, known)| *known == differs) {
            Some((known, _)) if !of.is_empty() => {
                // Only sizes are joined by commas; other names may contain some.
                let sized = |fact: &Option<Fact>| fact.as_ref().is_some_and(|f| f.size.is_some());
                let and = if sized(&change.old) || sized(&change.new) {
                    ", "
                } else {
                    "; "
                };
                *known = format!("{known}{and}{of}");
            }
            _ => items.push((of, differs)),
        }
    }
    Some(Line {
        name: capitalized(&name(changes.first()?, words)),
        items,
        why,
        basis: (!rating.undecided()).then(|| words.source(&rating.class_entry.source)),
    })
}

fn name(change: &Change, words: &Words) -> String {
    let name = words.statement(&change.rating.name);
    name.unwrap_or(change.variable).to_owned()
}

fn capitalized(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next();
    let upper = first.into_iter().flat_map(char::to_uppercase);
    upper.chain(letters).collect()
}

/// A change in words. Text by the author is not repeated: both papers have it.
fn differs(change: &Change, words: &Words) -> String {
    let editorial = change.rating.class == Class::Editorial;
    let value = |fact: &Option<Fact>| {
        let fact = fact.as_ref()?;
        match fact.value {
            Value::Present => None,
            Value::Text(_) if editorial => None,
            Value::Text(_) => Some(format!("“{}”", fact.shown)),
            Value::Word(_) => Some(in_words(change.variable, &fact.shown, words)),
            Value::Quantity(
                Quantity::LengthRange(_)
                | Quantity::DurationRange(_)
                | Quantity::TemperatureRange(_),
            ) => {
                let to = format!(" {} ", words.render(Clause::To));
                Some(fact.shown.replace(" to ", &to))
            }
            _ => Some(fact.shown.clone()),
        }
    };
    words.render(match (value(&change.old), value(&change.new)) {
        (Some(was), Some(is)) => Clause::ChangeWas { was, is },
        (None, Some(is)) => Clause::ChangeNew { is },
        (Some(was), None) => Clause::ChangeGone { was },
        (None, None) => match change.kind {
            ChangeKind::Added => Clause::ChangeAdded,
            ChangeKind::Removed => Clause::ChangeRemoved,
            _ => Clause::ChangeReworded,
        },
    })
}

/// A keyword of the file format in the paper's language, if it has a translation.
fn in_words(variable: &str, word: &str, words: &Words) -> String {
    let clause = match (variable, word) {
        ("status", "draft") => Clause::NoticeDraft,
        ("status", "qualified") => Clause::NoticeQualified,
        ("status", "withdrawn") => Clause::NoticeWithdrawn,
        ("service", "gas") => Clause::ServiceGas,
        ("service", "water") => Clause::ServiceWater,
        ("service", "geothermal") => Clause::ServiceGeothermal,
        ("service", "industrial") => Clause::ServiceIndustrial,
        ("cleaning-agent", "isopropyl alcohol") => Clause::AgentIsopropylAlcohol,
        ("cleaning-agent", "dry cloth") => Clause::AgentDryCloth,
        ("cleaning-agent", "water") => Clause::AgentWater,
        ("cleaning-agent", "acetone") => Clause::AgentAcetone,
        ("fitting-kind", "coupling") => Clause::FittingCoupling,
        ("fitting-kind", "elbow") => Clause::FittingElbow,
        ("fitting-kind", "tee") => Clause::FittingTee,
        ("fitting-kind", "reducer") => Clause::FittingReducer,
        ("fitting-kind", "threaded transition") => Clause::FittingThreadedTransition,
        ("fitting-kind", "cap") => Clause::FittingCap,
        ("spigot-fitting", "spigot") => Clause::FittingSpigot,
        (_, "yes") => Clause::WordYes,
        (_, "no") => Clause::WordNo,
        _ => return word.to_owned(),
    };
    words.render(clause)
}
