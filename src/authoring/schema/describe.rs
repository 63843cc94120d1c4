//! What a field is for, found by its path.

use std::sync::LazyLock;

use serde_json::Value as Json;

use super::{Kind, schema};

/// The schemas, made once: a preview asks at every step of the cursor.
static SCHEMAS: LazyLock<Vec<(Kind, Json)>> = LazyLock::new(|| {
    let made = |kind: Kind| (kind, schema(kind).to_value());
    Kind::ALL.into_iter().map(made).collect()
});

/// Most words of a field that are told; longer lists are for an editor to offer.
const MOST_WORDS: usize = 12;

/// What the field at `path` is for, how it is written and what holds without it,
/// in plain words, as in `describe(Kind::Spec, &["heater", "set_point"])`.
///
/// The place in a list, as in `["scope", "pipe", "0", "sizes"]`, may stand there
/// or not; the key of a size, as in `["heater", "adapters", "1 IPS", "depth"]`,
/// has to. `None` where the kind of file has no such field, and for an entry of
/// a list, which has no name of its own. An empty path is the file itself.
pub(crate) fn describe(kind: Kind, path: &[&str]) -> Option<String> {
    let (_, schema) = SCHEMAS.iter().find(|(known, _)| *known == kind)?;
    let field = find(schema, path)?;
    let told = field.get("description")?.as_str()?;
    let words = words(field);
    Some(match words.len() {
        2..=MOST_WORDS => format!("{told} One of: {}.", words.join(", ")),
        _ => told.to_owned(),
    })
}

/// The schema at a path.
fn find<'s>(schema: &'s Json, path: &[&str]) -> Option<&'s Json> {
    let Some((first, rest)) = path.split_first() else {
        return Some(schema);
    };
    let of_group = || find(schema.get("properties")?.get(first)?, rest);
    let of_key = || {
        let entry = schema.get("additionalProperties")?;
        find(Some(entry).filter(|entry| entry.is_object())?, rest)
    };
    let of_list = || {
        let number = first.bytes().all(|b| b.is_ascii_digit());
        find(schema.get("items")?, if number { rest } else { path })
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

/// The words that may be written for a field, or for each entry of its list.
fn words(field: &Json) -> Vec<&str> {
    let own = field.get("enum").and_then(Json::as_array);
    let own = own.into_iter().flatten().filter_map(Json::as_str);
    let inner = field.get("anyOf").and_then(Json::as_array);
    let inner = inner.into_iter().flatten().chain(field.get("items"));
    let mut words: Vec<_> = own.chain(inner.flat_map(words)).collect();
    // A list offers the words that stand alone too.
    let mut seen = Vec::new();
    words.retain(|word| {
        !seen.contains(word) && {
            seen.push(*word);
            true
        }
    });
    words
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
            (
                &["procedure", "revisions", "1", "effective"],
                "takes effect",
            ),
            (&["fittings", "kinds"], "One of: coupling, elbow,"),
            (&["documents", "languages"], "One of: en, es."),
        ] {
            let told = describe(Kind::Spec, path).unwrap_or_default();
            assert!(told.contains(words), "{path:?}: {told}");
        }
        for path in [&["heather"][..], &["heater", "set_point", "x"], &["0"]] {
            assert_eq!(describe(Kind::Spec, path), None, "{path:?}");
        }
    }

    /// An entry of a list has no name of its own; every field has a description.
    #[test]
    fn every_field_is_described() {
        fn groups(schema: &Json, at: &str, found: &mut usize) {
            let properties = schema.get("properties").and_then(Json::as_object);
            for (name, field) in properties.into_iter().flatten() {
                let at = format!("{at}.{name}");
                let told = field.get("description").and_then(Json::as_str);
                let told = told.unwrap_or_default();
                let whole = told.ends_with(['.', '\u{201d}']) && !told.contains("  ");
                assert!(whole, "{at}: {told:?}");
                assert!(!told.contains(['*', '`', '<']), "{at}: {told:?}");
                *found += 1;
                groups(field, &at, found);
            }
            // Beside fields, alternatives only say which are needed.
            let choices = schema.get("anyOf").filter(|_| properties.is_none());
            let list = choices.and_then(Json::as_array);
            let inner = list.into_iter().flatten().chain(schema.get("items"));
            let inner = inner.chain(schema.get("additionalProperties"));
            inner.for_each(|inner| groups(inner, at, found));
        }
        for (kind, schema) in SCHEMAS.iter() {
            let mut found = 0;
            groups(schema, kind.word(), &mut found);
            assert!(found > 5, "{kind:?}: {found}");
        }
    }
}
