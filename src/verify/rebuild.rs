//! Rebuilds a paper from the signed spec: its pages are proven if the same file comes
//! out, byte for byte. The file does not record its options, so all that could have
//! produced it are tried.

use chrono::NaiveDate;

use super::{Check, Pdf, Verdict};
use crate::core::source::Sources;
use crate::papers::compile::{Options, PaperKind, compile};
use crate::proof::{Seal, Statement};
use crate::published::library;
use crate::spec::language::Language;
use crate::spec::{CardTrim, Flip, Paper};

/// The creator this program writes into its files.
const CREATOR: &str = concat!("coldring ", env!("CARGO_PKG_VERSION"));

/// Checks that the spec produces exactly this file.
pub(super) fn pages(
    pdf: &Pdf,
    statement: &Statement,
    sources: &Sources,
    as_of: NaiveDate,
) -> Check {
    let check = |verdict, message: &str| Check::new("pages", verdict, message);
    let Some(kind) = PaperKind::from_subject(statement.claim.subject) else {
        return check(Verdict::Unchecked, "wallet cards are not made again");
    };
    let tables = library().version();
    // Every file of this program contains both, so another version's file cannot match.
    if pdf.creator != CREATOR {
        let message = match pdf.creator.strip_prefix("coldring ") {
            Some(version) => format!(
                "NOT PROVEN: the file says that version {:?} of this program made it, which alone \
                 can make it again; this is {CREATOR}",
                version.chars().take(20).collect::<String>()
            ),
            None => "NOT PROVEN: not a file that this program wrote, but at best a copy of one, \
                     whose pages may have been changed; compare it with one from the organization"
                .to_owned(),
        };
        return check(Verdict::Missing, &message);
    }
    if !pdf.keywords.contains(tables) {
        let message = format!(
            "NOT PROVEN: the file does not say that it was made with the tables {tables} of this \
             program, so it cannot be made again here; compare it with one from the organization"
        );
        return check(Verdict::Missing, &message);
    }
    let mut made = false;
    for options in candidate_options(pdf, kind, &statement.text) {
        let Ok(outcome) = compile(sources, &options, as_of) else {
            continue;
        };
        made |= !outcome.papers.is_empty();
        if outcome.papers.iter().any(|paper| paper.bytes == pdf.bytes) {
            let message = "made again from the spec, the file is the same byte for byte";
            return check(Verdict::Proven, message);
        }
    }
    check(
        Verdict::Missing,
        match (made, kind) {
            (false, _) => {
                "NOT PROVEN: this program makes no such paper from the spec; run `coldring check` on it to see why"
            }
            (true, PaperKind::DepthMarks) => {
                "NOT PROVEN: made again from the spec, the file is another one. Its pages may have \
                 been changed; it may be a copy, set in a house style (--house), or corrected for \
                 a printer, which is not made again. Compare it with one from the organization"
            }
            (true, _) => {
                "NOT PROVEN: made again from the spec, the file is another one. Its pages may have \
                 been changed; it may be a copy, or set in a house style (--house). Compare it \
                 with one from the organization"
            }
        },
    )
}

/// All options that could have produced the paper: paper by page size, language by the
/// file, and every card size and turn.
fn candidate_options(pdf: &Pdf, kind: PaperKind, text: &str) -> Vec<Options> {
    let Some(paper) = paper(pdf) else {
        return Vec::new();
    };
    let Some(language) = Language::all().find(|l| l.tag() == pdf.language) else {
        return Vec::new();
    };
    let others = Language::all().filter(|other| *other != language);
    // The language alone, first of two, or second of two.
    let mut languages = vec![vec![language]];
    for other in others {
        languages.push(vec![language, other]);
        languages.push(vec![other, language]);
    }
    let (trims, flips) = match kind {
        PaperKind::Card => (
            vec![CardTrim::Id1, CardTrim::Id2, CardTrim::Id3],
            vec![Flip::Long, Flip::Short, Flip::Fold],
        ),
        // These do not affect other papers.
        _ => (vec![CardTrim::default()], vec![Flip::default()]),
    };
    let mut candidate_options = Vec::new();
    for languages in languages {
        for trim in &trims {
            candidate_options.extend(flips.iter().map(|flip| Options {
                papers: vec![kind],
                paper: Some(paper),
                card_trim: Some(*trim),
                flip: Some(*flip),
                languages: languages.clone(),
                seal: Some(Seal::Read(text.to_owned())),
                ..Options::default()
            }));
        }
    }
    candidate_options
}

/// The paper with the size of the first page, in either orientation.
fn paper(pdf: &Pdf) -> Option<Paper> {
    let (width, height) = pdf.page?;
    let (short, long) = (width.min(height), width.max(height));
    let known = [(Paper::Letter, 612.0, 792.0), (Paper::A4, 595.28, 841.89)];
    let found = known
        .into_iter()
        .find(|(_, across, along)| (short - across).abs() < 1.0 && (long - along).abs() < 1.0);
    found.map(|(paper, _, _)| paper)
}
