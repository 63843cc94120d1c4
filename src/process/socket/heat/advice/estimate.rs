//! The estimate for one size and wall: at the shortest and longest heating time, the melt
//! in between, and the effect of cold or hot pipe.

use crate::core::units::{Decimal, Duration, Length, Percent, Range, Temperature};
use crate::process::socket::heat;
use crate::process::socket::heat::{
    JointEstimate, JointInput, MeltPoint, Refusal, shows_solidification,
};

/// The estimate for a size and wall.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Estimate {
    /// Heating, shortest to longest.
    pub heating: Range<Duration>,
    /// Change-over, at most.
    pub change_over: Duration,
    /// Socket wall, assumed from the pipe's.
    pub socket_wall: Length,
    /// After the shortest heating.
    pub shortest: JointEstimate,
    /// After the longest heating.
    pub longest: JointEstimate,
    /// Melt against time on the heater, up to the longest.
    pub curve: Vec<MeltPoint>,
    /// From the onset of solidification to half solid, counted from joining; `None` for
    /// small sizes and if unknown.
    pub solidification: Option<Range<Duration>>,
    /// Pipe at the cold end of the procedure's range.
    pub cold: Option<ColdPipe>,
    /// Pipe at its hot end.
    pub hot: Option<HotPipe>,
}

/// Effect of cold pipe. A reason for trial joints, never a new time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ColdPipe {
    /// Pipe temperature, no colder than the model covers.
    pub temperature: Temperature,
    /// How much longer heating takes for the melt of the shortest heating on a mild day,
    /// rounded up to 5 %; positive.
    pub longer: Percent,
}

/// Effect of hot pipe. A reason to keep to the short time and watch for collapse, never a
/// shorter time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HotPipe {
    /// Pipe temperature, no hotter than the model covers.
    pub temperature: Temperature,
    /// How much deeper the longest heating melts than on a mild day, rounded up to 5 %;
    /// positive.
    pub deeper: Percent,
}

/// The model's input for a size and wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct EstimateKey {
    /// The joint on a mild day, at its shortest heating.
    pub(crate) base: JointInput,
    /// Heating, shortest to longest.
    pub(crate) heating: Range<Duration>,
    /// The procedure's pipe temperatures, as far as the model covers them.
    pub(crate) pipe_range: Option<Range<Temperature>>,
}

/// How long melt on cold pipe is computed, in thousandths of the shortest heating; the
/// coldest pipe in range needs about 1300.
const FOLLOWED: i64 = 1500;

impl EstimateKey {
    pub(super) fn answer(&self) -> Result<Estimate, Refusal> {
        let Range { least, most } = self.heating;
        let at_longest = JointInput {
            heating: most,
            ..self.base
        };
        let (shortest, longest, curve) = if least == most {
            let (longest, curve) = heat::joint_and_curve(&at_longest)?;
            (longest, longest, curve)
        } else {
            let ([shortest, longest], curve) = heat::joint_at_both(&at_longest, least)?;
            (shortest, longest, curve)
        };
        Ok(Estimate {
            heating: self.heating,
            change_over: self.base.change_over,
            socket_wall: self.base.socket_wall.unwrap_or(self.base.wall),
            curve,
            solidification: self.solidification(&shortest, &longest),
            cold: self.cold(&shortest)?,
            hot: self.hot(&at_longest, &longest)?,
            shortest,
            longest,
        })
    }

    fn solidification(
        &self,
        shortest: &JointEstimate,
        longest: &JointEstimate,
    ) -> Option<Range<Duration>> {
        if !shows_solidification(self.base.outside_diameter) {
            return None;
        }
        let begins = shortest.solidification_onset?;
        let half = longest.half_solid?.max(shortest.half_solid?);
        (begins <= half).then(|| Range::new(begins, half))
    }

    fn cold(&self, mild: &JointEstimate) -> Result<Option<ColdPipe>, Refusal> {
        let Some(temperature) = self
            .pipe_range
            .map(|range| range.least)
            .filter(|cold| *cold < self.base.pipe_temperature)
        else {
            return Ok(None);
        };
        let on_cold = JointInput {
            heating: self.base.heating.thousandths(FOLLOWED),
            pipe_temperature: temperature,
            ambient: temperature,
            ..self.base
        };
        let curve = heat::pipe_melt(&on_cold, Some(mild.pipe_melt))?;
        let same = time_of(&curve, mild.pipe_melt);
        let longer =
            same.map(|same| round_up_to_five_percent(same / self.base.heating.seconds() - 1.0));
        let longer = longer.filter(|longer| *longer > Percent::ZERO);
        Ok(longer.map(|longer| ColdPipe {
            temperature,
            longer,
        }))
    }

    fn hot(
        &self,
        at_longest: &JointInput,
        mild: &JointEstimate,
    ) -> Result<Option<HotPipe>, Refusal> {
        let Some(temperature) = self
            .pipe_range
            .map(|range| range.most)
            .filter(|hot| *hot > self.base.pipe_temperature)
        else {
            return Ok(None);
        };
        let on_hot = JointInput {
            pipe_temperature: temperature,
            ambient: temperature,
            ..*at_longest
        };
        let curve = heat::pipe_melt(&on_hot, None)?;
        let melt = curve.last().map_or(Length::ZERO, |(_, depth)| *depth);
        let deeper = (mild.pipe_melt > Length::ZERO)
            .then(|| round_up_to_five_percent(melt.mm() / mild.pipe_melt.mm() - 1.0))
            .filter(|deeper| *deeper > Percent::ZERO);
        Ok(deeper.map(|deeper| HotPipe {
            temperature,
            deeper,
        }))
    }
}

/// Time at which the pipe's melt reaches `depth`, in seconds, interpolated linearly.
fn time_of(curve: &[(Duration, Length)], depth: Length) -> Option<f64> {
    curve.windows(2).find_map(|pair| {
        let [(from, before), (to, after)] = pair else {
            return None;
        };
        if *after < depth || after == before {
            return None;
        }
        let part = (depth - *before).mm() / (*after - *before).mm();
        let (from, to) = (from.seconds(), to.seconds());
        Some(from + part.max(0.0) * (to - from))
    })
}

/// A fraction rounded up to 5 %, the model's resolution. It is printed as "up to", so
/// rounding up avoids "up to 0 %".
fn round_up_to_five_percent(share: f64) -> Percent {
    Percent::written(Decimal {
        millionths: (share * 20.0).ceil() as i64 * 5_000_000,
        places: 0,
    })
}
