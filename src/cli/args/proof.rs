//! Arguments of the commands about signed papers.

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::Args;

use super::Format;
use crate::spec::plausible::date_argument;
use crate::verify::Requirement;

#[derive(Debug, Args)]
#[command(after_long_help = "\
Example:
  coldring keys alder-fork --out ~/keys
  coldring build my.yaml --key ~/keys/alder-fork.private.pem

NAME.private.pem signs (Ed25519, PKCS #8): whoever has it can sign papers in your
organization's name, so keep it off shared drives and out of version control, and keep a
backup off site. NAME.public.pem verifies (SPKI): give it to inspectors in person, or on
a website they already trust. Neither file is ever overwritten.

Exit code: 0 written, 2 could not run.")]
pub(crate) struct KeysArguments {
    /// Name for the two key files
    #[arg(value_name = "NAME")]
    pub(crate) name: String,
    /// Folder they go to
    #[arg(long, value_name = "DIR", default_value = ".")]
    pub(crate) out: PathBuf,
}

#[derive(Debug, Args)]
#[command(
    group = clap::ArgGroup::new("paper").required(true),
    after_long_help = "\
Examples:
  coldring verify procedure.pdf --trust alder-fork.public.pem --spec my.yaml
  coldring verify --text \"COLDRING/1/WALLET/...\" --trust alder-fork.public.pem
  coldring verify scan.pdf --trust alder-fork.public.pem --register current.csv
  coldring verify card.pdf --trust alder-fork.public.pem --spec my.yaml --require pages

Codes are read from the page image, so a scan at 300 dpi or more works. Each is answered
line by line: `proven`; `FALSE`; `missing`: checked for and not proven; `scan`: a
picture; nothing about its pages is proven; `unchecked`. The pages are proven only when
the spec makes the same file again, byte for byte. Otherwise compare the paper with one
from the organization: a code can be copied onto another paper. Where the spec is
attached or given, pages that are not proven fail. Without one they are unchecked;
--require pages fails then, too. The last line says what was not proven.

A register says which revision is current: CSV with the columns number, revision and,
where a procedure was withdrawn, withdrawn with the day; or YAML with the same keys:
  procedures:
    - {number: AF-JP-12, revision: 3}
    - {number: AF-JP-09, revision: 1, withdrawn: 2026-05-01}

The text of a code, version 1, is fields with / between them:
  COLDRING/1/PAPER/BADGE/ then for each procedure NUMBER/REVISION/STATUS/DIGEST/UNTIL/
  then KEY/SIGNATURE
PAPER is PROCEDURE, CARD, MARKS or WALLET; BADGE is on wallet cards only; STATUS is
DRAFT, QUALIFIED or WITHDRAWN; DIGEST is the first 32 hex digits of the spec's SHA-256
(with the files it names, of the lines `role digest` of all of them); UNTIL is the last
valid day of a person's qualification; KEY is the first 8 hex digits of the SHA-256 of
the public key's 32 bytes; SIGNATURE is Ed25519 (RFC 8032) in base 32 (RFC 4648,
unpadded) over everything before its /. Other characters are written as in a URL (RFC
3986), lower case too.

`coldring explain --json verification` documents the JSON.

A signature shows who issued the paper, not whether the procedure is sound. It approves
nothing.

Exit code: 0 nothing is false or missing, and nothing is a scan where the spec could
prove the pages; 1 otherwise; 2 could not run.")]
pub(crate) struct VerifyArguments {
    /// Paper to verify, as PDF
    #[arg(value_name = "PDF", group = "paper")]
    pub(crate) pdf: Option<PathBuf>,
    /// Text of a QR code, as a phone reads it
    #[arg(long, value_name = "TEXT", group = "paper")]
    pub(crate) text: Option<String>,
    /// Public key of the organization; several may be trusted
    #[arg(long, required = true, value_name = "FILE")]
    pub(crate) trust: Vec<PathBuf>,
    /// Register of current revisions, CSV or YAML
    #[arg(long, value_name = "FILE")]
    pub(crate) register: Option<PathBuf>,
    /// Date to check expiry and withdrawals for [default: today]
    #[arg(long, value_name = "DATE", value_parser = date_argument)]
    pub(crate) as_of: Option<NaiveDate>,
    /// The spec that the paper was made from, with the files it names
    #[arg(long, value_name = "SPEC")]
    pub(crate) spec: Option<PathBuf>,
    /// A record that the attached spec names; records are never attached
    #[arg(long, value_name = "FILE", conflicts_with = "spec")]
    pub(crate) record: Vec<PathBuf>,
    /// The house style that the paper is set in, where it is not attached
    #[arg(long, value_name = "DIR")]
    pub(crate) house: Option<PathBuf>,
    /// What must be proven, besides the signature, for the paper to pass
    #[arg(long, value_enum, value_delimiter = ',', value_name = "WHAT")]
    pub(crate) require: Vec<Requirement>,
    /// How the answer is printed
    #[arg(long, value_enum, default_value = "text")]
    pub(crate) format: Format,
}
