//! The pipe that a procedure covers. A claim of pipe is read by hand: it gives ratios or
//! walls, and both only of one size.

use crate::core::budget;
use crate::core::finding::Finding;
use crate::core::size::Size;
use crate::core::source::{Span, Spanned};
use crate::core::units::{DimensionRatio, Length, Range};
use crate::spec::declare::kinds::{dimension_ratio, length, size_range, source};
use crate::spec::declare::{
    Field, Group, GroupOutput, KindOutput as _, group, list, one_or_list, optional, required,
};
use crate::spec::fact::{Collector, Of};
use crate::spec::fields::Fields;
use crate::spec::schema::{self, Declared};
use crate::spec::tree::Tree;
use crate::spec::written::Written;
use crate::spec::{plausible, rules};
use serde_json::json;

/// How the wall of a group of pipes is stated.
#[derive(Debug, Clone)]
pub enum WallClaim {
    /// By dimension ratio.
    Ratios(Vec<Spanned<DimensionRatio>>),
    /// By minimum wall, as tubing is sold.
    Stated(Vec<Written<Length>>),
    /// One size by its ratio, with the minimum wall that its print line gives.
    Both(Spanned<DimensionRatio>, Written<Length>),
}

/// Sizes and walls the procedure claims.
#[derive(Debug, Clone)]
pub struct PipeClaim {
    /// Sizes and ranges of sizes, each in one system.
    pub sizes: Vec<Spanned<Range<Size>>>,
    /// Their walls.
    pub wall: WallClaim,
    /// The place of the claim.
    pub span: Span,
}

fn sizes() -> impl Field<Value = Vec<Spanned<Range<Size>>>> {
    required(one_or_list(size_range()).not_empty(
        "`scope.pipe.sizes` names no size",
        "name one or more, as in [3/4 IPS, 1 IPS]",
    ))
}

fn ratios() -> impl Field<Value = Option<Vec<Spanned<DimensionRatio>>>> {
    let ratios = one_or_list(dimension_ratio()).not_empty(
        "`scope.pipe.dimension_ratio` is empty",
        "read it from the print line: dimension_ratio: 11",
    );
    optional(ratios, "wall is required.")
}

fn walls() -> impl Field<Value = Option<Vec<Written<Length>>>> {
    let walls = one_or_list(length(&plausible::WALL)).not_empty(
        "`scope.pipe.wall` is empty",
        "write the wall of the pipe, or its dimension ratio instead",
    );
    optional(walls, "dimension_ratio is required.")
}

impl Group for PipeClaim {
    fn read(fields: &mut Fields<'_>, findings: &mut Vec<Finding>) -> Option<Self> {
        let span = fields.span;
        let sizes = sizes().read("sizes", fields, findings);
        let ratios = ratios().read("dimension_ratio", fields, findings)?;
        let walls = walls().read("wall", fields, findings)?;
        let wall = match (ratios, walls) {
            (Some(ratios), Some(walls)) => both(sizes.as_deref(), &ratios, &walls).or_else(|| {
                findings.push(together(span));
                None
            }),
            (Some(ratios), None) => Some(WallClaim::Ratios(ratios)),
            (None, Some(walls)) => Some(WallClaim::Stated(walls)),
            (None, None) => {
                if !fields.has("dimension_ratio") && !fields.has("wall") {
                    findings.push(neither(span));
                }
                None
            }
        };
        Some(Self {
            sizes: sizes?,
            wall: wall?,
            span,
        })
    }

    fn declare(to: &mut Vec<Declared>) {
        sizes().declare("sizes", "The nominal sizes.", to);
        let ratio = "Outside diameter to minimum wall (DR, SDR), from the print line.";
        ratios().declare("dimension_ratio", ratio, to);
        let wall = "The minimum wall, where the print line gives that and no ratio, as on \
            tubing; or with a single size and ratio, where no wall is published.";
        walls().declare("wall", wall, to);
    }

    fn schema() -> schema::Value {
        let wanted = "wanted here: dimension_ratio or wall";
        let one = |name| json!({"required": [name], "errorMessage": wanted});
        let together = "a ratio with its wall is for one size: give each size an entry of its own";
        let alone = json!({"maxItems": 1, "errorMessage": together});
        let alone = json!({"sizes": alone, "dimension_ratio": alone, "wall": alone});
        let mut declared = Vec::new();
        Self::declare(&mut declared);
        schema::group(declared)
            .with("anyOf", json!([one("dimension_ratio"), one("wall")]))
            .with("if", json!({"required": ["dimension_ratio", "wall"]}))
            .with("then", json!({"properties": alone}))
    }
}

/// Compared as the sizes and walls resolve.
impl GroupOutput for PipeClaim {
    fn write(&self) -> Vec<(String, Tree)> {
        let ratio = || dimension_ratio();
        let wall = || length(&plausible::WALL);
        let walls = match &self.wall {
            WallClaim::Ratios(ratios) => vec![("dimension_ratio", list(ratio()).write(ratios))],
            WallClaim::Stated(walls) => vec![("wall", list(wall()).write(walls))],
            WallClaim::Both(one, its_wall) => vec![
                ("dimension_ratio", ratio().write(one)),
                ("wall", wall().write(its_wall)),
            ],
        };
        let sizes = ("sizes", list(size_range()).write(&self.sizes));
        let fields = [sizes].into_iter().chain(walls);
        fields.map(|(name, tree)| (name.to_owned(), tree)).collect()
    }

    fn facts(&self, _of: &Of, _to: &mut Collector<'_>) {}
}

/// A ratio with its wall, which belong to one size alone.
fn both(
    sizes: Option<&[Spanned<Range<Size>>]>,
    ratios: &[Spanned<DimensionRatio>],
    walls: &[Written<Length>],
) -> Option<WallClaim> {
    // Sizes that could not be read are reported as that.
    let one_size =
        sizes.is_none_or(|sizes| matches!(sizes, [size] if size.value.least == size.value.most));
    match (ratios, walls) {
        ([ratio], [wall]) if one_size => Some(WallClaim::Both(ratio.clone(), wall.clone())),
        _ => None,
    }
}

fn together(span: Span) -> Finding {
    rules::WRONG_TYPE
        .at(
            span,
            "the pipe gives `dimension_ratio` and `wall` together for more than one size, ratio or wall",
        )
        .help("give each size an entry of its own, with its one ratio and its one wall: {sizes: 25 mm, dimension_ratio: 7.4, wall: … mm}")
}

fn neither(span: Span) -> Finding {
    rules::MISSING_FIELD
        .at(span, "the pipe gives neither `dimension_ratio` nor `wall`")
        .help("read it from the print line: dimension_ratio: 11, or wall: 0.090 in for tubing")
}

/// Whether sizes and walls come to as many pairs as a spec may have; `at` is the scope.
#[expect(
    clippy::ptr_arg,
    reason = "it checks the value of a field, which is a Vec"
)]
pub(super) fn few_enough(claims: &Vec<PipeClaim>, at: Span, findings: &mut Vec<Finding>) -> bool {
    let pairs: usize = claims.iter().map(pairs_at_most).sum();
    let most = budget::PIPES;
    if pairs <= most {
        return true;
    }
    let said =
        format!("sizes and walls come to as many as {pairs} pairs, and a spec may have {most}");
    let help = "claim the walls of pipe you have; give other sizes a spec of their own";
    findings.push(rules::LIST_TOO_LONG.at(at, said).help(help));
    false
}

/// How many pairs of a size and a wall a claim comes to, at the most.
fn pairs_at_most(claim: &PipeClaim) -> usize {
    let sizes = claim
        .sizes
        .iter()
        .map(|range| match range.value.least == range.value.most {
            true => 1,
            false => budget::SIZES_OF_A_RANGE,
        });
    let walls = match &claim.wall {
        WallClaim::Ratios(ratios) => ratios.len(),
        WallClaim::Stated(walls) => walls.len(),
        WallClaim::Both(..) => 1,
    };
    sizes.sum::<usize>().saturating_mul(walls)
}

group! {
    /// A pipe of the lot on hand, measured.
    pub struct MeasuredPipe written {
        /// The mean outside diameter, by pi tape.
        outside_diameter: Option<Written<Length>> =
            optional(length(&plausible::DIAMETER), "the table's.").fact("measured-diameter"),
        /// Largest minus smallest diameter at one cross section.
        out_of_roundness: Option<Written<Length>> = optional(
            length(&plausible::OUT_OF_ROUNDNESS),
            "the table's limit.",
        ).fact("measured-roundness"),
        /// Who measured it with what, and when.
        source: Option<Spanned<String>> =
            optional(source(), "check reports it.").fact("measured-pipe-source"),
    }
}
