//! The library as the worker of a page asks it: a request in, an answer out, both
//! as bytes. To add a request, add an entry to `Request` and its function.
//!
//! A message is the length of its JSON (four bytes, little-endian), the JSON, and
//! the bytes of a file. Layout takes as long as it takes, and a worker hears nothing
//! meanwhile. So a text is laid out in steps, and the worker listens between two.

mod compare;
mod forms;
mod roster;

use chrono::NaiveDate;
use serde::de::Error;
use serde::{Deserialize, Deserializer, Serialize};
use serde_json::{Value, json};

use super::answers::{
    FieldRequest, describe, form, one_paper, starter, starter_choices, why, write_field,
};
use super::memory::MemoryFiles;
use super::messages::{PaperOptions, PreviewMessage, UnknownValue, paper_by_id};
use crate::core::digest::sha256;
use crate::core::finding::Finding;
use crate::core::finding_json::{JsonFinding, json_finding};
use crate::core::source::Sources;
use crate::papers::compile::{Checked, Options, PaperKind, Preview, PreviewEvent};
use crate::papers::fonts::page_fonts;
use crate::papers::typeset::{Picture, TypesetError};
use crate::process::socket::heat::advice::EstimateCache;
use crate::spec::language::Language;
use crate::spec::plausible::date_argument;

/// How many pictures are kept for the page to ask for.
const MOST_PICTURES: usize = 200;

/// What a worker asks.
#[derive(Debug, Deserialize)]
#[serde(tag = "ask", rename_all = "kebab-case")]
enum Request {
    /// Sizes and services for a starter.
    Choices,
    Starter {
        sizes: Vec<String>,
        service: String,
        #[serde(deserialize_with = "date")]
        today: NaiveDate,
    },
    /// Forgets the files of the page.
    Clear,
    /// Takes a file, or its new state.
    Put {
        path: String,
    },
    /// The digest of a file.
    Digest,
    /// Begins to check and lay out a text, and gives up the one before.
    Look {
        #[serde(flatten)]
        text: SpecText,
        #[serde(default)]
        in_view: String,
    },
    /// The next message about the text.
    Step,
    Picture {
        id: String,
    },
    Pdf {
        #[serde(flatten)]
        text: SpecText,
        paper: String,
    },
    Why {
        rule: String,
    },
    Describe {
        path: Vec<String>,
    },
    Form {
        text: String,
    },
    Field(FieldRequest),
    FormToFill(forms::FormRequest),
    Compare(compare::CompareRequest),
    Roster(roster::RosterRequest),
    Calendar(roster::RosterRequest),
    Cards(roster::RosterRequest),
    Font {
        name: String,
    },
}

/// A text, and what its papers depend on besides the files it names.
#[derive(Debug, Deserialize)]
struct SpecText {
    path: String,
    text: String,
    /// The path of `house.yaml`.
    #[serde(default)]
    house: Option<String>,
    #[serde(default, rename = "wishes")]
    options: PaperOptions,
    #[serde(deserialize_with = "date")]
    today: NaiveDate,
}

/// What answers a request.
#[derive(Debug, Default)]
struct Answer {
    json: Value,
    bytes: Vec<u8>,
}

type Answered = Result<Answer, String>;

/// The text that is being laid out.
struct Looking {
    preview: Preview,
    first: (PaperKind, Option<Language>),
    as_of: NaiveDate,
}

/// All that is remembered between two requests.
#[derive(Default)]
pub struct Module {
    files: MemoryFiles,
    looking: Option<Looking>,
    /// A message that needs no layout.
    told: Option<PreviewMessage>,
    pictures: Vec<Picture>,
    cache: EstimateCache,
}

impl Module {
    /// Answers a request. What cannot be answered has `why` in its JSON, in words.
    pub fn answer(&mut self, message: &[u8]) -> Vec<u8> {
        let answered = read(message).and_then(|(request, bytes)| self.take(request, bytes));
        let answer = answered.unwrap_or_else(|why| Answer {
            json: json!({ "why": why }),
            bytes: Vec::new(),
        });
        write(&answer)
    }

    fn take(&mut self, request: Request, bytes: &[u8]) -> Answered {
        match request {
            Request::Choices => as_json(starter_choices()),
            Request::Starter {
                sizes,
                service,
                today,
            } => as_json(json!({ "text": starter(&sizes, &service, today)? })),
            Request::Clear => {
                self.files.clear();
                Ok(Answer::default())
            }
            Request::Put { path } => {
                self.files.put(path, bytes.to_vec());
                Ok(Answer::default())
            }
            Request::Digest => as_json(json!({ "digest": sha256(bytes) })),
            Request::Look { text, in_view } => self.look(&text, &in_view),
            Request::Step => self.step(),
            Request::Picture { id } => self.picture(&id),
            Request::Pdf { text, paper } => self.pdf(&text, &paper),
            Request::Why { rule } => as_json(why(&rule).ok_or("there is no such rule")?),
            Request::Describe { path } => as_json(json!({ "help": describe(&path) })),
            Request::Form { text } => as_json(form(&text)),
            Request::Field(field) => as_json(json!({ "edits": write_field(&field)? })),
            Request::FormToFill(form) => forms::form(&self.files, &form),
            Request::Compare(order) => compare::changes(&self.files, &order),
            Request::Roster(order) => roster::standings(&self.files, &order),
            Request::Calendar(order) => roster::calendar_file(&self.files, &order),
            Request::Cards(order) => roster::cards(&self.files, &order),
            Request::Font { name } => {
                as_bytes(page_fonts(&name).ok_or("there is no such font")?.to_vec())
            }
        }
    }

    fn look(&mut self, text: &SpecText, in_view: &str) -> Answered {
        self.looking = None;
        self.told = None;
        match text.sources(&self.files) {
            Ok(sources) => {
                self.looking = Some(Looking {
                    preview: Preview::new(sources, text.paper_options()?),
                    first: paper_by_id(in_view).unwrap_or((PaperKind::Procedure, None)),
                    as_of: text.today,
                });
            }
            Err((sources, finding)) => {
                let checked = Checked {
                    identity: None,
                    spec_digest: String::new(),
                    findings: vec![*finding],
                };
                self.told = Some(PreviewMessage::findings(&checked, &sources));
            }
        }
        Ok(Answer::default())
    }

    fn step(&mut self) -> Answered {
        let Some(looking) = &mut self.looking else {
            return as_json(self.told.take().unwrap_or(PreviewMessage::Done));
        };
        let stepped = looking
            .preview
            .step(looking.first, looking.as_of, &self.cache);
        let Some(event) = stepped.map_err(|error| template_error(&error))? else {
            self.looking = None;
            return as_json(PreviewMessage::Done);
        };
        let message = PreviewMessage::from_event(&event, &looking.preview);
        if let PreviewEvent::Paper(paper) = event {
            self.keep_pictures(paper.pages.unwrap_or_default());
        }
        as_json(message)
    }

    fn keep_pictures(&mut self, pages: Vec<Picture>) {
        for page in pages {
            self.pictures.retain(|kept| kept.id != page.id);
            self.pictures.push(page);
        }
        let outdated = self.pictures.len().saturating_sub(MOST_PICTURES);
        self.pictures.drain(..outdated);
    }

    fn picture(&self, id: &str) -> Answered {
        let kept = self.pictures.iter().find(|picture| picture.id == id);
        let picture = kept.ok_or("the page has changed since")?;
        as_bytes(picture.svg().into_owned().into_bytes())
    }

    fn pdf(&self, text: &SpecText, paper: &str) -> Answered {
        let (kind, further) = paper_by_id(paper).ok_or("there is no such paper")?;
        let sources = text.sources(&self.files);
        let sources = sources.map_err(|(_, finding)| finding.message.clone())?;
        let options = text.paper_options()?;
        let paper = (kind, further);
        Ok(Answer {
            json: json!({ "name": kind.file_name_in(further) }),
            bytes: one_paper(&sources, paper, &options, text.today, template_error)?,
        })
    }
}

impl SpecText {
    fn sources(&self, files: &MemoryFiles) -> Result<Sources, (Box<Sources>, Box<Finding>)> {
        files.sources(&self.path, &self.text, self.house.as_deref())
    }

    fn paper_options(&self) -> Result<Options, String> {
        let options = self.options.options();
        options.map_err(|UnknownValue| "choose language, paper and card from the lists".to_owned())
    }
}

fn json_findings(findings: &[Finding], sources: &Sources) -> Vec<JsonFinding> {
    let findings = findings.iter();
    findings.map(|it| json_finding(it, sources)).collect()
}

fn template_error(error: &TypesetError) -> String {
    format!(
        "a page template of coldring {} failed, so no paper was made: {error}. Please send this \
         message and the spec to the maintainers; replace the names of people first.",
        env!("CARGO_PKG_VERSION")
    )
}

fn as_json(answer: impl Serialize) -> Answered {
    let json = serde_json::to_value(answer).map_err(|error| error.to_string())?;
    let bytes = Vec::new();
    Ok(Answer { json, bytes })
}

fn as_bytes(bytes: Vec<u8>) -> Answered {
    let json = Value::Null;
    Ok(Answer { json, bytes })
}

/// The date of the page's clock.
fn date<'de, D: Deserializer<'de>>(deserializer: D) -> Result<NaiveDate, D::Error> {
    let text = String::deserialize(deserializer)?;
    date_argument(&text).map_err(D::Error::custom)
}

/// A request and the bytes of its file.
fn read(message: &[u8]) -> Result<(Request, &[u8]), String> {
    let unreadable = || "the request cannot be read".to_owned();
    let (length, rest) = message.split_first_chunk().ok_or_else(unreadable)?;
    let length = usize::try_from(u32::from_le_bytes(*length)).map_err(|_| unreadable())?;
    let (json, bytes) = rest.split_at_checked(length).ok_or_else(unreadable)?;
    let request = serde_json::from_slice(json).map_err(|error| error.to_string())?;
    Ok((request, bytes))
}

fn write(answer: &Answer) -> Vec<u8> {
    let json = answer.json.to_string();
    // An answer is far shorter than memory can be.
    let length = u32::try_from(json.len()).unwrap_or_default();
    let mut message = length.to_le_bytes().to_vec();
    message.extend(json.as_bytes());
    message.extend(&answer.bytes);
    message
}

#[cfg(test)]
mod tests;
