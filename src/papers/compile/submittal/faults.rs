//! Findings about files that a submittal names but cannot include.

use crate::core::budget::ATTACHMENT_BYTES;
use crate::core::finding::Finding;
use crate::core::source::{Spanned, Unavailable};
use crate::people::submittal::{Fault, MOST_PAGES, rules};

pub(super) fn not_read(path: &Spanned<String>, why: &Unavailable) -> Finding {
    let (reason, help) = match why {
        Unavailable::NotGiven => ("was not handed over", "hand it over with the submittal"),
        Unavailable::Outside => (
            "is not in the folder of the submittal, nor in the folder that holds it",
            "write the path from the folder of the submittal, with at most one ../ at its start; \
             links that lead out are not followed",
        ),
        Unavailable::Unreadable(reason) => {
            return rules::SUBMITTED_FILE_NOT_READ
                .at(
                    path.span,
                    format!("'{}' cannot be read: {reason}", path.value),
                )
                .help("check the path, which starts at the folder of the submittal");
        }
    };
    rules::SUBMITTED_FILE_NOT_READ
        .at(path.span, format!("'{}' {reason}", path.value))
        .help(help)
}

pub(super) fn not_placed(path: &Spanned<String>, fault: &Fault) -> Finding {
    let name = &path.value;
    let (rule, message, help) = match fault {
        Fault::Unavailable(why) => return not_read(path, why),
        Fault::TooLarge => (
            &rules::ATTACHMENT_TOO_LARGE,
            format!("'{name}' has more than {ATTACHMENT_BYTES} bytes"),
            "attach the pages that matter, or scan them in fewer dots to the inch",
        ),
        Fault::TooManyPages(pages) => (
            &rules::ATTACHMENT_TOO_LARGE,
            format!("'{name}' has {pages} pages; an attachment may have {MOST_PAGES}"),
            "attach the pages that matter",
        ),
        Fault::NotPdf => (
            &rules::ATTACHMENT_NOT_A_PDF,
            format!("'{name}' is not a PDF"),
            "save or print the file as PDF, and name that",
        ),
        Fault::Encrypted => (
            &rules::ATTACHMENT_ENCRYPTED,
            format!("'{name}' is encrypted"),
            "ask whoever issued it for a copy without encryption",
        ),
        Fault::Empty => (
            &rules::ATTACHMENT_WITHOUT_PAGES,
            format!("'{name}' has no page"),
            "name the right file, or take the attachment out",
        ),
        Fault::Stopped(why) => (
            &rules::ATTACHMENT_DAMAGED,
            format!("'{name}' cannot be placed: reading it {why}"),
            "print it to a new PDF and compare every page, or attach the pages that matter",
        ),
        Fault::Damaged(reason) => (
            &rules::ATTACHMENT_DAMAGED,
            format!("'{name}' is damaged: {reason}"),
            "fetch the file again; if it opens in a viewer, print it to a new PDF and compare \
             every page",
        ),
    };
    rule.at(path.span, message).help(help)
}
