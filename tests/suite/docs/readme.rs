//! The README: short, with pictures that are there, and a first card that comes out.

use tempfile::tempdir;

use crate::support::{AS_OF, coldring, coldring_with, file, path, read, run};

#[test]
fn it_is_read_in_one_go() {
    let lines = read("README.md").lines().count();
    assert!(lines < 120, "{lines} lines");
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

/// The manual's section ends in a whole spec, which prints what the section says.
#[test]
fn a_section_of_a_manual_becomes_a_spec_without_errors() {
    let topic = read("templates/help/manual.md");
    let spec = topic
        .split("```yaml\n")
        .filter_map(|rest| rest.split_once("```"))
        .map(|(block, _)| block)
        .find(|block| block.starts_with("coldring: 1"));
    let folder = tempdir().unwrap();
    let spec = file(&folder, "manual.yaml", spec.unwrap());
    let ran = run(coldring()
        .args(["build", "--as-of", AS_OF, "--only", "procedure", &spec])
        .arg("--out")
        .arg(folder.path()));
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let procedure = folder.path().join("WS-7-3-r1/procedure.pdf");
    let text = crate::support::pages_text(&procedure).join("\n");
    for said in ["40 to 100", "500 °F", "5 min", "30 min", "91 %", "0.71"] {
        assert!(topic.contains(said) && text.contains(said), "{said}");
    }
}

/// The commands of the first card, as they stand, and the gauge that is measured then.
#[test]
fn the_first_card_comes_out() {
    let folder = tempdir().unwrap();
    let readme = read("README.md");
    let (_, section) = readme.split_once("## Your first card").unwrap();
    let commands: Vec<Vec<&str>> = section
        .lines()
        .filter_map(|line| line.strip_prefix("coldring "))
        .map(|line| line.split('"').collect())
        .collect();
    let [new, check, build] = &commands[..] else {
        panic!("{commands:?}")
    };
    let at_once = |parts: &[&str]| {
        let words = parts.iter().enumerate().flat_map(|(at, part)| {
            if at % 2 == 1 {
                vec![*part]
            } else {
                part.split_whitespace().collect()
            }
        });
        let ran = run(coldring().current_dir(folder.path()).args(words));
        assert_eq!(ran.code, Some(0), "{parts:?}: {}", ran.err);
    };
    at_once(new);
    at_once(check);
    at_once(build);
    let card = folder.path().join("out/SF-001-r1/card.pdf");
    let shown = || crate::support::pages_text(&card).join("\n");
    assert!(shown().contains("DRAFT") && shown().contains("NO JOINT"));
    let spec = folder.path().join("mine.yaml");
    let text = std::fs::read_to_string(&spec).unwrap();
    let unmeasured = "3/4 IPS: {depth: to be measured}";
    assert!(text.contains(unmeasured), "{text}");
    let measured = "3/4 IPS: {depth: 0.64 in, source: caliper}";
    std::fs::write(&spec, text.replacen(unmeasured, measured, 1)).unwrap();
    at_once(build);
    for number in ["1.050", "0.64", "NO JOINT"] {
        assert!(shown().contains(number), "the card does not show {number}");
    }
}
