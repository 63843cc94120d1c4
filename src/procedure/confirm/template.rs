//! Starts a confirmations file: each number to be read, commented out.

use crate::procedure::resolve::trade_name;
use crate::published::Entry;

pub(crate) fn template(entries: &[&Entry]) -> String {
    let mut text = String::from(
        "# Who read which figure, in which edition, and what it says. A qualified person\n\
         # with the edition at hand fills in an entry and takes its # away. Write what the\n\
         # edition prints, not what is expected; of a statement, `as printed` or the sentence.\n\
         coldring-confirmations: 1\n\
         confirmations:\n",
    );
    for entry in entries {
        let what = match entry.text() {
            Some(text) => format!("the statement \"{text}\""),
            None => format!("{}: {}", trade_name(entry), entry.written),
        };
        text.push_str(&format!(
            "  # {what} ({})\n  # - {{figure: \"{}\", read: , edition: , place: , by: , date: }}\n",
            entry.source, entry.id
        ));
    }
    text
}
