//! The forms of a spec, as `coldring forms` makes them.

use clap::ValueEnum;
use serde::Deserialize;
use serde_json::json;

use super::{Answer, Answered, SpecText, json_findings, template_error};
use crate::core::budget;
use crate::core::finding::Severity;
use crate::page::memory::MemoryFiles;
use crate::papers::compile::{FormKind, FormsOrder, forms};
use crate::people::fusers::Rules;

#[derive(Debug, Deserialize)]
pub(super) struct FormRequest {
    #[serde(flatten)]
    text: SpecText,
    /// Which form, as on the command line.
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
    let mut errors = forms.checked.findings;
    errors.retain(|finding| finding.severity() == Severity::Error);
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
