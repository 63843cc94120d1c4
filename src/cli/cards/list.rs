//! The list of cards: whose card is in which file, and who has none and why.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use super::Written;
use crate::cli::head::{CARDS, Head};
use crate::cli::pluralize;
use crate::papers::compile::WalletOutcome;
use crate::people::wallet::{Row, own_language};

#[derive(Debug, Serialize, JsonSchema)]
pub(in crate::cli) struct Document<'r> {
    #[serde(flatten)]
    head: Head,
    /// The roster as you gave it.
    file: &'r str,
    /// Day of the cards.
    as_of: String,
    /// How many cards there are.
    cards: usize,
    /// How many rows have none.
    without: usize,
    /// Folder of the files.
    folder: &'r str,
    files: Vec<File<'r>>,
    rows: Vec<ListRow<'r>>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct File<'r> {
    /// File.
    name: &'r str,
    /// Cards in it.
    cards: usize,
    /// Its size.
    bytes: usize,
}

#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct ListRow<'r> {
    /// Name of the fuser.
    name: &'r str,
    /// Badge.
    badge: &'r str,
    /// Number of the procedure.
    procedure: Option<&'r str>,
    /// Whether there is a card.
    card: bool,
    /// Last day.
    valid_until: Option<String>,
    /// Language of the card.
    language: Option<&'static str>,
    /// Language that the roster asks for.
    asked_language: Option<&'r str>,
    /// File that the card is in.
    file: Option<&'r str>,
    /// Why there is none.
    reason: Option<&'r str>,
}

pub(crate) fn row<'r>(row: &'r Row<'_>) -> ListRow<'r> {
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
        reason: row.no_card_reason.as_deref(),
    }
}

fn has_card(row: &Row<'_>) -> bool {
    row.file.is_some()
}

pub(crate) fn document<'r>(
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
        rows: outcome.rows.iter().map(row).collect(),
    }
}

pub(crate) fn text(
    file: &str,
    as_of: NaiveDate,
    outcome: &WalletOutcome<'_>,
    written: &Written,
) -> String {
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
        |row| row.no_card_reason.clone().unwrap_or_default(),
    ));
    text.push_str(
        "\nAccording to the roster and its rule sets. Dates shown are the last day of validity. \
        Cards approve\nnobody. A qualified person decides who may work.\n",
    );
    text
}

/// Rows under a heading, in columns; empty where there are none.
fn section<'r>(
    title: &str,
    rows: impl Iterator<Item = &'r Row<'r>>,
    describe: impl Fn(&Row<'_>) -> String,
) -> String {
    let rows: Vec<_> = rows.collect();
    if rows.is_empty() {
        return String::new();
    }
    let widest =
        |width: fn(&Row<'_>) -> usize| rows.iter().map(|row| width(row)).max().unwrap_or(0);
    let badge = widest(|row| row.fuser.badge.chars().count());
    let name = widest(|row| row.fuser.name.chars().count());
    let procedure = widest(|row| row.procedure.as_ref().map_or(1, |p| p.chars().count()));
    let mut text = format!("\n{title}: {}\n", rows.len());
    for row in rows {
        text.push_str(&format!(
            "  {:badge$}  {:name$}  {:procedure$}  {}\n",
            row.fuser.badge.value,
            row.fuser.name.value,
            row.procedure.as_deref().unwrap_or("-"),
            describe(row)
        ));
    }
    text
}
