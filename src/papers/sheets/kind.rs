//! The papers that can be made of a spec.

use crate::spec::language::Language;

/// A paper that can be made of a spec.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, clap::ValueEnum)]
pub enum PaperKind {
    /// The written procedure.
    Procedure,
    /// The pocket card.
    Card,
    /// The true-scale depth-mark strips.
    DepthMarks,
}

impl PaperKind {
    /// Every kind, in build order.
    pub const ALL: [PaperKind; 3] = [PaperKind::Procedure, PaperKind::Card, PaperKind::DepthMarks];

    pub(crate) fn file_name(self) -> &'static str {
        match self {
            PaperKind::Procedure => "procedure.pdf",
            PaperKind::Card => "card.pdf",
            PaperKind::DepthMarks => "depth-marks.pdf",
        }
    }

    /// The file name of the same paper in a further language: `procedure-es.pdf`.
    pub(crate) fn file_name_in(self, further: Option<Language>) -> String {
        let name = self.file_name();
        match further {
            Some(language) => name.replace(".pdf", &format!("-{}.pdf", language.tag())),
            None => name.to_owned(),
        }
    }
}
