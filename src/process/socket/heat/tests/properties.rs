//! What must hold for every joint, whatever its figures.

use proptest::prelude::*;

use crate::process::socket::heat::estimate::joint;
use crate::process::socket::heat::joint::{JointEstimate, JointInput};
use crate::process::socket::heat::properties::Resin;
use crate::process::socket::heat::quantity::{duration, length, temperature};

fn resin() -> impl Strategy<Value = Resin> {
    prop::sample::select(Resin::ALL.to_vec())
}

prop_compose! {
    fn any_joint()(
        resin in resin(),
        od in 16.0..125.0_f64,
        dr in 7.05..16.95_f64,
        heat in 3.0..60.0_f64,
        change_over in 0.0..10.0_f64,
        heater in 245.0..275.0_f64,
        pipe in -20.0..40.0_f64,
    ) -> JointInput {
        JointInput {
            resin,
            outside_diameter: length(od / 1e3),
            wall: length(od / 1e3 / dr),
            socket_wall: None,
            heating: duration(heat),
            change_over: duration(change_over),
            heater_face: temperature(heater),
            pipe_temperature: temperature(pipe),
            ambient: temperature(pipe),
        }
    }
}

fn run(input: JointInput) -> JointEstimate {
    joint(&input).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(128) })]

    #[test]
    fn longer_heating_never_melts_less(input in any_joint(), more in 0.0..20.0_f64) {
        let mut longer = input;
        longer.heating = input.heating + duration(more);
        let (short, long) = (run(input), run(longer));
        prop_assert!(long.pipe_melt >= short.pipe_melt);
        prop_assert!(long.socket_melt >= short.socket_melt);
        prop_assert!(long.bore >= short.bore);
        prop_assert!(long.collapse >= short.collapse);
    }

    #[test]
    fn a_colder_pipe_never_melts_more(input in any_joint(), colder in -20.0..40.0_f64) {
        let mut cold = input;
        cold.pipe_temperature = input.pipe_temperature.min(temperature(colder));
        let (warm, cold) = (run(input), run(cold));
        prop_assert!(cold.pipe_melt <= warm.pipe_melt);
        prop_assert!(cold.socket_melt <= warm.socket_melt);
    }

    #[test]
    fn a_thinner_wall_never_melts_a_smaller_share(input in any_joint(), dr in 7.05..16.95_f64) {
        let mut thin = input;
        thin.wall = input.wall.min(input.outside_diameter.scaled(1000, (dr * 1000.0) as i64));
        let (thick, thin) = (run(input), run(thin));
        prop_assert!(thin.melted_share >= thick.melted_share);
    }

    #[test]
    fn a_longer_change_over_never_leaves_a_hotter_interface(
        input in any_joint(),
        more in 0.0..10.0_f64,
    ) {
        let mut slow = input;
        slow.change_over = input.change_over + duration(more);
        prop_assert!(run(slow).interface <= run(input).interface);
    }

    #[test]
    fn nothing_is_hotter_than_the_heater_or_colder_than_the_start(input in any_joint()) {
        let estimate = run(input);
        for temperature in [estimate.bore, estimate.interface] {
            prop_assert!(temperature <= input.heater_face);
            prop_assert!(temperature >= input.pipe_temperature);
        }
    }
}
