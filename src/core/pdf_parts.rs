//! Detects form XObjects that recurse or fan out without bound. Placing a PDF
//! page copies it without drawing it, so such a page would hang whatever opens
//! the result. Patterns and fonts are not followed.

use std::collections::HashMap;

use lopdf::content::Content;
use lopdf::{Dictionary, Document, Object, ObjectId};

use crate::core::budget::UNPACKED_BYTES;

/// The deepest that parts are in each other. Drawings have three or four levels.
const DEEPEST: usize = 32;
/// The most parts that a page draws, all told. A plan with every symbol a part
/// has some ten thousand.
const MOST_DRAWN: usize = 200_000;
/// Most bytes that one part may unpack to.
const MOST_UNPACKED: usize = UNPACKED_BYTES;

/// Why the parts of a page cannot be drawn, in words that follow the page's
/// number.
pub(crate) fn endless(document: &Document, page: ObjectId) -> Option<&'static str> {
    let content = document
        .get_page_content_with_limit(page, MOST_UNPACKED)
        .unwrap_or_default();
    let (own, inherited) = document.get_page_resources(page).ok()?;
    let inherited = inherited
        .iter()
        .filter_map(|id| document.get_dictionary(*id).ok());
    let resources: Vec<&Dictionary> = own.into_iter().chain(inherited).collect();
    let mut parts = Parts {
        document,
        page: &resources,
        drawn: HashMap::new(),
    };
    match parts.drawn_by(&content, &resources, DEEPEST) {
        Ok(drawn) => (drawn > MOST_DRAWN).then_some(MANY),
        Err(why) => Some(why),
    }
}

const ITSELF: &str = "has a part that draws itself";
const DEEP: &str = "has parts in parts without end";
const MANY: &str = "draws its parts over and over, more often than a viewer can";

struct Parts<'a> {
    document: &'a Document,
    /// The resources of the page, which old files use for their parts too.
    page: &'a [&'a Dictionary],
    /// How many parts a part draws, itself among them; none while that is found.
    drawn: HashMap<ObjectId, Option<usize>>,
}

impl<'a> Parts<'a> {
    fn drawn_by(
        &mut self,
        content: &[u8],
        resources: &[&'a Dictionary],
        deeper: usize,
    ) -> Result<usize, &'static str> {
        let mut sum = 0usize;
        // One after another: all of them together take a hundred times the memory of
        // the content. What cannot be read here draws nothing in a viewer either.
        let operations = Content::decode_iter(content).map_while(Result::ok);
        for operation in operations.filter(|operation| operation.operator == "Do") {
            let name = operation
                .operands
                .first()
                .and_then(|name| name.as_name().ok());
            let id = name.and_then(|name| self.named(name, resources));
            if let Some(id) = id {
                sum = sum.saturating_add(self.part(id, deeper)?);
            }
        }
        Ok(sum)
    }

    fn part(&mut self, id: ObjectId, deeper: usize) -> Result<usize, &'static str> {
        match self.drawn.get(&id) {
            Some(Some(drawn)) => return Ok(*drawn),
            Some(None) => return Err(ITSELF),
            None => {}
        }
        let document = self.document;
        let form = document.get_object(id).and_then(Object::as_stream).ok();
        let form = form.filter(|stream| {
            let kind = stream.dict.get(b"Subtype").and_then(Object::as_name);
            kind.is_ok_and(|kind| kind == b"Form")
        });
        let Some(form) = form else { return Ok(1) };
        let deeper = deeper.checked_sub(1).ok_or(DEEP)?;
        self.drawn.insert(id, None);
        let own = form.dict.get(b"Resources");
        let own = own.and_then(|own| document.dereference(own)?.1.as_dict());
        let own = own.ok().map(|own| vec![own]);
        let resources = own.unwrap_or_else(|| self.page.to_vec());
        let content = match form.dict.has(b"Filter") {
            true => form
                .decompressed_content_with_limit(MOST_UNPACKED)
                .unwrap_or_default(),
            false => form.content.clone(),
        };
        let drawn = self
            .drawn_by(&content, &resources, deeper)?
            .saturating_add(1);
        self.drawn.insert(id, Some(drawn));
        Ok(drawn)
    }

    fn named(&self, name: &[u8], resources: &[&'a Dictionary]) -> Option<ObjectId> {
        resources.iter().find_map(|resources| {
            let parts = resources.get(b"XObject").ok()?;
            let (_, parts) = self.document.dereference(parts).ok()?;
            parts.as_dict().ok()?.get(name).ok()?.as_reference().ok()
        })
    }
}
