//! Pipe and fitting that are heated for different times.

use crate::core::size::{Size, SizeSystem};
use crate::core::units::{Duration, Range, TimeUnit};
use crate::papers::sheets::parts::{Rule, UnlikePairs, runs};
use crate::papers::sheets::procedure::source_rows::SourceRows;
use crate::papers::sheets::procedure::writer::{Block, Cell, Clause, Section, Writer, format};
use crate::procedure::resolve::{Procedure, sequence, unlike_source};
use crate::process::socket::sheets::procedure::scope;
use crate::published::{Basis, Sourced};
use crate::spec::FirstOn;

pub(crate) fn unlike(w: &Writer) -> Option<Section> {
    let fittings = &w.p.spec.fittings;
    let rows: Vec<_> = claimed_pairs(w.p)
        .filter_map(|size| sequence_row(w, size))
        .collect();
    if rows.is_empty() {
        return None;
    }
    let second = w.say(Clause::HeadSecond);
    let head = |clause| [w.say(clause), String::new()];
    let timed = |clause| [w.say(clause), second.clone()];
    let rule = |order, detail| Rule {
        order: runs(&w.say(order), "", false),
        detail: w.say(detail),
    };
    let pairs = UnlikePairs {
        resins: fittings.resin.as_ref().map(|resin| {
            w.say(Clause::UnlikeResins {
                pipe: w.resin(),
                fitting: resin.value.clone(),
            })
        }),
        heads: vec![
            head(Clause::ColumnSize),
            head(Clause::ColumnFirstOn),
            head(Clause::ColumnOtherOn),
            timed(Clause::ColumnBothOff),
            timed(Clause::ColumnPipeHeated),
            timed(Clause::ColumnFittingHeated),
            head(Clause::ColumnRecord),
        ],
        rows,
        rules: vec![
            rule(Clause::UnlikeFirst, Clause::UnlikeFirstThen),
            rule(Clause::UnlikeOther, Clause::UnlikeOtherThen),
            rule(Clause::UnlikeOff, Clause::UnlikeOffThen),
            rule(Clause::UnlikeLate, Clause::UnlikeLateThen),
        ],
        note: w.say(Clause::UnlikeOrder),
    };
    let section = w.section(
        Clause::TitleUnlike,
        vec![Block::UnlikePairs(Box::new(pairs))],
    );
    Some(section.lead(w.say(Clause::UnlikeIntro)))
}

/// What the print lines of pipe and fitting must read.
pub(crate) fn print_line(w: &Writer) -> Clause {
    let resin = w.resin();
    let mut systems: Vec<_> =
        w.p.sizes()
            .map(|joint| joint.size.system())
            .filter(|system| *system != SizeSystem::Metric)
            .map(SizeSystem::name)
            .collect();
    systems.dedup();
    let size = w.say(if systems.is_empty() {
        Clause::StepSize
    } else {
        Clause::StepSizeOf {
            system: systems.join(" / "),
        }
    });
    // Where the sizes differ the wall stands with each in the tables.
    let wall = scope::common_walls(w).unwrap_or_else(|| w.say(Clause::StepWall));
    let of_fittings = w.p.spec.fittings.resin.as_ref();
    match of_fittings.filter(|fitting| fitting.value != resin) {
        None => Clause::StepPrintLineDetail { resin, size, wall },
        Some(fitting) => Clause::StepPrintLineUnlike {
            pipe: resin,
            fitting: fitting.value.clone(),
            size,
            wall,
        },
    }
}

/// The sizes with a sequence of their own on the heater, if any.
pub(crate) fn unlike_sizes(w: &Writer) -> Option<String> {
    let sizes: Vec<_> = claimed_pairs(w.p).map(|size| size.to_string()).collect();
    (!sizes.is_empty()).then(|| sizes.join(", "))
}

fn claimed_pairs<'p>(p: &'p Procedure<'_>) -> impl Iterator<Item = Size> + 'p {
    let sizes = p.sizes().map(|joint| joint.size);
    sizes.filter(|size| p.unlike_pair(*size).is_some())
}

fn sequence_row(w: &Writer, size: Size) -> Option<Vec<Cell>> {
    let pair = w.p.unlike_pair(size)?;
    if !w.p.is_joined(size) {
        let size = Cell::plain(size.to_string()).strong();
        return Some(vec![size, format::no_joint(w.words, 6)]);
    }
    let sequence = sequence(pair)?;
    let verify = sequence.needs_verifying();
    let (pipe, fitting) = (w.say(Clause::PartPipe), w.say(Clause::PartFitting));
    let (first, other) = match sequence.value.first {
        FirstOn::Pipe => (pipe, fitting),
        FirstOn::Fitting => (fitting, pipe),
    };
    let at = |time: Duration| {
        w.say(Clause::AtSeconds {
            seconds: time.number(TimeUnit::Second),
        })
    };
    let on = |part: String, time| Cell::plain(part).below(at(time)).verify(verify).strong();
    let heat = |range: Range<Duration>| {
        let number = Sourced::stated(range, Basis::Organization, "");
        Cell {
            strong: false,
            ..format::heating_cell(&number, |seconds| w.say(Clause::AtMostSeconds { seconds }))
        }
    };
    let off = Sourced::derived(sequence.value.both_off, "", &[sequence.weakest_basis]);
    Some(vec![
        Cell::plain(size.to_string()).strong(),
        on(first, Duration::ZERO),
        on(other, sequence.value.other_on),
        format::heating_cell(&off, |seconds| w.say(Clause::AtMostSeconds { seconds })),
        heat(pair.pipe_heat.value),
        heat(pair.fitting_heat.value),
        Cell::plain(
            pair.record
                .as_ref()
                .map_or_else(String::new, |record| record.value.clone()),
        ),
    ])
}

/// The times of such pairs, for the paper of the sources.
pub(crate) fn add_source_rows(rows: &mut SourceRows, w: &Writer) {
    let to = w.say(Clause::To);
    let show = |range: &Range<Duration>| format::seconds_range(*range, &to);
    for size in claimed_pairs(w.p).filter(|size| w.p.is_joined(*size)) {
        let (Some(pair), of) = (w.p.unlike_pair(size), size.to_string()) else {
            continue;
        };
        for (name, heat) in [
            (Clause::FigureUnlikePipe, &pair.pipe_heat),
            (Clause::FigureUnlikeFitting, &pair.fitting_heat),
        ] {
            let number = Sourced::stated(heat.value, Basis::Organization, unlike_source(pair));
            rows.add(name, &of, &number, show);
        }
        if let Some(sequence) = sequence(pair) {
            rows.add(Clause::FigureUnlikeOn, &of, &sequence, |sequence| {
                sequence.other_on.show()
            });
            rows.add(Clause::FigureUnlikeOff, &of, &sequence, |sequence| {
                show(&sequence.both_off)
            });
        }
    }
}
