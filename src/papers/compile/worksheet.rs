//! The worksheet of a spec's recalled numbers, for whoever holds the editions. It
//! is made from any spec that can be read, even one with errors: a number still
//! to be read may be what the papers wait for.

use chrono::NaiveDate;

use super::in_house::of_house;
use super::{
    Checked, Identity, ParsedInputs, attached, checked, dated, identity, languages, to_json,
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
    let read = ParsedInputs::read(sources, &[]);
    let procedure = read.procedure();
    let Some(procedure) = procedure
        .as_ref()
        .filter(|_| !read.unread && !read.unprintable() && !read.house_fails(sources))
    else {
        let checked = checked(sources, &read, procedure.as_ref(), None, as_of);
        return Ok(Worksheet::Unread(checked));
    };
    let recalled = recalled_in_use(procedure, &read.limits);
    if recalled.is_empty() {
        return Ok(Worksheet::NothingRecalled);
    }
    let spec = procedure.spec;
    let paper = read.paper(paper, procedure);
    let spec_digest = digest::spec_digest(sources);
    let frame = read.frame(Frame::new(
        procedure,
        paper,
        &spec_digest,
        PaperKind::Procedure,
        languages(spec, &[]).0,
    ));
    let words = frame.words.clone();
    let sheet = to_json(&sheets::confirm(&recalled, &read.limits, frame))?;
    let printed = read.words_held(sources, &words).and_then(|()| {
        typeset(&Print {
            page: Page::Confirm,
            sheet,
            attached: attached(sources),
            house: read.house_files(sources),
            code: None,
            identity: format!("{} {spec_digest} worksheet", spec.number.value),
            date: dated(spec),
        })
    });
    let pdf = match printed {
        Ok(pdf) => pdf,
        Err(error) => {
            let mut checked = checked(sources, &read, Some(procedure), None, as_of);
            checked.findings.extend(of_house(&read, error)?);
            return Ok(Worksheet::Unread(checked));
        }
    };
    Ok(Worksheet::Made {
        identity: identity(spec),
        pdf,
        file: confirm::template(&recalled),
    })
}
