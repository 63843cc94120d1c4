//! The forms, blank and filled, and what the procedure prints of a record.

use std::fs;
use std::path::Path;

use super::{LAST_TENSILE, RECORD, edited};
use crate::drawing::{self, Drawn, PageDrawing};
use crate::support::{
    AS_OF, GAS, coldring, coldring_with, demos, names_in, pages_text, read as read_file, run,
    squeezed, tool,
};

/// The forms of the demo in a folder of their own.
fn forms(arguments: &[&str]) -> (tempfile::TempDir, std::path::PathBuf) {
    let out = tempfile::tempdir().unwrap();
    let ran = run(coldring()
        .args(["forms", GAS, "--as-of", AS_OF, "--out"])
        .arg(out.path())
        .args(arguments));
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let folder = out.path().join("AF-JP-12-r2-forms");
    (out, folder)
}

#[test]
fn the_procedure_says_what_the_record_supports_and_names_nobody() {
    let manifest = fs::read_to_string(demos().gas.join("manifest.json")).unwrap();
    // What the record says, and the range that each test joint supports, stands with the
    // sources; the procedure names it.
    let papers: [(&str, &[&str]); 2] = [
        (
            "procedure.pdf",
            &[
                "Qualified: record AF-PQ-07",
                "Records: AF-PQ-07, 2026-08-28",
            ],
        ),
        (
            "sources.pdf",
            &[
                "15 of 15 test joints were made by this procedure and passed",
                "that is no approval",
                "1 IPS to 2 IPS",
                "Brindle Creek Pipe",
                "Straps: 49 CFR 192.285(b)(2)(iii)",
            ],
        ),
    ];
    for (paper, said) in papers {
        let pdf = demos().gas.join(paper);
        let text = squeezed(&pages_text(&pdf).concat());
        for words in said {
            assert!(text.contains(&squeezed(words)), "{words} in {paper}");
        }
        let bytes = fs::read(&pdf).unwrap();
        for person in ["Marta Quill", "Ada Fennimore"] {
            assert!(!text.contains(&squeezed(person)) && !manifest.contains(person));
            assert!(
                !bytes
                    .windows(person.len())
                    .any(|part| part == person.as_bytes())
            );
        }
        assert!(tool("pdfdetach", &[Path::new("-list"), &pdf]).contains("2 embedded"));
    }
    assert!(manifest.contains("\"record\""));
}

#[test]
fn blank_forms_have_room_and_are_tied_to_procedure_and_revision() {
    for language in ["en", "es"] {
        for paper in ["letter", "a4"] {
            let (_out, folder) = forms(&["--language", language, "--paper", paper]);
            let made = [
                ("joint-log.pdf", 1),
                ("lesson-sheet.pdf", 1),
                ("record-form.pdf", 2),
                ("test-sheet.pdf", 1),
            ];
            assert_eq!(names_in(&folder), made.map(|(name, _)| name));
            for (name, pages) in made {
                let text = pages_text(&folder.join(name));
                assert_eq!(text.len(), pages, "{name} {language} {paper}");
                for page in text {
                    assert!(page.contains("AF-JP-12"), "{name}");
                    assert!(!page.contains("Marta Quill"));
                }
            }
        }
    }
}

#[test]
fn a_filled_form_says_what_the_record_says_and_what_the_figures_say() {
    let (_out, folder) = forms(&["--record", RECORD]);
    assert_eq!(names_in(&folder), ["record.pdf"]);
    let text = squeezed(&pages_text(&folder.join("record.pdf")).concat());
    for words in [
        "AF-PQ-07",
        "Marta Quill",
        "Ada Fennimore",
        "Stillwater Test House",
        "38 %",
        "471 psi",
        "By the numbers",
        "T-5c",
        "Date tested",
        "2026-08-26",
    ] {
        assert!(text.contains(&squeezed(words)), "{words}");
    }
    // The record states neither: an empty row would look forgotten.
    assert!(!read_file(RECORD).contains("due:"));
    for absent in ["calibration due", "At most; source"] {
        assert!(!text.contains(&squeezed(absent)), "{absent}");
    }
}

/// Lower ends of the ruled rows of a page, in millimeters from its foot, and how
/// heavy the lines are.
fn rows(page: &PageDrawing) -> Vec<f64> {
    let mut levels: Vec<f64> = (page.paths.iter())
        .filter(|path| path.stroked)
        .filter_map(Drawn::segment)
        .filter(|(a, b)| (a.1 - b.1).abs() < 0.01 && (a.0 - b.0).abs() > 8.0)
        .map(|(a, _)| a.1)
        .collect();
    levels.sort_by(f64::total_cmp);
    levels.dedup_by(|a, b| (*a - *b).abs() < 0.2);
    levels
}

#[test]
fn a_hand_can_write_in_every_row() {
    for language in ["en", "es"] {
        let (_out, folder) = forms(&["--language", language]);
        for (name, least) in [("joint-log.pdf", 9.9), ("record-form.pdf", 7.0)] {
            for page in drawing::read(&folder.join(name)) {
                let levels = rows(&page);
                assert!(levels.len() > 8, "{name}: {levels:?}");
                let steps = levels.windows(2).map(|pair| pair[1] - pair[0]);
                // Heads of groups and the lines of signatures are no rows.
                let low = steps.filter(|step| *step < least).count();
                assert!(
                    low <= if name == "joint-log.pdf" { 1 } else { 5 },
                    "{name}: {levels:?}"
                );
            }
        }
    }
}

#[test]
fn a_filled_form_prints_when_calibration_is_due_and_a_stated_elongation() {
    let folder = tempfile::tempdir().unwrap();
    let record = folder.path().join("record.yaml");
    let calibrated = "calibrated: 2026-08-03";
    let stated = "elongation: 27 %, failure: outside the joint, criterion: {at_least: 26 %, \
                  source: Material Standard 12}, result: pass";
    let edits = [
        (calibrated, &*format!("{calibrated}, due: 2027-08-02")),
        (LAST_TENSILE, stated),
    ];
    fs::write(&record, edited(RECORD, &edits)).unwrap();
    let (_out, folder) = forms(&["--record", record.to_str().unwrap()]);
    let text = squeezed(&pages_text(&folder.join("record.pdf")).concat());
    for words in ["Pyrometer calibration due", "2027-08-02", "26 %;"] {
        assert!(text.contains(&squeezed(words)), "{words}");
    }
}

#[test]
fn a_record_that_contradicts_itself_prints_and_fails_the_run() {
    let folder = tempfile::tempdir().unwrap();
    let record = folder.path().join("record.yaml");
    let out = folder.path().join("out");
    let wrong = "elongation: 24.9 %, failure: in the joint, criterion: {at_least: 25 %, \
                 source: Material Standard 12}, result: pass";
    fs::write(&record, edited(RECORD, &[(LAST_TENSILE, wrong)])).unwrap();
    let made = || {
        run(coldring()
            .args(["forms", GAS, "--as-of", AS_OF, "--record"])
            .arg(&record)
            .arg("--out")
            .arg(&out))
    };
    let ran = made();
    assert_eq!(ran.code, Some(1), "{}", ran.err);
    assert!(ran.err.contains("test-result-contradicted"), "{}", ran.err);
    let text = squeezed(&pages_text(&out.join("AF-JP-12-r2-forms/record.pdf")).concat());
    assert!(text.contains("fail"), "{text}");
    // Half of a record would print as a whole one.
    fs::write(&record, edited(RECORD, &[("size: 1/2 CTS", "size: half")])).unwrap();
    fs::remove_dir_all(&out).unwrap();
    let ran = made();
    assert_eq!(ran.code, Some(1), "{}", ran.err);
    assert!(
        ran.err.contains("not-a-size") && !out.exists(),
        "{}",
        ran.err
    );
    let ran = coldring_with(&["forms", GAS, "--record", "no-such-file.yaml"]);
    assert_eq!(ran.code, Some(2), "{}", ran.err);
}
