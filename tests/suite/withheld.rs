//! A paper that was asked for and cannot be made is named, with the reason.

use std::path::Path;

use chrono::NaiveDate;
use coldring::core::source::Source;
use coldring::papers::compile::{Options, PaperKind, compile};
use serde_json::{Value, json};
use tempfile::tempdir;

use crate::support::{AS_OF, GEOTHERMAL, coldring, document, file, read, run};

fn withheld(edits: &[(&str, &str)]) -> Vec<PaperKind> {
    let mut text = include_str!("../../specs/hollow-creek-geothermal.yaml").to_owned();
    for (from, to) in edits {
        assert!(text.contains(from), "{from}");
        text = text.replace(from, to);
    }
    let options = Options {
        papers: PaperKind::ALL.to_vec(),
        ..Options::default()
    };
    let day = NaiveDate::from_ymd_opt(2026, 11, 25).unwrap();
    let outcome = compile(&Source::new("spec.yaml", text).into(), &options, day).unwrap();
    let made = outcome.papers.iter().map(|paper| paper.kind);
    let withheld: Vec<_> = outcome.withheld.iter().map(|(kind, _)| *kind).collect();
    assert_eq!(made.count() + withheld.len(), PaperKind::ALL.len());
    withheld
}

#[test]
fn a_withdrawn_procedure_reaches_no_pocket_and_no_pipe() {
    assert_eq!(
        withheld(&[("status: draft\n", "status: withdrawn\n")]),
        PaperKind::ALL
            .into_iter()
            .filter(|kind| *kind != PaperKind::Procedure)
            .collect::<Vec<_>>()
    );
}

#[test]
fn no_strip_is_printed_for_a_depth_nobody_has_measured() {
    let unmeasured: Vec<(String, &str)> = ["0.64", "0.71", "0.81", "0.88", "0.94"]
        .iter()
        .zip(1..)
        .map(|(depth, gauge)| {
            (
                format!("{{depth: {depth} in, id: DG-{gauge}, source: \"caliper, gauge DG-{gauge}, 2026-10-28\"}}"),
                "{depth: to be measured}",
            )
        })
        .collect();
    let edits: Vec<_> = unmeasured
        .iter()
        .map(|(from, to)| (from.as_str(), *to))
        .collect();
    assert_eq!(withheld(&edits), [PaperKind::DepthMarks]);
    assert_eq!(withheld(&edits[1..]), []);
}

/// What is withheld, by the JSON and by the manifest, and what people are told.
fn told(spec: &str, out: &Path, only: &str) -> (Value, Value, String) {
    let build = |format: &str| {
        let arguments = [
            "build", "--as-of", AS_OF, "--only", only, "--format", format,
        ];
        let ran = run(coldring().args(arguments).arg(spec).arg("--out").arg(out));
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        ran
    };
    let json = document(&build("json"));
    let manifest = out.join("HC-SF-104-r2/manifest.json");
    let manifest: Value = serde_json::from_slice(&std::fs::read(manifest).unwrap()).unwrap();
    let specs = json["specs"][0]["withheld"].clone();
    (specs, manifest["withheld"].clone(), build("text").out)
}

#[test]
fn the_json_the_manifest_and_every_run_say_what_is_withheld() {
    let folder = tempdir().unwrap();
    let withdrawn = read(GEOTHERMAL).replace("status: draft\n", "status: withdrawn\n");
    let spec = file(&folder, "s.yaml", withdrawn);
    let out = folder.path().join("out");
    let reason = "the procedure is withdrawn, so only the procedure is printed";
    let wanted = json!([{"paper": "depth-marks.pdf", "reason": reason}]);
    // The second run makes nothing, and the third neither.
    for _ in 0..2 {
        let (specs, manifest, said) = told(&spec, &out, "procedure,depth-marks");
        assert_eq!((&specs, &manifest), (&wanted, &wanted));
        assert!(
            said.contains("no depth-marks.pdf for HC-SF-104-r2"),
            "{said}"
        );
        assert!(said.contains("unchanged"), "{said}");
    }
    // Where there is no paper at all, there is word of it, and of what is stale.
    let (specs, manifest, said) = told(&spec, &out, "depth-marks");
    assert_eq!((&specs, &manifest), (&wanted, &wanted));
    assert!(
        said.contains("stale") && said.contains("procedure.pdf"),
        "{said}"
    );
    // Nothing is withheld of a procedure that is worked by.
    let spec = file(&folder, "s.yaml", read(GEOTHERMAL));
    let (specs, manifest, said) = told(&spec, &out, "procedure,depth-marks");
    assert_eq!((specs, manifest), (json!([]), json!([])));
    assert!(!said.contains("no depth-marks.pdf"), "{said}");
}
