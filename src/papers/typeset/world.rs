//! The files typst can see: embedded templates and fonts, and two data files.

use std::path::PathBuf;
use std::sync::{LazyLock, OnceLock};

use serde::Deserialize;
use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt};

use super::{Print, once, pinned, plain};
use crate::core::sandbox::Sandbox;
use crate::papers::fonts::FONTS;

/// The templates by import path: the files of `templates/pages` and
/// `templates/figures`, listed by `build.rs`.
const TEMPLATES: &[(&str, &str)] = &include!(concat!(env!("OUT_DIR"), "/templates.rs"));

/// A template, parsed on first use: no paper needs all, and one run may typeset
/// cards in many files.
struct Template {
    id: FileId,
    text: &'static str,
    parsed: OnceLock<Source>,
}

static PARSED: LazyLock<Vec<Template>> = LazyLock::new(|| {
    let all = TEMPLATES.iter();
    all.map(|(path, text)| Template {
        id: file(path),
        text,
        parsed: OnceLock::new(),
    })
    .collect()
});

fn template(id: FileId) -> Option<Source> {
    let template = PARSED.iter().find(|template| template.id == id)?;
    let parse = || Source::new(id, template.text.to_owned());
    Some(template.parsed.get_or_init(parse).clone())
}

/// The standard library, and what templates ask of this program. It is the same for
/// every paper and costly to build, so it is built once.
static LIBRARY: LazyLock<LazyHash<Library>> = LazyLock::new(|| {
    let mut library = Library::default();
    let global = library.global.scope_mut();
    global.define("plain", plain::function());
    global.define("once", once::function());
    for (name, function) in pinned::functions() {
        global.define(name, function);
    }
    LazyHash::new(library)
});

/// The parts of a house style that go into a PDF.
#[derive(Debug, Clone, Default)]
pub struct HouseFiles<'a> {
    /// Virtual path and bytes of the logo.
    pub logo: Option<(String, &'a [u8])>,
    /// The sandbox for papers with a house logo or pages of other PDFs; without
    /// one they are laid out in this process.
    pub sandbox: Option<Sandbox>,
}

/// The virtual file system of one paper.
pub(crate) struct World {
    main: FileId,
    files: Vec<(FileId, Bytes)>,
    /// Source files besides the built-in templates.
    sources: Vec<Source>,
}

impl World {
    pub(crate) fn for_print(print: &Print<'_>) -> Self {
        let mut world = Self::new(print.page.path(), print.sheet.clone(), &print.attached);
        let code = print.code.iter();
        world
            .files
            .extend(code.map(|png| (file("/code.png"), Bytes::new(png.clone()))));
        world.with_logo(&print.house)
    }

    /// A world whose main file is the template at `main`.
    ///
    /// `/attached.json` lists the names of the attachments.
    pub(crate) fn new(main: &str, sheet: String, attached: &[(String, &[u8])]) -> Self {
        let names: Vec<_> = attached.iter().map(|(name, _)| name).collect();
        let names = serde_json::json!(names).to_string();
        let text = |name: &str, text: String| (file(name), Bytes::from_string(text));
        let mut files = vec![
            text("/frame.json", frame(&sheet)),
            text("/sheet.json", sheet),
            text("/attached.json", names),
        ];
        files.extend(attached.iter().map(|(name, content)| {
            let content = Bytes::new(content.to_vec());
            (file(&format!("/attached/{name}")), content)
        }));
        Self {
            main: file(main),
            files,
            sources: Vec::new(),
        }
    }
}

impl World {
    pub(crate) fn with_logo(mut self, house: &HouseFiles<'_>) -> Self {
        let logo = house.logo.iter();
        self.files
            .extend(logo.map(|(path, bytes)| (file(path), Bytes::new(bytes.to_vec()))));
        self
    }

    /// A world with one source text, to test a part of a house style.
    pub(crate) fn with_text(text: &str, house: &HouseFiles<'_>) -> Self {
        Self::from_text(text).with_logo(house)
    }

    /// A world with one source text and one file, to test whether it can be
    /// placed.
    pub(crate) fn with_file(text: &str, path: &str, bytes: &[u8]) -> Self {
        let mut world = Self::from_text(text);
        world.files.push((file(path), Bytes::new(bytes.to_vec())));
        world
    }

    fn from_text(text: &str) -> Self {
        let main = file("/trial.typ");
        Self {
            main,
            files: Vec::new(),
            sources: vec![Source::new(main, text.to_owned())],
        }
    }
}

/// The frame of a sheet as a file of its own. What a template passes to `set
/// page` becomes part of the style of everything after it, so a changed letter in
/// the title would lay out every block again.
fn frame(sheet: &str) -> String {
    #[derive(Deserialize)]
    struct Framed {
        frame: serde_json::Value,
    }
    let framed: Result<Framed, _> = serde_json::from_str(sheet);
    framed.map_or_else(|_| "null".to_owned(), |framed| framed.frame.to_string())
}

/// The ID of a virtual file; the same path always has the same ID.
fn file(path: &str) -> FileId {
    // Our own constants, or a path ending in the name of a house file, which was
    // opened only because it has no `..` and no backslash.
    let path = VirtualPath::new(path).unwrap_or_else(|_| panic!("{path} is not a path"));
    RootedPath::new(VirtualRoot::Project, path).intern()
}

fn not_found(id: FileId) -> FileError {
    FileError::NotFound(PathBuf::from(id.vpath().get_with_slash()))
}

impl typst::World for World {
    fn library(&self) -> &LazyHash<Library> {
        &LIBRARY
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &FONTS.0
    }

    fn main(&self) -> FileId {
        self.main
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        self.sources
            .iter()
            .find(|source| source.id() == id)
            .cloned()
            .or_else(|| template(id))
            .ok_or_else(|| not_found(id))
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        self.files
            .iter()
            .find(|(known, _)| *known == id)
            .map(|(_, bytes)| bytes.clone())
            .ok_or_else(|| not_found(id))
    }

    fn font(&self, index: usize) -> Option<Font> {
        FONTS.1.get(index).cloned()
    }

    // A paper never prints the day it was made.
    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}
