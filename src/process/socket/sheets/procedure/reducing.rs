//! Reducers: each end has its own depth and times.

use crate::papers::sheets::parts::{BarCell, ReducerEnd, ReducerRow, ReducerTable, Rule, runs};
use crate::papers::sheets::procedure::writer::{Block, Cell, Clause, Section, Writer};
use crate::process::socket::sheets::joint_times::{Figure, Heads, JointTimes, Measure, Row, Times};
use crate::spec::FittingKind;

/// A column: its heading with its unit, whether it is emphasized, and its cell.
struct Column {
    head: fn(&Heads) -> [String; 2],
    strong: bool,
    cell: fn(&Times) -> Option<Cell>,
}

fn figure(figure: &Figure) -> Cell {
    Cell::plain(figure.text.clone()).verify(figure.verify)
}

fn measure(measure: &Measure) -> Cell {
    let cell = Cell::plain(measure.text.clone()).verify(measure.verify);
    match &measure.other {
        Some(other) => cell.below(other.clone()),
        None => cell,
    }
}

/// Every column that a practice may print; those that no size fills are left out.
const COLUMNS: [Column; 6] = [
    Column {
        head: |heads| [heads.heat.clone(), heads.second.clone()],
        strong: true,
        cell: |times| Some(figure(&times.heat)),
    },
    Column {
        head: |heads| [heads.max.clone(), heads.second.clone()],
        strong: false,
        cell: |times| times.max.as_ref().map(figure),
    },
    Column {
        head: |heads| [heads.off_heater.clone(), heads.second.clone()],
        strong: false,
        cell: |times| times.off_heater.as_ref().map(figure),
    },
    Column {
        head: |heads| [heads.hold.clone(), heads.second.clone()],
        strong: true,
        cell: |times| times.hold.as_ref().map(figure),
    },
    Column {
        head: |heads| [heads.cool.clone(), heads.minute.clone()],
        strong: false,
        cell: |times| times.cool.as_ref().map(figure),
    },
    Column {
        head: |heads| [heads.depth.clone(), heads.length.clone()],
        strong: false,
        cell: |times| Some(measure(&times.depth)),
    },
];

pub(crate) fn reducing(w: &Writer) -> Option<Section> {
    if !w.covers(FittingKind::Reducer) {
        return None;
    }
    let times = JointTimes::new(w.p, w.limits, w.words);
    let of = |size| {
        let rows = w.p.joints.iter().zip(&times.rows);
        let rows = rows.filter(move |(joint, _)| joint.size == size);
        rows.map(|(_, row)| row).collect::<Vec<_>>()
    };
    let reducers = &w.p.spec.fittings.reducers;
    let ends: Vec<(Option<String>, &Row)> = reducers
        .iter()
        .flat_map(|reducer| {
            let fitting = format!("{} x {}", reducer.large.nominal(), reducer.small);
            let ends = [reducer.large, reducer.small].into_iter().flat_map(of);
            let named = std::iter::once(Some(fitting)).chain(std::iter::repeat(None));
            named.zip(ends).collect::<Vec<_>>()
        })
        .collect();
    let shown: Vec<_> = ends
        .iter()
        .filter_map(|(_, row)| row.times.as_ref())
        .collect();
    let columns: Vec<_> = COLUMNS
        .iter()
        .filter(|column| shown.iter().any(|times| (column.cell)(times).is_some()))
        .collect();
    let dash = || Cell::plain(crate::papers::sheets::format::DASH);
    let cells = |row: &Row| {
        let name = match &row.walls {
            Some(walls) => format!("{} {} {walls}", row.size, row.system),
            None => format!("{} {}", row.size, row.system),
        };
        let mut cells = vec![Cell::plain(name).strong()];
        match (&row.times, &row.no_joint) {
            (Some(times), _) => cells.extend(
                columns
                    .iter()
                    .map(|column| (column.cell)(times).unwrap_or_else(dash)),
            ),
            (None, Some([no_joint, until])) => cells.push(Cell {
                across: columns.len().saturating_sub(1),
                ..Cell::plain(format!("{no_joint} {until}")).strong()
            }),
            (None, None) => {}
        }
        cells
    };
    let mut heads = vec![
        [w.say(Clause::ColumnReducer), String::new()],
        [w.say(Clause::ColumnEnd), String::new()],
    ];
    heads.extend(columns.iter().map(|column| (column.head)(&times.heads)));
    let strong = columns.iter().zip(2..).filter(|(column, _)| column.strong);
    let strong = strong.map(|(_, place)| place).collect();
    let rule = |order, detail| Rule {
        order: runs(&w.say(order), "", false),
        detail: w.say(detail),
    };
    let first = reducers.first();
    let end = |size: Option<String>, note| ReducerEnd {
        size: size.unwrap_or_default(),
        note,
    };
    let limits = &times.limits;
    let hands_off = limits.hands_off.as_ref();
    let wait = match hands_off {
        Some(limit) => Clause::ReducingNotBefore {
            wait: limit.number.clone(),
        },
        None => Clause::ReducingNotBeforeWait,
    };
    let mut bar = Vec::new();
    if !ends.is_empty() {
        bar.extend(limits.off_heater.as_ref().map(|limit| BarCell {
            words: limit.words.clone(),
            number: limit.number.clone(),
            mark: limit.mark,
        }));
        bar.extend(hands_off.map(|limit| BarCell {
            words: w.say(Clause::ReducingBar),
            number: limit.number.clone(),
            mark: limit.mark,
        }));
    }
    let table = ReducerTable {
        alt: w.say(Clause::ReducingAlt),
        ends: [
            end(
                first.map(|reducer| reducer.large.to_string()),
                w.say(Clause::ReducingFirstEnd),
            ),
            end(first.map(|reducer| reducer.small.to_string()), w.say(wait)),
        ],
        ring: w.practice().has_ring(),
        rules: vec![
            rule(Clause::ReducingOneEnd, Clause::ReducingWaitWhy),
            rule(Clause::ReducingAdapters, Clause::ReducingAdaptersThen),
        ],
        heads,
        strong,
        rows: ends
            .into_iter()
            .map(|(fitting, row)| ReducerRow {
                fitting,
                cells: cells(row),
            })
            .collect(),
        bar,
    };
    let lead = if reducers.is_empty() {
        Clause::ReducingUnstated
    } else {
        Clause::ReducingIntro
    };
    let section = w.section(
        Clause::TitleReducing,
        vec![Block::ReducerTable(Box::new(table))],
    );
    Some(section.lead(w.say(lead)))
}
