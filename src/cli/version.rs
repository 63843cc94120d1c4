//! Which state of the program this is, for whoever asks for help with it.

use std::sync::LazyLock;

use crate::published::TABLES_VERSION;

/// The version.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");

/// What changed from version to version; its newest heading has the day.
const CHANGES: &str = include_str!("../../CHANGELOG.md");

/// Version and day, and on a line of its own the tables and the first digits of
/// the digest of the sources, which tells apart two states of one version.
pub fn long() -> &'static str {
    static LONG: LazyLock<String> = LazyLock::new(|| {
        let (program, _) = env!("COLDRING_PROGRAM").split_at(16);
        format!(
            "{VERSION} ({})\ntables {TABLES_VERSION}, program {program}",
            day()
        )
    });
    &LONG
}

/// The day of the version, year first.
pub fn day() -> &'static str {
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
