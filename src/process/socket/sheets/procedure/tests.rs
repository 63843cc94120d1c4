//! What the papers must say, and must never say, whatever their wording.

mod field;
mod first_page;
pub(crate) mod metric;

use crate::papers::sheets::{Block, Language, PaperKind, Table};
use crate::procedure::resolve::resolve;
use crate::process::socket::sheets::procedure::*;
use crate::published::library;
use crate::spec::{Paper, decode};

pub(crate) const GEOTHERMAL: &str =
    include_str!("../../../../../specs/hollow-creek-geothermal.yaml");
pub(crate) const GAS: &str = include_str!("../../../../../specs/alder-fork-gas.yaml");

pub(crate) fn with_procedure<T>(text: &str, see: impl FnOnce(&Procedure, Frame) -> T) -> T {
    let (spec, findings) = decode(text);
    let spec = spec.unwrap_or_else(|| panic!("{findings:?}"));
    let resolved = resolve(&spec, library());
    let frame = Frame::new(
        &resolved,
        Paper::Letter,
        &"0a".repeat(32),
        PaperKind::Procedure,
        Language::En,
    );
    see(&resolved, frame)
}

pub(crate) fn sheet(text: &str) -> ProcedureSheet {
    with_procedure(text, |p, frame| procedure(p, library(), frame))
}

fn tables(sheet: &ProcedureSheet) -> Vec<&Table> {
    let blocks = sheet.sections.iter().flat_map(|section| &section.blocks);
    blocks
        .filter_map(|block| match block {
            Block::Table(table) => Some(table),
            _ => None,
        })
        .collect()
}

pub(crate) fn section<'s>(sections: &'s [Section], title: &str) -> &'s Section {
    let found = sections.iter().find(|section| section.title == title);
    found.unwrap_or_else(|| panic!("no section {title:?}"))
}

pub(crate) fn words(section: &Section) -> String {
    loose(&serde_json::to_string(section).unwrap())
}

/// The text with ordinary spaces: line breaks do not matter here.
pub(crate) fn loose(text: &str) -> String {
    text.replace('\u{a0}', " ")
}

#[test]
fn every_row_has_a_cell_for_every_column() {
    for text in [GEOTHERMAL, GAS] {
        for table in tables(&sheet(text)) {
            assert!(!table.rows.is_empty(), "{}", table.caption);
            for row in &table.rows {
                assert_eq!(row.len(), table.columns.len(), "{}", table.caption);
            }
        }
    }
}

#[test]
fn the_time_table_aims_at_the_short_side_and_marks_what_is_from_memory() {
    let times = sheet(GEOTHERMAL).first.times;
    let row = |size: &str| {
        let row = times.rows.iter().find(|row| row.size == size).unwrap();
        row.times.as_ref().unwrap()
    };
    // A trade check value: 18 to 20 s is within the row, hold 60 s.
    let quarter = row("1-1/4");
    let (max, hold) = (
        quarter.max.as_ref().unwrap(),
        quarter.hold.as_ref().unwrap(),
    );
    assert_eq!(
        [&quarter.heat.text, &max.text, &hold.text],
        ["18", "21", "60"]
    );
    assert!(!quarter.heat.verify && !max.verify && !hold.verify);
    // The limit off the heater is recalled, and so is the row of 3/4 IPS.
    let off_heater = times.limits.off_heater.as_ref().unwrap();
    assert_eq!(off_heater.number, "3 s MAX");
    assert!(off_heater.mark);
    assert!(row("3/4").heat.verify && row("3/4").max.as_ref().unwrap().verify);
}

#[test]
fn federal_gas_rules_and_operator_qualification_are_for_gas_alone() {
    let qualification = |text| {
        words(section(
            &sheet(text).sections,
            "Responsibilities and records",
        ))
    };
    for word in ["49 CFR", "Operator qualification", "PHMSA"] {
        assert!(!qualification(GEOTHERMAL).contains(word), "{word}");
    }
    // What the regulation says stands on the paper of sources.
    assert!(qualification(GAS).contains("49 CFR 192.285"));
    assert!(qualification(GAS).contains("Operator qualification"));
    // Elsewhere nothing asks for it, and what is stated is printed.
    let stated = GEOTHERMAL.replace(
        "\ndocuments:\n",
        "\nqualification: {operator_qualification: Company rule 5}\ndocuments:\n",
    );
    assert_ne!(stated, GEOTHERMAL);
    assert!(qualification(&stated).contains("Company rule 5"));
}

#[test]
fn without_a_cold_weather_section_no_joint_is_made_in_the_cold() {
    let of = |text: &str, title| words(section(&sheet(text).sections, title));
    let gas = of(GAS, "Field work");
    assert!(gas.contains("below 40 °F") && gas.contains("DO NOT FUSE"));
    // In both units the limit stands on the first page.
    let first = serde_json::to_string(&sheet(GAS).first).unwrap();
    assert!(first.contains("4.5 to"), "{first}");
    assert!(!gas.contains("trial"));
    let cold = of(GEOTHERMAL, "Cold weather");
    assert!(cold.contains("20 to below 40 °F") && cold.contains("trial time"));
    assert!(cold.contains("heat 3 s longer"));
}

#[test]
fn a_depth_to_be_measured_prints_no_figure() {
    let measured = r#"{depth: 0.64 in, id: DG-1, source: "caliper, gauge DG-1, 2026-10-28"}"#;
    assert!(GEOTHERMAL.contains(measured));
    let text = GEOTHERMAL.replace(measured, "{depth: to be measured}");
    let first = sheet(&text).first;
    let row = &first.times.rows[0];
    assert_eq!(row.size, "3/4");
    assert_eq!(row.no_joint.as_ref().unwrap()[0], "NO JOINT");
    assert!(row.times.is_none());
    assert!(first.times.rows[1].times.is_some());
    let page = serde_json::to_string(&first).unwrap();
    assert!(page.contains("NO JOINT in a size until") && !page.contains("0.64"));
}

#[test]
fn a_day_of_issue_is_not_printed_as_the_effective_date() {
    let days = |text| {
        let revisions = sheet(text).first.revisions;
        let days = revisions.rows.into_iter().map(|row| row[2].text.clone());
        days.collect::<Vec<_>>()
    };
    assert_eq!(days(GEOTHERMAL), ["not stated", "not in effect"]);
    assert_eq!(days(GAS), ["not stated", "2026-10-01"]);
}

#[test]
fn both_ends_of_a_heating_range_from_memory_are_marked() {
    let row = with_procedure(GEOTHERMAL, |p, frame| {
        let card = crate::process::socket::sheets::card(p, library(), frame);
        card.front.rows.into_iter().map(|row| row.cells)
    });
    let marks: Vec<_> = row.map(|of| (of[0].verify, of[1].verify)).collect();
    // Only the row of 3/4 IPS is recalled.
    assert_eq!(marks[0], (true, true));
    assert!(marks[1..].iter().all(|mark| *mark == (false, false)));
}

#[test]
fn what_an_author_writes_is_shown_as_it_is() {
    let hostile = "#eval(\"1\") {{ 7 * 7 }} \\u{41} <b> $x$";
    let text = GEOTHERMAL.replace("First issue", &format!("'{hostile}'"));
    let revisions = sheet(&text).first.revisions;
    let mut shown = revisions.rows.iter().flatten();
    assert!(shown.any(|cell| cell.text == hostile));
}

#[test]
fn the_card_keeps_to_short_lines() {
    let card = with_procedure(GEOTHERMAL, |p, frame| {
        crate::process::socket::sheets::card(p, library(), frame)
    });
    assert_eq!(card.back.steps.len(), 13);
    for step in &card.back.steps {
        // A line of the smallest card.
        assert!(step.text.chars().count() <= 58, "{}", step.text);
    }
    let widths: Vec<_> = card.trims.iter().map(|trim| trim.width_mm).collect();
    assert_eq!(widths, [85.6, 105.0, 125.0]);
}

/// The same of the depths and diameters on the first page. 1 in is 25.4 mm.
#[test]
fn millimeters_on_the_first_page_are_those_of_the_printed_inches() {
    let mut seen = 0;
    for text in [GEOTHERMAL, GAS] {
        let rows = sheet(text).first.times.rows;
        for times in rows.into_iter().filter_map(|row| row.times) {
            for length in [Some(times.depth), times.od].into_iter().flatten() {
                let inches: f64 = length.text.parse().unwrap();
                let mm: f64 = length.other.unwrap().parse().unwrap();
                assert!((mm - inches * 25.4).abs() <= 0.005 + 1e-9, "{inches} {mm}");
                seen += 1;
            }
        }
    }
    assert_eq!(seen, 20);
}
