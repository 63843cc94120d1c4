//! Bounds what templates of a house and attached PDFs may take. Templates are
//! programs that nobody tested. Typst ends a loop after 10 000 turns and a recursion that is too
//! deep, but loops inside loops multiply, and only a clock ends those.

use std::sync::mpsc::{RecvTimeoutError, channel};
use std::thread;
use std::time::Duration;

use super::fault;
use crate::finding::Finding;
use crate::house::rules;
use crate::source::{Role, Sources};

/// Longest time that the papers of a spec may take with templates of a house;
/// with the program's own they take a few seconds at most.
const LONGEST: Duration = Duration::from_secs(60);

/// Stack of a run apart, in bytes.
const STACK: usize = 64 * 1024 * 1024;

/// Runs something over a file from elsewhere, apart from the program and for no
/// longer than a minute; `None` when the time was over or it broke down.
pub fn apart<T: Send + 'static>(run: impl FnOnce() -> T + Send + 'static) -> Option<T> {
    let (send, receive) = channel();
    // Nested structures are read by functions that call themselves.
    let started = thread::Builder::new()
        .stack_size(STACK)
        .spawn(move || send.send(run()));
    started.ok()?;
    let ran = receive.recv_timeout(LONGEST);
    ran.inspect_err(|_| fault::forget()).ok()
}

/// Makes papers; with templates of a house, for no longer than a minute.
///
/// # Errors
/// A finding about the templates when the time was over or typst broke down.
pub fn guarded<T: Send + 'static>(
    sources: &Sources,
    make: impl FnOnce() -> T + Send + 'static,
) -> Result<T, Box<Finding>> {
    let mut templates = sources
        .house()
        .filter(|(_, file)| file.role == Role::Template);
    let Some((first, _)) = templates.next() else {
        return Ok(make());
    };
    within(LONGEST, make).map_err(|error| {
        let message = match error {
            RecvTimeoutError::Timeout => format!(
                "no paper was laid out within {} seconds; a loop may not end",
                LONGEST.as_secs()
            ),
            RecvTimeoutError::Disconnected => "typst broke down over a template".to_owned(),
        };
        let finding = rules::TEMPLATE_FAILED
            .about_file(message)
            .help("take the templates of the house style out one by one");
        Box::new(finding.in_file(first))
    })
}

/// Does something that a file from anybody may keep from ending, or break.
///
/// # Errors
/// When it did not end in time, or broke down.
pub fn within<T: Send + 'static>(
    longest: Duration,
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, RecvTimeoutError> {
    let (send, receive) = channel();
    // A thread cannot be stopped from outside; it ends with the program.
    thread::spawn(move || send.send(work()));
    let ran = receive.recv_timeout(longest);
    ran.inspect_err(|_| fault::forget())
}
