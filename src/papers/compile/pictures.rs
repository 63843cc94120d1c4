//! Previews a spec while it is being edited: findings first, then pages as
//! pictures, one paper after another, until the caller stops asking.
//!
//! Typst caches layouts by content and style, and thermal estimates are cached by
//! their input, so only what a keystroke changed is redone: 25 to 50 ms of a
//! procedure's 280. Anything that changes with every keystroke would defeat that.
//! So previews print "preview, unbuilt" in place of the digest, attach nothing,
//! and carry no metadata, and head and foot read their data from `/frame.json`,
//! because arguments of `set page` are style of every block.

use std::ops::ControlFlow;

use chrono::NaiveDate;

use super::in_house::house_findings;
use super::papers::{PaperBuilder, RequestedPaper};
use super::{Checked, Options, ParsedInputs, with_estimates};
use crate::core::source::Sources;
use crate::papers::sheets::PaperKind;
use crate::papers::typeset::{self, Picture, TypesetError};
use crate::process::socket::heat::advice::EstimateCache;
use crate::spec::language::Language;

/// Printed in place of the digest, because text that is being typed is not yet a
/// file. As long as a printed digest, so the card fills the same way.
const IN_PLACE_OF_DIGEST: &str = "preview, unbuilt";

/// Keeps the layouts of three papers in two languages for a few keystrokes, so an
/// undo costs nothing.
const REMEMBERED: usize = 12;

#[derive(Debug)]
pub(crate) struct PaperPictures {
    pub(crate) kind: PaperKind,
    /// Its language, if it is not the spec's first.
    pub(crate) further: Option<Language>,
    /// Its pages, or the reason it cannot be made.
    pub(crate) pages: Result<Vec<Picture>, String>,
}

/// A step of a preview, in the order it is sent.
#[derive(Debug)]
pub(crate) enum PreviewEvent<'a> {
    /// The findings. If there is an error, nothing follows. Sent again if a paper
    /// finds a fault in the house style.
    Checked(&'a Checked),
    /// The papers that will follow, in the order of [`PaperKind::ALL`].
    Papers(Vec<(PaperKind, Option<Language>)>),
    Paper(PaperPictures),
}

/// Checks a spec by all rules and, unless there is an error, draws its papers,
/// `first` before the others. `see` receives each event and returns whether to go
/// on. `cache` keeps thermal estimates between calls.
///
/// # Errors
/// [`TypesetError`] if one of our own templates fails.
pub(crate) fn pictures(
    sources: &Sources,
    options: &Options,
    as_of: NaiveDate,
    cache: &EstimateCache,
    first: (PaperKind, Option<Language>),
    mut see: impl FnMut(PreviewEvent<'_>) -> ControlFlow<()>,
) -> Result<(), TypesetError> {
    typeset::evict_unused(REMEMBERED);
    let inputs = ParsedInputs::read(sources, &options.languages);
    with_estimates(&inputs, sources, as_of, cache, |mut checked, whole| {
        if see(PreviewEvent::Checked(&checked)).is_break() {
            return Ok(());
        }
        let Some((procedure, advice)) = whole.filter(|_| !checked.has_error()) else {
            return Ok(());
        };
        let at_fault = {
            let builder =
                PaperBuilder::new(procedure, Some(advice), sources, &checked, options, &inputs);
            let builder = builder.preview(IN_PLACE_OF_DIGEST);
            paper_by_paper(&builder, first, &mut see)
        };
        if let Err(error) = at_fault {
            checked.findings.extend(house_findings(&inputs, error)?);
            let _ = see(PreviewEvent::Checked(&checked));
        }
        Ok(())
    })
}

fn paper_by_paper(
    builder: &PaperBuilder<'_>,
    first: (PaperKind, Option<Language>),
    see: &mut impl FnMut(PreviewEvent<'_>) -> ControlFlow<()>,
) -> Result<(), TypesetError> {
    let name = |requested: &RequestedPaper| (requested.kind, requested.further);
    let mut requested = builder.requested_papers();
    if see(PreviewEvent::Papers(requested.iter().map(name).collect())).is_break() {
        return Ok(());
    }
    requested.sort_by_key(|requested| name(requested) != first);
    for requested in requested {
        let pages = match builder.print(requested)? {
            Ok(print) => Ok(typeset::pictures(&print)?),
            Err((_, reason)) => Err(reason.into_owned()),
        };
        let paper = PaperPictures {
            kind: requested.kind,
            further: requested.further,
            pages,
        };
        if see(PreviewEvent::Paper(paper)).is_break() {
            break;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::digest::short;
    use crate::core::source::Source;

    const SPEC: &str = include_str!("../../../specs/hollow-creek-geothermal.yaml");

    /// The events of a preview, one word each, and the page IDs by paper.
    fn preview_events(
        text: &str,
        first: PaperKind,
        until: usize,
    ) -> (Vec<String>, Vec<(PaperKind, Vec<String>)>) {
        let sources = Sources::from(Source::new("spec.yaml", text));
        let options = Options {
            papers: PaperKind::ALL.to_vec(),
            ..Options::default()
        };
        let day = NaiveDate::default();
        let (mut words, mut papers) = (Vec::new(), Vec::new());
        let done = pictures(
            &sources,
            &options,
            day,
            &EstimateCache::default(),
            (first, None),
            |look| {
                words.push(match look {
                    PreviewEvent::Checked(_) => "checked".to_owned(),
                    PreviewEvent::Papers(names) => format!("{} papers", names.len()),
                    PreviewEvent::Paper(paper) => {
                        let pages = paper.pages.unwrap().into_iter();
                        papers.push((paper.kind, pages.map(|page| page.id).collect()));
                        format!("{:?}", paper.kind)
                    }
                });
                if words.len() < until {
                    ControlFlow::Continue(())
                } else {
                    ControlFlow::Break(())
                }
            },
        );
        done.unwrap();
        (words, papers)
    }

    #[test]
    fn findings_come_first_then_the_paper_in_view() {
        let (words, _) = preview_events(SPEC, PaperKind::Card, 9);
        let expected = [
            "checked",
            "5 papers",
            "Card",
            "Procedure",
            "Sources",
            "Lid",
            "DepthMarks",
        ];
        assert_eq!(words, expected);
    }

    #[test]
    fn the_preview_stops_when_the_caller_breaks() {
        for until in 1..6 {
            assert_eq!(
                preview_events(SPEC, PaperKind::DepthMarks, until).0.len(),
                until
            );
        }
    }

    #[test]
    fn nothing_is_pictured_of_a_spec_with_errors() {
        let wrong = SPEC.replace("500 °F", "900 °F");
        assert_eq!(preview_events(&wrong, PaperKind::Card, 9).0, ["checked"]);
    }

    #[test]
    fn a_comment_changes_no_page_though_it_changes_the_digest() {
        let (_, before) = preview_events(SPEC, PaperKind::Card, 9);
        let (_, after) = preview_events(&format!("{SPEC}# a remark\n"), PaperKind::Card, 9);
        assert_eq!(before, after);
    }

    #[test]
    fn the_word_for_the_digest_is_printed_whole() {
        assert_eq!(short(IN_PLACE_OF_DIGEST), IN_PLACE_OF_DIGEST);
        assert_eq!(IN_PLACE_OF_DIGEST.len(), short(&"0".repeat(64)).len());
    }
}
