//! Proof on paper: keys, signed codes, and what `verify` makes of them; with
//! OpenSSL and another reader of QR codes as judges from outside.

mod attacks;
mod keys;
mod register;

use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use serde_json::Value;

use super::support::*;

/// A key pair and signed papers, made once for all tests.
pub struct Signed {
    /// The private key.
    pub private: String,
    /// The public key.
    pub public: String,
    /// Papers of [`GEOTHERMAL`] and [`GAS`].
    pub out: PathBuf,
}

pub fn signed() -> &'static Signed {
    static SIGNED: LazyLock<Signed> = LazyLock::new(|| {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("signed");
        // Keys are never overwritten.
        let _ = std::fs::remove_dir_all(&folder);
        let key = run(coldring().args(["keys", "demo", "--out"]).arg(&folder));
        assert_eq!(key.code, Some(0), "{}", key.err);
        let name = |file: &str| folder.join(file).to_str().unwrap().to_owned();
        let (private, public) = (name("demo.private.pem"), name("demo.public.pem"));
        let ran = run(coldring()
            .args([
                "build", "--as-of", AS_OF, GEOTHERMAL, GAS, "--key", &private,
            ])
            .arg("--out")
            .arg(&folder));
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        Signed {
            private,
            public,
            out: folder,
        }
    });
    &SIGNED
}

fn paper(name: &str) -> String {
    signed().out.join(name).to_str().unwrap().to_owned()
}

/// Verifies with the demo's key and these arguments.
fn verify(arguments: &[&str]) -> Run {
    let public = signed().public.as_str();
    run(coldring()
        .args(["verify", "--as-of", AS_OF, "--trust", public])
        .args(arguments))
}

/// The verdicts on the first code, in order, with what was looked into.
fn verdicts(answer: &Value) -> Vec<(String, String)> {
    let text = |check: &Value, field: &str| check[field].as_str().unwrap().to_owned();
    list(&answer["codes"][0], "checks")
        .iter()
        .map(|check| (text(check, "check"), text(check, "verdict")))
        .collect()
}

/// Verifies, and holds the verdicts and the exit code against these.
fn expect(arguments: &[&str], code: i32, wanted: &[(&str, &str)]) -> Value {
    let ran = verify(&[arguments, &["--format", "json"]].concat());
    assert_eq!(
        ran.code,
        Some(code),
        "{arguments:?}: {}{}",
        ran.out,
        ran.err
    );
    let answer = document(&ran);
    assert_eq!(answer["holds"], code == 0, "{}", ran.out);
    let wanted: Vec<_> = wanted
        .iter()
        .map(|(check, verdict)| ((*check).to_owned(), (*verdict).to_owned()))
        .collect();
    assert_eq!(verdicts(&answer), wanted, "{arguments:?}: {}", ran.out);
    answer
}

/// A page as a picture of so many pixels an inch, drawn by a program from outside.
fn picture(pdf: &str, page: &str, dpi: &str, to: &Path) -> PathBuf {
    let stem = to.join(format!("page-{dpi}"));
    let stem_text = stem.to_str().unwrap();
    let one = ["-f", page, "-l", page, "-singlefile", "-gray", "-png"];
    tool(
        "pdftoppm",
        &[&["-r", dpi][..], &one, &[pdf, stem_text]].concat(),
    );
    stem.with_extension("png")
}

/// The text of the code on a page, by a reader from outside.
fn code_on(pdf: &str, page: &str) -> String {
    let folder = tempfile::tempdir().unwrap();
    let picture = picture(pdf, page, "400", folder.path());
    let read = tool("zbarimg", &["-q", "--raw", picture.to_str().unwrap()]);
    let mut texts: Vec<_> = read.lines().map(str::to_owned).collect();
    texts.dedup();
    assert_eq!(texts.len(), 1, "{read}");
    texts.remove(0)
}

#[test]
fn every_paper_carries_its_own_code_for_any_reader() {
    let digest = spec_digest(GAS).to_uppercase();
    let digest = digest.get(..32).unwrap();
    for (file, page, word) in [
        ("AF-JP-12-r2/procedure.pdf", "1", "PROCEDURE"),
        ("AF-JP-12-r2/sources.pdf", "1", "SOURCES"),
        ("AF-JP-12-r2/lid.pdf", "1", "LID"),
        ("AF-JP-12-r2/card.pdf", "2", "CARD"),
        ("AF-JP-12-r2/depth-marks.pdf", "1", "MARKS"),
    ] {
        let text = code_on(&paper(file), page);
        let start = format!("COLDRING/1/{word}//AF-JP-12/2/QUALIFIED/{digest}//");
        assert!(text.starts_with(&start), "{file}: {text}");
    }
}

#[test]
fn papers_come_out_the_same_again_and_their_pages_are_proven() {
    let record = path("specs/records/AF-PQ-07.yaml");
    let record = record.to_str().unwrap();
    let whole = [
        ("signature", "proven"),
        ("spec", "proven"),
        ("pages", "proven"),
    ];
    for (file, spec) in [
        ("AF-JP-12-r2/card.pdf", ["--spec", GAS]),
        ("AF-JP-12-r2/depth-marks.pdf", ["--spec", GAS]),
        ("AF-JP-12-r2/lid.pdf", ["--spec", GAS]),
        ("AF-JP-12-r2/sources.pdf", ["--spec", GAS]),
        ("AF-JP-12-r2/sources.pdf", ["--record", record]),
        // The procedure brings its spec; records name people and stay where they are.
        ("AF-JP-12-r2/procedure.pdf", ["--record", record]),
    ] {
        expect(&[&[&*paper(file)][..], &spec].concat(), 0, &whole);
    }
    // Without the record, the attached spec cannot prove the pages, which fails: an
    // altered page would come to the same.
    expect(
        &[&paper("AF-JP-12-r2/procedure.pdf")],
        1,
        &[
            ("signature", "proven"),
            ("spec", "unchecked"),
            ("pages", "missing"),
        ],
    );
}

#[test]
fn a_draft_says_so_in_its_code() {
    let answer = expect(
        &[&paper("HC-SF-104-r2/card.pdf"), "--spec", GEOTHERMAL],
        0,
        &[
            ("signature", "proven"),
            ("status", "proven"),
            ("spec", "proven"),
            ("pages", "proven"),
        ],
    );
    assert_eq!(
        answer["codes"][0]["says"]["procedures"][0]["status"],
        "draft"
    );
    let told = verify(&[&paper("HC-SF-104-r2/card.pdf")]);
    assert!(told.out.contains("DRAFT"), "{}", told.out);
}

#[test]
fn papers_in_other_ways_are_found_and_made_again() {
    let out = tempfile::tempdir().unwrap();
    for (n, ways) in [
        &["--paper", "a4", "--language", "es,en", "--flip", "fold"][..],
        &[
            "--language",
            "en,es",
            "--house",
            "specs/house",
            "--card-trim",
            "id-3",
        ],
    ]
    .into_iter()
    .enumerate()
    {
        let out = out.path().join(n.to_string());
        let ran = run(coldring()
            .args([
                "build",
                GEOTHERMAL,
                "--as-of",
                AS_OF,
                "--key",
                &signed().private,
            ])
            .args(ways)
            .args(["--only", "card,depth-marks", "--out"])
            .arg(&out));
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        let house: &[&str] = match n {
            0 => &[],
            _ => &["--house", "specs/house"],
        };
        let papers = out.join("HC-SF-104-r2");
        let files = names_in(&papers);
        let files: Vec<_> = files.iter().filter(|name| name.ends_with(".pdf")).collect();
        assert_eq!(files.len(), 3, "{files:?}");
        for file in files {
            let file = papers.join(file);
            let arguments = [&[file.to_str().unwrap(), "--spec", GEOTHERMAL], house].concat();
            let ran = verify(&arguments);
            assert_eq!(ran.code, Some(0), "{file:?} {}{}", ran.out, ran.err);
            assert!(ran.out.contains("byte for byte"), "{file:?} {}", ran.out);
        }
    }
}

#[test]
fn a_house_style_that_is_attached_is_enough_to_make_the_procedure_again() {
    let out = tempfile::tempdir().unwrap();
    let ran = run(coldring()
        .args([
            "build",
            GEOTHERMAL,
            "--as-of",
            AS_OF,
            "--key",
            &signed().private,
        ])
        .args(["--house", "specs/house", "--only", "procedure", "--out"])
        .arg(out.path()));
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let pdf = out.path().join("HC-SF-104-r2/procedure.pdf");
    let ran = verify(&[pdf.to_str().unwrap()]);
    assert!(ran.out.contains("byte for byte"), "{}{}", ran.out, ran.err);
}

#[test]
fn a_key_changes_papers_by_their_code_alone() {
    let manifest = |folder: &Path| -> Value {
        serde_json::from_slice(&std::fs::read(folder.join("manifest.json")).unwrap()).unwrap()
    };
    let with = manifest(&signed().out.join("AF-JP-12-r2"));
    let without = manifest(&demos().gas);
    assert_eq!(with["spec_digest"], without["spec_digest"]);
    assert_ne!(with["build_digest"], without["build_digest"]);
    let words = |pdf: &Path| {
        let text = pages_text(pdf).concat();
        let mut words: Vec<_> = text.split_whitespace().map(str::to_owned).collect();
        words.sort();
        words
    };
    let mut with = words(&signed().out.join("AF-JP-12-r2/depth-marks.pdf"));
    let without = words(&demos().gas.join("depth-marks.pdf"));
    with.retain(|word| without.contains(word));
    assert_eq!(with, without);
    let images = |pdf: PathBuf| tool("pdfimages", &["-list".as_ref(), pdf.as_os_str()]);
    for file in PAPERS {
        assert!(!images(demos().gas.join(file)).contains("image"), "{file}");
        assert!(
            images(signed().out.join("AF-JP-12-r2").join(file)).contains("image"),
            "{file}"
        );
    }
}

#[test]
fn a_number_too_long_for_a_code_keeps_the_papers_back_and_says_why() {
    let folder = tempfile::tempdir().unwrap();
    // A lower-case letter takes three characters of the code.
    let number = format!("AF-{}", "x".repeat(37));
    let text = gas_alone().replace("AF-JP-12", &number);
    let spec = file(&folder, "spec.yaml", text);
    let ran = run(coldring()
        .args([
            "build",
            &spec,
            "--as-of",
            AS_OF,
            "--key",
            &signed().private,
            "--out",
        ])
        .arg(folder.path()));
    assert!(
        ran.out.contains("too long for a signed code"),
        "{}{}",
        ran.out,
        ran.err
    );
    // The manifest alone is written, and says the same.
    let is_paper = |line: &str| line.starts_with("wrote") && line.ends_with(".pdf");
    assert!(!ran.out.lines().any(is_paper), "{}", ran.out);
}
