//! A build of what is unchanged writes nothing, and one of anything else does.

use std::fs;
use std::path::Path;
use std::time::SystemTime;

use tempfile::tempdir;

use crate::support::{AS_OF, Run, coldring, file, gas_alone, names_in, run};

fn build(spec: &str, out: &Path, more: &[&str]) -> Run {
    run(coldring()
        .args(["build", "--as-of", AS_OF, "--only", "depth-marks", spec])
        .args(more)
        .arg("--out")
        .arg(out))
}

fn written(paper: &Path) -> SystemTime {
    fs::metadata(paper).unwrap().modified().unwrap()
}

#[test]
fn the_same_build_again_leaves_every_file_alone() {
    let folder = tempdir().unwrap();
    let spec = file(&folder, "s.yaml", gas_alone());
    let out = folder.path().join("out");
    let first = build(&spec, &out, &[]);
    assert_eq!(first.code, Some(0), "{}", first.err);
    assert!(first.out.contains("wrote"), "{}", first.out);
    let papers = out.join("AF-JP-12-r2");
    let (names, paper) = (names_in(&papers), papers.join("depth-marks.pdf"));
    let before = (written(&paper), written(&papers.join("manifest.json")));
    let again = build(&spec, &out, &[]);
    assert_eq!(again.code, Some(0), "{}", again.err);
    assert!(again.out.contains("unchanged"), "{}", again.out);
    assert!(!again.out.contains("wrote"), "{}", again.out);
    assert_eq!(names_in(&papers), names);
    let after = (written(&paper), written(&papers.join("manifest.json")));
    assert_eq!(after, before);
    // The findings of the check are counted again.
    let counts = |run: &Run| run.err.lines().last().unwrap_or_default().to_owned();
    assert!(
        counts(&first).contains(" warnings: coldring check"),
        "{}",
        first.err
    );
    assert_eq!(counts(&again), counts(&first));
}

#[test]
fn papers_of_an_earlier_text_are_named_where_the_new_one_has_errors() {
    let folder = tempdir().unwrap();
    let spec = file(&folder, "s.yaml", gas_alone());
    let out = folder.path().join("out");
    assert_eq!(build(&spec, &out, &[]).code, Some(0));
    let broken = gas_alone().replacen("set_point: 500", "set_point: 540", 1);
    assert_ne!(broken, gas_alone());
    let spec = file(&folder, "s.yaml", broken);
    let ran = build(&spec, &out, &[]);
    assert_eq!(ran.code, Some(1), "{}", ran.err);
    assert!(ran.out.contains("of an earlier text"), "{}", ran.out);
    // Where there are none, nothing is said of them.
    let elsewhere = build(&spec, &folder.path().join("elsewhere"), &[]);
    assert!(!elsewhere.out.contains("earlier text"), "{}", elsewhere.out);
}

#[test]
fn anything_that_differs_is_built_again() {
    let folder = tempdir().unwrap();
    let text = gas_alone();
    let spec = file(&folder, "s.yaml", &text);
    let out = folder.path().join("out");
    let papers = out.join("AF-JP-12-r2");
    let paper = papers.join("depth-marks.pdf");
    assert_eq!(build(&spec, &out, &[]).code, Some(0));
    let good = fs::read(&paper).unwrap();
    let again = |what: &str, more: &[&str]| {
        let ran = build(&spec, &out, more);
        assert_eq!(ran.code, Some(0), "{what}: {}", ran.err);
        assert!(ran.out.contains("wrote"), "{what}: {}", ran.out);
    };
    let mut changed = good.clone();
    changed.push(b'\n');
    fs::write(&paper, &changed).unwrap();
    again("a paper that somebody changed", &[]);
    assert_eq!(fs::read(&paper).unwrap(), good);
    fs::remove_file(&paper).unwrap();
    again("a paper that is gone", &[]);
    assert_eq!(fs::read(&paper).unwrap(), good);
    fs::write(papers.join("manifest.json"), "{}").unwrap();
    again("a manifest that says nothing", &[]);
    again("another paper size", &["--paper", "a4"]);
    again("the usual one once more", &[]);
    again("because it was said", &["--force"]);
    fs::write(&spec, format!("{text}# a remark\n")).unwrap();
    again("a spec that differs in a remark", &[]);
    assert_ne!(
        fs::read(&paper).unwrap(),
        good,
        "its digest is on the paper"
    );
}

#[test]
fn a_second_spec_of_the_same_number_is_not_called_unchanged() {
    let folder = tempdir().unwrap();
    let spec = file(&folder, "s.yaml", gas_alone());
    let out = folder.path().join("out");
    assert_eq!(build(&spec, &out, &[]).code, Some(0));
    let twice = run(coldring()
        .args([
            "build",
            "--only",
            "depth-marks",
            &spec,
            &spec,
            "--as-of",
            AS_OF,
            "--out",
        ])
        .arg(&out));
    assert_eq!(twice.code, Some(1), "{}", twice.out);
    assert!(twice.err.contains("same-number-twice"), "{}", twice.err);
    assert_eq!(twice.out.matches("unchanged ").count(), 1, "{}", twice.out);
    // The papers that are there are of the first, which has no errors.
    assert!(!twice.out.contains("stale "), "{}", twice.out);
    assert!(twice.out.contains("no papers were made"), "{}", twice.out);
}
