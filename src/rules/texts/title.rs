//! Rules that compare the title with the scope, the service, and the number.

use super::mentions::Words;
use super::{Context, outside_scope};
use crate::core::finding::{Finding, rules};
use crate::spec::{Service, Spec};

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let spec = context.procedure.spec;
    let words = words(spec);
    if words.names_the_unclaimed() {
        return;
    }
    // A resin that is not known is an error of its own.
    let is_known = context.limits.resin(&spec.resin).is_some();
    let outside = outside_scope(context, &words).into_iter();
    for (named, field) in outside.filter(|(_, field)| is_known || *field != "scope.resin") {
        findings.push(
            TITLE_CONTRADICTS_SCOPE
                .at(
                    spec.title.span,
                    format!("the title names {named}, and the spec does not"),
                )
                .help(format!(
                    "correct whichever is wrong, the title or `{field}`"
                )),
        );
    }
    process(spec, &words, findings);
    service(spec, &words, findings);
    number(spec, &words, findings);
}

rules! {
    TITLE_CONTRADICTS_SCOPE = error(
        "The title names a resin, a size or a dimension ratio that the scope does not have.")
        .absence()
        .why("The title heads every page and every card. A crew that goes by it joins pipe that \
              the times, the depths and the tools on the same paper are not for.")
        .example("procedure: {title: Socket fusion of PE2708 pipe}\nscope: {resin: PE4710}")
        .fix("Correct whichever is wrong, the title or the scope. What the procedure replaces or \
              does not cover is told in the change of a revision, or by a word such as replaces or \
              except.");
    TITLE_NAMES_OTHER_PROCESS = error("The title names a process that is not socket fusion.")
        .why("Butt fusion, saddle fusion and electrofusion have tools, times and pressures of \
              their own. A crew that reads the title takes the numbers for that process.")
        .example("procedure: {title: Butt fusion of PE4710 gas pipe}")
        .fix("Name socket fusion alone in the title; give the other process a procedure of its \
              own.");
    TITLE_NAMES_OTHER_SERVICE = error("The title names another service than `procedure.service`.")
        .why("The service decides which rules apply. A gas procedure that is entered as water is \
              not asked how its people are qualified.")
        .example("procedure: {title: Socket fusion of PE4710 gas pipe, service: water}")
        .fix("Correct whichever is wrong, the title or the service.");
    TITLE_NAMES_OTHER_NUMBER = warning(
        "The title names the number or the revision of another procedure.")
        .why("Number and revision stand on every page already. Where the title says otherwise, \
              nobody can tell which procedure the paper is, or whether it is the current one.")
        .example("procedure:\n  number: HC-SF-104\n  title: Socket fusion of PE4710 pipe, \
                  HC-SF-103, Rev. 1\n  revisions: [{revision: 2, date: 2026-11-02}]")
        .fix("Take number and revision out of the title; every paper prints them.");
}

/// The words of the title without the organization's name, which may mention its other
/// services.
fn words(spec: &Spec) -> Words {
    let title = spec.title.value.to_lowercase();
    let organization = spec.organization.value.to_lowercase();
    Words::new(&title.replace(&organization, " "))
}

fn process(spec: &Spec, words: &Words, findings: &mut Vec<Finding>) {
    let others = [
        ("butt", "butt fusion"),
        ("saddle", "saddle fusion"),
        ("sidewall", "saddle fusion"),
        ("electrofusion", "electrofusion"),
    ];
    let Some((_, named)) = others.iter().find(|(word, _)| words.has(word)) else {
        return;
    };
    findings.push(
        TITLE_NAMES_OTHER_PROCESS
            .at(
                spec.title.span,
                format!("the title names {named}, and every number here is of socket fusion"),
            )
            .help("name socket fusion alone in the title"),
    );
}

/// Services a title may name for each service of a spec.
fn service(spec: &Spec, words: &Words, findings: &mut Vec<Finding>) {
    let loop_words = words.has("geothermal")
        || ["loop", "source"]
            .iter()
            .any(|w| words.has_pair("ground", w));
    let named: Vec<_> = [
        (Service::Gas, words.has("gas")),
        (Service::Water, words.has("water")),
        (Service::Geothermal, loop_words),
    ]
    .into_iter()
    .filter_map(|(service, is_named)| is_named.then_some(service))
    .collect();
    let own = spec.service.value;
    let fuel_gas = [("fuel", "gas"), ("natural", "gas"), ("gas", "service")];
    let fuel_gas = fuel_gas.iter().any(|(a, b)| words.has_pair(a, b));
    let other = named.iter().find(|service| match (own, service) {
        // A ground loop carries water, and plant pipe carries anything.
        (Service::Geothermal, Service::Water) => false,
        (Service::Industrial, Service::Gas) => fuel_gas,
        (Service::Industrial, _) => false,
        _ => true,
    });
    let Some(other) = other.filter(|_| !named.contains(&own)) else {
        return;
    };
    findings.push(
        TITLE_NAMES_OTHER_SERVICE
            .at(
                spec.title.span,
                format!(
                    "the title names {}, and the service is {}",
                    other.word(),
                    own.word()
                ),
            )
            .related(spec.service.span, "the service")
            .help("correct whichever is wrong, the title or `procedure.service`"),
    );
}

fn number(spec: &Spec, words: &Words, findings: &mut Vec<Finding>) {
    let help = "take it out of the title; every paper prints number and revision";
    let own = spec.number.value.to_lowercase();
    if let Some(other) = words.iter().find(|word| is_alike(&own, word)) {
        findings.push(
            TITLE_NAMES_OTHER_NUMBER
                .at(
                    spec.title.span,
                    format!(
                        "the title names {}, and the procedure is {}",
                        other.to_uppercase(),
                        spec.number.value
                    ),
                )
                .related(spec.number.span, "the number")
                .help(help),
        );
    }
    let Some(current) = spec.revisions.last() else {
        return;
    };
    let mut named = words.revisions().into_iter();
    if let Some(other) = named.find(|number| *number != current.number.value) {
        findings.push(
            TITLE_NAMES_OTHER_NUMBER
                .at(
                    spec.title.span,
                    format!(
                        "the title names revision {other}, and the current one is {}",
                        current.number.value
                    ),
                )
                .related(current.number.span, "the current revision")
                .help(help),
        );
    }
}

/// Whether a word is a procedure number of the same series: only its last digits differ.
fn is_alike(own: &str, word: &str) -> bool {
    let series = |number: &str| {
        let series = number.trim_end_matches(|c: char| c.is_ascii_digit());
        (series.len() < number.len()).then(|| series.to_owned())
    };
    let is_named = |series: &String| series.ends_with('-') && series.len() > 2;
    own != word
        && series(own)
            .filter(is_named)
            .is_some_and(|own| series(word) == Some(own))
}

#[cfg(test)]
mod tests {
    use super::is_alike;

    #[test]
    fn a_number_of_the_same_series_is_told_from_other_words() {
        assert!(is_alike("hc-sf-104", "hc-sf-103"));
        for word in ["hc-sf-104", "hc-sf", "hc-pq-103", "104", "sdr-11"] {
            assert!(!is_alike("hc-sf-104", word), "{word}");
        }
        assert!(!is_alike("7", "8"));
        assert!(!is_alike("7-", "8-"));
    }
}
