//! Papers speak of the resin, the place and the agent that their spec has, and of
//! no other.

use std::path::{Path, PathBuf};

use crate::support::{AS_OF, build_text, coldring, names_in, pages_text, path, read, run};

const HOT_WATER: &str = "specs/saddle-works-hot-water.yaml";

/// The papers and forms of a spec in both languages.
fn papers(folder: &Path, spec: &str) -> Vec<PathBuf> {
    let mut papers = Vec::new();
    for language in ["en", "es"] {
        for command in ["build", "forms"] {
            let out = folder.join(command).join(language);
            let ran = run(coldring()
                .args([command, "--as-of", AS_OF, "--language", language, "--out"])
                .arg(&out)
                .arg(path(spec)));
            assert_eq!(ran.code, Some(0), "{}", ran.err);
            for made in names_in(&out).into_iter().map(|name| out.join(name)) {
                let names = names_in(&made).into_iter();
                let pdfs = names.filter(|name| name.ends_with(".pdf"));
                papers.extend(pdfs.map(|name| made.join(name)));
            }
        }
    }
    papers
}

#[test]
fn no_paper_of_pp_inside_a_building_speaks_of_pe_or_of_a_trench() {
    const OTHERS: [&str; 12] = [
        "pe",
        "polyethylene",
        "polyethylenes",
        "polietileno",
        "polietilenos",
        "trench",
        "shoring",
        "soil",
        "zanja",
        "static",
        "estática",
        "entierra",
    ];
    let folder = tempfile::tempdir().unwrap();
    let papers = papers(folder.path(), HOT_WATER);
    assert!(papers.len() >= 10, "{papers:?}");
    for paper in papers {
        let text = pages_text(&paper).concat();
        let words = text.split(|c: char| !c.is_alphanumeric() && c != '_');
        let words: Vec<_> = words
            .filter(|word| !word.is_empty())
            .map(str::to_lowercase)
            .collect();
        for (at, word) in words.iter().enumerate() {
            let told = || {
                format!(
                    "{}: {:?}",
                    paper.display(),
                    &words[at.saturating_sub(4)..=at]
                )
            };
            assert!(!OTHERS.contains(&word.as_str()), "{}", told());
            // Gas in the air is a danger anywhere, and the source of a diameter names the
            // pipe that its standard is of; nothing else here is about gas.
            let around = &words[at.saturating_sub(3)..(at + 2).min(words.len())];
            let of_air = |word: &String| {
                [
                    "flammable",
                    "inflamable",
                    "near",
                    "nearby",
                    "smell",
                    "hay",
                    "haber",
                    "cerca",
                    "huele",
                    "2009",
                ]
                .contains(&word.as_str())
            };
            let of_source = |word: &String| ["tubo", "pipe"].contains(&word.as_str());
            let names_pipe = paper.ends_with("sources.pdf") && around.iter().any(of_source);
            assert!(
                word != "gas" || names_pipe || around.iter().any(of_air),
                "{}",
                told()
            );
        }
        assert!(!text.contains("part that is buried"), "{}", paper.display());
    }
}

#[test]
fn pipe_in_the_ground_keeps_its_cautions() {
    // Static is a danger where there may be gas, and a water main is not the place.
    let ground = ["Trench: cave-in", "part that is buried"];
    let gas = ["Static on PE pipe near gas"];
    for (spec, cautions) in [
        (
            "specs/hollow-creek-geothermal.yaml",
            [&ground[..], &gas].concat(),
        ),
        ("specs/tern-valley-water.yaml", ground.to_vec()),
    ] {
        let folder = tempfile::tempdir().unwrap();
        let papers = build_text(folder.path(), &read(spec));
        let text = pages_text(&papers.join("procedure.pdf")).concat();
        for said in cautions {
            assert!(text.contains(said), "{spec}: {said}");
        }
    }
}

#[test]
fn a_caution_is_about_the_agent_of_the_spec() {
    let text = read("specs/hollow-creek-geothermal.yaml");
    let stated = "cleaning: {agent: isopropyl alcohol, strength: 91 %}";
    assert!(text.contains(stated));
    for (agent, alcohol, acetone) in [
        (stated, true, false),
        ("cleaning: {agent: acetone}", false, true),
        ("cleaning: {agent: dry cloth}", false, false),
    ] {
        let folder = tempfile::tempdir().unwrap();
        let papers = build_text(folder.path(), &text.replace(stated, agent));
        let text = pages_text(&papers.join("procedure.pdf")).concat();
        assert_eq!(text.contains("Isopropyl alcohol burns"), alcohol, "{agent}");
        assert_eq!(text.contains("Acetone burns"), acetone, "{agent}");
    }
}
