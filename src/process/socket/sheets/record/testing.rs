//! The test rows of a record form: a group for each kind of test, with its
//! criterion.

use crate::core::units::print::marked;
use crate::papers::sheets::clause::Clause;
use crate::procedure::record::Outcome;
use crate::process::socket::sheets::record::{Column, Form, RecordGroup, RecordRow, test_name};
use crate::spec::record::{
    Burst, Criterion, Crush, FailedAt, JointTest, Straps, Sustained, Tensile, TestFigures,
};

/// A row's text for a test; `None` if the test is of another kind.
type RowText<'f> = &'f dyn Fn(&TestFigures) -> Option<String>;

impl Form<'_> {
    /// A filled-in form has only groups for the tests in its record.
    pub(crate) fn tests(&self, columns: &[Column<'_>], all: &[Column<'_>]) -> Vec<RecordGroup> {
        let groups = [
            (Clause::TestStraps, self.straps(columns)),
            (Clause::TestTensile, self.tensile(columns)),
            (Clause::TestBurst, self.burst(columns)),
            (Clause::TestSustained, self.sustained(columns)),
            (Clause::TestCrush, self.crush(columns)),
        ];
        let mut kept = Vec::new();
        for (kind, mut rows) in groups {
            let is = |test: &JointTest| test_name(&test.figures) == kind;
            let mut filled = all.iter().copied().flatten().peekable();
            let blank = filled.peek().is_none();
            let used = filled.any(|joint| joint.joint.tests.iter().any(is));
            if !blank && !used {
                continue;
            }
            if !blank {
                rows.insert(0, self.tested_on(columns, &kind));
            }
            rows.extend(self.results(columns, &kind, blank));
            kept.push(RecordGroup {
                note: self.note(&kind),
                title: self.say(kind),
                rows,
            });
        }
        kept
    }

    /// The criterion for a kind of test, with its source.
    fn note(&self, kind: &Clause) -> Option<String> {
        let (id, stated) = match kind {
            Clause::TestStraps => ("joint-tests:straps:text", false),
            Clause::TestTensile => ("joint-tests:tensile:text", false),
            Clause::TestCrush => ("record-criteria:crush:text", true),
            _ => ("record-criteria:pressure:text", true),
        };
        let entry = self.limits.entry(id)?;
        let source = self.words.source(&entry.source);
        Some(self.say(if stated {
            Clause::RecordCriterionStated { source }
        } else {
            let text = self.words.statement(entry)?.to_owned();
            Clause::RecordCriterionWithSource { text, source }
        }))
    }

    fn test_row(&self, label: Clause, columns: &[Column<'_>], shown: RowText<'_>) -> RecordRow {
        self.row(label, columns, |joint| {
            let tests = joint.tests.iter();
            let lines: Vec<_> = tests.filter_map(|test| shown(&test.figures)).collect();
            lines.join("\n")
        })
    }

    /// The day of the test.
    fn tested_on(&self, columns: &[Column<'_>], kind: &Clause) -> RecordRow {
        self.row(Clause::RecordTested, columns, |joint| {
            let tests = joint.tests.iter();
            let of_kind = tests.filter(|test| test_name(&test.figures) == *kind);
            let days = of_kind.filter_map(|test| test.date.as_ref());
            let days: Vec<_> = days.map(|date| date.value.to_string()).collect();
            days.join("\n")
        })
    }

    /// The witness's result and, on a filled-in form, the result by the numbers.
    fn results(&self, columns: &[Column<'_>], kind: &Clause, blank: bool) -> Vec<RecordRow> {
        let is = |test: &JointTest| test_name(&test.figures) == *kind;
        // One row of a blank form takes both, and the form its two pages.
        let label = if blank {
            Clause::RecordDayAndResult
        } else {
            Clause::RecordResult
        };
        let witness = self.row(label, columns, |joint| {
            let tests = joint.tests.iter().filter(|test| is(test));
            let lines: Vec<_> = tests
                .map(|test| self.witnessed(test.result.value))
                .collect();
            lines.join("\n")
        });
        if blank {
            return vec![witness];
        }
        let cell = |column: &Column<'_>| {
            let pairs = column
                .iter()
                .flat_map(|joint| joint.joint.tests.iter().zip(&joint.verdicts));
            let lines: Vec<_> = pairs
                .filter(|(test, _)| is(test))
                .map(|(_, verdict)| {
                    self.say(match verdict.outcome {
                        Outcome::Pass => Clause::WordPass,
                        Outcome::Fail => Clause::WordFail,
                        Outcome::NotJudged => Clause::WordNotJudged,
                    })
                })
                .collect();
            lines.join("\n")
        };
        let figures = RecordRow {
            label: self.say(Clause::RecordByFigures),
            hint: None,
            cells: columns.iter().map(cell).collect(),
            judged: true,
        };
        vec![witness, figures]
    }

    fn straps(&self, columns: &[Column<'_>]) -> Vec<RecordRow> {
        let row = |label, of: fn((u32, u32, u32)) -> u32| {
            self.test_row(label, columns, &|test| match test {
                TestFigures::Straps(Straps {
                    straps,
                    with_voids,
                    failed_in_joint,
                }) => {
                    let counts = (straps.value, with_voids.value, failed_in_joint.value);
                    Some(of(counts).to_string())
                }
                _ => None,
            })
        };
        vec![
            row(Clause::RecordStraps, |(straps, _, _)| straps),
            row(Clause::RecordVoids, |(_, voids, _)| voids),
            row(Clause::RecordFailedStraps, |(_, _, failed)| failed),
        ]
    }

    fn tensile(&self, columns: &[Column<'_>]) -> Vec<RecordRow> {
        vec![
            self.test_row(Clause::RecordElongation, columns, &|test| match test {
                TestFigures::Tensile(Tensile { elongation, .. }) => Some(marked(&elongation.text)),
                _ => None,
            }),
            self.test_row(Clause::RecordFailure, columns, &|test| match test {
                TestFigures::Tensile(Tensile { failure, .. }) => {
                    Some(self.say(match failure.value {
                        FailedAt::Joint => Clause::WordInJoint,
                        FailedAt::Outside => Clause::WordOutsideJoint,
                        FailedAt::Nowhere => Clause::WordNoFailure,
                    }))
                }
                _ => None,
            }),
            self.test_row(Clause::RecordAtLeast, columns, &|test| match test {
                TestFigures::Tensile(Tensile { criterion, .. }) => {
                    self.stated(criterion, |least| marked(&least.at_least.text))
                }
                _ => None,
            }),
        ]
    }

    fn stated<T>(
        &self,
        criterion: &Option<Criterion<T>>,
        limit: impl Fn(&T) -> String,
    ) -> Option<String> {
        let criterion = criterion.as_ref()?;
        Some(self.say(Clause::WithSource {
            limit: limit(&criterion.limit),
            source: criterion.source.value.clone(),
        }))
    }

    fn burst(&self, columns: &[Column<'_>]) -> Vec<RecordRow> {
        vec![
            self.test_row(Clause::RecordBurst, columns, &|test| match test {
                TestFigures::Burst(Burst { pressure, .. }) => Some(marked(&pressure.text)),
                _ => None,
            }),
            self.test_row(Clause::RecordAtLeast, columns, &|test| match test {
                TestFigures::Burst(Burst { criterion, .. }) => {
                    self.stated(criterion, |least| marked(&least.at_least.text))
                }
                _ => None,
            }),
        ]
    }

    fn sustained(&self, columns: &[Column<'_>]) -> Vec<RecordRow> {
        let for_time = |pressure: &str, time: &str| {
            self.say(Clause::PressureFor {
                pressure: marked(pressure),
                time: marked(time),
            })
        };
        vec![
            self.test_row(Clause::RecordSustained, columns, &|test| match test {
                TestFigures::Sustained(Sustained { pressure, time, .. }) => {
                    Some(for_time(&pressure.text, &time.text))
                }
                _ => None,
            }),
            self.test_row(Clause::RecordLeaked, columns, &|test| match test {
                TestFigures::Sustained(Sustained { failed, .. }) => {
                    Some(self.say(if failed.value {
                        Clause::WordYes
                    } else {
                        Clause::WordNo
                    }))
                }
                _ => None,
            }),
            self.test_row(Clause::RecordAtLeast, columns, &|test| match test {
                TestFigures::Sustained(Sustained { criterion, .. }) => self
                    .stated(criterion, |least| {
                        for_time(&least.pressure.text, &least.time.text)
                    }),
                _ => None,
            }),
        ]
    }

    fn crush(&self, columns: &[Column<'_>]) -> Vec<RecordRow> {
        vec![
            self.test_row(Clause::RecordSeparated, columns, &|test| match test {
                TestFigures::Crush(Crush { separated, .. }) => Some(marked(&separated.text)),
                _ => None,
            }),
            self.test_row(Clause::RecordAtMost, columns, &|test| match test {
                TestFigures::Crush(Crush { criterion, .. }) => {
                    self.stated(criterion, |most| marked(&most.at_most.text))
                }
                _ => None,
            }),
        ]
    }
}
