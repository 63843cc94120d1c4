//! The paper "Sources and open points": where every number of the procedure comes
//! from, what is open, where sources disagree, what test joints support, and the
//! thermal estimate. It is for who reviews and approves; nothing on it is a time to
//! work by, and the procedure repeats none of it.

mod heat;
mod heat_figures;
mod joint_figure;
mod joint_time;
mod proof;
mod regulation;
mod rows;
#[cfg(test)]
mod tests;

use serde::Serialize;

use crate::core::finding::Finding;
use crate::papers::sheets::block::Section;
use crate::papers::sheets::frame::Frame;
use crate::papers::sheets::procedure::references;
use crate::papers::sheets::procedure::writer::{Clause, Writer};
use crate::procedure::resolve::Procedure;
use crate::process::socket::heat::advice::Advice;
use crate::published::Library;

#[derive(Debug, Clone, Serialize)]
pub(crate) struct SourcesSheet {
    pub(crate) frame: Frame,
    /// Its sections, in numbered order.
    pub(crate) sections: Vec<Section>,
}

/// Writes the paper. Warnings in `findings` are among its open points.
pub(crate) fn sources(
    procedure: &Procedure,
    advice: &Advice,
    findings: &[Finding],
    limits: &Library,
    frame: Frame,
) -> SourcesSheet {
    let words = frame.words.clone();
    let w = &Writer {
        p: procedure,
        limits,
        words: &words,
        text_lang: frame.text_lang,
    };
    let own = frame.style.own_words(frame.lang, &words);
    let sections = [
        Some(rows::sources(w, findings, &own)),
        proof::section(w),
        joint_time::joint_time(w),
        joint_figure::section(w, advice),
        Some(heat::estimate(w, advice)),
        regulation::section(w),
        Some(references::references(w)),
        Some(w.section(
            Clause::TitleDisclaimer,
            vec![w.text(Clause::SourcesDisclaimer)],
        )),
    ];
    SourcesSheet {
        sections: sections.into_iter().flatten().collect(),
        frame,
    }
}
