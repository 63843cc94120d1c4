//! One part of a batch shared by several machines. A digest of an item's name decides its
//! part, so each part can be built alone, anywhere and in any order, and parts never
//! overlap.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::core::digest::sha256;

/// Maximum number of parts; more than anybody has machines.
pub(crate) const MOST_SHARDS: u32 = 10_000;

/// A part of a batch: the third of sixteen.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
pub(crate) struct Shard {
    /// Part of the batch.
    number: u32,
    /// How many parts there are.
    of: u32,
}

/// An item to assign to a part, by its name.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Item<'a> {
    /// A spec by its procedure number, ignoring case, so that specs whose papers would
    /// share a folder are in one part, which reports that.
    Procedure(&'a str),
    /// A file that is not a spec, by its bytes, or by its path if it is empty.
    Unread(&'a [u8]),
    /// A fuser by the badge.
    Fuser(&'a str),
}

impl Shard {
    /// Reads `3/16`.
    ///
    /// # Errors
    /// How to write it.
    pub(crate) fn parse(text: &str) -> Result<Self, String> {
        let how = "write part and number of parts, as in 3/16";
        let (number, of) = text.split_once('/').ok_or(how)?;
        let (number, of) = (number.parse().ok(), of.parse().ok());
        let (number, of) = number.zip(of).ok_or(how)?;
        let shard = Self { number, of };
        if shard.is_possible() {
            Ok(shard)
        } else {
            Err(format!(
                "parts are counted from 1, and there are {MOST_SHARDS} at most: 1/16 to 16/16"
            ))
        }
    }

    /// Whether the part exists; one read from a file may not.
    pub(crate) fn is_possible(self) -> bool {
        (1..=self.of).contains(&self.number) && self.of <= MOST_SHARDS
    }

    /// Number of the part, from 1.
    pub(crate) fn number(self) -> u32 {
        self.number
    }

    /// Number of parts.
    pub(crate) fn count(self) -> u32 {
        self.of
    }

    /// Whether an item is in this part. Each item is in exactly one.
    pub(crate) fn contains(self, item: Item<'_>) -> bool {
        let digest = match item {
            Item::Procedure(number) => item_key("procedure", number.to_lowercase().as_bytes()),
            Item::Unread(bytes) => item_key("unread", bytes),
            Item::Fuser(badge) => item_key("fuser", badge.as_bytes()),
        };
        // Sixteen hex digits are 64 bits; a digest always has more.
        let start = digest.get(..16).unwrap_or_default();
        let place = u64::from_str_radix(start, 16).unwrap_or_default();
        place % u64::from(self.of) == u64::from(self.number.saturating_sub(1))
    }

    /// The folder, beside the papers, of this part's manifest, or the end of its name.
    pub(crate) fn folder(self) -> String {
        format!("shard-{}-of-{}", self.number, self.of)
    }
}

impl fmt::Display for Shard {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.number, self.of)
    }
}

/// A number and a badge with the same letters are different items.
fn item_key(kind: &str, name: &[u8]) -> String {
    sha256(&[kind.as_bytes(), b" ", name].concat())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn all(of: u32) -> impl Iterator<Item = Shard> {
        (1..=of).map(move |number| Shard { number, of })
    }

    proptest! {
        #[test]
        fn an_item_is_in_exactly_one_part(name in ".*", of in 1..200_u32) {
            for item in [Item::Procedure(&name), Item::Unread(name.as_bytes()), Item::Fuser(&name)] {
                prop_assert_eq!(all(of).filter(|shard| shard.contains(item)).count(), 1);
            }
        }

        #[test]
        fn capitals_do_not_part_procedures(name in "[a-zA-Z0-9.-]{1,12}", of in 1..50_u32) {
            let upper = name.to_uppercase();
            for shard in all(of) {
                let alike = [Item::Procedure(&name), Item::Procedure(&upper)];
                prop_assert_eq!(shard.contains(alike[0]), shard.contains(alike[1]));
            }
        }

        #[test]
        fn reading_gives_what_was_written(number in 1..=500_u32, more in 0..500_u32) {
            let shard = Shard { number, of: number + more };
            prop_assert_eq!(Shard::parse(&shard.to_string()), Ok(shard));
        }
    }

    /// Of 10,000 throws into 16 boxes each gets 625 ± 24 (one standard deviation
    /// of the binomial distribution); five of them is once in a million boxes.
    #[test]
    fn the_parts_are_of_about_one_size() {
        for shard in all(16) {
            let held = |n: &u32| shard.contains(Item::Fuser(&format!("AF-{n:05}")));
            let count = (0..10_000).filter(held).count();
            assert!((505..=745).contains(&count), "{shard}: {count}");
        }
    }

    #[test]
    fn what_is_no_part_is_refused() {
        for text in [
            "0/4", "5/4", "1/0", "1/10001", "", "3", "3/", "/4", "-1/4", "1/4/2",
        ] {
            assert!(Shard::parse(text).is_err(), "{text}");
        }
    }
}
