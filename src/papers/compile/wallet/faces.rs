//! Panels of numbers. Each procedure, language, and trim is fitted and typeset
//! once per run, however many decks use it.

use super::super::to_json;
use super::{Given, WalletOrder};
use crate::core::digest;
use crate::core::units::print::with_decimal_mark;
use crate::papers::sheets::{Frame, PaperKind};
use crate::papers::typeset::{HouseFiles, Page, Print, TypesetError, query, typeset};
use crate::papers::wallet::FiguresSheet;
use crate::process::Process;
use crate::process::socket::sheets::{CardPlan, CardSheet};
use crate::spec::language::Language;
use crate::spec::{CardTrim, Paper};

/// A procedure's numbers on panels of one trim.
pub(crate) struct Figures {
    /// The faces, reduced to the chosen trim.
    pub(crate) sheet: FiguresSheet,
    pub(crate) trim: CardTrim,
    /// One page per panel.
    pub(crate) pdf: Vec<u8>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Asked {
    place: usize,
    language: Language,
    trim: CardTrim,
    paper: Paper,
}

/// The panels made so far.
pub(crate) struct Faces<'m> {
    order: &'m WalletOrder<'m>,
    given: &'m [Given<'m>],
    made: Vec<(Asked, Option<std::rc::Rc<Figures>>)>,
}

impl<'m> Faces<'m> {
    pub(crate) fn new(order: &'m WalletOrder<'m>, given: &'m [Given<'m>]) -> Self {
        Self {
            order,
            given,
            made: Vec::new(),
        }
    }

    /// A procedure's panels; `None` if they do not fit.
    pub(crate) fn face(
        &mut self,
        place: usize,
        language: Language,
        trim: CardTrim,
        paper: Paper,
    ) -> Result<Option<std::rc::Rc<Figures>>, TypesetError> {
        let asked = Asked {
            place,
            language,
            trim,
            paper,
        };
        if let Some((_, made)) = self.made.iter().find(|(of, _)| *of == asked) {
            return Ok(made.clone());
        }
        let made = self.make(asked)?.map(std::rc::Rc::new);
        self.made.push((asked, made.clone()));
        Ok(made)
    }

    fn make(&self, asked: Asked) -> Result<Option<Figures>, TypesetError> {
        let Some(given) = self.given.get(asked.place) else {
            return Ok(None);
        };
        let sheet = self.faces(given, asked)?.cut_to(asked.trim);
        let print = |page, sheet| self.print(given, page, sheet);
        let answer = query(&print(Page::WalletFit, to_json(&sheet)?))?;
        // The template answers with a plan or with `none`.
        let Ok(plan) = serde_json::from_value::<CardPlan>(answer) else {
            return Ok(None);
        };
        let Some(trim) = sheet.trims.get(plan.trim).map(|trim| trim.choice) else {
            return Ok(None);
        };
        let sheet = FiguresSheet { card: sheet, plan };
        let pdf = typeset(&print(Page::WalletFigures, to_json(&sheet)?))?;
        Ok(Some(Figures { sheet, trim, pdf }))
    }

    fn faces(&self, given: &Given<'_>, asked: Asked) -> Result<CardSheet, TypesetError> {
        let digest = digest::spec_digest(given.sources);
        let kind = PaperKind::Card;
        let frame = Frame::new(given.procedure, asked.paper, &digest, kind, asked.language);
        let frame = given.read.frame(frame);
        let words = frame.words.clone();
        let mark = asked.language.decimal_mark(given.procedure.practice());
        let mut sheet = with_decimal_mark(mark, || {
            (Process::of_spec(given.procedure.spec).card)(
                given.procedure,
                &given.read.limits,
                frame,
            )
        });
        // A wallet card is carried in a holder, so it needs no slot.
        sheet.lanyard = None;
        given.read.words_held(given.sources, &words)?;
        Ok(sheet)
    }

    fn print<'p>(&self, given: &'p Given<'_>, page: Page, sheet: String) -> Print<'p> {
        Print {
            page,
            sheet,
            attached: Vec::new(),
            // A wallet card has no room for a logo.
            house: HouseFiles::default(),
            code: None,
            identity: digest::spec_digest(given.sources),
            date: self.order.as_of,
        }
    }
}
