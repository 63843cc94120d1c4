//! Clauses in the words of a house, and text that it adds.

use tempfile::tempdir;

use super::{build, house, one, place, refused};
use crate::support::{pages_text, squeezed};

#[test]
fn what_warns_is_not_replaced() {
    for key in [
        "deference",
        "verify-legend",
        "status-draft",
        "cautions-intro",
        "card-danger",
        "card-stop-field",
        "signal-danger",
        "plate-no-bead",
        "wallet-void",
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
    // A character that no font has, spelt in code: a card would print a box.
    let spelt = |text: &str| house(&format!("replaced: {{en: {{step-cut: {text}}}}}\n"), &[]);
    let (rule, _, line, column) = one(&spelt("'Cut {{ \"\\u0e01\" }}.'"));
    assert_eq!((rule.as_str(), line, column), ("clause-failed", 3, 36));
    let near = spelt("'Cut {{ \"square\" }}, as ever: é.'");
    let out = tempdir().unwrap();
    let ran = build(near.path(), out.path(), &["--only", "card"]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
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
             replaced: {{en: {{kit-gloves-check: '{hostile}'}}}}\nsignatures: [{{role: '{hostile}'}}]\n"
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
fn a_clause_that_no_paper_of_a_house_has_is_refused_with_the_reason() {
    for (key, reason) in [
        (
            "submittal-cover",
            "the program's own words in any house style",
        ),
        ("notice-tell", "the program's own words in any house style"),
        ("card-over", "it warns, limits or rejects"),
        ("status-draft", "it is part of the frame"),
    ] {
        let house = house(&format!("replaced: {{en: {{{key}: Ours.}}}}\n"), &[]);
        let findings = refused(&house);
        assert_eq!(findings[0]["rule"], "clause-protected", "{key}");
        let message = findings[0]["message"].as_str().unwrap();
        assert!(message.contains(reason), "{key}: {message}");
    }
}
