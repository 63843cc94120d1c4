//! The organization's Ed25519 key (RFC 8032).

use data_encoding::BASE32_NOPAD;
use ed25519_dalek::pkcs8::DecodePrivateKey;
use ed25519_dalek::{Signer as _, SigningKey, VerifyingKey};

use super::claim::Claim;
use crate::digest::sha256;

/// How many hex digits name a key on paper.
pub const KEY_ID_DIGITS: usize = 8;

/// Signs what papers say of themselves.
#[derive(Clone)]
pub struct Signer {
    key: SigningKey,
    id: String,
}

impl Signer {
    /// A signer from a private key in PKCS #8 PEM; `None` when it is none.
    pub fn from_pem(pem: &str) -> Option<Self> {
        let key = SigningKey::from_pkcs8_pem(pem).ok()?;
        let id = key_id(&key.verifying_key());
        Some(Self { key, id })
    }

    /// The id of the key, as it is printed.
    pub fn key_id(&self) -> &str {
        &self.id
    }

    /// The claim with its signature: what the QR code holds. Signing is
    /// deterministic (RFC 8032), so papers stay the same byte for byte.
    pub fn sign(&self, claim: &Claim) -> String {
        let text = claim.text(&self.id);
        let signature = self.key.sign(text.as_bytes());
        format!("{text}/{}", BASE32_NOPAD.encode(&signature.to_bytes()))
    }
}

// A key must not reach a log.
impl std::fmt::Debug for Signer {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Signer({})", self.id)
    }
}

/// The beginning of the public key's SHA-256, in capital hex digits.
fn key_id(key: &VerifyingKey) -> String {
    let digest = sha256(key.as_bytes()).to_uppercase();
    digest.get(..KEY_ID_DIGITS).unwrap_or(&digest).to_owned()
}
