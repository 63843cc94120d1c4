//! One step of heat conduction through rings:
//! ρ dH/dt = (1/r) d/dr(r k dT/dr), cell-centered finite volumes, backward
//! Euler. Newton's method runs on the enthalpy, because on the temperature it
//! stalls at the kinks of the melting curve. The last act of a step is to move
//! the computed fluxes between the cells, so energy closes to rounding however
//! early the iteration stopped.

use crate::process::socket::heat::boundary::{Boundary, Film};
use crate::process::socket::heat::grid::Ring;
use crate::process::socket::heat::material::{Material, State};
use std::f64::consts::TAU;

/// Newton steps before a time step is given up and halved.
const NEWTON_STEPS: usize = 30;
/// Convergence threshold in J/kg: about 0.005 K, and the remaining error is far smaller,
/// since Newton's method squares it with every step.
const SETTLED: f64 = 10.0;
/// Maximum halvings of a time step before the solver fails.
const HALVINGS: u32 = 12;

/// A ring and its state.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cell {
    /// Where it is.
    pub(crate) ring: Ring,
    /// kg per meter.
    pub(crate) mass: f64,
    /// J/kg.
    pub(crate) enthalpy: f64,
    /// Temperature and molten fraction.
    pub(crate) state: State,
    /// Enthalpy and molten fraction at the start of the step.
    before: (f64, f64),
    /// Rate of change of enthalpy in the previous step, W/kg; the starting guess.
    rate: f64,
    /// Conductance to the next cell outward, W/(m K).
    link: f64,
}

impl Cell {
    /// Updates temperature and molten fraction from the enthalpy.
    fn follow(&mut self, material: &Material) {
        self.state = material.state(self.enthalpy, self.before.1, self.state.temperature);
    }
}

/// Heat that entered a body in a step, J per meter of pipe.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Exchange {
    /// Through the inner surface.
    pub(crate) inside: f64,
    /// Through the outer surface.
    pub(crate) outside: f64,
}

/// One row of the tridiagonal system.
#[derive(Debug, Clone, Copy, Default)]
struct Row {
    lower: f64,
    middle: f64,
    upper: f64,
    right: f64,
}

/// Rings of one resin in perfect contact, from inside to outside.
#[derive(Debug, Clone)]
pub(super) struct Body<'a> {
    material: &'a Material,
    pub(crate) cells: Vec<Cell>,
    rows: Vec<Row>,
}

impl<'a> Body<'a> {
    /// Rings of `material`, all at `temperature`.
    pub(super) fn new(material: &'a Material, rings: &[Ring], temperature: f64) -> Self {
        let enthalpy = material.enthalpy(temperature);
        let state = material.state(enthalpy, 0.0, temperature);
        let cells = rings
            .iter()
            .map(|&ring| Cell {
                ring,
                mass: ring.volume * material.density,
                enthalpy,
                state,
                before: (enthalpy, state.molten),
                rate: 0.0,
                link: 0.0,
            })
            .collect();
        Self {
            material,
            cells,
            rows: vec![Row::default(); rings.len()],
        }
    }

    /// This body pushed into `outer`, which fits round it.
    pub(super) fn joined(mut self, outer: Body<'a>) -> Self {
        self.cells.extend(outer.cells);
        self.rows.extend(outer.rows);
        self
    }

    /// Heat held, J per meter of pipe.
    pub(super) fn heat(&self) -> f64 {
        self.cells.iter().map(|c| c.mass * c.enthalpy).sum()
    }

    /// The current film over the inner surface.
    pub(super) fn inner_film(&self, boundary: &Boundary) -> Option<Film> {
        let cell = self.cells.first()?;
        let k = self.material.conductivity(cell.state);
        Some(boundary.film(
            TAU * cell.ring.inner,
            cell.ring.inward / k,
            cell.state.temperature,
        ))
    }

    /// The current film over the outer surface.
    pub(super) fn outer_film(&self, boundary: &Boundary) -> Option<Film> {
        let cell = self.cells.last()?;
        let k = self.material.conductivity(cell.state);
        Some(boundary.film(
            TAU * cell.ring.outer,
            cell.ring.outward / k,
            cell.state.temperature,
        ))
    }

    /// Temperature of the face at `radius`, m, which two cells share.
    pub(super) fn face_temperature(&self, radius: f64) -> Option<f64> {
        self.cells.windows(2).find_map(|pair| match pair {
            [a, b] if b.ring.middle > radius => {
                let from = a.ring.outward / self.material.conductivity(a.state);
                let to = b.ring.inward / self.material.conductivity(b.state);
                let (ta, tb) = (a.state.temperature, b.state.temperature);
                Some(ta + (tb - ta) * from / (from + to))
            }
            _ => None,
        })
    }

    /// Advances by `seconds` in one step, or in halves where one is too long.
    pub(super) fn advance(
        &mut self,
        seconds: f64,
        inside: &Boundary,
        outside: &Boundary,
    ) -> Option<Exchange> {
        self.advance_within(seconds, inside, outside, HALVINGS)
    }

    fn advance_within(
        &mut self,
        seconds: f64,
        inside: &Boundary,
        outside: &Boundary,
        halvings: u32,
    ) -> Option<Exchange> {
        if let Some(exchange) = self.step(seconds, inside, outside) {
            return Some(exchange);
        }
        let fewer = halvings.checked_sub(1)?;
        let first = self.advance_within(0.5 * seconds, inside, outside, fewer)?;
        let second = self.advance_within(0.5 * seconds, inside, outside, fewer)?;
        Some(Exchange {
            inside: first.inside + second.inside,
            outside: first.outside + second.outside,
        })
    }

    /// One step; `None`, and nothing changed, where Newton did not settle.
    fn step(&mut self, seconds: f64, inside: &Boundary, outside: &Boundary) -> Option<Exchange> {
        let inner = self.inner_film(inside)?;
        let outer = self.outer_film(outside)?;
        self.prepare(seconds, &outer);
        for _ in 0..NEWTON_STEPS {
            self.assemble(seconds, &inner, &outer);
            solve(&mut self.rows);
            let mut largest: f64 = 0.0;
            for (cell, row) in self.cells.iter_mut().zip(&self.rows) {
                cell.enthalpy += row.right;
                cell.follow(self.material);
                largest = largest.max(row.right.abs());
            }
            if largest < SETTLED {
                return Some(self.settle(seconds, &inner, &outer));
            }
        }
        for cell in &mut self.cells {
            cell.enthalpy = cell.before.0;
            cell.rate = 0.0;
            cell.follow(self.material);
        }
        None
    }

    /// Uses conductances from the start of the step; the error is first order, like
    /// backward Euler's.
    fn prepare(&mut self, seconds: f64, outer: &Film) {
        let mut next: Option<f64> = None;
        for cell in self.cells.iter_mut().rev() {
            let k = self.material.conductivity(cell.state);
            cell.link = match next {
                Some(resistance) => 1.0 / (cell.ring.outward / k + resistance),
                None => outer.conductance,
            };
            next = Some(cell.ring.inward / k);
            cell.before = (cell.enthalpy, cell.state.molten);
            cell.enthalpy += cell.rate * seconds;
            cell.follow(self.material);
        }
    }

    /// Newton's system for the change of enthalpy of each cell.
    fn assemble(&mut self, seconds: f64, inner: &Film, outer: &Film) {
        let beyond = State {
            temperature: outer.at,
            ..State::default()
        };
        let nexts = self.cells.iter().skip(1).map(|c| c.state).chain([beyond]);
        let (mut link, mut last) = (
            inner.conductance,
            State {
                temperature: inner.at,
                ..State::default()
            },
        );
        for ((cell, next), row) in self.cells.iter().zip(nexts).zip(&mut self.rows) {
            let here = cell.state;
            let capacity = cell.mass / seconds;
            let gain = link * (last.temperature - here.temperature)
                + cell.link * (next.temperature - here.temperature);
            *row = Row {
                lower: -link * last.slope,
                middle: capacity + (link + cell.link) * here.slope,
                upper: -cell.link * next.slope,
                right: gain - capacity * (cell.enthalpy - cell.before.0),
            };
            (link, last) = (cell.link, here);
        }
    }

    /// Applies the fluxes at the converged temperatures.
    fn settle(&mut self, seconds: f64, inner: &Film, outer: &Film) -> Exchange {
        let nexts = self.cells.iter().skip(1).map(|c| c.state.temperature);
        for ((cell, next), row) in self
            .cells
            .iter()
            .zip(nexts.chain([outer.at]))
            .zip(&mut self.rows)
        {
            row.right = cell.link * (cell.state.temperature - next);
        }
        let mut flux = self.cells.first().map_or(0.0, |cell| {
            inner.conductance * (inner.at - cell.state.temperature)
        });
        let inside = flux * seconds;
        for (cell, row) in self.cells.iter_mut().zip(&self.rows) {
            cell.rate = (flux - row.right) / cell.mass;
            cell.enthalpy = cell.before.0 + seconds * cell.rate;
            cell.follow(self.material);
            flux = row.right;
        }
        Exchange {
            inside,
            outside: -flux * seconds,
        }
    }
}

/// Thomas's algorithm; the solution replaces `right`.
fn solve(rows: &mut [Row]) {
    let (mut upper, mut right) = (0.0, 0.0);
    for row in rows.iter_mut() {
        let pivot = 1.0 / (row.middle - row.lower * upper);
        upper = row.upper * pivot;
        right = (row.right - row.lower * right) * pivot;
        (row.upper, row.right) = (upper, right);
    }
    let mut solution = 0.0;
    for row in rows.iter_mut().rev() {
        solution = row.right - row.upper * solution;
        row.right = solution;
    }
}
