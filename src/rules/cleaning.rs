//! Rules about cleaning pipe end and socket, compared with common practice.

use super::{Context, wording};
use crate::core::finding::{Finding, rules};
use crate::spec::{Cleaning, CleaningAgent};

rules! {
    CLEANING_MISSING = warning("The spec does not say what pipe end and socket are cleaned with.")
        .absence()
        .why("Dust, water, sweat or oil between two melts is a place that does not fuse. What to \
              wipe with should not be left to what happens to be on the truck.")
        .example("# no cleaning group")
        .fix("Add cleaning: {agent: isopropyl alcohol, strength: 91 %}, or what your practice asks \
              for.");
    CLEANING_BELOW_PRACTICE = warning(
        "The cleaning agent, or its strength, is not what common practice asks for.")
        .absence()
        .why("Weak alcohol leaves water behind, and water or a solvent trapped in the socket turns \
              to vapor in the melt. Rubbing alcohol with oils in it leaves a film.")
        .example("cleaning: {agent: isopropyl alcohol, strength: 70 %}")
        .fix("Use isopropyl alcohol of the strength the message names, without additives, on a \
              clean lint-free cloth, and let it flash off. Never on a hot heater face.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let spec = context.procedure.spec;
    match &spec.cleaning {
        Some(cleaning) => below_practice(context, cleaning, findings),
        None => findings.push(
            CLEANING_MISSING
                .at(
                    spec.span,
                    "the spec does not say how pipe end and socket are cleaned",
                )
                .help("add a `cleaning` group with the agent and its strength"),
        ),
    }
}

fn below_practice(context: &Context<'_>, cleaning: &Cleaning, findings: &mut Vec<Finding>) {
    let least = context
        .limits
        .entry("us-cleaning:isopropyl-alcohol:percent")
        .and_then(|entry| entry.percent());
    let Some(least) = least else { return };
    let practice = format!("isopropyl alcohol of at least {}", least.value.show());
    let agent = match cleaning.agent.value {
        CleaningAgent::IsopropylAlcohol => None,
        CleaningAgent::DryCloth => Some("a dry cloth alone"),
        CleaningAgent::Water => Some("water"),
        CleaningAgent::Acetone => Some("acetone"),
    };
    let (span, message) = match (agent, &cleaning.strength) {
        (Some(agent), _) => (
            cleaning.agent.span,
            format!("cleaning is with {agent}; common practice is {practice}"),
        ),
        (None, None) => (
            cleaning.agent.span,
            format!("the strength of the alcohol is not given; common practice is {practice}"),
        ),
        (None, Some(strength)) if strength.value < least.value => (
            strength.span,
            format!(
                "alcohol of {} is weaker than common practice: {practice}",
                strength.value.show()
            ),
        ),
        (None, Some(_)) => return,
    };
    let mut finding = CLEANING_BELOW_PRACTICE.at(span, message);
    if agent.is_none() && cleaning.strength.is_none() {
        finding = finding.asks("`strength`", "");
    }
    findings.push(finding.limit(wording::source(&least)).help(
        "write {agent: isopropyl alcohol, strength: …} as your practice and the manufacturers ask",
    ));
}
