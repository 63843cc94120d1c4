//! What differs from an earlier revision, as `coldring compare` tells it.

use serde::Deserialize;
use serde_json::{Value, json};

use super::{Answer, Answered, SpecText, json_findings, template_error};
use crate::core::budget;
use crate::core::digest;
use crate::core::source::{FileId, Sources};
use crate::page::memory::MemoryFiles;
use crate::papers::compile::{NoticeOptions, compare};
use crate::papers::sheets::house::Words;
use crate::papers::sheets::{
    Clauses, Group, Language, change_groups, fusers_answer, no_difference, procedure_answer,
    revision_notes,
};
use crate::procedure::compare::{Comparison, Side};

#[derive(Debug, Deserialize)]
pub(super) struct CompareRequest {
    #[serde(flatten)]
    text: SpecText,
    /// The path of the earlier revision.
    earlier: String,
}

/// The changes in words, findings, and the PDF of the notice if nothing is wrong.
pub(super) fn changes(files: &MemoryFiles, request: &CompareRequest) -> Answered {
    let text = &request.text;
    let of = |path: &str, spec: &str| -> Result<Sources, String> {
        let sources = files.sources(path, spec, None);
        sources.map_err(|(_, finding)| finding.message.clone())
    };
    let earlier = files.text(&request.earlier, budget::SPEC.bytes)?;
    let earlier = of(&request.earlier, &earlier.text)?;
    let later = of(&text.path, &text.text)?;
    let options = text.paper_options()?;
    let notice = NoticeOptions {
        enabled: true,
        paper: options.paper,
        language: options.languages.first().copied(),
    };
    let compared = compare(&earlier, &later, notice, text.today);
    let compared = compared.map_err(|error| template_error(&error))?;
    let unread = compared.unread.as_ref();
    let unread = unread.map(|checked| json_findings(&checked.findings, &earlier));
    let mut findings = unread.unwrap_or_default();
    findings.extend(json_findings(&compared.checked.findings, &compared.sources));
    let names = [&earlier, &later].map(|sources| &sources.get(FileId::SPEC).name);
    Ok(Answer {
        json: json!({
            "name": compared.notice.as_ref().map(|_| "change-notice.pdf"),
            "changes": compared.comparison.as_ref().map(|comparison| in_words(comparison, names)),
            "findings": findings,
        }),
        bytes: compared.notice.unwrap_or_default(),
    })
}

fn in_words(comparison: &Comparison, [old, new]: [&String; 2]) -> Value {
    let words = Words::Program(Clauses::load(Language::En));
    let side = |side: &Side, file: &str| {
        json!({
            "revision": side.revision,
            "date": side.date.to_string(),
            "digest": digest::short(&side.digest),
            "file": file,
        })
    };
    let answers = [procedure_answer, fusers_answer].map(|answer| answer(comparison, &words));
    let answers = answers.map(|answer| json!([answer.label, answer.short, answer.text]));
    let groups = change_groups(comparison, &words);
    json!({
        "number": comparison.new.number,
        "from": side(&comparison.old, old),
        "to": side(&comparison.new, new),
        "notes": revision_notes(&comparison.new, &words),
        "none": comparison.changes.is_empty().then(|| no_difference(comparison)),
        "answers": answers,
        "groups": groups.iter().map(group).collect::<Vec<_>>(),
    })
}

fn group(group: &Group) -> Value {
    let (title, meaning) = &group.title;
    let lines = group.lines.iter().map(|line| {
        json!({
            "name": line.name,
            "items": line.items,
            "why": line.why,
            "basis": line.basis,
        })
    });
    json!({ "title": title, "meaning": meaning, "lines": lines.collect::<Vec<_>>() })
}
