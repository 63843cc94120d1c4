//! What typst may see: the embedded templates and fonts, and two data files.

use std::path::PathBuf;
use std::sync::{LazyLock, OnceLock};

use serde::Deserialize;
use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::layout::Abs;
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook, FontInstance, FontStyle, FontVariations, FontWeight};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt};

use super::Print;
use crate::core::sandbox::Sandbox;
use crate::core::units::Length;

/// The templates, by the path they import each other with: each file of
/// `templates/pages` and `templates/figures`, which `build.rs` lists.
const TEMPLATES: &[(&str, &str)] = &include!(concat!(env!("OUT_DIR"), "/templates.rs"));

/// A template of the program, parsed when a paper first needs it: no paper needs
/// all, and cards are typeset in many files of one run.
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

/// The program's template of this id.
fn template(id: FileId) -> Option<Source> {
    let template = PARSED.iter().find(|template| template.id == id)?;
    let parse = || Source::new(id, template.text.to_owned());
    Some(template.parsed.get_or_init(parse).clone())
}

/// The standard library and the fonts are the same for every paper and costly
/// to make, so they are made once.
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
    let fonts: Vec<Font> = files
        .into_iter()
        .flat_map(|data| Font::iter(Bytes::new(data)))
        .collect();
    (LazyHash::new(FontBook::from_fonts(&fonts)), fonts)
});

/// A face of the papers' typeface, for pages on a screen that are to look like
/// them: `regular` or `bold`.
pub(crate) fn page_fonts(name: &str) -> Option<&'static [u8]> {
    match name {
        "regular" => Some(notosans::REGULAR_TTF),
        "bold" => Some(notosans::BOLD_TTF),
        _ => None,
    }
}

/// Whether one of the embedded fonts has a glyph for `c`.
pub(crate) fn can_draw(c: char) -> bool {
    FONTS
        .1
        .iter()
        .any(|font| font.info().coverage.contains(u32::from(c)))
}

/// The upright bold faces, in the order that text falls back on them.
static BOLD: LazyLock<Vec<FontInstance>> = LazyLock::new(|| {
    let bold = |font: &&Font| {
        let variant = font.info().variant;
        variant.weight == FontWeight::BOLD && variant.style == FontStyle::Normal
    };
    let plain = FontVariations::default();
    let fonts = FONTS.1.iter().filter(bold).cloned();
    fonts
        .map(|font| {
            let variant = font.info().variant;
            font.instantiate(variant, Abs::zero(), &plain)
        })
        .collect()
});

/// How wide a line of bold text comes out at a size in points, without kerning,
/// which makes it narrower as a rule.
pub(crate) fn line_width(text: &str, size_pt: f64) -> Length {
    const MM_PER_POINT: f64 = 25.4 / 72.0;
    let advance = |c: char| {
        // The templates leave the backtick to the second face.
        let faces = BOLD.iter().skip(usize::from(c == '`'));
        let mut glyphs = faces.filter_map(|font| {
            let glyph = font.ttf().glyph_index(c)?;
            font.x_advance(glyph.0)
        });
        // A character of none of them is set in a face that is no wider.
        glyphs.next().map_or(1.0, |width| width.get())
    };
    let ems: f64 = text.chars().map(advance).sum();
    Length::from_mm(ems * size_pt * MM_PER_POINT)
}

/// What of a house style goes into a PDF.
#[derive(Debug, Clone, Default)]
pub struct HouseFiles<'a> {
    /// The virtual file of the logo, and its bytes.
    pub logo: Option<(String, &'a [u8])>,
    /// What lays out papers with something of a house, or of other PDFs, apart
    /// from this process; here without it.
    pub sandbox: Option<Sandbox>,
}

/// The virtual file system of one paper.
pub(crate) struct World {
    main: FileId,
    files: Vec<(FileId, Bytes)>,
    /// What stands beside the program's templates.
    sources: Vec<Source>,
}

impl World {
    /// The world of a paper.
    pub(crate) fn for_print(print: &Print<'_>) -> Self {
        let mut world = Self::new(print.page.path(), print.sheet.clone(), &print.attached);
        let code = print.code.iter();
        world
            .files
            .extend(code.map(|png| (file("/code.png"), Bytes::new(png.clone()))));
        world.in_house(&print.house)
    }

    /// A world whose main file is the template at `main`.
    ///
    /// The names of what is attached are listed in `/attached.json`.
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
    /// The same world with the logo of a house.
    pub(crate) fn in_house(mut self, house: &HouseFiles<'_>) -> Self {
        let logo = house.logo.iter();
        self.files
            .extend(logo.map(|(path, bytes)| (file(path), Bytes::new(bytes.to_vec()))));
        self
    }

    /// A world of one text, to try what a house brings.
    pub(crate) fn trial(text: &str, house: &HouseFiles<'_>) -> Self {
        Self::of_text(text).in_house(house)
    }

    /// A world of one text and one file, to try whether it can be placed.
    pub(crate) fn placing(text: &str, path: &str, bytes: &[u8]) -> Self {
        let mut world = Self::of_text(text);
        world.files.push((file(path), Bytes::new(bytes.to_vec())));
        world
    }

    fn of_text(text: &str) -> Self {
        let main = file("/trial.typ");
        Self {
            main,
            files: Vec::new(),
            sources: vec![Source::new(main, text.to_owned())],
        }
    }
}

/// The frame of a sheet as a file of its own, for what runs through all pages. What
/// a template hands to `set page` is part of the style of all that follows, so that
/// a letter of the title would have every block laid out anew.
fn frame(sheet: &str) -> String {
    #[derive(Deserialize)]
    struct Framed {
        frame: serde_json::Value,
    }
    let framed: Result<Framed, _> = serde_json::from_str(sheet);
    framed.map_or_else(|_| "null".to_owned(), |framed| framed.frame.to_string())
}

/// The id of a virtual file; the same path always has the same one.
fn file(path: &str) -> FileId {
    // A path here is a constant of this program, or ends in the name of a house
    // file, which was opened only because it climbs nowhere and has no backslash.
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
