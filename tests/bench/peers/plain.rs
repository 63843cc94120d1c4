//! Typesets a plain document with the typst that coldring is built with: the same
//! version, fonts, allocator and kind of PDF, and no template. Takes the text and where
//! the PDF goes.

#![allow(
    clippy::expect_used,
    reason = "a bench ends where something is not as it says"
)]

use std::sync::LazyLock;
use std::{env, fs};

use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards, Timestamp};

#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

static LIBRARY: LazyLock<LazyHash<Library>> = LazyLock::new(|| LazyHash::new(Library::default()));
static FONTS: LazyLock<(LazyHash<FontBook>, Vec<Font>)> = LazyLock::new(|| {
    let files: [&'static [u8]; 6] = [
        notosans::REGULAR_TTF,
        notosans::BOLD_TTF,
        notosans::ITALIC_TTF,
        notosans::BOLD_ITALIC_TTF,
        dejavu::sans::regular(),
        dejavu::sans::bold(),
    ];
    let fonts = files
        .into_iter()
        .flat_map(|data| Font::iter(Bytes::new(data)));
    let fonts: Vec<Font> = fonts.collect();
    (LazyHash::new(FontBook::from_fonts(&fonts)), fonts)
});

struct Document(Source);

impl World for Document {
    fn library(&self) -> &LazyHash<Library> {
        &LIBRARY
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &FONTS.0
    }

    fn main(&self) -> FileId {
        self.0.id()
    }

    fn source(&self, _: FileId) -> FileResult<Source> {
        Ok(self.0.clone())
    }

    fn file(&self, _: FileId) -> FileResult<Bytes> {
        Err(FileError::AccessDenied)
    }

    fn font(&self, index: usize) -> Option<Font> {
        FONTS.1.get(index).cloned()
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}

fn main() {
    // Cargo adds `--bench` to what it is told.
    let mut arguments = env::args().skip(1).filter(|argument| argument != "--bench");
    let (Some(text), Some(pdf)) = (arguments.next(), arguments.next()) else {
        println!("started by tests/bench/peers/run");
        return;
    };
    let text = fs::read_to_string(text).expect("a text");
    let path = VirtualPath::new("/main.typ").expect("a path");
    let main = RootedPath::new(VirtualRoot::Project, path).intern();
    let document = typst::compile::<PagedDocument>(&Document(Source::new(main, text)));
    let document = document.output.expect("a document");
    let standards = [PdfStandard::A_3a, PdfStandard::Ua_1];
    let options = PdfOptions {
        standards: PdfStandards::new(&standards).expect("standards that agree"),
        timestamp: Datetime::from_ymd_hms(2026, 11, 25, 0, 0, 0).map(Timestamp::new_utc),
        ..PdfOptions::default()
    };
    let bytes = typst_pdf::pdf(&document, &options).expect("a PDF");
    fs::write(pdf, bytes).expect("a file to write");
}
