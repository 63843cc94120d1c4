//! The notice of what differs between two revisions of a procedure: what has to
//! be qualified again, the changes by class, and room to sign. Changes of one
//! variable stand together.

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
    /// What every paper carries.
    pub(crate) frame: Frame,
    /// What it is called.
    pub(crate) title: String,
    /// The earlier revision and the later one.
    pub(crate) sides: [NoticeSide; 2],
    /// What is asked of the procedure and of the fusers.
    pub(crate) answers: [Answer; 2],
    /// The changes by class; a class without one is left out.
    pub(crate) groups: Vec<Group>,
    /// Told where nothing differs.
    pub(crate) nothing: Option<String>,
    /// What the paper is, and who decides.
    pub(crate) caution: String,
    /// Who signs.
    pub(crate) signatures: [String; 2],
    /// What is written on their lines.
    pub(crate) labels: [String; 3],
}

/// One of the two revisions.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct NoticeSide {
    /// Whether it is the earlier or the later one.
    pub(crate) label: String,
    /// Revision, date and status.
    pub(crate) revision: String,
    /// What it says of itself: what it changes, and from when it is in force.
    pub(crate) says: Vec<String>,
    /// Digest of its spec, and what that is called.
    pub(crate) digest: (String, String),
}

/// What is asked for.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Answer {
    /// Of whom.
    pub(crate) label: String,
    /// In a word or two.
    pub(crate) short: String,
    /// In a sentence.
    pub(crate) text: String,
    /// Whether something has to be done before anybody works by it.
    pub(crate) strong: bool,
}

/// The changes of a class.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Group {
    pub(crate) class: &'static str,
    /// What it is called, and what it means.
    pub(crate) title: (String, String),
    /// Its changes by variable.
    pub(crate) lines: Vec<Line>,
    /// What is printed in their place where the page has no room for them.
    pub(crate) counted: String,
}

/// The changes of one variable in one way.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Line {
    /// The variable.
    pub(crate) name: String,
    /// What it is stated of, where that is something, and how it differs.
    pub(crate) items: Vec<(String, String)>,
    /// Why it weighs what it does.
    pub(crate) why: Option<String>,
    /// Where its class is from; none where the organization decides.
    pub(crate) basis: Option<String>,
}

/// Writes the notice.
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
        answers: [procedure(comparison, &words), fusers(comparison, &words)],
        groups: groups(comparison, &words),
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
        says: says(side, words),
        digest: (
            words.render(Clause::DigestLabel),
            digest::short(&side.digest).to_owned(),
        ),
    }
}

/// What a revision says of itself.
pub(crate) fn says(side: &Side, words: &Words) -> Vec<String> {
    let change = side.change.clone();
    let effective = side.effective.map(|day| {
        words.render(Clause::NoticeInForce {
            date: day.to_string(),
        })
    });
    change.into_iter().chain(effective).collect()
}

/// What is asked of the procedure.
pub(crate) fn procedure(comparison: &Comparison, words: &Words) -> Answer {
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

/// What is asked of the fusers.
pub(crate) fn fusers(comparison: &Comparison, words: &Words) -> Answer {
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

/// The changes by class and variable.
pub(crate) fn groups(comparison: &Comparison, words: &Words) -> Vec<Group> {
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
        a.variable == b.variable && a.rating.figure.id == b.rating.figure.id
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
        // What several sizes have in common is said once.
        match items.iter_mut().find(|(_, known)| *known == differs) {
            Some((known, _)) if !of.is_empty() => {
                // What is not a size may have commas of its own.
                let sized = |fact: &Option<Fact>| fact.as_ref().is_some_and(|f| f.size.is_some());
                let and = match sized(&change.old) || sized(&change.new) {
                    true => ", ",
                    false => "; ",
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
        basis: (!rating.undecided()).then(|| words.source(&rating.figure.source)),
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

/// How a change is said. What an author says on the side is not repeated: the
/// earlier and the later paper have it.
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

/// A word of the format in the language of the paper, where it has one.
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
