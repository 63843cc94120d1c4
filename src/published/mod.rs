//! The published numbers, embedded as tables: each value with a stable ID, its
//! basis, and its source. What was looked for and not found, and where sources
//! disagree, are rows too. Nothing here knows about a spec.

mod cycle;
mod figure;
mod pipe;
mod reading;
mod resin;
mod statements;
mod table;

use std::collections::BTreeMap;
use std::sync::LazyLock;

pub use cycle::{Cycle, WallGroup};
pub use figure::{Basis, Figure, Sourced, Value};
pub use pipe::Socket;
pub use reading::Reading;
pub use resin::{Family, Resin, ResinGroup};
pub use statements::Work;
pub use table::{Table, TableError};

use crate::core::size::Size;

/// The tables, in the order `coldring limits` lists them.
const TABLES: &[&str] = &[
    include_str!("tables/us-cycles.yaml"),
    include_str!("tables/us-times.yaml"),
    include_str!("tables/us-temperatures.yaml"),
    include_str!("tables/us-heater.yaml"),
    include_str!("tables/us-cleaning.yaml"),
    include_str!("tables/us-depth.yaml"),
    include_str!("tables/us-range.yaml"),
    include_str!("tables/us-coil.yaml"),
    include_str!("tables/metric-pe-cycles.yaml"),
    include_str!("tables/metric-ppr-cycles.yaml"),
    include_str!("tables/metric-temperatures.yaml"),
    include_str!("tables/metric-depth.yaml"),
    include_str!("tables/metric-range.yaml"),
    include_str!("tables/pipe-ips.yaml"),
    include_str!("tables/pipe-cts.yaml"),
    include_str!("tables/wall-rules.yaml"),
    include_str!("tables/pipe-metric.yaml"),
    include_str!("tables/walls-metric.yaml"),
    include_str!("tables/walls-ppr.yaml"),
    include_str!("tables/gas-walls.yaml"),
    include_str!("tables/sockets-pe.yaml"),
    include_str!("tables/sockets-pp.yaml"),
    include_str!("tables/resins.yaml"),
    include_str!("tables/compatibility.yaml"),
    include_str!("tables/acceptance.yaml"),
    include_str!("tables/rejection.yaml"),
    include_str!("tables/acceptance-rules.yaml"),
    include_str!("tables/joint-tests.yaml"),
    include_str!("tables/record-criteria.yaml"),
    include_str!("tables/hazards.yaml"),
    include_str!("tables/practice.yaml"),
    include_str!("tables/regulation.yaml"),
    include_str!("tables/standards.yaml"),
    include_str!("tables/fuser-rules.yaml"),
    include_str!("tables/essential-variables.yaml"),
    include_str!("tables/print.yaml"),
    include_str!("tables/conflicts.yaml"),
];

/// The version of the tables; it changes whenever a figure does.
pub const TABLES_VERSION: &str = include_str!("tables/VERSION").trim_ascii();

/// All tables.
#[derive(Debug, Clone)]
pub struct Library {
    tables: Vec<Table>,
    figures: BTreeMap<String, (usize, usize)>,
}

/// The embedded library.
pub fn library() -> &'static Library {
    static LIBRARY: LazyLock<Library> = LazyLock::new(|| {
        let tables: Result<Vec<_>, _> = TABLES.iter().map(|text| Table::read(text)).collect();
        // The tables are part of the program and a test reads every one.
        Library::new(tables.unwrap_or_else(|error| panic!("an embedded table is broken: {error}")))
    });
    &LIBRARY
}

impl Library {
    fn new(tables: Vec<Table>) -> Self {
        let mut figures = BTreeMap::new();
        for (t, table) in tables.iter().enumerate() {
            for (f, figure) in table.figures.iter().enumerate() {
                figures.insert(figure.id.clone(), (t, f));
            }
        }
        Self { tables, figures }
    }

    /// [`TABLES_VERSION`].
    pub fn version(&self) -> &'static str {
        TABLES_VERSION
    }

    /// What changed from version to version, newest first, as Markdown.
    pub fn changes(&self) -> &'static str {
        include_str!("tables/CHANGES.md")
    }

    /// Every table.
    pub fn tables(&self) -> &[Table] {
        &self.tables
    }

    /// A figure by its id.
    pub fn figure(&self, id: &str) -> Option<&Figure> {
        let (table, figure) = self.figures.get(id)?;
        self.tables.get(*table)?.figures.get(*figure)
    }

    /// The statements of a table in order: id and text.
    pub fn texts<'a>(&'a self, table: &str, column: &str) -> Vec<&'a Figure> {
        self.tables
            .iter()
            .filter(|t| t.name == table)
            .flat_map(|t| &t.figures)
            .filter(|f| f.id.rsplit(':').next() == Some(column) && f.text().is_some())
            .collect()
    }
}

/// A size as the tables' keys write it: `1-1/4-IPS`.
fn size_key(size: Size) -> String {
    format!("{}-{}", size.nominal(), size.system().name())
}
