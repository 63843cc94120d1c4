//! Templates and logo of a house style: what typst sees of them, what it says
//! about them, and what a paper must say however it is laid out.

use std::ops::Range;

use serde::{Deserialize, Serialize};
use typst::diag::SourceDiagnostic;
use typst::{World as _, WorldExt};
use typst_layout::PagedDocument;

use super::seen::seen;
use super::world::World;
use super::{Page, apart};
use crate::apart::{Apart, Work, ask};

/// The templates that a house style may replace. The marks and the strips are
/// not among them: a mark must look the same everywhere, and a strip measures.
pub const REPLACEABLE: &[&str] = &[
    "pages/procedure.typ",
    "pages/card.typ",
    "pages/confirm.typ",
    "pages/common.typ",
];

/// What of a house style goes into a PDF.
#[derive(Debug, Clone, Default)]
pub struct HouseFiles<'a> {
    /// Templates by their path, such as `pages/procedure.typ`.
    pub templates: Vec<(&'a str, &'a str)>,
    /// The virtual file of the logo, and its bytes.
    pub logo: Option<(String, &'a [u8])>,
    /// What lays out papers with something of a house, or of other PDFs, apart
    /// from this process; here without it.
    pub apart: Option<Apart>,
}

/// What a paper must say however a house lays it out.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
pub struct Required {
    /// On every page.
    pub everywhere: Vec<String>,
    /// Somewhere.
    pub somewhere: Vec<String>,
    /// Figures of one row each, in any order but with no other figure between.
    pub together: Vec<Vec<String>>,
    /// How many figures carry the verify mark.
    pub marks: usize,
}

/// What typst says about a template of a house.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct TemplateFault {
    /// The template, such as `pages/procedure.typ`.
    pub path: String,
    /// The bytes at fault.
    pub range: Option<Range<usize>>,
    /// What is wrong.
    pub message: String,
    /// What typst proposes.
    pub hints: Vec<String>,
}

impl HouseFiles<'_> {
    /// Whether the house lays out a page.
    pub(super) fn lays_out(&self, page: Page) -> Option<&str> {
        let own = page.path().trim_start_matches('/');
        let common = (page != Page::Card).then_some("pages/common.typ");
        let paths = self.templates.iter().map(|(path, _)| *path);
        paths
            .into_iter()
            .find(|path| *path == own || Some(*path) == common)
    }

    fn has(&self, path: &str) -> bool {
        self.templates.iter().any(|(known, _)| *known == path)
    }
}

/// The faults among typst's errors that lie in templates of the house, each
/// where the house's own lines come into it.
pub fn faults(
    world: &World,
    house: &HouseFiles<'_>,
    page: Page,
    errors: &[SourceDiagnostic],
) -> Vec<TemplateFault> {
    let Some(laid_out) = house.lays_out(page) else {
        return Vec::new();
    };
    let place = |span: typst::syntax::DiagSpan| {
        let id = span.id()?;
        let path = id.vpath().get_without_slash().to_owned();
        house.has(&path).then(|| (path, world.range(span)))
    };
    errors
        .iter()
        .map(|error| {
            let traced = || {
                let mut trace = error.trace.iter();
                trace.find_map(|traced| place(traced.span.into()))
            };
            // The house's templates are the only ones that are not tested, so
            // an error without a place is theirs too.
            let (path, range) = place(error.span)
                .or_else(traced)
                .unwrap_or_else(|| (laid_out.to_owned(), None));
            TemplateFault {
                path,
                range,
                message: error.message.to_string(),
                hints: error.hints.iter().map(|hint| hint.v.to_string()).collect(),
            }
        })
        .collect()
}

/// What a paper laid out by the house leaves out of what it must say.
pub fn left_out(
    document: &PagedDocument,
    house: &HouseFiles<'_>,
    page: Page,
    required: &Required,
) -> Vec<TemplateFault> {
    let Some(path) = house.lays_out(page) else {
        return Vec::new();
    };
    let (mut pages, mut figures, mut marks) = (Vec::new(), Vec::new(), 0);
    for page in document.pages() {
        let runs = seen(&page.frame);
        marks += runs.iter().filter(|run| *run == MARK).count();
        pages.push(runs.iter().map(|run| squeezed(run)).collect::<String>());
        figures.push(runs.iter().flat_map(|run| numbers(run)).collect::<Vec<_>>());
    }
    let mut messages = Vec::new();
    for words in &required.everywhere {
        let without = pages
            .iter()
            .position(|page| !page.contains(&squeezed(words)));
        if let Some(number) = without {
            messages.push(format!("page {} does not say: {words}", number + 1));
        }
    }
    for words in &required.somewhere {
        if !says(&pages, &squeezed(words)) {
            messages.push(format!("the paper does not say: {words}"));
        }
    }
    for row in &required.together {
        let wanted: Vec<_> = row.iter().flat_map(|text| numbers(text)).collect();
        if !figures.iter().any(|page| stand_together(page, &wanted)) {
            let row = row.join(", ");
            messages.push(format!("no page has these figures in one row: {row}"));
        }
    }
    if marks < required.marks {
        messages.push(format!(
            "{} figures are from memory, and only {marks} marks say so",
            required.marks
        ));
    }
    messages
        .into_iter()
        .map(|message| TemplateFault {
            path: path.to_owned(),
            range: None,
            message,
            hints: Vec::new(),
        })
        .collect()
}

/// What stands in the ring of the verify mark.
const MARK: &str = "?";

/// Whether the words stand on one page, or go on from one page to the next.
fn says(pages: &[String], words: &str) -> bool {
    let runs_on = |pair: &[String]| {
        let [one, next] = pair else { return false };
        words.char_indices().skip(1).any(|(at, _)| {
            let (head, tail) = words.split_at(at);
            one.contains(head) && next.contains(tail)
        })
    };
    pages.iter().any(|page| page.contains(words)) || pages.windows(2).any(runs_on)
}

/// The numbers of a text, as they are written.
fn numbers(text: &str) -> Vec<String> {
    let mut written = String::new();
    for c in text.chars() {
        match fraction(c) {
            Some(fraction) => written.extend([" ", fraction]),
            None => written.push(c),
        }
    }
    let of_number = |c: char| c.is_ascii_digit() || ".,/".contains(c);
    written
        .split(|c| !of_number(c))
        .map(|number| number.trim_matches(|c: char| !c.is_ascii_digit()))
        .filter(|number| !number.is_empty())
        .map(str::to_owned)
        .collect()
}

/// Whether a page has these numbers one after the other, in whatever order.
fn stand_together(page: &[String], wanted: &[String]) -> bool {
    let mut wanted = wanted.to_vec();
    wanted.sort_unstable();
    wanted.is_empty()
        || page.windows(wanted.len()).any(|row| {
            let mut row = row.to_vec();
            row.sort_unstable();
            row == wanted
        })
}

/// How a fraction is written that may be set as one sign.
fn fraction(c: char) -> Option<&'static str> {
    match c {
        '¼' => Some("1/4"),
        '½' => Some("1/2"),
        '¾' => Some("3/4"),
        _ => None,
    }
}

/// The characters of a text as they may be set: white space and hyphens apart,
/// since a template may break lines and set `1-1/4` as one sign.
fn squeezed(text: &str) -> String {
    let mut squeezed = String::new();
    for c in text.chars() {
        match fraction(c) {
            Some(fraction) => squeezed.push_str(fraction),
            None if c == '\u{200b}' || c == '-' || c.is_whitespace() => {}
            None => squeezed.push(c),
        }
    }
    squeezed
}

/// Tries whether typst can draw a logo; apart from this process, where there is
/// what does so.
///
/// # Errors
/// What typst says about it, and where in the file.
pub fn try_logo(path: &str, bytes: &[u8], apart: Option<Apart>) -> Result<(), TemplateFault> {
    if let Some(apart) = apart {
        let tried = ask(apart, Work::Logo, &path, &[bytes]);
        return tried.map_or_else(
            |why| Err(apart::stopped_logo(path, &why)),
            |(tried, _)| tried,
        );
    }
    let house = HouseFiles {
        templates: vec![],
        logo: Some((path.to_owned(), bytes)),
        apart: None,
    };
    let world = World::trial(
        &format!("#set page(width: 20mm, height: 20mm)\n#image(\"{path}\", height: 10mm)"),
        &house,
    );
    let result = typst::compile::<PagedDocument>(&world).output;
    let drawn = result.and_then(|document| {
        typst_pdf::pdf(&document, &typst_pdf::PdfOptions::default()).map(|_| ())
    });
    drawn.map_err(|errors| {
        let error = errors.first();
        let at = error.filter(|error| {
            error
                .span
                .id()
                .is_some_and(|id| id != world.main() && id.vpath().get_with_slash() == path)
        });
        TemplateFault {
            path: path.to_owned(),
            range: at.and_then(|error| world.range(error.span)),
            message: error.map_or_else(String::new, |error| error.message.to_string()),
            hints: Vec::new(),
        }
    })
}
