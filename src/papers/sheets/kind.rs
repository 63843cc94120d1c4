//! The papers that can be made of a spec.

use super::clause::Clause;
use crate::proof::Subject;
use crate::spec::language::Language;

/// A paper that can be made of a spec.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, clap::ValueEnum)]
pub enum PaperKind {
    /// The written procedure.
    Procedure,
    /// Where every number of the procedure comes from, and what is open.
    Sources,
    /// The sheet for the lid of the tool box.
    Lid,
    /// The pocket card.
    Card,
    /// The true-scale depth-mark strips.
    DepthMarks,
}

impl PaperKind {
    /// Every kind, in build order.
    pub const ALL: [PaperKind; 5] = [
        PaperKind::Procedure,
        PaperKind::Sources,
        PaperKind::Lid,
        PaperKind::Card,
        PaperKind::DepthMarks,
    ];

    /// Everything that a paper is called by.
    fn names(self) -> Names {
        match self {
            PaperKind::Procedure => Names {
                file: "procedure.pdf",
                tab: "Procedure",
                subject: Subject::Procedure,
                title: Clause::PaperProcedure,
            },
            PaperKind::Sources => Names {
                file: "sources.pdf",
                tab: "Sources",
                subject: Subject::Sources,
                title: Clause::PaperSources,
            },
            PaperKind::Lid => Names {
                file: "lid.pdf",
                tab: "Lid sheet",
                subject: Subject::Lid,
                title: Clause::PaperLid,
            },
            PaperKind::Card => Names {
                file: "card.pdf",
                tab: "Card",
                subject: Subject::Card,
                title: Clause::PaperCard,
            },
            PaperKind::DepthMarks => Names {
                file: "depth-marks.pdf",
                tab: "Depth marks",
                subject: Subject::DepthMarks,
                title: Clause::PaperDepthMarks,
            },
        }
    }

    pub(crate) fn file_name(self) -> &'static str {
        self.names().file
    }

    /// The name in the preview.
    pub(crate) fn tab(self) -> &'static str {
        self.names().tab
    }

    /// What its signed code calls it.
    pub(crate) fn subject(self) -> Subject {
        self.names().subject
    }

    /// The paper that a signed code is on; `None` for one that no spec makes.
    pub(crate) fn from_subject(subject: Subject) -> Option<Self> {
        let mut kinds = Self::ALL.into_iter();
        kinds.find(|kind| kind.subject() == subject)
    }

    /// What it calls itself.
    pub(crate) fn title(self) -> Clause {
        self.names().title
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

struct Names {
    file: &'static str,
    tab: &'static str,
    subject: Subject,
    title: Clause,
}
