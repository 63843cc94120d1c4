//! The signed code of a paper.

use super::Withheld;
use crate::papers::sheets::PaperKind;
use crate::proof::{Claim, ClaimedProcedure, Qr, Seal};
use crate::spec::Spec;

/// The largest code that the places on the papers hold at 0.33 mm a module,
/// about the least that office printers and telephones do well (common practice).
const MOST_MODULES: usize = 53;

/// A code as it is printed.
pub(crate) struct Code {
    /// The picture.
    pub(crate) qr: Qr,
    /// The key that signed it, as it is printed.
    pub(crate) key_id: String,
}

/// What a paper of this kind says of itself; `digest` is the spec's.
pub(crate) fn claim(spec: &Spec, kind: PaperKind, digest: &str) -> Claim {
    Claim {
        subject: kind.subject(),
        badge: None,
        procedures: vec![ClaimedProcedure {
            number: spec.number.value.clone(),
            revision: spec.revisions.last().map_or(0, |r| r.number.value),
            status: spec.status.value,
            digest: digest.to_owned(),
            valid_until: None,
        }],
    }
}

/// The code of a paper, or why it has no room.
pub(crate) fn code(
    spec: &Spec,
    kind: PaperKind,
    digest: &str,
    seal: &Seal,
) -> Result<Code, Withheld> {
    let text = seal.text(&claim(spec, kind, digest));
    // The key stands before the signature.
    let key_id = text.rsplit('/').nth(1).unwrap_or_default().to_owned();
    match Qr::encode(&text) {
        Ok(qr) if qr.modules <= MOST_MODULES => Ok(Code { qr, key_id }),
        _ => Err((
            kind,
            "the number of the procedure is too long for a signed code; build without --key, or \
             shorten the number"
                .into(),
        )),
    }
}
