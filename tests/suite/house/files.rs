//! The files of a house style: what cannot be read, drawn or printed is a finding.

use std::fs;

use tempfile::{TempDir, tempdir};

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
    let house = house("logo: logo.svg\n", &[]);
    let link = |from: &str, to: &str| {
        std::os::unix::fs::symlink(outside.path().join(from), house.path().join(to)).unwrap();
    };
    link("logo.svg", "logo.svg");
    assert_eq!(one(&house).0, "house-not-read");
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
        "logo: no.svg\npaper: legal\ncolors: {primary: red}\nreplaced: {en: {deference: x}}\n\
         templates: own\n",
        &[],
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
            "house-template",
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

/// What is said of page templates in a house style: one finding, its place, and
/// what to do.
fn templates(house: &TempDir) -> (u64, String, String) {
    let findings = refused(house);
    let [finding] = findings.as_slice() else {
        panic!("{findings:?}");
    };
    assert_eq!(finding["rule"], "house-template");
    assert!(finding["file"].as_str().unwrap().ends_with("house.yaml"));
    let text = |field: &str| finding[field].as_str().unwrap().to_owned();
    let line = finding["line"].as_u64().unwrap();
    (line, text("message"), text("help"))
}

#[test]
fn page_templates_are_one_error_that_says_what_to_do() {
    for name in ["pages", "templates"] {
        // A folder, whatever it holds; a key; both.
        let folder = house("", &[]);
        fs::create_dir(folder.path().join(name)).unwrap();
        fs::write(folder.path().join(name).join("procedure.typ"), "#panic()").unwrap();
        let (_, message, help) = templates(&folder);
        assert!(
            message.contains(&format!("the folder `{name}`")),
            "{message}"
        );
        assert!(help.starts_with("move the folder out"), "{help}");
        let lines = format!("paper: a4\n{name}: [procedure.typ]\n");
        let (line, message, help) = templates(&house(&lines, &[]));
        assert_eq!(line, 4);
        assert!(message.starts_with(&format!("`{name}`")), "{message}");
        assert!(
            help.starts_with(&format!("take `{name}` out of house.yaml")),
            "{help}"
        );
        let both = house(&lines, &[]);
        fs::create_dir(both.path().join("pages")).unwrap();
        let (line, _, help) = templates(&both);
        assert_eq!(line, 4);
        assert!(help.contains("the folder `pages`"), "{help}");
        // What the help says is enough.
        fs::remove_dir(both.path().join("pages")).unwrap();
        fs::write(both.path().join("page.typ"), "").unwrap();
        fs::write(both.path().join("pages"), "a file of that name").unwrap();
        let style = fs::read_to_string(both.path().join("house.yaml")).unwrap();
        let style = style.replace(&format!("{name}: [procedure.typ]\n"), "");
        fs::write(both.path().join("house.yaml"), style).unwrap();
        let out = tempdir().unwrap();
        let ran = build(both.path(), out.path(), &["--only", "card"]);
        assert_eq!(ran.code, Some(0), "{}", ran.err);
    }
}
