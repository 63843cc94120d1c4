use super::*;
use proptest::prelude::*;

fn um(micrometres: i64) -> Length {
    Length::from_micrometres(micrometres)
}

/// A strip for a pipe of this outside diameter and depth, in micrometres.
fn strip(size: &str, diameter: i64, depth: i64) -> StripInput {
    StripInput {
        size: size.to_owned(),
        gauge: Some("DG-1".to_owned()),
        depth: um(depth),
        depth_text: "as measured".to_owned(),
        diameter: um(diameter),
        neighbors: Vec::new(),
        laps: String::new(),
        gaps: String::new(),
    }
}

/// The same with neighbors: size and gap at the lap line, in micrometres.
fn beside(mut strip: StripInput, neighbors: &[(&str, i64)]) -> StripInput {
    strip.neighbors = neighbors
        .iter()
        .map(|(size, gap)| Neighbor {
            size: crate::size::Size::parse(size).unwrap(),
            gap: um(*gap),
        })
        .collect();
    strip
}

/// A layout on bare paper, 0.1 mm.
fn on(paper: Paper, strips: &[StripInput]) -> Layout {
    lay_out(strips, um(100), paper)
}

/// The only strip of a layout, and the paper it is on.
fn alone(paper: Paper, diameter: i64) -> (f64, &'static str) {
    let layout = on(paper, &[strip("one", diameter, 22_000)]);
    assert_eq!(layout.not_printed, [], "diameter {diameter} um");
    let page = &layout.pages[0];
    (page.strips[0].wrap_mm, page.paper_name)
}

/// By hand, with pi = 3.14159265: 60.425 pi, 89.0 pi and 114.4 pi.
#[test]
fn a_strip_goes_around_the_pipe_and_its_own_thickness() {
    for (diameter, wrap, paper) in [
        (60_325, 189.831, "US letter, 11 × 8.5 in"),
        (88_900, 279.602, "tabloid, 17 × 11 in"),
        (114_300, 359.398, "tabloid, 17 × 11 in"),
    ] {
        let (laid_out, on) = alone(Paper::Letter, diameter);
        assert!((laid_out - wrap).abs() < 0.001, "{laid_out} for {wrap}");
        assert_eq!(on, paper);
    }
    // Metric pipe: 63.1 pi and 110.1 pi.
    for (diameter, wrap, paper) in [
        (63_000, 198.235, "A4, 297 × 210 mm"),
        (110_000, 345.889, "A3, 420 × 297 mm"),
    ] {
        let (laid_out, on) = alone(Paper::A4, diameter);
        assert!((laid_out - wrap).abs() < 0.001, "{laid_out} for {wrap}");
        assert_eq!(on, paper);
    }
}

#[test]
fn a_thicker_strip_is_longer_by_pi_times_the_difference() {
    let wrap = |thickness| {
        let layout = lay_out(&[strip("one", 48_260, 22_000)], thickness, Paper::Letter);
        layout.pages[0].strips[0].wrap_mm
    };
    assert!((wrap(um(300)) - wrap(um(100)) - 0.6283).abs() < 0.0001);
}

#[test]
fn says_why_a_strip_is_not_printed() {
    let layout = on(
        Paper::Letter,
        &[
            strip("5 IPS", 141_300, 38_000),
            strip("3/4 IPS", 26_670, 9_900),
            strip("1/4 CTS", 9_525, 12_000),
            strip("2 IPS", 60_325, 200_000),
        ],
    );
    let said: Vec<_> = layout.not_printed.iter().map(|n| n.to_string()).collect();
    // 141.4 pi + 12 = 456.2; 279.4 - 28 - 5 - 48 - 10 - 8 - 25 = 155.4.
    assert_eq!(
        said,
        [
            "5 IPS: the strip is 456.2 mm long; tabloid paper takes 392.8 mm",
            "3/4 IPS: the depth is under 10.0 mm, too short a strip to read",
            "1/4 CTS: the pipe is under 48.0 mm around, too short a strip to mark along",
            "2 IPS: the depth is more than the 155.4 mm that tabloid paper takes",
        ]
    );
    assert_eq!(layout.pages, []);
}

#[test]
fn strips_keep_their_order_with_the_larger_paper_last() {
    let layout = on(
        Paper::Letter,
        &[
            strip("3 IPS", 88_900, 28_000),
            strip("3/4 IPS", 26_670, 17_000),
            strip("1 IPS", 33_401, 18_000),
            strip("1/2 CTS", 15_875, 15_000),
        ],
    );
    let sizes: Vec<_> = (layout.pages.iter())
        .map(|page| {
            page.strips
                .iter()
                .map(|s| s.size.as_str())
                .collect::<Vec<_>>()
        })
        .collect();
    assert_eq!(sizes, [vec!["3/4 IPS", "1 IPS", "1/2 CTS"], vec!["3 IPS"]]);
}

#[test]
fn the_flap_is_slit_evenly_into_pieces_that_fold_flat() {
    // 26.77 pi = 84.1 mm in 12 pieces; 60.425 pi = 189.8 mm in 16.
    for (diameter, pieces) in [(26_670, 12.0), (60_325, 16.0)] {
        let layout = on(Paper::Letter, &[strip("one", diameter, 22_000)]);
        let strip = &layout.pages[0].strips[0];
        assert!((strip.wrap_mm / strip.slit_spacing_mm - pieces).abs() < 1e-4);
    }
}

/// 1-1/4 IPS on bare paper: 42.264 pi = 132.776 mm around. 1-1/2 IPS is beyond
/// the tab.
#[test]
fn ticks_stand_where_the_start_edge_falls() {
    let neighbors = [
        ("40 mm", -6_170),
        ("1-1/2 CTS", -2_793),
        ("1-1/2 IPS", 19_151),
    ];
    let layout = on(
        Paper::Letter,
        &[beside(strip("one", 42_164, 22_000), &neighbors)],
    );
    let strip = &layout.pages[0].strips[0];
    let ticks: Vec<_> = strip.ticks.iter().map(|t| t.size.as_str()).collect();
    assert_eq!(ticks, ["1-1/2 CTS", "40 mm"]);
    assert!((strip.ticks[0].x_mm - 129.983).abs() < 0.001, "{strip:?}");
    assert!((strip.ticks[1].x_mm - 126.606).abs() < 0.001, "{strip:?}");
    assert!((strip.tick_room_mm - 8.570).abs() < 0.001, "{strip:?}");
}

#[test]
fn a_tick_too_near_another_or_the_lap_line_is_left_out() {
    let neighbors = [
        ("16 mm", 864),
        ("20 mm", 4_000),
        ("3/4 CTS", 6_000),
        ("25 mm", 9_700),
    ];
    let layout = on(
        Paper::Letter,
        &[beside(strip("one", 42_164, 22_000), &neighbors)],
    );
    let strip = &layout.pages[0].strips[0];
    let ticks: Vec<_> = strip.ticks.iter().map(|t| t.size.as_str()).collect();
    assert_eq!(ticks, ["20 mm"]);
    assert_eq!(strip.tick_room_mm, 0.0);
}

/// Corners of a rectangle: left, top, right, bottom.
type Corners = [f64; 4];

fn corners(area: &Area) -> Corners {
    let (right, bottom) = (area.x_mm + area.width_mm, area.y_mm + area.height_mm);
    [area.x_mm, area.y_mm, right, bottom]
}

fn apart(a: Corners, b: Corners) -> bool {
    let close = 1e-6;
    a[2] <= b[0] + close || b[2] <= a[0] + close || a[3] <= b[1] + close || b[3] <= a[1] + close
}

proptest! {
    /// Nothing on a page touches anything else or the border, and no strip
    /// is lost.
    #[test]
    fn nothing_overlaps_and_nothing_is_lost(
        pipes in prop::collection::vec((1_000_i64..160_000, 5_000_i64..250_000), 0..14),
        thickness in 50_i64..700,
        letter: bool,
    ) {
        let paper = if letter { Paper::Letter } else { Paper::A4 };
        let strips: Vec<_> = pipes.iter().map(|&(od, depth)| strip("one", od, depth)).collect();
        let layout = lay_out(&strips, um(thickness), paper);
        let laid_out: usize = layout.pages.iter().map(|page| page.strips.len()).sum();
        prop_assert_eq!(laid_out + layout.not_printed.len(), strips.len());
        for page in &layout.pages {
            let (across, down) = (page.bars.horizontal, page.bars.vertical);
            let mut things = vec![
                corners(&page.heading),
                corners(&page.size_check),
                corners(&page.printing),
                corners(&page.notes),
                [across.x_mm, across.y_mm - 6.0, across.x_mm + 121.6, across.y_mm + 8.0],
                [down.x_mm - 8.0, down.y_mm, down.x_mm + 6.0, down.y_mm + 121.6],
                corners(&page.free),
            ];
            things.extend(page.strips.iter().map(|s| {
                let height = s.stop_mm + s.depth_mm + s.witness_mm;
                [s.x_mm, s.y_mm, s.x_mm + s.wrap_mm + s.tab_mm, s.y_mm + height]
            }));
            for (i, a) in things.iter().enumerate() {
                prop_assert!(a[0] >= 10.0 - 1e-6 && a[1] >= 10.0 - 1e-6, "{a:?}");
                prop_assert!(a[2] <= page.width_mm - 10.0 + 1e-6, "{a:?}");
                prop_assert!(a[3] <= page.height_mm - 10.0 + 1e-6, "{a:?}");
                for b in things.iter().skip(i + 1) {
                    prop_assert!(apart(*a, *b), "{a:?} touches {b:?}");
                }
            }
        }
    }
}
