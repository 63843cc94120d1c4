//! Fields: whether a value is needed and what holds without it, groups that a struct
//! has no part for, and how a value is compared.

use super::collections::{Nested, nested};
use super::parts::{Field, FieldOutput, Group, GroupOutput, Kind, KindOutput};
use crate::core::finding::Finding;
use crate::core::source::Span;
use crate::spec::fact::{Collector, Of, Stating};
use crate::spec::fields::Fields;
use crate::spec::schema::{Declared, may, must};
use crate::spec::tree::Tree;

/// The value of a field that is given.
fn given<K: Kind>(
    kind: &K,
    name: &'static str,
    fields: &mut Fields<'_>,
    findings: &mut Vec<Finding>,
) -> Option<K::Value> {
    let (node, at) = match kind.takes_nothing() {
        true => fields.take_at(name)?,
        false => fields.take_value(name, findings)?,
    };
    kind.read(node, at, findings)
}

fn declared<K: Kind>(kind: &K, name: &'static str, about: &str, without: &str) -> Declared {
    match without {
        "" => must(name, about, kind.schema()),
        without => may(name, about, without, kind.schema()),
    }
}

/// A field that must be given.
pub(crate) fn required<K: Kind>(kind: K) -> Required<K> {
    Required { kind }
}

/// See [`required`].
pub(crate) struct Required<K> {
    kind: K,
}

impl<K: Kind> Field for Required<K> {
    type Value = K::Value;

    fn read(
        &self,
        name: &'static str,
        fields: &mut Fields<'_>,
        findings: &mut Vec<Finding>,
    ) -> Option<K::Value> {
        fields.need(name, findings);
        given(&self.kind, name, fields, findings)
    }

    fn declare(&self, name: &'static str, about: &str, to: &mut Vec<Declared>) {
        to.push(declared(&self.kind, name, about, ""));
    }
}

impl<K: KindOutput> FieldOutput for Required<K> {
    fn write(&self, name: &'static str, value: &K::Value, to: &mut Vec<(String, Tree)>) {
        to.push((name.to_owned(), self.kind.write(value)));
    }

    fn facts(&self, value: &K::Value, of: &Of, to: &mut Collector<'_>) {
        self.kind.facts(value, of, to);
    }
}

/// A field that may be left out; `without` says what holds then.
pub(crate) fn optional<K: Kind>(kind: K, without: &'static str) -> Optional<K> {
    Optional {
        kind,
        without,
        needed: false,
        whole: false,
    }
}

/// A field that must be given, without which the rest of its group is read all the same.
pub(crate) fn required_or_none<K: Kind>(kind: K) -> Optional<K> {
    Optional {
        needed: true,
        ..optional(kind, "")
    }
}

/// See [`optional`].
pub(crate) struct Optional<K> {
    kind: K,
    without: &'static str,
    needed: bool,
    whole: bool,
}

impl<K> Optional<K> {
    /// The same without which there is no group, where it is given and cannot be read.
    pub(crate) fn whole(self) -> Self {
        Self {
            whole: true,
            ..self
        }
    }
}

impl<K: Kind> Field for Optional<K> {
    type Value = Option<K::Value>;

    fn read(
        &self,
        name: &'static str,
        fields: &mut Fields<'_>,
        findings: &mut Vec<Finding>,
    ) -> Option<Self::Value> {
        if self.needed {
            fields.need(name, findings);
        }
        let value = given(&self.kind, name, fields, findings);
        let lost = self.whole && value.is_none() && fields.has(name);
        (!lost).then_some(value)
    }

    fn declare(&self, name: &'static str, about: &str, to: &mut Vec<Declared>) {
        to.push(declared(&self.kind, name, about, self.without));
    }
}

impl<K: KindOutput> FieldOutput for Optional<K> {
    fn write(&self, name: &'static str, value: &Self::Value, to: &mut Vec<(String, Tree)>) {
        let tree = value.iter().map(|value| self.kind.write(value));
        to.extend(tree.map(|tree| (name.to_owned(), tree)));
    }

    fn facts(&self, value: &Self::Value, of: &Of, to: &mut Collector<'_>) {
        if let Some(value) = value {
            self.kind.facts(value, of, to);
        }
    }
}

/// A list, or a group by size, that is empty when it is left out.
pub(crate) fn optional_list<K: Kind>(kind: K, without: &'static str) -> OrEmpty<K> {
    OrEmpty { kind, without }
}

/// The same that must be given, if only as empty; what cannot be read leaves an empty one.
pub(crate) fn required_or_empty<K: Kind>(kind: K) -> OrEmpty<K> {
    OrEmpty { kind, without: "" }
}

/// See [`optional_list`].
pub(crate) struct OrEmpty<K> {
    kind: K,
    /// Empty where it must be given.
    without: &'static str,
}

impl<K: Kind<Value: Default>> Field for OrEmpty<K> {
    type Value = K::Value;

    fn read(
        &self,
        name: &'static str,
        fields: &mut Fields<'_>,
        findings: &mut Vec<Finding>,
    ) -> Option<K::Value> {
        if self.without.is_empty() {
            fields.need(name, findings);
        }
        Some(given(&self.kind, name, fields, findings).unwrap_or_default())
    }

    fn declare(&self, name: &'static str, about: &str, to: &mut Vec<Declared>) {
        to.push(declared(&self.kind, name, about, self.without));
    }
}

impl<K: KindOutput<Value: Default>> FieldOutput for OrEmpty<K> {
    fn write(&self, name: &'static str, value: &K::Value, to: &mut Vec<(String, Tree)>) {
        let tree = self.kind.write(value);
        if tree.has_parts() || self.without.is_empty() {
            to.push((name.to_owned(), tree));
        }
    }

    fn facts(&self, value: &K::Value, of: &Of, to: &mut Collector<'_>) {
        self.kind.facts(value, of, to);
    }
}

/// A group without needed fields, which is an empty one when it is left out.
pub(crate) fn optional_group<G: Group>(without: &'static str) -> OptionalGroup<G> {
    OptionalGroup {
        kind: nested(),
        without,
    }
}

/// See [`optional_group`].
pub(crate) struct OptionalGroup<G> {
    kind: Nested<G>,
    without: &'static str,
}

impl<G: Group> Field for OptionalGroup<G> {
    type Value = G;

    fn read(
        &self,
        name: &'static str,
        fields: &mut Fields<'_>,
        findings: &mut Vec<Finding>,
    ) -> Option<G> {
        let given = given(&self.kind, name, fields, findings);
        given.or_else(|| G::read(&mut fields.none(name), findings))
    }

    fn declare(&self, name: &'static str, about: &str, to: &mut Vec<Declared>) {
        to.push(declared(&self.kind, name, about, self.without));
    }
}

impl<G: GroupOutput> FieldOutput for OptionalGroup<G> {
    fn write(&self, name: &'static str, value: &G, to: &mut Vec<(String, Tree)>) {
        let tree = self.kind.write(value);
        if tree.has_parts() {
            to.push((name.to_owned(), tree));
        }
    }

    fn facts(&self, value: &G, of: &Of, to: &mut Collector<'_>) {
        value.facts(of, to);
    }
}

/// The place of the group.
pub(crate) fn place() -> Place {
    Place { present: None }
}

/// See [`place`].
pub(crate) struct Place {
    present: Option<&'static str>,
}

impl Place {
    /// That the group is there at all is a fact.
    pub(crate) fn present(self, variable: &'static str) -> Self {
        Self {
            present: Some(variable),
        }
    }
}

impl Field for Place {
    type Value = Span;

    fn read(
        &self,
        _name: &'static str,
        fields: &mut Fields<'_>,
        _findings: &mut Vec<Finding>,
    ) -> Option<Span> {
        Some(fields.span)
    }

    fn declare(&self, _name: &'static str, _about: &str, _to: &mut Vec<Declared>) {}
}

impl FieldOutput for Place {
    fn write(&self, _name: &'static str, _value: &Span, _to: &mut Vec<(String, Tree)>) {}

    fn facts(&self, value: &Span, of: &Of, to: &mut Collector<'_>) {
        if let Some(variable) = self.present {
            to.present(variable, of.clone(), *value);
        }
    }
}

/// A group of the file whose fields stand in the struct of the group around it.
#[derive(Debug)]
pub(crate) struct Inner {
    pub(crate) name: &'static str,
    /// What it is for.
    pub(crate) about: &'static str,
}

/// A field of a needed group inside this one.
pub(crate) fn within<F: Field>(group: &'static Inner, field: F) -> Within<F> {
    Within { group, field }
}

/// See [`within`].
pub(crate) struct Within<F> {
    group: &'static Inner,
    field: F,
}

impl<F: Field> Field for Within<F> {
    type Value = F::Value;

    fn read(
        &self,
        name: &'static str,
        fields: &mut Fields<'_>,
        findings: &mut Vec<Finding>,
    ) -> Option<F::Value> {
        let fields = fields.inner(self.group.name, findings)?;
        self.field.read(name, fields, findings)
    }

    fn declare(&self, name: &'static str, about: &str, to: &mut Vec<Declared>) {
        let Inner {
            name: group,
            about: of_group,
        } = *self.group;
        if to.last().is_none_or(|last| last.name != group) {
            to.push(Declared::group(group, of_group));
        }
        if let Some(last) = to.last_mut() {
            self.field.declare(name, about, &mut last.fields);
        }
    }
}

impl<F: FieldOutput> FieldOutput for Within<F> {
    fn write(&self, name: &'static str, value: &F::Value, to: &mut Vec<(String, Tree)>) {
        let group = self.group.name;
        if to.last().is_none_or(|(last, _)| last != group) {
            to.push((group.to_owned(), Tree::Group(Vec::new())));
        }
        if let Some((_, Tree::Group(entries))) = to.last_mut() {
            self.field.write(name, value, entries);
        }
    }

    fn facts(&self, value: &F::Value, of: &Of, to: &mut Collector<'_>) {
        self.field.facts(value, of, to);
    }
}

/// A field whose value is held against something more; without it there is no group.
pub(crate) fn checked<F: Field>(field: F, check: Check<F::Value>) -> Checked<F> {
    Checked { field, check }
}

/// Whether a value will do; the place is that of its group.
type Check<T> = fn(&T, Span, &mut Vec<Finding>) -> bool;

/// See [`checked`].
pub(crate) struct Checked<F: Field> {
    field: F,
    check: Check<F::Value>,
}

impl<F: Field> Field for Checked<F> {
    type Value = F::Value;

    fn read(
        &self,
        name: &'static str,
        fields: &mut Fields<'_>,
        findings: &mut Vec<Finding>,
    ) -> Option<F::Value> {
        let value = self.field.read(name, fields, findings)?;
        (self.check)(&value, fields.span, findings).then_some(value)
    }

    fn declare(&self, name: &'static str, about: &str, to: &mut Vec<Declared>) {
        self.field.declare(name, about, to);
    }
}

impl<F: FieldOutput> FieldOutput for Checked<F> {
    fn write(&self, name: &'static str, value: &F::Value, to: &mut Vec<(String, Tree)>) {
        self.field.write(name, value, to);
    }

    fn facts(&self, value: &F::Value, of: &Of, to: &mut Collector<'_>) {
        self.field.facts(value, of, to);
    }
}

/// How a change of a field is weighed.
pub(crate) trait Weighed: Field {
    /// The value is a fact, under this variable of the table `essential-variables`.
    fn fact(self, variable: &'static str) -> Compared<Self> {
        Compared {
            field: self,
            variable,
        }
    }

    /// The value is compared as the procedure resolves it, under this variable.
    fn resolved(self, variable: &'static str) -> Resolved<Self> {
        Resolved {
            field: self,
            variable,
        }
    }
}

impl<F: Field> Weighed for F {}

/// See [`Weighed::fact`].
pub(crate) struct Compared<F> {
    field: F,
    variable: &'static str,
}

/// See [`Weighed::resolved`].
pub(crate) struct Resolved<F> {
    field: F,
    variable: &'static str,
}

macro_rules! weighed {
    ($Field:ident) => {
        impl<F: Field> Field for $Field<F> {
            type Value = F::Value;

            fn read(
                &self,
                name: &'static str,
                fields: &mut Fields<'_>,
                findings: &mut Vec<Finding>,
            ) -> Option<F::Value> {
                self.field.read(name, fields, findings)
            }

            fn declare(&self, name: &'static str, about: &str, to: &mut Vec<Declared>) {
                self.field.declare(name, about, to);
                if let Some(declared) = to.last_mut() {
                    declared.variable = Some(self.variable);
                }
            }
        }
    };
}
weighed!(Compared);
weighed!(Resolved);

impl<F: FieldOutput<Value: Stating>> FieldOutput for Compared<F> {
    fn write(&self, name: &'static str, value: &F::Value, to: &mut Vec<(String, Tree)>) {
        self.field.write(name, value, to);
    }

    fn facts(&self, value: &F::Value, of: &Of, to: &mut Collector<'_>) {
        value.add(self.variable, of, to);
        self.field.facts(value, of, to);
    }
}

impl<F: FieldOutput> FieldOutput for Resolved<F> {
    fn write(&self, name: &'static str, value: &F::Value, to: &mut Vec<(String, Tree)>) {
        self.field.write(name, value, to);
    }

    fn facts(&self, value: &F::Value, of: &Of, to: &mut Collector<'_>) {
        self.field.facts(value, of, to);
    }
}
