//! A folder to run documented commands in: the demo specs, and files under the
//! names that examples use for the reader's own.

use std::fs;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Command, Stdio};

use tempfile::TempDir;

use crate::support::{AS_OF, root, run};

/// What a reader would have: a name in the examples, and the file that stands for it.
const OWN: &[(&str, &str)] = &[
    ("my.yaml", "specs/alder-fork-gas.yaml"),
    ("af-jp-12.yaml", "specs/alder-fork-gas.yaml"),
    ("my-r1.yaml", "specs/earlier/alder-fork-gas-r1.yaml"),
    ("af-jp-12-r1.yaml", "specs/earlier/alder-fork-gas-r1.yaml"),
    (
        "specs/earlier/my-r1.yaml",
        "specs/earlier/alder-fork-gas-r1.yaml",
    ),
    ("my-metric.yaml", "specs/tern-valley-water.yaml"),
    ("alder-fork-gas.yaml", "specs/alder-fork-gas.yaml"),
    (
        "confirmations/AF-EC-2.yaml",
        "specs/confirmations/AF-EC-2.yaml",
    ),
    ("records/AF-PQ-07.yaml", "specs/records/AF-PQ-07.yaml"),
    ("records/PQ-7.yaml", "specs/records/AF-PQ-07.yaml"),
    ("people.yaml", "specs/people/fusers.yaml"),
    ("people/fusers.yaml", "specs/people/fusers.yaml"),
    ("people.csv", "specs/people/fusers.csv"),
    ("our-style/house.yaml", "specs/house/house.yaml"),
    ("our-style/logo.svg", "specs/house/logo.svg"),
    ("submittal/AF-S-031.yaml", "specs/submittal/AF-S-031.yaml"),
    (
        "submittal/attachments/fitting-sheet.pdf",
        "specs/submittal/attachments/fitting-sheet.pdf",
    ),
    (
        "submittal/attachments/pipe-certificate.pdf",
        "specs/submittal/attachments/pipe-certificate.pdf",
    ),
];

/// What makes the signed papers that `verify` is shown on, and a register.
const SIGNED: &str = "\
coldring keys alder-fork
cp alder-fork.private.pem private.pem
coldring build my.yaml --key private.pem --out signed
cp signed/AF-JP-12-r2/procedure.pdf signed/AF-JP-12-r2/card.pdf .
cp card.pdf scan.pdf
printf 'number,revision,withdrawn\\nAF-JP-12,2,\\n' > current.csv";

/// A folder with all of it; the program is on the path under its name.
pub struct Scratch {
    folder: TempDir,
    signed: bool,
}

impl Scratch {
    pub fn new() -> Self {
        let folder = TempDir::new().unwrap();
        let top = folder.path();
        copy(&root().join("specs"), &top.join("specs"));
        for (name, from) in OWN {
            let to = top.join(name);
            fs::create_dir_all(to.parent().unwrap()).unwrap();
            fs::copy(root().join(from), to).unwrap();
        }
        let bin = top.join(".bin");
        fs::create_dir(&bin).unwrap();
        std::os::unix::fs::symlink(env!("CARGO_BIN_EXE_coldring"), bin.join("coldring")).unwrap();
        Self {
            folder,
            signed: false,
        }
    }

    /// Runs a command on the day of the tests, where it takes a day and names none.
    pub fn run(&mut self, command: &str, expected: i32) -> Result<(), String> {
        let own_keys = command.contains(" private.pem") || command.contains(" alder-fork.public");
        if own_keys && !self.signed {
            self.shell(&SIGNED.replace('\n', " && "), 0)?;
            self.signed = true;
        }
        self.shell(&on_the_day(command), expected)
    }

    /// Runs a command that goes on until it is interrupted, and interrupts it when it
    /// prints its first line, which says so.
    pub fn run_until_ready(&mut self, command: &str) -> Result<(), String> {
        let mut process = self
            .bash(&format!("exec {command} 2>&1"))
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let printed = BufReader::new(process.stdout.take().unwrap());
        let mut lines = printed.lines().map(Result::unwrap);
        let first = lines.next().unwrap_or_default();
        let ended = Command::new("kill")
            .args(["-INT", &process.id().to_string()])
            .status();
        // What is still printed has to go somewhere.
        let rest: Vec<_> = lines.collect();
        let code = process.wait().unwrap().code();
        match ended.unwrap().success() && first.contains("Ctrl-C") && code == Some(0) {
            true => Ok(()),
            false => Err(format!("exit code {code:?}\n{first}\n{}", rest.join("\n"))),
        }
    }

    fn bash(&self, command: &str) -> Command {
        let top = self.folder.path();
        let path = std::env::var("PATH").unwrap();
        let mut bash = Command::new("bash");
        bash.args(["-c", command])
            .current_dir(top)
            .env("PATH", format!("{}:{path}", top.join(".bin").display()))
            .env("HOME", top);
        bash
    }

    fn shell(&self, command: &str, expected: i32) -> Result<(), String> {
        let ran = run(&mut self.bash(command));
        match ran.code == Some(expected) {
            true => Ok(()),
            false => {
                let said = format!("{}{}", ran.out, ran.err);
                let errors: Vec<_> = said
                    .lines()
                    .filter(|l| l.contains("error") || l.starts_with("coldring:"))
                    .collect();
                Err(format!("exit code {:?}\n{}", ran.code, errors.join("\n")))
            }
        }
    }
}

/// The commands that take the day.
const DATED: &[&str] = &[
    "build",
    "cards",
    "check",
    "compare",
    "forms",
    "fusers",
    "heat",
    "plan",
    "show",
    "submittal",
    "verify",
];

fn on_the_day(command: &str) -> String {
    let mut words = command.splitn(3, ' ');
    let named = words.next() == Some("coldring");
    let subcommand = words.next().unwrap_or_default();
    match named && DATED.contains(&subcommand) && !command.contains("--as-of") {
        true => command.replacen(subcommand, &format!("{subcommand} --as-of {AS_OF}"), 1),
        false => command.to_owned(),
    }
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let (path, to) = (entry.path(), to.join(entry.file_name()));
        match path.is_dir() {
            true => copy(&path, &to),
            false => drop(fs::copy(&path, &to).unwrap()),
        }
    }
}
