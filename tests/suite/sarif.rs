//! `check --format sarif`: what the standard (OASIS SARIF 2.1.0) asks beyond its
//! schema. `tests/sarif/check` holds a log to the schema.

use std::collections::BTreeSet;
use std::fs;

use serde_json::Value;
use tempfile::tempdir;

use crate::support::{AS_OF, GAS, WRONG, coldring, document, gas_alone, list, run};

fn check(format: &str, folder: &std::path::Path, specs: &[&str]) -> crate::support::Run {
    run(coldring()
        .current_dir(folder)
        .args(["check", "--as-of", AS_OF, "--format", format])
        .args(specs))
}

fn number(value: &Value) -> usize {
    usize::try_from(value.as_u64().unwrap_or_else(|| panic!("{value}"))).unwrap()
}

/// The text that a region marks, by its lines and columns alone.
fn marked(text: &str, region: &Value) -> String {
    let at = |line: &str, column: &str| {
        let (line, column) = (number(&region[line]), number(&region[column]));
        let start: usize = text
            .split_inclusive('\n')
            .take(line - 1)
            .map(str::len)
            .sum();
        let rest = text[start..].chars().take(column - 1).map(char::len_utf8);
        start + rest.sum::<usize>()
    };
    text[at("startLine", "startColumn")..at("endLine", "endColumn")].to_owned()
}

#[test]
fn a_log_says_what_the_json_document_says() {
    let root = crate::support::root();
    let ran = check("sarif", root, &[WRONG, GAS]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(1), ""));
    let log = document(&ran);
    let json = document(&check("json", root, &[WRONG, GAS]));
    assert_eq!(log["version"], "2.1.0");
    let run = &log["runs"][0];
    assert_eq!(run["columnKind"], "unicodeCodePoints");
    assert_eq!(run["invocations"][0]["exitCode"], 1);
    assert_eq!(run["invocations"][0]["executionSuccessful"], true);
    let rules = list(&run["tool"]["driver"], "rules");
    let ids: BTreeSet<_> = rules
        .iter()
        .map(|rule| rule["id"].as_str().unwrap())
        .collect();
    assert_eq!(ids.len(), rules.len(), "ids are unique (3.19.23)");
    assert_eq!(
        rules.len(),
        coldring::authoring::rule_index::rules().count()
    );
    let (results, findings) = (list(run, "results"), list(&json, "findings"));
    assert_eq!(results.len(), findings.len());
    for (result, finding) in results.iter().zip(findings) {
        let rule = &rules[number(&result["ruleIndex"])];
        assert_eq!(rule["id"], result["ruleId"], "3.27.6");
        assert_eq!(result["ruleId"], finding["rule"]);
        assert_eq!(result["level"], finding["severity"]);
        assert_eq!(rule["defaultConfiguration"]["level"], result["level"]);
        let said = result["message"]["text"].as_str().unwrap();
        let said = said.replace("{{", "{").replace("}}", "}");
        assert!(
            said.starts_with(finding["message"].as_str().unwrap()),
            "{said}"
        );
        if let Some(help) = finding["help"].as_str() {
            assert!(said.contains(help), "{said}");
        }
        let place = &result["locations"][0]["physicalLocation"];
        assert_eq!(place["artifactLocation"]["uri"], finding["file"]);
        if let Some(line) = place["region"]["startLine"].as_u64() {
            assert_eq!(line, finding["line"].as_u64().unwrap());
        }
        let related = list(result, "relatedLocations");
        assert_eq!(related.len(), list(finding, "related").len());
    }
    // There are findings about a file as a whole, and some that name others.
    assert!(
        results
            .iter()
            .any(|r| r["locations"][0]["physicalLocation"]["region"].is_null())
    );
    assert!(
        results
            .iter()
            .any(|r| !list(r, "relatedLocations").is_empty())
    );
}

#[test]
fn regions_mark_the_same_characters_as_the_finding() {
    let folder = tempdir().unwrap();
    let written = "    before_handling: {source: \"é 𝛑 °\", value: 5 parsecs}";
    let text = gas_alone().replace(
        "    before_handling: {value: 5 min, source: \"AFG O&M Manual 4.6\"}",
        written,
    );
    fs::write(folder.path().join("my spec é.yaml"), &text).unwrap();
    let log = document(&check("sarif", folder.path(), &["my spec é.yaml"]));
    let results = list(&log["runs"][0], "results");
    let parsecs = |result: &&Value| {
        result["message"]["text"]
            .as_str()
            .unwrap()
            .contains("parsecs")
    };
    let place = results.iter().find(parsecs).unwrap();
    let place = &place["locations"][0]["physicalLocation"];
    assert_eq!(place["artifactLocation"]["uri"], "my%20spec%20%C3%A9.yaml");
    assert_eq!(marked(&text, &place["region"]), "5 parsecs");
    for result in results {
        let region = &result["locations"][0]["physicalLocation"]["region"];
        if !region.is_null() {
            let marked = marked(&text, region);
            assert_eq!(marked.trim_end(), marked, "{result}");
        }
    }
}

#[test]
fn a_fix_is_the_edit_of_the_json_document() {
    let folder = tempdir().unwrap();
    let text = gas_alone()
        .replace("set_point: 500 °F", "setpoint: 500 °F # é 𝛑")
        .replace(
            "before_handling: {value: 5 min",
            "before_handling: {value: 5,0 min",
        )
        .replace("strength: 91 %", "strength: 91");
    fs::write(folder.path().join("spec.yaml"), &text).unwrap();
    let log = document(&check("sarif", folder.path(), &["spec.yaml"]));
    let json = document(&check("json", folder.path(), &["spec.yaml"]));
    let results = list(&log["runs"][0], "results");
    let mut fixed = 0;
    for (result, finding) in results.iter().zip(list(&json, "findings")) {
        let edits = list(finding, "edits");
        if edits.is_empty() {
            assert!(result["fixes"].is_null(), "{result}");
            continue;
        }
        let [change] = &list(&result["fixes"][0], "artifactChanges")[..] else {
            panic!("{result}");
        };
        assert_eq!(change["artifactLocation"]["uri"], "spec.yaml");
        let replacements = list(change, "replacements");
        assert_eq!(replacements.len(), edits.len());
        for (replacement, edit) in replacements.iter().zip(edits) {
            let bytes = number(&edit["start"])..number(&edit["end"]);
            assert_eq!(marked(&text, &replacement["deletedRegion"]), text[bytes]);
            assert_eq!(replacement["insertedContent"]["text"], edit["text"]);
            fixed += 1;
        }
    }
    assert_eq!(fixed, 3, "{json}");
}

#[test]
fn what_could_not_be_run_is_in_the_log() {
    let folder = tempdir().unwrap();
    let ran = check("sarif", folder.path(), &["nowhere.yaml"]);
    assert_eq!(ran.code, Some(2));
    let log = document(&ran);
    let invocation = &log["runs"][0]["invocations"][0];
    assert_eq!(invocation["executionSuccessful"], false);
    assert_eq!(invocation["exitCode"], 2);
    let told = &invocation["toolExecutionNotifications"][0]["message"]["text"];
    assert!(told.as_str().unwrap().contains("nowhere.yaml"), "{told}");
    // Nothing of the machine that the user did not say.
    assert!(
        !ran.out.contains(folder.path().to_str().unwrap()),
        "{}",
        ran.out
    );
}
