//! The pocket card: what a fuser reads with the pipe in hand. Short lines only;
//! the template chooses the smallest trim that holds them at readable sizes.

use serde::Serialize;

use super::block::Cell;
use super::clause::Clause;
use super::clauses::Clauses;
use super::format;
use super::frame::Frame;
use super::metric;
use crate::limits::{Figure, Library, Practice, Sourced};
use crate::resolve::{Joint, Procedure};
use crate::spec::Paper;
use crate::units::{Duration, Length, LengthUnit};

/// All that the card says.
#[derive(Debug, Clone, Serialize)]
pub struct CardSheet {
    /// What every paper carries.
    pub frame: Frame,
    /// The word before a card's number when there are several.
    pub card_label: String,
    /// Card sizes, smallest first.
    pub trims: Vec<Trim>,
    /// The sheet the cards are cut from.
    pub page: SheetSize,
    /// Front.
    pub front: Front,
    /// Back.
    pub back: Back,
    /// What is said around the cards.
    pub notes: Notes,
}

/// The size a card is cut to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Trim {
    /// What the size is called.
    pub name: String,
    /// Its width.
    pub width_mm: f64,
    /// Its height.
    pub height_mm: f64,
    /// Radius of its corners.
    pub radius_mm: f64,
}

/// The size of a sheet of paper.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SheetSize {
    /// Its width.
    pub width_mm: f64,
    /// Its height.
    pub height_mm: f64,
}

/// The front of the card: figures.
#[derive(Debug, Clone, Serialize)]
pub struct Front {
    /// What the card is for.
    pub heading: String,
    /// The resin.
    pub resin: String,
    /// What the window is of.
    pub window_label: String,
    /// The window on the practice's scale.
    pub window: String,
    /// The window on the other scale.
    pub window_other: Option<String>,
    /// Headings of the columns.
    pub columns: Columns,
    /// One row a size.
    pub rows: Vec<Row>,
    /// What is the same for all sizes.
    pub common: Vec<Cell>,
    /// What is written in by hand.
    pub blank: Blank,
}

/// Headings of the columns, heating in the middle.
#[derive(Debug, Clone, Serialize)]
pub struct Columns {
    /// Over the sizes.
    pub size: String,
    /// Over what is set before heating.
    pub before: Vec<String>,
    /// Over the heating time.
    pub heat: String,
    /// Over the times after it.
    pub after: Vec<String>,
}

/// A size on the card, or one of its groups of walls.
#[derive(Debug, Clone, Serialize)]
pub struct Row {
    /// Nominal size.
    pub size: String,
    /// Its system.
    pub system: String,
    /// Its walls, where the size has more than one row.
    pub walls: Option<String>,
    /// What is set before heating: insertion depth and, of inch pipe, diameter.
    pub before: Vec<Cell>,
    /// Heating, shortest first.
    pub heat: Cell,
    /// The times after heating.
    pub after: Vec<Cell>,
}

/// A line to write on.
#[derive(Debug, Clone, Serialize)]
pub struct Blank {
    /// What to write.
    pub label: String,
    /// Its unit.
    pub unit: String,
    /// Whether each size has one.
    pub sizes: bool,
}

/// The back of the card: words.
#[derive(Debug, Clone, Serialize)]
pub struct Back {
    /// The steps.
    pub steps: Vec<String>,
    /// Heads the reasons to reject.
    pub reject_title: String,
    /// Reasons to reject.
    pub reject: Vec<String>,
    /// When to stop and cut.
    pub stop: String,
    /// Whose word governs.
    pub deference: String,
}

/// What is said around the cards.
#[derive(Debug, Clone, Serialize)]
pub struct Notes {
    /// How to print.
    pub print: String,
    /// How to cut.
    pub cut: String,
    /// How to laminate.
    pub lamination: String,
}

/// Writes the card.
pub fn card(procedure: &Procedure, limits: &Library, frame: Frame) -> CardSheet {
    let own = frame.words.clone();
    let words: &Clauses = &own;
    let say = |clause| words.render(clause);
    CardSheet {
        card_label: say(Clause::CardLabel),
        trims: trims(limits),
        page: sheet_size(frame.paper),
        front: front(procedure, limits, words),
        back: back(procedure, words),
        notes: notes(limits, words),
        frame,
    }
}

fn print_length(limits: &Library, key: &str) -> Option<Length> {
    let figure = limits.figure(&format!("print:{key}:length"));
    Some(figure.and_then(Figure::length)?.value)
}

fn trims(limits: &Library) -> Vec<Trim> {
    let radius = print_length(limits, "card-id1-corner").unwrap_or(Length::ZERO);
    [
        ("ID-1", "card-id1"),
        ("ID-2", "card-id2"),
        ("ID-3", "card-id3"),
    ]
    .into_iter()
    .filter_map(|(name, key)| {
        Some(Trim {
            name: name.to_owned(),
            width_mm: print_length(limits, &format!("{key}-width"))?.mm(),
            height_mm: print_length(limits, &format!("{key}-height"))?.mm(),
            radius_mm: radius.mm(),
        })
    })
    .collect()
}

fn sheet_size(paper: Paper) -> SheetSize {
    let (width_mm, height_mm) = match paper {
        Paper::Letter => (215.9, 279.4),
        Paper::A4 => (210.0, 297.0),
    };
    SheetSize {
        width_mm,
        height_mm,
    }
}

fn front(p: &Procedure, limits: &Library, words: &Clauses) -> Front {
    let say = |clause| words.render(clause);
    let to = say(Clause::To);
    let units = p.practice().units();
    let window = |unit| {
        p.window
            .as_ref()
            .map(|window| format::temperature_range(window.value, unit, &to))
    };
    Front {
        heading: say(Clause::CardHeading),
        resin: p.spec.resin.value.clone(),
        window_label: say(Clause::CardWindow),
        window: window(units.temperature_unit()).unwrap_or_else(|| say(Clause::NotStated)),
        window_other: window(units.other_temperature_unit()),
        columns: columns(p, words),
        rows: p.joints.iter().map(|joint| row(p, joint, words)).collect(),
        common: common(p, limits, words),
        blank: blank(p, words),
    }
}

fn columns(p: &Procedure, words: &Clauses) -> Columns {
    let say = |clause| words.render(clause);
    let unit = p.practice().units().length_unit().symbol().to_owned();
    let depth = Clause::CardColumnDepth { unit: unit.clone() };
    let (before, after) = match p.practice() {
        Practice::Us => (
            vec![Clause::CardColumnOd { unit }, depth],
            vec![Clause::CardColumnHold],
        ),
        // The size is the diameter; the times after heating differ by size.
        Practice::Metric if metric::all_hold_until_cool(p) => (
            vec![depth],
            vec![Clause::CardColumnChangeOver, Clause::CardColumnCooling],
        ),
        Practice::Metric => (
            vec![depth],
            vec![
                Clause::CardColumnChangeOver,
                Clause::CardColumnHold,
                Clause::CardColumnCooling,
            ],
        ),
    };
    Columns {
        size: say(Clause::CardColumnSize),
        before: before.into_iter().map(say).collect(),
        heat: say(Clause::CardColumnHeat),
        after: after.into_iter().map(say).collect(),
    }
}

fn row(p: &Procedure, joint: &Joint, words: &Clauses) -> Row {
    let units = p.practice().units();
    // A card has no room for the other unit.
    let length = |figure: &Sourced<Length>| Cell {
        sub: None,
        ..format::length_cell(units, figure)
    };
    let seconds =
        |time: &Option<Sourced<Duration>>| format::or_none(time.as_ref(), format::seconds_cell);
    let depth = joint
        .depth
        .known()
        .map_or_else(|| Cell::plain(words.render(Clause::CardMeasure)), length);
    let (before, after) = match p.practice() {
        Practice::Us => (
            vec![
                format::or_none(joint.outside_diameter.as_ref(), length),
                depth,
            ],
            vec![seconds(&joint.hold)],
        ),
        Practice::Metric => {
            let hold = match &joint.hold {
                Some(hold) => Some(format::seconds_cell(hold)),
                None if metric::all_hold_until_cool(p) => None,
                None => Some(Cell::plain(words.render(Clause::CardUntilCool))),
            };
            let cooling = joint.before_handling.as_ref();
            let mut after = vec![seconds(&joint.change_over)];
            after.extend(hold);
            after.push(format::or_none(cooling, format::minutes_cell));
            (vec![depth], after)
        }
    };
    Row {
        size: joint.size.nominal(),
        system: format::system(joint.size.system()).to_owned(),
        walls: format::shares_size(joint, &p.joints).then(|| format::walls(units, joint)),
        before,
        // One figure would be wrong where pipe and fitting are heated for unlike times.
        heat: match p.unlike(joint.size) {
            Some(_) => Cell::plain(words.render(Clause::CardSeeSheet)),
            None => format::or_none(joint.heat.as_ref(), |heat| {
                format::heating_cell(heat, |seconds| words.render(Clause::CardMost { seconds }))
            }),
        },
        after,
    }
}

/// Change-over and wait, where they are the same for all sizes.
fn common_times(p: &Procedure, words: &Clauses) -> Vec<Cell> {
    let mut lines = Vec::new();
    if let Some(figure) = p.common(|joint| joint.change_over.as_ref()) {
        let time = figure.value.show();
        lines.push(
            Cell::plain(words.render(Clause::CardChangeOver { time }))
                .strong()
                .verify(figure.needs_verifying()),
        );
    }
    if let Some(figure) = p.common(|joint| joint.before_handling.as_ref()) {
        let time = figure.value.show();
        lines.push(
            Cell::plain(words.render(Clause::CardHandling { time }))
                .verify(figure.needs_verifying()),
        );
    }
    lines
}

fn common(p: &Procedure, limits: &Library, words: &Clauses) -> Vec<Cell> {
    let mut lines = match p.practice() {
        Practice::Us => common_times(p, words),
        // Change-over and cooling stand in the table.
        Practice::Metric => {
            let until_cool = metric::all_hold_until_cool(p).then_some(Clause::CardHoldUntilCool);
            let machine = metric::by_machine(p, limits).map(|sizes| Clause::CardMachine { sizes });
            let lines = until_cool.into_iter().chain(machine);
            lines
                .map(|line| Cell::plain(words.render(line)).strong())
                .collect()
        }
    };
    if let Some(figure) = &p.before_pressure_test {
        let time = figure.value.show();
        lines.push(
            Cell::plain(words.render(Clause::CardPressureTest { time }))
                .verify(figure.needs_verifying()),
        );
    }
    let no_cold = p.spec.cold_weather.is_none();
    if let Some(figure) = p.cold_trigger.as_ref().filter(|_| no_cold) {
        let trigger = figure
            .value
            .show_exact(p.practice().units().temperature_unit());
        lines.push(
            Cell::plain(words.render(Clause::CardNoCold { trigger }))
                .verify(figure.needs_verifying()),
        );
    }
    lines
}

/// Today's heating times in the cold; where no joint is made in the cold, the
/// pipe temperature that shows it is not.
fn blank(p: &Procedure, words: &Clauses) -> Blank {
    if p.spec.cold_weather.is_some() {
        return Blank {
            label: words.render(Clause::CardBlank),
            unit: words.render(Clause::CardSeconds),
            sizes: true,
        };
    }
    Blank {
        label: words.render(Clause::CardBlankPipe),
        unit: p.practice().units().temperature_unit().symbol().to_owned(),
        sizes: false,
    }
}

fn back(p: &Procedure, words: &Clauses) -> Back {
    let say = |clause| words.render(clause);
    let set_point = p.spec.heater.set_point.value.0;
    let danger = Clause::CardStepDanger {
        set_point: set_point.show_exact(p.practice().units().temperature_unit()),
    };
    let is_cold = p.spec.cold_weather.is_some();
    let (steps, wrong_place) = match p.practice() {
        Practice::Us => (
            [
                danger,
                Clause::CardStepFaces,
                Clause::CardStepRing,
                Clause::CardStepClean,
                Clause::CardStepHeat,
                if is_cold {
                    Clause::CardStepCountCold
                } else {
                    Clause::CardStepCount
                },
                Clause::CardStepOff,
                Clause::CardStepHold,
            ],
            [Clause::CardRejectRing, Clause::CardRejectDepth],
        ),
        Practice::Metric => (
            [
                danger,
                Clause::CardStepFaces,
                if metric::peel(p) == Some(true) {
                    Clause::CardStepMarkPeel
                } else {
                    Clause::CardStepMark
                },
                Clause::CardStepClean,
                Clause::CardStepHeatMark,
                if is_cold {
                    Clause::CardStepCountMetricCold
                } else {
                    Clause::CardStepCountMetric
                },
                Clause::CardStepOffMark,
                Clause::CardStepHoldMark,
            ],
            [Clause::CardRejectBead, Clause::CardRejectMark],
        ),
    };
    let reject = wrong_place.into_iter().chain([
        Clause::CardRejectGap,
        Clause::CardRejectAngle,
        Clause::CardRejectBuckled,
        Clause::CardRejectDirt,
    ]);
    Back {
        steps: steps.map(say).into(),
        reject_title: say(Clause::CardReject),
        reject: reject.map(say).collect(),
        stop: say(Clause::CardStop),
        deference: say(Clause::CardDeference),
    }
}

fn notes(limits: &Library, words: &Clauses) -> Notes {
    let say = |clause| words.render(clause);
    let seal = |key| {
        print_length(limits, key).map_or_else(
            || say(Clause::NotStated),
            |length| format!("{} mm", length.number(LengthUnit::Millimetre, 0)),
        )
    };
    Notes {
        print: say(Clause::CardPrint),
        cut: say(Clause::CardCut),
        lamination: say(Clause::CardLamination {
            least: seal("lamination-seal-least"),
            most: seal("lamination-seal-most"),
        }),
    }
}
