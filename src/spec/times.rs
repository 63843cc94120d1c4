//! Times: the organisation's own rows, change-over, waits and cold weather.

use super::fields::{Fields, list};
use super::model::*;
use super::node::{Node, NodeKind};
use super::plausible;
use super::values::{self, Written};
use crate::core::finding::Finding;
use crate::core::source::{Span, Spanned};
use crate::published::WallGroup;

pub(crate) const WALL_GROUPS: &[(&str, WallGroup)] =
    &[("thick", WallGroup::Thick), ("thin", WallGroup::Thin)];

/// A value alone, or as `{value: …, source: …}` with where it comes from.
pub fn stated<T>(
    node: &Node,
    key: Span,
    name: &str,
    findings: &mut Vec<Finding>,
    read: impl Fn(&Node, &mut Vec<Finding>) -> Option<Written<T>>,
) -> Option<Stated<T>> {
    if !matches!(node.kind, NodeKind::Map(_)) {
        return read(node, findings).map(|value| Stated {
            value,
            source: None,
        });
    }
    let mut fields = Fields::open(node, name, key, findings)?;
    let value = fields.required("value", findings, read);
    let source = fields.optional("source", findings, values::text);
    fields.finish(findings);
    Some(Stated {
        value: value?,
        source,
    })
}

fn stated_field<T>(
    fields: &mut Fields<'_>,
    field: &'static str,
    findings: &mut Vec<Finding>,
    read: impl Fn(&Node, &mut Vec<Finding>) -> Option<Written<T>>,
) -> Option<Stated<T>> {
    let (node, key) = fields.take(field)?;
    stated(node, key, &fields.path(field), findings, read)
}

/// The `cycles` group; `None` only when it is there and is not a group.
pub fn cycles(top: &mut Fields<'_>, findings: &mut Vec<Finding>) -> Option<Cycles> {
    let mut fields = top.required_group("cycles", findings)?;
    let rows = fields
        .optional("rows", findings, |node, findings| {
            list(node, findings, |node, findings| {
                Fields::open(node, "cycles.rows", node.span, findings)
                    .and_then(|fields| row(fields, findings))
            })
        })
        .unwrap_or_default();
    let change_over = stated_field(
        &mut fields,
        "change_over",
        findings,
        values::duration(&plausible::CHANGE_OVER),
    );
    let waits = waits(&mut fields, findings);
    fields.finish(findings);
    Some(Cycles {
        rows,
        change_over,
        waits,
    })
}

fn row(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<CycleRow> {
    let size = fields.required("size", findings, values::size);
    let walls = fields.optional("walls", findings, row_walls);
    let heat = fields.optional(
        "heat",
        findings,
        values::duration_range(&plausible::HEATING),
    );
    let change_over = fields.optional(
        "change_over",
        findings,
        values::duration(&plausible::CHANGE_OVER),
    );
    let hold = fields.optional("hold", findings, values::duration(&plausible::HOLD));
    let before_handling = fields.optional(
        "before_handling",
        findings,
        values::duration(&plausible::HANDLING),
    );
    let source = fields.required("source", findings, values::text);
    let record = fields.optional("record", findings, values::text);
    let span = fields.span;
    fields.finish(findings);
    Some(CycleRow {
        size: size?,
        walls,
        heat,
        change_over,
        hold,
        before_handling,
        source: source?,
        record,
        span,
    })
}

/// A group of walls by its name, or a dimension ratio.
fn row_walls(node: &Node, findings: &mut Vec<Finding>) -> Option<Spanned<RowWalls>> {
    let is_number = |text: &str| text.contains(|c: char| c.is_ascii_digit());
    match &node.kind {
        NodeKind::Scalar(text) if is_number(text) => {
            let ratio = values::dimension_ratio(node, findings)?;
            Some(Spanned::new(RowWalls::Ratio(ratio.value), ratio.span))
        }
        _ => {
            let group = values::word(WALL_GROUPS)(node, findings)?;
            Some(Spanned::new(RowWalls::Group(group.value), group.span))
        }
    }
}

fn waits(cycles: &mut Fields<'_>, findings: &mut Vec<Finding>) -> Waits {
    let Some(mut fields) = cycles.group("waits", findings) else {
        return Waits {
            before_handling: None,
            before_pressure_test: None,
            span: cycles.span,
        };
    };
    let before_handling = stated_field(
        &mut fields,
        "before_handling",
        findings,
        values::duration(&plausible::HANDLING),
    );
    let before_pressure_test = stated_field(
        &mut fields,
        "before_pressure_test",
        findings,
        values::duration(&plausible::PRESSURE_TEST),
    );
    let span = fields.span;
    fields.finish(findings);
    Waits {
        before_handling,
        before_pressure_test,
        span,
    }
}

/// The `cold_weather` group.
pub fn cold_weather(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> ColdWeather {
    let trial_step = stated_field(
        &mut fields,
        "trial_step",
        findings,
        values::duration(&plausible::TRIAL_STEP),
    );
    let no_joints_below = stated_field(
        &mut fields,
        "no_joints_below",
        findings,
        |node, findings| {
            let written = values::temperature(&plausible::WEATHER)(node, findings)?;
            Some(Written {
                value: written.value.0,
                text: written.text,
                span: written.span,
            })
        },
    );
    fields.finish(findings);
    ColdWeather {
        trial_step,
        no_joints_below,
    }
}
