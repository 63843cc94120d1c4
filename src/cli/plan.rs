//! `coldring plan`: how long each joint takes, and an estimate for a day's
//! joints.

mod text;

use schemars::JsonSchema;
use serde::Serialize;

use super::args::{PlanArguments, TableFormat};
use super::head::{Head, PLAN};
use super::heat::report_errors;
use super::input::{self, Failure};
use super::report::Report;
use super::{RunResult, csv_table, print, print_file, print_json};
use crate::core::size::Size;
use crate::core::source::Sources;
use crate::core::units::{Duration, Range};
use crate::papers::compile::{self, Checked};
use crate::procedure::plan::{self, Day, JointTime, Joints, NoTime};
use crate::procedure::resolve::Procedure;
use crate::process::socket::practice::{Event, PhaseName};
use crate::published::{Basis, Sourced};

/// Every time has its unit at the end of its name.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Document {
    #[serde(flatten)]
    head: Head,
    /// The spec as you gave it.
    file: String,
    /// Number of the procedure.
    number: String,
    /// Its revision.
    revision: u32,
    /// Us or metric.
    practice: &'static str,
    joint_times: Vec<Line>,
    no_joint: Vec<NoJoint>,
    day: Option<DayLine>,
    /// What the day rests on.
    assumptions: Vec<String>,
}

/// One size, and its group of walls where the times depend on it.
#[derive(Debug, Default, Serialize, JsonSchema)]
struct Line {
    /// Pipe size.
    size: String,
    /// Group of walls, where times depend on it.
    walls: Option<&'static str>,
    /// Time on the heater, shortest.
    on_heater_shortest_s: f64,
    /// Longest.
    on_heater_longest_s: f64,
    /// Where it is from.
    on_heater_source: String,
    /// Change-over.
    change_over_s: Option<f64>,
    /// Where it is from.
    change_over_source: Option<String>,
    /// Hold.
    hold_s: Option<f64>,
    /// Where it is from.
    hold_source: Option<String>,
    /// How long heater and crew are busy, shortest.
    heater_and_crew_shortest_s: f64,
    /// Longest.
    heater_and_crew_longest_s: f64,
    /// Wait after the hold.
    wait_after_hold_s: Option<f64>,
    /// Where it is from.
    wait_source: Option<String>,
    /// Until the joint may be handled, shortest.
    until_handled_shortest_s: Option<f64>,
    /// Longest.
    until_handled_longest_s: Option<f64>,
    /// How well the times are known.
    standing: &'static str,
}

/// A size that is not joined.
#[derive(Debug, Serialize, JsonSchema)]
struct NoJoint {
    /// A size that is not joined until its depth is measured.
    size: String,
}

/// The estimate for a day, counted from the start of the first joint.
#[derive(Debug, Serialize, JsonSchema)]
struct DayLine {
    joints: Vec<Count>,
    /// Joints of the day.
    joint_count: u32,
    /// How long heater and crew are busy.
    heater_and_crew_s: f64,
    /// Preparation of a joint, as you gave it.
    preparation_s: Option<f64>,
    /// End of the last hold, from the first joint.
    last_hold_ends_s: f64,
    /// When all may be handled.
    all_handled_s: Option<f64>,
    /// When the test may begin.
    pressure_test_from_s: Option<f64>,
    /// How well the times are known.
    standing: &'static str,
}

#[derive(Debug, Serialize, JsonSchema)]
struct Count {
    /// Pipe size.
    size: String,
    /// Joints of it.
    count: u32,
}

pub(crate) fn run(arguments: &PlanArguments) -> RunResult {
    let mut report = Report::text();
    let result = plan_joints(arguments, &mut report);
    Ok(report.finish_with(result))
}

fn plan_joints(arguments: &PlanArguments, report: &mut Report) -> Result<(), Failure> {
    let as_of = input::date_or_today(arguments.as_of);
    let sources = input::read_spec(&arguments.spec)?;
    compile::with_advice(&sources, as_of, |checked, whole| {
        let errors = report_errors(&sources, &checked, report);
        let Some((procedure, _)) = whole.filter(|_| errors == 0) else {
            return Ok(());
        };
        let document = document(&sources, &checked, procedure, arguments)
            .map_err(|NoTime(size)| no_time(procedure, size, &sources))?;
        match arguments.format {
            TableFormat::Text => print(&text::plan(&document)),
            TableFormat::Json => print_json(&document),
            TableFormat::Csv => print_file(&csv_table(&document.joint_times)),
        }
        Ok(())
    })
}

/// Why there is no time for a size, and what to do.
fn no_time(procedure: &Procedure, size: Size, source: &Sources) -> String {
    let name = &source.spec().name;
    let claimed = procedure.joints.iter().any(|joint| joint.size == size);
    if claimed && !procedure.is_joined(size) {
        return format!(
            "no joint in {size} until its depth is measured; leave it out of --joints, or \
             measure the depth and write it in {name}"
        );
    }
    format!(
        "no time for {size}: {name} does not claim it; leave it out of --joints, or add it to \
         the sizes of the scope"
    )
}

/// The sizes that are not joined, because their depth is not measured.
fn not_joined(procedure: &Procedure) -> Vec<NoJoint> {
    let sizes = procedure.sizes().map(|joint| joint.size);
    let open = sizes.filter(|size| !procedure.is_joined(*size));
    open.map(|size| NoJoint {
        size: size.to_string(),
    })
    .collect()
}

fn document(
    source: &Sources,
    checked: &Checked,
    procedure: &Procedure,
    arguments: &PlanArguments,
) -> Result<Document, NoTime> {
    let day = if arguments.joints.is_empty() {
        None
    } else {
        Some(plan::day(
            procedure,
            &arguments.joints,
            arguments.preparation,
        )?)
    };
    let identity = checked.identity.as_ref();
    Ok(Document {
        head: PLAN,
        file: source.spec().name.clone(),
        number: identity.map_or_else(String::new, |identity| identity.number.clone()),
        revision: identity.map_or(0, |identity| identity.revision),
        practice: procedure.practice().key,
        joint_times: plan::joint_times(procedure).iter().map(line).collect(),
        no_joint: not_joined(procedure),
        assumptions: day
            .as_ref()
            .map(|day| assumptions(procedure, day))
            .unwrap_or_default(),
        day: day.map(|day| day_line(&day, &arguments.joints)),
    })
}

/// The source and basis of a figure.
fn sourced<T>(figure: &Sourced<T>) -> String {
    format!("{} ({})", figure.source, figure.weakest_basis.word())
}

fn line(time: &JointTime) -> Line {
    let joint = time.joint;
    let handled = time.handled.as_ref().map(|handled| handled.value);
    let standing = time
        .handled
        .as_ref()
        .map_or(time.busy.weakest_basis, |handled| handled.weakest_basis);
    let seconds = |figure: &Sourced<Duration>| figure.value.seconds();
    let Range { least, most } = time.on_heater.value;
    Line {
        size: joint.size.to_string(),
        walls: joint.walls.map(|walls| walls.key()),
        on_heater_shortest_s: least.seconds(),
        on_heater_longest_s: most.seconds(),
        on_heater_source: sourced(&time.on_heater),
        change_over_s: joint.cycle.change_over().map(seconds),
        change_over_source: joint.cycle.change_over().map(sourced),
        hold_s: joint.cycle.hold().map(seconds),
        hold_source: joint.cycle.hold().map(sourced),
        heater_and_crew_shortest_s: time.busy.value.least.seconds(),
        heater_and_crew_longest_s: time.busy.value.most.seconds(),
        wait_after_hold_s: time.wait.as_ref().map(seconds),
        wait_source: time.wait.as_ref().map(sourced),
        until_handled_shortest_s: handled.map(|handled| handled.least.seconds()),
        until_handled_longest_s: handled.map(|handled| handled.most.seconds()),
        standing: standing.word(),
    }
}

fn day_line(day: &Day, joints: &[Joints]) -> DayLine {
    let seconds = |figure: &Sourced<Duration>| figure.value.seconds();
    let bases = [
        Some(day.last_hold.weakest_basis),
        day.handled.as_ref().map(|figure| figure.weakest_basis),
        day.tested.as_ref().map(|figure| figure.weakest_basis),
    ];
    let worst = bases.into_iter().flatten().max();
    DayLine {
        joints: joints
            .iter()
            .map(|joints| Count {
                size: joints.size.to_string(),
                count: joints.count,
            })
            .collect(),
        joint_count: day.joints,
        heater_and_crew_s: seconds(&day.busy),
        preparation_s: day.preparation.map(Duration::seconds),
        last_hold_ends_s: seconds(&day.last_hold),
        all_handled_s: day.handled.as_ref().map(seconds),
        pressure_test_from_s: day.tested.as_ref().map(seconds),
        standing: worst.unwrap_or(Basis::Derived).word(),
    }
}

/// What the estimate assumes, and what it leaves out.
fn assumptions(procedure: &Procedure, day: &Day) -> Vec<String> {
    let mut lines = vec![
        "One crew and one heater: the joints follow one another in the order given, each with its \
         longest heating. Heater and crew are busy through heating, change-over and hold."
            .to_owned(),
        "Waits run on beside the work. The second end of a fitting is not fused within the wait \
         of its first end: there has to be another joint to make in the meantime, or that wait \
         is added for each such fitting."
            .to_owned(),
        match day.preparation {
            Some(_) => "Preparation is the time given for each joint.",
            None => {
                "Preparation (cutting, chamfering, setting the depth, cleaning) is left out; give \
                 it with --preparation, as timed on your own crews."
            }
        }
        .to_owned(),
        "Not included: warming up the heater, face checks, trial joints, changing adapters, joints \
         that are cut out, breaks and travel."
            .to_owned(),
    ];
    let counted = |phase| procedure.practice().counted_from(phase);
    if counted(PhaseName::Handling) == Some(Event::Joined) {
        lines.push(
            "The cooling time runs from joining; of the walls of a size, the slowest counts."
                .to_owned(),
        );
    }
    lines.push(
        match (&day.tested, counted(PhaseName::PressureTest)) {
            (None, _) => "The spec states no wait before the pressure test, so no test is planned.",
            (Some(_), Some(Event::Cooled)) => {
                "The wait before the pressure test starts when the last cooling ends."
            }
            (Some(_), _) => {
                "The wait before the pressure test starts when the last hold ends, and no test \
                 starts before every joint may be handled."
            }
        }
        .to_owned(),
    );
    lines.push("This is a plan. No time in it shortens one in the procedure.".to_owned());
    lines
}
