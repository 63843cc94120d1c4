//! Procedure → a spec with every choice written out, as YAML.
//!
//! Published numbers stay comments. A spec takes a written time as the
//! organization's own, so a recalled number would come back as one that
//! somebody vouches for. The printed spec therefore resolves to the same
//! procedure, number by number with basis, source, and ID; tests hold that for
//! every demo and every rule case.

use super::rows::rows;
use crate::core::size::Size;
use crate::core::source::{Span, Spanned};
use crate::core::units::Range;
use crate::procedure::resolve::{Procedure, sizes};
use crate::published::{Basis, Library};
use crate::spec::language::Language;
use crate::spec::{self, LongStrips, Spec};

/// The spec with size ranges written out and with defaults for paper, language, and the
/// forms of strips and cards. It resolves to the same procedure.
pub(crate) fn explicit(procedure: &Procedure<'_>, limits: &Library) -> Spec {
    let mut spec = procedure.spec.clone();
    for claim in &mut spec.pipe {
        let each = sizes(claim, limits).into_iter();
        let each = each.map(|(size, span)| Spanned::new(Range::new(size, size), span));
        claim.sizes = each.collect();
    }
    let documents = &mut spec.documents;
    let paper = procedure.practice().paper;
    choose(&mut documents.paper, paper);
    if documents.languages.is_empty() {
        documents.languages = vec![unplaced(Language::En)];
    }
    if let Some(strips) = &mut documents.strips {
        choose(&mut strips.long, LongStrips::TwoPieces);
    }
    choose(&mut documents.card.trim, Default::default());
    choose(&mut documents.card.flip, Default::default());
    choose(&mut documents.card.lanyard, false);
    spec
}

fn choose<T>(choice: &mut Option<Spanned<T>>, chosen: T) {
    choice.get_or_insert(unplaced(chosen));
}

/// A value with no place in a text.
fn unplaced<T>(value: T) -> Spanned<T> {
    Spanned::new(value, Span::default())
}

fn has_depth(procedure: &Procedure<'_>, size: Size) -> bool {
    let mut sizes = procedure.sizes();
    sizes.any(|joint| joint.size == size && joint.depth.known().is_some())
}

/// The explicit spec as YAML, followed by comments with each number it does not state
/// itself.
pub fn yaml(procedure: &Procedure<'_>, limits: &Library) -> String {
    let mut text = spec::write(&explicit(procedure, limits));
    text.push_str(&format!(
        "\n# What the tables of this program, version {}, add to the spec. A figure from memory\n\
         # (recalled) is to be verified, so none is written as the organization's own.\n",
        limits.version()
    ));
    let mut of = String::new();
    for row in rows(procedure) {
        if matches!(row.basis, Basis::Measured | Basis::Organization) {
            continue;
        }
        let row_of = row.subject();
        if row_of != of {
            let no_joint = row.size.filter(|size| !has_depth(procedure, *size));
            let no_joint = no_joint.map_or("", |_| ": NO JOINT until its depth is measured");
            text.push_str(&format!("#\n# {row_of}{no_joint}\n"));
            of = row_of;
        }
        let (name, shown, standing) = (row.name, row.shown(procedure), row.weakest_basis.word());
        let from = row.id.as_deref().unwrap_or(&row.source);
        text.push_str(&format!("#   {name}: {shown} ({standing}; {from})\n"));
    }
    text
}
