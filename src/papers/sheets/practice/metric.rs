//! Metric practice: a mark on the pipe, times for each size.

use super::{
    Absent, Card, Dimension, Dimensions, Kit, Plate, PracticeWords, Pusher, StepWords, Steps,
    TestWords, Times,
};
use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::figures::StepPicture;
use crate::published::ResinGroup;

pub(crate) static WORDS: PracticeWords = PracticeWords {
    kit: Kit {
        marker: Clause::KitMarkerMetric,
        sizes_check: Clause::KitSizesCheckMetric,
        pusher: |largest| Clause::KitMachine { largest },
        pusher_any: Clause::KitMachineAny,
        pusher_check: |sizes| Clause::KitMachineCheck { sizes },
        pusher_any_check: |sizes| Clause::KitMachineCheck { sizes },
    },
    print_size: Clause::PrintSizeIsMetric,
    rain: Clause::FieldRainTextMetric,
    dimensions: Dimensions {
        lead: Clause::DimensionsLeadMetric,
        columns: &[
            Dimension::OdPlus,
            Dimension::OutOfRoundness,
            Dimension::MinimumWall,
        ],
    },
    wait_from: Clause::ThreadedWaitFromMetric,
    times: Times {
        waits: Clause::TimesCooling,
        depth: Clause::TimesDepthMetric,
        depth_unset: Clause::TimesDepthUnsetMetric,
        wait_figure: Clause::FigureCooling,
    },
    spigot_intro: Clause::SpigotIntroMetric,
    spigot_holds: Clause::SpigotHoldsDepth,
    spigot_column: Clause::ColumnNeededDepth,
    steps: Steps {
        chamfer_detail: Clause::StepChamferDetailMetric,
        depth: StepWords {
            step: Clause::StepMark,
            detail: Clause::StepMarkDetail,
            short: Clause::ShortMark,
            line: Clause::LineMark,
        },
        depth_picture: StepPicture::Mark,
        clean_detail: |agent| Clause::StepCleanMarkDetail { agent },
        clean_short: |agent| Clause::ShortCleanMark { agent },
        heat: StepWords {
            step: Clause::StepHeat,
            detail: Clause::StepHeatMarkDetail,
            short: Clause::ShortHeatMark,
            line: Clause::LineHeat,
        },
        off_by_size: Clause::StepOffDetailTable,
        join: StepWords {
            step: Clause::StepJoinMark,
            detail: Clause::StepJoinMarkDetail,
            short: Clause::ShortJoinMark,
            line: Clause::LineJoinMark,
        },
        hold: StepWords {
            step: Clause::StepHold,
            detail: Clause::StepHoldMarkDetail,
            short: Clause::ShortHoldMark,
            line: Clause::LineHoldMark,
        },
        inspect: StepWords {
            step: Clause::StepInspectMark,
            detail: Clause::StepInspectMarkDetail,
            short: Clause::ShortInspectMark,
            line: Clause::LineInspectMark,
        },
        join_alt: Clause::StepAltJoinMark,
        inspect_alt: Clause::StepAltInspectMark,
    },
    pusher: Pusher {
        word: Clause::PusherMachine,
        step: |sizes| Clause::StepMachine { sizes },
        step_detail: Clause::StepMachineDetail,
        short: |sizes| Clause::ShortMachine { sizes },
        line: |sizes| Clause::LineMachine { sizes },
        picture: StepPicture::Machine,
        card: |sizes| Clause::CardMachine { sizes },
    },
    plate: Plate {
        reading: Clause::PlateReadingMark,
        good: [
            Clause::PlateGoodMark,
            Clause::PlateGoodMarkText,
            Clause::PlateMouthEven,
        ],
        no_bead: [Clause::PlateNoBeadMark, Clause::PlateNoBeadMarkText],
        short: Clause::PlateShortMarkText,
        past: Clause::PlatePastMarkText,
    },
    joint_bead: Clause::JointKeyBeadMark,
    depth_govern: Clause::MarksNoteGovernMetric,
    card: Card {
        depth_note: Clause::CardDepthMark,
        reject: &[
            Clause::CardRejectBead,
            Clause::CardRejectMark,
            Clause::CardRejectGap,
        ],
    },
    test_sheet: TestWords {
        pieces: Clause::TestPieces,
        broken: Clause::TestBroken,
    },
    absent: &[
        Absent {
            resins: &[ResinGroup::PpR, ResinGroup::PpH],
            entry: "metric-depth:pp:text",
            what: Clause::AbsentDepthPp,
            close: Clause::AbsentDepthClose,
        },
        Absent {
            resins: &[ResinGroup::PpR],
            entry: "metric-ppr-cycles:hold:hold",
            what: Clause::AbsentHold,
            close: Clause::AbsentHoldClose,
        },
        Absent {
            resins: &[],
            entry: "us-heater:warm-up:text",
            what: Clause::AbsentWarmUp,
            close: Clause::AbsentWarmUpClose,
        },
    ],
    absent_times: |sizes| Clause::AbsentHeating { sizes },
    heat_step: "10 °C",
};
