//! What a paper has to say however a house lays it out, taken from the sheet
//! that the template is given.

use serde_json::Value;

use crate::sheets::house::Words;
use crate::sheets::{Clause, PaperKind};
use crate::typeset::Required;

/// What the paper of a kind must say, by the JSON of its sheet.
pub fn required(sheet: &str, kind: PaperKind, words: &Words) -> Required {
    let sheet: Value = serde_json::from_str(sheet).unwrap_or_default();
    let of_frame = |field: &str| {
        let text = sheet.get("frame").and_then(|frame| frame.get(field));
        text.and_then(Value::as_str).map(str::to_owned)
    };
    let mut everywhere: Vec<_> = ["number", "status_line"]
        .into_iter()
        .filter_map(of_frame)
        .collect();
    let mut somewhere: Vec<_> = ["revision", "check_line"]
        .into_iter()
        .filter_map(of_frame)
        .collect();
    let mut marks = 0;
    let digest = of_frame("digest");
    match kind {
        PaperKind::Procedure => {
            everywhere.extend(digest);
            somewhere.push(words.render(Clause::Deference));
            cautions(&sheet, &mut somewhere);
            marks = marked(&sheet);
        }
        PaperKind::Card => {
            somewhere.extend(digest);
            somewhere.push(words.render(Clause::CardDeference));
            somewhere.push(words.render(Clause::CardStop));
        }
        // Its template is the program's.
        PaperKind::DepthMarks => {}
    }
    if marks > 0 {
        somewhere.extend(of_frame("verify_legend"));
    }
    Required {
        everywhere,
        somewhere,
        marks,
    }
}

/// Every caution of a sheet, and its signal word.
fn cautions(value: &Value, into: &mut Vec<String>) {
    match value {
        Value::Array(items) => items.iter().for_each(|item| cautions(item, into)),
        Value::Object(fields) => {
            if fields.get("kind").and_then(Value::as_str) == Some("caution") {
                for field in ["signal", "text"] {
                    let text = fields.get(field).and_then(Value::as_str);
                    let text = text.map(str::to_owned);
                    // A signal word stands before several cautions.
                    into.extend(text.filter(|text| !into.contains(text)));
                }
            }
            fields.values().for_each(|field| cautions(field, into));
        }
        _ => {}
    }
}

/// How many figures of a sheet carry the verify mark.
fn marked(value: &Value) -> usize {
    match value {
        Value::Array(items) => items.iter().map(marked).sum(),
        Value::Object(fields) => fields
            .iter()
            .map(|(name, field)| match field {
                Value::Bool(true) if name == "verify" || name == "sub_verify" => 1,
                _ => marked(field),
            })
            .sum(),
        _ => 0,
    }
}
