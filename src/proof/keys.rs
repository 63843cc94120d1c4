//! The organization's Ed25519 key (RFC 8032). The private half signs papers' claims; the
//! public half goes to whoever verifies them.

use std::fmt::Display;

use data_encoding::BASE32_NOPAD;
use ed25519_dalek::pkcs8::spki::der::pem::LineEnding;
use ed25519_dalek::pkcs8::spki::{DecodePublicKey, EncodePublicKey};
use ed25519_dalek::pkcs8::{DecodePrivateKey, EncodePrivateKey, KeypairBytes};
use ed25519_dalek::{Signature, Signer as _, SigningKey, VerifyingKey};

use super::claim::{Claim, KEY_ID_DIGITS};
use super::statement::Statement;
use crate::core::digest::sha256;

/// Signs the claims of papers.
#[derive(Clone)]
pub struct Signer {
    key: SigningKey,
    id: String,
}

impl Signer {
    /// The signer with this private key; the 32 bytes must be random.
    pub fn from_seed(seed: &[u8; 32]) -> Self {
        Self::new(SigningKey::from_bytes(seed))
    }

    /// A signer from a private key in PKCS #8 PEM; `None` if it is not one.
    pub fn from_pem(pem: &str) -> Option<Self> {
        Some(Self::new(SigningKey::from_pkcs8_pem(pem).ok()?))
    }

    /// A signer from the bytes of a private key's file, whose name the reason may give.
    ///
    /// # Errors
    /// Why nothing can be signed with it. Nothing of the file is in it.
    pub(crate) fn from_file(name: impl Display, bytes: &[u8]) -> Result<Self, String> {
        let text = pem_text(&name, bytes)?;
        Self::from_pem(text).ok_or_else(|| {
            let why = if TrustedKey::from_pem(text).is_some() {
                "it is a public key, which cannot sign; give the private one"
            } else {
                "it is no Ed25519 private key in PEM; give one that `coldring keys` made"
            };
            format!("cannot sign with {name}: {why}")
        })
    }

    fn new(key: SigningKey) -> Self {
        let id = key_id(&key.verifying_key());
        Self { key, id }
    }

    /// The key ID, as printed.
    pub(crate) fn key_id(&self) -> &str {
        &self.id
    }

    /// The private key in PKCS #8 PEM, for its file only. The public half is left out
    /// (version 1), because OpenSSL before 3.x refuses the file otherwise.
    pub(crate) fn private_pem(&self) -> Option<String> {
        let bytes = KeypairBytes {
            secret_key: self.key.to_bytes(),
            public_key: None,
        };
        let pem = bytes.to_pkcs8_pem(LineEnding::LF).ok()?;
        Some(pem.as_str().to_owned())
    }

    /// The public key in PEM (SPKI).
    pub fn public_pem(&self) -> Option<String> {
        let key = self.key.verifying_key();
        key.to_public_key_pem(LineEnding::LF).ok()
    }

    /// The signed claim for the QR code. Signing is deterministic (RFC 8032), so papers
    /// stay the same byte for byte.
    pub fn sign(&self, claim: &Claim) -> String {
        let text = claim.text(&self.id);
        let signature = self.key.sign(text.as_bytes());
        format!("{text}/{}", BASE32_NOPAD.encode(&signature.to_bytes()))
    }
}

// Keeps the key out of logs.
impl std::fmt::Debug for Signer {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Signer({})", self.id)
    }
}

/// A trusted public key.
#[derive(Debug, Clone)]
pub(crate) struct TrustedKey {
    key: VerifyingKey,
    id: String,
}

impl TrustedKey {
    /// A public key in PEM (SPKI); `None` if it is not one, or one of the few weak keys
    /// under which a signature proves nothing.
    pub(crate) fn from_pem(pem: &str) -> Option<Self> {
        let key = VerifyingKey::from_public_key_pem(pem).ok()?;
        let id = key_id(&key);
        (!key.is_weak()).then_some(Self { key, id })
    }

    /// A trusted key from the bytes of a public key's file, whose name the reason may give.
    ///
    /// # Errors
    /// Why it cannot be trusted.
    pub(crate) fn from_file(name: impl Display, bytes: &[u8]) -> Result<Self, String> {
        let text = pem_text(&name, bytes)?;
        Self::from_pem(text).ok_or_else(|| {
            let why = if Signer::from_pem(text).is_some() {
                "it is a private key, which never leaves its owner; give the public one"
            } else {
                "it is no Ed25519 public key in PEM; give one that `coldring keys` made"
            };
            format!("cannot trust {name}: {why}")
        })
    }

    /// The key ID, as printed.
    pub(crate) fn id(&self) -> &str {
        &self.id
    }

    /// Whether this key signed the statement. The key ID in a statement is only a hint
    /// and is not compared.
    pub(crate) fn signed(&self, statement: &Statement) -> bool {
        let signature = Signature::from_bytes(&statement.signature);
        let text = statement.signed_text.as_bytes();
        self.key.verify_strict(text, &signature).is_ok()
    }
}

fn pem_text(name: impl Display, bytes: &[u8]) -> Result<&str, String> {
    str::from_utf8(bytes).map_err(|_| {
        format!("cannot read {name}: it is not PEM; give a file that `coldring keys` made")
    })
}

/// The start of the public key's SHA-256, in capital hex digits.
fn key_id(key: &VerifyingKey) -> String {
    let digest = sha256(key.as_bytes()).to_uppercase();
    digest.get(..KEY_ID_DIGITS).unwrap_or(&digest).to_owned()
}

#[cfg(test)]
mod tests {
    use data_encoding::HEXLOWER_PERMISSIVE;
    use ed25519_dalek::Signer as _;

    use super::*;

    fn bytes<const N: usize>(hex: &str) -> [u8; N] {
        let bytes = HEXLOWER_PERMISSIVE.decode(hex.as_bytes()).unwrap();
        bytes.try_into().unwrap()
    }

    /// RFC 8032, section 7.1: TEST 1, 2 and 3.
    #[test]
    fn keys_and_signatures_are_those_of_the_rfc() {
        for (seed, public, message, signature) in [
            (
                "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
                "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
                &[][..],
                "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
            ),
            (
                "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
                "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
                &[0x72],
                "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
            ),
            (
                "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
                "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
                &[0xaf, 0x82],
                "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a",
            ),
        ] {
            let signer = Signer::from_seed(&bytes(seed));
            assert_eq!(signer.key.verifying_key().to_bytes(), bytes::<32>(public));
            let signed = signer.key.sign(message);
            assert_eq!(signed.to_bytes(), bytes::<64>(signature));
        }
    }

    #[test]
    fn a_key_survives_its_file_and_is_named_by_its_public_half() {
        let signer = Signer::from_seed(&[7; 32]);
        let again = Signer::from_pem(&signer.private_pem().unwrap()).unwrap();
        let public = TrustedKey::from_pem(&signer.public_pem().unwrap()).unwrap();
        assert_eq!(again.key_id(), signer.key_id());
        assert_eq!(public.id(), signer.key_id());
        assert_eq!(public.id().len(), KEY_ID_DIGITS);
        assert_ne!(Signer::from_seed(&[8; 32]).key_id(), signer.key_id());
        assert!(Signer::from_pem(&signer.public_pem().unwrap()).is_none());
        assert!(TrustedKey::from_pem(&signer.private_pem().unwrap()).is_none());
    }

    #[test]
    fn a_signer_never_prints_its_key() {
        let signer = Signer::from_seed(&[7; 32]);
        assert_eq!(format!("{signer:?}"), format!("Signer({})", signer.id));
    }
}
