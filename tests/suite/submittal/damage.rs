//! Streams of attached PDFs, damaged: each is refused, or shows the same as before
//! to a reader from outside.

use std::ffi::OsStr;
use std::ops::Range;
use std::path::Path;

use coldring::people::submittal::inspect;
use lopdf::{Dictionary, Document, Stream, dictionary};
use tempfile::tempdir;

use crate::pdf_parts::{pdf, plain};
use crate::support::{path, tool};

const DEMO: [&str; 2] = ["pipe-certificate.pdf", "fitting-sheet.pdf"];

fn demo(name: &str) -> Vec<u8> {
    std::fs::read(path("specs/submittal/attachments").join(name)).unwrap()
}

/// Numbers that are the same in every run (the minimal standard generator of Park and
/// Miller, 1988).
struct Seeded(u64);

impl Seeded {
    fn below(&mut self, end: usize) -> usize {
        self.0 = self.0 * 48_271 % 2_147_483_647;
        usize::try_from(self.0).unwrap() % end
    }
}

/// Where the bytes of each stream lie.
fn streams(pdf: &[u8]) -> Vec<Range<usize>> {
    let find = |from: usize, what: &[u8]| {
        let rest = pdf.get(from..)?;
        let at = rest.windows(what.len()).position(|window| window == what)?;
        Some(from + at)
    };
    let mut found = Vec::new();
    let mut from = 0;
    while let Some(start) = find(from, b"stream\n") {
        let start = start + 7;
        let end = find(start, b"endstream").unwrap();
        found.push(start..end);
        from = end + 10;
    }
    found
}

/// The pages as pixels.
fn picture(pdf: &[u8], folder: &Path) -> Vec<Vec<u8>> {
    let file = folder.join("drawn.pdf");
    std::fs::write(&file, pdf).unwrap();
    let stem = folder.join("page");
    let to = [file.as_os_str(), stem.as_os_str()];
    let arguments = ["-r", "60"].map(OsStr::new);
    tool("pdftoppm", &[&arguments[..], &to].concat());
    let mut pages: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .collect();
    pages.retain(|path| path.extension().is_some_and(|ending| ending == "ppm"));
    pages.sort();
    pages
        .iter()
        .map(|path| {
            let bytes = std::fs::read(path).unwrap();
            std::fs::remove_file(path).unwrap();
            bytes
        })
        .collect()
}

/// Damages the streams of a PDF at so many seeded places; how many were refused.
fn tried(pdf: &[u8], count: usize, seed: u64) -> usize {
    let folder = tempdir().unwrap();
    assert!(inspect(pdf).is_ok(), "{:?}", inspect(pdf));
    let whole = picture(pdf, folder.path());
    let streams = streams(pdf);
    assert!(streams.len() >= 8, "{}", streams.len());
    let mut seeded = Seeded(seed);
    let mut refused = 0;
    for round in 0..count {
        let mut damaged = pdf.to_vec();
        let stream = streams[seeded.below(streams.len())].clone();
        let at = stream.start + seeded.below(stream.len());
        let length = [1, 1, 16, 400][round % 4].min(stream.end - at);
        for byte in &mut damaged[at..at + length] {
            // A flipped bit, or a block of a disk that came back empty.
            *byte = match round % 4 {
                0 => *byte ^ (1 << seeded.below(8)),
                1 => u8::try_from(seeded.below(256)).unwrap(),
                _ => 0,
            };
        }
        if damaged == pdf {
            continue;
        }
        match inspect(&damaged) {
            Err(_) => refused += 1,
            Ok(_) => assert!(
                picture(&damaged, folder.path()) == whole,
                "{length} bytes from {at} on (round {round}): accepted, and drawn otherwise"
            ),
        }
    }
    refused
}

#[test]
fn a_damaged_stream_is_refused_or_shows_the_same() {
    for (seed, name) in (1..).zip(DEMO) {
        let refused = tried(&demo(name), 200, seed);
        assert!(refused > 150, "{name}: {refused}");
    }
}

/// Objects packed into streams of their own, as most programs write them today.
#[test]
fn a_damaged_stream_of_objects_is_refused_or_shows_the_same() {
    let folder = tempdir().unwrap();
    let [from, to] = ["from.pdf", "to.pdf"].map(|name| folder.path().join(name));
    for (seed, name) in (10..).zip(DEMO) {
        std::fs::write(&from, demo(name)).unwrap();
        let packed = "--object-streams=generate".as_ref();
        tool("qpdf", &[packed, from.as_os_str(), to.as_os_str()]);
        let refused = tried(&std::fs::read(&to).unwrap(), 200, seed);
        assert!(refused > 150, "{name}: {refused}");
    }
}

/// A page with one image on all of it.
fn of_image(image: Dictionary, bytes: Vec<u8>) -> Vec<u8> {
    let mut document = Document::with_version("1.7");
    let mut image = Stream::new(image, bytes);
    image.dict.set("Type", "XObject");
    image.dict.set("Subtype", "Image");
    let image = document.add_object(image);
    let content = Stream::new(dictionary! {}, b"612 0 0 792 0 0 cm /I Do".to_vec());
    let content = document.add_object(content);
    let pages = document.new_object_id();
    let page = document.add_object(dictionary! {
        "Type" => "Page", "Parent" => pages, "Contents" => content,
        "MediaBox" => vec![0.into(), 0.into(), 612.into(), 792.into()],
        "Resources" => dictionary! { "XObject" => dictionary! { "I" => image } },
    });
    let tree = dictionary! { "Type" => "Pages", "Count" => 1, "Kids" => vec![page.into()] };
    document.objects.insert(pages, tree.into());
    let catalog = document.add_object(dictionary! { "Type" => "Catalog", "Pages" => pages });
    document.trailer.set("Root", catalog);
    let mut bytes = Vec::new();
    document.save_to(&mut bytes).unwrap();
    bytes
}

fn is_refused(pdf: &[u8], says: &str) {
    let found = inspect(pdf);
    let told = format!("{found:?}");
    assert!(found.is_err() && told.contains(says), "{says}: {told}");
}

#[test]
fn a_scan_that_is_cut_off_or_of_another_size_is_refused() {
    let folder = tempdir().unwrap();
    let stem = folder.path().join("scan");
    let demo = path("specs/submittal/attachments/pipe-certificate.pdf");
    let how = ["-jpeg", "-r", "100", "-f", "1", "-l", "1", "-singlefile"].map(OsStr::new);
    tool(
        "pdftoppm",
        &[&how[..], &[demo.as_os_str(), stem.as_os_str()]].concat(),
    );
    let jpeg = std::fs::read(stem.with_extension("jpg")).unwrap();
    // Letter paper, at 100 to the inch.
    let sized = |width: i64, height: i64| {
        dictionary! {
            "Width" => width, "Height" => height, "ColorSpace" => "DeviceRGB",
            "BitsPerComponent" => 8, "Filter" => "DCTDecode",
        }
    };
    let whole = of_image(sized(850, 1100), jpeg.clone());
    assert!(inspect(&whole).is_ok(), "{:?}", inspect(&whole));
    is_refused(
        &of_image(sized(850, 1101), jpeg.clone()),
        "image of its size",
    );
    for part in 1..10 {
        let cut = jpeg[..jpeg.len() * part / 10].to_vec();
        is_refused(&of_image(sized(850, 1100), cut.clone()), "cut off");
        // With an end, as a program that repairs it would write.
        let ended = [&cut[..], &[0xff, 0xd9]].concat();
        is_refused(&of_image(sized(850, 1100), ended), "damaged or cut off");
    }
    let gap = jpeg.len() / 2;
    let mut empty = jpeg.clone();
    empty[gap..gap + 512].fill(0);
    is_refused(&of_image(sized(850, 1100), empty), "damaged or cut off");
}

#[test]
fn an_image_has_the_bytes_of_its_size() {
    let plain = || {
        dictionary! {
            "Width" => 10, "Height" => 20, "ColorSpace" => "DeviceRGB", "BitsPerComponent" => 8,
        }
    };
    assert!(inspect(&of_image(plain(), vec![7; 600])).is_ok());
    // An end of line that was counted in.
    assert!(inspect(&of_image(plain(), vec![7; 601])).is_ok());
    is_refused(&of_image(plain(), vec![7; 599]), "image of its size");
    let mask = dictionary! { "Width" => 9, "Height" => 20, "ImageMask" => true };
    assert!(inspect(&of_image(mask.clone(), vec![7; 40])).is_ok());
    is_refused(&of_image(mask, vec![7; 39]), "image of its size");
}

/// Text in place of bytes, as old programs wrote it (ISO 32000-2, 7.4.2 and 7.4.3).
#[test]
fn bytes_written_as_text_are_read_by_the_letter() {
    let gray = |filter: &str| {
        dictionary! {
            "Width" => 3, "Height" => 1, "ColorSpace" => "DeviceGray", "BitsPerComponent" => 8,
            "Filter" => filter,
        }
    };
    for (filter, whole, damaged) in [
        (
            "ASCIIHexDecode",
            "01 0a FF>",
            ["01 0a FF", "01 0x FF>", "01 0a>"],
        ),
        // The three bytes of `sur`, from the well-known example.
        ("ASCII85Decode", "F*2M~>", ["F*2M", "F*2}~>", "F*2~>"]),
    ] {
        let whole = of_image(gray(filter), whole.as_bytes().to_vec());
        assert!(inspect(&whole).is_ok(), "{filter}: {:?}", inspect(&whole));
        for damaged in damaged {
            let damaged = of_image(gray(filter), damaged.as_bytes().to_vec());
            assert!(inspect(&damaged).is_err(), "{filter}");
        }
    }
}

#[test]
fn content_is_read_to_its_end_and_draws_with_what_is_there() {
    let part = ("a", "0 0 5 5 re f");
    for whole in [
        "/a Do",
        "q 0 0 9 9 re W* n /a Do Q % a comment\n",
        // What a later edition may add (ISO 32000-2, 7.8.2).
        "BX 1 2 anew EX /a Do",
        "BI /W 1 /H 1 /IM true ID x EI /a Do",
        "",
    ] {
        let pdf = pdf(plain(whole), &[part]);
        assert!(inspect(&pdf).is_ok(), "{whole}: {:?}", inspect(&pdf));
    }
    for (damaged, says) in [
        ("/b Do", "a part that is not in the file"),
        ("BT /f 9 Tf ET", "a font that is not in the file"),
        ("0 0 9 9 rx f", "an operator that PDF does not have"),
        ("/a Do (text that goes on", "cannot be read to its end"),
    ] {
        is_refused(&pdf(plain(damaged), &[part]), says);
    }
}

#[test]
fn objects_that_a_page_needs_are_there() {
    let whole = demo("fitting-sheet.pdf");
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    // Each object by the first bytes of it.
    let objects: Vec<usize> = (1..40)
        .filter_map(|number| {
            let head = format!("\n{number} 0 obj\n");
            whole
                .windows(head.len())
                .position(|window| window == head.as_bytes())
        })
        .collect();
    assert!(objects.len() > 20, "{}", text(&whole[..200]));
    let folder = tempdir().unwrap();
    let pages = picture(&whole, folder.path());
    let mut refused = 0;
    for at in objects {
        let mut damaged = whole.clone();
        // "obj" no longer.
        let end = at + damaged[at..].windows(3).position(|w| w == b"obj").unwrap();
        damaged[end] = b'x';
        match inspect(&damaged) {
            Err(_) => refused += 1,
            Ok(_) => assert!(
                picture(&damaged, folder.path()) == pages,
                "{}",
                text(&damaged[at..at + 60])
            ),
        }
    }
    assert!(refused > 10, "{refused}");
}
