//! The lid sheet: a laminated page for the inside of the tool box, with the kit to tick
//! off, the times in digits that are read from 1.5 m, every step in a line, what to
//! reject and when to stop. `fit` finds the type sizes before anything is laid out.

mod fit;

use serde::Serialize;

use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::figures::PlatePicture;
use crate::papers::sheets::frame::Frame;
use crate::papers::sheets::procedure::writer::{Writer, work};
use crate::procedure::resolve::Procedure;
use crate::process::socket::sheets::joint_times::{Figure, JointTimes, Limit, Row};
use crate::process::socket::sheets::kit::{Kit, kit};
use crate::process::socket::sheets::procedure::{facts, inspected};
use crate::process::socket::sheets::steps::joint_steps;
use crate::published::Library;
use fit::{Areas, ColumnKind, Fitted};

/// The lid sheet.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct LidSheet {
    pub(crate) frame: Frame,
    title: String,
    /// Resin, system and walls.
    pipe: String,
    /// The band's type size, in points.
    pipe_pt: f64,
    /// The pipe temperatures that are joined at.
    temperature: String,
    /// The heater's set point and the window of its faces.
    heater: Vec<Run>,
    /// Type size of the line, in points.
    heater_pt: f64,
    areas: Areas,
    /// A page for as many sizes as stand on one in legible digits.
    pages: Vec<LidPage>,
    kit: KitPart,
    steps: StepsPart,
    bar: Bar,
    /// What else holds of the times, under the bar.
    notes: Vec<Run>,
    reject: Reject,
    stop: [String; 4],
    /// Whether a number has the mark of one that is not confirmed.
    marked: bool,
}

/// A text, perhaps with the mark of a number that is not confirmed.
#[derive(Debug, Clone, Serialize)]
struct Run {
    text: String,
    verify: bool,
    strong: bool,
}

/// A page of times.
#[derive(Debug, Clone, Serialize)]
struct LidPage {
    /// Which sheet of how many, if there are several.
    of: Option<String>,
    columns: Vec<fit::Column>,
    rows: Vec<LidRow>,
    /// Height of a row, in micrometers.
    row: i64,
}

#[derive(Debug, Clone, Serialize)]
struct LidRow {
    size: String,
    /// Lines beside the size: its walls, the tool that pushes it.
    beside: Vec<String>,
    no_joint: Option<String>,
    cells: Vec<Figure>,
}

/// The kit to tick off.
#[derive(Debug, Clone, Serialize)]
struct KitPart {
    title: String,
    how: String,
    heads: Vec<String>,
    rows: Vec<KitRow>,
    items: Vec<String>,
    /// Heights of a row of the table and of a line of the list, in micrometers.
    row_height: i64,
    line_height: i64,
}

#[derive(Debug, Clone, Serialize)]
struct KitRow {
    size: String,
    /// A box for each head, perhaps with a word behind it.
    boxes: Vec<Option<String>>,
}

#[derive(Debug, Clone, Serialize)]
struct StepsPart {
    title: String,
    rows: Vec<StepRow>,
    /// Type size of the lines, in points.
    pt: f64,
}

#[derive(Debug, Clone, Serialize)]
struct StepRow {
    number: usize,
    line: String,
    alert: bool,
    stop: bool,
    timed: bool,
}

#[derive(Debug, Clone, Serialize)]
struct Bar {
    cells: Vec<Limit>,
    /// Type size of the numbers, in points.
    pt: f64,
}

#[derive(Debug, Clone, Serialize)]
struct Reject {
    word: String,
    how: String,
    names: Vec<String>,
    /// Type size of the names, in points.
    pt: f64,
    bad_melt: String,
}

/// Writes the lid sheet.
pub(crate) fn lid(procedure: &Procedure, limits: &Library, frame: Frame) -> LidSheet {
    let words = frame.words.clone();
    let w = &Writer::new(procedure, limits, &words, frame.text_lang);
    let times = JointTimes::new(procedure, limits, &words);
    let kit = kit(w);
    let notes = notes(w);
    let areas = Areas::new(frame.paper, notes.iter().map(|run| run.text.as_str()));
    let rows: Vec<_> = times
        .rows
        .iter()
        .map(|row| lid_row(w, &times, row))
        .collect();
    let fitted = fit::times(&areas, &columns(w, &times), &rows, times.rows.len());
    let pipe = [Some(w.resin()), times.system.clone(), times.walls.clone()];
    let pipe = pipe
        .into_iter()
        .flatten()
        .collect::<Vec<_>>()
        .join(" \u{b7} ");
    let mut temperature = facts::pipe_temperature(w).into_iter();
    let temperature = temperature.next().map_or_else(String::new, |line| {
        w.say(Clause::LidPipe { range: line.text })
    });
    let heater: Vec<_> = facts::heater(w)
        .into_iter()
        .map(|line| Run {
            text: line.text,
            verify: line.verify,
            strong: true,
        })
        .collect();
    let title = w.say(Clause::LidTitle);
    let mut sheet = LidSheet {
        pipe_pt: fit::band(&areas, &frame, &title, &pipe, &temperature),
        heater_pt: fit::line(&areas, heater.iter().map(|run| run.text.as_str())),
        title,
        pipe,
        temperature,
        heater,
        pages: pages(w, &fitted, rows),
        kit: kit_part(w, &kit, &areas),
        steps: steps(w),
        bar: bar(&times, &areas),
        notes,
        reject: reject(w, &areas, frame.code.is_some()),
        stop: [
            Clause::StopWord,
            Clause::StopTitle,
            Clause::LidNoGas,
            Clause::StopText,
        ]
        .map(|clause| w.say(clause)),
        marked: false,
        areas,
        frame,
    };
    sheet.marked = sheet.has_marks();
    sheet
}

impl LidSheet {
    fn has_marks(&self) -> bool {
        let cells = self.pages.iter().flat_map(|page| &page.rows);
        let mut cells = cells.flat_map(|row| &row.cells);
        let runs = self.notes.iter().chain(&self.heater);
        cells.any(|cell| cell.verify)
            || runs.into_iter().any(|run| run.verify)
            || self.bar.cells.iter().any(|cell| cell.mark)
    }
}

/// The columns of the times that any size has.
fn columns(w: &Writer, times: &JointTimes) -> Vec<(ColumnKind, [String; 2])> {
    let heads = &times.heads;
    let has = |of: &dyn Fn(&crate::process::socket::sheets::joint_times::Times) -> bool| {
        times.rows.iter().flat_map(|row| &row.times).any(of)
    };
    let mut columns = vec![
        (
            ColumnKind::Size,
            [heads.size.clone(), times.system.clone().unwrap_or_default()],
        ),
        (
            ColumnKind::Heat,
            [
                format!("{} {}", heads.heat, heads.second),
                w.say(Clause::HeadAim),
            ],
        ),
    ];
    if has(&|t| t.max.is_some()) {
        columns.push((ColumnKind::Max, [heads.max.clone(), heads.second.clone()]));
    }
    if has(&|t| t.off_heater.is_some()) {
        let sub = format!("{}, {}", heads.second, w.say(Clause::HeadAtMost));
        columns.push((ColumnKind::Off, [heads.off_heater.clone(), sub]));
    }
    if has(&|t| t.hold.is_some()) {
        let sub = format!("{}, {}", heads.second, w.say(Clause::HeadAtLeast));
        columns.push((ColumnKind::Hold, [heads.hold.clone(), sub]));
    }
    if has(&|t| t.cool.is_some()) {
        let sub = format!("{}, {}", heads.minute, w.say(Clause::HeadAtLeast));
        columns.push((ColumnKind::Cool, [heads.cool.clone(), sub]));
    }
    columns.push((
        ColumnKind::Depth,
        [heads.depth.clone(), heads.length.clone()],
    ));
    if has(&|t| t.sight.is_some()) {
        columns.push((
            ColumnKind::Sight,
            [heads.sight.clone(), heads.length.clone()],
        ));
    }
    columns
}

fn lid_row(w: &Writer, times: &JointTimes, row: &Row) -> LidRow {
    let columns = columns(w, times);
    let system = Some(row.system.clone()).filter(|_| times.system.is_none());
    let pushed = row
        .pushed
        .then(|| w.say(w.practice_words().pusher.word.clone()));
    let walls = row.walls.iter().flat_map(|walls| walls.split(", "));
    let mut beside: Vec<_> = system.into_iter().chain(walls.map(str::to_owned)).collect();
    // A low row has room for two lines.
    if row.pushed && beside.len() > 1 {
        beside = vec![beside.join(" ")];
    }
    let cells = row.times.as_ref().map(|t| {
        let of = |kind: &ColumnKind| {
            let measure = |m: &crate::process::socket::sheets::joint_times::Measure| Figure {
                text: m.text.clone(),
                verify: m.verify,
                words: false,
            };
            match kind {
                ColumnKind::Size => None,
                ColumnKind::Heat => Some(t.heat.clone()),
                ColumnKind::Max => t.max.clone(),
                ColumnKind::Off => t.off_heater.clone(),
                ColumnKind::Hold => t.hold.clone(),
                ColumnKind::Cool => t.cool.clone(),
                ColumnKind::Depth => Some(measure(&t.depth)),
                ColumnKind::Sight => t.sight.as_ref().map(measure),
            }
        };
        let own = columns.iter().filter(|(kind, _)| *kind != ColumnKind::Size);
        let empty = || Figure {
            text: String::new(),
            verify: false,
            words: true,
        };
        own.map(|(kind, _)| of(kind).unwrap_or_else(empty))
            .collect()
    });
    LidRow {
        size: row.size.clone(),
        beside: beside.into_iter().chain(pushed).collect(),
        no_joint: row.no_joint.as_ref().map(|words| words.join(" ")),
        cells: cells.unwrap_or_default(),
    }
}

fn pages(w: &Writer, fitted: &Fitted, rows: Vec<LidRow>) -> Vec<LidPage> {
    let chunks: Vec<_> = rows.chunks(fitted.rows_per_page).collect();
    let count = chunks.len();
    let page = |(place, rows): (usize, &[LidRow])| {
        let sizes: Vec<_> = rows.iter().map(|row| row.size.as_str()).collect();
        LidPage {
            of: (count > 1).then(|| {
                w.say(Clause::LidSizesOf {
                    number: (place + 1).to_string(),
                    count: count.to_string(),
                    sizes: sizes.join(", "),
                })
            }),
            columns: fitted.columns.clone(),
            rows: rows.to_vec(),
            row: fitted.row,
        }
    };
    chunks.into_iter().enumerate().map(page).collect()
}

/// When the counts begin, and the limits that stand in no column.
fn notes(w: &Writer) -> Vec<Run> {
    let mut runs: Vec<_> = facts::pipe_temperature(w)
        .into_iter()
        .skip(1)
        .map(|line| Run {
            text: line.text,
            verify: line.verify,
            strong: true,
        })
        .collect();
    runs.extend(w.p.spec.least_wall.as_ref().map(|least| {
        let wall = w.in_print(&w.units().minimum_length(least.value.value));
        Run {
            text: w.say(Clause::LidWall { wall }),
            verify: false,
            strong: true,
        }
    }));
    runs.push(Run {
        text: w.say(match work::all_hold_until_cool(w.p) {
            true => Clause::TimesHoldUntilCool,
            false => w.practice_words().times.waits.clone(),
        }),
        verify: false,
        strong: false,
    });
    runs
}

/// A longer name is cut off; the kit check of the procedure has it whole.
const LONGEST_NAME: usize = 56;

fn kit_part(w: &Writer, kit: &Kit, areas: &Areas) -> KitPart {
    let mut heads = vec![Clause::LidFemale, Clause::LidMale];
    if kit.has_ring {
        heads.extend([Clause::LidGauge, Clause::KitColumnRing]);
    }
    let rows = kit.sizes.iter().map(|tools| {
        let mut boxes = vec![Some(String::new()), Some(String::new())];
        if kit.has_ring {
            boxes.push(Some(String::new()));
            boxes.push(Some(tools.insert_in.map_or_else(String::new, |ring| {
                let size = ring.nominal();
                w.say(Clause::KitInsertIn { size })
            })));
        }
        KitRow {
            size: sized(kit, tools.size),
            boxes,
        }
    });
    let carriers = kit.carriers.iter().map(|size| KitRow {
        size: sized(kit, *size),
        boxes: vec![None, None, None, Some(String::new())],
    });
    let rows: Vec<_> = rows.chain(carriers).collect();
    let items = items(w, kit, areas, rows.len());
    let [row_height, line_height] = fit::kit(areas, rows.len(), &items);
    KitPart {
        title: w.say(Clause::LidKit),
        how: w.say(Clause::LidKitHow),
        heads: heads.into_iter().map(|head| w.say(head)).collect(),
        rows,
        items,
        row_height,
        line_height,
    }
}

/// The names of the list, so that all find room beside a table of some rows: rather one
/// line for all the cutters, each of which the kit check of the procedure names, than a list
/// whose end is cut off.
fn items(w: &Writer, kit: &Kit, areas: &Areas, rows: usize) -> Vec<String> {
    let each = kit.items.iter().map(|item| shortened(&item.name));
    let each: Vec<_> = each.collect();
    if fit::kit_fits(areas, rows, &each) {
        return each;
    }
    let first_cutter = kit.items.iter().position(|item| item.is_cutter);
    let items = kit.items.iter().enumerate();
    let names = items.filter_map(|(at, item)| match item.is_cutter {
        true => (Some(at) == first_cutter).then(|| w.say(Clause::KitCutterAny)),
        false => Some(shortened(&item.name)),
    });
    let names: Vec<_> = names.collect();
    if fit::kit_fits(areas, rows, &names) {
        return names;
    }
    names.iter().map(|name| fit::one_line(name)).collect()
}

fn shortened(name: &str) -> String {
    let mut short: String = name.chars().take(LONGEST_NAME).collect();
    if short.len() < name.len() {
        short.push('\u{2026}');
    }
    short
}

/// The size, with its system where the sizes have several.
fn sized(kit: &Kit, size: crate::core::size::Size) -> String {
    let first = kit.sizes.first().map(|tools| tools.size.system());
    let alike = kit
        .sizes
        .iter()
        .all(|tools| Some(tools.size.system()) == first);
    match alike && Some(size.system()) == first {
        true => size.nominal(),
        false => size.to_string(),
    }
}

fn steps(w: &Writer) -> StepsPart {
    let rows: Vec<_> = joint_steps(w)
        .into_iter()
        .map(|step| StepRow {
            number: step.number,
            line: step.line,
            alert: step.alert,
            stop: step.stop,
            timed: step.timed,
        })
        .collect();
    StepsPart {
        title: w.say(Clause::LidSteps),
        pt: fit::steps(rows.iter().map(|row| row.line.as_str())),
        rows,
    }
}

fn bar(times: &JointTimes, areas: &Areas) -> Bar {
    let cells: Vec<_> = times.limits.cells().cloned().collect();
    Bar {
        pt: fit::bar(areas, &cells),
        cells,
    }
}

fn reject(w: &Writer, areas: &Areas, coded: bool) -> Reject {
    let mut names: Vec<_> = inspected(w)
        .into_iter()
        .filter(|joint| !joint.good && joint.picture != PlatePicture::Dull)
        .map(|joint| joint.title)
        .collect();
    if work::has_witness_lines(w.p, w.limits) {
        names.push(w.say(Clause::LidRejectWitness));
    }
    let steps = joint_steps(w);
    let cut = steps
        .iter()
        .find(|step| step.picture == Some(crate::papers::sheets::figures::StepPicture::Cut));
    Reject {
        word: w.say(Clause::LidReject),
        how: w.say(Clause::LidRejectHow),
        pt: fit::names(areas, &names, coded),
        names,
        bad_melt: w.say(Clause::LidBadMelt {
            step: cut.map_or(1, |step| step.number).to_string(),
        }),
    }
}
