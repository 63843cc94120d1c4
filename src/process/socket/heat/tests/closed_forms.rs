//! Conduction problems with a solution in closed form. Temperatures in °C,
//! distances in mm, times in s. Plane problems are run in a tube so wide
//! (100 m) that its wall is plane to a part in a thousand.

use crate::process::socket::heat::boundary::Boundary;
use crate::process::socket::heat::grid::{FineSide, Ring, rings};
use crate::process::socket::heat::material::{Material, State};
use crate::process::socket::heat::properties::{Property, Resin, ResinProperties};
use crate::process::socket::heat::solver::Body;
use crate::process::socket::heat::steps::Steps;
use crate::process::socket::heat::table::Rows;
use crate::process::socket::heat::tables::Tables;

const WIDE: f64 = 100.0;
const PERFECT: f64 = 1e9;

fn known<T>(value: T) -> Property<T> {
    Property {
        value,
        basis: "derived".to_owned(),
        range: None,
        source: None,
    }
}

/// A substance of constant properties that melts at one temperature.
fn substance(
    density: f64,
    solid: (f64, f64),
    melt: (f64, f64),
    latent: f64,
    peak: f64,
) -> Material {
    let constant = |value: f64| -> Property<Rows> { known(vec![[0.0, value]]) };
    let properties = ResinProperties {
        resin: Resin::Pe4710,
        density: known(density),
        latent_heat: known(latent),
        melting_peak: known(peak),
        stretch: known(0.01),
        tail_weight: known(0.0),
        tail_start: known(0.0),
        supercooling: known(0.0),
        solidification_onset: None,
        conductivity_solid: constant(solid.0),
        specific_heat_solid: constant(solid.1),
        conductivity_melt: constant(melt.0),
        specific_heat_melt: constant(melt.1),
        source: String::new(),
    };
    Material::new(&properties, &vec![[-6.0, 0.0], [6.0, 1.0]])
}

/// Conducts, but melts only far above any temperature used.
fn unmelting(k: f64) -> Material {
    substance(950.0, (k, 2000.0), (k, 2000.0), 1e5, 320.0)
}

/// A plane wall of `depth` metres, its face inside.
fn plane(depth: f64, cells: usize) -> Vec<Ring> {
    rings(WIDE, WIDE + depth, cells, FineSide::Inside)
}

fn held(at: f64, conductance: f64) -> Boundary {
    Boundary::Contact { at, conductance }
}

fn run(body: &mut Body, seconds: f64, inside: &Boundary, outside: &Boundary) {
    for (step, _) in Steps::between(0.0, seconds).finer(16.0) {
        body.advance(step, inside, outside).unwrap();
    }
}

fn temperature(body: &Body, mm: f64) -> f64 {
    let radius = WIDE + mm / 1e3;
    let pair = body
        .cells
        .windows(2)
        .find(|pair| pair[1].ring.middle >= radius)
        .unwrap();
    let share = (radius - pair[0].ring.middle) / (pair[1].ring.middle - pair[0].ring.middle);
    pair[0].state.temperature + share * (pair[1].state.temperature - pair[0].state.temperature)
}

/// Molten thickness, mm: from the melt's volume, which the isothermal front
/// crosses cell by cell.
fn molten(body: &Body) -> f64 {
    body.cells
        .iter()
        .map(|c| c.state.molten.clamp(0.0, 1.0) * (c.ring.outer - c.ring.inner) * 1e3)
        .sum()
}

fn check(what: &str, got: f64, want: f64, percent: f64) {
    let error = 100.0 * (got / want - 1.0);
    println!("{what}: {got:.4} against {want}, error {error:+.4} %");
    assert!(error.abs() <= percent, "{what}: {got} against {want}");
}

#[test]
fn half_space() {
    let material = unmelting(0.40);
    let mut body = Body::new(&material, &plane(0.04, 300), 23.0);
    run(&mut body, 10.0, &held(260.0, PERFECT), &Boundary::Insulated);
    for (mm, want) in [(1.0, 171.37), (2.0, 101.14), (3.0, 57.07)] {
        check("half-space", temperature(&body, mm), want, 0.2);
    }
}

#[test]
fn half_space_behind_a_contact() {
    let material = unmelting(0.40);
    let mut body = Body::new(&material, &plane(0.04, 300), 23.0);
    let face = held(260.0, 2500.0);
    run(&mut body, 10.0, &face, &Boundary::Insulated);
    let surface = body
        .inner_film(&face)
        .unwrap()
        .surface(body.cells[0].state.temperature);
    check("contact, surface", surface, 245.34, 0.2);
    for (mm, want) in [(1.0, 158.82), (2.0, 92.67)] {
        check("contact", temperature(&body, mm), want, 0.2);
    }
}

#[test]
fn one_phase_stefan() {
    let material = substance(957.0, (0.25, 2450.0), (0.25, 2450.0), 180e3, 130.0);
    for (seconds, want) in [(10.0, 1.585), (30.0, 2.745)] {
        // Solid at the melting point: just below where the tables begin to melt.
        let mut body = Body::new(&material, &plane(0.02, 300), 129.7);
        run(
            &mut body,
            seconds,
            &held(260.0, PERFECT),
            &Boundary::Insulated,
        );
        check("Stefan front", molten(&body), want, 3.0);
    }
}

#[test]
fn two_phase_neumann() {
    let material = substance(957.0, (0.36, 2100.0), (0.25, 2450.0), 180e3, 130.0);
    for (seconds, want) in [(5.0, 0.6500), (10.0, 0.9193), (30.0, 1.592)] {
        let mut body = Body::new(&material, &plane(0.04, 400), 23.0);
        run(
            &mut body,
            seconds,
            &held(260.0, PERFECT),
            &Boundary::Insulated,
        );
        check("Neumann front", molten(&body), want, 1.0);
    }
}

#[test]
fn solid_cylinder() {
    let material = unmelting(0.40);
    let air = held(20.0, 40.0);
    let mut body = Body::new(&material, &rings(0.0, 0.01, 100, FineSide::Outside), 200.0);
    run(&mut body, 95.0, &Boundary::Insulated, &air);
    let surface = body
        .outer_film(&air)
        .unwrap()
        .surface(body.cells[99].state.temperature);
    check(
        "cylinder, centre",
        body.cells[0].state.temperature,
        176.6,
        0.1,
    );
    check("cylinder, surface", surface, 122.6, 0.1);
}

#[test]
fn two_half_spaces() {
    let material = unmelting(0.30);
    let hot = rings(WIDE - 0.03, WIDE, 300, FineSide::Outside);
    let cold = Body::new(&material, &plane(0.03, 300), 60.0);
    let mut body = Body::new(&material, &hot, 220.0).joined(cold);
    let insulated = Boundary::Insulated;
    run(&mut body, 5.0, &insulated, &insulated);
    check("two half-spaces", temperature(&body, 1.0), 94.09, 0.3);
    check(
        "their face",
        body.face_temperature(WIDE).unwrap(),
        140.0,
        0.1,
    );
}

#[test]
fn melting_and_freezing_returns_every_joule() {
    let material = Tables::embedded().unwrap().material(Resin::Pe4710).unwrap();
    let wall = rings(0.01, 0.013, 24, FineSide::Outside);
    let mut body = Body::new(material, &wall, 23.0);
    let start = body.heat();
    let mut taken = 0.0;
    let mut moved: f64 = 0.0;
    let mut molten_at_most: f64 = 0.0;
    for at in [240.0, 20.0, 200.0, 23.0] {
        for (step, _) in Steps::between(0.0, 600.0) {
            let exchange = body
                .advance(step, &Boundary::Insulated, &held(at, 2500.0))
                .unwrap();
            taken += exchange.inside + exchange.outside;
            moved += exchange.outside.abs();
        }
        molten_at_most = molten_at_most.max(molten(&body));
    }
    let residual = (body.heat() - start - taken) / moved;
    println!("melt-freeze energy residual {residual:e}");
    assert!(residual.abs() <= 1e-10);
    assert!((molten_at_most - 3.0).abs() < 1e-2);
    assert!(molten(&body) < 1e-2, "frozen again: {}", molten(&body));
    // Back where it began: no heat is made or lost by the hysteresis.
    assert!(((body.heat() - start) / moved).abs() < 1e-6);
}

#[test]
fn melts_near_the_peak_and_freezes_lower() {
    let material = Tables::embedded().unwrap().material(Resin::Pe4710).unwrap();
    let half = |branch: &dyn Fn(f64) -> State| {
        (0..20_000)
            .map(|step| branch(f64::from(step) * 50.0))
            .find(|state| state.molten >= 0.5)
            .unwrap()
            .temperature
    };
    let warming = half(&|enthalpy| material.state(enthalpy, 0.0, 100.0));
    let cooling = half(&|enthalpy| material.state(enthalpy, 1.0, 100.0));
    assert!(
        (warming - cooling - 17.0).abs() < 0.2,
        "{warming} {cooling}"
    );
    assert!((warming - material.half_melted).abs() < 0.2);
    // Between the two, what is molten stays molten.
    let melt = material.state(material.enthalpy(160.0), 1.0, 100.0);
    assert!((melt.molten - 1.0).abs() < 1e-3);
}
