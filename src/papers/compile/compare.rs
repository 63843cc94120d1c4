//! Two specs → their differences, what is wrong with them, and the notice of
//! changes.

use chrono::NaiveDate;

use super::{Checked, Identity, ParsedInputs, check_inputs, identity, languages, to_json};
use crate::core::digest;
use crate::core::finding::{self, Severity};
use crate::core::source::{FileId, Role, Sources};
use crate::core::units::print::with_decimal_mark;
use crate::papers::sheets::{self, Frame, PaperKind};
use crate::papers::typeset::{HouseFiles, Page, Print, TypesetError, typeset};
use crate::procedure::compare::{self, Comparison, Input, rules};
use crate::published::library;
use crate::spec::Paper;
use crate::spec::language::Language;

/// The result of comparing two specs.
#[derive(Debug)]
pub struct Compared {
    /// The earlier spec, only if it could not be read.
    pub unread: Option<Checked>,
    /// The later spec with the earlier one among its sources; findings point into
    /// both.
    pub sources: Sources,
    /// The later spec: its errors, and what is wrong between the two.
    pub checked: Checked,
    /// The differences, if both could be read and are the same procedure.
    pub comparison: Option<Comparison>,
    /// Number and revision of the later spec, if there is a notice.
    pub identity: Option<Identity>,
    /// The notice, if requested and nothing is wrong.
    pub notice: Option<Vec<u8>>,
}

/// How the notice is printed.
#[derive(Debug, Clone, Copy, Default)]
pub struct NoticeOptions {
    /// Whether to make one.
    pub enabled: bool,
    /// The paper size, to override the spec's.
    pub paper: Option<Paper>,
    /// The language, to override the spec's.
    pub language: Option<Language>,
}

/// Compares an earlier spec with a later one.
///
/// # Errors
/// [`TypesetError`] if one of our own templates fails.
pub fn compare(
    old: &Sources,
    new: &Sources,
    options: NoticeOptions,
    as_of: NaiveDate,
) -> Result<Compared, TypesetError> {
    let (was, is) = (ParsedInputs::read(old, &[]), ParsedInputs::read(new, &[]));
    let (earlier, later) = (was.procedure(), is.procedure());
    let mut checked_new = check_inputs(new, &is, later.as_ref(), None, as_of);
    // Its warnings belong to `check`, not to the comparison.
    let is_error = |finding: &finding::Finding| finding.severity() == Severity::Error;
    checked_new.findings.retain(is_error);
    let with_earlier = new.clone().with(Role::Earlier, Ok(old.spec().clone()));
    let old_file = with_earlier
        .of_role(Role::Earlier)
        .map_or(FileId::SPEC, |(id, _)| id);
    let mut compared = Compared {
        unread: None,
        sources: with_earlier,
        checked: checked_new,
        comparison: None,
        identity: None,
        notice: None,
    };
    let Some(earlier) = earlier.filter(|_| !was.unread && !was.unprintable()) else {
        compared.unread = Some(check_inputs(old, &was, None, None, as_of));
        return Ok(compared);
    };
    let Some(later) = later.filter(|_| !is.unread) else {
        return Ok(compared);
    };
    if let Some(finding) = rules::pairing(&earlier, &later, old_file) {
        compared.checked.findings.push(finding);
        return Ok(compared);
    }
    let old_digest = digest::spec_digest(old);
    let new_digest = compared.checked.spec_digest.clone();
    let comparison = compare::compare(
        Input {
            procedure: &earlier,
            text: &old.spec().text,
            digest: &old_digest,
        },
        Input {
            procedure: &later,
            text: &new.spec().text,
            digest: &new_digest,
        },
        library(),
    );
    let found = rules::check(&comparison, &earlier, &later, old_file, library());
    compared.checked.findings.extend(found);
    finding::sort(&mut compared.checked.findings);
    if options.enabled && !compared.checked.findings.iter().any(is_error) {
        let spec = later.spec;
        let paper = options
            .paper
            .or(spec.documents.paper.as_ref().map(|paper| paper.value))
            .unwrap_or(later.practice().paper);
        let language = options.language.unwrap_or_else(|| languages(spec, &[]).0);
        let kind = PaperKind::Procedure;
        let frame = Frame::new(&later, paper, &new_digest, kind, language);
        let mark = language.decimal_mark(later.practice());
        let sheet = with_decimal_mark(mark, || sheets::change_notice(&comparison, frame));
        compared.notice = Some(typeset(&Print {
            page: Page::ChangeNotice,
            sheet: to_json(&sheet)?,
            attached: Vec::new(),
            house: HouseFiles::default(),
            code: None,
            identity: format!("{old_digest} {new_digest} change-notice"),
            date: comparison.new.date,
        })?);
        compared.identity = Some(identity(spec));
    }
    compared.comparison = Some(comparison);
    Ok(compared)
}
