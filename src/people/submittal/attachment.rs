//! Inspects an attached PDF: whether its pages can be placed, and what would be lost. It
//! is read by the reader that typst uses and by a second, stricter one, because the first
//! turns damaged pages into blank ones.

use hayro::hayro_syntax::{LoadPdfError, Pdf};
use lopdf::{Dictionary, Document, LoadOptions, Object, xref::XrefRecovery};
use serde::{Deserialize, Serialize};

use crate::core::budget::{ATTACHMENT_BYTES, UNPACKED_BYTES};
use crate::core::pdf_parts::endless;
use crate::core::source::Unavailable;

use super::content;
use super::streams::damage;

/// Maximum number of pages.
pub(crate) const MOST_PAGES: usize = 500;

/// A PDF that can be placed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Attachment {
    /// The file.
    pub(crate) bytes: Vec<u8>,
    pub(crate) pages: Pages,
}

/// The pages of a PDF that can be placed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Pages {
    /// Number of pages.
    pub count: usize,
    /// Numbers of the pages, from 1, with stamps, comments, or form fields on top. Only
    /// what is part of the page itself can be placed.
    pub overlaid: Vec<usize>,
}

/// Why a PDF cannot be placed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum Fault {
    /// It is unavailable.
    Unavailable(Unavailable),
    /// It is larger than [`ATTACHMENT_BYTES`].
    TooLarge,
    /// It has this many pages, more than [`MOST_PAGES`].
    TooManyPages(usize),
    /// It does not start like a PDF.
    NotPdf,
    /// It is encrypted, with a password or without.
    Encrypted,
    /// It has no bytes or no page.
    Empty,
    /// It starts like a PDF but cannot be read, with the reason.
    Damaged(String),
    /// Placing it was stopped, with the reason.
    Stopped(String),
}

/// Inspects a file to be attached.
///
/// # Errors
/// Why it cannot be placed.
pub fn inspect(bytes: &[u8]) -> Result<Pages, Fault> {
    if bytes.len() > ATTACHMENT_BYTES {
        return Err(Fault::TooLarge);
    }
    if bytes.is_empty() {
        return Err(Fault::Empty);
    }
    // The header may follow other bytes; common practice is to look in the first 1024.
    let head = bytes.get(..1024).unwrap_or(bytes);
    if !head.windows(5).any(|window| window == b"%PDF-") {
        return Err(Fault::NotPdf);
    }
    let placing = Pdf::new(bytes.to_vec());
    let options = LoadOptions::with_max_decompressed_size(UNPACKED_BYTES);
    let document = Document::load_mem_with_options(bytes, options);
    // A file with an empty password could be placed, but whoever encrypted it did not
    // want its pages taken out.
    let is_encrypted = |of: &Document| of.was_encrypted() || of.trailer.has(b"Encrypt");
    let encrypted = document.as_ref().is_ok_and(is_encrypted);
    if encrypted || matches!(placing, Err(LoadPdfError::Decryption(_))) {
        return Err(Fault::Encrypted);
    }
    let placing = placing.map_err(|_| Fault::Damaged("its pages cannot be found".to_owned()))?;
    let pages = placing.pages().len();
    let document = document.map_err(|error| Fault::Damaged(error.to_string()))?;
    if document.xref_recovery == Some(XrefRecovery::Reconstructed) {
        let reason = "its table of objects cannot be read, so some may be missing";
        return Err(Fault::Damaged(reason.to_owned()));
    }
    let listed = document.get_pages();
    if pages == 0 {
        return Err(Fault::Empty);
    }
    if listed.len() != pages {
        return Err(Fault::Damaged(format!(
            "it can be read as {} pages and as {pages}",
            listed.len()
        )));
    }
    if pages > MOST_PAGES {
        return Err(Fault::TooManyPages(pages));
    }
    if let Some(why) = damage(&document, &placing) {
        return Err(Fault::Damaged(why));
    }
    let mut overlaid = Vec::new();
    let mut drawn = content::PageChecker::new(&document);
    for (page, id) in listed.values().enumerate() {
        let number = page + 1;
        if has_unreadable_content(&document, *id) {
            let reason = format!("what page {number} shows cannot be read");
            return Err(Fault::Damaged(reason));
        }
        if let Some(why) = endless(&document, *id) {
            return Err(Fault::Damaged(format!("page {number} {why}")));
        }
        if let Some(why) = drawn.damage(*id) {
            return Err(Fault::Damaged(format!("page {number} {why}")));
        }
        let dictionary = document.get_dictionary(*id).ok();
        if dictionary.is_some_and(|page| is_overlaid(&document, page)) {
            overlaid.push(number);
        }
    }
    Ok(Pages {
        count: pages,
        overlaid,
    })
}

/// Whether the page has a content stream that cannot be unpacked.
fn has_unreadable_content(document: &Document, page: lopdf::ObjectId) -> bool {
    document.get_page_contents(page).into_iter().any(|id| {
        let stream = document.get_object(id).and_then(Object::as_stream);
        stream.is_ok_and(|stream| {
            let unpacked = || stream.decompressed_content_with_limit(UNPACKED_BYTES);
            stream.dict.has(b"Filter") && unpacked().is_err()
        })
    })
}

/// Whether the page has annotations other than links.
fn is_overlaid(document: &Document, page: &Dictionary) -> bool {
    let followed = |object| document.dereference(object).ok().map(|(_, object)| object);
    let annotations = page.get(b"Annots").ok().and_then(followed);
    let Some(annotations) = annotations.and_then(|list| list.as_array().ok()) else {
        return false;
    };
    annotations.iter().any(|annotation| {
        let annotation = followed(annotation).and_then(|object| object.as_dict().ok());
        let kind = annotation.and_then(|dictionary| dictionary.get(b"Subtype").ok());
        let kind = kind.and_then(|kind| kind.as_name().ok());
        kind.is_some_and(|kind| kind != b"Link" && kind != b"Popup")
    })
}
