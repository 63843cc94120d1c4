//! Numbers the figures, in the order they appear.

use crate::papers::sheets::procedure::writer::{Block, Clause, Section, Writer};
use crate::process::socket::heat::advice::Advice;
use crate::process::socket::sheets::procedure::{heat_figures, joint_figure};

/// Figure numbers, in the order the figures appear.
pub(crate) struct Numbers {
    pub(crate) heater: usize,
    pub(crate) steps: usize,
    pub(crate) joint: Option<usize>,
    pub(crate) chart: Option<usize>,
    pub(crate) section: Option<usize>,
    pub(crate) plate: usize,
}

impl Numbers {
    pub(crate) fn new(w: &Writer, advice: &Advice) -> Self {
        let (heater, steps) = (1, 2);
        let mut last = steps;
        let mut next = |drawn: bool| {
            last += usize::from(drawn);
            drawn.then_some(last)
        };
        let joint = next(joint_figure::joint(w, advice).is_some());
        let chart = next(heat_figures::chart(w, advice).is_some());
        let section = next(heat_figures::cross_section(w, advice).is_some());
        Self {
            heater,
            steps,
            joint,
            chart,
            section,
            plate: last + 1,
        }
    }
}

/// Adds the numbers to the figures' captions.
pub(crate) fn number(w: &Writer, sections: &mut [Section]) {
    let blocks = sections.iter_mut().flat_map(|section| &mut section.blocks);
    for (caption, number) in blocks.filter_map(Block::drawing_caption).zip(1..) {
        *caption = w.say(Clause::NumberedCaption {
            number: number.to_string(),
            caption: std::mem::take(caption),
        });
    }
}
