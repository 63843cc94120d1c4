//! SHA-256 digests of files and of everything a build depends on.
//!
//! `spec_digest` is the digest of the spec's bytes or, if the spec names files,
//! of a line with role and digest for each; papers print its first 16 hex
//! digits. `build_digest` covers every input with its role, the options, the
//! tables, and the program by the digest of its own sources (`build.rs`), so a
//! build by a different program is never "unchanged".

use sha2::{Digest, Sha256};

use crate::core::source::Sources;

/// How many hex digits of a digest are printed on a paper.
const PRINTED_DIGITS: usize = 16;

/// How many of a house style's; it stands beside the other.
const PRINTED_HOUSE_DIGITS: usize = 8;

/// Says what the framed bytes are, so that a build digest can never be that of
/// a file; changes when the framing does.
const BUILD_FRAMING: &str = "coldring build digest 1";

/// The SHA-256 of `bytes`, as 64 lower-case hex digits.
pub(crate) fn sha256(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}

/// The digest that ties a paper to what it was written from: the SHA-256 of the
/// spec, or where the spec names files, the SHA-256 of the lines `role digest`
/// of all of them, the spec's first.
pub(crate) fn spec_digest(sources: &Sources) -> String {
    let spec = sha256(sources.spec().text.as_bytes());
    let mut lines = format!("spec {spec}\n");
    let mut alone = true;
    for (_, role, file) in sources.readable() {
        alone = false;
        lines.push_str(&format!(
            "{} {}\n",
            role.word(),
            sha256(file.text.as_bytes())
        ));
    }
    if alone {
        spec
    } else {
        sha256(lines.as_bytes())
    }
}

/// The digest of a house style: the SHA-256 of the lines `role path digest` of
/// its files that could be read.
pub(crate) fn house_digest(sources: &Sources) -> String {
    let lines = sources.house().filter_map(|(_, file)| {
        let digest = sha256(file.bytes.as_ref().ok()?);
        Some(format!("{} {} {digest}\n", file.role.word(), file.path))
    });
    sha256(lines.collect::<String>().as_bytes())
}

/// The part of a house style's digest that is printed on papers.
pub(crate) fn house_short(digest: &str) -> &str {
    digest.get(..PRINTED_HOUSE_DIGITS).unwrap_or(digest)
}

/// The part of a digest that is printed on papers: its first 16 hex digits.
pub(crate) fn short(digest: &str) -> &str {
    digest.get(..PRINTED_DIGITS).unwrap_or(digest)
}

/// The digest of everything a build depends on: each input with its role, in
/// the order given, the options, and the versions of the tool and the limits.
///
/// Every piece is preceded by its length, and the inputs by their count, so no
/// two different builds share the bytes that are digested.
pub(crate) fn build_digest(
    inputs: &[(&str, &[u8])],
    options: &str,
    tool: &str,
    limits: &str,
) -> String {
    let mut hasher = Sha256::new();
    let mut piece = |bytes: &[u8]| {
        hasher.update(length(bytes.len()));
        hasher.update(bytes);
    };
    for text in [BUILD_FRAMING, tool, limits, options] {
        piece(text.as_bytes());
    }
    piece(&length(inputs.len()));
    for (role, bytes) in inputs {
        piece(role.as_bytes());
        piece(bytes);
    }
    hex(&hasher.finalize())
}

/// A length as eight bytes, the same on every machine.
fn length(len: usize) -> [u8; 8] {
    (len as u64).to_le_bytes()
}

fn hex(bytes: &[u8]) -> String {
    bytes
        .iter()
        .flat_map(|byte| [byte >> 4, byte & 0xf])
        .filter_map(|digit| char::from_digit(digit.into(), 16))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The examples of FIPS 180.
    #[test]
    fn sha256_gives_the_published_examples() {
        for (text, digest) in [
            (
                "abc",
                "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
            ),
            (
                "",
                "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
            ),
            (
                "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
                "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
            ),
        ] {
            assert_eq!(sha256(text.as_bytes()), digest, "{text:?}");
        }
    }

    #[test]
    fn the_printed_part_is_the_first_sixteen_digits() {
        assert_eq!(short(&sha256(b"abc")), "ba7816bf8f01cfea");
        assert_eq!(short("ba78"), "ba78");
    }

    #[test]
    fn every_input_changes_the_build_digest() {
        let base = build_digest(&[("spec", b"a"), ("record", b"b")], "letter", "1", "2");
        for other in [
            build_digest(&[("spec", b"A"), ("record", b"b")], "letter", "1", "2"),
            build_digest(&[("house", b"a"), ("record", b"b")], "letter", "1", "2"),
            build_digest(&[("record", b"b"), ("spec", b"a")], "letter", "1", "2"),
            build_digest(&[("spec", b"a")], "letter", "1", "2"),
            build_digest(&[("spec", b"a"), ("record", b"b")], "a4", "1", "2"),
            build_digest(&[("spec", b"a"), ("record", b"b")], "letter", "2", "2"),
            build_digest(&[("spec", b"a"), ("record", b"b")], "letter", "1", "1"),
        ] {
            assert_ne!(base, other);
        }
        assert_eq!(
            base,
            build_digest(&[("spec", b"a"), ("record", b"b")], "letter", "1", "2")
        );
    }

    #[test]
    fn bytes_that_move_between_pieces_change_the_build_digest() {
        let digest = |inputs: &[(&str, &[u8])]| build_digest(inputs, "", "1", "2");
        assert_ne!(digest(&[("ab", b"c")]), digest(&[("a", b"bc")]));
        assert_ne!(
            digest(&[("r", b"ab"), ("r", b"c")]),
            digest(&[("r", b"a"), ("r", b"bc")])
        );
        assert_ne!(digest(&[]), digest(&[("", b"")]));
        assert_ne!(
            build_digest(&[], "x", "12", "3"),
            build_digest(&[], "x", "1", "23")
        );
    }
}
