//! The list of cards: which file holds whose, and who has none and why.

use chrono::NaiveDate;
use serde::Serialize;

use super::Written;
use crate::cli::args::TableFormat;
use crate::cli::documents::{CARDS, Head};
use crate::cli::pluralize;
use crate::papers::compile::WalletOutcome;
use crate::people::wallet::{Row, own_language};

#[derive(Debug, Serialize)]
struct Document<'r> {
    #[serde(flatten)]
    head: Head,
    file: &'r str,
    as_of: String,
    cards: usize,
    without: usize,
    folder: &'r str,
    files: Vec<File<'r>>,
    rows: Vec<ListRow<'r>>,
}

#[derive(Debug, Serialize)]
struct File<'r> {
    name: &'r str,
    cards: usize,
    bytes: usize,
}

#[derive(Debug, Serialize)]
struct ListRow<'r> {
    name: &'r str,
    badge: &'r str,
    procedure: Option<&'r str>,
    card: bool,
    valid_until: Option<String>,
    language: Option<&'static str>,
    asked_language: Option<&'r str>,
    file: Option<&'r str>,
    reason: Option<&'r str>,
}

/// The list in a format.
pub fn list(
    format: TableFormat,
    file: &str,
    as_of: NaiveDate,
    outcome: &WalletOutcome<'_>,
    written: &Written,
) -> String {
    match format {
        TableFormat::Text => text(file, as_of, outcome, written),
        TableFormat::Json => {
            let document = document(file, as_of, outcome, written);
            // Plain fields of plain types: there is nothing that cannot be written.
            serde_json::to_string_pretty(&document).unwrap_or_default() + "\n"
        }
        TableFormat::Csv => {
            let mut out = csv::Writer::from_writer(Vec::new());
            for row in outcome.rows.iter().map(list_row) {
                // Writing to memory cannot fail.
                let _ = out.serialize(row);
            }
            String::from_utf8(out.into_inner().unwrap_or_default()).unwrap_or_default()
        }
    }
}

fn list_row<'r>(row: &'r Row<'_>) -> ListRow<'r> {
    ListRow {
        name: &row.fuser.name,
        badge: &row.fuser.badge,
        procedure: row.procedure.as_deref(),
        card: has_card(row),
        valid_until: row.valid_until.map(|day| day.to_string()),
        language: row
            .language
            .filter(|_| has_card(row))
            .map(|language| language.tag()),
        asked_language: row.fuser.language.as_ref().map(|code| code.value.as_str()),
        file: row.file.as_deref(),
        reason: row.without.as_deref(),
    }
}

fn has_card(row: &Row<'_>) -> bool {
    row.file.is_some()
}

fn document<'r>(
    file: &'r str,
    as_of: NaiveDate,
    outcome: &'r WalletOutcome<'_>,
    written: &'r Written,
) -> Document<'r> {
    let files = outcome.files.iter().map(|file| File {
        name: &file.name,
        cards: file.cards,
        bytes: file.bytes.len(),
    });
    Document {
        head: CARDS,
        file,
        as_of: as_of.to_string(),
        cards: outcome.files.iter().map(|file| file.cards).sum(),
        without: outcome.rows.iter().filter(|row| !has_card(row)).count(),
        folder: &written.folder,
        files: files.collect(),
        rows: outcome.rows.iter().map(list_row).collect(),
    }
}

fn text(file: &str, as_of: NaiveDate, outcome: &WalletOutcome<'_>, written: &Written) -> String {
    let cards: usize = outcome.files.iter().map(|file| file.cards).sum();
    let mut text = format!("{file} as of {as_of}: {}\n", pluralize(cards, "card"));
    for file in &outcome.files {
        let (folder, name) = (&written.folder, &file.name);
        text.push_str(&format!(
            "wrote {folder}/{name}: {}\n",
            pluralize(file.cards, "card")
        ));
    }
    for name in &written.stale {
        let folder = &written.folder;
        text.push_str(&format!(
            "stale {folder}/{name}: of an earlier run, not made by this one\n"
        ));
    }
    let fallen_back = |row: &&Row<'_>| {
        has_card(row) && row.fuser.language.is_some() && own_language(row.fuser) != row.language
    };
    text.push_str(&section(
        "in another language than the fuser's",
        outcome.rows.iter().filter(fallen_back),
        |row| {
            let own = row
                .fuser
                .language
                .as_ref()
                .map_or("", |code| code.value.as_str());
            let set = row.language.map_or("", |language| language.tag());
            format!("reads {own}, the card is in {set}")
        },
    ));
    text.push_str(&section(
        "no card",
        outcome.rows.iter().filter(|row| !has_card(row)),
        |row| row.without.clone().unwrap_or_default(),
    ));
    text.push_str(
        "\nBy the roster and its rule sets. A day on a card is the last one that counts. Cards \
         approve nobody;\nwho may work is for a qualified person to decide.\n",
    );
    text
}

/// Rows under a heading, in columns; nothing where there are none.
fn section<'r>(
    title: &str,
    rows: impl Iterator<Item = &'r Row<'r>>,
    say: impl Fn(&Row<'_>) -> String,
) -> String {
    let rows: Vec<_> = rows.collect();
    if rows.is_empty() {
        return String::new();
    }
    let wide = |of: fn(&Row<'_>) -> usize| rows.iter().map(|row| of(row)).max().unwrap_or(0);
    let badge = wide(|row| row.fuser.badge.chars().count());
    let name = wide(|row| row.fuser.name.chars().count());
    let procedure = wide(|row| row.procedure.as_ref().map_or(1, |p| p.chars().count()));
    let mut text = format!("\n{title}: {}\n", rows.len());
    for row in rows {
        text.push_str(&format!(
            "  {:badge$}  {:name$}  {:procedure$}  {}\n",
            row.fuser.badge.value,
            row.fuser.name.value,
            row.procedure.as_deref().unwrap_or("-"),
            say(row)
        ));
    }
    text
}
