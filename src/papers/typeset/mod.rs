//! Sheet data + templates → PDF. Only this module knows typst.
//!
//! A template sees these virtual files and nothing else: itself and its helpers
//! under `/pages`, the sheet's data as `/sheet.json`, attachments under
//! `/attached`, and the picture of a signed code if there is one.

mod house;
mod picture;
mod pixels;
mod placed;
mod query;
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
pub use query::query;
pub(crate) use sandbox::PrintMessage;
pub use world::HouseFiles;
use world::World;
pub(crate) use world::{can_draw, line_width, page_fonts};

/// A page template of the program.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Page {
    /// The written procedure.
    Procedure,
    /// The pocket card.
    Card,
    /// How the card's lines fit its faces; asked, never printed.
    CardFit,
    /// The depth-mark strips.
    DepthMarks,
    /// The worksheet of figures to confirm.
    Confirm,
    /// The form of a qualification record.
    Record,
    /// The joint log of a crew.
    JointLog,
    /// The notice of what differs between two revisions.
    ChangeNotice,
    /// A submittal.
    Submittal,
    /// How the figures of a procedure fit a wallet card; asked, never printed.
    WalletFit,
    /// The panels of figures of a wallet card, each on a page of its trim.
    WalletFigures,
    /// All of a sheet of wallet cards but the people.
    WalletGround,
    /// Sheets of wallet cards.
    Wallet,
}

impl Page {
    fn path(self) -> &'static str {
        match self {
            Page::Procedure => "/pages/procedure.typ",
            Page::Card => "/pages/card.typ",
            Page::CardFit => "/pages/card-fit.typ",
            Page::DepthMarks => "/pages/depth-marks.typ",
            Page::Confirm => "/pages/confirm.typ",
            Page::Record => "/pages/record.typ",
            Page::JointLog => "/pages/joint-log.typ",
            Page::ChangeNotice => "/pages/change-notice.typ",
            Page::Submittal => "/pages/submittal.typ",
            Page::WalletFit => "/pages/wallet-fit.typ",
            Page::WalletFigures => "/pages/wallet-figures.typ",
            Page::WalletGround => "/pages/wallet-ground.typ",
            Page::Wallet => "/pages/wallet.typ",
        }
    }

    /// The standards the paper is written to. The procedure is the archived
    /// document and carries the spec; the others are plain tagged PDF 1.7.
    fn standards(self) -> &'static [PdfStandard] {
        match self {
            Page::Procedure => &[PdfStandard::A_3a, PdfStandard::Ua_1],
            Page::Card
            | Page::CardFit
            | Page::DepthMarks
            | Page::Confirm
            | Page::Record
            | Page::JointLog
            | Page::ChangeNotice
            | Page::WalletFit
            | Page::WalletFigures
            | Page::WalletGround
            | Page::Wallet => &[PdfStandard::V_1_7],
            // A PDF places no page of a PDF that is newer than itself.
            Page::Submittal => &[PdfStandard::V_2_0],
        }
    }

    /// Whether it is only placed in another paper as a picture, which has no tags.
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
    /// What identifies the document from build to build.
    pub identity: String,
    /// The date the document is dated with: that of its revision.
    pub date: chrono::NaiveDate,
}

/// Typst refused a template; a fault of the program or of a house style, not of
/// the spec.
#[derive(Debug, Serialize, Deserialize)]
pub struct TypesetError {
    /// What typst said, with the template's file and line.
    pub messages: Vec<String>,
    /// Whose fault it is.
    pub cause: Cause,
}

/// Whose fault it is that a paper cannot be made.
#[derive(Debug, Serialize, Deserialize)]
pub enum Cause {
    /// The program's.
    Program,
    /// A text that none of the embedded fonts can draw as it stands.
    Glyphs,
    /// Laid out apart, it took too much or broke down: a logo of a house or pages
    /// of PDFs from anybody were in it.
    Stopped,
    /// Clauses of a house that cannot be worded; found before typesetting, so
    /// that they are never sent.
    #[serde(skip)]
    Clauses(Vec<Finding>),
}

impl TypesetError {
    /// A fault of the program.
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

/// Typesets one paper and returns the PDF's bytes. The same input gives the
/// same bytes, whatever the machine, folder, time or locale, here or in a process
/// of its own.
///
/// # Errors
/// [`TypesetError`] when a template is broken or its data do not fit it.
pub(crate) fn typeset(print: &Print<'_>) -> Result<Vec<u8>, TypesetError> {
    if let Some(sandbox) = print.sandbox() {
        return sandbox::typeset(sandbox, print);
    }
    let world = World::for_print(print);
    let document = laid_out(&world)?;
    typst_pdf::pdf(&document, &options(print)).map_err(|errors| refused(&world, &errors))
}

/// Typesets one paper and returns a picture of each page.
///
/// # Errors
/// As [`typeset`], but for what only the writing of a PDF finds.
pub(crate) fn pictures(print: &Print<'_>) -> Result<Vec<Picture>, TypesetError> {
    if let Some(sandbox) = print.sandbox() {
        return sandbox::pictures(sandbox, print);
    }
    let world = World::for_print(print);
    laid_out(&world).map(|document| Picture::of_pages(&document))
}

/// Lays one paper out.
fn laid_out(world: &World) -> Result<PagedDocument, TypesetError> {
    let document = typst::compile::<PagedDocument>(world).output;
    document.map_err(|errors| refused(world, &errors))
}

/// Forgets what was laid out, since nothing of one spec's layout helps with the
/// next one's. To be called before a spec, not after: to forget takes a tenth of
/// the time of the papers, and a run of one spec ends anyway.
pub(crate) fn forget() {
    typst::comemo::evict(0);
}

/// Forgets what no layout has needed since this was called `times` times: what
/// is laid out again and again while somebody types is mostly the same.
pub(crate) fn forget_unused(times: usize) {
    typst::comemo::evict(times);
}

/// What typst said of a paper.
fn refused(world: &World, errors: &[SourceDiagnostic]) -> TypesetError {
    TypesetError {
        messages: errors.iter().map(|error| explain(world, error)).collect(),
        cause: match errors.iter().all(is_about_glyphs) {
            true => Cause::Glyphs,
            false => Cause::Program,
        },
    }
}

/// Whether the writer met a character that it has no glyph for. Each character is looked
/// for when a spec is checked, but some can be drawn alone and not joined to another.
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
