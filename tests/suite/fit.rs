//! The fit of pipe and socket against figures worked by hand.

use coldring::core::size::SizeSystem;
use coldring::core::units::{Length, Range};
use coldring::procedure::resolve::{Fit, fits, resolve};
use coldring::published::{Basis, Family, library};
use coldring::spec::decode;
use proptest::prelude::*;

use crate::support::read;

/// The fits of a spec.
fn of(text: &str) -> Vec<Fit> {
    let (spec, findings) = decode(text);
    let spec = spec.unwrap_or_else(|| panic!("{findings:?}"));
    fits(&resolve(&spec, library()))
}

fn of_size(text: &str, size: &str) -> Fit {
    let fits = of(text);
    let named: Vec<_> = fits.iter().map(|fit| fit.size.to_string()).collect();
    let fit = fits.into_iter().find(|fit| fit.size.to_string() == size);
    fit.unwrap_or_else(|| panic!("{size} is not among {named:?}"))
}

/// A range in micrometers.
fn um(least: i64, most: i64) -> Range<Length> {
    Range::new(
        Length::from_micrometers(least),
        Length::from_micrometers(most),
    )
}

/// d 32 PE: pipe 32.0 to 32.3, mouth 31.1 to 31.5, root 30.9 to 31.3 mm.
#[test]
fn metric_pipe_is_larger_than_the_mouth_and_the_mouth_than_the_root() {
    let fit = of_size(&read("tests/data/metric-base.yaml"), "32 mm");
    assert_eq!(fit.od_band.value, um(32_000, 32_300));
    let (mouth, root) = (fit.mouth.unwrap(), fit.root.unwrap());
    assert_eq!(mouth.interference.value, um(500, 1_200));
    assert_eq!(root.interference.value, um(700, 1_400));
    // The pipe's dimensions were read; the socket's are from memory, and so is
    // all that rests on them.
    assert_eq!(fit.od_band.weakest_basis, Basis::Standard);
    assert_eq!(mouth.interference.weakest_basis, Basis::Recalled);
    assert!(mouth.interference.needs_verifying());
}

/// Signs, over every size the tables have a socket of. At d 110 and d 125 the
/// widest PE mouth is as wide as the smallest pipe: 110.0 and 125.0 mm.
#[test]
fn no_published_socket_is_wider_than_its_smallest_pipe() {
    let limits = library();
    let mut seen = 0;
    for family in [Family::Polyethylene, Family::Polypropylene] {
        for size in limits.sizes(SizeSystem::Metric) {
            let Some(socket) = limits.socket(family, size) else {
                continue;
            };
            let pipe = limits.od_band(size).unwrap().value;
            let (mouth, root) = (socket.mouth.value, socket.root.value);
            assert!(pipe.least >= mouth.most, "{size}");
            assert!(mouth.most > root.most && mouth.least > root.least, "{size}");
            let meets = family == Family::Polyethylene
                && ["110 mm", "125 mm"].contains(&size.to_string().as_str());
            assert_eq!(pipe.least == mouth.most, meets, "{size}");
            seen += 1;
        }
    }
    assert_eq!(seen, 21, "11 PE and 10 PP sockets");
}

/// The gauge of 2 IPS sets 0.94 in; the spigot is straight for 1.90 in and the ring 0.75 in wide.
#[test]
fn inch_sockets_are_those_the_spec_gives() {
    let fit = of_size(&read("tests/data/base.yaml"), "2 IPS");
    // 2.375 ± 0.006 in.
    assert!((fit.od_band.value.least.mm() - 60.1726).abs() < 1e-6);
    assert!((fit.od_band.value.most.mm() - 60.4774).abs() < 1e-6);
    assert!(fit.mouth.is_none() && fit.root.is_none());
    let room = fit.ring_room.unwrap();
    // 1.90 - 0.94 = 0.96 in.
    assert_eq!(room.room.value, Length::from_micrometers(24_384));
    assert_eq!(room.ring.unwrap().value, Length::from_micrometers(19_050));
}

/// 2 IPS: pipe 60.1726 to 60.4774 mm. Mouth 2.340 to 2.350 in, that is 59.436 to
/// 59.690 mm.
#[test]
fn a_given_socket_stands_with_its_source() {
    let text = read("tests/data/base.yaml").replace(
        "2 IPS: {depth: 1.06 in, source: caliper on three sockets}",
        "2 IPS: {mouth: 2.340 to 2.350 in, source: caliper on three sockets}",
    );
    let fit = of_size(&text, "2 IPS");
    let mouth = fit.mouth.unwrap();
    assert_eq!(mouth.socket.basis, Basis::Measured);
    assert_eq!(mouth.socket.source, "caliper on three sockets");
    let interference = mouth.interference.value;
    assert!((interference.least.mm() - 0.4826).abs() < 1e-6);
    assert!((interference.most.mm() - 1.0414).abs() < 1e-6);
}

proptest! {
    /// The least interference is that of the smallest pipe in the widest socket,
    /// and a wider socket never grips more.
    #[test]
    fn interference_is_the_difference_of_the_ends(
        least in 2_000_i64..2_400, width in 0_i64..40, wider in 0_i64..20,
    ) {
        let at = |least: i64, most: i64| {
            let inches = |thousandths: i64| format!("{}.{:03}", thousandths / 1000, thousandths % 1000);
            let text = read("tests/data/base.yaml").replace(
                "2 IPS: {depth: 1.06 in, source: caliper on three sockets}",
                &format!("2 IPS: {{mouth: {} to {} in}}", inches(least), inches(most)),
            );
            of_size(&text, "2 IPS").mouth.unwrap().interference.value
        };
        let inch = |thousandths: i64| Length::from_micrometers(thousandths * 254).scaled(1, 10);
        let found = at(least, least + width);
        prop_assert_eq!(found.least, inch(2_369 - least - width));
        prop_assert_eq!(found.most, inch(2_381 - least));
        let looser = at(least, least + width + wider);
        prop_assert!(looser.least <= found.least && looser.most == found.most);
    }
}
