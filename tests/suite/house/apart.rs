//! What a logo of a house can do to the machine: nothing but take ten seconds and
//! two gigabytes, and either ends as a finding about it.

use tempfile::tempdir;

use super::{build, house, one};
use crate::support::{AS_OF, GEOTHERMAL, coldring, run};

#[test]
fn a_logo_that_unfolds_without_end_is_a_finding() {
    let svg = |inside: &str| {
        format!("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 9 9\">\n{inside}\n</svg>")
    };
    // Ten uses of ten uses of ten, to the tenth.
    let mut uses = "<defs><g id=\"a0\"><path d=\"M1 1h7v7z\"/></g>".to_owned();
    for i in 1..=10 {
        let ten = format!("<use href=\"#a{}\"/>", i - 1).repeat(10);
        uses += &format!("<g id=\"a{i}\">{ten}</g>");
    }
    uses += "</defs><use href=\"#a10\"/>";
    let deep = format!("{}{}", "<g>".repeat(50_000), "</g>".repeat(50_000));
    for (name, inside) in [("uses", uses), ("deep", deep)] {
        let house = house("logo: logo.svg\n", &[("logo.svg", svg(&inside).as_bytes())]);
        assert_eq!(one(&house).0, "logo-not-read", "{name}");
    }
    // What draws nothing or is merely odd may pass; it must not break anything.
    for inside in [
        "<g id=\"a\"><use href=\"#a\"/></g><use href=\"#a\"/>",
        "<pattern id=\"p\" width=\"1\" height=\"1\"><rect width=\"1\" height=\"1\" fill=\"url(#p)\"/></pattern><rect width=\"9\" height=\"9\" fill=\"url(#p)\"/>",
        "<filter id=\"f\" width=\"1e9\" height=\"1e9\"><feGaussianBlur stdDeviation=\"1e9\"/></filter><rect width=\"9\" height=\"9\" filter=\"url(#f)\"/>",
        "<rect width=\"1e38\" height=\"1e38\"/>",
    ] {
        let house = house("logo: logo.svg\n", &[("logo.svg", svg(inside).as_bytes())]);
        let out = tempdir().unwrap();
        let ran = build(house.path(), out.path(), &["--only", "procedure"]);
        let found = ran.err.contains("logo-not-read");
        assert!(
            ran.code == Some(0) || (found && ran.code == Some(1)),
            "{inside}: {:?} {}",
            ran.code,
            ran.err
        );
    }
}

/// Where a house brings a logo, every command still prints, and
/// the environment of the run does not reach the paper.
#[test]
fn papers_of_a_house_are_the_same_in_any_environment() {
    let out = tempdir().unwrap();
    let made = |name: &str, variable: &str| {
        let folder = out.path().join(name);
        let ran = run(coldring()
            .args([
                "build",
                GEOTHERMAL,
                "--as-of",
                AS_OF,
                "--house",
                "specs/house",
            ])
            .env("SOURCE_DATE_EPOCH", variable)
            .env("TYPST_FONT_PATHS", variable)
            .arg("--out")
            .arg(&folder));
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        std::fs::read(folder.join("HC-SF-104-r2/procedure.pdf")).unwrap()
    };
    assert!(made("one", "1") == made("two", "2000000000"));
}
