//! Numbers that are no names of folders, links, what stands in the way, and a
//! disk that is full.

use std::fs;
use std::path::{Path, PathBuf};

use tempfile::tempdir;

use super::{WRITERS, build_confined, write_to};
use crate::support::{
    AS_OF, coldring, coldring_with, document, file, gas_alone, list, names_in, read, run,
};

/// Every file below a folder with its bytes, by path.
fn everything(folder: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let mut found = Vec::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(next) = folders.pop() {
        for entry in fs::read_dir(next).unwrap() {
            let path = entry.unwrap().path();
            match path.is_dir() && !path.is_symlink() {
                true => folders.push(path),
                false => found.push((path.clone(), fs::read(path).unwrap_or_default())),
            }
        }
    }
    found.sort();
    found
}

#[test]
fn a_number_that_is_no_name_of_a_folder_is_a_finding() {
    let long = "A".repeat(300);
    let longest = "A".repeat(41);
    let cases = [
        ("../../x", "it holds '/'"),
        ("/etc/x", "it holds '/'"),
        ("a/b", "it holds '/'"),
        (r"a\b", r"it holds '\'"),
        ("C:x", "it holds ':'"),
        ("CON", "keep 'CON' for a device"),
        ("aux.pdf", "keep 'aux' for a device"),
        ("com7.a", "keep 'com7' for a device"),
        ("..", "it begins with a mark"),
        (".coldring", "it begins with a mark"),
        ("-r1", "it begins with a mark"),
        ("x.", "it ends with a point"),
        ("x y", "it holds ' '"),
        (&long, "it has 300 characters"),
        (&longest, "it has 41 characters"),
        ("x\\u0000y", "U+0000"),
        ("x\\ny", "U+000A"),
        ("x\\u202Ey", "U+202E"),
        ("ｘ", "it holds 'ｘ'"),
        ("", "empty"),
    ];
    let folder = tempdir().unwrap();
    let spec = gas_alone();
    let submittal = read("specs/submittal/AF-S-031.yaml");
    for (number, says) in cases {
        // What is meant as an escape stands as one in double quotes.
        let number = match number.contains("\\u") || number.contains("\\n") {
            true => number.to_owned(),
            false => number.replace('\\', r"\\"),
        };
        let number = format!("number: \"{number}\"");
        let spec = file(
            &folder,
            "spec.yaml",
            spec.replacen("number: AF-JP-12", &number, 1),
        );
        let sub = file(
            &folder,
            "sub.yaml",
            submittal.replacen("number: AF-S-031", &number, 1),
        );
        let before = everything(folder.path());
        let out = folder.path().join("in/out");
        for arguments in [
            vec!["build", "--as-of", AS_OF, &spec],
            vec!["submittal", "--as-of", AS_OF, &sub],
        ] {
            let ran = run(coldring().args(&arguments).arg("--out").arg(&out));
            assert_eq!(ran.code, Some(1), "{number}: {}", ran.err);
            assert!(ran.err.contains(says), "{number}: {}", ran.err);
        }
        assert_eq!(everything(folder.path()), before, "{number}");
        assert!(!folder.path().join("in").exists(), "{number}");
    }
}

#[test]
fn checking_finds_one_number_twice_as_building_does() {
    let folder = tempdir().unwrap();
    let a = file(&folder, "a.yaml", gas_alone());
    let b = file(
        &folder,
        "b.yaml",
        gas_alone().replace("AF-JP-12", "af-jp-12"),
    );
    let next = gas_alone().replace("AF-JP-12", "AF-JP-13");
    let c = file(&folder, "c.yaml", next);
    let ran = coldring_with(&["check", "--as-of", AS_OF, "--format", "json", &a, &b, &c]);
    assert_eq!(ran.code, Some(1), "{}", ran.err);
    let document = document(&ran);
    let errors: Vec<_> = list(&document, "findings")
        .iter()
        .filter(|finding| finding["severity"] == "error")
        .map(|finding| (finding["rule"].as_str().unwrap(), &finding["file"]))
        .collect();
    assert_eq!(errors, [("same-number-twice", &b.into())]);
}

#[cfg(unix)]
#[test]
fn no_command_writes_through_a_link() {
    use std::os::unix::fs::symlink;
    for (arguments, name) in WRITERS {
        let out = tempdir().unwrap();
        let elsewhere = tempdir().unwrap();
        symlink(elsewhere.path(), out.path().join(name)).unwrap();
        let ran = write_to(arguments, out.path());
        assert_eq!(ran.code, Some(2), "{name}: {}", ran.err);
        assert!(ran.err.contains("symbolic link"), "{name}: {}", ran.err);
        assert!(ran.err.contains("--out"), "{name}: {}", ran.err);
        assert_eq!(names_in(elsewhere.path()), [""; 0], "{name}");
    }
}

#[test]
fn what_stands_where_the_folder_should_be_is_left_alone() {
    for (arguments, name) in WRITERS {
        let folder = tempdir().unwrap();
        let taken = PathBuf::from(file(&folder, "taken", "mine"));
        for out in [taken.clone(), taken.join("below")] {
            let ran = write_to(arguments, &out);
            assert_eq!(ran.code, Some(2), "{name}: {}", ran.err);
            assert!(ran.err.contains("taken"), "{name}: {}", ran.err);
            assert!(ran.err.contains("--out"), "{name}: {}", ran.err);
        }
        assert_eq!(fs::read(&taken).unwrap(), b"mine");
        assert_eq!(names_in(folder.path()), ["taken"]);
    }
}

#[test]
fn keys_and_starters_are_never_half() {
    let folder = tempdir().unwrap();
    let taken = file(&folder, "taken", "mine");
    for arguments in [
        vec!["keys", "k", "--out", &taken],
        vec!["new", &format!("{taken}/a.yaml")],
        vec!["new", &taken],
    ] {
        let ran = coldring_with(&arguments);
        assert_eq!(ran.code, Some(2), "{arguments:?}: {}", ran.err);
        assert!(ran.err.contains("taken"), "{}", ran.err);
    }
    // With no byte to write, neither half of a pair and no starter is left.
    let script = "trap '' XFSZ; ulimit -f 0; \"$0\" keys k --out \"$1\"; \"$0\" new \"$1/a.yaml\"";
    let ran = run(std::process::Command::new("bash")
        .args(["-c", script, env!("CARGO_BIN_EXE_coldring")])
        .arg(folder.path()));
    assert_eq!(ran.code, Some(2), "{}", ran.err);
    assert_eq!(ran.err.matches("cannot write").count(), 2, "{}", ran.err);
    let all = everything(folder.path());
    assert_eq!(all, [(PathBuf::from(&taken), b"mine".to_vec())]);
}

#[test]
fn a_disk_that_is_full_leaves_the_old_papers() {
    let folder = tempdir().unwrap();
    let spec = file(&folder, "spec.yaml", gas_alone());
    let out = folder.path().join("out");
    let built = run(coldring()
        .args(["build", "--as-of", AS_OF, &spec, "--out"])
        .arg(&out));
    assert_eq!(built.code, Some(0), "{}", built.err);
    let before = everything(&out);
    fs::write(&spec, gas_alone().replace("title: ", "title: Other ")).unwrap();
    let ran = build_confined(8, &spec, &out);
    assert_eq!(ran.code, Some(2), "{}", ran.err);
    assert!(ran.err.contains("procedure.pdf"), "{}", ran.err);
    assert!(ran.err.contains("choose another folder"), "{}", ran.err);
    assert_eq!(everything(&out), before);
}

#[cfg(target_os = "linux")]
#[test]
fn what_cannot_be_printed_is_no_success() {
    for command in [
        "limits --format csv",
        "check specs/hollow-creek-geothermal.yaml --format json --as-of 2026-11-25",
    ] {
        let script = format!("\"$0\" {command} > /dev/full");
        let ran = run(std::process::Command::new("bash")
            .current_dir(crate::support::root())
            .args(["-c", &script, env!("CARGO_BIN_EXE_coldring")]));
        assert_eq!(ran.code, Some(2), "{command}: {}", ran.err);
        assert!(ran.err.contains("is not whole"), "{command}: {}", ran.err);
    }
}
