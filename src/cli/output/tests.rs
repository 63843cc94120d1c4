use std::error::Error;

use tempfile::TempDir;

use super::*;

fn open(out: &TempDir) -> OutputFolder {
    OutputFolder::open(out.path(), "HC-1-r3").unwrap()
}

/// The names in a folder, sorted.
fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn papers_and_manifest_are_written_whole_and_leave_nothing_else() {
    let out = TempDir::new().unwrap();
    let mut folder = open(&out);
    folder.write("card.pdf", b"old").unwrap();
    folder.write("card.pdf", b"new").unwrap();
    let path = folder.path().to_owned();
    assert_eq!(folder.finish(b"{}").unwrap(), Vec::<String>::new());
    assert_eq!(path, out.path().join("HC-1-r3"));
    assert_eq!(names(&path), ["card.pdf", "manifest.json"]);
    assert_eq!(fs::read(path.join("card.pdf")).unwrap(), b"new");
    assert_eq!(fs::read(path.join(MANIFEST)).unwrap(), b"{}");
}

#[test]
fn output_folders_above_are_made() {
    let top = TempDir::new().unwrap();
    let out = top.path().join("a/b");
    OutputFolder::open(&out, "HC-1-r3").unwrap();
    assert_eq!(names(&out), [LOCK, "HC-1-r3"]);
}

#[test]
fn the_manifest_cannot_be_written_as_a_paper() {
    let out = TempDir::new().unwrap();
    let error = open(&out).write(MANIFEST, b"{}").unwrap_err();
    assert!(matches!(error, OutputError::BadName { .. }));
}

#[test]
fn left_overs_of_a_killed_run_are_swept_and_only_they() {
    let out = TempDir::new().unwrap();
    let path = open(&out).path().to_owned();
    for name in [
        ".coldring-card.pdf.part",
        "my.part",
        ".coldring-notes",
        "a.pdf",
    ] {
        fs::write(path.join(name), "x").unwrap();
    }
    open(&out);
    assert_eq!(names(&path), [".coldring-notes", "a.pdf", "my.part"]);
}

#[test]
fn one_run_at_a_time() {
    let out = TempDir::new().unwrap();
    let first = open(&out);
    // Another procedure, but the same output folder.
    let second = OutputFolder::open_within(out.path(), "HC-2-r1", Duration::ZERO);
    let error = second.unwrap_err();
    assert!(matches!(&error, OutputError::Busy(busy) if busy == out.path()));
    assert!(!out.path().join("HC-2-r1").exists());
    drop(first);
    OutputFolder::open_within(out.path(), "HC-2-r1", Duration::ZERO).unwrap();
}

#[test]
fn a_run_waits_for_another_to_end() {
    let out = TempDir::new().unwrap();
    let first = open(&out);
    std::thread::scope(|scope| {
        let second = scope.spawn(|| OutputFolder::open(out.path(), "HC-2-r1").map(drop));
        std::thread::sleep(Duration::from_millis(60));
        assert!(!second.is_finished());
        drop(first);
        second.join().unwrap().unwrap();
    });
}

#[test]
fn stale_papers_are_named_and_stay() {
    let out = TempDir::new().unwrap();
    let mut folder = open(&out);
    for name in ["card.pdf", "card-2.pdf", "procedure.pdf"] {
        folder.write(name, b"1").unwrap();
    }
    let path = folder.path().to_owned();
    let manifest = br#"{"files": [
        {"name": "card.pdf", "sha256": "00"}, {"name": "card-2.pdf", "sha256": "00"},
        {"name": "gone.pdf", "sha256": "00"}, {"name": "../HC-1-r3/card.pdf"},
        {"name": "manifest.json"}
    ], "stale": ["procedure.pdf"], "tool": "0.1.0"}"#;
    folder.finish(manifest).unwrap();

    let mut folder = open(&out);
    folder.write("card.pdf", b"2").unwrap();
    assert_eq!(folder.stale(), ["card-2.pdf", "procedure.pdf"]);
    assert_eq!(
        folder.finish(b"{}").unwrap(),
        ["card-2.pdf", "procedure.pdf"]
    );
    assert_eq!(fs::read(path.join("card-2.pdf")).unwrap(), b"1");
}

#[test]
fn a_manifest_that_makes_no_sense_tells_of_no_stale_papers() {
    let out = TempDir::new().unwrap();
    for manifest in ["", "{", "[]", r#"{"files": 3}"#, "\u{0}"] {
        let folder = open(&out);
        folder.finish(manifest.as_bytes()).unwrap();
        assert_eq!(open(&out).stale(), Vec::<String>::new(), "{manifest:?}");
    }
}

#[test]
fn what_stands_in_the_way_is_named_and_left_alone() {
    let out = TempDir::new().unwrap();
    let mut folder = open(&out);
    let path = folder.path().to_owned();
    fs::create_dir(path.join("card.pdf")).unwrap();
    let error = folder.write("card.pdf", b"1").unwrap_err();
    assert!(matches!(&error, OutputError::NotAFile(p) if *p == path.join("card.pdf")));
    assert_eq!(names(&path), ["card.pdf"]);

    fs::write(out.path().join("HC-2-r1"), "mine").unwrap();
    drop(folder);
    let error = OutputFolder::open(out.path(), "HC-2-r1").unwrap_err();
    assert!(matches!(error, OutputError::NotAFolder { .. }));
    assert_eq!(fs::read(out.path().join("HC-2-r1")).unwrap(), b"mine");
}

#[test]
fn a_failed_write_leaves_the_old_paper_and_says_why() {
    let out = TempDir::new().unwrap();
    let mut folder = open(&out);
    let path = folder.path().to_owned();
    folder.write("card.pdf", b"old").unwrap();
    // Something already stands where the temporary would be made.
    fs::write(path.join(".coldring-card.pdf.part"), "x").unwrap();
    let error = folder.write("card.pdf", b"new").unwrap_err();
    assert!(error.source().is_some());
    assert!(error.to_string().contains("card.pdf"), "{error}");
    assert!(error.to_string().contains("--out"), "{error}");
    assert_eq!(fs::read(path.join("card.pdf")).unwrap(), b"old");
    assert_eq!(names(&path), ["card.pdf"]);
}

#[test]
fn names_that_leave_the_folder_are_refused() {
    let out = TempDir::new().unwrap();
    let long = "x".repeat(LONGEST_NAME + 1);
    for name in [
        "", ".", "..", "../x", "a/b", "/x", "a\\b", "C:x", "x/", ".hidden", "x.", "x ", "a\nb",
        "a\0b", &long,
    ] {
        let error = OutputFolder::open(out.path(), name).unwrap_err();
        assert!(matches!(error, OutputError::BadName { .. }), "{name:?}");
    }
    assert_eq!(names(out.path()), Vec::<String>::new());
    for name in ["HC-1.2_a (é)", &"x".repeat(LONGEST_NAME)] {
        let mut folder = OutputFolder::open(out.path(), name).unwrap();
        folder.write(name, b"").unwrap();
    }
}

#[cfg(unix)]
#[test]
fn nothing_is_written_through_a_symbolic_link() {
    use std::os::unix::fs::symlink;

    let out = TempDir::new().unwrap();
    let elsewhere = TempDir::new().unwrap();
    let target = elsewhere.path().join("target");
    fs::write(&target, "mine").unwrap();
    let is_link = |error| matches!(error, OutputError::SymbolicLink { .. });

    symlink(elsewhere.path(), out.path().join("HC-2-r1")).unwrap();
    assert!(is_link(
        OutputFolder::open(out.path(), "HC-2-r1").unwrap_err()
    ));

    let mut folder = open(&out);
    let path = folder.path().to_owned();
    symlink(&target, path.join("card.pdf")).unwrap();
    symlink(elsewhere.path().join("none"), path.join("procedure.pdf")).unwrap();
    for name in ["card.pdf", "procedure.pdf"] {
        assert!(is_link(folder.write(name, b"1").unwrap_err()), "{name}");
    }
    symlink(&target, path.join(MANIFEST)).unwrap();
    assert!(is_link(folder.finish(b"{}").unwrap_err()));
    assert!(is_link(
        OutputFolder::open(out.path(), "HC-1-r3").unwrap_err()
    ));

    // A temporary that is a link is swept without touching what it points to.
    fs::remove_file(path.join(MANIFEST)).unwrap();
    symlink(&target, path.join(".coldring-x.part")).unwrap();
    open(&out);
    assert!(!names(&path).contains(&".coldring-x.part".to_owned()));

    fs::remove_file(out.path().join(LOCK)).unwrap();
    symlink(elsewhere.path().join("none"), out.path().join(LOCK)).unwrap();
    assert!(is_link(
        OutputFolder::open(out.path(), "HC-1-r3").unwrap_err()
    ));

    assert_eq!(names(elsewhere.path()), ["target"]);
    assert_eq!(fs::read(&target).unwrap(), b"mine");
}
