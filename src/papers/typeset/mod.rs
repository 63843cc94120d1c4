//! Sheet data + templates → PDF. Only this module knows typst.
//!
//! A template sees these virtual files and nothing else: itself and its helpers
//! under `/pages`, the sheet's data as `/sheet.json`, attachments under
//! `/attached`, and the picture of a signed code if there is one.

mod house;
mod native;
mod once;
mod picture;
mod pinned;
mod pixels;
mod placed;
mod plain;
mod repeats;
mod runs;
mod sandbox;
mod world;

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::core::finding::Finding;

use typst::diag::{Severity, SourceDiagnostic};
use typst::foundations::{Datetime, Smart};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards, Timestamp};

pub(crate) use house::{LogoFault, try_logo};
pub(crate) use picture::Picture;
pub(crate) use pixels::{drawn, on_white, pixels};
pub(crate) use placed::try_pages;
pub(crate) use sandbox::PrintMessage;
pub use world::HouseFiles;
use world::World;

/// A page template.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Page {
    /// The written procedure.
    Procedure,
    /// Where the procedure's numbers come from.
    Sources,
    /// The sheet for the lid of the tool box.
    Lid,
    /// The pocket card.
    Card,
    /// The depth-mark strips.
    DepthMarks,
    /// The worksheet of numbers to confirm.
    Confirm,
    /// The qualification record form.
    Record,
    /// The joint log of a crew.
    JointLog,
    /// The test sheet of a fuser.
    TestSheet,
    /// The lesson sheet of a trainer.
    LessonSheet,
    /// The notice of changes between two revisions.
    ChangeNotice,
    /// A submittal.
    Submittal,
    /// The panels of numbers of a wallet card, one page per panel, at its trim.
    WalletFigures,
    /// The background of a sheet of wallet cards: everything but the people.
    WalletGround,
    /// Sheets of wallet cards.
    Wallet,
}

impl Page {
    fn path(self) -> &'static str {
        match self {
            Page::Procedure => "/pages/procedure.typ",
            Page::Sources => "/pages/sources.typ",
            Page::Lid => "/pages/lid.typ",
            Page::Card => "/pages/card.typ",
            Page::DepthMarks => "/pages/depth-marks.typ",
            Page::Confirm => "/pages/confirm.typ",
            Page::Record => "/pages/record.typ",
            Page::JointLog => "/pages/joint-log.typ",
            Page::TestSheet => "/pages/test-sheet.typ",
            Page::LessonSheet => "/pages/lesson-sheet.typ",
            Page::ChangeNotice => "/pages/change-notice.typ",
            Page::Submittal => "/pages/submittal.typ",
            Page::WalletFigures => "/pages/wallet-figures.typ",
            Page::WalletGround => "/pages/wallet-ground.typ",
            Page::Wallet => "/pages/wallet.typ",
        }
    }

    /// The standards that the paper is written to. The procedure and its
    /// sources are what is archived, and carry the spec; the others are plain tagged PDF 1.7.
    fn standards(self) -> &'static [PdfStandard] {
        match self {
            Page::Procedure | Page::Sources => &[PdfStandard::A_3a, PdfStandard::Ua_1],
            Page::Lid
            | Page::Card
            | Page::DepthMarks
            | Page::Confirm
            | Page::Record
            | Page::JointLog
            | Page::TestSheet
            | Page::LessonSheet
            | Page::ChangeNotice
            | Page::WalletFigures
            | Page::WalletGround
            | Page::Wallet => &[PdfStandard::V_1_7],
            // A PDF cannot place pages of a PDF newer than itself.
            Page::Submittal => &[PdfStandard::V_2_0],
        }
    }

    /// Whether the page is only placed in another paper as a picture, which has
    /// no tags.
    fn is_picture(self) -> bool {
        matches!(self, Page::WalletFigures | Page::WalletGround)
    }
}

/// What goes into a PDF besides the sheet data.
#[derive(Debug, Clone)]
pub struct Print<'a> {
    /// The template.
    pub page: Page,
    /// The data of the sheet, as JSON.
    pub sheet: String,
    /// Files to attach, by name, where the template says so.
    pub attached: Vec<(String, &'a [u8])>,
    /// The logo of a house style.
    pub house: HouseFiles<'a>,
    /// The picture of the signed code, which templates see as `/code.png`.
    pub code: Option<Vec<u8>>,
    /// The document ID, the same in every build.
    pub identity: String,
    /// The document's date: that of its revision.
    pub date: chrono::NaiveDate,
}

/// Typst rejected a template. The program or a house style is at fault, not the
/// spec.
#[derive(Debug, Serialize, Deserialize)]
pub struct TypesetError {
    /// Typst's messages, with file and line in the template.
    pub messages: Vec<String>,
    /// Who is at fault.
    pub cause: Cause,
}

/// Who is at fault when a paper cannot be made.
#[derive(Debug, Serialize, Deserialize)]
pub enum Cause {
    /// The program's.
    Program,
    /// A text that no embedded font can draw as written.
    Glyphs,
    /// The sandbox ran out of resources or crashed; it was laying out a house
    /// logo or attached PDFs.
    Stopped,
    /// House-style clauses that failed to render. Found before typesetting, so
    /// never sent to the sandbox.
    #[serde(skip)]
    Clauses(Vec<Finding>),
}

impl TypesetError {
    pub(crate) fn new(message: impl Into<String>) -> Self {
        Self {
            messages: vec![message.into()],
            cause: Cause::Program,
        }
    }
}

impl fmt::Display for TypesetError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.messages.join("; "))
    }
}

impl std::error::Error for TypesetError {}

/// Typesets one paper and returns the PDF's bytes. The same input gives the same
/// bytes on any machine, in any folder, locale, or time, in this process or in
/// the sandbox.
///
/// # Errors
/// [`TypesetError`] if a template is broken or its data do not fit it.
pub(crate) fn typeset(print: &Print<'_>) -> Result<Vec<u8>, TypesetError> {
    if let Some(sandbox) = print.sandbox() {
        return sandbox::typeset(sandbox, print);
    }
    let world = World::for_print(print);
    let document = lay_out(&world)?;
    typst_pdf::pdf(&document, &options(print)).map_err(|errors| typst_error(&world, &errors))
}

/// Typesets one paper and returns a picture of each page.
///
/// # Errors
/// As [`typeset`], except for what only PDF export detects.
pub(crate) fn pictures(print: &Print<'_>) -> Result<Vec<Picture>, TypesetError> {
    if let Some(sandbox) = print.sandbox() {
        return sandbox::pictures(sandbox, print);
    }
    let world = World::for_print(print);
    lay_out(&world).map(|document| Picture::from_pages(&document))
}

fn lay_out(world: &World) -> Result<PagedDocument, TypesetError> {
    let document = typst::compile::<PagedDocument>(world).output;
    document.map_err(|errors| typst_error(world, &errors))
}

/// Clears typst's cache, since layouts of one spec do not help with the next.
/// Call before a spec, not after: clearing takes a tenth of the time of the
/// papers, and a run of one spec ends anyway.
pub(crate) fn clear_cache() {
    typst::comemo::evict(0);
}

/// Evicts what no layout has used in the last `times` calls. While somebody
/// types, most of the layout stays the same.
pub(crate) fn evict_unused(times: usize) {
    typst::comemo::evict(times);
}

fn typst_error(world: &World, errors: &[SourceDiagnostic]) -> TypesetError {
    TypesetError {
        messages: errors.iter().map(|error| explain(world, error)).collect(),
        cause: if errors.iter().all(is_about_glyphs) {
            Cause::Glyphs
        } else {
            Cause::Program
        },
    }
}

/// Whether the PDF writer met a character without a glyph. Each character is
/// checked with the spec, but some can be drawn alone and not next to another.
fn is_about_glyphs(error: &SourceDiagnostic) -> bool {
    error.message.contains("could not be displayed with")
}

fn options(print: &Print<'_>) -> PdfOptions {
    use chrono::Datelike;
    let date = |number: u32| u8::try_from(number).ok();
    let datetime = date(print.date.month())
        .zip(date(print.date.day()))
        .and_then(|(month, day)| Datetime::from_ymd_hms(print.date.year(), month, day, 0, 0, 0));
    PdfOptions {
        ident: Smart::Custom(print.identity.clone()),
        creator: Smart::Custom(Some(format!("coldring {}", env!("CARGO_PKG_VERSION")))),
        timestamp: datetime.map(Timestamp::new_utc),
        // The lists above are compatible with each other; a test typesets each.
        standards: PdfStandards::new(print.page.standards()).unwrap_or_default(),
        tagged: !print.page.is_picture(),
        ..PdfOptions::default()
    }
}

fn explain(world: &World, error: &SourceDiagnostic) -> String {
    use typst::WorldExt;
    let place = error.span.id().and_then(|id| {
        let range = world.range(error.span)?;
        let source = typst::World::source(world, id).ok()?;
        let line = source.lines().byte_to_line(range.start)?;
        Some(format!("{}:{}: ", id.vpath().get_with_slash(), line + 1))
    });
    let kind = match error.severity {
        Severity::Error => "",
        Severity::Warning => "warning: ",
    };
    let hints: String = error
        .hints
        .iter()
        .map(|hint| format!(" ({})", hint.v))
        .collect();
    format!(
        "{}{kind}{}{hints}",
        place.unwrap_or_default(),
        error.message
    )
}
