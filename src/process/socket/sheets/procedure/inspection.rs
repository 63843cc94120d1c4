//! The visual inspection page: a good joint and each kind that is refused, to hold a
//! joint beside. Every criterion of the tables is drawn here or stands under the
//! drawings; a test has the list.

use crate::core::paper::Paper;
use crate::papers::sheets::drawing::micrometers;
use crate::papers::sheets::figures::PlatePicture;
use crate::papers::sheets::pages::{InspectionBox, InspectionPage};
use crate::papers::sheets::procedure::writer::{Block, Clause, Section, Writer, work};
use crate::process::socket::sheets::procedure::steps_fit;
use crate::process::socket::sheets::steps::joint_steps;

/// A joint in words: title, text, and what the view into the mouth shows.
type Words = (PlatePicture, Clause, Clause, Clause);

pub(crate) fn inspection(w: &Writer, paper: Paper) -> Section {
    let own = &w.practice_words().plate;
    let boxes = boxes(w);
    let rules: Vec<_> = rules(w);
    let reading = w.say(own.reading.clone());
    let height = steps_fit::box_height(&reading, &rules, boxes.len(), paper);
    let page = InspectionPage {
        reading,
        ring: w.practice().has_ring(),
        height: micrometers(height),
        boxes,
        rules,
    };
    let blocks = vec![Block::InspectionPage(Box::new(page))];
    Section {
        own_page: true,
        ..w.section(Clause::TitleAcceptance, blocks)
            .lead(w.say(Clause::AcceptanceLead))
    }
}

/// The joints to compare one with, the good one first.
pub(crate) fn boxes(w: &Writer) -> Vec<InspectionBox> {
    cases(w).into_iter().map(|case| joint(w, case)).collect()
}

fn cases(w: &Writer) -> Vec<Words> {
    let own = &w.practice_words().plate;
    let past = if work::has_witness_lines(w.p, w.limits) {
        Clause::PlatePastWitnessText
    } else {
        own.past.clone()
    };
    // Without a ring there is no impression.
    let no_print = w.practice().has_ring().then_some((
        PlatePicture::NoPrint,
        Clause::PlateNoPrint,
        Clause::PlateNoPrintText,
        Clause::PlateMouthLumpy,
    ));
    let [good, good_text, good_mouth] = own.good.clone();
    let [no_bead, no_bead_text] = own.no_bead.clone();
    let first = [
        (PlatePicture::Good, good, good_text, good_mouth),
        (
            PlatePicture::NoBead,
            no_bead,
            no_bead_text,
            Clause::PlateMouthGap,
        ),
    ];
    let others = [
        (
            PlatePicture::Short,
            Clause::PlateShort,
            own.short.clone(),
            Clause::PlateMouthFull,
        ),
        (
            PlatePicture::Past,
            Clause::PlatePast,
            past,
            Clause::PlateMouthMuch,
        ),
        (
            PlatePicture::OneSided,
            Clause::PlateOneSided,
            Clause::PlateOneSidedText,
            Clause::PlateMouthOneSided,
        ),
        (
            PlatePicture::Angle,
            Clause::PlateAngle,
            Clause::PlateAngleText,
            Clause::PlateMouthOffCenter,
        ),
        (
            PlatePicture::Buckled,
            Clause::PlateBuckled,
            Clause::PlateBuckledText,
            Clause::PlateMouthFolded,
        ),
        (
            PlatePicture::Dirt,
            Clause::PlateDirt,
            Clause::PlateDirtText,
            Clause::PlateMouthSpecks,
        ),
        (
            PlatePicture::Dull,
            Clause::PlateDull,
            Clause::PlateDullText {
                step: stop(w).to_string(),
            },
            Clause::PlateMouthBare,
        ),
    ];
    first.into_iter().chain(no_print).chain(others).collect()
}

/// The number of the step that says what to do about a bad melt.
fn stop(w: &Writer) -> usize {
    let steps = joint_steps(w);
    let bar = steps.iter().find(|step| step.picture.is_none());
    bar.map_or(0, |step| step.number)
}

fn joint(w: &Writer, (picture, title, text, mouth): Words) -> InspectionBox {
    let word = w.say(match picture {
        PlatePicture::Good => Clause::PlateWordGood,
        PlatePicture::Dull => Clause::PlateWordDoNotJoin,
        _ => Clause::PlateWordReject,
    });
    let (title, mouth) = (w.say(title), w.say(mouth));
    InspectionBox {
        picture,
        good: picture == PlatePicture::Good,
        alt: w.say(Clause::PlateAlt {
            word: word.clone(),
            title: title.clone(),
            mouth: mouth.clone(),
        }),
        word,
        title,
        text: w.say(text),
        mouth,
    }
}

/// What becomes of a joint that fails stands with the records.
const FAILED: &str = "acceptance-rules:cut-out:text";

/// What no drawing shows: the inside of a coupling, and how joints are judged.
fn rules(w: &Writer) -> Vec<String> {
    let work = w.p.work();
    let inside = w.limits.entry("acceptance:inside:text");
    let rules = w.limits.statements("acceptance-rules", &work);
    inside
        .into_iter()
        .chain(rules)
        .filter(|entry| entry.id != FAILED)
        .filter_map(|entry| w.words.statement(entry))
        .map(str::to_owned)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::papers::sheets::Language;
    use crate::papers::sheets::clauses::Clauses;
    use crate::process::socket::sheets::procedure::tests::with_procedure;

    const SPECS: [&str; 4] = [
        include_str!("../../../../../specs/hollow-creek-geothermal.yaml"),
        include_str!("../../../../../specs/alder-fork-gas.yaml"),
        include_str!("../../../../../specs/saddle-works-hot-water.yaml"),
        include_str!("../../../../../specs/tern-valley-water.yaml"),
    ];

    /// Where each criterion of the tables is drawn; those without a picture stand
    /// under the drawings in the words of the tables.
    const SHOWN: &[(&str, Option<PlatePicture>)] = &[
        ("acceptance:ring-impression", Some(PlatePicture::Good)),
        ("acceptance:mark-at-bead", Some(PlatePicture::Good)),
        ("acceptance:no-gaps", Some(PlatePicture::Good)),
        ("acceptance:inside", None),
        ("acceptance:even-bead", Some(PlatePicture::Good)),
        ("acceptance:square", Some(PlatePicture::Good)),
        ("rejection:no-ring", Some(PlatePicture::NoPrint)),
        ("rejection:no-melt", Some(PlatePicture::NoBead)),
        ("rejection:no-bead", Some(PlatePicture::NoBead)),
        ("rejection:buckled", Some(PlatePicture::Buckled)),
        ("rejection:short-stab", Some(PlatePicture::Short)),
        ("rejection:short-of-mark", Some(PlatePicture::Short)),
        ("rejection:past-mark", Some(PlatePicture::Past)),
        ("rejection:one-sided", Some(PlatePicture::OneSided)),
        ("rejection:dull-melt", Some(PlatePicture::Dull)),
        ("rejection:contaminated", Some(PlatePicture::Dirt)),
        ("acceptance-rules:looks-not-proof", None),
        ("acceptance-rules:failure-outside", None),
        ("acceptance-rules:failure-outside-metric", None),
    ];

    fn with_writer<T>(text: &str, language: Language, see: impl FnOnce(&Writer) -> T) -> T {
        with_procedure(text, |p, _| {
            see(&Writer::new(
                p,
                crate::published::library(),
                Clauses::load(language),
                None,
            ))
        })
    }

    #[test]
    fn every_criterion_of_the_tables_is_drawn_or_stands_under_the_drawings() {
        for text in SPECS {
            with_writer(text, Language::En, |w| {
                let work = w.p.work();
                let boxes = boxes(w);
                let rules = rules(w);
                for table in ["acceptance", "rejection", "acceptance-rules"] {
                    for entry in w.limits.statements(table, &work) {
                        if entry.id == FAILED {
                            let records =
                                crate::process::socket::sheets::procedure::records::records(
                                    w, false,
                                );
                            let fails = |block: &_| match block {
                                Block::FailedJoint(_) => true,
                                Block::Duties(duties) => duties.short.is_some(),
                                _ => false,
                            };
                            assert!(records.blocks.iter().any(fails));
                            continue;
                        }
                        let (id, _) = entry.id.rsplit_once(':').unwrap();
                        let shown = SHOWN.iter().find(|(known, _)| *known == id);
                        match shown.unwrap_or_else(|| panic!("{id}")).1 {
                            Some(picture) => {
                                assert!(boxes.iter().any(|b| b.picture == picture), "{id}");
                            }
                            None => {
                                let statement = entry.text().unwrap();
                                assert!(rules.iter().any(|rule| rule == statement), "{id}");
                            }
                        }
                    }
                }
            });
        }
    }

    #[test]
    fn the_boxes_hold_their_words_in_every_language() {
        for text in SPECS {
            for language in Language::all() {
                with_writer(text, language, |w| {
                    for item in boxes(w) {
                        for paper in [Paper::Letter, Paper::A4] {
                            let fits = steps_fit::box_holds(&item, paper);
                            assert!(fits, "{}: {}", item.title, item.text);
                        }
                    }
                });
            }
        }
    }
}
