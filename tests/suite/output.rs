//! What a build leaves on the disk: which papers for which specs, the manifest,
//! papers of earlier runs, and the README's own command.

use std::fs;
use std::process::Command;

use serde_json::Value;
use tempfile::tempdir;

use crate::support::{
    AS_OF, GAS, GEOTHERMAL, PAPERS, WRONG, coldring, demos, document, file, gas_alone, list,
    names_in, path, read, run, sha256, spec_digest, tool,
};

#[test]
fn a_spec_with_errors_gets_nothing_and_the_others_are_built() {
    let folder = tempdir().unwrap();
    let ran = run(coldring()
        .args([
            "build",
            "--as-of",
            AS_OF,
            WRONG,
            GAS,
            "--only",
            "depth-marks",
            "--out",
        ])
        .arg(folder.path()));
    assert_eq!(ran.code, Some(1), "{}", ran.err);
    assert_eq!(names_in(folder.path()), ["AF-JP-12-r2"]);
    let papers = folder.path().join("AF-JP-12-r2");
    assert_eq!(names_in(&papers), ["depth-marks.pdf", "manifest.json"]);
    assert!(ran.err.contains("everything-at-once.yaml"), "{}", ran.err);
}

#[test]
fn a_spec_that_turns_wrong_leaves_its_last_papers_alone() {
    let folder = tempdir().unwrap();
    let good = gas_alone();
    let spec = file(&folder, "s.yaml", &good);
    let out = folder.path().join("out");
    let build = || {
        run(coldring()
            .args([
                "build",
                "--as-of",
                AS_OF,
                "--only",
                "depth-marks",
                &spec,
                "--out",
            ])
            .arg(&out))
    };
    assert_eq!(build().code, Some(0));
    let paper = out.join("AF-JP-12-r2/depth-marks.pdf");
    let before = fs::read(&paper).unwrap();
    fs::write(
        &spec,
        good.replace("set_point: 500 °F", "set_point: 590 °F"),
    )
    .unwrap();
    assert_eq!(build().code, Some(1));
    assert_eq!(fs::read(&paper).unwrap(), before);
}

#[test]
fn the_manifest_tells_what_went_in_and_what_came_out() {
    let papers = &demos().gas;
    assert_eq!(
        names_in(papers),
        [
            "card.pdf",
            "depth-marks.pdf",
            "lid.pdf",
            "manifest.json",
            "procedure.pdf",
            "sources.pdf"
        ]
    );
    let text = fs::read_to_string(papers.join("manifest.json")).unwrap();
    let manifest: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(
        manifest["tool"],
        format!("coldring {}", env!("CARGO_PKG_VERSION"))
    );
    assert_eq!(
        manifest["limits"],
        read("src/published/tables/VERSION").trim()
    );
    assert_eq!(
        (&manifest["number"], &manifest["revision"]),
        (&"AF-JP-12".into(), &2.into())
    );
    assert_eq!(manifest["spec_digest"], spec_digest(GAS));
    let build = manifest["build_digest"].as_str().unwrap();
    assert!(
        build.len() == 64 && build.bytes().all(|b| b.is_ascii_hexdigit()),
        "{build}"
    );
    assert_ne!(manifest["build_digest"], manifest["spec_digest"]);
    let mut named = Vec::new();
    for file in list(&manifest, "files") {
        let name = file["name"].as_str().unwrap();
        let bytes = fs::read(papers.join(name)).unwrap();
        assert_eq!(file["sha256"], sha256(&bytes), "{name}");
        assert_eq!(file["bytes"], bytes.len(), "{name}");
        named.push(name);
    }
    named.sort_unstable();
    assert_eq!(named, PAPERS);
    // Neither folder nor machine may leak into it.
    assert!(!text.contains(path("").to_str().unwrap()));
}

#[test]
fn papers_of_an_earlier_run_are_reported_as_stale() {
    let folder = tempdir().unwrap();
    let build = |only: &str| {
        run(coldring()
            .args(["build", "--as-of", AS_OF, GAS, "--only", only, "--out"])
            .arg(folder.path()))
    };
    let manifest = || -> Value {
        let path = folder.path().join("AF-JP-12-r2/manifest.json");
        serde_json::from_slice(&fs::read(path).unwrap()).unwrap()
    };
    let first = build("card,depth-marks");
    assert_eq!(first.code, Some(0), "{}", first.err);
    assert!(!first.out.contains("stale"), "{}", first.out);
    assert_eq!(manifest()["stale"], Value::Array(Vec::new()));
    let second = build("depth-marks");
    assert!(
        second.out.contains("stale") && second.out.contains("card.pdf"),
        "{}",
        second.out
    );
    assert_eq!(manifest()["stale"], serde_json::json!(["card.pdf"]));
    // Nothing of the user's is deleted.
    assert!(folder.path().join("AF-JP-12-r2/card.pdf").exists());
}

#[test]
fn one_number_twice_is_an_error_of_the_second() {
    let folder = tempdir().unwrap();
    let (first, second) = (gas_alone(), gas_alone().replace("AF-JP-12", "af-jp-12"));
    let (a, b) = (
        file(&folder, "a.yaml", &first),
        file(&folder, "b.yaml", second),
    );
    let out = folder.path().join("out");
    let ran = run(coldring()
        .args([
            "build",
            "--as-of",
            AS_OF,
            "--format",
            "json",
            "--only",
            "depth-marks",
            &a,
            &b,
        ])
        .arg("--out")
        .arg(&out));
    assert_eq!(ran.code, Some(1), "{}", ran.err);
    let document = document(&ran);
    let finding = list(&document, "findings")
        .iter()
        .find(|finding| finding["rule"] == "same-number-twice")
        .unwrap();
    assert_eq!(
        (&finding["file"], &finding["line"]),
        (&b.clone().into(), &1.into())
    );
    assert!(
        finding["message"].as_str().unwrap().contains("a.yaml"),
        "{finding}"
    );
    assert_eq!(names_in(&out), ["AF-JP-12-r2"]);
    let manifest = fs::read_to_string(out.join("AF-JP-12-r2/manifest.json")).unwrap();
    assert!(manifest.contains(&sha256(first.as_bytes())));
}

#[test]
fn a_chosen_paper_overrules_the_spec() {
    let size = |paper: Option<&str>| {
        let folder = tempdir().unwrap();
        let mut command = coldring();
        command.args([
            "build",
            "--as-of",
            AS_OF,
            GAS,
            "--only",
            "procedure",
            "--out",
        ]);
        command
            .arg(folder.path())
            .args(paper.map(|paper| format!("--paper={paper}")));
        let ran = run(&mut command);
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        let papers = folder.path().join("AF-JP-12-r2");
        assert_eq!(names_in(&papers), ["manifest.json", "procedure.pdf"]);
        let procedure = papers.join("procedure.pdf");
        let info = tool("pdfinfo", &[&procedure]);
        let line = info
            .lines()
            .find(|line| line.starts_with("Page size:"))
            .unwrap();
        let numbers: Vec<f64> = line
            .split(' ')
            .filter_map(|word| word.parse().ok())
            .collect();
        (numbers[0].round(), numbers[1].round())
    };
    // In points: 8.5 × 11 in, and 210 × 297 mm.
    assert_eq!(size(None), (612.0, 792.0));
    assert_eq!(size(Some("a4")), (595.0, 842.0));
}

#[test]
fn the_readme_begins_with_two_commands_that_work() {
    let readme = read("README.md");
    let blocks: Vec<&str> = readme
        .split("\n```sh\n")
        .skip(1)
        .filter_map(|rest| rest.split("\n```").next())
        .collect();
    let [build, test] = blocks[..2] else {
        panic!("{blocks:?}")
    };
    // The first fenced blocks of the file, each a command alone.
    assert_eq!(readme.find("```"), readme.find("```sh"));
    assert_eq!((build.lines().count(), test.lines().count()), (1, 1));
    assert_eq!(test, "cargo test --release");
    let arguments = build.strip_prefix("cargo run --release -- ").unwrap();

    let folder = tempdir().unwrap();
    for below in ["specs/records", "specs/confirmations"] {
        fs::create_dir_all(folder.path().join(below)).unwrap();
    }
    let beside = [
        "specs/records/AF-PQ-07.yaml",
        "specs/confirmations/AF-EC-2.yaml",
    ];
    for spec in [GEOTHERMAL, GAS].into_iter().chain(beside) {
        fs::copy(path(spec), folder.path().join(spec)).unwrap();
    }
    let ran = run(Command::new("sh").current_dir(folder.path()).args([
        "-c",
        &format!("\"$0\" {arguments}"),
        env!("CARGO_BIN_EXE_coldring"),
    ]));
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    for papers in ["HC-SF-104-r2", "AF-JP-12-r2"] {
        let made = names_in(&folder.path().join("out").join(papers));
        assert!(
            PAPERS
                .iter()
                .all(|paper| made.iter().any(|name| name == paper)),
            "{made:?}"
        );
    }
}
