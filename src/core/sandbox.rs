//! Work over what anybody may have made (logos of a house, attached PDFs), done in
//! a process of its own, since neither typst nor a reader of PDFs can be stopped or
//! held to an amount of memory from inside. Here is what goes there and back; `cli/sandbox.rs` starts the process.
//!
//! A message is [`VERSION`], then parts, each its length in eight bytes and its
//! bytes. The first part is JSON: what is to be done, or what came of it.

use std::fmt;
use std::time::Duration;

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

/// The beginning of a message. Both ends are one binary, but one that is being
/// replaced may start its successor.
const VERSION: &[u8] = concat!("coldring apart 1, ", env!("CARGO_PKG_VERSION"), "\n").as_bytes();

/// The most memory that laying out may take, in bytes. The demo's submittal, the
/// largest of the demo's jobs, does with a fifth.
pub const MOST_MEMORY: u64 = 2 << 30;

/// The most memory that reading a PDF or a logo from anybody may take, in bytes.
/// A page of 11 by 17 inches that is looked at for codes takes 100 MB.
pub const MOST_MEMORY_TO_READ: u64 = 512 << 20;

/// The longest that a processor may work at reading a PDF or a logo from anybody.
/// On a machine that does much else it takes longer by the clock.
pub const LONGEST_TO_READ: Duration = Duration::from_secs(10);

/// What takes a message to a process of its own and brings the answer.
pub type Apart = fn(Work, &[u8]) -> Result<Vec<u8>, Stopped>;

/// What can be done apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Work {
    /// Laying out a paper.
    Typeset,
    /// Laying out a paper, for a picture of each page.
    Pictures,
    /// Drawing the pages of a paper in pixels.
    Pixels,
    /// Asking a template what it finds out by laying out.
    Query,
    /// Drawing a logo by way of trial.
    Logo,
    /// Reading a PDF and placing its pages by way of trial.
    Attachment,
    /// Reading a paper that is verified, and the codes on its pages.
    Verify,
}

impl Work {
    /// The longest time that it may take by the clock. With the program's own
    /// templates a paper takes a few seconds at most; 200 pages of scans to verify,
    /// a minute or two.
    pub fn longest(self) -> Duration {
        Duration::from_secs(match self {
            Work::Verify => 300,
            // On every page again.
            Work::Logo => 10,
            _ => 60,
        })
    }

    /// The most memory that it may take, in bytes.
    pub fn most_memory(self) -> u64 {
        match self.is_reading() {
            true => MOST_MEMORY_TO_READ,
            false => MOST_MEMORY,
        }
    }

    /// Whether a file is read, and nothing laid out that the program keeps.
    pub fn is_reading(self) -> bool {
        matches!(self, Work::Logo | Work::Attachment | Work::Verify)
    }
}

/// Why work that was done apart came to nothing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Stopped {
    /// It did not end in this time.
    TooLong(Duration),
    /// It asked for more than so many bytes.
    TooMuchMemory(u64),
    /// It ended before there was an answer.
    BrokeDown,
    /// The process could not be started, or was not understood; why. No fault
    /// of what was to be worked on.
    NotStarted(String),
}

impl fmt::Display for Stopped {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Stopped::TooLong(longest) => write!(f, "took more than {} seconds", longest.as_secs()),
            Stopped::TooMuchMemory(most) => {
                write!(f, "took more than {} MB of memory", most >> 20)
            }
            Stopped::BrokeDown => f.write_str("broke down"),
            Stopped::NotStarted(why) => write!(f, "could not be begun: {why}"),
        }
    }
}

/// Has work done apart: a question and the bytes that belong to it go there, an
/// answer and its bytes come back.
///
/// # Errors
/// Why there is no answer.
pub fn ask<Q: Serialize, A: DeserializeOwned>(
    apart: Apart,
    work: Work,
    question: &Q,
    bytes: &[&[u8]],
) -> Result<(A, Vec<Vec<u8>>), Stopped> {
    let message = pack(&(work, question), bytes).map_err(Stopped::NotStarted)?;
    let answer = apart(work, &message)?;
    let (answer, bytes) = unpack(&answer).ok_or(Stopped::BrokeDown)?;
    Ok((answer, bytes.into_iter().map(<[u8]>::to_vec).collect()))
}

/// A message of what JSON can say, and bytes.
///
/// # Errors
/// Why JSON cannot say it.
pub fn pack<T: Serialize>(said: &T, bytes: &[&[u8]]) -> Result<Vec<u8>, String> {
    let said = serde_json::to_vec(said).map_err(|error| error.to_string())?;
    let mut message = VERSION.to_vec();
    for part in [said.as_slice()].into_iter().chain(bytes.iter().copied()) {
        let length = u64::try_from(part.len()).map_err(|error| error.to_string())?;
        message.extend(length.to_le_bytes());
        message.extend(part);
    }
    Ok(message)
}

/// What a message says, and its bytes; `None` when it is none, or is cut off.
pub fn unpack<T: DeserializeOwned>(message: &[u8]) -> Option<(T, Vec<&[u8]>)> {
    let mut rest = message.strip_prefix(VERSION)?;
    let mut parts = Vec::new();
    while !rest.is_empty() {
        let (length, after) = rest.split_first_chunk()?;
        let length = usize::try_from(u64::from_le_bytes(*length)).ok()?;
        let (part, after) = after.split_at_checked(length)?;
        parts.push(part);
        rest = after;
    }
    let (said, bytes) = parts.split_first()?;
    Some((serde_json::from_slice(said).ok()?, bytes.to_vec()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_message_comes_back_as_it_went_and_is_none_when_cut() {
        let message = pack(&(Work::Logo, "a\nb"), &[b"\x00\xff", b""]).unwrap();
        let (said, bytes): ((Work, String), _) = unpack(&message).unwrap();
        assert_eq!(said, (Work::Logo, "a\nb".to_owned()));
        assert_eq!(bytes, [b"\x00\xff".as_slice(), b""]);
        // Cut between two parts it would be a shorter message: the bytes that
        // belong to an answer are asked for by whoever reads it.
        let ends = [message.len() - 8, message.len() - 18];
        for end in (0..message.len()).filter(|end| !ends.contains(end)) {
            let cut = unpack::<(Work, String)>(&message[..end]);
            assert!(cut.is_none(), "{end}");
        }
        let other = [b"coldring apart 0\n".as_slice(), &message].concat();
        assert!(unpack::<(Work, String)>(&other).is_none());
    }
}
