//! Pictures of pages that were drawn before: while somebody types, most pages
//! stay as they are, and drawing one takes longer than finding that out.

use std::collections::HashMap;
use std::mem;
use std::sync::{Arc, Mutex, PoisonError};

use serde::{Deserialize, Serialize};
use typst::utils::hash128;
use typst_layout::{Page, PagedDocument};

use super::picture::page_svg;
use crate::units::Length;

/// A page as a picture.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Picture {
    /// Two pictures that look the same have the same.
    pub id: String,
    /// Width of the page.
    pub width: Length,
    /// Height of the page.
    pub height: Length,
    /// The page as SVG.
    pub svg: String,
}

impl Picture {
    fn of(page: &Page) -> Self {
        let svg = page_svg(page);
        let size = page.frame.size();
        Self {
            id: format!("{:032x}", hash128(&svg)),
            width: Length::from_mm(size.x.to_mm()),
            height: Length::from_mm(size.y.to_mm()),
            svg,
        }
    }
}

type Pages = HashMap<u128, Arc<Picture>>;

/// The pictures of the last few papers, by what is on the page.
#[derive(Debug, Default)]
pub struct Drawn(Mutex<(Pages, Pages)>);

/// Most pages that are kept before those that were not seen since are let go.
const MOST: usize = 200;

impl Drawn {
    /// A picture of each page.
    pub(super) fn pages(&self, document: &PagedDocument) -> Vec<Arc<Picture>> {
        let pages = document.pages().iter();
        pages.map(|page| self.page(page)).collect()
    }

    fn page(&self, page: &Page) -> Arc<Picture> {
        let key = hash128(page);
        let mut drawn = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let (recent, earlier) = &mut *drawn;
        if let Some(picture) = recent.get(&key) {
            return Arc::clone(picture);
        }
        let picture = earlier.remove(&key).unwrap_or_else(|| Arc::new(Picture::of(page)));
        if recent.len() >= MOST {
            *earlier = mem::take(recent);
        }
        recent.insert(key, Arc::clone(&picture));
        picture
    }
}
