//! The file of a record, read as a spec is: every problem at once, each at its
//! place.

use super::{
    Criterion, FailedAt, JointTest, Part, Partner, Pyrometer, Record, TestFigures, TestJoint,
    TestWall, Witnessed,
};
use crate::core::budget;
use crate::core::finding::Finding;
use crate::core::source::Span;
use crate::core::units::parse_quantity;
use crate::spec::fields::{Fields, given_twice, list};
use crate::spec::node::Node;
use crate::spec::recovery::read_file;
use crate::spec::words::Word;
use crate::spec::{plausible, values};

impl Word for Witnessed {
    const WORDS: &'static [(&'static str, Self)] =
        &[("pass", Witnessed::Pass), ("fail", Witnessed::Fail)];
}

impl Word for Partner {
    const WORDS: &'static [(&'static str, Self)] =
        &[("socket", Partner::Socket), ("spigot", Partner::Spigot)];
}

impl Word for FailedAt {
    const WORDS: &'static [(&'static str, Self)] = &[
        ("in the joint", FailedAt::Joint),
        ("outside the joint", FailedAt::Outside),
        ("none", FailedAt::Nowhere),
    ];
}

/// The kinds of test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Kind {
    Straps,
    Tensile,
    Burst,
    Sustained,
    Crush,
}

impl Word for Kind {
    const WORDS: &'static [(&'static str, Self)] = &[
        ("straps", Kind::Straps),
        ("tensile", Kind::Tensile),
        ("burst", Kind::Burst),
        ("sustained pressure", Kind::Sustained),
        ("crush", Kind::Crush),
    ];
}

/// Every field that a test of some kind has, beside its kind and its result.
const OF_ANY_KIND: [&str; 10] = [
    "straps",
    "with_voids",
    "failed_in_joint",
    "elongation",
    "failure",
    "pressure",
    "time",
    "failed",
    "separated",
    "criterion",
];

/// Reads the file of a record; `None` when an error leaves no record to go on
/// with.
pub fn record(text: &str) -> (Option<Record>, Vec<Finding>) {
    let read = read_file(text, &budget::RECORD, |root, findings| {
        Fields::open(root, "", Span::default(), findings).and_then(|fields| top(fields, findings))
    });
    read.unwrap_or_else(|finding| (None, vec![*finding]))
}

fn top(mut top: Fields<'_>, findings: &mut Vec<Finding>) -> Option<Record> {
    top.format_one("coldring-record", "the record is", findings);
    let number = top.required("number", findings, values::text);
    let date = top.required("date", findings, values::date);
    let procedure = top.required("procedure", findings, values::procedure_number);
    let revision = top.required(
        "revision",
        findings,
        values::counting_number(&plausible::REVISION),
    );
    let witness = top.required("witness", findings, values::text);
    let laboratory = top.required("laboratory", findings, values::text);
    let joints = top.required("joints", findings, |node, findings| {
        list(node, findings, |node, findings| {
            Fields::open(node, "joints", node.span, findings)
                .and_then(|fields| joint(fields, findings))
        })
    });
    top.finish(findings);
    let mut once: Vec<TestJoint> = Vec::new();
    for joint in joints? {
        match once.iter().find(|first| first.id.value == joint.id.value) {
            Some(first) => findings.push(given_twice(&joint.id, joint.id.span, first.id.span)),
            None => once.push(joint),
        }
    }
    Some(Record {
        number: number?,
        date: date?,
        procedure: procedure?,
        revision: revision?,
        witness: witness?,
        laboratory: laboratory?,
        joints: once,
    })
}

fn joint(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<TestJoint> {
    let id = fields.required("id", findings, values::text);
    let date = fields.required("date", findings, values::date);
    let operator = fields.required("operator", findings, values::text);
    let size = fields.required("size", findings, values::size);
    let wall = fields.required("wall", findings, wall);
    let resin = fields.required("resin", findings, values::resin);
    let pipe = fields
        .required_group("pipe", findings)
        .and_then(|fields| part(fields, findings));
    let fitting = fields
        .required_group("fitting", findings)
        .and_then(|fields| part(fields, findings));
    let partner = fields.required("partner", findings, values::word);
    let heater = fields.required("heater", findings, values::text);
    let gauge = fields.required("gauge", findings, values::text);
    let pyrometer = fields
        .required_group("pyrometer", findings)
        .and_then(|fields| pyrometer(fields, findings));
    let pipe_temperature = fields.required(
        "pipe_temperature",
        findings,
        values::temperature(&plausible::WEATHER),
    );
    let ambient_temperature = fields.required(
        "ambient_temperature",
        findings,
        values::temperature(&plausible::WEATHER),
    );
    let faces = fields
        .required_group("face_temperatures", findings)
        .map(|mut fields| {
            let pipe = fields.required(
                "pipe_adapter",
                findings,
                values::temperature(&plausible::FACE),
            );
            let fitting = fields.required(
                "fitting_adapter",
                findings,
                values::temperature(&plausible::FACE),
            );
            fields.finish(findings);
            (pipe, fitting)
        });
    let depth = fields.required("gauge_depth", findings, values::length(&plausible::DEPTH));
    let heating = fields.required("heating", findings, values::duration(&plausible::HEATING));
    let change_over = fields.required(
        "change_over",
        findings,
        values::duration(&plausible::CHANGE_OVER),
    );
    let hold = fields.required("hold", findings, values::duration(&plausible::HOLD));
    let visual = fields.required("visual", findings, values::word);
    let tests = fields.optional("tests", findings, |node, findings| {
        list(node, findings, |node, findings| {
            Fields::open(node, "tests", node.span, findings)
                .and_then(|fields| test(fields, findings))
        })
    });
    let span = fields.span;
    fields.finish(findings);
    let (pipe_face, fitting_face) = faces?;
    Some(TestJoint {
        id: id?,
        date: date?,
        operator: operator?,
        size: size?,
        wall: wall?,
        resin: resin?,
        pipe: pipe?,
        fitting: fitting?,
        partner: partner?,
        heater: heater?,
        gauge: gauge?,
        pyrometer: pyrometer?,
        pipe_temperature: pipe_temperature?,
        ambient_temperature: ambient_temperature?,
        pipe_face: pipe_face?,
        fitting_face: fitting_face?,
        depth: depth?,
        heating: heating?,
        change_over: change_over?,
        hold: hold?,
        visual: visual?,
        tests: tests.unwrap_or_default(),
        span,
    })
}

/// A wall by its ratio, or by a length, which alone has a unit.
fn wall(node: &Node, findings: &mut Vec<Finding>) -> Option<TestWall> {
    let written = values::scalar(node, findings)?;
    if parse_quantity(written).is_ok() {
        return values::length(&plausible::WALL)(node, findings).map(TestWall::Stated);
    }
    values::dimension_ratio(node, findings).map(TestWall::Ratio)
}

fn part(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<Part> {
    let maker = fields.required("maker", findings, values::text);
    let lot = fields.required("lot", findings, values::text);
    fields.finish(findings);
    Some(Part {
        maker: maker?,
        lot: lot?,
    })
}

fn pyrometer(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<Pyrometer> {
    let id = fields.required("id", findings, values::text);
    let calibrated = fields.required("calibrated", findings, values::date);
    let due = fields.optional("due", findings, values::date);
    fields.finish(findings);
    Some(Pyrometer {
        id: id?,
        calibrated: calibrated?,
        due,
    })
}

fn test(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<JointTest> {
    let kind = fields.required("kind", findings, values::word::<Kind>);
    let figures = kind.as_ref().and_then(|kind| match kind.value {
        Kind::Straps => straps(&mut fields, findings),
        Kind::Tensile => tensile(&mut fields, findings),
        Kind::Burst => burst(&mut fields, findings),
        Kind::Sustained => sustained(&mut fields, findings),
        Kind::Crush => crush(&mut fields, findings),
    });
    let result = fields.required("result", findings, values::word);
    let span = fields.span;
    if kind.is_none() {
        // Nobody can tell which fields a test has without its kind.
        for field in OF_ANY_KIND {
            fields.take(field);
        }
    }
    fields.finish(findings);
    Some(JointTest {
        figures: figures?,
        result: result?,
        span,
    })
}

fn straps(fields: &mut Fields<'_>, findings: &mut Vec<Finding>) -> Option<TestFigures> {
    let straps = fields.required("straps", findings, values::count(&plausible::STRAPS));
    let with_voids = fields.required("with_voids", findings, values::count(&plausible::STRAPS));
    let failed_in_joint = fields.required(
        "failed_in_joint",
        findings,
        values::count(&plausible::STRAPS),
    );
    Some(TestFigures::Straps {
        straps: straps?,
        with_voids: with_voids?,
        failed_in_joint: failed_in_joint?,
    })
}

fn tensile(fields: &mut Fields<'_>, findings: &mut Vec<Finding>) -> Option<TestFigures> {
    let elongation = fields.required(
        "elongation",
        findings,
        values::percent(&plausible::ELONGATION),
    );
    let failure = fields.required("failure", findings, values::word);
    let criterion = criterion(fields, findings, |fields, findings| {
        fields.required(
            "at_least",
            findings,
            values::percent(&plausible::ELONGATION),
        )
    })?;
    Some(TestFigures::Tensile {
        elongation: elongation?,
        failure: failure?,
        criterion,
    })
}

fn burst(fields: &mut Fields<'_>, findings: &mut Vec<Finding>) -> Option<TestFigures> {
    let pressure = fields.required(
        "pressure",
        findings,
        values::pressure(&plausible::TEST_PRESSURE),
    );
    let criterion = criterion(fields, findings, |fields, findings| {
        fields.required(
            "at_least",
            findings,
            values::pressure(&plausible::TEST_PRESSURE),
        )
    })?;
    Some(TestFigures::Burst {
        pressure: pressure?,
        criterion,
    })
}

fn sustained(fields: &mut Fields<'_>, findings: &mut Vec<Finding>) -> Option<TestFigures> {
    let pressure = fields.required(
        "pressure",
        findings,
        values::pressure(&plausible::TEST_PRESSURE),
    );
    let time = fields.required("time", findings, values::duration(&plausible::TEST_TIME));
    let failed = fields.required("failed", findings, values::word);
    let criterion = criterion(fields, findings, |fields, findings| {
        let pressure = fields.required(
            "pressure",
            findings,
            values::pressure(&plausible::TEST_PRESSURE),
        );
        let time = fields.required("time", findings, values::duration(&plausible::TEST_TIME));
        pressure.zip(time)
    })?;
    Some(TestFigures::Sustained {
        pressure: pressure?,
        time: time?,
        failed: failed?,
        criterion,
    })
}

fn crush(fields: &mut Fields<'_>, findings: &mut Vec<Finding>) -> Option<TestFigures> {
    let separated = fields.required("separated", findings, values::percent(&plausible::SHARE));
    let criterion = criterion(fields, findings, |fields, findings| {
        fields.required("at_most", findings, values::percent(&plausible::SHARE))
    })?;
    Some(TestFigures::Crush {
        separated: separated?,
        criterion,
    })
}

/// The criterion that the record states; `None` when it cannot be read.
fn criterion<T>(
    fields: &mut Fields<'_>,
    findings: &mut Vec<Finding>,
    limit: impl FnOnce(&mut Fields<'_>, &mut Vec<Finding>) -> Option<T>,
) -> Option<Option<Criterion<T>>> {
    if !fields.has("criterion") {
        // Asked for all the same, so that a misspelt one is told its name.
        fields.take("criterion");
        return Some(None);
    }
    let mut fields = fields.group("criterion", findings)?;
    let limit = limit(&mut fields, findings);
    let source = fields.required("source", findings, values::text);
    fields.finish(findings);
    Some(Some(Criterion {
        limit: limit?,
        source: source?,
    }))
}
