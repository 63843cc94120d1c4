//! Rules about the range that a procedure's records support: the tests made, the sizes,
//! walls, and pipe temperatures of the counting joints, and what rests only on a wider
//! rule.

use crate::core::finding::{Finding, rules};
use crate::procedure::record::{BeyondTemperatures, Support, Uncovered, support};
use crate::rules::Context;
use crate::spec::record::TestFigures;
use crate::spec::{Service, Status, WiderRange};

rules! {
    RECORD_WITHOUT_PROCEDURE_TEST = warning(
        "The records of a gas procedure under US practice lack a pressure test or a tensile test.")
        .why("Straps are how 49 CFR 192.285 judges the joint of a person. A procedure is tested by \
              49 CFR 192.283(a): in the text before 2019 by a pressure test, sustained or burst, \
              and for joints that are not lateral by a tensile test too. Today's text was not \
              read.")
        .example("procedure: {status: draft, service: gas, practice: us}\n# in the record\njoints: \
                  [{id: S-1, tests: [{kind: straps, …}], …}]      # and no other kind")
        .fix("Add both tests, each with its criterion, before the status is qualified.");
    QUALIFIED_WITHOUT_PROCEDURE_TESTS = error(
        "A gas procedure under US practice is called qualified, and its records lack a pressure \
         test or a tensile test.")
        .absence()
        .why("49 CFR 192.283(a), in the text before 2019, asks for a pressure test, sustained or \
              burst, and for joints that are not lateral for a tensile test too. Either alone does \
              not show both that the joint is tight and that it is strong. Today's text was not \
              read.")
        .example("procedure: {status: qualified, service: gas, practice: us}\n# in the \
                  record\njoints: [{id: S-1, tests: [{kind: tensile, …}], …}]      # and no \
                  pressure test")
        .fix("Add the test that is missing, with its criterion and where that stands, or set the \
              status to draft.");
    QUALIFIED_OUTSIDE_RANGE = error(
        "The status is qualified, and test joints do not reach as far as the procedure claims.")
        .absence()
        .why("Joints support the sizes between the smallest and the largest tested and walls down \
              to the thinnest tested, for the resin tested. Small thin walls buckle first, so a \
              joint of one size does not speak for the next smaller one.")
        .example("procedure: {status: qualified}\nscope: {pipe: {sizes: 1 IPS to 2 IPS, …}}\n# in \
                  the record\njoints: [{size: 1 IPS, …}]")
        .fix("Test joints of the sizes and walls named, take them out of the scope, set the status \
              to draft, or name the wider rule you work under: qualification: {range: {rule: \
              smaller sizes too, source: …}}.");
    QUALIFIED_OUTSIDE_TEMPERATURES = error(
        "The status is qualified, and no test joint was made on pipe as cold or as hot as the \
         procedure allows.")
        .absence()
        .why("Cold pipe takes longer to melt and hot pipe less. Joints on pipe at 70 °F do not \
              show that the same time makes a good joint at 40 °F or at 100 °F.")
        .example("procedure: {status: qualified}\nscope: {pipe_temperature: 40 °F to 100 °F}\n# in \
                  the record\njoints: [{id: S-1, pipe_temperature: 70 °F, …}]      # and all \
                  others near it")
        .fix("Test joints on the coldest and the hottest pipe that the procedure allows, narrow \
              scope.pipe_temperature, set the status to draft, or name the wider rule you work \
              under: qualification: {range: {rule: other pipe temperatures too, source: …}}.");
    RANGE_WIDENED_BY_RULE = warning(
        "Rows of the procedure rest on a wider rule that the spec names, not on test joints.")
        .why("The rule is the author's choice and is printed as that. No text was found that \
              extends a procedure to sizes or walls that were not tested, and the smallest and \
              thinnest pipe is the first to buckle. PHMSA PI-92-061 is about people, not \
              procedures.")
        .example("qualification:\n  range: {rule: smaller sizes too, source: engineering decision \
                  2026-03-12}")
        .fix("Nothing, if the rule is meant. Joints of the rows themselves are better proof.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    if context.procedure.records.is_empty() {
        return;
    }
    let support = support(context.procedure, context.limits);
    procedure_tests(context, &support, findings);
    sizes_and_walls(context, &support, findings);
    temperatures(context, &support, findings);
}

/// Checks that the counting joints passed both kinds of test that a US gas procedure
/// requires.
fn procedure_tests(context: &Context<'_>, support: &Support<'_>, findings: &mut Vec<Finding>) {
    let procedure = context.procedure;
    let spec = procedure.spec;
    let us_gas = spec.service.value == Service::Gas && spec.practice.value.federal_gas_rules;
    // If no joint counts, other findings say more.
    if !us_gas || support.temperatures().is_none() {
        return;
    }
    let pressure =
        |test: &TestFigures| matches!(test, TestFigures::Burst(_) | TestFigures::Sustained(_));
    let tensile = |test: &TestFigures| matches!(test, TestFigures::Tensile(_));
    let missing = match (support.passed(pressure), support.passed(tensile)) {
        (true, true) => return,
        (false, true) => "no joint that counts passed a pressure test",
        (true, false) => "no joint that counts passed a tensile test",
        (false, false) => "no joint that counts passed a pressure test, and none a tensile test",
    };
    let numbers: Vec<_> = procedure
        .records
        .iter()
        .map(|named| named.record.number.value.as_str())
        .collect();
    let message = format!("{missing} by a criterion ({})", numbers.join(", "));
    let help = "add the tests that 192.283(a) asks for, each with its criterion; a pressure test \
                states its own: criterion: {…, source: …}";
    let source = "49 CFR 192.283(a), text before 2019";
    if spec.status.value == Status::Qualified {
        let mut finding = QUALIFIED_WITHOUT_PROCEDURE_TESTS.at(spec.status.span, message);
        for named in procedure.records {
            finding = finding.related(named.named_at, "a record that was counted");
        }
        findings.push(finding.help(help).limit(source));
    } else if let Some(first) = procedure.records.first() {
        findings.push(
            RECORD_WITHOUT_PROCEDURE_TEST
                .at(first.record.number.span, message)
                .in_file(first.file)
                .help(help)
                .limit(source),
        );
    }
}

/// Checks that the joints support the claimed sizes and walls.
fn sizes_and_walls(context: &Context<'_>, support: &Support<'_>, findings: &mut Vec<Finding>) {
    let procedure = context.procedure;
    let spec = procedure.spec;
    let range = context.limits.entry("record-criteria:range:text");
    let source = range.map_or("", |range| range.source.as_str());
    let uncovered = support.uncovered(procedure);
    if spec.status.value == Status::Qualified && !uncovered.is_empty() {
        let mut finding = QUALIFIED_OUTSIDE_RANGE
            .at(
                spec.status.span,
                format!(
                    "the status is qualified, and no test joint supports {}; {}",
                    rows(context, &uncovered),
                    proven(context, support)
                ),
            )
            .help(
                "make and test joints of these, take them out of the scope, or set the status to draft",
            )
            .limit(source);
        for named in procedure.records {
            finding = finding.related(named.named_at, "a record that was counted");
        }
        findings.push(finding);
    }
    let widened = support.widened(procedure);
    let rules = spec.qualification.iter().flat_map(|q| &q.range);
    let of_pipe = rules.filter(|rule| rule.rule.value != WiderRange::OtherTemperatures);
    for rule in of_pipe.filter(|_| !widened.is_empty()) {
        findings.push(
            RANGE_WIDENED_BY_RULE
                .at(
                    rule.rule.span,
                    format!(
                        "by this rule alone the records support {}",
                        rows(context, &widened)
                    ),
                )
                .help("joints of these rows are better proof")
                .limit(&rule.source.value),
        );
    }
}

/// Sizes and walls: `2 IPS DR 11 (0.216 in (5.48 mm) least wall)`.
fn rows(context: &Context<'_>, rows: &[Uncovered<'_>]) -> String {
    let units = context.procedure.practice().units;
    let named = |row: &Uncovered<'_>| {
        let why = if row.by_size { "size" } else { "wall" };
        format!("{} {} ({why})", row.joint.size, row.pipe.label.name(units))
    };
    rows.iter().map(named).collect::<Vec<_>>().join(", ")
}

/// The range that the joints support.
fn proven(context: &Context<'_>, support: &Support<'_>) -> String {
    let tested: Vec<_> = support
        .tested()
        .into_iter()
        .map(|tested| {
            format!(
                "{} to {} down to a wall of {}",
                tested.smallest,
                tested.largest,
                context.length(tested.wall)
            )
        })
        .collect();
    match tested.as_slice() {
        [] => "no joint of the records counts".to_owned(),
        tested => format!("the records support {}", tested.join(" and ")),
    }
}

/// Checks that joints were made on pipe as cold and as hot as the procedure allows.
fn temperatures(context: &Context<'_>, support: &Support<'_>, findings: &mut Vec<Finding>) {
    let procedure = context.procedure;
    let spec = procedure.spec;
    let span = |beyond: &BeyondTemperatures| {
        let range = beyond.claimed;
        format!(
            "{} to {}",
            context.temperature(range.least),
            context.temperature(range.most)
        )
    };
    if let Some(beyond) = support.beyond_temperatures(procedure)
        && spec.status.value == Status::Qualified
    {
        let tested = beyond.tested;
        let range = context.limits.entry("record-criteria:range:text");
        let mut finding = QUALIFIED_OUTSIDE_TEMPERATURES
            .at(
                spec.status.span,
                format!(
                    "the status is qualified, and the procedure allows pipe at {}; the joints that \
                     count were made on pipe at {} to {}",
                    span(&beyond),
                    context.temperature(tested.least),
                    context.temperature(tested.most)
                ),
            )
            .help(format!(
                "narrow `scope.pipe_temperature` to {} to {}; or make and test joints on the \
                 coldest and the hottest pipe, name a wider rule with its source, or set the \
                 status to draft",
                context.temperature(tested.least),
                context.temperature(tested.most)
            ))
            .limit(range.map_or("", |range| range.source.as_str()));
        if let Some(claimed) = &spec.pipe_temperature {
            finding = finding.related(claimed.span, "the pipe temperatures");
        }
        findings.push(finding);
    }
    let rules = spec.qualification.iter().flat_map(|q| &q.range);
    let of_temperature = rules.filter(|rule| rule.rule.value == WiderRange::OtherTemperatures);
    let widened = support.widened_temperatures(procedure);
    for (rule, beyond) in of_temperature.zip(widened) {
        findings.push(
            RANGE_WIDENED_BY_RULE
                .at(
                    rule.rule.span,
                    format!(
                        "by this rule alone the records support pipe at {}",
                        span(&beyond)
                    ),
                )
                .help("joints on the coldest and the hottest pipe are better proof")
                .limit(&rule.source.value),
        );
    }
}
