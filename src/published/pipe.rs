//! Dimensions of pipe and sockets.

use super::{Family, Library, ResinGroup, Sourced, size_key};
use crate::core::size::{Size, SizeSystem};
use crate::core::units::{DimensionRatio, Length, Range};

/// SDRs (times ten) of metric pipe with published walls, thickest first.
const METRIC_SERIES: [i64; 6] = [60, 74, 90, 110, 136, 170];

/// A published socket.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Socket {
    /// Mean inside diameter at the entrance.
    pub mouth: Sourced<Range<Length>>,
    /// Mean inside diameter at the bottom.
    pub root: Sourced<Range<Length>>,
    /// Length of the socket; not an insertion depth.
    pub length: Option<Sourced<Length>>,
    /// Penetration of the pipe, if a range is published.
    pub penetration: Option<Sourced<Range<Length>>>,
}

impl Library {
    /// Every size in `system` with a published outside diameter, smallest first.
    pub fn sizes(&self, system: SizeSystem) -> Vec<Size> {
        let mut sizes: Vec<_> = self
            .tables
            .iter()
            .filter(|t| t.name.starts_with("pipe-"))
            .flat_map(|t| &t.entries)
            .filter_map(|f| f.size)
            .filter(|s| s.system() == system)
            .collect();
        sizes.sort();
        sizes.dedup();
        sizes
    }

    fn pipe(&self, size: Size, column: &str) -> Option<Sourced<Length>> {
        let table = match size.system() {
            SizeSystem::Ips => "pipe-ips",
            SizeSystem::Cts => "pipe-cts",
            SizeSystem::Metric => "pipe-metric",
        };
        self.entry(&format!("{table}:{}:{column}", size_key(size)))?
            .length()
    }

    /// The outside diameter of a size: the average for inch pipe, the nominal (which is
    /// the minimum) for metric pipe.
    pub fn outside_diameter(&self, size: Size) -> Option<Sourced<Length>> {
        self.pipe(size, "od")
    }

    /// The outside diameter tolerance: plus or minus for inch pipe, plus only for metric
    /// pipe.
    pub(crate) fn od_tolerance(&self, size: Size) -> Option<Sourced<Length>> {
        self.pipe(
            size,
            match size.system() {
                SizeSystem::Metric => "od_plus",
                SizeSystem::Ips | SizeSystem::Cts => "od_tolerance",
            },
        )
    }

    /// Allowed range of the mean outside diameter.
    pub fn od_band(&self, size: Size) -> Option<Sourced<Range<Length>>> {
        let (od, tolerance) = (self.outside_diameter(size)?, self.od_tolerance(size)?);
        let (formula, least) = match size.system() {
            SizeSystem::Metric => ("OD, plus the tolerance", od.value),
            SizeSystem::Ips | SizeSystem::Cts => ("OD ± tolerance", od.value - tolerance.value),
        };
        Some(Sourced::derived(
            Range::new(least, od.value + tolerance.value),
            formula,
            &[od.weakest_basis, tolerance.weakest_basis],
        ))
    }

    /// Maximum out-of-roundness as made: largest minus smallest diameter of one section.
    pub(crate) fn out_of_roundness(&self, size: Size) -> Option<Sourced<Length>> {
        self.pipe(size, "out_of_roundness")
    }

    /// The published minimum wall of a metric size in a resin, if any. PE and PP-R have
    /// their own walls; none is computed from a ratio.
    pub(crate) fn metric_wall(
        &self,
        group: ResinGroup,
        size: Size,
        ratio: DimensionRatio,
    ) -> Option<Sourced<Length>> {
        let table = match group {
            ResinGroup::MetricPe => "walls-metric",
            ResinGroup::PpR => "walls-ppr",
            ResinGroup::PpH | ResinGroup::MediumDensity | ResinGroup::HighDensity => return None,
        };
        let (size, ratio) = (size_key(size), ratio.exact());
        self.entry(&format!("{table}:{size}:sdr-{ratio}"))?.length()
    }

    /// The minimum wall of gas pipe by size, from a recalled table.
    pub(crate) fn gas_wall(&self, size: Size) -> Option<Sourced<Length>> {
        self.entry(&format!("gas-walls:{}:wall", size_key(size)))?
            .length()
    }

    /// The minimum wall of any US gas pipe.
    pub(crate) fn us_gas_floor(&self) -> Option<Sourced<Length>> {
        self.entry("gas-walls:us-any:wall")?.length()
    }

    /// The dimension ratio under which metric PE pipe with this minimum wall is sold.
    pub(crate) fn metric_ratio(&self, size: Size, wall: Length) -> Option<DimensionRatio> {
        METRIC_SERIES
            .into_iter()
            .map(DimensionRatio::from_tenths)
            .find(|ratio| {
                let published = self.metric_wall(ResinGroup::MetricPe, size, *ratio);
                published.is_some_and(|published| published.value == wall)
            })
    }

    /// The series of a pipe with a measured wall: the one with the thickest published
    /// minimum that the wall reaches.
    pub(crate) fn metric_series(&self, size: Size, wall: Length) -> Option<DimensionRatio> {
        METRIC_SERIES
            .into_iter()
            .map(DimensionRatio::from_tenths)
            .find(|ratio| {
                let published = self.metric_wall(ResinGroup::MetricPe, size, *ratio);
                published.is_some_and(|published| published.value <= wall)
            })
    }

    /// Distance from the end at which PP-R pipe is marked so the mark stays visible after
    /// joining. Never an insertion depth.
    pub(crate) fn sight_mark(&self, size: Size) -> Option<Sourced<Length>> {
        self.entry(&format!("metric-ppr-cycles:{}:sight_mark", size_key(size)))?
            .length()
    }

    /// The published socket of a metric size; none was found for inch sizes.
    pub fn socket(&self, family: Family, size: Size) -> Option<Socket> {
        let table = match family {
            Family::Polyethylene => "sockets-pe",
            Family::Polypropylene => "sockets-pp",
        };
        let of = |column: &str| self.entry(&format!("{table}:{}:{column}", size_key(size)));
        Some(Socket {
            mouth: of("mouth")?.length_range()?,
            root: of("root")?.length_range()?,
            length: of("length").and_then(|entry| entry.length()),
            penetration: of("penetration").and_then(|entry| entry.length_range()),
        })
    }
}
