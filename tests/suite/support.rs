//! What the tests share: the built program, the demo specs and their papers,
//! and the tools that read a PDF from outside.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::LazyLock;

use coldring::authoring::starter::Starter;
use coldring::core::size::Size;
use coldring::spec::Service;
use serde_json::Value;
use tempfile::TempDir;

/// A day after everything in the demo specs, so that no test asks the clock.
pub const AS_OF: &str = "2026-11-25";

/// The papers of a build, in the order of their names.
pub const PAPERS: [&str; 5] = [
    "card.pdf",
    "depth-marks.pdf",
    "lid.pdf",
    "procedure.pdf",
    "sources.pdf",
];

/// [`AS_OF`] as a date.
pub fn as_of() -> chrono::NaiveDate {
    AS_OF.parse().unwrap()
}

/// The top of the package.
pub fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The path of a file of the package.
pub fn path(name: &str) -> PathBuf {
    root().join(name)
}

/// The text of a file of the package.
pub fn read(name: &str) -> String {
    std::fs::read_to_string(path(name)).unwrap()
}

/// The draft demo: PE4710, IPS sizes.
pub const GEOTHERMAL: &str = "specs/hollow-creek-geothermal.yaml";
/// The qualified demo: PE2708 gas, CTS and IPS sizes.
pub const GAS: &str = "specs/alder-fork-gas.yaml";
/// What [`GAS`] says of its confirmations file.
const GAS_CONFIRMATIONS: &str = "\
figures:
  confirmations: confirmations/AF-EC-2.yaml   # who read which number, in which edition

";
/// The text of [`GAS`] without its confirmations: of the files it names, the record alone
/// is left.
pub fn gas_with_record() -> String {
    let text = read(GAS);
    assert!(text.contains(GAS_CONFIRMATIONS), "{GAS} names no readings");
    text.replace(GAS_CONFIRMATIONS, "")
}

/// The text of [`gas_with_record`] with the record cited without the file, so that it can be
/// edited and read alone.
pub fn gas_alone() -> String {
    let (file, alone) = (
        "- records/AF-PQ-07.yaml",
        "- {number: AF-PQ-07, date: 2026-08-28, revision: 2}",
    );
    let text = gas_with_record();
    assert!(text.contains(file), "{GAS} names no record");
    text.replace(file, alone)
}

/// The demo with a fault in nearly every group.
pub const WRONG: &str = "specs/wrong/everything-at-once.yaml";

/// The built program, run at the top of the package.
pub fn coldring() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_coldring"));
    command
        .current_dir(root())
        .env_remove("NO_COLOR")
        .env_remove("CLICOLOR_FORCE");
    command
}

/// How a run ended and what it said.
#[derive(Debug)]
pub struct Run {
    /// The exit code; none when a signal ended it.
    pub code: Option<i32>,
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub err: String,
}

/// Runs a command to its end.
pub fn run(command: &mut Command) -> Run {
    let Output {
        status,
        stdout,
        stderr,
    } = command.output().unwrap();
    Run {
        code: status.code(),
        out: String::from_utf8(stdout).unwrap(),
        err: String::from_utf8(stderr).unwrap(),
    }
}

/// Runs the program with these arguments.
pub fn coldring_with<A: AsRef<OsStr>>(arguments: &[A]) -> Run {
    run(coldring().args(arguments))
}

/// What an outside tool prints on standard output; it has to succeed.
pub fn tool<A: AsRef<OsStr>>(name: &str, arguments: &[A]) -> String {
    let ran = run(Command::new(name).args(arguments));
    assert_eq!(ran.code, Some(0), "{name}: {}{}", ran.out, ran.err);
    ran.out
}

/// The text of each page of a PDF.
pub fn pages_text(pdf: &Path) -> Vec<String> {
    let text = tool(
        "pdftotext",
        &[OsStr::new("-layout"), pdf.as_os_str(), OsStr::new("-")],
    );
    text.trim_end_matches('\u{c}')
        .split('\u{c}')
        .map(str::to_owned)
        .collect()
}

/// The characters alone, without the spaces and line breaks of the layout.
pub fn squeezed(text: &str) -> String {
    text.chars()
        .filter(|c| !c.is_whitespace() && *c != '\u{200b}')
        .collect()
}

/// Builds a spec's text in a folder of its own; the papers' folder is returned.
pub fn build_text(folder: &Path, text: &str) -> PathBuf {
    let spec = folder.join("spec.yaml");
    std::fs::write(&spec, text).unwrap();
    let out = folder.join("out");
    let ran = run(coldring()
        .args(["build", "--as-of", AS_OF, "--out"])
        .args([out.as_os_str(), spec.as_os_str()]));
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let mut made = std::fs::read_dir(&out)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_dir());
    made.next().unwrap()
}

/// The papers of the two demo specs, built once for all tests.
pub struct Demos {
    /// Those of [`GEOTHERMAL`].
    pub geothermal: PathBuf,
    /// Those of [`GAS`].
    pub gas: PathBuf,
}

/// The demos' papers.
pub fn demos() -> &'static Demos {
    static DEMOS: LazyLock<Demos> = LazyLock::new(|| {
        let out = Path::new(env!("CARGO_TARGET_TMPDIR")).join("demos");
        let ran = run(coldring()
            .args(["build", "--as-of", AS_OF, GEOTHERMAL, GAS, "--out"])
            .arg(&out));
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        Demos {
            geothermal: out.join("HC-SF-104-r2"),
            gas: out.join("AF-JP-12-r2"),
        }
    });
    &DEMOS
}

/// The names of the files in a folder, sorted.
pub fn names_in(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| !name.starts_with('.'))
        .collect();
    names.sort();
    names
}

/// SHA-256 in hexadecimal, by a path that the program does not use.
pub fn sha256(bytes: &[u8]) -> String {
    use sha2::Digest;
    sha2::Sha256::digest(bytes)
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

/// The digest of a demo spec; that of [`GAS`] covers its confirmations and its record.
pub fn spec_digest(spec: &str) -> String {
    let digest = |name: &str| sha256(read(name).as_bytes());
    if spec != GAS {
        return digest(spec);
    }
    let read = digest("specs/confirmations/AF-EC-2.yaml");
    let record = digest("specs/records/AF-PQ-07.yaml");
    let all = format!(
        "spec {}\nconfirmations {read}\nrecord {record}\n",
        digest(spec)
    );
    sha256(all.as_bytes())
}

/// A folder with a file in it; the file's path as text.
pub fn file(folder: &TempDir, name: &str, content: impl AsRef<[u8]>) -> String {
    let path = folder.path().join(name);
    std::fs::write(&path, content).unwrap();
    path.to_str().unwrap().to_owned()
}

/// The one document on standard output.
pub fn document(run: &Run) -> Value {
    // Anything else on standard output would not be JSON.
    serde_json::from_str(&run.out).unwrap_or_else(|error| panic!("{error}: {}", run.out))
}

pub fn list<'a>(value: &'a Value, field: &str) -> &'a Vec<Value> {
    value[field].as_array().unwrap()
}

/// The spec that `coldring new` writes for these sizes.
pub fn starter(sizes: &[&str]) -> String {
    let sizes = sizes.iter().map(|size| Size::parse(size).unwrap());
    let starter = Starter::new(sizes.collect(), Service::Water, as_of());
    starter.unwrap().text()
}
