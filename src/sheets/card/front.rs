//! The front of the card: one row of figures a size, and what is the same for
//! all of them.

use serde::Serialize;

use crate::limits::{Library, Practice, Sourced};
use crate::resolve::{Joint, Procedure};
use crate::sheets::block::Cell;
use crate::sheets::clause::Clause;
use crate::sheets::clauses::Clauses;
use crate::sheets::resin::{self, Band};
use crate::sheets::{format, metric};
use crate::spec::Service;
use crate::units::print::Bound;
use crate::units::{Duration, Length};

/// The front of the card: figures.
#[derive(Debug, Clone, Serialize)]
pub struct Front {
    /// What the card is for.
    pub heading: String,
    /// The resin.
    pub resin: String,
    /// Its kind in words, and what the pipe carries where its color tells that.
    pub resin_kind: Option<String>,
    /// The color the trade marks such pipe with; never the only sign.
    pub band: Option<Band>,
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
    /// Why the size is not joined; its figures are then not shown.
    pub no_joint: Option<NoJoint>,
    /// What is set before heating: insertion depth and, of inch pipe, diameter.
    pub before: Vec<Cell>,
    /// Heating, shortest first.
    pub heat: Cell,
    /// The times after heating.
    pub after: Vec<Cell>,
}

/// Stands in place of a row's figures.
#[derive(Debug, Clone, Serialize)]
pub struct NoJoint {
    /// That the size is not joined.
    pub word: String,
    /// Why.
    pub reason: String,
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

/// Writes the front.
pub fn front(p: &Procedure, limits: &Library, words: &Clauses) -> Front {
    let say = |clause| words.render(clause);
    let to = say(Clause::To);
    let units = p.practice().units();
    let window = p.window.as_ref();
    let window = window.map(|window| units.temperature_range(window.value, &to));
    let (window, window_other) = window.map(|[first, other]| (first, other)).unzip();
    Front {
        heading: say(Clause::CardHeading),
        resin: p.spec.resin.value.clone(),
        resin_kind: resin_kind(p, words),
        band: resin::band(p),
        window_label: say(Clause::CardWindow),
        window: window.unwrap_or_else(|| say(Clause::NotStated)),
        window_other,
        columns: columns(p, words),
        rows: p.joints.iter().map(|joint| row(p, joint, words)).collect(),
        common: common(p, limits, words),
        blank: blank(p, words),
    }
}

/// What a color of the pipe could tell is told in words.
fn resin_kind(p: &Procedure, words: &Clauses) -> Option<String> {
    let service = match p.spec.service.value {
        Service::Gas => Some(words.render(Clause::ServiceGas)),
        Service::Water => Some(words.render(Clause::ServiceWater)),
        Service::Geothermal | Service::Industrial => None,
    };
    resin::kind(p, words)
        .into_iter()
        .chain(service)
        .reduce(|a, b| format!("{a}, {b}"))
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
        ..format::length_cell(units, figure, Bound::Nominal)
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
        no_joint: joint.depth.known().is_none().then(|| NoJoint {
            word: words.render(Clause::CardMeasure),
            reason: words.render(Clause::CardNotMeasured),
        }),
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

/// Change-over and wait; where the sizes differ, the time that suits them all:
/// the shortest change-over and the longest wait.
fn common_times(p: &Procedure, words: &Clauses) -> Vec<Cell> {
    let mut lines = Vec::new();
    let change_overs = p
        .joints
        .iter()
        .filter_map(|joint| joint.change_over.as_ref());
    if let Some(figure) = change_overs.min_by_key(|time| (time.value, time.standing)) {
        let time = figure.value.show();
        lines.push(
            Cell::plain(words.render(Clause::CardChangeOver { time }))
                .strong()
                .verify(figure.needs_verifying()),
        );
    }
    let waits = p
        .joints
        .iter()
        .filter_map(|joint| joint.before_handling.as_ref());
    if let Some(figure) = waits.max_by_key(|time| (time.value, time.standing)) {
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
            let cooling = until_cool.unwrap_or(Clause::CardCooling);
            let lines = std::iter::once(cooling).chain(machine);
            lines
                .map(|line| Cell::plain(words.render(line)).strong())
                .collect()
        }
    };
    if p.sizes().any(|joint| p.unlike(joint.size).is_some()) {
        lines.push(Cell::plain(words.render(Clause::CardUnlike)).strong());
    }
    if let Some(figure) = &p.before_pressure_test {
        let time = figure.value.show();
        lines.push(
            Cell::plain(words.render(Clause::CardPressureTest { time }))
                .verify(figure.needs_verifying()),
        );
    }
    let unit = p.practice().units().temperature_unit();
    let no_cold = p.spec.cold_weather.is_none();
    // The author's own range says more than the trigger. With a section about cold
    // pipe the table has a column for it, and a line more would take the smallest card.
    if let Some(range) = p.spec.pipe_temperature.as_ref().filter(|_| no_cold) {
        let to = words.render(Clause::To);
        let range = format::temperature_range(p.practice().units(), range.value, &to);
        lines.push(Cell::plain(words.render(Clause::CardPipeRange { range })));
    } else if let Some(figure) = p.cold_trigger.as_ref().filter(|_| no_cold) {
        let trigger = figure.value.printed(unit, Bound::Minimum).show_exact(unit);
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
