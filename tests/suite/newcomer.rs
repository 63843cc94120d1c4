//! What somebody sees who writes a first spec: few lines, and for each slip one finding
//! that says where it is and what to write.

use coldring::core::finding::{Finding, Severity};
use coldring::core::source::Source;
use coldring::papers::compile::check;
use tempfile::tempdir;

use crate::support::{AS_OF, GAS, GEOTHERMAL, WRONG, as_of, coldring, coldring_with, read, run};

fn lines(text: &str) -> usize {
    text.lines().count()
}

/// A starter as `new` writes it, checked: what is printed.
fn checked_starter(more: &[&str], explain: bool) -> String {
    let folder = tempdir().unwrap();
    let program = || {
        let mut command = coldring();
        command.current_dir(folder.path());
        command
    };
    let new = run(program().args(["new", "mine.yaml"]).args(more));
    assert_eq!(new.code, Some(0), "{}", new.err);
    let explain = if explain { &["--explain"][..] } else { &[] };
    let ran = run(program().args(["check", "mine.yaml"]).args(explain));
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    ran.out + &ran.err
}

#[test]
fn an_untouched_starter_names_what_is_the_users_in_eight_lines() {
    for more in [
        &[][..],
        &["--service", "gas"],
        &["--service", "geothermal", "--sizes", "3/4 CTS"],
        &["--sizes", "25 mm, 63 mm"],
        &["--sizes", "32 mm", "--service", "gas"],
    ] {
        let said = checked_starter(more, false);
        assert!(lines(&said) <= 8, "{more:?}: {}\n{said}", lines(&said));
        assert!(said.lines().all(|l| l.chars().count() <= 100), "{said}");
        for own in [
            "`organization`",
            "`pipe_temperature`",
            "`face_offset`",
            "`accuracy`",
            "`strength`",
            "`before_pressure_test`",
            "NO JOINT until measured",
        ] {
            let joined = said.replace("\n    ", " ");
            assert!(joined.contains(own), "{more:?}: {own}\n{said}");
        }
    }
}

#[test]
fn with_explain_each_finding_has_its_lines_and_the_reason() {
    let said = checked_starter(&[], true);
    for slug in [
        "depth-not-measured",
        "wait-missing",
        "recalled-figures-used",
    ] {
        assert!(said.contains(&format!("warning[{slug}]")), "{said}");
    }
    assert!(said.contains("= help: ") && said.contains("^^^^"), "{said}");
    // The reason of a rule stands once, though it fires twice.
    let reason = "Nobody can make a joint without its depth";
    assert_eq!(said.matches(reason).count(), 1, "{said}");
}

#[test]
fn a_demo_builds_in_twelve_lines_and_counts_its_warnings() {
    let folder = tempdir().unwrap();
    for spec in [
        GAS,
        GEOTHERMAL,
        "specs/tern-valley-water.yaml",
        "specs/saddle-works-hot-water.yaml",
    ] {
        let out = folder.path().to_str().unwrap();
        let only = ["--only", "depth-marks", "--as-of", AS_OF, "--out", out];
        let ran = run(coldring().args(["build", spec]).args(only));
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        // The other papers have a line each.
        let others = crate::support::PAPERS.len() - 1;
        let all = lines(&(ran.out + &ran.err)) + others;
        assert!(all <= 12, "{spec}: {all}\n{}", ran.err);
        assert!(!ran.err.contains("warning["), "{}", ran.err);
        // The thermal estimate is made with the paper that prints it.
        let told = coldring_with(&["check", "--as-of", AS_OF, spec]);
        let tells = format!("coldring check {spec} lists them");
        let all_confirmed = told.err.contains("no findings");
        assert_eq!(spec == GAS, all_confirmed, "{}", told.err);
        assert!(all_confirmed || ran.err.contains(&tells), "{}", ran.err);
        let count = |err: &str| err.split(" warnings").next().map(last_word);
        assert!(
            all_confirmed || count(&ran.err) == count(&told.err),
            "{spec}"
        );
    }
}

#[test]
fn a_build_counts_what_the_estimate_finds_where_it_prints_it() {
    let folder = tempdir().unwrap();
    let spec = "specs/tern-valley-water.yaml";
    let out = folder.path().to_str().unwrap();
    let only = ["--only", "sources", "--as-of", AS_OF, "--out", out];
    let ran = run(coldring().args(["build", spec]).args(only));
    let told = coldring_with(&["check", "--heat", "--as-of", AS_OF, spec]);
    let tells = format!("coldring check --heat {spec} lists them");
    assert!(ran.err.contains(&tells), "{}", ran.err);
    let count = |err: &str| err.split(" warnings").next().map(last_word);
    assert_eq!(count(&ran.err), count(&told.err));
}

fn last_word(text: &str) -> String {
    text.rsplit(' ').next().unwrap_or_default().to_owned()
}

#[test]
fn a_build_says_its_errors_and_few_findings_are_shown_in_full() {
    let folder = tempdir().unwrap();
    let out = folder.path().join("out");
    let wrong = run(coldring()
        .args(["build", "--as-of", AS_OF, WRONG, "--out"])
        .arg(&out));
    assert_eq!(wrong.code, Some(1));
    assert!(
        wrong.err.contains(": error[depth-impossible]: "),
        "{}",
        wrong.err
    );
    assert!(!wrong.err.contains("warning["), "{}", wrong.err);
    let slip = read(GAS).replace("set_point: 500 °F", "set_point: 500");
    std::fs::write(folder.path().join("slip.yaml"), slip).unwrap();
    let one = run(coldring()
        .current_dir(folder.path())
        .args(["build", "--as-of", AS_OF, "slip.yaml", "--out"])
        .arg(&out));
    assert!(one.err.contains("= help: write 500 °F"), "{}", one.err);
}

fn errors(text: &str) -> Vec<Finding> {
    let found = check(&Source::new("mine.yaml", text).into(), as_of()).findings;
    let errors = found.into_iter();
    errors.filter(|f| f.severity() == Severity::Error).collect()
}

/// Slips of a first hour: what stands in the spec, what is typed for it, where the
/// finding is, and what it says to write.
const SLIPS: &[(&str, &str, &str, &str)] = &[
    (
        "  set_point: 500",
        "\tset_point: 500",
        "s",
        "spaces, never tabs",
    ),
    (
        "  set_point: 500 °F",
        "  set_point:500 °F",
        "set_point:500 °F",
        "`set_point: 500 °F`",
    ),
    (
        "cold_rings: [1 IPS, 1-1/4 IPS]",
        "cold_rings: 2 rings, 3 inserts",
        "2 rings",
        "1 IPS: {insert_in: 2 IPS}",
    ),
    (
        "adapters: {1 IPS: {}, 1-1/4 IPS: {}}",
        "adapters: [1 IPS, 1-1/4 IPS]",
        "[",
        "write {1 IPS: {}, 1-1/4 IPS: {}}",
    ),
    (
        "1 IPS: {depth: 0.71 in, id: DG-1, source: \"caliper, 2026-10-28\"}",
        "1 IPS: 0.71 in",
        "0.71 in",
        "write 1 IPS: {depth: 0.71 in}",
    ),
    (
        "set_point: 500 °F",
        "set_point: 500 °F ± 10",
        "500 °F ± 10",
        "without its tolerance",
    ),
    ("coldring: 1", "coldring:1", "coldring:1", "`coldring: 1`"),
    ("coldring: 1\n", "", "", "`coldring: 1` as the first line"),
    ("coldring: 1\n", "coldring: 1.0\n", "1.0", "`coldring: 1`"),
    (
        "{largest: 1-1/4",
        "{largest:1-1/4",
        "largest:1-1/4 IPS",
        "`largest: 1-1/4 IPS`",
    ),
    ("  resin: PE4710", "   resin: PE4710", "p", "as many spaces"),
    (
        "set_point: 500 °F",
        "set_point = 500 °F",
        "set_point",
        "`set_point: 500 °F`",
    ),
    (
        "  - {revision: 1,",
        "  -{revision: 1,",
        "-{",
        "space after the hyphen",
    ),
    (
        "status: draft",
        "status: draft\n  status: draft",
        "status",
        "delete the other",
    ),
    ("set_point: 500 °F", "set_point: 500", "500", "write 500 °F"),
    (
        "set_point: 500 °F",
        "set_point: 500 degrees",
        "500 degrees",
        "write 500 °F",
    ),
    ("strength: 91 %", "strength: 91", "91", "write 91 %"),
    (
        "strength: 91 %",
        "strength: \"91,5 %\"",
        "\"91,5 %\"",
        "91.5 %",
    ),
    (
        "20 °F to 100 °F",
        "100 °F to 20 °F",
        "100 °F to 20 °F",
        "write 20 °F to 100 °F",
    ),
    (
        "[1 IPS, 1-1/4 IPS]",
        "1 IPS, 1-1/4 IPS",
        "1 IPS, 1-1/4 IPS",
        "[1 IPS, 1-1/4 IPS]",
    ),
    (
        "[1 IPS, 1-1/4 IPS]",
        "[1, 1-1/4 IPS]",
        "1",
        "'1 IPS' or '1 CTS'",
    ),
    ("[1 IPS, 1-1/4 IPS]", "[1 IPS, 1-1/4 IPS", "[", "`]`"),
    (
        "{method: pyrometer, accuracy: 2 °F}",
        "{method: pyrometer, accuracy: 2 °F",
        "{",
        "`}`",
    ),
    (
        "[coupling, elbow]",
        "coupling, elbow",
        "coupling, elbow",
        "[coupling, elbow]",
    ),
    (
        "method: pyrometer",
        "method: thermometer",
        "thermometer",
        "use one of: pyrometer",
    ),
    ("dimension_ratio: 11", "sdr: 11", "sdr", "`dimension_ratio`"),
    ("  resin: PE4710", "  Resin: PE4710", "Resin", "`resin`"),
    (
        "pyrometer, accuracy: 2 °F",
        "pyrometer, melts: 500 °F",
        "melts",
        "it has: method, accuracy",
    ),
    (
        "date: 2026-11-02",
        "date: 11/25/2026",
        "11/25/2026",
        "write 2026-11-25",
    ),
    (
        "date: 2026-11-02",
        "date: 11/2/2026",
        "11/2/2026",
        "2026-11-02 or 2026-02-11",
    ),
    (
        "cleaning: {agent",
        "  cleaning: {agent",
        "cleaning",
        "left margin",
    ),
    ("  set_point: 500 °F\n", "", "heater", "`set_point:`"),
    (
        "heater:\n  set_point: 500 °F",
        "set_point: 500 °F\nheater:",
        "set_point",
        "under `heater:`",
    ),
    (
        "source: \"caliper, 2026-10-28\"",
        "source: caliper, 2026-10-28",
        "caliper, 2026-10-28",
        "write \"caliper, 2026-10-28\"",
    ),
    (
        "change: First issue",
        "change: Fix: first issue",
        "",
        "quotes",
    ),
    ("number: MY-1", "number:", "number", "value after the colon"),
];

const FIRST: &str = r#"coldring: 1

procedure:
  number: MY-1
  title: Socket fusion of small pipe
  organization: Hollow Creek District Energy
  status: draft
  service: geothermal
  practice: us
  revisions:
    - {revision: 1, date: 2026-11-02, change: First issue}

references: [HC Operations Manual]

scope:
  resin: PE4710
  pipe:
    - {sizes: [1 IPS, 1-1/4 IPS], dimension_ratio: 11}
  pipe_temperature: 20 °F to 100 °F

fittings:
  kinds: [coupling, elbow]

heater:
  set_point: 500 °F
  face_offset: 0 °F
  step: 1 °F
  swing: 2 °F
  face_check: {method: pyrometer, accuracy: 2 °F}
  adapters: {1 IPS: {}, 1-1/4 IPS: {}}

tools:
  depth_gauges:
    1 IPS: {depth: 0.71 in, id: DG-1, source: "caliper, 2026-10-28"}
    1-1/4 IPS: {depth: 0.81 in, id: DG-2, source: "caliper, 2026-10-29"}
  cold_rings: [1 IPS, 1-1/4 IPS]
  cutter: {largest: 1-1/4 IPS}

cleaning: {agent: isopropyl alcohol, strength: 91 %}

cycles:
  waits:
    before_handling: {value: 10 min, source: HC Operations Manual}
    before_pressure_test: {value: 30 min, source: HC Operations Manual}

cold_weather: {}
"#;

#[test]
fn a_slip_is_one_error_that_says_what_to_write() {
    assert!(errors(FIRST).is_empty(), "{:?}", errors(FIRST));
    let mut wrong = Vec::new();
    for (right, slip, place, says) in SLIPS {
        assert!(FIRST.contains(right), "{right}");
        let text = FIRST.replacen(right, slip, 1);
        let found = errors(&text);
        let [finding] = found.as_slice() else {
            wrong.push(format!("{slip}: {found:#?}"));
            continue;
        };
        let help = finding.help.as_deref().unwrap_or_default();
        let marked = finding.span.map(|span| &text[span.range()]);
        if !help.contains(says) || !marked.unwrap_or_default().starts_with(place) {
            wrong.push(format!(
                "{slip}: at {marked:?}: {} | {help}",
                finding.message
            ));
        }
        if let Some(edited) = finding.edited(&text) {
            let after = errors(&edited);
            if !after.is_empty() {
                wrong.push(format!("{slip}: as told {after:?}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// An empty list is told beside an error of another kind, not once that is fixed.
#[test]
fn an_empty_list_is_told_beside_other_errors() {
    let unread = FIRST.replace("set_point: 500 °F", "set_point: hot");
    for (list, empty) in [
        ("kinds: [coupling, elbow]", "kinds: []"),
        ("sizes: [1 IPS, 1-1/4 IPS]", "sizes: []"),
        (
            "\n    - {revision: 1, date: 2026-11-02, change: First issue}",
            " []",
        ),
    ] {
        assert!(unread.contains(list), "{list}");
        let found = errors(&unread.replace(list, empty));
        assert!(found.len() >= 2, "{empty}: {found:?}");
    }
}
