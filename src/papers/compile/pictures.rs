//! Previews a spec while it is being edited: findings first, then pages as
//! pictures, one paper after another, until the caller takes no further step.
//!
//! Typst caches layouts by content and style, and thermal estimates are cached by
//! their input, so only what a keystroke changed is redone: 25 to 50 ms of a
//! procedure's 280. Anything that changes with every keystroke would defeat that.
//! So previews print "preview, unbuilt" in place of the digest, attach nothing,
//! and carry no metadata, and head and foot read their data from `/frame.json`,
//! because arguments of `set page` are style of every block.

use std::collections::VecDeque;

use chrono::NaiveDate;

use super::in_house::house_findings;
use super::papers::{PaperBuilder, RequestedPaper};
use super::{Checked, Options, ParsedInputs, with_estimates};
use crate::core::source::Sources;
use crate::papers::sheets::PaperKind;
use crate::papers::typeset::{self, Picture, TypesetError};
use crate::process::socket::heat::advice::{Advice, EstimateCache};
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

/// What a step of a preview made, in the order of the steps.
#[derive(Debug)]
pub(crate) enum PreviewEvent {
    /// The findings are known. If there is an error, nothing follows. Again if a paper
    /// finds a fault in the house style.
    Checked,
    /// The papers that will follow, in the order of [`PaperKind::ALL`].
    Papers(Vec<(PaperKind, Option<Language>)>),
    Paper(PaperPictures),
}

/// A spec that is checked by all rules and, unless there is an error, drawn paper by
/// paper. Between two steps its owner may drop it for a newer text.
#[derive(Debug)]
pub(crate) struct Preview {
    sources: Sources,
    options: Options,
    inputs: ParsedInputs,
    checked: Checked,
    /// Those that are still to be drawn.
    requested: VecDeque<RequestedPaper>,
    next: Step,
}

#[derive(Debug, Clone, Copy)]
enum Step {
    Check,
    List,
    Draw,
}

impl Preview {
    /// Reads the spec and the files it names.
    pub(crate) fn new(sources: Sources, options: Options) -> Self {
        typeset::evict_unused(REMEMBERED);
        let inputs = ParsedInputs::read(&sources, &options.languages);
        let checked = Checked {
            identity: None,
            spec_digest: String::new(),
            findings: Vec::new(),
        };
        Self {
            sources,
            options,
            inputs,
            checked,
            requested: VecDeque::new(),
            next: Step::Check,
        }
    }

    pub(crate) fn sources(&self) -> &Sources {
        &self.sources
    }

    /// The findings, after the first step.
    pub(crate) fn checked(&self) -> &Checked {
        &self.checked
    }

    /// Takes the next step; `None` after the last. `first` is the paper to draw before
    /// the others, and `cache` keeps thermal estimates between previews.
    ///
    /// # Errors
    /// [`TypesetError`] if one of our own templates fails.
    pub(crate) fn step(
        &mut self,
        first: (PaperKind, Option<Language>),
        as_of: NaiveDate,
        cache: &EstimateCache,
    ) -> Result<Option<PreviewEvent>, TypesetError> {
        match self.next {
            Step::Check => {
                self.check(as_of, cache);
                self.next = Step::List;
                Ok(Some(PreviewEvent::Checked))
            }
            Step::List if self.requested.is_empty() => Ok(None),
            Step::List => {
                let name = |requested: &RequestedPaper| (requested.kind, requested.further);
                let papers = self.requested.iter().map(name).collect();
                let requested = self.requested.make_contiguous();
                requested.sort_by_key(|requested| name(requested) != first);
                self.next = Step::Draw;
                Ok(Some(PreviewEvent::Papers(papers)))
            }
            Step::Draw => match self.requested.pop_front() {
                Some(requested) => self.draw(requested, cache).map(Some),
                None => Ok(None),
            },
        }
    }

    fn check(&mut self, as_of: NaiveDate, cache: &EstimateCache) {
        let Self {
            sources,
            options,
            inputs,
            ..
        } = &*self;
        let (checked, requested) =
            with_estimates(inputs, sources, as_of, cache, |checked, whole| {
                let whole = whole.filter(|_| !checked.has_error());
                let requested = whole.map_or_else(Vec::new, |(procedure, advice)| {
                    PaperBuilder::new(procedure, Some(advice), sources, &checked, options, inputs)
                        .requested_papers()
                });
                (checked, requested)
            });
        self.checked = checked;
        self.requested = requested.into();
    }

    fn draw(
        &mut self,
        requested: RequestedPaper,
        cache: &EstimateCache,
    ) -> Result<PreviewEvent, TypesetError> {
        match self.drawn(requested, cache) {
            Ok(pages) => Ok(PreviewEvent::Paper(PaperPictures {
                kind: requested.kind,
                further: requested.further,
                pages,
            })),
            Err(error) => {
                let found = house_findings(&self.inputs, error)?;
                self.checked.findings.extend(found);
                self.requested.clear();
                Ok(PreviewEvent::Checked)
            }
        }
    }

    /// The pages of a paper, or the reason it cannot be made.
    fn drawn(
        &self,
        requested: RequestedPaper,
        cache: &EstimateCache,
    ) -> Result<Result<Vec<Picture>, String>, TypesetError> {
        // Papers are only requested of a spec that was read.
        let Some(procedure) = self.inputs.procedure() else {
            return Ok(Ok(Vec::new()));
        };
        // One paper prints it.
        let advice =
            (requested.kind == PaperKind::Sources).then(|| Advice::with_cache(&procedure, cache));
        let builder = PaperBuilder::new(
            &procedure,
            advice.as_ref(),
            &self.sources,
            &self.checked,
            &self.options,
            &self.inputs,
        );
        Ok(
            match builder.preview(IN_PLACE_OF_DIGEST).print(requested)? {
                Ok(print) => Ok(typeset::pictures(&print)?),
                Err((_, reason)) => Err(reason.into_owned()),
            },
        )
    }
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
        let cache = EstimateCache::default();
        let mut preview = Preview::new(sources, options);
        while words.len() < until
            && let Some(event) = preview.step((first, None), day, &cache).unwrap()
        {
            words.push(match event {
                PreviewEvent::Checked => "checked".to_owned(),
                PreviewEvent::Papers(names) => format!("{} papers", names.len()),
                PreviewEvent::Paper(paper) => {
                    let pages = paper.pages.unwrap().into_iter();
                    papers.push((paper.kind, pages.map(|page| page.id).collect()));
                    format!("{:?}", paper.kind)
                }
            });
        }
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
