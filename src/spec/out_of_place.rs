//! Fields in another group than their own: one too deep, one not deep enough, or after
//! the wrong heading. Where only one group has a field of that name, the finding says
//! which, and that the field is missing there is not said a second time.

use super::rules;
use crate::core::finding::Finding;

/// Says of each field that its group does not have where it belongs. `fields` are the
/// paths of all fields of the file.
pub(crate) fn name_places(findings: &mut Vec<Finding>, fields: impl FnOnce() -> Vec<Vec<String>>) {
    let is_unknown = |f: &Finding| f.rule.slug == rules::UNKNOWN_FIELD.slug && f.meant.is_none();
    if !findings.iter().any(is_unknown) {
        return;
    }
    let fields = fields();
    let mut found = Vec::new();
    for finding in findings.iter_mut().filter(|f| is_unknown(f)) {
        let of = |name| {
            let mut quantities = finding.quantities.iter();
            let value = quantities.find(|(known, _)| *known == name);
            value.map(|(_, value)| value.clone())
        };
        let (Some(field), Some(group)) = (of("field"), of("group")) else {
            continue;
        };
        let Some(path) = only_path(&field, &fields) else {
            continue;
        };
        let own = path.split_last().map(|(_, own)| own.join("."));
        let own = own.unwrap_or_default();
        // A field of another kind of this very group: a rating where there is no stick.
        if own == group {
            continue;
        }
        let name = |group: &str| match group {
            "" => "at the top".to_owned(),
            group => format!("in `{group}`"),
        };
        finding.rule = &rules::FIELD_OUT_OF_PLACE;
        finding.message = format!(
            "`{field}` stands {} and belongs {}",
            name(&group),
            name(&own)
        );
        finding.help = Some(match own.as_str() {
            "" => format!("begin the line of `{field}` at the left margin"),
            own => format!("move it under `{own}:`, indented like the fields there"),
        });
        found.push(path.join("."));
    }
    findings.retain(|finding| {
        let is_missing = finding.rule.slug == rules::MISSING_FIELD.slug;
        let mut quantities = finding.quantities.iter();
        let is_found = quantities.any(|(_, path)| found.contains(path));
        !(is_missing && is_found)
    });
}

/// The path of the only field of a name, if every step to it is a field that stands in
/// the file once.
fn only_path<'f>(field: &str, fields: &'f [Vec<String>]) -> Option<&'f [String]> {
    let mut of_name = fields
        .iter()
        .filter(|path| path.last().is_some_and(|last| last == field));
    let only = of_name.next()?;
    let is_plain = |step: &String| step.chars().all(|c| c.is_ascii_lowercase() || c == '_');
    (of_name.next().is_none() && only.iter().all(is_plain)).then_some(only)
}
