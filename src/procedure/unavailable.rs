//! The finding for a file that a spec names and that is unavailable.

use crate::core::finding::Finding;
use crate::core::source::{Spanned, Unavailable};
use crate::spec::rules;

/// Reports an unavailable file. `not_given` is the help if the caller did not supply it,
/// `example` a path to imitate, and `or_else` ends the help if it cannot be read.
pub(super) fn file_unavailable(
    path: &Spanned<String>,
    why: &Unavailable,
    not_given: &str,
    example: &str,
    or_else: &str,
) -> Finding {
    let (reason, help) = match why {
        Unavailable::NotGiven => (
            "was not handed over with the spec".to_owned(),
            not_given.to_owned(),
        ),
        Unavailable::Outside => (
            "is not a path inside the folder of the spec".to_owned(),
            format!(
                "put the file in the folder of the spec or below it, and write its path from \
                 there, such as {example}; links that lead out are not followed"
            ),
        ),
        Unavailable::Unreadable(reason) => (
            format!("cannot be read: {reason}"),
            format!("check the path, which starts at the folder of the spec{or_else}"),
        ),
    };
    rules::FILE_NOT_READ
        .at(path.span, format!("'{}' {reason}", path.value))
        .help(help)
}
