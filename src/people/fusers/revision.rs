//! Which revision a qualification holds for. Rosters name procedures, papers
//! name revisions, and a specimen counts for the revision it was made by. It
//! counts for a later one only if the earlier spec was compared and no change
//! asks fusers to qualify again, or if the organization says so with a source.
//! Without either, nobody is called qualified for the later revision.

use std::cmp::Ordering;

use chrono::NaiveDate;

use super::rule_set::{HeldRevision, Rules};
use super::standing::{Standing, State};
use super::term::{Proof, size_list};
use crate::core::size::{Size, SizeSystem};
use crate::procedure::resolve::sizes;
use crate::published::Library;
use crate::spec::{Spec, Status};

/// The revisions listed in a spec, and comparisons with earlier ones.
#[derive(Debug, Clone, Default)]
pub(crate) struct Revisions {
    listed: Vec<Listed>,
    compared: Vec<Compared>,
    /// The sizes of the procedure.
    sizes: Vec<Size>,
    /// Where the procedure stands.
    status: Option<Status>,
}

/// A revision listed in the spec.
#[derive(Debug, Clone, Copy)]
struct Listed {
    number: u32,
    issued: NaiveDate,
    in_force: NaiveDate,
}

/// An earlier revision whose spec was compared with the current one.
#[derive(Debug, Clone)]
struct Compared {
    number: u32,
    /// Changes that require fusers to qualify again; empty if there are none.
    requalifying_changes: String,
}

impl Revisions {
    /// The revisions of a spec. Without an effective date, a revision takes effect on its
    /// own date.
    pub(crate) fn from_spec(spec: &Spec, limits: &Library) -> Self {
        let listed = spec.revisions.iter().map(|revision| Listed {
            number: revision.number.value,
            issued: revision.date.value,
            in_force: revision
                .effective
                .as_ref()
                .map_or(revision.date.value, |day| day.value),
        });
        Self {
            listed: listed.collect(),
            compared: Vec::new(),
            sizes: spec
                .pipe
                .iter()
                .flat_map(|claim| sizes(claim, limits))
                .map(|(size, _)| size)
                .collect(),
            status: Some(spec.status.value),
        }
    }

    /// Adds an earlier revision that was compared with the current one, with the changes
    /// that require requalification.
    pub(crate) fn add_compared(&mut self, number: u32, requalifying_changes: String) {
        self.compared.push(Compared {
            number,
            requalifying_changes,
        });
    }

    /// The revision a specimen was made by, or why it is unknown. If not stated, it is
    /// the one in effect that day. A certificate may be older than the procedure; it then
    /// counts for the first revision.
    fn made_by(&self, proof: &Proof) -> Result<u32, String> {
        let what = &proof.name;
        let Some(named) = proof.revision else {
            let mut latest_first = self.listed.iter().rev();
            let found = latest_first.find(|r| r.in_force <= proof.date);
            let first = self.listed.first();
            return match (found, first) {
                (Some(found), _) => Ok(found.number),
                (None, Some(first)) if proof.certificate => Ok(first.number),
                (None, first) => Err(format!(
                    "{what} is older than {}, the first the spec lists; give the revision it was \
                     made by on the roster: revision in YAML, specimen_revision in CSV",
                    first.map_or_else(String::new, |first| {
                        format!("revision {}, effective {}", first.number, first.in_force)
                    })
                )),
            };
        };
        let Some(place) = self.listed.iter().position(|r| r.number == named) else {
            return Err(format!(
                "{what} is of revision {named}, which the spec does not list; correct the \
                 revision on the roster"
            ));
        };
        let before = place
            .checked_sub(1)
            .and_then(|place| self.listed.get(place));
        match before.filter(|before| proof.date < before.issued) {
            Some(before) => Err(format!(
                "{what} is said to be of revision {named}, and is older than revision {} of {}; \
                 correct the date or the revision on the roster",
                before.number, before.issued
            )),
            None => Ok(named),
        }
    }

    /// The organization's decision that a specimen of an earlier revision holds for the
    /// current one.
    fn held<'a>(
        &self,
        procedure: &str,
        proof: &Proof,
        rules: &'a Rules,
    ) -> Option<&'a HeldRevision> {
        let current = self.listed.last()?.number;
        let made_by = self
            .made_by(proof)
            .ok()
            .filter(|made_by| *made_by != current)?;
        rules.held().iter().find(|held| {
            held.procedure.value == procedure
                && (held.made_by.value, held.holds_for.value) == (made_by, current)
        })
    }

    /// Why nobody can be qualified under the procedure; `None` if somebody can.
    fn not_qualified(&self, procedure: &str) -> Option<String> {
        match self.status? {
            Status::Qualified => None,
            Status::Draft => Some(format!("{procedure} is a draft")),
            Status::Withdrawn => Some(format!("{procedure} is withdrawn")),
        }
    }

    /// Why a specimen does not count for every size of the procedure; `None` if it does
    /// or the roster names no sizes.
    fn larger_sizes(&self, proof: &Proof) -> Option<String> {
        let reached = |size: &&Size| proof.sizes.iter().any(|passed| reaches(*passed, **size));
        let mut beyond: Vec<_> = self.sizes.iter().filter(|s| !reached(s)).copied().collect();
        if proof.sizes.is_empty() || beyond.is_empty() {
            return None;
        }
        beyond.sort_unstable();
        beyond.dedup();
        Some(format!(
            "{} passed in {}, and the procedure is for {} too; test a specimen in the largest \
             size, which counts for smaller pipe as well",
            proof.name,
            size_list(&proof.sizes),
            size_list(&beyond)
        ))
    }

    /// Why a qualification does not hold for the current revision; `None` if it does.
    fn refusal(&self, procedure: &str, proof: &Proof, rules: &Rules) -> Option<String> {
        let current = self.listed.last()?.number;
        let made_by = match self.made_by(proof) {
            Ok(made_by) => made_by,
            Err(why) => return Some(why),
        };
        if made_by == current || self.held(procedure, proof, rules).is_some() {
            return None;
        }
        let what = match proof.revision {
            Some(_) => format!("{} was made by revision {made_by}", proof.name),
            None => format!("{} dates from revision {made_by}", proof.name),
        };
        let own = format!(
            "or, where your organization has decided that it holds, write rules: {{revisions: \
             [{{procedure: {procedure}, made_by: {made_by}, holds_for: {current}, source: …}}]}} \
             in a YAML roster"
        );
        let compared = self.compared.iter().find(|c| c.number == made_by);
        match compared {
            Some(compared) if compared.requalifying_changes.is_empty() => None,
            Some(compared) => Some(format!(
                "{what}, and what changed since asks fusers to qualify again: {}; test a \
                 specimen made by revision {current}, {own}",
                compared.requalifying_changes
            )),
            None => Some(format!(
                "{what}, and nothing shows that it holds for revision {current}; give the spec of \
                 revision {made_by} (--previous of cards, previous in a submittal), {own}"
            )),
        }
    }
}

/// Whether a test in one size counts for another: the same or a smaller pipe. CTS pipe is
/// smaller than IPS pipe of the same nominal size.
fn reaches(passed: Size, other: Size) -> bool {
    let nominal = |size: Size| size.nominal_length();
    match nominal(passed).partial_cmp(&nominal(other)) {
        Some(Ordering::Greater) => true,
        Some(Ordering::Equal) => {
            passed.system() == other.system() || other.system() == SizeSystem::Cts
        }
        _ => false,
    }
}

/// The standing under a procedure's current revision.
pub(crate) fn for_revision<'r>(
    standing: &Standing<'r>,
    revisions: &Revisions,
    rules: &Rules,
) -> Standing<'r> {
    let mut standing = standing.clone();
    let proof = standing.proof.as_ref().filter(|_| standing.qualified());
    let Some((procedure, proof)) = standing.procedure().zip(proof) else {
        return standing;
    };
    if let Some(reason) = revisions.not_qualified(procedure) {
        standing.state = State::ProcedureNotQualified;
        standing.valid_until = None;
        standing.reason = reason;
    } else if let Some(reason) = revisions.refusal(procedure, proof, rules) {
        standing.state = State::OtherRevision;
        standing.valid_until = None;
        standing.reason = reason;
    } else if let Some(reason) = revisions.larger_sizes(proof) {
        standing.state = State::OtherSize;
        standing.valid_until = None;
        standing.reason = reason;
    } else if let Some(held) = revisions.held(procedure, proof, rules) {
        standing.reason = format!(
            "{}; a specimen of revision {} holds for revision {} by {}",
            standing.reason, held.made_by.value, held.holds_for.value, held.source
        );
    }
    standing
}
