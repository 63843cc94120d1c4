//! What `coldring explain --json` says of each JSON document, held to what the
//! program prints and writes: every field that comes is told, and every field
//! that is told comes.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use serde_json::Value;
use tempfile::tempdir;

use crate::support::{
    AS_OF, GAS, GEOTHERMAL, WRONG, coldring, coldring_with, file, gas_alone, read, run,
};

/// The fields of a document as they are told, by their paths.
fn told(name: &str) -> BTreeSet<String> {
    let page = coldring_with(&["explain", "--json", name]);
    assert_eq!(page.code, Some(0), "{}", page.err);
    let lines = page.out.lines().skip(2);
    let fields = lines.take_while(|line| !line.is_empty());
    fields
        .map(|line| line.split_whitespace().next().unwrap().to_owned())
        .collect()
}

/// What a document has by the form it shares with others, and does not use.
const ONLY_ELSEWHERE: &[(&str, &str)] = &[
    ("merged", "procedures[].files[].cards"),
    ("merged", "findings[].related[].file"),
    ("merged", "findings[].related[].line"),
    ("merged", "findings[].related[].column"),
    ("merged", "findings[].related[].message"),
    ("merged", "findings[].edits[].start"),
    ("merged", "findings[].edits[].end"),
    ("merged", "findings[].edits[].text"),
    ("comparison", "findings[].edits[].start"),
    ("comparison", "findings[].edits[].end"),
    ("comparison", "findings[].edits[].text"),
];

/// Takes in the paths of a value: of each entry of a list that holds objects, of
/// each field of an object, and of anything else its own.
fn paths(value: &Value, path: &str, into: &mut BTreeSet<String>) {
    match value {
        Value::Object(fields) => {
            for (name, value) in fields {
                let dot = if path.is_empty() { "" } else { "." };
                paths(value, &format!("{path}{dot}{name}"), into);
            }
        }
        Value::Array(entries) if entries.iter().any(Value::is_object) => {
            for entry in entries {
                paths(entry, &format!("{path}[]"), into);
            }
        }
        _ => {
            into.insert(path.to_owned());
        }
    }
}

/// Holds documents of one format to what is told of it.
fn hold(name: &str, documents: &[Value]) {
    let told = told(name);
    let mut come = BTreeSet::new();
    for document in documents {
        assert_eq!(document["format"], format!("coldring-{name}"));
        assert_eq!(document["version"], 1);
        let mut keys = document.as_object().unwrap().keys();
        assert_eq!(keys.next().unwrap(), "format");
        assert_eq!(keys.next().unwrap(), "version");
        paths(document, "", &mut come);
    }
    // An empty list, or null, where a list of objects or an object may be.
    let within = |path: &String| {
        let inside = |other: &&String| {
            let rest = other.strip_prefix(path.as_str());
            rest.is_some_and(|rest| rest.starts_with("[].") || rest.starts_with('.'))
        };
        told.iter().any(|other| inside(&other))
    };
    let untold: Vec<_> = come
        .iter()
        .filter(|path| !told.contains(*path) && !within(path))
        .collect();
    assert!(untold.is_empty(), "{name}: not told: {untold:?}");
    let missing: Vec<_> = told
        .difference(&come)
        .filter(|path| !ONLY_ELSEWHERE.contains(&(name, path)))
        .collect();
    assert!(
        missing.is_empty(),
        "{name}: told, and never come: {missing:?}"
    );
}

/// The document that a command prints.
fn printed(arguments: &[&str]) -> Value {
    let ran = coldring_with(arguments);
    serde_json::from_str(&ran.out)
        .unwrap_or_else(|error| panic!("{arguments:?}: {error}: {}{}", ran.out, ran.err))
}

fn written(path: &Path) -> Value {
    let text = fs::read(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    serde_json::from_slice(&text).unwrap()
}

/// A folder's path as an argument.
fn text(path: &Path) -> &str {
    path.to_str().unwrap()
}

#[test]
fn of_findings_and_figures() {
    let folder = tempdir().unwrap();
    // A misspelled word has the edit that makes it right.
    let misspelled = folder.path().join("misspelled.yaml");
    let slip = read(GEOTHERMAL).replace("kinds: [coupling", "kinds: [copling");
    fs::write(&misspelled, slip).unwrap();
    let misspelled = text(&misspelled);
    let options = ["check", "--as-of", AS_OF, "--format", "json"];
    let check = printed(&[&options[..], &[WRONG, GAS, misspelled]].concat());
    // A withdrawn procedure has no card.
    let withdrawn = folder.path().join("s.yaml");
    let text_of = read(GEOTHERMAL).replace("status: draft", "status: withdrawn");
    fs::write(&withdrawn, text_of).unwrap();
    let out = folder.path().join("out");
    let build = printed(&[
        "build",
        text(&withdrawn),
        "--only",
        "card",
        "--as-of",
        AS_OF,
        "--format",
        "json",
        "--out",
        text(&out),
    ]);
    hold("findings", &[check, build]);
    let show = |spec| {
        printed(&[
            "show",
            "--resolved",
            spec,
            "--as-of",
            AS_OF,
            "--format",
            "json",
        ])
    };
    hold("procedure", &[show(GAS), show(GEOTHERMAL)]);
    hold("limits", &[printed(&["limits", "--format", "json"])]);
    let heat = ["heat", "--as-of", AS_OF, "--format", "json", GEOTHERMAL];
    hold("estimates", &[printed(&heat)]);
    let plan = [
        "plan", GAS, "--joints", "1 IPS=40", "--as-of", AS_OF, "--format", "json",
    ];
    // A size whose depth is open is told apart.
    let folder = tempdir().unwrap();
    let open = read(GEOTHERMAL).replace(
        "1 IPS: {depth: 0.71 in, id: DG-2, source: \"caliper, gauge DG-2, 2026-10-28\"}",
        "1 IPS: {depth: to be measured, id: DG-2}",
    );
    let open = file(&folder, "open.yaml", open);
    let unmeasured = ["plan", &open, "--as-of", AS_OF, "--format", "json"];
    hold("plan", &[printed(&plan), printed(&unmeasured)]);
}

#[test]
fn of_a_comparison() {
    let folder = tempdir().unwrap();
    // Another resin: an essential change, and no record that proves it.
    let new = folder.path().join("new.yaml");
    let text_of = gas_alone().replace("PE2708", "PE2406");
    fs::write(
        &new,
        text_of.replace("revision: 2, date", "revision: 3, date"),
    )
    .unwrap();
    let old = folder.path().join("old.yaml");
    fs::write(&old, gas_alone()).unwrap();
    let compare = [
        "compare",
        text(&old),
        text(&new),
        "--as-of",
        AS_OF,
        "--format",
        "json",
    ];
    let earlier = [
        "compare",
        "specs/earlier/alder-fork-gas-r1.yaml",
        GAS,
        "--as-of",
        AS_OF,
        "--format",
        "json",
    ];
    hold("comparison", &[printed(&compare), printed(&earlier)]);
}

#[test]
fn of_people_and_batches() {
    let folder = tempdir().unwrap();
    let out = |name: &str| folder.path().join(name);
    let people = "specs/people/fusers.yaml";
    let fusers = ["fusers", people, "--as-of", AS_OF, "--format", "json"];
    hold("fusers", &[printed(&fusers)]);
    let cards = |out: &Path, shard: &str| {
        printed(&[
            "cards",
            GAS,
            "--fusers",
            people,
            "--as-of",
            AS_OF,
            "--format",
            "json",
            "--shard",
            shard,
            "--out",
            text(out),
        ])
    };
    let first = cards(&out("one"), "1/3");
    let second = cards(&out("two"), "2/3");
    hold("cards", &[first, second]);
    let of_cards = written(&out("one").join(format!("cards-{AS_OF}-shard-1-of-3/manifest.json")));
    let with = written(&out("two").join(format!("cards-{AS_OF}-shard-2-of-3/manifest.json")));
    hold("cards-manifest", &[of_cards, with]);
    // Two parts, of which one has a spec with an error and one that is not there.
    let specs = [GAS, GEOTHERMAL, WRONG, "specs/no-such-file.yaml"];
    let mut parts = Vec::new();
    for part in ["1", "2"] {
        let ran = run(coldring()
            .args(["build", "--as-of", AS_OF, "--only", "depth-marks"])
            .args(["--house", "specs/house", "--shard", &format!("{part}/2")])
            .args(specs)
            .arg("--out")
            .arg(out(&format!("build-{part}"))));
        assert!(ran.code.is_some());
        let manifest = format!("shard-{part}-of-2/manifest.json");
        parts.push(written(&out(&format!("build-{part}")).join(manifest)));
    }
    hold("part-manifest", &parts);
    let merged = printed(&[
        "merge",
        "--format",
        "json",
        text(&out("one")),
        text(&out("two")),
        text(&out("build-1")),
        text(&out("build-2")),
    ]);
    hold("merged", &[merged]);
}

#[test]
fn of_signed_papers_and_their_manifest() {
    let folder = tempdir().unwrap();
    let out = folder.path();
    let keys = run(coldring().args(["keys", "test", "--out"]).arg(out));
    assert_eq!(keys.code, Some(0), "{}", keys.err);
    let ran = run(coldring()
        .args([
            "build",
            GAS,
            "--as-of",
            AS_OF,
            "--only",
            "depth-marks",
            "--house",
            "specs/house",
        ])
        .arg("--key")
        .arg(out.join("test.private.pem"))
        .arg("--out")
        .arg(out));
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let papers = out.join("AF-JP-12-r2");
    let withdrawn = out.join("s.yaml");
    let text_of = read(GEOTHERMAL).replace("status: draft", "status: withdrawn");
    fs::write(&withdrawn, text_of).unwrap();
    let card = ["build", "--only", "card", "--as-of", AS_OF, "--out"];
    run(coldring().args(card).arg(out).arg(&withdrawn));
    let manifests = ["AF-JP-12-r2", "HC-SF-104-r2"];
    let manifests = manifests.map(|folder| written(&out.join(folder).join("manifest.json")));
    hold("manifest", &manifests);
    let (paper, trust) = (papers.join("depth-marks.pdf"), out.join("test.public.pem"));
    let verify = |paper: &Path| {
        printed(&[
            "verify",
            text(paper),
            "--trust",
            text(&trust),
            "--as-of",
            AS_OF,
            "--format",
            "json",
        ])
    };
    // One without a code is answered by remarks.
    let unsigned = crate::support::demos().gas.join("card.pdf");
    hold("verification", &[verify(&paper), verify(&unsigned)]);
}

#[test]
fn an_unknown_document_is_told_from_a_known_one() {
    let ran = coldring_with(&["explain", "--json", "finding"]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.err.contains("did you mean 'findings'?"), "{}", ran.err);
    assert!(ran.err.contains("coldring explain --json"), "{}", ran.err);
}
