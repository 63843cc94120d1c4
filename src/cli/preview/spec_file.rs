//! The spec being edited: reads it, saves it, saves a copy, makes its papers. A
//! save sends the digest of the file as the page knows it; a file in another
//! state is shown, never overwritten, unless the digest of the shown state is
//! sent back. A file that cannot be read, or is read-only, is never
//! overwritten. Another program may still write between comparison and rename:
//! files have no better lock.

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::sync::Mutex;

use chrono::NaiveDate;
use serde::Serialize;

use crate::cli::args::PreviewArguments;
use crate::cli::build::template_error;
use crate::cli::input::{self, display_path};
use crate::cli::output::{Access, OutputError, overwrite_user_file, write_new};
use crate::core::budget;
use crate::core::digest::sha256;
use crate::core::finding::Finding;
use crate::core::source::{Source, Sources};
use crate::page::{one_paper, oversized};
use crate::papers::compile::{Options, PaperKind};
use crate::papers::house::rules::HOUSE_NOT_READ;
use crate::spec::language::Language;

/// How many copies of one spec may be beside it.
const MOST_COPIES: u32 = 99;

/// The file of the spec, and the arguments that its papers depend on.
#[derive(Debug)]
pub(crate) struct SpecFile {
    spec: PathBuf,
    house: Option<PathBuf>,
    as_of: Option<NaiveDate>,
    /// Held while the file is compared and written.
    saving: Mutex<()>,
}

/// The file as it is on the disk.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct FileState {
    /// Its path, as it was given.
    pub(crate) name: String,
    /// None where there is no file, or it is not UTF-8.
    pub(crate) text: Option<String>,
    /// SHA-256 of its bytes; none where it cannot be read.
    pub(crate) digest: Option<String>,
    /// Why there is no text.
    pub(crate) why: Option<String>,
}

#[derive(Debug)]
pub(crate) enum FileError {
    /// The file is not in the state that the page has seen.
    Changed(FileState),
    Failed(String),
}

impl SpecFile {
    pub(crate) fn new(arguments: &PreviewArguments) -> Self {
        Self {
            spec: arguments.spec.clone(),
            house: arguments.house.clone(),
            as_of: arguments.as_of,
            saving: Mutex::new(()),
        }
    }

    /// The date that date rules compare with; a page may stay open overnight.
    pub(crate) fn as_of(&self) -> NaiveDate {
        input::date_or_today(self.as_of)
    }

    /// A text with the files it names and the house style, as they are now.
    ///
    /// # Errors
    /// The finding that a build would stop at.
    pub(crate) fn sources(&self, text: &str) -> Result<Sources, (Box<Sources>, Box<Finding>)> {
        let name = self.name();
        if let Some(finding) = oversized(text) {
            return Err((Box::new(Source::new(name, "").into()), Box::new(finding)));
        }
        let sources = input::with_included_files(&self.spec, Source::new(name, text));
        match input::read_house(self.house.as_deref()) {
            Ok(house) => Ok(sources.in_house(house)),
            Err(message) => {
                let finding = HOUSE_NOT_READ.about_file(message);
                Err((Box::new(sources), Box::new(finding)))
            }
        }
    }

    /// The current state of the file.
    pub(crate) fn read(&self) -> FileState {
        let name = self.name();
        let none = |why: String| FileState {
            name: name.clone(),
            text: None,
            digest: None,
            why: Some(why),
        };
        match fs::metadata(&self.spec) {
            Err(error) if error.kind() == ErrorKind::NotFound => {
                return none("the file is no longer there".to_owned());
            }
            _ => {}
        }
        let bytes = match input::read_bytes(&self.spec, budget::SPEC.bytes) {
            Ok(bytes) => bytes,
            Err(message) => return none(message),
        };
        let digest = Some(sha256(&bytes));
        match String::from_utf8(bytes) {
            Ok(text) => FileState {
                name,
                text: Some(text),
                digest,
                why: None,
            },
            Err(_) => FileState {
                digest,
                ..none("the file is not UTF-8".to_owned())
            },
        }
    }

    /// Overwrites the file if its digest is still `seen`.
    pub(crate) fn save(&self, text: &str, seen: Option<&str>) -> Result<FileState, FileError> {
        let _one_at_a_time = self.saving.lock();
        check_length(text)?;
        let before = self.read();
        if before.digest.as_deref() != seen {
            return Err(FileError::Changed(before));
        }
        // No digest means that the page has seen no file, not an unreadable one.
        if let (None, true, Some(why)) = (&before.digest, self.spec.exists(), before.why) {
            return Err(FileError::Failed(why));
        }
        overwrite_user_file(&self.spec, text.as_bytes())?;
        Ok(self.read())
    }

    /// Writes `text` into a new file beside the spec; returns its name.
    pub(crate) fn save_copy(&self, text: &str) -> Result<String, FileError> {
        check_length(text)?;
        for number in 1..=MOST_COPIES {
            let path = self.copy_path(number);
            if path.exists() {
                continue;
            }
            write_new(&path, text.as_bytes(), Access::Everyone)?;
            return Ok(display_path(&path));
        }
        let message = format!("there are {MOST_COPIES} copies beside the spec; move some away");
        Err(FileError::Failed(message))
    }

    fn copy_path(&self, number: u32) -> PathBuf {
        let stem = self.spec.file_stem().unwrap_or_default().to_string_lossy();
        let ending = match self.spec.extension() {
            Some(ending) => format!(".{}", ending.to_string_lossy()),
            None => String::new(),
        };
        let name = match number {
            1 => format!("{stem}-copy{ending}"),
            n => format!("{stem}-copy-{n}{ending}"),
        };
        self.spec.with_file_name(name)
    }

    /// The PDF of one paper of the saved file, if its digest is still `seen`.
    pub(crate) fn pdf(
        &self,
        paper: (PaperKind, Option<Language>),
        options: &Options,
        seen: Option<&str>,
    ) -> Result<Vec<u8>, FileError> {
        let before = self.read();
        let (Some(text), true) = (&before.text, before.digest.as_deref() == seen) else {
            return Err(FileError::Changed(before));
        };
        let sources = self.sources(text);
        let sources = sources.map_err(|(_, finding)| FileError::Failed(finding.message.clone()))?;
        let told = |error: &_| template_error(&sources, error);
        let made = one_paper(&sources, paper, options, self.as_of(), told);
        made.map_err(FileError::Failed)
    }

    /// The name of a downloaded paper.
    pub(crate) fn pdf_name(&self, kind: PaperKind, further: Option<Language>) -> String {
        let stem = self.spec.file_stem().map(Path::new);
        let stem = stem.map_or_else(String::new, |stem| format!("{}-", stem.display()));
        format!("{stem}{}", kind.file_name_in(further))
    }

    fn name(&self) -> String {
        display_path(&self.spec)
    }
}

fn check_length(text: &str) -> Result<(), FileError> {
    if text.len() > budget::SPEC.bytes {
        return Err(FileError::Failed(format!(
            "the text has more than {} bytes, which no spec may have",
            budget::SPEC.bytes
        )));
    }
    Ok(())
}

impl From<OutputError> for FileError {
    fn from(error: OutputError) -> Self {
        FileError::Failed(error.to_string())
    }
}

#[cfg(test)]
mod tests;
