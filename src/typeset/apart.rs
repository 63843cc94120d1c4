//! A paper with something in it that anybody may have made is laid out in a
//! process of its own: what is sent there, and what it means when none comes back.

use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::{Cause, HouseFiles, Page, Picture, Print, Required, TemplateFault, TypesetError};
use crate::apart::{Apart, Stopped, Work, ask};

impl Print<'_> {
    /// Where it is laid out, if not here: with templates or a logo of a house, or
    /// with pages of PDFs from anybody.
    pub(super) fn apart(&self) -> Option<Apart> {
        let house = &self.house;
        let foreign =
            self.page == Page::Submittal || !house.templates.is_empty() || house.logo.is_some();
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
    templates: Vec<(String, String)>,
    logo: Option<String>,
    required: Required,
    code: bool,
    identity: String,
    date: String,
}

impl Sent {
    fn of<'a>(print: &'a Print<'_>) -> (Self, Vec<&'a [u8]>) {
        let house = &print.house;
        let templates = house.templates.iter();
        let sent = Self {
            page: print.page,
            sheet: print.sheet.clone(),
            attached: print
                .attached
                .iter()
                .map(|(name, _)| name.clone())
                .collect(),
            templates: templates
                .map(|(path, text)| ((*path).to_owned(), (*text).to_owned()))
                .collect(),
            logo: house.logo.as_ref().map(|(path, _)| path.clone()),
            required: print.required.clone(),
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
        let templates = self.templates.iter();
        Some(Print {
            page: self.page,
            sheet: self.sheet.clone(),
            attached,
            house: HouseFiles {
                templates: templates
                    .map(|(path, text)| (path.as_str(), text.as_str()))
                    .collect(),
                logo,
                apart: None,
            },
            required: self.required.clone(),
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
    let (made, pdf) = asked.map_err(|why| stopped(print, &why))?;
    made?;
    let pdf = pdf.into_iter().next();
    pdf.ok_or_else(|| stopped(print, &Stopped::BrokeDown))
}

/// Has a paper laid out apart; a picture of each page.
pub(super) fn pictures(apart: Apart, print: &Print<'_>) -> Result<Vec<Picture>, TypesetError> {
    let (sent, bytes) = Sent::of(print);
    let asked = ask::<_, Result<Vec<Picture>, TypesetError>>(apart, Work::Pictures, &sent, &bytes);
    asked.map_err(|why| stopped(print, &why))?.0
}

/// Has the pages of a paper drawn apart; the PNGs.
pub(super) fn pixels(
    apart: Apart,
    print: &Print<'_>,
    pdf: &[u8],
    dots_per_inch: u16,
) -> Result<Vec<Vec<u8>>, TypesetError> {
    let asked = ask::<_, Result<(), TypesetError>>(apart, Work::Pixels, &dots_per_inch, &[pdf]);
    let (drawn, pictures) = asked.map_err(|why| stopped(print, &why))?;
    drawn.map(|()| pictures)
}

/// Has a template asked apart; the answer.
pub(super) fn query(apart: Apart, print: &Print<'_>) -> Result<Value, TypesetError> {
    let (sent, bytes) = Sent::of(print);
    let asked = ask::<_, Result<Value, TypesetError>>(apart, Work::Query, &sent, &bytes);
    asked.map_err(|why| stopped(print, &why))?.0
}

fn stopped(print: &Print<'_>, why: &Stopped) -> TypesetError {
    let message = format!("laying out {why}");
    let template = print.house.lays_out(print.page);
    TypesetError {
        messages: vec![message.clone()],
        cause: match (why, template) {
            (Stopped::NotStarted(_), _) => Cause::Program,
            (_, None) => Cause::Stopped,
            (_, Some(path)) => Cause::Templates(vec![TemplateFault {
                path: path.to_owned(),
                range: None,
                message,
                hints: vec!["take the templates of the house style out one by one".to_owned()],
            }]),
        },
    }
}

/// The fault of a logo over which the trial was stopped.
pub(super) fn stopped_logo(path: &str, why: &Stopped) -> TemplateFault {
    TemplateFault {
        path: path.to_owned(),
        range: None,
        message: format!("drawing it {why}"),
        hints: Vec::new(),
    }
}
