//! What a declaration is made of: kinds of value, fields and groups; and whole files.

use crate::core::finding::Finding;
use crate::spec::fact::{Collector, Of};
use crate::spec::fields::{At, Fields};
use crate::spec::node::Node;
use crate::spec::schema::{self, Declared, must};
use crate::spec::tree::Tree;

/// A kind of value.
pub(crate) trait Kind {
    /// What it is read into.
    type Value;

    /// Reads it; `None` with a finding that says why not.
    fn read(&self, node: &Node, at: At<'_>, findings: &mut Vec<Finding>) -> Option<Self::Value>;

    /// What may be written, and how, in words.
    fn schema(&self) -> schema::Value;

    /// Whether `field:` with nothing after it is a value.
    fn takes_nothing(&self) -> bool {
        false
    }
}

/// A kind of value that is written back and compared.
pub(crate) trait KindOutput: Kind {
    /// The value as YAML.
    fn write(&self, value: &Self::Value) -> Tree;

    /// The facts inside it, which are stated of `of`.
    fn facts(&self, _value: &Self::Value, _of: &Of, _to: &mut Collector<'_>) {}
}

/// A field: a kind of value, and what holds when it is left out.
pub(crate) trait Field: Sized {
    /// What it is read into.
    type Value;

    /// Reads it; `None` where there can be no group without it.
    fn read(
        &self,
        name: &'static str,
        fields: &mut Fields<'_>,
        findings: &mut Vec<Finding>,
    ) -> Option<Self::Value>;

    /// Adds it to the declarations of its group.
    fn declare(&self, name: &'static str, about: &str, to: &mut Vec<Declared>);
}

/// A field that is written back and compared.
pub(crate) trait FieldOutput: Field {
    /// Adds it to the YAML of its group.
    fn write(&self, name: &'static str, value: &Self::Value, to: &mut Vec<(String, Tree)>);

    /// Adds its facts.
    fn facts(&self, value: &Self::Value, of: &Of, to: &mut Collector<'_>);
}

pub(crate) trait Group: Sized {
    /// Reads its fields; whoever opened them reports what is left over.
    fn read(fields: &mut Fields<'_>, findings: &mut Vec<Finding>) -> Option<Self>;

    /// Adds the declarations of its fields.
    fn declare(to: &mut Vec<Declared>);

    fn schema() -> schema::Value {
        let mut declared = Vec::new();
        Self::declare(&mut declared);
        schema::group(declared)
    }
}

/// A group that is written back and compared.
pub(crate) trait GroupOutput: Group {
    /// Its fields as YAML, in the order of their declarations.
    fn write(&self) -> Vec<(String, Tree)>;

    /// Adds its facts.
    fn facts(&self, of: &Of, to: &mut Collector<'_>);
}

/// Reads a whole file whose format is numbered in `format`; `subject` is what the file
/// is, with its verb.
pub(crate) fn read_top<G: Group>(
    mut top: Fields<'_>,
    (format, subject): (&'static str, &str),
    findings: &mut Vec<Finding>,
) -> Option<G> {
    top.format_one(format, subject, findings);
    let group = G::read(&mut top, findings);
    top.finish(findings);
    group
}

/// The schema of a whole file whose format is numbered in `format`.
pub(crate) fn file_schema<G: Group>(format: &'static str) -> schema::Value {
    let about = "The number of the format: write 1.";
    let mut declared = vec![must(format, about, schema::values::format_one())];
    G::declare(&mut declared);
    schema::group(declared)
}

/// Ties a field to the type that its struct has.
pub(crate) fn typed<T, F: Field<Value = T>>(field: F) -> F {
    field
}
