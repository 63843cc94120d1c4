//! What texts of a house state and claim, how long they may be, and in which
//! language they are missing.

use super::{house, one, place, warned};

const FIGURE: &str = "house-figure";
const CLAIM: &str = "house-claims-approval";
const MISSING: &str = "house-text-missing-in-language";

fn found(rule: &str, text: &str) -> (String, String) {
    (rule.to_owned(), text.to_owned())
}

#[test]
fn figures_and_claims_of_a_house_are_pointed_at() {
    let house = house(
        "extra:\n  en:\n    - at: after-cautions\n      title: Certified work\n      \
         text: [\"Heat every size for 12 s.\", Call 555 0142.]\n  \
         es:\n    - at: after-cautions\n      title: Frío\n      text: Espere 5 minutos; cumple la norma.\n\
         replaced:\n  en:\n    step-heater: \"Set 520 °F, approved, not {{ set_point }}.\"\n",
        &[],
    );
    assert_eq!(
        warned(&house, &[FIGURE, CLAIM], &[]),
        [
            found(CLAIM, "Certified"),
            found(FIGURE, "12 s"),
            found(FIGURE, "5 minutos"),
            found(CLAIM, "cumple"),
            found(FIGURE, "520 °F"),
            found(CLAIM, "approved"),
        ]
    );
}

#[test]
fn a_text_without_figures_and_claims_is_not_pointed_at() {
    let house = house(
        "signatures: [{role: Approved by}]\nextra: {en: [{at: end, title: Calls, text: \"Call 555 \
         0142, step 3, form HC-12.\"}]}\nreplaced: {en: {step-heater: \"Set {{ set_point }}.\"}}\n",
        &[],
    );
    assert_eq!(warned(&house, &[FIGURE, CLAIM, MISSING], &[]), []);
}

#[test]
fn a_text_that_a_language_of_the_papers_lacks_is_named() {
    let lines = "extra:\n  en:\n    - {at: end, title: Calls, text: Call us.}\n    \
        - {at: end, title: Forms, text: Use ours.}\n  \
        es:\n    - {at: end, title: Llamadas, text: Llame.}\n\
        replaced:\n  en:\n    step-cut: Cut square.\n    kit-timer: Watch.\n  es:\n    kit-timer: Reloj.\n";
    let house = house(lines, &[]);
    assert_eq!(warned(&house, &[MISSING], &["--language", "en"]), []);
    for languages in ["es", "en,es"] {
        let missing = warned(&house, &[MISSING], &["--language", languages]);
        let [(_, extra), (_, clause)] = missing.as_slice() else {
            panic!("{missing:?}");
        };
        assert!(extra.starts_with('{') || extra.is_empty(), "{extra}");
        assert_eq!(clause, "step-cut");
    }
}

#[test]
fn there_is_only_so_much_room() {
    let seven = "[a, b, c, d, e, f, g]";
    let folder = super::house("", &[]);
    let style = format!("coldring-house: 1\norganization:\n  name: X\n  address: {seven}\n");
    std::fs::write(folder.path().join("house.yaml"), style).unwrap();
    let findings = super::refused(&folder);
    assert_eq!(findings[0]["rule"], "house-too-much");
    assert_eq!(findings[0]["line"], 4);
    let nine = "{role: a}, ".repeat(9);
    let signing = house(&format!("signatures: [{nine}]\n"), &[]);
    assert_eq!(one(&signing), place("house-too-much", "house.yaml", 3, 13));
    let long = "x ".repeat(800);
    let text = house(
        &format!("replaced:\n  en:\n    kit-gloves-check: {long}.\n"),
        &[],
    );
    assert_eq!(one(&text), place("house-too-much", "house.yaml", 5, 23));
}
