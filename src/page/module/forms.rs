//! The forms of a spec, as `coldring forms` and `coldring confirm` make them.

use clap::ValueEnum;
use serde::Deserialize;
use serde_json::json;

use super::{Answer, Answered, SpecText, json_findings, template_error};
use crate::core::budget;
use crate::core::finding::{Finding, Severity};
use crate::core::source::Sources;
use crate::page::memory::MemoryFiles;
use crate::papers::compile::{Checked, FormKind, FormsOrder, Worksheet, forms, worksheet};
use crate::people::fusers::Rules;

#[derive(Debug, Deserialize)]
pub(super) struct FormRequest {
    #[serde(flatten)]
    text: SpecText,
    /// Which form, as on the command line; or the worksheet of figures from memory, or the
    /// file for what was read.
    form: String,
    /// The path of a record, whose form is made instead.
    #[serde(default)]
    record: Option<String>,
}

/// The PDF, and the errors that stand in its way; its name is null where there is none.
pub(super) fn form(files: &MemoryFiles, request: &FormRequest) -> Answered {
    let text = &request.text;
    let sources = text.sources(files);
    let sources = sources.map_err(|(_, finding)| finding.message.clone())?;
    match request.form.as_str() {
        "worksheet" => return to_confirm(&sources, text, |pdf, _| ("worksheet.pdf", pdf)),
        "confirmations" => {
            let file = |_, file: String| ("confirmations.yaml", file.into_bytes());
            return to_confirm(&sources, text, file);
        }
        _ => {}
    }
    let record = request.record.as_deref();
    let record = record.map(|path| files.text(path, budget::RECORD.bytes));
    let kind = FormKind::from_str(&request.form, false);
    let kind = kind.map_err(|_| "choose a form from the list")?;
    let options = text.paper_options()?;
    let forms = forms(FormsOrder {
        sources: &sources,
        record: record.transpose()?,
        only: &[kind],
        rules: &Rules::default(),
        paper: options.paper,
        language: options.languages.first().copied(),
        as_of: text.today,
    });
    let forms = forms.map_err(|error| template_error(&error))?;
    let errors = errors(forms.checked);
    let made = forms.files.into_iter().next();
    if made.is_none() && errors.is_empty() {
        return Err(
            "the procedure is withdrawn, so nobody works by it; only the record form is made"
                .to_owned(),
        );
    }
    let (name, bytes) = made.unzip();
    Ok(Answer {
        json: json!({ "name": name, "findings": json_findings(&errors, &forms.sources) }),
        bytes: bytes.unwrap_or_default(),
    })
}

/// The worksheet of the figures that are from memory, or the file for what was read.
fn to_confirm(
    sources: &Sources,
    text: &SpecText,
    choose: impl Fn(Vec<u8>, String) -> (&'static str, Vec<u8>),
) -> Answered {
    let paper = text.paper_options()?.paper;
    let made = worksheet(sources, paper, text.today).map_err(|error| template_error(&error))?;
    match made {
        Worksheet::NothingRecalled => {
            Err("no figure in use is from memory; there is nothing to confirm".to_owned())
        }
        Worksheet::Unread(checked) => Ok(Answer {
            json: json!({ "name": null, "findings": json_findings(&errors(checked), sources) }),
            bytes: Vec::new(),
        }),
        Worksheet::Made { pdf, file, .. } => {
            let (name, bytes) = choose(pdf, file);
            let json = json!({ "name": name, "findings": [] });
            Ok(Answer { json, bytes })
        }
    }
}

fn errors(checked: Checked) -> Vec<Finding> {
    let mut errors = checked.findings;
    errors.retain(|finding| finding.severity() == Severity::Error);
    errors
}
