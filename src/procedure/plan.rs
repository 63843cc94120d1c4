//! Plans work: the time of one joint from heater to handling, and an estimate for a day's
//! joints. It sets no time and shortens none.

use crate::core::size::Size;
use crate::core::units::{Duration, Range};
use crate::procedure::resolve::{Joint, Procedure};
use crate::process::socket::practice::{Event, PhaseName};
use crate::published::Sourced;

/// The time of a joint, counted from the first part on the heater.
#[derive(Debug, Clone)]
pub(crate) struct JointTime<'p> {
    pub(crate) joint: &'p Joint,
    /// Time on the heater, shortest to longest.
    pub(crate) on_heater: Sourced<Range<Duration>>,
    /// Heating, change-over, and hold: heater, then crew, are occupied.
    pub(crate) busy: Sourced<Range<Duration>>,
    /// From the end of the hold until the joint may be handled.
    pub(crate) wait: Option<Sourced<Duration>>,
    /// From the first part on the heater until the joint may be handled.
    pub(crate) handled: Option<Sourced<Range<Duration>>>,
}

/// The times of every joint with a depth, heating time, change-over, and hold. A size
/// without a measured depth is not joined.
pub(crate) fn joint_times<'p>(procedure: &'p Procedure<'_>) -> Vec<JointTime<'p>> {
    let joints = procedure.joints.iter();
    joints
        .filter(|joint| joint.depth.known().is_some())
        .filter_map(|joint| joint_time(procedure, joint))
        .collect()
}

fn joint_time<'p>(procedure: &Procedure<'_>, joint: &'p Joint) -> Option<JointTime<'p>> {
    let on_heater = procedure.time_on_heater(joint)?;
    let (change_over, hold) = (joint.cycle.change_over()?, hold(procedure, joint)?);
    let inputs = [
        on_heater.weakest_basis,
        change_over.weakest_basis,
        hold.weakest_basis,
    ];
    let busy = Sourced::derived(
        delayed(on_heater.value, change_over.value + hold.value),
        "heating + change-over + hold",
        &inputs,
    );
    let from = procedure.practice().counted_from(PhaseName::Handling);
    let wait = joint.cycle.before_handling().map(|wait| {
        if from != Some(Event::Joined) {
            return wait.clone();
        }
        // Timed from joining, so it includes the hold.
        Sourced::derived(
            (wait.value - hold.value).max(Duration::ZERO),
            "cooling time less the hold",
            &[wait.weakest_basis, hold.weakest_basis],
        )
    });
    let handled = wait.as_ref().map(|wait| {
        Sourced::derived(
            delayed(busy.value, wait.value),
            "heating + change-over + hold + wait",
            &[busy.weakest_basis, wait.weakest_basis],
        )
    });
    Some(JointTime {
        joint,
        on_heater,
        busy,
        wait,
        handled,
    })
}

/// The hold; in some practices a joint without one is held until cool.
fn hold<'j>(procedure: &Procedure<'_>, joint: &'j Joint) -> Option<&'j Sourced<Duration>> {
    let cooling = joint.cycle.before_handling();
    let cooling = cooling.filter(|_| procedure.practice().holds_until_cool);
    joint.cycle.hold().or(cooling)
}

fn delayed(range: Range<Duration>, by: Duration) -> Range<Duration> {
    Range::new(range.least + by, range.most + by)
}

/// A number of joints of one size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Joints {
    pub(crate) size: Size,
    /// How many.
    pub(crate) count: u32,
}

/// Joints made in sequence by one crew on one heater, each with its longest heating.
/// Times run from the start of the first joint.
#[derive(Debug, Clone)]
pub(crate) struct Day {
    /// Number of joints.
    pub(crate) joints: u32,
    /// Preparation of all joints, if a time per joint is given.
    pub(crate) preparation: Option<Duration>,
    /// Heating, change-over and hold of all joints.
    pub(crate) busy: Sourced<Duration>,
    /// Until the last hold ends.
    pub(crate) last_hold: Sourced<Duration>,
    /// Until every joint may be handled.
    pub(crate) handled: Option<Sourced<Duration>>,
    /// Until the last joint may be tested, if the spec states that wait.
    pub(crate) tested: Option<Sourced<Duration>>,
}

/// A size without times, so the day cannot be estimated.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct NoTime(pub(crate) Size);

/// Estimates a day: joints in the order given, with `preparation` per joint. Waits run in
/// parallel with the work. The slowest wall of each size counts.
///
/// # Errors
/// [`NoTime`] with the first size the procedure has no times for.
pub(crate) fn day(
    procedure: &Procedure<'_>,
    work: &[Joints],
    preparation: Option<Duration>,
) -> Result<Day, NoTime> {
    let times = joint_times(procedure);
    let (mut joints, mut busy, mut elapsed) = (0_u32, Duration::ZERO, Duration::ZERO);
    let mut handled = Some(Duration::ZERO);
    let mut bases = Vec::new();
    for Joints { size, count } in work {
        let of_size = times.iter().filter(|time| time.joint.size == *size);
        let slowest = of_size
            .max_by_key(|time| time.busy.value.most)
            .ok_or(NoTime(*size))?;
        let each = slowest.busy.value.most;
        joints = joints.saturating_add(*count);
        busy = busy + each.times(*count);
        elapsed = elapsed + (each + preparation.unwrap_or_default()).times(*count);
        bases.push(slowest.busy.weakest_basis);
        let wait = slowest.wait.as_ref();
        bases.extend(wait.map(|wait| wait.weakest_basis));
        handled = handled
            .zip(wait)
            .map(|(handled, wait)| handled.max(elapsed + wait.value));
    }
    let from = procedure.practice().counted_from(PhaseName::PressureTest);
    let test = procedure.before_pressure_test.as_ref().and_then(|wait| {
        bases.push(wait.weakest_basis);
        if from == Some(Event::Cooled) {
            return Some(handled? + wait.value);
        }
        // Every wait starts when the hold ends.
        Some((elapsed + wait.value).max(handled.unwrap_or_default()))
    });
    let derived = |time, formula| Sourced::derived(time, formula, &bases);
    Ok(Day {
        joints,
        preparation: preparation.map(|each| each.times(joints)),
        busy: derived(busy, "sum of heating + change-over + hold"),
        last_hold: derived(elapsed, "sum of preparation, heating, change-over and hold"),
        handled: handled.map(|at| derived(at, "the last wait before handling to end")),
        tested: test.map(|at| derived(at, "last joint + wait before the pressure test")),
    })
}
