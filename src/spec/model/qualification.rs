//! How a procedure is proven, and whose reading of a figure holds. Records are read by
//! hand: a list mixes paths of files and records that are cited without their file,
//! which the rest of the program keeps apart.

use chrono::NaiveDate;

use crate::core::finding::Finding;
use crate::core::source::{Span, Spanned};
use crate::spec::declare::kinds::{counting_number, date, path, source, text_like, word};
use crate::spec::declare::{
    Field, FieldOutput, Kind as _, KindOutput as _, group, list, nested, one_or_list, optional,
    optional_list, place, required,
};
use crate::spec::fact::{Collector, Of, Stating};
use crate::spec::fields::{At, Fields, given_twice};
use crate::spec::node::{Node, NodeKind};
use crate::spec::schema::{self, Declared, either, may};
use crate::spec::tree::Tree;
use crate::spec::words::{Word, name};
use crate::spec::written::Scalar as _;
use crate::spec::{fields, plausible, values};

group! {
    /// A record that is said to prove the procedure.
    pub struct RecordCitation written {
        /// The number of the record.
        number: Spanned<String> = required(text_like("PQ-7")),
        /// The date of the record.
        date: Spanned<NaiveDate> = required(date()),
        /// The revision of the procedure that the joints were made by.
        revision: Spanned<u32> = required(counting_number(&plausible::REVISION)),
        /// The place of the citation.
        span: Span = place(),
    }
}

/// How the range that test joints support is taken wider than by default.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WiderRange {
    /// Down to any size, not only to the smallest tested.
    SmallerSizes,
    /// Down to any wall, not only to the thinnest tested.
    ThinnerWalls,
    /// On pipe of any temperature the procedure allows, not only between the
    /// coldest and the hottest tested.
    OtherTemperatures,
}

impl Word for WiderRange {
    const WORDS: &'static [(&'static str, Self)] = &[
        ("smaller sizes too", WiderRange::SmallerSizes),
        ("thinner walls too", WiderRange::ThinnerWalls),
        ("other pipe temperatures too", WiderRange::OtherTemperatures),
    ];
}

group! {
    /// A rule for a wider range, and where the author has it from.
    pub struct RangeRule written {
        /// What the test joints support beyond the sizes, walls and pipe temperatures tested.
        rule: Spanned<WiderRange> = required(word()),
        /// Where that rule is written.
        source: Spanned<String> = required(source()).fact("range-rule-source"),
    }
}

impl Stating for Vec<RangeRule> {
    fn add(&self, variable: &'static str, _of: &Of, to: &mut Collector<'_>) {
        for RangeRule { rule, .. } in self {
            to.present(variable, name(&rule.value), rule.span);
        }
    }
}

const NO_RECORDS: &str = "none, as in a draft; a qualified procedure needs one.";

/// The records that are cited without their file; `record_files` are the others.
struct Cited;

impl Field for Cited {
    type Value = Vec<RecordCitation>;

    fn read(
        &self,
        _name: &'static str,
        fields: &mut Fields<'_>,
        findings: &mut Vec<Finding>,
    ) -> Option<Self::Value> {
        let Some((node, at)) = fields.take_value("records", findings) else {
            return Some(Vec::new());
        };
        let cited = fields::list(node, findings, |node, findings| {
            let key = node.span;
            let is_path = matches!(node.kind, NodeKind::Scalar(_));
            (!is_path).then(|| nested().read(node, At { key, ..at }, findings))?
        });
        Some(cited.unwrap_or_default())
    }

    fn declare(&self, _name: &'static str, _about: &str, to: &mut Vec<Declared>) {
        let cited = nested::<RecordCitation>().schema();
        let file = path("records/PQ-7.yaml").schema();
        let record = either([file, cited]).told(
            "The path of its file from this file's own folder, such as records/PQ-7.yaml; or \
            number, date and revision of a record without its file, which is not evaluated.",
        );
        let about = "The records of test joints that prove the procedure.";
        to.push(may("records", about, NO_RECORDS, schema::list(record)));
    }
}

/// Compared with those of files, as the procedure cites them.
impl FieldOutput for Cited {
    fn write(&self, _name: &'static str, value: &Self::Value, to: &mut Vec<(String, Tree)>) {
        if !value.is_empty() {
            to.push(("records".to_owned(), list(nested()).write(value)));
        }
    }

    fn facts(&self, _value: &Self::Value, _of: &Of, _to: &mut Collector<'_>) {}
}

/// The paths in the same list.
struct Files;

impl Field for Files {
    type Value = Vec<Spanned<String>>;

    fn read(
        &self,
        _name: &'static str,
        fields: &mut Fields<'_>,
        findings: &mut Vec<Finding>,
    ) -> Option<Self::Value> {
        let mut files: Vec<Spanned<String>> = Vec::new();
        let items = match fields.take("records").map(|(node, _)| &node.kind) {
            Some(NodeKind::List(items)) => items.as_slice(),
            _ => &[],
        };
        let is_path = |node: &&Node| matches!(node.kind, NodeKind::Scalar(_));
        for node in items.iter().filter(is_path) {
            let Some(path) = values::text(node, findings) else {
                continue;
            };
            match files.iter().find(|first| first.value == path.value) {
                Some(first) => findings.push(given_twice(&path, path.span, first.span)),
                None => files.push(path),
            }
        }
        Some(files)
    }

    fn declare(&self, _name: &'static str, _about: &str, _to: &mut Vec<Declared>) {}
}

impl FieldOutput for Files {
    fn write(&self, _name: &'static str, value: &Self::Value, to: &mut Vec<(String, Tree)>) {
        let paths = value.iter().map(|path| path.tree());
        match to.last_mut() {
            Some((name, Tree::List(items))) if name == "records" => items.extend(paths),
            _ if value.is_empty() => {}
            _ => to.push(("records".to_owned(), Tree::List(paths.collect()))),
        }
    }

    fn facts(&self, value: &Self::Value, of: &Of, to: &mut Collector<'_>) {
        value.add("record-file", of, to);
    }
}

group! {
    /// How procedure and fusers are qualified.
    pub struct Qualification written {
        /// The rules you qualify under, printed as they are written.
        rules: Vec<Spanned<String>> = optional_list(
            one_or_list(text_like("49 CFR 192.283")),
            "none are named; a gas procedure needs them.",
        ).fact("qualification-rule"),
        /// How your program covers the people who join.
        operator_qualification: Option<Spanned<String>> = optional(
            text_like("OQ plan, covered task 12"),
            "the papers say nothing; a gas procedure needs it.",
        ).fact("operator-qualification"),
        /// Records that prove the procedure, cited without their file.
        records: Vec<RecordCitation> = Cited.resolved("record"),
        /// Files of records that prove the procedure.
        record_files: Vec<Spanned<String>> = Files,
        /// Rules that widen what the records support.
        range: Vec<RangeRule> = optional_list(
            one_or_list(nested()).of(|range: &RangeRule, _| Of::from(name(&range.rule.value))),
            "from the smallest to the largest size tested, down to the thinnest wall tested, and \
             from the coldest to the hottest pipe tested.",
        ).fact("range-rule"),
        /// The place of the group.
        span: Span = place(),
    }
}

/// Which of two readings of a figure the author works by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Governs {
    /// What was read in the edition on hand.
    Edition,
    /// What the tables of this program give.
    Tables,
}

impl Word for Governs {
    const WORDS: &'static [(&'static str, Self)] =
        &[("edition", Governs::Edition), ("tables", Governs::Tables)];
}

group! {
    /// A figure that was read otherwise, and which reading governs.
    pub struct Governing written {
        /// The id of the figure, as coldring limits lists it.
        figure: Spanned<String> = required(text_like("us-cycles:high-density:3/4-IPS:heat")),
        /// Which governs: the edition or the tables.
        governs: Spanned<Governs> = required(word()).fact("governing"),
    }
}

group! {
    /// How the figures of the tables were confirmed.
    pub struct Figures written {
        /// The file that says who read what in which edition; coldring confirm SPEC --file
        /// starts one.
        confirmations: Option<Spanned<String>> =
            optional(path("read.yaml"), "no figure is confirmed.").fact("confirmations"),
        /// Figures that the edition gives differently, and which one governs.
        governing: Vec<Governing> = optional_list(
            list(nested()).of(|of: &Governing, _| Of::from(of.figure.value.as_str())),
            "a figure that the edition gives differently is an error.",
        ),
    }
}
