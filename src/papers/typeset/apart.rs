//! A paper with something in it that anybody may have made is laid out in a
//! process of its own: what is sent there, and what it means when none comes back.

use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::{Cause, HouseFiles, LogoFault, Page, Picture, Print, TypesetError};
use crate::core::sandbox::{Apart, Stopped, Work, ask};

impl Print<'_> {
    /// Where it is laid out, if not here: with the logo of a house, or with pages of
    /// PDFs from anybody.
    pub(super) fn apart(&self) -> Option<Apart> {
        let house = &self.house;
        let foreign = self.page == Page::Submittal || house.logo.is_some();
        house.apart.filter(|_| foreign)
    }
}

/// A [`Print`] without the bytes that go beside it: what is attached, the logo,
/// the picture of the code, in this order.
#[derive(Debug, Serialize, Deserialize)]
pub struct Sent {
    page: Page,
    sheet: String,
    attached: Vec<String>,
    logo: Option<String>,
    code: bool,
    identity: String,
    date: String,
}

impl Sent {
    fn of<'a>(print: &'a Print<'_>) -> (Self, Vec<&'a [u8]>) {
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

    /// The print, with the bytes that came beside it; `None` when they do not
    /// belong together.
    pub fn print<'a>(&'a self, bytes: &[&'a [u8]]) -> Option<Print<'a>> {
        let mut bytes = bytes.iter().copied();
        let mut attached = Vec::new();
        for name in &self.attached {
            attached.push((name.clone(), bytes.next()?));
        }
        let logo = match &self.logo {
            Some(path) => Some((path.clone(), bytes.next()?)),
            None => None,
        };
        let code = match self.code {
            true => Some(bytes.next()?.to_vec()),
            false => None,
        };
        Some(Print {
            page: self.page,
            sheet: self.sheet.clone(),
            attached,
            house: HouseFiles { logo, apart: None },
            code,
            identity: self.identity.clone(),
            date: self.date.parse().ok()?,
        })
    }
}

/// Has a paper laid out apart; the PDF.
pub(super) fn typeset(apart: Apart, print: &Print<'_>) -> Result<Vec<u8>, TypesetError> {
    let (sent, bytes) = Sent::of(print);
    let asked = ask::<_, Result<(), TypesetError>>(apart, Work::Typeset, &sent, &bytes);
    let (made, pdf) = asked.map_err(|why| stopped(&why))?;
    made?;
    let pdf = pdf.into_iter().next();
    pdf.ok_or_else(|| stopped(&Stopped::BrokeDown))
}

/// Has a paper laid out apart; a picture of each page.
pub(super) fn pictures(apart: Apart, print: &Print<'_>) -> Result<Vec<Picture>, TypesetError> {
    let (sent, bytes) = Sent::of(print);
    let asked = ask::<_, Result<Vec<Picture>, TypesetError>>(apart, Work::Pictures, &sent, &bytes);
    asked.map_err(|why| stopped(&why))?.0
}

/// Has the pages of a paper drawn apart; the PNGs.
pub(super) fn pixels(
    apart: Apart,
    pdf: &[u8],
    dots_per_inch: u16,
) -> Result<Vec<Vec<u8>>, TypesetError> {
    let asked = ask::<_, Result<(), TypesetError>>(apart, Work::Pixels, &dots_per_inch, &[pdf]);
    let (drawn, pictures) = asked.map_err(|why| stopped(&why))?;
    drawn.map(|()| pictures)
}

/// Has a template asked apart; the answer.
pub(super) fn query(apart: Apart, print: &Print<'_>) -> Result<Value, TypesetError> {
    let (sent, bytes) = Sent::of(print);
    let asked = ask::<_, Result<Value, TypesetError>>(apart, Work::Query, &sent, &bytes);
    asked.map_err(|why| stopped(&why))?.0
}

fn stopped(why: &Stopped) -> TypesetError {
    TypesetError {
        messages: vec![format!("laying out {why}")],
        cause: match why {
            Stopped::NotStarted(_) => Cause::Program,
            _ => Cause::Stopped,
        },
    }
}

/// The fault of a logo over which the trial was stopped.
pub(super) fn stopped_logo(why: &Stopped) -> LogoFault {
    LogoFault {
        range: None,
        message: format!("drawing it {why}"),
    }
}
