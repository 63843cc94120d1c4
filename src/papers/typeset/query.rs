//! Queries a template for a value computed from layout: metadata labeled
//! `answer`. Nothing is printed.

use serde_json::Value;
use typst::foundations::{Label, Selector};
use typst::introspection::{Introspector, MetadataElem};
use typst::utils::PicoStr;
use typst_layout::PagedDocument;

use super::{Print, TypesetError, World, sandbox, typst_error};

/// The template's answer, as JSON.
///
/// # Errors
/// [`TypesetError`] if the template is broken, its data do not fit it, or it
/// gives no answer.
pub fn query(print: &Print<'_>) -> Result<Value, TypesetError> {
    if let Some(sandbox) = print.sandbox() {
        return sandbox::query(sandbox, print);
    }
    let world = World::for_print(print);
    let result = typst::compile::<PagedDocument>(&world).output;
    match result {
        Ok(document) => answer(&document)
            .ok_or_else(|| TypesetError::new(format!("{} gives no answer", print.page.path()))),
        Err(errors) => Err(typst_error(&world, &errors)),
    }
}

fn answer(document: &PagedDocument) -> Option<Value> {
    let label = Label::new(PicoStr::intern("answer"))?;
    let found = document
        .introspector()
        .query_first(&Selector::Label(label))?;
    let metadata = found.to_packed::<MetadataElem>()?;
    serde_json::to_value(&metadata.value).ok()
}
