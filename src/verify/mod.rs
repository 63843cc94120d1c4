//! Verifies a paper: reads it back and reports what its signed code proves,
//! line by line.
//!
//! The file is untrusted. It is read within limits in the sandboxed worker, and
//! nothing in it is believed unless a signature, a digest, or identical bytes
//! show it. Metadata can be stripped and a page can be printed as a picture, so
//! verification fails whenever the spec is at hand and the pages are not byte
//! for byte those it makes. A file does not say which options made it, so all
//! of them are tried and the bytes decide. Codes are looked for only on pages
//! that draw an image, since a page takes most of a second.

mod pdf;
mod picture;
mod rebuild;
mod register;
mod report;
mod scan;
mod spec;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::core::sandbox::Sandbox;
use crate::core::source::{HouseFile, Source, Sources};
use crate::proof::{ClaimedProcedure, NotAStatement, Statement, Subject, TrustedKey};
use crate::spec::Status;
pub(crate) use pdf::Pdf;
pub use register::Register;
pub(crate) use report::{LIMITS, PaperReport};
pub(crate) use scan::{ScannedCodes, scan};
use spec::ReferenceSpec;

/// The untrusted contents of a file.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub(crate) struct PaperContents {
    /// The PDF itself.
    pub(crate) pdf: Pdf,
    /// The codes on its pages.
    pub(crate) seen: ScannedCodes,
}

impl PaperContents {
    /// Names and bytes of the attached files, which travel beside the rest.
    pub(crate) fn attached(&self) -> (Vec<&str>, Vec<&[u8]>) {
        let attached = self.pdf.attached.iter();
        attached
            .map(|(name, bytes)| (name.as_str(), bytes.as_slice()))
            .unzip()
    }

    /// With what traveled beside it. `bytes` is the file as the asker has it, which no
    /// reader can have changed.
    pub(crate) fn with(
        mut self,
        bytes: Vec<u8>,
        names: Vec<String>,
        attached: Vec<Vec<u8>>,
    ) -> Self {
        self.pdf.attached = names.into_iter().zip(attached).collect();
        self.pdf.bytes = bytes;
        self
    }
}

/// Reads a file and the codes on its pages. `before` is called with the number of pages
/// to scan, which is most of the work.
///
/// # Errors
/// Why it cannot be read or its pages cannot be drawn.
pub(crate) fn read_paper(
    bytes: &[u8],
    before: impl FnOnce(usize),
) -> Result<PaperContents, String> {
    let pdf = Pdf::read(bytes.to_vec())?;
    before(pdf.with_images.len());
    let seen = scan(&pdf.bytes, &pdf.with_images)?;
    Ok(PaperContents { pdf, seen })
}

/// Result of a check.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Verdict {
    /// Proven true.
    Proven,
    /// Proven false.
    False,
    /// Required or tried, but not proven.
    Missing,
    /// The page is a scanned picture, so its bytes cannot be compared.
    Scan,
    /// Not checked: something needed is missing.
    Unchecked,
}

impl Verdict {
    pub(crate) fn word(self) -> &'static str {
        match self {
            Verdict::Proven => "proven",
            Verdict::False => "FALSE",
            Verdict::Missing => "missing",
            Verdict::Scan => "scan",
            Verdict::Unchecked => "unchecked",
        }
    }
}

/// One check.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Check {
    /// The subject: `signature`, `spec`, `pages`, `status`, `qualification`, `register`.
    pub(crate) about: &'static str,
    /// How it came out.
    pub(crate) verdict: Verdict,
    /// The result in words.
    pub(crate) message: String,
    /// Whether it makes the paper fail.
    pub(crate) fails: bool,
}

impl Check {
    fn new(about: &'static str, verdict: Verdict, message: impl Into<String>) -> Self {
        let message = message.into();
        Self {
            about,
            verdict,
            message,
            fails: matches!(verdict, Verdict::False | Verdict::Missing),
        }
    }

    /// The same check, failing unless it is proven.
    fn required(self) -> Self {
        Self {
            fails: self.verdict != Verdict::Proven,
            ..self
        }
    }
}

/// What must be proven for a paper to pass, besides its signature.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub(crate) enum Requirement {
    /// The spec at hand is the one that was signed.
    Spec,
    /// The pages are those the spec makes.
    Pages,
    /// The revision is the current one.
    Register,
}

impl Requirement {
    fn about(self) -> &'static str {
        match self {
            Requirement::Spec => "spec",
            Requirement::Pages => "pages",
            Requirement::Register => "register",
        }
    }

    /// The message if it was not checked at all.
    fn not_tried(self) -> &'static str {
        match self {
            Requirement::Spec => "required, and no spec was given; give it with --spec",
            Requirement::Pages => {
                "required, and there are no pages: only the text of a code was given"
            }
            Requirement::Register => "required, and no register was given; give it with --register",
        }
    }
}

#[derive(Debug, Clone)]
pub(crate) struct CodeReport {
    /// The pages with this code, from 1; empty if only its text was given.
    pub(crate) pages: Vec<usize>,
    pub(crate) text: String,
    /// Its statement, or why it cannot be read.
    pub(crate) statement: Result<Statement, NotAStatement>,
    /// What it proves.
    pub(crate) checks: Vec<Check>,
}

/// What papers are verified against.
#[derive(Debug, Clone)]
pub(crate) struct Verifier {
    /// Trusted keys.
    pub(crate) trusted: Vec<TrustedKey>,
    /// The revisions that are current.
    pub(crate) register: Option<Register>,
    /// The date that last valid days are compared with.
    pub(crate) as_of: NaiveDate,
    /// The spec and its files, if the user gives them.
    pub(crate) spec: Option<Sources>,
    /// Records that an attached spec names.
    pub(crate) records: Vec<Source>,
    /// The house style, if the user gives it.
    pub(crate) house: Vec<HouseFile>,
    /// What must be proven.
    pub(crate) required: Vec<Requirement>,
    /// The sandbox for house styles, if any.
    pub(crate) sandbox: Option<Sandbox>,
}

impl Verifier {
    /// Verifies a code. `pdf` is the paper it is on, if there is one.
    pub(crate) fn verify_code(
        &self,
        pages: Vec<usize>,
        text: String,
        pdf: Option<&Pdf>,
    ) -> CodeReport {
        let statement = Statement::read(&text);
        let checks = match &statement {
            Ok(statement) => self.checks(statement, pdf, &pages),
            Err(why) => vec![Check::new("signature", Verdict::False, why.to_string())],
        };
        let checks = self.with_required(checks);
        CodeReport {
            pages,
            text,
            statement,
            checks,
        }
    }

    /// Makes required checks fail unless proven, and adds those that were not tried.
    fn with_required(&self, checks: Vec<Check>) -> Vec<Check> {
        let is_required = |check: &Check| {
            let mut required = self.required.iter();
            required.any(|required| required.about() == check.about)
        };
        let not_tried = self.required.iter().filter(|required| {
            let about = required.about();
            !checks.iter().any(|check| check.about == about)
        });
        let not_tried: Vec<_> = not_tried
            .map(|required| Check::new(required.about(), Verdict::Missing, required.not_tried()))
            .collect();
        let checks = checks.into_iter().map(|check| {
            if is_required(&check) {
                check.required()
            } else {
                check
            }
        });
        checks.chain(not_tried).collect()
    }

    fn checks(&self, statement: &Statement, pdf: Option<&Pdf>, pages: &[usize]) -> Vec<Check> {
        let signature = self.signature(statement);
        let genuine = signature.verdict == Verdict::Proven;
        let mut checks = vec![signature];
        // A code from somebody else is not worth comparing.
        if !genuine {
            return checks;
        }
        let procedures = &statement.claim.procedures;
        for procedure in procedures {
            checks.extend(status(procedure));
            checks.extend(qualification(procedure, self.as_of));
            checks.extend(self.register.as_ref().map(|register| {
                let (verdict, message) = register.about(procedure, self.as_of);
                Check::new("register", verdict, message)
            }));
        }
        let given = ReferenceSpec::find(self, pdf);
        let mut unaltered = false;
        for procedure in procedures {
            let check = given.compare(procedure);
            unaltered |= check.verdict == Verdict::Proven;
            checks.push(check);
        }
        if let Some(pdf) = pdf {
            let spec = given.sources().map(|sources| (sources, unaltered));
            checks.push(self.pages(statement, pdf, pages, spec));
        }
        checks
    }

    /// Checks that the pages are those of the spec. `spec` comes with whether it is the
    /// one that was signed.
    fn pages(
        &self,
        statement: &Statement,
        pdf: &Pdf,
        pages: &[usize],
        spec: Option<(&Sources, bool)>,
    ) -> Check {
        let check = |verdict, message: &str| Check::new("pages", verdict, message);
        let subject = statement.claim.subject;
        if subject == Subject::Wallet {
            let message = "a wallet card is not made again, since a spec holds nothing about people; \
                        compare it with one from the organization";
            return check(Verdict::Unchecked, message);
        }
        let rebuilt = match spec {
            Some((sources, true)) => Some(rebuild::pages(pdf, statement, sources, self.as_of)),
            _ => None,
        };
        if let Some(proven) = rebuilt.as_ref().filter(|t| t.verdict == Verdict::Proven) {
            return proven.clone();
        }
        if pages.iter().any(|page| pdf.pictures.contains(page)) {
            let scan = check(
                Verdict::Scan,
                "NOT PROVEN: the page is a picture, as a scanner makes one, and a picture can be \
                 altered; compare every figure with the paper from the organization",
            );
            // A spec is available and the pages are still not proven.
            return match spec {
                Some(_) => scan.required(),
                None => scan,
            };
        }
        match (rebuilt, spec) {
            (Some(rebuilt), _) => rebuilt,
            (None, Some(_)) => check(
                Verdict::Missing,
                "NOT PROVEN: as said above, the spec at hand is not shown to be the one that was \
                 signed, so they cannot be made again from it; give what is asked for there, or \
                 compare the paper with one from the organization",
            ),
            (None, None) if matches!(subject, Subject::Procedure | Subject::Sources) => check(
                Verdict::Missing,
                "NOT PROVEN: this paper carries its spec in its file, and this file carries \
                 none, so it is not the file that was issued; give the spec with --spec, or \
                 compare the paper with one from the organization",
            ),
            (None, None) => check(
                Verdict::Unchecked,
                "the pages cannot be made again without the spec that was signed; give it with \
                 --spec, or compare the paper with one from the organization",
            ),
        }
    }

    fn signature(&self, statement: &Statement) -> Check {
        let id = &statement.key_id;
        if let Some(key) = self.trusted.iter().find(|key| key.signed(statement)) {
            let message = format!("genuine: made with the key {}, which you trust", key.id());
            return Check::new("signature", Verdict::Proven, message);
        }
        let message = if self.trusted.iter().any(|key| key.id() == id) {
            format!("not genuine: the key {id} did not sign this text")
        } else {
            let known: Vec<_> = self.trusted.iter().map(TrustedKey::id).collect();
            format!(
                "by the key {id}, which is none of those you trust ({}): the code proves nothing",
                known.join(", ")
            )
        };
        Check::new("signature", Verdict::False, message)
    }
}

fn status(procedure: &ClaimedProcedure) -> Option<Check> {
    let number = &procedure.number;
    match procedure.status {
        Status::Qualified => None,
        Status::Draft => Some(Check::new(
            "status",
            Verdict::Proven,
            format!("{number} was a DRAFT when this was signed: nobody works from it"),
        )),
        Status::Withdrawn => Some(Check::new(
            "status",
            Verdict::False,
            format!("{number} was WITHDRAWN when this was signed: nobody works from it"),
        )),
    }
}

fn qualification(procedure: &ClaimedProcedure, as_of: NaiveDate) -> Option<Check> {
    let until = procedure.valid_until?;
    let number = &procedure.number;
    let (verdict, message) = if until < as_of {
        (
            Verdict::False,
            format!("under {number} it EXPIRED: its last day was {until}"),
        )
    } else {
        let message = format!(
            "under {number} it was to last through {until}; what ended it sooner is not in the code"
        );
        (Verdict::Proven, message)
    };
    Some(Check::new("qualification", verdict, message))
}
