//! What the records of test joints support: how many joints count, which sizes
//! and walls they cover, and the criteria they were judged by. People who made or
//! witnessed a joint are named only in the record.

use crate::papers::sheets::procedure::writer::{
    Align, Block, Cell, Clause, Section, Writer, format,
};
use crate::procedure::record::{JudgedJoint, Outcome, Support, label, support};
use crate::process::socket::sheets::record::test_name;
use crate::published::Basis;
use crate::spec::WiderRange;

/// The entry with the default range.
const RANGE: &str = "record-criteria:range:text";

/// A line for each record.
fn records(w: &Writer) -> Vec<String> {
    let support = support(w.p, w.limits);
    let line = |named: &crate::spec::record::RecordFile| {
        let of_record = |joint: &&JudgedJoint<'_>| joint.record_file.file == named.file;
        let counted = support.joints.iter().filter(of_record);
        w.say(Clause::QualificationRecordEvaluated {
            number: named.record.number.value.clone(),
            date: named.record.date.value.to_string(),
            revision: named.record.revision.value.to_string(),
            counted: counted.filter(|joint| joint.counts()).count().to_string(),
            joints: named.record.joints.len().to_string(),
        })
    };
    w.p.records.iter().map(line).collect()
}

/// What the records support, and what they do not, and for gas how test joints are tested;
/// `None` where neither is to be said.
pub(crate) fn section(w: &Writer) -> Option<Section> {
    let mut blocks = Vec::new();
    if !w.p.records.is_empty() {
        blocks.extend(supported(w));
    }
    // The tests come from the gas regulation, which applies only to gas.
    let tests = w.statements("joint-tests");
    if w.is_gas() && !tests.is_empty() {
        blocks.push(w.text(Clause::TestsIntro));
        blocks.push(Block::List { items: tests });
    }
    (!blocks.is_empty()).then(|| w.section(Clause::TitleSupport, blocks))
}

fn supported(w: &Writer) -> Vec<Block> {
    let support = support(w.p, w.limits);
    let mut blocks = vec![Block::List { items: records(w) }];
    let rows = rows(w, &support);
    if rows.is_empty() {
        blocks.push(w.text(Clause::SupportNone));
    } else {
        blocks.extend(w.table(
            Clause::SupportCaption,
            vec![
                (Clause::ColumnSizes, Align::Left),
                (Clause::ColumnWallDownTo, Align::Left),
                (Clause::ColumnResin, Align::Left),
                (Clause::ColumnTestJoints, Align::Right),
                (Clause::ColumnPipeOf, Align::Left),
            ],
            rows,
            false,
        ));
    }
    if let Some(range) = w.limits.entry(RANGE) {
        blocks.push(w.text(Clause::SupportRule {
            source: w.words.source(&range.source),
        }));
    }
    if let Some(tested) = support.temperatures() {
        blocks.push(w.text(Clause::SupportTemperatures {
            coldest: w.units().temperature(tested.least),
            hottest: w.units().temperature(tested.most),
        }));
    }
    if let Some(beyond) = support.beyond_temperatures(w.p) {
        let to = w.say(Clause::To);
        blocks.push(w.text(Clause::SupportBeyondTemperatures {
            claimed: format::temperature_range_cell(w.units(), beyond.claimed, &to).in_one_line(),
        }));
    }
    for rule in w.p.spec.qualification.iter().flat_map(|q| &q.range) {
        let source = rule.source.value.clone();
        blocks.push(w.text(match rule.rule.value {
            WiderRange::SmallerSizes => Clause::SupportSmaller { source },
            WiderRange::ThinnerWalls => Clause::SupportThinner { source },
            WiderRange::OtherTemperatures => Clause::SupportOtherTemperatures { source },
        }));
    }
    let uncovered: Vec<_> = support
        .uncovered(w.p)
        .iter()
        .map(|row| format!("{} {}", row.joint.size, row.pipe.label.name(w.units())))
        .collect();
    if !uncovered.is_empty() {
        blocks.push(w.text(Clause::SupportUncovered {
            rows: uncovered.join(", "),
        }));
    }
    let criteria = criteria(w, &support);
    if !criteria.is_empty() {
        blocks.push(w.text(Clause::SupportCriteria));
        blocks.push(Block::List { items: criteria });
    }
    blocks
}

/// A row for each size system.
fn rows(w: &Writer, support: &Support<'_>) -> Vec<Vec<Cell>> {
    let units = w.units();
    let row = |tested: crate::procedure::record::Tested<'_>| {
        let system = tested.smallest.system();
        let of_system =
            |joint: &&JudgedJoint<'_>| joint.counts() && joint.joint.size.value.system() == system;
        let counted = || support.joints.iter().filter(of_system);
        let mut makers: Vec<_> = counted()
            .map(|joint| joint.joint.pipe.maker.value.as_str())
            .collect();
        makers.sort_unstable();
        makers.dedup();
        let sizes = if tested.smallest == tested.largest {
            tested.smallest.to_string()
        } else {
            format!(
                "{} {} {}",
                tested.smallest,
                w.say(Clause::To),
                tested.largest
            )
        };
        let thinnest = tested.thinnest.joint;
        vec![
            Cell::plain(sizes),
            Cell::plain(w.in_print(&units.minimum_length(tested.wall))).below(format!(
                "{} {}",
                thinnest.size.value,
                label(&thinnest.wall).name(units)
            )),
            Cell::plain(w.resin()),
            Cell::plain(tested.joints.to_string()),
            Cell::plain(makers.join(", ")),
        ]
    };
    support.tested().into_iter().map(row).collect()
}

/// Each kind of test with the source of its criterion, once.
fn criteria(w: &Writer, support: &Support<'_>) -> Vec<String> {
    let mut lines = Vec::new();
    for judged in &support.joints {
        for (test, verdict) in judged.joint.tests.iter().zip(&judged.verdicts) {
            let test = w.say(test_name(&test.figures));
            // The author's text is printed as written.
            let source = match verdict.basis {
                Basis::Organization => verdict.source.clone(),
                _ => w.words.source(&verdict.source),
            };
            let line = w.say(match verdict.outcome {
                Outcome::NotJudged => Clause::CriterionLineNone { test, source },
                Outcome::Pass | Outcome::Fail => Clause::CriterionLine { test, source },
            });
            if !lines.contains(&line) {
                lines.push(line);
            }
        }
    }
    lines
}
