//! The comparison for people: the answers first, then the changes by class.

use crate::cli::layout::wrap;
use crate::core::digest;
use crate::papers::sheets::house::Words;
use crate::papers::sheets::{
    Answer, Clauses, Group, Language, change_groups, fusers_answer, no_difference,
    procedure_answer, revision_notes,
};
use crate::procedure::compare::{Comparison, Side};

const WIDTH: usize = 92;

/// The whole comparison.
pub(crate) fn comparison(comparison: &Comparison, [old, new]: [&String; 2]) -> String {
    let words = Words::Program(Clauses::load(Language::En));
    let mut text = format!("{}\n", comparison.new.number);
    text += &side("from", &comparison.old, old);
    text += &side("to", &comparison.new, new);
    for line in revision_notes(&comparison.new, &words) {
        text += &format!("        {line}\n");
    }
    if comparison.changes.is_empty() {
        text += &format!("\n{}\n", no_difference(comparison));
        return text;
    }
    text.push('\n');
    text += &answer(&procedure_answer(comparison, &words));
    text += &answer(&fusers_answer(comparison, &words));
    for group in change_groups(comparison, &words) {
        text += &changes(&group);
    }
    text
}

fn side(which: &str, side: &Side, file: &str) -> String {
    format!(
        "  {which:<5} revision {} of {}, {}, {}\n",
        side.revision,
        side.date,
        digest::short(&side.digest),
        file
    )
}

fn answer(answer: &Answer) -> String {
    let heading = format!("{}: {}. ", answer.label, answer.short.to_lowercase());
    wrap(&heading, "  ", WIDTH, &answer.text)
}

fn changes(group: &Group) -> String {
    let (title, meaning) = &group.title;
    let mut text = format!("\n{title}: {meaning}\n");
    for line in &group.lines {
        match line.items.as_slice() {
            [(of, differs)] if of.is_empty() => {
                text += &wrap(&format!("  {}: ", line.name), "    ", WIDTH, differs);
            }
            items => {
                text += &format!("  {}\n", line.name);
                for (of, differs) in items {
                    let line_of_item = match of.as_str() {
                        "" => differs.clone(),
                        of => format!("{of}: {differs}"),
                    };
                    text += &wrap("    ", "      ", WIDTH, &line_of_item);
                }
            }
        }
        if let Some(why) = &line.why {
            let basis = line.basis.as_ref().map(|basis| format!(" ({basis})"));
            let why = format!("{why}{}", basis.unwrap_or_default());
            text += &wrap("      ", "      ", WIDTH, &why);
        }
    }
    text
}
