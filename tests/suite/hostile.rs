//! Files that are no specs, by accident or on purpose: a clear message, soon,
//! in little memory, and never a crash.

mod texts;

use std::fs;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use tempfile::tempdir;

use crate::support::{Run, file, gas_alone, run};

/// Checks a file in a gigabyte of address space, and in a few seconds.
fn check_confined(path: &str) -> Run {
    let started = Instant::now();
    let ran = run(Command::new("sh")
        .args(["-c", "ulimit -v 1000000; exec \"$0\" check \"$1\""])
        .args([env!("CARGO_BIN_EXE_coldring"), path]));
    assert!(
        started.elapsed() < Duration::from_secs(10),
        "{path} took {:?}",
        started.elapsed()
    );
    assert!(!ran.err.contains("panicked"), "{path}: {}", ran.err);
    let shown: String = ran.err.chars().take(2000).collect();
    assert!(
        matches!(ran.code, Some(1 | 2)),
        "{path}: {:?} {shown}",
        ran.code
    );
    // Clear: it names the file, and is not a wall of text.
    let name = Path::new(path).file_name().unwrap().to_str().unwrap();
    assert!(ran.err.contains(name), "{shown}");
    assert!(ran.err.len() < 4000, "{shown}");
    ran
}

#[test]
fn files_that_are_no_specs_get_a_clear_message() {
    let folder = tempdir().unwrap();
    let inside = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    fs::create_dir(inside("folder.yaml")).unwrap();
    let cases = [
        (inside("missing.yaml"), 2, "cannot read"),
        (inside("folder.yaml"), 2, "is a folder"),
        (
            file(&folder, "latin1.yaml", b"title: caf\xe9\n"),
            1,
            "UTF-8",
        ),
        (file(&folder, "empty.yaml", ""), 1, "spec-empty"),
        (
            file(&folder, "comment.yaml", "# nothing\n"),
            1,
            "spec-empty",
        ),
        (file(&folder, "list.yaml", "- a\n- b\n"), 1, "list"),
        (
            file(&folder, "tabs.yaml", "heater:\n\tset_point: 500 °F\n"),
            1,
            "not-yaml",
        ),
        (file(&folder, "nul.yaml", "coldring: 1\0\n"), 1, "error"),
        (
            file(&folder, "two.yaml", "coldring: 1\n---\ncoldring: 1\n"),
            1,
            "error",
        ),
    ];
    for (path, code, says) in cases {
        let ran = check_confined(&path);
        assert_eq!(ran.code, Some(code), "{path}: {}", ran.err);
        assert!(ran.err.contains(says), "{path}: {}", ran.err);
    }
}

#[test]
fn hostile_files_are_refused_quickly_and_in_little_memory() {
    let folder = tempdir().unwrap();
    let mut bomb = String::from("coldring: 1\na0: &a0 [x, x, x, x, x, x, x, x, x]\n");
    for i in 1..30 {
        let alias = format!("*a{}, ", i - 1).repeat(9);
        bomb.push_str(&format!("a{i}: &a{i} [{}]\n", alias.trim_end_matches(", ")));
    }
    let deep_block: String = (0..2000)
        .map(|i| format!("{}a:\n", " ".repeat(i)))
        .collect();
    let cases = [
        (
            "large.yaml",
            "title: x\n".repeat(50_000_000 / 9),
            "spec-too-large",
        ),
        ("flow.yaml", format!("a: {}", "[".repeat(100_000)), "error"),
        ("maps.yaml", "{a: ".repeat(100_000), "error"),
        ("block.yaml", deep_block[..1_000_000].to_owned(), "error"),
        ("dashes.yaml", "- ".repeat(100_000), "error"),
        ("bomb.yaml", bomb, "spec-too-large"),
        ("self.yaml", "a: &a [*a]\n".to_owned(), "error"),
        (
            "line.yaml",
            format!("title: {}\n", "x".repeat(900_000)),
            "error",
        ),
        (
            "number.yaml",
            gas_alone().replace("500 °F", &format!("{} °F", "9".repeat(50_000))),
            "error",
        ),
    ];
    for (name, content, says) in cases {
        let path = file(&folder, name, content);
        let ran = check_confined(&path);
        assert_eq!(ran.code, Some(1), "{name}: {}", ran.err);
        assert!(ran.err.contains(says), "{name}: {}", ran.err);
    }
}
