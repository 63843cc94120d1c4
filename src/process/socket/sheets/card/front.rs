//! What the front of the card says: one row of numbers per size, and what is the
//! same for all sizes.

use serde::Serialize;

use crate::core::units::print::Bound;
use crate::core::units::{Duration, Length, Range, Temperature};
use crate::papers::sheets::block::Cell;
use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::clauses::Clauses;
use crate::papers::sheets::resin::{self, Band};
use crate::papers::sheets::{format, practice, work};
use crate::procedure::resolve::{Joint, Procedure};
use crate::process::socket::practice::PhaseName;
use crate::published::{Library, Sourced};
use crate::spec::Service;

/// The front of the card: numbers.
#[derive(Debug, Clone, Serialize)]
pub struct Front {
    /// The resin.
    pub resin: String,
    /// The resin in words, and the service if its color shows that.
    pub resin_kind: Option<String>,
    /// The color that the trade marks such pipe with; never the only sign.
    pub band: Option<Band>,
    /// The walls that the times apply to, if the same for all sizes; else each
    /// row has its own.
    pub walls: Option<String>,
    /// The heater's set point.
    pub set_point: String,
    /// The window of both faces.
    pub faces: String,
    /// The pipe temperatures; with fields, only the unit of what they say.
    pub pipe: String,
    /// What to do at which pipe temperature, if there is a cold-weather rule.
    pub fields: Vec<Field>,
    /// The pipe temperature below which no joint is made, if nothing else says
    /// so.
    pub no_cold: Option<Cell>,
    /// Head of the sizes.
    pub size_title: String,
    /// Whether units stand on a line of their own under the heads.
    pub two_line_heads: bool,
    /// The columns of numbers.
    pub columns: Vec<Column>,
    /// Head and unit of the column to write today's cold-weather times in.
    pub cold_box: Option<(String, String)>,
    /// One row per size.
    pub rows: Vec<Row>,
    /// The limits that are the same for all sizes, the most pressing first.
    pub limits: Vec<Cell>,
    /// What two of them are counted from.
    pub counted_from: Option<String>,
    /// What else holds for all sizes, or for some that it names.
    pub notes: Vec<Cell>,
    /// What the depth is measured from.
    pub depth_note: String,
    /// The date it comes into force.
    pub effective: Option<String>,
}

/// A range of pipe temperatures, and what applies in it.
#[derive(Debug, Clone, Serialize)]
pub struct Field {
    /// The range.
    pub range: Cell,
    /// The order.
    pub order: String,
    /// Whether no joint is made.
    pub stop: bool,
}

/// How the numbers of a column are set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum Figure {
    /// The largest.
    Heat,
    /// Other times to keep.
    Strong,
    /// Longest times and lengths.
    Plain,
}

/// A column of numbers.
#[derive(Debug, Clone, Serialize)]
pub struct Column {
    /// Its head.
    pub title: String,
    /// Its unit, and whether a time is a limit.
    pub unit: Option<String>,
    /// How its numbers are set.
    pub figure: Figure,
    /// Whether it stands in the lane that is looked at first.
    pub in_lane: bool,
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
    /// A number for each column.
    pub cells: Vec<Cell>,
    /// Outside diameter, if it is not the size.
    pub outside_diameter: Option<String>,
    /// ID of its depth gauge.
    pub gauge: Option<String>,
}

/// Replaces a row's numbers.
#[derive(Debug, Clone, Serialize)]
pub struct NoJoint {
    /// "NO JOINT", as printed.
    pub word: String,
    /// The reason.
    pub reason: String,
}

impl Front {
    /// Whether anything of these rows is not confirmed.
    pub(crate) fn has_mark(&self, rows: &[Row]) -> bool {
        let cells = rows.iter().filter(|row| row.no_joint.is_none());
        let mut cells = cells
            .flat_map(|row| &row.cells)
            .chain(&self.limits)
            .chain(&self.notes)
            .chain(&self.no_cold)
            .chain(self.fields.iter().map(|field| &field.range));
        cells.any(|cell| cell.verify)
    }
}

pub(crate) fn front(p: &Procedure, limits: &Library, words: &Clauses) -> Front {
    let say = |clause| words.render(clause);
    let units = p.practice().units;
    let set_point = p.spec.heater.set_point.value.0;
    let faces = p.window.as_ref().map_or_else(
        || say(Clause::NotStated),
        |window| range(p, window.value, words),
    );
    let fields = fields(p, limits, words);
    let revision = p.spec.revisions.last();
    Front {
        resin: p.spec.resin.value.clone(),
        resin_kind: resin_kind(p, words),
        band: resin::band(p),
        walls: common_walls(p),
        set_point: say(Clause::CardSet {
            set_point: set_point.show_exact(units.temperature_unit()),
        }),
        faces: say(Clause::CardFaces { window: faces }),
        pipe: if fields.is_empty() {
            match &p.spec.pipe_temperature {
                Some(limit) => say(Clause::CardPipeRange {
                    range: range(p, limit.value, words),
                }),
                None => say(Clause::CardPipeOpen),
            }
        } else {
            say(Clause::CardPipeFields {
                unit: units.temperature_unit().symbol().to_owned(),
            })
        },
        no_cold: no_cold(p, words).filter(|_| fields.is_empty()),
        fields,
        size_title: say(Clause::CardColumnSize),
        two_line_heads: p.practice().times_by_size,
        columns: columns(p, limits, words),
        cold_box: p.spec.cold_weather.as_ref().map(|_| {
            let unit = say(Clause::CardColdUnit);
            (say(Clause::CardColumnCold), unit)
        }),
        rows: p
            .joints
            .iter()
            .map(|joint| row(p, joint, limits, words))
            .collect(),
        limits: common_limits(p, words),
        counted_from: (!p.practice().times_by_size).then(|| say(Clause::CardFromHold)),
        notes: notes(p, limits, words),
        depth_note: say(practice::words(p.practice()).card.depth_note.clone()),
        effective: revision
            .and_then(|revision| revision.effective.as_ref())
            .map(|date| {
                say(Clause::CardEffective {
                    date: date.value.to_string(),
                })
            }),
    }
}

/// A range of temperatures in the practice's unit, as short as it is clear.
fn range(p: &Procedure, value: Range<Temperature>, words: &Clauses) -> String {
    let unit = p.practice().units.temperature_unit();
    if value.least.show_exact(unit).starts_with(['-', '\u{2212}']) {
        let to = words.render(Clause::To);
        return format::temperature_range(p.practice().units, value, &to);
    }
    format::temperature_range(p.practice().units, value, "\u{2013}").replace(" \u{2013} ", "\u{2013}")
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

/// The temperature below which no joint is made at all, and its mark.
fn floor(p: &Procedure, limits: &Library) -> Option<(Temperature, bool)> {
    let cold = p.spec.cold_weather.as_ref()?;
    let stated = cold.no_joints_below.as_ref();
    let range = p.spec.pipe_temperature.as_ref();
    let published = resin::lowest_ambient(p, limits).map(|f| (f.value, f.needs_verifying()));
    let floors = [
        range.map(|range| (range.value.least, false)),
        stated.map(|floor| (floor.value.value, false)),
        published,
    ];
    // Of two that are the same, the one that needs no mark.
    let floors = floors.into_iter().flatten();
    floors.max_by_key(|(floor, verify)| (*floor, !*verify))
}

/// What to do at which pipe temperature: never below the floor, the cold column,
/// the heating times of the table, never above the upper limit.
fn fields(p: &Procedure, limits: &Library, words: &Clauses) -> Vec<Field> {
    let unit = p.practice().units.temperature_unit();
    let number = |t: Temperature, bound| {
        let shown = t.printed(unit, bound).show_exact(unit);
        shown.trim_end_matches(unit.symbol()).trim_end().to_owned()
    };
    let say = |clause| words.render(clause);
    let Some(trigger) = p.cold_trigger.as_ref() else {
        return Vec::new();
    };
    let floor = floor(p, limits);
    let reached = floor.is_none_or(|(floor, _)| floor < trigger.value);
    if p.spec.cold_weather.is_none() || !reached {
        return Vec::new();
    }
    let field = |range: Clause, verify: bool, order: Clause, stop: bool| Field {
        range: Cell::plain(say(range)).verify(verify),
        order: say(order),
        stop,
    };
    let lowest = number(trigger.value, Bound::Minimum);
    let mut fields = Vec::new();
    let verify = trigger.needs_verifying();
    if let Some((floor, verify)) = floor {
        let least = number(floor, Bound::Minimum);
        let under = Clause::CardUnder {
            trigger: least.clone(),
        };
        fields.push(field(under, verify, Clause::CardStopField, true));
    }
    let cold = match floor {
        Some((floor, _)) => Clause::CardToUnder {
            floor: number(floor, Bound::Minimum),
            trigger: lowest.clone(),
        },
        None => Clause::CardUnder {
            trigger: lowest.clone(),
        },
    };
    fields.push(field(cold, verify, Clause::CardColdField, false));
    match &p.spec.pipe_temperature {
        Some(limit) => {
            let most = number(limit.value.most, Bound::Maximum);
            let heat = Clause::CardToLimit {
                from: lowest,
                most: most.clone(),
            };
            fields.push(field(heat, false, Clause::CardHeatField, false));
            let over = Clause::CardOver { most };
            fields.push(field(over, false, Clause::CardStopField, true));
        }
        None => {
            let heat = Clause::CardFromTrigger { trigger: lowest };
            fields.push(field(heat, false, Clause::CardHeatField, false));
        }
    }
    fields
}

/// Below what no joint is made, where there is no rule for the cold and no range
/// that ends above it.
fn no_cold(p: &Procedure, words: &Clauses) -> Option<Cell> {
    let unit = p.practice().units.temperature_unit();
    let range = p.spec.pipe_temperature.as_ref().map(|range| range.value);
    let trigger = p.cold_trigger.as_ref()?;
    if range.is_some_and(|range| range.least >= trigger.value) {
        return None;
    }
    let shown = trigger.value.printed(unit, Bound::Minimum).show_exact(unit);
    let clause = Clause::CardNoCold { trigger: shown };
    Some(Cell::plain(words.render(clause)).strong().verify(trigger.needs_verifying()))
}

/// The phases whose time depends on the size; anything the same for all sizes is
/// below the table.
fn phases(p: &Procedure) -> impl Iterator<Item = PhaseName> {
    let by_size = p.practice().times_by_size;
    work::phases(p).filter(move |phase| by_size || *phase == PhaseName::Hold)
}

/// Whether any size may be heated longer than the time to aim for.
fn has_longest(p: &Procedure) -> bool {
    let mut heats = p.joints.iter().filter_map(|joint| joint.cycle.heat());
    heats.any(|heat| heat.value.least != heat.value.most)
}

fn columns(p: &Procedure, limits: &Library, words: &Clauses) -> Vec<Column> {
    let say = |clause| words.render(clause);
    let by_size = p.practice().times_by_size;
    let length = p.practice().units.length_unit().symbol();
    // An abbreviation in a line of its own words.
    let length = if length == "in" { "in." } else { length };
    let time = |title, unit, figure, in_lane| Column {
        title: say(title),
        unit: Some(say(unit)),
        figure,
        in_lane,
    };
    let seconds = Clause::CardSeconds;
    let mut columns = vec![time(Clause::CardColumnHeat, seconds.clone(), Figure::Heat, true)];
    if has_longest(p) {
        columns.push(Column {
            title: say(Clause::CardColumnMost),
            unit: None,
            figure: Figure::Plain,
            in_lane: true,
        });
    }
    let limit = |of, plain: &Clause| if by_size { of } else { plain.clone() };
    columns.extend(phases(p).filter_map(|phase| {
        let (title, unit) = match phase {
            PhaseName::ChangeOver => (Clause::CardColumnChangeOver, limit(Clause::CardAtMost, &seconds)),
            PhaseName::Hold => (Clause::CardColumnHold, limit(Clause::CardAtLeast, &seconds)),
            PhaseName::Handling => (Clause::CardColumnCooling, Clause::CardInAll),
            PhaseName::Heating | PhaseName::PressureTest => return None,
        };
        Some(time(title, unit, Figure::Strong, false))
    }));
    let measured = |title| Column {
        title: say(title),
        unit: Some(length.to_owned()),
        figure: Figure::Plain,
        in_lane: false,
    };
    columns.push(measured(Clause::CardColumnDepth));
    if work::has_witness_lines(p, limits) {
        columns.push(measured(Clause::CardColumnWitness));
    }
    columns
}

fn row(p: &Procedure, joint: &Joint, limits: &Library, words: &Clauses) -> Row {
    let units = p.practice().units;
    // A card has no room for the other unit.
    let length = |number: &Sourced<Length>| Cell {
        sub: None,
        ..format::length_cell(units, number, Bound::Nominal)
    };
    let seconds = |time: Option<&Sourced<Duration>>| format::or_dash(time, format::seconds_cell);
    let mut cells = Vec::new();
    // One number would be wrong if pipe and fitting are heated for different
    // times.
    let heat = joint.cycle.heat().filter(|_| p.unlike_pair(joint.size).is_none());
    cells.push(match p.unlike_pair(joint.size) {
        Some(_) => Cell::plain(words.render(Clause::CardSeeSheet)),
        None => format::or_dash(heat, |heat| Cell {
            sub: None,
            ..format::heating_cell(heat, |seconds| seconds)
        }),
    });
    if has_longest(p) {
        let most = heat.filter(|heat| heat.value.least != heat.value.most);
        cells.push(most.map_or_else(
            || Cell::plain(""),
            |heat| {
                let cell = format::heating_cell(heat, |seconds| seconds);
                Cell::plain(cell.sub.unwrap_or_default()).verify(cell.sub_verify)
            },
        ));
    }
    cells.extend(phases(p).filter_map(|phase| {
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
    }));
    let depth = joint.depth.known();
    cells.push(depth.map_or_else(|| Cell::plain(format::DASH), length));
    if work::has_witness_lines(p, limits) {
        let line = work::witness_line(p, limits, joint.size);
        cells.push(format::or_dash(line.as_ref(), length));
    }
    let diameter = joint.outside_diameter.as_ref();
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
        cells,
        outside_diameter: diameter
            .filter(|_| !p.practice().size_is_diameter)
            .map(|od| format::number(units, od, Bound::Nominal)),
        gauge: joint.gauge.clone(),
    }
}

/// Off the heater, hands off, pressure test. If the sizes differ, the time that is
/// safe for all: the shortest change-over and the longest wait.
fn common_limits(p: &Procedure, words: &Clauses) -> Vec<Cell> {
    let mut lines = Vec::new();
    let cell = |clause, verify: bool| Cell::plain(words.render(clause)).verify(verify);
    if !p.practice().times_by_size {
        let change_overs = p.joints.iter().filter_map(|joint| joint.cycle.change_over());
        let shortest = change_overs.min_by_key(|time| (time.value, time.weakest_basis));
        lines.extend(shortest.map(|number| {
            let time = number.value.show();
            cell(Clause::CardChangeOver { time }, number.needs_verifying()).strong()
        }));
        let waits = p.joints.iter().filter_map(|joint| joint.cycle.before_handling());
        let longest = waits.max_by_key(|time| (time.value, time.weakest_basis));
        lines.extend(longest.map(|number| {
            let time = number.value.show();
            cell(Clause::CardHandling { time }, number.needs_verifying())
        }));
    }
    lines.push(match &p.before_pressure_test {
        Some(number) => {
            let time = number.value.show();
            let clause = if p.practice().times_by_size {
                Clause::CardPressureTestCooled { time }
            } else {
                Clause::CardPressureTest { time }
            };
            cell(clause, number.needs_verifying())
        }
        None => cell(Clause::CardTestUnset, false).strong(),
    });
    lines
}

fn notes(p: &Procedure, limits: &Library, words: &Clauses) -> Vec<Cell> {
    let strong = |clause| Cell::plain(words.render(clause)).strong();
    let plain = |clause| Cell::plain(words.render(clause));
    let mut lines = Vec::new();
    if p.practice().times_by_size {
        lines.push(if work::all_hold_until_cool(p) {
            strong(Clause::CardHoldUntilCool)
        } else {
            plain(Clause::CardCooling)
        });
    }
    let pusher = practice::words(p.practice()).pusher.card;
    lines.extend(work::pushed(p, limits).map(|sizes| strong(pusher(sizes))));
    if p.sizes().any(|joint| p.unlike_pair(joint.size).is_some()) {
        lines.push(strong(Clause::CardUnlike));
    }
    lines
}
