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
