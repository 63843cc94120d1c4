//! The steps of a joint. This list is their one home: every paper takes numbers,
//! order and words from here, so that step 7 is step 7 on the procedure, on the
//! card and on the lid sheet.

use crate::core::units::{Duration, Temperature};
use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::figures::StepPicture;
use crate::papers::sheets::practice::StepWords;
use crate::papers::sheets::procedure::writer::{Writer, format, work};
use crate::process::socket::sheets::procedure::equipment::agent;
use crate::process::socket::sheets::procedure::heater::stick_names;
use crate::process::socket::sheets::procedure::unlike::{print_line, unlike_sizes};
use crate::published::Sourced;
use crate::spec::{CleaningAgent, FaceCheckMethod};

/// A step, in the words of each paper.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct JointStep {
    /// Its number on every paper, from 1.
    pub(crate) number: usize,
    /// What to do, on the steps page.
    pub(crate) order: String,
    /// How to do it, on the steps page.
    pub(crate) detail: String,
    /// Whether the number at the end of the detail is not confirmed.
    pub(crate) verify: bool,
    /// What can hurt at this step, on the steps page.
    pub(crate) cautions: Vec<String>,
    /// The line on the back of a card.
    pub(crate) short: String,
    /// The line on the lid sheet.
    pub(crate) line: String,
    /// Whether it carries the safety alert sign.
    pub(crate) alert: bool,
    /// Whether it is the black bar: what to do when a melt is bad or time has
    /// run out.
    pub(crate) stop: bool,
    /// Whether the clock runs, so that its line is set in bold.
    pub(crate) timed: bool,
    /// What its picture shows; the black bar has none.
    pub(crate) picture: Option<StepPicture>,
}

/// A step before it has its number.
struct Draft {
    picture: Option<StepPicture>,
    words: StepWords,
    verify: bool,
    cautions: Vec<Clause>,
    alert: bool,
}

impl Draft {
    fn new(picture: StepPicture, words: StepWords) -> Self {
        Self {
            picture: Some(picture),
            words,
            verify: false,
            cautions: Vec::new(),
            alert: false,
        }
    }

    /// Adds a caution; `alert` for one that every paper marks at the step.
    fn caution(mut self, caution: impl Into<Option<Clause>>, alert: bool) -> Self {
        if let Some(caution) = caution.into() {
            self.cautions.push(caution);
            self.alert |= alert;
        }
        self
    }
}

/// The steps of a procedure, in order.
pub(crate) fn joint_steps(w: &Writer) -> Vec<JointStep> {
    let words = &w.practice_words().steps;
    let cut = Draft::new(
        StepPicture::Cut,
        StepWords {
            step: Clause::StepCut,
            detail: Clause::StepCutDetail,
            short: Clause::ShortCut,
            line: Clause::LineCut,
        },
    );
    let chamfer = Draft::new(
        StepPicture::Chamfer,
        StepWords {
            step: Clause::StepChamfer,
            detail: match work::peel(w.p) {
                Some(false) => Clause::StepChamferDetailNoPeel,
                _ => words.chamfer_detail.clone(),
            },
            short: Clause::ShortChamfer,
            line: Clause::LineChamfer,
        },
    );
    let mut drafts = vec![heater(w), read_print_line(w)];
    let cut_at = drafts.len() + 1;
    drafts.push(
        cut.caution(
            applies(w, "static").then_some(Clause::StepCautionStatic),
            true,
        )
        .caution(
            applies(w, "sharp").then_some(Clause::StepCautionSharp),
            false,
        ),
    );
    drafts.push(chamfer);
    drafts.extend(peel(w));
    drafts.push(depth(w));
    drafts.push(clean(w));
    drafts.extend(push_tool(w));
    drafts.extend([
        heat(w),
        count(w),
        off(w),
        bad_melt(cut_at),
        Draft::new(StepPicture::Join, words.join.clone()),
        hold(w),
        inspect(w),
    ]);
    let timed = [
        StepPicture::Heat,
        StepPicture::Count,
        StepPicture::Off,
        StepPicture::Hold,
    ];
    drafts
        .into_iter()
        .zip(1..)
        .map(|(draft, number)| JointStep {
            number,
            order: w.say(draft.words.step),
            detail: w.say(draft.words.detail),
            verify: draft.verify,
            cautions: draft.cautions.into_iter().map(|c| w.say(c)).collect(),
            short: w.say(draft.words.short),
            line: w.say(draft.words.line),
            alert: draft.alert,
            stop: draft.picture.is_none(),
            timed: draft.picture.is_some_and(|p| timed.contains(&p)),
            picture: draft.picture,
        })
        .collect()
}

/// Whether a hazard of the tables is one of this work.
fn applies(w: &Writer, key: &str) -> bool {
    let hazard = w.limits.entry(&format!("hazards:{key}:signal"));
    hazard.is_some_and(|entry| w.limits.applies_to(entry, &w.p.work()))
}

/// The temperature in the unit that the practice prints first.
fn first_unit(w: &Writer, value: Temperature) -> String {
    value.show_exact(w.units().temperature_unit())
}

fn heater(w: &Writer) -> Draft {
    let heater = &w.p.spec.heater;
    let set_point = first_unit(w, heater.set_point.value.0);
    let window = w.p.window.as_ref();
    let shown =
        window.map(|window| format::temperature_range(w.units(), window.value, &w.say(Clause::To)));
    // On one line.
    let shown = shown.map(|window| window.replace(' ', "\u{a0}"));
    let check = heater.face_check.as_ref();
    let detail = match (shown, check) {
        (Some(window), Some(check)) => {
            let (melts, solid) = stick_names(w, check);
            match check.method.value {
                FaceCheckMethod::Pyrometer => Clause::StepHeaterPyrometer { window },
                FaceCheckMethod::Stick => Clause::StepHeaterStick { melts },
                FaceCheckMethod::TwoSticks => Clause::StepHeaterTwoSticks { melts, solid },
            }
        }
        _ => Clause::StepHeaterOpen,
    };
    // What a stick is rated for is on the stick.
    let prints_window = matches!(detail, Clause::StepHeaterPyrometer { .. });
    let verify = prints_window && window.is_some_and(|window| window.needs_verifying());
    let words = StepWords {
        step: Clause::StepHeater {
            set_point: set_point.clone(),
        },
        detail,
        short: Clause::ShortHeater,
        line: Clause::LineHeater { set_point },
    };
    let ignition = applies(w, "ignition").then_some(Clause::StepCautionGas);
    Draft {
        verify,
        ..Draft::new(StepPicture::Heater, words)
    }
    .caution(ignition, true)
}

fn read_print_line(w: &Writer) -> Draft {
    let words = StepWords {
        step: Clause::StepPrintLine,
        detail: print_line(w),
        short: Clause::ShortPrintLine,
        line: Clause::LinePrintLine,
    };
    Draft::new(StepPicture::PrintLine, words)
}

/// Peeling, where the practice has it and the spec says so or says nothing.
fn peel(w: &Writer) -> Option<Draft> {
    if !w.practice().peels {
        return None;
    }
    let words = match work::peel(w.p) {
        Some(true) => StepWords {
            step: Clause::StepPeel,
            detail: Clause::StepPeelDetail,
            short: Clause::ShortPeel,
            line: Clause::LinePeel,
        },
        None => StepWords {
            step: Clause::StepPeelOpen,
            detail: Clause::StepPeelOpenDetail,
            short: Clause::ShortPeelOpen,
            line: Clause::LinePeelOpen,
        },
        // Said at the chamfer.
        Some(false) => return None,
    };
    Some(Draft::new(StepPicture::Peel, words))
}

fn depth(w: &Writer) -> Draft {
    let own = &w.practice_words().steps;
    let words = if work::has_witness_lines(w.p, w.limits) {
        StepWords {
            step: own.depth.step.clone(),
            detail: Clause::StepMarkWitnessDetail,
            short: Clause::ShortMarkWitness,
            line: Clause::LineMarkWitness,
        }
    } else {
        own.depth.clone()
    };
    Draft::new(own.depth_picture, words)
}

fn clean(w: &Writer) -> Draft {
    let own = &w.practice_words().steps;
    let used = w.p.spec.cleaning.as_ref().map(|c| c.agent.value);
    let is_dry = used == Some(CleaningAgent::DryCloth);
    let short = w.say(match used {
        Some(CleaningAgent::IsopropylAlcohol) => Clause::ShortAlcohol,
        Some(CleaningAgent::Acetone) => Clause::ShortAcetone,
        Some(CleaningAgent::Water) => Clause::ShortWater,
        Some(CleaningAgent::DryCloth) => Clause::ShortDryCloth,
        None => Clause::ShortAgentOpen,
    });
    let words = StepWords {
        step: if is_dry {
            Clause::StepCleanDry
        } else {
            Clause::StepClean
        },
        detail: (own.clean_detail)(capitalized(&agent(w))),
        short: (own.clean_short)(short.clone()),
        line: if is_dry {
            Clause::LineCleanDry { agent: short }
        } else {
            Clause::LineClean { agent: short }
        },
    };
    let burns = applies(w, "alcohol") || applies(w, "acetone");
    Draft::new(StepPicture::Clean, words).caution(burns.then_some(Clause::StepCautionAgent), true)
}

fn capitalized(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().into_iter().flat_map(char::to_uppercase);
    first.chain(letters).collect()
}

/// The tool or machine that pushes the larger sizes together.
fn push_tool(w: &Writer) -> Option<Draft> {
    let sizes = w.pushed()?;
    let pusher = &w.practice_words().pusher;
    let words = StepWords {
        step: (pusher.step)(sizes.clone()),
        detail: pusher.step_detail.clone(),
        short: (pusher.short)(sizes.clone()),
        line: (pusher.line)(sizes),
    };
    Some(Draft::new(pusher.picture, words))
}

/// Both parts on the heater. An unlike pair has an order of its own.
fn heat(w: &Writer) -> Draft {
    let own = &w.practice_words().steps;
    let words = match unlike_sizes(w) {
        Some(sizes) => StepWords {
            step: Clause::StepHeat,
            detail: Clause::StepHeatUnlike { sizes },
            short: Clause::ShortHeatUnlike,
            line: Clause::LineHeatUnlike,
        },
        None => own.heat.clone(),
    };
    let burn = applies(w, "burn") || applies(w, "burn-metric");
    Draft::new(StepPicture::Heat, words).caution(burn.then_some(Clause::StepCautionBurn), true)
}

fn count(w: &Writer) -> Draft {
    let words = StepWords {
        step: Clause::StepCount,
        detail: match w.p.spec.cold_weather {
            Some(_) => Clause::StepCountDetailCold,
            None => Clause::StepCountDetail,
        },
        short: Clause::ShortCount,
        line: Clause::LineCount,
    };
    Draft::new(StepPicture::Count, words)
}

fn off(w: &Writer) -> Draft {
    let common = w.p.common(|joint| joint.cycle.change_over());
    let words = StepWords {
        step: Clause::StepOff,
        detail: match common {
            Some(time) => Clause::StepOffDetail {
                change_over: time.value.show(),
            },
            None => w.practice_words().steps.off_by_size.clone(),
        },
        short: Clause::ShortOff,
        line: Clause::LineOff,
    };
    Draft {
        verify: common.is_some() && change_overs(w).any(Sourced::needs_verifying),
        ..Draft::new(StepPicture::Off, words)
    }
}

fn change_overs<'w>(w: &'w Writer) -> impl Iterator<Item = &'w Sourced<Duration>> {
    w.p.joints
        .iter()
        .filter_map(|joint| joint.cycle.change_over())
}

/// The black bar, which sends the crew back to the step with this number.
fn bad_melt(cut: usize) -> Draft {
    let words = StepWords {
        step: Clause::StepBadMelt,
        detail: Clause::StepBadMeltDetail {
            step: cut.to_string(),
        },
        short: Clause::ShortBadMelt,
        line: Clause::LineBadMelt,
    };
    Draft {
        picture: None,
        ..Draft::new(StepPicture::Off, words)
    }
}

fn hold(w: &Writer) -> Draft {
    let own = &w.practice_words().steps.hold;
    let until_cool = |joint| work::holds_until_cool(w.p, joint);
    let words = match (
        w.p.joints.iter().any(until_cool),
        w.p.joints.iter().all(until_cool),
    ) {
        (false, _) => own.clone(),
        (true, true) => StepWords {
            step: Clause::StepHoldUntilCool,
            detail: own.detail.clone(),
            short: Clause::ShortHoldUntilCool,
            line: Clause::LineHoldUntilCool,
        },
        (true, false) => StepWords {
            detail: Clause::StepHoldMixedDetail,
            ..own.clone()
        },
    };
    Draft::new(StepPicture::Hold, words)
}

fn inspect(w: &Writer) -> Draft {
    let words = if work::has_witness_lines(w.p, w.limits) {
        StepWords {
            step: Clause::StepInspectWitness,
            detail: Clause::StepInspectWitnessDetail,
            short: Clause::ShortInspectWitness,
            line: Clause::LineInspectWitness,
        }
    } else {
        w.practice_words().steps.inspect.clone()
    };
    Draft::new(StepPicture::Inspect, words)
}
