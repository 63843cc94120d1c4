//! How long the heat model takes for a joint. The promise is under 2 ms; the
//! bench stops with an error where the machine does not keep it.

#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::string_slice,
    clippy::unwrap_used,
    reason = "a bench ends where something is not as it says"
)]

use std::hint::black_box;
use std::time::{Duration as Elapsed, Instant};

use coldring::core::units::{Duration, Length, Temperature};
use coldring::process::socket::heat::{JointInput, Resin, joint, pipe_melt};
use divan::Bencher;

/// What a joint may take.
const MOST: Elapsed = Elapsed::from_millis(2);

/// The smallest and the largest joint of the reference, each resin once.
fn joints() -> [(&'static str, JointInput); 3] {
    let input = |resin, od, wall, heating| JointInput {
        resin,
        outside_diameter: Length::from_mm(od),
        wall: Length::from_mm(wall),
        socket_wall: None,
        heating: Duration::from_seconds(heating),
        change_over: Duration::from_seconds(3),
        heater_face: Temperature::from_celsius(260.0),
        pipe_temperature: Temperature::from_celsius(23.0),
        ambient: Temperature::from_celsius(23.0),
    };
    [
        ("1/2 IPS PE4710", input(Resin::Pe4710, 21.336, 1.9396, 8)),
        ("2 IPS PE2708", input(Resin::Pe2708, 60.325, 5.4841, 26)),
        ("d 125 PP-R", input(Resin::PpR, 125.0, 11.4, 40)),
    ]
}

/// The middle of many runs, which a busy moment of the machine does not move.
fn median(input: &JointInput) -> Elapsed {
    let mut runs: Vec<_> = (0..51)
        .map(|_| {
            let start = Instant::now();
            black_box(joint(black_box(input))).expect("a joint within the model's range");
            start.elapsed()
        })
        .collect();
    runs.sort();
    runs[runs.len() / 2]
}

fn main() {
    for (name, input) in joints() {
        let took = median(&input);
        assert!(took < MOST, "{name}: {took:?} is over {MOST:?}");
    }
    divan::main();
}

fn names() -> impl Iterator<Item = &'static str> {
    joints().into_iter().map(|(name, _)| name)
}

fn named(wanted: &str) -> JointInput {
    let mut joints = joints().into_iter();
    let found = joints.find(|(name, _)| *name == wanted);
    found.expect("a joint of this bench").1
}

#[divan::bench(args = names())]
fn whole_joint(bencher: Bencher, name: &str) {
    let input = named(name);
    bencher.bench(|| joint(black_box(&input)));
}

#[divan::bench(args = names())]
fn melt_on_the_heater(bencher: Bencher, name: &str) {
    let input = named(name);
    bencher.bench(|| pipe_melt(black_box(&input), None));
}
