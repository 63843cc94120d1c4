//! The commands from outside: exit codes, help, and what is printed where.

use std::collections::BTreeSet;
use std::fs;

use coldring::authoring::rule_index;
use serde_json::Value;
use tempfile::tempdir;

use crate::support::{
    AS_OF, GAS, GEOTHERMAL, WRONG, coldring, coldring_with, document, file, gas_alone, list, read,
    run, sha256,
};

fn keys(value: &Value) -> Vec<&str> {
    value
        .as_object()
        .unwrap()
        .keys()
        .map(String::as_str)
        .collect()
}

/// The slugs of the rules in a document.
fn rules(document: &Value) -> Vec<&str> {
    list(document, "findings")
        .iter()
        .map(|f| f["rule"].as_str().unwrap())
        .collect()
}

#[test]
fn the_highest_exit_code_wins() {
    let missing = "specs/no-such-file.yaml";
    let check = |specs: &[&str]| {
        let mut arguments = vec!["check", "--as-of", AS_OF];
        arguments.extend(specs);
        coldring_with(&arguments).code
    };
    assert_eq!(check(&[GEOTHERMAL, GAS]), Some(0));
    assert_eq!(check(&[WRONG]), Some(1));
    assert_eq!(check(&[missing]), Some(2));
    assert_eq!(check(&[WRONG, GAS]), Some(1));
    assert_eq!(check(&[missing, WRONG, GAS]), Some(2));
    assert_eq!(check(&[GAS, WRONG, missing]), Some(2));
    // Usage.
    assert_eq!(coldring_with(&["check"]).code, Some(2));
    assert_eq!(
        coldring_with(&["check", "--format", "xml", GAS]).code,
        Some(2)
    );
    assert_eq!(coldring_with(&["bild"]).code, Some(2));
    assert_eq!(
        coldring_with(&["check", "--as-of", "tomorrow", GAS]).code,
        Some(2)
    );
    assert_eq!(coldring_with(&["--help"]).code, Some(0));
}

#[test]
fn help_gives_examples_for_every_command() {
    for command in [
        "build", "check", "explain", "heat", "limits", "new", "schema",
    ] {
        let help = coldring_with(&[command, "--help"]);
        assert_eq!(help.code, Some(0));
        assert!(
            help.out.contains(&format!("coldring {command} ")),
            "{}",
            help.out
        );
        assert!(help.out.contains("Example"), "{}", help.out);
    }
}

#[test]
fn the_json_document_has_the_agreed_shape() {
    let ran = coldring_with(&[
        "check", "--as-of", AS_OF, "--format", "json", GEOTHERMAL, WRONG,
    ]);
    assert_eq!(ran.code, Some(1));
    assert_eq!(ran.err, "");
    let document = document(&ran);
    assert_eq!(
        keys(&document),
        [
            "format", "version", "findings", "specs", "errors", "warnings"
        ]
    );
    assert_eq!(document["version"], 1);
    let findings = list(&document, "findings");
    for finding in findings {
        assert_eq!(
            keys(finding),
            [
                "rule",
                "severity",
                "file",
                "line",
                "column",
                "end_line",
                "end_column",
                "message",
                "help",
                "source",
                "related",
                "edits"
            ]
        );
        let place = |field: &str| finding[field].as_u64().unwrap();
        let (start, end) = (
            (place("line"), place("column")),
            (place("end_line"), place("end_column")),
        );
        assert!(start >= (1, 1) && start <= end, "{finding}");
        for related in list(finding, "related") {
            assert_eq!(keys(related), ["file", "line", "column", "message"]);
        }
    }
    let count = |severity: &str| {
        findings
            .iter()
            .filter(|f| f["severity"] == severity)
            .count()
    };
    assert!(
        count("error") > 5 && count("warning") > 1,
        "{:?}",
        rules(&document)
    );
    assert_eq!(document["errors"], count("error"));
    assert_eq!(document["warnings"], count("warning"));
    let specs = list(&document, "specs");
    assert_eq!(specs.len(), 2);
    assert_eq!(
        keys(&specs[0]),
        [
            "file",
            "number",
            "revision",
            "spec_digest",
            "errors",
            "warnings",
            "written",
            "withheld"
        ]
    );
    assert_eq!(specs[0]["file"], GEOTHERMAL);
    assert_eq!(
        (&specs[0]["number"], &specs[0]["revision"]),
        (&"HC-SF-104".into(), &2.into())
    );
    assert_eq!(specs[0]["spec_digest"], sha256(read(GEOTHERMAL).as_bytes()));
    assert_eq!(specs[0]["errors"], 0);
    assert_eq!(specs[0]["written"], Value::Array(Vec::new()));
    assert_eq!(specs[1]["errors"], document["errors"]);
}

#[test]
fn build_as_json_lists_what_it_wrote_and_prints_nothing_else() {
    let folder = tempdir().unwrap();
    let ran = run(coldring()
        .args([
            "build",
            "--as-of",
            AS_OF,
            "--format",
            "json",
            "--only",
            "card,depth-marks",
            GAS,
        ])
        .arg("--out")
        .arg(folder.path()));
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let document = document(&ran);
    let written: Vec<_> = list(&list(&document, "specs")[0], "written")
        .iter()
        .map(|path| path.as_str().unwrap())
        .collect();
    let names: Vec<_> = written
        .iter()
        .filter_map(|path| path.rsplit('/').next())
        .collect();
    // The manifest comes last.
    assert_eq!(names, ["card.pdf", "depth-marks.pdf", "manifest.json"]);
    for path in written {
        assert!(
            fs::read(path).is_ok_and(|bytes| !bytes.is_empty()),
            "{path}"
        );
    }
}

#[test]
fn columns_count_characters() {
    let folder = tempdir().unwrap();
    let line = "    before_handling: {source: \"é é °\", value: 5 parsecs}";
    let text = gas_alone().replace(
        "    before_handling: {value: 5 min, source: \"AFG O&M Manual 4.6\"}",
        line,
    );
    let number = text.lines().position(|l| l == line).unwrap() + 1;
    let spec = file(&folder, "columns.yaml", &text);
    let ran = coldring_with(&["check", "--as-of", AS_OF, "--format", "json", &spec]);
    let document = document(&ran);
    let findings = list(&document, "findings");
    let finding = findings.iter().find(|f| f["severity"] == "error").unwrap();
    assert_eq!(finding["line"], number, "{finding}");
    // 4 spaces, `before_handling: `, `{source: `, `"é é °", `, `value: `.
    assert_eq!(finding["column"], 4 + 17 + 9 + 9 + 7 + 1, "{finding}");
    assert_eq!(
        finding["end_column"],
        4 + 17 + 9 + 9 + 7 + 1 + 9,
        "{finding}"
    );
}

#[test]
fn new_writes_a_starter_that_passes_with_warnings_and_never_overwrites() {
    let folder = tempdir().unwrap();
    let spec = folder.path().join("mine.yaml").to_str().unwrap().to_owned();
    assert_eq!(coldring_with(&["new", &spec]).code, Some(0));
    let text = fs::read_to_string(&spec).unwrap();
    assert!(text.contains("to be measured"));
    let ran = coldring_with(&["check", "--format", "json", &spec]);
    assert_eq!(ran.code, Some(0), "{}", ran.out);
    let document = document(&ran);
    assert_eq!(document["errors"], 0);
    assert!(document["warnings"].as_u64().unwrap() > 0);
    // Its papers can be made.
    let built = run(coldring()
        .args(["build", &spec, "--out"])
        .arg(folder.path().join("out")));
    assert_eq!(built.code, Some(0), "{}", built.err);

    fs::write(&spec, "mine").unwrap();
    let again = coldring_with(&["new", &spec]);
    assert_eq!(again.code, Some(2));
    assert!(again.err.contains("exists already"), "{}", again.err);
    assert_eq!(fs::read_to_string(&spec).unwrap(), "mine");
}

#[test]
fn explain_knows_every_rule() {
    let list = coldring_with(&["explain"]);
    assert_eq!(list.code, Some(0));
    let mut slugs = BTreeSet::new();
    for rule in rule_index::rules() {
        assert!(slugs.insert(rule.slug), "{} twice", rule.slug);
        assert!(
            list.out.lines().any(|line| line.starts_with(rule.slug)),
            "{}",
            rule.slug
        );
        let page = coldring_with(&["explain", rule.slug]);
        assert_eq!(page.code, Some(0));
        for part in [rule.slug, "Why\n", "Example\n", "To fix it\n"] {
            assert!(page.out.contains(part), "{}: {}", rule.slug, page.out);
        }
    }
    let unknown = coldring_with(&["explain", "unknown-feild"]);
    assert_eq!(unknown.code, Some(2));
    assert!(unknown.err.contains("'unknown-field'"), "{}", unknown.err);
}

#[test]
fn limits_lists_figures_with_size_basis_and_source() {
    let all = coldring_with(&["limits"]);
    assert_eq!(all.code, Some(0));
    let lines: Vec<&str> = all.out.lines().collect();
    let at = lines
        .iter()
        .position(|line| line.contains("us-cycles:high-density:1-1/4-IPS:heat"))
        .unwrap();
    assert!(
        lines[at].contains("1-1/4 IPS") && lines[at].contains("18 to 21 s"),
        "{}",
        lines[at]
    );
    assert!(
        lines[at + 1]
            .trim()
            .starts_with("secondary: a heater manual"),
        "{}",
        lines[at + 1]
    );
    for table in coldring::published::library().tables() {
        let one = coldring_with(&["limits", &table.name]);
        assert_eq!(one.code, Some(0));
        assert!(all.out.contains(&one.out), "{}", table.name);
    }
    let unknown = coldring_with(&["limits", "us-cycle"]);
    assert_eq!(unknown.code, Some(2));
    assert!(unknown.err.contains("'us-cycles'"), "{}", unknown.err);
}

#[test]
fn color_only_where_it_is_wanted() {
    let check = |variables: &[(&str, &str)]| {
        let mut command = coldring();
        command.args(["check", "--as-of", AS_OF, WRONG]);
        command.envs(variables.iter().copied());
        run(&mut command).err
    };
    assert!(!check(&[]).contains('\u{1b}'), "a pipe is no terminal");
    assert!(
        check(&[("CLICOLOR_FORCE", "1")]).contains('\u{1b}'),
        "there is colour at all"
    );
    assert!(!check(&[("CLICOLOR_FORCE", "1"), ("NO_COLOR", "1")]).contains('\u{1b}'));
}

#[test]
fn what_a_person_can_fix_is_told_before_how_figures_are_known() {
    let folder = tempdir().unwrap();
    let spec = file(&folder, "mine.yaml", crate::support::starter(&[]));
    let told = coldring_with(&["check", "--as-of", AS_OF, &spec]).err;
    let told = told.replace("\n    ", " ");
    let at = |slug: &str| told.find(slug).unwrap_or_else(|| panic!("{slug}: {told}"));
    for sources in ["from memory", "sources disagree"] {
        assert!(at("NO JOINT until measured") < at(sources), "{told}");
        assert!(at("`before_handling`") < at(sources), "{told}");
    }
}
