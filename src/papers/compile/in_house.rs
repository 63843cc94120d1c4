//! What a house style does to the papers of a spec, and what of their faults is
//! its own: those become findings, as a text without glyphs does; the rest are the
//! program's.

use super::ParsedInputs;
use crate::core::finding::{Finding, Severity};
use crate::core::source::Sources;
use crate::papers::house::rules;
use crate::papers::sheets::Frame;
use crate::papers::sheets::house::Words;
use crate::papers::typeset::{Cause, HouseFiles, TypesetError};
use crate::procedure::resolve::Procedure;
use crate::spec::{Paper, rules as reading};

impl ParsedInputs {
    /// The paper of a procedure: what was asked for, else what the spec, the house or
    /// the practice says.
    pub(super) fn paper(&self, asked: Option<Paper>, procedure: &Procedure<'_>) -> Paper {
        let written = procedure.spec.documents.paper.as_ref();
        asked
            .or(written.map(|paper| paper.value))
            .or(self.house.as_ref().and_then(|house| house.paper))
            .unwrap_or(procedure.practice().paper)
    }

    /// A frame in the house style, where there is one.
    pub(super) fn frame(&self, frame: Frame) -> Frame {
        match &self.house {
            Some(house) => frame.in_house(&house.style, &house.digest),
            None => frame,
        }
    }

    /// The logo of the house style.
    pub(super) fn house_files<'a>(&self, sources: &'a Sources) -> HouseFiles<'a> {
        let house = self.house.as_ref();
        house.map_or_else(HouseFiles::default, |house| house.files(sources))
    }

    /// Whether the house style holds the papers back.
    pub(super) fn house_fails(&self, sources: &Sources) -> bool {
        self.findings.iter().any(|finding| {
            finding.severity() == Severity::Error
                && sources.house().any(|(id, _)| id == finding.file)
        })
    }

    /// Whether every clause of the house could be worded.
    ///
    /// # Errors
    /// [`TypesetError`] with the cause [`Cause::Clauses`] when one could not.
    pub(super) fn words_held(&self, sources: &Sources, words: &Words) -> Result<(), TypesetError> {
        let house = self.house.as_ref();
        let failed = house.map_or_else(Vec::new, |house| house.clause_findings(sources, words));
        if failed.is_empty() {
            return Ok(());
        }
        Err(TypesetError {
            messages: failed
                .iter()
                .map(|finding| finding.message.clone())
                .collect(),
            cause: Cause::Clauses(failed),
        })
    }
}

/// The findings of an error that is a fault of the house style or of a text.
///
/// # Errors
/// The error itself when it is the program's.
pub(super) fn of_house(
    read: &ParsedInputs,
    error: TypesetError,
) -> Result<Vec<Finding>, TypesetError> {
    if matches!(error.cause, Cause::Glyphs) {
        let said = format!("the embedded fonts cannot draw a text: {error}");
        let finding = reading::NO_GLYPH.about_file(said);
        return Ok(vec![finding.help("write the text with other characters")]);
    }
    let Some(house) = &read.house else {
        return Err(error);
    };
    match &error.cause {
        Cause::Clauses(findings) => Ok(findings.clone()),
        // Of a house, only the logo was made elsewhere.
        Cause::Stopped => Ok(vec![
            rules::LOGO_NOT_READ
                .about_file(format!("with the logo of this house style {error}"))
                .help("save it with fewer shapes, or as PNG")
                .in_file(house.file),
        ]),
        Cause::Program | Cause::Glyphs => Err(error),
    }
}
