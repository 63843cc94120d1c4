//! Input and result of the model, and the reasons for refusing.

use std::fmt;

use crate::core::units::print::temperature;
use crate::core::units::{DimensionRatio, Duration, Length, Percent, Range, Temperature};
use crate::process::socket::heat::collapse::CollapseFlag;
use crate::process::socket::heat::properties::Resin;
use crate::process::socket::heat::quantity;

/// One joint: parts, heater, and times.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct JointInput {
    /// Resin of pipe and fitting.
    pub resin: Resin,
    /// Pipe OD; the socket's bore is assumed equal.
    pub outside_diameter: Length,
    /// Pipe wall.
    pub wall: Length,
    /// Socket wall; 1.25 × the pipe's if not given.
    pub socket_wall: Option<Length>,
    /// Time on the heater.
    pub heating: Duration,
    /// Time from heater to joint.
    pub change_over: Duration,
    /// Temperature of the heater's faces.
    pub heater_face: Temperature,
    /// Temperature of pipe and fitting at the start.
    pub pipe_temperature: Temperature,
    /// Temperature of the air, including the bore.
    pub ambient: Temperature,
}

/// The estimate. Print depths to 0.1 mm ± 20 % and temperatures to 10 °C, under a heading
/// that says that it is not validated.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct JointEstimate {
    /// Depth to which the pipe is at least half molten when it leaves the heater.
    pub pipe_melt: Length,
    /// Melt depth in the socket.
    pub socket_melt: Length,
    /// `pipe_melt` as a share of the pipe's wall.
    pub melted_share: Percent,
    /// Share of the pipe's wall still below 100 °C when it leaves the heater.
    pub stiff_share: Percent,
    /// Bore surface when it leaves the heater.
    pub bore: Temperature,
    /// Interface temperature when the parts meet at the end of the change-over.
    pub interface: Temperature,
    /// Time in air until the cooler fused surface falls below the melting
    /// range, or to where the joint would set if that is sooner; `None` where
    /// it stays above for ten minutes.
    pub change_over_ceiling: Option<Duration>,
    /// Time after joining until the interface begins to set; `None` where no
    /// setting temperature is known for the resin or it is not reached within
    /// an hour.
    pub solidification_onset: Option<Duration>,
    /// Time after joining until the interface is half solid; `None` where that
    /// takes more than an hour.
    pub half_solid: Option<Duration>,
    /// Risk of the pipe end collapsing.
    pub collapse: CollapseFlag,
}

/// Melt at one moment on the heater.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MeltPoint {
    /// Time since the parts went on.
    pub time: Duration,
    /// Melt depth of the pipe.
    pub pipe: Length,
    /// Melt depth of the socket.
    pub socket: Length,
}

/// Why the model refuses.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Refusal {
    /// Pipe colder or hotter than the model's range.
    PipeTemperature(Range<Temperature>),
    /// Air colder or hotter than the same range.
    Ambient(Range<Temperature>),
    /// Heater face outside the model's range.
    HeaterFace(Range<Temperature>),
    /// Wall thicker or thinner than the model's range.
    DimensionRatio(Range<DimensionRatio>),
    /// A socket wall that is no wall.
    SocketWall,
    /// No heating time, or a change-over that ends before it begins.
    Time,
    /// The tables within the program cannot be read; a fault of the program.
    Tables(&'static str),
    /// The computation did not settle; a fault of the program.
    NotSettled,
}

impl fmt::Display for Refusal {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let between = |range: &Range<Temperature>| {
            format!(
                "{} to {}",
                temperature(range.least),
                temperature(range.most)
            )
        };
        match self {
            Refusal::PipeTemperature(range) => {
                write!(out, "the estimate covers pipe at {}", between(range))
            }
            Refusal::Ambient(range) => write!(out, "the estimate covers air at {}", between(range)),
            Refusal::HeaterFace(range) => {
                write!(
                    out,
                    "the estimate covers heater faces at {}",
                    between(range)
                )
            }
            Refusal::DimensionRatio(range) => write!(
                out,
                "the estimate covers DR {} to {}",
                range.least.number(),
                range.most.number()
            ),
            Refusal::SocketWall => write!(out, "the socket has no wall"),
            Refusal::Time => write!(out, "there is no time on the heater"),
            Refusal::Tables(reason) => write!(out, "the heat tables cannot be read: {reason}"),
            Refusal::NotSettled => write!(out, "the heat computation did not settle"),
        }
    }
}

impl std::error::Error for Refusal {}

impl JointInput {
    /// Refuses input outside the model's range.
    pub(super) fn accept(&self) -> Result<(), Refusal> {
        let (pipe, heater) = (pipe_temperatures(), degrees(245.0, 275.0));
        let ratios = Range::new(quantity::ratio(7.0), quantity::ratio(17.0));
        if !pipe.contains(self.pipe_temperature) {
            return Err(Refusal::PipeTemperature(pipe));
        }
        if !pipe.contains(self.ambient) {
            return Err(Refusal::Ambient(pipe));
        }
        if !heater.contains(self.heater_face) {
            return Err(Refusal::HeaterFace(heater));
        }
        match DimensionRatio::from_wall(self.outside_diameter, self.wall) {
            Some(ratio) if ratios.contains(ratio) && self.outside_diameter > Length::ZERO => {}
            _ => return Err(Refusal::DimensionRatio(ratios)),
        }
        if self.socket_wall.is_some_and(|wall| wall <= Length::ZERO) {
            return Err(Refusal::SocketWall);
        }
        if self.heating <= Duration::ZERO || self.change_over < Duration::ZERO {
            return Err(Refusal::Time);
        }
        Ok(())
    }
}

/// Pipe temperatures the model covers.
pub(crate) fn pipe_temperatures() -> Range<Temperature> {
    degrees(-20.0, 40.0)
}

fn degrees(least: f64, most: f64) -> Range<Temperature> {
    Range::new(quantity::temperature(least), quantity::temperature(most))
}

/// Smallest outside diameter with printed solidification times: 1-1/4 IPS. Below it they
/// may be off by a factor of three.
pub(crate) const LEAST_WITH_SOLIDIFICATION: Length = Length::from_micrometers(42_164);

/// Whether solidification times may be printed for a pipe of this OD.
pub(crate) fn shows_solidification(outside_diameter: Length) -> bool {
    outside_diameter >= LEAST_WITH_SOLIDIFICATION
}
