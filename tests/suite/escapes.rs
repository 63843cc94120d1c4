//! Escapes are undone before a text is looked at: `"\u4e2d"` is the character itself,
//! in every file that people write, and no paper is made with a box in its place.

use coldring::core::finding::Finding;
use coldring::core::source::{HouseFile, Role, Source, Sources};
use coldring::papers::compile::{check, check_roster_text};
use regex::Regex;
use tempfile::tempdir;

use crate::support::{AS_OF, GAS, GEOTHERMAL, as_of, coldring, gas_with_record, path, read, run};

/// A Chinese character, escaped as YAML and JSON do, and one that can be drawn.
const ESCAPED: &str = "\"\\u4e2d x\"";
const DRAWN: &str = "\"\\u2264 x\"";
const DOTS: &str = "\"\\u2026\"";

/// A file with a text of its own, and where the text stands.
struct File {
    name: &'static str,
    value: &'static str,
    check: fn(String) -> Vec<Finding>,
}

const FILES: &[File] = &[
    File {
        name: GEOTHERMAL,
        value: "Hollow Creek District Energy",
        check: |text| check(&Source::new("spec.yaml", text).into(), as_of()).findings,
    },
    File {
        name: "specs/records/AF-PQ-07.yaml",
        value: "AF-PQ-07",
        check: |text| named(GAS, Role::Record, text),
    },
    File {
        name: "specs/tour/records/read.yaml",
        value: "Table 3",
        check: |text| named("specs/tour/6-full.yaml", Role::Confirmations, text),
    },
    File {
        name: "specs/house/house.yaml",
        value: "Put the fuser's number and the date beside every joint with a marker that stays.",
        check: of_house,
    },
    File {
        name: "specs/people/fusers.yaml",
        value: "AF-014",
        check: |text| check_roster_text(&Source::new("r.yaml", text), false),
    },
];

fn named(spec: &str, role: Role, text: String) -> Vec<Finding> {
    let spec = match spec {
        GAS => gas_with_record(),
        _ => read(spec),
    };
    let spec = Sources::from(Source::new("spec.yaml", spec));
    check(
        &spec.with(role, Ok(Source::new("named.yaml", text))),
        as_of(),
    )
    .findings
}

fn of_house(text: String) -> Vec<Finding> {
    let file = HouseFile {
        role: Role::House,
        path: "house.yaml".to_owned(),
        bytes: Ok(text.clone().into_bytes()),
        source: Source::new("house.yaml", text),
    };
    let spec = Sources::from(Source::new("spec.yaml", read(GEOTHERMAL)));
    check(&spec.in_house(vec![file]), as_of()).findings
}

/// How many findings of a rule a file has with this text in it.
fn count(file: &File, written: &str, slug: &str) -> usize {
    let text = read(file.name);
    // The value of a field, and not the same words in a remark.
    let value = Regex::new(&format!("[:-] [\"']?({})", regex::escape(file.value))).unwrap();
    let value = value.captures(&text).and_then(|found| found.get(1));
    let at = value.unwrap_or_else(|| panic!("{}", file.name)).start();
    let quoted = |at: usize| text[..at].ends_with(['"', '\'']);
    let (start, end) = match quoted(at) {
        true => (at - 1, at + file.value.len() + 1),
        false => (at, at + file.value.len()),
    };
    let text = format!("{}{written}{}", &text[..start], &text[end..]);
    let found = (file.check)(text);
    found.iter().filter(|f| f.rule.slug == slug).count()
}

#[test]
fn values_are_looked_at_and_not_their_escapes() {
    for file in FILES {
        let name = file.name;
        assert_eq!(count(file, ESCAPED, "no-glyph"), 1, "{name}");
        assert_eq!(count(file, DRAWN, "no-glyph"), 0, "{name}");
        assert_eq!(count(file, DOTS, "blank-left"), 1, "{name}");
        assert_eq!(count(file, DRAWN, "blank-left"), 0, "{name}");
    }
}

#[test]
fn cells_of_a_roster_are_looked_at() {
    let of = |name: &str| {
        let text = format!("name,badge,procedure\n\"{name}\",B-1,SF-1\n");
        let found = check_roster_text(&Source::new("r.csv", text), true);
        found.iter().map(|f| f.rule.slug).collect::<Vec<_>>()
    };
    assert_eq!(of("中 x"), ["no-glyph"]);
    assert_eq!(of("…"), ["blank-left"]);
    assert!(of("Å. \"\"Ø\"\" Žižka ≤").is_empty());
}

#[test]
fn an_escaped_character_is_no_fault_of_the_program() {
    let folder = tempdir().unwrap();
    let written = |name: &str, text: String| {
        let path = folder.path().join(name);
        std::fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let (plain, escaped) = (
        "organization: Hollow Creek District Energy",
        format!("organization: {ESCAPED}"),
    );
    let spec = read(GEOTHERMAL).replace(plain, &escaped);
    let spec = written("spec.yaml", spec);
    let out = folder.path().join("out");
    let out = out.to_str().unwrap();
    for command in [
        vec!["build", "--as-of", AS_OF, "--out", out, &spec],
        vec!["forms", "--out", out, &spec],
        vec!["confirm", "--out", out, &spec],
    ] {
        let ran = run(coldring().args(&command));
        assert_eq!(ran.code, Some(1), "{command:?}: {}", ran.err);
        assert!(ran.err.contains("no-glyph"), "{command:?}: {}", ran.err);
        assert!(!ran.err.contains("maintainers"), "{command:?}: {}", ran.err);
    }
}

#[test]
fn a_submittal_with_an_escaped_character_is_not_made() {
    let folder = tempdir().unwrap();
    let copied = run(std::process::Command::new("cp")
        .arg("-r")
        .arg(path("specs"))
        .arg(folder.path()));
    assert_eq!(copied.code, Some(0));
    let file = folder.path().join("specs/submittal/AF-S-031.yaml");
    let text = std::fs::read_to_string(&file).unwrap();
    let title = text
        .lines()
        .find(|line| line.starts_with("title: "))
        .unwrap();
    let with = |written: &str| {
        std::fs::write(&file, text.replace(title, &format!("title: {written}"))).unwrap();
        let out = folder.path().join("out");
        run(coldring().arg("submittal").arg(&file).arg("--out").arg(out))
    };
    let ran = with(ESCAPED);
    assert_eq!(ran.code, Some(1), "{}", ran.err);
    assert!(ran.err.contains("no-glyph"), "{}", ran.err);
    let ran = with(DRAWN);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
}
