//! A paper's claim about itself, in the characters that a QR code holds most densely:
//! capitals, digits, and a few signs (ISO/IEC 18004).
//!
//! `COLDRING/1/WALLET/AF-014/AF-JP-12/3/QUALIFIED/<digest>/2026-12-31/<key>/<signature>`:
//! version of the format, kind of paper, badge, then number, revision, status,
//! digest and last valid day of each procedure, the signing key, and the
//! signature over all that stands before its own `/`. Other characters are
//! written as in a URL (RFC 3986), the signature in base 32 (RFC 4648). What a
//! paper does not have, such as a badge, is an empty field.

use chrono::NaiveDate;
use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, utf8_percent_encode};

use crate::spec::Status;

/// The first word of every signed text.
pub(crate) const MARK: &str = "COLDRING";

/// The format version.
pub(crate) const VERSION: &str = "1";

/// Hex digits of a spec's digest that are signed: 128 bits.
pub(crate) const CLAIMED_DIGITS: usize = 32;
/// Hex digits of a key ID.
pub(crate) const KEY_ID_DIGITS: usize = 8;

/// Characters to escape. Lower-case letters are among them, which keeps the text in the
/// dense set.
const ESCAPED: &AsciiSet = &NON_ALPHANUMERIC.remove(b'-').remove(b'.').remove(b' ');

/// The kind of paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Subject {
    /// The written procedure.
    Procedure,
    /// Where the procedure's numbers come from.
    Sources,
    /// The sheet for the lid of the tool box.
    Lid,
    /// The pocket card.
    Card,
    /// The depth-mark strips.
    DepthMarks,
    /// The wallet card of one fuser.
    Wallet,
}

impl Subject {
    /// Every kind.
    pub(crate) const ALL: [Subject; 6] = [
        Subject::Procedure,
        Subject::Sources,
        Subject::Lid,
        Subject::Card,
        Subject::DepthMarks,
        Subject::Wallet,
    ];

    /// Its name in messages.
    pub(crate) fn name(self) -> &'static str {
        match self {
            Subject::Procedure => "written procedure",
            Subject::Sources => "sources and open points",
            Subject::Lid => "lid sheet",
            Subject::Card => "pocket card",
            Subject::DepthMarks => "depth marks",
            Subject::Wallet => "wallet card",
        }
    }

    /// Its word in the signed text.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Subject::Procedure => "PROCEDURE",
            Subject::Sources => "SOURCES",
            Subject::Lid => "LID",
            Subject::Card => "CARD",
            Subject::DepthMarks => "MARKS",
            Subject::Wallet => "WALLET",
        }
    }
}

/// A paper's claim about itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Claim {
    /// Kind of paper.
    pub subject: Subject,
    /// The fuser's badge, on wallet cards only.
    pub badge: Option<String>,
    /// The procedures it was made from.
    pub procedures: Vec<ClaimedProcedure>,
}

/// A procedure that a paper was made from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClaimedProcedure {
    /// Its number.
    pub number: String,
    /// Its revision.
    pub revision: u32,
    /// Its status, so that a draft cannot pass for qualified by losing the word.
    pub status: Status,
    /// The digest of its spec in hexadecimal, complete or truncated.
    pub digest: String,
    /// The last day the person is qualified under it, inclusive.
    pub valid_until: Option<NaiveDate>,
}

impl Claim {
    /// The text to sign with the key of this ID.
    pub(crate) fn text(&self, key: &str) -> String {
        let badge = self.badge.as_deref().unwrap_or_default();
        let mut text = format!(
            "{MARK}/{VERSION}/{}/{}",
            self.subject.word(),
            encode_field(badge)
        );
        for procedure in &self.procedures {
            let digest = &procedure.digest;
            let digest = digest.get(..CLAIMED_DIGITS).unwrap_or(digest);
            let until = procedure.valid_until.map(|day| day.to_string());
            text.push_str(&format!(
                "/{}/{}/{}/{}/{}",
                encode_field(&procedure.number),
                procedure.revision,
                status_word(procedure.status),
                digest.to_uppercase(),
                until.unwrap_or_default(),
            ));
        }
        text.push('/');
        text.push_str(key);
        text
    }
}

/// A status's word in the signed text.
pub(crate) fn status_word(status: Status) -> &'static str {
    match status {
        Status::Draft => "DRAFT",
        Status::Qualified => "QUALIFIED",
        Status::Withdrawn => "WITHDRAWN",
    }
}

/// Escapes a field to dense characters without `/`.
fn encode_field(field: &str) -> String {
    let escaped = |c: char| match c {
        'a'..='z' => format!("%{:02X}", u32::from(c)),
        _ => utf8_percent_encode(c.encode_utf8(&mut [0; 4]), ESCAPED).to_string(),
    };
    field.chars().map(escaped).collect()
}
