//! Proof on paper: a signed text that says what a paper is, printed as a QR
//! code and read back.
//!
//! The signed text holds the kind of paper, procedure number, revision, status,
//! and spec digest; `coldring verify --help` documents its versioned format. It
//! includes the status, so a draft cannot pass for qualified by losing a word.
//! A code proves who issued a paper, never that the paper around it is
//! unaltered: pages are proven only by building the file again, byte for byte.
//! Ed25519 is deterministic, so the text read off a paper can stand in for the
//! key ([`Seal::Read`]). A key ID is a 32-bit hint; the signature decides.
//! Files and the clock stay outside.

mod claim;
mod keys;
mod qr;
mod seal;
mod statement;

pub use claim::{Claim, ClaimedProcedure, Subject};
pub(crate) use claim::{MARK, status_word};
pub use keys::Signer;
pub(crate) use keys::TrustedKey;
pub(crate) use qr::{Qr, qr_png};
pub use seal::Seal;
pub(crate) use statement::{NotAStatement, Statement};
