//! Checks a house-style logo with typst.

use std::ops::Range;

use serde::{Deserialize, Serialize};
use typst::{World as _, WorldExt};
use typst_layout::PagedDocument;

use super::sandbox;
use super::world::{HouseFiles, World};
use crate::core::sandbox::{Sandbox, Task, ask};

/// What typst reports about a logo.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct LogoFault {
    pub(crate) range: Option<Range<usize>>,
    pub(crate) message: String,
}

/// Checks that typst can draw a logo, in the sandbox if there is one.
///
/// # Errors
/// What typst reports, and where in the file.
pub(crate) fn try_logo(
    path: &str,
    bytes: &[u8],
    sandbox: Option<Sandbox>,
) -> Result<(), LogoFault> {
    if let Some(sandbox) = sandbox {
        let tried = ask(sandbox, Task::Logo, &path, &[bytes]);
        return tried.map_or_else(
            |why| Err(sandbox::sandbox_logo_fault(&why)),
            |(tried, _)| tried,
        );
    }
    let house = HouseFiles {
        logo: Some((path.to_owned(), bytes)),
        sandbox: None,
    };
    let world = World::with_text(
        &format!("#set page(width: 20mm, height: 20mm)\n#image(\"{path}\", height: 10mm)"),
        &house,
    );
    let result = typst::compile::<PagedDocument>(&world).output;
    let drawn = result.and_then(|document| {
        typst_pdf::pdf(&document, &typst_pdf::PdfOptions::default()).map(|_| ())
    });
    drawn.map_err(|errors| {
        let error = errors.first();
        let at = error.filter(|error| {
            error
                .span
                .id()
                .is_some_and(|id| id != world.main() && id.vpath().get_with_slash() == path)
        });
        LogoFault {
            range: at.and_then(|error| world.range(error.span)),
            message: error.map_or_else(String::new, |error| error.message.to_string()),
        }
    })
}
