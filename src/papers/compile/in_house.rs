//! Applies a house style to the papers of a spec. Faults of the house style, and
//! text without glyphs, become findings; any other failure is the program's.

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
    /// The paper size: the user's choice, or else the spec's, the house style's,
    /// or the practice's.
    pub(super) fn paper(&self, requested: Option<Paper>, procedure: &Procedure<'_>) -> Paper {
        let written = procedure.spec.documents.paper.as_ref();
        requested
            .or(written.map(|paper| paper.value))
            .or(self.house.as_ref().and_then(|house| house.paper))
            .unwrap_or(procedure.practice().paper)
    }

    pub(super) fn frame(&self, frame: Frame) -> Frame {
        match &self.house {
            Some(house) => frame.in_house(&house.style, &house.digest),
            None => frame,
        }
    }

    pub(super) fn house_files<'a>(&self, sources: &'a Sources) -> HouseFiles<'a> {
        let house = self.house.as_ref();
        house.map_or_else(HouseFiles::default, |house| house.files(sources))
    }

    /// Whether errors in the house style prevent papers.
    pub(super) fn house_has_errors(&self, sources: &Sources) -> bool {
        self.findings.iter().any(|finding| {
            finding.severity() == Severity::Error
                && sources.house().any(|(id, _)| id == finding.file)
        })
    }

    /// Checks that every clause of the house style could be rendered.
    ///
    /// # Errors
    /// [`TypesetError`] with the cause [`Cause::Clauses`] if one could not.
    pub(super) fn check_clauses(
        &self,
        sources: &Sources,
        words: &Words,
    ) -> Result<(), TypesetError> {
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

/// Turns an error into findings if the house style or a text caused it.
///
/// # Errors
/// The error itself if the program is at fault.
pub(super) fn house_findings(
    inputs: &ParsedInputs,
    error: TypesetError,
) -> Result<Vec<Finding>, TypesetError> {
    if matches!(error.cause, Cause::Glyphs) {
        let message = format!("the embedded fonts cannot draw a text: {error}");
        let finding = reading::NO_GLYPH.about_file(message);
        return Ok(vec![finding.help("write the text with other characters")]);
    }
    let Some(house) = &inputs.house else {
        return Err(error);
    };
    match &error.cause {
        Cause::Clauses(findings) => Ok(findings.clone()),
        // The logo is the only part of a house style that runs in the sandbox.
        Cause::Stopped => Ok(vec![
            rules::LOGO_NOT_READ
                .about_file(format!("with the logo of this house style {error}"))
                .help("save it with fewer shapes, or as PNG")
                .in_file(house.file),
        ]),
        Cause::Program | Cause::Glyphs => Err(error),
    }
}
