//! What a field is for, found by its path.

use serde_json::Value as Json;

use super::{Kind, schema};

/// What the field at `path` is for, in plain words, as in
/// `describe(Kind::Spec, &["heater", "set_point"])`. The place in a list, as in
/// `["scope", "pipe", "0", "sizes"]`, may stand there or not; the key of a size,
/// as in `["heater", "adapters", "1 IPS", "depth"]`, has to. `None` where the kind
/// of file has no such field; an empty path is the file itself.
pub fn describe(kind: Kind, path: &[&str]) -> Option<String> {
    let schema = schema(kind);
    let field = find(schema.as_value(), path)?;
    Some(field.get("description")?.as_str()?.to_owned())
}

/// The schema at a path. What has no description of its own, such as an entry of
/// a list, is answered with `None` by [`describe`].
fn find<'s>(schema: &'s Json, path: &[&str]) -> Option<&'s Json> {
    let Some((first, rest)) = path.split_first() else {
        return Some(schema);
    };
    let of_group = || find(schema.get("properties")?.get(first)?, rest);
    let of_key = || {
        let entry = schema
            .get("additionalProperties")
            .filter(|e| e.is_object())?;
        find(entry, rest)
    };
    let of_list = || {
        let item = schema.get("items")?;
        let number = first.bytes().all(|b| b.is_ascii_digit());
        find(item, if number { rest } else { path })
    };
    let of_choice = || {
        let choices = schema.get("anyOf")?.as_array()?;
        choices.iter().find_map(|choice| find(choice, path))
    };
    of_group()
        .or_else(of_key)
        .or_else(of_list)
        .or_else(of_choice)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_field_is_found_wherever_it_stands() {
        for (path, words) in [
            (&[][..], "procedure"),
            (&["heater", "set_point"], "controller"),
            (&["heater", "set_point"], "°F or °C"),
            (&["scope", "pipe", "0", "sizes"], "nominal"),
            (&["scope", "pipe", "sizes"], "nominal"),
            (&["heater", "adapters", "1 IPS", "depth"], "female adapter"),
            (&["heater", "face_check", "stays_solid"], "must not melt"),
            (&["cycles", "waits", "before_handling", "source"], "printed"),
            (&["procedure", "revisions", "1", "effective"], "force"),
        ] {
            let told = describe(Kind::Spec, path).unwrap_or_default();
            assert!(told.contains(words), "{path:?}: {told}");
        }
        for path in [&["heather"][..], &["heater", "set_point", "x"], &["0"]] {
            assert_eq!(describe(Kind::Spec, path), None, "{path:?}");
        }
    }
}
