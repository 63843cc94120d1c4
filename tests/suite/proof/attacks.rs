//! What somebody may do to a paper that is signed, and what is then said.

use std::fs;

use coldring::core::source::{Source, Sources};
use coldring::papers::compile::{Options, PaperKind, compile};
use coldring::proof::Seal;
use lopdf::{Dictionary, Document, Object, Stream, dictionary};
use tempfile::{TempDir, tempdir};

use super::*;

const GENUINE: (&str, &str) = ("signature", "proven");
const DRAFT: (&str, &str) = ("status", "proven");

/// A changed copy of a signed paper.
fn changed(folder: &TempDir, name: &str, change: impl FnOnce(&mut Document)) -> String {
    let mut document = Document::load(paper(name)).unwrap();
    change(&mut document);
    let copy = folder.path().join("changed.pdf");
    document.save(&copy).unwrap();
    copy.to_str().unwrap().to_owned()
}

/// The stream of the attached spec.
fn attached_spec(document: &mut Document) -> &mut Stream {
    let spec = read(GEOTHERMAL);
    let mut streams = document.objects.values_mut();
    let found = streams.find_map(|object| {
        let stream = object.as_stream_mut().ok()?;
        let content = stream.decompressed_content().ok();
        let content = content.unwrap_or_else(|| stream.content.clone());
        (content == spec.as_bytes()).then_some(stream)
    });
    found.unwrap()
}

#[test]
fn a_page_that_was_changed_or_resized_is_not_proven() {
    let folder = tempdir().unwrap();
    let wanted = [GENUINE, ("spec", "proven"), ("pages", "missing")];
    let drawn_on = changed(&folder, "AF-JP-12-r2/depth-marks.pdf", |document| {
        let page = document.page_iter().nth(1).unwrap();
        document
            .add_page_contents(page, b"q 0 0 30 30 re f Q".to_vec())
            .unwrap();
    });
    expect(&[&drawn_on, "--spec", GAS], 1, &wanted);
    let resized = changed(&folder, "AF-JP-12-r2/depth-marks.pdf", |document| {
        for page in document.get_pages().into_values() {
            let page = document.get_dictionary_mut(page).unwrap();
            page.set("MediaBox", vec![0.into(), 0.into(), 900.into(), 700.into()]);
        }
    });
    expect(&[&resized, "--spec", GAS], 1, &wanted);
}

/// A bar over a number of a page, and the spec of an earlier revision.
#[test]
fn sources_and_lid_sheet_are_held_to_their_spec() {
    let folder = tempdir().unwrap();
    for file in ["AF-JP-12-r2/sources.pdf", "AF-JP-12-r2/lid.pdf"] {
        let drawn_on = changed(&folder, file, |document| {
            let page = document.page_iter().next().unwrap();
            let bar = b"q 100 100 30 30 re f Q".to_vec();
            document.add_page_contents(page, bar).unwrap();
        });
        let wanted = [GENUINE, ("spec", "proven"), ("pages", "missing")];
        expect(&[&drawn_on, "--spec", GAS], 1, &wanted);
        let earlier = "specs/earlier/alder-fork-gas-r1.yaml";
        let wanted = [GENUINE, ("spec", "FALSE"), ("pages", "missing")];
        expect(&[&paper(file), "--spec", earlier], 1, &wanted);
    }
}

#[test]
fn a_spec_that_was_swapped_is_found() {
    let folder = tempdir().unwrap();
    let swapped = changed(&folder, "HC-SF-104-r2/procedure.pdf", |document| {
        let text = read(GEOTHERMAL).replace("DG-1", "DG-9");
        assert_ne!(text, read(GEOTHERMAL));
        attached_spec(document).set_plain_content(text.into_bytes());
    });
    expect(
        &[&swapped],
        1,
        &[GENUINE, DRAFT, ("spec", "FALSE"), ("pages", "missing")],
    );
}

#[test]
fn an_attached_file_that_readers_would_show_differently_is_refused() {
    let folder = tempdir().unwrap();
    let double = changed(&folder, "HC-SF-104-r2/procedure.pdf", |document| {
        let other = Stream::new(Dictionary::new(), b"number: X".to_vec());
        let other = document.add_object(other);
        let mut files = document
            .objects
            .values_mut()
            .filter_map(|o| o.as_dict_mut().ok());
        let file = files.find(|d| d.has(b"EF")).unwrap();
        let streams = file.get_mut(b"EF").unwrap().as_dict_mut().unwrap();
        streams.set("UF", Object::Reference(other));
    });
    let ran = verify(&[&double]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.err.contains("two contents"), "{}", ran.err);
}

/// A paper of a text with the code of another paper on it.
fn forged(folder: &TempDir, text: &str, code: String) -> String {
    let options = Options {
        papers: vec![PaperKind::Card],
        seal: Some(Seal::Read(code)),
        ..Options::default()
    };
    let sources = Sources::from(Source::new("forged.yaml", text));
    let mut made = compile(&sources, &options, as_of()).unwrap();
    file(folder, "forged.pdf", made.papers.remove(0).bytes)
}

#[test]
fn a_code_moved_to_another_paper_proves_nothing_of_its_pages() {
    let folder = tempdir().unwrap();
    let code = code_on(&paper("AF-JP-12-r2/card.pdf"), "2");
    let moved = forged(&folder, &read(GEOTHERMAL), code);
    expect(
        &[&moved, "--spec", GAS],
        1,
        &[GENUINE, ("spec", "proven"), ("pages", "missing")],
    );
    // With the spec that the forger hands over, the code is still another's, and
    // that spec proves nothing of its pages.
    expect(
        &[&moved, "--spec", GEOTHERMAL],
        1,
        &[GENUINE, ("spec", "unchecked"), ("pages", "missing")],
    );
}

#[test]
fn a_draft_does_not_pass_for_qualified() {
    let folder = tempdir().unwrap();
    let code = code_on(&paper("HC-SF-104-r2/card.pdf"), "2");
    let lifted = gas_alone().replace("AF-JP-12", "HC-SF-104");
    let forged = forged(&folder, &lifted, code);
    let answer = expect(
        &[&forged, "--spec", GEOTHERMAL],
        1,
        &[GENUINE, DRAFT, ("spec", "proven"), ("pages", "missing")],
    );
    assert_eq!(
        answer["codes"][0]["says"]["procedures"][0]["status"],
        "draft"
    );
}

#[test]
fn other_keys_and_other_texts_prove_nothing() {
    let folder = tempdir().unwrap();
    let text = code_on(&paper("AF-JP-12-r2/card.pdf"), "2");
    let other = run(coldring()
        .args(["keys", "other", "--out"])
        .arg(folder.path()));
    assert_eq!(other.code, Some(0));
    let other = folder.path().join("other.public.pem");
    let other = other.to_str().unwrap();
    let ran = run(coldring().args(["verify", "--text", &text, "--trust", other]));
    assert_eq!(ran.code, Some(1), "{}", ran.err);
    assert!(ran.out.contains("none of those you trust"), "{}", ran.out);
    // Trusting one more key is no harm.
    let both = verify(&["--text", &text, "--trust", other]);
    assert_eq!(both.code, Some(0), "{}{}", both.out, both.err);
    for (old, new, said) in [
        ("/2/QUALIFIED/", "/3/QUALIFIED/", "did not sign"),
        ("/CARD/", "/MARKS/", "did not sign"),
        ("/CARD//", "/CARD/AF-014/", "did not sign"),
        ("COLDRING/1/", "COLDRING/2/", "version"),
        ("/QUALIFIED/", "/", "cannot be read"),
        ("COLDRING/1/", "", "not a signed text"),
    ] {
        let forged = text.replacen(old, new, 1);
        let ran = verify(&["--text", &forged]);
        assert_eq!(ran.code, Some(1), "{forged}: {}", ran.err);
        assert!(ran.out.contains(said), "{forged}: {}", ran.out);
        assert!(!ran.out.contains("  proven"), "{forged}: {}", ran.out);
    }
    let steering = verify(&["--text", "COLDRING/\u{1b}[2J/"]);
    assert!(!steering.out.contains('\u{1b}'), "{:?}", steering.out);
}

#[test]
fn a_paper_without_a_code_is_not_proven() {
    let ran = verify(&[demos().gas.join("card.pdf").to_str().unwrap()]);
    assert_eq!(ran.code, Some(1));
    assert!(ran.out.contains("no signed code was found"), "{}", ran.out);
}

#[test]
fn files_that_are_no_papers_are_refused_soon() {
    let folder = tempdir().unwrap();
    let card = fs::read(paper("AF-JP-12-r2/card.pdf")).unwrap();
    let huge = folder.path().join("huge.pdf");
    fs::File::create(&huge).unwrap().set_len(1 << 33).unwrap();
    let locked = folder.path().join("locked.pdf");
    let locked = locked.to_str().unwrap();
    tool(
        "qpdf",
        &[
            "--encrypt",
            "a",
            "b",
            "256",
            "--",
            &paper("AF-JP-12-r2/card.pdf"),
            locked,
        ],
    );
    let open = folder.path().join("open.pdf");
    let open = open.to_str().unwrap();
    tool(
        "qpdf",
        &[
            "--encrypt",
            "",
            "b",
            "256",
            "--",
            &paper("AF-JP-12-r2/card.pdf"),
            open,
        ],
    );
    for (pdf, said) in [
        (file(&folder, "empty.pdf", ""), "not a PDF"),
        (file(&folder, "text.pdf", "number: 1"), "not a PDF"),
        (huge.to_str().unwrap().to_owned(), "more than"),
        (folder.path().to_str().unwrap().to_owned(), "not a file"),
        (locked.to_owned(), "encrypted"),
        (open.to_owned(), "encrypted"),
        (
            file(&folder, "tenfold.pdf", crate::pdf_parts::tenfold()),
            "over and over",
        ),
        ("absent.pdf".to_owned(), "cannot read"),
    ] {
        let ran = verify(&[&pdf]);
        assert_eq!(ran.code, Some(2), "{pdf}: {}{}", ran.out, ran.err);
        assert!(ran.err.contains(said), "{pdf}: {}", ran.err);
        assert!(!ran.err.contains("panicked"), "{pdf}: {}", ran.err);
    }
    for cut in [card.len() / 4, card.len() / 2, card.len() - 100] {
        let pdf = file(&folder, "cut.pdf", &card[..cut]);
        let ran = verify(&[&pdf, "--spec", GAS]);
        // The code may still be there to be read.
        assert!(!ran.out.contains("byte for byte"), "{cut}: {}", ran.out);
        assert!(ran.code.is_some(), "{cut}: {}", ran.err);
    }
}

/// A page of pixels, as a scanner makes it.
#[test]
fn a_scan_is_read_and_its_pages_are_not_taken_for_the_papers() {
    let folder = tempdir().unwrap();
    // Letter paper.
    for (dpi, width, height) in [("300", 2550, 3300), ("400", 3400, 4400)] {
        let stem = folder.path().join("scan");
        let pdf = paper("AF-JP-12-r2/card.pdf");
        let page = [
            "-f",
            "2",
            "-l",
            "2",
            "-singlefile",
            "-gray",
            "-jpeg",
            "-r",
            dpi,
        ];
        tool(
            "pdftoppm",
            &[&page[..], &[&pdf, stem.to_str().unwrap()]].concat(),
        );
        let jpeg = fs::read(stem.with_extension("jpg")).unwrap();
        let scan = folder.path().join("scan.pdf");
        scanned(jpeg, width, height).save(&scan).unwrap();
        let scan = scan.to_str().unwrap();
        let told = |pages| [GENUINE, ("spec", pages), ("pages", "scan")];
        // With the spec at hand the pages could be proven, and are not.
        expect(&[scan, "--spec", GAS], 1, &told("proven"));
        // Without it, the code is all that is asked about.
        expect(&[scan], 0, &told("unchecked"));
        expect(&[scan, "--require", "pages"], 1, &told("unchecked"));
    }
}

/// A changed paper whose program and tables are no longer named, which is what a
/// copy looks like, fails as it does with them.
#[test]
fn a_changed_paper_without_its_metadata_is_not_proven() {
    let folder = tempdir().unwrap();
    let wanted = [GENUINE, ("spec", "proven"), ("pages", "missing")];
    let drawn_on = |document: &mut Document| {
        let page = document.page_iter().nth(1).unwrap();
        let line = b"q 0 0 30 30 re f Q".to_vec();
        document.add_page_contents(page, line).unwrap();
    };
    for other in [None, Some("coldring 0.0.1"), Some("another program")] {
        let stripped = changed(&folder, "AF-JP-12-r2/card.pdf", |document| {
            drawn_on(document);
            let Some(other) = other else {
                document.trailer.remove(b"Info");
                return;
            };
            let info = document.trailer.get(b"Info").and_then(Object::as_reference);
            let info = document.get_dictionary_mut(info.unwrap()).unwrap();
            info.set("Creator", Object::string_literal(other));
        });
        let ran = verify(&[&stripped, "--spec", GAS]);
        assert!(ran.out.contains("NOT PROVEN"), "{}", ran.out);
        expect(&[&stripped, "--spec", GAS], 1, &wanted);
    }
    // A procedure carries its spec: with it, or stripped of it.
    let procedure = "HC-SF-104-r2/procedure.pdf";
    let wanted = [GENUINE, DRAFT, ("spec", "proven"), ("pages", "missing")];
    let with = changed(&folder, procedure, |document| {
        drawn_on(document);
        document.trailer.remove(b"Info");
    });
    expect(&[&with], 1, &wanted);
    let without = changed(&folder, procedure, |document| {
        drawn_on(document);
        document.catalog_mut().unwrap().remove(b"Names");
    });
    let wanted = [GENUINE, DRAFT, ("spec", "unchecked"), ("pages", "missing")];
    expect(&[&without], 1, &wanted);
}

#[test]
fn what_is_required_has_to_be_proven_and_the_last_line_says_what_was_not() {
    let card = paper("AF-JP-12-r2/card.pdf");
    let last = |arguments: &[&str]| {
        let ran = verify(arguments);
        (ran.code, ran.out.lines().last().unwrap().to_owned())
    };
    let code = Some(0);
    assert_eq!(
        last(&[&card, "--spec", GAS]),
        (code, "Proven: signature, spec and pages.".to_owned())
    );
    assert_eq!(
        last(&[&card, "--spec", GAS, "--require", "pages,spec"]).0,
        code
    );
    let (code, line) = last(&[&card]);
    assert_eq!(code, Some(0));
    assert_eq!(
        line,
        "NOT PROVEN: page 2: spec (unchecked), pages (unchecked)."
    );
    for required in ["pages", "spec", "register"] {
        let (code, line) = last(&[&card, "--require", required]);
        assert_eq!(code, Some(1), "{required}");
        assert!(
            line.starts_with("NOT PROVEN") && line.contains(required),
            "{line}"
        );
    }
    let text = code_on(&card, "2");
    let (code, line) = last(&["--text", &text]);
    assert_eq!(code, Some(0));
    assert!(line.contains("pages (none were given)"), "{line}");
    assert_eq!(last(&["--text", &text, "--require", "pages"]).0, Some(1));
    let (_, line) = last(&[demos().gas.join("card.pdf").to_str().unwrap()]);
    assert!(line.starts_with("NOT PROVEN: no signed code"), "{line}");
}

fn scanned(jpeg: Vec<u8>, width: u32, height: u32) -> Document {
    let mut document = Document::with_version("1.7");
    let image = Stream::new(
        dictionary! {
            "Type" => "XObject", "Subtype" => "Image", "ColorSpace" => "DeviceRGB",
            "BitsPerComponent" => 8, "Width" => width, "Height" => height,
            "Filter" => "DCTDecode",
        },
        jpeg,
    );
    let image = document.add_object(image);
    let content = Stream::new(Dictionary::new(), b"612 0 0 792 0 0 cm /Scan Do".to_vec());
    let content = document.add_object(content);
    let pages = document.new_object_id();
    let page = document.add_object(dictionary! {
        "Type" => "Page", "Parent" => pages, "Contents" => content,
        "MediaBox" => vec![0.into(), 0.into(), 612.into(), 792.into()],
        "Resources" => dictionary! { "XObject" => dictionary! { "Scan" => image } },
    });
    let kids = dictionary! { "Type" => "Pages", "Count" => 1, "Kids" => vec![page.into()] };
    document.objects.insert(pages, kids.into());
    let catalog = document.add_object(dictionary! { "Type" => "Catalog", "Pages" => pages });
    document.trailer.set("Root", catalog);
    document
}
