use super::*;

fn procedure(number: &str, digest: &str, files: &[(&str, &str)]) -> String {
    let files: Vec<_> = files
        .iter()
        .map(|(name, sha256)| serde_json::json!({"name": name, "bytes": 1, "sha256": sha256}))
        .collect();
    serde_json::json!({
        "version": 1, "number": number, "revision": 2, "spec_digest": digest,
        "build_digest": "b", "files": files,
    })
    .to_string()
}

fn part(number: u32, of: u32, batch: &str, made: &[(&str, &str)]) -> String {
    let specs: Vec<_> = made
        .iter()
        .map(|(number, digest)| {
            serde_json::json!({
                "number": number, "revision": 2, "spec_digest": digest, "errors": 0, "files": 4,
            })
        })
        .collect();
    serde_json::json!({
        "version": 1, "shard": {"number": number, "of": of, "batch": batch},
        "held": made.len(), "specs": specs,
    })
    .to_string()
}

fn cards(number: u32, of: u32, sha256: &str) -> String {
    serde_json::json!({
        "version": 1, "as_of": "2026-11-25", "cards": 3,
        "shard": {"number": number, "of": of, "batch": "c"},
        "files": [{"name": "AF-JP-12.pdf", "cards": 3, "bytes": 1, "sha256": sha256}],
    })
    .to_string()
}

/// The slugs of what is found, with the place of the manifest.
fn found(texts: &[&str]) -> Vec<(usize, &'static str)> {
    let merged = merge(&sources(texts));
    merged
        .findings
        .iter()
        .map(|(place, finding)| (*place, finding.rule.slug))
        .collect()
}

fn sources(texts: &[&str]) -> Vec<Source> {
    let named = texts.iter().enumerate();
    named
        .map(|(n, text)| Source::new(format!("out-{n}/manifest.json"), *text))
        .collect()
}

#[test]
fn parts_that_are_all_there_fit_together() {
    let [a, b] = [
        procedure("A-1", "da", &[("card.pdf", "x")]),
        procedure("B-1", "db", &[("card.pdf", "y")]),
    ];
    let [one, two] = [
        part(1, 2, "b", &[("A-1", "da")]),
        part(2, 2, "b", &[("B-1", "db")]),
    ];
    let [third, fourth] = [cards(1, 2, "x"), cards(2, 2, "y")];
    let texts = [&a, &b, &one, &two, &third, &fourth].map(String::as_str);
    assert_eq!(found(&texts), []);
    let listing = merge(&sources(&texts)).listing;
    let numbers: Vec<_> = listing.procedures.iter().map(|p| &p.number).collect();
    assert_eq!(numbers, ["A-1", "B-1"]);
    assert_eq!(listing.cards.len(), 2);
    assert!(listing.batches.iter().all(|batch| batch.missing.is_empty()));
}

#[test]
fn a_part_that_is_not_there_is_found() {
    let [a, one] = [
        procedure("A-1", "da", &[("card.pdf", "x")]),
        part(1, 3, "b", &[("A-1", "da")]),
    ];
    assert_eq!(found(&[&a, &one]), [(1, "shard-missing")]);
    let merged = merge(&sources(&[&a, &one]));
    assert_eq!(merged.listing.batches[0].missing, [2, 3]);
    assert!(merged.findings[0].1.message.contains("parts 2/3, 3/3"));
    assert_eq!(found(&[&cards(2, 2, "x")]), [(0, "shard-missing")]);
}

/// Two machines were given different files: each batch lacks a part.
#[test]
fn parts_of_two_batches_do_not_make_one() {
    let texts = [part(1, 2, "b", &[]), part(2, 2, "c", &[])];
    let texts = [texts[0].as_str(), texts[1].as_str()];
    assert_eq!(found(&texts), [(0, "shard-missing"), (1, "shard-missing")]);
    let help = merge(&sources(&texts)).findings[0].1.help.clone();
    assert!(help.unwrap().contains("another batch"));
}

#[test]
fn the_same_paper_with_two_contents_is_found() {
    let one = procedure("A-1", "da", &[("card.pdf", "x"), ("procedure.pdf", "p")]);
    let again = procedure("A-1", "da", &[("card.pdf", "y"), ("procedure.pdf", "p")]);
    assert_eq!(found(&[&one, &one]), []);
    assert_eq!(found(&[&one, &again]), [(1, "same-paper-differs")]);
    // Capitals do not tell folders apart everywhere.
    let capitals = procedure("a-1", "db", &[("depth-marks.pdf", "z")]);
    assert_eq!(found(&[&one, &capitals]), [(1, "same-paper-differs")]);
    let day = [cards(1, 1, "x"), cards(1, 1, "y")];
    assert_eq!(found(&[&day[0], &day[1]]), [(1, "same-paper-differs")]);
}

#[test]
fn papers_of_one_spec_in_two_folders_are_listed_together() {
    let [card, marks] = [
        procedure("A-1", "da", &[("card.pdf", "x")]),
        procedure("A-1", "da", &[("depth-marks.pdf", "z")]),
    ];
    assert_eq!(found(&[&card, &marks]), []);
    let listing = merge(&sources(&[&card, &marks])).listing;
    assert_eq!(listing.procedures.len(), 1);
    assert_eq!(listing.procedures[0].files.len(), 2);
}

#[test]
fn papers_that_a_part_wrote_and_nobody_has_are_found() {
    let one = part(1, 1, "b", &[("A-1", "da")]);
    assert_eq!(found(&[&one]), [(0, "papers-of-shard-missing")]);
    let earlier = procedure("A-1", "of before", &[("card.pdf", "x")]);
    assert_eq!(found(&[&earlier, &one]), [(1, "papers-of-shard-missing")]);
    // One with errors has none, and is listed.
    let failed = one.replace("\"files\":4", "\"files\":0");
    assert_ne!(failed, one);
    assert_eq!(found(&[&failed]), []);
    let batches = merge(&sources(&[&failed])).listing.batches;
    assert_eq!(batches[0].without_papers.len(), 1);
}

#[test]
fn what_is_no_manifest_is_found() {
    let deep = "[".repeat(100_000);
    for text in [
        "",
        "{}",
        "[1]",
        "{\"version\": 2}",
        "{\"version\": 1}",
        "{\"version\": 1, \"number\": \"A-1\"}",
        "{\"version\": 1, \"specs\": []}",
        "{\"version\": 1, \"held\": 0, \"specs\": [], \"shard\": {\"number\": 0, \"of\": 0, \"batch\": \"\"}}",
        "{\"version\": 1, \"held\": 0, \"specs\": [], \"shard\": {\"number\": 1, \"of\": 4000000000, \"batch\": \"\"}}",
        &deep,
    ] {
        let start: String = text.chars().take(80).collect();
        assert_eq!(found(&[text]), [(0, "manifest-not-read")], "{start}");
    }
}
