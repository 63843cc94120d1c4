//! Rules that compare citations with their subject: standards by title, sections of the
//! gas rules by the list of those on joining, and fuel gas in PP.

use super::{Context, wording};
use crate::core::finding::{Finding, rules};
use crate::core::source::Spanned;
use crate::published::{Entry, Family};
use crate::spec::Service;

rules! {
    GAS_IN_POLYPROPYLENE = error("The service is gas, and the pipe is polypropylene.")
        .why("The standards for gas pipe that the tables know are for polyethylene. PP pipe is \
              made for hot and cold water and for plants; nothing shows that it holds fuel gas in \
              the ground.")
        .example("procedure: {service: gas, practice: metric}\nscope: {resin: PP-R}")
        .fix("Correct the service or the resin.");
    STANDARD_OF_OTHER_RESIN = warning(
        "A standard is cited that is about another polymer than the pipe's.")
        .why("A PP procedure that cites a PE standard claims rules that were never written for it, \
              and its reader looks for times and temperatures in the wrong text.")
        .example("scope: {resin: PP-R}\nreferences: [ASTM F2620]")
        .fix("Cite the standard for this polymer, or take the line out.");
    STANDARD_OF_OTHER_SERVICE = note(
        "A standard for gas pipe is cited for another service, or one for water pipe for gas.")
        .why("It may be the pipe that is on hand. More often the list was copied from a procedure \
              for the other service, and then the standard that applies is missing.")
        .example("procedure: {service: gas}\nreferences: [AWWA C901]")
        .fix("Check that the standard is the one meant.");
    STANDARD_OF_OTHER_PRACTICE = note(
        "A standard for metric pipe is cited under US practice, or one for inch pipe under metric \
         practice.")
        .why("Sizes, times and marks of the two practices differ. A reader who follows the \
              reference finds other figures than those on the papers.")
        .example("procedure: {practice: us}\nreferences: [EN 12201]")
        .fix("Check that the standard is the one meant.");
    STANDARD_NO_LONGER_FOR_RESIN = warning("ASTM D2657 is cited for PE, which it no longer covers.")
        .why("Fusion of PE has moved to ASTM F2620. Whoever looks D2657 up finds nothing on the \
              pipe of this procedure.")
        .example("scope: {resin: PE4710}\nreferences: [ASTM D2657]")
        .fix("Cite ASTM F2620, if that is what the procedure follows.");
    SECTION_NOT_KNOWN = note(
        "A section of 49 CFR 192 is cited that the tables do not have among those on joining.")
        .why("It may bear on the work in another way. It may also be a typing error in the \
            number, such as \
              192.284 for 192.283, and then the paper cites a rule that does not exist.")
        .example("procedure: {service: gas}\nqualification: {rules: [49 CFR 192.284]}")
        .fix("Look the section up and correct its number; leave it if it is the one meant.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let spec = context.procedure.spec;
    let family = context.procedure.resin.as_ref().map(|r| r.group.family());
    if spec.service.value == Service::Gas && family == Some(Family::Polypropylene) {
        findings.push(
            GAS_IN_POLYPROPYLENE
                .at(
                    spec.service.span,
                    format!(
                        "the service is gas, and {} is polypropylene",
                        spec.resin.value
                    ),
                )
                .related(spec.resin.span, "the resin")
                .limit("the titles of ASTM D2513, EN 1555 and ISO 4437: polyethylene")
                .help("correct `procedure.service` or `scope.resin`"),
        );
    }
    let rules = spec.qualification.iter().flat_map(|q| &q.rules);
    for text in spec.references.iter().chain(rules) {
        let words = words(text);
        let says = |word: &str| words.iter().any(|known| known == word);
        // A text may name a standard that is not followed.
        if ["not", "replaces", "supersedes", "superseded", "formerly"]
            .into_iter()
            .any(says)
        {
            continue;
        }
        let standards = context.limits.texts("standards", "cite").into_iter();
        for standard in standards.filter(|s| s.text().is_some_and(|s| cites(&words, s))) {
            findings.extend(other_subject(context, family, standard, text));
        }
        if family == Some(Family::Polyethylene) && cites(&words, "ASTM D2657") {
            let finding = STANDARD_NO_LONGER_FOR_RESIN
                .at(text.span, "ASTM D2657 no longer covers PE")
                .help("cite ASTM F2620, if that is what the procedure follows");
            let scope = context.limits.entry("regulation:D2657-scope:text");
            findings.push(match scope {
                Some(scope) => finding.limit(wording::entry_source(scope)),
                None => finding,
            });
        }
        if spec.service.value == Service::Gas {
            findings.extend(unknown_section(context, text));
        }
    }
}

/// Reports a cited standard whose subject is not that of the procedure.
fn other_subject(
    context: &Context<'_>,
    family: Option<Family>,
    standard: &Entry,
    text: &Spanned<String>,
) -> Option<Finding> {
    let spec = context.procedure.spec;
    let beside = |column| {
        context
            .limits
            .other_column(standard, column)
            .and_then(Entry::text)
    };
    let (cite, title) = (standard.text()?, beside("title")?);
    let is = format!("{cite} is “{title}”");
    let other_polymer = beside("family").filter(|polymer| {
        let family = family.map(Family::name);
        family.is_some_and(|own| own != *polymer)
    });
    let other_service = beside("service").filter(|service| {
        let own = spec.service.value;
        match *service {
            "gas" => own != Service::Gas,
            // Loops and plants carry water too.
            _ => own == Service::Gas,
        }
    });
    let practice = context.procedure.practice();
    let other_practice = beside("practice").filter(|own| *own != practice.key);
    let finding = if other_polymer.is_some() {
        STANDARD_OF_OTHER_RESIN
            .at(
                text.span,
                format!("{is}, and the pipe is {}", spec.resin.value),
            )
            .related(spec.resin.span, "the resin")
            .help("cite the standard for this polymer, or take the line out")
    } else if other_service.is_some() {
        STANDARD_OF_OTHER_SERVICE
            .at(
                text.span,
                format!("{is}, and the service is {}", spec.service.value.word()),
            )
            .related(spec.service.span, "the service")
            .help("check that it is the standard you mean")
    } else if other_practice.is_some() {
        STANDARD_OF_OTHER_PRACTICE
            .at(
                text.span,
                format!("{is}, and the spec follows {}", practice.name),
            )
            .related(spec.practice.span, "the practice")
            .help("check that it is the standard you mean")
    } else {
        return None;
    };
    Some(finding.limit(wording::entry_source(standard)))
}

/// Lower-case words, split at everything but letters and digits.
fn words(text: &str) -> Vec<String> {
    text.to_lowercase()
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

/// Whether a text cites a standard: `ASTM F2620`, `F2620-20`, `EN 12201-2`. A standard
/// that is only a number needs its body before it.
fn cites(words: &[String], standard: &str) -> bool {
    let Some((body, number)) = standard.split_once(' ') else {
        return false;
    };
    let (body, number) = (body.to_lowercase(), number.to_lowercase());
    let is_plain = number.chars().all(|c| c.is_ascii_digit());
    words.iter().enumerate().any(|(at, word)| {
        let before = at.checked_sub(1).and_then(|before| words.get(before));
        // `D 2513` and `EN12201`.
        let parted = before.is_some_and(|letter| format!("{letter}{word}") == number);
        (*word == number && (!is_plain || before == Some(&body)))
            || (*word == format!("{body}{number}"))
            || (parted && at >= 2 && words.get(at - 2) == Some(&body))
    })
}

/// A part of 49 CFR that is not about gas pipelines (191 reports, 192 safety, 199 drug
/// and alcohol tests).
fn other_part(text: &str) -> Option<&str> {
    let (_, cited) = text.split_once("CFR ")?;
    let cited = cited
        .trim_start_matches("Part ")
        .trim_start_matches("part ");
    let end = cited
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(cited.len());
    let part = cited.get(..end).filter(|part| !part.is_empty())?;
    let is_of_49 = text.contains("49 CFR");
    (is_of_49 && !["191", "192", "199"].contains(&part)).then_some(part)
}

/// Reports a section of part 192 that is in no table.
fn unknown_section(context: &Context<'_>, text: &Spanned<String>) -> Option<Finding> {
    let sections = |text: &str| {
        let numbers = text.split(|c: char| !c.is_ascii_digit() && c != '.');
        let sections = numbers.filter_map(|number| number.strip_prefix("192."));
        let whole = sections.map(|number| number.trim_end_matches('.').to_owned());
        let sections: Vec<_> = whole.filter(|n| (2..=4).contains(&n.len())).collect();
        sections
    };
    if let Some(part) = other_part(text) {
        return Some(
            SECTION_NOT_KNOWN
                .at(
                    text.span,
                    format!("49 CFR {part} is not a part on gas pipelines that the tables know"),
                )
                .help("look it up and correct the number; leave it if it is the one you mean"),
        );
    }
    let named = sections(text);
    if named.is_empty() {
        return None;
    }
    let rows = context.limits.texts("regulation", "cite").into_iter();
    let known: Vec<_> = rows.filter_map(Entry::text).flat_map(sections).collect();
    // Subpart N starts at 192.801.
    let is_known = |number: &String| known.contains(number) || number.starts_with("80");
    let other = named.iter().find(|number| !is_known(number))?;
    Some(
        SECTION_NOT_KNOWN
            .at(
                text.span,
                format!("192.{other} is not among the sections on joining that the tables know"),
            )
            .help("look it up and correct the number; leave it if it is the one you mean"),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_standard_is_cited_by_its_whole_number() {
        for (text, standard) in [
            ("ASTM F2620-20, heat fusion", "ASTM F2620"),
            ("per F2620", "ASTM F2620"),
            ("ASTM D 2513", "ASTM D2513"),
            ("BS EN 12201-2:2011", "EN 12201"),
            ("EN ISO 15874-3", "ISO 15874"),
            ("AWWA C901", "AWWA C901"),
        ] {
            assert!(cites(&words(text), standard), "{text}");
        }
        for (text, standard) in [
            ("ASTM F26201", "ASTM F2620"),
            ("drawing AF2620", "ASTM F2620"),
            ("drawing 12201", "EN 12201"),
            ("EN 122011", "EN 12201"),
            ("2513 meters", "ASTM D2513"),
        ] {
            assert!(!cites(&words(text), standard), "{text}");
        }
    }
}
