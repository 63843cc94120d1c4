//! The version of the program, its tables and its sources.

use std::sync::LazyLock;

use crate::published::TABLES_VERSION;

pub(crate) const VERSION: &str = env!("CARGO_PKG_VERSION");

/// The newest heading has the date.
const CHANGES: &str = include_str!("../../CHANGELOG.md");

/// Version and date, and on a second line the version of the tables and the first
/// digits of the digest of the sources, which differs between builds of one version.
pub(crate) fn long() -> &'static str {
    static LONG: LazyLock<String> = LazyLock::new(|| {
        let (program, _) = env!("COLDRING_PROGRAM").split_at(16);
        format!(
            "{VERSION} ({})\ntables {TABLES_VERSION}, program {program}",
            day()
        )
    });
    &LONG
}

/// The date of the version, year first.
pub(crate) fn day() -> &'static str {
    let newest = CHANGES.lines().find_map(|line| line.strip_prefix("## "));
    let day = newest.and_then(|heading| heading.split_once(", "));
    day.map(|(_, day)| day).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_newest_changes_are_those_of_this_version() {
        let newest = CHANGES.lines().find(|line| line.starts_with("## "));
        assert_eq!(newest, Some(format!("## {VERSION}, {}", day()).as_str()));
        assert!(day().parse::<chrono::NaiveDate>().is_ok(), "{}", day());
    }
}
