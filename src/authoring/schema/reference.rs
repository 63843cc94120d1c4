//! The reference page of a kind of file: every field with its path, what it is for, how
//! it is written, what holds without it, and how a change of it weighs.

use super::{Kind, describe};
use crate::procedure::compare::{Class, rating};
use crate::published::{Library, Value};
use crate::spec::schema::{Listed, Need};

/// Every field of a kind of file, in the order of the format: its path, and what there is
/// to say of it. In a path `SIZE` stands for a size, and `NUMBER` for that of a procedure.
pub(crate) fn reference(kind: Kind, limits: &Library) -> Vec<(String, String)> {
    let fields = kind.value().fields.into_iter();
    let said = fields.map(
        |Listed {
             path,
             need,
             variable,
         }| {
            let names: Vec<_> = path.iter().map(String::as_str).collect();
            let need = match need {
                Need::Always => Some("Required.".to_owned()),
                Need::For(cases) if cases.is_empty() => {
                    Some("Required where it applies.".to_owned())
                }
                Need::For(cases) => Some(format!("Required for {}.", cases.join(" or "))),
                Need::Never => None,
            };
            let about = describe(kind, &names).unwrap_or_default();
            let weight = variable.and_then(|variable| weight(limits, variable));
            let parts = [need.as_deref(), Some(about.as_str()), weight];
            let parts: Vec<_> = parts.into_iter().flatten().collect();
            (path.join("."), parts.join(" "))
        },
    );
    said.collect()
}

/// How a change of a variable weighs.
fn weight(limits: &Library, variable: &str) -> Option<&'static str> {
    let rating = rating(limits, variable, "changed")?;
    Some(match rating.class {
        _ if rating.class_entry.value == Value::NotFound => {
            "Your organization decides how to classify a change."
        }
        Class::Essential => "Changing it is essential: requalify the procedure.",
        Class::Supplementary => "Changing it is supplementary.",
        Class::Editorial => "Changing it is editorial.",
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::published::library;

    fn said(kind: Kind, path: &str) -> String {
        let fields = reference(kind, library());
        let field = fields.into_iter().find(|(known, _)| known == path);
        field.unwrap_or_else(|| panic!("{path}")).1
    }

    #[test]
    fn a_field_is_told_with_unit_band_need_and_weight() {
        let set_point = said(Kind::Spec, "heater.set_point");
        for part in ["Required.", "°F or °C", "400 °F to 575 °F", "essential"] {
            assert!(set_point.contains(part), "{part}: {set_point}");
        }
        let swing = said(Kind::Spec, "heater.swing");
        assert!(!swing.contains("Required") && swing.contains("If omitted: unknown"));
        let depth = said(Kind::Spec, "heater.adapters.SIZE.depth");
        assert!(
            depth.contains("in or mm") && depth.contains("decide"),
            "{depth}"
        );
        let melts = said(Kind::Spec, "heater.face_check.melts");
        let sticks = "Required for method: indicating stick, two indicating sticks.";
        assert!(melts.starts_with(sticks), "{melts}");
        let solid = said(Kind::Spec, "heater.face_check.stays_solid");
        let two = "Required for method: two indicating sticks.";
        assert!(solid.starts_with(two), "{solid}");
        let months = said(Kind::Fusers, "rules.default.months");
        assert!(months.starts_with("Required for rule: own."), "{months}");
        let elongation = said(Kind::Record, "joints.tests.elongation");
        let tensile = "Required for kind: tensile.";
        assert!(elongation.starts_with(tensile), "{elongation}");
    }

    /// The fields of a group follow it, also where only some cases have them.
    #[test]
    fn fields_of_a_group_stand_together() {
        for kind in Kind::ALL {
            let fields = reference(kind, library());
            let groups = fields
                .iter()
                .map(|(path, _)| path.rsplit_once('.').map(|(g, _)| g));
            let mut groups: Vec<_> = groups.flatten().collect();
            groups.dedup();
            for group in &groups {
                let inside = |of: &&&str| **of == *group || of.starts_with(&format!("{group}."));
                let from = groups.iter().position(|of| of == group).unwrap_or_default();
                let to = groups
                    .iter()
                    .rposition(|of| of == group)
                    .unwrap_or_default();
                let between = groups.iter().take(to).skip(from);
                let between: Vec<_> = between.filter(|of| !inside(of)).collect();
                assert!(between.is_empty(), "{kind:?}: {between:?} inside {group}");
            }
        }
    }

    /// A path is that of one field, and every field has something to say.
    #[test]
    fn every_field_is_listed_once() {
        for kind in Kind::ALL {
            let fields = reference(kind, library());
            assert!(fields.len() > 5, "{kind:?}");
            let mut seen = std::collections::BTreeSet::new();
            for (path, said) in &fields {
                assert!(seen.insert(path), "{kind:?}: {path}");
                assert!(said.ends_with(['.', '”']), "{kind:?} {path}: {said}");
            }
        }
    }
}
