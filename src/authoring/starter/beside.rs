//! Starters of the files that stand beside a spec: a record of test joints, a roster, a
//! submittal and a house style, each with what the spec already says. What was measured or
//! done is never given: joints and people stand in comments until somebody writes them.

use std::ffi::OsStr;
use std::path::Path;

use chrono::NaiveDate;
use minijinja::context;
use minijinja::value::{Serde, Value};
use serde::Serialize;

use super::{aligned, environment};
use crate::authoring::schema::Kind;
use crate::core::finding::Finding;
use crate::core::size::{Size, SizeSystem};
use crate::core::units::{LengthUnit, Range, Temperature};
use crate::procedure::resolve::{Joint, Pipe, Procedure, WallLabel, resolve};
use crate::published::library;
use crate::spec::{Service, decode, quoted};

/// A kind of file that stands beside a spec.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Beside {
    /// A record of test joints.
    Record,
    /// A roster of fusers.
    Roster,
    /// A submittal.
    Submittal,
    /// A house style.
    House,
}

impl Beside {
    /// Every kind.
    pub const ALL: [Beside; 4] = [
        Beside::Record,
        Beside::Roster,
        Beside::Submittal,
        Beside::House,
    ];

    /// The schema of such a file.
    pub fn kind(self) -> Kind {
        match self {
            Beside::Record => Kind::Record,
            Beside::Roster => Kind::Fusers,
            Beside::Submittal => Kind::Submittal,
            Beside::House => Kind::House,
        }
    }

    fn template(self) -> &'static str {
        match self {
            Beside::Record => include_str!("../../../templates/starters/record.yaml.j2"),
            Beside::Roster => include_str!("../../../templates/starters/roster.yaml.j2"),
            Beside::Submittal => include_str!("../../../templates/starters/submittal.yaml.j2"),
            Beside::House => include_str!("../../../templates/starters/house.yaml.j2"),
        }
    }
}

/// Paths of a starter and its spec.
#[derive(Debug, Clone)]
pub struct Paths {
    /// The spec, as the user names it.
    pub spec: String,
    /// The file to write, as the user names it.
    pub file: String,
    /// How one names the other: a submittal its spec, a spec its record.
    pub named: String,
    /// The folder of a house style, as the user names it.
    pub folder: String,
    /// Record files of the spec, as a submittal names them.
    pub records: Vec<String>,
}

/// A size and wall to make test joints of, with what the procedure calls for.
#[derive(Debug, Serialize)]
struct TestJoint {
    size: String,
    wall: String,
    gauge: String,
    depth: String,
    heat: String,
    change_over: String,
    hold: String,
}

/// A kind of test.
#[derive(Debug, Serialize)]
struct Test {
    what: &'static str,
    line: &'static str,
}

const STRAPS: &str =
    "{kind: straps, date: …, straps: …, with_voids: …, failed_in_joint: …, result: …}";

/// The tests with what each is held against.
const TESTS: &[Test] = &[
    Test {
        what: "straps: at least 3, no voids, no failure in the joint",
        line: STRAPS,
    },
    Test {
        what: "tensile; failure: in the joint | outside the joint | none; outside passes, otherwise give a criterion",
        line: "{kind: tensile, date: …, elongation: … %, failure: …, result: …}",
    },
    Test {
        what: "burst; give your own criterion",
        line: "{kind: burst, date: …, pressure: …, criterion: {at_least: …, source: …}, result: …}",
    },
    Test {
        what: "sustained pressure; give your own criterion",
        line: "{kind: sustained pressure, date: …, pressure: …, time: …, failed: …, criterion: \
               {pressure: …, time: …, source: …}, result: …}",
    },
];

/// The starter of a file beside a spec.
///
/// # Errors
/// What is wrong with a spec that cannot be read.
pub fn beside(
    what: Beside,
    spec: &str,
    paths: &Paths,
    today: NaiveDate,
) -> Result<String, Vec<Finding>> {
    let (read, findings) = decode(spec);
    let Some(spec) = read else {
        return Err(findings);
    };
    let procedure = resolve(&spec, library());
    let practice = procedure.practice();
    let units = practice.units;
    let range = |range: Range<Temperature>| {
        let unit = units.temperature_unit();
        let (least, most) = (range.least.show_exact(unit), range.most.show_exact(unit));
        format!("{least} to {most}")
    };
    let sizes: Vec<_> = procedure.sizes().map(|joint| joint.size).collect();
    let names: Vec<_> = sizes.iter().map(Size::to_string).collect();
    let metric = !practice.has_ring();
    let paper = spec.documents.paper.as_ref();
    let paper = paper.map_or(practice.paper, |paper| paper.value);
    let revision = spec.revisions.last().map_or(1, |last| last.number.value);
    let filled = environment().render_str(
        what.template(),
        context! {
            number => &spec.number.value,
            record_number => quoted(file_stem(&paths.file)),
            revision,
            title => quoted(&spec.title.value),
            organization => quoted(&spec.organization.value),
            organization_text => &spec.organization.value,
            today => today.to_string(),
            spec => &paths.spec,
            file => &paths.file,
            named => &paths.named,
            folder => &paths.folder,
            records => &paths.records,
            paper => paper.word(),
            language => "en",
            resin => quoted(&spec.resin.value),
            degree => units.temperature_unit().symbol().trim_start_matches('°'),
            unit => if metric { "mm" } else { "in" },
            set_point => spec.heater.set_point.value.0.show_exact(units.temperature_unit()),
            faces => procedure.window.as_ref().map(|window| range(window.value)),
            pipe => spec.pipe_temperature.as_ref().map(|pipe| range(pipe.value)),
            sizes => names.join(", "),
            straps => STRAPS,
            tests => Value::from(Serde(tests(spec.service.value))),
            joints => Value::from(Serde(joints(&procedure, metric))),
        },
    );
    // The template is the program's own and every value is given: a test renders each.
    Ok(aligned(&filled.unwrap_or_default()))
}

/// The name of a file without its folder and extension.
fn file_stem(file: &str) -> &str {
    let stem = Path::new(file).file_stem().and_then(OsStr::to_str);
    stem.unwrap_or(file)
}

/// A gas procedure needs a pressure test and a tensile test; elsewhere they are as useful.
fn tests(service: Service) -> &'static [Test] {
    match service {
        Service::Gas => TESTS,
        _ => TESTS.get(..3).unwrap_or(TESTS),
    }
}

fn joints(procedure: &Procedure<'_>, metric: bool) -> Vec<TestJoint> {
    let pipes = procedure.joints.iter();
    let pipes = pipes.flat_map(|joint| joint.pipes.iter().map(move |pipe| (joint, pipe)));
    pipes
        .map(|(joint, pipe)| test_joint(procedure, joint, pipe, metric))
        .collect()
}

fn test_joint(procedure: &Procedure<'_>, joint: &Joint, pipe: &Pipe, metric: bool) -> TestJoint {
    let spec = procedure.spec;
    let unit = match joint.size.system() {
        SizeSystem::Metric => LengthUnit::Millimeter,
        _ if metric => LengthUnit::Millimeter,
        _ => LengthUnit::Inch,
    };
    let mut gauges = spec.tools.depth_gauges.iter().chain(&spec.fittings.depths);
    let gauge = gauges.find(|(size, _)| size.value == joint.size);
    let mark = gauge.and_then(|(_, gauge)| gauge.id.as_ref());
    let wall = match pipe.label.ratio() {
        Some(ratio) => WallLabel::Ratio(ratio).name(procedure.practice().units),
        None => pipe.minimum_wall.value.show(unit),
    };
    let none = |what: &str| format!("the procedure has no {what} yet");
    let cycle = &joint.cycle;
    TestJoint {
        size: joint.size.to_string(),
        wall,
        gauge: mark.map_or_else(|| "…".to_owned(), |id| quoted(&id.value)),
        depth: joint.depth.known().map_or_else(
            || none("depth"),
            |depth| format!("the gauge sets {}", depth.value.show(unit)),
        ),
        heat: cycle.heat().map_or_else(
            || none("heating time"),
            |heat| {
                let (least, most) = (heat.value.least.show(), heat.value.most.show());
                format!("HEAT {least}, {most} at most")
            },
        ),
        change_over: cycle.change_over().map_or_else(
            || none("change-over"),
            |most| format!("{} at most", most.value.show()),
        ),
        hold: cycle.hold().map_or_else(
            || none("hold"),
            |least| format!("{} at least", least.value.show()),
        ),
    }
}
