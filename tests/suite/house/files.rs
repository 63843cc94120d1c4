//! The files of a house style: what cannot be read, drawn or printed is a finding.

use std::fs;

use tempfile::tempdir;

use super::{PNG, build, house, one, place, refused};

const SVG: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">
<path fill="#0b3d5c" d="M1 1h7v7z"/>
</svg>"##;

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
fn no_house_style_is_said_so() {
    let empty = tempdir().unwrap();
    let ran = build(empty.path(), &empty.path().join("out"), &[]);
    assert_eq!(ran.code, Some(2), "{}", ran.err);
    assert!(ran.err.contains("house.yaml"), "{}", ran.err);
}
