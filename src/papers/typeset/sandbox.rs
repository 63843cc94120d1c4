//! Lays out papers that contain untrusted files in the sandbox: the message that
//! is sent there, and what a missing answer means.

use serde::{Deserialize, Serialize};

use super::{Cause, HouseFiles, LogoFault, Page, Picture, Print, TypesetError};
use crate::core::sandbox::{Sandbox, SandboxError, Task, ask};

impl Print<'_> {
    /// The sandbox, if the paper needs it: it contains a house logo or pages of
    /// attached PDFs.
    pub(super) fn sandbox(&self) -> Option<Sandbox> {
        let house = &self.house;
        let foreign = self.page == Page::Submittal || house.logo.is_some();
        house.sandbox.filter(|_| foreign)
    }
}

/// A [`Print`] without its binary parts, which follow the message in this order:
/// attachments, logo, picture of the code.
#[derive(Debug, Serialize, Deserialize)]
pub(crate) struct PrintMessage {
    page: Page,
    sheet: String,
    attached: Vec<String>,
    logo: Option<String>,
    code: bool,
    identity: String,
    date: String,
}

impl PrintMessage {
    fn new<'a>(print: &'a Print<'_>) -> (Self, Vec<&'a [u8]>) {
        let house = &print.house;
        let sent = Self {
            page: print.page,
            sheet: print.sheet.clone(),
            attached: print
                .attached
                .iter()
                .map(|(name, _)| name.clone())
                .collect(),
            logo: house.logo.as_ref().map(|(path, _)| path.clone()),
            code: print.code.is_some(),
            identity: print.identity.clone(),
            date: print.date.to_string(),
        };
        let mut bytes: Vec<_> = print.attached.iter().map(|(_, bytes)| *bytes).collect();
        bytes.extend(house.logo.as_ref().map(|(_, bytes)| *bytes));
        bytes.extend(print.code.as_deref());
        (sent, bytes)
    }

    /// The print, joined with the binary parts that followed the message; `None` if
    /// they do not match.
    pub(crate) fn print<'a>(&'a self, bytes: &[&'a [u8]]) -> Option<Print<'a>> {
        let mut bytes = bytes.iter().copied();
        let mut attached = Vec::new();
        for name in &self.attached {
            attached.push((name.clone(), bytes.next()?));
        }
        let logo = match &self.logo {
            Some(path) => Some((path.clone(), bytes.next()?)),
            None => None,
        };
        let code = if self.code {
            Some(bytes.next()?.to_vec())
        } else {
            None
        };
        Some(Print {
            page: self.page,
            sheet: self.sheet.clone(),
            attached,
            house: HouseFiles {
                logo,
                sandbox: None,
            },
            code,
            identity: self.identity.clone(),
            date: self.date.parse().ok()?,
        })
    }
}

/// Lays out a paper in the sandbox and returns the PDF.
pub(super) fn typeset(sandbox: Sandbox, print: &Print<'_>) -> Result<Vec<u8>, TypesetError> {
    let (sent, bytes) = PrintMessage::new(print);
    let answer = ask::<_, Result<(), TypesetError>>(sandbox, Task::Typeset, &sent, &bytes);
    let (made, pdf) = answer.map_err(|why| sandbox_error(&why))?;
    made?;
    let pdf = pdf.into_iter().next();
    pdf.ok_or_else(|| sandbox_error(&SandboxError::BrokeDown))
}

/// Lays out a paper in the sandbox and returns a picture of each page.
pub(super) fn pictures(sandbox: Sandbox, print: &Print<'_>) -> Result<Vec<Picture>, TypesetError> {
    let (sent, bytes) = PrintMessage::new(print);
    let answer =
        ask::<_, Result<Vec<Picture>, TypesetError>>(sandbox, Task::Pictures, &sent, &bytes);
    answer.map_err(|why| sandbox_error(&why))?.0
}

/// Rasterizes the pages of a paper in the sandbox and returns the PNGs.
pub(super) fn pixels(
    sandbox: Sandbox,
    pdf: &[u8],
    dots_per_inch: u16,
) -> Result<Vec<Vec<u8>>, TypesetError> {
    let answer = ask::<_, Result<(), TypesetError>>(sandbox, Task::Pixels, &dots_per_inch, &[pdf]);
    let (drawn, pictures) = answer.map_err(|why| sandbox_error(&why))?;
    drawn.map(|()| pictures)
}

fn sandbox_error(why: &SandboxError) -> TypesetError {
    TypesetError {
        messages: vec![format!("laying out {why}")],
        cause: match why {
            SandboxError::NotStarted(_) => Cause::Program,
            _ => Cause::Stopped,
        },
    }
}

/// The error for a logo whose trial was stopped.
pub(super) fn sandbox_logo_fault(why: &SandboxError) -> LogoFault {
    LogoFault {
        range: None,
        message: format!("drawing it {why}"),
    }
}
