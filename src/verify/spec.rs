//! The spec that a paper is compared with: the one the user gives, or else the
//! one attached to the PDF.

use super::{Check, Pdf, Verdict, Verifier};
use crate::core::digest::{short, spec_digest};
use crate::core::source::{HouseFile, Role, Source, Sources, Unavailable};
use crate::papers::house::{STYLE_FILE, logo_of};
use crate::proof::ClaimedProcedure;
use crate::spec::{decode, included};

/// The name of an attached spec.
const ATTACHED: &str = "spec.yaml";

/// The spec to compare with.
pub(super) struct ReferenceSpec {
    sources: Option<Sources>,
    attached: bool,
    /// Its procedure number, if readable.
    number: Option<String>,
    /// Files it names that are unavailable.
    missing: Vec<String>,
}

impl ReferenceSpec {
    /// The verifier's spec, or the one attached to the PDF.
    pub(super) fn find(verifier: &Verifier, pdf: Option<&Pdf>) -> Self {
        let attached = verifier.spec.is_none();
        let (sources, missing) = match (&verifier.spec, pdf) {
            (Some(sources), _) => (Some(sources.clone()), unread(sources)),
            (None, Some(pdf)) => attached_spec(pdf, &verifier.records),
            (None, None) => (None, Vec::new()),
        };
        let house = match (verifier.house.is_empty(), pdf) {
            (true, Some(pdf)) => attached_house(pdf),
            _ => verifier.house.clone(),
        };
        let number = sources.as_ref().and_then(|sources| {
            let (spec, _) = decode(&sources.spec().text);
            Some(spec?.number.value)
        });
        Self {
            sources: sources.map(|sources| {
                let sources = sources.in_house(house);
                match verifier.sandbox {
                    Some(sandbox) => sources.with_sandbox(sandbox),
                    None => sources,
                }
            }),
            attached,
            number,
            missing,
        }
    }

    /// The spec with its files.
    pub(super) fn sources(&self) -> Option<&Sources> {
        self.sources.as_ref()
    }

    /// Checks that it is the spec that was signed.
    pub(super) fn compare(&self, claimed: &ClaimedProcedure) -> Check {
        let check = |verdict, message: String| Check::new("spec", verdict, message);
        let (number, signed) = (&claimed.number, &claimed.digest);
        let Some(sources) = &self.sources else {
            let message = "no spec is attached or given, so none was compared; give it with --spec";
            return check(Verdict::Unchecked, message.to_owned());
        };
        let which = if self.attached {
            "the attached spec"
        } else {
            "the spec that was given"
        };
        let digest = spec_digest(sources);
        if digest.starts_with(signed.as_str()) {
            let message = format!("{which} is the one that was signed, unaltered");
            return check(Verdict::Proven, message);
        }
        match &self.number {
            Some(own) if own != number => {
                let message = format!("{which} is that of {own}, not of {number}");
                // A paper that carries the spec of another procedure is not genuine.
                let verdict = if self.attached {
                    Verdict::False
                } else {
                    Verdict::Unchecked
                };
                check(verdict, message)
            }
            _ if !self.missing.is_empty() => check(
                Verdict::Unchecked,
                format!(
                    "{which} cannot be compared without {}, which it names; give {}",
                    self.missing.join(", "),
                    if self.attached {
                        "each record with --record, or the spec with --spec"
                    } else {
                        "the files that it names beside it"
                    }
                ),
            ),
            _ => check(
                Verdict::False,
                format!(
                    "{which} is NOT the one that was signed: its digest is {}, and {} was signed",
                    short(&digest),
                    short(signed)
                ),
            ),
        }
    }
}

/// Files a spec names that could not be read.
fn unread(sources: &Sources) -> Vec<String> {
    let read = sources.readable().count();
    let named = included(&sources.spec().text);
    if named.len() == read {
        Vec::new()
    } else {
        named.into_iter().map(|(_, path)| path).collect()
    }
}

/// The attached spec and its attached files, plus the given records, matched by file
/// name.
fn attached_spec(pdf: &Pdf, records: &[Source]) -> (Option<Sources>, Vec<String>) {
    let Some(text) = pdf.attached_text(ATTACHED) else {
        return (None, Vec::new());
    };
    let mut missing = Vec::new();
    let mut sources = Sources::from(Source::new(ATTACHED, text));
    let mut impersonal = 0;
    for (role, path) in included(text) {
        let found = if role == Role::Record {
            let named = file_name(&path);
            let record = records
                .iter()
                .find(|record| file_name(&record.name) == named);
            record.cloned()
        } else {
            // Named as `compile` names attachments.
            impersonal += 1;
            let name = format!("{}-{impersonal}.yaml", role.word());
            let text = pdf.attached_text(&name);
            text.map(|text| Source::new(name.clone(), text))
        };
        if found.is_none() {
            missing.push(path);
        }
        sources = sources.with(role, found.ok_or(Unavailable::NotGiven));
    }
    (Some(sources), missing)
}

fn file_name(path: &str) -> &str {
    path.rsplit('/').next().unwrap_or(path)
}

/// The attached house style, by the names from `house::attached_name`.
fn attached_house(pdf: &Pdf) -> Vec<HouseFile> {
    let Some(style) = pdf.attached_text(STYLE_FILE) else {
        return Vec::new();
    };
    let logo = logo_of(style);
    let files = pdf.attached.iter().filter_map(|(name, bytes)| {
        let plain = |path: &str| format!("house-{}", path.replace('/', "-"));
        let (role, path) = match &logo {
            _ if name == STYLE_FILE => (Role::House, STYLE_FILE.to_owned()),
            Some(logo) if *name == plain(logo) => (Role::Logo, logo.clone()),
            _ => return None,
        };
        let text = std::str::from_utf8(bytes).unwrap_or_default();
        Some(HouseFile {
            role,
            source: Source::new(path.clone(), text),
            path,
            bytes: Ok(bytes.clone()),
        })
    });
    let mut files: Vec<_> = files.collect();
    // In the order of a folder: style, then logo.
    files.sort_by_key(|file| file.role != Role::House);
    files
}
