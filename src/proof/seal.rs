//! The source of a paper's signed text: the key, or an existing paper that is rebuilt for
//! comparison.

use super::claim::Claim;
use super::keys::Signer;

/// The source of a paper's signed text.
#[derive(Debug, Clone)]
pub enum Seal {
    /// The organization's key.
    Key(Box<Signer>),
    /// The text of the paper being rebuilt. Whether it belongs there shows in the
    /// resulting bytes.
    Read(String),
}

impl Seal {
    /// The signed text for a claim.
    pub(crate) fn text(&self, claim: &Claim) -> String {
        match self {
            Seal::Key(signer) => signer.sign(claim),
            Seal::Read(text) => text.clone(),
        }
    }
}
