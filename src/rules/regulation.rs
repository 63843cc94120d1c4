//! Rules about the regulations for the service: what a gas procedure has to say, and
//! what no other may claim.

use super::{Context, wording};
use crate::core::finding::{Finding, rules};
use crate::spec::{Service, Spec};

rules! {
    PROCEDURE_TEST_RULE_NOT_LISTED = warning(
        "The rules of a gas procedure name sections of 49 CFR 192, and 192.283 is not among them.")
        .absence()
        .why("192.283 is about tests that qualify the procedure; 192.285 and 192.287 are about \
              the people who join and inspect. A list without it says that people were qualified, \
              and not that the procedure was.")
        .example("procedure: {practice: us, service: gas}\nqualification: {rules: [49 CFR \
                  192.285]}")
        .fix("Add 49 CFR 192.283 to `qualification.rules` if the procedure was tested by it. If \
              another rule governs the procedure, list that one and have the authority having \
              jurisdiction confirm it.");
    GAS_WITHOUT_QUALIFICATION = error(
        "The service is gas, and the spec does not say how procedure and people are qualified.")
        .absence()
        .why("For fuel gas the procedure must be proven by tests and the people who join must be \
              qualified under it. A gas procedure that is silent on both is not complete.")
        .example("procedure: {service: gas}      # no qualification")
        .fix("Add, in your own words: qualification: {rules: [the rules you qualify under], \
              operator_qualification: how your program covers the people who join}.");
    PART_192_OUTSIDE_GAS = error("49 CFR 192 is cited for a service that is not gas.")
        .why("Part 192 is about pipelines that carry gas. On a water or ground loop procedure it \
              claims an oversight that nobody exercises, and hides the rules that do apply.")
        .example("procedure: {service: geothermal}\nreferences: [49 CFR 192 Subpart F]")
        .fix("Cite what the authority having jurisdiction for this service asks for, or set the \
              service to gas if it is.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    regulation(context.procedure.spec, findings);
    findings.extend(procedure_test_rule(context));
}

/// Checks what the service requires and what it must not claim.
fn regulation(spec: &Spec, findings: &mut Vec<Finding>) {
    let rules = spec.qualification.as_ref().map_or(&[][..], |q| &q.rules);
    if spec.service.value == Service::Gas {
        let operators = spec
            .qualification
            .as_ref()
            .and_then(|q| q.operator_qualification.as_ref());
        let (missing, says) = match (rules.is_empty(), operators.is_none()) {
            (true, true) => (
                "`qualification` with `rules` and `operator_qualification`",
                "the rules you qualify under, and how your program covers the people who join",
            ),
            (true, false) => ("`qualification.rules`", "the rules you qualify under"),
            (false, true) => (
                "`qualification.operator_qualification`",
                "how your program covers the people who join",
            ),
            (false, false) => return,
        };
        let finding = GAS_WITHOUT_QUALIFICATION
            .at(
                spec.service.span,
                format!("the service is gas, but {missing} is missing"),
            )
            .help(format!(
                "add {missing}: {says}, as in qualification: {{rules: [the rules you qualify \
                 under], operator_qualification: how your program covers the people who join}}"
            ));
        findings.push(match &spec.qualification {
            Some(section) => finding.related(section.span, "the section that is not complete"),
            None => finding,
        });
        return;
    }
    for text in spec.references.iter().chain(rules) {
        if cites_part_192(text) {
            findings.push(
                PART_192_OUTSIDE_GAS
                    .at(
                        text.span,
                        format!("'{}' is about gas, and the service is not", **text),
                    )
                    .help("cite what the authority having jurisdiction for this service asks for")
                    .related(spec.service.span, "the service"),
            );
        }
    }
}

/// Reports a list that names sections of part 192 but not the one on testing procedures.
fn procedure_test_rule(context: &Context<'_>) -> Option<Finding> {
    let spec = context.procedure.spec;
    let is_us_gas = spec.service.value == Service::Gas && spec.practice.value.federal_gas_rules;
    let rules = &spec.qualification.as_ref().filter(|_| is_us_gas)?.rules;
    let cited: Vec<_> = rules.iter().filter(|rule| cites_part_192(rule)).collect();
    if cited.iter().any(|rule| covers_tests_of_procedures(rule)) {
        return None;
    }
    let first = cited.first()?;
    let finding = PROCEDURE_TEST_RULE_NOT_LISTED
        .at(
            first.span,
            format!(
                "'{}' is listed, and 49 CFR 192.283, by which a procedure is tested, is not",
                ***first
            ),
        )
        .help(
            "add 49 CFR 192.283 to `qualification.rules` if the procedure was tested by it, or \
             list the rule that governs instead",
        );
    Some(match context.limits.entry("regulation:192.283(a):text") {
        Some(rule) => finding.limit(wording::entry_source(rule)),
        None => finding,
    })
}

/// Whether a text that cites part 192 names 192.283, a range that includes it, or no
/// section at all.
fn covers_tests_of_procedures(text: &str) -> bool {
    let words = words(text);
    let numbers = words.iter().filter_map(|word| word.parse::<u32>().ok());
    let sections: Vec<_> = numbers.filter(|n| (193..1000).contains(n)).collect();
    let least = sections.iter().min().is_none_or(|least| *least <= 283);
    let most = sections.iter().max().is_none_or(|most| *most >= 283);
    least && most
}

/// Whether a text cites 49 CFR 192, by that title or as "Part 192" or "§ 192". Part 192
/// of another title and Part 1926 do not count.
fn cites_part_192(text: &str) -> bool {
    let words = words(text);
    words.iter().enumerate().any(|(at, word)| {
        let mut before = words.iter().take(at).rev().map(String::as_str);
        if word != "192" {
            return false;
        }
        if before.clone().any(|word| word == "cfr") {
            // The title comes before the nearest "CFR"; a bare "CFR 192" counts as title
            // 49.
            return before
                .skip_while(|word| *word != "cfr")
                .nth(1)
                .is_none_or(|title| title == "49" || !is_number(title));
        }
        // "Parts 191 and 192": the word comes before the list.
        before
            .find(|word| !is_number(word) && *word != "and")
            .is_some_and(|word| matches!(word, "part" | "parts" | "§" | "§§"))
    })
}

fn is_number(word: &str) -> bool {
    word.bytes().all(|b| b.is_ascii_digit())
}

/// Lower-case runs of letters, digits, or section signs; "C.F.R." is one word.
fn words(text: &str) -> Vec<String> {
    let text = text.to_lowercase().replace("c.f.r.", "cfr");
    let kind = |c: char| match c {
        '§' => 1,
        c if c.is_ascii_digit() => 2,
        c if c.is_alphabetic() => 3,
        _ => 0,
    };
    let mut words: Vec<String> = Vec::new();
    let mut last = 0;
    for c in text.chars() {
        match words.last_mut() {
            Some(word) if kind(c) == last && last != 0 => word.push(c),
            _ if kind(c) != 0 => words.push(c.to_string()),
            _ => {}
        }
        last = kind(c);
    }
    words
}

#[cfg(test)]
mod tests {
    use super::cites_part_192;

    #[test]
    fn part_192_is_told_from_its_neighbors() {
        for text in [
            "49 CFR 192",
            "49 CFR 192.283(a)",
            "49CFR192 Subpart F",
            "49 C.F.R. Part 192",
            "49 CFR Parts 191 and 192",
            "CFR 192.285",
            "Part 192, Subpart F",
            "Parts 191 and 192",
            "§ 192.285",
            "29 CFR 1926 and 49 CFR 192",
        ] {
            assert!(cites_part_192(text), "{text}");
        }
        for text in [
            "29 CFR Part 1926",
            "40 CFR Part 192",
            "49 CFR 195",
            "ASTM D2513 part 12, page 192",
            "bulletin 192",
            "49 CFR 1192",
        ] {
            assert!(!cites_part_192(text), "{text}");
        }
    }
}
