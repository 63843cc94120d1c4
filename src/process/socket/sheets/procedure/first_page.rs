//! The first page: what the procedure covers, the times, who signs, what is where,
//! which revisions there were and what governs. It stands before the sections and
//! has no number of theirs.

use serde::Serialize;

use super::facts::{self, Fact};
use super::records;
use super::times::guide_values;
use crate::core::units::Length;
use crate::papers::fonts::line_width;
use crate::papers::sheets::block::{SignatureLabels, SignatureRole};
use crate::papers::sheets::cell::Cell;
use crate::papers::sheets::procedure::writer::{Clause, Writer, format, work};
use crate::papers::sheets::records::Glossary;
use crate::process::socket::sheets::joint_times::{JointTimes, Limit};
use crate::spec::{Paper, Revision, Status};

/// Type sizes of words and numbers in the black bar, in points, largest first.
const BAR_TYPE: [[f64; 2]; 3] = [[10.0, 14.0], [9.0, 13.0], [8.0, 12.0]];
/// The same where none of them fits.
const LEAST_BAR_TYPE: [f64; 2] = [8.0, 10.0];

/// What a cell of the bar takes beside its words and its number.
const BAR_GAPS_MM: f64 = 11.0;

#[derive(Debug, Clone, Serialize)]
pub(crate) struct FirstPage {
    pub(crate) facts: Vec<Fact>,
    pub(crate) times: JointTimes,
    pub(crate) times_title: String,
    /// What the times are for: resin, walls, pipe temperature.
    pub(crate) times_for: String,
    /// Type sizes of the black bar.
    pub(crate) bar_type: [f64; 2],
    /// What a size is pushed together with, if not by hand.
    pub(crate) pusher: String,
    /// What the columns mean, and from when each time is counted.
    pub(crate) notes: Vec<String>,
    /// What is not to be done because a number is missing.
    pub(crate) stops: Vec<String>,
    pub(crate) words: Small,
    /// Who does what, and what the words mean, where there is room.
    pub(crate) glossaries: Option<[Glossary; 2]>,
    pub(crate) sign: SignOff,
    pub(crate) contents: String,
    pub(crate) revisions: Revisions,
    /// That the sources have a paper of their own.
    pub(crate) separate: String,
    pub(crate) governs: String,
    pub(crate) limit: String,
    /// Paragraphs of the house style.
    pub(crate) house: Vec<String>,
}

/// The small words under the heads of the table of times.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Small {
    aim: String,
    at_most: String,
    at_least: String,
    in_all: String,
    from_end: String,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct SignOff {
    pub(crate) title: String,
    pub(crate) note: String,
    pub(crate) roles: Vec<SignatureRole>,
    pub(crate) labels: SignatureLabels,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct Revisions {
    pub(crate) title: String,
    pub(crate) columns: [String; 4],
    pub(crate) rows: Vec<[Cell; 4]>,
    /// Whether they are too many for the room beside the contents.
    pub(crate) long: bool,
}

pub(crate) fn first_page(w: &Writer, paper: Paper, letterhead: bool) -> FirstPage {
    // What the words mean that stand on this page says when each time starts.
    let defined = records::on_first_page(w, letterhead);
    let times = JointTimes::new(w.p, w.limits, w.words);
    FirstPage {
        facts: facts::facts(w),
        times_title: w.say(Clause::TitleTimes),
        times_for: times_for(w, &times),
        bar_type: bar_type(&times, paper),
        pusher: w.say(w.practice_words().pusher.word.clone()),
        notes: notes(w, &times, defined),
        stops: stops(w),
        words: Small {
            aim: w.say(Clause::HeadAim),
            at_most: w.say(Clause::HeadAtMost),
            at_least: w.say(Clause::HeadAtLeast),
            in_all: w.say(Clause::HeadInAll),
            from_end: w.say(Clause::HeadFromEnd),
        },
        times,
        glossaries: defined.then(|| records::glossaries(w)),
        sign: SignOff {
            title: w.say(Clause::TitleApproval),
            note: w.say(Clause::Approval),
            roles: roles(w),
            labels: SignatureLabels {
                name: w.say(Clause::LabelName),
                signature: w.say(Clause::LabelSignature),
                date: w.say(Clause::LabelDate),
            },
        },
        contents: w.say(Clause::TitleContents),
        revisions: revisions(w),
        separate: w.say(Clause::SeparateSources {
            paper: w.say(Clause::PaperSources),
        }),
        governs: w.say(Clause::Deference),
        limit: w.say(Clause::ScopeLimit),
        house: Vec::new(),
    }
}

/// `for PE4710, DR 9, DR 11, pipe at 20 to 110 °F`. Walls that differ by size stand in
/// the rows.
fn times_for(w: &Writer, times: &JointTimes) -> String {
    let pipe = w.p.spec.pipe_temperature.as_ref().map(|range| {
        let to = w.say(Clause::To);
        w.say(Clause::TimesPipeAt {
            range: format::temperature_range(w.units(), range.value, &to),
        })
    });
    let parts = [Some(w.resin()), times.walls.clone(), pipe];
    w.say(Clause::TimesFor {
        what: parts.into_iter().flatten().collect::<Vec<_>>().join(", "),
    })
}

/// The largest type in which the bar's cells stand beside each other.
fn bar_type(times: &JointTimes, paper: Paper) -> [f64; 2] {
    let room = Length::from_mm(match paper {
        Paper::Letter => 179.9,
        Paper::A4 => 174.0,
    });
    let width = |[words, numbers]: [f64; 2]| {
        let mut width = 0.0;
        for cell in times.limits.cells() {
            let Limit {
                words: said,
                number,
                mark,
            } = cell;
            width += line_width(said, words).mm() + line_width(number, numbers).mm();
            width += BAR_GAPS_MM + if *mark { 4.5 } else { 0.0 };
        }
        Length::from_mm(width)
    };
    let fits = BAR_TYPE.into_iter().find(|sizes| width(*sizes) <= room);
    fits.unwrap_or(LEAST_BAR_TYPE)
}

fn notes(w: &Writer, times: &JointTimes, defined: bool) -> Vec<String> {
    let words = &w.practice_words().times;
    let has_max = times
        .rows
        .iter()
        .flat_map(|row| &row.times)
        .any(|t| t.max.is_some());
    let mut notes = Vec::new();
    if !defined {
        notes.push(w.say(Clause::TimesCount));
    }
    if has_max {
        notes.push(w.say(match w.p.spec.cold_weather {
            Some(_) => Clause::TimesMaxCold,
            None => Clause::TimesMax,
        }));
    }
    if !defined {
        notes.push(w.say(match work::all_hold_until_cool(w.p) {
            true => Clause::TimesHoldUntilCool,
            false => words.waits.clone(),
        }));
    }
    notes.extend(
        guide_values(w)
            .and_then(|entry| w.words.statement(entry))
            .map(str::to_owned),
    );
    if !defined {
        notes.push(w.say(words.depth.clone()));
    }
    if !defined && work::has_witness_lines(w.p, w.limits) {
        notes.push(w.say(Clause::TimesSight));
    }
    notes.extend(own_times(w, times));
    notes
}

/// Whose times those are that no table has, with their source.
fn own_times(w: &Writer, times: &JointTimes) -> Option<String> {
    let mut sources: Vec<(String, Vec<String>)> = Vec::new();
    for row in &times.rows {
        let Some(own) = &row.own else { continue };
        let mut size = format!("{} {}", row.size, row.system);
        if let Some(walls) = &row.walls {
            size = format!("{size} {walls}");
        }
        match sources.iter_mut().find(|(source, _)| source == own) {
            Some((_, sizes)) => sizes.push(size),
            None => sources.push((own.clone(), vec![size])),
        }
    }
    let listed: Vec<_> = sources
        .iter()
        .map(|(source, sizes)| format!("{} ({source})", sizes.join(", ")))
        .collect();
    (!listed.is_empty()).then(|| {
        w.say(Clause::TimesOwn {
            sizes: listed.join("; "),
        })
    })
}

fn stops(w: &Writer) -> Vec<String> {
    let mut stops = Vec::new();
    if w.p.joints.iter().any(|joint| joint.depth.known().is_none()) {
        stops.push(w.say(w.practice_words().times.depth_unset.clone()));
    }
    if w.p.before_pressure_test.is_none() {
        stops.push(w.say(Clause::TimesTestUnset));
    }
    stops
}

fn roles(w: &Writer) -> Vec<SignatureRole> {
    let roles = [
        (Clause::RolePrepared, None),
        (Clause::RoleReviewed, Some(Clause::RoleReviewedNote)),
        (Clause::RoleApproved, Some(Clause::RoleApprovedNote)),
    ];
    let roles = roles.into_iter().map(|(role, note)| SignatureRole {
        role: w.say(role),
        note: note.map(|note| w.say(note)),
    });
    roles.collect()
}

fn revisions(w: &Writer) -> Revisions {
    let revisions = &w.p.spec.revisions;
    // As lines of a narrow column.
    const LETTERS: usize = 16;
    const MOST_LINES: usize = 12;
    let lines = revisions.iter().map(|revision| {
        let change = revision.change.as_ref();
        1 + change.map_or(0, |change| change.value.chars().count() / LETTERS)
    });
    let long = lines.sum::<usize>() > MOST_LINES;
    let rows = revisions.iter().enumerate().map(|(place, revision)| {
        let newest = place + 1 == revisions.len();
        [
            Cell::plain(revision.number.value.to_string()),
            Cell::plain(revision.date.value.to_string()),
            Cell::plain(effective(w, revision, newest)),
            match &revision.change {
                Some(change) => Cell::plain(&change.value).lang(w.text_lang),
                None => Cell::plain(format::DASH),
            },
        ]
    });
    Revisions {
        title: w.say(Clause::TitleRevisions),
        columns: [
            Clause::ColumnRevision,
            Clause::ColumnDate,
            Clause::ColumnEffective,
            Clause::ColumnChange,
        ]
        .map(|column| w.say(column)),
        rows: rows.collect(),
        long,
    }
}

/// A revision's effective date. The issue date does not tell it, and the newest
/// revision of a draft is not in effect, whatever date is planned.
fn effective(w: &Writer, revision: &Revision, newest: bool) -> String {
    if newest && w.p.spec.status.value == Status::Draft {
        return w.say(Clause::NotInForce);
    }
    match &revision.effective {
        Some(effective) => effective.value.to_string(),
        None => w.say(Clause::NotStated),
    }
}
