//! What is told of a paper is what `coldring verify` tells, line by line.

use std::fs;

use super::*;
use crate::proof::signed;
use crate::support::{GEOTHERMAL, demos, file, run};

/// What the page shows of a paper, written as the command prints it.
fn lines(told: &Value) -> String {
    let word = |value: &Value, field: &str| value[field].as_str().unwrap().to_owned();
    let line = |check: &Value| format!("  {:<9}  ", word(check, "verdict"));
    let mut text = format!("{}\n", word(told, "title"));
    for code in list(told, "codes") {
        text += &format!("\n{}\n", word(code, "title"));
        for check in list(code, "checks") {
            let (about, message) = (word(check, "about"), word(check, "message"));
            text += &format!("{}{about}: {message}\n", line(check));
        }
    }
    for remark in list(told, "remarks") {
        text += &format!("\n{}{}\n", line(remark), word(remark, "message"));
    }
    if let Some(next) = told["next"].as_str() {
        text += &format!("\n{next}");
    }
    text + &format!("\n{}\n{}\n", word(told, "limits"), word(told, "last_line"))
}

/// The page with the demo's key, and as others need it.
fn verify(page: &mut Page, paper: &str, pdf: &[u8], more: &Value) -> Value {
    let (told, read) = Page(Module::default()).send(&json!({ "ask": "read-paper" }), pdf);
    if told["why"].is_string() {
        return told;
    }
    let keys = fs::read_to_string(&signed().public).unwrap();
    let mut request = json!({ "ask": "verify", "paper": paper, "keys": keys, "read": read.len(), "today": AS_OF });
    let more = more.as_object().unwrap().clone();
    request.as_object_mut().unwrap().extend(more);
    page.send(&request, &[&read, pdf].concat()).0
}

fn spec(path: &str) -> Value {
    json!({ "path": path, "text": read(path), "today": AS_OF })
}

#[test]
fn every_line_is_that_of_the_command() {
    let mut page = Page::open();
    let register = "number,revision,withdrawn\nAF-JP-12,3,\n";
    let folder = TempDir::new().unwrap();
    let register_file = file(&folder, "current.csv", register);
    page.put(&register_file, register);
    let of = |name: &str| signed().out.join(name).to_str().unwrap().to_owned();
    // One byte of the file that no reader looks at, which a copy may change.
    let mut altered = fs::read(of("AF-JP-12-r2/card.pdf")).unwrap();
    altered.extend(b"\n");
    let altered = file(&folder, "altered.pdf", altered);
    let unsigned = demos().gas.join("card.pdf").to_str().unwrap().to_owned();
    let none = json!({});
    let gas = json!({ "spec": spec(GAS) });
    let earlier = json!({ "spec": spec(EARLIER) });
    for (paper, given, arguments, holds) in [
        (of("AF-JP-12-r2/card.pdf"), &gas, &["--spec", GAS][..], true),
        (
            of("AF-JP-12-r2/card.pdf"),
            &earlier,
            &["--spec", EARLIER],
            false,
        ),
        (of("AF-JP-12-r2/card.pdf"), &none, &[], true),
        (of("HC-SF-104-r2/procedure.pdf"), &none, &[], true),
        (of("AF-JP-12-r2/procedure.pdf"), &none, &[], false),
        (
            of("AF-JP-12-r2/procedure.pdf"),
            &json!({ "records": [RECORD] }),
            &["--record", RECORD],
            true,
        ),
        (
            of("AF-JP-12-r2/card.pdf"),
            &json!({ "register": register_file }),
            &["--register", &register_file],
            false,
        ),
        (altered, &gas, &["--spec", GAS], false),
        (unsigned, &gas, &["--spec", GAS], false),
    ] {
        let told = verify(&mut page, &paper, &fs::read(&paper).unwrap(), given);
        let base = [
            "verify",
            &paper,
            "--trust",
            &signed().public,
            "--as-of",
            AS_OF,
        ];
        let ran = coldring_with(&[&base[..], arguments].concat());
        assert_eq!(lines(&told), ran.out, "{arguments:?}: {}", ran.err);
        assert_eq!(told["holds"], ran.code == Some(0), "{}", ran.out);
        assert_eq!(told["holds"], holds, "{}", ran.out);
    }
}

/// In a house style only the style makes the same pages again.
#[test]
fn a_paper_in_a_house_style_is_proven_in_it_alone() {
    let folder = TempDir::new().unwrap();
    let ran = run(crate::support::coldring()
        .args([
            "build",
            GEOTHERMAL,
            "--key",
            &signed().private,
            "--only",
            "card",
        ])
        .args(["--house", "specs/house", "--as-of", AS_OF, "--out"])
        .arg(folder.path()));
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let paper = folder.path().join("HC-SF-104-r2/card.pdf");
    let paper = paper.to_str().unwrap();
    let mut page = Page(Module::default());
    for file in ["house.yaml", "logo.svg"] {
        let path = format!("specs/house/{file}");
        page.put(&path, read(&path));
    }
    let mut given = spec(GEOTHERMAL);
    for (house, arguments, holds) in [
        (None, &["--spec", GEOTHERMAL][..], false),
        (
            Some("specs/house/house.yaml"),
            &["--spec", GEOTHERMAL, "--house", "specs/house"],
            true,
        ),
    ] {
        given["house"] = json!(house);
        let more = json!({ "spec": given });
        let told = verify(&mut page, paper, &fs::read(paper).unwrap(), &more);
        let base = [
            "verify",
            paper,
            "--trust",
            &signed().public,
            "--as-of",
            AS_OF,
        ];
        let ran = coldring_with(&[&base[..], arguments].concat());
        assert_eq!(lines(&told), ran.out, "{}", ran.err);
        assert_eq!(told["holds"], holds, "{}", ran.out);
    }
}

#[test]
fn a_file_that_cannot_be_read_proves_nothing_and_says_why() {
    let mut page = Page::open();
    let folder = TempDir::new().unwrap();
    let card = fs::read(signed().out.join("AF-JP-12-r2/card.pdf")).unwrap();
    for pdf in [
        Vec::new(),
        b"number: 1".to_vec(),
        crate::pdf_parts::tenfold(),
        card[..card.len() / 2].to_vec(),
    ] {
        let path = file(&folder, "paper.pdf", &pdf);
        let told = verify(&mut page, &path, &pdf, &json!({ "spec": spec(GAS) }));
        let arguments = ["verify", &path, "--trust", &signed().public, "--spec", GAS];
        let ran = run(crate::support::coldring()
            .args(arguments)
            .args(["--as-of", AS_OF]));
        match told["why"].as_str() {
            Some(why) => assert!(ran.err.contains(why), "{why}: {}", ran.err),
            None => assert_eq!(lines(&told), ran.out),
        }
        assert_ne!(told["holds"], true, "{told}");
    }
    // What was read may not be whole either.
    let keys = fs::read_to_string(&signed().public).unwrap();
    for read in [0, 7, 1 << 20] {
        let request =
            json!({ "ask": "verify", "paper": "x", "keys": keys, "read": read, "today": AS_OF });
        let (told, _) = page.send(&request, &card);
        assert!(told["why"].is_string(), "{told}");
    }
}

#[test]
fn keys_are_read_from_a_text_and_a_private_one_is_refused() {
    let mut page = Page::open();
    let paper = signed().out.join("HC-SF-104-r2/procedure.pdf");
    let pdf = fs::read(paper).unwrap();
    let public = fs::read_to_string(&signed().public).unwrap();
    let private = fs::read_to_string(&signed().private).unwrap();
    let other = coldring::proof::Signer::from_seed(&[9; 32]);
    let other = other.public_pem().unwrap();
    let mut with = |keys: &str| {
        let given = json!({ "keys": keys });
        verify(&mut page, "x.pdf", &pdf, &given)
    };
    let both = format!("Ours, 2026:\n{other}\nand theirs\n{public} as told by phone");
    assert_eq!(with(&both)["holds"], true);
    let told = with(&other);
    assert_eq!(told["holds"], false, "{told}");
    for (keys, said) in [
        (String::new(), "no key"),
        ("a key".to_owned(), "no key"),
        (private, "private key"),
        (format!("{public}-----BEGIN PUBLIC KEY-----\nAAAA"), "key 2"),
    ] {
        let told = with(&keys);
        assert!(told["why"].as_str().unwrap().contains(said), "{told}");
    }
    let request = json!({ "register": GEOTHERMAL });
    let told = verify(&mut page, "x.pdf", &pdf, &request);
    assert!(told["why"].as_str().unwrap().contains("not open"), "{told}");
}
