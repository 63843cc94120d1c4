//! What the front of the card says: one row of numbers per size, and what is the
//! same for all sizes.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::core::units::print::Bound;
use crate::core::units::{Range, Temperature};
use crate::papers::sheets::cell::Cell;
use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::clauses::Clauses;
use crate::papers::sheets::resin::{self, Band};
use crate::papers::sheets::{format, practice, work};
use crate::procedure::resolve::Procedure;
use crate::process::socket::sheets::joint_times::{self, Figure as Time, JointTimes, Times};
use crate::process::socket::sheets::procedure::pipe_temperature::{Edge, Edges, edges};
use crate::published::Library;
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
}

/// A range of pipe temperatures, and what applies in it.
#[derive(Debug, Clone, Serialize)]
pub struct Field {
    /// The range.
    pub range: Cell,
    /// The order.
    pub order: String,
    /// The order where there is no column to write in.
    pub upright_order: Option<String>,
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
    let times = JointTimes::new(p, limits, words);
    Front {
        resin: p.spec.resin.value.clone(),
        resin_kind: resin_kind(p, words),
        band: resin::band(p),
        walls: times.walls.clone().or_else(|| walls_of_systems(&times)),
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
        size_title: times.heads.size.clone(),
        two_line_heads: p.practice().times_by_size,
        columns: columns(p, &times, words),
        cold_box: p.spec.cold_weather.as_ref().map(|_| {
            let unit = say(Clause::CardColdUnit);
            (say(Clause::CardColumnCold), unit)
        }),
        rows: times
            .rows
            .iter()
            .zip(&p.joints)
            .map(|(row, joint)| Row {
                gauge: joint.gauge.clone(),
                ..printed_row(row, &times, words)
            })
            .collect(),
        limits: common_limits(p, &times, words),
        counted_from: (!p.practice().times_by_size).then(|| say(Clause::CardFromHold)),
        notes: notes(p, limits, words),
        depth_note: say(practice::words(p.practice()).card.depth_note.clone()),
    }
}

/// A range of temperatures in the practice's unit, as short as it is clear.
fn range(p: &Procedure, value: Range<Temperature>, words: &Clauses) -> String {
    let unit = p.practice().units.temperature_unit();
    if value.least.show_exact(unit).starts_with(['-', '\u{2212}']) {
        let to = words.render(Clause::To);
        return format::temperature_range(p.practice().units, value, &to);
    }
    format::temperature_range(p.practice().units, value, "\u{2013}")
        .replace(" \u{2013} ", "\u{2013}")
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

/// What to do at which pipe temperature: never below the floor, the cold column,
/// the heating times of the table, never above the upper limit. Nothing, if there is no
/// rule for the cold or the cold begins below the floor.
fn fields(p: &Procedure, limits: &Library, words: &Clauses) -> Vec<Field> {
    let unit = p.practice().units.temperature_unit();
    let number = |edge: &Edge| {
        let shown = edge.at.printed(unit, edge.bound).show_exact(unit);
        shown.trim_end_matches(unit.symbol()).trim_end().to_owned()
    };
    let Edges {
        floor,
        table: Some(table),
        upper,
    } = edges(p, limits)
    else {
        return Vec::new();
    };
    let field = |range: Clause, verify: bool, order: Clause| Field {
        range: Cell::plain(words.render(range)).verify(verify),
        upright_order: (order == Clause::CardColdField)
            .then(|| words.render(Clause::CardColdFieldPanel)),
        stop: order == Clause::CardStopField,
        order: words.render(order),
    };
    let from = number(&table);
    let mut fields = Vec::new();
    let cold = match &floor {
        Some(floor) => {
            let least = number(floor);
            let under = Clause::CardUnder {
                trigger: least.clone(),
            };
            fields.push(field(under, floor.verify, Clause::CardStopField));
            Clause::CardToUnder {
                floor: least,
                trigger: from.clone(),
            }
        }
        None => Clause::CardUnder {
            trigger: from.clone(),
        },
    };
    fields.push(field(cold, table.verify, Clause::CardColdField));
    let Some(upper) = upper else {
        let heat = Clause::CardFromTrigger { trigger: from };
        fields.push(field(heat, table.verify, Clause::CardHeatField));
        return fields;
    };
    let most = number(&upper);
    let heat = Clause::CardToLimit {
        from,
        most: most.clone(),
    };
    fields.push(field(heat, table.verify, Clause::CardHeatField));
    let over = Clause::CardOver { most };
    fields.push(field(over, upper.verify, Clause::CardStopField));
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
    Some(
        Cell::plain(words.render(clause))
            .strong()
            .verify(trigger.needs_verifying()),
    )
}

/// The walls of each system, if they differ by nothing but the system:
/// `IPS DR 11; CTS 0.090 in`.
fn walls_of_systems(times: &JointTimes) -> Option<String> {
    let mut systems: Vec<(&str, &str)> = Vec::new();
    for row in &times.rows {
        let own = (row.system.as_str(), row.walls.as_deref()?);
        if !systems.contains(&own) {
            systems.push(own);
        }
    }
    let names = systems
        .iter()
        .map(|(system, _)| system)
        .collect::<BTreeSet<_>>();
    let each = systems
        .iter()
        .map(|(system, walls)| format!("{system} {walls}"));
    (names.len() == systems.len() && names.len() > 1).then(|| each.collect::<Vec<_>>().join("; "))
}

/// The rows that have numbers.
fn joined(times: &JointTimes) -> impl Iterator<Item = &Times> {
    times.rows.iter().filter_map(|row| row.times.as_ref())
}

fn columns(p: &Procedure, times: &JointTimes, words: &Clauses) -> Vec<Column> {
    let say = |clause| words.render(clause);
    let heads = &times.heads;
    let by_size = p.practice().times_by_size;
    // Whether a time is a limit stands under the head, where it has a line there.
    let seconds = |limit| say(if by_size { limit } else { Clause::CardSeconds });
    let column = |title: &str, unit: Option<String>, figure, in_lane| Column {
        title: title.to_owned(),
        unit,
        figure,
        in_lane,
    };
    let mut columns = Vec::new();
    let unit = Some(say(Clause::CardSeconds));
    columns.push(column(&heads.heat, unit, Figure::Heat, true));
    if joined(times).any(|row| row.max.is_some()) {
        columns.push(column(&heads.max, None, Figure::Plain, true));
    }
    if joined(times).any(|row| row.off_heater.is_some()) {
        let unit = Some(seconds(Clause::CardAtMost));
        columns.push(column(&heads.off_heater, unit, Figure::Strong, false));
    }
    if joined(times).any(|row| row.hold.is_some()) {
        let unit = Some(seconds(Clause::CardAtLeast));
        columns.push(column(&heads.hold, unit, Figure::Strong, false));
    }
    if joined(times).any(|row| row.cool.is_some()) {
        let unit = if by_size {
            say(Clause::CardInAll)
        } else {
            heads.minute.clone()
        };
        columns.push(column(&heads.cool, Some(unit), Figure::Strong, false));
    }
    let length = || Some(heads.length.clone());
    let depth = say(Clause::CardColumnDepth);
    columns.push(column(&depth, length(), Figure::Plain, false));
    if joined(times).any(|row| row.sight.is_some()) {
        columns.push(column(&heads.sight, length(), Figure::Plain, false));
    }
    columns
}

/// A row with a cell for each of the columns.
fn printed_row(row: &joint_times::Row, times: &JointTimes, words: &Clauses) -> Row {
    let say = |clause| words.render(clause);
    let time = |time: &Time, in_words: Clause| {
        // A card has room for fewer words.
        let short = time.words && time.text != format::DASH;
        let text = if short {
            say(in_words)
        } else {
            time.text.clone()
        };
        Cell::plain(text).verify(time.verify)
    };
    let has = |of: fn(&Times) -> bool| joined(times).any(of);
    let mut cells = Vec::new();
    if let Some(own) = &row.times {
        cells.push(time(&own.heat, Clause::CardSeeSheet));
        let until_cool = |figure: Option<&Time>| {
            figure.map_or_else(|| Cell::plain(""), |of| time(of, Clause::CardUntilCool))
        };
        if has(|row| row.max.is_some()) {
            cells.push(until_cool(own.max.as_ref()));
        }
        if has(|row| row.off_heater.is_some()) {
            cells.push(until_cool(own.off_heater.as_ref()));
        }
        if has(|row| row.hold.is_some()) {
            cells.push(until_cool(own.hold.as_ref()));
        }
        if has(|row| row.cool.is_some()) {
            cells.push(until_cool(own.cool.as_ref()));
        }
        cells.push(Cell::plain(&own.depth.text).verify(own.depth.verify));
        if has(|row| row.sight.is_some()) {
            let sight = own.sight.as_ref();
            cells.push(sight.map_or_else(
                || Cell::plain(format::DASH),
                |sight| Cell::plain(&sight.text).verify(sight.verify),
            ));
        }
    }
    let no_joint = row.no_joint.as_ref();
    Row {
        size: row.size.clone(),
        system: row.system.clone(),
        walls: row
            .walls
            .clone()
            .filter(|_| walls_of_systems(times).is_none()),
        no_joint: no_joint.map(|[word, reason]| NoJoint {
            word: word.clone(),
            reason: reason.clone(),
        }),
        cells,
        outside_diameter: row
            .times
            .as_ref()
            .and_then(|times| times.od.as_ref())
            .map(|od| od.text.clone()),
        gauge: None,
    }
}

/// Off the heater, hands off, pressure test, where they are the same for all.
fn common_limits(p: &Procedure, times: &JointTimes, words: &Clauses) -> Vec<Cell> {
    let limits = &times.limits;
    let cell = |limit: &joint_times::Limit| {
        // The number stays in one line.
        let number = limit.number.replace(' ', "\u{a0}");
        Cell::plain(format!("{} {number}", limit.words)).verify(limit.mark)
    };
    let mut lines: Vec<_> = limits
        .off_heater
        .iter()
        .map(|limit| cell(limit).strong())
        .collect();
    lines.extend(limits.hands_off.as_ref().map(cell));
    lines.push(match &p.before_pressure_test {
        Some(wait) => {
            let time = wait.value.show();
            let mark = limits.pressure_test.mark;
            if p.practice().times_by_size {
                Cell::plain(words.render(Clause::CardPressureTestCooled { time })).strong()
            } else {
                Cell::plain(words.render(Clause::CardPressureTest { time }))
            }
            .verify(mark)
        }
        None => Cell::plain(words.render(Clause::CardTestUnset)).strong(),
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
