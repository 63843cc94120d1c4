//! Compiles a submittal: its file and the files it names in, one PDF out.
//!
//! Pages are placed, not typeset again: each is an image to typst, so its text
//! stays searchable, drawings stay to scale, and bookmarks and page numbers
//! belong to the layout. Joining files with lopdf would keep their tags, but the
//! running footer and the contents would have to be drawn by hand. The result is
//! PDF 2.0, because typst places no page of a PDF newer than its own. Annotations
//! are not part of a page and are lost, with a warning. A submittal may name
//! files one folder up, since it is usually kept beside the specs. It names
//! people, so it gets its own folder and no manifest. Its own date stands in for
//! today, so the same files give the same bytes.

mod faults;
mod people;
mod previous;

use chrono::NaiveDate;

use faults::{not_placed, not_read};

use super::forms::FILLED;
use super::text::check_text;
use super::{Checked, FormsOrder, Options, PaperKind, compile, forms, to_json};
use crate::core::budget::{self, ATTACHED_BYTES};
use crate::core::digest;
use crate::core::finding::{self, Finding, Severity};
use crate::core::source::{Source, Sources, Spanned, Unavailable};
use crate::papers::house::house;
use crate::papers::sheets::{self, Clause, Clauses, Item, Placed};
use crate::papers::typeset::{Cause, HouseFiles, Page, Print, TypesetError, typeset};
use crate::people::fusers::{Revisions, Rules};
use crate::people::submittal::{
    Attachment, Enclosed, EnclosedProcedure, Fault, NamedAttachment, NamedProcedure, Submittal,
    SubmittedPapers, rules,
};
use crate::published::library;
use crate::rules::mentions_of_none;
use crate::spec::language::Language;
use crate::spec::{self, Paper, Status};

/// Limit on the pages of all attachments together.
const MAX_PAGES: usize = 1000;

#[derive(Debug)]
pub(crate) struct CompiledSubmittal {
    /// Findings about the submittal file itself.
    pub(crate) findings: Vec<Finding>,
    /// Findings about the files it names, each with its sources.
    pub(crate) file_findings: Vec<(Sources, Checked)>,
    /// The PDF; `None` if there is an error.
    pub(crate) pdf: Option<Vec<u8>>,
}

/// Makes a submittal with its enclosures in the order of the file. The list of
/// fusers and findings about dates use `as_of`, or else the date of the
/// submittal.
///
/// # Errors
/// [`TypesetError`] if one of our own templates fails.
pub(crate) fn submittal(
    sources: &Sources,
    submittal: &Submittal,
    enclosed: &Enclosed,
    paper: Option<Paper>,
    as_of: Option<NaiveDate>,
) -> Result<CompiledSubmittal, TypesetError> {
    let language = submittal
        .language
        .as_ref()
        .map_or(Language::En, |l| l.value);
    let mut binder = Binder {
        words: Clauses::load(language),
        language,
        paper: paper
            .or(submittal.paper.as_ref().map(|paper| paper.value))
            .unwrap_or(Paper::Letter),
        as_of: as_of.unwrap_or(submittal.date.value),
        items: Vec::new(),
        files: Vec::new(),
        numbers: Vec::new(),
        resins: Vec::new(),
        revisions: Vec::new(),
        revision_numbers: vec![submittal.revision.value],
        findings: check_text(&sources.spec().text, &budget::SUBMITTAL),
        file_findings: Vec::new(),
    };
    let (style, found) = house(sources, None, &[language]);
    // Each procedure already reports the faults of the house style.
    if enclosed.procedures.is_empty() {
        binder.findings.extend(found);
    }
    for (named, given) in submittal.procedures.iter().zip(&enclosed.procedures) {
        binder.procedure(named, given)?;
    }
    binder.texts(submittal);
    if let Some((named, given)) = submittal.fusers.as_ref().zip(enclosed.roster.as_ref()) {
        binder.fusers(named, given);
    }
    binder.attachments(&submittal.attachments, &enclosed.attachments);
    let Binder {
        mut findings,
        file_findings,
        items,
        files,
        paper,
        as_of,
        ..
    } = binder;
    finding::sort(&mut findings);
    let is_error = |finding: &Finding| finding.severity() == Severity::Error;
    if findings.iter().any(is_error) {
        return Ok(CompiledSubmittal {
            findings,
            file_findings,
            pdf: None,
        });
    }
    let look = style.as_ref().map(|style| style.style.look.clone());
    let sheet = sheets::submittal(submittal, items, paper, language, look);
    let mut inputs = vec![("submittal", sources.spec().text.as_bytes())];
    inputs.extend(
        files
            .iter()
            .map(|(name, bytes)| (name.as_str(), bytes.as_slice())),
    );
    let content_digest = digest::build_digest(
        &inputs,
        &format!("{paper:?} {as_of}"),
        env!("CARGO_PKG_VERSION"),
        library().version(),
    );
    let printed = typeset(&Print {
        page: Page::Submittal,
        sheet: to_json(&sheet)?,
        attached: files
            .iter()
            .map(|(name, bytes)| (name.clone(), bytes.as_slice()))
            .collect(),
        house: HouseFiles {
            sandbox: sources.sandbox(),
            ..style.map_or_else(HouseFiles::default, |style| style.files(sources))
        },
        code: None,
        identity: format!("{} {content_digest}", submittal.number.value),
        date: submittal.date.value,
    });
    let pdf = match printed {
        Ok(pdf) => Some(pdf),
        // Each attachment could be placed alone, so together they exceed the
        // limits.
        Err(error) if matches!(error.cause, Cause::Stopped) => {
            findings.push(
                rules::ATTACHMENT_TOO_LARGE
                    .about_file(format!("the submittal cannot be made as one PDF: {error}"))
                    .help("attach the pages that matter, or split it into two submittals"),
            );
            None
        }
        Err(error) => return Err(error),
    };
    Ok(CompiledSubmittal {
        findings,
        file_findings,
        pdf,
    })
}

/// The papers of a procedure that go along, in the order they are placed.
fn submitted_kinds(papers: SubmittedPapers) -> Vec<PaperKind> {
    match papers {
        SubmittedPapers::Both => vec![PaperKind::Procedure, PaperKind::Sources],
        SubmittedPapers::Procedure => vec![PaperKind::Procedure],
        SubmittedPapers::Sources => vec![PaperKind::Sources],
    }
}

/// Collects the parts of a submittal.
struct Binder {
    words: &'static Clauses,
    language: Language,
    paper: Paper,
    as_of: NaiveDate,
    items: Vec<Item>,
    /// The PDFs whose pages are placed, by virtual path.
    files: Vec<(String, Vec<u8>)>,
    /// The procedure numbers.
    numbers: Vec<String>,
    /// For each procedure, which revisions still count.
    revisions: Vec<Revisions>,
    resins: Vec<String>,
    /// Current revision of each procedure, and of the submittal.
    revision_numbers: Vec<u32>,
    findings: Vec<Finding>,
    file_findings: Vec<(Sources, Checked)>,
}

impl Binder {
    fn say(&self, clause: Clause) -> String {
        self.words.render(clause)
    }

    /// Adds titles and remarks, if every procedure could be read.
    fn texts(&mut self, submittal: &Submittal) {
        if self.numbers.is_empty() || self.numbers.len() < submittal.procedures.len() {
            return;
        }
        for text in std::iter::once(&submittal.title).chain(&submittal.remarks) {
            let named = mentions_of_none(library(), text, &self.resins, &self.revision_numbers);
            if !named.is_empty() {
                self.findings.push(
                    rules::SUBMITTAL_NAMES_OTHER
                        .at(
                            text.span,
                            format!("no enclosed procedure has {}", named.join(" or ")),
                        )
                        .help("correct the text, or enclose the procedure that it is about"),
                );
            }
        }
    }

    fn procedure(
        &mut self,
        named: &NamedProcedure,
        given: &EnclosedProcedure,
    ) -> Result<(), TypesetError> {
        let sources = match &given.spec {
            Ok(sources) => sources,
            Err(why) => {
                self.findings.push(not_read(&named.spec, why));
                return Ok(());
            }
        };
        let submitted = named.papers.as_ref();
        let kinds = submitted.map_or(SubmittedPapers::Both, |papers| papers.value);
        let options = Options {
            papers: submitted_kinds(kinds),
            paper: Some(self.paper),
            languages: vec![self.language],
            ..Options::default()
        };
        let outcome = compile(sources, &options, self.as_of)?;
        let made = outcome.papers;
        let (spec, _) = spec::decode(&sources.spec().text);
        let (false, Some(spec), Some(identity)) =
            (made.is_empty(), spec, outcome.checked.identity.clone())
        else {
            self.findings.push(
                rules::SUBMITTED_PROCEDURE_HAS_ERRORS
                    .at(
                        named.spec.span,
                        format!("'{}' has errors", named.spec.value),
                    )
                    .help("fix what is said of it above, or take it out of the submittal"),
            );
            self.file_findings.push((sources.clone(), outcome.checked));
            return Ok(());
        };
        let is = format!("{} revision {}", identity.number, identity.revision);
        match spec.status.value {
            Status::Withdrawn => self
                .findings
                .push(rules::SUBMITTED_WITHDRAWN.at(named.spec.span, format!("{is} is withdrawn"))),
            Status::Draft => self
                .findings
                .push(rules::SUBMITTED_DRAFT.at(named.spec.span, format!("{is} is a draft"))),
            Status::Qualified => {}
        }
        if self.numbers.contains(&identity.number) {
            self.findings.push(
                spec::rules::SAME_NUMBER_TWICE
                    .at(
                        named.spec.span,
                        format!("procedure {} is already in the submittal", identity.number),
                    )
                    .help("take one of the two out"),
            );
            return Ok(());
        }
        self.numbers.push(identity.number.clone());
        let revisions = self.previous(named, given, sources, &spec);
        self.revisions.push(revisions);
        self.resins.push(spec.resin.value.clone());
        self.resins
            .extend(spec.fittings.resin.iter().map(|resin| resin.value.clone()));
        self.revision_numbers.push(identity.revision);
        for made in made {
            let (number, revision) = (identity.number.clone(), identity.revision.to_string());
            let file = format!("{number}-r{revision}-{}", made.kind.file_name());
            let name = self.say(match made.kind {
                PaperKind::Sources => Clause::SubmittalSources { number, revision },
                _ => Clause::SubmittalProcedure { number, revision },
            });
            let attached = self.say(Clause::SubmittalOwnFile { name: name.clone() });
            let placed = Placed {
                attached: Some(attached),
                ..self.add_own_paper(&file, &name, made.bytes)?
            };
            let item = sheets::procedure_item(self.words, &spec, name, placed);
            self.items.push(item);
        }
        for (named, given) in named.records.iter().zip(&given.records) {
            self.record(named, given, sources, &identity.number)?;
        }
        Ok(())
    }

    fn record(
        &mut self,
        named: &Spanned<String>,
        given: &Result<Source, Unavailable>,
        sources: &Sources,
        procedure: &str,
    ) -> Result<(), TypesetError> {
        let record = match given {
            Ok(record) => record,
            Err(why) => {
                self.findings.push(not_read(named, why));
                return Ok(());
            }
        };
        let (read, _) = spec::record::record(&record.text);
        let forms = forms(FormsOrder {
            sources,
            record: Some(record.clone()),
            only: &[],
            rules: &Rules::default(),
            paper: Some(self.paper),
            language: Some(self.language),
            as_of: self.as_of,
        })?;
        let form = forms.files.into_iter().find(|(name, _)| *name == FILLED);
        let not_placed = |message| rules::SUBMITTED_RECORD_NOT_PLACED.at(named.span, message);
        let (Some((_, form)), Some(read)) = (form, read) else {
            let finding = not_placed(format!("'{}' cannot be read whole", named.value));
            self.findings
                .push(finding.help("fix what is said of it above"));
            self.file_findings.push((forms.sources, forms.checked));
            return Ok(());
        };
        if read.procedure.value != procedure {
            self.findings.push(
                not_placed(format!(
                    "record {} is of procedure {}, not of {procedure}",
                    read.number.value, read.procedure.value
                ))
                .help("name it with its own procedure"),
            );
            return Ok(());
        }
        let (counted, joints) = forms.counted;
        if counted < joints {
            self.findings.push(
                rules::SUBMITTED_RECORD_SHORT
                    .at(
                        named.span,
                        format!(
                            "{counted} of {joints} test joints of record {} were made by the \
                             procedure and passed",
                            read.number.value
                        ),
                    )
                    .help("`coldring forms SPEC --record FILE` says which did not, and why"),
            );
        }
        let name = self.say(Clause::SubmittalRecord {
            number: read.number.value.clone(),
            date: read.date.to_string(),
        });
        let file = format!("record-{}.pdf", self.files.len() + 1);
        let placed = self.add_own_paper(&file, &name, form)?;
        self.items.push(Item {
            name,
            notes: vec![self.say(Clause::SubmittalRecordCounted {
                number: procedure.to_owned(),
                counted: counted.to_string(),
                joints: joints.to_string(),
            })],
            placed: Some(placed),
            ..Item::default()
        });
        Ok(())
    }

    /// Adds a paper made by this program, ready to be placed.
    fn add_own_paper(
        &mut self,
        file: &str,
        name: &str,
        bytes: Vec<u8>,
    ) -> Result<Placed, TypesetError> {
        let document = lopdf::Document::load_mem(&bytes)
            .map_err(|error| TypesetError::new(format!("{file} cannot be read back: {error}")))?;
        let bookmarks = document.get_toc().map(|toc| toc.toc).unwrap_or_default();
        let mut bookmarks: Vec<_> = bookmarks.into_iter().map(|b| (b.title, b.page)).collect();
        // A heading repeated on each page of a table is bookmarked once.
        bookmarks.dedup_by(|next, before| next.0 == before.0);
        let pages = document.get_pages().len();
        self.files.push((file.to_owned(), bytes));
        Ok(Placed {
            full_size: true,
            bookmarks,
            ..self.placed(file, name, pages)
        })
    }

    fn placed(&self, file: &str, name: &str, pages: usize) -> Placed {
        let alternative = |page: usize| {
            self.say(Clause::SubmittalAlt {
                item: name.to_owned(),
                page: page.to_string(),
                pages: pages.to_string(),
            })
        };
        Placed {
            file: file.to_owned(),
            alternatives: (1..=pages).map(alternative).collect(),
            ..Placed::default()
        }
    }

    fn attachments(&mut self, named: &[NamedAttachment], given: &[Result<Attachment, Fault>]) {
        let (mut pages, mut bytes) = (0, 0usize);
        for (named, given) in named.iter().zip(given) {
            let attachment = match given {
                Ok(attachment) => attachment,
                Err(fault) => {
                    self.findings.push(not_placed(&named.file, fault));
                    continue;
                }
            };
            pages += attachment.pages.count;
            bytes = bytes.saturating_add(attachment.bytes.len());
            if let [first, ..] = attachment.pages.overlaid.as_slice() {
                self.findings.push(
                    rules::ATTACHMENT_LOSES_MARKS
                        .at(
                            named.file.span,
                            format!(
                                "stamps, comments or form fields lie over page {first} of '{}'; \
                                 they are not placed",
                                named.file.value
                            ),
                        )
                        .help("print the file to a new PDF and attach that"),
                );
            }
            let name = named.title.value.clone();
            let file = format!("attachment-{}.pdf", self.files.len() + 1);
            let placed = self.placed(&file, &name, attachment.pages.count);
            let path = &named.file.value;
            let last = path.rsplit('/').next().unwrap_or(path);
            self.items.push(Item {
                name,
                notes: vec![self.say(Clause::SubmittalAttached {
                    name: last.to_owned(),
                    digest: digest::short(&digest::sha256(&attachment.bytes)).to_owned(),
                })],
                placed: Some(placed),
                ..Item::default()
            });
            self.files.push((file, attachment.bytes.clone()));
        }
        if bytes > ATTACHED_BYTES {
            self.findings.push(
                rules::ATTACHMENT_TOO_LARGE
                    .about_file(format!(
                        "the attachments have {bytes} bytes together; a submittal may have \
                         {ATTACHED_BYTES}"
                    ))
                    .help(
                        "attach the pages that matter, or send the rest as a submittal of its own",
                    ),
            );
        }
        if pages > MAX_PAGES {
            self.findings
                .push(rules::ATTACHMENT_TOO_LARGE.about_file(format!(
                    "the attachments have {pages} pages together; a submittal may have {MAX_PAGES}"
                )));
        }
    }
}
