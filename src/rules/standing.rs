//! Rules about how well numbers are known: recalled ones, ones on which sources disagree,
//! and the unmeasured thickness of a strip.

use std::collections::{BTreeMap, BTreeSet};

use super::{Context, wording};
use crate::core::finding::{Finding, rules};
use crate::core::units::{Length, Range};
use crate::procedure::resolve::{EntryUse, entries_in_use, recalled_in_use, trade_quantity};
use crate::published::{Entry, Library};
use crate::spec::{StripUse, Written};

rules! {
    RECALLED_FIGURES_USED = warning(
        "The procedure uses figures that were recalled and not read in their source.")
        .absence().about_sources()
        .why("A recalled figure is what people in the trade remember. It is mostly right, and a \
              joint made by one that is not is weak with no sign of it. The papers mark each of \
              them.")
        .example("scope:\n  pipe: {sizes: 3/4 IPS, dimension_ratio: 11}      # its row is recalled")
        .fix("Compare each figure with the edition you work under, on the worksheet that `coldring \
              confirm SPEC` prints, and enter what was read in a confirmations file. Where you \
              have qualified a time of your own, state it with its source under `cycles`; it then \
              takes the place of the recalled one.");
    CONFLICTING_FIGURES_USED = warning("The procedure uses a figure that sources give differently.")
        .absence().about_sources()
        .why("Two texts that people work by print two figures, and both cannot be right for the \
              same joint. The tool takes one by a stated decision; it cannot know which of them \
              your pipe was tested with.")
        .example("scope:\n  resin: PE2708\n  pipe: {sizes: 2 IPS, dimension_ratio: 11}")
        .fix("Look up the edition you work under and the pipe manufacturer's instructions, and state your \
              own qualified time with its source under `cycles`.");
    STRIP_THICKNESS_UNKNOWN = error(
        "Strips are used as labels or laminated, and their thickness is not stated.")
        .absence()
        .why("A strip wraps on the outside of its own thickness, so a thicker one has to be longer \
              for its ends to meet. With the wrong thickness the lap line does not meet and the \
              strip sits askew on the pipe.")
        .example("documents: {strips: {use: laminated}}      # no thickness")
        .fix("Measure the finished strip with a caliper and add `thickness: … mm`.");
    BARE_STRIP_THICK = warning("Strips are said to be bare paper, and are as thick as card.")
        .why("A bare strip is paper as it comes out of the printer. One as thick as card does not \
              lie round a pipe, and a thickness that is off makes the strip too long. The limit, \
              three times ordinary paper, is this program's own and only catches typing errors.")
        .example("documents: {strips: {use: bare, thickness: 0.4 mm}}")
        .fix("Measure one strip with a caliper. If it is a label or laminated, say so: `use: \
              label` or `use: laminated`.");
    STRIP_THICKNESS_OUT_OF_RANGE = error(
        "The stated thickness of the strips is not that of paper, a label or a laminate.")
        .why("The thickness makes the strip longer, by about three times as much. One that is off \
              by a decimal place or a unit gives a strip whose ends leave a gap or overlap.")
        .example("documents: {strips: {use: laminated, thickness: 4 mm}}      # for 0.4 mm")
        .fix("Measure one finished strip with a caliper, and check the unit and the decimal \
              point.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let uses = entries_in_use(context.procedure, context.limits);
    recalled(context, findings);
    conflicts(&uses, context.limits, findings);
    strips(context, findings);
}

fn recalled(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let (statements, entries): (Vec<_>, Vec<_>) =
        recalled_in_use(context.procedure, context.limits)
            .into_iter()
            .partition(|entry| entry.text().is_some());
    let named = name_quantities(&entries);
    let counted = match statements.len() {
        1 => "1 statement that the papers print and mark".to_owned(),
        n => format!("{n} statements that the papers print and mark"),
    };
    let is = |count: usize| if count == 1 { "is" } else { "are" };
    let message = match (named.len(), statements.len()) {
        (0, 0) => return,
        (0, n) => format!("{counted} {} from memory", is(n)),
        (n, 0) => format!("{} {} from memory", wording::list(&named), is(n)),
        (n, m) => format!(
            "{} {} from memory; so {} {counted}",
            wording::list(&named),
            is(n),
            is(m)
        ),
    };
    let number = |count: usize, noun: &str| match count {
        0 => None,
        1 => Some(format!("1 {noun}")),
        n => Some(format!("{n} {noun}s")),
    };
    let counts = [
        number(entries.len(), "number"),
        number(statements.len(), "statement"),
    ];
    let counts: Vec<_> = counts.into_iter().flatten().collect();
    let brief = format!(
        "from memory: {} (`coldring confirm SPEC` lists them)",
        wording::list(&counts)
    );
    findings.push(RECALLED_FIGURES_USED.about_file(message).help(
        "compare each with the edition you work under: `coldring confirm SPEC` prints them by id, \
         with room to write. A time of your own, with its source, also takes the place of a \
         recalled one",
    ).brief(brief));
}

/// Up to this many numbers are listed one by one.
const FEW: usize = 6;

type Quantity<'f> = (String, Vec<&'f Entry>);

/// The numbers by quantity: with their values if few, else with the number of sizes.
fn name_quantities(entries: &[&Entry]) -> Vec<String> {
    let mut quantities: Vec<Quantity<'_>> = Vec::new();
    for entry in entries {
        let quantity = trade_quantity(entry);
        match quantities.iter_mut().find(|(known, _)| *known == quantity) {
            Some((_, of)) => of.push(entry),
            None => quantities.push((quantity, vec![entry])),
        }
    }
    if entries.len() <= FEW {
        return quantities
            .iter()
            .map(|(name, of)| value_list(name, of))
            .collect();
    }
    let sizes = |of: &[&Entry]| of.iter().map(|f| f.size).collect::<Vec<_>>();
    let mut named: Vec<(Vec<String>, &[&Entry])> = Vec::new();
    for (name, of) in &quantities {
        // Combine quantities of the same sizes.
        match named
            .iter_mut()
            .find(|(_, known)| of.len() > 1 && sizes(known) == sizes(of))
        {
            Some((names, _)) => names.push(name.trim_end_matches(" of").to_owned()),
            None => named.push((vec![name.trim_end_matches(" of").to_owned()], of)),
        }
    }
    let text_of = named.iter().map(|(names, of)| match of {
        [one] => value_list(names.first().map_or("", String::as_str), &[one]),
        of => format!("{} of {}", wording::list(names), size_summary(of)),
    });
    text_of.collect()
}

/// `7 sizes (20 mm to 90 mm)`; two or three sizes are named.
fn size_summary(of: &[&Entry]) -> String {
    let mut sizes: Vec<_> = of.iter().filter_map(|entry| entry.size).collect();
    sizes.sort();
    sizes.dedup();
    match sizes.as_slice() {
        [least, .., most] if sizes.len() > 3 => {
            format!("{} sizes ({least} to {most})", sizes.len())
        }
        sizes => wording::sizes(sizes),
    }
}

/// `hold 3/4 IPS (30 s), 1 CTS (30 s)`.
fn value_list(name: &str, of: &[&Entry]) -> String {
    let value = |entry: &&Entry| match entry.size {
        Some(size) => format!("{size} ({})", entry.written),
        None => format!("({})", entry.written),
    };
    let values: Vec<_> = of.iter().map(value).collect();
    format!("{name} {}", values.join(", "))
}

/// Topics that set two practices side by side, or are about a wait that only the author
/// gives: no number that the papers of a procedure print is in doubt by them. The tables
/// and `limits` have them all.
const NO_PRINTED_NUMBER: [&str; 2] = ["heater-window", "wait-before-test"];

/// One finding per topic on which sources disagree about a number that is printed.
fn conflicts(uses: &[EntryUse<'_>], limits: &Library, findings: &mut Vec<Finding>) {
    let mut topics: BTreeMap<&str, Vec<EntryUse<'_>>> = BTreeMap::new();
    for used in uses {
        if let Some(slug) = &used.entry.conflict
            && !NO_PRINTED_NUMBER.contains(&slug.as_str())
        {
            topics.entry(slug).or_default().push(*used);
        }
    }
    for (slug, uses) in topics {
        let text_of = |column: &str| {
            let entry = limits.entry(&format!("conflicts:{slug}:{column}"));
            entry
                .and_then(Entry::text)
                .map(|text| text.trim_end_matches('.'))
        };
        let mut sizes: Vec<_> = uses.iter().filter_map(|used| used.entry.size).collect();
        sizes.sort();
        sizes.dedup();
        let about = if sizes.is_empty() {
            String::new()
        } else {
            format!(" for {}", wording::sizes(&sizes))
        };
        let message = format!(
            "sources disagree about a figure used{about}: {}",
            text_of("figures").unwrap_or(slug)
        );
        let quantities: BTreeSet<_> = uses.iter().map(|used| trade_quantity(used.entry)).collect();
        let quantities: Vec<_> = quantities.into_iter().collect();
        let finding = |finding: Finding| {
            finding.brief(format!(
                "sources disagree about {}{about}: compare your edition",
                wording::list(&quantities)
            ))
        };
        let mut finding = match uses.iter().find_map(|used| used.place) {
            Some(place) => finding(CONFLICTING_FIGURES_USED.at(place, message)),
            None => finding(CONFLICTING_FIGURES_USED.about_file(message)),
        };
        if let Some(decision) = text_of("decision") {
            let edition = "the edition you work under";
            let compare = match decision.contains(edition) {
                true => String::new(),
                false => format!(" Compare it with {edition}"),
            };
            finding = finding.help(format!("this program's choice: {decision}{compare}"));
        }
        let used: Vec<_> = uses
            .iter()
            .map(|used| used.entry)
            .map(|f| {
                format!(
                    "{} = {}, {} ({})",
                    f.id,
                    f.written,
                    f.source,
                    f.basis.word()
                )
            })
            .collect();
        findings.push(finding.limit(used.join("; ")));
    }
}

fn strips(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let Some(strips) = &context.procedure.spec.documents.strips else {
        return;
    };
    if let Some(thickness) = &strips.thickness {
        findings.extend(thickness_out_of_range(context.limits, thickness));
    }
    let used_as = match strips.usage.value {
        StripUse::Bare => {
            let thickness = strips.thickness.as_ref();
            findings.extend(thickness.and_then(|thickness| thick_strip(context.limits, thickness)));
            return;
        }
        StripUse::Label => "adhesive labels",
        StripUse::Laminated => "laminated",
    };
    if strips.thickness.is_none() {
        findings.push(
            STRIP_THICKNESS_UNKNOWN
                .at(
                    strips.usage.span,
                    format!("the strips are {used_as}, but their thickness is not stated"),
                )
                .help("measure a finished strip with a caliper and add `thickness`"),
        );
    }
}

/// A bare strip thicker than three sheets of ordinary paper, up to an implausible
/// thickness.
fn thick_strip(limits: &Library, thickness: &Written<Length>) -> Option<Finding> {
    let of = |key| {
        limits
            .entry(&format!("print:strip-thickness-{key}:length"))?
            .length()
    };
    let (paper, most) = (of("paper")?, of("most")?);
    let limit = paper.value.scaled(3, 1);
    let fires = thickness.value > limit && thickness.value <= most.value;
    fires.then(|| {
        BARE_STRIP_THICK
            .at(
                thickness.span,
                format!(
                    "a bare strip {} thick is card, not paper: ordinary paper is {}, and this \
                     program's own limit {}",
                    thickness.text,
                    wording::length(paper.value),
                    wording::length(limit)
                ),
            )
            .help("measure a strip with a caliper; write `use: label` or `use: laminated` if it is one")
            .limit(wording::source(&paper))
    })
}

fn thickness_out_of_range(limits: &Library, thickness: &Written<Length>) -> Option<Finding> {
    let least = limits
        .entry("print:strip-thickness-least:length")?
        .length()?;
    let most = limits
        .entry("print:strip-thickness-most:length")?
        .length()?;
    if Range::new(least.value, most.value).contains(thickness.value) {
        return None;
    }
    Some(
        STRIP_THICKNESS_OUT_OF_RANGE
            .at(
                thickness.span,
                format!(
                    "a strip is not {} thick: paper, labels and laminates are {} to {}",
                    thickness.text,
                    wording::length(least.value),
                    wording::length(most.value)
                ),
            )
            .help("measure a finished strip with a caliper, and check the unit")
            .limit(wording::source(&most)),
    )
}
