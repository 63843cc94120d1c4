//! How much a file may have in it, by what it is. A stack or a memory that is
//! used up ends the program with no message, so each reader stops long before,
//! with a finding. Real files have a hundredth of these.

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
pub const SPEC: Budget = text("a spec");
/// The record of a qualification.
pub const RECORD: Budget = text("a record");
/// The figures as somebody read them.
pub const CONFIRMATIONS: Budget = text("a confirmations file");
/// The file of a submittal.
pub const SUBMITTAL: Budget = text("a submittal");
/// The words of a house style; its logo and templates have as many bytes.
pub const HOUSE: Budget = text("a house style");
/// The register of current revisions.
pub const REGISTER: Budget = text("a register");
/// A roster of fusers: some tens of thousands of people.
pub const ROSTER: Budget = Budget {
    what: "a roster",
    bytes: 16 * MEBIBYTE,
    nodes: 2_000_000,
};
/// Every text in YAML, for the tests.
#[cfg(test)]
pub const TEXTS: [&Budget; 7] = [
    &SPEC,
    &RECORD,
    &CONFIRMATIONS,
    &SUBMITTAL,
    &HOUSE,
    &REGISTER,
    &ROSTER,
];

/// Deepest nesting of a text in YAML.
pub const DEPTH: usize = 32;
/// Most aliases of a text in YAML.
pub const ALIASES: usize = 1000;
/// Most findings about one list or one table: who has a million mistakes to mend
/// has given the wrong file.
pub const FINDINGS: usize = 10_000;
/// Most columns of a roster in CSV; it has fourteen.
pub const COLUMNS: usize = 100;

/// Most bytes of a PDF that a submittal attaches.
pub const ATTACHMENT_BYTES: usize = 32 * MEBIBYTE;
/// Most bytes of a PDF that is verified: a submittal with its scans is smaller.
pub const VERIFIED_BYTES: usize = 64 * MEBIBYTE;
/// Most bytes that the streams of a PDF may unpack to; a drawing has a few
/// million, and a small file can be made to unpack to any size.
pub const UNPACKED_BYTES: usize = 256 * MEBIBYTE;
/// Deepest nesting in a PDF, of its tree of pages and of what a page draws. Real
/// ones have some ten levels.
pub const PDF_DEPTH: usize = 64;
/// Most bytes of a key; it has some 120, and lines of explanation.
pub const KEY_BYTES: usize = 10_000;
/// Most bytes of an earlier manifest; it has a few thousand.
pub const MANIFEST_BYTES: u64 = 1 << 20;
