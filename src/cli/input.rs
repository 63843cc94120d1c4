//! Reads a spec's file and the files it names: what can go wrong before there is
//! any text.

use std::fs::File;
use std::io::Read;
use std::path::{Component, Path, PathBuf};

use chrono::NaiveDate;

use crate::finding::Finding;
use crate::source::{Source, Sources, Unavailable};
use crate::spec::{self, MOST_BYTES, rules};

/// Why there is no text to check.
pub enum Unreadable {
    /// The file cannot be read at all.
    Io(String),
    /// The file can be read, but is not a spec.
    NotText(Sources, Box<Finding>),
}

/// Reads the spec at `path` and the files that it names.
pub fn read(path: &Path) -> Result<Sources, Unreadable> {
    let spec = read_spec(path)?;
    let folder = path.parent().unwrap_or(Path::new(""));
    let included = spec::included(&spec.text);
    Ok(included
        .into_iter()
        .fold(Sources::from(spec), |sources, (role, path)| {
            sources.with(role, read_included(folder, &path))
        }))
}

/// Reads the spec at `path`, never more of it than a spec may have.
fn read_spec(path: &Path) -> Result<Source, Unreadable> {
    let name = path.display().to_string().replace('\\', "/");
    let io = |error: std::io::Error| Unreadable::Io(format!("cannot read {name}: {error}"));
    if path.is_dir() {
        return Err(Unreadable::Io(format!(
            "{name} is a folder; give the spec's file, such as {name}/procedure.yaml"
        )));
    }
    let file = File::open(path).map_err(io)?;
    let mut bytes = Vec::new();
    let most = u64::try_from(MOST_BYTES).unwrap_or(u64::MAX);
    file.take(most + 1).read_to_end(&mut bytes).map_err(io)?;
    if bytes.len() > MOST_BYTES {
        let finding = rules::SPEC_TOO_LARGE
            .about_file(format!("the file has more than {MOST_BYTES} bytes"))
            .help("check that the right file was given");
        return Err(Unreadable::NotText(
            Source::new(name, "").into(),
            Box::new(finding),
        ));
    }
    String::from_utf8(bytes)
        .map(|text| Source::new(name.clone(), text))
        .map_err(|error| {
            let at = error.utf8_error().valid_up_to();
            let start = String::from_utf8_lossy(&error.as_bytes()[..at]).into_owned();
            let finding = rules::NOT_YAML
                .at(
                    crate::source::Span::new(start.len(), start.len()),
                    "the file is not UTF-8 from here on",
                )
                .help("save it as UTF-8 in the editor");
            Unreadable::NotText(Source::new(name, start).into(), Box::new(finding))
        })
}

/// Reads a file that a spec in `folder` names. A spec may come from anywhere, so
/// it only reaches what lies in its own folder: neither its words nor a link
/// lead out of it.
fn read_included(folder: &Path, named: &str) -> Result<Source, Unavailable> {
    let unreadable = |error: std::io::Error| Unavailable::Unreadable(error.to_string());
    // A path that another system would read as one out of the folder is none
    // here either.
    let plain = !named.contains(['\\', ':'])
        && Path::new(named)
            .components()
            .all(|part| matches!(part, Component::Normal(_) | Component::CurDir));
    if !plain {
        return Err(Unavailable::Outside);
    }
    let shown = folder.join(named);
    let here = if folder.as_os_str().is_empty() {
        Path::new(".")
    } else {
        folder
    };
    let real: PathBuf = here.join(named).canonicalize().map_err(unreadable)?;
    if !real.starts_with(here.canonicalize().map_err(unreadable)?) {
        return Err(Unavailable::Outside);
    }
    // A pipe or a device could hold the run up for ever.
    if !real.is_file() {
        return Err(Unavailable::Unreadable("it is not a file".to_owned()));
    }
    let mut bytes = Vec::new();
    let most = u64::try_from(MOST_BYTES).unwrap_or(u64::MAX);
    let file = File::open(&real).map_err(unreadable)?;
    file.take(most + 1)
        .read_to_end(&mut bytes)
        .map_err(unreadable)?;
    if bytes.len() > MOST_BYTES {
        let reason = format!("it has more than {MOST_BYTES} bytes");
        return Err(Unavailable::Unreadable(reason));
    }
    let text = String::from_utf8(bytes)
        .map_err(|_| Unavailable::Unreadable("it is not UTF-8".to_owned()))?;
    let name = shown.display().to_string().replace('\\', "/");
    Ok(Source::new(name, text))
}

/// The date that date rules compare with: the one given, or today's.
pub fn as_of(given: Option<NaiveDate>) -> NaiveDate {
    given.unwrap_or_else(|| chrono::Local::now().date_naive())
}
