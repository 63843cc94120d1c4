//! Proof on paper: what a paper says of itself, signed with the organization's
//! key and printed as a QR code; and read back, what it proves. Files and the
//! clock stay outside.

mod claim;
mod keys;
mod qr;

pub use claim::{Claim, ClaimedProcedure, Subject};
pub use keys::{KEY_ID_DIGITS, Signer};
pub use qr::{QrTooLong, qr_png};
