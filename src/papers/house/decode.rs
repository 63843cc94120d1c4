//! `house.yaml` → what it says. Read as a spec is: every problem at once, each
//! at its place.

use super::{TEMPLATES, rules};
use crate::core::budget;
use crate::core::finding::Finding;
use crate::core::source::{Span, Spanned};
use crate::papers::sheets::Language;
use crate::papers::sheets::SignatureRole;
use crate::papers::sheets::house::{Contact, Extra, HouseLook, HouseStyle, Place};
use crate::spec::fields::{Fields, given_twice, list, one_or_list};
use crate::spec::node::{Node, NodeKind};
use crate::spec::recovery::read_file;
use crate::spec::words::Word;
use crate::spec::{Paper, rules as reading, values};

impl Word for Place {
    const WORDS: &'static [(&'static str, Self)] = &[
        ("before-scope", Place::BeforeScope),
        ("after-cautions", Place::AfterCautions),
        ("after-acceptance", Place::AfterAcceptance),
        ("end", Place::End),
    ];
}

/// Longest paragraph or clause, in characters.
pub(crate) const LONGEST: usize = 1_500;
/// Most lines of a letterhead: what the room beside a logo holds.
pub(crate) const MOST_LINES: usize = 6;
/// Most who sign.
pub(crate) const MOST_ROLES: usize = 8;

/// Contrast with white that text needs, and that a rule needs.
const TEXT_CONTRAST: f64 = 7.0;
const RULE_CONTRAST: f64 = 3.0;

/// A clause in the words of the house.
#[derive(Debug, Clone)]
pub(crate) struct HouseClause {
    /// Of which language.
    pub(crate) language: Language,
    /// Its key.
    pub(crate) key: Spanned<String>,
    /// Its text.
    pub(crate) words: Spanned<String>,
}

/// Text that the house adds, with its places.
#[derive(Debug, Clone)]
pub(crate) struct HouseText {
    /// Of which language.
    pub(crate) language: Language,
    /// Where it goes, as the file has it.
    pub(crate) place: &'static str,
    /// Its heading.
    pub(crate) title: Option<Spanned<String>>,
    /// Its paragraphs.
    pub(crate) paragraphs: Vec<Spanned<String>>,
    /// All of it.
    pub(crate) span: Span,
}

/// What the file says.
#[derive(Debug, Default)]
pub(crate) struct Read {
    /// For the sheets; the logo is still to be checked.
    pub(crate) style: HouseStyle,
    /// Name of the organization.
    pub(crate) name: Option<Spanned<String>>,
    /// Path of the logo.
    pub(crate) logo: Option<Spanned<String>>,
    /// The key of page templates, which a house style no longer has.
    pub(crate) templates: Option<Spanned<String>>,
    /// The paper.
    pub(crate) paper: Option<Paper>,
    /// Clauses in the words of the house.
    pub(crate) clauses: Vec<HouseClause>,
    /// Text that it adds.
    pub(crate) added: Vec<HouseText>,
}

/// Reads the file.
pub(crate) fn decode(text: &str, findings: &mut Vec<Finding>) -> Read {
    let read = read_file(text, &budget::HOUSE, |root, findings| {
        Fields::open(root, "", Span::default(), findings)
            .map_or_else(Read::default, |fields| house(fields, findings))
    });
    let (read, found) = read.unwrap_or_else(|finding| (Read::default(), vec![*finding]));
    findings.extend(found);
    read
}

/// The path of the logo that the file names.
pub(crate) fn logo(text: &str) -> Option<String> {
    decode(text, &mut Vec::new()).logo.map(|logo| logo.value)
}

fn house(mut top: Fields<'_>, findings: &mut Vec<Finding>) -> Read {
    top.format_one("coldring-house", "the house style is", findings);
    let (name, look) = top
        .required_group("organization", findings)
        .map_or((None, HouseLook::default()), |fields| {
            organization(fields, findings)
        });
    let logo = top.optional("logo", findings, values::text);
    let (primary, accent) = top
        .group("colors", findings)
        .map_or((None, None), |mut fields| {
            let colors = (
                fields.optional("primary", findings, |node, findings| {
                    color(node, TEXT_CONTRAST, "text", findings)
                }),
                fields.optional("accent", findings, |node, findings| {
                    color(node, RULE_CONTRAST, "a rule", findings)
                }),
            );
            fields.finish(findings);
            colors
        });
    let paper = top.optional("paper", findings, values::word::<Paper>);
    let signatures = top
        .optional("signatures", findings, |node, findings| {
            few(node, MOST_ROLES, "who sign", findings);
            list(node, findings, role)
        })
        .unwrap_or_default();
    let added = extras(&mut top, findings);
    let clauses = replaced(&mut top, findings);
    // Asked for only where it is given, so that no finding suggests it.
    let templates = TEMPLATES.into_iter().find(|key| top.has(key));
    let templates = templates.and_then(|key| {
        let (_, span) = top.take(key)?;
        Some(Spanned::new(key.to_owned(), span))
    });
    top.finish(findings);
    Read {
        style: HouseStyle {
            look: HouseLook {
                primary,
                accent,
                ..look
            },
            signatures,
            extra: added
                .iter()
                .filter_map(|text| Some((text.language, text.extra()?)))
                .collect(),
            replaced: clauses
                .iter()
                .map(|c| (c.language, c.key.value.clone(), c.words.value.clone()))
                .collect(),
        },
        name,
        logo,
        templates,
        paper: paper.map(|paper| paper.value),
        clauses,
        added,
    }
}

impl HouseText {
    /// As the sheets have it.
    fn extra(&self) -> Option<Extra> {
        let (_, at) = Place::WORDS.iter().find(|(word, _)| *word == self.place)?;
        let paragraphs = self.paragraphs.iter().map(|text| text.value.clone());
        Some(Extra {
            at: *at,
            title: self.title.as_ref().map(|title| title.value.clone()),
            paragraphs: paragraphs.collect(),
        })
    }
}

/// Who it is; the name apart, with its place.
fn organization(
    mut fields: Fields<'_>,
    findings: &mut Vec<Finding>,
) -> (Option<Spanned<String>>, HouseLook) {
    let name = fields.required("name", findings, values::text);
    let address = fields
        .optional("address", findings, |node, findings| {
            few(node, MOST_LINES, "lines of an address", findings);
            Some(one_or_list(node, findings, values::text))
        })
        .unwrap_or_default();
    let contacts = [("phone", ""), ("email", "mailto:"), ("web", "https://")]
        .into_iter()
        .filter_map(|(field, scheme)| {
            let text = fields.optional(field, findings, values::text)?.value;
            Some(Contact {
                link: leads(&text)
                    .then(|| format!("{scheme}{text}"))
                    .filter(|_| !scheme.is_empty()),
                text,
            })
        })
        .collect();
    fields.finish(findings);
    let look = HouseLook {
        name: name.as_ref().map_or_else(String::new, |n| n.value.clone()),
        address: address.into_iter().map(|line| line.value).collect(),
        contacts,
        ..HouseLook::default()
    };
    (name, look)
}

/// Whether a text is an address that a reader can follow, and not words about one.
fn leads(text: &str) -> bool {
    text.contains('.')
        && text
            .chars()
            .all(|c| c.is_ascii_alphanumeric() || "@.-_+/".contains(c))
}

fn role(node: &Node, findings: &mut Vec<Finding>) -> Option<SignatureRole> {
    let mut fields = Fields::open(node, "signatures", node.span, findings)?;
    let role = fields.required("role", findings, values::text);
    let note = fields.optional("note", findings, values::text);
    fields.finish(findings);
    Some(SignatureRole {
        role: role?.value,
        note: note.map(|note| note.value),
    })
}

/// Says that a list is longer than its place on the paper.
fn few(node: &Node, most: usize, what: &str, findings: &mut Vec<Finding>) {
    if let NodeKind::List(items) = &node.kind
        && items.len() > most
    {
        findings.push(rules::HOUSE_TOO_MUCH.at(
            node.span,
            format!(
                "there is room for {most} {what}, and {} are given",
                items.len()
            ),
        ));
    }
}

fn extras(top: &mut Fields<'_>, findings: &mut Vec<Finding>) -> Vec<HouseText> {
    let mut extras = Vec::new();
    let Some(mut fields) = top.group("extra", findings) else {
        return extras;
    };
    for (word, language) in Language::TAGS {
        let of_language = fields.optional(word, findings, |node, findings| {
            list(node, findings, |node, findings| {
                extra(node, *language, findings)
            })
        });
        extras.extend(of_language.unwrap_or_default());
    }
    fields.finish(findings);
    extras
}

fn extra(node: &Node, language: Language, findings: &mut Vec<Finding>) -> Option<HouseText> {
    let mut fields = Fields::open(node, "extra", node.span, findings)?;
    let at = fields.required("at", findings, values::word::<Place>);
    let title = fields.optional("title", findings, values::text);
    let paragraphs = fields.required("text", findings, |node, findings| {
        let paragraphs = one_or_list(node, findings, long_text);
        if matches!(&node.kind, NodeKind::List(items) if items.is_empty()) {
            findings.push(reading::MISSING_FIELD.at(node.span, "`extra.text` has no paragraph"));
        }
        (!paragraphs.is_empty()).then_some(paragraphs)
    });
    let span = fields.span;
    fields.finish(findings);
    let at = at?.value;
    if at == Place::End && title.is_none() {
        findings.push(
            reading::MISSING_FIELD
                .at(
                    span,
                    "text at the end has no section to join, and no `title`",
                )
                .help("give it a title"),
        );
    }
    let (place, _) = Place::WORDS.iter().find(|(_, place)| *place == at)?;
    Some(HouseText {
        language,
        place,
        title,
        paragraphs: paragraphs?,
        span,
    })
}

fn replaced(top: &mut Fields<'_>, findings: &mut Vec<Finding>) -> Vec<HouseClause> {
    let mut clauses: Vec<HouseClause> = Vec::new();
    let Some(mut fields) = top.group("replaced", findings) else {
        return clauses;
    };
    for (word, language) in Language::TAGS {
        let Some((node, _)) = fields.take(word) else {
            continue;
        };
        let NodeKind::Map(pairs) = &node.kind else {
            findings.push(
                reading::WRONG_TYPE
                    .at(
                        node.span,
                        format!("clauses by key are wanted here, not {}", node.kind_name()),
                    )
                    .help("write `key: \"text\"` lines below it, indented"),
            );
            continue;
        };
        for (key, text) in pairs {
            let (Some(key), Some(words)) = (values::text(key, findings), long_text(text, findings))
            else {
                continue;
            };
            let first = clauses
                .iter()
                .find(|c| c.language == *language && c.key.value == key.value);
            match first {
                Some(first) => findings.push(given_twice(&key, key.span, first.key.span)),
                None => clauses.push(HouseClause {
                    language: *language,
                    key,
                    words,
                }),
            }
        }
    }
    fields.finish(findings);
    clauses
}

/// A paragraph, which may be longer than a line and be written over several.
fn long_text(node: &Node, findings: &mut Vec<Finding>) -> Option<Spanned<String>> {
    let NodeKind::Scalar(text) = &node.kind else {
        findings.push(reading::WRONG_TYPE.at(
            node.span,
            format!("a text is wanted here, not {}", node.kind_name()),
        ));
        return None;
    };
    let long = text.chars().count();
    if long > LONGEST {
        let problem =
            format!("the text has {long} characters; there is room for {LONGEST} in a paragraph");
        findings.push(rules::HOUSE_TOO_MUCH.at(node.span, problem));
        return None;
    }
    let unfit = |c: &char| (c.is_control() && *c != '\n') || values::is_invisible(*c);
    let problem = match text.chars().find(unfit) {
        _ if text.trim().is_empty() => "the text is empty".to_owned(),
        Some(c) => format!(
            "the text holds U+{:04X}, which prints as nothing or turns the text around",
            u32::from(c)
        ),
        None => return Some(Spanned::new(text.clone(), node.span)),
    };
    findings.push(reading::TEXT_NOT_PRINTABLE.at(node.span, problem));
    None
}

fn color(node: &Node, least: f64, of: &str, findings: &mut Vec<Finding>) -> Option<String> {
    let written = values::text(node, findings)?;
    let digits = written.strip_prefix('#').filter(|digits| {
        digits.len() == 6 && digits.chars().all(|digit| digit.is_ascii_hexdigit())
    });
    let Some(digits) = digits else {
        findings.push(
            rules::COLOR_NOT_READ
                .at(written.span, format!("'{}' is not a color", written.value))
                .help("write six hexadecimal digits in quotes, such as \"#0b3d5c\""),
        );
        return None;
    };
    let contrast = contrast_with_white(digits);
    if contrast < least {
        // Cut off, not rounded: 6.96 must not read as the 7.0 it misses.
        let shown = (contrast * 10.0).floor() / 10.0;
        findings.push(
            rules::COLOR_TOO_PALE
                .at(
                    written.span,
                    format!(
                        "{} has a contrast of {shown:.1} to 1 with white; {of} needs {least} to 1",
                        written.value
                    ),
                )
                .help("take a darker shade"),
        );
    }
    Some(format!("#{}", digits.to_ascii_lowercase()))
}

/// Contrast of a color with white, by the relative luminance of sRGB (WCAG 2).
fn contrast_with_white(digits: &str) -> f64 {
    let channel = |at: usize| {
        let pair = digits.get(at..at + 2).unwrap_or("00");
        let value = f64::from(u8::from_str_radix(pair, 16).unwrap_or(0)) / 255.0;
        if value <= 0.040_45 {
            value / 12.92
        } else {
            ((value + 0.055) / 1.055).powf(2.4)
        }
    };
    let luminance = 0.2126 * channel(0) + 0.7152 * channel(2) + 0.0722 * channel(4);
    1.05 / (luminance + 0.05)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The pairs that are commonly quoted for WCAG.
    #[test]
    fn contrast_is_that_of_wcag() {
        for (color, contrast) in [
            ("000000", 21.0),
            ("ffffff", 1.0),
            ("777777", 4.48),
            ("767676", 4.54),
            ("ff0000", 4.0),
            ("0000ff", 8.59),
        ] {
            let found = contrast_with_white(color);
            assert!((found - contrast).abs() < 0.01, "{color}: {found}");
        }
    }

    #[test]
    fn every_problem_is_reported_at_once() {
        let text = "\
coldring-house: 2
organization: {name: X, fax: 1}
colors: {primary: navy, accent: \"#ffff00\"}
paper: legal
signatures: [{note: alone}]
extra: {en: [{at: middle, text: x}, {at: end, text: y}], xx: []}
replaced: {en: [a]}
";
        let mut findings = Vec::new();
        decode(text, &mut findings);
        let mut slugs: Vec<_> = findings.iter().map(|f| f.rule.slug).collect();
        slugs.sort_unstable();
        assert_eq!(
            slugs,
            [
                "color-not-read",
                "color-too-pale",
                "format-version",
                "missing-field",
                "missing-field",
                "unknown-field",
                "unknown-field",
                "unknown-word",
                "unknown-word",
                "wrong-type"
            ]
        );
    }
}
