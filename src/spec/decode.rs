//! The text of a spec → the typed spec, and back.

use super::declare::{GroupOutput, file_schema, read_top};
use super::fields::Fields;
use super::model::Spec;
use super::node::NodeKind;
use super::out_of_place::name_places;
use super::recovery::read_file;
use super::rules;
use super::tree::Tree;
use crate::core::budget;
use crate::core::finding::{Finding, Severity};
use crate::core::source::{Role, Span};

/// The field with the number of the format.
pub(crate) const FORMAT: &str = "coldring";

/// Reads a spec.
///
/// `None` when an error leaves no spec to go on with; the findings then hold
/// at least that error. A spec with other errors is still returned, so that
/// the engineering is checked too.
pub fn decode(text: &str) -> (Option<Spec>, Vec<Finding>) {
    let read = read_file(text, &budget::SPEC, |root, findings| {
        if matches!(root.kind, NodeKind::Null) {
            findings.push(
                rules::SPEC_EMPTY
                    .about_file("the file holds no procedure")
                    .help("start from `coldring new FILE`"),
            );
            return None;
        }
        let spec = Fields::open(root, "", Span::default(), findings)
            .and_then(|top| read_top::<Spec>(top, (FORMAT, "the spec is"), findings));
        debug_assert!(
            spec.is_some() || findings.iter().any(|f| f.severity() == Severity::Error),
            "a spec is only given up with an error that says why"
        );
        spec
    });
    let (spec, mut findings) = read.unwrap_or_else(|finding| (None, vec![*finding]));
    name_places(&mut findings, || {
        let fields = file_schema::<Spec>(FORMAT).fields.into_iter();
        fields.map(|listed| listed.path).collect()
    });
    (spec, findings)
}

/// The spec as YAML: every field that it gives, in the format's order and as it was
/// written. The author's comments and spacing are not in a spec, and are lost.
pub(crate) fn write(spec: &Spec) -> String {
    let mut fields = vec![(FORMAT.to_owned(), Tree::Scalar("1".to_owned()))];
    fields.extend(spec.write());
    Tree::Group(fields).document()
}

/// The files that a spec names, each with its role and its path as written.
pub fn included(text: &str) -> Vec<(Role, String)> {
    let (spec, _) = decode(text);
    let Some(spec) = spec else {
        return Vec::new();
    };
    let confirmations = spec.figures.and_then(|figures| figures.confirmations);
    let records = spec.qualification.map(|q| q.record_files);
    let confirmations = confirmations.map(|path| (Role::Confirmations, path.value));
    let records = records.into_iter().flatten();
    let records = records.map(|path| (Role::Record, path.value));
    confirmations.into_iter().chain(records).collect()
}
