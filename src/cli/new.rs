//! `coldring new`: a commented spec to start from, or a file beside one, and its schema for
//! editors.

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use super::args::NewArguments;
use super::input;
use super::output::{Access, OutputError, write_new};
use super::report::Report;
use super::verbosity::print_status;
use super::{ExitStatus, RunResult};
use crate::authoring::schema::{self, Kind};
use crate::authoring::starter::{Beside, NoStarter, Paths, Starter, beside};
use crate::core::source::{Role, Sources};
use crate::papers::compile;
use crate::papers::house::STYLE_FILE;
use crate::spec;

/// Writes the starter, never over a file.
pub(crate) fn run(arguments: &NewArguments) -> RunResult {
    let path = arguments.file.display();
    let (kind, mut text) = match beside_spec(arguments) {
        Some((what, spec)) => match starter_beside(what, spec, &arguments.file)? {
            Starters::Written(text) => (what.kind(), text),
            Starters::Unread(report) => return Ok(report.finish()),
        },
        None => (Kind::Spec, starter_spec(arguments)?),
    };
    if !arguments.no_schema {
        text.insert_str(0, &modeline(kind));
    }
    let folder = arguments.file.parent().unwrap_or(Path::new(""));
    if kind != Kind::Spec && !folder.as_os_str().is_empty() {
        fs::create_dir_all(folder).map_err(OutputError::io("make the folder", folder))?;
    }
    write_new(&arguments.file, text.as_bytes(), Access::Everyone).map_err(|error| {
        if already_exists(&error) {
            format!("{path} exists already and was left alone; give another name")
        } else {
            error.to_string()
        }
    })?;
    let next = match kind {
        Kind::Spec => format!("; next: coldring check {path}"),
        _ => String::new(),
    };
    print_status(&format!("wrote {path}{next}\n"));
    if !arguments.no_schema {
        write_schema(kind, folder)?;
    }
    Ok(ExitStatus::Clean)
}

fn starter_spec(arguments: &NewArguments) -> Result<String, String> {
    let NewArguments { sizes, service, .. } = arguments;
    let starter = Starter::new(sizes.clone(), *service, input::date_or_today(None));
    let starter = starter.map_err(|why| {
        let why = match why {
            NoStarter::TwoPractices => {
                "inch sizes are in US practice and metric sizes in metric practice, and a spec \
             follows one; write a spec for each"
            }
            NoStarter::SizeTwice => "a size stands twice in --sizes; name each once",
            NoStarter::UnknownSize => {
                "a size in --sizes is in no table of pipe; `coldring limits` lists those that are"
            }
        };
        why.to_owned()
    })?;
    Ok(starter.text())
}

/// The file beside a spec that is asked for, with the spec.
fn beside_spec(arguments: &NewArguments) -> Option<(Beside, &Path)> {
    let NewArguments {
        record,
        roster,
        submittal,
        house,
        ..
    } = arguments;
    let asked = [
        (Beside::Record, record),
        (Beside::Roster, roster),
        (Beside::Submittal, submittal),
        (Beside::House, house),
    ];
    let mut asked = asked.into_iter();
    asked.find_map(|(what, spec)| Some((what, spec.as_deref()?)))
}

/// A starter, or what is wrong with its spec.
enum Starters {
    Written(String),
    Unread(Box<Report>),
}

fn starter_beside(what: Beside, spec: &Path, file: &Path) -> Result<Starters, String> {
    let sources = input::read_spec(spec).map_err(input::Failure::into_message)?;
    let paths = paths(what, spec, file, &sources)?;
    let today = input::date_or_today(None);
    match beside(what, &sources.spec().text, &paths, today) {
        Ok(text) => {
            if compile::check(&sources, today).has_error() {
                let spec = input::display_path(spec);
                print_status(&format!(
                    "{spec} has errors, so values may be missing here: fix them (coldring check \
                     {spec}) and run this again\n"
                ));
            }
            Ok(Starters::Written(text))
        }
        Err(findings) => {
            let mut report = Report::text();
            report.add_findings(&sources, findings);
            Ok(Starters::Unread(Box::new(report)))
        }
    }
}

/// How the files name each other; a path that could never be followed is refused.
fn paths(what: Beside, spec: &Path, file: &Path, sources: &Sources) -> Result<Paths, String> {
    let folder = |path: &Path| match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder.to_owned(),
        _ => PathBuf::from("."),
    };
    let absolute = |path: &Path| {
        let full = std::path::absolute(path).map_err(|error| error.to_string())?;
        Ok::<_, String>(full.to_string_lossy().replace("/./", "/"))
    };
    let (spec_folder, own_folder) = (folder(spec), folder(file));
    let (spec_path, file_path) = (absolute(spec)?, absolute(file)?);
    let (above, own) = (absolute(&spec_folder)?, absolute(&own_folder)?);
    let inside = |path: &str, folder: &str| {
        let rest = path.strip_prefix(folder.trim_end_matches("/."))?;
        Some(rest.trim_start_matches('/').to_owned())
    };
    let from_own = |path: &str| {
        let own = own.trim_end_matches("/.");
        let up = Path::new(own).parent()?.to_str()?;
        let beside = inside(path, up).map(|rest| format!("../{rest}"));
        inside(path, &format!("{own}/")).or(beside)
    };
    let named = match what {
        Beside::Record => inside(&file_path, &format!("{}/", above.trim_end_matches("/.")))
            .ok_or_else(|| {
                format!(
                    "a record lies in the folder of its spec or below it; write it to {}",
                    spec_folder.join("records/PQ-001.yaml").display()
                )
            })?,
        Beside::Submittal => from_own(&spec_path).ok_or_else(|| {
            format!(
                "a submittal reaches its own folder and the one above it, and the spec is in \
                 neither; write it to {}",
                spec_folder.join("submittal/S-001.yaml").display()
            )
        })?,
        Beside::House if file.file_name().is_none_or(|name| name != STYLE_FILE) => {
            return Err(format!(
                "a house style is the file {STYLE_FILE} in a folder of its own; write it to {}",
                own_folder.join("my-style").join(STYLE_FILE).display()
            ));
        }
        Beside::House | Beside::Roster => String::new(),
    };
    let records = spec::included(&sources.spec().text).into_iter();
    let records = records.filter(|(role, _)| *role == Role::Record);
    let records = records
        .filter_map(|(_, path)| from_own(&format!("{}/{path}", above.trim_end_matches("/."))));
    Ok(Paths {
        spec: spec.display().to_string(),
        file: file.display().to_string(),
        named,
        folder: own_folder.display().to_string(),
        records: records.collect(),
    })
}

/// The comment that tells an editor the path of the schema.
fn modeline(kind: Kind) -> String {
    format!(
        "# yaml-language-server: $schema={}\n\
         # Your editor takes completion and help from the file named above; both may be deleted.\n",
        kind.file_name()
    )
}

/// Writes the schema of the file, unless it is there.
fn write_schema(kind: Kind, folder: &Path) -> Result<(), OutputError> {
    let path = folder.join(kind.file_name());
    let text = schema::text(kind);
    match write_new(&path, text.as_bytes(), Access::Everyone) {
        Ok(()) => print_status(&format!(
            "wrote {}, for editors that read YAML by a schema\n",
            path.display()
        )),
        Err(error) if already_exists(&error) => {
            if fs::read_to_string(&path).is_ok_and(|there| there == text) {
                return Ok(());
            }
            let out = if folder.as_os_str().is_empty() {
                Path::new(".")
            } else {
                folder
            };
            print_status(&format!(
                "left {} as it was: it is not that of this version; coldring schema {} --out {} \
                 replaces it\n",
                path.display(),
                kind.word(),
                out.display()
            ));
        }
        Err(error) => return Err(error),
    }
    Ok(())
}

fn already_exists(error: &OutputError) -> bool {
    matches!(error, OutputError::Io { error, .. } if error.kind() == ErrorKind::AlreadyExists)
}
