//! The three stages of a joint: both parts on the heater, both in air, both
//! together. SI units, temperatures in °C.

use std::ops::ControlFlow;

use crate::process::socket::heat::boundary::{Boundary, Film};
use crate::process::socket::heat::grid::{FineSide, rings};
use crate::process::socket::heat::material::Material;
use crate::process::socket::heat::properties::Process;
use crate::process::socket::heat::solver::{Body, Cell, Exchange};
use crate::process::socket::heat::steps::Steps;

/// The joint and the resolution of the computation.
#[derive(Debug, Clone, Copy)]
pub(super) struct Setup<'a> {
    /// The resin of both parts.
    pub(crate) material: &'a Material,
    /// The surroundings' properties.
    pub(crate) process: &'a Process,
    /// Pipe OD, taken as the socket's bore too, m.
    pub(crate) diameter: f64,
    /// Pipe wall, m.
    pub(crate) wall: f64,
    /// Socket wall, m.
    pub(crate) socket_wall: f64,
    /// Pipe and fitting at the start.
    pub(crate) start: f64,
    /// Heater face.
    pub(crate) heater: f64,
    /// Air.
    pub(crate) ambient: f64,
    /// Cells in each wall.
    pub(crate) cells: usize,
    /// Time steps shorter by this factor.
    pub(crate) fineness: f64,
}

/// Pipe end and socket before they meet.
#[derive(Debug, Clone)]
pub(super) struct Parts<'a> {
    setup: Setup<'a>,
    /// The pipe; its outer surface is fused.
    pub(crate) pipe: Body<'a>,
    /// The socket; its inner surface is fused.
    pub(crate) socket: Body<'a>,
    /// Heat taken in by both since the start, J/m.
    pub(crate) heat_taken: f64,
}

/// Pipe and socket as one.
#[derive(Debug, Clone)]
pub(super) struct Joined<'a> {
    setup: Setup<'a>,
    /// Both walls.
    pub(crate) body: Body<'a>,
    /// Heat taken in since the start, J/m.
    pub(crate) heat_taken: f64,
}

impl<'a> Setup<'a> {
    /// Both parts, at the temperature they start from.
    pub(super) fn parts(self) -> Parts<'a> {
        let face = 0.5 * self.diameter;
        let pipe = rings(face - self.wall, face, self.cells, FineSide::Outside);
        let socket = rings(face, face + self.socket_wall, self.cells, FineSide::Inside);
        Parts {
            setup: self,
            pipe: Body::new(self.material, &pipe, self.start),
            socket: Body::new(self.material, &socket, self.start),
            heat_taken: 0.0,
        }
    }

    fn air(&self, diameter: f64) -> Boundary {
        Boundary::Air {
            at: self.ambient,
            diameter,
            factor: self.process.free_convection.value,
            emissivity: self.process.emissivity.value,
        }
    }

    fn bore(&self) -> Boundary {
        Boundary::Contact {
            at: self.ambient,
            conductance: self.process.bore_air.value,
        }
    }

    fn outside(&self) -> Boundary {
        self.air(self.diameter + 2.0 * self.socket_wall)
    }

    fn heater_face(&self) -> Boundary {
        Boundary::Contact {
            at: self.heater,
            conductance: self.process.contact_conductance.value,
        }
    }

    fn steps(&self, from: f64, end: f64) -> Steps {
        Steps::between(from, end).finer(self.fineness)
    }
}

impl<'a> Parts<'a> {
    /// Both parts on the heater for `seconds`.
    pub(super) fn heat(
        &mut self,
        seconds: f64,
        mut observe: impl FnMut(f64, &Self) -> ControlFlow<()>,
    ) -> Option<()> {
        let face = self.setup.heater_face();
        self.run(&face, (0.0, seconds), &mut observe)
    }

    /// Heat held by both, J per meter of pipe.
    pub(super) fn heat_held(&self) -> f64 {
        self.pipe.heat() + self.socket.heat()
    }

    /// Both parts on the heater for `longer`; returns them as they are after `shorter`.
    pub(super) fn heat_past(
        &mut self,
        (shorter, longer): (f64, f64),
        mut observe: impl FnMut(f64, &Self),
    ) -> Option<Self> {
        let (face, mut before) = (self.setup.heater_face(), 0.0);
        let mut early = None;
        for (step, time) in self.setup.steps(0.0, longer) {
            if early.is_none() && time >= shorter {
                let mut cut = self.clone();
                cut.advance(shorter - before, &face)?;
                early = Some(cut);
            }
            self.advance(step, &face)?;
            observe(time, self);
            before = time;
        }
        early
    }

    /// The pipe alone on the heater for up to `seconds`.
    pub(super) fn heat_pipe(
        &mut self,
        seconds: f64,
        mut observe: impl FnMut(f64, &Self) -> ControlFlow<()>,
    ) -> Option<()> {
        let (bore, face) = (self.setup.bore(), self.setup.heater_face());
        for (step, time) in self.setup.steps(0.0, seconds) {
            self.heat_taken += total(self.pipe.advance(step, &bore, &face)?);
            if observe(time, self).is_break() {
                break;
            }
        }
        Some(())
    }

    /// Both parts in air, `from` to `end` seconds after they left the heater.
    pub(super) fn change_over(
        &mut self,
        from: f64,
        end: f64,
        mut observe: impl FnMut(f64, &Self) -> ControlFlow<()>,
    ) -> Option<()> {
        let face = self.air_at_face();
        self.run(&face, (from, end), &mut observe)
    }

    fn air_at_face(&self) -> Boundary {
        self.setup.air(self.setup.diameter)
    }

    fn run(
        &mut self,
        face: &Boundary,
        (from, end): (f64, f64),
        observe: &mut impl FnMut(f64, &Self) -> ControlFlow<()>,
    ) -> Option<()> {
        for (step, time) in self.setup.steps(from, end) {
            self.advance(step, face)?;
            if observe(time, self).is_break() {
                break;
            }
        }
        Some(())
    }

    fn advance(&mut self, step: f64, face: &Boundary) -> Option<()> {
        let (bore, outside) = (self.setup.bore(), self.setup.outside());
        self.heat_taken += total(self.pipe.advance(step, &bore, face)?);
        self.heat_taken += total(self.socket.advance(step, face, &outside)?);
        Some(())
    }

    /// Temperatures of the fused surfaces in air: pipe and socket.
    pub(super) fn surfaces(&self) -> Option<(f64, f64)> {
        let air = self.air_at_face();
        let pipe = self.pipe.cells.last()?.state.temperature;
        let socket = self.socket.cells.first()?.state.temperature;
        Some((
            self.pipe.outer_film(&air)?.surface(pipe),
            self.socket.inner_film(&air)?.surface(socket),
        ))
    }

    /// Distance from the fused face and temperature through the pipe's wall,
    /// face first, on the heater.
    pub(super) fn pipe_profile(&self) -> Vec<(f64, f64)> {
        let face = 0.5 * self.setup.diameter;
        let film = self.pipe.outer_film(&self.setup.heater_face());
        let cells = self.pipe.cells.iter().rev().map(|cell| point(cell, face));
        let bore = self.bore().map(|bore| (self.setup.wall, bore));
        with_surfaces(film, cells, bore)
    }

    /// The same through the socket's wall.
    pub(super) fn socket_profile(&self) -> Vec<(f64, f64)> {
        let face = 0.5 * self.setup.diameter;
        let film = self.socket.inner_film(&self.setup.heater_face());
        let cells = self.socket.cells.iter().map(|cell| point(cell, face));
        let outside = self.setup.outside();
        let outside = self
            .socket
            .outer_film(&outside)
            .zip(self.socket.cells.last())
            .map(|(film, cell)| (self.setup.socket_wall, film.surface(cell.state.temperature)));
        with_surfaces(film, cells, outside)
    }

    /// Temperature of the bore's surface.
    pub(super) fn bore(&self) -> Option<f64> {
        let cell = self.pipe.cells.first()?;
        let film = self.pipe.inner_film(&self.setup.bore())?;
        Some(film.surface(cell.state.temperature))
    }

    /// Pushed together.
    pub(super) fn join(self) -> Joined<'a> {
        Joined {
            setup: self.setup,
            body: self.pipe.joined(self.socket),
            heat_taken: self.heat_taken,
        }
    }
}

impl Joined<'_> {
    /// Cooling for up to `seconds`.
    pub(super) fn cool(
        &mut self,
        seconds: f64,
        mut observe: impl FnMut(f64, &Self) -> ControlFlow<()>,
    ) -> Option<()> {
        let (bore, outside) = (self.setup.bore(), self.setup.outside());
        for (step, time) in self.setup.steps(0.0, seconds) {
            self.heat_taken += total(self.body.advance(step, &bore, &outside)?);
            if observe(time, self).is_break() {
                break;
            }
        }
        Some(())
    }

    /// Temperature where the parts met.
    pub(super) fn interface(&self) -> Option<f64> {
        self.body.face_temperature(0.5 * self.setup.diameter)
    }

    /// Molten fraction there: the mean of the cells that meet.
    pub(super) fn molten_at_interface(&self) -> Option<f64> {
        let socket = self.body.cells.get(self.setup.cells)?;
        let pipe = self.body.cells.get(self.setup.cells.checked_sub(1)?)?;
        Some(0.5 * (pipe.state.molten + socket.state.molten))
    }
}

/// Distance of a cell's middle from radius `face`, and its temperature.
fn point(cell: &Cell, face: f64) -> (f64, f64) {
    ((cell.ring.middle - face).abs(), cell.state.temperature)
}

/// The cells' points with those of the two surfaces round them.
fn with_surfaces(
    film: Option<Film>,
    cells: impl Iterator<Item = (f64, f64)>,
    far: Option<(f64, f64)>,
) -> Vec<(f64, f64)> {
    let mut points: Vec<(f64, f64)> = cells.collect();
    if let Some((film, &(_, nearest))) = film.zip(points.first()) {
        points.insert(0, (0.0, film.surface(nearest)));
    }
    points.extend(far);
    points
}

fn total(exchange: Exchange) -> f64 {
    exchange.inside + exchange.outside
}
