//! Every printed number with its value, basis, and source.

use super::regulation;
use crate::core::units::print::Bound;
use crate::core::units::{Duration, Range, Temperature, TemperatureDifference, TimeUnit};
use crate::papers::sheets::practice::Dimension;
use crate::papers::sheets::procedure::source_rows::{Of, SourceRows};
use crate::papers::sheets::procedure::writer::{Clause, Writer, format, work};
use crate::papers::sheets::procedure::{cautions, field, materials};
use crate::procedure::resolve::{Joint, Pipe};
use crate::process::socket::sheets::procedure::{cold, equipment, fit, spigot, times, unlike};
use crate::published::{Basis, Entry, Sourced};

/// The rows, and the conflicts that their numbers are part of.
pub(crate) fn rows<'w>(w: &'w Writer<'w>) -> SourceRows<'w> {
    let mut sheet = SourceRows::new(w);
    sizes(&mut sheet);
    common(&mut sheet);
    spigot::add_source_rows(&mut sheet, w);
    unlike::add_source_rows(&mut sheet, w);
    texts(&mut sheet);
    sheet
}

/// Numbers that depend on size or wall.
fn sizes(sheet: &mut SourceRows) {
    let seconds = |time: &Duration| format!("{} s", time.number(TimeUnit::Second));
    let joints: &[Joint] = &sheet.w.p.joints;
    let to = sheet.w.say(Clause::To);
    for joint in sheet.w.p.sizes() {
        let of = joint.size.to_string();
        let od = joint.outside_diameter.as_ref();
        sheet.length(Clause::FigureOd, &of, od, Bound::Nominal);
        for column in sheet.w.practice_words().dimensions.columns {
            dimension(sheet, joint, *column);
        }
        let mark = work::witness_line(sheet.w.p, sheet.w.limits, joint.size);
        sheet.length(
            Clause::FigureWitnessLine,
            &of,
            mark.as_ref(),
            Bound::Nominal,
        );
        let depth = joint.depth.known();
        sheet.length(Clause::FigureDepth, &of, depth, Bound::Nominal);
    }
    // No paper prints the times of a size that is not joined.
    for joint in joints {
        let of = format::joint(sheet.w.units(), joint, joints);
        for pipe in &joint.pipes {
            walls(sheet, joint, pipe);
        }
        if joint.depth.known().is_none() {
            continue;
        }
        // An unlike pair has its own heating times.
        let alike = sheet.w.p.unlike_pair(joint.size).is_none();
        let heat = joint.cycle.heat().filter(|_| alike);
        sheet.optional(Clause::FigureHeating, &of, heat, |heat| {
            format::seconds_range(*heat, &to)
        });
        sheet.optional(Clause::FigureHold, &of, joint.cycle.hold(), seconds);
    }
    let (w, unit) = (sheet.w, sheet.w.unit());
    for joint in w.p.sizes() {
        let of = joint.size.to_string();
        sheet.optional(Clause::FigureOdBand, &of, joint.od_band.as_ref(), |band| {
            format!("{} {unit}", fit::range(w, *band))
        });
    }
    for (name, of, band) in fit::sourced_numbers(w) {
        sheet.add(name, &of, &band, |band| {
            format!("{} {unit}", fit::range(w, *band))
        });
    }
}

/// Numbers of the dimensions table other than the diameter.
fn dimension(sheet: &mut SourceRows, joint: &Joint, column: Dimension) {
    let of = joint.size.to_string();
    let tolerance = joint.od_tolerance.as_ref();
    match column {
        Dimension::OdTolerance => {
            sheet.length(Clause::FigureOdTolerance, &of, tolerance, Bound::Maximum);
        }
        Dimension::OdPlus => sheet.optional(Clause::FigureOdPlus, &of, tolerance, |plus| {
            format!("{} mm", format::plus_only(*plus))
        }),
        Dimension::OutOfRoundness => sheet.length(
            Clause::FigureOutOfRoundness,
            &of,
            joint.out_of_roundness.as_ref(),
            Bound::Maximum,
        ),
        // Each wall has its own.
        Dimension::MinimumWall | Dimension::WallTolerance => {}
    }
}

fn walls(sheet: &mut SourceRows, joint: &Joint, pipe: &Pipe) {
    let of = || Of::wall(&joint.size.to_string(), pipe.label.name(sheet.w.units()));
    let least = Some(&pipe.minimum_wall);
    sheet.length(Clause::FigureLeastWall, of(), least, Bound::Minimum);
    sheet.length(
        Clause::FigureWallTolerance,
        of(),
        pipe.wall_tolerance.as_ref(),
        Bound::Maximum,
    );
    let inside = Some(&pipe.inside_diameter);
    sheet.length(Clause::FigureInside, of(), inside, Bound::Nominal);
}

/// A time of the joints: one row if it is the same for all, otherwise by size.
fn add_joint_time(
    sheet: &mut SourceRows,
    name: &Clause,
    number: impl Fn(&Joint) -> Option<&Sourced<Duration>>,
) {
    let p = sheet.w.p;
    if let Some(common) = p.common(&number) {
        return sheet.add(name.clone(), "", common, |time| time.show());
    }
    for joint in p.joints.iter().filter(|j| j.depth.known().is_some()) {
        let of = format::joint(sheet.w.units(), joint, &p.joints);
        sheet.optional(name.clone(), &of, number(joint), |time| time.show());
    }
}

/// Numbers that are the same for all sizes.
fn common(sheet: &mut SourceRows) {
    let w = sheet.w;
    let units = w.units();
    let spec = w.p.spec;
    let to = w.say(Clause::To);
    let show = |time: &Duration| time.show();
    add_joint_time(sheet, &Clause::FigureChangeOver, |joint| {
        joint.cycle.change_over()
    });
    add_joint_time(sheet, &w.practice_words().times.wait_figure, |joint| {
        joint.cycle.before_handling()
    });
    sheet.optional(
        Clause::FigurePressureTest,
        "",
        w.p.before_pressure_test.as_ref(),
        show,
    );
    sheet.optional(Clause::FigureWindow, "", w.p.window.as_ref(), |window| {
        format::temperature_range(units, *window, &to)
    });
    heater(sheet);
    if spec.cleaning.is_some() {
        sheet.add_spec_value(Clause::FigureCleaning, equipment::agent(w), String::clone);
    }
    sheet.optional(
        Clause::FigureColdTrigger,
        "",
        w.p.cold_trigger.as_ref(),
        |t| units.minimum_temperature(*t),
    );
    let lowest = cold::lowest_ambient_pp(w);
    sheet.optional(Clause::FigureLowestAmbient, "", lowest.as_ref(), |t| {
        units.minimum_temperature(*t)
    });
    sheet.optional(Clause::FigureColdStep, "", w.p.cold_step.as_ref(), show);
    let short = cold::short_heating(w);
    sheet.optional(Clause::FigureShortHeating, "", short.as_ref(), show);
    let floor = spec
        .cold_weather
        .as_ref()
        .and_then(|cold| cold.no_joints_below.as_ref());
    if let Some(floor) = floor {
        sheet.stated(Clause::FigureColdFloor, floor, |t| {
            units.minimum_temperature(*t)
        });
    }
    if let Some(least) = &spec.least_wall {
        sheet.stated(Clause::FigureLeastWallLimit, least, |wall| {
            units.minimum_length(*wall)
        });
    }
    if let Some(range) = &spec.pipe_temperature {
        sheet.add_spec_value(Clause::FigurePipeTemperature, range.value, |range| {
            format::temperature_range(units, *range, &to)
        });
    }
    for (size, spigot) in &spec.fittings.spigots {
        let length = spigot::straight_length(w, spigot);
        let of = size.value.to_string();
        sheet.length(Clause::FigureSpigot, &of, Some(&length), Bound::Nominal);
    }
    let ovality = field::coil_ovality(w);
    sheet.optional(Clause::FigureOvality, "", ovality.as_ref(), |share| {
        share.show()
    });
    sheet.optional(
        Clause::FigureStripThickness,
        "",
        w.p.strip_thickness.as_ref(),
        |t| units.length(*t),
    );
}

/// The heater: what the author states, and the resulting face temperature.
fn heater(sheet: &mut SourceRows) {
    let w = sheet.w;
    let (units, unit) = (w.units(), w.units().temperature_unit());
    let heater = &w.p.spec.heater;
    let to = w.say(Clause::To);
    let rating = |t: &Temperature| units.temperature(*t);
    let difference = |d: &TemperatureDifference| d.show(unit);
    sheet.add_spec_value(Clause::FigureSetPoint, heater.set_point.value.0, rating);
    // The spec has no field for the source of an offset, so the paper cannot say
    // it was measured.
    if let Some(offset) = &heater.face_offset {
        let source = w.say(Clause::SourceSpec);
        let number = Sourced::stated(offset.value.0, Basis::Organization, source);
        sheet.add(Clause::FigureFaceOffset, "", &number, difference);
    }
    for (name, written) in [
        (Clause::FigureSwing, &heater.swing),
        (Clause::FigureControllerStep, &heater.step),
    ] {
        if let Some(written) = written {
            sheet.add_spec_value(name, written.value.0, difference);
        }
    }
    let check = heater.face_check.as_ref();
    for (name, stick) in [
        (
            Clause::FigureStickMelts,
            check.and_then(|check| check.melts.as_ref()),
        ),
        (
            Clause::FigureStickSolid,
            check.and_then(|check| check.stays_solid.as_ref()),
        ),
    ] {
        if let Some(stick) = stick {
            sheet.add_spec_value(name, stick.value.0, rating);
        }
    }
    let stated = check.and_then(|check| check.accuracy.as_ref());
    let mut inputs = vec![Basis::Organization];
    let swinging = Sourced::derived(w.p.face.with_swing(), w.say(Clause::SourceFace), &inputs);
    if let Some(accuracy) = stated {
        sheet.add_spec_value(Clause::FigureAccuracy, accuracy.value.0, difference);
    } else if let Some(accuracy) = w.p.face.accuracy {
        let share = w.limits.entry("us-heater:stick-accuracy:percent");
        let share = share.and_then(Entry::percent);
        inputs.extend(share.as_ref().map(|share| share.weakest_basis));
        sheet.optional(Clause::FigureStickAccuracy, "", share.as_ref(), |share| {
            share.show()
        });
        let formula = w.say(Clause::SourceStickAccuracy);
        let number = Sourced::derived(accuracy, formula, &inputs);
        sheet.add(Clause::FigureAccuracy, "", &number, difference);
    }
    if heater.face_offset.is_none() {
        return;
    }
    let show = |band: &Range<Temperature>| format::temperature_range(units, *band, &to);
    sheet.add(Clause::FigureFaceBand, "", &swinging, show);
    if w.p.face.accuracy.is_some() {
        let formula = w.say(Clause::SourceFaceProven);
        let proven = Sourced::derived(w.p.face.proven(), formula, &inputs);
        sheet.add(Clause::FigureFaceProven, "", &proven, show);
    }
}

/// Statements printed in the tables' own words.
fn texts(sheet: &mut SourceRows) {
    let w = sheet.w;
    for (head, entry) in cautions::hazards(w) {
        sheet.statement(&Clause::StatementsHazards, head, entry.basis, &entry.source);
        sheet.conflict(entry.conflict.as_deref());
    }
    for (name, table) in [
        (Clause::StatementsAcceptance, "acceptance"),
        (Clause::StatementsRejection, "rejection"),
        (Clause::StatementsRules, "acceptance-rules"),
    ] {
        sheet.statements(&name, w.limits.statements(table, &w.p.work()));
    }
    if w.is_gas() {
        sheet.statements(
            &Clause::StatementsTests,
            w.limits.texts("joint-tests", "text"),
        );
    }
    sheet.statements(&Clause::StatementsCompatibility, materials::joined(w));
    sheet.statements(&Clause::StatementsTimes, times_statements(w));
    if w.p.spec.cold_weather.is_some() {
        sheet.statements(
            &Clause::StatementsCold,
            w.limits.cold_statements(w.p.practice()),
        );
    }
    sheet.statements(&Clause::StatementsQualification, regulation::reach(w));
    // Each quotation has its source and status beside it.
    for (_, number) in regulation::extracts(w) {
        sheet.conflict(number.conflict.as_deref());
    }
    let practice = w.say(Clause::StatementsStepsSource);
    let steps = w.say(Clause::StatementsStepsValue);
    sheet.statement(&Clause::StatementsSteps, steps, Basis::Practice, &practice);
}

/// The statements that times and tools rest on.
fn times_statements<'a>(w: &Writer<'a>) -> impl Iterator<Item = &'a Entry> {
    let pusher = w.limits.entry(w.practice().pusher.statement);
    [
        times::guide_values(w),
        cold::lowest_ambient_pe(w),
        w.pushed().and(pusher),
    ]
    .into_iter()
    .flatten()
}
