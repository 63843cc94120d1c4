//! Each page of a laid-out document as SVG at true size, from the same layout
//! as the PDF. An SVG has the same bytes on any machine.

use std::borrow::Cow;

use serde::{Deserialize, Serialize};
use typst::utils::hash128;
use typst_layout::{Page, PagedDocument};
use typst_svg::{SvgOptions, svg};

use super::repeats::share_repeats;
use super::runs::join_letters;
use crate::core::units::Length;

/// A page as SVG. Text is drawn as shapes, so the picture looks the same
/// everywhere and needs no font.
fn page_svg(page: &Page) -> String {
    svg(page, &SvgOptions::default())
}

/// A page that is drawn only when viewed: drawing takes 3 ms, and most pages of a
/// text being typed are never seen.
#[derive(Debug, Serialize, Deserialize)]
pub(crate) struct Picture {
    /// Equal for pages that look the same, within one run.
    pub(crate) id: String,
    pub(crate) width: Length,
    pub(crate) height: Length,
    drawing: Drawing,
}

#[derive(Debug, Serialize, Deserialize)]
enum Drawing {
    /// Stays in the process that laid it out.
    #[serde(skip)]
    LaidOut(Page),
    Drawn(String),
}

impl Picture {
    fn new(page: &Page) -> Self {
        let size = page.frame.size();
        Self {
            id: format!("{:032x}", hash128(page)),
            width: Length::from_mm(size.x.to_mm()),
            height: Length::from_mm(size.y.to_mm()),
            drawing: Drawing::LaidOut(page.clone()),
        }
    }

    /// A picture of each page, in order.
    pub(super) fn from_pages(document: &PagedDocument) -> Vec<Self> {
        document.pages().iter().map(Self::new).collect()
    }

    /// The page as SVG that browsers draw quickly.
    pub(crate) fn svg(&self) -> Cow<'_, str> {
        match &self.drawing {
            Drawing::LaidOut(page) => share_repeats(join_letters(&page_svg(page))).into(),
            Drawing::Drawn(svg) => svg.into(),
        }
    }

    /// Draws the page now, so it can be sent to another process.
    pub(crate) fn drawn(self) -> Self {
        Self {
            drawing: Drawing::Drawn(self.svg().into_owned()),
            ..self
        }
    }
}
