//! What the page asks beside the papers: why a rule exists, what a field is for, a text
//! as a form, how the text changes with a field, a spec to start from.

use chrono::NaiveDate;
use clap::ValueEnum;
use serde::{Deserialize, Serialize};

use crate::authoring::starter::{NoStarter, Starter};
use crate::authoring::{form, rule_index, schema};
use crate::core::budget;
use crate::core::finding::Finding;
use crate::core::finding_json::JsonEdit;
use crate::core::size::{Size, SizeSystem};
use crate::core::source::Sources;
use crate::papers::compile::{Options, PaperKind, compile_with_cache};
use crate::papers::typeset::TypesetError;
use crate::published::library;
use crate::spec::language::Language;
use crate::spec::{Service, rules};

/// A rule as `coldring explain` tells it.
#[derive(Debug, Clone, Copy, Serialize)]
pub(crate) struct Why {
    rule: &'static str,
    severity: &'static str,
    summary: &'static str,
    why: &'static str,
    example: &'static str,
    fix: &'static str,
    dated: bool,
}

/// The rule of this name.
pub(crate) fn why(slug: &str) -> Option<Why> {
    let rule = rule_index::rules().find(|rule| rule.slug == slug)?;
    Some(Why {
        rule: rule.slug,
        severity: rule.severity.word(),
        summary: rule.summary,
        why: rule.why,
        example: rule.example,
        fix: rule.fix,
        dated: rule.dated,
    })
}

/// What the field of a spec is for; `path` is its keys from the top down. An entry of
/// a list or a size has no help of its own: that of its group is given.
pub(crate) fn describe(path: &[String]) -> Option<String> {
    let path: Vec<_> = path.iter().map(String::as_str).collect();
    let mut groups = (1..=path.len()).rev().filter_map(|keys| path.get(..keys));
    groups.find_map(|path| schema::describe(schema::Kind::Spec, path))
}

/// The form of a text.
pub(crate) fn form(text: &str) -> form::Form {
    form::form(schema::Kind::Spec, text)
}

/// A field and its new value.
#[derive(Debug, Deserialize)]
pub(crate) struct FieldRequest {
    text: String,
    path: Vec<String>,
    /// None takes the field out.
    value: Option<String>,
    /// Whether it becomes a group with nothing in it, as a size that is added.
    #[serde(default)]
    open: bool,
}

/// The change of the text that gives a field its value; none where it has it already.
///
/// # Errors
/// A sentence that says where to change it instead.
pub(crate) fn write_field(request: &FieldRequest) -> Result<Vec<JsonEdit>, &'static str> {
    let change = match &request.value {
        _ if request.open => form::Change::Open,
        Some(value) => form::Change::Write(value),
        None => form::Change::Remove,
    };
    let edit = form::put(schema::Kind::Spec, &request.text, &request.path, change)?;
    Ok(edit.iter().map(JsonEdit::from).collect())
}

/// The finding that a text is too long for a spec, if it is.
pub(crate) fn oversized(text: &str) -> Option<Finding> {
    let most = budget::SPEC.bytes;
    (text.len() > most).then(|| {
        rules::SPEC_TOO_LARGE
            .about_file(format!("the text has more than {most} bytes"))
            .help("check that the right text was pasted")
    })
}

/// The PDF of one paper of a spec; `told` puts the failure of a template in words.
///
/// # Errors
/// Why there is none, in words.
pub(crate) fn one_paper(
    sources: &Sources,
    (kind, further): (PaperKind, Option<Language>),
    options: &Options,
    as_of: NaiveDate,
    told: impl FnOnce(&TypesetError) -> String,
) -> Result<Vec<u8>, String> {
    let options = Options {
        papers: vec![kind],
        ..options.clone()
    };
    let outcome = compile_with_cache(sources, &options, as_of).map_err(|error| told(&error))?;
    if outcome.checked.has_error() {
        return Err("the spec has errors, so no paper is made of it; fix them first".to_owned());
    }
    let mut made = outcome.papers.into_iter();
    if let Some(paper) = made.find(|paper| paper.further == further) {
        return Ok(paper.bytes);
    }
    let reason = outcome.withheld.into_iter().next();
    Err(reason.map_or_else(
        || "there is no such paper of this spec".to_owned(),
        |(_, reason)| reason.into_owned(),
    ))
}

/// What a starter can be made for.
#[derive(Debug, Serialize)]
pub(crate) struct StarterChoices {
    /// The sizes of each system, smallest first.
    sizes: Vec<(&'static str, Vec<String>)>,
    services: Vec<String>,
}

pub(crate) fn starter_choices() -> StarterChoices {
    let systems = [
        ("IPS", SizeSystem::Ips),
        ("CTS", SizeSystem::Cts),
        ("metric", SizeSystem::Metric),
    ];
    let services = Service::value_variants().iter();
    StarterChoices {
        sizes: systems
            .into_iter()
            .map(|(name, system)| {
                let sizes = library().sizes(system).into_iter();
                (name, sizes.map(|size| size.to_string()).collect())
            })
            .collect(),
        services: services
            .filter_map(|service| Some(service.to_possible_value()?.get_name().to_owned()))
            .collect(),
    }
}

/// A commented spec to start from.
///
/// # Errors
/// Why there is none for these sizes, in words.
pub(crate) fn starter(
    sizes: &[String],
    service: &str,
    today: NaiveDate,
) -> Result<String, &'static str> {
    let sizes: Option<Vec<_>> = sizes.iter().map(|size| Size::parse(size).ok()).collect();
    let service = Service::from_str(service, false);
    let (Some(sizes), Ok(service)) = (sizes, service) else {
        return Err("choose sizes and a service from the list");
    };
    let starter = Starter::new(sizes, service, today).map_err(|why| match why {
        NoStarter::TwoPractices => {
            "a spec has inch sizes or metric sizes, not both: choose one kind and make another \
             spec for the other"
        }
        NoStarter::SizeTwice | NoStarter::UnknownSize => "choose each size once, from the list",
    })?;
    Ok(starter.text())
}
