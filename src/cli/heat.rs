//! `coldring heat`: the thermal estimate of every joint, as a table.

mod text;

use schemars::JsonSchema;
use serde::Serialize;

use super::args::{HeatArguments, TableFormat};
use super::head::{ESTIMATES, Head};
use super::input::{self, Failure};
use super::report::{Report, is_error, without_identity};
use super::{RunResult, print, print_file, print_json};
use crate::core::source::Sources;
use crate::core::units::print::UnitsFirst;
use crate::core::units::{Length, Percent, Temperature};
use crate::papers::compile::{self, Checked};
use crate::procedure::resolve::Procedure;
use crate::process::socket::heat::JointEstimate;
use crate::process::socket::heat::advice::{Advice, BeyondModel, Estimate, Row, shown};

/// The heading of every table.
const HEADING: &str = "Thermal estimate, not validated against measured joints. \
                       The published or qualified time governs.";

#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Document {
    #[serde(flatten)]
    head: Head,
    /// What goes with every estimate.
    heading: &'static str,
    /// How exact melt depths and shares are.
    depths_and_shares_within_percent: u32,
    specs: Vec<Spec>,
}

/// One spec and its estimates; no rows where the spec has errors.
#[derive(Debug, Serialize, JsonSchema)]
struct Spec {
    /// The spec as you gave it.
    file: String,
    /// Number of the procedure.
    number: Option<String>,
    /// Its revision.
    revision: Option<u32>,
    /// How many errors it has; with errors there are no rows.
    errors: usize,
    #[serde(flatten)]
    conditions: Option<Conditions>,
    rows: Vec<Line>,
}

/// The conditions that the estimates of a spec hold for.
#[derive(Debug, Serialize, JsonSchema)]
struct Conditions {
    /// Resin of the spec.
    resin: String,
    /// Resin whose properties are used.
    model_resin: Option<&'static str>,
    /// Whether that is another resin.
    model_resin_stands_in: Option<bool>,
    /// Heater face, °C.
    heater_face_c: f64,
    /// Pipe and air, °C.
    pipe_and_air_c: f64,
    /// Wall of the socket that is assumed.
    socket_wall_percent_of_pipe_wall: i64,
    /// The rest is only for the table.
    #[serde(skip)]
    units: UnitsFirst,
    #[serde(skip)]
    face: String,
    #[serde(skip)]
    mild: String,
    #[serde(skip)]
    beyond_model: Vec<BeyondModel>,
}

/// One size and wall. Every field but the names has its unit in its name.
#[derive(Debug, Default, Serialize, JsonSchema)]
struct Line {
    /// Pipe size.
    size: String,
    /// Wall.
    wall: Option<String>,
    /// Outside diameter.
    outside_diameter_mm: Option<f64>,
    /// Thinnest wall.
    least_wall_mm: Option<f64>,
    /// Shortest heating time of the procedure.
    heating_shortest_s: Option<f64>,
    /// Longest.
    heating_longest_s: Option<f64>,
    /// Change-over that the procedure allows.
    change_over_allowed_s: Option<f64>,
    /// Melt of the pipe after the shortest heating.
    pipe_melt_shortest_mm: Option<f64>,
    /// After the longest.
    pipe_melt_longest_mm: Option<f64>,
    /// Melt of the socket after the shortest heating.
    socket_melt_shortest_mm: Option<f64>,
    /// After the longest.
    socket_melt_longest_mm: Option<f64>,
    /// Share of the pipe's wall that is melt.
    melted_wall_shortest_percent: Option<i64>,
    /// After the longest heating.
    melted_wall_longest_percent: Option<i64>,
    /// How far the wall is from giving way.
    collapse_flag: Option<&'static str>,
    /// Interface when the parts meet, shortest heating.
    interface_shortest_c: Option<f64>,
    /// Longest heating.
    interface_longest_c: Option<f64>,
    /// Change-over after which the skin is cold.
    change_over_ceiling_s: Option<f64>,
    /// When the joint has set, from.
    solidification_from_s: Option<f64>,
    /// To.
    solidification_to_s: Option<f64>,
    /// Coldest pipe of the scope.
    cold_pipe_c: Option<f64>,
    /// How much longer for the same melt.
    cold_pipe_same_melt_longer_percent: Option<i64>,
    /// Hottest pipe of the scope.
    hot_pipe_c: Option<f64>,
    /// How much deeper the melt is.
    hot_pipe_melt_deeper_percent: Option<i64>,
    /// Why there is no estimate.
    no_estimate: Option<String>,
    /// Only for the table, which rounds once, in the units of the practice.
    #[serde(skip)]
    exact: Exact,
}

/// Unrounded temperatures of a row.
#[derive(Debug, Default)]
struct Exact {
    interface: Option<[Temperature; 2]>,
    cold_pipe: Option<Temperature>,
    hot_pipe: Option<Temperature>,
}

pub(crate) fn run(arguments: &HeatArguments) -> RunResult {
    let as_of = input::date_or_today(arguments.as_of);
    let mut report = Report::text();
    let mut specs = Vec::new();
    for path in &arguments.specs {
        match input::read_spec(path) {
            Ok(sources) => specs.push(compile::with_advice(&sources, as_of, |checked, whole| {
                let errors = report_errors(&sources, &checked, &mut report);
                let advice = whole.filter(|_| errors == 0);
                spec(&sources, &checked, errors, advice)
            })),
            Err(failure) => {
                if let Failure::Finding(sources, finding) = &failure {
                    let checked = without_identity(sources, vec![finding.as_ref().clone()]);
                    specs.push(spec(sources, &checked, 1, None));
                }
                report.add_failure(failure);
            }
        }
    }
    match arguments.format {
        TableFormat::Text => print(&text::tables(&specs)),
        TableFormat::Json => print_json(&Document {
            head: ESTIMATES,
            heading: HEADING,
            depths_and_shares_within_percent: 20,
            specs,
        }),
        TableFormat::Csv => print_file(&csv(&specs)),
    }
    Ok(report.finish())
}

/// Reports the errors of a spec, which then has no table; returns how many there are.
pub(super) fn report_errors(sources: &Sources, checked: &Checked, report: &mut Report) -> usize {
    let errors = checked.findings.iter().filter(|finding| is_error(finding));
    let errors: Vec<_> = errors.cloned().collect();
    let count = errors.len();
    if count > 0 {
        let only_errors = Checked {
            identity: checked.identity.clone(),
            spec_digest: checked.spec_digest.clone(),
            findings: errors,
        };
        report.add_spec(sources, &only_errors);
    }
    count
}

fn spec(
    source: &Sources,
    checked: &Checked,
    errors: usize,
    whole: Option<(&Procedure<'_>, &Advice<'_>)>,
) -> Spec {
    let advice = whole.map(|(_, advice)| advice);
    let (number, revision) = checked
        .identity
        .clone()
        .map(|identity| (identity.number, identity.revision))
        .unzip();
    Spec {
        file: source.spec().name.clone(),
        number,
        revision,
        errors,
        conditions: whole.map(|(procedure, advice)| Conditions {
            units: procedure.practice().units,
            face: procedure.practice().units.temperature(advice.heater_face),
            mild: procedure
                .practice()
                .units
                .temperature(advice.pipe_temperature),
            beyond_model: advice.beyond_model().collect(),
            resin: advice.designation.clone(),
            model_resin: advice.resin.map(|resin| resin.name),
            model_resin_stands_in: advice.resin.map(|resin| resin.stands_in),
            heater_face_c: tenth(advice.heater_face.celsius()),
            pipe_and_air_c: tenth(advice.pipe_temperature.celsius()),
            socket_wall_percent_of_pipe_wall: percent(advice.socket_wall),
        }),
        rows: advice.map_or_else(Vec::new, |advice| advice.rows.iter().map(line).collect()),
    }
}

fn tenth(number: f64) -> f64 {
    (number * 10.0).round() / 10.0
}

fn mm(length: Length) -> f64 {
    tenth(length.mm())
}

fn percent(share: Percent) -> i64 {
    share.of(100)
}

fn celsius(temperature: Temperature) -> f64 {
    shown::temperature(temperature).celsius()
}

fn line(row: &Row) -> Line {
    let hundredth = |length: Length| (length.mm() * 100.0).round() / 100.0;
    let known = Line {
        size: row.joint.size.to_string(),
        wall: row
            .pipe
            .map(|pipe| pipe.label.name(row.joint.size.system().units())),
        outside_diameter_mm: row
            .joint
            .outside_diameter
            .as_ref()
            .map(|od| hundredth(od.value)),
        least_wall_mm: row.pipe.map(|pipe| hundredth(pipe.minimum_wall.value)),
        ..Line::default()
    };
    // Nothing of a size may read as if a joint of it could be made.
    if row.joint.depth.known().is_none() {
        return Line {
            no_estimate: Some("NO JOINT until its depth is measured".to_owned()),
            ..known
        };
    }
    match &row.estimate {
        Ok(estimate) => estimated(known, estimate),
        Err(_) => Line {
            no_estimate: row.why_none(),
            ..known
        },
    }
}

fn estimated(known: Line, estimate: &Estimate) -> Line {
    let Estimate {
        shortest, longest, ..
    } = estimate;
    let setting = estimate.solidification.map(shown::span);
    let (cold, hot) = (estimate.cold, estimate.hot);
    let share = |joint: &JointEstimate| Some(percent(joint.melted_share));
    Line {
        heating_shortest_s: Some(estimate.heating.least.seconds()),
        heating_longest_s: Some(estimate.heating.most.seconds()),
        change_over_allowed_s: Some(estimate.change_over.seconds()),
        pipe_melt_shortest_mm: Some(mm(shortest.pipe_melt)),
        pipe_melt_longest_mm: Some(mm(longest.pipe_melt)),
        socket_melt_shortest_mm: Some(mm(shortest.socket_melt)),
        socket_melt_longest_mm: Some(mm(longest.socket_melt)),
        melted_wall_shortest_percent: share(shortest),
        melted_wall_longest_percent: share(longest),
        collapse_flag: Some(shown::flag(longest.collapse)),
        interface_shortest_c: Some(celsius(shortest.interface)),
        interface_longest_c: Some(celsius(longest.interface)),
        change_over_ceiling_s: shortest
            .change_over_ceiling
            .map(|ceiling| shown::ceiling(ceiling).seconds()),
        solidification_from_s: setting.map(|setting| setting.least.seconds()),
        solidification_to_s: setting.map(|setting| setting.most.seconds()),
        cold_pipe_c: cold.map(|cold| tenth(cold.temperature.celsius())),
        cold_pipe_same_melt_longer_percent: cold.map(|cold| percent(cold.longer)),
        hot_pipe_c: hot.map(|hot| tenth(hot.temperature.celsius())),
        hot_pipe_melt_deeper_percent: hot.map(|hot| percent(hot.deeper)),
        exact: Exact {
            interface: Some([shortest.interface, longest.interface]),
            cold_pipe: cold.map(|cold| cold.temperature),
            hot_pipe: hot.map(|hot| hot.temperature),
        },
        ..known
    }
}

/// A header and a row for each size and wall. Each row has the heading too, so that
/// none is read without it.
fn csv(specs: &[Spec]) -> String {
    let mut out = csv::WriterBuilder::new()
        .has_headers(false)
        .from_writer(Vec::new());
    // The columns are named like the JSON fields. Nothing here can fail.
    let fields = serde_json::to_value(Line::default()).unwrap_or_default();
    let fields = fields.as_object().map(|fields| fields.keys().cloned());
    let columns = ["file", "number", "revision"].map(str::to_owned);
    let columns = columns.into_iter().chain(fields.into_iter().flatten());
    let _ = out.write_record(columns.chain(["heading".to_owned()]));
    for spec in specs {
        let file = super::terminal::sanitize(&spec.file);
        for row in &spec.rows {
            let number = spec.number.as_deref();
            let _ = out.serialize((&file, number, spec.revision, row, HEADING));
        }
    }
    String::from_utf8(out.into_inner().unwrap_or_default()).unwrap_or_default()
}
