//! `house.yaml` → its content. Like a spec, it is read for every problem at once,
//! each at its place. Texts and clauses by language have readers of their own; so
//! do colors, which must be dark enough, and lists, which must fit the paper.

use schemars::json_schema;
use serde_json::json;

use super::replaceable::replaceable;
use super::values::{ColorUse, color, long_text, read_long_text};
use super::{TEMPLATES, rules};
use crate::core::budget;
use crate::core::finding::Finding;
use crate::core::source::{Span, Spanned};
use crate::papers::sheets::house::{Contact, Extra, HouseLook, HouseStyle, Place};
use crate::papers::sheets::{Clauses, Language, SignatureRole};
use crate::spec::declare::kinds::{path, text, text_like, word};
use crate::spec::declare::{
    Field, Kind, group, list, nested, one_or_list, optional, optional_list, place, read_top,
    required, required_or_none,
};
use crate::spec::fields::{At, Fields, given_twice};
use crate::spec::node::{Node, NodeKind};
use crate::spec::recovery::read_file;
use crate::spec::schema::{self, Declared, may};
use crate::spec::values::text as read_text;
use crate::spec::words::Word;
use crate::spec::{Paper, rules as reading};

/// The field that holds the format number.
pub(crate) const FORMAT: &str = "coldring-house";

impl Word for Place {
    const WORDS: &'static [(&'static str, Self)] = &[
        ("before-scope", Place::BeforeScope),
        ("after-cautions", Place::AfterCautions),
        ("after-acceptance", Place::AfterAcceptance),
        ("end", Place::End),
    ];
}

/// Most lines of an address that fit beside a logo.
pub(crate) const MAX_LINES: usize = 6;
/// Most signatures.
pub(crate) const MAX_ROLES: usize = 8;

/// A clause that the house style rewords.
#[derive(Debug, Clone)]
pub(crate) struct HouseClause {
    pub(crate) language: Language,
    pub(crate) key: Spanned<String>,
    pub(crate) words: Spanned<String>,
}

/// Text that the house style adds.
#[derive(Debug, Clone)]
pub(crate) struct HouseText {
    pub(crate) language: Language,
    /// Where it goes, as written in the file.
    pub(crate) place: &'static str,
    pub(crate) title: Option<Spanned<String>>,
    pub(crate) paragraphs: Vec<Spanned<String>>,
    pub(crate) span: Span,
}

/// The content of the file.
#[derive(Debug, Default)]
pub(crate) struct HouseContent {
    /// What the sheets use; the logo is not checked yet.
    pub(crate) style: HouseStyle,
    pub(crate) name: Option<Spanned<String>>,
    pub(crate) logo: Option<Spanned<String>>,
    /// The removed key for page templates.
    pub(crate) templates: Option<Spanned<String>>,
    pub(crate) paper: Option<Paper>,
    pub(crate) clauses: Vec<HouseClause>,
    pub(crate) added: Vec<HouseText>,
}

group! {
    /// The file of a house style.
    pub struct HouseFile {
        /// Name and address for the letterhead.
        organization: Option<Organization> = required_or_none(nested()),
        /// The logo, SVG or PNG.
        logo: Option<Spanned<String>> = optional(path("logo.svg"), "none."),
        /// Two colors.
        colors: Option<Colors> = optional(nested(), "those of the program."),
        /// The paper, where a spec does not say.
        paper: Option<Spanned<Paper>> =
            optional(word(), "letter for US practice, a4 for metric."),
        /// Who signs the procedure, in their order.
        signatures: Vec<Signature> = optional_list(
            AtMost { list: list(nested()).at_most(MAX_ROLES), most: MAX_ROLES, what: "who sign" },
            "the program's own lines.",
        ),
        /// Text of your own, by the language of the papers. It never takes the place of a
        /// caution.
        extra: Vec<HouseText> = optional_list(Extras, "none."),
        /// Clauses in your own words, by language and key. Each must still give its quantities;
        /// warnings cannot be replaced.
        replaced: Vec<HouseClause> = optional_list(Replaced, "the program's own words."),
        /// The key of page templates, which a house style no longer has.
        templates: Option<Spanned<String>> = Templates,
    }
}

group! {
    /// Who it is.
    pub struct Organization {
        /// The name of the organization.
        name: Spanned<String> = required(text("As on your documents.")),
        /// The lines of the address, up to 6.
        address: Vec<Spanned<String>> = optional_list(
            AtMost {
                list: one_or_list(text("A line of text.")).at_most(MAX_LINES),
                most: MAX_LINES,
                what: "lines of an address",
            },
            "none.",
        ),
        /// The telephone number.
        phone: Option<Spanned<String>> = optional(text(""), "none."),
        /// The e-mail address.
        email: Option<Spanned<String>> = optional(text(""), "none."),
        /// The address on the web, without https://.
        web: Option<Spanned<String>> = optional(text(""), "none."),
    }
}

group! {
    /// Colors of the papers.
    pub struct Colors {
        /// Headings: dark, at least 7 to 1 on white.
        primary: Option<String> = optional(color(ColorUse::Text), "that of the program."),
        /// Rules at head and foot: at least 3 to 1 on white.
        accent: Option<String> = optional(color(ColorUse::Rule), "that of the program."),
    }
}

group! {
    /// Somebody who signs.
    pub struct Signature {
        /// What the person does for the document.
        role: Spanned<String> = required(text_like("Prepared by")),
        /// A note under the line.
        note: Option<Spanned<String>> = optional(text_like("piping engineer"), "none."),
    }
}

group! {
    /// Text that the house adds in one place.
    pub struct ExtraText {
        /// Where it goes.
        at: Spanned<Place> = required(word()),
        /// A heading, which makes it a section.
        title: Option<Spanned<String>> = optional(
            text("A line of text."),
            "it joins the section there; text at the end needs one.",
        ),
        /// The paragraphs.
        paragraphs as "text": Vec<Spanned<String>> = required(
            one_or_list(long_text())
                .not_empty("`extra.text` has no paragraph", ""),
        ),
        /// All of it.
        span: Span = place(),
    }
}

pub(crate) fn decode(text: &str, findings: &mut Vec<Finding>) -> HouseContent {
    let read = read_file(text, &budget::HOUSE, |root, findings| {
        let top = Fields::open(root, "", Span::default(), findings)?;
        read_top::<HouseFile>(top, (FORMAT, "the house style is"), findings)
    });
    let (file, found) = read.unwrap_or_else(|finding| (None, vec![*finding]));
    findings.extend(found);
    file.map_or_else(HouseContent::default, HouseFile::read)
}

/// The path of the logo that the file names.
pub(crate) fn logo(text: &str) -> Option<String> {
    decode(text, &mut Vec::new()).logo.map(|logo| logo.value)
}

impl HouseFile {
    fn read(self) -> HouseContent {
        let look = self.organization.as_ref().map(Organization::look);
        let (primary, accent) = self.colors.map_or((None, None), |c| (c.primary, c.accent));
        let signatures = self.signatures.into_iter().map(|signature| SignatureRole {
            role: signature.role.value,
            note: signature.note.map(|note| note.value),
        });
        let added = self.extra.iter();
        let words = self.replaced.iter();
        HouseContent {
            style: HouseStyle {
                look: HouseLook {
                    primary,
                    accent,
                    ..look.unwrap_or_default()
                },
                signatures: signatures.collect(),
                extra: added
                    .filter_map(|text| Some((text.language, text.extra()?)))
                    .collect(),
                replaced: words
                    .map(|c| (c.language, c.key.value.clone(), c.words.value.clone()))
                    .collect(),
            },
            name: self.organization.map(|organization| organization.name),
            logo: self.logo,
            templates: self.templates,
            paper: self.paper.map(|paper| paper.value),
            clauses: self.replaced,
            added: self.extra,
        }
    }
}

impl Organization {
    fn look(&self) -> HouseLook {
        let contacts = [
            (&self.phone, ""),
            (&self.email, "mailto:"),
            (&self.web, "https://"),
        ];
        let contact = |(text, scheme): (&Option<Spanned<String>>, &str)| {
            let text = text.as_ref()?.value.clone();
            let leads = is_link_target(&text) && !scheme.is_empty();
            let link = leads.then(|| format!("{scheme}{text}"));
            Some(Contact { text, link })
        };
        HouseLook {
            name: self.name.value.clone(),
            address: self.address.iter().map(|line| line.value.clone()).collect(),
            contacts: contacts.into_iter().filter_map(contact).collect(),
            ..HouseLook::default()
        }
    }
}

impl HouseText {
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

/// Whether a text is an address that a link can open, not words about one.
fn is_link_target(text: &str) -> bool {
    text.contains('.')
        && text
            .chars()
            .all(|c| c.is_ascii_alphanumeric() || "@.-_+/".contains(c))
}

/// A list with limited room on the paper.
struct AtMost<K> {
    list: K,
    most: usize,
    what: &'static str,
}

impl<K: Kind> Kind for AtMost<K> {
    type Value = K::Value;

    fn read(&self, node: &Node, at: At<'_>, findings: &mut Vec<Finding>) -> Option<K::Value> {
        check_length(node, self.most, self.what, findings);
        self.list.read(node, at, findings)
    }

    fn schema(&self) -> schema::Value {
        self.list.schema()
    }
}

/// Reports a list that is too long for its place on the paper.
fn check_length(node: &Node, most: usize, what: &str, findings: &mut Vec<Finding>) {
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

/// The removed key for page templates. It is read only if present, so that no
/// finding suggests it and no schema lists it.
struct Templates;

impl Field for Templates {
    type Value = Option<Spanned<String>>;

    fn read(
        &self,
        _name: &'static str,
        fields: &mut Fields<'_>,
        _findings: &mut Vec<Finding>,
    ) -> Option<Self::Value> {
        let given = TEMPLATES.into_iter().find(|key| fields.has(key));
        Some(given.and_then(|key| {
            let (_, span) = fields.take(key)?;
            Some(Spanned::new(key.to_owned(), span))
        }))
    }

    fn declare(&self, _name: &'static str, _about: &str, _to: &mut Vec<Declared>) {}
}

/// A group with a field for each language.
fn by_language(value: impl Fn(Language) -> schema::Value) -> schema::Value {
    let field = |(tag, language): &(&'static str, Language)| {
        let about = format!("For papers in the language {tag}.");
        may(tag, about, "they have the program's own.", value(*language))
    };
    schema::group(Language::TAGS.iter().map(field))
}

/// Added text, by language.
struct Extras;

fn extras() -> impl Kind<Value = Vec<ExtraText>> {
    list(nested()).named("extra")
}

impl Kind for Extras {
    type Value = Vec<HouseText>;

    fn read(&self, node: &Node, at: At<'_>, findings: &mut Vec<Finding>) -> Option<Self::Value> {
        let mut fields = Fields::open(node, at.path(), at.key, findings)?;
        let mut added = Vec::new();
        for (tag, language) in Language::TAGS {
            let of_language = optional_list(extras(), "none.").read(tag, &mut fields, findings);
            let texts = of_language.into_iter().flatten();
            added.extend(texts.filter_map(|text| text.of_language(*language, findings)));
        }
        fields.finish(findings);
        Some(added)
    }

    fn schema(&self) -> schema::Value {
        let ends = Place::WORDS.iter().filter(|(_, at)| *at == Place::End);
        let ends: Vec<_> = ends.map(|(word, _)| *word).collect();
        let text = nested::<ExtraText>().schema();
        let text = text
            .with("if", json!({"properties": {"at": {"enum": ends}}}))
            .with("then", json!({"required": ["title"]}));
        by_language(|_| schema::list(text.clone()))
    }

    fn takes_nothing(&self) -> bool {
        true
    }
}

impl ExtraText {
    fn of_language(self, language: Language, findings: &mut Vec<Finding>) -> Option<HouseText> {
        let at = self.at.value;
        if at == Place::End && self.title.is_none() {
            findings.push(
                reading::MISSING_FIELD
                    .at(
                        self.span,
                        "text at the end has no section to join, and no `title`",
                    )
                    .help("give it a title"),
            );
        }
        let (place, _) = Place::WORDS.iter().find(|(_, place)| *place == at)?;
        Some(HouseText {
            language,
            place,
            title: self.title,
            paragraphs: self.paragraphs,
            span: self.span,
        })
    }
}

/// Reworded clauses, by language and key.
struct Replaced;

impl Kind for Replaced {
    type Value = Vec<HouseClause>;

    fn read(&self, node: &Node, at: At<'_>, findings: &mut Vec<Finding>) -> Option<Self::Value> {
        let mut fields = Fields::open(node, at.path(), at.key, findings)?;
        let clauses = replaced(&mut fields, findings);
        fields.finish(findings);
        Some(clauses)
    }

    fn schema(&self) -> schema::Value {
        by_language(clauses_schema)
    }

    fn takes_nothing(&self) -> bool {
        true
    }
}

fn replaced(fields: &mut Fields<'_>, findings: &mut Vec<Finding>) -> Vec<HouseClause> {
    let mut clauses: Vec<HouseClause> = Vec::new();
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
            let (Some(key), Some(words)) =
                (read_text(key, findings), read_long_text(text, findings))
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
    clauses
}

/// The clauses that may be reworded, each with the program's text and the
/// quantities that must appear. There are hundreds, so the pattern for their
/// values is defined once.
fn clauses_schema(language: Language) -> schema::Value {
    let words = Clauses::load(language);
    let describe = |(key, quantities): (&str, &[&str])| {
        let own = words.own_text(key).unwrap_or_default();
        let own: Vec<_> = own.split_whitespace().collect();
        let own = own.join(" ");
        let needed = match quantities {
            [] => String::new(),
            quantities => format!(" It must say: {}.", quantities.join(", ")),
        };
        let about = format!("The program says: \u{201c}{own}\u{201d}{needed}");
        (key.to_owned(), json!({"description": about}))
    };
    let clauses: serde_json::Map<_, _> = replaceable().map(describe).collect();
    let text = long_text().schema();
    let schema = json_schema!({
        "type": "object",
        "properties": clauses,
        "additionalProperties": false,
        "allOf": [{"additionalProperties": text.schema}],
    });
    schema::Value::new(schema, text.how)
}

#[cfg(test)]
mod tests {
    use super::*;

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
