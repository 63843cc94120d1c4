//! Metric papers: their units, their own practice, and that a spec gives the same
//! paper in whatever units it is written.

use serde_json::Value;

use crate::core::source::Span;
use crate::procedure::resolve::Joint;
use crate::process::socket::sheets::joint_times::{Figure, Times};
use crate::process::socket::sheets::procedure::tests::*;
use crate::process::socket::sheets::{CardSheet, card, depth_marks};

pub(crate) const WATER: &str = include_str!("../../../../../../specs/tern-valley-water.yaml");
pub(crate) const HOT_WATER: &str =
    include_str!("../../../../../../specs/saddle-works-hot-water.yaml");

fn card_of(text: &str) -> CardSheet {
    with_procedure(text, |p, frame| card(p, library(), frame))
}

/// What a card says on both sides.
fn card_texts(text: &str) -> impl serde::Serialize {
    let card = card_of(text);
    (card.front, card.back)
}

/// Every text of a sheet, with its key.
fn texts(sheet: &impl Serialize) -> Vec<(String, String)> {
    fn walk(key: &str, value: &Value, found: &mut Vec<(String, String)>) {
        match value {
            Value::String(text) => found.push((key.to_owned(), text.clone())),
            Value::Array(items) => items.iter().for_each(|item| walk(key, item, found)),
            Value::Object(map) => map.iter().for_each(|(key, item)| walk(key, item, found)),
            _ => {}
        }
    }
    let mut found = Vec::new();
    walk("", &serde_json::to_value(sheet).unwrap(), &mut found);
    found
}

/// The numbers of every size that has them.
fn times(sheet: &ProcedureSheet) -> Vec<Times> {
    let rows = sheet.first.times.rows.iter();
    rows.filter_map(|row| row.times.clone()).collect()
}

fn column<'t>(times: &'t [Times], of: impl Fn(&'t Times) -> Option<&'t Figure>) -> Vec<&'t str> {
    let figures = times.iter().map(|row| of(row).expect("no such column"));
    figures.map(|figure| figure.text.as_str()).collect()
}

#[test]
fn no_metric_paper_speaks_of_ring_or_gauge() {
    for text in [WATER, HOT_WATER] {
        let marks = with_procedure(text, |p, frame| depth_marks(p, library(), frame, None))
            .expect("no strips");
        let papers = [texts(&sheet(text)), texts(&card_texts(text)), texts(&marks)];
        for (_, text) in papers.concat() {
            let text = text.to_lowercase();
            for word in [
                "cold ring",
                "the ring",
                "ring print",
                "depth gauge",
                "ring off",
            ] {
                assert!(!text.contains(word), "{word}: {text}");
            }
        }
    }
    // US papers are about the same words.
    let us = texts(&sheet(GAS));
    assert!(us.iter().any(|(_, text)| text.contains("cold ring")));
}

#[test]
fn metric_papers_give_millimeters_and_celsius_first() {
    for text in [WATER, HOT_WATER] {
        let sheet = sheet(text);
        for (key, text) in texts(&sheet).into_iter().chain(texts(&card_texts(text))) {
            let second = ["sub", "other", "window_other"].contains(&key.as_str());
            if let Some(at) = text.find("°F").filter(|_| !second) {
                let first = text.find("°C").unwrap_or(usize::MAX);
                assert!(first < at, "{key}: {text}");
            }
            // The thermal model's range is given in dimension ratios.
            let of_model = text.contains("the estimate covers DR");
            for inches in [" in;", "Depth, in", "OD, in", " DR "] {
                assert!(of_model || !text.contains(inches), "{key}: {text}");
            }
        }
    }
    assert_eq!(card_of(WATER).front.faces, "FACES 250\u{2013}270 °C");
    assert_eq!(card_of(GAS).front.faces, "FACES 490\u{2013}510 °F");
}

#[test]
fn walls_that_are_heated_for_unlike_times_have_rows_of_their_own() {
    let times = sheet(WATER).first.times;
    let rows = times.rows.iter().filter(|row| row.size == "90");
    let printed: Vec<_> = rows
        .map(|row| {
            let heat = &row.times.as_ref().unwrap().heat;
            (row.walls.as_deref().unwrap(), heat.text.as_str())
        })
        .collect();
    // By hand from the manual that was read.
    assert_eq!(printed, [("SDR 11", "40"), ("SDR 17", "22")]);
    let front = card_of(WATER).front;
    let rows = front.rows.iter().filter(|row| row.size == "90");
    let printed: Vec<_> = rows
        .map(|row| (row.walls.as_deref().unwrap(), row.cells[0].text.as_str()))
        .collect();
    assert_eq!(printed, [("SDR 11", "40"), ("SDR 17", "22")]);
    // If the rows have different walls, each row prints its own.
    assert!(
        front
            .rows
            .iter()
            .all(|row| row.walls.as_deref() == Some("SDR 11") || row.size == "90")
    );
}

#[test]
fn the_times_of_each_size_are_on_procedure_and_card() {
    let sheet = sheet(WATER);
    let table = times(&sheet);
    assert_eq!(
        column(&table, |row| row.off_heater.as_ref()),
        ["4", "4", "6", "6", "6", "8", "8", "8"]
    );
    assert_eq!(
        column(&table, |row| row.hold.as_ref()),
        ["6", "10", "10", "20", "20", "30", "40", "40"]
    );
    // In minutes.
    assert_eq!(
        column(&table, |row| row.cool.as_ref()),
        ["2", "2", "4", "4", "4", "6", "6", "6"]
    );
    // The row of d 50 is recalled, and so is the rule that SDR 17 is heated as
    // SDR 17.6 is.
    for row in &sheet.first.times.rows {
        let recalled = row.size == "50" || row.walls.as_deref() == Some("SDR 17");
        assert_eq!(row.times.as_ref().unwrap().heat.verify, recalled, "{row:?}");
    }
    for (row, of_table) in card_of(WATER).front.rows.iter().zip(&table) {
        let after: Vec<_> = row.cells[1..4]
            .iter()
            .map(|cell| cell.text.as_str())
            .collect();
        let columns = [&of_table.off_heater, &of_table.hold, &of_table.cool];
        assert_eq!(
            after,
            columns.map(|time| time.as_ref().unwrap().text.as_str())
        );
    }
}

#[test]
fn a_witness_line_is_never_printed_as_a_depth() {
    let marks = ["17.0", "19.0", "22.0", "24.0", "27.0", "30.0"];
    let stated = times(&sheet(HOT_WATER));
    let depths = ["14.0", "15.0", "17.0", "19.0", "22.0", "26.0"];
    let printed: Vec<_> = stated.iter().map(|row| row.depth.text.as_str()).collect();
    assert_eq!(printed, depths);
    let sight = stated
        .iter()
        .map(|row| row.sight.as_ref().unwrap().text.as_str());
    assert_eq!(sight.collect::<Vec<_>>(), marks);
    // Without a depth there is no drawing: the mark does not replace it.
    let mut open = HOT_WATER.to_owned();
    for depth in depths {
        open = open.replace(
            &format!("depth: {depth} mm, source:"),
            "depth: to be measured, x:",
        );
    }
    let open = open
        .lines()
        .map(|line| match line.split_once(", x:") {
            Some((known, _)) => format!("{known}}}"),
            None => line.to_owned(),
        })
        .collect::<Vec<_>>()
        .join("\n");
    for row in sheet(&open).first.times.rows {
        assert_eq!(row.no_joint.unwrap()[0], "NO JOINT");
        assert!(row.times.is_none());
    }
    for row in card_of(&open).front.rows {
        assert_eq!(row.no_joint.unwrap().word, "NO JOINT");
        assert!(row.cells.is_empty());
    }
    // PE has no such mark.
    assert!(times(&sheet(WATER)).iter().all(|row| row.sight.is_none()));
}

#[test]
fn pp_r_is_held_until_its_cooling_ends() {
    let hot = sheet(HOT_WATER);
    assert!(times(&hot).iter().all(|row| row.hold.is_none()));
    assert!(words(section(&hot.sections, "Steps")).contains("Hold still until COOL ends."));
    let front = card_of(HOT_WATER).front;
    assert!(
        front
            .notes
            .iter()
            .any(|line| line.text == "HOLD STILL until COOL ends.")
    );
    // Heating, change-over, cooling, depth and witness line.
    assert!(front.rows.iter().all(|row| row.cells.len() == 5));
    // A hold of its own brings the column back, and the other sizes refer to it.
    let own = "cycles:\n  rows: [{size: 20 mm, hold: 8 s, source: maker's sheet 3}]\n";
    let own = sheet(&HOT_WATER.replace("cycles:\n", own));
    let own = times(&own);
    let holds = column(&own, |row| row.hold.as_ref());
    assert_eq!(holds[..2], ["8", "until cooled"]);
    assert!(own[1].hold.as_ref().unwrap().words);
}

#[test]
fn peeling_follows_the_spec() {
    let prints =
        |text: &str, what: &str| words(section(&sheet(text).sections, "Steps")).contains(what);
    assert!(prints(WATER, "Peel the pipe end all around."));
    assert!(prints(HOT_WATER, "Do not peel the pipe."));
    let silent = HOT_WATER.replace(", peel: no", "");
    assert!(prints(&silent, "Peeling not stated: DO NOT FUSE."));
    assert!(!prints(GAS, "peel") && !prints(GAS, "Peel"));
}

#[test]
fn federal_rules_and_what_only_us_texts_leave_open_stay_with_us_practice() {
    let gas = WATER.replace("service: water", "service: gas");
    for text in [WATER, &gas] {
        let sheet = sheet(text);
        let all: Vec<_> = sheet.sections.iter().map(words).collect();
        for word in ["49 CFR", "PHMSA", "Operator qualification", "of inch sizes"] {
            assert!(all.iter().all(|section| !section.contains(word)), "{word}");
        }
    }
}

#[test]
fn metric_cards_keep_to_short_lines() {
    let cold = WATER.replace("documents:", "cold_weather: {trial_step: 1 s}\ndocuments:");
    for text in [WATER, HOT_WATER, &cold] {
        for step in card_of(text).back.steps {
            // At most two lines of the smallest card.
            assert!(step.text.chars().count() <= 90, "{}", step.text);
        }
    }
}

/// What the spec says in °F and inches, and its exact equal in °C and
/// millimeters.
const TWINS: &[(&str, &str, &str)] = &[
    ("20 °F to 110 °F", "23 °F to 113 °F", "-5 °C to 45 °C"),
    (
        "{depth: 1.06 in,",
        "{depth: 1.060 in,",
        "{depth: 26.924 mm,",
    ),
    (
        "straight_length: 1.90 in",
        "straight_length: 1.900 in",
        "straight_length: 48.26 mm",
    ),
    (
        "outside_diameter: 2.376 in, wall: 0.270 in",
        "outside_diameter: 2.376 in, wall: 0.270 in",
        "outside_diameter: 60.3504 mm, wall: 6.858 mm",
    ),
    (
        "set_point: 500 °F",
        "set_point: 500 °F",
        "set_point: 260 °C",
    ),
    (
        "face_offset: -2 °F",
        "face_offset: -1.8 °F",
        "face_offset: -1 °C",
    ),
    ("step: 2 °F", "step: 1.8 °F", "step: 1 °C"),
    ("swing: 4 °F", "swing: 3.6 °F", "swing: 2 °C"),
    ("accuracy: 2 °F", "accuracy: 1.8 °F", "accuracy: 1 °C"),
    (
        "2 IPS: {depth: 0.94 in}",
        "2 IPS: {depth: 0.940 in}",
        "2 IPS: {depth: 23.876 mm}",
    ),
    (
        "depth: 0.64 in, id",
        "depth: 0.640 in, id",
        "depth: 16.256 mm, id",
    ),
    (
        "depth: 0.71 in, id",
        "depth: 0.710 in, id",
        "depth: 18.034 mm, id",
    ),
    (
        "depth: 0.81 in, id",
        "depth: 0.810 in, id",
        "depth: 20.574 mm, id",
    ),
    (
        "depth: 0.88 in, id",
        "depth: 0.880 in, id",
        "depth: 22.352 mm, id",
    ),
    (
        "depth: 0.94 in, id",
        "depth: 0.940 in, id",
        "depth: 23.876 mm, id",
    ),
    ("width: 0.75 in", "width: 0.750 in", "width: 19.05 mm"),
    ("value: 0.075 in", "value: 0.075 in", "value: 1.905 mm"),
];

/// A joint without what only records how and where the spec wrote it.
fn resolved_alike(joint: &Joint) -> Joint {
    let mut joint = joint.clone();
    joint.claimed_at = Span::default();
    for pipe in &mut joint.pipes {
        pipe.claimed_at = Span::default();
    }
    if let crate::procedure::resolve::Depth::Known(depth) = &mut joint.depth {
        depth.written = None;
    }
    joint
}

#[test]
fn a_spec_in_inches_and_its_twin_in_millimeters_give_the_same_papers() {
    let (mut us, mut twin) = (GEOTHERMAL.to_owned(), GEOTHERMAL.to_owned());
    for (as_is, inches, millimeters) in TWINS {
        assert!(GEOTHERMAL.contains(as_is), "{as_is}");
        us = us.replace(as_is, inches);
        twin = twin.replace(as_is, millimeters);
    }
    // Only the sizes and comments of the twin are still in US units.
    let left = twin.lines().map(|line| line.split('#').next().unwrap());
    for line in left {
        assert!(
            !line.contains("°F") && !line.contains(" in,") && !line.contains(" in}"),
            "{line}"
        );
    }
    let resolved = |text: &str| {
        with_procedure(text, |p, _| {
            let joints: Vec<_> = p.joints.iter().map(resolved_alike).collect();
            let window = p.window.clone();
            let rest = (p.face, p.cold_trigger.clone(), p.cold_step.clone());
            (
                joints,
                window,
                rest,
                p.before_pressure_test.clone(),
                p.strip_thickness.clone(),
            )
        })
    };
    assert_eq!(resolved(&us), resolved(&twin));
    assert_eq!(texts(&sheet(&us)), texts(&sheet(&twin)));
    assert_eq!(texts(&card_texts(&us)), texts(&card_texts(&twin)));
    let marks = |text: &str| {
        texts(&with_procedure(text, |p, frame| depth_marks(p, library(), frame, None)).unwrap())
    };
    assert_eq!(marks(&us), marks(&twin));
    // Another depth makes another procedure.
    let other = twin.replace("16.256 mm", "16.256001 mm");
    assert_ne!(resolved(&us), resolved(&other));
}
