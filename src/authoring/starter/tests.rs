//! Every starter of sizes that times are published for can be built as it is: what
//! it leaves open warns, nothing is an error, and no figure in it is its user's.

use chrono::NaiveDate;

use super::{COMMENTS_AT, NoStarter, Starter};
use crate::core::finding::Severity;
use crate::core::size::Size;
use crate::core::source::{Source, Sources};
use crate::papers::compile::check;
use crate::spec::{Service, decode};

const TODAY: NaiveDate = NaiveDate::from_ymd_opt(2026, 11, 25).unwrap();

fn sizes(names: &[&str]) -> Vec<Size> {
    names
        .iter()
        .map(|name| Size::parse(name).unwrap())
        .collect()
}

fn starter(names: &[&str], service: Service) -> String {
    Starter::new(sizes(names), service, TODAY).unwrap().text()
}

#[test]
fn every_starter_checks_without_errors_and_covers_its_sizes() {
    for names in [
        &[][..],
        &["1-1/4 IPS", "3/4 IPS"],
        &["2 IPS"],
        // By the ratio, gas pipe of 1/2 IPS would be thinner than the table allows.
        &["1/2 IPS", "1 IPS"],
        &["1/2 CTS", "3/4 IPS", "1 CTS"],
        // IPS is the wider of the two.
        &["1 CTS", "1 IPS"],
        &["20 mm", "25 mm", "32 mm"],
        &["40 mm"],
        // Larger ones need a machine.
        &["50 mm", "63 mm", "110 mm"],
    ] {
        for service in [
            Service::Gas,
            Service::Water,
            Service::Geothermal,
            Service::Industrial,
        ] {
            let text = starter(names, service);
            let checked = check(&Sources::from(Source::new("new.yaml", text.clone())), TODAY);
            let errors = checked
                .findings
                .iter()
                .filter(|f| f.severity() == Severity::Error);
            let errors: Vec<_> = errors.map(|f| (f.rule.slug, &f.message)).collect();
            assert_eq!(errors, [], "{names:?} {service:?}\n{text}");
            assert!(
                checked
                    .findings
                    .iter()
                    .any(|f| f.rule.slug == "example-left")
            );
            let spec = decode(&text).0.unwrap();
            assert_eq!(spec.service.value, service);
            assert_eq!(
                spec.heater.adapters.len(),
                names.len().max(if names.is_empty() { 2 } else { 1 })
            );
            for line in text.lines() {
                assert!(line.chars().count() <= 150, "{line}");
                // Comments stand in one column, or right after a text that reaches it.
                let (said, comment) = line.split_once(" # ").unwrap_or_default();
                if !said.trim().is_empty() && !said.trim().starts_with('#') {
                    let at = said.chars().count() + 1;
                    let after = at > COMMENTS_AT && !said.ends_with(' ');
                    assert!(at == COMMENTS_AT || after, "{line}: {comment}");
                }
            }
        }
    }
}

/// Tubing is sold by its wall. By a ratio of 11 the smallest would come out at
/// 0.060 in, and small metric gas pipe at 2.0 and 2.3 mm.
#[test]
fn tubing_and_small_gas_pipe_are_claimed_by_a_wall() {
    let pipes = |names: &[&str], service| {
        let text = starter(names, service);
        let lines = text.lines().filter(|line| line.contains("- {sizes:"));
        let claims = lines.map(|line| line.split_once(" #").unwrap().0.trim().to_owned());
        claims.collect::<Vec<_>>()
    };
    assert_eq!(
        pipes(&["1/2 CTS", "3/4 CTS", "3/4 IPS", "1 CTS"], Service::Gas),
        [
            "- {sizes: [3/4 IPS], dimension_ratio: 11}",
            "- {sizes: [1/2 CTS, 3/4 CTS], wall: 0.090 in}",
            "- {sizes: [1 CTS], wall: 0.099 in}",
        ]
    );
    let metric = ["20 mm", "25 mm", "32 mm"];
    assert_eq!(
        pipes(&metric, Service::Gas),
        [
            "- {sizes: [20 mm], dimension_ratio: 11, wall: 3.0 mm}",
            "- {sizes: [25 mm], dimension_ratio: 11, wall: 3.0 mm}",
            "- {sizes: [32 mm], dimension_ratio: 11}",
        ]
    );
    assert_eq!(
        pipes(&metric, Service::Water),
        ["- {sizes: [20 mm, 25 mm, 32 mm], dimension_ratio: 11}"]
    );
    // No wall is published for it, so none is given in its user's name.
    assert_eq!(
        pipes(&["16 mm"], Service::Water),
        ["- {sizes: [16 mm], dimension_ratio: 11, wall: …}"]
    );
}

/// No table has the wall of this tubing, so it is the user's to give, and nothing else is said.
#[test]
fn a_wall_that_no_table_has_is_a_blank() {
    let text = starter(&["1-1/4 CTS"], Service::Water);
    let checked = check(&Sources::from(Source::new("new.yaml", text)), TODAY);
    let errors = checked
        .findings
        .iter()
        .filter(|f| f.severity() == Severity::Error);
    let errors: Vec<_> = errors.map(|f| f.rule.slug).collect();
    assert_eq!(errors, ["blank-left"]);
}

#[test]
fn no_wait_and_no_depth_is_given_in_its_users_name() {
    for names in [&["1 IPS"][..], &["32 mm"]] {
        let spec = decode(&starter(names, Service::Gas)).0.unwrap();
        assert!(spec.cycles.waits.before_handling.is_none());
        assert!(spec.cycles.waits.before_pressure_test.is_none());
        assert!(spec.heater.swing.is_none() && spec.heater.step.is_none());
    }
}

#[test]
fn sizes_that_do_not_go_together_have_none() {
    let new = |names: &[&str]| Starter::new(sizes(names), Service::Water, TODAY).map(|_| ());
    assert_eq!(new(&["1 IPS", "32 mm"]), Err(NoStarter::TwoPractices));
    assert_eq!(new(&["1 IPS", "1 IPS"]), Err(NoStarter::SizeTwice));
    assert_eq!(new(&["6 IPS"]), Err(NoStarter::UnknownSize));
    assert_eq!(new(&["33 mm"]), Err(NoStarter::UnknownSize));
    assert_eq!(new(&["1 IPS", "1 CTS"]), Ok(()));
}

mod files_beside_a_spec {
    use super::super::{Beside, Paths, beside};
    use super::*;
    use crate::core::budget;
    use crate::core::finding::Finding;
    use crate::core::source::{HouseFile, Role};
    use crate::papers::house::house;
    use crate::people::{fusers, submittal};
    use crate::procedure::resolve::resolve;
    use crate::published::library;
    use crate::spec::{record, scalars_within, unfilled};

    /// The demo and the tour, and what `new` writes itself.
    fn specs() -> Vec<String> {
        let named = [
            "alder-fork-gas",
            "hollow-creek-geothermal",
            "saddle-works-hot-water",
            "tern-valley-water",
            "tour/1-least",
            "tour/2-measured",
            "tour/3-own-times",
            "tour/4-papers",
            "tour/5-qualified",
            "tour/6-full",
        ];
        let read = |name| std::fs::read_to_string(format!("specs/{name}.yaml")).unwrap();
        let mut specs: Vec<_> = named.into_iter().map(read).collect();
        specs.push(starter(&["1 CTS", "1 IPS"], Service::Gas));
        specs.push(starter(&["25 mm"], Service::Water));
        specs
    }

    fn made(what: Beside, spec: &str) -> String {
        let paths = Paths {
            spec: "my.yaml".to_owned(),
            file: "beside/file.yaml".to_owned(),
            named: "../my.yaml".to_owned(),
            folder: "beside".to_owned(),
            records: vec!["../records/PQ-7.yaml".to_owned()],
        };
        let text = beside(what, spec, &paths, TODAY).unwrap();
        for line in text.lines() {
            assert!(line.chars().count() <= 150, "{line}");
        }
        text
    }

    fn slugs(findings: &[Finding]) -> Vec<&'static str> {
        findings.iter().map(|f| f.rule.slug).collect()
    }

    fn left(text: &str) -> usize {
        unfilled(&scalars_within(text, &budget::SUBMITTAL)).len()
    }

    /// What somebody writes in the place of the dots, line by line.
    fn filled(text: &str) -> String {
        let joints = text.split_once("\njoints:\n").unwrap();
        let fill = |line: &str| {
            let line = line.strip_prefix("  # ").map_or_else(
                || line.to_owned(),
                |line| format!("  {}", line.split(" # ").next().unwrap()),
            );
            let metric = line.contains("°C") || line.contains("… mm");
            let (pipe, face, depth) = match metric {
                true => ("20", "260", "18 mm"),
                false => ("70", "500", "0.70 in"),
            };
            line.replace("_adapter: …", &format!("_adapter: {face}"))
                .replace("_temperature: …", &format!("_temperature: {pipe}"))
                .replace("… in", depth)
                .replace("… mm", depth)
                .replace("heating: …", "heating: 10")
                .replace("change_over: …", "change_over: 2")
                .replace("hold: …", "hold: 30")
                .replace("date: …", "date: 2026-11-24")
                .replace("calibrated: …", "calibrated: 2026-11-02")
                .replace("straps: …", "straps: 3")
                .replace("with_voids: …", "with_voids: 0")
                .replace("failed_in_joint: …", "failed_in_joint: 0")
                .replace("visual: …", "visual: pass")
                .replace("result: …", "result: pass")
                .replace('…', "X-1")
        };
        let lines: Vec<_> = joints.1.lines().map(fill).collect();
        format!("{}\njoints:\n{}\n", joints.0, lines.join("\n"))
    }

    #[test]
    fn a_record_has_a_joint_of_every_pipe_and_no_figure_of_its_own() {
        for spec in specs() {
            let text = made(Beside::Record, &spec);
            let (read, findings) = record::record(&text);
            assert!(findings.is_empty(), "{findings:?}\n{text}");
            let read = read.unwrap();
            let decoded = decode(&spec).0.unwrap();
            assert_eq!(read.procedure.value, decoded.number.value);
            assert!(read.joints.is_empty());
            assert_eq!(left(&text), 2, "the witness and the laboratory");
            let (read, findings) = record::record(&filled(&text));
            assert!(findings.is_empty(), "{findings:?}\n{}", filled(&text));
            let pipes = resolve(&decoded, library());
            let pipes = pipes.joints.iter().flat_map(|joint| &joint.pipes).count();
            assert_eq!(read.unwrap().joints.len(), pipes, "{text}");
        }
    }

    #[test]
    fn a_record_says_what_each_joint_is_made_by() {
        let gas = std::fs::read_to_string("specs/alder-fork-gas.yaml").unwrap();
        let text = made(Beside::Record, &gas);
        for said in [
            "procedure: AF-JP-12",
            "revision: 2",
            "size: 2 IPS",
            "wall: 0.090 in",
            "gauge: I-3",
            "HEAT 16 s, 19 s at most",
            "45 s at least",
            "the gauge sets 0.93",
            "set point 500 °F",
        ] {
            assert!(text.contains(said), "{said}\n{text}");
        }
    }

    #[test]
    fn an_empty_record_is_named() {
        let gas = std::fs::read_to_string("specs/alder-fork-gas.yaml").unwrap();
        let text = made(Beside::Record, &gas);
        let sources = Sources::from(Source::new("my.yaml", gas));
        let sources = sources.with(Role::Record, Ok(Source::new("r.yaml", text)));
        let found = check(&sources, TODAY).findings;
        for slug in ["record-without-joints", "example-left"] {
            assert!(slugs(&found).contains(&slug), "{slug}: {found:?}");
        }
    }

    #[test]
    fn a_roster_a_submittal_and_a_house_style_are_read() {
        for spec in specs() {
            let roster = made(Beside::Roster, &spec);
            let (read, findings) = fusers::decode_yaml(&roster);
            assert_eq!(slugs(&findings), [""; 0], "{roster}");
            assert!(read.fusers.is_empty());
            let text = made(Beside::Submittal, &spec);
            let (read, findings) = submittal::decode(&text);
            assert_eq!(slugs(&findings), [""; 0], "{text}");
            let decoded = decode(&spec).0.unwrap();
            assert_eq!(read.unwrap().title.value, decoded.title.value);
            let own = usize::from(decoded.organization.value == "Your organization");
            assert_eq!(left(&text), 3 + own, "project, section and reviewer");
            let text = made(Beside::House, &spec);
            let file = HouseFile {
                role: Role::House,
                path: "house.yaml".to_owned(),
                source: Source::new("house.yaml", text.as_str()),
                bytes: Ok(text.clone().into_bytes()),
            };
            let sources = Sources::from(Source::new("my.yaml", spec)).in_house(vec![file]);
            let findings = house(&sources, None, &[]).1;
            assert_eq!(slugs(&findings), [""; 0], "{text}");
        }
    }

    #[test]
    fn a_spec_that_cannot_be_read_has_none() {
        let paths = || Paths {
            spec: String::new(),
            file: String::new(),
            named: String::new(),
            folder: String::new(),
            records: Vec::new(),
        };
        assert!(beside(Beside::Record, "coldring: 1\n", &paths(), TODAY).is_err());
    }
}
