//! Findings for a terminal: the line of the spec, a mark under what is wrong, help,
//! and the source of the limit.

use std::collections::HashSet;
use std::ops::Range;

use annotate_snippets::{
    Annotation, AnnotationKind, Group, Level, Origin, Renderer, Snippet, Title,
};

use super::terminal;
use crate::core::finding::{Finding, Related, Severity};
use crate::core::source::{Source, Sources, Span};

/// The longest line that is shown, in bytes. Nobody writes longer ones by hand, and
/// a megabyte on one line must not fill the terminal for each finding.
const LONGEST_LINE: usize = 1000;

/// Renders findings with a blank line between them; empty when there are none. With
/// `reasons`, the first of each rule says why there is such a rule.
pub(crate) fn render(
    findings: &[Finding],
    sources: &Sources,
    color: bool,
    reasons: bool,
) -> String {
    let renderer = if color {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    let mut explained = HashSet::new();
    let shown: Vec<String> = findings
        .iter()
        .map(|finding| {
            let first = reasons && explained.insert(finding.rule.slug);
            let reason = first.then_some(finding.rule.why);
            renderer.render(&[group(finding, reason, sources)]) + "\n"
        })
        .collect();
    shown.join("\n")
}

/// The line after all findings: `2 errors, 1 warning, 3 notes`. Errors are
/// always named, the others only when there are any.
pub(crate) fn summary(errors: usize, warnings: usize, notes: usize) -> String {
    if errors + warnings + notes == 0 {
        return "no findings".to_owned();
    }
    let counts: Vec<String> = [(errors, "error"), (warnings, "warning"), (notes, "note")]
        .into_iter()
        .filter(|(count, word)| *count > 0 || *word == "error")
        .map(|(count, word)| match count {
            0 => format!("no {word}s"),
            1 => format!("1 {word}"),
            _ => format!("{count} {word}s"),
        })
        .collect();
    counts.join(", ")
}

fn group<'a>(finding: &'a Finding, reason: Option<&'a str>, sources: &'a Sources) -> Group<'a> {
    let level = match finding.severity() {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
        Severity::Note => Level::NOTE,
    };
    let title = level
        .primary_title(sanitized(&finding.message))
        .id(finding.rule.slug);
    let group = match finding.span {
        Some(span) if fits_a_screen(finding, sources) => {
            title.elements(snippets(span, finding, sources))
        }
        Some(span) => place_only(title, span, finding, sources),
        None => title.element(Origin::path(one_line(&sources.get(finding.file).name))),
    };
    let help = finding
        .help
        .iter()
        .map(|help| Level::HELP.message(sanitized(help)));
    let limit = finding
        .source
        .iter()
        .map(|limit| Level::NOTE.message(format!("limit from: {}", sanitized(limit))));
    let reason = (reason.into_iter()).map(|reason| Level::NOTE.message(format!("why: {reason}")));
    group.elements(help).elements(limit).elements(reason)
}

/// A weight in the color that it has everywhere.
pub(super) fn painted(severity: Severity, text: &str) -> String {
    let color = match severity {
        Severity::Error => "\u{1b}[1;91m",
        Severity::Warning => "\u{1b}[1;33m",
        Severity::Note => "\u{1b}[1;92m",
    };
    format!("{color}{text}\u{1b}[0m")
}

/// Whether every line that a finding marks is short enough to be shown.
fn fits_a_screen(finding: &Finding, sources: &Sources) -> bool {
    let own = finding.span.map(|span| (finding.file, span));
    let related = finding.related.iter().map(|r| (r.file, r.span));
    own.into_iter().chain(related).all(|(file, span)| {
        let text = &sources.get(file).text;
        let start = mark(span, text).start;
        line_end(text, start) - line_start(text, start) <= LONGEST_LINE
    })
}

/// A finding in a line too long to show: only the places, as numbers.
fn place_only<'a>(
    title: Title<'a>,
    span: Span,
    finding: &'a Finding,
    sources: &'a Sources,
) -> Group<'a> {
    let source = sources.get(finding.file);
    let at = source.line_column(span.start);
    let origin = Origin::path(one_line(&source.name))
        .line(at.line)
        .char_column(at.column);
    let related = finding.related.iter().map(|related| {
        let source = sources.get(related.file);
        let at = source.line_column(related.span.start);
        let file = if related.file == finding.file {
            String::new()
        } else {
            format!("{}:", one_line(&source.name))
        };
        let message = sanitized(&related.message);
        Level::NOTE.message(format!("{file}{}:{}: {message}", at.line, at.column))
    });
    title.element(origin).elements(related)
}

/// The marked lines of a finding: those of its own file, then those of each related
/// file.
fn snippets<'a>(
    span: Span,
    finding: &'a Finding,
    sources: &'a Sources,
) -> Vec<Snippet<'a, Annotation<'a>>> {
    let mut files = vec![finding.file];
    for related in &finding.related {
        if !files.contains(&related.file) {
            files.push(related.file);
        }
    }
    files
        .into_iter()
        .map(|file| {
            let primary = (file == finding.file).then_some(span);
            let related: Vec<_> = finding.related.iter().filter(|r| r.file == file).collect();
            snippet(primary, &related, sources.get(file))
        })
        .collect()
}

/// The marked lines of one file, from the first mark to the last, so that the cost
/// of a finding does not grow with the file.
fn snippet<'a>(
    primary: Option<Span>,
    related: &[&'a Related],
    source: &'a Source,
) -> Snippet<'a, Annotation<'a>> {
    let primary = primary.map(|span| mark(span, &source.text));
    let related: Vec<(Range<usize>, &str)> = related
        .iter()
        .map(|related| (mark(related.span, &source.text), related.message.as_str()))
        .collect();

    let marks = || primary.iter().chain(related.iter().map(|(range, _)| range));
    let first = marks().map(|m| m.start).min().unwrap_or_default();
    let last = marks().map(|m| m.end).max().unwrap_or_default();
    let window = line_start(&source.text, first)..line_end(&source.text, last);
    let inside = |range: &Range<usize>| range.start - window.start..range.end - window.start;

    Snippet::source(source.text.get(window.clone()).unwrap_or_default())
        .line_start(source.line_column(window.start).line)
        .path(one_line(&source.name))
        .annotations(
            primary
                .iter()
                .map(|range| AnnotationKind::Primary.span(inside(range))),
        )
        .annotations(related.iter().map(|(range, message)| {
            AnnotationKind::Context
                .span(inside(range))
                .label(sanitized(message))
        }))
}

/// The bytes to mark for `span`: inside the text, on character boundaries, and only
/// on the first line, since a mark beside a whole block hides more than it shows.
fn mark(span: Span, text: &str) -> Range<usize> {
    let start = text.floor_char_boundary(span.start);
    let end = text.floor_char_boundary(span.end.min(line_end(text, start)));
    start..end.max(start)
}

/// Where the line of the character boundary `at` starts.
fn line_start(text: &str, at: usize) -> usize {
    text.get(..at)
        .and_then(|before| before.rfind('\n'))
        .map_or(0, |newline| newline + 1)
}

/// Where the line of the character boundary `at` ends, its line end left out.
fn line_end(text: &str, at: usize) -> usize {
    let rest = text.get(at..).unwrap_or_default();
    let line = rest.split('\n').next().unwrap_or_default();
    at + line.strip_suffix('\r').unwrap_or(line).len()
}

pub(super) fn sanitized(text: &str) -> String {
    terminal::sanitize(text).into_owned()
}

/// A path, sanitized and on one line.
fn one_line(path: &str) -> String {
    sanitized(path).replace('\n', "␊")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::finding::Rule;
    use crate::core::source::Role;

    static SHORT_HOLD: Rule = Rule::error(b"hold-too-short", "");

    const SPEC: &str = "number: HC-1\ntimes:\n  heat: 18 s\n  hold: 20 s\n";

    fn span(text: &str, part: &str) -> Span {
        let start = text.find(part).unwrap();
        Span::new(start, start + part.len())
    }

    #[test]
    fn a_finding_shows_line_mark_related_help_and_limit() {
        let source = Source::new("specs/x.yaml", SPEC);
        let finding = SHORT_HOLD
            .at(span(SPEC, "20 s"), "hold is 40 s short")
            .help("hold for 60 s")
            .limit("time table, row 1-1/4 IPS")
            .related(span(SPEC, "18 s"), "heated here");
        let expected = "\
error[hold-too-short]: hold is 40 s short
 --> specs/x.yaml:4:9
  |
3 |   heat: 18 s
  |         ---- heated here
4 |   hold: 20 s
  |         ^^^^
  |
  = help: hold for 60 s
  = note: limit from: time table, row 1-1/4 IPS
";
        assert_eq!(
            render(&[finding], &source.clone().into(), false, false),
            expected
        );
    }

    #[test]
    fn a_finding_shows_the_lines_of_every_file_it_names() {
        let sources = Sources::from(Source::new("specs/x.yaml", SPEC)).with(
            Role::Confirmations,
            Ok(Source::new("specs/read.yaml", "a: 1\nread: 30 s\n")),
        );
        let (file, source) = sources.of_role(Role::Confirmations).unwrap();
        let finding = SHORT_HOLD
            .at(span(&source.text, "30 s"), "read as 30 s")
            .in_file(file)
            .related(span(SPEC, "20 s"), "stated here");
        let expected = "\
error[hold-too-short]: read as 30 s
 --> specs/read.yaml:2:7
  |
2 | read: 30 s
  |       ^^^^
  |
 ::: specs/x.yaml:4:9
  |
4 |   hold: 20 s
  |         ---- stated here
";
        assert_eq!(render(&[finding], &sources, false, false), expected);
    }

    #[test]
    fn a_finding_about_the_file_shows_only_its_name() {
        let source = Source::new("specs/x.yaml", SPEC);
        let finding = SHORT_HOLD.about_file("nothing to read");
        assert_eq!(
            render(&[finding], &source.clone().into(), false, false),
            "error[hold-too-short]: nothing to read\n--> specs/x.yaml\n"
        );
    }

    #[test]
    fn findings_stand_apart_and_none_gives_nothing() {
        let source = Source::new("x.yaml", SPEC);
        let finding = SHORT_HOLD.about_file("a");
        let one = render(
            std::slice::from_ref(&finding),
            &source.clone().into(),
            false,
            false,
        );
        assert_eq!(
            render(
                &[finding.clone(), finding],
                &source.clone().into(),
                false,
                false
            ),
            format!("{one}\n{one}")
        );
        assert_eq!(render(&[], &source.clone().into(), false, false), "");
    }

    #[test]
    fn color_only_when_asked_for() {
        let source = Source::new("x.yaml", SPEC);
        let finding = SHORT_HOLD.at(span(SPEC, "20 s"), "short");
        assert!(
            !render(
                std::slice::from_ref(&finding),
                &source.clone().into(),
                false,
                false
            )
            .contains('\u{1b}')
        );
        assert!(render(&[finding], &source.clone().into(), true, false).contains('\u{1b}'));
    }

    #[test]
    fn a_block_is_marked_on_its_first_line() {
        let source = Source::new("x.yaml", SPEC.replace('\n', "\r\n"));
        let block = Span::new(source.text.find("times").unwrap(), source.text.len());
        let shown = render(
            &[SHORT_HOLD.at(block, "m")],
            &source.clone().into(),
            false,
            false,
        );
        assert!(shown.contains("2 | times:\n  | ^^^^^^\n"), "{shown}");
        assert!(!shown.contains("heat"), "{shown}");
    }

    #[test]
    fn what_a_spec_holds_never_steers_the_terminal() {
        let evil = "a\u{1b}[2J\u{202e}b";
        let text = format!("k: {evil}\n");
        let source = Source::new(format!("{evil}\n.yaml"), text.as_str());
        let finding = SHORT_HOLD
            .at(span(&text, evil), evil)
            .help(evil)
            .limit(evil)
            .related(span(&text, "k"), evil);
        for finding in [finding, SHORT_HOLD.about_file(evil)] {
            let shown = render(&[finding], &source.clone().into(), false, false);
            assert!(!shown.contains(['\u{1b}', '\u{202e}']), "{shown:?}");
            assert!(!shown.contains("\n.yaml"), "{shown:?}");
        }
    }

    #[test]
    fn any_place_in_any_text_can_be_shown() {
        for text in ["", "\n", "é", "é\n", "a\r\n°b", "x: \u{1f9ea}\n\n", "\t-\n"] {
            let source = Source::new("x.yaml", text);
            for start in 0..text.len() + 3 {
                for end in start..text.len() + 3 {
                    let span = Span::new(start, end);
                    let finding = SHORT_HOLD
                        .at(span, "m")
                        .related(Span::new(end, end), "r")
                        .related(Span::new(0, start), "s");
                    let shown = render(&[finding], &source.clone().into(), true, false);
                    assert!(shown.contains("x.yaml"), "{text:?} {span:?}");
                }
            }
        }
    }

    #[test]
    fn the_place_shown_agrees_with_the_source() {
        let text = "a: 1\n\nb: é\n  \"°\": 3";
        let source = Source::new("x.yaml", text);
        for part in ["a", "1", "b", "é", "°", "3"] {
            let span = span(text, part);
            let at = source.line_column(span.start);
            let shown = render(
                &[SHORT_HOLD.at(span, "m")],
                &source.clone().into(),
                false,
                false,
            );
            let place = format!("--> x.yaml:{}:{}\n", at.line, at.column);
            assert!(shown.contains(&place), "{part}: {shown}");
        }
    }

    #[test]
    fn a_line_too_long_to_read_is_not_printed() {
        let shown_at = |len: usize| {
            let text = format!("{}°: 1\n", "é".repeat(len));
            let source = Source::new("x.yaml", text.as_str());
            let finding = SHORT_HOLD
                .at(span(&text, "1"), "m")
                .related(Span::new(0, 2), "r");
            render(&[finding], &source.clone().into(), false, false)
        };
        assert!(shown_at(200).contains('é'));
        assert_eq!(
            shown_at(100_000),
            "error[hold-too-short]: m\n--> x.yaml:1:100004\n = note: 1:1: r\n"
        );
    }

    #[test]
    fn the_summary_counts_in_words() {
        assert_eq!(summary(0, 0, 0), "no findings");
        assert_eq!(summary(2, 1, 3), "2 errors, 1 warning, 3 notes");
        assert_eq!(summary(1, 0, 1), "1 error, 1 note");
        assert_eq!(summary(0, 4, 0), "no errors, 4 warnings");
    }
}
