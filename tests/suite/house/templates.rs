//! Templates of a house: they lay out, and neither leave out nor change what a
//! paper says.

use tempfile::{TempDir, tempdir};

use super::{build, house, one, refused};
use crate::support::{pages_text, read};

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
        "#sheet.sections.enumerate().map(section-block).join()",
        "#show: page-frame.with(frame)",
    );
    for (old, new) in [
        (
            sections,
            "#sheet.sections.filter(s => s.title != \"Cautions\").enumerate().map(section-block).join()",
        ),
        (
            sections,
            "#sheet.sections.slice(1).enumerate().map(section-block).join()",
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

/// A house style whose template of a page has a rule of its own.
fn with_rule(page: &str, rule: &str) -> TempDir {
    let name = format!("pages/{page}");
    let own = read(&format!("templates/{name}"));
    let marker = match page {
        "procedure.typ" => "#let sheet = json(\"/sheet.json\")\n",
        _ => "#import \"/pages/marks.typ\"",
    };
    assert!(own.contains(marker), "{page}");
    let text = match page {
        "procedure.typ" => own.replacen(marker, &format!("{marker}{rule}\n"), 1),
        _ => own.replacen(marker, &format!("{rule}\n{marker}"), 1),
    };
    house("", &[(name.as_str(), text.as_bytes())])
}

#[test]
fn a_template_does_not_change_a_figure() {
    for (page, rule) in [
        (
            "procedure.typ",
            "#show regex(\"490 to 510\"): \"590 to 610\"",
        ),
        ("procedure.typ", "#show \"0.64\": \"0.46\""),
        // Two heating times change places: each is still on the page.
        (
            "procedure.typ",
            "#show regex(\"\\b(15|18)\\b\"): it => if it.text == \"15\" { \"18\" } else { \"15\" }",
        ),
        ("card.typ", "#show regex(\"490 to 510\"): \"590 to 610\""),
        ("card.typ", "#show \"24\": \"42\""),
        ("card.typ", "#show \"max 28\": \"max 82\""),
    ] {
        let findings = refused(&with_rule(page, rule));
        assert!(
            !findings.is_empty()
                && findings
                    .iter()
                    .all(|f| f["rule"] == "template-hides-safety"),
            "{rule}: {findings:?}"
        );
    }
}

#[test]
fn a_template_does_not_hide_what_it_says() {
    for (page, rule) in [
        (
            "procedure.typ",
            "#show \"490 to 510\": text.with(fill: white)",
        ),
        (
            "procedure.typ",
            "#show \"490 to 510\": text.with(fill: rgb(\"#eee\"))",
        ),
        (
            "procedure.typ",
            "#show \"490 to 510\": text.with(fill: rgb(0, 0, 0, 10))",
        ),
        (
            "procedure.typ",
            "#show \"490 to 510\": text.with(size: 2pt)",
        ),
        (
            "procedure.typ",
            "#show \"490 to 510\": highlight.with(fill: black)",
        ),
        (
            "procedure.typ",
            "#show \"490 to 510\": it => move(dx: 2000mm, it)",
        ),
        (
            "procedure.typ",
            "#set page(foreground: rect(width: 100%, height: 100%, fill: white))",
        ),
        (
            "procedure.typ",
            "#show \"490 to 510\": it => box(width: 1pt, clip: true, it)",
        ),
        ("card.typ", "#show \"max 28\": text.with(fill: white)"),
    ] {
        let findings = refused(&with_rule(page, rule));
        assert!(
            !findings.is_empty()
                && findings
                    .iter()
                    .all(|f| f["rule"] == "template-hides-safety"),
            "{rule}: {findings:?}"
        );
    }
}

#[test]
fn a_template_may_set_figures_otherwise() {
    let out = tempdir().unwrap();
    for (page, rule) in [
        (
            "procedure.typ",
            "#show table: set text(size: 8pt, style: \"italic\")",
        ),
        // Seen on what lies under it.
        (
            "procedure.typ",
            "#show \"490 to 510\": it => highlight(fill: black, text(fill: white, it))",
        ),
        (
            "procedure.typ",
            "#set page(background: rect(width: 100%, height: 100%, fill: luma(240)))",
        ),
        ("card.typ", "#show \"490\": strong"),
    ] {
        let house = with_rule(page, rule);
        for spec in [crate::support::GEOTHERMAL, "specs/tern-valley-water.yaml"] {
            let ran = crate::support::run(
                crate::support::coldring()
                    .args(["build", spec, "--as-of", crate::support::AS_OF, "--house"])
                    .arg(house.path())
                    .args(["--language", "en,es", "--out"])
                    .arg(out.path()),
            );
            assert_eq!(ran.code, Some(0), "{rule}: {spec}: {}", ran.err);
        }
    }
}
