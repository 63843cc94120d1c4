//! The whole way of a submittal: its file and what it names in, one PDF out.
//! Procedures and records are compiled as they are alone; their pages and those
//! of the attachments are placed, none is set anew.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use super::forms::FILLED;
use super::{Checked, Options, PaperKind, compile, forms, to_json, without_glyph};
use crate::digest;
use crate::finding::{self, Finding, Severity};
use crate::fusers::{self, Roster, Rules, Standing};
use crate::house::house;
use crate::language::Language;
use crate::limits::library;
use crate::sheets::{self, Clause, Clauses, Item, Placed};
use crate::source::{Role, Source, Sources, Spanned, Unavailable};
use crate::spec::{self, Paper, Status, nearest};
use crate::submittal::{
    Attachment, Enclosed, EnclosedProcedure, Fault, MOST_BYTES, NamedAttachment, NamedProcedure,
    NamedRoster, Submittal, rules,
};
use crate::typeset::{HouseFiles, Page, Print, Required, TypesetError, typeset};

/// Most pages that all attachments may have together.
const MOST_PAGES: usize = 1000;
/// Most badges that one finding names.
const MOST_NAMED: usize = 5;

/// What came of a submittal.
#[derive(Debug)]
pub struct SubmittalMade {
    /// What is wrong with the file, or noteworthy in what it names.
    pub findings: Vec<Finding>,
    /// What is wrong with the files it names, each with its own texts.
    pub of_files: Vec<(Sources, Checked)>,
    /// The PDF; none when there is an error.
    pub pdf: Option<Vec<u8>>,
}

/// Makes a submittal of its file and what it encloses, in the order of the
/// file. The list of fusers and findings about dates go by `as_of`, or else by
/// the date of the submittal.
///
/// # Errors
/// [`TypesetError`] when a template of the program is at fault.
pub fn submittal(
    sources: &Sources,
    of: &Submittal,
    enclosed: &Enclosed,
    paper: Option<Paper>,
    as_of: Option<NaiveDate>,
) -> Result<SubmittalMade, TypesetError> {
    let language = of.language.as_ref().map_or(Language::En, |l| l.value);
    let mut binder = Binder {
        sources,
        words: Clauses::load(language),
        language,
        paper: paper
            .or(of.paper.as_ref().map(|paper| paper.value))
            .unwrap_or(Paper::Letter),
        as_of: as_of.unwrap_or(of.date.value),
        items: Vec::new(),
        files: Vec::new(),
        numbers: Vec::new(),
        findings: without_glyph(&sources.spec().text),
        of_files: Vec::new(),
    };
    let (style, found) = house(sources, None, &[language]);
    // Each procedure tells what is wrong with the house style.
    if enclosed.procedures.is_empty() {
        binder.findings.extend(found);
    }
    for (named, given) in of.procedures.iter().zip(&enclosed.procedures) {
        binder.procedure(named, given)?;
    }
    if let Some((named, given)) = of.fusers.as_ref().zip(enclosed.roster.as_ref()) {
        binder.fusers(named, given);
    }
    binder.attachments(&of.attachments, &enclosed.attachments);
    let Binder {
        mut findings,
        of_files,
        items,
        files,
        paper,
        as_of,
        ..
    } = binder;
    finding::sort(&mut findings);
    let is_error = |finding: &Finding| finding.severity() == Severity::Error;
    if findings.iter().any(is_error) {
        return Ok(SubmittalMade {
            findings,
            of_files,
            pdf: None,
        });
    }
    let look = style.as_ref().map(|style| style.style.look.clone());
    let sheet = sheets::submittal(of, items, paper, language, look);
    let mut inputs = vec![("submittal", sources.spec().text.as_bytes())];
    inputs.extend(files.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())));
    let made_of = digest::build_digest(
        &inputs,
        &format!("{paper:?} {as_of}"),
        env!("CARGO_PKG_VERSION"),
        library().version(),
    );
    let pdf = typeset(&Print {
        page: Page::Submittal,
        sheet: to_json(&sheet)?,
        attached: files
            .iter()
            .map(|(name, bytes)| (name.clone(), bytes.as_slice()))
            .collect(),
        // Its templates lay out the papers, not the submittal.
        house: HouseFiles {
            templates: Vec::new(),
            ..style.map_or_else(HouseFiles::default, |style| style.files(sources))
        },
        required: Required::default(),
        identity: format!("{} {made_of}", of.number.value),
        date: of.date.value,
    })?;
    Ok(SubmittalMade {
        findings,
        of_files,
        pdf: Some(pdf),
    })
}

/// A submittal on its way.
struct Binder<'a> {
    sources: &'a Sources,
    words: &'static Clauses,
    language: Language,
    paper: Paper,
    as_of: NaiveDate,
    items: Vec<Item>,
    /// The PDFs whose pages are placed, by their virtual names.
    files: Vec<(String, Vec<u8>)>,
    /// The numbers of the procedures.
    numbers: Vec<String>,
    findings: Vec<Finding>,
    of_files: Vec<(Sources, Checked)>,
}

impl Binder<'_> {
    fn say(&self, clause: Clause) -> String {
        self.words.render(clause)
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
        let options = Options {
            papers: vec![PaperKind::Procedure],
            paper: Some(self.paper),
            languages: vec![self.language],
            ..Options::default()
        };
        let outcome = compile(sources, &options, self.as_of)?;
        let made = outcome.papers.into_iter().next();
        let (spec, _) = spec::decode(&sources.spec().text);
        let (Some(made), Some(spec), Some(identity)) = (made, spec, outcome.checked.identity.clone())
        else {
            self.findings.push(
                rules::SUBMITTED_PROCEDURE_HAS_ERRORS
                    .at(named.spec.span, format!("'{}' has errors", named.spec.value))
                    .help("mend what is said of it above, or take it out of the submittal"),
            );
            self.of_files.push((sources.clone(), outcome.checked));
            return Ok(());
        };
        let is = format!("{} revision {}", identity.number, identity.revision);
        match spec.status.value {
            Status::Withdrawn => self.findings.push(
                rules::SUBMITTED_WITHDRAWN.at(named.spec.span, format!("{is} is withdrawn")),
            ),
            Status::Draft => self.findings.push(
                rules::SUBMITTED_DRAFT.at(named.spec.span, format!("{is} is a draft")),
            ),
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
        let file = format!("{}-r{}-procedure.pdf", identity.number, identity.revision);
        let name = self.say(Clause::SubmittalProcedure {
            number: identity.number.clone(),
            revision: identity.revision.to_string(),
        });
        let attached = self.say(Clause::SubmittalOwnFile { name: name.clone() });
        let placed = Placed {
            attached: Some(attached),
            ..self.own(&file, &name, made.bytes, sources)?
        };
        let item = sheets::procedure_item(self.words, &spec, name, placed);
        self.items.push(item);
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
        let forms = forms(
            sources,
            Some(record.clone()),
            Some(self.paper),
            Some(self.language),
            self.as_of,
        )?;
        let form = forms.files.into_iter().find(|(name, _)| *name == FILLED);
        let not_placed = |message| rules::SUBMITTED_RECORD_NOT_PLACED.at(named.span, message);
        let (Some((_, form)), Some(read)) = (form, read) else {
            let finding = not_placed(format!("'{}' cannot be read whole", named.value));
            self.findings.push(finding.help("mend what is said of it above"));
            self.of_files.push((forms.sources, forms.checked));
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
        let placed = self.own(&file, &name, form, sources)?;
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

    /// A paper of the program, ready to be placed.
    fn own(
        &mut self,
        file: &str,
        name: &str,
        bytes: Vec<u8>,
        sources: &Sources,
    ) -> Result<Placed, TypesetError> {
        let document = lopdf::Document::load_mem(&bytes)
            .map_err(|error| TypesetError::new(format!("{file} cannot be read back: {error}")))?;
        // A page template of a house may leave out headings, and with them the
        // bookmarks; it may also print where the footer goes.
        let bookmarks = document.get_toc().map(|toc| toc.toc).unwrap_or_default();
        let bookmarks = bookmarks.into_iter().map(|entry| (entry.title, entry.page));
        let pages = document.get_pages().len();
        self.files.push((file.to_owned(), bytes));
        Ok(Placed {
            full_size: !sources.house().any(|(_, file)| file.role == Role::Template),
            bookmarks: bookmarks.collect(),
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

    fn fusers(&mut self, named: &NamedRoster, given: &Result<Source, Unavailable>) {
        let source = match given {
            Ok(source) => source,
            Err(why) => return self.findings.push(not_read(&named.roster, why)),
        };
        let (roster, rules, found) = self.roster(named, source);
        let is_error = |finding: &Finding| finding.severity() == Severity::Error;
        if found.iter().any(is_error) {
            self.findings.push(
                rules::SUBMITTED_ROSTER_HAS_ERRORS
                    .at(
                        named.roster.span,
                        format!("the roster '{}' has errors", named.roster.value),
                    )
                    .help("mend what is said of it above"),
            );
            let checked = Checked {
                identity: None,
                spec_digest: String::new(),
                findings: found,
            };
            self.of_files.push((source.clone().into(), checked));
            return;
        }
        self.unknown_badges(named, &roster);
        let mut standings = fusers::evaluate(&roster, &rules, library(), self.as_of);
        let of_submittal = |standing: &Standing<'_>| {
            let procedure = standing.procedure();
            procedure.is_some_and(|number| self.numbers.iter().any(|own| own == number))
        };
        let with_procedure: BTreeSet<String> = standings
            .iter()
            .filter(|standing| of_submittal(standing))
            .map(|standing| standing.fuser.badge.value.clone())
            .collect();
        let badges: Vec<&str> = named.badges.iter().map(|b| b.value.as_str()).collect();
        let mut shown_without: BTreeSet<String> = BTreeSet::new();
        standings.retain(|standing| {
            let badge = &standing.fuser.badge.value;
            if badges.is_empty() {
                return of_submittal(standing);
            }
            badges.contains(&badge.as_str())
                && (of_submittal(standing)
                    || (!with_procedure.contains(badge) && shown_without.insert(badge.clone())))
        });
        // Whoever is named and has none of the procedures is listed all the
        // same, but not with a procedure of another submittal.
        for standing in &mut standings {
            if !with_procedure.contains(&standing.fuser.badge.value) {
                *standing = Standing {
                    qualification: None,
                    rule: None,
                    state: fusers::State::NeverQualified,
                    valid_until: None,
                    source: String::new(),
                    ..standing.clone()
                };
            }
        }
        self.not_qualified(named, &standings);
        let item = sheets::fusers_item(self.words, &standings, self.as_of);
        self.items.push(item);
    }

    fn roster(&self, named: &NamedRoster, source: &Source) -> (Roster, Rules, Vec<Finding>) {
        let is_csv = source.name.to_ascii_lowercase().ends_with(".csv");
        let (roster, mut found) = match is_csv {
            true => fusers::decode_csv(&source.text),
            false => fusers::decode_yaml(&source.text),
        };
        let mut rules = roster.rules.clone();
        for choice in &named.rules {
            rules.choose(choice.clone());
        }
        if found.is_empty() {
            found = fusers::review(&roster, &rules, library(), self.as_of);
        }
        finding::sort(&mut found);
        (roster, rules, found)
    }

    fn unknown_badges(&mut self, named: &NamedRoster, roster: &Roster) {
        let known: BTreeSet<&str> = roster.fusers.iter().map(|f| f.badge.value.as_str()).collect();
        for badge in &named.badges {
            if known.contains(badge.value.as_str()) {
                continue;
            }
            let finding = rules::SUBMITTED_BADGE_UNKNOWN.at(
                badge.span,
                format!("badge {} is not on the roster", badge.value),
            );
            let candidates: Vec<&str> = known.iter().copied().collect();
            self.findings.push(match nearest(badge, &candidates) {
                Some(near) => finding.help(format!("did you mean {near}?")),
                None => finding,
            });
        }
    }

    /// Findings name badges, never people.
    fn not_qualified(&mut self, named: &NamedRoster, standings: &[Standing<'_>]) {
        let day = self.as_of;
        let rule = &rules::SUBMITTED_FUSER_NOT_QUALIFIED;
        let told = |standing: &Standing<'_>| {
            let badge = &standing.fuser.badge.value;
            match standing.procedure() {
                Some(procedure) => format!("{badge} under {procedure} ({})", standing.state.word()),
                None => format!("{badge} ({})", standing.state.word()),
            }
        };
        let not: Vec<_> = standings.iter().filter(|s| !s.qualified()).collect();
        for badge in &named.badges {
            let mut of_badge = not.iter().filter(|s| s.fuser.badge.value == badge.value);
            if let Some(standing) = of_badge.next() {
                let message = format!("{} is not qualified on {day}", told(standing));
                self.findings.push(rule.at(badge.span, message));
            }
        }
        if named.badges.is_empty() && !not.is_empty() {
            let mut badges: Vec<_> = not.iter().take(MOST_NAMED).map(|s| told(s)).collect();
            if not.len() > MOST_NAMED {
                badges.push(format!("{} more", not.len() - MOST_NAMED));
            }
            let message = format!("not qualified on {day}: {}", badges.join(", "));
            self.findings.push(rule.at(named.roster.span, message));
        }
        for number in &self.numbers {
            let mut qualified = standings.iter().filter(|s| s.qualified());
            if !qualified.any(|standing| standing.procedure() == Some(number)) {
                self.findings.push(rules::NO_FUSER_FOR_PROCEDURE.at(
                    named.roster.span,
                    format!("nobody on the list is qualified for {number} on {day}"),
                ));
            }
        }
    }

    fn attachments(
        &mut self,
        named: &[NamedAttachment],
        given: &[Result<Attachment, Fault>],
    ) {
        let mut pages = 0;
        for (named, given) in named.iter().zip(given) {
            let attachment = match given {
                Ok(attachment) => attachment,
                Err(fault) => {
                    self.findings.push(not_placed(&named.file, fault));
                    continue;
                }
            };
            pages += attachment.pages;
            if let [first, ..] = attachment.overlaid.as_slice() {
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
            let placed = self.placed(&file, &name, attachment.pages);
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
        if pages > MOST_PAGES {
            self.findings.push(rules::ATTACHMENT_TOO_LARGE.about_file(format!(
                "the attachments have {pages} pages together; a submittal may have {MOST_PAGES}"
            )));
        }
    }
}

fn not_read(path: &Spanned<String>, why: &Unavailable) -> Finding {
    let (reason, help) = match why {
        Unavailable::NotGiven => ("was not handed over", "hand it over with the submittal"),
        Unavailable::Outside => (
            "is not in the folder of the submittal, nor in the folder that holds it",
            "write the path from the folder of the submittal, with at most one ../ at its start; \
             links that lead out are not followed",
        ),
        Unavailable::Unreadable(reason) => {
            return rules::SUBMITTED_FILE_NOT_READ
                .at(path.span, format!("'{}' cannot be read: {reason}", path.value))
                .help("check the path, which starts at the folder of the submittal");
        }
    };
    rules::SUBMITTED_FILE_NOT_READ
        .at(path.span, format!("'{}' {reason}", path.value))
        .help(help)
}

fn not_placed(path: &Spanned<String>, fault: &Fault) -> Finding {
    let name = &path.value;
    let (rule, message) = match fault {
        Fault::Unavailable(why) => return not_read(path, why),
        Fault::TooLarge => (
            &rules::ATTACHMENT_TOO_LARGE,
            format!("'{name}' has more than {MOST_BYTES} bytes"),
        ),
        Fault::TooManyPages(pages) => (
            &rules::ATTACHMENT_TOO_LARGE,
            format!(
                "'{name}' has {pages} pages; an attachment may have {}",
                crate::submittal::MOST_PAGES
            ),
        ),
        Fault::NotPdf => (
            &rules::ATTACHMENT_NOT_A_PDF,
            format!("'{name}' is not a PDF"),
        ),
        Fault::Encrypted => (
            &rules::ATTACHMENT_ENCRYPTED,
            format!("'{name}' is encrypted"),
        ),
        Fault::Empty => (
            &rules::ATTACHMENT_WITHOUT_PAGES,
            format!("'{name}' has no page"),
        ),
        Fault::Damaged(reason) => (
            &rules::ATTACHMENT_DAMAGED,
            format!("'{name}' is damaged: {reason}"),
        ),
    };
    rule.at(path.span, message).help(rule.fix)
}
