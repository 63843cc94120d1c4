//! Rules that compare the size, gauge, and date named in a measurement's source with the
//! entry it belongs to.

use chrono::NaiveDate;

use super::Context;
use super::mentions::Words;
use crate::core::finding::{Finding, rules};
use crate::core::size::Size;
use crate::core::source::Spanned;
use crate::spec::Spec;

rules! {
    SOURCE_NAMES_OTHER_SIZE = warning("The source of a size's figure names another size.")
        .why("A figure that was read on another size, or a line that was copied and not corrected, \
              looks like any other. The source is all that shows it.")
        .example("tools: {depth_gauges: {1 IPS: {depth: 0.94 in, source: \"caliper, 2 IPS \
                  gauge\"}}}")
        .fix("Check whose figure it is, and correct the source or the figure.");
    SOURCE_NAMES_OTHER_GAUGE = warning("The source of a depth names the gauge of another size.")
        .why("Each depth is that of its own gauge. Where mark and source name two gauges, nobody \
              can tell which of them was measured.")
        .example("tools:\n  depth_gauges:\n    1 IPS: {depth: 0.71 in, id: G-1, source: caliper on \
                  G-2}\n    2 IPS: {depth: 0.94 in, id: G-2, source: caliper on G-2}")
        .fix("Measure the gauge of this size, or correct the mark in its source.");
    SOURCE_DATED_LATER = warning("A source names a day later than today (or --as-of).")
        .dated()
        .why("Nothing was measured on a day that has not come. Most often the year is wrong, and \
              then nobody knows how old the measurement is.")
        .example("tools: {depth_gauges: {1 IPS: {depth: 0.71 in, source: \"caliper, \
                  2099-11-02\"}}}")
        .fix("Correct the day.");
}

/// Words that explain a date in the future.
const AHEAD: &[&str] = &[
    "due", "next", "until", "through", "valid", "expires", "expiry", "before",
];

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let spec = context.procedure.spec;
    for (size, source) in sized(spec) {
        findings.extend(other_size(size, source));
    }
    other_gauges(spec, findings);
    let sized = sized(spec).into_iter().map(|(_, source)| source);
    for source in sized.chain(of_times(spec)) {
        findings.extend(dated_later(context.as_of, source));
    }
}

/// Sources of entries for one size.
fn sized(spec: &Spec) -> Vec<(&Spanned<Size>, &Spanned<String>)> {
    let mut sources: Vec<(&Spanned<Size>, Option<&Spanned<String>>)> = Vec::new();
    let depths = spec.tools.depth_gauges.iter().chain(&spec.fittings.depths);
    sources.extend(depths.map(|(size, gauge)| (size, gauge.source.as_ref())));
    let sockets = spec.fittings.sockets.iter();
    sources.extend(sockets.map(|(size, socket)| (size, socket.source.as_ref())));
    let spigots = spec.fittings.spigots.iter();
    sources.extend(spigots.map(|(size, spigot)| (size, spigot.source.as_ref())));
    let measured = spec.measured.iter();
    sources.extend(measured.map(|(size, pipe)| (size, pipe.source.as_ref())));
    let rows = spec.cycles.rows.iter();
    sources.extend(rows.map(|row| (&row.size, Some(&row.source))));
    let pairs = spec.fittings.unlike.iter();
    sources.extend(pairs.map(|pair| (&pair.size, pair.source.as_ref())));
    let stated = sources.into_iter();
    stated
        .filter_map(|(size, source)| Some((size, source?)))
        .collect()
}

/// Sources of entries for all sizes.
fn of_times(spec: &Spec) -> Vec<&Spanned<String>> {
    let cycles = &spec.cycles;
    let cold = spec.cold_weather.as_ref();
    let sources = [
        cycles.change_over.as_ref().map(|stated| &stated.source),
        cycles
            .waits
            .before_handling
            .as_ref()
            .map(|stated| &stated.source),
        cycles
            .waits
            .before_pressure_test
            .as_ref()
            .map(|stated| &stated.source),
        spec.least_wall.as_ref().map(|stated| &stated.source),
        cold.and_then(|cold| Some(&cold.trial_step.as_ref()?.source)),
        cold.and_then(|cold| Some(&cold.no_joints_below.as_ref()?.source)),
    ];
    sources.into_iter().flatten().flatten().collect()
}

fn other_size(size: &Spanned<Size>, source: &Spanned<String>) -> Option<Finding> {
    let words = Words::new(source);
    let mut named = words.inch_sizes();
    named.dedup();
    // Several sizes may be measured together.
    let [other] = named.as_slice() else {
        return None;
    };
    if *other == size.value || words.names_the_unclaimed() {
        return None;
    }
    Some(
        SOURCE_NAMES_OTHER_SIZE
            .at(
                source.span,
                format!(
                    "the entry is for {}, and its source names {other}",
                    size.value
                ),
            )
            .related(size.span, "the entry")
            .help("check whose figure it is, and correct the source or the figure"),
    )
}

fn other_gauges(spec: &Spec, findings: &mut Vec<Finding>) {
    let gauges = &spec.tools.depth_gauges;
    for (size, gauge) in gauges {
        let (Some(id), Some(source)) = (&gauge.id, &gauge.source) else {
            continue;
        };
        if contains_mark(source, id) {
            continue;
        }
        let others = gauges
            .iter()
            .filter_map(|(size, gauge)| Some((size, gauge.id.as_ref()?)));
        let mut named =
            others.filter(|(_, other)| other.value != id.value && contains_mark(source, other));
        if let Some((owner, other)) = named.next() {
            findings.push(
                SOURCE_NAMES_OTHER_GAUGE
                    .at(
                        source.span,
                        format!(
                            "the gauge of {} is {}, and the source of its depth names {}, the gauge of {}",
                            size.value, id.value, other.value, owner.value
                        ),
                    )
                    .related(other.span, format!("the gauge of {}", owner.value))
                    .help("measure the gauge of this size, or correct the mark in its source"),
            );
        }
    }
}

/// Whether a text contains a mark as a whole word. A mark without both a letter and a
/// digit could be any word.
fn contains_mark(text: &str, mark: &str) -> bool {
    let letter = mark.chars().any(char::is_alphabetic);
    let digit = mark.chars().any(|c| c.is_ascii_digit());
    let part_of_word = |c: char| c.is_alphanumeric() || c == '-';
    letter
        && digit
        && text.match_indices(mark).any(|(at, _)| {
            let (before, rest) = text.split_at(at);
            let after = rest.strip_prefix(mark).unwrap_or_default();
            !before.ends_with(part_of_word) && !after.starts_with(part_of_word)
        })
}

fn dated_later(as_of: NaiveDate, source: &Spanned<String>) -> Option<Finding> {
    let words = Words::new(source);
    if AHEAD.iter().any(|word| words.has(word)) {
        return None;
    }
    let day = |word: &str| NaiveDate::parse_from_str(word, "%Y-%m-%d").ok();
    let later = words.iter().filter_map(day).find(|day| *day > as_of)?;
    Some(
        SOURCE_DATED_LATER
            .at(
                source.span,
                format!("the source names {later}, and the spec is read on {as_of}"),
            )
            .help("correct the day"),
    )
}

#[cfg(test)]
mod tests {
    use super::contains_mark;

    #[test]
    fn a_mark_is_a_word_of_its_own() {
        assert!(contains_mark("caliper on G-1, 2026-11-02", "G-1"));
        assert!(contains_mark("caliper (G-1)", "G-1"));
        for text in ["caliper on G-12", "HG-1", "G-1-A", "caliper"] {
            assert!(!contains_mark(text, "G-1"), "{text}");
        }
        assert!(!contains_mark("set 3", "3"));
        assert!(!contains_mark("a caliper", "a"));
    }
}
