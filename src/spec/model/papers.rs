//! How the papers are made. Languages are read by hand: a text with a comma in it is
//! taken for two of them, and a card has no third side.

use crate::core::finding::Finding;
pub use crate::core::paper::Paper;
use crate::core::source::Spanned;
use crate::core::units::Length;
use crate::spec::declare::kinds::{counting_number, length, single, word};
use crate::spec::declare::{
    Kind, KindOutput, group, list, nested, one_or_list, optional, optional_group, optional_list,
    required,
};
use crate::spec::fact::{Collector, Of, Stating as _};
use crate::spec::fields::{At, given_twice};
use crate::spec::language::Language;
use crate::spec::node::{Node, NodeKind};
use crate::spec::schema::{self, one_or};
use crate::spec::tree::Tree;
use crate::spec::words::Word;
use crate::spec::written::Written;
use crate::spec::{plausible, rules, values};

impl Word for Paper {
    const WORDS: &'static [(&'static str, Self)] = &[
        (Paper::Letter.word(), Paper::Letter),
        (Paper::A4.word(), Paper::A4),
    ];
}

/// How a strip of paper is used, which decides its thickness.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StripUse {
    /// Bare paper.
    Bare,
    /// Adhesive label.
    Label,
    /// Laminated.
    Laminated,
}

impl Word for StripUse {
    const WORDS: &'static [(&'static str, Self)] = &[
        ("bare", StripUse::Bare),
        ("label", StripUse::Label),
        ("laminated", StripUse::Laminated),
    ];
}

/// What becomes of a strip too long for the paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LongStrips {
    /// Two pieces that butt in the middle.
    TwoPieces,
    /// It goes on the next larger paper.
    LargerPaper,
}

impl Word for LongStrips {
    const WORDS: &'static [(&'static str, Self)] = &[
        ("two pieces", LongStrips::TwoPieces),
        ("larger paper", LongStrips::LargerPaper),
    ];
}

/// The size the cards are cut to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, clap::ValueEnum)]
pub enum CardTrim {
    /// The smallest that holds the card's lines at readable sizes.
    #[default]
    Smallest,
    /// 85.60 × 53.98 mm, as bank cards.
    #[value(name = "id-1")]
    Id1,
    /// 105 × 74 mm.
    #[value(name = "id-2")]
    Id2,
    /// 125 × 88 mm.
    #[value(name = "id-3")]
    Id3,
}

impl Word for CardTrim {
    const WORDS: &'static [(&'static str, Self)] = &[
        ("smallest", CardTrim::Smallest),
        ("id-1", CardTrim::Id1),
        ("id-2", CardTrim::Id2),
        ("id-3", CardTrim::Id3),
    ];
}

/// How the back of a card gets behind its front.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, clap::ValueEnum)]
pub enum Flip {
    /// Printed on both sides, the sheet turned on its long edge.
    #[default]
    Long,
    /// Printed on both sides, the sheet turned on its short edge.
    Short,
    /// Printed on one side and folded.
    Fold,
}

impl Word for Flip {
    const WORDS: &'static [(&'static str, Self)] = &[
        ("long edge", Flip::Long),
        ("short edge", Flip::Short),
        ("fold", Flip::Fold),
    ];
}

impl Word for Language {
    const WORDS: &'static [(&'static str, Self)] = Language::TAGS;
}

/// One language or two.
struct Languages;

impl Kind for Languages {
    type Value = Vec<Spanned<Language>>;

    fn read(&self, node: &Node, at: At<'_>, findings: &mut Vec<Finding>) -> Option<Self::Value> {
        if let NodeKind::Scalar(text) = &node.kind
            && text.contains([',', ';', '/', '+'])
        {
            let names = text.split([',', ';', '/', '+']).map(str::trim);
            let names: Vec<_> = names.map(str::to_lowercase).collect();
            let message = format!("'{text}' is a text, and two languages are a list");
            let help = format!("write [{}]", names.join(", "));
            findings.push(rules::WRONG_TYPE.at(node.span, message).help(help));
            return None;
        }
        let languages = one_or_list(word())
            .not_empty(
                "`documents.languages` names no language",
                "name one or two, as in [en, es], or leave the line out",
            )
            .read(node, at, findings)?;
        for (i, language) in languages.iter().enumerate() {
            let language: &Spanned<Language> = language;
            let mut before = languages.iter().take(i);
            if let Some(first) = before.find(|first| first.value == language.value) {
                findings.push(given_twice(language.value.tag(), language.span, first.span));
            }
        }
        Some(languages)
    }

    fn schema(&self) -> schema::Value {
        let one = word::<Language>().schema();
        let several = schema::list(one.clone()).with("minItems", 1).unlike();
        one_or(one, several)
    }
}

impl KindOutput for Languages {
    fn write(&self, value: &Self::Value) -> Tree {
        list(word()).write(value)
    }

    fn facts(&self, value: &Self::Value, of: &Of, to: &mut Collector<'_>) {
        for (language, variable) in value.iter().zip(["language", "second-language"]) {
            language.add(variable, of, to);
        }
    }
}

group! {
    /// How the papers are made.
    pub struct Documents written {
        /// The paper.
        paper: Option<Spanned<Paper>> = optional(
            word(),
            "that of the house style, or letter for US practice and a4 for metric.",
        ).fact("paper"),
        /// The languages of the papers, one or two; with two, a card has one on each side.
        languages: Vec<Spanned<Language>> =
            optional_list(Languages, "English.").resolved("language"),
        /// The language of your own texts, for programs that read papers aloud.
        text_language: Option<Spanned<Language>> =
            optional(word(), "that of each paper.").fact("text-language"),
        /// The depth-mark strips.
        strips: Option<Strips> = optional(nested(), "bare paper."),
        /// The pocket cards.
        card: Cards =
            optional_group("the smallest that hold their lines, printed on both sides."),
    }
}

group! {
    /// How strips are printed.
    pub struct Strips written {
        /// How the printed strip is used; sets its thickness.
        usage as "use": Spanned<StripUse> = required(word()).fact("strip-use"),
        /// The thickness of the strip as used, measured.
        thickness: Option<Written<Length>> = optional(
            length(&plausible::STOCK),
            "that of paper; required for a label or a laminate.",
        ).fact("strip-thickness"),
        /// What to do with a strip longer than the paper.
        long: Option<Spanned<LongStrips>> = optional(word(), "two pieces.").fact("long-strips"),
    }
}

/// More cards than one file should hold; it can be printed again.
const MOST_COPIES: u32 = 100;

/// How many cards, as many as one file holds.
fn copies(node: &Node, findings: &mut Vec<Finding>) -> Option<Spanned<u32>> {
    let copies = values::counting_number(&plausible::COPIES)(node, findings)?;
    if copies.value <= MOST_COPIES {
        return Some(copies);
    }
    let message = format!("{} cards are more than one file holds", copies.value);
    let help = format!("write up to {MOST_COPIES}, and print the file again");
    findings.push(rules::NOT_A_QUANTITY.at(copies.span, message).help(help));
    None
}

fn copies_schema() -> schema::Value {
    let number = counting_number(&plausible::COPIES).schema();
    number.with("maximum", MOST_COPIES)
}

group! {
    /// What the spec asks of the cards.
    pub struct Cards written {
        /// The size the cards are cut to.
        trim: Option<Spanned<CardTrim>> = optional(
            word(),
            "the smallest that holds the lines at readable sizes.",
        ).fact("card-trim"),
        /// How the back gets behind the front: printed on both sides and turned on an edge, or
        /// folded.
        flip: Option<Spanned<Flip>> = optional(word(), "long edge.").fact("card-flip"),
        /// Whether there is a place to punch a slot for a lanyard.
        lanyard: Option<Spanned<bool>> = optional(word(), "no.").fact("card-lanyard"),
        /// How many cards, up to 100.
        copies: Option<Spanned<u32>> =
            optional(single(copies, copies_schema), "as many as fit on a \
                sheet.").fact("card-copies"),
    }
}
