//! Reads a spec's file: what can go wrong before there is any text.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use chrono::NaiveDate;

use crate::finding::Finding;
use crate::source::Source;
use crate::spec::{MOST_BYTES, rules};

/// Why there is no text to check.
pub enum Unreadable {
    /// The file cannot be read at all.
    Io(String),
    /// The file can be read, but is not a spec.
    NotText(Source, Box<Finding>),
}

/// Reads the spec at `path`, never more of it than a spec may have.
pub fn read(path: &Path) -> Result<Source, Unreadable> {
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
            Source::new(name, ""),
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
            Unreadable::NotText(Source::new(name, start), Box::new(finding))
        })
}

/// The date that date rules compare with: the one given, or today's.
pub fn as_of(given: Option<NaiveDate>) -> NaiveDate {
    given.unwrap_or_else(|| chrono::Local::now().date_naive())
}
