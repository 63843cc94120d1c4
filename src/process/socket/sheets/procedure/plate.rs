//! The acceptance plate: a good joint and each kind of rejected one.

use crate::papers::sheets::figures::{AcceptancePlate, PlateFrame, PlatePicture};
use crate::papers::sheets::procedure::writer::{Block, Clause, Section, Writer};

/// The joints to compare with, the good one first.
pub(crate) fn frames(w: &Writer) -> Vec<PlateFrame> {
    let words = &w.practice_words().plate;
    let ring = w.practice().has_ring();
    // Without a ring there is no impression.
    let no_print = ring.then_some((
        PlatePicture::NoPrint,
        Clause::PlateNoPrint,
        Clause::PlateNoPrintText,
    ));
    let first = [
        (
            PlatePicture::Good,
            words.good.clone(),
            words.good_text.clone(),
        ),
        (
            PlatePicture::NoBead,
            Clause::PlateNoBead,
            Clause::PlateNoBeadText,
        ),
    ];
    let others = [
        (PlatePicture::Short, Clause::PlateShort, words.short.clone()),
        (PlatePicture::Past, Clause::PlatePast, words.past.clone()),
        (
            PlatePicture::OneSided,
            Clause::PlateOneSided,
            Clause::PlateOneSidedText,
        ),
        (
            PlatePicture::Angle,
            Clause::PlateAngle,
            Clause::PlateAngleText,
        ),
        (
            PlatePicture::Buckled,
            Clause::PlateBuckled,
            Clause::PlateBuckledText,
        ),
        (PlatePicture::Dirt, Clause::PlateDirt, Clause::PlateDirtText),
        (PlatePicture::Dull, Clause::PlateDull, Clause::PlateDullText),
    ];
    first
        .into_iter()
        .chain(no_print)
        .chain(others)
        .map(|(picture, title, text)| {
            let good = picture == PlatePicture::Good;
            PlateFrame {
                picture,
                good,
                word: w.say(if good {
                    Clause::PlateWordGood
                } else {
                    Clause::PlateWordReject
                }),
                title: w.say(title),
                text: w.say(text),
            }
        })
        .collect()
}

/// The plate, to compare a joint with.
pub(crate) fn plate(w: &Writer) -> Section {
    let frames = frames(w);
    let descriptions: Vec<_> = frames
        .iter()
        .map(|frame| format!("{}. {}: {}", frame.word, frame.title, frame.text))
        .collect();
    let plate = AcceptancePlate {
        caption: w.say(Clause::PlateCaption),
        alt: w.say(Clause::PlateAlt {
            count: frames.len().to_string(),
            cases: descriptions.join(" "),
        }),
        ring: w.practice().has_ring(),
        frames,
    };
    Section {
        own_page: true,
        ..w.section(Clause::TitlePlate, vec![Block::AcceptancePlate(plate)])
    }
}
