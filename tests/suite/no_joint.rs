//! A size whose depth is not measured is not joined: every paper says so, and none
//! prints a time for it that could be worked by.

use std::path::{Path, PathBuf};

use crate::lettering::{Word, words};
use crate::support::{AS_OF, build_text, coldring_with, document, file, list, pages_text, read};

const GEOTHERMAL: &str = "specs/hollow-creek-geothermal.yaml";

/// The draft demo with the depth of 1 IPS open, and a reducer with that size.
/// Its heating is 15 to 17 s, its hold 30 s.
fn open() -> String {
    let measured =
        r#"1 IPS: {depth: 0.71 in, id: DG-2, source: "caliper, gauge DG-2, 2026-10-28"}"#;
    let text = read(GEOTHERMAL);
    assert!(text.contains(measured));
    text.replace(
        "[2 IPS x 1-1/4 IPS, 1-1/4 IPS x 3/4 IPS]",
        "[2 IPS x 1 IPS]",
    )
    .replace(measured, "1 IPS: {depth: to be measured, id: DG-2}")
}

fn procedure(folder: &Path, text: &str, language: &str) -> PathBuf {
    let papers = format!("documents:\n  languages: [{language}]\n");
    build_text(folder, &text.replace("documents:\n", &papers)).join("procedure.pdf")
}

/// The rows of tables with these words, a space between each two.
fn rows(pdf: &Path, with: &str) -> Vec<String> {
    let text = pages_text(pdf).concat();
    let lines = text.lines().filter(|line| line.contains(with));
    let lines = lines.map(|line| line.split_whitespace().collect::<Vec<_>>().join(" "));
    // What begins with the size is a row, not a sentence.
    let of_size = |line: &String| {
        let before = line.split(with).next().unwrap_or_default();
        before.replace("2 IPS x", "").replace("IPS", "").trim() == "1"
    };
    lines.filter(of_size).collect()
}

#[test]
fn the_procedure_prints_no_joint_across_the_row_and_no_time_of_the_size() {
    for (language, word) in [("en", "NO JOINT"), ("es", "NO HAGA LA UNIÓN")] {
        let folder = tempfile::tempdir().unwrap();
        let pdf = procedure(folder.path(), &open(), language);
        // The times, the reducer's end, and the cold heating times of the day.
        let rows = rows(&pdf, word);
        assert_eq!(rows.len(), 3, "{rows:?}");
        for row in &rows {
            let rest = row.replace(word, "").replace("2 IPS x", "");
            let until = ["until its depth is measured", "hasta medir su profundidad"];
            let rest = until
                .iter()
                .fold(rest, |rest, until| rest.replace(until, ""));
            assert_eq!(rest.replace("IPS", "").trim(), "1", "{row}");
        }
        // Nor on the sheet of sources.
        let text = pages_text(&pdf).concat().replace('\u{a0}', " ");
        for time in ["1 IPS 15 to 17 s", "1 IPS 15 a 17 s", "1 IPS 30 s"] {
            assert!(!text.contains(time), "{time}");
        }
    }
    let folder = tempfile::tempdir().unwrap();
    let measured = procedure(folder.path(), &read(GEOTHERMAL), "en");
    assert_eq!(rows(&measured, "NO JOINT"), Vec::<String>::new());
}

#[test]
fn a_plan_has_no_time_for_it() {
    let folder = tempfile::tempdir().unwrap();
    let spec = file(&folder, "open.yaml", open());
    let plan = |more: &[&str]| coldring_with(&[&["plan", "--as-of", AS_OF], more].concat());
    let shown = plan(&[&spec]).out;
    let said = "NO JOINT until the depth is measured: 1 IPS\n";
    assert!(shown.contains(said), "{shown}");
    let json = document(&plan(&["--format", "json", &spec]));
    assert!(
        list(&json, "joint_times")
            .iter()
            .all(|row| row["size"] != "1 IPS")
    );
    assert_eq!(json["no_joint"], serde_json::json!([{"size": "1 IPS"}]));
    let asked = plan(&["--joints", "1 IPS=2", &spec]);
    assert_ne!(asked.code, Some(0));
    let said = "no joint in 1 IPS until its depth is measured";
    assert!(asked.err.contains(said), "{}", asked.err);
    assert!(!plan(&[GEOTHERMAL]).out.contains("NO JOINT"));
}

/// The words of each line of a page, from the top; words on one base line are one line.
fn lines(page: &[Word]) -> Vec<Vec<&Word>> {
    let mut lines: Vec<Vec<&Word>> = Vec::new();
    for word in page {
        let same = |line: &&mut Vec<&Word>| (line[0].low - word.low).abs() < 1.5;
        match lines.iter_mut().find(same) {
            Some(line) => line.push(word),
            None => lines.push(vec![word]),
        }
    }
    lines
}

#[test]
fn the_words_in_place_of_numbers_stand_on_the_line_of_their_size() {
    let every = ["1/2 IPS", "3/4 IPS", "1 IPS", "1-1/4 IPS", "2 IPS"];
    for (language, word, last) in [("en", "JOINT", "measured"), ("es", "UNIÓN", "medir")] {
        for (count, trim) in [
            (1, "id-1"),
            (2, "id-3"),
            (5, "id-1"),
            (5, "id-2"),
            (5, "id-3"),
            (3, "id-1"),
        ] {
            let folder = tempfile::tempdir().unwrap();
            let spec = folder.path().join("new.yaml");
            let spec = spec.to_str().unwrap();
            let sizes = every[..count].join(", ");
            let made = coldring_with(&["new", spec, "--sizes", &sizes, "--service", "gas"]);
            assert_eq!(made.code, Some(0), "{}", made.err);
            let out = folder.path().join("out");
            let out = out.to_str().unwrap();
            let options = [
                "--only",
                "card",
                "--card-trim",
                trim,
                "--language",
                language,
            ];
            let ran = coldring_with(&[&["build", spec, "--out", out], &options[..]].concat());
            let paper = |line: &'_ str| line.strip_prefix("wrote ").map(str::to_owned);
            let mut papers = ran.out.lines().filter_map(paper);
            let Some(card) = papers.find(|path| path.contains("card")) else {
                assert_eq!(trim, "id-1", "{} {}", ran.out, ran.err);
                continue;
            };
            let pages = words(Path::new(&card));
            let told = format!("{count} sizes on {trim}, {language}");
            let of =
                |line: &Vec<&Word>, text: &str| line.iter().filter(|it| it.text == text).count();
            let rows: Vec<_> = { lines(&pages[0]).into_iter() }
                .filter(|line| of(line, last) > 0)
                .collect();
            assert!(rows.len() >= count, "{told}: {}", rows.len());
            for row in rows {
                let whole = of(&row, word) == of(&row, last);
                let row: Vec<_> = row.iter().map(|it| &it.text).collect();
                assert!(whole, "{told}: {row:?}");
            }
        }
    }
}
