//! The hand tools on the truck. Cold rings are read by hand: a list of sizes, or each
//! size with its ring. So is a depth: a length, or that it is still to be measured.

use crate::core::finding::Finding;
use crate::core::size::Size;
use crate::core::source::{Span, Spanned};
use crate::core::units::{Length, Range};
use crate::spec::declare::kinds::{length, single, size, size_range, source, text_like};
use crate::spec::declare::{
    Field as _, FieldOutput as _, Kind, KindOutput, by_size, group, list, nested, one_or_list,
    optional, optional_list, place, required,
};
use crate::spec::fact::{Collector, Of, Stating, Value};
use crate::spec::fields::{At, Fields};
use crate::spec::node::{Node, NodeKind};
use crate::spec::schema::{self, either, must};
use crate::spec::tree::Tree;
use crate::spec::words::folded;
use crate::spec::written::{Scalar, Written};
use crate::spec::{plausible, rules, values};

/// How a depth that is still to be measured is written.
pub const TO_BE_MEASURED: &str = "to be measured";

/// A depth that was measured, or that is still to be.
#[derive(Debug, Clone)]
pub enum GaugeDepth {
    /// Measured, or taken from the manufacturer.
    Known(Written<Length>),
    /// `to be measured`: draft only.
    ToBeMeasured(Span),
}

impl Scalar for GaugeDepth {
    fn scalar(&self) -> String {
        match self {
            GaugeDepth::Known(depth) => depth.scalar(),
            GaugeDepth::ToBeMeasured(_) => TO_BE_MEASURED.to_owned(),
        }
    }
}

impl Stating for GaugeDepth {
    fn add(&self, variable: &'static str, of: &Of, to: &mut Collector<'_>) {
        match self {
            GaugeDepth::Known(depth) => depth.add(variable, of, to),
            GaugeDepth::ToBeMeasured(span) => {
                let shown = to.at(*span);
                let value = Value::Word(shown.to_owned());
                to.add(variable, of.clone(), value, shown, *span);
            }
        }
    }
}

/// A depth, or that it is still to be measured.
fn depth() -> impl KindOutput<Value = GaugeDepth> {
    let read = |node: &Node, findings: &mut Vec<Finding>| match &node.kind {
        NodeKind::Scalar(text) if folded(text) == folded(TO_BE_MEASURED) => {
            Some(GaugeDepth::ToBeMeasured(node.span))
        }
        _ => values::length(&plausible::DEPTH)(node, findings).map(GaugeDepth::Known),
    };
    single(read, || schema::values::depth(TO_BE_MEASURED))
}

/// The insertion depth of one size, whose facts are those of a gauge or of a fitting.
pub(crate) fn insertion_depth(variables: [&'static str; 3]) -> impl KindOutput<Value = DepthGauge> {
    Weighing { variables }
}

struct Weighing {
    variables: [&'static str; 3],
}

impl Kind for Weighing {
    type Value = DepthGauge;

    fn read(&self, node: &Node, at: At<'_>, findings: &mut Vec<Finding>) -> Option<DepthGauge> {
        nested().read(node, at, findings)
    }

    fn schema(&self) -> schema::Value {
        let mut schema = nested::<DepthGauge>().schema();
        for (field, variable) in schema.fields.iter_mut().zip(self.variables) {
            field.variable = Some(variable);
        }
        schema
    }

    fn takes_nothing(&self) -> bool {
        true
    }
}

impl KindOutput for Weighing {
    fn write(&self, value: &DepthGauge) -> Tree {
        nested().write(value)
    }

    fn facts(&self, value: &DepthGauge, of: &Of, to: &mut Collector<'_>) {
        let [depth, id, source] = self.variables;
        value.depth.add(depth, of, to);
        value.id.add(id, of, to);
        value.source.add(source, of, to);
    }
}

group! {
    /// A depth gauge for one size.
    pub struct DepthGauge written {
        /// From the stop of the gauge to the face that sets the cold ring, measured on the
        /// gauge. It is never taken from a table; a size that is still to be measured gets no
        /// depth mark.
        depth: GaugeDepth = required(depth()),
        /// The mark on the gauge.
        id: Option<Spanned<String>> = optional(text_like("G-1"), "the papers name none."),
        /// How the depth was measured, and when.
        source: Option<Spanned<String>> = optional(source(), "check reports it."),
    }
}

group! {
    /// A cold ring for one size.
    pub struct ColdRing written {
        /// Its width along the pipe.
        width: Option<Written<Length>> = optional(
            length(&plausible::RING_WIDTH),
            "whether it fits on a spigot is not checked.",
        ).fact("cold-ring-width"),
        /// The larger ring this insert clamps into.
        insert_in: Option<Spanned<Size>> = optional(
            size(),
            "a ring of its own.",
        ).fact("cold-ring-insert"),
    }
}

group! {
    /// A cutter and the sizes it cuts.
    pub struct Cutter written {
        /// What it is called on the truck, or its mark.
        name: Option<Spanned<String>> =
            optional(text_like("tube shears"), "the papers give only its sizes.")
                .fact("cutter-name"),
        /// The sizes it cuts, as a list or as a range.
        sizes: Vec<Spanned<Range<Size>>> = required(one_or_list(size_range()).not_empty(
            "a cutter names no size",
            "name the sizes it cuts, as in {sizes: 3/4 to 1 IPS}",
        )).fact("cutter-sizes"),
    }
}

impl Cutter {
    /// The sizes as the papers print them: `3/4 IPS to 1 IPS, 2 IPS`.
    pub(crate) fn written(&self) -> String {
        let ranges = self.sizes.iter().map(|range| {
            let (least, most) = (range.value.least, range.value.most);
            match least == most {
                true => least.to_string(),
                false => format!("{least} to {most}"),
            }
        });
        ranges.collect::<Vec<_>>().join(", ")
    }

    /// Whether it cuts a size.
    pub(crate) fn cuts(&self, size: Size) -> bool {
        self.sizes.iter().any(|range| {
            let (least, most) = (range.value.least, range.value.most);
            size.system() == least.system() && least <= size && size <= most
        })
    }
}

/// A list of sizes, or each size with its ring.
struct Rings;

impl Kind for Rings {
    type Value = Vec<(Spanned<Size>, ColdRing)>;

    fn read(&self, node: &Node, at: At<'_>, findings: &mut Vec<Finding>) -> Option<Self::Value> {
        if matches!(node.kind, NodeKind::Null | NodeKind::Map(_)) {
            return by_size(nested()).read(node, at, findings);
        }
        if matches!(&node.kind, NodeKind::Scalar(text) if Size::parse(text).is_err()) {
            let message = format!(
                "`{}` is a text; the sizes of the rings are wanted",
                at.path()
            );
            let finding = rules::WRONG_TYPE.at(node.span, message);
            findings.push(finding.help(
                "list them, as in [1 IPS, 2 IPS]; where some are inserts of a larger ring, write \
                 {2 IPS: {}, 1 IPS: {insert_in: 2 IPS}}",
            ));
            return None;
        }
        let sizes = list(size()).read(node, at, findings)?.into_iter();
        let bare = ColdRing {
            width: None,
            insert_in: None,
        };
        Some(sizes.map(|size| (size, bare.clone())).collect())
    }

    fn schema(&self) -> schema::Value {
        let rings = by_size(nested::<ColdRing>()).schema();
        either([list(size()).schema(), rings]).told("A list of sizes, or each size with its ring.")
    }
}

impl KindOutput for Rings {
    fn write(&self, value: &Self::Value) -> Tree {
        by_size(nested()).write(value)
    }

    fn facts(&self, value: &Self::Value, of: &Of, to: &mut Collector<'_>) {
        by_size(nested()).facts(value, of, to);
    }
}

/// A group with nothing but the largest size that a tool takes.
struct Largest {
    about: &'static str,
}

impl Kind for Largest {
    type Value = Spanned<Size>;

    fn read(&self, node: &Node, at: At<'_>, findings: &mut Vec<Finding>) -> Option<Self::Value> {
        let mut fields = Fields::open(node, at.path(), at.key, findings)?;
        let largest = required(size()).read("largest", &mut fields, findings);
        fields.finish(findings);
        largest
    }

    fn schema(&self) -> schema::Value {
        schema::group([must("largest", self.about, size().schema())])
    }

    fn takes_nothing(&self) -> bool {
        true
    }
}

impl KindOutput for Largest {
    fn write(&self, value: &Self::Value) -> Tree {
        let mut to = Vec::new();
        required(size()).write("largest", value, &mut to);
        Tree::Group(to)
    }
}

group! {
    /// The hand tools on the truck.
    pub struct Tools written {
        /// The depth gauges, size by size.
        depth_gauges: Vec<(Spanned<Size>, DepthGauge)> = optional_list(
            by_size(insertion_depth(["gauge-depth", "gauge-id", "gauge-source"])).each("depth", "to be measured"),
            "the depths under fittings.depths; a size with neither is an error.",
        ),
        /// The cold rings.
        cold_rings: Vec<(Spanned<Size>, ColdRing)> = optional_list(
            Rings,
            "none, as in metric practice; US practice needs one for each size.",
        ).fact("cold-ring"),
        /// The pipe cutter, if one cuts every size.
        cutter_largest as "cutter": Option<Spanned<Size>> = optional(
            Largest { about: "The largest size it cuts." },
            "check reports it, unless cutters lists several.",
        ).fact("cutter"),
        /// The pipe cutters, if several share the sizes.
        cutters: Vec<Cutter> = optional_list(
            list(nested()).of(|cutter: &Cutter, _| Of::from(cutter.written().as_str())),
            "the one under cutter.",
        ),
        /// The fusion machine or holding tool, if there is one: it holds and pushes pipe and
        /// fitting.
        machine_largest as "machine": Option<Spanned<Size>> = optional(
            Largest { about: "The largest size it takes." },
            "there is none; larger sizes need one, from d 63 and from 3 IPS on.",
        ).fact("machine"),
        /// The stand for the hot heater: its mark, or what it is called.
        stand: Option<Spanned<String>> = optional(
            text_like("HS-2"),
            "the papers ask for a stand or an insulated bag.",
        ).fact("stand"),
        /// The insulated bag or box that the hot heater is kept in: its mark, or what it is called.
        bag: Option<Spanned<String>> = optional(
            text_like("HB-2"),
            "the papers ask for a stand or an insulated bag.",
        ).fact("bag"),
        /// The timer: its mark, or what it is called.
        timer: Option<Spanned<String>> = optional(
            text_like("ST-4"),
            "the papers ask for any that shows seconds.",
        ).fact("timer"),
        /// The place of the group.
        span: Span = place(),
    }
}
