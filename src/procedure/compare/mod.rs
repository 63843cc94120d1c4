//! Two procedures → what differs between them in the trade's words, each change
//! classed by the table `essential-variables`, and whether the procedure and
//! its fusers must be qualified again. The program compares; the organization
//! and the authority decide.
//!
//! Sizes, walls, and times are compared as they resolve, both against today's
//! tables, so a change of the tables is not a change of the procedure. The
//! weight of a change is a table, not code; a class that was looked for and not
//! found counts as essential until the organization decides. A record proves a
//! change if the earlier spec does not cite it, it names the later revision, it
//! is no older than the earlier one, and one of its joints counts.

mod change_kind;
mod facts;
mod rating;
pub(crate) mod rules;

use std::collections::BTreeMap;

use chrono::NaiveDate;

pub(crate) use change_kind::ChangeKind;
pub(crate) use facts::facts;
pub use rating::Fusers;
pub(crate) use rating::{Class, Rating, rating};

use crate::core::size::Size;
use crate::procedure::record::support;
use crate::procedure::resolve::Procedure;
use crate::published::Library;
use crate::spec::Status;
pub(crate) use crate::spec::fact::{Fact, Quantity, Value};

/// What a fuser makes a joint by: its times and its depth.
const OF_THE_JOINT: [&str; 6] = [
    "heating",
    "change-over",
    "hold",
    "handling-wait",
    "gauge-depth",
    "stated-depth",
];

/// A revision of a procedure.
#[derive(Debug, Clone)]
pub struct Side {
    /// Number of the procedure.
    pub number: String,
    /// Its revision.
    pub revision: u32,
    /// The date of the revision.
    pub date: NaiveDate,
    /// Effective date, if given.
    pub effective: Option<NaiveDate>,
    /// The revision's own description of its change.
    pub change: Option<String>,
    /// Status of the procedure.
    pub status: Status,
    /// Digest of the spec and the files it names, in hexadecimal.
    pub digest: String,
}

/// One difference.
#[derive(Debug, Clone)]
pub struct Change {
    /// The field, as the table `essential-variables` names it.
    pub variable: &'static str,
    /// The kind of change.
    pub kind: ChangeKind,
    /// What it applies to, such as a size; empty if there is only one.
    pub of: String,
    /// What the earlier procedure states.
    pub old: Option<Fact>,
    /// What the later procedure states.
    pub new: Option<Fact>,
    /// Class and consequences.
    pub rating: Rating,
    /// Whether it is a time or the depth of a size that the later procedure cannot join,
    /// because it has no depth for it.
    pub no_joint: bool,
}

/// The differences between two procedures.
#[derive(Debug, Clone)]
pub struct Comparison {
    /// The earlier one.
    pub old: Side,
    /// The later one.
    pub new: Side,
    /// The differences, by class, in the order of the table.
    pub changes: Vec<Change>,
    /// Numbers of the records that prove the changes.
    pub proof: Vec<String>,
}

impl Comparison {
    /// The changes of a class.
    pub(crate) fn of_class(&self, class: Class) -> impl Iterator<Item = &Change> {
        let changes = self.changes.iter();
        changes.filter(move |change| change.rating.class == class)
    }

    /// Whether the procedure must be qualified again.
    pub fn requalify(&self) -> bool {
        self.of_class(Class::Essential).next().is_some()
    }

    /// The strictest requirement on fusers.
    pub fn fusers(&self) -> Fusers {
        let requirements = self.changes.iter().map(|change| change.rating.fusers);
        requirements.max().unwrap_or(Fusers::Nothing)
    }
}

/// A procedure, the text of its spec and its digest.
#[derive(Debug, Clone, Copy)]
pub struct Input<'a> {
    /// The procedure.
    pub procedure: &'a Procedure<'a>,
    /// The text of its spec.
    pub text: &'a str,
    /// The digest of its spec and the files it names, in hexadecimal.
    pub digest: &'a str,
}

/// Compares an earlier procedure with a later one.
pub fn compare(old: Input<'_>, new: Input<'_>, limits: &Library) -> Comparison {
    let mut changes = find_changes(
        facts(old.procedure, old.text),
        facts(new.procedure, new.text),
        |variable, of, old, new| {
            let kind = match (old, new) {
                (None, Some(_)) => ChangeKind::Added,
                (Some(_), None) => ChangeKind::Removed,
                (Some(old), Some(new)) => new.value.change_from(&old.value)?,
                (None, None) => return None,
            };
            Some((variable, of.to_owned(), kind))
        },
    );
    drop_changes_of_other_sizes(&mut changes, sizes(old.procedure), sizes(new.procedure));
    drop_new_revisions(&mut changes, old.procedure);
    let supported = supported(new.procedure, limits);
    let without_depth = |size: Size| {
        let mut sizes = new.procedure.sizes();
        sizes.any(|joint| joint.size == size && joint.depth.known().is_none())
    };
    let rated = changes.into_iter().filter_map(|(change, old, new)| {
        let (variable, of, kind) = change;
        let way = match (variable, kind) {
            ("pipe", ChangeKind::Added) if supported.contains(&of) => "added-in-range",
            ("resin", ChangeKind::Changed) if other_family(&old, &new, limits) => "family",
            (_, kind) => kind.key(),
        };
        Some(Change {
            // A test looks up every variable, so none is dropped here.
            rating: rating::rating(limits, variable, way)?,
            no_joint: OF_THE_JOINT.contains(&variable)
                && new
                    .as_ref()
                    .or(old.as_ref())
                    .and_then(|fact| fact.size)
                    .is_some_and(without_depth),
            variable,
            kind,
            of,
            old,
            new,
        })
    });
    let mut changes: Vec<_> = rated.collect();
    changes.sort_by_key(|change| {
        let place = rating::place(limits, change.variable);
        (change.rating.class, place, change.kind)
    });
    Comparison {
        proof: rules::proof(old.procedure, new.procedure, limits)
            .into_iter()
            .filter(|(_, refused)| refused.is_none())
            .map(|(cited, _)| cited.number.value.clone())
            .collect(),
        old: side(old),
        new: side(new),
        changes,
    }
}

/// Facts with the same name in both procedures, paired in order.
type Pair = (Vec<Fact>, Vec<Fact>);
/// Variable, what it applies to, and the kind of change.
type Difference = (&'static str, String, ChangeKind);
/// A difference with the fact of each side.
type RawChange = (Difference, Option<Fact>, Option<Fact>);

fn find_changes(
    old: Vec<Fact>,
    new: Vec<Fact>,
    kind: impl Fn(&'static str, &str, Option<&Fact>, Option<&Fact>) -> Option<Difference>,
) -> Vec<RawChange> {
    let mut index: BTreeMap<(&'static str, String), usize> = BTreeMap::new();
    let mut pairs: Vec<Pair> = Vec::new();
    let sided = new.into_iter().map(|fact| (fact, true));
    for (fact, later) in sided.chain(old.into_iter().map(|fact| (fact, false))) {
        let next = pairs.len();
        let at = *index
            .entry((fact.variable, fact.of.clone()))
            .or_insert(next);
        if at == next {
            pairs.push((Vec::new(), Vec::new()));
        }
        if let Some((old, new)) = pairs.get_mut(at) {
            if later { new } else { old }.push(fact);
        }
    }
    let mut differing = Vec::new();
    for (old, new) in pairs {
        let (mut old, mut new) = (old.into_iter(), new.into_iter());
        loop {
            let (old, new) = (old.next(), new.next());
            let Some(fact) = new.as_ref().or(old.as_ref()) else {
                break;
            };
            if let Some(differs) = kind(fact.variable, &fact.of, old.as_ref(), new.as_ref()) {
                differing.push((differs, old, new));
            }
        }
    }
    differing
}

fn sizes(procedure: &Procedure<'_>) -> Vec<Size> {
    procedure.sizes().map(|joint| joint.size).collect()
}

/// Drops the tools and times of an added or removed size: the size is reported once.
fn drop_changes_of_other_sizes(changes: &mut Vec<RawChange>, old: Vec<Size>, new: Vec<Size>) {
    changes.retain(|((variable, _, kind), was, is)| {
        let size = is.as_ref().or(was.as_ref()).and_then(|fact| fact.size);
        let Some(size) = size.filter(|_| *variable != "pipe") else {
            return true;
        };
        match kind {
            ChangeKind::Added => old.contains(&size) || !new.contains(&size),
            ChangeKind::Removed => new.contains(&size) || !old.contains(&size),
            _ => true,
        }
    });
}

/// Drops the new entries of the revision list: they are why the two are compared.
fn drop_new_revisions(changes: &mut Vec<RawChange>, old: &Procedure<'_>) {
    let of_revision = |variable| matches!(variable, "revision" | "effective" | "revision-change");
    let revisions = &old.spec.revisions;
    let known: Vec<_> = revisions
        .iter()
        .map(|r| r.number.value.to_string())
        .collect();
    changes.retain(|((variable, of, kind), ..)| {
        *kind != ChangeKind::Added || !of_revision(*variable) || known.contains(of)
    });
}

/// The pipes that the test joints support, as facts name them.
fn supported(procedure: &Procedure<'_>, limits: &Library) -> Vec<String> {
    let support = support(procedure, limits);
    let uncovered = support.uncovered(procedure);
    let units = procedure.practice().units;
    let pipes = procedure
        .joints
        .iter()
        .flat_map(|joint| joint.pipes.iter().map(move |pipe| (joint, pipe)));
    pipes
        .filter(|(_, pipe)| !uncovered.iter().any(|row| std::ptr::eq(row.pipe, *pipe)))
        .map(|(joint, pipe)| format!("{} {}", joint.size, pipe.label.full_name(units)))
        .collect()
}

/// Whether the resins are different polymers, as far as the tables know.
fn other_family(old: &Option<Fact>, new: &Option<Fact>, limits: &Library) -> bool {
    let family = |fact: &Option<Fact>| {
        let resin = limits.resin(&fact.as_ref()?.shown)?;
        Some(resin.group.family())
    };
    family(old) != family(new)
}

fn side(input: Input<'_>) -> Side {
    let spec = input.procedure.spec;
    let last = spec.revisions.last();
    Side {
        number: spec.number.value.clone(),
        // Decoding rejects a spec without a revision.
        revision: last.map_or(0, |revision| revision.number.value),
        date: last.map(|revision| revision.date.value).unwrap_or_default(),
        effective: last.and_then(|revision| Some(revision.effective.as_ref()?.value)),
        change: last.and_then(|revision| Some(revision.change.as_ref()?.value.clone())),
        status: spec.status.value,
        digest: input.digest.to_owned(),
    }
}
