//! The procedure and its sources are written to PDF/A-3a and PDF/UA-1, read from its objects;
//! `tests/archival/check` asks checkers from outside. Nothing here validates.

use std::collections::BTreeMap;

use lopdf::{Dictionary, Document, Object};

use super::support::*;

/// The demo procedures and their sources.
fn procedures() -> [Document; 4] {
    let demos = demos();
    [
        (&demos.geothermal, "procedure.pdf"),
        (&demos.geothermal, "sources.pdf"),
        (&demos.gas, "procedure.pdf"),
        (&demos.gas, "sources.pdf"),
    ]
    .map(|(folder, paper)| Document::load(folder.join(paper)).unwrap())
}

fn text(object: &Object) -> String {
    lopdf::decode_text_string(object).unwrap()
}

fn name(dictionary: &Dictionary, key: &[u8]) -> Option<String> {
    let name = dictionary.get(key).ok()?.as_name().ok()?;
    Some(String::from_utf8_lossy(name).into_owned())
}

/// What an entry leads to, through references.
fn entry<'a>(document: &'a Document, dictionary: &'a Dictionary, key: &[u8]) -> &'a Object {
    document
        .dereference(dictionary.get(key).unwrap())
        .unwrap()
        .1
}

/// The structure elements, by their type.
fn elements(document: &Document) -> BTreeMap<String, Vec<&Dictionary>> {
    let mut elements = BTreeMap::<_, Vec<_>>::new();
    for object in document.objects.values() {
        if let Ok(element) = object.as_dict()
            && element.has(b"P")
            && let Some(kind) = name(element, b"S")
        {
            elements.entry(kind).or_default().push(element);
        }
    }
    elements
}

#[test]
fn the_procedure_names_the_standards_it_is_written_to() {
    for document in procedures() {
        let catalog = document.catalog().unwrap();
        let metadata = entry(&document, catalog, b"Metadata").as_stream().unwrap();
        let xmp = String::from_utf8(metadata.get_plain_content().unwrap()).unwrap();
        for said in [
            "<pdfaid:part>3</pdfaid:part>",
            "<pdfaid:conformance>A</pdfaid:conformance>",
            "<pdfuaid:part>1</pdfuaid:part>",
        ] {
            assert!(xmp.contains(said), "{said} is not in {xmp}");
        }
        let shown = entry(&document, catalog, b"ViewerPreferences");
        let title = shown.as_dict().unwrap().get(b"DisplayDocTitle").unwrap();
        assert!(title.as_bool().unwrap());
    }
    // The other papers claim nothing.
    for paper in ["card.pdf", "depth-marks.pdf"] {
        let bytes = std::fs::read(demos().gas.join(paper)).unwrap();
        assert!(bytes.starts_with(b"%PDF-1.7"), "{paper}");
        for claim in ["pdfaid", "pdfuaid"] {
            assert!(
                !bytes.windows(claim.len()).any(|at| at == claim.as_bytes()),
                "{paper}: {claim}"
            );
        }
    }
}

#[test]
fn every_paper_says_what_it_is_in_its_properties() {
    for paper in PAPERS {
        let document = Document::load(demos().geothermal.join(paper)).unwrap();
        let info = document.trailer.get(b"Info").unwrap();
        let info = document.dereference(info).unwrap().1.as_dict().unwrap();
        let of = |key: &[u8]| text(info.get(key).unwrap());
        assert_eq!(of(b"Author"), "Hollow Creek District Energy", "{paper}");
        let (subject, keywords) = (of(b"Subject"), of(b"Keywords"));
        assert!(subject.contains("2026-11-02. DRAFT"), "{paper}: {subject}");
        let begin = "HC-SF-104, Revision 2, Spec ";
        assert!(keywords.starts_with(begin), "{paper}: {keywords}");
        let catalog = document.catalog().unwrap();
        assert!(catalog.has(b"PageLabels"), "{paper}");
    }
}

#[test]
fn every_page_is_labeled_with_the_number_it_prints() {
    for document in procedures() {
        let labels = entry(&document, document.catalog().unwrap(), b"PageLabels");
        let ranges = entry(&document, labels.as_dict().unwrap(), b"Nums")
            .as_array()
            .unwrap();
        assert_eq!(ranges.len(), 2 * document.get_pages().len());
        for (page, range) in (0..).zip(ranges.chunks(2)) {
            assert_eq!(range[0].as_i64().unwrap(), page);
            // Decimal, and nothing before the number.
            let label = document.dereference(&range[1]).unwrap().1;
            let label = label.as_dict().unwrap();
            assert_eq!(name(label, b"S").as_deref(), Some("D"));
            let number = label.get(b"St").and_then(Object::as_i64).unwrap_or(1);
            assert_eq!(number, page + 1);
            assert!(!label.has(b"P"));
        }
    }
}

#[test]
fn the_attached_spec_is_the_source_of_the_document() {
    for document in procedures() {
        let files = entry(&document, document.catalog().unwrap(), b"AF")
            .as_array()
            .unwrap();
        // The qualified demo has its confirmations beside its spec.
        assert!((1..=2).contains(&files.len()));
        let described = files.iter().map(|file| {
            let file = document.dereference(file).unwrap().1.as_dict().unwrap();
            assert_eq!(name(file, b"AFRelationship").as_deref(), Some("Source"));
            text(file.get(b"Desc").unwrap())
        });
        let specs = described.filter(|about| about.contains(", Spec "));
        assert!(specs.count() >= 1);
    }
}

#[test]
fn headings_table_heads_and_figures_are_tagged_as_such() {
    for (document, fewest) in procedures().iter().zip([11, 5, 11, 6]) {
        let elements = elements(document);
        let of = |kind: &str| elements.get(kind).map_or(&[][..], Vec::as_slice);
        // A bookmark for every heading of the first level, and none below the second.
        let marks = document.get_toc().unwrap().toc.len();
        assert!(marks >= fewest, "{marks}");
        assert_eq!(of("H1").len(), marks);
        assert!(of("H3").is_empty());
        assert!(!of("Table").is_empty());
        for head in of("TH") {
            let attributes = format!(
                "{:?}",
                document.dereference(head.get(b"A").unwrap()).unwrap().1
            );
            assert!(
                attributes.contains("Scope") && attributes.contains("Column"),
                "{attributes}"
            );
        }
        assert!(!of("Figure").is_empty());
        for figure in of("Figure") {
            assert!(text(figure.get(b"Alt").unwrap()).len() > 20);
        }
        // Dash, box and number of an item are read aloud.
        for label in of("Lbl") {
            assert!(label.has(b"K"));
        }
    }
}
