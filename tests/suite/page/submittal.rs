//! A submittal is that of `coldring submittal`, byte for byte.

use std::fs;

use super::*;
use crate::support::path;

const SUBMITTAL: &str = "specs/submittal/AF-S-031.yaml";
const ATTACHED: [&str; 2] = [
    "specs/submittal/attachments/pipe-certificate.pdf",
    "specs/submittal/attachments/fitting-sheet.pdf",
];

/// The files of the demo, where `place` says.
fn open(place: impl Fn(&str) -> String) -> Page {
    let mut page = Page(Module::default());
    let confirmations = "specs/confirmations/AF-EC-2.yaml";
    let texts = [SUBMITTAL, GAS, RECORD, confirmations, ROSTERS[0]];
    for name in texts.into_iter().chain(ATTACHED) {
        page.put(&place(name), fs::read(path(name)).unwrap());
    }
    page
}

/// Tries the attachments, as the page does, and makes the packet.
fn packet(
    page: &mut Page,
    submittal: &str,
    change: impl Fn(&str, Value) -> Value,
) -> (Value, Vec<u8>) {
    let request = json!({ "ask": "attachments", "submittal": submittal });
    let (told, bytes) = page.send(&request, b"");
    let mut rest = bytes.as_slice();
    let tried = list(&told, "attachments").iter().map(|attached| {
        let named = attached["path"].as_str().unwrap();
        let length = usize::try_from(attached["bytes"].as_u64().unwrap()).unwrap();
        let (pdf, after) = rest.split_at(length);
        rest = after;
        let (told, _) = Page(Module::default()).send(&json!({ "ask": "try-attachment" }), pdf);
        json!([named, change(named, told["tried"].clone())])
    });
    let tried: Vec<_> = tried.collect();
    assert_eq!(tried.len(), 2);
    page.ask(
        "submittal",
        &json!({ "submittal": submittal, "tried": tried }),
    )
}

#[test]
fn a_submittal_is_that_of_the_command() {
    let out = TempDir::new().unwrap();
    let ran = coldring_with(&[
        "submittal",
        SUBMITTAL,
        "--out",
        out.path().to_str().unwrap(),
    ]);
    assert_eq!(ran.code, Some(0), "{}{}", ran.out, ran.err);
    let made = written(out.path());
    // In their folders, and as a browser opens them, without.
    let last = |name: &str| name.rsplit('/').next().unwrap().to_owned();
    for (mut page, submittal) in [
        (open(str::to_owned), SUBMITTAL.to_owned()),
        (open(last), last(SUBMITTAL)),
    ] {
        let (told, pdf) = packet(&mut page, &submittal, |_, tried| tried);
        assert_eq!(told["name"], "AF-S-031-r0-submittal.pdf", "{told}");
        assert!(made[0].1 == pdf);
        let errors = list(&told, "findings")
            .iter()
            .filter(|it| it["severity"] == "error");
        assert_eq!(errors.count(), 0);
    }
}

#[test]
fn an_attachment_that_could_not_be_tried_is_an_error_at_its_line() {
    let mut page = open(str::to_owned);
    let stopped = |named: &str, tried: Value| match named {
        name if name == ATTACHED[0] => json!({ "Err": { "Stopped": "took more than 60 seconds" } }),
        _ => tried,
    };
    let (told, pdf) = packet(&mut page, SUBMITTAL, stopped);
    assert!(told["name"].is_null() && pdf.is_empty(), "{told}");
    let line = read(SUBMITTAL)
        .lines()
        .position(|line| line.contains("pipe-certificate"))
        .unwrap();
    let errors = list(&told, "findings")
        .iter()
        .filter(|it| it["severity"] == "error");
    let errors: Vec<_> = errors.collect();
    assert_eq!(errors.len(), 1, "{told}");
    assert_eq!(errors[0]["line"], line + 1);
    assert!(
        errors[0]["message"]
            .as_str()
            .unwrap()
            .contains("took more than 60 seconds")
    );
    // One that was not tried at all does not pass either.
    let (told, pdf) = page.ask("submittal", &json!({ "submittal": SUBMITTAL }));
    assert!(told["name"].is_null() && pdf.is_empty(), "{told}");
}

#[test]
fn what_is_not_open_or_wrong_is_told_and_no_packet_made() {
    let mut page = Page::open();
    page.put(SUBMITTAL, read(SUBMITTAL));
    let (told, pdf) = page.ask("submittal", &json!({ "submittal": SUBMITTAL }));
    assert!(told["name"].is_null() && pdf.is_empty(), "{told}");
    let messages: Vec<_> = list(&told, "findings")
        .iter()
        .map(|it| it["message"].as_str().unwrap())
        .collect();
    assert!(
        messages
            .iter()
            .any(|it| it.contains("pipe-certificate.pdf") && it.contains("not open")),
        "{messages:?}"
    );
    page.put(SUBMITTAL, "coldring-submittal: 1\n");
    let (told, _) = page.ask("submittal", &json!({ "submittal": SUBMITTAL }));
    assert!(
        told["name"].is_null() && !list(&told, "findings").is_empty(),
        "{told}"
    );
    page.put(
        SUBMITTAL,
        read(SUBMITTAL).replace("../alder", "../../alder"),
    );
    let (told, _) = page.ask("submittal", &json!({ "submittal": SUBMITTAL }));
    assert!(
        told.to_string().contains("nor in the folder that holds it"),
        "{told}"
    );
}

#[test]
fn a_submittal_that_is_started_here_makes_a_packet_of_the_spec() {
    let mut page = Page::open();
    let (told, _) = page.ask("submittal-starter", &json!({}));
    let text = told["text"].as_str().unwrap();
    assert!(text.contains("spec: alder-fork-gas.yaml"), "{text}");
    assert!(text.contains("records/AF-PQ-07.yaml"), "{text}");
    page.put("specs/alder-fork-gas.yaml", read(GAS));
    page.put("specs/submittal.yaml", text);
    let (told, pdf) = page.ask("submittal", &json!({ "submittal": "specs/submittal.yaml" }));
    assert_eq!(told["name"], "S-001-r0-submittal.pdf", "{told}");
    assert!(pdf.starts_with(b"%PDF-"));
    let (told, _) = page.ask_of("coldring: 1\n", "submittal-starter", &json!({}));
    assert!(told["why"].is_string(), "{told}");
}
