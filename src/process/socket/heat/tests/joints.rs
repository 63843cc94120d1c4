//! Whole joints: reference runs of an independent implementation on 192 + 192
//! cells, convergence to our own fine grid, energy, and refusals.

use std::ops::ControlFlow;

use crate::core::units::Length;
use crate::process::socket::heat::CollapseFlag;
use crate::process::socket::heat::estimate::{
    Inputs, joint, joint_and_curve, joint_at_both, pipe_melt,
};
use crate::process::socket::heat::joint::{
    JointEstimate, JointInput, Refusal, shows_solidification,
};
use crate::process::socket::heat::properties::Resin;
use crate::process::socket::heat::quantity::{celsius, duration, length, seconds, temperature};
use crate::process::socket::heat::tables::Tables;
use crate::process::socket::heat::tests::at_room_temperature;
use crate::published::{Value, library};

/// Joint, then melt of pipe and socket (mm), bore and interface (°C), onset
/// and half-solid time (s).
type Run = (JointInput, [f64; 6]);

fn runs() -> [Run; 3] {
    let run = at_room_temperature;
    [
        (
            run(Resin::Pe4710, 21.336, 1.9396, 8.0),
            [0.842, 0.729, 92.0, 146.8, 31.4, 98.0],
        ),
        (
            run(Resin::Pe4710, 60.325, 5.4841, 26.0),
            [1.474, 1.387, 49.6, 184.0, 50.6, 92.7],
        ),
        (
            run(Resin::Pe2708, 33.401, 3.0364, 11.0),
            [1.000, 0.927, 57.1, 156.4, 17.9, 38.8],
        ),
    ]
}

fn figures(estimate: &JointEstimate) -> [f64; 6] {
    [
        estimate.pipe_melt.mm(),
        estimate.socket_melt.mm(),
        celsius(estimate.bore),
        celsius(estimate.interface),
        estimate.solidification_onset.map_or(f64::NAN, seconds),
        estimate.half_solid.map_or(f64::NAN, seconds),
    ]
}

/// Depths within 3 %, temperatures within 1.5 K, times within 8 %.
fn assert_close(got: [f64; 6], want: [f64; 6], share: f64) {
    let allowed = [0.03, 0.03, 1.5, 1.5, 0.08, 0.08];
    for (index, ((got, want), allowed)) in got.into_iter().zip(want).zip(allowed).enumerate() {
        let error = if (2..4).contains(&index) {
            got - want
        } else {
            got / want - 1.0
        };
        println!("figure {index}: {got:.3} against {want:.3}, error {error:+.4}");
        assert!(
            error.abs() <= allowed * share,
            "figure {index}: {got} against {want}"
        );
    }
}

#[test]
fn reference_runs() {
    for (input, want) in runs() {
        let estimate = joint(&input).unwrap();
        println!("{estimate:?}");
        assert_close(figures(&estimate), want, 1.0);
    }
}

#[test]
fn finer_grids_converge() {
    for (input, _) in runs() {
        let question = Inputs::new(&input).unwrap();
        let at = |cells, fineness| {
            figures(
                &question
                    .estimate(question.setup(cells, fineness), |_, _| ())
                    .unwrap(),
            )
        };
        let finest = at(96, 8.0);
        let error = |figures: [f64; 6]| (figures[0] / finest[0] - 1.0).abs();
        // As used: half the error that the reference runs are allowed.
        assert_close(at(24, 1.0), finest, 0.5);
        assert!(error(at(48, 4.0)) < error(at(12, 0.5)));
        assert_close(at(48, 4.0), finest, 0.25);
    }
}

#[test]
fn energy_closes() {
    for (input, _) in runs() {
        let question = Inputs::new(&input).unwrap();
        let mut parts = question.setup(24, 1.0).parts();
        let start = parts.pipe.heat() + parts.socket.heat();
        parts
            .heat(seconds(input.heating), |_, _| ControlFlow::Continue(()))
            .unwrap();
        let gained = parts.heat_taken;
        parts
            .change_over(0.0, 3.0, |_, _| ControlFlow::Continue(()))
            .unwrap();
        let mut joined = parts.join();
        joined
            .cool(1800.0, |_, _| ControlFlow::Continue(()))
            .unwrap();
        let residual = (joined.body.heat() - start - joined.heat_taken) / gained;
        println!("energy residual {residual:e}");
        assert!(gained > 0.0 && residual.abs() <= 1e-10, "{residual}");
    }
}

#[test]
fn quick_rule_of_thumb() {
    for heat in [10.0, 16.0, 24.0] {
        let melt = joint(&at_room_temperature(Resin::Pe4710, 60.325, 5.4841, heat))
            .unwrap()
            .pipe_melt
            .mm();
        assert!(
            (melt / (0.29 * heat.sqrt()) - 1.0).abs() < 0.10,
            "{heat} s: {melt}"
        );
    }
}

#[test]
fn the_curve_ends_where_the_estimate_stands() {
    let (input, _) = runs()[0];
    let (estimate, mut curve) = joint_and_curve(&input).unwrap();
    let last = curve.pop().unwrap();
    assert_eq!(last.time, input.heating);
    assert_eq!(
        (last.pipe, last.socket),
        (estimate.pipe_melt, estimate.socket_melt)
    );
    // The pipe alone melts the same, and is followed no further than asked.
    let mut alone = pipe_melt(&input, None).unwrap();
    assert_eq!(alone.pop().unwrap(), (last.time, last.pipe));
    let enough = Length::from_micrometers(300);
    let until = pipe_melt(&input, Some(enough)).unwrap();
    let (last, before) = until.split_last().unwrap();
    assert!(last.1 > enough && before.iter().all(|(_, depth)| *depth <= enough));
}

#[test]
fn refuses_outside_its_range() {
    let (good, _) = runs()[1];
    let refusal = |change: &dyn Fn(&mut JointInput)| {
        let mut input = good;
        change(&mut input);
        joint(&input).unwrap_err()
    };
    for outside in [-20.01, 40.01] {
        let outside = temperature(outside);
        assert!(matches!(
            refusal(&|i| i.pipe_temperature = outside),
            Refusal::PipeTemperature(_)
        ));
        assert!(matches!(
            refusal(&|i| i.ambient = outside),
            Refusal::Ambient(_)
        ));
    }
    for outside in [244.99, 275.01] {
        let outside = temperature(outside);
        assert!(matches!(
            refusal(&|i| i.heater_face = outside),
            Refusal::HeaterFace(_)
        ));
    }
    for dr in [6.99, 17.01, -11.0] {
        let wall = length(0.060325 / dr);
        assert!(matches!(
            refusal(&|i| i.wall = wall),
            Refusal::DimensionRatio(_)
        ));
    }
    assert!(matches!(
        refusal(&|i| i.wall = Length::ZERO),
        Refusal::DimensionRatio(_)
    ));
    assert_eq!(
        refusal(&|i| i.socket_wall = Some(Length::ZERO)),
        Refusal::SocketWall
    );
    assert_eq!(refusal(&|i| i.heating = duration(0.0)), Refusal::Time);
    assert_eq!(refusal(&|i| i.change_over = duration(-1.0)), Refusal::Time);
}

#[test]
fn answers_at_every_corner_of_its_range() {
    for resin in Resin::ALL {
        for (heater, pipe) in [(245.0, -20.0), (275.0, 40.0)] {
            for dr in [7.0, 17.0] {
                for heat in [1.0, 120.0] {
                    let mut input = at_room_temperature(resin, 63.0, 63.0 / dr, heat);
                    input.heater_face = temperature(heater);
                    input.pipe_temperature = temperature(pipe);
                    input.ambient = temperature(pipe);
                    let estimate = joint(&input).unwrap();
                    assert!(estimate.pipe_melt <= input.wall);
                    assert!(estimate.half_solid.is_some(), "{input:?}");
                    let known = resin != Resin::PpR;
                    assert_eq!(estimate.solidification_onset.is_some(), known);
                }
            }
        }
    }
}

/// The joints of the published metric table of PE at its walls: the thick group at
/// SDR 11, the thin one at SDR 17. With how long, and the wall.
fn of_metric_table(group: &str, ratio: &str) -> Vec<(u32, Option<f64>, f64)> {
    let limits = library();
    let all = (16..=125).filter_map(|d: u32| {
        let id = format!("metric-pe-cycles:{group}:{d}-metric:heat");
        let heat = match &limits.entry(&id)?.value {
            Value::Duration(heat) => Some(seconds(*heat)),
            Value::NotAdvisable => None,
            _ => return None,
        };
        let wall = limits.entry(&format!("walls-metric:{d}-metric:sdr-{ratio}"))?;
        let Value::Length(wall) = wall.value else {
            return None;
        };
        Some((d, heat, wall.mm()))
    });
    all.collect()
}

#[test]
fn published_metric_times_leave_the_wall_standing_and_walls_advised_against_do_not() {
    let flag = |d: u32, wall: f64, heat: f64| {
        let input = at_room_temperature(Resin::Pe4710, f64::from(d), wall, heat);
        joint(&input).unwrap().collapse
    };
    let thick = of_metric_table("thick", "11");
    for (d, heat, wall) in &thick {
        assert_eq!(flag(*d, *wall, heat.unwrap()), CollapseFlag::None, "{d}");
    }
    let (mut published, mut advised_against) = (0, 0);
    for (d, heat, wall) in of_metric_table("thin", "17") {
        if let Some(heat) = heat {
            assert_eq!(flag(d, wall, heat), CollapseFlag::None, "{d}");
            published += 1;
        } else {
            let (_, as_thick, _) = thick.iter().find(|(other, ..)| *other == d).unwrap();
            assert!(flag(d, wall, as_thick.unwrap()) > CollapseFlag::None, "{d}");
            advised_against += 1;
        }
    }
    assert_eq!((thick.len(), published, advised_against), (10, 4, 4));
}

#[test]
fn the_flag_goes_up_just_beyond_each_limit_that_the_papers_print() {
    use CollapseFlag::{Caution, High, None};
    let clauses = include_str!("../../../../../templates/clauses/en.yaml");
    let numbers = |key: &str| -> Vec<f64> {
        let clause = clauses.lines().find(|line| line.starts_with(key));
        let numbers = clause.unwrap().split(" %").filter_map(|before| {
            let number = before.rsplit(' ').next()?;
            number.trim_start_matches('"').parse().ok()
        });
        numbers.collect()
    };
    let printed = [numbers("heat-key-caution:"), numbers("heat-key-high:")].concat();
    let [molten, stiff, more_molten, less_stiff] = printed[..] else {
        panic!("{printed:?}");
    };
    let flag = |molten: f64, stiff: f64| CollapseFlag::from_shares(molten / 100.0, stiff / 100.0);
    for (limit, within, beyond) in [(molten, None, Caution), (more_molten, Caution, High)] {
        assert_eq!(flag(limit, 100.0), within, "{limit} % molten");
        assert_eq!(flag(limit + 0.1, 100.0), beyond, "{limit} % molten");
    }
    for (limit, within, beyond) in [(stiff, None, Caution), (less_stiff, Caution, High)] {
        assert_eq!(flag(0.0, limit), within, "{limit} % stiff");
        assert_eq!(flag(0.0, limit - 0.1), beyond, "{limit} % stiff");
    }
    let thin = joint(&at_room_temperature(Resin::Pe4710, 32.0, 1.9, 20.0)).unwrap();
    assert_eq!(thin.collapse, High);
}

#[test]
fn a_thin_surface_cools_below_melting_before_a_thick_one() {
    let ceiling = |(input, _): Run| joint(&input).unwrap().change_over_ceiling.unwrap();
    let [half_inch, two_inch, _] = runs();
    assert!(ceiling(half_inch) < ceiling(two_inch));
    let barely = joint(&at_room_temperature(Resin::Pe4710, 63.0, 5.8, 0.02)).unwrap();
    assert_eq!(barely.pipe_melt, Length::ZERO);
    assert_eq!(barely.change_over_ceiling, Some(duration(0.0)));
}

#[test]
fn half_inch_shows_no_solidification() {
    assert!(!shows_solidification(length(0.033401)));
    assert!(shows_solidification(length(0.042164)));
}

#[test]
fn tables_hold_every_resin_and_their_standing() {
    let tables = Tables::embedded().unwrap();
    for resin in Resin::ALL {
        let row = tables.properties(resin).unwrap();
        assert!(!row.source.is_empty());
        assert_eq!(row.conductivity_melt.basis, "recalled");
    }
    assert!(
        tables
            .properties(Resin::PpR)
            .unwrap()
            .solidification_onset
            .is_none()
    );
    assert_eq!(
        tables.process.contact_conductance.range,
        Some([1000.0, 10000.0])
    );
}

#[test]
fn a_cold_pipe_needs_longer_and_a_hot_one_less_for_the_same_melt() {
    for (input, _) in runs() {
        let share_of_time = |pipe: f64| {
            let melt = |at: f64, heat: f64| {
                let mut changed = input;
                changed.pipe_temperature = temperature(at);
                changed.ambient = temperature(at);
                changed.heating = duration(heat);
                joint(&changed).unwrap().pipe_melt
            };
            let usual = seconds(input.heating);
            let wanted = melt(23.0, usual);
            let (mut short, mut long) = (0.5, 2.0);
            for _ in 0..12 {
                let middle = 0.5 * (short + long);
                if melt(pipe, middle * usual) < wanted {
                    short = middle;
                } else {
                    long = middle;
                }
            }
            long
        };
        let (cold, hot) = (share_of_time(-20.0), share_of_time(40.0));
        println!("same melt: {cold:.3} of the time at -20, {hot:.3} at 40");
        // The reference's spans, and the last digit they are printed to.
        assert!((1.155..=1.335).contains(&cold), "{cold}");
        assert!((0.875..=0.925).contains(&hot), "{hot}");
    }
}

#[test]
fn the_shorter_heating_is_the_start_of_the_longer() {
    for (input, _) in runs() {
        for share in [300, 737, 1000] {
            let shorter = JointInput {
                heating: input.heating.thousandths(share),
                ..input
            };
            let ([early, late], curve) = joint_at_both(&input, shorter.heating).unwrap();
            assert_eq!(early, joint(&shorter).unwrap());
            assert_eq!((late, curve), joint_and_curve(&input).unwrap());
        }
    }
}
