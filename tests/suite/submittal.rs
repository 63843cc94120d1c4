//! Submittals: what the demo's says, where its pages stand, and that every page
//! it places is there, whole and where the contents say. Read back by pdftotext,
//! qpdf and lopdf, never by what made it.

mod bombs;
mod damage;
mod findings;
mod pages;

use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use tempfile::TempDir;

use crate::support::{AS_OF, Run, coldring, demos, pages_text, path, read, run, squeezed, tool};

/// The demo's submittal.
const DEMO: &str = "specs/submittal/AF-S-031.yaml";

/// A word on a page, in points from the top left.
#[derive(Debug, Clone)]
struct Word {
    text: String,
    left: f64,
    top: f64,
    right: f64,
    bottom: f64,
}

/// A page as pdftotext reads it.
#[derive(Debug, Clone)]
struct Read {
    width: f64,
    height: f64,
    words: Vec<Word>,
}

/// The words of every page.
fn words(pdf: &Path) -> Vec<Read> {
    let text = tool(
        "pdftotext",
        &[
            "-cropbox".as_ref(),
            "-bbox".as_ref(),
            pdf.as_os_str(),
            "-".as_ref(),
        ],
    );
    let number = |line: &str, name: &str| -> f64 {
        let rest = line.split_once(&format!(" {name}=\"")).unwrap().1;
        rest.split_once('"').unwrap().0.parse().unwrap()
    };
    let mut pages: Vec<Read> = Vec::new();
    for line in text.lines() {
        if line.contains("<page ") {
            pages.push(Read {
                width: number(line, "width"),
                height: number(line, "height"),
                words: Vec::new(),
            });
        } else if line.contains("<word ") {
            let text = line.split_once('>').unwrap().1.split_once('<').unwrap().0;
            pages.last_mut().unwrap().words.push(Word {
                text: text.to_owned(),
                left: number(line, "xMin"),
                top: number(line, "yMin"),
                right: number(line, "xMax"),
                bottom: number(line, "yMax"),
            });
        }
    }
    pages
}

fn points(millimeters: f64) -> f64 {
    millimeters * 72.0 / 25.4
}

/// The demo's submittal, made once.
fn demo() -> &'static Path {
    static PDF: LazyLock<PathBuf> = LazyLock::new(|| {
        let out = Path::new(env!("CARGO_TARGET_TMPDIR")).join("submittal");
        let ran = make(&path(DEMO), &out);
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        out.join("AF-S-031-r0-submittal/submittal.pdf")
    });
    &PDF
}

fn make(file: &Path, out: &Path) -> Run {
    run(coldring().arg("submittal").arg(file).arg("--out").arg(out))
}

/// A folder with the gas demo, its record and people, and a submittal below it.
struct Job {
    folder: TempDir,
}

/// A submittal of nothing yet.
const HEAD: &str = "\
coldring-submittal: 1
number: T-1
revision: 0
date: 2026-11-25
title: A submittal
project: A project
section: Section 7
submitted_by: {name: One}
submitted_to: {name: Other}
";

impl Job {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let job = Self { folder };
        for name in [
            "alder-fork-gas.yaml",
            "hollow-creek-geothermal.yaml",
            "confirmations/AF-EC-2.yaml",
            "records/AF-PQ-07.yaml",
            "people/fusers.yaml",
            "people/fusers.csv",
            "submittal/attachments/pipe-certificate.pdf",
            "submittal/attachments/fitting-sheet.pdf",
        ] {
            let bytes = std::fs::read(path("specs").join(name)).unwrap();
            job.put(&name.replace("submittal/attachments", "sub"), &bytes);
        }
        job
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn put(&self, name: &str, bytes: impl AsRef<[u8]>) {
        let path = self.path(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, bytes).unwrap();
    }

    /// Makes a submittal whose file ends so.
    fn make(&self, rest: &str) -> Run {
        self.put("sub/s.yaml", format!("{HEAD}{rest}"));
        make(&self.path("sub/s.yaml"), &self.path("out"))
    }

    /// Makes one and returns the PDF.
    fn made(&self, rest: &str) -> PathBuf {
        let ran = self.make(rest);
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        self.path("out/T-1-r0-submittal/submittal.pdf")
    }
}

#[test]
fn the_contents_and_the_bookmarks_name_the_pages() {
    let texts = pages_text(demo());
    let contents = texts
        .iter()
        .position(|page| page.contains("Contents"))
        .unwrap();
    let document = lopdf::Document::load(demo()).unwrap();
    let bookmarks = document.get_toc().unwrap().toc;
    // A line of the contents ends in the page; the words before it begin that page.
    let page_of = |words: &str| -> usize {
        let line = texts[contents].lines().find(|line| line.contains(words));
        let line = line.unwrap_or_else(|| panic!("{words}: {}", texts[contents]));
        line.split_whitespace()
            .next_back()
            .unwrap()
            .parse()
            .unwrap()
    };
    for (item, bookmark, on_page) in [
        (
            "Procedure AF-JP-12, revision 2",
            "Item 1: Procedure AF-JP-12, revision 2",
            "Sign-off",
        ),
        (
            "Sources and open points of AF-JP-12",
            "Item 2: Sources and open points of AF-JP-12, revision 2",
            "Where every number of the procedure comes from",
        ),
        (
            "Qualification record AF-PQ-07",
            "Item 3: Qualification record AF-PQ-07, 2026-08-28",
            "How each joint was made",
        ),
        (
            "Fusers as of 2026-11-25",
            "Item 4: Fusers as of 2026-11-25",
            "Valid until",
        ),
        (
            "Material certificate",
            "Item 5: Material certificate, pipe lots BC-26E-11 to BC-26J-11",
            "Certificate BC-C-118, page 1",
        ),
        (
            "sheet of the socket",
            "Item 6: Maker's sheet of the socket fittings",
            "Ledgerock Fittings",
        ),
    ] {
        let page = page_of(item);
        assert!(
            texts[page - 1].contains(on_page),
            "{item} on {page}: {}",
            texts[page - 1]
        );
        // First there: on no earlier page behind the contents.
        let first = texts
            .iter()
            .skip(contents + 1)
            .position(|text| text.contains(on_page));
        assert_eq!(first, Some(page - 2 - contents), "{item}");
        let marked = bookmarks.iter().find(|b| b.title == bookmark);
        assert_eq!(marked.map(|b| b.page), Some(page), "{bookmark}");
    }
    // A heading of an enclosed paper is a bookmark too.
    let heading = "Where sources disagree";
    let marked = bookmarks.iter().find(|b| b.title == heading).unwrap();
    assert!(texts[marked.page - 1].contains(heading), "{}", marked.page);
}

#[test]
fn every_page_has_the_footer_and_its_label() {
    let texts = pages_text(demo());
    let count = texts.len();
    for (index, text) in texts.iter().enumerate() {
        let line = text.lines().rfind(|line| !line.trim().is_empty()).unwrap();
        let wanted = format!("Page {} of {count}", index + 1);
        assert!(
            line.contains("AF-S-031") && line.ends_with(&wanted),
            "{wanted}: {line}"
        );
    }
    let document = lopdf::Document::load(demo()).unwrap();
    assert!(document.catalog().unwrap().has(b"PageLabels"));
    let said = tool("qpdf", &["--check".as_ref(), demo().as_os_str()]);
    assert!(
        said.contains("No syntax or stream encoding errors"),
        "{said}"
    );
}

#[test]
fn the_cover_says_what_it_is_and_what_it_is_not() {
    let cover = squeezed(&pages_text(demo())[0]);
    for said in [
        "AF-S-031",
        "Mill Lane service renewal, phase 2",
        "MLS-26-04",
        "Project specification 7.3, Joining of plastic pipe",
        "Alder Fork Gas",
        "Tarn Bridge Engineers",
        "2026-11-25",
        "Contractor’s review",
        "Engineer’s review",
        "Nothing in it is an approval or claims compliance.",
    ] {
        assert!(cover.contains(&squeezed(said)), "{said}: {cover}");
    }
}

#[test]
fn procedure_and_sources_are_those_that_are_built_alone() {
    let alone = ["procedure.pdf", "sources.pdf"];
    let alone = alone.map(|name| std::fs::read(demos().gas.join(name)).unwrap());
    let document = lopdf::Document::load(demo()).unwrap();
    let attached = document
        .objects
        .values()
        .filter_map(|object| object.as_stream().ok());
    let attached: Vec<Vec<u8>> = attached
        .filter(|stream| stream.dict.has_type(b"EmbeddedFile"))
        .map(|stream| {
            stream
                .decompressed_content()
                .unwrap_or_else(|_| stream.content.clone())
        })
        .collect();
    assert_eq!(attached.len(), alone.len());
    assert!(alone.iter().all(|file| attached.contains(file)));
}

#[test]
fn the_same_files_give_the_same_bytes() {
    let folder = tempfile::tempdir().unwrap();
    let once = std::fs::read(demo()).unwrap();
    let again = run(coldring()
        .args(["submittal", "--as-of", AS_OF, DEMO, "--out"])
        .arg(folder.path()));
    assert_eq!(again.code, Some(0), "{}", again.err);
    let again = folder.path().join("AF-S-031-r0-submittal/submittal.pdf");
    // The day given is that of the submittal, so it changes nothing either.
    assert!(std::fs::read(again).unwrap() == once);
}

#[test]
fn people_are_named_in_records_and_the_list_of_fusers_alone() {
    let roster = read("specs/people/fusers.yaml");
    let names: Vec<&str> = roster
        .lines()
        .filter_map(|line| line.trim().strip_prefix("- name: "))
        .collect();
    assert_eq!(names.len(), 12);
    let mut seen = 0;
    for text in pages_text(demo()) {
        let footer = text.lines().rfind(|line| !line.trim().is_empty()).unwrap();
        let may = footer.contains("Qualification record") || footer.contains("Fusers as of");
        for name in &names {
            assert!(may || !text.contains(name), "{name}: {footer}");
            seen += usize::from(may && text.contains(name));
        }
    }
    assert!(seen >= 5, "{seen}");
    let folder = tempfile::tempdir().unwrap();
    let ran = make(&path(DEMO), folder.path());
    let names_in = |text: &str| names.iter().any(|name| text.contains(name));
    assert!(
        ran.err.contains("AF-007") && !names_in(&ran.err),
        "{}",
        ran.err
    );
    let made: Vec<_> = std::fs::read_dir(folder.path().join("AF-S-031-r0-submittal"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name())
        .collect();
    assert_eq!(made, ["submittal.pdf"]);
}

#[test]
fn the_list_of_fusers_says_who_is_not_qualified() {
    let texts = pages_text(demo());
    let list = texts
        .iter()
        .find(|text| text.contains("Valid until"))
        .unwrap();
    let row = |name: &str| list.lines().find(|line| line.contains(name)).unwrap();
    // The days are those of the issue: 15 calendar months, the end of the next
    // year, and the last day of a shorter month (49 CFR 192.285(c)).
    for (name, until, state) in [
        ("Marta Quill", "2027-06-10", "Qualified"),
        ("Tomás Wrenfield", "2026-12-31", "Qualified"),
        ("Ada Fennimore", "2026-04-30", "Lapsed"),
    ] {
        assert!(
            row(name).contains(until) && row(name).contains(state),
            "{}",
            row(name)
        );
    }
    // Whoever was not named is not listed.
    assert!(!list.contains("Jonas Birchall"), "{list}");
}

#[test]
fn both_languages_and_both_papers() {
    let job = Job::new();
    let pdf = job.made(
        "language: es\npaper: a4\nprocedures: [{spec: ../hollow-creek-geothermal.yaml}]\n\
         fusers: {roster: ../people/fusers.csv, rules: [HC-SF-104=six-months-without-use, us-gas]}\n",
    );
    let texts = pages_text(&pdf);
    assert!(texts[0].contains("Entrega para revisión") && texts[1].contains("BORRADOR"));
    let pages = words(&pdf);
    // A4 is 210 by 297 mm (ISO 216).
    for page in &pages {
        assert!(
            (page.width - points(210.0)).abs() < 0.5 && (page.height - points(297.0)).abs() < 0.5
        );
    }
}

/// What of a procedure is enclosed: by default its sources go along.
#[test]
fn a_submittal_encloses_procedure_sources_or_both() {
    let job = Job::new();
    let of = |papers: &str| {
        let pdf = job.made(&format!(
            "procedures: [{{spec: ../hollow-creek-geothermal.yaml{papers}}}]\n"
        ));
        let contents = squeezed(&pages_text(&pdf)[1]);
        [
            "Procedure HC-SF-104, revision 2",
            "Sources and open points of HC-SF-104, revision 2",
        ]
        .map(|name| contents.contains(&squeezed(name)))
    };
    assert_eq!(of(""), [true, true]);
    assert_eq!(of(", papers: both"), [true, true]);
    assert_eq!(of(", papers: procedure"), [true, false]);
    assert_eq!(of(", papers: sources"), [false, true]);
}

#[test]
fn text_of_the_file_is_never_markup() {
    let job = Job::new();
    let evil = "#strong[x] *y* $z$ @item-1 <a>";
    let pdf = job.made(&format!(
        "remarks: \"{evil}\"\nattachments: [{{file: fitting-sheet.pdf, title: \"{evil}\"}}]\n"
    ));
    let texts = pages_text(&pdf);
    assert!(texts[0].matches(evil).count() == 2, "{}", texts[0]);
    assert!(texts.last().unwrap().contains(evil));
}
