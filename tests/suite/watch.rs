//! `coldring watch` as a process: files are edited as editors edit them, and
//! what it prints and writes is waited for. Nothing is timed.

use std::fs;
use std::io::{BufRead, BufReader};
use std::os::unix::process::CommandExt;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::thread;
use std::time::Duration;

use tempfile::{TempDir, tempdir};

use crate::support::{AS_OF, coldring, gas_alone, names_in, path, read, run};

/// Long enough for any machine under any load.
const LONG: Duration = Duration::from_secs(120);

/// A folder with specs in it and a watch over some of them.
struct Watch {
    process: Child,
    lines: Receiver<String>,
}

impl Watch {
    /// Starts one in a folder.
    fn over(folder: &Path, arguments: &[&str]) -> Self {
        // Both streams into one, so that the lines come in the order they are
        // printed; the shell makes way for the program.
        let mut process = Command::new("sh")
            .current_dir(folder)
            .args([
                "-c",
                "exec \"$@\" 2>&1",
                "sh",
                env!("CARGO_BIN_EXE_coldring"),
            ])
            .args(["watch", "--as-of", AS_OF, "--only", "depth-marks"])
            .args(arguments)
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .process_group(0)
            .spawn()
            .unwrap();
        let (send, lines) = channel();
        let printed = process.stdout.take().unwrap();
        thread::spawn(move || {
            for line in BufReader::new(printed).lines().map_while(Result::ok) {
                let _ = send.send(line);
            }
        });
        Self { process, lines }
    }

    /// Waits for a line with these words; the lines that came before it.
    fn until(&self, words: &str) -> String {
        self.until_one_of(&[words])
    }

    /// Waits for the summary of a turn without errors.
    fn until_clean(&self) -> String {
        self.until_one_of(&["no errors", "no findings"])
    }

    fn until_one_of(&self, words: &[&str]) -> String {
        let mut before = Vec::new();
        loop {
            let line = self.lines.recv_timeout(LONG).unwrap_or_else(|_| {
                panic!("no line with {words:?} in:\n{}", before.join("\n"));
            });
            let found = words.iter().any(|words| line.contains(words));
            before.push(line);
            if found {
                return before.join("\n");
            }
        }
    }

    /// Waits for the summary of the turn that these words belong to; the lines of
    /// the turn.
    fn turn(&self, words: &str) -> String {
        let start = self.until(words);
        start + "\n" + &self.until_clean()
    }

    /// Ends it as Ctrl-C does, which reaches every process of the terminal's group.
    fn end(mut self) -> (Option<i32>, String) {
        let ended = Command::new("kill")
            .args(["-INT", "--", &format!("-{}", self.process.id())])
            .status();
        assert!(ended.unwrap().success());
        let code = self.process.wait().unwrap().code();
        let rest: Vec<_> = self.lines.iter().collect();
        (code, rest.join("\n"))
    }
}

/// One that a test has given up on is not left behind.
impl Drop for Watch {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

/// A spec beside its record, as the demo has them, in a folder of its own.
fn ground() -> TempDir {
    let folder = tempdir().unwrap();
    for name in [
        "alder-fork-gas.yaml",
        "confirmations/AF-EC-2.yaml",
        "records/AF-PQ-07.yaml",
    ] {
        fs::create_dir_all(folder.path().join(name).parent().unwrap()).unwrap();
        fs::copy(path("specs").join(name), folder.path().join(name)).unwrap();
    }
    let other = gas_alone().replace("number: AF-JP-12", "number: AF-JP-99");
    fs::write(folder.path().join("other.yaml"), other).unwrap();
    folder
}

const SPEC: &str = "alder-fork-gas.yaml";
const RECORD: &str = "records/AF-PQ-07.yaml";

/// Puts a text in the place of a file, as an editor does that writes a new one.
fn save_by_rename(file: &Path, text: &str) {
    let beside = file.with_extension("new~");
    fs::write(&beside, text).unwrap();
    fs::rename(&beside, file).unwrap();
}

/// The papers as a build makes them.
fn built(folder: &Path, spec: &str) -> Vec<u8> {
    let out = folder.join("compared");
    let ran = run(coldring()
        .current_dir(folder)
        .args([
            "build",
            "--as-of",
            AS_OF,
            "--only",
            "depth-marks",
            spec,
            "--out",
        ])
        .arg(&out));
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    fs::read(out.join("AF-JP-12-r2/depth-marks.pdf")).unwrap()
}

fn paper(folder: &Path) -> PathBuf {
    folder.join("out/AF-JP-12-r2/depth-marks.pdf")
}

#[test]
fn what_a_change_affects_is_built_again_and_nothing_else() {
    let ground = ground();
    let folder = ground.path();
    let watch = Watch::over(folder, &[SPEC, "other.yaml"]);
    watch.until("wrote out/AF-JP-12-r2/manifest.json");
    watch.until("wrote out/AF-JP-99-r2/manifest.json");
    watch.until_clean();
    assert_eq!(fs::read(paper(folder)).unwrap(), built(folder, SPEC));

    // The spec, written over.
    let text = read("specs/alder-fork-gas.yaml");
    fs::write(folder.join(SPEC), format!("{text}# one\n")).unwrap();
    let turn = watch.turn("wrote out/AF-JP-12-r2/manifest.json");
    assert!(turn.contains(&format!("changed: {SPEC}")), "{turn}");
    assert!(!turn.contains("AF-JP-99"), "{turn}");
    assert_eq!(fs::read(paper(folder)).unwrap(), built(folder, SPEC));

    // Saved by a rename, twice: the file is another each time.
    for remark in ["# two\n", "# three\n"] {
        save_by_rename(&folder.join(SPEC), &format!("{text}{remark}"));
        let turn = watch.turn("wrote out/AF-JP-12-r2/manifest.json");
        assert!(turn.contains(&format!("changed: {SPEC}")), "{turn}");
    }

    // Its record.
    let record = read("specs/records/AF-PQ-07.yaml");
    fs::write(folder.join(RECORD), format!("{record}# one\n")).unwrap();
    let turn = watch.turn("wrote out/AF-JP-12-r2/manifest.json");
    assert!(turn.contains(&format!("changed: {RECORD}")), "{turn}");
    assert!(!turn.contains("AF-JP-99"), "{turn}");

    // The same bytes again are no change; the next line is of the next change.
    save_by_rename(&folder.join(RECORD), &format!("{record}# one\n"));
    thread::sleep(Duration::from_secs(1));
    let other = fs::read_to_string(folder.join("other.yaml")).unwrap();
    fs::write(folder.join("other.yaml"), format!("{other}# one\n")).unwrap();
    let turn = watch.turn("wrote out/AF-JP-99-r2/manifest.json");
    assert!(turn.contains("changed: other.yaml"), "{turn}");
    assert!(!turn.contains("AF-JP-12"), "{turn}");
    assert_eq!(watch.end().0, Some(0));
}

#[test]
fn an_error_stops_nothing_and_is_told_once() {
    let ground = ground();
    let folder = ground.path();
    let text = gas_alone();
    fs::write(folder.join(SPEC), text.replace("PE2708", "PE9999")).unwrap();
    let watch = Watch::over(folder, &[SPEC]);
    let turn = watch.until("waiting: fix");
    assert!(turn.contains("error[unknown-resin]"), "{turn}");
    assert!(!paper(folder).exists());

    // Another slip on a line above: what was told is counted, though it moved.
    let twice = format!("# above\n{}", text.replace("PE2708", "PE9999"));
    let twice = twice.replace("procedure:\n", "procedure:\n  colour: red\n");
    fs::write(folder.join(SPEC), twice).unwrap();
    let turn = watch.until("waiting: fix");
    assert!(turn.contains("error[unknown-field]"), "{turn}");
    assert!(!turn.contains("error[unknown-resin]"), "{turn}");
    assert!(turn.contains("still 1 error"), "{turn}");
    assert!(turn.contains(&format!("in {SPEC}")), "{turn}");

    // Fixed, then no spec at all, then fixed again.
    fs::write(folder.join(SPEC), &text).unwrap();
    let turn = watch.turn("wrote out/AF-JP-12-r2/manifest.json");
    assert!(!turn.contains("waiting"), "{turn}");
    fs::write(folder.join(SPEC), [0xff, 0xfe]).unwrap();
    watch.until("error[not-yaml]");
    watch.until("waiting: fix");
    fs::write(folder.join(SPEC), format!("{text}# again\n")).unwrap();
    watch.turn("wrote out/AF-JP-12-r2/manifest.json");
    assert_eq!(watch.end().0, Some(0));
}

#[test]
fn what_is_missing_is_waited_for() {
    let ground = ground();
    let folder = ground.path();
    let spec = fs::read_to_string(folder.join(SPEC)).unwrap();
    let record = fs::read_to_string(folder.join(RECORD)).unwrap();
    fs::remove_file(folder.join(SPEC)).unwrap();
    fs::remove_dir_all(folder.join("records")).unwrap();
    let watch = Watch::over(folder, &[SPEC]);
    watch.until(&format!("waiting for {SPEC}"));
    // The spec appears without its record, whose folder is not there either.
    fs::write(folder.join(SPEC), &spec).unwrap();
    watch.until("error[file-not-read]");
    watch.until("waiting: fix");
    fs::create_dir(folder.join("records")).unwrap();
    fs::write(folder.join(RECORD), &record).unwrap();
    let turn = watch.turn("wrote out/AF-JP-12-r2/manifest.json");
    assert!(turn.contains(&format!("changed: {RECORD}")), "{turn}");
    // Removed and put back.
    fs::remove_file(folder.join(SPEC)).unwrap();
    watch.until(&format!("waiting for {SPEC}"));
    fs::write(folder.join(SPEC), format!("{spec}# back\n")).unwrap();
    watch.turn("wrote out/AF-JP-12-r2/manifest.json");
    assert_eq!(watch.end().0, Some(0));
}

#[test]
fn a_house_style_changes_every_spec() {
    let ground = ground();
    let folder = ground.path();
    let house = folder.join("our style");
    fs::create_dir(&house).unwrap();
    let style = "coldring-house: 1\norganization: {name: Alder Fork Gas}\n";
    fs::write(house.join("house.yaml"), style).unwrap();
    let arguments = ["--house", "our style", SPEC, "other.yaml"];
    let watch = Watch::over(folder, &arguments);
    watch.until("wrote out/AF-JP-99-r2/manifest.json");
    watch.until_clean();
    let changed = format!("{style}paper: a4\n");
    fs::write(house.join("house.yaml"), changed).unwrap();
    watch.until("changed: our style/house.yaml");
    watch.until("wrote out/AF-JP-12-r2/manifest.json");
    watch.until("wrote out/AF-JP-99-r2/manifest.json");
    // Without one nothing can be built, until it is there again.
    fs::remove_file(house.join("house.yaml")).unwrap();
    watch.until("cannot read our style/house.yaml");
    watch.until("waiting: fix");
    fs::write(house.join("house.yaml"), style).unwrap();
    watch.until("wrote out/AF-JP-99-r2/manifest.json");
    assert_eq!(watch.end().0, Some(0));
}

#[test]
fn it_ends_between_two_papers_and_leaves_nothing_half_written() {
    let ground = ground();
    let folder = ground.path();
    // With a logo papers are laid out by a process of their own.
    let house = path("specs/house");
    let house = house.to_str().unwrap();
    let watch = Watch::over(folder, &[SPEC, "other.yaml", "--house", house]);
    // In the midst of the first build.
    watch.until("building 2 specs");
    thread::sleep(Duration::from_millis(300));
    let (code, said) = watch.end();
    assert_eq!(code, Some(0), "{said}");
    assert!(!said.contains("error["), "{said}");
    assert!(said.contains("ended; every paper is whole"), "{said}");
    for procedure in ["AF-JP-12-r2", "AF-JP-99-r2"] {
        let papers = folder.join("out").join(procedure);
        assert_eq!(names_in(&papers), ["depth-marks.pdf", "manifest.json"]);
        let hidden = fs::read_dir(&papers).unwrap().count();
        assert_eq!(hidden, 2, "a left-over in {procedure}");
    }
    // A path that no option can be is an end at once.
    let ran = run(coldring().args(["watch", SPEC, "--language", "en,en"]));
    assert_eq!(ran.code, Some(2));
    assert!(ran.err.contains("named twice"), "{}", ran.err);
}

#[test]
fn a_number_that_is_free_again_is_built() {
    let ground = ground();
    let folder = ground.path();
    let other = fs::read_to_string(folder.join("other.yaml")).unwrap();
    let same = other.replace("AF-JP-99", "AF-JP-12");
    fs::write(folder.join("other.yaml"), same).unwrap();
    let watch = Watch::over(folder, &[SPEC, "other.yaml"]);
    let turn = watch.until("waiting: fix");
    assert!(turn.contains("error[same-number-twice]"), "{turn}");
    let text = read("specs/alder-fork-gas.yaml");
    fs::write(folder.join(SPEC), format!("{text}# one\n")).unwrap();
    watch.until("waiting: fix");
    // The other gets a number of its own, or is gone: the first is not saved again.
    fs::write(folder.join("other.yaml"), &other).unwrap();
    watch.until("wrote out/AF-JP-99-r2/manifest.json");
    watch.until("wrote out/AF-JP-12-r2/manifest.json");
    assert_eq!(fs::read(paper(folder)).unwrap(), built(folder, SPEC));
    assert_eq!(watch.end().0, Some(0));
}

#[test]
fn a_folder_is_not_waited_for_as_a_file() {
    let ground = ground();
    let watch = Watch::over(ground.path(), &["records"]);
    let said = watch.until("waiting: ");
    assert!(said.contains("records is a folder"), "{said}");
    assert_eq!(watch.end().0, Some(0));
}

#[test]
fn a_submittal_is_bound_again_when_its_roster_changes() {
    let ground = tempdir().unwrap();
    let folder = ground.path();
    for name in [
        "alder-fork-gas.yaml",
        "confirmations/AF-EC-2.yaml",
        "records/AF-PQ-07.yaml",
        "people/fusers.yaml",
        "submittal/AF-S-031.yaml",
        "submittal/attachments/pipe-certificate.pdf",
        "submittal/attachments/fitting-sheet.pdf",
    ] {
        fs::create_dir_all(folder.join(name).parent().unwrap()).unwrap();
        fs::copy(path("specs").join(name), folder.join(name)).unwrap();
    }
    let watch = Watch::over(folder, &["submittal/AF-S-031.yaml"]);
    watch.turn("wrote out/AF-S-031-r0-submittal/submittal.pdf");
    let roster = folder.join("people/fusers.yaml");
    let text = fs::read_to_string(&roster).unwrap();
    save_by_rename(&roster, &format!("{text}# one\n"));
    let turn = watch.turn("wrote out/AF-S-031-r0-submittal/submittal.pdf");
    assert!(turn.contains("fusers.yaml"), "{turn}");
    assert_eq!(watch.end().0, Some(0));
}
