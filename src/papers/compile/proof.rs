//! The signed code of a paper.

use super::Withheld;
use crate::papers::sheets::PaperKind;
use crate::proof::{Claim, ClaimedProcedure, Qr, Seal};
use crate::spec::Spec;

/// The largest code that fits its place on the papers at 0.33 mm a module, about
/// the finest that office printers and phones handle well (common practice).
const MAX_MODULES: usize = 53;

/// A signed code, ready to print.
pub(crate) struct SignedCode {
    pub(crate) qr: Qr,
    /// ID of the signing key, as printed.
    pub(crate) key_id: String,
}

/// What the code of this kind of paper states; `digest` is the spec's.
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

/// A paper's code, or the reason there is no room for it.
pub(crate) fn code(
    spec: &Spec,
    kind: PaperKind,
    digest: &str,
    seal: &Seal,
) -> Result<SignedCode, Withheld> {
    let text = seal.text(&claim(spec, kind, digest));
    // The key ID precedes the signature.
    let key_id = text.rsplit('/').nth(1).unwrap_or_default().to_owned();
    match Qr::encode(&text) {
        Ok(qr) if qr.modules <= MAX_MODULES => Ok(SignedCode { qr, key_id }),
        _ => Err((
            kind,
            "the number of the procedure is too long for a signed code; build without --key, or \
             shorten the number"
                .into(),
        )),
    }
}
