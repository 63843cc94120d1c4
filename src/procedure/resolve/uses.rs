//! Collects the published numbers that a procedure's papers use. What the organization
//! states itself is not included.

use super::{Joint, Procedure, WallLabel, inch_floor, needs_pusher};
use crate::core::size::SizeSystem;
use crate::core::source::Span;
use crate::core::units::Duration;
use crate::process::socket::practice::Pusher;
use crate::published::{Basis, Entry, Library, Sourced};
use crate::spec::{FaceCheckMethod, Service};

/// Below this heating time, a cold-weather step is large by comparison; from the note on
/// trial joints in the cold.
pub(crate) const SHORT_HEATING: Duration = Duration::from_seconds(10);

/// A published number that the papers use, and the place in the spec that brings it in.
#[derive(Debug, Clone, Copy)]
pub struct EntryUse<'a> {
    /// The published number.
    pub entry: &'a Entry,
    /// The place in the spec, if there is one.
    pub place: Option<Span>,
}

/// The numbers in use without repeats, in the order found.
struct EntryUses<'a> {
    limits: &'a Library,
    found: Vec<EntryUse<'a>>,
}

impl EntryUses<'_> {
    fn add(&mut self, id: Option<&str>, place: Option<Span>) {
        let entry = id.and_then(|id| self.limits.entry(id));
        let is_known = |f: &Entry| self.found.iter().any(|used| used.entry.id == f.id);
        if let Some(entry) = entry.filter(|f| !is_known(f)) {
            self.found.push(EntryUse { entry, place });
        }
    }
}

/// Every published number that the papers of this procedure use, without repeats, in the
/// order of the procedure.
pub fn entries_in_use<'a>(procedure: &Procedure<'_>, limits: &'a Library) -> Vec<EntryUse<'a>> {
    let mut uses = EntryUses {
        limits,
        found: Vec::new(),
    };
    let practice = procedure.practice();
    let (heater, waits) = (&procedure.spec.heater, &procedure.spec.cycles.waits);
    for joint in &procedure.joints {
        of_joint(&mut uses, procedure, joint);
    }
    uses.add(id(&procedure.window), Some(heater.set_point.span));
    // Without a stated stick accuracy, the table's is used.
    if let Some(check) = heater.face_check.as_ref().filter(|check| {
        check.method.value != FaceCheckMethod::Pyrometer && check.accuracy.is_none()
    }) {
        uses.add(
            Some("us-heater:stick-accuracy:percent"),
            Some(check.method.span),
        );
    }
    uses.add(id(&procedure.before_pressure_test), Some(waits.span));
    uses.add(id(&procedure.cold_trigger), None);
    uses.add(id(&procedure.cold_step), None);
    uses.add(id(&procedure.strip_thickness), None);
    // From this size up, the papers require a machine.
    let machine = Some(practice.pusher).filter(|pusher| pusher.is_machine);
    let by_machine = |pusher: &Pusher| {
        let mut joints = procedure.joints.iter();
        joints.any(|joint| needs_pusher(pusher, joint, limits).is_some())
    };
    uses.add(machine.filter(by_machine).map(|pusher| pusher.from), None);
    uses.add(practice.coil_ovality, None);
    uses.found
}

fn of_joint(uses: &mut EntryUses<'_>, procedure: &Procedure<'_>, joint: &Joint) {
    let has_least_wall = procedure.practice().has_least_wall;
    let place = Some(joint.claimed_at);
    uses.add(id(joint.cycle.heat()), place);
    uses.add(id(joint.cycle.hold()), place);
    uses.add(id(joint.cycle.change_over()), None);
    uses.add(
        id(joint.cycle.before_handling()),
        Some(procedure.spec.cycles.waits.span),
    );
    uses.add(id(&joint.outside_diameter), place);
    uses.add(id(&joint.od_tolerance), place);
    // Roundness as made is compared only with a measured roundness.
    let mut measured = procedure.spec.measured.iter();
    if measured.any(|(size, pipe)| size.value == joint.size && pipe.out_of_roundness.is_some()) {
        uses.add(id(&joint.out_of_roundness), place);
    }
    if let Some(socket) = &joint.socket {
        uses.add(socket.mouth.id.as_deref(), place);
        uses.add(socket.root.id.as_deref(), place);
        uses.add(id(&socket.length), place);
        uses.add(id(&socket.penetration), place);
    }
    for pipe in &joint.pipes {
        let place = Some(pipe.claimed_at);
        uses.add(pipe.minimum_wall.id.as_deref(), place);
        // The rule's minimum applies if the ratio gives less.
        let floor = inch_floor(uses.limits);
        let binds = floor.is_some_and(|floor| floor.value == pipe.minimum_wall.value);
        if has_least_wall && binds && matches!(pipe.label, WallLabel::Ratio(_)) {
            uses.add(Some("wall-rules:least-wall:length"), place);
        }
        if pipe.wall_tolerance.is_some() && joint.size.system() == SizeSystem::Cts {
            uses.add(Some("wall-rules:wall-tolerance-cts:percent"), place);
        } else if pipe.wall_tolerance.is_some() {
            uses.add(Some("wall-rules:wall-tolerance:percent"), place);
            uses.add(Some("wall-rules:wall-tolerance:length"), place);
        }
    }
}

fn id<'s, T: 's>(entry: impl Into<Option<&'s Sourced<T>>>) -> Option<&'s str> {
    entry.into()?.id.as_deref()
}

/// The table statements that the papers of this procedure print.
pub fn statements_in_use<'a>(procedure: &Procedure<'_>, limits: &'a Library) -> Vec<&'a Entry> {
    let (spec, practice, work) = (procedure.spec, procedure.practice(), procedure.work());
    // The federal gas rules do not apply to metric work.
    let is_gas = spec.service.value == Service::Gas && practice.federal_gas_rules;
    let mut tables = vec!["hazards", "acceptance", "rejection", "acceptance-rules"];
    if is_gas {
        tables.push("joint-tests");
    }
    tables.push("compatibility");
    let mut statements: Vec<_> = tables
        .into_iter()
        .flat_map(|table| limits.statements(table, &work))
        .collect();
    if spec.cold_weather.is_some() {
        statements.extend(limits.cold_statements(practice));
        let mut heats = procedure.joints.iter().filter_map(|j| j.cycle.heat());
        if heats.any(|heat| heat.value.least < SHORT_HEATING) {
            statements.extend(limits.entry(practice.cold_trial));
        }
    }
    let extracts = limits.extracts(practice, is_gas);
    let extracts = extracts.into_iter().map(|(_, text)| text);
    statements.extend(extracts.filter(|text| limits.applies_to(text, &work)));
    statements
}

/// Numbers, then statements, that the papers use and nobody has read in their source.
pub(crate) fn recalled_in_use<'a>(
    procedure: &Procedure<'_>,
    limits: &'a Library,
) -> Vec<&'a Entry> {
    entries_in_use(procedure, limits)
        .into_iter()
        .map(|used| used.entry)
        .chain(statements_in_use(procedure, limits))
        .filter(|entry| entry.basis == Basis::Recalled)
        .collect()
}

/// What the trade calls a published number, without its value: `heating 3/4 IPS`.
pub fn trade_name(entry: &Entry) -> String {
    match entry.size {
        Some(size) => format!("{} {size}", trade_quantity(entry)),
        None => trade_quantity(entry),
    }
}

/// What the trade calls the quantity of a published number.
pub(crate) fn trade_quantity(entry: &Entry) -> String {
    let mut parts = entry.id.split(':');
    let (table, column) = (
        parts.next().unwrap_or_default(),
        parts.next_back().unwrap_or_default(),
    );
    let key = parts.next_back().unwrap_or_default();
    match (table, column, key) {
        (_, "heat", _) => "heating".to_owned(),
        (_, "hold", _) => "hold".to_owned(),
        (_, "change_over", _) | (_, _, "change-over") => "change-over".to_owned(),
        (_, "cooling", _) => "cooling".to_owned(),
        (_, "od", _) => "outside diameter of".to_owned(),
        (_, "od_tolerance" | "od_plus", _) => "diameter tolerance of".to_owned(),
        (_, "out_of_roundness", _) => "out-of-roundness of".to_owned(),
        ("sockets-pe" | "sockets-pp", "mouth", _) => "socket mouth of".to_owned(),
        ("sockets-pe" | "sockets-pp", "root", _) => "socket root of".to_owned(),
        ("sockets-pe" | "sockets-pp", "length", _) => "socket length of".to_owned(),
        ("sockets-pe" | "sockets-pp", "penetration", _) => {
            "penetration in the socket of".to_owned()
        }
        ("walls-metric" | "walls-ppr", ratio, _) => {
            let ratio = ratio.trim_start_matches("sdr-");
            format!("minimum wall at SDR {ratio} of")
        }
        ("wall-rules", _, "least-wall") => "minimum wall of inch pipe".to_owned(),
        ("wall-rules", "length", "wall-tolerance") => {
            "smallest wall tolerance of IPS pipe".to_owned()
        }
        ("wall-rules", _, "wall-tolerance") => "wall tolerance of IPS pipe".to_owned(),
        ("wall-rules", _, "wall-tolerance-cts") => "wall tolerance of CTS tubing".to_owned(),
        ("metric-range", _, "machine-from") => "smallest size joined by machine".to_owned(),
        (_, _, "cold-trigger") => "cold-weather trigger".to_owned(),
        (_, _, "cold-trial-step") => "cold-weather trial step".to_owned(),
        (_, _, "heater-face") => "face temperature window".to_owned(),
        (_, _, "ovality") => "ovality of coiled pipe".to_owned(),
        _ => key.replace('-', " "),
    }
}
