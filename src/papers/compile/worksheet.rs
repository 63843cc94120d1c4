//! The worksheet of a spec's recalled numbers, for anybody who holds the editions. It
//! is made from any spec that can be read, even one with errors: a number still
//! to be read may be what the papers wait for.

use chrono::NaiveDate;

use super::in_house::house_findings;
use super::{
    Checked, Identity, ParsedInputs, attachments, check_inputs, identity, languages, paper_date,
    to_json,
};
use crate::core::digest;
use crate::core::source::Sources;
use crate::papers::sheets::{self, Frame, PaperKind};
use crate::papers::typeset::{Page, Print, TypesetError, typeset};
use crate::procedure::confirm;
use crate::procedure::resolve::recalled_in_use;
use crate::spec::Paper;

/// The result of asking for a worksheet.
#[derive(Debug)]
pub(crate) enum Worksheet {
    /// The spec cannot be read; its findings.
    Unread(Checked),
    /// The papers rest on no recalled number.
    NothingRecalled,
    Made {
        identity: Identity,
        pdf: Vec<u8>,
        /// A template for the confirmations file, with each number commented out.
        file: String,
    },
}

/// Makes the worksheet of a spec.
///
/// # Errors
/// [`TypesetError`] if one of our own templates fails.
pub(crate) fn worksheet(
    sources: &Sources,
    paper: Option<Paper>,
    as_of: NaiveDate,
) -> Result<Worksheet, TypesetError> {
    let inputs = ParsedInputs::read(sources, &[]);
    let procedure = inputs.procedure();
    let Some(procedure) = procedure
        .as_ref()
        .filter(|_| !inputs.unread && !inputs.unprintable() && !inputs.house_has_errors(sources))
    else {
        let checked = check_inputs(sources, &inputs, procedure.as_ref(), None, as_of);
        return Ok(Worksheet::Unread(checked));
    };
    let recalled = recalled_in_use(procedure, &inputs.limits);
    if recalled.is_empty() {
        return Ok(Worksheet::NothingRecalled);
    }
    let spec = procedure.spec;
    let paper = inputs.paper(paper, procedure);
    let spec_digest = digest::spec_digest(sources);
    let frame = inputs.frame(Frame::new(
        procedure,
        paper,
        &spec_digest,
        PaperKind::Procedure,
        languages(spec, &[]).0,
    ));
    let words = frame.words.clone();
    let sheet = to_json(&sheets::confirm(&recalled, &inputs.limits, frame))?;
    let printed = inputs.check_clauses(sources, &words).and_then(|()| {
        typeset(&Print {
            page: Page::Confirm,
            sheet,
            attached: attachments(sources),
            house: inputs.house_files(sources),
            code: None,
            identity: format!("{} {spec_digest} worksheet", spec.number.value),
            date: paper_date(spec),
        })
    });
    let pdf = match printed {
        Ok(pdf) => pdf,
        Err(error) => {
            let mut checked = check_inputs(sources, &inputs, Some(procedure), None, as_of);
            checked.findings.extend(house_findings(&inputs, error)?);
            return Ok(Worksheet::Unread(checked));
        }
    };
    Ok(Worksheet::Made {
        identity: identity(spec),
        pdf,
        file: confirm::template(&recalled),
    })
}
