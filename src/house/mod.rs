//! Files of a house style → how an organization's papers look and read, and
//! what is wrong with them. A house style words, adds and lays out; it never
//! sets a figure, and what warns of one is not its to change.

mod clauses;
pub(crate) mod decode;
mod logo;
mod required;
pub mod rules;
mod texts;

use std::sync::Arc;

use clauses::failed;
pub(crate) use clauses::replaceable;
use decode::HouseClause;
pub use decode::logo as logo_of;
pub use required::required;

use crate::digest;
use crate::finding::{Finding, Rule};
use crate::language::Language;
use crate::sheets::house::{HouseStyle, Words};
use crate::source::{FileId, HouseFile, Role, Sources, Span, Unavailable};
use crate::spec::{Paper, Spec, nearest};
use crate::typeset::{HouseFiles, REPLACEABLE, TemplateFault, is_template};

/// The file that says what the house style is.
pub const STYLE_FILE: &str = "house.yaml";
/// The folder of its page templates.
pub const PAGES: &str = "pages";

/// A house style, read.
#[derive(Debug, Clone)]
pub struct House {
    /// What it brings to the sheets.
    pub style: Arc<HouseStyle>,
    /// The paper, where the spec does not say.
    pub paper: Option<Paper>,
    /// Digest of its files, in hexadecimal.
    pub digest: String,
    /// Where `house.yaml` is among the sources.
    pub file: FileId,
    clauses: Vec<HouseClause>,
}

/// Reads the house style among the sources, for papers in these languages;
/// `None` where there is none.
pub fn house(
    sources: &Sources,
    spec: Option<&Spec>,
    languages: &[Language],
) -> (Option<House>, Vec<Finding>) {
    let mut findings = Vec::new();
    let style = sources.house().find(|(_, file)| file.role == Role::House);
    let Some((id, file)) = style else {
        return (None, findings);
    };
    let text = &file.source.text;
    let mut read = decode::decode(text, &mut findings);
    findings.extend(clauses::check(&read.clauses, text));
    findings.extend(texts::check(&read, text));
    findings.extend(texts::missing(&read, languages));
    if let Some(path) = &read.logo {
        let logo = sources.house().find(|(_, file)| file.role == Role::Logo);
        match logo.map(|(id, file)| logo::check(path, id, file, sources.apart())) {
            Some(Ok(name)) => read.style.look.logo = Some(name),
            Some(Err(finding)) => findings.push(*finding),
            None => {}
        }
    }
    let mut findings: Vec<_> = findings
        .into_iter()
        .map(|finding| match finding.file {
            FileId::SPEC => finding.in_file(id),
            _ => finding,
        })
        .collect();
    if let (Some(spec), Some(name)) = (spec, &read.name)
        && spec.organization.value != name.value
    {
        findings.push(
            rules::HOUSE_OF_ANOTHER_ORGANIZATION
                .at(
                    name.span,
                    format!("the house style is that of {}", name.value),
                )
                .in_file(id)
                .related(
                    spec.organization.span,
                    format!("the procedure is issued by {}", spec.organization.value),
                ),
        );
    }
    for (id, file) in sources.house() {
        findings.extend(misnamed(id, file));
    }
    let house = House {
        style: Arc::new(read.style),
        paper: read.paper,
        digest: digest::house_digest(sources),
        file: id,
        clauses: read.clauses,
    };
    (Some(house), findings)
}

/// The role of a file of a house style among the inputs of a build: what it is,
/// and which of its kind.
pub fn house_role(file: &HouseFile) -> String {
    format!("{} {}", file.role.word(), file.path)
}

/// The name that a file of a house style is attached with, told apart from the
/// spec's files and without folders.
pub fn attached_name(file: &HouseFile) -> String {
    match file.role {
        Role::House => STYLE_FILE.to_owned(),
        _ => format!("house-{}", file.path.replace('/', "-")),
    }
}

/// Why a file of the house style is not at hand.
fn reason(why: &Unavailable) -> &str {
    match why {
        Unavailable::NotGiven => "nobody looked for it",
        Unavailable::Outside => "it lies outside the folder of the house style",
        Unavailable::Unreadable(reason) => reason,
    }
}

/// A template whose name is that of no page, or of one that stays as it is.
fn misnamed(id: FileId, file: &HouseFile) -> Option<Finding> {
    if file.role != Role::Template {
        return None;
    }
    let path = file.path.as_str();
    let finding = if REPLACEABLE.contains(&path) {
        let why = file.bytes.as_ref().err()?;
        rules::HOUSE_NOT_READ.about_file(format!("{path} cannot be read: {}", reason(why)))
    } else if is_template(path) {
        rules::TEMPLATE_PROTECTED.about_file(format!("no house style replaces {path}"))
    } else {
        let finding = rules::TEMPLATE_UNKNOWN.about_file(format!("there is no page {path}"));
        match nearest(path, REPLACEABLE) {
            Some(near) => finding.help(format!("did you mean {near}?")),
            None => finding.help(format!("a house style may have {}", REPLACEABLE.join(", "))),
        }
    };
    Some(finding.in_file(id))
}

impl House {
    /// Its templates and logo, for the typesetter.
    pub fn files<'a>(&self, sources: &'a Sources) -> HouseFiles<'a> {
        let of_role = |role| sources.house().filter(move |(_, file)| file.role == role);
        HouseFiles {
            apart: sources.apart(),
            templates: of_role(Role::Template)
                .map(|(_, file)| (file.path.as_str(), file.source.text.as_str()))
                .collect(),
            logo: self.style.look.logo.clone().and_then(|name| {
                let (_, file) = of_role(Role::Logo).next()?;
                Some((name, file.bytes.as_deref().ok()?))
            }),
        }
    }

    /// What typst says about a template, as findings.
    pub fn template_findings(
        &self,
        sources: &Sources,
        faults: &[TemplateFault],
        rule: &'static Rule,
    ) -> Vec<Finding> {
        let mut findings: Vec<Finding> = Vec::new();
        for fault in faults {
            let file = sources
                .house()
                .find(|(_, file)| file.role == Role::Template && file.path == fault.path);
            let Some((id, _)) = file else { continue };
            let finding = match &fault.range {
                Some(range) => rule.at(Span::new(range.start, range.end), &fault.message),
                None => rule.about_file(&fault.message),
            };
            let finding = match fault.hints.is_empty() {
                true => finding,
                false => finding.help(fault.hints.join("; ")),
            };
            findings.push(finding.in_file(id));
        }
        findings
    }

    /// What could not be worded while the sheets were made.
    pub fn clause_findings(&self, sources: &Sources, words: &Words) -> Vec<Finding> {
        let Some(house) = words.house() else {
            return Vec::new();
        };
        let text = &sources.get(self.file).text;
        let findings = house.failures().into_iter();
        findings
            .map(|failure| failed(&failure, &self.clauses, text).in_file(self.file))
            .collect()
    }
}
