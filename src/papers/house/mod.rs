//! House style: an organization's letterhead, colors, wording, and extra
//! sections. It is data. It lays nothing out and never sets a number, because
//! no check can prove that a page template leaves nothing out.
//!
//! Its clauses are minijinja without filters and with little fuel. Before any
//! paper is made, each is tried with stand-in values, and every quantity must
//! come out. Clauses that warn are protected by key, and a key that no paper
//! prints is refused; a test rewords all others.

mod clauses;
pub(crate) mod decode;
mod logo;
mod replaceable;
pub(crate) mod rules;
mod texts;
mod values;

use std::sync::Arc;

use clauses::failure_finding;
use decode::HouseClause;
pub(crate) use decode::logo as logo_of;

use crate::core::digest;
use crate::core::finding::Finding;
use crate::core::source::{FileId, HouseFile, Role, Source, Sources, Unavailable};
use crate::papers::sheets::house::{HouseStyle, Words};
use crate::papers::typeset::HouseFiles;
use crate::spec::language::Language;
use crate::spec::{Paper, Spec};

pub(crate) const STYLE_FILE: &str = "house.yaml";
/// Names formerly used for folders and keys of page templates. House styles no
/// longer have them, so one that is left is an error.
pub(crate) const TEMPLATES: [&str; 2] = ["pages", "templates"];

/// A house style that has been read.
#[derive(Debug, Clone)]
pub struct House {
    /// What the sheets use of it.
    pub style: Arc<HouseStyle>,
    /// The paper size, if the spec names none.
    pub paper: Option<Paper>,
    /// Digest of its files, in hexadecimal.
    pub digest: String,
    /// The file ID of `house.yaml`.
    pub file: FileId,
    clauses: Vec<HouseClause>,
}

/// The files of the house style in a folder: `house.yaml` and the logo it names, as
/// far as `read` has them.
pub(crate) fn house_files(
    folder: &str,
    read: impl Fn(&str) -> Result<Vec<u8>, Unavailable>,
) -> Vec<HouseFile> {
    let file = |role, path: &str| {
        let bytes = read(path);
        let text = bytes.as_ref().ok().cloned().map(String::from_utf8);
        let text = text.and_then(Result::ok).unwrap_or_default();
        let name = match folder {
            "" => path.to_owned(),
            folder => format!("{}/{path}", folder.trim_end_matches('/')),
        };
        HouseFile {
            role,
            path: path.to_owned(),
            source: Source::new(name, text),
            bytes,
        }
    };
    let style = file(Role::House, STYLE_FILE);
    let logo = logo_of(&style.source.text);
    let logo = logo.map(|path| file(Role::Logo, &path));
    [Some(style), logo].into_iter().flatten().collect()
}

/// Reads the house style among the sources, for papers in these languages; `None`
/// if there is none.
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
    findings.extend(texts::missing_translations(&read, languages));
    if let Some(path) = &read.logo {
        let logo = sources.house().find(|(_, file)| file.role == Role::Logo);
        match logo.map(|(id, file)| logo::check(path, id, file, sources.sandbox())) {
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
    let left = templates(sources, &read);
    findings.extend(left.map(|finding| finding.in_file(id)));
    let house = House {
        style: Arc::new(read.style),
        paper: read.paper,
        digest: digest::house_digest(sources),
        file: id,
        clauses: read.clauses,
    };
    (Some(house), findings)
}

/// How the build digest and manifest name a file of a house style.
pub(crate) fn house_role(file: &HouseFile) -> String {
    format!("{} {}", file.role.word(), file.path)
}

/// The name under which a file of the house style is attached: prefixed, and
/// without folders.
pub(crate) fn attached_name(file: &HouseFile) -> String {
    match file.role {
        Role::House => STYLE_FILE.to_owned(),
        _ => format!("house-{}", file.path.replace('/', "-")),
    }
}

/// Why a file of the house style is not available.
fn reason(why: &Unavailable) -> &str {
    match why {
        Unavailable::NotGiven => "nobody looked for it",
        Unavailable::Outside => "it lies outside the folder of the house style",
        Unavailable::Unreadable(reason) => reason,
    }
}

/// Reports page templates left in a house style, as a key or a folder.
fn templates(sources: &Sources, read: &decode::HouseContent) -> Option<Finding> {
    let mut files = sources.house().map(|(_, file)| file);
    let folder = files.find(|file| file.role == Role::Template);
    let what = "house styles have no page templates any more";
    let finding = match (&read.templates, folder) {
        (Some(key), _) => rules::HOUSE_TEMPLATE.at(key.span, format!("`{}`: {what}", key.value)),
        (None, Some(folder)) => {
            rules::HOUSE_TEMPLATE.about_file(format!("the folder `{}`: {what}", folder.path))
        }
        (None, None) => return None,
    };
    let take_out = match (&read.templates, folder) {
        (Some(key), Some(folder)) => format!(
            "take `{}` out of {STYLE_FILE} and the folder `{}` out of the house style",
            key.value, folder.path
        ),
        (Some(key), None) => format!("take `{}` out of {STYLE_FILE}", key.value),
        (None, _) => "move the folder out of the house style".to_owned(),
    };
    Some(finding.help(format!(
        "{take_out}; letterhead, logo, colors, words, extra sections, and who signs stay"
    )))
}

impl House {
    /// Its logo, for the typesetter.
    pub(crate) fn files<'a>(&self, sources: &'a Sources) -> HouseFiles<'a> {
        let of_role = |role| sources.house().filter(move |(_, file)| file.role == role);
        HouseFiles {
            sandbox: sources.sandbox(),
            logo: self.style.look.logo.clone().and_then(|name| {
                let (_, file) = of_role(Role::Logo).next()?;
                Some((name, file.bytes.as_deref().ok()?))
            }),
        }
    }

    /// Findings about clauses that failed while the sheets were made.
    pub(crate) fn clause_findings(&self, sources: &Sources, words: &Words) -> Vec<Finding> {
        let Some(house) = words.house() else {
            return Vec::new();
        };
        let text = &sources.get(self.file).text;
        let findings = house.failures().into_iter();
        findings
            .map(|failure| failure_finding(&failure, &self.clauses, text).in_file(self.file))
            .collect()
    }
}
