//! The tour: six specs from the least to the full, each of which builds, and says
//! which warnings it is left with.

use std::collections::BTreeSet;

use tempfile::tempdir;

use crate::support::{AS_OF, coldring, document, list, names_in, path, read, run};

const TOUR: [&str; 6] = [
    "1-least",
    "2-measured",
    "3-own-times",
    "4-papers",
    "5-qualified",
    "6-full",
];

fn spec(name: &str) -> String {
    format!("specs/tour/{name}.yaml")
}

#[test]
fn each_spec_builds_with_the_warnings_that_it_names() {
    let folder = tempdir().unwrap();
    for name in TOUR {
        let spec = spec(name);
        let ran = run(coldring()
            .args([
                "build", "--as-of", AS_OF, "--format", "json", &spec, "--out",
            ])
            .arg(folder.path()));
        assert_eq!(ran.code, Some(0), "{spec}: {}", ran.err);
        let found: BTreeSet<String> = list(&document(&ran), "findings")
            .iter()
            .map(|finding| finding["rule"].as_str().unwrap().to_owned())
            .collect();
        let text = read(&spec);
        let head: Vec<&str> = text
            .lines()
            .take_while(|line| line.starts_with('#'))
            .collect();
        let head = head.join(" ");
        let (_, left) = head.split_once("Warnings left:").unwrap();
        let (left, _) = left.split_once('.').unwrap();
        let rules: Vec<&str> = coldring::authoring::rule_index::rules()
            .map(|rule| rule.slug)
            .collect();
        let named: BTreeSet<String> = left
            .split(|c: char| !(c.is_alphanumeric() || c == '-'))
            .filter(|word| rules.contains(word))
            .map(str::to_owned)
            .collect();
        assert_eq!(named, found, "{spec}");
    }
    assert!(folder.path().join("HC-TOUR-4-r1/procedure-es.pdf").exists());
    // A spec whose only depth is still to be measured has no strip.
    assert_eq!(
        names_in(&folder.path().join("HC-TOUR-1-r1")),
        [
            "card.pdf",
            "lid.pdf",
            "manifest.json",
            "procedure.pdf",
            "sources.pdf"
        ]
    );
}

#[test]
fn the_tour_is_six_and_grows() {
    let mut there = names_in(&path("specs/tour"));
    there.retain(|name| name.ends_with(".yaml"));
    assert_eq!(there, TOUR.map(|name| format!("{name}.yaml")));
    for (at, name) in TOUR.iter().enumerate() {
        let text = read(&spec(name));
        assert!(
            text.starts_with(&format!("# Tour, {} of 6: ", at + 1)),
            "{name}"
        );
        assert!(text.contains("\n#   coldring "), "{name} names no command");
    }
    let groups = |name| {
        let text = read(&spec(name));
        let group = |line: &str| line.split_once(':').map(|(group, _)| group.to_owned());
        let groups = text.lines().filter(|l| l.starts_with(char::is_alphabetic));
        groups.filter_map(group).collect::<BTreeSet<_>>()
    };
    // The last has every group that the others have, and all of the starter's.
    let full = groups("6-full");
    for name in TOUR {
        assert!(groups(name).is_subset(&full), "{name}");
    }
    let starter = crate::support::starter(&[]);
    let known = starter.lines().filter_map(|line| {
        let line = line.strip_prefix("# ").unwrap_or(line);
        let (group, _) = line.split_once(':')?;
        let plain = group.chars().all(|c| c.is_ascii_lowercase() || c == '_');
        (plain && !group.is_empty()).then(|| group.to_owned())
    });
    for group in known {
        assert!(full.contains(&group), "{group} is in the starter only");
    }
}
