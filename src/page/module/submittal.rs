//! One PDF of a submittal's file and all that it names, as `coldring submittal` makes
//! it. The PDFs it attaches are from anybody: each is tried in a worker that holds
//! nothing else and ends with its answer, and so does the one that places them all.

use serde::Deserialize;
use serde_json::{Value, json};

use super::{Answer, Answered, SpecText, as_json, json_findings, template_error};
use crate::authoring::starter::{Beside, Paths, beside};
use crate::core::budget;
use crate::core::finding::{Finding, Severity};
use crate::core::source::{HouseFile, Role, Source, Sources, Unavailable};
use crate::page::memory::MemoryFiles;
use crate::papers::compile::{CompiledSubmittal, submittal, try_attachment};
use crate::people::submittal::{Attachment, Enclosed, EnclosedFiles, Fault, Pages, decode};
use crate::spec;

#[derive(Debug, Deserialize)]
pub(super) struct AttachmentsRequest {
    /// The path of the submittal.
    submittal: String,
}

#[derive(Debug, Deserialize)]
pub(super) struct SubmittalRequest {
    #[serde(flatten)]
    text: SpecText,
    /// The path of the submittal.
    submittal: String,
    /// What came of trying each attachment, by its path.
    #[serde(default)]
    tried: Vec<(String, Result<Pages, Fault>)>,
}

/// The attachments that are open here, one after the other, with their paths.
pub(super) fn attachments(files: &MemoryFiles, request: &AttachmentsRequest) -> Answered {
    let path = &request.submittal;
    let source = files.text(path, budget::SUBMITTAL.bytes)?;
    let (decoded, _) = decode(&source.text);
    let named = decoded.map(|decoded| decoded.attachments);
    let named = named.unwrap_or_default().into_iter();
    let open = named.filter_map(|named| files.enclosed(path, &named.file).ok());
    let open: Vec<_> = open.collect();
    let about = |(path, bytes): &(String, &[u8])| json!({ "path": path, "bytes": bytes.len() });
    Ok(Answer {
        json: json!({ "attachments": open.iter().map(about).collect::<Vec<_>>() }),
        bytes: open.iter().flat_map(|(_, bytes)| *bytes).copied().collect(),
    })
}

/// What comes of trying to place the pages of a PDF.
pub(super) fn try_one(pdf: &[u8]) -> Answered {
    as_json(json!({ "tried": try_attachment(pdf) }))
}

/// The PDF, and what was found; its name is null where there is none.
pub(super) fn packet(files: &MemoryFiles, request: &SubmittalRequest) -> Answered {
    let text = &request.text;
    let house = text.house.as_deref();
    let house = house.map_or_else(|| Ok(Vec::new()), |path| files.house(path))?;
    let source = files.text(&request.submittal, budget::SUBMITTAL.bytes)?;
    let sources = Sources::from(source).in_house(house.clone());
    let (decoded, mut findings) = decode(&sources.spec().text);
    let Some(decoded) = decoded else {
        return as_json(json!({ "name": null, "findings": json_findings(&findings, &sources) }));
    };
    let enclosed = Enclosed::read(
        &decoded,
        &Open {
            files,
            request,
            house: &house,
        },
    );
    let paper = text.paper_options()?.paper;
    let made = submittal(&sources, &decoded, &enclosed, paper, None);
    let CompiledSubmittal {
        findings: found,
        file_findings,
        pdf,
    } = made.map_err(|error| template_error(&error))?;
    findings.extend(found);
    let stops = findings.iter().any(is_error);
    let mut told: Vec<Value> = Vec::new();
    for (sources, checked) in file_findings {
        let mut errors = checked.findings;
        errors.retain(is_error);
        told.extend(json_findings(&errors, &sources).iter().map(|it| json!(it)));
    }
    told.extend(
        json_findings(&findings, &sources)
            .iter()
            .map(|it| json!(it)),
    );
    let pdf = pdf.filter(|_| !stops);
    let (number, revision) = (&decoded.number.value, decoded.revision.value);
    let name = pdf.as_ref();
    let name = name.map(|_| format!("{number}-r{revision}-submittal.pdf"));
    Ok(Answer {
        json: json!({ "name": name, "findings": told }),
        bytes: pdf.unwrap_or_default(),
    })
}

fn is_error(finding: &Finding) -> bool {
    finding.severity() == Severity::Error
}

/// The files that are open here.
struct Open<'a> {
    files: &'a MemoryFiles,
    request: &'a SubmittalRequest,
    house: &'a [HouseFile],
}

impl Open<'_> {
    fn find(&self, named: &str) -> Result<(String, &[u8]), Unavailable> {
        self.files.enclosed(&self.request.submittal, named)
    }
}

impl EnclosedFiles for Open<'_> {
    fn spec(&self, named: &str) -> Result<Sources, Unavailable> {
        let source = self.text(named, budget::SPEC.bytes)?;
        let sources = self.files.sources(&source.name, &source.text, None);
        let sources =
            sources.map_err(|(_, finding)| Unavailable::Unreadable(finding.message.clone()))?;
        Ok(sources.in_house(self.house.to_vec()))
    }

    fn text(&self, named: &str, most: usize) -> Result<Source, Unavailable> {
        let (path, bytes) = self.find(named)?;
        if bytes.len() > most {
            let reason = format!("it has more than {most} bytes");
            return Err(Unavailable::Unreadable(reason));
        }
        let text = String::from_utf8(bytes.to_vec())
            .map_err(|_| Unavailable::Unreadable("it is not UTF-8".to_owned()))?;
        Ok(Source::new(path, text))
    }

    fn attachment(&self, named: &str) -> Result<Attachment, Fault> {
        let (path, bytes) = self.find(named).map_err(Fault::Unavailable)?;
        let mut tried = self.request.tried.iter();
        let tried = tried.find(|(known, _)| *known == path);
        let (_, tried) = tried.ok_or_else(|| Fault::Stopped("was not begun".to_owned()))?;
        Ok(Attachment {
            pages: tried.clone()?,
            bytes: bytes.to_vec(),
        })
    }
}

/// A submittal's file that names this spec and its records, to lie in the same folder.
pub(super) fn starter(text: &SpecText) -> Answered {
    const FILE: &str = "submittal.yaml";
    let records = spec::included(&text.text).into_iter();
    let records = records.filter(|(role, _)| *role == Role::Record);
    let name = text.path.rsplit('/').next().unwrap_or(&text.path);
    let paths = Paths {
        spec: name.to_owned(),
        file: FILE.to_owned(),
        named: name.to_owned(),
        folder: ".".to_owned(),
        records: records.map(|(_, path)| path).collect(),
    };
    match beside(Beside::Submittal, &text.text, &paths, text.today) {
        Ok(text) => as_json(json!({ "name": FILE, "text": text })),
        Err(_) => Err("the spec cannot be read whole; fix its errors first".to_owned()),
    }
}
