//! Typed spec → its YAML, the way back of `decode`: every field that the spec
//! gives, in the format's order and as it was written. Every group is taken
//! apart with no `..`, so that a field that is added and not written does not
//! compile. The author's comments and spacing are not in a spec, and are lost.

mod equipment;
mod fittings;
mod times;
mod tree;

use std::fmt::Display;

use super::card::{Cards, FLIPS, TRIMS};
use super::decode::{
    GOVERNS, LONG_STRIPS, PAPERS, PRACTICES, SERVICES, STATUSES, STRIP_USES, WIDER_RANGES,
};
use super::model::*;
use super::values::Written;
use super::words::YES_NO;
use crate::core::size::Size;
use crate::core::source::Spanned;
use crate::core::units::Range;
use crate::spec::language::Language;
use tree::Tree;

/// The spec as YAML.
pub fn write(spec: &Spec) -> String {
    let Spec {
        number,
        title,
        organization,
        status,
        service,
        practice,
        revisions,
        references,
        resin,
        pipe,
        measured,
        pipe_temperature,
        fittings,
        heater,
        tools,
        cleaning,
        span: _,
        cycles,
        cold_weather,
        least_wall,
        qualification,
        figures,
        documents,
    } = spec;
    let procedure = Group::new()
        .shown("number", [number])
        .shown("title", [title])
        .shown("organization", [organization])
        .word("status", [status], STATUSES)
        .word("service", [service], SERVICES)
        .word("practice", [practice], PRACTICES)
        .list("revisions", revisions, revision);
    let scope = Group::new()
        .shown("resin", [resin])
        .list("pipe", pipe, pipe_claim)
        .by_size("measured", measured, measured_pipe)
        .quantity("pipe_temperature", pipe_temperature);
    Group::new()
        .add("coldring", [value("1")])
        .group("procedure", procedure)
        .list("references", references, |text| value(&**text))
        .group("scope", scope)
        .group("fittings", fittings::fittings(fittings))
        .group("heater", equipment::heater(heater))
        .group("tools", equipment::tools(tools))
        .add("cleaning", cleaning.iter().map(equipment::cleaning))
        .group("cycles", times::cycles(cycles))
        .add("cold_weather", cold_weather.iter().map(times::cold_weather))
        .stated("least_wall", least_wall)
        .add(
            "qualification",
            qualification.iter().map(self::qualification),
        )
        .add("figures", figures.iter().map(self::figures))
        .some("documents", self::documents(documents))
        .tree()
        .document()
}

fn value(shown: impl Display) -> Tree {
    Tree::Scalar(shown.to_string())
}

/// The word of the format for a value; every value has one.
fn word<T: PartialEq>(of: &T, words: &[(&str, T)]) -> Tree {
    let named = words.iter().find(|(_, value)| value == of);
    value(named.map_or("", |(word, _)| word))
}

/// A group as it is put together; what the spec does not give is left out.
struct Group(Vec<(String, Tree)>);

impl Group {
    fn new() -> Self {
        Self(Vec::new())
    }

    fn add(mut self, field: &str, trees: impl IntoIterator<Item = Tree>) -> Self {
        let trees = trees.into_iter().map(|tree| (field.to_owned(), tree));
        self.0.extend(trees);
        self
    }

    fn group(self, field: &str, group: Group) -> Self {
        self.add(field, [group.tree()])
    }

    /// A group that is left out when nothing is in it.
    fn some(self, field: &str, group: Group) -> Self {
        if group.0.is_empty() {
            return self;
        }
        self.group(field, group)
    }

    fn shown<'t, T: Display + 't>(
        self,
        field: &str,
        shown: impl IntoIterator<Item = &'t Spanned<T>>,
    ) -> Self {
        self.add(field, shown.into_iter().map(|shown| value(&shown.value)))
    }

    fn word<'t, T: PartialEq + 't>(
        self,
        field: &str,
        of: impl IntoIterator<Item = &'t Spanned<T>>,
        words: &[(&str, T)],
    ) -> Self {
        self.add(field, of.into_iter().map(|of| word(&of.value, words)))
    }

    fn quantity<'t, T: 't>(
        self,
        field: &str,
        written: impl IntoIterator<Item = &'t Written<T>>,
    ) -> Self {
        self.add(
            field,
            written.into_iter().map(|written| value(&written.text)),
        )
    }

    /// A quantity, as a group where it has a source.
    fn stated<T>(self, field: &str, stated: &Option<Stated<T>>) -> Self {
        let stated = stated.iter().map(|Stated { value, source }| match source {
            None => self::value(&value.text),
            Some(_) => Group::new()
                .quantity("value", [value])
                .shown("source", source)
                .tree(),
        });
        self.add(field, stated)
    }

    /// A list, left out when it is empty.
    fn list<T>(self, field: &str, items: &[T], of: impl Fn(&T) -> Tree) -> Self {
        let list = (!items.is_empty()).then(|| Tree::List(items.iter().map(of).collect()));
        self.add(field, list)
    }

    /// A group by size, left out when it is empty.
    fn by_size<T>(
        self,
        field: &str,
        items: &[(Spanned<Size>, T)],
        of: impl Fn(&T) -> Tree,
    ) -> Self {
        let items = items
            .iter()
            .map(|(size, item)| (size.to_string(), of(item)));
        self.some(field, Group(items.collect()))
    }

    fn tree(self) -> Tree {
        Tree::Group(self.0)
    }
}

fn revision(revision: &Revision) -> Tree {
    let Revision {
        number,
        date,
        effective,
        change,
    } = revision;
    Group::new()
        .shown("revision", [number])
        .shown("date", [date])
        .shown("effective", effective)
        .shown("change", change)
        .tree()
}

fn pipe_claim(claim: &PipeClaim) -> Tree {
    let PipeClaim {
        sizes,
        wall,
        span: _,
    } = claim;
    let group = Group::new().list("sizes", sizes, |range| {
        let Range { least, most } = range.value;
        if least == most {
            value(least)
        } else {
            value(format!("{least} to {most}"))
        }
    });
    match wall {
        WallClaim::Ratios(ratios) => group.list("dimension_ratio", ratios, |ratio| {
            value(ratio.value.exact())
        }),
        WallClaim::Stated(walls) => group.list("wall", walls, |wall| value(&wall.text)),
        WallClaim::Both(ratio, wall) => group
            .add("dimension_ratio", [value(ratio.value.exact())])
            .add("wall", [value(&wall.text)]),
    }
    .tree()
}

fn measured_pipe(pipe: &MeasuredPipe) -> Tree {
    let MeasuredPipe {
        outside_diameter,
        out_of_roundness,
        source,
    } = pipe;
    Group::new()
        .quantity("outside_diameter", outside_diameter)
        .quantity("out_of_roundness", out_of_roundness)
        .shown("source", source)
        .tree()
}

fn qualification(qualification: &Qualification) -> Tree {
    let Qualification {
        rules,
        operator_qualification,
        records,
        record_files,
        range,
        span: _,
    } = qualification;
    let inline = records.iter().map(|record| {
        let RecordCitation {
            number,
            date,
            revision,
            span: _,
        } = record;
        Group::new()
            .shown("number", [number])
            .shown("date", [date])
            .shown("revision", [revision])
            .tree()
    });
    let files = record_files.iter().map(|file| value(&**file));
    let cited: Vec<_> = inline.chain(files).collect();
    Group::new()
        .list("rules", rules, |rule| value(&**rule))
        .shown("operator_qualification", operator_qualification)
        .add("records", (!cited.is_empty()).then_some(Tree::List(cited)))
        .list("range", range, |RangeRule { rule, source }| {
            Group::new()
                .word("rule", [rule], WIDER_RANGES)
                .shown("source", [source])
                .tree()
        })
        .tree()
}

fn figures(figures: &Figures) -> Tree {
    let Figures {
        confirmations,
        governing,
    } = figures;
    Group::new()
        .shown("confirmations", confirmations)
        .list("governing", governing, |(figure, governs)| {
            Group::new()
                .shown("figure", [figure])
                .word("governs", [governs], GOVERNS)
                .tree()
        })
        .tree()
}

fn documents(documents: &Documents) -> Group {
    let Documents {
        paper,
        languages,
        text_language,
        strips,
        card,
    } = documents;
    let strips = strips.iter().map(|strips| {
        let Strips {
            usage,
            thickness,
            long,
        } = strips;
        Group::new()
            .word("use", [usage], STRIP_USES)
            .quantity("thickness", thickness)
            .word("long", long, LONG_STRIPS)
            .tree()
    });
    let Cards {
        trim,
        flip,
        lanyard,
        copies,
    } = card;
    let card = Group::new()
        .word("trim", trim, TRIMS)
        .word("flip", flip, FLIPS)
        .word("lanyard", lanyard, YES_NO)
        .shown("copies", copies);
    Group::new()
        .word("paper", paper, PAPERS)
        .list("languages", languages, |of| word(&of.value, Language::TAGS))
        .word("text_language", text_language, Language::TAGS)
        .add("strips", strips)
        .some("card", card)
}
