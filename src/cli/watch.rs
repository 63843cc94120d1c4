//! `coldring watch`: builds the papers of specs, and again those whose files
//! have changed, until it is ended. Whether to build is decided by the files'
//! contents; the system only reports that something may have changed.

mod events;
mod inputs;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use chrono::Local;

use super::ExitStatus;
use super::args::{PapersArguments, SubmittalArguments, WatchArguments};
use super::build::{BuildOptions, build, validate};
use super::folders::FolderClaims;
use super::input::read_up_to;
use super::progress::Progress;
use super::report::{PrintedFindings, Report};
use super::sandbox::shield_from_interrupt;
use super::verbosity::print_status;
use super::{pluralize, print_stderr, submittal};
use crate::core::budget;
use crate::papers::compile::Identity;
use events::{FileWatcher, WatchEvent};
use inputs::{FileDigests, input_digests, is_submittal, shared_input_digests};

/// Watches until it is ended.
pub fn run(arguments: &WatchArguments) -> ExitStatus {
    let arguments = &arguments.papers;
    if let Err(message) = validate(arguments) {
        super::print_error(&message);
        return ExitStatus::CouldNotRun;
    }
    shield_from_interrupt();
    let mut watcher = FileWatcher::new();
    let mut watch = Watch::new(arguments);
    print_status(&format!(
        "watching {}; Ctrl-C ends it\n",
        pluralize(arguments.specs.len(), "spec")
    ));
    loop {
        // Before the files are read: what is saved from here on wakes it again.
        watcher.watch(watch.files());
        watch.build_changed();
        if let WatchEvent::Stop = watcher.wait() {
            print_status("ended; every paper is whole\n");
            return ExitStatus::Clean;
        }
    }
}

/// What is watched, and what was found when it was last looked at.
struct Watch<'a> {
    arguments: &'a PapersArguments,
    /// Of each spec, what the files held that it was last built from.
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

    /// Every file that counts, whether it is there or not.
    fn files(&self) -> Vec<PathBuf> {
        let shared = shared_input_digests(self.arguments);
        let specs = self.arguments.specs.iter();
        specs
            .flat_map(|spec| input_digests(spec, &shared).into_keys())
            .collect()
    }

    /// Builds the specs whose files are not what they were.
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
        // A build says of a folder that it is none of its files.
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
                    submittal::bind(&self.submittal_arguments(file), &mut report);
                }
            }
            Err(message) => report.add_failure(&message),
        }
        self.set_procedures(specs, &report);
        let failed = report.has_errors();
        self.printed = report.finish_turn();
        if failed {
            print_stderr("waiting: mend what is marked, and save");
        }
    }

    /// What of the arguments a submittal is made by.
    fn submittal_arguments(&self, file: PathBuf) -> SubmittalArguments {
        SubmittalArguments {
            file,
            as_of: self.arguments.as_of,
            out: self.arguments.out.clone(),
            paper: self.arguments.paper,
            house: self.arguments.house.clone(),
        }
    }

    /// Takes in which procedure each spec turned out to be.
    fn set_procedures(&mut self, specs: &[PathBuf], report: &Report) {
        for spec in specs {
            let name = spec.display().to_string().replace('\\', "/");
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

    /// Takes in which procedure a spec is. One that was refused for having the
    /// same number as this spec had is built at the next look.
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

/// The files that do not hold what they held, by name. One that is followed only
/// now, or no longer, has not changed: what names it has.
fn changed_files(before: &FileDigests, now: &FileDigests) -> Vec<String> {
    let followed = now
        .iter()
        .filter_map(|(path, held)| Some((path, held, before.get(path)?)));
    let other = followed.filter(|(_, now, before)| now != before);
    other.map(|(path, ..)| path.display().to_string()).collect()
}
