//! `coldring schema` and the schema that `coldring new` writes, from outside.

use std::fs;
use std::path::Path;

use coldring::authoring::schema::{Kind, text};
use serde_json::Value;
use tempfile::tempdir;

use crate::support::{AS_OF, GEOTHERMAL, coldring_with, document, file, list, read};

const MODELINE: &str = "# yaml-language-server: $schema=coldring-spec.schema.json\n";

fn names_in(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap().map(Result::unwrap);
    let mut names: Vec<_> = entries
        .map(|entry| entry.file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn a_schema_is_printed_and_every_kind_is_listed() {
    let listed = coldring_with(&["schema"]);
    assert_eq!(listed.code, Some(0));
    for kind in Kind::ALL {
        let line = |line: &str| line.starts_with(kind.word()) && line.ends_with(kind.about());
        assert!(listed.out.lines().any(line), "{}", listed.out);
        let printed = coldring_with(&["schema", kind.word()]);
        assert_eq!(printed.code, Some(0));
        let schema: Value = serde_json::from_str(&printed.out).unwrap();
        let id = format!("urn:coldring:schema:{}:1", kind.word());
        assert_eq!(schema["$id"], id.as_str());
    }
    assert_eq!(coldring_with(&["schema", "spek"]).code, Some(2));
}

#[test]
fn schemas_are_written_whole_and_replace_earlier_ones() {
    let folder = tempdir().unwrap();
    let out = folder.path().join("schemas");
    let out = out.to_str().unwrap();
    let mut names = Kind::ALL.map(Kind::file_name);
    names.sort();
    for _ in 0..2 {
        let ran = coldring_with(&["schema", "--out", out]);
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        assert_eq!(names_in(Path::new(out)), names);
        let spec = Path::new(out).join("coldring-spec.schema.json");
        assert_eq!(fs::read_to_string(&spec).unwrap(), text(Kind::Spec));
        fs::write(&spec, "of an earlier version").unwrap();
    }
    let alone = folder.path().join("alone");
    let ran = coldring_with(&["schema", "record", "--out", alone.to_str().unwrap()]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    assert_eq!(names_in(&alone), ["coldring-record.schema.json"]);
    // A file stands where the folder should.
    let taken = file(&folder, "taken", "mine");
    let ran = coldring_with(&["schema", "--out", &taken]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.err.contains("taken"), "{}", ran.err);
    assert_eq!(fs::read_to_string(taken).unwrap(), "mine");
}

#[test]
fn new_writes_the_schema_beside_the_spec_and_never_over_one() {
    let folder = tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let new = |name: &str, more: &[&str]| {
        let path = at(name);
        let ran = coldring_with(&[&["new", &path], more].concat());
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        ran.out
    };
    let alone = new("alone.yaml", &["--no-schema"]);
    assert!(!alone.contains("schema"), "{alone}");
    assert_eq!(names_in(folder.path()), ["alone.yaml"]);
    assert!(read_at(&at("alone.yaml")).starts_with("# A socket-fusion procedure."));

    assert!(new("a.yaml", &[]).contains("coldring-spec.schema.json"));
    assert!(read_at(&at("a.yaml")).starts_with(MODELINE));
    let schema = at("coldring-spec.schema.json");
    assert_eq!(read_at(&schema), text(Kind::Spec));
    // The same one is there already: nothing to tell.
    assert!(!new("b.yaml", &[]).contains("schema"));
    fs::write(&schema, "of another version").unwrap();
    let told = new("c.yaml", &[]);
    assert!(told.contains("left") && told.contains("coldring schema spec --out"));
    assert_eq!(read_at(&schema), "of another version");
}

fn read_at(path: &str) -> String {
    fs::read_to_string(path).unwrap()
}

#[test]
fn a_line_that_names_any_schema_is_a_comment() {
    let folder = tempdir().unwrap();
    let other = "# yaml-language-server: $schema=https://schema.example/other.json\n";
    let rules = |first: &str| {
        let spec = file(&folder, "a.yaml", format!("{first}{}", read(GEOTHERMAL)));
        let ran = coldring_with(&["check", "--as-of", AS_OF, "--format", "json", &spec]);
        assert_eq!(ran.code, Some(0), "{}", ran.out);
        let document = document(&ran);
        let rule = |finding: &Value| finding["rule"].as_str().unwrap().to_owned();
        list(&document, "findings")
            .iter()
            .map(rule)
            .collect::<Vec<_>>()
    };
    let without = rules("");
    assert!(!without.is_empty());
    assert_eq!(rules(MODELINE), without);
    assert_eq!(rules(other), without);
}

/// A file for each kind beside a spec, which the command it is for then reads.
#[test]
fn the_files_beside_a_spec_are_written_and_read() {
    let folder = tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let spec = file(&folder, "my.yaml", crate::support::gas_alone());
    let (record, roster) = (at("records/PQ-001.yaml"), at("people/roster.yaml"));
    let (submittal, house) = (at("submittal/S-001.yaml"), at("style/house.yaml"));
    for (path, option) in [
        (&record, "--record"),
        (&roster, "--roster"),
        (&submittal, "--submittal"),
        (&house, "--house"),
    ] {
        let ran = coldring_with(&["new", path, option, &spec]);
        assert_eq!(ran.code, Some(0), "{option}: {}", ran.err);
        let schema = fs::read_to_string(path).unwrap();
        let named = schema
            .lines()
            .next()
            .unwrap()
            .split_once("$schema=")
            .unwrap()
            .1;
        let beside = Path::new(path).with_file_name(named);
        assert!(beside.is_file(), "{named}");
        // What stands there is left alone.
        let again = coldring_with(&["new", path, option, &spec]);
        assert_eq!(again.code, Some(2), "{option}");
    }
    let text = fs::read_to_string(&record).unwrap();
    assert!(text.contains("records: [records/PQ-001.yaml]"), "{text}");
    let text = fs::read_to_string(&submittal).unwrap();
    assert!(text.contains("spec: ../my.yaml"), "{text}");
    let out = at("out");
    for command in [
        &["forms", &spec, "--record", &record][..],
        &["build", &spec, "--house", &at("style"), "--only", "card"],
        &["submittal", &submittal],
    ] {
        let ran = coldring_with(&[command, &["--out", &out]].concat());
        assert_eq!(ran.code, Some(0), "{command:?}: {}", ran.err);
    }
    // A file that nothing could ever read from there is refused, with the place to write it.
    let elsewhere = tempdir().unwrap();
    std::fs::create_dir(elsewhere.path().join("deep")).unwrap();
    let outside = |name: &str| elsewhere.path().join(name).to_str().unwrap().to_owned();
    for (arguments, says) in [
        (["new", &outside("r.yaml"), "--record", &spec], "below it"),
        (
            ["new", &outside("deep/s.yaml"), "--submittal", &spec],
            "above it",
        ),
        (["new", &at("our.yaml"), "--house", &spec], "house.yaml"),
    ] {
        let ran = coldring_with(&arguments);
        assert_eq!(ran.code, Some(2), "{arguments:?}");
        assert!(ran.err.contains(says), "{}", ran.err);
    }
    let both = ["new", "x.yaml", "--record", &spec, "--roster", &spec];
    assert_eq!(coldring_with(&both).code, Some(2));
    let sized = ["new", "x.yaml", "--record", &spec, "--sizes", "1 IPS"];
    assert_eq!(coldring_with(&sized).code, Some(2));
    let wrong = file(&folder, "wrong.yaml", "coldring: 1\n");
    let unread = coldring_with(&["new", &at("r.yaml"), "--record", &wrong]);
    assert_eq!(unread.code, Some(1), "{}", unread.err);
    assert!(unread.err.contains("missing-field"), "{}", unread.err);
}
