//! Confirming figures, end to end: the worksheet, the file of readings, and what
//! they do to the papers. The edition, its tables and the initials are invented;
//! no test says what a real standard prints.

use std::fs;
use std::path::{Path, PathBuf};

use coldring::published::library;
use serde_json::Value;
use tempfile::{TempDir, tempdir};

use crate::support::{
    AS_OF, GEOTHERMAL, Run, coldring, document, list, pages_text, read, run, squeezed, tool,
};

const HEAT: &str = "us-cycles:high-density:3/4-IPS:heat";
const HOLD: &str = "us-cycles:high-density:3/4-IPS:hold";
/// Basis of a number that was read in the edition.
const BASIS: &str = "read in the edition";
const SOURCE: &str = "Example Edition 1, Table 3, read by Q. Z., 2026-11-20";

/// An entry of the confirmations file.
fn entry(figure: &str, read: &str) -> String {
    format!(
        "  - {{figure: \"{figure}\", read: \"{read}\", edition: Example Edition 1, \
         place: Table 3, by: Q. Z., date: 2026-11-20}}\n"
    )
}

/// A folder with the demo spec, which names a confirmations file of these
/// entries and has these lines under `figures`.
fn folder(entries: &[String], figures: &str) -> TempDir {
    let folder = tempdir().unwrap();
    let spec = read(GEOTHERMAL) + "\nfigures:\n  confirmations: read.yaml\n" + figures;
    fs::write(folder.path().join("spec.yaml"), spec).unwrap();
    let text = "coldring-confirmations: 1\nconfirmations:\n".to_owned() + &entries.concat();
    fs::write(folder.path().join("read.yaml"), text).unwrap();
    folder
}

fn with(command: &str, folder: &Path, arguments: &[&str]) -> Run {
    run(coldring()
        .current_dir(folder)
        .args([command, "spec.yaml"])
        .args(arguments))
}

fn check(folder: &Path) -> Value {
    document(&with(
        "check",
        folder,
        &["--as-of", AS_OF, "--format", "json"],
    ))
}

/// Builds the spec in a folder; the folder of its papers.
fn build(folder: &Path) -> PathBuf {
    let ran = with("build", folder, &["--as-of", AS_OF]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    folder.join("out/HC-SF-104-r2")
}

/// The findings of a rule.
fn of_rule<'a>(document: &'a Value, rule: &str) -> Vec<&'a Value> {
    let findings = list(document, "findings").iter();
    findings.filter(|f| f["rule"] == rule).collect()
}

fn recalled(document: &Value) -> String {
    let found = of_rule(document, "recalled-figures-used");
    found.first().map_or_else(String::new, |finding| {
        finding["message"].as_str().unwrap().to_owned()
    })
}

/// The text of the sources in the order of the cells, so that a text of several lines
/// stays one.
fn rows_of(paper: &Path) -> String {
    squeezed(&tool(
        "pdftotext",
        &["-raw".as_ref(), paper.as_os_str(), "-".as_ref()],
    ))
}

/// The text of a paper without its layout.
fn text_of(paper: &Path) -> String {
    squeezed(&pages_text(paper).concat())
}

#[test]
fn a_confirmed_figure_loses_its_mark_and_prints_its_edition() {
    let before = folder(&[entry(HOLD, "30 s")], "");
    let after = folder(&[entry(HEAT, "8 to 14 s"), entry(HOLD, "30 s")], "");
    assert!(recalled(&check(before.path())).contains("heating 3/4 IPS (8 to 14 s)"));
    let told = recalled(&check(after.path()));
    assert!(!told.contains("3/4 IPS"), "{told}");
    assert!(told.contains("change-over"), "{told}");

    let (before, after) = (build(before.path()), build(after.path()));
    // The mark is drawn around a question mark.
    let marks = |papers: &Path| text_of(&papers.join("card.pdf")).matches('?').count();
    assert!(marks(&after) < marks(&before));
    let procedure = text_of(&after.join("procedure.pdf"));
    let rows = |papers: &Path| rows_of(&papers.join("sources.pdf"));
    let row = |figure: &str| squeezed(&format!("{figure} Times, steps, card {BASIS} {SOURCE}"));
    for (papers, heat) in [(&after, true), (&before, false)] {
        let rows = rows(papers);
        assert!(rows.contains(&row("HOLD 3/4: 30 sec")), "{rows}");
        assert_eq!(rows.contains(&row("HEAT 3/4: 8 to 14 sec")), heat, "{rows}");
    }

    let digests = |papers: &Path| {
        let text = fs::read_to_string(papers.join("manifest.json")).unwrap();
        let manifest: Value = serde_json::from_str(&text).unwrap();
        (
            manifest["spec_digest"].clone(),
            manifest["build_digest"].clone(),
        )
    };
    // The file travels inside the procedure, and the printed digest covers it.
    let pdf = after.join("procedure.pdf");
    let listed = tool("pdfdetach", &["-list".as_ref(), pdf.as_os_str()]);
    assert!(listed.contains("confirmations-1.yaml"), "{listed}");
    let (before, after) = (digests(&before), digests(&after));
    assert_ne!(before.0, after.0);
    assert_ne!(before.1, after.1);
    assert!(procedure.contains(&after.0.as_str().unwrap()[..16]));
}

#[test]
fn a_figure_read_otherwise_holds_the_papers_back() {
    let folder = folder(&[entry(HOLD, "30 s"), entry(HEAT, "9 to 15 s")], "");
    let ran = with("build", folder.path(), &["--as-of", AS_OF]);
    assert_eq!(ran.code, Some(1), "{}", ran.err);
    assert!(!folder.path().join("out").exists());
    // The line of each file is shown.
    for shown in [
        "--> read.yaml:4",
        "::: spec.yaml:",
        "9 to 15 s",
        "8 to 14 s",
        SOURCE,
        "ASTM F2620, as recalled",
    ] {
        assert!(ran.err.contains(shown), "{shown}: {}", ran.err);
    }
    let document = check(folder.path());
    let [finding] = of_rule(&document, "figure-read-otherwise")[..] else {
        panic!("{document}");
    };
    assert_eq!(
        (finding["file"].as_str(), finding["line"].as_u64()),
        (Some("read.yaml"), Some(4))
    );
    let [related] = list(finding, "related").as_slice() else {
        panic!("{finding}");
    };
    assert_eq!(related["file"], "spec.yaml");
}

#[test]
fn the_spec_says_which_reading_governs() {
    let readings = [entry(HEAT, "9 to 15 s")];
    let governs =
        |which: &str| format!("  governing: [{{figure: \"{HEAT}\", governs: {which}}}]\n");
    let edition = folder(&readings, &governs("edition"));
    let found = check(edition.path());
    assert_eq!(found["errors"], 0, "{found}");
    assert!(of_rule(&found, "edition-overruled").is_empty());
    assert!(!recalled(&found).contains("heating 3/4 IPS"));
    let papers = build(edition.path());
    let row = |heat: &str| squeezed(&format!("HEAT 3/4: {heat} sec Times, steps, card {BASIS}"));
    let sources = rows_of(&papers.join("sources.pdf"));
    assert!(
        sources.contains(&(row("9 to 15") + &squeezed(SOURCE))),
        "{sources}"
    );
    assert!(text_of(&papers.join("card.pdf")).contains("15"));

    let tables = folder(&readings, &governs("tables"));
    let found = check(tables.path());
    let [finding] = of_rule(&found, "edition-overruled")[..] else {
        panic!("{found}");
    };
    assert_eq!(finding["file"], "spec.yaml");
    assert_eq!(list(finding, "related")[0]["file"], "read.yaml");
    assert!(recalled(&found).contains("heating 3/4 IPS (8 to 14 s)"));
    let sources = rows_of(&build(tables.path()).join("sources.pdf"));
    assert!(!sources.contains(&row("9 to 15")), "{sources}");
    assert!(!sources.contains(&row("8 to 14")), "{sources}");
    assert!(
        sources.contains(&squeezed("HEAT 3/4: 8 to 14")),
        "{sources}"
    );
}

#[test]
fn every_wrong_confirmation_is_named_at_its_place() {
    let readings = [
        entry("us-cycles:high-density:3/4-IPS:heet", "8 to 14 s"),
        entry(HEAT, "as printed"),
        entry(HOLD, "30 mm"),
        entry(HOLD, "30 s"),
        entry("us-cycles:high-density:1-1/4-CTS:heat", "not found"),
    ];
    let governing = "  governing: [{figure: \"us-cycles:high-density:1-IPS:heat\", governs: edition}, \
                     {figure: nonsense, governs: tables}]\n";
    let found = check(folder(&readings, governing).path());
    let lines = |rule: &str| -> Vec<_> {
        let found = of_rule(&found, rule).into_iter();
        found.map(|f| f["line"].as_u64().unwrap()).collect()
    };
    assert_eq!(lines("reading-not-a-value"), [4, 5, 7]);
    assert_eq!(lines("duplicate-key"), [6]);
    let unknown = of_rule(&found, "unknown-figure-confirmed");
    assert!(unknown[0]["help"].as_str().unwrap().contains(HEAT));
    // A file that is not read whole leaves open what there is to govern.
    assert!(of_rule(&found, "nothing-to-govern").is_empty());

    let whole = check(folder(&readings[3..4], governing).path());
    assert_eq!(of_rule(&whole, "nothing-to-govern").len(), 1);
    let [unknown] = of_rule(&whole, "unknown-figure-confirmed")[..] else {
        panic!("{whole}");
    };
    assert_eq!(unknown["file"], "spec.yaml");
}

#[test]
fn a_length_is_the_same_in_either_unit() {
    // 1.315 in, the outside diameter of 1 IPS, is 33.401 mm exactly.
    let od = "pipe-ips:1-IPS:od";
    assert_eq!(library().entry(od).unwrap().written, "1.315 in");
    let same = check(folder(&[entry(od, "33.401 mm")], "").path());
    assert_eq!(same["errors"], 0, "{same}");
    let near = check(folder(&[entry(od, "33.4 mm")], "").path());
    assert_eq!(of_rule(&near, "figure-read-otherwise").len(), 1);
}

#[test]
fn a_reading_supplies_what_the_tables_do_not_have() {
    let figure = "us-cycles:high-density:1-1/4-CTS:heat";
    let found = check(folder(&[entry(figure, "12 to 15 s")], "").path());
    assert_eq!(found["errors"], 0, "{found}");
}

#[test]
fn a_spec_reaches_no_file_outside_its_folder() {
    let outside = tempdir().unwrap();
    let good = "coldring-confirmations: 1\nconfirmations:\n".to_owned() + &entry(HOLD, "30 s");
    let secret = outside.path().join("read.yaml");
    fs::write(&secret, good).unwrap();
    let place = tempdir().unwrap();
    let inside = place.path().join("specs");
    fs::create_dir_all(inside.join("folder")).unwrap();
    fs::copy(&secret, place.path().join("beside.yaml")).unwrap();
    fs::copy(&secret, inside.join("folder/read.yaml")).unwrap();
    fs::write(inside.join("bytes.yaml"), b"a: \xff").unwrap();
    fs::write(inside.join("large.yaml"), vec![b' '; 2 << 20]).unwrap();
    #[cfg(unix)]
    {
        use std::os::unix::fs::symlink;
        symlink(&secret, inside.join("link.yaml")).unwrap();
        symlink(outside.path(), inside.join("way")).unwrap();
        symlink(inside.join("folder"), inside.join("within")).unwrap();
        tool("mkfifo", &[inside.join("pipe.yaml")]);
    }
    let absolute = secret.to_str().unwrap();
    let named = |path: &str| {
        let spec = read(GEOTHERMAL) + &format!("\nfigures: {{confirmations: '{path}'}}\n");
        fs::write(inside.join("spec.yaml"), spec).unwrap();
        check(&inside)
    };
    for path in [
        absolute,
        "../beside.yaml",
        "folder/../../beside.yaml",
        "folder/../folder/read.yaml",
        "link.yaml",
        "way/read.yaml",
        "C:\\read.yaml",
        "..\\beside.yaml",
        "pipe.yaml",
        "folder",
        ".",
        "none.yaml",
        "bytes.yaml",
        "large.yaml",
        "/dev/zero",
    ] {
        let found = named(path);
        let [finding] = of_rule(&found, "file-not-read")[..] else {
            panic!("{path}: {found}");
        };
        assert_eq!(finding["file"], "spec.yaml", "{path}");
        assert!(recalled(&found).contains("hold 3/4 IPS"), "{path}");
    }
    for path in ["folder/read.yaml", "./folder/read.yaml", "within/read.yaml"] {
        let found = named(path);
        assert_eq!(found["errors"], 0, "{path}: {found}");
        assert!(!recalled(&found).contains("hold 3/4 IPS"), "{path}");
    }
}

#[test]
fn what_no_figure_can_be_is_no_reading() {
    for (figure, read) in [
        (HEAT, "0 s"),
        (HEAT, "0 to 14 s"),
        (HEAT, "not advisable"),
        (HOLD, "-30 s"),
        ("us-coil:ovality:percent", "0 %"),
    ] {
        let document = check(folder(&[entry(figure, read)], "").path());
        let found = of_rule(&document, "reading-not-a-value");
        assert_eq!(found.len(), 1, "{figure}: {read}: {document}");
    }
}

#[test]
fn a_reading_of_tomorrow_is_told() {
    let late = entry(HOLD, "30 s").replace("2026-11-20", "2049-11-20");
    let document = check(folder(&[entry(HEAT, "8 to 14 s"), late], "").path());
    let [finding] = of_rule(&document, "reading-after-as-of")[..] else {
        panic!("{document}");
    };
    assert_eq!(finding["file"], "read.yaml");
    assert_eq!(finding["severity"], "warning");
}

#[test]
fn a_file_still_to_be_filled_in_is_a_note() {
    let document = check(folder(&[], "").path());
    let [finding] = of_rule(&document, "confirmations-empty")[..] else {
        panic!("{document}");
    };
    assert_eq!(finding["severity"], "note");
    assert_eq!(document["errors"], 0);
}

#[test]
fn the_worksheet_has_every_recalled_figure_and_room_to_write() {
    let folder = folder(&[entry(HOLD, "30 s")], "");
    let ran = with("confirm", folder.path(), &[]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let worksheet = folder.path().join("out/HC-SF-104-r2-confirm/worksheet.pdf");
    assert!(ran.out.contains("worksheet.pdf"), "{}", ran.out);
    // In the order of the cells, so that an id of two lines stays one.
    let text = squeezed(&tool(
        "pdftotext",
        &["-raw".as_ref(), worksheet.as_os_str(), "-".as_ref()],
    ));
    let found = check(folder.path());
    let help = of_rule(&found, "recalled-figures-used")[0]["help"].as_str();
    assert!(help.unwrap().contains("coldring confirm SPEC"));
    for id in [
        HEAT,
        "us-times:change-over:time",
        "us-temperatures:cold-trigger:temperature",
        "us-coil:ovality:percent",
        "hazards:ignition:text",
    ] {
        assert!(text.contains(id), "{id}: {text}");
        let figure = library().entry(id).unwrap();
        assert!(text.contains(&squeezed(&figure.source)), "{id}");
    }
    assert!(!text.contains(HOLD), "it is confirmed");
    for words in [
        "qualified person",
        "holds no standard",
        "approves nothing",
        "8 to 14 s",
        library().version(),
    ] {
        assert!(text.contains(&squeezed(words)), "{words}: {text}");
    }
    let info = tool("pdfinfo", &[&worksheet]);
    let says = |field: &str, value: &str| {
        let mut lines = info.lines().filter(|line| line.starts_with(field));
        assert!(lines.any(|line| line.contains(value)), "{field}: {info}");
    };
    says("Tagged", "yes");
    says("Page size", "792 x 612");
    says("Title", "Numbers to confirm");
}

#[test]
fn the_file_it_prints_confirms_all_once_it_is_filled_in() {
    let folder = folder(&[], "");
    fs::write(
        folder.path().join("read.yaml"),
        "coldring-confirmations: 1\nconfirmations: []\n",
    )
    .unwrap();
    let ran = with("confirm", folder.path(), &["--file"]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    assert!(!folder.path().join("out").exists());
    let mut filled = String::new();
    for line in ran.out.lines() {
        if let Some(open) = line.strip_prefix("  # - {figure: \"") {
            let (id, _) = open.split_once('"').unwrap();
            let figure = library().entry(id).unwrap();
            let read = figure
                .text()
                .map_or(figure.written.as_str(), |_| "as printed");
            filled.push_str(&entry(id, read));
        } else {
            filled.push_str(line);
            filled.push('\n');
        }
    }
    fs::write(folder.path().join("read.yaml"), &filled).unwrap();
    let found = check(folder.path());
    assert_eq!(found["errors"], 0, "{found}");
    assert_eq!(recalled(&found), "");
    let procedure = text_of(&build(folder.path()).join("procedure.pdf"));
    assert!(!procedure.contains("recalled:verify"));
    assert!(!procedure.contains("(frommemory:verify)"));
    let ran = with("confirm", folder.path(), &[]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    assert!(ran.out.contains("nothing to confirm"), "{}", ran.out);
}

#[test]
fn what_is_written_in_a_confirmation_is_never_markup() {
    let hostile = "#eval(read)[*x*] {{ 7 * 7 }} <b>";
    let readings = [entry(HEAT, "8 to 14 s").replace("Table 3", &format!("\"{hostile}\""))];
    let folder = folder(&readings, "");
    let sources = rows_of(&build(folder.path()).join("sources.pdf"));
    assert!(sources.contains(&squeezed(hostile)), "{sources}");
}

#[test]
fn a_spec_that_cannot_be_read_has_no_worksheet() {
    let folder = folder(&[], "");
    let spec = read(GEOTHERMAL).replace("set_point: 500 °F", "set_point: 500");
    fs::write(folder.path().join("spec.yaml"), spec).unwrap();
    let ran = with("confirm", folder.path(), &[]);
    assert_eq!(ran.code, Some(1), "{}", ran.err);
    assert!(ran.err.contains("missing-unit"), "{}", ran.err);
    assert!(!folder.path().join("out").exists());
}
