//! The published figures, embedded as tables: values with a stable id, how well
//! they are known, and where they were read. What was looked for and not found,
//! and where sources disagree, are rows too. Nothing here knows a spec.

mod figure;
mod table;

use std::collections::BTreeMap;
use std::sync::LazyLock;

pub use figure::{Basis, Figure, Sourced, Value};
pub use table::{Table, TableError};

use crate::size::{Size, SizeSystem};
use crate::units::{Duration, Length, Range};

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
    include_str!("tables/pipe-ips.yaml"),
    include_str!("tables/pipe-cts.yaml"),
    include_str!("tables/wall-rules.yaml"),
    include_str!("tables/resins.yaml"),
    include_str!("tables/compatibility.yaml"),
    include_str!("tables/acceptance.yaml"),
    include_str!("tables/rejection.yaml"),
    include_str!("tables/acceptance-rules.yaml"),
    include_str!("tables/joint-tests.yaml"),
    include_str!("tables/hazards.yaml"),
    include_str!("tables/practice.yaml"),
    include_str!("tables/regulation.yaml"),
    include_str!("tables/print.yaml"),
    include_str!("tables/conflicts.yaml"),
];

/// Resins that take the same times.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ResinGroup {
    /// PE 2xxx.
    MediumDensity,
    /// PE 3xxx and PE 4xxx.
    HighDensity,
}

impl ResinGroup {
    /// The word in the tables' keys.
    pub fn key(self) -> &'static str {
        match self {
            ResinGroup::MediumDensity => "medium-density",
            ResinGroup::HighDensity => "high-density",
        }
    }
}

/// A resin designation that the tables know.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Resin {
    /// The designation, as in the print line.
    pub code: String,
    /// The group whose times it takes.
    pub group: ResinGroup,
    /// Why the designation is no longer given to new pipe, if it is not.
    pub superseded: Option<String>,
}

/// All tables.
#[derive(Debug)]
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

    /// The version of the tables; it changes whenever a figure does.
    pub fn version(&self) -> &'static str {
        include_str!("tables/VERSION").trim_ascii()
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

    /// Facts of the trade that a cold-weather section states as they stand.
    pub fn cold_statements(&self) -> impl Iterator<Item = &Figure> {
        [
            "practice:never-raise-setting:text",
            "practice:warm-fittings:text",
            "practice:shelter:text",
        ]
        .into_iter()
        .filter_map(|id| self.figure(id))
    }

    /// A resin by its designation.
    pub fn resin(&self, code: &str) -> Option<Resin> {
        let figure = self.figure(&format!("resins:{code}:group"))?;
        let group = match figure.text()? {
            "medium-density" => ResinGroup::MediumDensity,
            "high-density" => ResinGroup::HighDensity,
            _ => return None,
        };
        Some(Resin {
            code: code.to_owned(),
            group,
            superseded: figure
                .note
                .clone()
                .filter(|note| note.contains("superseded")),
        })
    }

    /// The designations the tables know.
    pub fn resin_codes(&self) -> Vec<&str> {
        self.texts("resins", "group")
            .iter()
            .filter_map(|f| f.id.split(':').nth(1))
            .collect()
    }

    /// Every size with a published outside diameter in `system`, smallest first.
    pub fn sizes(&self, system: SizeSystem) -> Vec<Size> {
        let mut sizes: Vec<_> = self
            .tables
            .iter()
            .filter(|t| t.name.starts_with("pipe-"))
            .flat_map(|t| &t.figures)
            .filter_map(|f| f.size)
            .filter(|s| s.system() == system)
            .collect();
        sizes.sort();
        sizes.dedup();
        sizes
    }

    fn pipe(&self, size: Size, column: &str) -> Option<Sourced<Length>> {
        let table = match size.system() {
            SizeSystem::Ips => "pipe-ips",
            SizeSystem::Cts => "pipe-cts",
            SizeSystem::Metric => return None,
        };
        self.figure(&format!("{table}:{}:{column}", size_key(size)))?
            .length()
    }

    /// The average outside diameter of a size.
    pub fn outside_diameter(&self, size: Size) -> Option<Sourced<Length>> {
        self.pipe(size, "od")
    }

    /// The tolerance on the average outside diameter, each way.
    pub fn od_tolerance(&self, size: Size) -> Option<Sourced<Length>> {
        self.pipe(size, "od_tolerance")
    }

    /// The published heating time of a size, shortest to longest.
    pub fn heating(&self, group: ResinGroup, size: Size) -> Option<Sourced<Range<Duration>>> {
        self.figure(&format!(
            "us-cycles:{}:{}:heat",
            group.key(),
            size_key(size)
        ))?
        .duration_range()
    }

    /// The published hold of a size.
    pub fn hold(&self, group: ResinGroup, size: Size) -> Option<Sourced<Duration>> {
        self.figure(&format!(
            "us-cycles:{}:{}:hold",
            group.key(),
            size_key(size)
        ))?
        .duration()
    }
}

/// A size as the tables' keys write it: `1-1/4-IPS`.
fn size_key(size: Size) -> String {
    format!("{}-{}", size.nominal(), size.system().name())
}
