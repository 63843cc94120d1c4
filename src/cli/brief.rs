//! Findings for a terminal in a line each: place, weight, what is wrong, and what to
//! write. What only the author can give is one line with all its places, and findings
//! of a rule in one place that differ in a size or a name are one.

use super::render::{painted, sanitized};
use super::terminal;
use crate::core::finding::{Finding, Severity};
use crate::core::source::{FileId, Sources};

/// The longest line that is easy to read, and the width where nobody has a terminal.
const WIDEST: usize = 100;

/// What begins the second and later lines of a finding.
const INDENT: &str = "    ";

/// A span of code up to this long stays on one line.
const LONGEST_CODE: usize = 40;

/// A line, or a few, for each finding or group of them; each ends its last line.
pub(crate) fn render(findings: &[Finding], sources: &Sources, color: bool) -> String {
    let width = terminal::width().unwrap_or(WIDEST).clamp(40, WIDEST);
    let shown = entries(findings, sources);
    let texts = shown.iter().map(|entry| {
        let text = wrapped(&entry.text(), width);
        match color {
            true => text.replacen(&entry.tag, &painted(entry.severity, &entry.tag), 1),
            false => text,
        }
    });
    texts.collect()
}

/// What is printed of a finding or a group of them.
struct Entry {
    place: String,
    severity: Severity,
    /// `error[rule]`
    tag: String,
    said: String,
}

impl Entry {
    fn text(&self) -> String {
        format!("{}: {}: {}", self.place, self.tag, self.said)
    }
}

fn entries(findings: &[Finding], sources: &Sources) -> Vec<Entry> {
    let is_asked = |f: &&Finding| f.asks.is_some() && f.severity() != Severity::Error;
    let asked = together(findings, is_asked);
    let on_sources = together(findings, |f| f.rule.about_sources);
    let (errors, rest): (Vec<&Finding>, Vec<&Finding>) = findings
        .iter()
        .filter(|f| {
            !asked
                .iter()
                .chain(&on_sources)
                .any(|of| std::ptr::eq(*of, *f))
        })
        .partition(|f| f.severity() == Severity::Error);
    let mut entries = each_entry(&errors, sources);
    if !asked.is_empty() {
        entries.push(asked_entry(&asked, sources));
    }
    entries.extend(each_entry(&rest, sources));
    if let Some(first) = on_sources.first() {
        let said: Vec<_> = on_sources.iter().map(|finding| said(finding)).collect();
        entries.push(Entry {
            place: file_name(first, sources),
            severity: Severity::Warning,
            tag: "warning".to_owned(),
            said: said.join("; "),
        });
    }
    entries
}

/// The findings that are told together, if there are two or more.
fn together(findings: &[Finding], is_one: impl Fn(&&Finding) -> bool) -> Vec<&Finding> {
    let of: Vec<_> = findings.iter().filter(is_one).collect();
    match of.len() {
        1 => Vec::new(),
        _ => of,
    }
}

/// Findings in their order, those of one rule in one place together.
fn each_entry(findings: &[&Finding], sources: &Sources) -> Vec<Entry> {
    let mut entries = Vec::new();
    let mut group: Vec<&Finding> = Vec::new();
    for finding in findings {
        let joins = group.last().is_some_and(|last| {
            let place = |f: &Finding| (f.rule.slug, f.file, f.span);
            place(last) == place(finding)
        });
        group.push(finding);
        if !joins && group.len() > 1 {
            let next = group.split_off(group.len() - 1);
            entries.extend(one_entry(&std::mem::replace(&mut group, next), sources));
        }
    }
    entries.extend(one_entry(&group, sources));
    entries
}

/// Findings of one rule in one place: together where they differ in a size or a name
/// alone, else each.
fn one_entry(group: &[&Finding], sources: &Sources) -> Vec<Entry> {
    let entry = |finding: &Finding, said: String| Entry {
        place: place(finding, sources),
        severity: finding.severity(),
        tag: tag(finding),
        said,
    };
    let texts: Vec<String> = group.iter().map(|finding| said(finding)).collect();
    if let ([first, _, ..], Some(joined)) = (group, joined(&texts)) {
        return vec![entry(first, joined)];
    }
    let each = group.iter().zip(texts);
    each.map(|(finding, text)| entry(finding, text)).collect()
}

fn said(finding: &Finding) -> String {
    let text = match (&finding.brief, &finding.help) {
        (Some(brief), _) => brief.clone(),
        (None, Some(help)) => format!("{}; {help}", finding.message),
        (None, None) => finding.message.clone(),
    };
    sanitized(&text).replace('\n', " ")
}

fn tag(finding: &Finding) -> String {
    format!("{}[{}]", finding.severity().word(), finding.rule.slug)
}

fn place(finding: &Finding, sources: &Sources) -> String {
    let source = sources.get(finding.file);
    let name = file_name(finding, sources);
    match finding.span {
        Some(span) => {
            let at = source.line_column(span.start);
            format!("{name}:{}:{}", at.line, at.column)
        }
        None => name,
    }
}

fn file_name(finding: &Finding, sources: &Sources) -> String {
    sanitized(&sources.get(finding.file).name).replace('\n', "␊")
}

/// All that only the author can give, line by line.
fn asked_entry(asked: &[&Finding], sources: &Sources) -> Entry {
    type Asked<'f> = (FileId, Vec<usize>, &'f str, Vec<&'f str>);
    let mut items: Vec<Asked<'_>> = Vec::new();
    for finding in asked {
        let Some((what, of)) = &finding.asks else {
            continue;
        };
        let source = sources.get(finding.file);
        let line = source
            .line_column(finding.span.unwrap_or_default().start)
            .line;
        match items.last_mut() {
            Some((file, lines, same, of_all)) if *file == finding.file && same == what => {
                if !lines.contains(&line) {
                    lines.push(line);
                }
                of_all.push(of);
            }
            _ => items.push((finding.file, vec![line], what, vec![of])),
        }
    }
    let mut said = String::new();
    let mut last: &[usize] = &[];
    for (_, lines, what, of) in &items {
        let of: Vec<_> = of.iter().copied().filter(|of| !of.is_empty()).collect();
        let item = format!("{what} {}", of.join(", "));
        let item = sanitized(item.trim_end());
        let numbers: Vec<_> = lines.iter().map(usize::to_string).collect();
        said.push_str(&match last == lines.as_slice() {
            true => format!(", {item}"),
            false => format!("; {}: {item}", numbers.join(", ")),
        });
        last = lines;
    }
    let said = said.trim_start_matches("; ");
    Entry {
        place: asked
            .first()
            .map_or_else(String::new, |f| file_name(f, sources)),
        severity: Severity::Warning,
        tag: "warning".to_owned(),
        said: format!("for you to fill in, by line: {said}"),
    }
}

/// One text for several that differ only in what stands in the same places:
/// `no ring for 1 IPS` and `no ring for 2 CTS` as `no ring for 1 IPS, 2 CTS`.
fn joined(texts: &[String]) -> Option<String> {
    /// Most words that may differ in one place.
    const MOST: usize = 3;
    let words: Vec<Vec<&str>> = texts.iter().map(|text| text.split(' ').collect()).collect();
    let (first, others) = words.split_first()?;
    if others.iter().any(|other| other.len() != first.len()) {
        return None;
    }
    let column = |at: usize| words.iter().filter_map(move |words| words.get(at).copied());
    let differs = |at: usize| column(at).any(|word| Some(&word) != first.get(at));
    let mut joined: Vec<String> = Vec::new();
    let mut values: Option<Vec<String>> = None;
    let mut at = 0;
    while let Some(word) = first.get(at) {
        if !differs(at) {
            joined.push((*word).to_owned());
            at += 1;
            continue;
        }
        let length = (at..first.len()).take_while(|at| differs(*at)).count();
        if length > MOST {
            return None;
        }
        let of_text = |words: &Vec<&str>| Some(words.get(at..at + length)?.join(" "));
        let here: Option<Vec<String>> = words.iter().map(of_text).collect();
        let here = here?;
        // A mark after the last word is written once.
        let bare = |value: &String| value.trim_end_matches([',', ';', ':']).to_owned();
        let bare: Vec<String> = here.iter().map(bare).collect();
        if values.as_ref().is_some_and(|known| *known != bare) {
            return None;
        }
        let end = here.first()?.get(bare.first()?.len()..)?;
        joined.push(format!("{}{end}", bare.join(", ")));
        values = Some(bare);
        at += length;
    }
    Some(joined.join(" "))
}

/// A text in lines of a width, later ones indented. Short code is not taken apart.
fn wrapped(text: &str, width: usize) -> String {
    /// A space that no line ends at.
    const TIED: char = '\u{1}';
    let parts: Vec<&str> = text.split('`').collect();
    let last = parts.len().saturating_sub(1);
    let tied = parts.iter().enumerate().map(|(at, part)| {
        let is_code = at % 2 == 1 && at < last && part.chars().count() <= LONGEST_CODE;
        match is_code {
            true => part.replace(' ', &TIED.to_string()),
            false => (*part).to_owned(),
        }
    });
    let tied = tied.collect::<Vec<_>>().join("`");
    let mut out = String::new();
    let mut column = 0;
    for word in tied.split(' ').filter(|word| !word.is_empty()) {
        let length = word.chars().count();
        if column > 0 && column + 1 + length > width {
            out.push('\n');
            out.push_str(INDENT);
            column = INDENT.len();
        } else if column > 0 {
            out.push(' ');
            column += 1;
        }
        out.push_str(word);
        column += length;
    }
    out.push('\n');
    out.replace(TIED, " ")
}

/// Whether one line is enough for each, since there are too many to show each in full.
pub(crate) fn is_enough(findings: usize) -> bool {
    /// Up to so many are shown with the lines of the spec.
    const FEW: usize = 3;
    findings > FEW
}

#[cfg(test)]
mod tests {
    use anstream::adapter::strip_str;

    use super::*;
    use crate::core::finding::Rule;
    use crate::core::source::{Source, Span};

    static NO_RING: Rule = Rule::error(b"no-ring", "");
    static NOT_GIVEN: Rule = Rule::warning(b"not-given", "");

    const SPEC: &str = "number: 1\nheater:\n  set_point: 500 °F\ntools: {}\n";

    fn at(part: &str) -> Span {
        let start = SPEC.find(part).unwrap();
        Span::new(start, start + part.len())
    }

    fn shown(findings: &[Finding]) -> String {
        let source = Source::new("x.yaml", SPEC);
        let text = render(findings, &source.into(), false);
        assert!(text.lines().all(|line| line.chars().count() <= WIDEST));
        text
    }

    #[test]
    fn a_finding_is_a_line_with_its_place_and_what_to_write() {
        let finding = NO_RING.at(at("500 °F"), "too hot").help("write less");
        assert_eq!(
            shown(&[finding]),
            "x.yaml:3:14: error[no-ring]: too hot; write less\n"
        );
        let finding = NO_RING.about_file("empty").brief("nothing in it");
        assert_eq!(shown(&[finding]), "x.yaml: error[no-ring]: nothing in it\n");
    }

    #[test]
    fn findings_that_differ_in_a_size_are_one() {
        let ring = |size: &str| {
            NO_RING
                .at(at("tools"), format!("no ring is listed for {size}"))
                .help(format!("add {size} to `rings`, or take {size} out"))
        };
        assert_eq!(
            shown(&[ring("1 IPS"), ring("2 CTS"), ring("1-1/4 IPS")]),
            "x.yaml:4:1: error[no-ring]: no ring is listed for 1 IPS, 2 CTS, 1-1/4 IPS; add 1 IPS, \
             2 CTS, 1-1/4\n    IPS to `rings`, or take 1 IPS, 2 CTS, 1-1/4 IPS out\n"
        );
        // Not where they are about another thing, or in another place.
        let other = NO_RING.at(at("tools"), "no ring is listed for 1 IPS by 2");
        assert_eq!(shown(&[ring("1 IPS"), other]).lines().count(), 2);
        let elsewhere = NO_RING.at(at("heater"), "no ring is listed for 1 IPS");
        assert_eq!(shown(&[elsewhere, ring("2 IPS")]).lines().count(), 2);
        // Two numbers that differ each in its own way stay apart.
        let two = |a: &str, b: &str| NO_RING.at(at("tools"), format!("{a} is not {b} here"));
        assert_eq!(shown(&[two("1", "2"), two("3", "4")]).lines().count(), 2);
    }

    #[test]
    fn what_only_the_author_can_give_is_one_line() {
        let asks = |part: &str, what: &'static str, of: &str| {
            NOT_GIVEN.at(at(part), "not given").asks(what, of)
        };
        let findings = [
            NO_RING.at(at("tools"), "no ring"),
            asks("number", "your name", ""),
            NOT_GIVEN.at(at("number"), "a warning of another kind"),
            asks("heater", "`step`", ""),
            asks("heater", "`swing`", ""),
            asks("500", "the depth of", "1 IPS"),
            asks("tools", "the depth of", "2 IPS"),
        ];
        assert_eq!(
            shown(&findings),
            "x.yaml:4:1: error[no-ring]: no ring\n\
             x.yaml: warning: for you to fill in, by line: 1: your name; 2: `step`, `swing`; 3, 4: the \
             depth of 1\n    IPS, 2 IPS\n\
             x.yaml:1:1: warning[not-given]: a warning of another kind\n"
        );
        // One alone is a finding like any other.
        let alone = shown(&[asks("heater", "`step`", "")]);
        assert_eq!(alone, "x.yaml:2:1: warning[not-given]: not given\n");
    }

    #[test]
    fn how_well_figures_are_known_is_one_line() {
        static RECALLED: Rule = Rule::warning(b"recalled", "").about_sources();
        let of = |text: &str| RECALLED.at(at("tools"), text).brief(text);
        let other = NOT_GIVEN.at(at("tools"), "not given");
        assert_eq!(
            shown(&[of("two are recalled"), of("two disagree"), other]),
            "x.yaml:4:1: warning[not-given]: not given\n\
             x.yaml: warning: two are recalled; two disagree\n"
        );
    }

    #[test]
    fn lines_end_between_words_and_not_in_short_code() {
        let text = wrapped("aaaa `b c d` eeee ffff", 12);
        assert_eq!(text, "aaaa `b c d`\n    eeee\n    ffff\n");
        assert_eq!(
            wrapped(&"x".repeat(30), 10),
            format!("{}\n", "x".repeat(30))
        );
    }

    #[test]
    fn color_is_on_the_weight_alone() {
        let source = Source::new("x.yaml", SPEC);
        let finding = NO_RING.at(at("tools"), "a \u{1b}[2J b");
        let colored = render(std::slice::from_ref(&finding), &source.clone().into(), true);
        assert!(colored.starts_with("x.yaml:4:1: \u{1b}["), "{colored:?}");
        let plain = render(&[finding], &source.into(), false);
        assert!(!plain.contains('\u{1b}'), "{plain:?}");
        assert_eq!(strip_str(&colored).to_string(), plain);
    }
}
