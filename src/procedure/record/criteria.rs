//! Judges each destructive test by a criterion that was read in its source or that the
//! record states with a source. Without a criterion, a test is not judged.

use crate::core::units::Percent;
use crate::published::{Basis, Entry, Library};
use crate::spec::Written;
use crate::spec::record::{
    Burst, Criterion, Crush, FailedAt, JointTest, LeastElongation, LeastHeld, Straps, Sustained,
    Tensile, TestFigures, Witnessed,
};

/// Result of a test.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Outcome {
    /// The numbers meet the criterion.
    Pass,
    /// They do not meet it.
    Fail,
    /// There is no criterion.
    NotJudged,
}

/// The verdict on a test.
#[derive(Debug, Clone)]
pub struct Verdict {
    /// The result.
    pub outcome: Outcome,
    /// The test's numbers and the criterion, in words.
    pub numbers: String,
    /// Source of the criterion.
    pub source: String,
    /// Basis of the criterion.
    pub basis: Basis,
}

impl Verdict {
    fn new(passes: bool, numbers: String, source: &str, basis: Basis) -> Self {
        Self {
            outcome: if passes { Outcome::Pass } else { Outcome::Fail },
            numbers,
            source: source.to_owned(),
            basis,
        }
    }

    fn none(numbers: String, limits: &Library, id: &str) -> Self {
        let named = limits.entry(id);
        Self {
            outcome: Outcome::NotJudged,
            numbers,
            source: named.map_or_else(String::new, |entry| entry.source.clone()),
            basis: Basis::NotFound,
        }
    }

    /// Whether the witness contradicts the numbers.
    pub(crate) fn contradicts(&self, witnessed: Witnessed) -> bool {
        matches!(
            (self.outcome, witnessed),
            (Outcome::Pass, Witnessed::Fail) | (Outcome::Fail, Witnessed::Pass)
        )
    }
}

/// The trade's name for a test.
pub(crate) fn test_name(figures: &TestFigures) -> &'static str {
    match figures {
        TestFigures::Straps(_) => "strap test",
        TestFigures::Tensile(_) => "tensile test",
        TestFigures::Burst(_) => "burst test",
        TestFigures::Sustained(_) => "sustained pressure test",
        TestFigures::Crush(_) => "crush test",
    }
}

/// Judges a test by its criterion.
pub(crate) fn judge(test: &JointTest, limits: &Library) -> Verdict {
    match &test.figures {
        TestFigures::Straps(Straps {
            straps,
            with_voids,
            failed_in_joint,
        }) => by_straps(
            (straps.value, with_voids.value, failed_in_joint.value),
            limits,
        ),
        TestFigures::Tensile(Tensile {
            elongation,
            failure,
            criterion,
        }) => by_tension(elongation, failure.value, criterion.as_ref(), limits),
        TestFigures::Burst(Burst {
            pressure,
            criterion,
        }) => match criterion {
            None => Verdict::none(pressure.text.clone(), limits, PRESSURE),
            Some(asked) => Verdict::new(
                pressure.value >= asked.limit.at_least.value,
                format!("{}; at least {}", pressure.text, asked.limit.at_least.text),
                &asked.source,
                Basis::Organization,
            ),
        },
        TestFigures::Sustained(Sustained {
            pressure,
            time,
            failed,
            criterion,
        }) => {
            let ended = if failed.value { "failed" } else { "no failure" };
            let numbers = format!("{} for {}, {ended}", pressure.text, time.text);
            match criterion {
                None => Verdict::none(numbers, limits, PRESSURE),
                Some(asked) => {
                    let LeastHeld {
                        pressure: least,
                        time: long,
                    } = &asked.limit;
                    Verdict::new(
                        !failed.value && pressure.value >= least.value && time.value >= long.value,
                        format!("{numbers}; at least {} for {}", least.text, long.text),
                        &asked.source,
                        Basis::Organization,
                    )
                }
            }
        }
        TestFigures::Crush(Crush {
            separated,
            criterion,
        }) => {
            let numbers = format!("{} separated", separated.text);
            match criterion {
                None => Verdict::none(numbers, limits, CRUSH),
                Some(asked) => Verdict::new(
                    separated.value <= asked.limit.at_most.value,
                    format!("{numbers}; at most {}", asked.limit.at_most.text),
                    &asked.source,
                    Basis::Organization,
                ),
            }
        }
    }
}

/// Row on criteria for pressure tests.
const PRESSURE: &str = "record-criteria:pressure:text";
/// Row on the criterion for crush tests.
const CRUSH: &str = "record-criteria:crush:text";
/// Row with the minimum number of straps.
const STRAPS: &str = "record-criteria:straps:straps";
/// Row on where a tensile specimen may fail.
const TENSILE: &str = "record-criteria:tensile:text";

fn by_straps((straps, voids, failed): (u32, u32, u32), limits: &Library) -> Verdict {
    let named = limits.entry(STRAPS);
    let fewest = named
        .and_then(Entry::text)
        .and_then(|text| text.parse::<u32>().ok());
    let numbers = format!("{straps} straps, {voids} with voids, {failed} failed in the joint");
    let Some((fewest, named)) = fewest.zip(named) else {
        return Verdict::none(numbers, limits, STRAPS);
    };
    Verdict::new(
        straps >= fewest && voids == 0 && failed == 0,
        format!("{numbers}; at least {fewest} straps, no void, no failure in the joint"),
        &named.source,
        named.basis,
    )
}

/// A failure outside the joint passes. Elongation alone decides nothing by the tables,
/// because the read and recalled criteria contradict each other; it is compared with the
/// limit the record states.
fn by_tension(
    elongation: &Written<Percent>,
    failure: FailedAt,
    criterion: Option<&Criterion<LeastElongation>>,
    limits: &Library,
) -> Verdict {
    let failed = match failure {
        FailedAt::Joint => "failed in the joint",
        FailedAt::Outside => "failed outside the joint",
        FailedAt::Nowhere => "did not fail",
    };
    let numbers = format!("{} elongation, {failed}", elongation.text);
    let named = limits.entry(TENSILE);
    match (failure, named, criterion) {
        (FailedAt::Outside, Some(named), _) => {
            Verdict::new(true, numbers, &named.source, named.basis)
        }
        (_, _, Some(asked)) => Verdict::new(
            elongation.value >= asked.limit.at_least.value,
            format!(
                "{numbers}; at least {}, or a failure outside the joint",
                asked.limit.at_least.text
            ),
            &asked.source,
            Basis::Organization,
        ),
        _ => Verdict::none(numbers, limits, TENSILE),
    }
}
