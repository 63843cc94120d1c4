//! What a template or a logo of a house can do to the machine: nothing but take a
//! minute and two gigabytes, and either ends as a finding about it.

use tempfile::tempdir;

use super::{build, house, one, refused};
use crate::support::{AS_OF, GEOTHERMAL, coldring, run};

/// The finding about a template: what it says.
fn template(text: &str) -> String {
    let house = house("", &[("pages/procedure.typ", text.as_bytes())]);
    let findings = refused(&house);
    let [finding] = findings.as_slice() else {
        panic!("{text}: {findings:?}");
    };
    assert_eq!(finding["rule"], "template-failed", "{text}");
    assert!(
        finding["file"]
            .as_str()
            .unwrap()
            .ends_with("pages/procedure.typ")
    );
    finding["message"].as_str().unwrap().to_owned()
}

#[test]
fn a_template_reaches_no_file_and_no_environment() {
    for (text, says) in [
        ("#read(\"/etc/passwd\")", "not found"),
        ("#read(\"../../../../etc/passwd\")", "escape"),
        ("#read(\"/house/../../etc/passwd\")", "escape"),
        ("#read(\"/house.yaml\")", "not found"),
        ("#image(\"file:///etc/passwd\")", "not found"),
        ("#json(\"https://hollowcreek.example/a.json\")", "not found"),
        ("#include \"/proc/self/environ\"", "not found"),
        ("#sys.inputs.at(\"PATH\")", "does not contain"),
        ("#datetime.today()", "date"),
    ] {
        let message = template(text);
        assert!(message.contains(says), "{text}: {message}");
    }
    let inputs = "#assert(sys.inputs.len() > 0, message: \"no inputs\")";
    assert!(template(inputs).contains("no inputs"));
}

#[test]
fn packages_and_plugins_are_refused() {
    let message = template("#import \"@preview/example:0.1.0\": add");
    assert!(message.contains("packages are refused"), "{message}");
    let local = template("#import \"@local/mine:1.0.0\"");
    assert!(local.contains("packages are refused"), "{local}");
    // The eight bytes are a whole WASM module: magic and version (WebAssembly
    // Core Specification 2.0, 5.5.16). Typst itself takes it.
    let module = "bytes((0, 0x61, 0x73, 0x6d, 1, 0, 0, 0))";
    for plugin in ["plugin", "std.plugin", "dictionary(std).plugin"] {
        for from in [module, "\"/house/p.wasm\""] {
            let message = template(&format!("#{plugin}({from})"));
            assert!(message.contains("function"), "{plugin}: {message}");
        }
    }
}

#[test]
fn a_template_that_takes_too_much_is_stopped() {
    for (text, says) in [
        ("#while true {}", "always true"),
        ("#let f(n) = f(n + 1)\n#f(0)", "depth"),
        ("#let f() = context f()\n#f()", "depth"),
        ("#(\"x\" * 3000000000)", "more than 2048 MB"),
        (
            "#let b = (\"x\" * 1000,) * 100000\n#range(0, 5000).map(i => b.map(x => x + str(i)))",
            "more than 2048 MB",
        ),
    ] {
        let message = template(text);
        assert!(message.contains(says), "{text}: {message}");
    }
    // Whatever came of it, the next run is as ever.
    let out = tempdir().unwrap();
    let ran = build(house("", &[]).path(), out.path(), &["--only", "card"]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
}

#[test]
#[ignore = "takes the whole minute"]
fn a_template_that_does_not_end_is_stopped() {
    let loops = "#for a in range(10000) { for b in range(10000) { for c in range(10000) { } } }";
    let message = template(loops);
    assert!(message.contains("more than 60 seconds"), "{message}");
}

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

/// Where a house brings a logo and no template, every command still prints, and
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
