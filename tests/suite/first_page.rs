//! The first page of the procedure as it is printed: every limit of the spec, contents
//! that name the pages, and that whatever a user writes goes on below and is never lost.

use std::path::Path;

use lopdf::Document;
use tempfile::tempdir;

use crate::support::{GEOTHERMAL, build_text, demos, pages_text, read, squeezed, tool};

fn page(pdf: &Path, number: usize) -> String {
    pages_text(pdf)[number - 1].replace('\u{a0}', " ")
}

/// The words in a part of a page, in points from its top left.
fn part(pdf: &Path, [x, y, width, height]: [&str; 4]) -> String {
    let asked = [
        "-layout", "-f", "1", "-l", "1", "-x", x, "-y", y, "-W", width, "-H", height,
    ];
    let mut asked: Vec<_> = asked.iter().map(AsRef::as_ref).collect();
    asked.extend([pdf.as_os_str(), "-".as_ref()]);
    tool("pdftotext", &asked)
}

/// The headings of a paper with their pages, as its bookmarks have them.
fn headings(pdf: &Path) -> Vec<(String, usize)> {
    let toc = Document::load(pdf).unwrap().get_toc().unwrap().toc;
    toc.into_iter()
        .map(|mark| (mark.title, mark.page))
        .collect()
}

#[test]
fn contents_name_the_pages_that_sections_start_on() {
    for folder in [&demos().geothermal, &demos().gas] {
        let pdf = folder.join("procedure.pdf");
        let contents = part(&pdf, ["48", "400", "256", "360"]);
        let contents = squeezed(&contents).replace('.', "");
        let mut headings = headings(&pdf);
        headings.retain(|(title, _)| title != "Contents" && title != "Revisions");
        assert!(headings.len() > 5, "{headings:?}");
        let mut last = 0;
        for group in headings.chunk_by(|a, b| a.1 == b.1) {
            let titles: Vec<_> = group.iter().map(|(title, _)| title.as_str()).collect();
            let line = squeezed(&format!("{}{}", titles.join(","), group[0].1));
            let at = contents.find(&line);
            let at = at.unwrap_or_else(|| panic!("{line} is not in {contents}"));
            assert!(at >= last, "{line}: {contents}");
            last = at;
        }
        // And the page has the heading.
        for (title, on) in &headings {
            assert!(
                squeezed(&page(&pdf, *on)).contains(&squeezed(title)),
                "{title}"
            );
        }
    }
}

#[test]
fn sections_start_after_the_first_page() {
    for folder in [&demos().geothermal, &demos().gas] {
        let pdf = folder.join("procedure.pdf");
        let first = ["Times", "Sign-off", "Contents", "Revisions"];
        for (title, on) in headings(&pdf) {
            assert_eq!(on == 1, first.contains(&title.as_str()), "{title} on {on}");
        }
        let limit = "not listed on this page needs a procedure of its own.";
        assert!(page(&pdf, 1).contains(limit), "{}", page(&pdf, 1));
    }
}

/// What is too much for the page is the list of revisions, not what governs.
#[test]
fn a_long_list_of_revisions_goes_on_overleaf() {
    let folder = tempdir().unwrap();
    let first = "    - {revision: 1, date: 2025-09-15, change: First issue}\n";
    let text = read(GEOTHERMAL);
    assert!(text.contains(first));
    let change = "A change that is told at some length, with what it asks of the crews";
    let many: String = (1..=20)
        .map(|n| format!("    - {{revision: {n}, date: 2025-09-{n:02}, change: \"{change}\"}}\n"))
        .collect();
    let text = text
        .replace(first, &many)
        .replace("{revision: 2, date: 2026", "{revision: 21, date: 2026");
    let papers = build_text(folder.path(), &text);
    let pdf = papers.join("procedure.pdf");
    let limit = "not listed on this page needs a procedure of its own.";
    assert!(page(&pdf, 1).contains(limit), "{}", page(&pdf, 1));
    assert!(page(&pdf, 1).contains("Contents"));
    assert!(page(&pdf, 2).contains("2025-09-20"), "{}", page(&pdf, 2));
}

/// Every limit of the demo, as its spec or the tables that were read have it.
#[test]
fn every_limit_of_the_spec_is_on_the_first_page_in_both_languages() {
    let folder = tempdir().unwrap();
    let both = read(GEOTHERMAL).replace("documents:\n", "documents:\n  languages: [en, es]\n");
    let papers = build_text(folder.path(), &both);
    let words = |pdf: &str| squeezed(&page(&papers.join(pdf), 1));
    let (english, spanish) = (words("procedure.pdf"), words("procedure-es.pdf"));
    let limits = [
        "HC-SF-104",
        "2026-11-02",
        "PE4710",
        "3/4,1,1-1/4,1-1/2,2IPS",
        "DR9,DR11",
        "500°F",
        "40°F",
        "3/48?14?30?0.64",
        "1.050",
        "115173",
        "1-1/4182160",
        "1-1/2202360",
        "2242860",
        "5min",
        "30min",
        "16.26",
        "23.88",
    ];
    // Each language writes the inch as its table heads do.
    assert!(english.contains("0.075in.(1.91mm)"), "{english}");
    assert!(spanish.contains("0.075in(1.91mm)"), "{spanish}");
    for limit in limits {
        assert!(english.contains(limit), "{limit}: {english}");
        assert!(spanish.contains(limit), "{limit}: {spanish}");
    }
    for (said, dicho) in [
        ("Ground-sourceloops", "Circuitosgeotérmicos"),
        ("490to510°F", "490a510°F"),
        ("20to110°F", "20a110°F"),
        ("spigotend", "conexiónconespiga"),
        ("OFFHEATERTOJOINED3sMAX", "DELCALENTADORAUNIDO3sMÁX."),
        ("DRAFT", "BORRADOR"),
        ("Effective:notineffect", "Vigencia:aúnnoestávigente"),
    ] {
        assert!(english.contains(said), "{said}: {english}");
        assert!(spanish.contains(dicho), "{dicho}: {spanish}");
    }
}

/// Texts as long as they may be: what does not fit goes on, and nothing is lost.
#[test]
fn long_texts_go_on_below() {
    let folder = tempdir().unwrap();
    let title = "Socket fusion of service pipe and of tubing in every yard of the north ".repeat(3);
    let change = "Says once more what each crew was told before ".repeat(4);
    let revisions: String = (1..=14)
        .map(|n| format!("    - {{revision: {n}, date: 2025-02-{n:02}, change: {change}{n}}}\n"))
        .collect();
    let spec = read(GEOTHERMAL);
    let start = spec.find("    - {revision: 1").unwrap();
    let end = spec.find("\nreferences").unwrap();
    let own_title = spec
        .lines()
        .find(|line| line.starts_with("  title:"))
        .unwrap();
    let spec = format!("{}{revisions}{}", &spec[..start], &spec[end..])
        .replace(own_title, &format!("  title: {}", title.trim_end()));
    let pdf = build_text(folder.path(), &spec).join("procedure.pdf");
    let all = squeezed(&pages_text(&pdf).concat());
    assert!(all.contains(&squeezed(&title)), "{all}");
    for n in 1..=14 {
        assert!(all.contains(&squeezed(&format!("2025-02-{n:02}"))), "{n}");
    }
    assert!(all.contains("needsaprocedureofitsown."));
    // The sections still start on a page of their own.
    let after = headings(&pdf).into_iter().find(|(title, _)| {
        !["Times", "Sign-off", "Contents", "Revisions"].contains(&title.as_str())
    });
    let (_, on) = after.unwrap();
    let governs = pages_text(&pdf)
        .iter()
        .position(|page| page.contains("needs a procedure of its own"))
        .unwrap();
    assert!(on > governs + 1, "{on} {governs}");
}
