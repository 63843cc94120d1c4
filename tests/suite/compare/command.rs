//! `coldring compare` as it is run: exit codes, text, JSON and the notice.

use tempfile::tempdir;

use crate::support::{
    GAS, coldring_with, document, file, list, names_in, pages_text, read, squeezed,
};

const EARLIER: &str = "specs/earlier/alder-fork-gas-r1.yaml";
const NOTICE: &str = "AF-JP-12-r2-changes/change-notice.pdf";

#[test]
fn the_text_says_what_differs_and_what_is_asked_for() {
    let ran = coldring_with(&["compare", EARLIER, GAS]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    for words in [
        "AF-JP-12",
        "revision 1 of 2025-01-13",
        "revision 2 of 2026-09-01",
        "Effective 2026-10-01",
        "Procedure: qualify again.",
        "AF-PQ-07",
        "1 IPS: was 0.69 in, now 0.70 in",
        "1-1/4 IPS DR 11, 2 IPS DR 11: added",
    ] {
        assert!(ran.out.contains(words), "{words}: {}", ran.out);
    }
    let same = coldring_with(&["compare", GAS, GAS]);
    assert_eq!(same.code, Some(0));
    assert!(same.out.contains("the same, byte for byte"), "{}", same.out);
}

#[test]
fn a_size_without_a_depth_is_marked() {
    let folder = tempdir().unwrap();
    let base = read("tests/data/base.yaml").replace("status: qualified", "status: draft");
    let known = "{depth: 0.81 in, id: G-2, source: caliper on G-2}";
    let held = base.replace("hold: 65 s", "hold: 66 s");
    let open = held.replace(known, "{depth: to be measured}");
    assert!(held != base && open != held);
    let base = file(&folder, "base.yaml", base);
    let (held, open) = (
        file(&folder, "held.yaml", held),
        file(&folder, "open.yaml", open),
    );
    let of = |later: &str| coldring_with(&["compare", &base, later]).out;
    assert!(
        of(&held).contains("1-1/4 IPS: was 65 s, now 66 s"),
        "{}",
        of(&held)
    );
    let marked = "1-1/4 IPS (NO JOINT): was 65 s, now 66 s";
    assert!(of(&open).contains(marked), "{}", of(&open));
    // The lost depth itself.
    let lost = "1-1/4 IPS (NO JOINT): was 0.81 in";
    assert!(of(&open).contains(lost), "{}", of(&open));
    assert!(!of(&held).contains("NO JOINT"), "{}", of(&held));
}

#[test]
fn the_document_has_every_change_with_its_basis() {
    let ran = coldring_with(&["compare", EARLIER, GAS, "--format", "json"]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    let document = document(&ran);
    assert_eq!(document["version"], 1);
    assert_eq!(document["number"], "AF-JP-12");
    assert_eq!(document["old"]["revision"], 1);
    assert_eq!(document["new"]["status"], "qualified");
    assert_eq!(document["procedure_requalify"], true);
    assert_eq!(document["fusers"], "tell");
    assert_eq!(document["records"][0], "AF-PQ-07");
    let changes = list(&document, "changes");
    let counted = ["essential", "supplementary", "editorial"].map(|class| {
        let of = |change: &&serde_json::Value| change["class"] == class;
        let count = changes.iter().filter(of).count();
        assert_eq!(document[class], count, "{class}");
        count
    });
    assert_eq!(counted.iter().sum::<usize>(), changes.len());
    for change in changes {
        assert!(
            change["basis"].is_string() && change["source"].is_string(),
            "{change}"
        );
    }
    let depth = changes
        .iter()
        .find(|c| c["variable"] == "gauge-depth")
        .unwrap();
    assert_eq!(
        (&depth["of"], &depth["old"], &depth["new"]),
        (&"1 IPS".into(), &"0.69 in".into(), &"0.70 in".into())
    );
}

#[test]
fn exit_codes_tell_errors_from_what_could_not_be_run() {
    let folder = tempdir().unwrap();
    let out = folder.path().join("out");
    let out = out.to_str().unwrap();
    // The record is of the revision before, so nothing proves the new depth.
    let text = read("tests/data/base.yaml");
    let old = file(&folder, "old.yaml", &text);
    let new = file(&folder, "new.yaml", text.replace("0.71 in", "0.72 in"));
    let unproven = coldring_with(&["compare", &old, &new, "--notice", out]);
    assert_eq!(unproven.code, Some(1));
    assert!(
        unproven.err.contains("essential-change-without-record"),
        "{}",
        unproven.err
    );
    assert!(unproven.out.contains("was 0.71 in, now 0.72 in"));
    assert!(
        !folder.path().join("out").exists(),
        "no notice of what is wrong"
    );
    let broken = file(
        &folder,
        "broken.yaml",
        text.replace("swing: 4 °F", "swing: 4"),
    );
    for pair in [[&old, &broken], [&broken, &old]] {
        let ran = coldring_with(&["compare", pair[0], pair[1]]);
        assert_eq!((ran.code, ran.out.as_str()), (Some(1), ""));
        assert!(ran.err.contains("broken.yaml"), "{}", ran.err);
    }
    let none = coldring_with(&["compare", &old, "no-such.yaml"]);
    assert_eq!(none.code, Some(2));
}

#[test]
fn the_notice_is_one_page_and_the_same_every_time() {
    let folder = tempdir().unwrap();
    let made = |name: &str, more: &[&str]| {
        let out = folder.path().join(name);
        let arguments = ["compare", EARLIER, GAS, "--notice", out.to_str().unwrap()];
        let ran = coldring_with(&[&arguments[..], more].concat());
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        assert_eq!(names_in(&out), ["AF-JP-12-r2-changes"]);
        out.join(NOTICE)
    };
    let english = made("a", &[]);
    assert_eq!(
        std::fs::read(&english).unwrap(),
        std::fs::read(made("b", &["--as-of", "2027-01-01"])).unwrap()
    );
    let pages = pages_text(&english);
    assert_eq!(pages.len(), 1);
    let page = squeezed(&pages[0]);
    for words in [
        "Change notice",
        "EFFECTIVE",
        "2026-10-01",
        "Until that day work by revision 1 and its card.",
        "On that day destroy the cards, lid sheets and depth marks of revision 1.",
        "Revision 1, 2025-01-13",
        "Revision 2, 2026-09-01",
        "QUALIFY AGAIN",
        "TELL THEM FIRST",
        "0.69 in 0.70 in",
        "50 °F to 100 °F 40 °F to 100 °F",
        "1-1/4 IPS DR 11",
        "2 IPS DR 11",
        "approves nothing",
        "Issued by",
        "Received by",
        "Old cards, lid sheets, strips destroyed",
    ] {
        assert!(page.contains(&squeezed(words)), "{words}: {}", pages[0]);
    }
    for spec in [EARLIER, GAS] {
        let ran = coldring_with(&["check", spec, "--format", "json"]);
        let digest = document(&ran)["specs"][0]["spec_digest"]
            .as_str()
            .unwrap()
            .to_owned();
        assert!(page.contains(&digest[..16]), "digest of {spec}");
    }
    // People of the record stay in it.
    for person in ["Quill", "Fennimore"] {
        assert!(read("specs/records/AF-PQ-07.yaml").contains(person));
        assert!(!page.contains(person));
    }
    let spanish = pages_text(&made("c", &["--language", "es", "--paper", "a4"]));
    assert_eq!(spanish.len(), 1);
    let page = squeezed(&spanish[0]);
    for words in [
        "Aviso de cambio",
        "CALIFICAR DE NUEVO",
        "Hasta ese día trabaje con la revisión 1 y su tarjeta.",
        "50 °F a 100 °F 40 °F a 100 °F",
    ] {
        assert!(page.contains(&squeezed(words)), "{words}: {}", spanish[0]);
    }
}

#[test]
fn a_notice_of_many_changes_flows_and_drops_none() {
    let folder = tempdir().unwrap();
    let old = read("specs/hollow-creek-geothermal.yaml");
    let mut new = old.clone();
    for (from, to) in [
        (
            "{revision: 2, date: 2026-11-02",
            "{revision: 3, date: 2026-11-12",
        ),
        ("resin: PE4710", "resin: PE2708"),
        ("20 °F to 110 °F", "10 °F to 115 °F"),
        ("set_point: 500 °F", "set_point: 501 °F"),
        ("agent: isopropyl alcohol", "agent: acetone"),
        (
            "least_wall: {value: 0.075 in",
            "least_wall: {value: 0.070 in",
        ),
        (", id: DG", ", id: EG"),
        ("source: \"caliper, gauge", "source: \"pin gauge, gauge"),
        ("HC Operations Manual", "HC Manual of Operations"),
        ("title: Socket fusion of PE4710", "title: Fusion of PE2708"),
        ("1.06 in, source: \"caliper", "1.06 in, source: \"pin"),
        ("pi tape and caliper", "pi tape"),
        ("engineering decision", "decision"),
        ("swing: 4 °F", "swing: 3 °F"),
        ("depth: 0.64 in", "depth: 0.65 in"),
        ("accuracy: 2 °F", "accuracy: 1 °F"),
    ] {
        assert!(new.contains(from), "{from}");
        new = new.replace(from, to);
    }
    let (old, new) = (
        file(&folder, "old.yaml", old),
        file(&folder, "new.yaml", new),
    );
    let out = folder.path().join("out");
    let ran = coldring_with(&["compare", &old, &new, "--notice", out.to_str().unwrap()]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let pages = pages_text(&out.join("HC-SF-104-r3-changes/change-notice.pdf"));
    assert_eq!(pages.len(), 2, "{pages:?}");
    let page = squeezed(&pages.concat());
    for words in [
        "PE2708",
        "501 °F",
        "acetone",
        "0.070 in",
        "0.65 in",
        "EG-1",
        "Title: reworded",
        "Received by",
        "Heating time",
    ] {
        assert!(page.contains(&squeezed(words)), "{words}: {}", pages[0]);
    }
    let editorial = page.find("Editorial").unwrap();
    let [essential, supplementary] =
        ["Essential", "Supplementary"].map(|class| page.find(class).unwrap());
    assert!(essential < supplementary && supplementary < editorial);
}

#[test]
fn a_spanish_notice_has_no_word_of_the_file_format() {
    let folder = tempdir().unwrap();
    let measured =
        r#"1 IPS: {depth: 0.71 in, id: DG-2, source: "caliper, gauge DG-2, 2026-10-28"}"#;
    let old = read("specs/hollow-creek-geothermal.yaml");
    assert!(old.contains(measured));
    let new = old
        .replace(measured, "1 IPS: {depth: to be measured, id: DG-2}")
        .replace(
            "{revision: 2, date: 2026-11-02",
            "{revision: 3, date: 2026-11-12",
        );
    let (old, new) = (
        file(&folder, "old.yaml", old),
        file(&folder, "new.yaml", new),
    );
    for (language, words, foreign) in [
        ("es", ["por medir", "NO HAGA LA", "sin fecha"], "measured"),
        ("en", ["to be measured", "NO JOINT", "no date yet"], "medir"),
    ] {
        let out = folder.path().join(language);
        let arguments = ["compare", &old, &new, "--language", language, "--notice"];
        let ran = coldring_with(&[&arguments[..], &[out.to_str().unwrap()]].concat());
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        let pages = pages_text(&out.join("HC-SF-104-r3-changes/change-notice.pdf"));
        assert_eq!(pages.len(), 1);
        let page = squeezed(&pages[0]);
        for words in words {
            assert!(page.contains(&squeezed(words)), "{words}: {}", pages[0]);
        }
        assert!(!page.contains(foreign), "{}", pages[0]);
    }
}
