//! What a paper has to say however a house lays it out, taken from the sheet
//! that the template is given: who answers for it, what warns, and every figure.

use serde_json::Value;

use crate::sheets::house::Words;
use crate::sheets::{Clause, PaperKind};
use crate::typeset::Required;

/// Blocks of a procedure that say figures in words. Drawings are not among
/// them: the program's own templates draw them, and the tables have their
/// figures too.
const WORDED: &[&str] = &["text", "list", "list-in", "checks", "steps"];

/// What the paper of a kind must say, by the JSON of its sheet.
pub fn required(sheet: &str, kind: PaperKind, words: &Words) -> Required {
    let sheet: Value = serde_json::from_str(sheet).unwrap_or_default();
    let of_frame = |field: &str| {
        let text = sheet.get("frame").and_then(|frame| frame.get(field));
        text.and_then(Value::as_str).map(str::to_owned)
    };
    let mut required = Required {
        everywhere: ["number", "status_line"]
            .into_iter()
            .filter_map(of_frame)
            .collect(),
        somewhere: ["revision", "check_line"]
            .into_iter()
            .filter_map(of_frame)
            .collect(),
        ..Required::default()
    };
    let digests = ["digest", "house_line"].into_iter().filter_map(of_frame);
    match kind {
        PaperKind::Procedure => {
            required.everywhere.extend(digests);
            required.somewhere.push(words.render(Clause::Deference));
            // Or a key would be given and nothing be signed.
            let label = sheet.pointer("/frame/code/label").and_then(Value::as_str);
            required.somewhere.extend(label.map(str::to_owned));
            cautions(&sheet, &mut required.somewhere);
            for fact in list(&sheet, "facts") {
                figures(fact, "value", &mut required.somewhere);
            }
            for section in list(&sheet, "sections") {
                let blocks = list(section, "blocks").iter();
                blocks.for_each(|block| of_block(block, &mut required));
            }
            required.marks = marked(&sheet);
        }
        PaperKind::Card => {
            required.somewhere.extend(digests);
            for clause in [Clause::CardDeference, Clause::CardStop] {
                required.somewhere.push(words.render(clause));
            }
            of_card(&sheet, &mut required);
            if let Some(other) = sheet.get("other").filter(|other| !other.is_null()) {
                of_card(other, &mut required);
                // Each side says the status in its own language.
                let status = of_frame("status_line");
                required
                    .everywhere
                    .retain(|text| Some(text) != status.as_ref());
                let further = other.pointer("/frame/status_line");
                let further = further.and_then(Value::as_str).map(str::to_owned);
                required.somewhere.extend(status.into_iter().chain(further));
            }
        }
        // Its template is the program's.
        PaperKind::DepthMarks => {}
    }
    if required.marks > 0 {
        required.somewhere.extend(of_frame("verify_legend"));
    }
    required
}

fn list<'a>(value: &'a Value, field: &str) -> &'a [Value] {
    let items = value.get(field).and_then(Value::as_array);
    items.map_or(&[], Vec::as_slice)
}

/// Adds a text that states a figure.
fn figure(text: &Value, into: &mut Vec<String>) {
    let text = text.as_str().filter(|text| has_figure(text));
    into.extend(text.map(str::to_owned));
}

fn figures(of: &Value, field: &str, into: &mut Vec<String>) {
    if let Some(text) = of.get(field) {
        figure(text, into);
    }
}

fn has_figure(text: &str) -> bool {
    text.contains(|c: char| c.is_ascii_digit())
}

/// The figures of a block of the procedure.
fn of_block(block: &Value, required: &mut Required) {
    let kind = block.get("kind").and_then(Value::as_str);
    if kind == Some("table") {
        let rows = list(block, "rows").iter();
        rows.filter_map(Value::as_array)
            .for_each(|row| together(row, required));
    }
    if kind.is_some_and(|kind| WORDED.contains(&kind)) {
        figures(block, "text", &mut required.somewhere);
        for item in list(block, "items") {
            figure(item, &mut required.somewhere);
            figures(item, "text", &mut required.somewhere);
            figures(item, "detail", &mut required.somewhere);
        }
    }
}

/// The figures of a card, in one language.
fn of_card(card: &Value, required: &mut Required) {
    if let Some(front) = card.get("front") {
        figures(front, "set_point", &mut required.somewhere);
        figures(front, "window", &mut required.somewhere);
        for walls in list(front, "walls") {
            figure(walls, &mut required.somewhere);
        }
        for line in list(front, "limits") {
            figures(line, "text", &mut required.somewhere);
        }
        figures(front, "window_other", &mut required.somewhere);
        for line in list(front, "common") {
            figures(line, "text", &mut required.somewhere);
        }
        let joined = |row: &&Value| row.get("no_joint").is_none_or(Value::is_null);
        for row in list(front, "rows").iter().filter(joined) {
            let heat = row.get("heat").into_iter();
            let cells = list(row, "before").iter().chain(heat);
            together(cells.chain(list(row, "after")), required);
        }
    }
    if let Some(back) = card.get("back") {
        for line in list(back, "steps").iter().chain(list(back, "reject")) {
            figure(line, &mut required.somewhere);
        }
    }
}

/// The figures of a row, which belong to each other.
fn together<'a>(cells: impl IntoIterator<Item = &'a Value>, required: &mut Required) {
    let mut row = Vec::new();
    for cell in cells {
        figures(cell, "text", &mut row);
        figures(cell, "sub", &mut row);
    }
    if !row.is_empty() {
        required.together.push(row);
    }
}

/// Every caution of a sheet, and its signal word.
fn cautions(value: &Value, into: &mut Vec<String>) {
    match value {
        Value::Array(items) => items.iter().for_each(|item| cautions(item, into)),
        Value::Object(fields) => {
            if fields.get("kind").and_then(Value::as_str) == Some("caution") {
                for field in ["word", "text"] {
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
