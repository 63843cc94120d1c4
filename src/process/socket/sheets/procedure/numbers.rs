//! Numbers the figures, in the order they appear.

use crate::papers::sheets::procedure::writer::{Block, Clause, Section, Writer};

/// Figure numbers, in the order the figures appear.
pub(crate) struct Numbers {
    pub(crate) steps: usize,
    pub(crate) plate: usize,
}

impl Numbers {
    pub(crate) fn new() -> Self {
        Self { steps: 1, plate: 2 }
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
