//! `coldring watch`: builds the papers of specs, and again those whose files
//! have changed, until it is ended. What a build goes by is told by the files'
//! contents; that something may have changed is told by the system.

mod follow;
mod wake;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use chrono::Local;

use super::Ending;
use super::apart::spare_from_interrupt;
use super::args::{PapersArguments, SubmittalArguments, WatchArguments};
use super::build::{Order, build, usable};
use super::folders::Folders;
use super::input::read_up_to;
use super::level::say;
use super::progress::Progress;
use super::report::{Report, Told};
use super::{counted, submittal, to_stderr};
use crate::core::budget;
use crate::papers::compile::Identity;
use follow::{Contents, contents, is_submittal, others};
use wake::{Wake, Waker};

/// Watches until it is ended.
pub fn run(arguments: &WatchArguments) -> Ending {
    let arguments = &arguments.papers;
    if let Err(message) = usable(arguments) {
        super::complain(&message);
        return Ending::CouldNotRun;
    }
    spare_from_interrupt();
    let mut waker = Waker::new();
    let mut watch = Watch::over(arguments);
    say(&format!(
        "watching {}; Ctrl-C ends it\n",
        counted(arguments.specs.len(), "spec")
    ));
    loop {
        // Before the files are read: what is saved from here on wakes it again.
        waker.watch(watch.files());
        watch.build_changed();
        if let Wake::End = waker.wait() {
            say("ended; every paper is whole\n");
            return Ending::Clean;
        }
    }
}

/// What is watched, and what was found when it was last looked at.
struct Watch<'a> {
    arguments: &'a PapersArguments,
    /// Of each spec, what the files held that it was last built from.
    seen: BTreeMap<PathBuf, Contents>,
    /// The procedure of each spec, where it could be read.
    procedures: BTreeMap<PathBuf, Identity>,
    told: Told,
}

impl<'a> Watch<'a> {
    fn over(arguments: &'a PapersArguments) -> Self {
        Self {
            arguments,
            seen: BTreeMap::new(),
            procedures: BTreeMap::new(),
            told: Told::default(),
        }
    }

    /// Every file that counts, whether it is there or not.
    fn files(&self) -> Vec<PathBuf> {
        let others = others(self.arguments);
        let specs = self.arguments.specs.iter();
        specs
            .flat_map(|spec| contents(spec, &others).into_keys())
            .collect()
    }

    /// Builds the specs whose files are not what they were.
    fn build_changed(&mut self) {
        let others = others(self.arguments);
        let mut changed = Vec::new();
        let mut files = Vec::new();
        for spec in &self.arguments.specs {
            let now = contents(spec, &others);
            let before = self.seen.insert(spec.clone(), now.clone());
            if before.as_ref() != Some(&now) {
                changed.push(spec.clone());
                files.extend(before.map(|before| differing(&before, &now)));
            }
        }
        let Some(first) = changed.first() else { return };
        let mut files: Vec<_> = files.into_iter().flatten().collect();
        files.sort();
        files.dedup();
        let what = match files.as_slice() {
            [] if changed.len() == 1 => format!("building {}", first.display()),
            [] => format!("building {}", counted(changed.len(), "spec")),
            files => format!("changed: {}", files.join(", ")),
        };
        say(&format!("{}  {what}\n", Local::now().format("%H:%M:%S")));
        // A build says of a folder that it is none of its files.
        let (there, missing): (Vec<_>, Vec<_>) = changed
            .into_iter()
            .partition(|spec| spec.is_file() || spec.is_dir());
        for spec in missing {
            self.is_now(&spec, None);
            to_stderr(&format!(
                "waiting for {}: there is no such file",
                spec.display()
            ));
        }
        if !there.is_empty() {
            self.build(&there);
        }
    }

    fn build(&mut self, specs: &[PathBuf]) {
        let mut report = Report::after(std::mem::take(&mut self.told));
        match Order::of(self.arguments) {
            Ok(order) => {
                let mut folders = Folders::default();
                for (spec, procedure) in &self.procedures {
                    if !specs.contains(spec) {
                        folders.take(procedure, &spec.display().to_string());
                    }
                }
                let (submittals, specs): (Vec<_>, Vec<_>) = specs
                    .iter()
                    .cloned()
                    .partition(|file| is_submittal_file(file));
                let progress = Progress::over("building", specs.len(), false);
                build(&order, &specs, folders, &progress, &mut report);
                for file in submittals {
                    submittal::bind(&self.submittal(file), &mut report);
                }
            }
            Err(message) => report.failed(&message),
        }
        self.remember(specs, &report);
        let failed = report.has_errors();
        self.told = report.finish_turn();
        if failed {
            to_stderr("waiting: mend what is marked, and save");
        }
    }

    /// What of the arguments a submittal is made by.
    fn submittal(&self, file: PathBuf) -> SubmittalArguments {
        SubmittalArguments {
            file,
            as_of: self.arguments.as_of,
            out: self.arguments.out.clone(),
            paper: self.arguments.paper,
            house: self.arguments.house.clone(),
        }
    }

    /// Takes in which procedure each spec turned out to be.
    fn remember(&mut self, specs: &[PathBuf], report: &Report) {
        for spec in specs {
            let name = spec.display().to_string().replace('\\', "/");
            let built = report.specs().iter().find(|built| built.file == name);
            let identity = built.and_then(|built| {
                Some(Identity {
                    number: built.number.clone()?,
                    revision: built.revision?,
                })
            });
            self.is_now(spec, identity);
        }
    }

    /// Takes in which procedure a spec is. One that was refused for having the
    /// same number as this spec had is built at the next look.
    fn is_now(&mut self, spec: &Path, procedure: Option<Identity>) {
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
fn differing(before: &Contents, now: &Contents) -> Vec<String> {
    let followed = now
        .iter()
        .filter_map(|(path, held)| Some((path, held, before.get(path)?)));
    let other = followed.filter(|(_, now, before)| now != before);
    other.map(|(path, ..)| path.display().to_string()).collect()
}
