//! The range that the test joints support: in each size system from the smallest to the
//! largest size tested, down to the thinnest wall tested, and from the coldest to the
//! hottest pipe tested. It is wider only by a rule that the spec names with its source.

use super::criteria::Outcome;
use super::joint::{JudgedJoint, judge_joint};
use crate::core::size::Size;
use crate::core::units::{Length, Range, Temperature};
use crate::procedure::resolve::{Joint, Pipe, Procedure};
use crate::published::Library;
use crate::spec::record::TestFigures;
use crate::spec::{RangeRule, WiderRange};

/// What the counting joints of one size system support.
#[derive(Debug, Clone, Copy)]
pub struct Tested<'j> {
    /// The smallest size.
    pub smallest: Size,
    /// The largest size.
    pub largest: Size,
    /// The joint with the thinnest wall.
    pub thinnest: &'j JudgedJoint<'j>,
    /// The thinnest wall.
    pub wall: Length,
    /// Number of joints.
    pub joints: usize,
}

/// A row of the procedure that no test joint supports.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Uncovered<'p> {
    /// The joint of the procedure.
    pub(crate) joint: &'p Joint,
    pub(crate) pipe: &'p Pipe,
    /// Whether the size is outside the tested range.
    pub(crate) by_size: bool,
}

/// What a procedure's records support.
#[derive(Debug, Clone)]
pub struct Support<'r> {
    /// Every test joint, judged.
    pub joints: Vec<JudgedJoint<'r>>,
    smaller_sizes: bool,
    thinner_walls: bool,
    other_temperatures: bool,
}

/// Allowed pipe temperatures beyond those tested.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct BeyondTemperatures {
    /// Range the procedure allows.
    pub(crate) claimed: Range<Temperature>,
    /// Coldest and hottest pipe among counting joints.
    pub(crate) tested: Range<Temperature>,
}

/// Judges every joint in a procedure's records.
pub fn support<'r>(procedure: &Procedure<'r>, limits: &Library) -> Support<'r> {
    let named = |rule: WiderRange| {
        let mut rules = procedure.spec.qualification.iter().flat_map(|q| &q.range);
        rules.any(|named: &RangeRule| named.rule.value == rule)
    };
    let mut joints = Vec::new();
    for record in procedure.records {
        let of_record = record.record.joints.iter();
        joints.extend(of_record.map(|joint| judge_joint(record, joint, procedure, limits)));
    }
    Support {
        joints,
        smaller_sizes: named(WiderRange::SmallerSizes),
        thinner_walls: named(WiderRange::ThinnerWalls),
        other_temperatures: named(WiderRange::OtherTemperatures),
    }
}

impl Support<'_> {
    /// Tested ranges of the counting joints, by size system.
    pub fn tested(&self) -> Vec<Tested<'_>> {
        let mut tested: Vec<Tested<'_>> = Vec::new();
        for joint in self.joints.iter().filter(|joint| joint.counts()) {
            let Some(wall) = joint.wall else {
                continue;
            };
            let size = joint.joint.size.value;
            let system = |known: &&mut Tested<'_>| known.smallest.system() == size.system();
            match tested.iter_mut().find(system) {
                None => tested.push(Tested {
                    smallest: size,
                    largest: size,
                    thinnest: joint,
                    wall,
                    joints: 1,
                }),
                Some(known) => {
                    known.smallest = known.smallest.min(size);
                    known.largest = known.largest.max(size);
                    known.joints += 1;
                    if wall < known.wall {
                        (known.wall, known.thinnest) = (wall, joint);
                    }
                }
            }
        }
        tested.sort_by_key(|tested| tested.smallest);
        tested
    }

    fn counting(&self) -> impl Iterator<Item = &JudgedJoint<'_>> {
        self.joints.iter().filter(|joint| joint.counts())
    }

    /// Coldest and hottest pipe among counting joints.
    pub(crate) fn temperatures(&self) -> Option<Range<Temperature>> {
        let pipes = || self.counting().map(|j| j.joint.pipe_temperature.value.0);
        pipes()
            .min()
            .zip(pipes().max())
            .map(|(coldest, hottest)| Range::new(coldest, hottest))
    }

    /// Pipe temperatures that no joint supports, under the rules the procedure names;
    /// `None` if no joint counts.
    pub(crate) fn beyond_temperatures(
        &self,
        procedure: &Procedure<'_>,
    ) -> Option<BeyondTemperatures> {
        self.outside_temperatures(procedure)
            .filter(|_| !self.other_temperatures)
    }

    /// Pipe temperatures supported only by a wider rule.
    pub(crate) fn widened_temperatures(
        &self,
        procedure: &Procedure<'_>,
    ) -> Option<BeyondTemperatures> {
        self.outside_temperatures(procedure)
            .filter(|_| self.other_temperatures)
    }

    fn outside_temperatures(&self, procedure: &Procedure<'_>) -> Option<BeyondTemperatures> {
        let claimed = procedure.spec.pipe_temperature.as_ref()?.value;
        let tested = self.temperatures()?;
        let reached = tested.contains(claimed.least) && tested.contains(claimed.most);
        (!reached).then_some(BeyondTemperatures { claimed, tested })
    }

    /// Whether a counting joint passed a test of this kind by its numbers.
    pub(crate) fn passed(&self, kind: impl Fn(&TestFigures) -> bool) -> bool {
        self.counting().any(|judged| {
            let mut tests = judged.joint.tests.iter().zip(&judged.verdicts);
            tests.any(|(test, verdict)| verdict.outcome == Outcome::Pass && kind(&test.figures))
        })
    }

    /// Sizes and walls that no joint supports, under the rules the procedure names.
    pub(crate) fn uncovered<'p>(&self, procedure: &'p Procedure<'_>) -> Vec<Uncovered<'p>> {
        self.rows_beyond(procedure, (self.smaller_sizes, self.thinner_walls))
    }

    /// Sizes and walls supported only by a wider rule.
    pub(crate) fn widened<'p>(&self, procedure: &'p Procedure<'_>) -> Vec<Uncovered<'p>> {
        let uncovered = self.uncovered(procedure);
        let mut widened = self.rows_beyond(procedure, (false, false));
        let is = |a: &Uncovered<'_>, b: &Uncovered<'_>| std::ptr::eq(a.pipe, b.pipe);
        widened.retain(|row| !uncovered.iter().any(|other| is(row, other)));
        widened
    }

    fn rows_beyond<'p>(
        &self,
        procedure: &'p Procedure<'_>,
        (smaller, thinner): (bool, bool),
    ) -> Vec<Uncovered<'p>> {
        let tested = self.tested();
        let mut beyond = Vec::new();
        for joint in &procedure.joints {
            let size = joint.size;
            let mut systems = tested.iter();
            let known = systems.find(|known| known.smallest.system() == size.system());
            for pipe in &joint.pipes {
                let by_size = known.is_none_or(|known| {
                    size > known.largest || (size < known.smallest && !smaller)
                });
                let by_wall =
                    known.is_some_and(|known| pipe.minimum_wall.value < known.wall && !thinner);
                if by_size || by_wall {
                    beyond.push(Uncovered {
                        joint,
                        pipe,
                        by_size,
                    });
                }
            }
        }
        beyond
    }
}
