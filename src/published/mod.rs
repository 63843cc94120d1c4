//! The published numbers, embedded as tables: each value with a stable ID, its
//! basis, and its source. What was looked for and not found, and where sources
//! disagree, are rows too. Nothing here knows about a spec.

mod cycle;
mod entry;
mod pipe;
mod reading;
mod resin;
mod statements;
mod table;

use std::collections::BTreeMap;
use std::sync::LazyLock;

pub(crate) use cycle::{Cycle, WallGroup};
pub use entry::{Basis, Entry, Sourced, Value};
pub(crate) use pipe::Socket;
pub(crate) use reading::Reading;
pub(crate) use resin::ResinGroup;
pub use resin::{Family, Resin};
pub use statements::Work;
pub use table::Table;

use crate::core::size::Size;

/// Name of each table file that `build.rs` finds, and the table as JSON.
const TABLES: &[(&str, &str)] = &include!(concat!(env!("OUT_DIR"), "/tables.rs"));

/// Version of the tables, changed with every number.
pub(crate) const TABLES_VERSION: &str = include_str!("tables/VERSION").trim_ascii();

/// All tables.
#[derive(Debug, Clone)]
pub struct Library {
    tables: Vec<Table>,
    index: BTreeMap<String, (usize, usize)>,
}

/// The embedded library.
pub fn library() -> &'static Library {
    static LIBRARY: LazyLock<Library> = LazyLock::new(|| {
        let read = |(name, text): &(&str, &str)| {
            // The tables are part of the program, and a test reads each of them.
            Table::from_json(text)
                .unwrap_or_else(|error| panic!("the table {name} is broken: {error}"))
        };
        let mut tables: Vec<_> = TABLES.iter().map(read).collect();
        tables.sort_by_key(|table| table.order);
        Library::new(tables)
    });
    &LIBRARY
}

impl Library {
    fn new(tables: Vec<Table>) -> Self {
        let mut index = BTreeMap::new();
        for (t, table) in tables.iter().enumerate() {
            for (e, entry) in table.entries.iter().enumerate() {
                index.insert(entry.id.clone(), (t, e));
            }
        }
        Self { tables, index }
    }

    /// Version of the tables, changed with every number.
    pub fn version(&self) -> &'static str {
        TABLES_VERSION
    }

    /// The change log of the tables, newest first, as Markdown.
    pub(crate) fn changes(&self) -> &'static str {
        include_str!("tables/CHANGES.md")
    }

    /// Every table.
    pub fn tables(&self) -> &[Table] {
        &self.tables
    }

    /// Looks up an entry by its ID.
    pub fn entry(&self, id: &str) -> Option<&Entry> {
        let (table, entry) = self.index.get(id)?;
        self.tables.get(*table)?.entries.get(*entry)
    }

    /// The statements in a column of a table, in order.
    pub(crate) fn texts<'a>(&'a self, table: &str, column: &str) -> Vec<&'a Entry> {
        self.tables
            .iter()
            .filter(|t| t.name == table)
            .flat_map(|t| &t.entries)
            .filter(|f| f.id.rsplit(':').next() == Some(column) && f.text().is_some())
            .collect()
    }
}

/// A size as written in table keys: `1-1/4-IPS`.
fn size_key(size: Size) -> String {
    format!("{}-{}", size.nominal(), size.system().name())
}
