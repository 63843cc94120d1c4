//! Reads an untrusted PDF within limits: its attachments and the metadata it
//! claims. Bytes, unpacked bytes, attached files, and pages are bounded; a page
//! whose parts draw each other without end is refused; and so is a file in
//! which two readings of one name differ.

use lopdf::{Dictionary, Document, LoadOptions, Object, decode_text_string};
use serde::{Deserialize, Serialize};

use super::picture::{has_image, is_picture};
use super::scan::MOST_PAGES;
use crate::core::budget::{SPEC, UNPACKED_BYTES};
use crate::core::pdf_parts::endless;

/// Maximum number of attached files; a procedure has a handful.
const MOST_ATTACHED: usize = 64;
/// Maximum depth of the name tree.
const DEEPEST: usize = 8;

/// The parts of a PDF that verification uses.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub(crate) struct Pdf {
    /// The file.
    #[serde(skip)]
    pub(crate) bytes: Vec<u8>,
    /// Attached files by name.
    #[serde(skip)]
    pub(crate) attached: Vec<(String, Vec<u8>)>,
    /// Its declared language tag.
    pub(crate) language: String,
    /// Width and height of its first page, in points.
    pub(crate) page: Option<(f32, f32)>,
    /// Page numbers, from 1, that are pictures.
    pub(crate) pictures: Vec<usize>,
    /// Page numbers, from 1, that draw an image: a code or a scan.
    #[serde(skip)]
    pub(crate) with_images: Vec<usize>,
    /// The program that claims to have made it.
    pub(crate) creator: String,
    pub(crate) keywords: String,
}

impl Pdf {
    /// Reads a file.
    ///
    /// # Errors
    /// Why it cannot be read, in words that follow the file's name.
    pub(crate) fn read(bytes: Vec<u8>) -> Result<Self, String> {
        let options = LoadOptions::with_max_decompressed_size(UNPACKED_BYTES);
        let document = Document::load_mem_with_options(&bytes, options).map_err(|error| {
            if error.to_string().to_lowercase().contains("password") {
                ENCRYPTED.to_owned()
            } else {
                format!("it is not a PDF that can be read: {error}")
            }
        })?;
        if document.is_encrypted() || document.encryption_state.is_some() {
            return Err(ENCRYPTED.to_owned());
        }
        let reader = Reader(&document);
        let (mut pictures, mut with_images) = (Vec::new(), Vec::new());
        for (number, page) in (1..=MOST_PAGES).zip(document.page_iter()) {
            if let Some(why) = endless(&document, page) {
                return Err(format!("page {number} {why}"));
            }
            if has_image(&document, page) {
                with_images.push(number);
            }
            let size = reader.media_box(page);
            if size.is_some_and(|size| is_picture(&document, page, size)) {
                pictures.push(number);
            }
        }
        let attached = reader.attached()?;
        let info = reader.entry(&document.trailer, b"Info");
        let info = info.and_then(|info| info.as_dict().ok());
        let of_info = |key: &[u8]| {
            let text = info.and_then(|info| reader.entry(info, key));
            text.and_then(|text| decode_text_string(text).ok())
                .unwrap_or_default()
        };
        let language = document.catalog().ok();
        let language = language.and_then(|catalog| reader.entry(catalog, b"Lang"));
        let language = language.and_then(|lang| decode_text_string(lang).ok());
        let page = document
            .page_iter()
            .next()
            .and_then(|page| reader.media_box(page));
        Ok(Self {
            attached,
            language: language.unwrap_or_default(),
            page,
            pictures,
            with_images,
            creator: of_info(b"Creator"),
            keywords: of_info(b"Keywords"),
            bytes,
        })
    }

    pub(crate) fn attached_text(&self, name: &str) -> Option<&str> {
        let (_, bytes) = self.attached.iter().find(|(known, _)| known == name)?;
        std::str::from_utf8(bytes).ok()
    }
}

const ENCRYPTED: &str = "it is encrypted; save a copy without a password, or print and scan it";

struct Reader<'a>(&'a Document);

impl<'a> Reader<'a> {
    fn resolved(&self, object: &'a Object) -> Option<&'a Object> {
        Some(self.0.dereference(object).ok()?.1)
    }

    fn entry(&self, dictionary: &'a Dictionary, key: &[u8]) -> Option<&'a Object> {
        self.resolved(dictionary.get(key).ok()?)
    }

    fn sub(&self, dictionary: &'a Dictionary, key: &[u8]) -> Option<&'a Dictionary> {
        self.entry(dictionary, key)?.as_dict().ok()
    }

    fn media_box(&self, page: lopdf::ObjectId) -> Option<(f32, f32)> {
        let mut node = self.0.get_dictionary(page).ok()?;
        for _ in 0..DEEPEST {
            if let Some(corners) = self.entry(node, b"MediaBox") {
                let corners = corners.as_array().ok()?.iter();
                let corners: Vec<f32> = corners.filter_map(|c| c.as_float().ok()).collect();
                let [left, low, right, high] = corners.as_slice() else {
                    return None;
                };
                return Some((right - left, high - low));
            }
            node = self.sub(node, b"Parent")?;
        }
        None
    }

    /// The attached files by the names PDF readers show.
    fn attached(&self) -> Result<Vec<(String, Vec<u8>)>, String> {
        let mut files = Vec::new();
        let tree = self.0.catalog().ok();
        let tree = tree.and_then(|catalog| self.sub(catalog, b"Names"));
        if let Some(tree) = tree.and_then(|names| self.sub(names, b"EmbeddedFiles")) {
            self.names(tree, DEEPEST, &mut files)?;
        }
        for (i, (name, _)) in files.iter().enumerate() {
            if files.iter().take(i).any(|(before, _)| before == name) {
                return Err(format!(
                    "two attached files are called {name:?}, so no reader can tell which is meant"
                ));
            }
        }
        Ok(files)
    }

    fn names(
        &self,
        tree: &'a Dictionary,
        deeper: usize,
        files: &mut Vec<(String, Vec<u8>)>,
    ) -> Result<(), String> {
        let array = |key: &[u8]| {
            let items = self
                .entry(tree, key)
                .and_then(|items| items.as_array().ok());
            items.map_or(&[][..], Vec::as_slice)
        };
        for file in array(b"Names").chunks(2).filter_map(|pair| pair.get(1)) {
            let Some(file) = self.resolved(file).and_then(|file| file.as_dict().ok()) else {
                continue;
            };
            if files.len() == MOST_ATTACHED {
                return Err(format!("more than {MOST_ATTACHED} files are attached"));
            }
            files.push(self.file(file)?);
        }
        for kid in array(b"Kids") {
            let kid = self.resolved(kid).and_then(|kid| kid.as_dict().ok());
            match kid {
                Some(kid) if deeper > 0 => self.names(kid, deeper - 1, files)?,
                _ => return Err("its list of attached files is broken".to_owned()),
            }
        }
        Ok(())
    }

    fn file(&self, file: &'a Dictionary) -> Result<(String, Vec<u8>), String> {
        let text = |key: &[u8]| decode_text_string(self.entry(file, key)?).ok();
        let name = text(b"UF").or_else(|| text(b"F")).unwrap_or_default();
        // Typst uses the path as the name.
        let name = name.strip_prefix("attached/").unwrap_or(&name).to_owned();
        let streams = self.sub(file, b"EF");
        let content = |key: &[u8]| {
            let stream = self.entry(streams?, key)?.as_stream().ok()?;
            Some(stream.decompressed_content_with_limit(SPEC.bytes))
        };
        let read = |content: lopdf::Result<Vec<u8>>| {
            content.map_err(|error| format!("the attached file {name:?} cannot be read: {error}"))
        };
        // PDF readers differ in which of the two they show.
        let (one, other) = (content(b"F").map(read), content(b"UF").map(read));
        let (one, other) = (one.transpose()?, other.transpose()?);
        let content = match (one, other) {
            (Some(one), Some(other)) if one != other => {
                return Err(format!(
                    "the attached file {name:?} has two contents, so no reader can tell which is meant"
                ));
            }
            (Some(content), _) | (None, Some(content)) => content,
            (None, None) => return Err(format!("the attached file {name:?} has no content")),
        };
        Ok((name, content))
    }
}
