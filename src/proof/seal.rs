//! Where the signed text of a paper comes from: the key, or a paper that is made
//! again to compare it.

use super::claim::Claim;
use super::keys::Signer;

/// What gives a paper its signed text.
#[derive(Debug, Clone)]
pub enum Seal {
    /// The organization's key.
    Key(Box<Signer>),
    /// The paper that is made again. Whether the text belongs on it shows in
    /// what comes out: the same bytes or others.
    Read(String),
}

impl Seal {
    /// The text for a paper that says this of itself.
    pub(crate) fn text(&self, claim: &Claim) -> String {
        match self {
            Seal::Key(signer) => signer.sign(claim),
            Seal::Read(text) => text.clone(),
        }
    }
}
