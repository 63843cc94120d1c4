//! A paper that was asked for and cannot be made is named, with the reason.

use chrono::NaiveDate;
use coldring::compile::{Options, PaperKind, compile};
use coldring::source::Source;

fn withheld(edits: &[(&str, &str)]) -> Vec<PaperKind> {
    let mut text = include_str!("../../specs/hollow-creek-geothermal.yaml").to_owned();
    for (from, to) in edits {
        assert!(text.contains(from), "{from}");
        text = text.replace(from, to);
    }
    let options = Options {
        papers: PaperKind::ALL.to_vec(),
        ..Options::default()
    };
    let day = NaiveDate::from_ymd_opt(2026, 11, 25).unwrap();
    let outcome = compile(&Source::new("spec.yaml", text).into(), &options, day).unwrap();
    let made = outcome.papers.iter().map(|paper| paper.kind);
    let withheld: Vec<_> = outcome.withheld.iter().map(|(kind, _)| *kind).collect();
    assert_eq!(made.count() + withheld.len(), 3);
    withheld
}

#[test]
fn a_withdrawn_procedure_reaches_no_pocket_and_no_pipe() {
    assert_eq!(
        withheld(&[("status: draft\n", "status: withdrawn\n")]),
        [PaperKind::Card, PaperKind::DepthMarks]
    );
}

#[test]
fn no_strip_is_printed_for_a_depth_nobody_has_measured() {
    let unmeasured: Vec<(String, &str)> = ["0.64", "0.71", "0.81", "0.88", "0.94"]
        .iter()
        .zip(1..)
        .map(|(depth, gauge)| {
            (
                format!("{{depth: {depth} in, id: DG-{gauge}, source: \"caliper, gauge DG-{gauge}, 2026-10-28\"}}"),
                "{depth: to be measured}",
            )
        })
        .collect();
    let edits: Vec<_> = unmeasured
        .iter()
        .map(|(from, to)| (from.as_str(), *to))
        .collect();
    assert_eq!(withheld(&edits), [PaperKind::DepthMarks]);
    assert_eq!(withheld(&edits[1..]), []);
}
