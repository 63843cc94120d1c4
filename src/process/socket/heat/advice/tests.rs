use crate::core::units::Length;
use crate::procedure::resolve::resolve;
use crate::process::socket::heat::advice::*;
use crate::published::library;
use crate::spec::{Spec, decode};

fn spec(edits: &[(&str, &str)]) -> Spec {
    let mut text = include_str!("../../../../../tests/data/base.yaml").to_owned();
    for (old, new) in edits {
        assert!(text.contains(old), "{old}");
        text = text.replace(old, new);
    }
    decode(&text).0.unwrap()
}

/// What every row says: the estimate's figures in words, or the refusal.
fn refusals(edits: &[(&str, &str)]) -> Vec<String> {
    let spec = spec(edits);
    let procedure = resolve(&spec, library());
    Advice::new(&procedure)
        .rows
        .iter()
        .filter_map(|row| row.estimate.as_ref().err())
        .map(ToString::to_string)
        .collect()
}

#[test]
fn one_row_for_each_size_and_wall_at_both_ends_of_the_heating() {
    let spec = spec(&[]);
    let procedure = resolve(&spec, library());
    let advice = Advice::new(&procedure);
    let pipes: usize = procedure.joints.iter().map(|joint| joint.pipes.len()).sum();
    assert_eq!((advice.rows.len(), pipes), (8, 8));
    assert_eq!(advice.estimated().count(), 8);
    for (joint, pipe, estimate) in advice.estimated() {
        assert_eq!(estimate.heating, joint.cycle.heat().unwrap().value);
        assert!(estimate.longest.pipe_melt >= estimate.shortest.pipe_melt);
        // The rule of thumb of the reference, 0.29 mm per root second.
        let thumb = 0.29 * estimate.heating.least.seconds().sqrt();
        let melt = estimate.shortest.pipe_melt.mm();
        assert!((melt / thumb - 1.0).abs() < 0.12, "{}: {melt}", joint.size);
        let last = estimate.curve.last().unwrap();
        assert_eq!(last.time, estimate.heating.most);
        assert_eq!(last.pipe, estimate.longest.pipe_melt);
        assert!(estimate.longest.pipe_melt < pipe.minimum_wall.value);
    }
}

#[test]
fn no_solidification_below_one_and_a_quarter_inch() {
    let spec = spec(&[]);
    let procedure = resolve(&spec, library());
    for (joint, _, estimate) in Advice::new(&procedure).estimated() {
        let large =
            joint.outside_diameter.as_ref().unwrap().value >= Length::from_micrometers(42_164);
        assert_eq!(estimate.solidification.is_some(), large, "{}", joint.size);
    }
}

#[test]
fn every_refusal_has_its_reason() {
    let all = |edits, reason: &str| {
        let told = refusals(edits);
        assert_eq!(told.len(), 8, "{told:?}");
        assert!(told.iter().all(|told| told.contains(reason)), "{told:?}");
    };
    all(
        &[("set_point: 500 °F", "set_point: 540 °F")],
        "heater faces",
    );
    all(&[("resin: PE4710", "resin: PP-H")], "not in the model");
    let thin = refusals(&[("dimension_ratio: [9, 11]", "dimension_ratio: [11, 21]")]);
    assert_eq!(thin.len(), 4);
    assert!(thin.iter().all(|told| told.contains("DR 7 to 17")));
    let no_od = refusals(&[("1 IPS to 2 IPS", "1 IPS to 7 IPS")]);
    assert!(
        no_od
            .iter()
            .any(|told| told.contains("no outside diameter")),
        "{no_od:?}"
    );
}

#[test]
fn stand_ins_are_told_from_the_resin_itself() {
    for (code, stands_in) in [
        ("PE4710", Some(false)),
        ("PE100", Some(false)),
        ("PE100-RC", Some(true)),
        ("PE3408", Some(true)),
        ("PE2708", Some(false)),
        ("PE80", Some(true)),
        ("PP-R", Some(false)),
        ("PP-H", None),
        ("PVC", None),
    ] {
        assert_eq!(model_resin(code).map(|m| m.stands_in), stands_in, "{code}");
    }
}

#[test]
fn cold_pipe_takes_longer_and_hot_pipe_melts_deeper() {
    let spec = spec(&[("40 °F to 110 °F", "-4 °F to 110 °F")]);
    let procedure = resolve(&spec, library());
    let advice = Advice::new(&procedure);
    let percent = |share: crate::core::units::Percent| share.of(100);
    for (joint, _, estimate) in advice.estimated() {
        let (cold, hot) = (estimate.cold.unwrap(), estimate.hot.unwrap());
        // The span that the reference gives at -20 °C: 1.16 to 1.33.
        assert_eq!(cold.temperature, Temperature::from_celsius(-20.0));
        assert!((15..=35).contains(&percent(cold.longer)), "{}", joint.size);
        // 110 °F lies beyond the model, so its own end is used and named.
        assert_eq!(hot.temperature, Temperature::from_celsius(40.0));
        assert!((5..=15).contains(&percent(hot.deeper)), "{}", joint.size);
    }
    assert!(advice.coldest().is_some() && advice.hottest().is_some());
}

#[test]
fn a_range_that_is_not_given_has_no_ends() {
    let spec = spec(&[("  pipe_temperature: 40 °F to 110 °F\n", "")]);
    let procedure = resolve(&spec, library());
    let advice = Advice::new(&procedure);
    assert!(advice.coldest().is_none() && advice.hottest().is_none());
}

#[test]
fn what_was_asked_before_is_answered_as_if_it_were_new() {
    let known = EstimateCache::default();
    // Asked, asked again, asked otherwise, and as at first.
    let hotter: &[(&str, &str)] = &[("set_point: 500", "set_point: 505")];
    for edits in [&[], &[], hotter, &[]] {
        let spec = spec(edits);
        let procedure = resolve(&spec, library());
        let (fresh, again) = (
            Advice::new(&procedure),
            Advice::with_cache(&procedure, &known),
        );
        assert_eq!(fresh.rows.len(), again.rows.len());
        for (fresh, again) in fresh.rows.iter().zip(&again.rows) {
            assert_eq!(fresh.estimate, again.estimate);
        }
    }
}
