//! `coldring plan`, against times worked by hand, and the papers of the kinds
//! of work that only some specs have.

use serde_json::Value;
use tempfile::TempDir;

use crate::support::{
    AS_OF, GEOTHERMAL, build_text, coldring_with, document, file, list, pages_text, read, squeezed,
};

/// A plan of the spec with more arguments, as its JSON document.
fn planned(spec: &str, more: &[&str]) -> Value {
    let arguments = ["plan", spec, "--as-of", AS_OF, "--format", "json"];
    let run = coldring_with(&[&arguments, more].concat());
    assert_eq!(run.code, Some(0), "{}", run.err);
    document(&run)
}

fn base() -> String {
    read("tests/data/base.yaml")
}

fn metric() -> String {
    read("tests/data/metric-base.yaml")
}

/// The row of a size, and of its walls where it says them.
fn row<'p>(plan: &'p Value, size: &str, walls: Option<&str>) -> &'p Value {
    list(plan, "joint_times")
        .iter()
        .find(|row| row["size"] == size && row["walls"].as_str() == walls)
        .unwrap_or_else(|| panic!("no row for {size}"))
}

fn times(row: &Value, fields: &[&str]) -> Vec<f64> {
    fields
        .iter()
        .map(|field| row[field].as_f64().unwrap_or_else(|| panic!("{field}")))
        .collect()
}

const TIMES: [&str; 9] = [
    "on_heater_shortest_s",
    "on_heater_longest_s",
    "change_over_s",
    "hold_s",
    "heater_and_crew_shortest_s",
    "heater_and_crew_longest_s",
    "wait_after_hold_s",
    "until_handled_shortest_s",
    "until_handled_longest_s",
];

#[test]
fn a_us_joint_waits_after_its_hold() {
    // 18 to 21 s on the heater, 3 s over, held 60 s, then 5 min.
    let plan = planned(GEOTHERMAL, &[]);
    assert_eq!(
        times(row(&plan, "1-1/4 IPS", None), &TIMES),
        [18.0, 21.0, 3.0, 60.0, 81.0, 84.0, 300.0, 381.0, 384.0]
    );
    assert_eq!(plan["day"], Value::Null);
}

#[test]
fn a_metric_joint_cools_from_joining() {
    let folder = TempDir::new().unwrap();
    let waits = "    before_handling: {value: 8 min, source: Works manual 3.4}\n";
    let text = metric().replace(waits, "");
    let plan = planned(&file(&folder, "m.yaml", text), &[]);
    // d 63, thick: 24 s, 8 s over, held 30 s of the 6 min it cools.
    assert_eq!(
        times(row(&plan, "63 mm", Some("thick")), &TIMES),
        [24.0, 24.0, 8.0, 30.0, 62.0, 62.0, 330.0, 392.0, 392.0]
    );
    // d 90, thin: 22 s, 8 s over, held 40 s of 6 min.
    assert_eq!(
        times(row(&plan, "90 mm", Some("thin")), &TIMES),
        [22.0, 22.0, 8.0, 40.0, 70.0, 70.0, 320.0, 390.0, 390.0]
    );
}

#[test]
fn every_time_says_where_it_is_from() {
    let plan = planned(GEOTHERMAL, &[]);
    let row = row(&plan, "2 IPS", None);
    for source in ["on_heater_source", "change_over_source", "hold_source"] {
        assert!(!row[source].as_str().unwrap().is_empty(), "{source}");
    }
    assert_eq!(
        row["wait_source"],
        "HC Operations Manual 7.3 (organization)"
    );
    assert_ne!(row["standing"], "standard");
}

#[test]
fn a_day_is_the_sum_of_its_joints_and_its_last_waits() {
    let joints = ["--joints", "1-1/4 IPS=10"];
    let plan = planned(GEOTHERMAL, &joints);
    // Ten times 84 s; then 5 min, and 30 min before the test.
    let day = &plan["day"];
    assert_eq!(day["joint_count"], 10);
    assert_eq!(day["heater_and_crew_s"], 840.0);
    assert_eq!(day["preparation_s"], Value::Null);
    assert_eq!(day["last_hold_ends_s"], 840.0);
    assert_eq!(day["all_handled_s"], 1140.0);
    assert_eq!(day["pressure_test_from_s"], 2640.0);
    let said = plan["assumptions"].to_string();
    assert!(
        said.contains("left out; give it with --preparation"),
        "{said}"
    );
    assert!(said.contains("second end of a fitting"), "{said}");

    let plan = planned(
        GEOTHERMAL,
        &[&joints[..], &["--preparation", "6 min"]].concat(),
    );
    let day = &plan["day"];
    assert_eq!(day["preparation_s"], 3600.0);
    assert_eq!(day["last_hold_ends_s"], 4440.0);
    assert_eq!(day["all_handled_s"], 4740.0);
    assert_eq!(day["pressure_test_from_s"], 6240.0);
}

#[test]
fn the_last_wait_is_not_always_that_of_the_last_joint() {
    let folder = TempDir::new().unwrap();
    // d 32 and d 90 with the published waits of 4 and 6 min.
    let waits = "    before_handling: {value: 8 min, source: Works manual 3.4}\n";
    let spec = file(&folder, "m.yaml", metric().replace(waits, ""));
    let plan = planned(&spec, &["--joints", "90 mm=1,32 mm=1"]);
    let day = &plan["day"];
    // d 90, the slower wall: 40 + 8 + 40 = 88 s; d 32: 8 + 6 + 10 = 24 s.
    assert_eq!(day["last_hold_ends_s"], 112.0);
    // d 90 is cool 6 min after joining at 48 s, d 32 4 min after joining at 102 s.
    assert_eq!(day["all_handled_s"], 408.0);
    // In metric practice the wait of 2 h starts when the cooling ends.
    assert_eq!(day["pressure_test_from_s"], 7608.0);
}

#[test]
fn a_size_that_is_not_claimed_has_no_plan() {
    let run = coldring_with(&["plan", GEOTHERMAL, "--joints", "4 IPS=2"]);
    assert_eq!(run.code, Some(2));
    assert!(run.err.contains("4 IPS"), "{}", run.err);
    assert!(run.out.is_empty());
}

#[test]
fn what_cannot_be_counted_is_a_usage_error() {
    for more in [
        ["--joints", "1 IPS"],
        ["--joints", "1 IPS=0"],
        ["--joints", "1 IPS=10000"],
        ["--joints", "1=5"],
        ["--joints", "1 IPS=-1"],
    ] {
        let run = coldring_with(&[&["plan", GEOTHERMAL], &more[..]].concat());
        assert_eq!(run.code, Some(2), "{more:?}");
    }
    for time in ["6", "6 in", "-6 min", "25 h"] {
        let preparation = format!("--preparation={time}");
        let run = coldring_with(&["plan", GEOTHERMAL, "--joints", "1 IPS=1", &preparation]);
        assert_eq!(run.code, Some(2), "{time}");
    }
    // A time below nothing is no option of another name.
    let apart = ["--joints", "1 IPS=1", "--preparation", "-1 min"];
    let run = coldring_with(&[&["plan", GEOTHERMAL], &apart[..]].concat());
    assert!(
        run.err.contains("write a time of up to a day"),
        "{}",
        run.err
    );
}

#[test]
fn a_spec_with_an_error_has_no_plan() {
    let folder = TempDir::new().unwrap();
    let spec = file(&folder, "s.yaml", base().replace("hold: 65 s", "hold: 5 s"));
    let run = coldring_with(&["plan", &spec, "--as-of", AS_OF]);
    assert_eq!(run.code, Some(1));
    assert!(
        run.err.contains("hold-shorter-than-published"),
        "{}",
        run.err
    );
    assert!(run.out.is_empty());
}

#[test]
fn csv_has_a_row_for_each_joint_time() {
    let run = coldring_with(&["plan", GEOTHERMAL, "--format", "csv", "--as-of", AS_OF]);
    let lines: Vec<_> = run.out.lines().collect();
    assert_eq!(lines.len(), 6, "{}", run.out);
    assert!(lines[0].starts_with("size,walls,on_heater_shortest_s,"));
    assert!(
        lines[3].starts_with("1-1/4 IPS,,18.0,21.0,"),
        "{}",
        lines[3]
    );
}

#[test]
fn the_text_is_for_people() {
    let run = coldring_with(&[
        "plan",
        GEOTHERMAL,
        "--as-of",
        AS_OF,
        "--joints",
        "1-1/4 IPS=10",
    ]);
    for part in [
        "81 to 84",
        "6 min 21 s to 6 min 24 s",
        "10 of 1-1/4 IPS",
        "14 min",
        "left out",
        "shortens one in the procedure",
    ] {
        assert!(run.out.contains(part), "{part}: {}", run.out);
    }
}

/// The clean spec with every kind of work.
fn every_kind() -> String {
    base()
        .replace(
            "kinds: [coupling, elbow, spigot]",
            "kinds: [coupling, reducer, threaded transition, spigot]",
        )
        .replace(
            "  sockets:\n",
            "  reducers: [2 IPS x 1 IPS]\n  unlike:\n    \
             - {size: 2 IPS, pipe_heat: 26 to 30 s, fitting_heat: 20 to 23 s, first: pipe, record: BL-PQ-3, source: test joints TJ-9}\n  \
             sockets:\n",
        )
        .replace(
            "1.60 in",
            "1.60 in, outside_diameter: 1.316 in, wall: 0.150 in",
        )
}

#[test]
fn the_procedure_has_the_kinds_of_work_that_the_spec_has() {
    let folder = TempDir::new().unwrap();
    let papers = build_text(folder.path(), &every_kind());
    let text = squeezed(&pages_text(&papers.join("procedure.pdf")).concat());
    for part in [
        "Reducers",
        "2 x 1 IPS",
        "Threaded transitions",
        "No wrench while the joint is warm",
        "Spigot ends",
        // Depth and ring of 1 IPS: 0.71 + 0.62 in.
        "1.330",
        "1.310 to 1.320",
        "Unlike pairs",
        // The fitting needs 6 s less. Both may stay until its own longest
        // time is up: 6 + 23 = 29 s, before the pipe's 30 s.
        "at 6 s",
        "at most 29 s",
        // The cell may wrap.
        "see Unlike",
    ] {
        assert!(text.contains(&squeezed(part)), "{part}");
    }
    let card = squeezed(&pages_text(&papers.join("card.pdf")).concat());
    assert!(card.contains("seesheet"), "{card}");
    let demo = crate::support::demos().gas.join("procedure.pdf");
    let demo = squeezed(&pages_text(&demo).concat());
    for part in ["Unlike pairs", "Reducers", "Spigot ends"] {
        assert!(!demo.contains(&squeezed(part)), "{part}");
    }
    // What is for planning stands on the paper of the sources.
    let planning = squeezed("Time for a joint");
    assert!(!text.contains(&planning) && !demo.contains(&planning));
    let sources = squeezed(&pages_text(&papers.join("sources.pdf")).concat());
    assert!(sources.contains(&planning));
    // So does what an unlike pair rests on.
    assert!(sources.contains(&squeezed("test joints TJ-9")));
}

#[test]
fn an_unlike_pair_is_planned_by_its_sequence() {
    let folder = TempDir::new().unwrap();
    let plan = planned(&file(&folder, "s.yaml", every_kind()), &[]);
    let on = ["on_heater_shortest_s", "on_heater_longest_s"];
    assert_eq!(times(row(&plan, "2 IPS", None), &on), [26.0, 29.0]);
    assert_eq!(times(row(&plan, "1-1/4 IPS", None), &on), [18.0, 20.0]);
}
