//! The program from outside: exit codes, what it prints where, what it writes,
//! and that nothing a file can hold brings it down.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use coldring::check;
use serde_json::Value;
use tempfile::{TempDir, tempdir};

use crate::support::{
    AS_OF, GAS, GEOTHERMAL, PAPERS, Run, WRONG, coldring, coldring_with, names_in, path, read, run,
    sha256,
};

/// A folder with a file in it; the file's path as text.
fn file(folder: &TempDir, name: &str, content: impl AsRef<[u8]>) -> String {
    let path = folder.path().join(name);
    fs::write(&path, content).unwrap();
    path.to_str().unwrap().to_owned()
}

/// The one document on standard output.
fn document(run: &Run) -> Value {
    // Anything else on standard output would not be JSON.
    serde_json::from_str(&run.out).unwrap_or_else(|error| panic!("{error}: {}", run.out))
}

fn keys(value: &Value) -> Vec<&str> {
    value
        .as_object()
        .unwrap()
        .keys()
        .map(String::as_str)
        .collect()
}

fn list<'a>(value: &'a Value, field: &str) -> &'a Vec<Value> {
    value[field].as_array().unwrap()
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
    for command in ["build", "check", "explain", "limits", "new"] {
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
    let good = read(GAS);
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
fn the_json_document_has_the_agreed_shape() {
    let ran = coldring_with(&[
        "check", "--as-of", AS_OF, "--format", "json", GEOTHERMAL, WRONG,
    ]);
    assert_eq!(ran.code, Some(1));
    assert_eq!(ran.err, "");
    let document = document(&ran);
    assert_eq!(
        keys(&document),
        ["version", "findings", "specs", "errors", "warnings"]
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
                "related"
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
            "written"
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
    assert_eq!(written.len(), 2, "{written:?}");
    for path in written {
        assert!(fs::read(path).unwrap().starts_with(b"%PDF-"), "{path}");
    }
}

#[test]
fn columns_count_characters() {
    let folder = tempdir().unwrap();
    let line = "    before_handling: {source: \"é é °\", value: 5 parsecs}";
    let text = read(GAS).replace(
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

/// Checks a file in a gigabyte of address space, and in a few seconds.
fn check_confined(path: &str) -> Run {
    let started = Instant::now();
    let ran = run(Command::new("sh")
        .args(["-c", "ulimit -v 1000000; exec \"$0\" check \"$1\""])
        .args([env!("CARGO_BIN_EXE_coldring"), path]));
    assert!(
        started.elapsed() < Duration::from_secs(10),
        "{path} took {:?}",
        started.elapsed()
    );
    assert!(!ran.err.contains("panicked"), "{path}: {}", ran.err);
    let shown: String = ran.err.chars().take(2000).collect();
    assert!(
        matches!(ran.code, Some(1 | 2)),
        "{path}: {:?} {shown}",
        ran.code
    );
    // Clear: it names the file, and is not a wall of text.
    let name = Path::new(path).file_name().unwrap().to_str().unwrap();
    assert!(ran.err.contains(name), "{shown}");
    assert!(ran.err.len() < 4000, "{shown}");
    ran
}

#[test]
fn files_that_are_no_specs_get_a_clear_message() {
    let folder = tempdir().unwrap();
    let inside = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    fs::create_dir(inside("folder.yaml")).unwrap();
    let cases = [
        (inside("missing.yaml"), 2, "cannot read"),
        (inside("folder.yaml"), 2, "is a folder"),
        (
            file(&folder, "latin1.yaml", b"title: caf\xe9\n"),
            1,
            "UTF-8",
        ),
        (file(&folder, "empty.yaml", ""), 1, "spec-empty"),
        (
            file(&folder, "comment.yaml", "# nothing\n"),
            1,
            "spec-empty",
        ),
        (file(&folder, "list.yaml", "- a\n- b\n"), 1, "list"),
        (
            file(&folder, "tabs.yaml", "heater:\n\tset_point: 500 °F\n"),
            1,
            "not-yaml",
        ),
        (file(&folder, "nul.yaml", "coldring: 1\0\n"), 1, "error"),
        (
            file(&folder, "two.yaml", "coldring: 1\n---\ncoldring: 1\n"),
            1,
            "error",
        ),
    ];
    for (path, code, says) in cases {
        let ran = check_confined(&path);
        assert_eq!(ran.code, Some(code), "{path}: {}", ran.err);
        assert!(ran.err.contains(says), "{path}: {}", ran.err);
    }
}

#[test]
fn hostile_files_are_refused_quickly_and_in_little_memory() {
    let folder = tempdir().unwrap();
    let mut bomb = String::from("coldring: 1\na0: &a0 [x, x, x, x, x, x, x, x, x]\n");
    for i in 1..30 {
        let alias = format!("*a{}, ", i - 1).repeat(9);
        bomb.push_str(&format!("a{i}: &a{i} [{}]\n", alias.trim_end_matches(", ")));
    }
    let deep_block: String = (0..2000)
        .map(|i| format!("{}a:\n", " ".repeat(i)))
        .collect();
    let cases = [
        (
            "large.yaml",
            "title: x\n".repeat(50_000_000 / 9),
            "spec-too-large",
        ),
        ("flow.yaml", format!("a: {}", "[".repeat(100_000)), "error"),
        ("maps.yaml", "{a: ".repeat(100_000), "error"),
        ("block.yaml", deep_block[..1_000_000].to_owned(), "error"),
        ("dashes.yaml", "- ".repeat(100_000), "error"),
        ("bomb.yaml", bomb, "spec-too-large"),
        ("self.yaml", "a: &a [*a]\n".to_owned(), "error"),
        (
            "line.yaml",
            format!("title: {}\n", "x".repeat(900_000)),
            "error",
        ),
        (
            "number.yaml",
            read(GAS).replace("500 °F", &format!("{} °F", "9".repeat(50_000))),
            "error",
        ),
    ];
    for (name, content, says) in cases {
        let path = file(&folder, name, content);
        let ran = check_confined(&path);
        assert_eq!(ran.code, Some(1), "{name}: {}", ran.err);
        assert!(ran.err.contains(says), "{name}: {}", ran.err);
    }
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
    for rule in check::rules() {
        assert!(slugs.insert(rule.slug), "{} twice", rule.slug);
        assert!(
            list.out.lines().any(|line| line.starts_with(rule.slug)),
            "{}",
            rule.slug
        );
        let page = coldring_with(&["explain", rule.slug]);
        assert_eq!(page.code, Some(0));
        for part in [rule.slug, "Why\n", "Example\n", "To mend it\n"] {
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
    for table in coldring::limits::library().tables() {
        let one = coldring_with(&["limits", &table.name]);
        assert_eq!(one.code, Some(0));
        assert!(all.out.contains(&one.out), "{}", table.name);
    }
    let unknown = coldring_with(&["limits", "us-cycle"]);
    assert_eq!(unknown.code, Some(2));
    assert!(unknown.err.contains("'us-cycles'"), "{}", unknown.err);
}

#[test]
fn colour_only_where_it_is_wanted() {
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
fn the_manifest_tells_what_went_in_and_what_came_out() {
    let papers = &crate::support::demos().gas;
    assert_eq!(
        names_in(papers),
        [
            "card.pdf",
            "depth-marks.pdf",
            "manifest.json",
            "procedure.pdf"
        ]
    );
    let text = fs::read_to_string(papers.join("manifest.json")).unwrap();
    let manifest: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(
        manifest["tool"],
        format!("coldring {}", env!("CARGO_PKG_VERSION"))
    );
    assert_eq!(manifest["limits"], read("src/limits/tables/VERSION").trim());
    assert_eq!(
        (&manifest["number"], &manifest["revision"]),
        (&"AF-JP-12".into(), &2.into())
    );
    assert_eq!(manifest["spec_digest"], sha256(read(GAS).as_bytes()));
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
    let (first, second) = (read(GAS), read(GAS).replace("AF-JP-12", "af-jp-12"));
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
        let info = crate::support::tool("pdfinfo", &[&procedure]);
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
    fs::create_dir(folder.path().join("specs")).unwrap();
    for spec in [GEOTHERMAL, GAS] {
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
