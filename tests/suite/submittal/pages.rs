//! Pages that are placed: at full size or whole inside their frame, whatever
//! way they are turned or cut.

use std::path::Path;

use lopdf::{Document, Object};

use super::{DEMO, Job, Read, Word, demo, points, words};
use crate::support::{demos, path};

/// What the template leaves around an attached page, and keeps for the footer.
const EDGE: f64 = 12.0;
const BELOW: f64 = 15.0;

/// The words above the footer of an attached page.
fn above_footer(page: &Read) -> Vec<Word> {
    let limit = page.height - points(BELOW);
    let words = page.words.iter();
    words.filter(|word| word.top < limit).cloned().collect()
}

/// Checks that a page holds all words of another, at one scale for both axes,
/// and that the whole other page lies inside the frame; returns the scale.
fn placed_whole(page: &Read, original: &Read, what: &str) -> f64 {
    let found = above_footer(page);
    let once = |words: &[Word], text: &str| -> Option<Word> {
        let mut of_text = words.iter().filter(|word| word.text == text);
        of_text.next().filter(|_| of_text.next().is_none()).cloned()
    };
    // Two words that stand once on either page, as far apart as can be.
    let mut anchors: Vec<(Word, Word)> = (original.words.iter())
        .filter_map(|w| Some((once(&original.words, &w.text)?, once(&found, &w.text)?)))
        .collect();
    anchors.sort_by(|(a, _), (b, _)| (a.left + a.top).total_cmp(&(b.left + b.top)));
    let [(was_first, first), .., (was_last, last)] = anchors.as_slice() else {
        panic!("{what}: {anchors:?}");
    };
    let far = |from: &Word, to: &Word| to.left + to.top - from.left - from.top;
    let scale = far(first, last) / far(was_first, was_last);
    let x = first.left - scale * was_first.left;
    let y = first.top - scale * was_first.top;
    for was in &original.words {
        // Half a point: pdftotext rounds the boxes of glyphs.
        let near = |is: f64, of: f64| (is - of).abs() < 0.5;
        let is_there = found.iter().any(|word| {
            word.text == was.text
                && near(word.left, x + scale * was.left)
                && near(word.top, y + scale * was.top)
        });
        assert!(is_there, "{what}: {was:?} at {scale}: {found:?}");
    }
    assert!(scale > 0.2 && scale < 1.001, "{what}: {scale}");
    let (right, bottom) = (x + scale * original.width, y + scale * original.height);
    assert!(
        x > points(EDGE) - 0.5 && y > points(EDGE) - 0.5,
        "{what}: {x} {y}"
    );
    assert!(right < page.width - points(EDGE) + 0.5, "{what}: {right}");
    assert!(
        bottom < page.height - points(BELOW) + 0.5,
        "{what}: {bottom}"
    );
    scale
}

#[test]
fn papers_of_the_program_are_placed_at_full_size_above_the_footer() {
    let mut alone = words(&demos().gas.join("procedure.pdf"));
    alone.extend(words(&demos().gas.join("sources.pdf")));
    let pages = words(demo());
    for (page, alone) in pages.iter().skip(2).zip(&alone) {
        // Between the foot of the paper and that of the submittal.
        let footer = page.height - points(8.3);
        let of_procedure: Vec<_> = page.words.iter().filter(|w| w.top < footer).collect();
        assert_eq!(of_procedure.len(), alone.words.len());
        for was in &alone.words {
            let near = |is: f64, of: f64| (is - of).abs() < 0.1;
            let is_there = of_procedure.iter().any(|word| {
                word.text == was.text && near(word.left, was.left) && near(word.top, was.top)
            });
            assert!(is_there, "{was:?}: {of_procedure:?}");
            assert!(was.bottom < footer + 1.0, "{was:?} meets the footer");
        }
    }
}

#[test]
fn attached_pages_are_whole_inside_their_frame() {
    let pages = words(demo());
    let of = |name: &str| words(&path("specs/submittal/attachments").join(name));
    let originals: Vec<Read> = of("pipe-certificate.pdf")
        .into_iter()
        .chain(of("fitting-sheet.pdf"))
        .collect();
    let attached = &pages[pages.len() - originals.len()..];
    for (page, original) in attached.iter().zip(&originals) {
        let scale = placed_whole(page, original, DEMO);
        // The footer names the scale.
        let said: Vec<_> = page.words.iter().map(|w| w.text.as_str()).collect();
        let percent = (scale * 100.0 + 0.01).floor().to_string();
        assert!(
            said.windows(3)
                .any(|w| w == ["at", &percent, "%"] || w[1] == format!("{percent}\u{a0}%")),
            "{said:?} {percent}"
        );
        // A page lying on its side is not turned.
        assert_eq!(page.width > page.height, original.width > original.height);
    }
}

/// A copy of a PDF with its pages changed.
fn changed(from: &Path, change: impl Fn(&mut lopdf::Dictionary)) -> Vec<u8> {
    let mut document = Document::load(from).unwrap();
    for (_, id) in document.get_pages() {
        change(document.get_object_mut(id).unwrap().as_dict_mut().unwrap());
    }
    let mut bytes = Vec::new();
    document.save_to(&mut bytes).unwrap();
    bytes
}

fn rectangle(numbers: [f32; 4]) -> Object {
    Object::Array(numbers.into_iter().map(Object::Real).collect())
}

#[test]
fn turned_and_cropped_pages_are_placed_as_a_viewer_shows_them() {
    let job = Job::new();
    let sheet = job.path("sub/fitting-sheet.pdf");
    let large = [0.0, 0.0, 1224.0, 1584.0];
    for (name, change) in [
        (
            "turned",
            Box::new(|page: &mut lopdf::Dictionary| page.set("Rotate", 90))
                as Box<dyn Fn(&mut lopdf::Dictionary)>,
        ),
        (
            "head-down",
            Box::new(|page: &mut lopdf::Dictionary| page.set("Rotate", 180)),
        ),
        (
            "cropped",
            Box::new(|page: &mut lopdf::Dictionary| {
                page.set("CropBox", rectangle([20.0, 300.0, 780.0, 600.0]))
            }),
        ),
        (
            "both",
            Box::new(|page: &mut lopdf::Dictionary| {
                page.set("Rotate", 270);
                page.set("CropBox", rectangle([20.0, 300.0, 780.0, 600.0]));
            }),
        ),
        (
            "large",
            Box::new(move |page: &mut lopdf::Dictionary| page.set("MediaBox", rectangle(large))),
        ),
    ] {
        let file = format!("{name}.pdf");
        job.put(&format!("sub/{file}"), changed(&sheet, change));
        let pdf = job.made(&format!("attachments: [{{file: {file}, title: {name}}}]\n"));
        let pages = words(&pdf);
        let page = pages.last().unwrap();
        // pdftotext gives the words as a viewer turns them, but the size as it
        // stands in the file.
        let mut original = words(&job.path(&format!("sub/{file}"))).remove(0);
        if ["turned", "both"].contains(&name) {
            original = Read {
                width: original.height,
                height: original.width,
                ..original
            };
        }
        let inside = |word: &Word| {
            word.left >= 0.0
                && word.top >= 0.0
                && word.right <= original.width
                && word.bottom <= original.height
        };
        let shown = Read {
            words: original
                .words
                .iter()
                .filter(|w| inside(w))
                .cloned()
                .collect(),
            ..original.clone()
        };
        assert!(shown.words.len() > 20, "{name}: {}", shown.words.len());
        let at = placed_whole(page, &shown, name);
        assert!(at > 0.4, "{name}: {at}");
        assert_eq!(
            page.width > page.height,
            original.width > original.height,
            "{name}"
        );
    }
}

#[test]
fn a_small_page_is_not_enlarged() {
    let job = Job::new();
    let from = job.path("sub/fitting-sheet.pdf");
    let small = changed(&from, |page| {
        page.set("CropBox", rectangle([0.0, 400.0, 400.0, 612.0]))
    });
    job.put("sub/small.pdf", small);
    let pdf = job.made("attachments: [{file: small.pdf, title: Small}]\n");
    let texts = crate::support::pages_text(&pdf);
    assert!(
        texts.last().unwrap().contains("at 100 %"),
        "{:?}",
        texts.last()
    );
}

#[test]
fn a_newer_pdf_is_placed_too() {
    let job = Job::new();
    let bytes = std::fs::read(job.path("sub/fitting-sheet.pdf")).unwrap();
    let newer = [b"%PDF-2.0".as_slice(), &bytes[8..]].concat();
    job.put("sub/newer.pdf", newer);
    let pdf = job.made("attachments: [{file: newer.pdf, title: Newer}]\n");
    assert!(
        crate::support::pages_text(&pdf)
            .last()
            .unwrap()
            .contains("Ledgerock")
    );
}
