//! The README: short, with pictures that are there, and a first card that comes out.

use serde_json::Value;
use tempfile::tempdir;

use crate::support::{AS_OF, coldring, coldring_with, file, path, read, run};

#[test]
fn it_is_read_in_one_go() {
    let lines = read("README.md").lines().count();
    assert!(lines < 250, "{lines} lines");
}

#[test]
fn what_it_points_to_is_there() {
    let readme = read("README.md");
    let targets: Vec<&str> = readme
        .split("](")
        .skip(1)
        .filter_map(|rest| rest.split(')').next())
        .collect();
    assert!(
        targets
            .iter()
            .filter(|target| target.ends_with(".png"))
            .count()
            >= 9
    );
    for target in targets {
        assert!(path(target).exists(), "{target}");
    }
    let topics = coldring_with(&["explain"]).out;
    let (_, topics) = topics.split_once("\nTopics:\n").unwrap();
    let (topics, files) = topics.split_once("\n\nFiles, field by field:\n").unwrap();
    for topic in topics
        .lines()
        .chain(files.lines())
        .filter_map(|line| line.split_whitespace().next())
    {
        assert!(
            readme.contains(&format!("`coldring explain {topic}`")),
            "the README does not name the topic {topic}"
        );
    }
}

/// The example of a spec is a whole one.
#[test]
fn the_example_has_no_errors() {
    let readme = read("README.md");
    let blocks = readme
        .split("```yaml\n")
        .skip(1)
        .filter_map(|rest| rest.split_once("```"));
    let spec = blocks
        .map(|(block, _)| block)
        .find(|block| block.starts_with("coldring: 1"));
    let folder = tempdir().unwrap();
    let spec = file(&folder, "example.yaml", spec.unwrap());
    let ran = coldring_with(&["check", "--as-of", AS_OF, &spec]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
}

/// The lines that a new reader changes, put into the spec that `new` writes,
/// give a card for both sizes.
#[test]
fn the_first_card_comes_out() {
    let readme = read("README.md");
    let block = readme.split("```yaml\n").nth(1).unwrap();
    let (block, _) = block.split_once("```").unwrap();
    let parsed = |text: &str| serde_yaml::from_str::<Value>(text).unwrap();
    let mut spec = parsed(&crate::support::starter(&["3/4 IPS", "1-1/4 IPS"]));
    for (group, fields) in parsed(block).as_object().unwrap() {
        for (field, value) in fields.as_object().unwrap() {
            assert!(spec[group][field] != Value::Null, "{group}.{field}");
            spec[group][field] = value.clone();
        }
    }
    // One gauge is measured, the other is still to be.
    spec["tools"]["depth_gauges"]["3/4 IPS"] =
        serde_json::json!({"depth": "0.64 in", "source": "caliper"});
    let folder = tempdir().unwrap();
    let spec = file(&folder, "mine.yaml", spec.to_string());
    let ran = run(coldring()
        .args(["build", "--as-of", AS_OF, "--only", "card", &spec, "--out"])
        .arg(folder.path()));
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let card = folder.path().join("SF-001-r1/card.pdf");
    let text = crate::support::pages_text(&card).join("\n");
    for shown in ["1.050", "0.64", "NO JOINT"] {
        assert!(text.contains(shown), "the card does not show {shown}");
    }
}
