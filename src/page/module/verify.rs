//! What the signed code of a paper proves, as `coldring verify` tells it. The file is
//! from anybody. It is read in a worker that holds nothing else and ends with its
//! answer; another one, which never reads the file, compares what came back.

use chrono::NaiveDate;
use serde::Deserialize;
use serde_json::{Value, json};

use super::{Answered, SpecText, as_bytes, as_json, date};
use crate::core::budget;
use crate::core::sandbox::{pack, unpack};
use crate::page::memory::MemoryFiles;
use crate::people::fusers::is_csv;
use crate::proof::TrustedKey;
use crate::verify::{
    Check, CodeReport, LIMITS, PaperContents, PaperReport, Register, Verdict, Verifier, read_paper,
};

#[derive(Debug, Deserialize)]
pub(super) struct VerifyRequest {
    /// What the file is called.
    paper: String,
    /// Public keys in PEM, one after the other.
    keys: String,
    /// The spec to compare with, instead of the one that is attached.
    #[serde(default)]
    spec: Option<SpecText>,
    /// Paths of records, for those that an attached spec names.
    #[serde(default)]
    records: Vec<String>,
    /// The path of a register of current revisions.
    #[serde(default)]
    register: Option<String>,
    /// How many bytes of what was read come before those of the file.
    read: usize,
    #[serde(deserialize_with = "date")]
    today: NaiveDate,
}

/// Reads the file of a paper: what is in it, as bytes for [`report`].
pub(super) fn read(pdf: &[u8]) -> Answered {
    let most = budget::VERIFIED_BYTES;
    if pdf.len() > most {
        return Err(format!(
            "it has more than {most} bytes; check that it is the right file"
        ));
    }
    let contents = read_paper(pdf, |_| ())?;
    let (names, attached) = contents.attached();
    as_bytes(pack(&(&contents, names), &attached)?)
}

/// The report on a paper; without one, nothing is proven.
pub(super) fn report(files: &MemoryFiles, request: &VerifyRequest, bytes: &[u8]) -> Answered {
    let verifier = request.verifier(files)?;
    let contents = contents(bytes, request.read).ok_or("what was read of it is not whole")?;
    let report = PaperReport::on_file(request.paper.clone(), contents, &verifier);
    as_json(json!({
        "title": report.title(request.today),
        "last_line": report.last_line(),
        "holds": report.holds(),
        "codes": report.codes.iter().map(code).collect::<Vec<_>>(),
        "remarks": report.remarks.iter().map(remark).collect::<Vec<_>>(),
        "next": report.next_step(),
        "limits": LIMITS,
    }))
}

fn contents(bytes: &[u8], read: usize) -> Option<PaperContents> {
    let (read, pdf) = bytes.split_at_checked(read)?;
    let ((contents, names), attached): ((PaperContents, Vec<String>), _) = unpack(read)?;
    let attached: Vec<_> = attached.into_iter().map(<[u8]>::to_vec).collect();
    (names.len() == attached.len()).then(|| contents.with(pdf.to_vec(), names, attached))
}

impl VerifyRequest {
    fn verifier(&self, files: &MemoryFiles) -> Result<Verifier, String> {
        let spec = self.spec.as_ref().map(|spec| {
            let sources = files.sources(&spec.path, &spec.text, None);
            sources.map_err(|(_, finding)| finding.message.clone())
        });
        let house = self.spec.as_ref().and_then(|spec| spec.house.as_deref());
        let records = self.records.iter();
        let records = records.map(|path| files.text(path, budget::RECORD.bytes));
        Ok(Verifier {
            trusted: trusted(&self.keys)?,
            register: { self.register.as_deref() }
                .map(|path| register(files, path))
                .transpose()?,
            as_of: self.today,
            spec: spec.transpose()?,
            records: records.collect::<Result<_, _>>()?,
            house: house.map_or_else(|| Ok(Vec::new()), |path| files.house(path))?,
            required: Vec::new(),
            sandbox: None,
        })
    }
}

/// The keys of a text, in which there may be other words between them.
fn trusted(text: &str) -> Result<Vec<TrustedKey>, String> {
    const BEGIN: &str = "-----BEGIN";
    let blocks = text.split(BEGIN).skip(1).map(|block| {
        let end = block.find("-----END");
        let end = end.and_then(|at| Some(at + block.get(at..)?.lines().next()?.len()));
        let block = end.and_then(|end| block.get(..end)).unwrap_or(block);
        format!("{BEGIN}{block}\n")
    });
    let keys: Vec<_> = blocks.collect();
    if keys.is_empty() {
        return Err(
            "no key is given that you trust; paste the organization's public key, which begins \
             with -----BEGIN PUBLIC KEY-----"
                .to_owned(),
        );
    }
    let keys = (1..).zip(&keys);
    let keys =
        keys.map(|(number, key)| TrustedKey::from_file(format!("key {number}"), key.as_bytes()));
    keys.collect()
}

fn register(files: &MemoryFiles, path: &str) -> Result<Register, String> {
    let text = files.text(path, budget::RECORD.bytes)?.text;
    let read = if is_csv(path) {
        Register::from_csv(&text)
    } else {
        Register::from_yaml(&text)
    };
    read.map_err(|wrong| format!("{path} cannot be used as a register: {}", wrong.join("; ")))
}

fn code(code: &CodeReport) -> Value {
    json!({
        "title": code.title(),
        "checks": code.checks.iter().map(check).collect::<Vec<_>>(),
    })
}

fn check(check: &Check) -> Value {
    json!({
        "verdict": check.verdict.word(),
        "about": check.about,
        "message": check.message,
        "fails": check.fails,
    })
}

fn remark((verdict, remark): &(Verdict, String)) -> Value {
    json!({ "verdict": verdict.word(), "message": remark })
}
