//! The protocol between coldring and its sandboxed worker, which does all work
//! on untrusted files (house logos, attached PDFs, papers to verify). Neither
//! typst nor a PDF reader can be stopped or limited in memory from inside the
//! process, so the work runs in a separate one with no environment and no files
//! to open: 2 GiB and one minute to lay out a paper, 512 MiB and 10 seconds of
//! processor time to read a file. The worker gets sheet data only, never specs,
//! keys, or rosters. How the worker ends becomes a finding about the logo or
//! the attachment.
//!
//! The memory and file limits use `setrlimit` and so hold on Unix only;
//! elsewhere only the time limit does, and macOS ignores the memory limit. A
//! library user who sets no sandbox does the work in process.
//!
//! A message is [`VERSION`], then parts, each its length in eight bytes and its
//! bytes. The first part is JSON: the task, or its result.

use std::fmt;
use std::time::Duration;

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

/// The head of a message. Both ends are the same binary, but one that is being
/// replaced may start its successor.
const VERSION: &[u8] = concat!("coldring sandbox 1, ", env!("CARGO_PKG_VERSION"), "\n").as_bytes();

/// Memory limit for laying out, in bytes. The demo's submittal, its largest job,
/// needs a fifth of this.
pub(crate) const MOST_MEMORY: u64 = 2 << 30;

/// Memory limit for reading an untrusted PDF or logo, in bytes. Scanning a page of
/// 11 by 17 inches for codes takes 100 MB.
pub(crate) const MOST_MEMORY_TO_READ: u64 = 512 << 20;

/// Processor time limit for reading an untrusted PDF or logo. On a busy machine
/// this takes longer by the clock.
pub(crate) const LONGEST_TO_READ: Duration = Duration::from_secs(10);

/// Runs a task in a separate process: takes the message, returns the answer.
pub(crate) type Sandbox = fn(Task, &[u8]) -> Result<Vec<u8>, SandboxError>;

/// What the sandboxed worker can do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Task {
    /// Lay out a paper.
    Typeset,
    /// Lay out a paper and return a picture of each page.
    Pictures,
    /// Rasterize the pages of a paper.
    Pixels,
    /// Check that a logo can be drawn.
    Logo,
    /// Read a PDF and check that its pages can be placed.
    Attachment,
    /// Read a paper to be verified, and the codes on its pages.
    Verify,
}

impl Task {
    /// Time limit by the clock. A paper takes a few seconds at most; verifying 200
    /// scanned pages takes a minute or two.
    pub(crate) fn longest(self) -> Duration {
        Duration::from_secs(match self {
            Task::Verify => 300,
            // The logo is drawn again on every page.
            Task::Logo => 10,
            _ => 60,
        })
    }

    /// Memory limit, in bytes.
    pub(crate) fn most_memory(self) -> u64 {
        match self.is_reading() {
            true => MOST_MEMORY_TO_READ,
            false => MOST_MEMORY,
        }
    }

    /// Whether the task only reads a file and lays out nothing that is kept.
    pub(crate) fn is_reading(self) -> bool {
        matches!(self, Task::Logo | Task::Attachment | Task::Verify)
    }
}

/// Why the sandboxed worker gave no answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SandboxError {
    /// It ran longer than this.
    TooLong(Duration),
    /// It needed more than this many bytes.
    TooMuchMemory(u64),
    /// It ended before it answered.
    BrokeDown,
    /// The process could not be started or did not understand the message, and
    /// why. Not the fault of the file.
    NotStarted(String),
}

impl fmt::Display for SandboxError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            SandboxError::TooLong(longest) => {
                write!(f, "took more than {} seconds", longest.as_secs())
            }
            SandboxError::TooMuchMemory(most) => {
                write!(f, "took more than {} MB of memory", most >> 20)
            }
            SandboxError::BrokeDown => f.write_str("broke down"),
            SandboxError::NotStarted(why) => write!(f, "could not be begun: {why}"),
        }
    }
}

/// Runs a task in the sandbox: sends a question with its bytes, returns the
/// answer with its bytes.
///
/// # Errors
/// Why there is no answer.
pub(crate) fn ask<Q: Serialize, A: DeserializeOwned>(
    sandbox: Sandbox,
    task: Task,
    question: &Q,
    bytes: &[&[u8]],
) -> Result<(A, Vec<Vec<u8>>), SandboxError> {
    let message = pack(&(task, question), bytes).map_err(SandboxError::NotStarted)?;
    let answer = sandbox(task, &message)?;
    let (answer, bytes) = unpack(&answer).ok_or(SandboxError::BrokeDown)?;
    Ok((answer, bytes.into_iter().map(<[u8]>::to_vec).collect()))
}

/// Builds a message from a JSON value and bytes.
///
/// # Errors
/// Why the value cannot be written as JSON.
pub(crate) fn pack<T: Serialize>(value: &T, bytes: &[&[u8]]) -> Result<Vec<u8>, String> {
    let json = serde_json::to_vec(value).map_err(|error| error.to_string())?;
    let mut message = VERSION.to_vec();
    for part in [json.as_slice()].into_iter().chain(bytes.iter().copied()) {
        let length = u64::try_from(part.len()).map_err(|error| error.to_string())?;
        message.extend(length.to_le_bytes());
        message.extend(part);
    }
    Ok(message)
}

/// Splits a message into its JSON value and bytes; `None` if it is not a message
/// or is cut off.
pub(crate) fn unpack<T: DeserializeOwned>(message: &[u8]) -> Option<(T, Vec<&[u8]>)> {
    let mut rest = message.strip_prefix(VERSION)?;
    let mut parts = Vec::new();
    while !rest.is_empty() {
        let (length, after) = rest.split_first_chunk()?;
        let length = usize::try_from(u64::from_le_bytes(*length)).ok()?;
        let (part, after) = after.split_at_checked(length)?;
        parts.push(part);
        rest = after;
    }
    let (json, bytes) = parts.split_first()?;
    Some((serde_json::from_slice(json).ok()?, bytes.to_vec()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_message_comes_back_as_it_went_and_is_none_when_cut() {
        let message = pack(&(Task::Logo, "a\nb"), &[b"\x00\xff", b""]).unwrap();
        let (said, bytes): ((Task, String), _) = unpack(&message).unwrap();
        assert_eq!(said, (Task::Logo, "a\nb".to_owned()));
        assert_eq!(bytes, [b"\x00\xff".as_slice(), b""]);
        // Cut between two parts it would be a shorter message: the bytes that
        // belong to an answer are asked for by whoever reads it.
        let ends = [message.len() - 8, message.len() - 18];
        for end in (0..message.len()).filter(|end| !ends.contains(end)) {
            let cut = unpack::<(Task, String)>(&message[..end]);
            assert!(cut.is_none(), "{end}");
        }
        let other = [b"coldring sandbox 0\n".as_slice(), &message].concat();
        assert!(unpack::<(Task, String)>(&other).is_none());
    }
}
