//! A house style, end to end: what it brings to the papers, and that nothing of
//! it is printed when it is broken, reaches out of its folder, or takes away
//! what warns. The organization is invented.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use lopdf::{Document, Object};
use serde_json::Value;
use tempfile::{TempDir, tempdir};

use crate::support::{
    AS_OF, GEOTHERMAL, Run, coldring, demos, document, list, pages_text, path, read, run, sha256,
    squeezed, tool,
};

/// Four blue pixels.
const PNG: &[u8] =
    b"\x89\x50\x4e\x47\x0d\x0a\x1a\x0a\x00\x00\x00\x0d\x49\x48\x44\x52\x00\x00\x00\x02\x00\x00\
    \x00\x02\x08\x02\x00\x00\x00\xfd\xd4\x9a\x73\x00\x00\x00\x10\x49\x44\x41\x54\x78\xda\x63\
    \xe0\xb6\x8d\x01\x22\x06\x08\x05\x00\x10\xba\x02\x91\xb3\xb0\x44\xcd\x00\x00\x00\x00\x49\
    \x45\x4e\x44\xae\x42\x60\x82";

const SVG: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">
<path fill="#0b3d5c" d="M1 1h7v7z"/>
</svg>"##;

/// A house style with these lines after the name of the organization, and files.
fn house(lines: &str, files: &[(&str, &[u8])]) -> TempDir {
    let folder = tempdir().unwrap();
    let style = "coldring-house: 1\norganization: {name: Hollow Creek District Energy}\n";
    fs::write(folder.path().join("house.yaml"), style.to_owned() + lines).unwrap();
    fs::create_dir(folder.path().join("pages")).unwrap();
    for (name, content) in files {
        fs::write(folder.path().join(name), content).unwrap();
    }
    folder
}

fn build(house: &Path, out: &Path, arguments: &[&str]) -> Run {
    run(coldring()
        .args(["build", GEOTHERMAL, "--as-of", AS_OF, "--house"])
        .arg(house)
        .arg("--out")
        .arg(out)
        .args(arguments))
}

/// The findings about a house style; it has to hold every paper back.
fn refused(house: &TempDir) -> Vec<Value> {
    let out = tempdir().unwrap();
    let ran = build(house.path(), out.path(), &["--format", "json"]);
    assert_eq!(ran.code, Some(1), "{}{}", ran.out, ran.err);
    let written = fs::read_dir(out.path()).unwrap().count();
    assert_eq!(written, 0, "{}", ran.out);
    let errors = document(&ran);
    let findings = list(&errors, "findings").iter();
    let errors = findings.filter(|f| f["severity"] == "error");
    errors.cloned().collect()
}

/// The one finding about a house style: rule, file, line and column.
fn one(house: &TempDir) -> (String, String, u64, u64) {
    let findings = refused(house);
    let [finding] = findings.as_slice() else {
        panic!("{findings:?}");
    };
    let file = finding["file"].as_str().unwrap();
    let folder = house.path().to_str().unwrap();
    (
        finding["rule"].as_str().unwrap().to_owned(),
        file.replace(&format!("{folder}/"), ""),
        finding["line"].as_u64().unwrap(),
        finding["column"].as_u64().unwrap(),
    )
}

fn place(rule: &str, file: &str, line: u64, column: u64) -> (String, String, u64, u64) {
    (rule.to_owned(), file.to_owned(), line, column)
}

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
    squeezed(&pages_text(&papers().join("procedure.pdf")).concat())
}

#[test]
fn logo_letterhead_roles_and_words_are_on_the_procedure() {
    let text = procedure_text();
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
        "In the organization's own words, which this tool did not judge: step-print-line, \
         step-heater, Questions in the field.",
    ] {
        assert!(text.contains(&squeezed(said)), "{said}");
    }
    for gone in ["Approved by", "Switch the heater on and let"] {
        assert!(!text.contains(&squeezed(gone)), "{gone}");
    }
    // What warns is as it was.
    let own = squeezed(&pages_text(&demos().geothermal.join("procedure.pdf")).concat());
    for kept in [
        "The software that set this document",
        "DANGER",
        "Figure from memory",
    ] {
        let kept = squeezed(kept);
        assert!(own.contains(&kept) && text.contains(&kept), "{kept}");
    }
    // In their places: before the scope, after the acceptance.
    let at = |words: &str| text.find(&squeezed(words)).unwrap();
    assert!(at("Questions in the field") < at("Scope and applicability"));
    assert!(at("Put the fuser's number") > at("Acceptance and rejection"));
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
fn what_warns_is_not_replaced() {
    for key in [
        "deference",
        "verify-legend",
        "status-draft",
        "cautions-intro",
        "card-stop",
    ] {
        let house = house(&format!("replaced:\n  en:\n    {key}: Trust this.\n"), &[]);
        assert_eq!(
            one(&house),
            place("clause-protected", "house.yaml", 5, 5),
            "{key}"
        );
    }
}

#[test]
fn a_clause_has_to_say_its_quantities() {
    let of = |text: &str| {
        let house = house(&format!("replaced:\n  en:\n    step-heater: {text}\n"), &[]);
        one(&house)
    };
    // Missing, hidden by a branch, unknown, unclosed, and without an end.
    assert_eq!(of("Heat."), place("clause-quantities", "house.yaml", 5, 18));
    assert_eq!(
        of("\"Heat.{% if false %}{{ set_point }}{% endif %}\""),
        place("clause-quantities", "house.yaml", 5, 18)
    );
    assert_eq!(
        of("\"At {{ set_point }}, {{ set_pont }}.\""),
        place("clause-quantities", "house.yaml", 5, 42)
    );
    let (rule, file, line, column) = of("\"At {{ set_point }}, {{ 1 + }}.\"");
    assert_eq!(
        (rule.as_str(), file.as_str(), line),
        ("clause-failed", "house.yaml", 5)
    );
    assert!(column > 38, "{column}");
    let endless = "\"{{ set_point }}{% for a in 'xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx' %}{% for b in \
        'xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx' %}{% for c in 'xxxxxxxxxxxxxxxxxxxxxxxxx' \
        %}x{% endfor %}{% endfor %}{% endfor %}\"";
    assert_eq!(of(endless).0, "clause-failed");
}

#[test]
fn a_clause_that_fails_over_a_real_value_is_a_finding_too() {
    let text =
        "\"{{ set_point }}{% if set_point != '<set_point>' %}{{ set_point - 1 }}{% endif %}\"";
    let house = house(&format!("replaced:\n  en:\n    step-heater: {text}\n"), &[]);
    let (rule, file, line, _) = one(&house);
    assert_eq!(
        (rule.as_str(), file.as_str(), line),
        ("clause-failed", "house.yaml", 5)
    );
}

#[test]
fn a_slip_in_a_key_is_named() {
    let house = house("replaced: {en: {step-heaters: x}}\n", &[]);
    let findings = refused(&house);
    assert_eq!(findings[0]["rule"], "clause-unknown");
    assert!(
        findings[0]["help"]
            .as_str()
            .unwrap()
            .contains("step-heater")
    );
}

#[test]
fn what_a_house_writes_is_printed_as_written() {
    let hostile = "#eval(1) *a* $x$ @b <c> [d]";
    let house = house(
        &format!(
            "extra: {{en: [{{at: end, title: '{hostile}', text: '{hostile}'}}]}}\n\
             replaced: {{en: {{coil: '{hostile}'}}}}\nsignatures: [{{role: '{hostile}'}}]\n"
        ),
        &[],
    );
    let out = tempdir().unwrap();
    let ran = build(house.path(), out.path(), &["--only", "procedure"]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let text = pages_text(&out.path().join("HC-SF-104-r2/procedure.pdf")).concat();
    let shown = squeezed(&text).matches(&squeezed(hostile)).count();
    assert!(shown >= 4, "{shown}: {text}");
}

#[test]
fn a_broken_template_is_pointed_at() {
    let page = read("templates/pages/procedure.typ");
    let of = |old: &str, new: &str| {
        assert!(page.contains(old));
        let broken = page.replacen(old, new, 1);
        let found = broken.lines().position(|line| line.contains(new.trim()));
        let files = [("pages/procedure.typ", broken.as_bytes())];
        (house("", &files), found.unwrap() + 1)
    };
    // Not typst, an unknown name, and a call that fails inside the program's own
    // template.
    for (old, new) in [
        ("#facts-block\n", "#facts-block[\n"),
        ("#facts-block\n", "#fact-block\n"),
        ("#letterhead(frame)", "#letterhead((:))"),
    ] {
        let (house, line) = of(old, new);
        let (rule, file, found, _) = one(&house);
        assert_eq!(
            (rule.as_str(), file.as_str()),
            ("template-failed", "pages/procedure.typ")
        );
        assert_eq!(found, u64::try_from(line).unwrap(), "{new}");
    }
    let (house, line) = of("#facts-block\n", "#fact-block\n");
    let out = tempdir().unwrap();
    let ran = build(house.path(), out.path(), &[]);
    let shown = format!("pages/procedure.typ:{line}:2");
    assert!(ran.err.contains(&shown), "{shown}: {}", ran.err);
    assert!(
        ran.err.contains("unknown variable: fact-block"),
        "{}",
        ran.err
    );
}

#[test]
fn a_template_may_lay_out_but_not_leave_out() {
    let page = read("templates/pages/procedure.typ");
    let with = |old: &str, new: &str| {
        assert!(page.contains(old), "{old}");
        let text = page.replacen(old, new, 1);
        house("", &[("pages/procedure.typ", text.as_bytes())])
    };
    let allowed = with("#facts-block\n", "#text(size: 20pt)[Ours]\n#facts-block\n");
    let out = tempdir().unwrap();
    let ran = build(allowed.path(), out.path(), &["--only", "procedure"]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let text = pages_text(&out.path().join("HC-SF-104-r2/procedure.pdf")).concat();
    assert!(text.contains("Ours"), "{text}");

    let (sections, status) = (
        "#sheet.sections.map(section-block).join()",
        "#show: page-frame.with(frame)",
    );
    for (old, new) in [
        (
            sections,
            "#sheet.sections.filter(s => s.title != \"Cautions\").map(section-block).join()",
        ),
        (
            sections,
            "#sheet.sections.slice(1).map(section-block).join()",
        ),
        (
            status,
            "#show: page-frame.with((..frame, status: \"qualified\", status_line: \"\"))",
        ),
        (
            "#import \"/pages/common.typ\": *",
            "#import \"/pages/common.typ\": *\n#let verify-mark = none\n#let cell(data, ..rest) = data.text",
        ),
    ] {
        let findings = refused(&with(old, new));
        assert!(
            findings
                .iter()
                .all(|f| f["rule"] == "template-hides-safety"),
            "{new}: {findings:?}"
        );
    }
}

#[test]
fn templates_of_marks_and_strips_are_the_programs() {
    let marks = house("", &[("pages/depth-marks.typ", b"")]);
    let (rule, file, ..) = one(&marks);
    assert_eq!(
        (rule.as_str(), file.as_str()),
        ("template-protected", "pages/depth-marks.typ")
    );
    let slip = house("", &[("pages/proceedure.typ", b"")]);
    assert_eq!(one(&slip).0, "template-unknown");
}

#[test]
fn a_logo_that_cannot_be_drawn_is_a_finding() {
    let broken = SVG.replace("</svg>", "</svgg>");
    let mut large = PNG.to_vec();
    large[16..24].copy_from_slice(&[0, 0, 0x20, 0, 0, 0, 0x20, 0]);
    let half = &PNG[..PNG.len() / 2];
    let huge = vec![b' '; 1024 * 1024 + 1];
    for (name, content, place_of) in [
        (
            "logo.svg",
            broken.as_bytes(),
            place("logo-not-read", "logo.svg", 3, 1),
        ),
        (
            "logo.svg",
            b"not svg".as_slice(),
            place("logo-not-read", "logo.svg", 1, 1),
        ),
        ("logo.png", half, place("logo-not-read", "house.yaml", 3, 7)),
        (
            "logo.png",
            &large,
            place("logo-not-read", "house.yaml", 3, 7),
        ),
        (
            "logo.png",
            SVG.as_bytes(),
            place("logo-not-read", "house.yaml", 3, 7),
        ),
        ("logo.jpg", PNG, place("logo-not-read", "house.yaml", 3, 7)),
        (
            "logo.svg",
            &huge,
            place("house-not-read", "house.yaml", 3, 7),
        ),
    ] {
        let house = house(&format!("logo: {name}\n"), &[(name, content)]);
        assert_eq!(one(&house), place_of, "{name}");
    }
}

#[test]
fn a_logo_holds_all_it_shows() {
    for part in [
        "<image href=\"https://hollowcreek.example/a.png\"/>",
        "<script>alert(1)</script>",
        "<text>H</text>",
        "<use xlink:href=\"other.svg#a\"/>",
        "<rect width=\"1\" height=\"1\" fill=\"url(other.svg#a)\"/>",
    ] {
        let svg = SVG.replace("<path", &format!("{part}\n<path"));
        let house = house("logo: logo.svg\n", &[("logo.svg", svg.as_bytes())]);
        let (rule, file, line, _) = one(&house);
        assert_eq!(
            (rule.as_str(), file.as_str(), line),
            ("logo-reaches-out", "logo.svg", 2),
            "{part}"
        );
    }
}

#[cfg(unix)]
#[test]
fn a_house_reaches_nothing_outside_its_folder() {
    for named in [
        "../logo.svg",
        "/etc/hostname.svg",
        "a/../../logo.svg",
        "c:logo.svg",
    ] {
        let house = house(&format!("logo: {named}\n"), &[]);
        assert_eq!(one(&house).0, "house-not-read", "{named}");
    }
    let outside = tempdir().unwrap();
    fs::write(outside.path().join("logo.svg"), SVG).unwrap();
    fs::write(outside.path().join("procedure.typ"), "x").unwrap();
    let house = house("logo: logo.svg\n", &[]);
    let link = |from: &str, to: &str| {
        std::os::unix::fs::symlink(outside.path().join(from), house.path().join(to)).unwrap();
    };
    link("logo.svg", "logo.svg");
    link("procedure.typ", "pages/procedure.typ");
    let findings = refused(&house);
    assert_eq!(findings.len(), 2, "{findings:?}");
    assert!(
        findings.iter().all(|f| f["rule"] == "house-not-read"),
        "{findings:?}"
    );
    // A template reads no file of the machine.
    let reading = "#read(\"/etc/hostname\")";
    let house = self::house("", &[("pages/procedure.typ", reading.as_bytes())]);
    assert_eq!(
        one(&house),
        place("template-failed", "pages/procedure.typ", 1, 7)
    );
}

#[test]
fn colors_have_to_be_read_on_white() {
    for (color, rule) in [
        ("\"#3f8fd0\"", "color-too-pale"),
        ("navy", "color-not-read"),
        ("\"#abc\"", "color-not-read"),
    ] {
        let house = house(&format!("colors: {{primary: {color}}}\n"), &[]);
        assert_eq!(one(&house), place(rule, "house.yaml", 3, 19), "{color}");
    }
    let pale = house("colors: {accent: \"#ffd000\"}\n", &[]);
    assert_eq!(one(&pale).0, "color-too-pale");
}

#[test]
fn every_problem_of_a_house_is_reported_at_once() {
    let house = house(
        "logo: no.svg\npaper: legal\ncolors: {primary: red}\nreplaced: {en: {deference: x}}\n",
        &[("pages/x.typ", b"")],
    );
    let findings = refused(&house);
    let mut rules: Vec<_> = findings
        .iter()
        .map(|f| f["rule"].as_str().unwrap())
        .collect();
    rules.sort_unstable();
    assert_eq!(
        rules,
        [
            "clause-protected",
            "color-not-read",
            "house-not-read",
            "template-unknown",
            "unknown-word"
        ]
    );
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
fn no_house_style_is_said_so() {
    let empty = tempdir().unwrap();
    let ran = build(empty.path(), &empty.path().join("out"), &[]);
    assert_eq!(ran.code, Some(2), "{}", ran.err);
    assert!(ran.err.contains("house.yaml"), "{}", ran.err);
}
