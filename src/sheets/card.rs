//! The pocket card: what a fuser reads with the pipe in hand. Short lines only;
//! the template chooses the smallest trim that holds them at readable sizes.

use serde::Serialize;

use super::block::Cell;
use super::clause::Clause;
use super::clauses::Clauses;
use super::format;
use super::frame::Frame;
use crate::limits::{Figure, Library};
use crate::resolve::{Joint, Procedure};
use crate::spec::Paper;
use crate::units::{Length, LengthUnit, TemperatureUnit};

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
    /// The window in °F.
    pub window: String,
    /// The window in °C.
    pub window_other: Option<String>,
    /// Headings of the columns.
    pub columns: [String; 5],
    /// One row a size.
    pub rows: Vec<Row>,
    /// What is the same for all sizes.
    pub common: Vec<Cell>,
    /// What is written in by hand.
    pub blank: Blank,
}

/// A size on the card.
#[derive(Debug, Clone, Serialize)]
pub struct Row {
    /// Nominal size.
    pub size: String,
    /// Its system.
    pub system: String,
    /// Outside diameter.
    pub od: Cell,
    /// Insertion depth.
    pub depth: Cell,
    /// Heating, shortest first.
    pub heat: Cell,
    /// Hold.
    pub hold: Cell,
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
    let words = Clauses::load(frame.lang);
    let say = |clause| words.render(clause);
    CardSheet {
        card_label: say(Clause::CardLabel),
        trims: trims(limits),
        page: sheet_size(frame.paper),
        front: front(procedure, words),
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

fn front(p: &Procedure, words: &Clauses) -> Front {
    let say = |clause| words.render(clause);
    let to = say(Clause::To);
    let window = |unit| {
        p.window
            .as_ref()
            .map(|window| format::temperature_range(window.value, unit, &to))
    };
    Front {
        heading: say(Clause::CardHeading),
        resin: p.spec.resin.value.clone(),
        window_label: say(Clause::CardWindow),
        window: window(TemperatureUnit::Fahrenheit).unwrap_or_else(|| say(Clause::NotStated)),
        window_other: window(TemperatureUnit::Celsius),
        columns: [
            Clause::CardColumnSize,
            Clause::CardColumnOd,
            Clause::CardColumnDepth,
            Clause::CardColumnHeat,
            Clause::CardColumnHold,
        ]
        .map(say),
        rows: p.joints.iter().map(|joint| row(joint, words)).collect(),
        common: common(p, words),
        blank: blank(p, words),
    }
}

/// A card has no room for the other unit.
fn inches(figure: &crate::limits::Sourced<Length>) -> Cell {
    Cell {
        sub: None,
        ..format::length_cell(figure)
    }
}

fn row(joint: &Joint, words: &Clauses) -> Row {
    Row {
        size: joint.size.nominal(),
        system: joint.size.system().name().to_owned(),
        od: format::or_none(joint.outside_diameter.as_ref(), inches),
        depth: joint
            .depth
            .known()
            .map_or_else(|| Cell::plain(words.render(Clause::CardMeasure)), inches),
        heat: format::or_none(joint.heat.as_ref(), |heat| {
            format::heating_cell(heat, |seconds| words.render(Clause::CardMost { seconds }))
        }),
        hold: format::or_none(joint.hold.as_ref(), format::seconds_cell),
    }
}

fn common(p: &Procedure, words: &Clauses) -> Vec<Cell> {
    let mut lines = Vec::new();
    if let Some(figure) = &p.change_over {
        let time = figure.value.show();
        lines.push(
            Cell::plain(words.render(Clause::CardChangeOver { time }))
                .strong()
                .verify(figure.needs_verifying()),
        );
    }
    if let Some(figure) = &p.before_handling {
        let time = figure.value.show();
        lines.push(
            Cell::plain(words.render(Clause::CardHandling { time }))
                .verify(figure.needs_verifying()),
        );
    }
    if let Some(figure) = &p.before_pressure_test {
        let time = figure.value.show();
        lines.push(
            Cell::plain(words.render(Clause::CardPressureTest { time }))
                .verify(figure.needs_verifying()),
        );
    }
    let no_cold = p.spec.cold_weather.is_none();
    if let Some(figure) = p.cold_trigger.as_ref().filter(|_| no_cold) {
        let trigger = figure.value.show_exact(TemperatureUnit::Fahrenheit);
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
        unit: TemperatureUnit::Fahrenheit.symbol().to_owned(),
        sizes: false,
    }
}

fn back(p: &Procedure, words: &Clauses) -> Back {
    let say = |clause| words.render(clause);
    let set_point = p.spec.heater.set_point.value.0;
    let steps = [
        Clause::CardStepDanger {
            set_point: set_point.show_exact(TemperatureUnit::Fahrenheit),
        },
        Clause::CardStepFaces,
        Clause::CardStepRing,
        Clause::CardStepClean,
        Clause::CardStepHeat,
        if p.spec.cold_weather.is_some() {
            Clause::CardStepCountCold
        } else {
            Clause::CardStepCount
        },
        Clause::CardStepOff,
        Clause::CardStepHold,
    ];
    let reject = [
        Clause::CardRejectRing,
        Clause::CardRejectDepth,
        Clause::CardRejectGap,
        Clause::CardRejectAngle,
        Clause::CardRejectBuckled,
        Clause::CardRejectDirt,
    ];
    Back {
        steps: steps.map(say).into(),
        reject_title: say(Clause::CardReject),
        reject: reject.map(say).into(),
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
