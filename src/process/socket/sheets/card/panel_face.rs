//! What a panel of numbers on a wallet card has under its times: when to stop,
//! what burns, when to reject. It may be the only card in the pocket.

use super::flow::{Block, black_bar, paragraph};
use super::front_face::Setting;
use super::setting::{Phrase, Type};

pub(crate) fn blocks(s: &Setting<'_>) -> Vec<Block<'static>> {
    let (back, sizes) = (s.side.back, s.sizes);
    let bold = Type::bold(sizes.small);
    let gap = 0.9 * sizes.scale;
    let mut blocks = Vec::new();
    if let Some(stop) = back.steps.iter().find(|step| step.stop) {
        let room = s.width - 2.0 * super::flow::SIDE_PAD;
        let lines = Phrase::new(&stop.text, bold).lines(room);
        blocks.push(black_bar(lines, gap, 0.75 * sizes.scale, sizes.pitch));
    }
    let danger = Phrase::new(&back.short_danger, bold).lines(s.width);
    blocks.push(paragraph(danger, gap, sizes.pitch));
    // The pocket card has it, too.
    if s.extras == 0 {
        return blocks;
    }
    let fine = Type::regular(sizes.fine);
    let reject = back.reject.iter().fold(Phrase::default(), |all, reason| {
        all.dot(Phrase::new(reason, fine))
    });
    let title = Phrase::new(&back.reject_title, Type::bold(sizes.fine));
    let reject = title.joined(1.2, reject).lines(s.width);
    blocks.push(paragraph(reject, gap, sizes.fine_pitch));
    blocks
}
