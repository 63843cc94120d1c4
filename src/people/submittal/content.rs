//! Checks that everything a page draws with is in the file and that its content can be
//! read. Readers skip missing objects and unknown operators, which leaves the page blank
//! in that place.

use std::collections::BTreeSet;

use lopdf::content::Content;
use lopdf::{Dictionary, Document, Object, ObjectId, Stream};

use crate::core::budget::UNPACKED_BYTES;

/// Content stream operators (ISO 32000-2, annex A).
const OPERATORS: &str = "\" ' B B* BDC BI BMC BT BX CS DP Do EI EMC ET EX F G ID J K M MP Q RG S \
                         SC SCN T* TD TJ TL Tc Td Tf Tj Tm Tr Ts Tw Tz W W* b b* c cm cs d d0 d1 \
                         f f* g gs h i j k l m n q re rg ri s sc scn sh v w y";

/// Appended to content to check that a reader gets to its end.
const END: &str = "coldringEnd";

/// Checks the pages of a file, each shared object once.
pub(crate) struct PageChecker<'a> {
    document: &'a Document,
    seen: BTreeSet<ObjectId>,
}

impl<'a> PageChecker<'a> {
    pub(crate) fn new(document: &'a Document) -> Self {
        Self {
            document,
            seen: BTreeSet::new(),
        }
    }

    /// Why a page cannot be drawn completely, worded to follow its number.
    pub(crate) fn damage(&mut self, page: ObjectId) -> Option<String> {
        let document = self.document;
        let content = document.get_page_content_with_limit(page, UNPACKED_BYTES);
        let Ok(content) = content else {
            return Some("has content that cannot be read".to_owned());
        };
        let (own, inherited) = document.get_page_resources(page).unwrap_or_default();
        let inherited = inherited
            .iter()
            .filter_map(|id| document.get_dictionary(*id).ok());
        let resources: Vec<&Dictionary> = own.into_iter().chain(inherited).collect();
        let contents = document.get_dictionary(page).ok();
        let contents = contents.and_then(|page| page.get(b"Contents").ok());
        if !contents.is_none_or(|contents| is_content(document, contents)) {
            return Some("has content that cannot be read".to_owned());
        }
        unreadable(document, content, &resources)
            .or_else(|| contents.and_then(|contents| self.missing(contents)))
            .or_else(|| {
                let entries = resources.iter().flat_map(|of| of.iter());
                entries
                    .into_iter()
                    .find_map(|(_, entry)| self.missing(entry))
            })
    }

    /// The first object reachable from this one that is missing or cannot be read.
    fn missing(&mut self, object: &'a Object) -> Option<String> {
        let mut open = vec![object];
        while let Some(object) = open.pop() {
            match object {
                Object::Reference(id) if self.seen.insert(*id) => {
                    match self.document.get_object(*id) {
                        Ok(object) => open.push(object),
                        Err(_) => {
                            return Some(format!("needs object {}, which cannot be read", id.0));
                        }
                    }
                }
                Object::Array(objects) => open.extend(objects),
                Object::Dictionary(dictionary) => open.extend(drawn_objects(dictionary)),
                Object::Stream(stream) => {
                    if let Some(why) = self.unreadable_part(stream) {
                        return Some(why);
                    }
                    open.extend(drawn_objects(&stream.dict));
                }
                _ => {}
            }
        }
        None
    }

    /// Why a form XObject cannot be read.
    fn unreadable_part(&self, stream: &Stream) -> Option<String> {
        let kind = stream.dict.get(b"Subtype").and_then(Object::as_name);
        let own = stream.dict.get(b"Resources");
        let own = own.and_then(|own| self.document.dereference(own)?.1.as_dict());
        // Old files may leave a form's resources to the page; those are not checked here.
        let (Ok(b"Form"), Ok(own)) = (kind, own) else {
            return None;
        };
        let content = if stream.dict.has(b"Filter") {
            stream
                .decompressed_content_with_limit(UNPACKED_BYTES)
                .ok()?
        } else {
            stream.content.clone()
        };
        unreadable(self.document, content, &[own])
    }
}

/// Whether a page's content is a stream or an array of streams.
fn is_content(document: &Document, contents: &Object) -> bool {
    let resolved = |object| document.dereference(object).map(|(_, object)| object);
    match resolved(contents) {
        Ok(Object::Array(parts)) => parts
            .iter()
            .all(|part| resolved(part).is_ok_and(|part| part.as_stream().is_ok())),
        Ok(object) => object.as_stream().is_ok(),
        Err(_) => false,
    }
}

/// The objects a dictionary draws with, without those that lead back to the page or
/// elsewhere.
fn drawn_objects(dictionary: &Dictionary) -> impl Iterator<Item = &Object> {
    let passed: [&[u8]; 6] = [
        b"Parent",
        b"P",
        b"StructParents",
        b"PieceInfo",
        b"Metadata",
        b"OC",
    ];
    let entries = dictionary.iter();
    let drawn = entries.filter(move |(key, _)| !passed.contains(&key.as_slice()));
    drawn.map(|(_, object)| object)
}

/// Why content cannot be read to its end.
fn unreadable(
    document: &Document,
    mut content: Vec<u8>,
    resources: &[&Dictionary],
) -> Option<String> {
    let known: BTreeSet<&str> = OPERATORS.split_whitespace().collect();
    content.extend(format!("\n{END}\n").bytes());
    // Operators between BX and EX may be newer than this list.
    let mut later = 0usize;
    for operation in Content::decode_iter(&content) {
        let Ok(operation) = operation else { break };
        let operator = operation.operator.as_str();
        match operator {
            END => return None,
            "BX" => later += 1,
            "EX" => later = later.saturating_sub(1),
            "Tf" | "Do" => {
                let name = operation
                    .operands
                    .first()
                    .and_then(|name| name.as_name().ok());
                let list: &[u8] = if operator == "Tf" {
                    b"Font"
                } else {
                    b"XObject"
                };
                if name.is_none_or(|name| !is_defined(document, resources, list, name)) {
                    let what = if operator == "Tf" { "a font" } else { "a part" };
                    return Some(format!("draws with {what} that is not in the file"));
                }
            }
            _ if later == 0 && !known.contains(operator) => {
                return Some(format!(
                    "has an operator that PDF does not have: {operator:?}"
                ));
            }
            _ => {}
        }
    }
    Some("has content that cannot be read to its end".to_owned())
}

fn is_defined(document: &Document, resources: &[&Dictionary], list: &[u8], name: &[u8]) -> bool {
    resources.iter().any(|resources| {
        let list = resources
            .get(list)
            .and_then(|list| document.dereference(list));
        list.is_ok_and(|(_, list)| list.as_dict().is_ok_and(|list| list.has(name)))
    })
}
