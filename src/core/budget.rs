//! Limits on what a file may contain, by kind of file. A stack overflow or an
//! exhausted memory ends the program with no message, so every reader stops
//! long before that, with a finding. Papers and estimates grow with each list
//! entry, so lists and size-and-wall pairs have limits too, and so does the
//! number of findings about one list or table. Real files use about a hundredth
//! of these.

/// How much a text in YAML may have in it, by what it is.
#[derive(Debug)]
pub struct Budget {
    /// What to call the file.
    pub what: &'static str,
    /// Most bytes.
    pub bytes: usize,
    /// Most values, aliases written out; of CSV, most cells.
    pub nodes: usize,
}

const fn text(what: &'static str) -> Budget {
    Budget {
        what,
        bytes: MEBIBYTE,
        nodes: 50_000,
    }
}

const MEBIBYTE: usize = 1024 * 1024;

/// A spec; the longest real ones have some twenty thousand bytes.
pub(crate) const SPEC: Budget = text("a spec");
/// The record of a qualification.
pub(crate) const RECORD: Budget = text("a record");
/// The figures as somebody read them.
pub(crate) const CONFIRMATIONS: Budget = text("a confirmations file");
/// The file of a submittal.
pub(crate) const SUBMITTAL: Budget = text("a submittal");
/// The words of a house style; its logo has as many bytes.
pub(crate) const HOUSE: Budget = text("a house style");
/// The register of current revisions.
pub const REGISTER: Budget = text("a register");
/// A roster of fusers: some tens of thousands of people.
pub const ROSTER: Budget = Budget {
    what: "a roster",
    bytes: 16 * MEBIBYTE,
    nodes: 2_000_000,
};
/// Deepest nesting of a text in YAML.
pub(crate) const DEPTH: usize = 32;
/// Most aliases of a text in YAML.
pub(crate) const ALIASES: usize = 1000;
/// Most entries of a list, or sizes of a group by size, in a file about one
/// procedure. Papers grow with each, and so does the memory that they take; the
/// longest real lists, of revisions, have some dozens.
pub(crate) const ENTRIES: usize = 200;
/// Most pairs of a size and a wall that a spec may claim; each has an estimate of
/// its own, which takes up to 10 ms.
pub(crate) const PIPES: usize = 300;
/// Most sizes in a range: those of a system that the tables have.
pub(crate) const SIZES_OF_A_RANGE: usize = 12;
/// Most marks on one letter; Vietnamese has two, pointed Hebrew four.
pub(crate) const MARKS: usize = 4;
/// Most findings about one list or one table: who has a million mistakes to fix
/// has given the wrong file.
pub const FINDINGS: usize = 10_000;
/// Most columns of a roster in CSV; it has fourteen.
pub const COLUMNS: usize = 100;

/// Most bytes of a PDF that a submittal attaches.
pub(crate) const ATTACHMENT_BYTES: usize = 32 * MEBIBYTE;
/// Most bytes of all PDFs that a submittal attaches: they are held at once, and
/// more than once while they are placed.
pub(crate) const ATTACHED_BYTES: usize = 64 * MEBIBYTE;
/// Most bytes of a PDF that is verified: a submittal with its scans is smaller.
pub(crate) const VERIFIED_BYTES: usize = 32 * MEBIBYTE;
/// Most bytes that a stream of a PDF may unpack to; a drawing has a few million, a
/// gray page scanned at 600 dots to the inch 34, and a small file can be made to
/// unpack to any size.
pub(crate) const UNPACKED_BYTES: usize = 64 * MEBIBYTE;
/// Most bytes that all streams of an attached PDF may unpack to.
pub(crate) const UNPACKED_IN_ALL: usize = 2048 * MEBIBYTE;
/// Most bytes of a key; it has some 120, and lines of explanation.
pub(crate) const KEY_BYTES: usize = 10_000;
/// Most bytes of an earlier manifest; it has a few thousand.
pub(crate) const MANIFEST_BYTES: u64 = 1 << 20;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::spec::node::parse;

    const TEXTS: [&Budget; 7] = [
        &SPEC,
        &RECORD,
        &CONFIRMATIONS,
        &SUBMITTAL,
        &HOUSE,
        &REGISTER,
        &ROSTER,
    ];

    /// The rule that a text breaks as YAML, if any, and what is said.
    fn fails(text: &str, of: &Budget) -> Option<(&'static str, String)> {
        let finding = parse(text, of).err()?;
        Some((finding.rule.slug, finding.message))
    }

    fn holds(text: &str, of: &Budget) {
        assert_eq!(fails(text, of), None, "{}", of.what);
    }

    fn too_large(text: &str, of: &Budget) {
        let (rule, said) = fails(text, of).unwrap();
        assert_eq!(rule, "spec-too-large", "{}: {said}", of.what);
        assert!(said.contains(of.what), "{said}");
    }

    #[test]
    fn bytes_are_counted() {
        for of in TEXTS {
            let text = |bytes: usize| format!("a: {}", "x".repeat(bytes - 3));
            holds(&text(of.bytes), of);
            too_large(&text(of.bytes + 1), of);
        }
    }

    #[test]
    fn values_are_counted() {
        for of in TEXTS {
            // The list is a value too.
            let text = |values: usize| format!("[{}x]", "x,".repeat(values - 2));
            holds(&text(of.nodes), of);
            too_large(&text(of.nodes + 1), of);
        }
    }

    #[test]
    fn nesting_is_counted() {
        for of in TEXTS {
            let text = |depth: usize| "[".repeat(depth) + &"]".repeat(depth);
            holds(&text(DEPTH), of);
            for depth in [DEPTH + 1, 10_000] {
                too_large(&text(depth), of);
            }
        }
    }

    #[test]
    fn aliases_are_counted() {
        for of in TEXTS {
            // The YAML reader has a bound of its own on aliases of one anchor.
            let each = |i: usize| format!("&a{i} x, *a{i}, ");
            let text =
                |aliases: usize| format!("[{}x]", (0..aliases).map(each).collect::<String>());
            holds(&text(ALIASES), of);
            too_large(&text(ALIASES + 1), of);
        }
    }
}
