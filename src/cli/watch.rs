//! `coldring watch`: builds the papers of specs, and builds those again whose
//! files have changed, until it is ended.
//!
//! The system only says that something may have changed in a folder (folders
//! are watched because editors save by renaming). Then the files a spec is
//! built from are read, missing ones included, and the spec is built if their
//! contents differ from the last build. So it does not matter how a file was
//! saved, and on network drives that report nothing a look every two seconds
//! finds it. A finding is recognized again by rule, file, and message, wherever
//! it has moved. Ctrl-C takes effect between two builds, so no paper is left
//! half written.

mod events;
mod inputs;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use chrono::Local;

use super::args::{PapersArguments, SubmittalArguments, WatchArguments};
use super::build::{BuildOptions, build, validate};
use super::folders::FolderClaims;
use super::input::{display_path, read_up_to};
use super::progress::Progress;
use super::report::{PrintedFindings, Report};
use super::sandbox::shield_from_interrupt;
use super::verbosity::print_status;
use super::{ExitStatus, RunResult};
use super::{pluralize, print_stderr, submittal};
use crate::core::budget;
use crate::papers::compile::Identity;
use events::{FileWatcher, WatchEvent};
use inputs::{FileDigests, input_digests, is_submittal, shared_input_digests};

pub(crate) fn run(arguments: &WatchArguments) -> RunResult {
    let arguments = &arguments.papers;
    validate(arguments)?;
    shield_from_interrupt();
    let mut watcher = FileWatcher::new();
    let mut watch = Watch::new(arguments);
    print_status(&format!(
        "watching {}; Ctrl-C ends it\n",
        pluralize(arguments.specs.len(), "spec")
    ));
    loop {
        // Before the files are read, so that no later change is missed.
        watcher.watch(watch.files());
        watch.build_changed();
        if let WatchEvent::Stop = watcher.wait() {
            print_status("ended; every paper is whole\n");
            return Ok(ExitStatus::Clean);
        }
    }
}

/// What is watched, and its state at the last build.
struct Watch<'a> {
    arguments: &'a PapersArguments,
    /// The inputs of each spec's last build.
    seen: BTreeMap<PathBuf, FileDigests>,
    /// The procedure of each spec, where it could be read.
    procedures: BTreeMap<PathBuf, Identity>,
    printed: PrintedFindings,
}

impl<'a> Watch<'a> {
    fn new(arguments: &'a PapersArguments) -> Self {
        Self {
            arguments,
            seen: BTreeMap::new(),
            procedures: BTreeMap::new(),
            printed: PrintedFindings::default(),
        }
    }

    /// All inputs, whether they exist or not.
    fn files(&self) -> Vec<PathBuf> {
        let shared = shared_input_digests(self.arguments);
        let specs = self.arguments.specs.iter();
        specs
            .flat_map(|spec| input_digests(spec, &shared).into_keys())
            .collect()
    }

    /// Builds the specs whose files have changed.
    fn build_changed(&mut self) {
        let shared = shared_input_digests(self.arguments);
        let mut changed = Vec::new();
        let mut files = Vec::new();
        for spec in &self.arguments.specs {
            let now = input_digests(spec, &shared);
            let before = self.seen.insert(spec.clone(), now.clone());
            if before.as_ref() != Some(&now) {
                changed.push(spec.clone());
                files.extend(before.map(|before| changed_files(&before, &now)));
            }
        }
        let Some(first) = changed.first() else { return };
        let mut files: Vec<_> = files.into_iter().flatten().collect();
        files.sort();
        files.dedup();
        let what = match files.as_slice() {
            [] if changed.len() == 1 => format!("building {}", first.display()),
            [] => format!("building {}", pluralize(changed.len(), "spec")),
            files => format!("changed: {}", files.join(", ")),
        };
        print_status(&format!("{}  {what}\n", Local::now().format("%H:%M:%S")));
        // A build reports a folder given in place of a file.
        let (there, missing): (Vec<_>, Vec<_>) = changed
            .into_iter()
            .partition(|spec| spec.is_file() || spec.is_dir());
        for spec in missing {
            self.set_procedure(&spec, None);
            print_stderr(&format!(
                "waiting for {}: there is no such file",
                spec.display()
            ));
        }
        if !there.is_empty() {
            self.build(&there);
        }
    }

    fn build(&mut self, specs: &[PathBuf]) {
        let mut report = Report::continuing(std::mem::take(&mut self.printed));
        match BuildOptions::from_arguments(self.arguments) {
            Ok(options) => {
                let mut folders = FolderClaims::default();
                for (spec, procedure) in &self.procedures {
                    if !specs.contains(spec) {
                        folders.claim(procedure, &spec.display().to_string());
                    }
                }
                let (submittals, specs): (Vec<_>, Vec<_>) = specs
                    .iter()
                    .cloned()
                    .partition(|file| is_submittal_file(file));
                let progress = Progress::new("building", specs.len(), false);
                build(&options, &specs, folders, &progress, &mut report);
                for file in submittals {
                    let arguments = self.submittal_arguments(file);
                    if let Err(failure) = submittal::make_submittal(&arguments, &mut report) {
                        report.add_failure(failure);
                    }
                }
            }
            Err(message) => report.add_failure(message),
        }
        self.set_procedures(specs, &report);
        let failed = report.has_errors();
        self.printed = report.finish_turn();
        if failed {
            print_stderr("waiting: fix what is marked, and save");
        }
    }

    /// The arguments that also hold for a submittal.
    fn submittal_arguments(&self, file: PathBuf) -> SubmittalArguments {
        SubmittalArguments {
            file,
            as_of: self.arguments.as_of,
            out: self.arguments.out.clone(),
            paper: self.arguments.paper,
            house: self.arguments.house.clone(),
        }
    }

    fn set_procedures(&mut self, specs: &[PathBuf], report: &Report) {
        for spec in specs {
            let name = display_path(spec);
            let built = report.specs().iter().find(|built| built.file == name);
            let identity = built.and_then(|built| {
                Some(Identity {
                    number: built.number.clone()?,
                    revision: built.revision?,
                })
            });
            self.set_procedure(spec, identity);
        }
    }

    /// Sets the procedure of a spec. A spec that was refused because this one had the
    /// same number is then built again.
    fn set_procedure(&mut self, spec: &Path, procedure: Option<Identity>) {
        let before = self.procedures.remove(spec);
        if before.is_some() && before != procedure {
            let same = |of: &&PathBuf| self.procedures.get(*of) == before.as_ref();
            let specs = self.arguments.specs.iter();
            specs.filter(same).for_each(|spec| {
                self.seen.remove(spec);
            });
        }
        if let Some(procedure) = procedure {
            self.procedures.insert(spec.to_owned(), procedure);
        }
    }
}

fn is_submittal_file(file: &Path) -> bool {
    let text = read_up_to(file, budget::SUBMITTAL.bytes).unwrap_or_default();
    is_submittal(&String::from_utf8_lossy(&text))
}

/// The files whose contents have changed. One that was only now added or dropped has
/// not: the file that names it has.
fn changed_files(before: &FileDigests, now: &FileDigests) -> Vec<String> {
    let followed = now
        .iter()
        .filter_map(|(path, held)| Some((path, held, before.get(path)?)));
    let changed = followed.filter(|(_, now, before)| now != before);
    changed
        .map(|(path, ..)| path.display().to_string())
        .collect()
}
