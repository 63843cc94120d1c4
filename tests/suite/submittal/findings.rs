//! Every rule about submittals, by one that breaks it and one that comes near.

use std::collections::BTreeSet;
use std::process::Command;

use lopdf::{Document, Object, dictionary};

use super::{HEAD, Job};
use crate::support::{Run, names_in, read};

/// The slugs that a run named.
fn slugs(ran: &Run) -> BTreeSet<String> {
    let named = ran.err.lines().filter_map(|line| {
        let (_, rest) = line
            .split_once('[')
            .filter(|(kind, _)| ["error", "warning"].contains(kind))?;
        Some(rest.split_once("]:")?.0.to_owned())
    });
    named.collect()
}

/// A run fires a rule that is an error, and nothing is written.
fn errs(job: &Job, rest: &str, slug: &str) -> Run {
    let ran = job.make(rest);
    assert!(slugs(&ran).contains(slug), "{slug}: {}", ran.err);
    assert_eq!(ran.code, Some(1), "{slug}: {}", ran.err);
    assert!(!job.path("out").exists(), "{slug}");
    ran
}

/// A run fires a rule that warns.
fn warns(job: &Job, rest: &str, slug: &str) {
    let ran = job.make(rest);
    assert!(slugs(&ran).contains(slug), "{slug}: {}", ran.err);
    assert_eq!(ran.code, Some(0), "{slug}: {}", ran.err);
}

/// A run says nothing at all.
fn silent(job: &Job, rest: &str) {
    let ran = job.make(rest);
    assert!(
        slugs(&ran).is_empty() && ran.code == Some(0),
        "{rest}: {}",
        ran.err
    );
}

const SHEET: &str = "attachments: [{file: fitting-sheet.pdf, title: Sheet}]\n";
const GAS: &str =
    "procedures: [{spec: ../alder-fork-gas.yaml, records: [../records/AF-PQ-07.yaml]}]\n";

fn attached(file: &str) -> String {
    format!("attachments: [{{file: {file}, title: T}}]\n")
}

#[test]
fn nothing_submitted() {
    errs(&Job::new(), "", "nothing-submitted");
    silent(&Job::new(), SHEET);
}

#[test]
fn files_from_elsewhere_are_not_read() {
    let job = Job::new();
    let outside = tempfile::tempdir().unwrap();
    let sheet = std::fs::read(job.path("sub/fitting-sheet.pdf")).unwrap();
    std::fs::write(outside.path().join("a.pdf"), &sheet).unwrap();
    let absolute = outside.path().join("a.pdf");
    let mut wrong = vec![
        "missing.pdf".to_owned(),
        "../../a.pdf".to_owned(),
        ".././../a.pdf".to_owned(),
        "x/../fitting-sheet.pdf".to_owned(),
        absolute.to_str().unwrap().to_owned(),
    ];
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink(&absolute, job.path("sub/link.pdf")).unwrap();
        std::os::unix::fs::symlink(outside.path(), job.path("elsewhere")).unwrap();
        wrong.extend(["link.pdf".to_owned(), "../elsewhere/a.pdf".to_owned()]);
    }
    for file in wrong {
        errs(&job, &attached(&file), "submitted-file-not-read");
    }
    for rest in [
        "procedures: [{spec: ../missing.yaml}]\n".to_owned(),
        GAS.replace("PQ-07", "PQ-08"),
        format!("{GAS}fusers: {{roster: ../people/none.yaml}}\n"),
    ] {
        errs(&job, &rest, "submitted-file-not-read");
    }
    job.put("beside.pdf", &sheet);
    silent(&job, &attached("../beside.pdf"));
    silent(&job, &attached("./fitting-sheet.pdf"));
}

#[test]
fn title_and_remarks_are_about_what_is_enclosed() {
    let job = Job::new();
    let slug = "submittal-names-other";
    let remark = |text: &str| format!("{GAS}remarks: [{text}]\n");
    warns(&job, &remark("Times are those of PE4710."), slug);
    warns(&job, &remark("The procedure is at revision 1."), slug);
    for near in [
        "The procedure for PE 2708 is at revision 2.",
        "It replaces the one for PE4710.",
        "Rev. 0 of this submittal.",
        "Revision 2 has more sizes beside those of revision 1.",
    ] {
        let ran = job.make(&remark(near));
        assert!(!slugs(&ran).contains(slug), "{near}: {}", ran.err);
    }
    // Beside nothing that is enclosed nothing can be said of it.
    silent(&job, &format!("{SHEET}remarks: [PE4710]\n"));
}

#[test]
fn every_problem_is_told_at_once() {
    let job = Job::new();
    let ran = job.make("procedures: [{spec: ../missing.yaml}]\nattachments: [{file: none.pdf, title: T}, {file: s.yaml, title: U}]\n");
    assert_eq!(
        ran.err.matches("error[submitted-file-not-read]").count(),
        2,
        "{}",
        ran.err
    );
    assert!(slugs(&ran).contains("attachment-not-a-pdf"));
    assert!(ran.err.contains("s.yaml:10:"), "{}", ran.err);
}

#[test]
fn procedures_with_errors_drafts_and_withdrawn() {
    let job = Job::new();
    let gas = read("specs/alder-fork-gas.yaml");
    job.put(
        "wrong.yaml",
        gas.replace("set_point: 500 °F", "set_point: 600 °F"),
    );
    let ran = errs(
        &job,
        "procedures: [{spec: ../wrong.yaml}]\n",
        "submitted-procedure-has-errors",
    );
    // What is wrong with the spec is told too, in the spec.
    assert!(ran.err.contains("wrong.yaml:"), "{}", ran.err);
    job.put(
        "old.yaml",
        gas.replace("status: qualified", "status: withdrawn"),
    );
    errs(
        &job,
        "procedures: [{spec: ../old.yaml}]\n",
        "submitted-withdrawn",
    );
    errs(
        &job,
        "procedures: [{spec: ../old.yaml}, {spec: ../alder-fork-gas.yaml}]\n",
        "same-number-twice",
    );
    warns(
        &job,
        "procedures: [{spec: ../hollow-creek-geothermal.yaml}]\n",
        "submitted-draft",
    );
    silent(&job, GAS);
}

#[test]
fn records_that_fail_are_placed_and_others_are_not() {
    let job = Job::new();
    let record = read("specs/records/AF-PQ-07.yaml");
    let with = |name: &str| GAS.replace("AF-PQ-07", name);
    job.put(
        "records/other.yaml",
        record.replace("procedure: AF-JP-12", "procedure: HC-SF-104"),
    );
    errs(&job, &with("other"), "submitted-record-not-placed");
    job.put(
        "records/half.yaml",
        record.replace("date: 2026-08-28", "date: soon"),
    );
    errs(&job, &with("half"), "submitted-record-not-placed");
    let failed = record.replacen(
        "failed_in_joint: 0, result: pass",
        "failed_in_joint: 1, result: fail",
        1,
    );
    assert_ne!(failed, record);
    job.put("records/failed.yaml", failed);
    warns(&job, &with("failed"), "submitted-record-short");
    let pdf = job.path("out/T-1-r0-submittal/submittal.pdf");
    let texts = crate::support::pages_text(&pdf);
    assert!(texts[1].contains("14 of 15 test joints"), "{}", texts[1]);
    assert!(texts.iter().any(|text| text.contains("fail")));
    silent(&job, &with("AF-PQ-07"));
}

#[test]
fn rosters_badges_and_fusers() {
    let job = Job::new();
    let with = |fusers: &str| format!("{GAS}fusers: {{roster: ../people/{fusers}}}\n");
    job.put(
        "people/wrong.yaml",
        read("specs/people/fusers.yaml").replace("2026-03-10", "soon"),
    );
    let ran = errs(&job, &with("wrong.yaml"), "submitted-roster-has-errors");
    assert!(ran.err.contains("not-a-date"), "{}", ran.err);
    // A CSV roster chooses no rule set.
    errs(&job, &with("fusers.csv"), "submitted-roster-has-errors");
    errs(
        &job,
        &with("fusers.yaml, badges: [AF-999]"),
        "submitted-badge-unknown",
    );
    warns(
        &job,
        &with("fusers.yaml, badges: [AF-014, AF-007]"),
        "submitted-fuser-not-qualified",
    );
    // Nothing on record for the procedure.
    warns(
        &job,
        &with("fusers.yaml, badges: [AF-014, HC-102]"),
        "submitted-fuser-not-qualified",
    );
    warns(
        &job,
        &with("fusers.yaml, badges: [AF-007]"),
        "no-fuser-for-procedure",
    );
    warns(&job, &with("fusers.yaml"), "submitted-fuser-not-qualified");
    silent(&job, &with("fusers.yaml, badges: [AF-014, AF-021]"));
}

/// Specimens of revision 1, in a submittal of revision 2.
#[test]
fn a_specimen_of_an_earlier_revision_qualifies_for_the_later_one_only_if_shown() {
    let job = Job::new();
    let roster = read("specs/people/fusers.yaml");
    let (before, rest) = roster.split_once("  revisions:\n").unwrap();
    let (_, after) = rest.split_once("\n\nfusers:").unwrap();
    job.put("people/plain.yaml", format!("{before}\nfusers:{after}"));
    job.put("r1.yaml", read("specs/earlier/alder-fork-gas-r1.yaml"));
    let fusers = "fusers: {roster: ../people/plain.yaml, badges: [AF-014]}\n";
    let ran = job.make(&format!("{GAS}{fusers}"));
    let said = "AF-014 under AF-JP-12 (other revision)";
    assert!(ran.err.contains(said), "{}", ran.err);
    let pdf = job.path("out/T-1-r0-submittal/submittal.pdf");
    let texts = crate::support::pages_text(&pdf);
    assert!(texts.iter().any(|text| text.contains("Other revision")));
    let with = |previous: &str| {
        GAS.replace(
            "yaml, records",
            &format!("yaml, previous: {previous}, records"),
        ) + fusers
    };
    silent(&job, &with("../r1.yaml"));
    // Made by revision 2.
    job.put(
        "people/plain.yaml",
        format!("{before}\nfusers:{after}").replace("joint: S-31,", "joint: S-31, revision: 2,"),
    );
    silent(&job, &format!("{GAS}{fusers}"));
    errs(
        &Job::new(),
        &with("../none.yaml"),
        "submitted-file-not-read",
    );
}

#[test]
fn the_day_of_the_list_can_be_given() {
    let job = Job::new();
    job.put(
        "sub/s.yaml",
        format!("{HEAD}{GAS}fusers: {{roster: ../people/fusers.yaml, badges: [AF-021]}}\n"),
    );
    let on = |day: &str| {
        crate::support::run(
            crate::support::coldring()
                .args(["submittal", "--as-of", day, "--out"])
                .args([job.path("out"), job.path("sub/s.yaml")]),
        )
    };
    // Qualified on 2025-11-20: through 31 December of the next year.
    assert!(slugs(&on("2026-12-31")).is_empty());
    let after = slugs(&on("2027-01-01"));
    assert!(
        after.contains("submitted-fuser-not-qualified") && after.contains("no-fuser-for-procedure")
    );
}

#[test]
fn attachments_that_are_no_pdf_or_damaged() {
    let job = Job::new();
    job.put("sub/text.pdf", "not a PDF");
    errs(&job, &attached("text.pdf"), "attachment-not-a-pdf");
    job.put("sub/empty.pdf", "");
    errs(&job, &attached("empty.pdf"), "attachment-without-pages");
    let sheet = std::fs::read(job.path("sub/pipe-certificate.pdf")).unwrap();
    // Cut off anywhere, it is never placed as if it were whole.
    for part in 1..12 {
        job.put("sub/cut.pdf", &sheet[..sheet.len() * part / 12]);
        let ran = job.make(&attached("cut.pdf"));
        assert_eq!(ran.code, Some(1), "{part}: {}", ran.err);
        assert!(
            slugs(&ran).contains("attachment-damaged"),
            "{part}: {}",
            ran.err
        );
    }
    // Bytes before the header are common and harm nothing.
    job.put("sub/led.pdf", [b"\n\n".as_slice(), &sheet].concat());
    let ran = job.make(&attached("led.pdf"));
    assert!(
        ran.code == Some(0) || slugs(&ran).contains("attachment-damaged"),
        "{}",
        ran.err
    );
    silent(&job, &attached("pipe-certificate.pdf"));
}

#[test]
fn a_damaged_byte_never_breaks_the_program() {
    let job = Job::new();
    let sheet = std::fs::read(job.path("sub/fitting-sheet.pdf")).unwrap();
    for at in (0..sheet.len()).step_by(sheet.len() / 40) {
        let mut bytes = sheet.clone();
        bytes[at] ^= 0x5a;
        job.put("sub/odd.pdf", bytes);
        let ran = job.make(&attached("odd.pdf"));
        assert!(
            matches!(ran.code, Some(0 | 1)),
            "{at}: {:?} {}",
            ran.code,
            ran.err
        );
        if ran.code == Some(1) {
            assert!(
                slugs(&ran)
                    .iter()
                    .any(|slug| slug.starts_with("attachment-")),
                "{}",
                ran.err
            );
        }
    }
}

#[test]
fn encrypted_attachments() {
    let job = Job::new();
    for (name, user, bits) in [
        ("locked", "secret", "256"),
        ("owner", "", "256"),
        ("older", "", "128"),
    ] {
        let made = Command::new("qpdf")
            .args([
                "--allow-weak-crypto",
                "--encrypt",
                user,
                "owner",
                bits,
                "--",
            ])
            .args([
                job.path("sub/fitting-sheet.pdf"),
                job.path(&format!("sub/{name}.pdf")),
            ])
            .status()
            .unwrap();
        assert!(made.success());
        errs(
            &job,
            &attached(&format!("{name}.pdf")),
            "attachment-encrypted",
        );
    }
    // Rewritten by the same tool without a password.
    let made = Command::new("qpdf")
        .args([job.path("sub/fitting-sheet.pdf"), job.path("sub/plain.pdf")])
        .status()
        .unwrap();
    assert!(made.success());
    silent(&job, &attached("plain.pdf"));
}

/// A PDF with so many pages, each a short text.
fn of_pages(count: usize) -> Vec<u8> {
    let mut document = Document::with_version("1.7");
    let pages = document.new_object_id();
    let content = document.add_object(lopdf::Stream::new(
        dictionary! {},
        b"0 0 10 10 re f".to_vec(),
    ));
    let kids: Vec<Object> = (0..count)
        .map(|_| {
            document
                .add_object(dictionary! {
                    "Type" => "Page", "Parent" => pages, "Contents" => content,
                    "MediaBox" => vec![0.into(), 0.into(), 612.into(), 792.into()],
                })
                .into()
        })
        .collect();
    let count = i64::try_from(count).unwrap();
    document.objects.insert(
        pages,
        dictionary! { "Type" => "Pages", "Kids" => kids, "Count" => count }.into(),
    );
    let catalog = document.add_object(dictionary! { "Type" => "Catalog", "Pages" => pages });
    document.trailer.set("Root", catalog);
    let mut bytes = Vec::new();
    document.save_to(&mut bytes).unwrap();
    bytes
}

#[test]
fn attachments_that_are_too_large_or_empty() {
    let job = Job::new();
    job.put("sub/none.pdf", of_pages(0));
    errs(&job, &attached("none.pdf"), "attachment-without-pages");
    job.put("sub/many.pdf", of_pages(501));
    errs(&job, &attached("many.pdf"), "attachment-too-large");
    // Together, too.
    for name in ["a", "b", "c"] {
        job.put(
            &format!("sub/{name}.pdf"),
            of_pages(if name == "c" { 1 } else { 500 }),
        );
    }
    let all = "attachments: [{file: a.pdf, title: A}, {file: b.pdf, title: B}, {file: c.pdf, title: C}]\n";
    errs(&job, all, "attachment-too-large");
    // By bytes, too: each 22 MiB.
    for name in ["a", "b", "c"] {
        let mut padded = of_pages(1);
        padded.resize(22 * 1024 * 1024, b'\n');
        job.put(&format!("sub/{name}.pdf"), padded);
    }
    let ran = errs(&job, all, "attachment-too-large");
    assert!(ran.err.contains("69206016 bytes together"), "{}", ran.err);
    job.put("sub/a.pdf", of_pages(500));
    let mut large = std::fs::read(job.path("sub/fitting-sheet.pdf")).unwrap();
    large.resize(32 * 1024 * 1024 + 1, b'\n');
    job.put("sub/large.pdf", large);
    errs(&job, &attached("large.pdf"), "attachment-too-large");
    silent(&job, &attached("a.pdf"));
    assert_eq!(names_in(&job.path("out")), ["T-1-r0-submittal"]);
}

#[test]
fn stamps_and_form_fields_that_would_be_lost() {
    let job = Job::new();
    let over = |kind: &str| {
        let mut document = Document::load(job.path("sub/fitting-sheet.pdf")).unwrap();
        let rectangle = || vec![0.into(), 0.into(), 90.into(), 90.into()];
        let annotation = document.add_object(dictionary! {
            "Type" => "Annot", "Subtype" => kind, "Rect" => rectangle(),
        });
        for (_, id) in document.get_pages() {
            let page = document.get_object_mut(id).unwrap().as_dict_mut().unwrap();
            page.set("Annots", vec![annotation.into()]);
        }
        let mut bytes = Vec::new();
        document.save_to(&mut bytes).unwrap();
        bytes
    };
    for kind in ["Stamp", "Widget", "FreeText"] {
        job.put("sub/over.pdf", over(kind));
        warns(&job, &attached("over.pdf"), "attachment-loses-marks");
    }
    job.put("sub/over.pdf", over("Link"));
    silent(&job, &attached("over.pdf"));
}
