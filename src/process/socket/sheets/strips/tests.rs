use crate::papers::sheets::area::Area;
use crate::process::socket::sheets::strips::*;
use proptest::prelude::*;

fn um(micrometers: i64) -> Length {
    Length::from_micrometers(micrometers)
}

/// A strip for a pipe of this outside diameter and depth, in micrometers.
fn strip(size: &str, diameter: i64, depth: i64) -> MarkInput {
    MarkInput {
        size: size.to_owned(),
        gauge: Some("DG-1".to_owned()),
        depth: um(depth),
        depth_text: ["as measured".to_owned(), "in the other unit".to_owned()],
        witness: um(25_000),
        witness_text: WitnessText::default(),
        pipe: Some(PipeInput {
            diameter: um(diameter),
            neighbors: Vec::new(),
            laps: Vec::new(),
            gaps: Vec::new(),
            check_lines: CheckLines { wide: 1, narrow: 1 },
        }),
    }
}

/// Adds neighbors: size and gap at the lap line, in micrometers.
fn with_neighbors(mut strip: MarkInput, neighbors: &[(&str, i64)]) -> MarkInput {
    strip.pipe.as_mut().unwrap().neighbors = neighbors
        .iter()
        .map(|(size, gap)| Neighbor {
            size: crate::core::size::Size::parse(size).unwrap(),
            gap: um(*gap),
        })
        .collect();
    strip
}

/// Bare paper, 0.1 mm, and long strips on the larger paper.
fn bare(paper: Paper) -> Choices {
    Choices {
        paper,
        thickness: um(100),
        labels: false,
        long: LongStrips::LargerPaper,
        correction: None,
        code: false,
    }
}

fn two_pieces(paper: Paper) -> Choices {
    Choices {
        long: LongStrips::TwoPieces,
        ..bare(paper)
    }
}

fn on(paper: Paper, strips: &[MarkInput]) -> Layout {
    lay_out(strips, &bare(paper))
}

/// The only strip of a layout, and the paper it is on.
fn alone(paper: Paper, diameter: i64) -> (f64, Sheet) {
    let layout = on(paper, &[strip("one", diameter, 22_000)]);
    assert_eq!(layout.not_printed, [], "diameter {diameter} um");
    let page = &layout.pages[0];
    (page.strips[0].wrap_mm, page.sheet)
}

/// By hand, with pi = 3.14159265: 60.425 pi, 89.0 pi and 114.4 pi.
#[test]
fn a_strip_goes_around_the_pipe_and_its_own_thickness() {
    for (diameter, wrap, paper) in [
        (60_325, 189.831, Sheet::Letter),
        (88_900, 279.602, Sheet::Tabloid),
        (114_300, 359.398, Sheet::Tabloid),
    ] {
        let (lay_out, on) = alone(Paper::Letter, diameter);
        assert!((lay_out - wrap).abs() < 0.001, "{lay_out} for {wrap}");
        assert_eq!(on, paper);
    }
    // Metric pipe: 63.1 pi and 110.1 pi.
    for (diameter, wrap, paper) in [(63_000, 198.235, Sheet::A4), (110_000, 345.889, Sheet::A3)] {
        let (lay_out, on) = alone(Paper::A4, diameter);
        assert!((lay_out - wrap).abs() < 0.001, "{lay_out} for {wrap}");
        assert_eq!(on, paper);
    }
}

#[test]
fn a_thicker_strip_is_longer_by_pi_times_the_difference() {
    let wrap = |thickness| {
        let choices = Choices {
            thickness,
            ..bare(Paper::Letter)
        };
        let layout = lay_out(&[strip("one", 48_260, 22_000)], &choices);
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
            strip("2 IPS", 60_325, 250_000),
        ],
    );
    let why: Vec<_> = layout.not_printed.iter().map(|n| n.reason).collect();
    // 141.4 pi + 12 = 456.221; 431.8 - 10 - 10 - 12 - 3 = 396.8;
    // 279.4 - 21.5 - 10 - 8 - 25 = 214.9.
    let Reason::TooLong { strip, .. } = why[0] else {
        panic!("{why:?}")
    };
    assert_eq!(strip.distance(um(456_221)).max(um(1)), um(1));
    let paper = Sheet::Tabloid;
    assert_eq!(
        why,
        [
            Reason::TooLong {
                strip,
                longest: um(396_800),
                paper
            },
            Reason::TooShallow,
            Reason::TooThin,
            Reason::TooDeep {
                deepest: um(214_900),
                paper
            },
        ]
    );
    assert!(layout.pages.iter().all(|page| page.strips.is_empty()));
}

#[test]
fn the_longest_strip_comes_first_and_the_larger_paper_last() {
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
        .filter(|page| !page.strips.is_empty())
        .map(|page| {
            page.strips
                .iter()
                .map(|s| s.size.as_str())
                .collect::<Vec<_>>()
        })
        .collect();
    assert_eq!(sizes, [vec!["1 IPS", "3/4 IPS", "1/2 CTS"], vec!["3 IPS"]]);
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

/// From the lap line, 12 mm from the left: a larger pipe's edge falls short of it,
/// on the tab. 1-1/2 IPS is beyond the tab.
#[test]
fn ticks_stand_where_the_start_edge_falls() {
    let neighbors = [
        ("40 mm", -6_170),
        ("1-1/2 CTS", -2_793),
        ("1-1/2 IPS", 19_151),
    ];
    let layout = on(
        Paper::Letter,
        &[with_neighbors(strip("one", 42_164, 22_000), &neighbors)],
    );
    let strip = &layout.pages[0].strips[0];
    let ticks: Vec<_> = strip.ticks.iter().map(|t| t.size.as_str()).collect();
    assert_eq!(ticks, ["1-1/2 CTS", "40 mm"]);
    assert!((strip.ticks[0].x_mm - 14.793).abs() < 0.001, "{strip:?}");
    assert!((strip.ticks[1].x_mm - 18.170).abs() < 0.001, "{strip:?}");
    assert!((strip.tick_room_mm - 8.770).abs() < 0.001, "{strip:?}");
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
        &[with_neighbors(strip("one", 42_164, 22_000), &neighbors)],
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
    /// Nothing on a page touches anything else or the border, and no strip is
    /// lost, whatever the printer's scale.
    #[test]
    fn nothing_overlaps_and_nothing_is_lost(
        pipes in prop::collection::vec((1_000_i64..160_000, 5_000_i64..250_000), 0..14),
        thickness in 50_i64..700,
        letter: bool,
        labels: bool,
        pieces: bool,
        code: bool,
        witness in prop_oneof![Just(25_000_i64), 1_000_i64..6_000],
        measured in prop::option::of((95_000_i64..=105_000, 95_000_i64..=105_000)),
    ) {
        let choices = Choices {
            paper: if letter { Paper::Letter } else { Paper::A4 },
            thickness: um(thickness),
            labels,
            long: if pieces { LongStrips::TwoPieces } else { LongStrips::LargerPaper },
            correction: measured.map(|(x, y)| Correction { x: um(x), y: um(y) }),
            code,
        };
        let of = |&(od, depth)| MarkInput { witness: um(witness), ..strip("one", od, depth) };
        let strips: Vec<_> = pipes.iter().map(of).collect();
        let mut layout = lay_out(&strips, &choices);
        layout.place_list(um(98_000), um(20_000));
        let first = |strip: &&Strip| strip.part != Part::Second;
        let lay_out = layout.pages.iter().flat_map(|page| &page.strips).filter(first).count();
        prop_assert_eq!(lay_out + layout.not_printed.len(), strips.len());
        for page in &layout.pages {
            let (across, down) = (page.bars.horizontal, page.bars.vertical);
            // The remaining border after the page is scaled.
            let (right, low) = (page.width_mm / page.scale_x, page.height_mm / page.scale_y);
            let mut things = vec![
                corners(&page.heading),
                corners(&page.foot),
                [across.x_mm, across.y_mm - 5.5, across.x_mm + 101.6, across.y_mm + 6.5],
                [down.x_mm - 6.5, down.y_mm, down.x_mm + 5.5, down.y_mm + 101.6],
            ];
            if code {
                things.push([right - 10.0 - 20.0, 10.0, right - 10.0, 28.0]);
            }
            things.extend(page.size_check.map(|check| corners(&check.area)));
            things.extend(page.list.as_ref().map(corners));
            let first = things.len();
            for s in &page.strips {
                let (edge, end) = (s.y_mm + s.stop_mm + s.depth_mm, s.x_mm + s.wrap_mm + s.tab_mm);
                things.push([s.x_mm, s.y_mm, end, edge]);
                if s.witness_mm > 0.0 {
                    let (left, right) = (s.x_mm + s.tongue_x_mm, s.x_mm + s.tongue_x_mm + s.tongue_width_mm);
                    things.push([left, edge, right, edge + s.witness_mm]);
                }
            }
            things.extend(page.gauges.iter().map(|g| {
                let height = 2.0 * (g.reach_mm + g.arm_mm);
                [g.x_mm, g.y_mm, g.x_mm + g.foot_mm + g.witness_mm, g.y_mm + height]
            }));
            prop_assert_eq!(page.size_check.is_some(), !page.strips.is_empty());
            prop_assert!(things.len() > first || page.list.is_some(), "an empty page");
            for (i, a) in things.iter().enumerate() {
                prop_assert!(a[0] >= 10.0 - 1e-6 && a[1] >= 10.0 - 1e-6, "{a:?}");
                prop_assert!(a[2] <= right - 10.0 + 1e-6, "{a:?}");
                prop_assert!(a[3] <= low - 10.0 + 1e-6, "{a:?}");
                for b in things.iter().skip(i + 1) {
                    prop_assert!(apart(*a, *b), "{a:?} touches {b:?}");
                }
            }
        }
    }

    /// Both pieces together are the whole strip, and each is used like one.
    #[test]
    fn two_pieces_are_as_long_as_the_strip(od in 75_000_i64..140_000, thickness in 100_i64..=610) {
        let strips = [strip("one", od, 30_000)];
        let choices = Choices { thickness: um(thickness), ..two_pieces(Paper::Letter) };
        let layout = lay_out(&strips, &choices);
        let pieces: Vec<_> = layout.pages.iter().flat_map(|page| &page.strips).collect();
        let parts: Vec<_> = pieces.iter().map(|piece| piece.part).collect();
        prop_assert_eq!(parts, [Part::First, Part::Second]);
        let sum: f64 = pieces.iter().map(|piece| piece.wrap_mm).sum();
        let around = std::f64::consts::PI * (od + thickness) as f64 / 1000.0;
        prop_assert!((sum - around).abs() < 0.001, "{} for {}", sum, around);
        // The ticks are 50 mm apart across the joint.
        let to_joint = pieces[0].tab_mm + pieces[0].wrap_mm - pieces[0].register_mm.unwrap();
        let from_joint = pieces[1].register_mm.unwrap() - pieces[1].tab_mm;
        prop_assert!((to_joint + from_joint - 50.0).abs() < 1e-5);
    }
}

#[test]
fn long_strips_come_in_two_pieces_or_on_larger_paper() {
    // 3 IPS, 4 IPS, and one too long for two pieces on letter paper: (244.4 - 12)
    // × 2 = 464.8 mm.
    let strips = [
        strip("3 IPS", 88_900, 28_000),
        strip("4 IPS", 114_300, 35_000),
        strip("6 IPS", 150_000, 40_000),
    ];
    let sheets = |choices: &Choices| -> Vec<_> {
        let layout = lay_out(&strips, choices);
        let with_strips = layout.pages.iter().filter(|page| !page.strips.is_empty());
        with_strips.map(|page| page.sheet).collect()
    };
    assert!(
        sheets(&two_pieces(Paper::Letter))
            .iter()
            .all(|sheet| *sheet == Sheet::Letter)
    );
    assert!(
        sheets(&bare(Paper::Letter))
            .iter()
            .all(|sheet| *sheet == Sheet::Tabloid)
    );
    let layout = lay_out(&strips, &two_pieces(Paper::Letter));
    assert_eq!(layout.not_printed.len(), 1);
    assert_eq!(layout.not_printed[0].size, "6 IPS");
    // Two pieces do not help a strip that is too deep for the page.
    let deep = lay_out(
        &[strip("2 IPS", 60_325, 160_000)],
        &two_pieces(Paper::Letter),
    );
    assert_eq!(deep.pages[0].sheet, Sheet::Tabloid);
}

/// Two pieces of 3 IPS, 83 mm high and 3 mm between them, take 169 mm of the
/// 184.4 mm of a letter page, but not what the strip before leaves of it: 148.4.
/// Each alone would go there.
#[test]
fn both_pieces_go_on_one_page_where_a_page_holds_them() {
    let strips = [
        strip("2 IPS", 60_325, 25_000),
        strip("3 IPS", 88_900, 50_000),
        strip("4 IPS", 114_300, 35_000),
    ];
    let layout = lay_out(&strips, &two_pieces(Paper::Letter));
    let sizes: Vec<Vec<_>> = (layout.pages.iter())
        .map(|page| page.strips.iter().map(|s| s.size.as_str()).collect())
        .filter(|sizes: &Vec<_>| !sizes.is_empty())
        .collect();
    // No page holds both of 4 IPS, 192 mm long: the notes are in the way.
    let (one, both) = (vec!["4 IPS"], vec!["3 IPS", "3 IPS"]);
    assert_eq!(sizes, [vec!["2 IPS"], one.clone(), one, both]);
}

/// The five sizes of a usual inch range go on one sheet, the six metric ones too.
#[test]
fn five_sizes_take_one_sheet() {
    let inch = [
        strip("3/4 IPS", 26_670, 16_256),
        strip("1 IPS", 33_401, 18_034),
        strip("1-1/4 IPS", 42_164, 20_574),
        strip("1-1/2 IPS", 48_260, 22_352),
        strip("2 IPS", 60_325, 23_876),
    ];
    for paper in [Paper::Letter, Paper::A4] {
        let layout = on(paper, &inch);
        let strips = layout.pages.iter().map(|page| page.strips.len());
        assert_eq!(
            strips.filter(|count| *count > 0).collect::<Vec<_>>(),
            [5],
            "{paper:?}"
        );
    }
}

/// Half a quarter turn around half the thickness: π / 4 × 0.2 mm = 0.157 mm.
#[test]
fn a_fold_takes_two_fifths_of_the_thickness() {
    assert!((fold_allowance(um(400)).mm() - 0.157).abs() < 0.001);
}

#[test]
fn a_label_has_neither_flap_nor_tongue() {
    let choices = Choices {
        labels: true,
        ..bare(Paper::A4)
    };
    let layout = lay_out(&[strip("63 mm", 63_000, 28_000)], &choices);
    let label = &layout.pages[0].strips[0];
    assert_eq!((label.stop_mm, label.witness_mm), (0.0, 0.0));
    assert!((label.wrap_mm - 198.235).abs() < 0.001);
}

#[test]
fn every_measured_depth_has_a_gauge_even_without_a_diameter() {
    let mut unknown = strip("1 IPS", 33_401, 18_000);
    unknown.pipe = None;
    let layout = on(Paper::A4, &[unknown, strip("2 IPS", 60_325, 24_000)]);
    let gauges: Vec<_> = layout.pages.iter().flat_map(|page| &page.gauges).collect();
    let measures: Vec<_> = gauges.iter().map(|g| (g.depth_mm, g.witness_mm)).collect();
    assert_eq!(measures, [(18.0, 43.0), (24.0, 49.0)]);
    let strips: usize = layout.pages.iter().map(|page| page.strips.len()).sum();
    assert_eq!(strips, 1);
}

/// A printer that prints 99.6 mm for 100 mm reaches 278.28 mm of a page 279.4 mm
/// wide, and everything is drawn by 100 / 99.6 = 1.004016 wider.
#[test]
fn a_printer_that_prints_short_has_less_room() {
    let choices = Choices {
        correction: Some(Correction {
            x: um(99_600),
            y: um(100_000),
        }),
        ..bare(Paper::Letter)
    };
    let layout = lay_out(&[strip("2 IPS", 60_325, 24_000)], &choices);
    let page = &layout.pages[0];
    assert!((page.scale_x - 1.004_016).abs() < 1e-6);
    assert_eq!((page.scale_y, page.width_mm), (1.0, 279.4));
    let right = page.heading.x_mm + page.heading.width_mm;
    // 278.2824 - 10, and 15 for the scale bars.
    assert!((right - 253.2824).abs() < 1e-6, "{right}");
}

#[test]
fn a_bar_is_corrected_between_95_and_105_mm() {
    for (bar, measurable) in [
        (94_999, false),
        (95_000, true),
        (105_000, true),
        (105_001, false),
    ] {
        assert_eq!(Correction::is_measurable(um(bar)), measurable, "{bar}");
    }
}
