//! Tells pipe sizes apart by the lap of a strip. A strip closes exactly on a pipe
//! of its size's mean diameter; on the next smaller pipe of any size system its
//! edge passes the lap line, on the next larger one it stops short. The
//! strip's thickness adds the same to every pipe and cancels.

use crate::core::size::{Size, SizeSystem};
use crate::core::units::Length;
use crate::published::Library;

/// How far from the lap line neighbors are listed: the length of a strip's tab.
/// Nothing further off could be mistaken for a lap that meets.
pub(crate) const REACH: Length = Length::from_micrometers(12_000);
/// A difference along the lap below which the strip cannot tell two sizes apart:
/// a wrap is no tighter than this.
pub(crate) const INDISTINCT: Length = Length::from_micrometers(1_500);

/// Another size, and where the strip's edge falls on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Neighbor {
    pub(crate) size: Size,
    /// How much longer the other pipe's circumference is: the gap left at the lap
    /// line, or if negative the overlap.
    pub(crate) gap: Length,
}

impl Neighbor {
    /// Whether the difference is too small to see.
    pub(crate) fn is_indistinct(self) -> bool {
        self.gap.distance(Length::ZERO) < INDISTINCT
    }
}

/// Sizes of all three systems whose pipe closes within [`REACH`] of the lap line,
/// and at least the nearest on either side; smallest first.
pub(crate) fn neighbors(size: Size, mean_diameter: Length, limits: &Library) -> Vec<Neighbor> {
    let around = mean_diameter.circumference();
    let mut all: Vec<_> = [SizeSystem::Ips, SizeSystem::Cts, SizeSystem::Metric]
        .into_iter()
        .flat_map(|system| limits.sizes(system))
        .filter(|other| *other != size)
        .filter_map(|size| {
            let band = limits.od_band(size)?.value;
            let mean = (band.least + band.most).scaled(1, 2);
            let gap = mean.circumference() - around;
            Some(Neighbor { size, gap })
        })
        .collect();
    all.sort_by_key(|neighbor| neighbor.gap);
    let larger = all.partition_point(|neighbor| neighbor.gap < Length::ZERO);
    let near = |neighbor: &Neighbor| neighbor.gap.distance(Length::ZERO) <= REACH;
    all.into_iter()
        .enumerate()
        .filter(|(i, neighbor)| near(neighbor) || *i == larger || i + 1 == larger)
        .map(|(_, neighbor)| neighbor)
        .collect()
}

#[cfg(test)]
mod tests {
    use crate::process::socket::sheets::size_check::*;
    use crate::published::library;

    /// Name and gap in hundredths of a millimeter.
    fn of(size: &str, mean: i64) -> Vec<(String, i64)> {
        let size = Size::parse(size).unwrap();
        neighbors(size, Length::from_micrometers(mean), library())
            .into_iter()
            .map(|n| (n.size.to_string(), (n.gap.mm() * 100.0).round() as i64))
            .collect()
    }

    fn named(expected: &[(&str, i64)]) -> Vec<(String, i64)> {
        let named = expected.iter();
        named
            .map(|(size, gap)| ((*size).to_owned(), *gap))
            .collect()
    }

    /// By hand with pi = 3.14159: (mean of the other - mean) times pi. Metric
    /// means: 32.15, 40.2, 25.15, 16.15 and 63.2 mm.
    #[test]
    fn neighbors_of_every_system_by_hand() {
        // 40.2 - 42.164 = -1.964; 41.275 - 42.164 = -0.889; 48.26 - 42.164 = 6.096.
        assert_eq!(
            of("1-1/4 IPS", 42_164),
            named(&[("40 mm", -617), ("1-1/2 CTS", -279), ("1-1/2 IPS", 1915)])
        );
        // 32.15 - 33.401 = -1.251; 34.925 - 33.401 = 1.524.
        assert_eq!(
            of("1 IPS", 33_401),
            named(&[("32 mm", -393), ("1-1/4 CTS", 479)])
        );
        // 28.575 - 32.15 = -3.575; 33.401 - 32.15 = 1.251; 34.925 - 32.15 = 2.775.
        assert_eq!(
            of("32 mm", 32_150),
            named(&[("1 CTS", -1123), ("1 IPS", 393), ("1-1/4 CTS", 872)])
        );
        // 53.975 - 60.325 = -6.35; 63.2 - 60.325 = 2.875.
        assert_eq!(
            of("2 IPS", 60_325),
            named(&[("2 CTS", -1995), ("63 mm", 903)])
        );
    }

    /// 16.15 - 15.875 = 0.275 mm, 0.86 mm around: nobody sees that.
    #[test]
    fn half_inch_tubing_and_16_mm_pipe_cannot_be_told_apart() {
        let half = neighbors(
            Size::parse("1/2 CTS").unwrap(),
            Length::from_micrometers(15_875),
            library(),
        );
        let unseen: Vec<_> = half.iter().filter(|n| n.is_indistinct()).collect();
        assert_eq!(unseen.len(), 1, "{half:?}");
        assert_eq!(unseen[0].size.to_string(), "16 mm");
    }

    #[test]
    fn a_neighbor_sees_the_same_distance_the_other_way() {
        let limits = library();
        let mean = |size| {
            let band = limits.od_band(size).unwrap().value;
            (band.least + band.most).scaled(1, 2)
        };
        for system in [SizeSystem::Ips, SizeSystem::Cts, SizeSystem::Metric] {
            for size in limits.sizes(system) {
                for other in neighbors(size, mean(size), limits) {
                    if other.gap.distance(Length::ZERO) > REACH {
                        continue;
                    }
                    let back = neighbors(other.size, mean(other.size), limits);
                    let back = back.iter().find(|n| n.size == size).unwrap();
                    assert_eq!(back.gap, Length::ZERO - other.gap, "{size}, {}", other.size);
                }
            }
        }
    }
}
