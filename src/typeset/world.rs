//! What typst may see: the embedded templates and fonts, and two data files.

use std::path::PathBuf;
use std::sync::LazyLock;

use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt};

/// The templates, by the path they import each other with.
const TEMPLATES: &[(&str, &str)] = &[
    (
        "/pages/common.typ",
        include_str!("../../templates/pages/common.typ"),
    ),
    (
        "/pages/marks.typ",
        include_str!("../../templates/pages/marks.typ"),
    ),
    (
        "/pages/sizes.typ",
        include_str!("../../templates/pages/sizes.typ"),
    ),
    (
        "/pages/procedure.typ",
        include_str!("../../templates/pages/procedure.typ"),
    ),
    (
        "/figures/heat-chart.typ",
        include_str!("../../templates/figures/heat-chart.typ"),
    ),
    (
        "/figures/heat-section.typ",
        include_str!("../../templates/figures/heat-section.typ"),
    ),
    (
        "/pages/card.typ",
        include_str!("../../templates/pages/card.typ"),
    ),
    (
        "/pages/depth-marks.typ",
        include_str!("../../templates/pages/depth-marks.typ"),
    ),
    (
        "/pages/confirm.typ",
        include_str!("../../templates/pages/confirm.typ"),
    ),
];

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

/// Whether one of the embedded fonts has a glyph for `c`.
pub fn can_draw(c: char) -> bool {
    FONTS
        .1
        .iter()
        .any(|font| font.info().coverage.contains(u32::from(c)))
}

/// The virtual file system of one paper.
pub struct World {
    main: FileId,
    files: Vec<(FileId, Bytes)>,
    sources: Vec<Source>,
}

impl World {
    /// A world whose main file is the template at `main`.
    ///
    /// The names of what is attached are listed in `/attached.json`.
    pub fn new(main: &str, sheet: String, attached: &[(String, &str)]) -> Self {
        let names: Vec<_> = attached.iter().map(|(name, _)| name).collect();
        let names = serde_json::json!(names).to_string();
        let text = |name: &str, text: String| (file(name), Bytes::from_string(text));
        let mut files = vec![text("/sheet.json", sheet), text("/attached.json", names)];
        files.extend(
            attached
                .iter()
                .map(|(name, content)| text(&format!("/attached/{name}"), (*content).to_owned())),
        );
        Self {
            main: file(main),
            files,
            sources: TEMPLATES
                .iter()
                .map(|(path, text)| Source::new(file(path), (*text).to_owned()))
                .collect(),
        }
    }
}

/// The id of a virtual file; the same path always has the same one.
fn file(path: &str) -> FileId {
    // Every path here is a constant of this program, so it is a valid one.
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
