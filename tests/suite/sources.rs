//! The paper of the sources as a reader gets it: its length, its title, what it says
//! in each language, and that a Spanish one has no English warning.

use tempfile::TempDir;

use crate::support::{AS_OF, coldring, pages_text, run, squeezed};

/// A demo in both languages: the folder, the text of each paper.
fn built(spec: &str) -> (Vec<String>, Vec<String>, String) {
    let out = TempDir::new().unwrap();
    let ran = run(coldring()
        .args(["build", spec, "--only", "procedure,sources"])
        .args(["--language", "en,es", "--as-of", AS_OF, "--out"])
        .arg(out.path()));
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let entries = std::fs::read_dir(out.path()).unwrap();
    let mut paths = entries.map(|entry| entry.unwrap().path());
    let folder = paths
        .find(|path| path.join("sources.pdf").is_file())
        .unwrap();
    let text = |name: &str| pages_text(&folder.join(name));
    (
        text("sources.pdf"),
        text("sources-es.pdf"),
        text("procedure.pdf").concat(),
    )
}

#[test]
fn the_sources_of_a_demo_are_short_and_the_procedure_has_none_of_it() {
    // The regulations that gas work quotes take two pages more.
    for (spec, most) in [
        ("specs/hollow-creek-geothermal.yaml", 5),
        ("specs/alder-fork-gas.yaml", 7),
        ("specs/tern-valley-water.yaml", 6),
        ("specs/saddle-works-hot-water.yaml", 6),
        ("specs/tour/1-least.yaml", 3),
    ] {
        let (english, spanish, procedure) = built(spec);
        assert!(english.len() <= most, "{spec}: {} pages", english.len());
        assert!(
            spanish.len() <= most + 1,
            "{spec}: {} pages in Spanish",
            spanish.len()
        );
        let (english, spanish) = (english.concat(), spanish.concat());
        for part in [
            "Sources and open points",
            "Where every number of the procedure comes from",
            "How far a number can be trusted.",
            "Each is closed, or accepted by the person who approves.",
            "Each side as read, and what was decided.",
            "NOT A TIME TO WORK BY",
            "It approves nothing and claims no compliance.",
        ] {
            assert!(
                squeezed(&english).contains(&squeezed(part)),
                "{spec}: {part}"
            );
        }
        for part in [
            "Fuentes y puntos abiertos",
            "Puntos abiertos",
            "Donde las fuentes no coinciden",
            "NO TRABAJE CON ESTOS TIEMPOS",
            "No aprueba nada ni declara cumplimiento.",
        ] {
            assert!(
                squeezed(&spanish).contains(&squeezed(part)),
                "{spec}: {part}"
            );
        }
        // The one line that names the paper is all that the procedure says of it.
        for part in [
            "How far a number can be trusted.",
            "To be closed, or accepted",
            "NOT A TIME TO WORK BY",
            "approves nothing",
            "as recalled; no text is named",
        ] {
            let said = squeezed(&procedure).contains(&squeezed(part));
            assert!(!said, "{spec}: {part}");
        }
    }
}

/// Words that only an English finding has.
#[test]
fn warnings_on_spanish_sources_are_spanish() {
    for spec in [
        "specs/hollow-creek-geothermal.yaml",
        "specs/saddle-works-hot-water.yaml",
        "specs/tour/1-least.yaml",
    ] {
        let (english, spanish, _) = built(spec);
        let words = |text: &str| {
            text.split(|c: char| !c.is_alphabetic())
                .map(str::to_lowercase)
                .collect::<Vec<_>>()
        };
        let (english, spanish) = (words(&english.concat()), words(&spanish.concat()));
        for word in ["the", "is", "are", "measured", "stated", "estimate"] {
            assert!(english.iter().any(|w| w == word), "{spec}: {word}");
            let at = spanish.iter().position(|w| w == word);
            let near =
                at.map(|at| spanish[at.saturating_sub(6)..(at + 6).min(spanish.len())].join(" "));
            assert_eq!(near, None, "{spec}: {word}");
        }
    }
}
