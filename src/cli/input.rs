//! Reads a spec and the files it names, and reports why a file cannot be read.
//! The only place that opens the files a spec names, and only inside the spec's
//! own folder, with links resolved.

use std::fmt::Display;
use std::fs::File;
use std::io::{ErrorKind, Read};
use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use super::sandbox::run_in_sandbox;
use super::verbosity::log_detail;
use crate::core::budget;
use crate::core::finding::{Finding, Rule};
use crate::core::source::{HouseFile, Role, Source, Sources, Unavailable, stays_inside};
use crate::papers::house::{STYLE_FILE, TEMPLATES, house_files};
use crate::spec::{self, rules};

/// Why a command cannot go on.
pub(crate) enum Failure {
    /// In words.
    Message(String),
    /// A finding in a file that can be read, but not as what it should be.
    Finding(Box<Sources>, Box<Finding>),
}

impl Failure {
    /// In words, where findings are not reported.
    pub(crate) fn into_message(self) -> String {
        match self {
            Failure::Message(message) => message,
            Failure::Finding(sources, finding) => {
                let step = finding.help.as_deref().unwrap_or("give the right file");
                let name = &sources.spec().name;
                format!("cannot read {name}: {}; {step}", finding.message)
            }
        }
    }

    /// The same finding, of another rule.
    pub(crate) fn of_rule(mut self, rule: &'static Rule) -> Self {
        if let Failure::Finding(_, finding) = &mut self {
            finding.rule = rule;
        }
        self
    }
}

impl From<String> for Failure {
    fn from(message: String) -> Self {
        Failure::Message(message)
    }
}

/// Reads the spec at `path` and the files that it names.
pub(crate) fn read_spec(path: &Path) -> Result<Sources, Failure> {
    let spec = read_text(path, budget::SPEC.bytes).map_err(|why| match why {
        Failure::Message(message) if !path.exists() => Failure::Message(format!(
            "{message}; `coldring new {}` writes a spec to start from",
            path.display()
        )),
        why => why,
    })?;
    Ok(with_included_files(path, spec))
}

/// The files that `spec` names, read as if it were the file at `path`.
pub(crate) fn with_included_files(path: &Path, spec: Source) -> Sources {
    let folder = path.parent().unwrap_or(Path::new(""));
    let included = spec::included(&spec.text);
    included.into_iter().fold(
        Sources::from(spec).with_sandbox(run_in_sandbox),
        |sources, (role, path)| sources.with(role, read_included(folder, &path)),
    )
}

/// Reads the file at `path`, never more of it than `most` bytes.
pub(crate) fn read_text(path: &Path, most: usize) -> Result<Source, Failure> {
    let name = display_path(path);
    let io = |error: std::io::Error| Failure::Message(cannot_read(&name, &error));
    if path.is_dir() {
        return Err(Failure::Message(format!(
            "{name} is a folder; give the file itself, such as {name}/procedure.yaml"
        )));
    }
    let bytes = read_up_to(path, most).map_err(io)?;
    if bytes.len() > most {
        let finding = rules::SPEC_TOO_LARGE
            .about_file(format!("the file has more than {most} bytes"))
            .help("check that the right file was given");
        return Err(Failure::Finding(
            Box::new(Source::new(name, "").into()),
            Box::new(finding),
        ));
    }
    log_detail(|| format!("read {name}: {} bytes", bytes.len()));
    String::from_utf8(bytes)
        .map(|text| Source::new(name.clone(), text))
        .map_err(|error| {
            let at = error.utf8_error().valid_up_to();
            let start = error.as_bytes().get(..at).unwrap_or_default();
            let start = String::from_utf8_lossy(start).into_owned();
            let finding = rules::NOT_YAML
                .at(
                    crate::core::source::Span::new(start.len(), start.len()),
                    "the file is not UTF-8 from here on",
                )
                .help("save it as UTF-8 in the editor");
            Failure::Finding(Box::new(Source::new(name, start).into()), Box::new(finding))
        })
}

/// The message that a file or folder cannot be read, with what to do about it.
pub(crate) fn cannot_read(name: impl Display, error: &std::io::Error) -> String {
    let step = match error.kind() {
        ErrorKind::NotFound => "check the path, which starts at the folder you are in",
        ErrorKind::PermissionDenied => "ask whoever owns it for permission to read it",
        _ => "check that it is the right file, and that its disk can be reached",
    };
    format!("cannot read {name}: {}; {step}", reason(error))
}

fn reason(error: &std::io::Error) -> String {
    match error.kind() {
        ErrorKind::NotFound => "there is no such file".to_owned(),
        _ => error.to_string(),
    }
}

/// Reads a file that a spec in `folder` names. A spec is untrusted, so it only
/// reaches files inside its own folder; neither a path nor a link leads out of it.
fn read_included(folder: &Path, named: &str) -> Result<Source, Unavailable> {
    let bytes = read_inside(folder, named)?;
    log_detail(|| {
        format!(
            "read {}: {} bytes",
            display_path(&folder.join(named)),
            bytes.len()
        )
    });
    let text = String::from_utf8(bytes)
        .map_err(|_| Unavailable::Unreadable("it is not UTF-8".to_owned()))?;
    Ok(Source::new(display_path(&folder.join(named)), text))
}

/// A path as findings show it.
pub(crate) fn display_path(path: &Path) -> String {
    path.display().to_string().replace('\\', "/")
}

/// Whether a file is CSV, by its extension.
pub(crate) fn is_csv(path: &Path) -> bool {
    let extension = path.extension().and_then(|extension| extension.to_str());
    extension.is_some_and(|extension| extension.eq_ignore_ascii_case("csv"))
}

/// The bytes of a file inside a folder, never more than a spec may have.
fn read_inside(folder: &Path, named: &str) -> Result<Vec<u8>, Unavailable> {
    let real = find_inside(folder, named)?;
    read_at_most(&real, budget::SPEC.bytes)
}

/// The real path of a file inside a folder, links resolved.
fn find_inside(folder: &Path, named: &str) -> Result<PathBuf, Unavailable> {
    let unreadable = |error: std::io::Error| Unavailable::Unreadable(reason(&error));
    if !stays_inside(named) {
        return Err(Unavailable::Outside);
    }
    let here = if folder.as_os_str().is_empty() {
        Path::new(".")
    } else {
        folder
    };
    let real: PathBuf = here.join(named).canonicalize().map_err(unreadable)?;
    if !real.starts_with(here.canonicalize().map_err(unreadable)?) {
        return Err(Unavailable::Outside);
    }
    // A pipe or a device could block the run forever.
    if !real.is_file() {
        return Err(Unavailable::Unreadable("it is not a file".to_owned()));
    }
    Ok(real)
}

/// The bytes of a file; one more than `most` where it has more.
///
/// # Errors
/// Why it cannot be read.
pub(crate) fn read_up_to(path: &Path, most: usize) -> std::io::Result<Vec<u8>> {
    let limit = u64::try_from(most).unwrap_or(u64::MAX).saturating_add(1);
    let mut bytes = Vec::new();
    File::open(path)?.take(limit).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// The bytes of a file, which may have at most `most`.
fn read_at_most(path: &Path, most: usize) -> Result<Vec<u8>, Unavailable> {
    let bytes = read_up_to(path, most);
    let bytes = bytes.map_err(|error| Unavailable::Unreadable(error.to_string()))?;
    if bytes.len() > most {
        let reason = format!("it has more than {most} bytes");
        return Err(Unavailable::Unreadable(reason));
    }
    Ok(bytes)
}

/// The path of a file that a submittal names. Submittals have their own folder beside
/// the specs, so one step up is allowed: the file is in the folder of the submittal
/// or in its parent, links resolved.
///
/// # Errors
/// Why it may not be read, or that it does not exist.
pub(crate) fn find_enclosed(submittal: &Path, named: &str) -> Result<PathBuf, Unavailable> {
    let folder = submittal.parent().unwrap_or(Path::new(""));
    let (inside, from_there) = match named.strip_prefix("../") {
        Some(rest) => (folder.join(".."), rest),
        None => (folder.to_owned(), named),
    };
    // Findings show the path as it is written.
    find_inside(&inside, from_there).map(|_| folder.join(named))
}

/// The text of a file that [`find_enclosed`] found.
///
/// # Errors
/// Why it cannot be read.
pub(crate) fn read_enclosed_text(
    submittal: &Path,
    named: &str,
    most: usize,
) -> Result<Source, Unavailable> {
    let path = find_enclosed(submittal, named)?;
    let text = String::from_utf8(read_at_most(&path, most)?)
        .map_err(|_| Unavailable::Unreadable("it is not UTF-8".to_owned()))?;
    let name = display_path(&path);
    Ok(Source::new(name, text))
}

/// The bytes of a PDF that [`find_enclosed`] found; one more than `most` where it has more.
///
/// # Errors
/// Why it cannot be read.
pub(crate) fn read_enclosed_bytes(
    submittal: &Path,
    named: &str,
    most: usize,
) -> Result<Vec<u8>, Unavailable> {
    let bytes = read_up_to(&find_enclosed(submittal, named)?, most);
    bytes.map_err(|error| Unavailable::Unreadable(error.to_string()))
}

/// Reads the house style in a folder, if one is given: `house.yaml` and the logo
/// it names. Like a spec, it only reaches what lies in its own folder. A folder of
/// page templates is named, not read.
///
/// # Errors
/// Why `house.yaml` cannot be read.
pub(crate) fn read_house(folder: Option<&Path>) -> Result<Vec<HouseFile>, String> {
    let Some(folder) = folder else {
        return Ok(Vec::new());
    };
    let read = |path: &str| read_inside(folder, path);
    let mut files = house_files(&display_path(folder), read);
    if let Some(style) = files.first()
        && let Some(why) = why_unread(style)
    {
        return Err(format!("cannot read {}: {why}", style.source.name));
    }
    let templates = TEMPLATES.iter().find(|name| folder.join(name).is_dir());
    files.extend(templates.map(|name| HouseFile {
        role: Role::Template,
        path: (*name).to_owned(),
        source: Source::new(display_path(&folder.join(name)), ""),
        bytes: Err(Unavailable::NotGiven),
    }));
    Ok(files)
}

/// Why `house.yaml` cannot be used, and what to do about it.
fn why_unread(style: &HouseFile) -> Option<String> {
    match &style.bytes {
        Ok(_) if !style.source.text.is_empty() => None,
        Ok(_) => Some("it is empty, or not UTF-8; write the house style into it".to_owned()),
        Err(Unavailable::Unreadable(reason)) => Some(format!(
            "{reason}; give --house the folder that holds {STYLE_FILE}"
        )),
        Err(_) => Some("it leads out of its folder; put the file itself there".to_owned()),
    }
}

/// The bytes of the file at `path`.
///
/// # Errors
/// Why it cannot be read, or that it has more than `most` bytes.
pub(crate) fn read_bytes(path: &Path, most: usize) -> Result<Vec<u8>, String> {
    let name = path.display();
    let io = |error: std::io::Error| cannot_read(&name, &error);
    let real = path.canonicalize().map_err(io)?;
    // A pipe or a device could block the run forever.
    if !real.is_file() {
        return Err(format!(
            "cannot read {name}: it is not a file; give the file itself"
        ));
    }
    let bytes = read_up_to(&real, most).map_err(io)?;
    if bytes.len() > most {
        return Err(format!(
            "cannot read {name}: it has more than {most} bytes; check that it is the right file"
        ));
    }
    log_detail(|| format!("read {name}: {} bytes", bytes.len()));
    Ok(bytes)
}

/// The date that date rules compare with: the one given, or today's.
pub(crate) fn date_or_today(given: Option<NaiveDate>) -> NaiveDate {
    given.unwrap_or_else(|| chrono::Local::now().date_naive())
}
