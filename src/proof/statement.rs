//! Reads a signed text. It may come from any QR code, so it is read strictly: any text
//! that this program would not write is rejected.

use std::fmt;

use chrono::NaiveDate;
use data_encoding::BASE32_NOPAD;
use percent_encoding::percent_decode_str;

use super::claim::{
    CLAIMED_DIGITS, Claim, ClaimedProcedure, KEY_ID_DIGITS, MARK, Subject, VERSION, status_word,
};
use crate::spec::Status;

/// Maximum length; the largest QR code holds little more.
const MOST_CHARACTERS: usize = 4000;

/// Number of fields per procedure.
const FIELDS: usize = 5;

/// A claim and its signature, not yet verified.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Statement {
    /// What the paper claims to be.
    pub(crate) claim: Claim,
    /// ID of the key it claims to be signed with.
    pub(crate) key_id: String,
    /// The signed part of the text.
    pub(crate) signed_text: String,
    pub(crate) signature: [u8; 64],
    /// The whole text, as the QR code holds it.
    pub(crate) text: String,
}

/// Why a text is not a statement.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum NotAStatement {
    /// It does not start like one.
    Foreign,
    /// Its version is unknown to this program.
    Version(String),
    /// It is too long for a QR code.
    TooLong,
    /// This part of it cannot be read.
    Part(&'static str),
}

impl fmt::Display for NotAStatement {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NotAStatement::Foreign => {
                write!(
                    f,
                    "the text is not a signed text of coldring: one begins with {MARK}/"
                )
            }
            NotAStatement::Version(version) => write!(
                f,
                "the signed text is of version {version:?}, and this program reads version {VERSION}"
            ),
            NotAStatement::TooLong => {
                write!(f, "the text has more than {MOST_CHARACTERS} characters")
            }
            NotAStatement::Part(part) => {
                write!(f, "the signed text is damaged: its {part} cannot be read")
            }
        }
    }
}

impl std::error::Error for NotAStatement {}

impl Statement {
    /// Reads the text of a QR code.
    ///
    /// # Errors
    /// [`NotAStatement`] when it is not exactly as [`super::Signer::sign`]
    /// writes one.
    pub(crate) fn read(text: &str) -> Result<Self, NotAStatement> {
        let Some(rest) = text.strip_prefix(MARK).and_then(|r| r.strip_prefix('/')) else {
            return Err(NotAStatement::Foreign);
        };
        if text.len() > MOST_CHARACTERS {
            return Err(NotAStatement::TooLong);
        }
        let (version, rest) = rest.split_once('/').unwrap_or((rest, ""));
        if version != VERSION {
            let shown = version.chars().take(12).collect();
            return Err(NotAStatement::Version(shown));
        }
        let part = NotAStatement::Part;
        let (signed_text, signature) = text.rsplit_once('/').ok_or(part("signature"))?;
        let signature = BASE32_NOPAD.decode(signature.as_bytes()).ok();
        let signature = signature.and_then(|bytes| bytes.try_into().ok());
        let signature = signature.ok_or(part("signature"))?;
        let fields: Vec<&str> = rest.split('/').collect();
        let [subject, badge, procedures @ .., key, _] = fields.as_slice() else {
            return Err(part("list of fields"));
        };
        let subject = Subject::ALL.into_iter().find(|s| s.word() == *subject);
        let procedures = procedures.chunks(FIELDS).map(procedure);
        let claim = Claim {
            subject: subject.ok_or(part("kind of paper"))?,
            badge: match *badge {
                "" => None,
                badge => Some(decode_field(badge).ok_or(part("badge"))?),
            },
            procedures: procedures.collect::<Result<_, _>>()?,
        };
        if claim.procedures.is_empty() {
            return Err(part("list of procedures"));
        }
        let hex = |c: char| c.is_ascii_digit() || ('A'..='F').contains(&c);
        if key.len() != KEY_ID_DIGITS || !key.chars().all(hex) {
            return Err(part("key"));
        }
        // A claim has exactly one text.
        if claim.text(key) != signed_text {
            return Err(part("spelling"));
        }
        Ok(Self {
            claim,
            key_id: (*key).to_owned(),
            signed_text: signed_text.to_owned(),
            signature,
            text: text.to_owned(),
        })
    }
}

fn procedure(fields: &[&str]) -> Result<ClaimedProcedure, NotAStatement> {
    let part = NotAStatement::Part;
    let [number, revision, status, digest, until] = *fields else {
        return Err(part("list of procedures"));
    };
    let hex = |c: char| c.is_ascii_hexdigit();
    if digest.len() != CLAIMED_DIGITS || !digest.chars().all(hex) {
        return Err(part("digest"));
    }
    let known = [Status::Draft, Status::Qualified, Status::Withdrawn];
    let status = known.into_iter().find(|s| status_word(*s) == status);
    Ok(ClaimedProcedure {
        number: decode_field(number).ok_or(part("procedure number"))?,
        revision: revision.parse().map_err(|_| part("revision"))?,
        status: status.ok_or(part("status"))?,
        digest: digest.to_lowercase(),
        valid_until: match until {
            "" => None,
            day => Some(
                day.parse::<NaiveDate>()
                    .map_err(|_| part("last valid day"))?,
            ),
        },
    })
}

/// Unescapes a field. It must not be empty or contain control characters that could steer
/// a terminal.
fn decode_field(field: &str) -> Option<String> {
    let text = percent_decode_str(field).decode_utf8().ok()?;
    let safe = !text.is_empty() && !text.chars().any(char::is_control);
    safe.then(|| text.into_owned())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::proof::{Signer, TrustedKey};

    fn claim(number: &str) -> Claim {
        Claim {
            subject: Subject::Wallet,
            badge: Some("AF/014 é".to_owned()),
            procedures: vec![
                ClaimedProcedure {
                    number: number.to_owned(),
                    revision: 3,
                    status: Status::Qualified,
                    digest: "0123456789abcdef".repeat(4),
                    valid_until: NaiveDate::from_ymd_opt(2026, 12, 31),
                },
                ClaimedProcedure {
                    number: "HC-SF-104".to_owned(),
                    revision: 0,
                    status: Status::Draft,
                    digest: "f".repeat(CLAIMED_DIGITS),
                    valid_until: None,
                },
            ],
        }
    }

    fn signed() -> String {
        Signer::from_seed(&[7; 32]).sign(&claim("AF-JP-12"))
    }

    fn key(seed: u8) -> TrustedKey {
        let pem = Signer::from_seed(&[seed; 32]).public_pem().unwrap();
        TrustedKey::from_pem(&pem).unwrap()
    }

    #[test]
    fn what_was_signed_is_read_back() {
        let statement = Statement::read(&signed()).unwrap();
        let mut wanted = claim("AF-JP-12");
        wanted.procedures[0].digest.truncate(CLAIMED_DIGITS);
        assert_eq!(statement.claim, wanted);
        assert!(key(7).signed(&statement));
        assert!(!key(8).signed(&statement));
    }

    #[test]
    fn the_text_has_dense_characters_only() {
        // ISO/IEC 18004, table of the alphanumeric mode.
        let dense =
            |c: char| c.is_ascii_digit() || c.is_ascii_uppercase() || " $%*+-./:".contains(c);
        let text = Signer::from_seed(&[7; 32]).sign(&claim("Prüf/7 a_b~%"));
        assert!(text.chars().all(dense), "{text}");
        assert_eq!(
            Statement::read(&text).unwrap().claim.procedures[0].number,
            "Prüf/7 a_b~%"
        );
    }

    #[test]
    fn any_other_character_is_noticed() {
        let text = signed();
        for at in 0..text.len() {
            let mut other = text.clone().into_bytes();
            other[at] = if other[at] == b'A' { b'B' } else { b'A' };
            let other = String::from_utf8(other).unwrap();
            let read = Statement::read(&other);
            assert!(!read.is_ok_and(|s| key(7).signed(&s)), "{at}: {other}");
        }
    }

    #[test]
    fn what_is_wrong_is_said() {
        let text = signed();
        let swapped = |old: &str, new: &str| {
            assert!(text.contains(old), "{old}");
            Statement::read(&text.replacen(old, new, 1))
                .unwrap_err()
                .to_string()
        };
        for (old, new, said) in [
            ("COLDRING/1", "COLDRINGS/1", "begins with COLDRING/"),
            ("COLDRING/1", "COLDRING/2", "version \"2\""),
            ("/WALLET/", "/TICKET/", "kind of paper"),
            ("/AF-JP-12/", "//", "procedure number"),
            ("/AF-JP-12/", "/%0A/", "procedure number"),
            ("/AF-JP-12/", "/%FF/", "procedure number"),
            ("/3/", "/THREE/", "revision"),
            ("/3/", "/03/", "spelling"),
            ("/QUALIFIED/", "/APPROVED/", "status"),
            ("/0123", "/G123", "digest"),
            ("/2026-12-31/", "/2026-02-30/", "last valid day"),
            ("/DRAFT", "", "list of procedures"),
        ] {
            let found = swapped(old, new);
            assert!(found.contains(said), "{new}: {found}");
        }
        let short = text.get(..text.len() - 1).unwrap();
        assert!(
            Statement::read(short)
                .unwrap_err()
                .to_string()
                .contains("signature")
        );
        let bare = text.rsplit_once('/').unwrap().1;
        let bare = format!("COLDRING/1/{bare}");
        assert_eq!(
            Statement::read(&bare),
            Err(NotAStatement::Part("list of fields"))
        );
        let long = format!("COLDRING/1/{}", "A".repeat(MOST_CHARACTERS));
        assert_eq!(Statement::read(&long), Err(NotAStatement::TooLong));
    }

    proptest! {
        #[test]
        fn no_text_breaks_the_reader(text in "(COLDRING/1/)?[A-Z0-9/%-]{0,80}\\PC{0,8}") {
            let _ = Statement::read(&text);
        }

        #[test]
        fn every_number_comes_back(number in "\\PC{1,30}") {
            let text = Signer::from_seed(&[7; 32]).sign(&claim(&number));
            prop_assert_eq!(&Statement::read(&text).unwrap().claim.procedures[0].number, &number);
        }
    }
}
