//! `build --image`: a picture of each page beside its PDF.

use std::fs;
use std::path::{Path, PathBuf};

use tempfile::tempdir;

use crate::support::{AS_OF, GAS, Run, coldring, names_in, path, run, sha256, tool};

fn build(out: &Path, more: &[&str]) -> Run {
    run(coldring()
        .args(["build", GAS, "--as-of", AS_OF, "--only", "depth-marks,card"])
        .args(more)
        .arg("--out")
        .arg(out))
}

fn folder(out: &Path) -> PathBuf {
    out.join("AF-JP-12-r2")
}

/// Pages of a PDF, with width and height in points, by a reader that is not ours.
fn pages(pdf: &Path) -> Vec<(f64, f64)> {
    let said = tool("pdfinfo", &["-l", "99", pdf.to_str().unwrap()]);
    let sizes = said
        .lines()
        .filter(|line| line.starts_with("Page ") && line.contains("size:"));
    let number = |text: &str| text.parse::<f64>().unwrap();
    sizes
        .map(|line| {
            let words: Vec<_> = line.split_whitespace().collect();
            (number(words[3]), number(words[5]))
        })
        .collect()
}

#[test]
fn every_page_has_a_picture_of_its_size_that_the_manifest_lists() {
    let out = tempdir().unwrap();
    let ran = build(out.path(), &["--image", "png", "--image-resolution", "60"]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let papers = folder(out.path());
    for paper in ["card", "depth-marks"] {
        for (n, (width, height)) in pages(&papers.join(format!("{paper}.pdf")))
            .iter()
            .enumerate()
        {
            let name = format!("{paper}-{:02}.png", n + 1);
            let decoder = png::Decoder::new(std::io::BufReader::new(
                fs::File::open(papers.join(&name)).unwrap(),
            ));
            let picture = decoder.read_info().unwrap();
            let info = picture.info();
            let off = |pixels: u32, points: f64| (f64::from(pixels) - points * 60.0 / 72.0).abs();
            assert!(off(info.width, *width) <= 1.0, "{name}: {}", info.width);
            assert!(off(info.height, *height) <= 1.0, "{name}: {}", info.height);
            // 60 dots an inch are 2362 a meter.
            assert_eq!(info.pixel_dims.unwrap().xppu, 2362, "{name}");
            assert!(ran.out.contains(&format!("/{name}\n")), "{}", ran.out);
        }
    }
    let manifest: serde_json::Value =
        serde_json::from_slice(&fs::read(papers.join("manifest.json")).unwrap()).unwrap();
    let listed = manifest["files"].as_array().unwrap();
    let mut names = vec!["manifest.json".to_owned()];
    for file in listed {
        let name = file["name"].as_str().unwrap();
        let bytes = fs::read(papers.join(name)).unwrap();
        assert_eq!(file["sha256"], sha256(&bytes), "{name}");
        names.push(name.to_owned());
    }
    names.sort();
    assert_eq!(names, names_in(&papers));
    // The PDFs are those of a build without pictures, and the pictures are the
    // same each time.
    let again = tempdir().unwrap();
    build(
        again.path(),
        &["--image", "png", "--image-resolution", "60", "--force"],
    );
    let plain = tempdir().unwrap();
    build(plain.path(), &[]);
    for name in names.iter().filter(|name| *name != "manifest.json") {
        let made = fs::read(papers.join(name)).unwrap();
        assert_eq!(
            made,
            fs::read(folder(again.path()).join(name)).unwrap(),
            "{name}"
        );
        if name.ends_with(".pdf") {
            assert_eq!(
                made,
                fs::read(folder(plain.path()).join(name)).unwrap(),
                "{name}"
            );
        }
    }
}

#[test]
fn an_svg_has_the_size_of_the_page() {
    let out = tempdir().unwrap();
    let ran = build(out.path(), &["--image", "svg"]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let papers = folder(out.path());
    for paper in ["card", "depth-marks"] {
        for (n, (width, height)) in pages(&papers.join(format!("{paper}.pdf")))
            .iter()
            .enumerate()
        {
            let svg = fs::read_to_string(papers.join(format!("{paper}-{:02}.svg", n + 1))).unwrap();
            let head = svg.split('>').next().unwrap();
            let size = |name: &str| -> f64 {
                let start = head.find(&format!(" {name}=\"")).unwrap() + name.len() + 3;
                let value = head[start..].split('"').next().unwrap();
                // Points, so that it is printed at its size.
                value.strip_suffix("pt").unwrap().parse().unwrap()
            };
            assert!((size("width") - width).abs() < 0.1, "{head}");
            assert!((size("height") - height).abs() < 0.1, "{head}");
            assert!(!svg.contains("<script"), "{paper}");
        }
    }
}

#[test]
fn pictures_that_are_no_longer_made_are_stale_and_the_same_are_unchanged() {
    let out = tempdir().unwrap();
    build(out.path(), &["--image", "svg"]);
    let again = build(out.path(), &["--image", "svg"]);
    assert!(again.out.contains("unchanged"), "{}", again.out);
    assert!(!again.out.contains("wrote"), "{}", again.out);
    let without = build(out.path(), &[]);
    assert!(without.out.contains("wrote"), "{}", without.out);
    assert!(without.out.contains("stale"), "{}", without.out);
    assert!(
        without.out.contains("card-01.svg: of an earlier run"),
        "{}",
        without.out
    );
    let resolution = build(out.path(), &["--image", "svg", "--image-resolution", "90"]);
    assert_eq!(resolution.code, Some(2));
    assert!(
        resolution.err.contains("leave it out"),
        "{}",
        resolution.err
    );
}

#[test]
fn a_house_style_has_its_pictures_too() {
    let out = tempdir().unwrap();
    let house = path("specs/house");
    for form in ["svg", "png"] {
        let ran = build(
            out.path(),
            &["--image", form, "--house", house.to_str().unwrap()],
        );
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        let picture = folder(out.path()).join(format!("depth-marks-01.{form}"));
        assert!(fs::read(picture).unwrap().len() > 10_000, "{form}");
    }
}
