//! Proof on paper: what a paper says of itself, signed with the organization's
//! key and printed as a QR code; and the signed text read back. Files and the
//! clock stay outside.

mod claim;
mod keys;
mod qr;
mod seal;
mod statement;

pub use claim::{
    CLAIMED_DIGITS, Claim, ClaimedProcedure, KEY_ID_DIGITS, MARK, Subject, status_word,
};
pub use keys::{Signer, TrustedKey};
pub use qr::{Qr, QrTooLong, qr_png};
pub use seal::Seal;
pub use statement::{NotAStatement, Statement};
