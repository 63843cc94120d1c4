//! Detects pages that are pictures, as a scanner makes them: images cover most
//! of the page. Such a page cannot be compared with a spec, and the person
//! verifying it is told so.

use std::collections::BTreeSet;

use lopdf::content::Content;
use lopdf::{Dictionary, Document, Object, ObjectId};

/// Maximum number of objects searched for an image.
const MOST_OBJECTS: usize = 10_000;

/// Whether a page may draw an image, from its resources or in its content. Scanning a
/// page for codes takes most of a second.
pub(super) fn has_image(document: &Document, page: ObjectId) -> bool {
    let content = document.get_page_content_with_limit(page, MOST_CONTENT);
    let inline = content.map_or(true, |content| {
        content.windows(2).any(|operator| operator == b"BI")
    });
    let (own, inherited) = document.get_page_resources(page).unwrap_or_default();
    let inherited = inherited
        .iter()
        .filter_map(|id| document.get_dictionary(*id).ok());
    let mut open: Vec<&Object> = own
        .into_iter()
        .chain(inherited)
        .flat_map(|resources| resources.iter().map(|(_, object)| object))
        .collect();
    let mut seen = BTreeSet::new();
    while let Some(object) = open.pop() {
        match object {
            // Too many objects to tell.
            _ if seen.len() > MOST_OBJECTS => return true,
            Object::Reference(id) if seen.insert(*id) => {
                open.extend(document.get_object(*id).ok());
            }
            Object::Array(objects) => open.extend(objects),
            Object::Dictionary(dictionary) => {
                let entries = dictionary.iter();
                open.extend(entries.filter(|(key, _)| *key != b"Parent").map(|(_, o)| o));
            }
            Object::Stream(stream) => {
                let kind = stream.dict.get(b"Subtype").and_then(Object::as_name).ok();
                let inline = kind == Some(b"Form") && {
                    let content = stream.decompressed_content_with_limit(MOST_CONTENT);
                    content.map_or(true, |content| content.windows(2).any(|two| two == b"BI"))
                };
                if inline || kind == Some(b"Image") {
                    return true;
                }
                open.extend(stream.dict.iter().map(|(_, object)| object));
            }
            _ => {}
        }
    }
    inline
}

/// Share of a page that images cover at least: scans cover all of it, a logo and a code a
/// few percent.
const COVERED: f32 = 0.5;
/// Maximum bytes of content searched; a scan has a few hundred.
const MOST_CONTENT: usize = 1 << 20;

/// The linear part of a transformation matrix (ISO 32000-2, 8.3.3), without translation.
type Scaling = [f32; 4];

/// Whether images cover most of a page of this size in points.
pub(super) fn is_picture(document: &Document, page: ObjectId, size: (f32, f32)) -> bool {
    let Ok(content) = document.get_page_content_with_limit(page, MOST_CONTENT) else {
        return false;
    };
    let mut scaling: Scaling = [1.0, 0.0, 0.0, 1.0];
    let mut saved = Vec::new();
    let mut covered = 0.0;
    for operation in Content::decode_iter(&content).map_while(Result::ok) {
        match operation.operator.as_str() {
            "q" => saved.push(scaling),
            "Q" => scaling = saved.pop().unwrap_or(scaling),
            "cm" => scaling = scaled(&operation.operands, scaling),
            // An image fills the unit square.
            "BI" => covered += area(scaling),
            "Do" if is_image(document, page, operation.operands.first()) => {
                covered += area(scaling);
            }
            _ => {}
        }
    }
    covered >= COVERED * (size.0 * size.1).abs()
}

fn scaled(operands: &[Object], [a, b, c, d]: Scaling) -> Scaling {
    let numbers: Vec<f32> = operands.iter().filter_map(|o| o.as_float().ok()).collect();
    match numbers.as_slice() {
        [e, f, g, h, _, _] => [e * a + f * c, e * b + f * d, g * a + h * c, g * b + h * d],
        _ => [a, b, c, d],
    }
}

fn area([a, b, c, d]: Scaling) -> f32 {
    (a * d - b * c).abs()
}

fn is_image(document: &Document, page: ObjectId, name: Option<&Object>) -> bool {
    let Some(name) = name.and_then(|name| name.as_name().ok()) else {
        return false;
    };
    let Ok((own, inherited)) = document.get_page_resources(page) else {
        return false;
    };
    let inherited = inherited
        .iter()
        .filter_map(|id| document.get_dictionary(*id).ok());
    own.into_iter()
        .chain(inherited)
        .any(|resources| kind(document, resources, name) == Some(b"Image"))
}

fn kind<'a>(document: &'a Document, resources: &'a Dictionary, name: &[u8]) -> Option<&'a [u8]> {
    let parts = resources.get(b"XObject").ok()?;
    let (_, parts) = document.dereference(parts).ok()?;
    let (_, part) = document
        .dereference(parts.as_dict().ok()?.get(name).ok()?)
        .ok()?;
    part.as_stream()
        .ok()?
        .dict
        .get(b"Subtype")
        .ok()?
        .as_name()
        .ok()
}
