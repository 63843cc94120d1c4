//! One type for everything the program reports, and one for the rules behind
//! it.
//!
//! A [`Rule`] holds its slug, severity, summary, reason, example, and fix;
//! `explain`, the rule list, and the tests are made from it. A rule has one
//! severity. Where two are needed, there are two rules. Rules marked `dated`
//! compare with `as_of` and are never printed on papers, so a spec gives the
//! same papers on any day.

use std::cmp::Reverse;
use std::collections::HashSet;

use serde::Serialize;

use crate::core::source::{FileId, Span};

/// How much a finding weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Worth knowing; nothing to fix.
    Note,
    /// Papers are written; the finding is an open point on the sources, unless
    /// it depends on the day it is read.
    Warning,
    /// No paper is written for this spec.
    Error,
}

impl Severity {
    /// The word printed before a finding.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Severity::Note => "note",
            Severity::Warning => "warning",
            Severity::Error => "error",
        }
    }
}

/// A rule, declared with `rules!`: all that `explain`, the papers and the tests
/// need to know of it.
#[derive(Debug)]
pub struct Rule {
    /// Says what is wrong, in lower case with hyphens.
    pub slug: &'static str,
    /// How much its findings weigh.
    pub severity: Severity,
    /// One line: what the finding means.
    pub summary: &'static str,
    /// The reason in the trade: what goes wrong at the joint.
    pub why: &'static str,
    /// The lines of a spec that make it fire.
    pub example: &'static str,
    /// What to write instead.
    pub fix: &'static str,
    /// Whether the finding depends on the date it is read; such findings never
    /// reach a paper.
    pub dated: bool,
    /// Whether it says that something is not given, or looks at all that is given
    /// of a kind. A value that could not be read is given all the same, so such a
    /// rule waits until every value is read; until then the error about that value
    /// keeps the papers back.
    pub absence: bool,
    /// Whether it says how well figures are known, and so nothing about the
    /// author's own work.
    pub about_sources: bool,
    /// Whether its finding about reading leaves a value of the spec out of what
    /// the rules of the trade see.
    pub leaves_unread: bool,
}

/// Declares the rules of a file, and its `RULES`, the list of them in this order.
/// `FACE_TOO_HOT = error("…").why("…").example("…").fix("…");` is the rule
/// `face-too-hot`; flags stand between as `.dated()`.
macro_rules! rules {
    ($($name:ident = $severity:ident($summary:literal) $(.$with:ident($($text:literal)?))*;)+) => {
        /// The rules of this file.
        pub(crate) static RULES: &[&$crate::core::finding::Rule] = &[$(&$name),+];
        $(pub(crate) static $name: $crate::core::finding::Rule = {
            const SLUG: [u8; stringify!($name).len()] =
                $crate::core::finding::slug(stringify!($name));
            $crate::core::finding::Rule::$severity(&SLUG, $summary)$(.$with($($text)?))*
        };)+
    };
}
pub(crate) use rules;

/// The slug of the rule that a static declares: `a-b` of `A_B`.
#[expect(
    clippy::indexing_slicing,
    reason = "it runs while the program is compiled"
)]
pub(crate) const fn slug<const LENGTH: usize>(name: &str) -> [u8; LENGTH] {
    let mut slug = [b'-'; LENGTH];
    let mut at = 0;
    while at < LENGTH {
        if name.as_bytes()[at] != b'_' {
            slug[at] = name.as_bytes()[at].to_ascii_lowercase();
        }
        at += 1;
    }
    slug
}

impl Rule {
    pub(crate) const fn error(slug: &'static [u8], summary: &'static str) -> Self {
        Self::new(slug, Severity::Error, summary)
    }

    pub(crate) const fn warning(slug: &'static [u8], summary: &'static str) -> Self {
        Self::new(slug, Severity::Warning, summary)
    }

    pub(crate) const fn note(slug: &'static [u8], summary: &'static str) -> Self {
        Self::new(slug, Severity::Note, summary)
    }

    const fn new(slug: &'static [u8], severity: Severity, summary: &'static str) -> Self {
        let Ok(slug) = std::str::from_utf8(slug) else {
            panic!("a name in Rust is UTF-8");
        };
        Rule {
            slug,
            severity,
            summary,
            why: "",
            example: "",
            fix: "",
            dated: false,
            absence: false,
            about_sources: false,
            leaves_unread: false,
        }
    }

    pub(crate) const fn why(self, why: &'static str) -> Self {
        Self { why, ..self }
    }

    pub(crate) const fn example(self, example: &'static str) -> Self {
        Self { example, ..self }
    }

    pub(crate) const fn fix(self, fix: &'static str) -> Self {
        Self { fix, ..self }
    }

    pub(crate) const fn dated(self) -> Self {
        Self {
            dated: true,
            ..self
        }
    }

    pub(crate) const fn absence(self) -> Self {
        Self {
            absence: true,
            ..self
        }
    }

    pub(crate) const fn about_sources(self) -> Self {
        Self {
            about_sources: true,
            ..self
        }
    }

    pub(crate) const fn leaves_unread(self) -> Self {
        Self {
            leaves_unread: true,
            ..self
        }
    }

    /// Starts a finding of this rule about the bytes at `span` of the spec.
    pub(crate) fn at(&'static self, span: Span, message: impl Into<String>) -> Finding {
        Finding {
            rule: self,
            file: FileId::SPEC,
            span: Some(span),
            message: message.into(),
            help: None,
            brief: None,
            asks: None,
            source: None,
            related: Vec::new(),
            edits: Vec::new(),
            meant: None,
            quantities: Vec::new(),
        }
    }

    /// Starts a finding of this rule about the whole file.
    pub(crate) fn about_file(&'static self, message: impl Into<String>) -> Finding {
        Finding {
            span: None,
            ..self.at(Span::default(), message)
        }
    }
}

/// Another place that belongs to a finding.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Related {
    /// In which file.
    pub file: FileId,
    /// Where.
    pub span: Span,
    /// What is there.
    pub message: String,
}

/// A change of the text of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Edit {
    /// What is replaced; a point where something is put in.
    pub span: Span,
    /// Replacement text.
    pub text: String,
}

/// One finding about one spec.
#[derive(Debug, Clone)]
pub struct Finding {
    /// The rule that was broken.
    pub rule: &'static Rule,
    /// In which file.
    pub file: FileId,
    /// Where in the file; `None` when it is about the file as a whole.
    pub span: Option<Span>,
    /// What is wrong and by how much.
    pub message: String,
    /// What would make it right.
    pub help: Option<String>,
    /// Message and help in a few words, for a list of many; without it, both as they are.
    pub brief: Option<String>,
    /// What only the author can give, and what it is given of; such findings are
    /// listed together.
    pub(crate) asks: Option<(&'static str, String)>,
    /// Where the limit comes from, when a published figure decides.
    pub source: Option<String>,
    /// Other places that belong to it.
    pub related: Vec<Related>,
    /// The exact change of its file that makes it right, where there is only one. It
    /// never has a number that the author did not write.
    pub edits: Vec<Edit>,
    /// The field that was meant by the name at its place, which the file is read
    /// again with.
    pub meant: Option<&'static str>,
    /// Numbers and names of the message, for a paper that words it in another
    /// language.
    pub(crate) quantities: Vec<(&'static str, String)>,
}

impl Finding {
    /// Adds what would make it right.
    pub(crate) fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// Adds what is wrong and what to write in a few words.
    pub(crate) fn brief(mut self, brief: impl Into<String>) -> Self {
        self.brief = Some(brief.into());
        self
    }

    /// Adds what only the author can give: a field, or a thing `of` something.
    pub(crate) fn asks(mut self, what: &'static str, of: impl Into<String>) -> Self {
        self.asks = Some((what, of.into()));
        self
    }

    /// Adds the change that makes it right: `text` in place of what stands at `span`.
    pub(crate) fn edit(mut self, span: Span, text: impl Into<String>) -> Self {
        let text = text.into();
        self.edits.push(Edit { span, text });
        self
    }

    /// The text of its file with its edits applied; `None` if it has none, or one
    /// does not fit the text.
    pub fn edited(&self, text: &str) -> Option<String> {
        let mut edits: Vec<&Edit> = self.edits.iter().collect();
        edits.sort_by_key(|edit| edit.span);
        let mut edited = String::with_capacity(text.len());
        let mut copied = 0;
        for edit in &edits {
            edited.push_str(text.get(copied..edit.span.start)?);
            edited.push_str(&edit.text);
            copied = edit.span.end;
        }
        edited.push_str(text.get(copied..)?);
        (!edits.is_empty()).then_some(edited)
    }

    /// Adds a number or a name for the wording of papers (`templates/findings.yaml`).
    pub(crate) fn saying(mut self, name: &'static str, value: impl Into<String>) -> Self {
        self.quantities.push((name, value.into()));
        self
    }

    /// Adds where the limit comes from.
    pub(crate) fn limit(mut self, source: impl Into<String>) -> Self {
        self.source = Some(source.into());
        self
    }

    /// Adds another place, in the spec.
    pub(crate) fn related(self, span: Span, message: impl Into<String>) -> Self {
        self.related_in(FileId::SPEC, span, message)
    }

    /// Adds another place, in any file.
    pub(crate) fn related_in(
        mut self,
        file: FileId,
        span: Span,
        message: impl Into<String>,
    ) -> Self {
        self.related.push(Related {
            file,
            span,
            message: message.into(),
        });
        self
    }

    /// The same finding about another file, with the places it has so far.
    pub(crate) fn in_file(mut self, file: FileId) -> Self {
        self.file = file;
        for related in &mut self.related {
            related.file = file;
        }
        self
    }

    /// The severity of its rule.
    pub fn severity(&self) -> Severity {
        self.rule.severity
    }
}

/// Sorts findings by how much they weigh, then by where they stand, then by rule:
/// what keeps a paper back is read first. Those of one rule at one place stay as
/// they were found: by system and size.
pub(crate) fn sort(findings: &mut [Finding]) {
    findings.sort_by_key(|f| (Reverse(f.severity()), f.file, f.span, f.rule.slug));
}

/// Without those that say the same of the same place again: an alias repeats what is
/// wrong where it is written, and two walls of a size may break a rule alike.
pub(crate) fn each_once(findings: Vec<Finding>) -> Vec<Finding> {
    let mut seen = HashSet::new();
    let once = findings.into_iter().filter(|finding| {
        let Finding {
            rule, file, span, ..
        } = finding;
        seen.insert((rule.slug, *file, *span, finding.message.clone()))
    });
    once.collect()
}
