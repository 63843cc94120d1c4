//! The front of the card: one row of numbers per size, and what is the same for
//! all sizes.

use serde::Serialize;

use crate::core::units::print::Bound;
use crate::core::units::{Duration, Length, Temperature};
use crate::papers::sheets::block::Cell;
use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::clauses::Clauses;
use crate::papers::sheets::resin::{self, Band};
use crate::papers::sheets::{format, practice, work};
use crate::procedure::resolve::{Joint, Procedure};
use crate::process::socket::practice::PhaseName;
use crate::published::{Basis, Library, Sourced};
use crate::spec::Service;

/// The front of the card: numbers.
#[derive(Debug, Clone, Serialize)]
pub struct Front {
    /// What the card is for.
    pub heading: String,
    /// The resin.
    pub resin: String,
    /// The resin in words, and the service if its color shows that.
    pub resin_kind: Option<String>,
    /// The color that the trade marks such pipe with; never the only sign.
    pub band: Option<Band>,
    /// The walls that the times apply to, if the same for all sizes (else each
    /// row has its own), and the thinnest wall that is fused.
    pub walls: Vec<String>,
    /// The heater's set point.
    pub set_point: String,
    /// Label of the window.
    pub window_label: String,
    /// The window in the practice's unit.
    pub window: String,
    /// The window in the other unit.
    pub window_other: Option<String>,
    /// The pipe temperatures that the card applies to, and what applies outside
    /// them.
    pub limits: Vec<Cell>,
    /// Column headings.
    pub columns: Columns,
    /// One row per size.
    pub rows: Vec<Row>,
    /// What is the same for all sizes.
    pub common: Vec<Cell>,
    /// The line to fill in by hand.
    pub blank: Blank,
}

/// Column headings, with heating in the middle.
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

/// A size on the card, or one of its wall groups.
#[derive(Debug, Clone, Serialize)]
pub struct Row {
    /// Nominal size.
    pub size: String,
    /// Its system.
    pub system: String,
    /// Its walls, if not the same as in every row.
    pub walls: Option<String>,
    /// Why the size is not joined; its numbers are then not shown.
    pub no_joint: Option<NoJoint>,
    /// What is set before heating: insertion depth and, for inch pipe, diameter.
    pub before: Vec<Cell>,
    /// Heating time, shortest first.
    pub heat: Cell,
    /// The times after heating.
    pub after: Vec<Cell>,
}

/// Replaces a row's numbers.
#[derive(Debug, Clone, Serialize)]
pub struct NoJoint {
    /// "No joint", as printed.
    pub word: String,
    pub reason: String,
}

/// A line to write on.
#[derive(Debug, Clone, Serialize)]
pub struct Blank {
    /// What to write.
    pub label: String,
    /// Its unit.
    pub unit: String,
    /// Whether there is one line per size.
    pub sizes: bool,
}

pub(crate) fn front(p: &Procedure, limits: &Library, words: &Clauses) -> Front {
    let say = |clause| words.render(clause);
    let to = say(Clause::To);
    let units = p.practice().units;
    let window = p.window.as_ref();
    let window = window.map(|window| units.temperature_range(window.value, &to));
    let (window, window_other) = window.map(|[first, other]| (first, other)).unzip();
    Front {
        heading: say(Clause::CardHeading),
        resin: p.spec.resin.value.clone(),
        resin_kind: resin_kind(p, words),
        band: resin::band(p),
        walls: walls(p, words),
        set_point: say(Clause::CardSet {
            set_point: p
                .spec
                .heater
                .set_point
                .value
                .0
                .show_exact(units.temperature_unit()),
        }),
        window_label: say(Clause::CardWindow),
        window: window.unwrap_or_else(|| say(Clause::NotStated)),
        window_other,
        limits: pipe_limits(p, limits, words),
        columns: columns(p, limits, words),
        rows: p
            .joints
            .iter()
            .map(|joint| row(p, joint, limits, words))
            .collect(),
        common: common(p, limits, words),
        blank: blank(p, words),
    }
}

/// The resin in words, including whatever its color shows.
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

/// The walls of every row, if all rows have the same.
fn common_walls(p: &Procedure) -> Option<String> {
    let units = p.practice().units;
    let mut walls = p.joints.iter().map(|joint| format::walls(units, joint));
    let first = walls.next().filter(|walls| !walls.is_empty())?;
    walls.all(|walls| walls == first).then_some(first)
}

fn walls(p: &Procedure, words: &Clauses) -> Vec<String> {
    let least = p.spec.least_wall.as_ref().map(|least| {
        words.render(Clause::CardLeastWall {
            wall: format::with_unit(
                p.practice().units,
                &Sourced::stated(least.value.value, Basis::Organization, ""),
                Bound::Minimum,
            ),
        })
    });
    common_walls(p).into_iter().chain(least).collect()
}

/// Every limit on the pipe temperature: the range, where the cold column starts,
/// and below what no joint is made.
fn pipe_limits(p: &Procedure, limits: &Library, words: &Clauses) -> Vec<Cell> {
    let unit = p.practice().units.temperature_unit();
    let say = |clause| Cell::plain(words.render(clause)).strong();
    let range = p.spec.pipe_temperature.as_ref().map(|range| range.value);
    let mut lines = vec![match range {
        Some(range) => {
            let to = words.render(Clause::To);
            let range = format::temperature_range(p.practice().units, range, &to);
            say(Clause::CardPipeRange { range })
        }
        None => say(Clause::CardPipeOpen),
    }];
    let ends_above = |t: Temperature| range.is_some_and(|range| range.least >= t);
    let Some(cold) = &p.spec.cold_weather else {
        // A range that ends above the trigger says more than the trigger does.
        let trigger = p.cold_trigger.as_ref().filter(|t| !ends_above(t.value));
        lines.extend(trigger.map(|number| {
            let trigger = number.value.printed(unit, Bound::Minimum).show_exact(unit);
            say(Clause::CardNoCold { trigger }).verify(number.needs_verifying())
        }));
        return lines;
    };
    lines.extend(p.cold_trigger.as_ref().map(|number| {
        let trigger = number.value.printed(unit, Bound::Minimum).show_exact(unit);
        say(Clause::CardCold { trigger }).verify(number.needs_verifying())
    }));
    let stated = cold
        .no_joints_below
        .as_ref()
        .map(|floor| (floor.value.value, false));
    let published = resin::lowest_ambient(p, limits).map(|f| (f.value, f.needs_verifying()));
    // The end of the range is already printed.
    let floors = [stated, published].into_iter().flatten();
    let floor = floors
        .filter(|(floor, _)| !ends_above(*floor))
        .max_by_key(|(floor, _)| *floor);
    lines.extend(floor.map(|(floor, verify)| {
        let trigger = floor.printed(unit, Bound::Minimum).show_exact(unit);
        say(Clause::CardNoCold { trigger }).verify(verify)
    }));
    lines
}

fn columns(p: &Procedure, limits: &Library, words: &Clauses) -> Columns {
    let say = |clause| words.render(clause);
    let unit = p.practice().units.length_unit().symbol().to_owned();
    let depth = Clause::CardColumnDepth { unit: unit.clone() };
    let witness = work::has_witness_lines(p, limits)
        .then(|| Clause::CardColumnWitness { unit: unit.clone() });
    let practice = p.practice();
    let mut before = Vec::new();
    if !practice.size_is_diameter {
        before.push(Clause::CardColumnOd { unit });
    }
    before.push(depth);
    before.extend(witness);
    let after = phases(p).filter_map(|phase| {
        Some(say(match phase {
            PhaseName::ChangeOver => Clause::CardColumnChangeOver,
            PhaseName::Hold => Clause::CardColumnHold,
            PhaseName::Handling => Clause::CardColumnCooling,
            PhaseName::Heating | PhaseName::PressureTest => return None,
        }))
    });
    Columns {
        size: say(Clause::CardColumnSize),
        before: before.into_iter().map(say).collect(),
        heat: say(Clause::CardColumnHeat),
        after: after.collect(),
    }
}

/// The phases whose time depends on the size; anything the same for all sizes is
/// below the table.
fn phases(p: &Procedure) -> impl Iterator<Item = PhaseName> {
    let by_size = p.practice().times_by_size;
    work::phases(p).filter(move |phase| by_size || *phase == PhaseName::Hold)
}

fn row(p: &Procedure, joint: &Joint, limits: &Library, words: &Clauses) -> Row {
    let units = p.practice().units;
    // A card has no room for the other unit.
    let length = |number: &Sourced<Length>| Cell {
        sub: None,
        ..format::length_cell(units, number, Bound::Nominal)
    };
    let seconds = |time: Option<&Sourced<Duration>>| format::or_dash(time, format::seconds_cell);
    let depth = joint
        .depth
        .known()
        .map_or_else(|| Cell::plain(words.render(Clause::CardMeasure)), length);
    let practice = p.practice();
    let mut before = Vec::new();
    if !practice.size_is_diameter {
        before.push(format::or_dash(joint.outside_diameter.as_ref(), length));
    }
    before.push(depth);
    let after = phases(p).filter_map(|phase| {
        Some(match phase {
            PhaseName::ChangeOver => seconds(joint.cycle.change_over()),
            PhaseName::Hold if work::holds_until_cool(p, joint) => {
                Cell::plain(words.render(Clause::CardUntilCool))
            }
            PhaseName::Hold => seconds(joint.cycle.hold()),
            PhaseName::Handling => {
                format::or_dash(joint.cycle.before_handling(), format::minutes_cell)
            }
            PhaseName::Heating | PhaseName::PressureTest => return None,
        })
    });
    if work::has_witness_lines(p, limits) {
        let line = work::witness_line(p, limits, joint.size);
        before.push(format::or_dash(line.as_ref(), length));
    }
    Row {
        size: joint.size.nominal(),
        system: format::system(joint.size.system()).to_owned(),
        walls: common_walls(p)
            .is_none()
            .then(|| format::walls(units, joint)),
        no_joint: joint.depth.known().is_none().then(|| NoJoint {
            word: words.render(Clause::CardMeasure),
            reason: words.render(Clause::CardNotMeasured),
        }),
        before,
        // One number would be wrong if pipe and fitting are heated for different
        // times.
        heat: match p.unlike_pair(joint.size) {
            Some(_) => Cell::plain(words.render(Clause::CardSeeSheet)),
            None => format::or_dash(joint.cycle.heat(), |heat| {
                format::heating_cell(heat, |seconds| words.render(Clause::CardMost { seconds }))
            }),
        },
        after: after.collect(),
    }
}

/// Change-over and wait. If the sizes differ, the time that is safe for all: the
/// shortest change-over and the longest wait.
fn common_times(p: &Procedure, words: &Clauses) -> Vec<Cell> {
    let mut lines = Vec::new();
    let change_overs = p
        .joints
        .iter()
        .filter_map(|joint| joint.cycle.change_over());
    if let Some(number) = change_overs.min_by_key(|time| (time.value, time.weakest_basis)) {
        let time = number.value.show();
        lines.push(
            Cell::plain(words.render(Clause::CardChangeOver { time }))
                .strong()
                .verify(number.needs_verifying()),
        );
    }
    let waits = p
        .joints
        .iter()
        .filter_map(|joint| joint.cycle.before_handling());
    if let Some(number) = waits.max_by_key(|time| (time.value, time.weakest_basis)) {
        let time = number.value.show();
        lines.push(
            Cell::plain(words.render(Clause::CardHandling { time }))
                .verify(number.needs_verifying()),
        );
    }
    lines
}

fn common(p: &Procedure, limits: &Library, words: &Clauses) -> Vec<Cell> {
    let strong = |clause| Cell::plain(words.render(clause)).strong();
    // If they differ by size, change-over and cooling are in the table.
    let mut lines = match p.practice().times_by_size {
        false => common_times(p, words),
        true if work::all_hold_until_cool(p) => vec![strong(Clause::CardHoldUntilCool)],
        true => vec![strong(Clause::CardCooling)],
    };
    let pusher = practice::words(p.practice()).pusher.card;
    lines.extend(work::pushed(p, limits).map(|sizes| strong(pusher(sizes))));
    if p.sizes().any(|joint| p.unlike_pair(joint.size).is_some()) {
        lines.push(Cell::plain(words.render(Clause::CardUnlike)).strong());
    }
    lines.push(match &p.before_pressure_test {
        Some(number) => {
            let time = number.value.show();
            Cell::plain(words.render(Clause::CardPressureTest { time }))
                .verify(number.needs_verifying())
        }
        None => Cell::plain(words.render(Clause::CardTestUnset)).strong(),
    });
    lines
}

/// Today's cold-weather heating times; if no joint is made in the cold, the
/// measured pipe temperature.
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
        unit: p.practice().units.temperature_unit().symbol().to_owned(),
        sizes: false,
    }
}
