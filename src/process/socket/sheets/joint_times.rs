//! Fills in the times of the joints as printed. The first page, the strip over the
//! steps and the lid sheet all read them here, so that no two papers round, mark or
//! leave out a number differently.

use crate::core::units::print::Bound;
use crate::core::units::{Duration, Length, LengthUnit, Range, TimeUnit};
use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::clauses::Clauses;
pub(crate) use crate::papers::sheets::joint_times::{
    Figure, Heads, JointTimes, Limit, Limits, Measure, Row, Times,
};
use crate::papers::sheets::{format, work};
use crate::procedure::resolve::{Joint, Procedure, needs_pusher};
use crate::process::socket::practice::{Event, PhaseName};
use crate::published::{Library, Sourced};

impl Figure {
    fn number(text: impl Into<String>, verify: bool) -> Self {
        Self {
            text: text.into(),
            verify,
            words: false,
        }
    }

    fn words(text: String) -> Self {
        Self {
            text,
            verify: false,
            words: true,
        }
    }

    fn missing() -> Self {
        Self::words(format::DASH.to_owned())
    }

    fn seconds(time: &Sourced<Duration>) -> Self {
        let number = time.value.number(TimeUnit::Second);
        Self::number(number, time.needs_verifying())
    }

    /// Whole minutes; any other time with its unit.
    fn minutes(time: &Sourced<Duration>) -> Self {
        Self::number(format::minutes_cell(time).text, time.needs_verifying())
    }
}

impl JointTimes {
    pub(crate) fn new(p: &Procedure, limits: &Library, words: &Clauses) -> Self {
        let (units, practice) = (p.practice().units, p.practice());
        let of_all = |value: &dyn Fn(&Joint) -> String| {
            let mut values = p.joints.iter().map(value);
            let first = values.next().filter(|first| !first.is_empty())?;
            values.all(|value| value == first).then_some(first)
        };
        let system = of_all(&|joint| format::system(joint.size.system()).to_owned());
        let walls = of_all(&|joint| format::walls(units, joint));
        let by_size = BySize {
            off_heater: practice.times_by_size
                || p.common(|joint| joint.cycle.change_over()).is_none(),
            cool: practice.times_by_size
                || p.common(|joint| joint.cycle.before_handling()).is_none(),
        };
        let pushed = |joint: &Joint| needs_pusher(&practice.pusher, joint, limits).is_some();
        let rows = p.joints.iter().map(|joint| {
            let depth = joint.depth.known();
            Row {
                size: joint.size.nominal(),
                system: format::system(joint.size.system()).to_owned(),
                walls: Some(format::walls(units, joint)).filter(|_| walls.is_none()),
                pushed: pushed(joint),
                own: joint.own_row(p.spec).map(|row| row.source.value.clone()),
                no_joint: depth
                    .is_none()
                    .then(|| [Clause::NoJoint, Clause::NoJointDepth].map(|c| words.render(c))),
                times: depth.map(|depth| times(p, joint, depth, &by_size, (limits, words))),
            }
        });
        Self {
            rows: rows.collect(),
            limits: common(p, &by_size, words),
            heads: heads(p, words),
            system,
            walls,
        }
    }
}

/// Which limits differ by size.
struct BySize {
    off_heater: bool,
    cool: bool,
}

fn times(
    p: &Procedure,
    joint: &Joint,
    depth: &Sourced<Length>,
    by_size: &BySize,
    (limits, words): (&Library, &Clauses),
) -> Times {
    let units = p.practice().units;
    let measure = |length: &Sourced<Length>| {
        let cell = format::length_cell(units, length, Bound::Nominal);
        let millimeter = LengthUnit::Millimeter.symbol();
        Measure {
            text: cell.text,
            // The unit is in the head.
            other: cell
                .sub
                .map(|other| other.trim_end_matches(millimeter).trim_end().to_owned()),
            verify: cell.verify,
        }
    };
    let seconds =
        |time: Option<&Sourced<Duration>>| time.map_or_else(Figure::missing, Figure::seconds);
    let (heat, max) = heating(p, joint, words);
    let cycle = &joint.cycle;
    Times {
        heat,
        max,
        off_heater: by_size.off_heater.then(|| seconds(cycle.change_over())),
        hold: (!work::all_hold_until_cool(p)).then(|| match work::holds_until_cool(p, joint) {
            true => Figure::words(words.render(Clause::UntilCool)),
            false => seconds(cycle.hold()),
        }),
        cool: by_size.cool.then(|| {
            let wait = cycle.before_handling();
            wait.map_or_else(Figure::missing, Figure::minutes)
        }),
        depth: measure(depth),
        od: joint
            .outside_diameter
            .as_ref()
            .filter(|_| !p.practice().size_is_diameter)
            .map(measure),
        sight: work::witness_line(p, limits, joint.size)
            .as_ref()
            .map(measure),
    }
}

/// The time to aim for and the longest. If pipe and fitting are heated for different
/// times, one number would be wrong, and the words say where to look.
fn heating(p: &Procedure, joint: &Joint, words: &Clauses) -> (Figure, Option<Figure>) {
    if p.unlike_pair(joint.size).is_some() {
        return (Figure::words(words.render(Clause::SeeUnlike)), None);
    }
    let Some(heat) = joint.cycle.heat() else {
        return (Figure::missing(), None);
    };
    let Range { least, most } = heat.value;
    let figure =
        |time: Duration| Figure::number(time.number(TimeUnit::Second), heat.needs_verifying());
    (figure(least), (most > least).then(|| figure(most)))
}

fn common(p: &Procedure, by_size: &BySize, words: &Clauses) -> Limits {
    let say = |clause| words.render(clause);
    let first = |time: fn(&Joint) -> Option<&Sourced<Duration>>| {
        // The values are alike; the mark stands if any of them needs it.
        let times = p.joints.iter().filter_map(time);
        times.max_by_key(|time| time.weakest_basis)
    };
    let off_heater = first(|joint| joint.cycle.change_over()).filter(|_| !by_size.off_heater);
    let wait = first(|joint| joint.cycle.before_handling()).filter(|_| !by_size.cool);
    Limits {
        off_heater: off_heater.map(|time| Limit {
            words: say(Clause::BarOffHeater),
            number: say(Clause::BarAtMost {
                time: time.value.show(),
            }),
            mark: time.needs_verifying(),
        }),
        hands_off: wait.map(|time| Limit {
            words: say(Clause::BarHandsOff),
            number: time.value.show(),
            mark: time.needs_verifying(),
        }),
        pressure_test: Limit {
            words: say(match p.practice().counted_from(PhaseName::PressureTest) {
                Some(Event::Cooled) => Clause::BarPressureTestCooled,
                _ => Clause::BarPressureTest,
            }),
            number: match &p.before_pressure_test {
                Some(wait) => wait.value.show(),
                None => say(Clause::BarNotSet),
            },
            mark: p
                .before_pressure_test
                .as_ref()
                .is_some_and(Sourced::needs_verifying),
        },
    }
}

fn heads(p: &Procedure, words: &Clauses) -> Heads {
    let say = |clause| words.render(clause);
    let practice = p.practice();
    let length = practice.units.length_unit();
    Heads {
        size: say(Clause::ColumnSize),
        heat: say(Clause::HeadHeat),
        max: say(Clause::HeadMax),
        off_heater: say(Clause::HeadOffHeater),
        hold: say(Clause::HeadHold),
        cool: say(match practice.holds_until_cool {
            true if work::all_hold_until_cool(p) => Clause::HeadHoldAndCool,
            true => Clause::HeadCool,
            false => Clause::HeadHandsOff,
        }),
        depth: say(Clause::HeadDepth),
        od: say(Clause::HeadOd),
        sight: say(Clause::HeadSight),
        second: say(Clause::HeadSecond),
        minute: say(Clause::HeadMinute),
        length: match length {
            LengthUnit::Inch => say(Clause::HeadInch),
            LengthUnit::Millimeter => say(Clause::HeadMillimeter),
        },
        other_length: (length == LengthUnit::Inch).then(|| say(Clause::HeadMillimeter)),
    }
}
