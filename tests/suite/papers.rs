//! The papers as their readers get them: what they say, how the PDFs are made,
//! and that the same spec always gives the same bytes.

use std::fs;
use std::path::{Path, PathBuf};

use lopdf::{Document, Object};
use tempfile::tempdir;

use crate::support::{
    AS_OF, GAS, GEOTHERMAL, PAPERS, build_text, coldring, demos, gas_alone, names_in, pages_text,
    path, read, run, sha256, spec_digest, squeezed, tool,
};

/// Every paper of both demos, with the spec it was made of.
fn all_papers() -> Vec<(PathBuf, &'static str)> {
    let both = [(&demos().geothermal, GEOTHERMAL), (&demos().gas, GAS)];
    both.iter()
        .flat_map(|(folder, spec)| PAPERS.map(|paper| (folder.join(paper), *spec)))
        .collect()
}

/// The whole text of a PDF, without spaces and line breaks.
fn text_of(pdf: &Path) -> String {
    squeezed(&pages_text(pdf).concat())
}

/// A size: nominal, OD in inches, depth as the spec writes it, heating (shortest and
/// longest) and hold in seconds.
type Row = (&'static str, &'static str, &'static str, u32, u32, u32);

/// By hand from the tables that were read, and from the spec's own depths.
const GEOTHERMAL_ROWS: &[Row] = &[
    ("3/4", "1.050", "0.64", 8, 14, 30),
    ("1", "1.315", "0.71", 15, 17, 30),
    ("1-1/4", "1.660", "0.81", 18, 21, 60),
    ("1-1/2", "1.900", "0.88", 20, 23, 60),
    ("2", "2.375", "0.94", 24, 28, 60),
];
const GAS_ROWS: &[Row] = &[
    ("1/2", "0.625", "0.52", 6, 7, 30),
    ("3/4", "0.875", "0.58", 6, 7, 30),
    ("1", "1.315", "0.70", 10, 12, 30),
    ("1-1/4", "1.660", "0.80", 12, 14, 45),
    ("2", "2.375", "0.93", 16, 19, 45),
];

#[test]
fn every_paper_is_sound_pdf() {
    for (pdf, _) in all_papers() {
        let said = tool("qpdf", &["--check".as_ref(), pdf.as_os_str()]);
        assert!(
            said.contains("No syntax or stream encoding errors"),
            "{said}"
        );
    }
}

#[test]
fn every_page_shows_number_revision_digest_and_reminder() {
    for (pdf, spec) in all_papers() {
        let digest = &spec_digest(spec)[..16];
        let number = if spec == GAS { "AF-JP-12" } else { "HC-SF-104" };
        for (i, page) in pages_text(&pdf).iter().enumerate() {
            let text = squeezed(page);
            let whole_sheet = !pdf.ends_with("card.pdf");
            for part in [number, "Revision2"] {
                assert!(
                    text.contains(part),
                    "{part} on page {} of {}",
                    i + 1,
                    pdf.display()
                );
            }
            // A card is one paper with two faces.
            if whole_sheet {
                assert!(
                    text.contains(digest),
                    "page {} of {}: {page}",
                    i + 1,
                    pdf.display()
                );
                assert!(text.contains("urrentrevision"), "{}: {page}", pdf.display());
            }
        }
        let text = text_of(&pdf);
        assert!(text.contains(digest), "{}", pdf.display());
        assert!(text.contains("urrentrevision"), "{}", pdf.display());
    }
}

#[test]
fn procedure_pages_are_numbered() {
    for folder in [&demos().geothermal, &demos().gas] {
        let pages = pages_text(&folder.join("procedure.pdf"));
        assert!(pages.len() > 2);
        for (i, page) in pages.iter().enumerate() {
            let wanted = format!("Page{}of{}", i + 1, pages.len());
            assert!(squeezed(page).contains(&wanted), "{wanted}: {page}");
        }
    }
}

/// Whether a line of the page is the row of a size; what does not fit on it
/// may stand up to `reach` lines above or below.
fn has_row(page: &str, row: &Row, reach: usize) -> bool {
    let (nominal, _, depth, least, most, hold) = row;
    let (least, most, hold) = (least.to_string(), most.to_string(), hold.to_string());
    let lines: Vec<Vec<&str>> = page
        .lines()
        .map(|line| {
            // The verify mark is text too, and stands close to its figure.
            let words = line.split_whitespace();
            words
                .map(|word| word.trim_end_matches('?'))
                .collect::<Vec<_>>()
        })
        .filter(|words| !words.is_empty())
        .collect();
    (0..lines.len()).any(|at| {
        let near = lines[at.saturating_sub(reach)..lines.len().min(at + reach + 1)].concat();
        // A card has the heating time beside the size.
        [*depth, least.as_str()]
            .iter()
            .all(|figure| lines[at].contains(figure))
            && near.contains(&hold.as_str())
            && near.contains(nominal)
            && near.contains(&most.as_str())
    })
}

/// Whether the words of a page hold the row of a size on the first page: size, system and
/// walls, heating, longest, hold, depth, diameter, with millimeters after each length.
fn has_row_of_times(page: &str, row: &Row) -> bool {
    let (nominal, diameter, depth, least, most, hold) = row;
    let words = page
        .split_whitespace()
        .map(|word| word.trim_end_matches('?'));
    let words: Vec<_> = words.filter(|word| !word.is_empty()).collect();
    let times = [least, most, hold].map(u32::to_string);
    (0..words.len()).any(|at| {
        let mut of_row = times.iter().map(String::as_str).chain([*depth]);
        of_row.all({
            let mut words = words[at..].iter();
            move |figure| words.next() == Some(&figure)
        }) && words[at..words.len().min(at + 7)].contains(diameter)
            && words[at.saturating_sub(5)..at].contains(nominal)
    })
}

#[test]
fn every_size_has_its_own_figures_on_procedure_and_card() {
    let papers = demos();
    for (folder, rows) in [
        (&papers.geothermal, GEOTHERMAL_ROWS),
        (&papers.gas, GAS_ROWS),
    ] {
        let first = &pages_text(&folder.join("procedure.pdf"))[0];
        let cards = pages_text(&folder.join("card.pdf"));
        for row in rows {
            let place = folder.display();
            assert!(has_row_of_times(first, row), "{row:?} {place}: {first}");
            // The larger figures of a card stand a hair lower than the others.
            let shown = cards.iter().any(|page| has_row(page, row, 1));
            assert!(shown, "{row:?} is not on a card of {place}");
        }
        // The diameters stand on the back: each with its size, or all in the order of the
        // table on the front.
        let (front, back) = (&cards[0], &cards[1]);
        let mut order: Vec<_> = rows.iter().collect();
        order.sort_by_key(|row| {
            let own = |line: &str| line.contains(row.2) && has_row(line, row, 0);
            front.lines().position(own)
        });
        let named = |row: &Row| squeezed(back).contains(&squeezed(&format!("{} {}", row.0, row.1)));
        let listed = order.iter().map(|row| row.1).collect::<Vec<_>>().join(" ");
        let in_order = back.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            in_order.contains(&listed) || rows.iter().all(named),
            "{listed}: {back}"
        );
    }
}

#[test]
fn status_is_on_every_page_of_every_paper() {
    for (pdf, spec) in all_papers() {
        for (i, page) in pages_text(&pdf).iter().enumerate() {
            let place = format!("page {} of {}: {page}", i + 1, pdf.display());
            let text = squeezed(page);
            assert_eq!(text.contains("DRAFT"), spec == GEOTHERMAL, "{place}");
            // The record reaches as far as the scope does.
            // A statement among the sources uses the word for what nobody may claim.
            let text = text.replace("Aprocedureisclaimed", "").to_lowercase();
            assert!(!text.contains("claimed"), "{place}");
        }
    }
    let gas = text_of(&demos().gas.join("procedure.pdf"));
    for said in [
        "Qualified:recordAF-PQ-07",
        "Effective2026-10-01;donotuseearlier",
    ] {
        assert!(gas.contains(said), "{said}");
    }
    let draft = text_of(&demos().geothermal.join("procedure.pdf"));
    assert!(draft.contains("Effective:notineffect") && !draft.contains("Qualified:"));
}

#[test]
fn federal_gas_rules_are_cited_for_gas_alone() {
    let gas = text_of(&demos().gas.join("procedure.pdf"));
    for rule in ["49CFR192.283", "49CFR192.285", "49CFR192.287"] {
        assert!(gas.contains(rule), "{rule}");
    }
    for paper in PAPERS {
        let text = text_of(&demos().geothermal.join(paper));
        for word in ["49CFR", "192.28", "peratorqualification"] {
            assert!(
                !text.contains(word),
                "{word} in {paper} of a spec that is not gas"
            );
        }
    }
}

#[test]
fn unconfirmed_figures_are_told_apart_in_the_text_too() {
    let text = text_of(&demos().geothermal.join("procedure.pdf"));
    assert!(text.contains("8?14?30?") && text.contains("Notconfirmed:check"));
    let text = text_of(&demos().geothermal.join("sources.pdf"));
    assert!(text.contains("recalled"), "no word for a recalled figure");
    assert!(text.contains("secondary") || text.contains("asreported"));
}

#[test]
fn a_withdrawn_procedure_prints_only_itself() {
    let folder = tempdir().unwrap();
    let text = read(GEOTHERMAL).replace("status: draft", "status: withdrawn");
    let papers = build_text(folder.path(), &text);
    assert_eq!(names_in(&papers), ["manifest.json", "procedure.pdf"]);
    for page in pages_text(&papers.join("procedure.pdf")) {
        assert!(page.contains("WITHDRAWN"), "{page}");
        assert!(!page.contains("DRAFT"), "{page}");
    }
}

#[test]
fn the_procedure_carries_its_spec() {
    for (folder, spec) in [(&demos().geothermal, GEOTHERMAL), (&demos().gas, GAS)] {
        let pdf = folder.join("procedure.pdf");
        let listed = tool("pdfdetach", &["-list".as_ref(), pdf.as_os_str()]);
        // The qualified demo names its confirmations too.
        let files = if spec == GAS { 2 } else { 1 };
        assert!(
            listed.contains(&format!("{files} embedded files")) && listed.contains("spec.yaml"),
            "{listed}"
        );
        let mut lines = listed.lines();
        let line = lines.find(|line| line.ends_with("spec.yaml")).unwrap();
        let number = line.split(':').next().unwrap().trim();
        let taken = tempdir().unwrap();
        let copy = taken.path().join("copy.yaml");
        let arguments = [
            "-save".as_ref(),
            number.as_ref(),
            "-o".as_ref(),
            copy.as_os_str(),
        ];
        let arguments: Vec<_> = arguments.into_iter().chain([pdf.as_os_str()]).collect();
        tool("pdfdetach", &arguments);
        assert_eq!(fs::read(copy).unwrap(), fs::read(path(spec)).unwrap());
    }
}

#[test]
fn every_paper_is_tagged_titled_bookmarked_and_says_its_language() {
    for (pdf, spec) in all_papers() {
        let document = Document::load(&pdf).unwrap();
        let catalog = document.catalog().unwrap();
        let name = pdf.display();
        let marked = catalog
            .get(b"MarkInfo")
            .and_then(|info| document.dereference(info))
            .and_then(|(_, info)| info.as_dict())
            .and_then(|info| info.get(b"Marked"))
            .and_then(Object::as_bool);
        assert!(marked.unwrap(), "{name}");
        assert!(catalog.has(b"StructTreeRoot"), "{name}");
        assert!(
            document.get_toc().is_ok_and(|toc| !toc.toc.is_empty()),
            "{name}"
        );
        let lang = catalog.get(b"Lang").and_then(Object::as_str).unwrap();
        assert!(lang.starts_with(b"en"), "{name}: {lang:?}");
        let info = tool("pdfinfo", &[&pdf]);
        let title = info
            .lines()
            .find(|line| line.starts_with("Title:"))
            .unwrap();
        let number = if spec == GAS { "AF-JP-12" } else { "HC-SF-104" };
        assert!(title.contains(number), "{name}: {title}");
        if pdf.ends_with("procedure.pdf") {
            assert!(catalog.has(b"Outlines"), "{name} has no bookmarks");
        }
    }
}

#[test]
fn every_font_is_embedded() {
    for (pdf, _) in all_papers() {
        let listed = tool("pdffonts", &[&pdf]);
        let mut fonts = listed.lines().skip(2).peekable();
        assert!(fonts.peek().is_some(), "{}: no fonts", pdf.display());
        for line in fonts {
            // … emb sub uni object ID
            let columns: Vec<&str> = line.split_whitespace().rev().collect();
            assert_eq!(
                (columns[4], columns[3]),
                ("yes", "yes"),
                "{}: {line}",
                pdf.display()
            );
            let known = line.contains("NotoSans") || line.contains("DejaVuSans");
            assert!(known, "{}: {line}", pdf.display());
        }
    }
}

#[test]
fn the_same_spec_gives_the_same_bytes_anywhere_on_any_day() {
    demos();
    // A time of day that got into a paper would now be another one.
    std::thread::sleep(std::time::Duration::from_millis(1100));
    let there = tempdir().unwrap();
    let out = there.path().join("out");
    let ran = run(coldring()
        .current_dir(there.path())
        .env("TZ", "Pacific/Kiritimati")
        .env("LANG", "tr_TR.UTF-8")
        .env("LC_ALL", "tr_TR.UTF-8")
        .env("RAYON_NUM_THREADS", "1")
        .args(["build", "--as-of", "2026-09-20", "--out"])
        .arg(&out)
        .args([path(GAS), path(GEOTHERMAL)]));
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    for (here, name) in [
        (&demos().geothermal, "HC-SF-104-r2"),
        (&demos().gas, "AF-JP-12-r2"),
    ] {
        for file in names_in(here) {
            let (a, b) = (
                fs::read(here.join(&file)),
                fs::read(out.join(name).join(&file)),
            );
            assert!(a.unwrap() == b.unwrap(), "{name}/{file} differs");
        }
    }
}

#[test]
fn the_digest_printed_follows_the_spec() {
    let folder = tempdir().unwrap();
    let text = gas_alone() + "# one more comment\n";
    let papers = build_text(folder.path(), &text);
    let digest = &sha256(text.as_bytes())[..16];
    for paper in PAPERS {
        assert!(text_of(&papers.join(paper)).contains(digest), "{paper}");
        let old = fs::read(demos().gas.join(paper)).unwrap();
        assert!(old != fs::read(papers.join(paper)).unwrap(), "{paper}");
    }
}

#[test]
fn what_a_user_writes_is_printed_as_written() {
    let title = r#"#eval("1+1") $x$ @a *b* _c_ \\ <d> [e] // f"#;
    let wait = "#panic() *manual* 4.6";
    let folder = tempdir().unwrap();
    let text = gas_alone()
        .replace(
            "title: Socket fusion of PE2708 gas service pipe and tubing",
            &format!("title: '{title}'"),
        )
        .replace("\"AFG O&M Manual 4.6\"", &format!("'{wait}'"));
    let papers = build_text(folder.path(), &text);
    let procedure = text_of(&papers.join("procedure.pdf"));
    assert!(procedure.contains(&squeezed(title)), "{procedure}");
    let sources = text_of(&papers.join("sources.pdf"));
    assert!(sources.contains(&squeezed(wait)), "{sources}");
    for paper in PAPERS {
        let info = tool("pdfinfo", &[papers.join(paper)]);
        assert!(info.contains(title), "{paper}: {info}");
    }
}

#[test]
fn a_build_for_today_is_the_build_for_a_stated_day() {
    // The clock is read only where no day is given.
    let folder = tempdir().unwrap();
    let ran = run(coldring()
        .args(["build", GAS, "--only", "depth-marks", "--out"])
        .arg(folder.path()));
    assert_eq!(ran.code, Some(0), "{} (stated day: {AS_OF})", ran.err);
    let made = fs::read(folder.path().join("AF-JP-12-r2/depth-marks.pdf")).unwrap();
    assert!(made == fs::read(demos().gas.join("depth-marks.pdf")).unwrap());
}

/// Every figure that the papers of the qualified demo print was read in an edition, or is the
/// organization's own; those of the draft were not, and it shows both.
#[test]
fn only_figures_that_nobody_confirmed_are_marked() {
    let crew = ["card.pdf", "depth-marks.pdf", "lid.pdf", "procedure.pdf"];
    let is_mark = |word: &str| {
        let number = word.strip_suffix('?').unwrap_or("x");
        number
            .chars()
            .all(|c| c.is_ascii_digit() || ".-".contains(c))
    };
    for (folder, marked) in [(&demos().gas, false), (&demos().geothermal, true)] {
        for paper in crew {
            let text = pages_text(&folder.join(paper)).concat();
            let marks = text.split_whitespace().filter(|word| is_mark(word)).count();
            let legend = text.to_lowercase().contains("not confirmed");
            if !marked {
                assert_eq!((marks, legend), (0, false), "{paper}: {text}");
            } else if paper != "depth-marks.pdf" {
                assert!(marks > 0 && legend, "{paper}: {text}");
            }
        }
    }
}
