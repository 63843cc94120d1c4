//! Panels of numbers. Each procedure, language, and trim is fitted and typeset
//! once per run, however many card sets use it.

use super::super::to_json;
use super::{LoadedSpec, WalletOrder};
use crate::core::digest;
use crate::core::units::print::with_decimal_mark;
use crate::papers::sheets::{Frame, PaperKind};
use crate::papers::typeset::{HouseFiles, Page, Print, TypesetError, typeset};
use crate::papers::wallet::NumbersSheet;
use crate::process::Process;
use crate::process::socket::sheets::{CardPlan, CardSheet, card_panels};
use crate::spec::language::Language;
use crate::spec::{CardTrim, Paper};

/// A procedure's numbers on panels of one trim.
pub(crate) struct NumberPanels {
    pub(crate) card: CardSheet,
    pub(crate) plan: CardPlan,
    /// One page per panel.
    pub(crate) pdf: Vec<u8>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct PanelKey {
    index: usize,
    language: Language,
    trim: CardTrim,
    paper: Paper,
}

/// The panels built so far.
pub(crate) struct PanelCache<'m> {
    order: &'m WalletOrder<'m>,
    loaded: &'m [LoadedSpec<'m>],
    built: Vec<(PanelKey, Option<std::rc::Rc<NumberPanels>>)>,
}

impl<'m> PanelCache<'m> {
    pub(crate) fn new(order: &'m WalletOrder<'m>, loaded: &'m [LoadedSpec<'m>]) -> Self {
        Self {
            order,
            loaded,
            built: Vec::new(),
        }
    }

    /// A procedure's panels; `None` if they do not fit.
    pub(crate) fn get(
        &mut self,
        index: usize,
        language: Language,
        trim: CardTrim,
        paper: Paper,
    ) -> Result<Option<std::rc::Rc<NumberPanels>>, TypesetError> {
        let requested = PanelKey {
            index,
            language,
            trim,
            paper,
        };
        if let Some((_, built)) = self.built.iter().find(|(of, _)| *of == requested) {
            return Ok(built.clone());
        }
        let built = self.build(requested)?.map(std::rc::Rc::new);
        self.built.push((requested, built.clone()));
        Ok(built)
    }

    fn build(&self, requested: PanelKey) -> Result<Option<NumberPanels>, TypesetError> {
        let Some(loaded) = self.loaded.get(requested.index) else {
            return Ok(None);
        };
        let card = self.card_sheet(loaded, requested)?;
        let trims = card.trims.iter().filter(|trim| match requested.trim {
            CardTrim::Smallest => true,
            choice => trim.choice == choice,
        });
        let mut upright = trims.map(crate::process::socket::sheets::card::Trim::upright);
        let Some(plan) = upright.find_map(|trim| card_panels(&card, &trim)) else {
            return Ok(None);
        };
        let sheet = NumbersSheet {
            plan: plan.clone(),
            band: card.front.band,
        };
        let pdf = typeset(&self.print(loaded, Page::WalletFigures, to_json(&sheet)?))?;
        Ok(Some(NumberPanels { card, plan, pdf }))
    }

    fn card_sheet(
        &self,
        loaded: &LoadedSpec<'_>,
        requested: PanelKey,
    ) -> Result<CardSheet, TypesetError> {
        let digest = digest::spec_digest(loaded.sources);
        let kind = PaperKind::Card;
        let frame = Frame::new(
            loaded.procedure,
            requested.paper,
            &digest,
            kind,
            requested.language,
        );
        let frame = loaded.inputs.frame(frame);
        let words = frame.words.clone();
        let mark = requested.language.decimal_mark(loaded.procedure.practice());
        let mut sheet = with_decimal_mark(mark, || {
            (Process::of_spec(loaded.procedure.spec).card)(
                loaded.procedure,
                &loaded.inputs.limits,
                frame,
            )
        });
        // A wallet card is carried in a holder, so it needs no slot.
        sheet.lanyard = None;
        loaded.inputs.check_clauses(loaded.sources, &words)?;
        Ok(sheet)
    }

    fn print<'p>(&self, loaded: &'p LoadedSpec<'_>, page: Page, sheet: String) -> Print<'p> {
        Print {
            page,
            sheet,
            attached: Vec::new(),
            // A wallet card has no room for a logo.
            house: HouseFiles::default(),
            code: None,
            identity: digest::spec_digest(loaded.sources),
            date: self.order.as_of,
        }
    }
}
