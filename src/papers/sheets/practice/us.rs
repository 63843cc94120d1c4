//! US practice: cold ring and depth gauge.

use super::{
    Absent, Card, Dimension, Dimensions, Kit, Plate, PracticeWords, Pusher, StepWords, Steps,
    TestWords, Times,
};
use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::figures::StepPicture;

pub(crate) static WORDS: PracticeWords = PracticeWords {
    kit: Kit {
        marker: Clause::KitMarker,
        sizes_check: Clause::KitSizesCheck,
        pusher: |largest| Clause::KitHolder { largest },
        pusher_any: Clause::KitHolderAny,
        pusher_check: |sizes| Clause::KitHolderCheck { sizes },
        pusher_any_check: |sizes| Clause::KitHolderOpenCheck { sizes },
    },
    print_size: Clause::PrintSizeIs,
    rain: Clause::FieldRainText,
    dimensions: Dimensions {
        lead: Clause::DimensionsLead,
        columns: &[
            Dimension::OdTolerance,
            Dimension::MinimumWall,
            Dimension::WallTolerance,
        ],
    },
    wait_from: Clause::ThreadedWaitFrom,
    times: Times {
        waits: Clause::TimesWaits,
        depth: Clause::TimesDepth,
        depth_unset: Clause::TimesDepthUnset,
        wait_figure: Clause::FigureHandling,
    },
    spigot_intro: Clause::SpigotIntro,
    spigot_holds: Clause::SpigotHoldsRing,
    spigot_column: Clause::ColumnNeededRing,
    steps: Steps {
        // The chamfer tool that doubles as a depth gauge is US practice.
        chamfer_detail: Clause::StepChamferDetail,
        depth: StepWords {
            step: Clause::StepRing,
            detail: Clause::StepRingDetail,
            short: Clause::ShortRing,
            line: Clause::LineRing,
        },
        depth_picture: StepPicture::Ring,
        clean_detail: |agent| Clause::StepCleanDetail { agent },
        clean_short: |agent| Clause::ShortClean { agent },
        heat: StepWords {
            step: Clause::StepHeat,
            detail: Clause::StepHeatDetail,
            short: Clause::ShortHeat,
            line: Clause::LineHeat,
        },
        off_by_size: Clause::StepOffDetailNone,
        join: StepWords {
            step: Clause::StepJoin,
            detail: Clause::StepJoinDetail,
            short: Clause::ShortJoin,
            line: Clause::LineJoin,
        },
        hold: StepWords {
            step: Clause::StepHold,
            detail: Clause::StepHoldDetail,
            short: Clause::ShortHold,
            line: Clause::LineHold,
        },
        inspect: StepWords {
            step: Clause::StepInspect,
            detail: Clause::StepInspectDetail,
            short: Clause::ShortInspect,
            line: Clause::LineInspect,
        },
        join_alt: Clause::StepAltJoin,
        inspect_alt: Clause::StepAltInspect,
    },
    pusher: Pusher {
        word: Clause::PusherHolder,
        step: |sizes| Clause::StepHolder { sizes },
        step_detail: Clause::StepHolderDetail,
        short: |sizes| Clause::ShortHolder { sizes },
        line: |sizes| Clause::LineHolder { sizes },
        picture: StepPicture::Holder,
        card: |sizes| Clause::CardHolder { sizes },
    },
    plate: Plate {
        reading: Clause::PlateReading,
        good: [
            Clause::PlateGood,
            Clause::PlateGoodText,
            Clause::PlateMouthFlat,
        ],
        no_bead: [Clause::PlateNoBead, Clause::PlateNoBeadText],
        short: Clause::PlateShortText,
        past: Clause::PlatePastText,
    },
    joint_bead: Clause::JointKeyBead,
    depth_govern: Clause::MarksNoteGovern,
    card: Card {
        depth_note: Clause::CardDepthRing,
        reject: &[
            Clause::CardRejectGap,
            Clause::CardRejectRing,
            Clause::CardRejectShort,
            Clause::CardRejectFar,
        ],
    },
    test_sheet: TestWords {
        pieces: Clause::TestStraps,
        broken: Clause::TestBent,
    },
    absent: &[
        Absent {
            resins: &[],
            entry: "us-depth:insertion-depth:text",
            what: Clause::AbsentDepth,
            close: Clause::AbsentDepthClose,
        },
        Absent {
            resins: &[],
            entry: "us-heater:warm-up:text",
            what: Clause::AbsentWarmUp,
            close: Clause::AbsentWarmUpClose,
        },
        Absent {
            resins: &[],
            entry: "wall-rules:us-maximum-ratio:text",
            what: Clause::AbsentWall,
            close: Clause::AbsentWallClose,
        },
        Absent {
            resins: &[],
            entry: "us-times:wait-before-pressure-test:time",
            what: Clause::AbsentPressureTest,
            close: Clause::AbsentPressureTestClose,
        },
    ],
    absent_times: |sizes| Clause::AbsentCycles { sizes },
    heat_step: "20 °F",
};
