//! What a house style brings to the papers, and how they tell which one it is.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use lopdf::{Document, Object};
use serde_json::Value;
use tempfile::tempdir;

use super::{PNG, build, house};
use crate::support::{
    AS_OF, GEOTHERMAL, coldring, demos, document, list, pages_text, path, run, sha256, squeezed,
    tool,
};

/// The papers of the demo in the demo's house style.
fn papers() -> &'static PathBuf {
    static PAPERS: LazyLock<PathBuf> = LazyLock::new(|| {
        let out = Path::new(env!("CARGO_TARGET_TMPDIR")).join("house");
        let ran = build(&path("specs/house"), &out, &[]);
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        out.join("HC-SF-104-r2")
    });
    &PAPERS
}

fn procedure_text() -> String {
    // In the order of reading: the steps stand in two columns.
    let pdf = papers().join("procedure.pdf");
    squeezed(&tool(
        "pdftotext",
        &["-raw".as_ref(), pdf.as_os_str(), "-".as_ref()],
    ))
}

#[test]
fn logo_letterhead_roles_and_words_are_on_the_procedure() {
    let text = procedure_text();
    let sources = squeezed(&pages_text(&papers().join("sources.pdf")).concat());
    for said in [
        "14 Mill Lane",
        "555 0142",
        "fusion@hollowcreek.example",
        "Field trial by",
        "head of field operations",
        "Questions in the field",
        "Nobody is blamed for a call.",
        "Put the fuser's number",
        "hang the HEATER ON tag, and let it settle at 500 °F",
    ] {
        assert!(text.contains(&squeezed(said)), "{said}");
    }
    let own = "House style, in the organization's own words, which this tool did not judge: \
               step-print-line, step-heater, Questions in the field, text under";
    assert!(sources.contains(&squeezed(own)), "{sources}");
    for gone in ["Approved by", "Heat up to 500 °F."] {
        assert!(!text.contains(&squeezed(gone)), "{gone}");
    }
    // What warns is as it was.
    let own = squeezed(&pages_text(&demos().geothermal.join("procedure.pdf")).concat());
    for kept in [
        "This procedure is governed by the authority having jurisdiction",
        "DANGER",
        "Not confirmed: check this number",
    ] {
        let kept = squeezed(kept);
        assert!(own.contains(&kept) && text.contains(&kept), "{kept}");
    }
    // In their places: after the first page and before the cautions; after the
    // acceptance, whose page has no room for more.
    let at = |words: &str| text.rfind(&squeezed(words)).unwrap();
    let first = text
        .find(&squeezed("needs a procedure of its own."))
        .unwrap();
    let danger = text.find("DANGER").unwrap();
    assert!((first..danger).contains(&at("Nobody is blamed for a call.")));
    let acceptance = at("does not prove a good joint");
    assert!((acceptance..danger).contains(&at("Put the fuser's number")));
}

/// The alternative texts of the figures of a PDF.
fn alternatives(pdf: &Path) -> Vec<String> {
    let document = Document::load(pdf).unwrap();
    let figures = document.objects.values().filter_map(|object| {
        let element = object.as_dict().ok()?;
        (element.get(b"S").ok()?.as_name().ok()? == b"Figure").then_some(element)
    });
    figures
        .filter_map(|figure| match figure.get(b"Alt").ok()? {
            Object::String(alt, _) => Some(String::from_utf8_lossy(alt).into_owned()),
            _ => None,
        })
        .collect()
}

#[test]
fn the_logo_is_in_the_pdf_with_the_name_of_the_organization() {
    let name = "Hollow Creek District Energy".to_owned();
    assert!(alternatives(&papers().join("procedure.pdf")).contains(&name));
    let own = alternatives(&demos().geothermal.join("procedure.pdf"));
    assert!(!own.contains(&name), "{own:?}");
}

#[test]
fn a_png_is_a_logo_too() {
    let house = house("logo: mark.png\n", &[("mark.png", PNG)]);
    let out = tempdir().unwrap();
    let ran = build(house.path(), out.path(), &["--only", "procedure"]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let pdf = out.path().join("HC-SF-104-r2/procedure.pdf");
    assert!(tool("pdfimages", &["-list".as_ref(), pdf.as_os_str()]).contains("image"));
}

#[test]
fn house_files_are_inputs_of_the_build_and_not_of_the_spec() {
    let manifest = |papers: &Path| -> Value {
        serde_json::from_str(&fs::read_to_string(papers.join("manifest.json")).unwrap()).unwrap()
    };
    let (own, housed) = (manifest(&demos().geothermal), manifest(papers()));
    assert_eq!(own["spec_digest"], housed["spec_digest"]);
    assert_ne!(own["build_digest"], housed["build_digest"]);
    let inputs: Vec<_> = list(&housed, "inputs")
        .iter()
        .map(|input| {
            let text = |field: &str| input[field].as_str().unwrap_or_default().to_owned();
            (text("role"), text("path"), text("sha256"))
        })
        .collect();
    let of = |file: &str| sha256(&fs::read(path(file)).unwrap());
    for (role, name, digest) in [
        ("spec", "", of(GEOTHERMAL)),
        ("house", "house.yaml", of("specs/house/house.yaml")),
        ("logo", "logo.svg", of("specs/house/logo.svg")),
    ] {
        let wanted = (role.to_owned(), name.to_owned(), digest);
        assert!(inputs.contains(&wanted), "{wanted:?}: {inputs:?}");
    }
    let out = tempdir().unwrap();
    let again = build(&path("specs/house"), out.path(), &[]);
    assert_eq!(again.code, Some(0), "{}", again.err);
    for file in ["procedure.pdf", "card.pdf", "manifest.json"] {
        let made = fs::read(out.path().join("HC-SF-104-r2").join(file)).unwrap();
        assert!(made == fs::read(papers().join(file)).unwrap(), "{file}");
    }
}

#[test]
fn a_house_of_somebody_else_is_a_warning() {
    let out = tempdir().unwrap();
    let ran = run(coldring()
        .args([
            "build",
            "specs/alder-fork-gas.yaml",
            "--as-of",
            AS_OF,
            "--only",
            "depth-marks",
        ])
        .args(["--house", "specs/house", "--format", "json", "--out"])
        .arg(out.path()));
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let warned = document(&ran);
    let found = list(&warned, "findings")
        .iter()
        .any(|f| f["rule"] == "house-of-another-organization");
    assert!(found, "{}", ran.out);
}

#[test]
fn the_worksheet_has_the_house_style_too() {
    let out = tempdir().unwrap();
    let ran = run(coldring()
        .args(["confirm", GEOTHERMAL, "--house", "specs/house", "--out"])
        .arg(out.path()));
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let pdf = out.path().join("HC-SF-104-r2-confirm/worksheet.pdf");
    assert!(pages_text(&pdf).concat().contains("14 Mill Lane"));
}

#[test]
fn every_paper_tells_which_house_style_it_is_in() {
    let files = ["house.yaml", "logo.svg"].map(|file| (file, path("specs/house").join(file)));
    let lines: String = ["house", "logo"]
        .iter()
        .zip(&files)
        .map(|(role, (name, file))| format!("{role} {name} {}\n", sha256(&fs::read(file).unwrap())))
        .collect();
    let said = squeezed(&format!("House {}", &sha256(lines.as_bytes())[..8]));
    for (paper, every_page) in [
        ("procedure.pdf", true),
        ("depth-marks.pdf", true),
        ("card.pdf", false),
    ] {
        let pages = pages_text(&papers().join(paper));
        let says = |text: &String| squeezed(text).contains(&said);
        match every_page {
            true => assert!(pages.iter().all(says), "{paper}"),
            false => assert!(pages.iter().any(says), "{paper}"),
        }
        let own = pages_text(&demos().geothermal.join(paper)).concat();
        assert!(!squeezed(&own).contains("House"), "{paper}");
    }
}

#[test]
fn the_procedure_holds_the_files_of_its_house_style() {
    let house = house("logo: mark.png\n", &[("mark.png", PNG)]);
    let style = fs::read(house.path().join("house.yaml")).unwrap();
    let out = tempdir().unwrap();
    let ran = build(house.path(), out.path(), &["--only", "procedure"]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let pdf = out.path().join("HC-SF-104-r2/procedure.pdf");
    let (into, held) = (out.path().join("held"), out.path().join("held/attached"));
    fs::create_dir_all(&held).unwrap();
    let to = into.as_os_str();
    tool(
        "pdfdetach",
        &["-saveall".as_ref(), "-o".as_ref(), to, pdf.as_os_str()],
    );
    for (name, content) in [("house.yaml", style.as_slice()), ("house-mark.png", PNG)] {
        assert!(fs::read(held.join(name)).unwrap() == content, "{name}");
    }
}

/// A section keeps its place whatever the house calls the one beside it, and what
/// a house puts in one place stands there as it wrote it.
#[test]
fn sections_of_a_house_stay_where_they_belong() {
    let house = house(
        "replaced: {en: {title-field: Cautions, title-acceptance: References}}\n\
         extra:\n  en:\n    \
         - {at: after-cautions, title: First of ours, text: Alpha one.}\n    \
         - {at: after-cautions, title: Second of ours, text: Alpha two.}\n    \
         - {at: before-scope, text: Beta one.}\n    \
         - {at: before-scope, text: Beta two.}\n    \
         - {at: after-acceptance, text: Gamma one.}\n    \
         - {at: after-acceptance, text: Gamma two.}\n",
        &[],
    );
    let out = tempdir().unwrap();
    let ran = build(house.path(), out.path(), &["--only", "procedure"]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let pdf = out.path().join("HC-SF-104-r2/procedure.pdf");
    let text = squeezed(&pages_text(&pdf).concat());
    let at = |words: &str| text.find(&squeezed(words)).expect(words);
    let order = [
        "This procedure is governed by",
        "Beta one.",
        "Beta two.",
        "Hold this page beside each joint",
        "Gamma one.",
        "Gamma two.",
        "Read before starting.",
        "Alpha one.",
        "Alpha two.",
        "Before the first joint of the day",
    ];
    let places = order.map(at);
    assert!(places.is_sorted(), "{places:?}");
}
