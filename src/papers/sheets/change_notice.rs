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
use crate::spec::{Status, TO_BE_MEASURED};

#[derive(Debug, Clone, Serialize)]
pub(crate) struct ChangeNotice {
    pub(crate) frame: Frame,
    pub(crate) title: String,
    /// From when the later revision counts, and what that means for the earlier.
    pub(crate) bar: EffectiveBar,
    /// What is required of the procedure, and of the fusers.
    pub(crate) answers: [Answer; 2],
    /// Heading of the changes, and what to do with them.
    pub(crate) changes: [String; 2],
    /// What the later revision says of itself.
    pub(crate) account: Option<String>,
    /// Item, both revisions, why it matters, told.
    pub(crate) columns: [String; 5],
    /// The changes by class; empty classes are left out.
    pub(crate) groups: Vec<NoticeGroup>,
    /// Printed if nothing differs.
    pub(crate) nothing: Option<String>,
    /// What the paper is, and who decides.
    pub(crate) caution: String,
    /// The two specs that were compared, with their digests.
    pub(crate) compared: [String; 2],
    pub(crate) sign: SignLabels,
    /// Beside a time or depth of a size that nobody may join.
    pub(crate) no_joint: String,
}

/// The black bar of a notice.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct EffectiveBar {
    pub(crate) label: String,
    /// The date, or that there is none.
    pub(crate) date: String,
    pub(crate) until: String,
    pub(crate) then: String,
}

/// The labels of what is signed.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct SignLabels {
    /// Heading, and who signs.
    pub(crate) title: [String; 2],
    pub(crate) issued: String,
    pub(crate) received: String,
    pub(crate) destroyed: String,
    pub(crate) name: String,
    pub(crate) badge: String,
    pub(crate) signature: String,
    pub(crate) date: String,
    pub(crate) count: String,
    pub(crate) by: String,
}

/// The changes of a class as rows.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct NoticeGroup {
    pub(crate) class: &'static str,
    /// Name and meaning of the class.
    pub(crate) title: (String, String),
    pub(crate) rows: Vec<NoticeRow>,
    /// Editorial changes are run together instead: nobody works by them.
    pub(crate) text: Option<String>,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct NoticeRow {
    pub(crate) item: String,
    /// In the earlier and in the later revision.
    pub(crate) was: String,
    pub(crate) is: String,
    /// Whether nobody may join the size.
    pub(crate) no_joint: bool,
    pub(crate) why: String,
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

#[derive(Debug, Clone)]
pub(crate) struct Group {
    pub(crate) class: &'static str,
    /// Name and meaning of the class.
    pub(crate) title: (String, String),
    pub(crate) lines: Vec<Line>,
}

/// All changes of one variable in one direction.
#[derive(Debug, Clone)]
pub(crate) struct Line {
    pub(crate) name: String,
    /// What each change applies to, if to something in particular, and the change
    /// itself.
    pub(crate) items: Vec<(String, String)>,
    /// The same for the columns of the notice.
    pub(crate) rows: Vec<NoticeRow>,
    /// Why it is in its class.
    pub(crate) why: Option<String>,
    /// The source of its class; `None` if the organization decides.
    pub(crate) basis: Option<String>,
}

pub(crate) fn change_notice(comparison: &Comparison, mut frame: Frame) -> ChangeNotice {
    let words = frame.words.clone();
    let say = |clause| words.render(clause);
    let title = say(Clause::PaperChangeNotice);
    frame.name_document(&title);
    let nothing = comparison.changes.is_empty();
    let of_revision = |side: &Side| {
        say(Clause::NoticeOfRevision {
            revision: side.revision.to_string(),
        })
    };
    let groups = change_groups(comparison, &words);
    ChangeNotice {
        title,
        bar: bar(comparison, &words),
        answers: [
            procedure_answer(comparison, &words),
            fusers_answer(comparison, &words),
        ],
        changes: [say(Clause::NoticeChanges), say(Clause::NoticeTick)],
        account: comparison.new.change.clone(),
        columns: [
            say(Clause::NoticeItem),
            of_revision(&comparison.old),
            of_revision(&comparison.new),
            say(Clause::NoticeWhy),
            say(Clause::NoticeTold),
        ],
        groups: (groups.into_iter()).map(notice_group).collect(),
        nothing: nothing.then(|| say(Clause::NoticeNothing)),
        caution: say(Clause::NoticeCaution),
        compared: [&comparison.old, &comparison.new].map(|side| compared(side, &words)),
        sign: SignLabels {
            title: [say(Clause::NoticeSign), say(Clause::NoticeWhoSigns)],
            issued: say(Clause::NoticeIssuedBy),
            received: say(Clause::NoticeReceivedBy),
            destroyed: say(Clause::NoticeDestroyed),
            name: say(Clause::LabelName),
            badge: say(Clause::NoticeBadge),
            signature: say(Clause::LabelSignature),
            date: say(Clause::LabelDate),
            count: say(Clause::NoticeCount),
            by: say(Clause::NoticeByDate),
        },
        no_joint: say(Clause::NoJoint),
        frame,
    }
}

fn notice_group(group: Group) -> NoticeGroup {
    let editorial = group.class == Class::Editorial.word();
    let said = |line: &Line| {
        let items = line.items.iter().map(|(of, differs)| match of.as_str() {
            "" => differs.clone(),
            of => format!("{of}, {differs}"),
        });
        format!("{}: {}.", line.name, items.collect::<Vec<_>>().join("; "))
    };
    let text: Vec<_> = group.lines.iter().map(said).collect();
    NoticeGroup {
        class: group.class,
        title: group.title,
        text: editorial.then(|| text.join(" ")),
        rows: if editorial {
            Vec::new()
        } else {
            group.lines.into_iter().flat_map(|line| line.rows).collect()
        },
    }
}

/// From when the later revision counts.
fn bar(comparison: &Comparison, words: &Words) -> EffectiveBar {
    let say = |clause| words.render(clause);
    let earlier = || comparison.old.revision.to_string();
    let withdrawn = comparison.new.status == Status::Withdrawn;
    let dated = comparison.new.effective.filter(|_| !withdrawn);
    let (date, until) = match dated {
        Some(day) => (
            day.to_string(),
            Clause::NoticeUntil {
                revision: earlier(),
            },
        ),
        None if withdrawn => (say(Clause::NoticeNever), Clause::NoticeUntilNever),
        None => (
            say(Clause::NoticeNoDate),
            Clause::NoticeUntilDated {
                revision: earlier(),
            },
        ),
    };
    EffectiveBar {
        label: say(Clause::NoticeEffective),
        date,
        until: say(until),
        then: say(Clause::NoticeDestroy {
            revision: earlier(),
        }),
    }
}

/// Which spec a side is: revision, date, status and digest.
fn compared(side: &Side, words: &Words) -> String {
    let status = words.render(match side.status {
        Status::Draft => Clause::NoticeDraft,
        Status::Qualified => Clause::NoticeQualified,
        Status::Withdrawn => Clause::NoticeWithdrawn,
    });
    let revision = words.render(Clause::NoticeRevision {
        revision: side.revision.to_string(),
        date: side.date.to_string(),
        status,
    });
    let label = words.render(Clause::DigestLabel);
    format!("{revision}, {label} {}", digest::short(&side.digest))
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

/// What is told where nothing has changed.
pub(crate) fn no_difference(comparison: &Comparison) -> &'static str {
    match comparison.old.digest == comparison.new.digest {
        true => "Nothing that the specs state differs: they are the same, byte for byte.",
        false => "Nothing that the specs state differs; comments, order or units do.",
    }
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
    let name = capitalized(&name(changes.first()?, words));
    Some(Line {
        rows: rows(changes, &name, why.as_deref().unwrap_or_default(), words),
        name,
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

/// The changes of a line for the columns of the notice. What only one revision
/// states stands in that one's column, and shares its row with what the other
/// states in its place.
fn rows(changes: &[&Change], name: &str, why: &str, words: &Words) -> Vec<NoticeRow> {
    let none = || words.render(Clause::NoticeNone);
    let mut rows: Vec<NoticeRow> = Vec::new();
    let (mut gone, mut new): (Vec<String>, Vec<String>) = (Vec::new(), Vec::new());
    for change in changes {
        let of = in_words(change.variable, &change.of, words);
        let [was, is] = [
            value(change, &change.old, words),
            value(change, &change.new, words),
        ];
        let of_value = |value: Option<String>| match value {
            Some(value) if of.is_empty() => value,
            Some(value) => format!("{of}, {value}"),
            None => of.clone(),
        };
        match (&change.old, &change.new) {
            (Some(_), None) => gone.push(of_value(was)),
            (None, Some(_)) => new.push(of_value(is)),
            _ => {
                let is = is.unwrap_or_else(|| words.render(Clause::ChangeReworded));
                let was = was.unwrap_or_default();
                let same = |row: &&mut NoticeRow| {
                    (&row.was, &row.is, row.no_joint) == (&was, &is, change.no_joint)
                };
                match rows.iter_mut().find(same) {
                    Some(row) if !of.is_empty() => row.item = format!("{}, {of}", row.item),
                    _ => rows.push(NoticeRow {
                        item: if of.is_empty() {
                            name.to_owned()
                        } else {
                            format!("{name}: {of}")
                        },
                        was,
                        is,
                        no_joint: change.no_joint,
                        why: why.to_owned(),
                    }),
                }
            }
        }
    }
    if !gone.is_empty() || !new.is_empty() {
        let list = |of: &[String]| match of {
            [] => none(),
            of => of.join("\n"),
        };
        rows.push(NoticeRow {
            item: name.to_owned(),
            was: list(&gone),
            is: list(&new),
            no_joint: changes
                .iter()
                .any(|change| change.no_joint && change.old.is_none()),
            why: why.to_owned(),
        });
    }
    rows
}

/// What a revision states, if that can be shown. Text by the author is not
/// repeated for an editorial change: both papers have it.
fn value(change: &Change, fact: &Option<Fact>, words: &Words) -> Option<String> {
    let fact = fact.as_ref()?;
    let editorial = change.rating.class == Class::Editorial;
    match fact.value {
        Value::Present => None,
        Value::Text(_) if editorial => None,
        Value::Text(_) => Some(format!("“{}”", fact.shown)),
        Value::Word(_) => Some(in_words(change.variable, &fact.shown, words)),
        Value::Quantity(
            Quantity::LengthRange(_) | Quantity::DurationRange(_) | Quantity::TemperatureRange(_),
        ) => {
            let to = format!(" {} ", words.render(Clause::To));
            Some(fact.shown.replace(" to ", &to))
        }
        _ => Some(fact.shown.clone()),
    }
}

/// A change in words.
fn differs(change: &Change, words: &Words) -> String {
    let value = |fact: &Option<Fact>| value(change, fact, words);
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
        (_, TO_BE_MEASURED) => Clause::WordToBeMeasured,
        (_, "yes") => Clause::WordYes,
        (_, "no") => Clause::WordNo,
        _ => return word.to_owned(),
    };
    words.render(clause)
}
