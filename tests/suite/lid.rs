//! The lid sheet: one page that holds every limit of its spec, in digits that are read from
//! 1.5 m, with every step and the kit that the spec names.

use std::path::{Path, PathBuf};

use tempfile::TempDir;

use crate::lettering::{heights, runs, words as boxes};
use crate::support::{
    GAS, GEOTHERMAL, coldring, file, gas_with_record, pages_text, read, run, starter,
};

const MM_PER_POINT: f64 = 25.4 / 72.0;

/// Builds the lid sheets of a spec in both languages, on a paper.
fn lids(folder: &TempDir, text: &str, paper: &str) -> [PathBuf; 2] {
    let spec = file(folder, "spec.yaml", text);
    let out = folder.path().join(format!("out-{paper}"));
    let ran = run(coldring()
        .args(["build", &spec, "--only", "lid", "--force", "--paper", paper])
        .args(["--language", "en,es", "--out"])
        .arg(&out));
    assert!(ran.code == Some(0), "{}", ran.err);
    let made = std::fs::read_dir(&out).unwrap();
    let mut made = made.map(|entry| entry.unwrap().path());
    let made = made.find(|path| path.is_dir()).unwrap();
    ["lid.pdf", "lid-es.pdf"].map(|name| made.join(name))
}

/// The words of a page, units without the space before them.
fn words(pdf: &Path) -> Vec<String> {
    let text = pages_text(pdf).join(" ").replace('\u{a0}', " ");
    text.split_whitespace().map(str::to_owned).collect()
}

/// The limits of a demo, as the spec and the published tables give them.
struct Limits {
    spec: &'static str,
    /// Words that stand one after the other, in either language.
    said: &'static [&'static str],
    /// The same, with the decimal mark of each language.
    decimals: &'static [&'static str],
    steps: usize,
}

const DEMOS: &[Limits] = &[
    Limits {
        spec: GEOTHERMAL,
        said: &[
            "PE4710", "DR 9", "DR 11", "500 °F", "490", "510 °F", "20", "110 °F", "40 °F", "8",
            "14", "15", "17", "18", "21", "20", "23", "24", "28", "30", "60", "3 s", "5 min",
            "30 min",
        ],
        decimals: &["0.64", "0.71", "0.81", "0.88", "0.94", "0.075"],
        steps: 13,
    },
    Limits {
        spec: "specs/tern-valley-water.yaml",
        said: &[
            "PE100", "SDR 11", "SDR 17", "260 °C", "250", "270 °C", "5", "35 °C", "5", "7", "8",
            "12", "18", "24", "40", "22", "4", "6", "10", "20", "30", "40", "2", "1 h",
        ],
        decimals: &["12.5", "14.0", "16.0", "18.5", "21.5", "25.0", "30.0"],
        steps: 15,
    },
    Limits {
        spec: "specs/saddle-works-hot-water.yaml",
        said: &[
            "PP-R", "260 °C", "250", "270 °C", "5", "40 °C", "6", "7", "8", "12", "18", "24", "4",
            "2", "2 h",
        ],
        decimals: &["14.0", "15.0", "17.0", "19.0", "22.0", "26.0"],
        steps: 14,
    },
];

#[test]
fn every_limit_stands_on_one_page_in_both_languages() {
    for Limits {
        spec,
        said,
        decimals,
        steps,
    } in DEMOS
    {
        let folder = TempDir::new().unwrap();
        for paper in ["letter", "a4"] {
            for pdf in lids(&folder, &read(spec), paper) {
                assert_eq!(pages_text(&pdf).len(), 1, "{}", pdf.display());
                let words = words(&pdf);
                // A number with its unit, whatever stands beside it on the line.
                let squeezed = words.concat();
                let holds = |said: &str| match said.contains(' ') {
                    true => squeezed.contains(&said.replace(' ', "")),
                    false => words
                        .iter()
                        .any(|word| word.trim_end_matches(['.', ',']) == said),
                };
                for limit in *said {
                    assert!(holds(limit), "{spec} {paper}: {limit} in {words:?}");
                }
                for limit in *decimals {
                    let comma = limit.replace('.', ",");
                    assert!(holds(limit) || holds(&comma), "{spec} {paper}: {limit}");
                }
                for step in 1..=*steps {
                    assert!(holds(&step.to_string()), "{spec}: step {step}");
                }
            }
        }
    }
}

/// Heights of the digits of each run on a page, in millimeters.
fn digits(pdf: &Path) -> Vec<Vec<f64>> {
    let (_, capital) = heights(notosans::BOLD_TTF);
    let pages = runs(pdf).into_iter();
    let height = |run: crate::lettering::Run| run.size * capital * MM_PER_POINT;
    pages
        .map(|page| page.into_iter().map(height).collect())
        .collect()
}

/// Digits of 9 mm are 21 minutes of arc at 1.5 m; those of 5 mm are twice as high as an eye
/// needs that tells two lines at one minute of arc apart.
#[test]
fn heating_times_are_read_from_the_lid() {
    for (spec, least, rows) in [
        (GEOTHERMAL, [9.0, 9.0], 5),
        (GAS, [9.0, 9.0], 5),
        // Two more columns and more sizes.
        ("specs/saddle-works-hot-water.yaml", [6.5, 9.0], 6),
        ("specs/tern-valley-water.yaml", [6.5, 7.0], 8),
    ] {
        let folder = TempDir::new().unwrap();
        let text = match spec {
            GAS => gas_with_record(),
            _ => read(spec),
        };
        let text = text.replace("    - records/AF-PQ-07.yaml\n", "    []\n");
        let text = text.replace("status: qualified", "status: draft");
        for (paper, least) in ["letter", "a4"].into_iter().zip(least) {
            for pdf in lids(&folder, &text, paper) {
                let digits = digits(&pdf);
                let large = digits[0].iter().filter(|height| **height >= least).count();
                assert!(large >= rows, "{spec} {paper}: {digits:?}");
            }
        }
    }
}

/// Nothing on the sheet is smaller than 8 pt, whose capitals are 2 mm high; the sign of a
/// number that is not confirmed is drawn in smaller type.
#[test]
fn nothing_on_the_lid_is_too_small_to_read() {
    let folder = TempDir::new().unwrap();
    for Limits { spec, .. } in DEMOS {
        for pdf in lids(&folder, &read(spec), "letter") {
            for run in runs(&pdf).into_iter().flatten() {
                let sign = run.size >= 6.3 && run.size < 7.3;
                assert!(run.size >= 7.99 || sign, "{spec}: {run:?}");
            }
        }
    }
}

/// More sizes than stand on a page in digits of 5 mm go on a second one, which has
/// everything else again.
#[test]
fn more_sizes_than_fit_have_a_page_with_all_steps_again() {
    let sizes = [
        "16 mm", "20 mm", "25 mm", "32 mm", "40 mm", "50 mm", "63 mm", "75 mm", "90 mm", "110 mm",
        "125 mm",
    ];
    let folder = TempDir::new().unwrap();
    let [lid, _] = lids(
        &folder,
        &starter(&sizes).replace("wall: …", "wall: 1.8 mm"),
        "a4",
    );
    let pages = pages_text(&lid);
    assert_eq!(pages.len(), 2, "{pages:?}");
    for page in &pages {
        for words in [
            "HOLD STILL",
            "BAD OR LATE?",
            "REJECT",
            "Anyone may stop",
            "260 °C",
        ] {
            assert!(page.contains(words), "{words}: {page}");
        }
    }
    let rows = pages.iter().map(|page| page.matches("NO JOINT").count());
    assert_eq!(rows.sum::<usize>(), sizes.len(), "{pages:?}");
}

#[test]
fn the_kit_is_that_of_the_spec() {
    let of = |text: &str| {
        let folder = TempDir::new().unwrap();
        let [lid, _] = lids(&folder, text, "letter");
        pages_text(&lid).join(" ")
    };
    let plain = of(&read(GEOTHERMAL));
    for item in [
        "Generator and cord",
        "Cutter, up to 2 IPS",
        "Pyrometer",
        "Isopropyl alcohol, 91 %",
        "Stand or insulated bag",
        "Two wrenches",
        "in 1",
        "in 2",
    ] {
        assert!(plain.contains(item), "{item}: {plain}");
    }
    assert!(!plain.contains("Fusion machine") && !plain.contains("Peeling tool"));
    let full =
        of(&read("specs/tour/6-full.yaml").replace("  confirmations: records/read.yaml\n", ""));
    for item in [
        "Tube shears, 3/4 IPS, 1 IPS",
        "Guillotine cutter, 2 CTS",
        "Stand HS-2",
        "Insulated bag HB-2",
        "Timer ST-4",
    ] {
        assert!(full.contains(item), "{item}: {full}");
    }
    assert!(!full.contains("Stand or insulated bag") && !full.contains("Cutter, up to"));
    // Without transition fittings there is nothing to turn.
    let fewer = of(&read(GEOTHERMAL).replace("threaded transition, spigot", "spigot"));
    assert!(!fewer.contains("wrenches"), "{fewer}");
}

/// A name of any length leaves the page as it is.
#[test]
fn long_names_keep_the_page() {
    let long = "Aaaaaaaa bbbbbbbb ".repeat(14);
    let long = long.trim();
    let text = read(GEOTHERMAL)
        .replace("Hollow Creek District Energy\n", &format!("{long}\n"))
        .replace(
            "  cutter: {largest: 2 IPS}",
            &format!(
                "  stand: {long}\n  bag: {long}\n  timer: {long}\n  cutter: {{largest: 2 IPS}}"
            ),
        );
    let folder = TempDir::new().unwrap();
    for pdf in lids(&folder, &text, "letter") {
        assert_eq!(pages_text(&pdf).len(), 1);
    }
}

/// The list of the kit ends above what is rejected, however much the spec names: many
/// cutters share a line, and a few keep their names.
#[test]
fn nothing_of_the_kit_is_cut_off() {
    let cutter = |n| format!("{{name: Cutter number {n} of this crew, sizes: 3/4 to 2 IPS}}");
    let with = |count| {
        let cutters: Vec<String> = (1..=count).map(cutter).collect();
        let cutters = format!("cutters: [{}]", cutters.join(", "));
        read(GEOTHERMAL).replace("cutter: {largest: 2 IPS}", &cutters)
    };
    let folder = TempDir::new().unwrap();
    for (count, named) in [(2, true), (30, false)] {
        for paper in ["letter", "a4"] {
            let [lid, _] = lids(&folder, &with(count), paper);
            let text = pages_text(&lid).join(" ");
            assert_eq!(text.contains("Cutter number 2"), named, "{text}");
            assert_eq!(text.contains("Cutter for every size"), !named, "{text}");
            let boxes = boxes(&lid).concat();
            let find = |text: &str| boxes.iter().find(|word| word.text == text).unwrap();
            let (end, reject) = (find("Scrap"), find("REJECT"));
            assert!(end.low > reject.high, "{count} {paper}: {end:?} {reject:?}");
        }
    }
}
