//! Both ends of the sandbox for untrusted files. The worker is this binary, started
//! again with a message on standard input and its answer on standard output. It has
//! no environment and opens no files, and its memory and time are limited.

use std::io::{Read, Write};
use std::process::{Child, Command, ExitCode, Stdio};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::channel;
use std::thread;
use std::time::Duration;

use super::args::SANDBOX_WORKER;
use crate::core::sandbox::{
    LONGEST_TO_READ, MOST_MEMORY_TO_READ, SandboxError, Task, pack, unpack,
};
use crate::papers::compile;
use crate::papers::typeset::{self, Picture, PrintMessage};
use crate::verify;

/// The longest answer, in bytes: a submittal with all its attachments.
const LONGEST_ANSWER: u64 = 1 << 30;
/// The most that is read of what a crashing worker prints, in bytes.
const MOST_STDERR: u64 = 64 * 1024;
/// The stack of the worker, in bytes: nested structures are read recursively.
const STACK: usize = 64 * 1024 * 1024;

/// Sends a message to a new worker and returns its answer.
///
/// # Errors
/// Why there is no answer.
pub(crate) fn run_in_sandbox(task: Task, message: &[u8]) -> Result<Vec<u8>, SandboxError> {
    let mut child = start().map_err(|error| SandboxError::NotStarted(error.to_string()))?;
    let answer = read_answer(&mut child, task, task.longest(), message);
    // It has answered, or must not go on; either way it ends here.
    let _ = child.kill();
    let _ = child.wait();
    answer
}

/// Whether workers get a process group of their own, which Ctrl-C does not reach.
static OWN_PROCESS_GROUP: AtomicBool = AtomicBool::new(false);

/// Shields workers from Ctrl-C, which a terminal sends to the whole process group: a
/// watch finishes the papers it is making.
pub(crate) fn shield_from_interrupt() {
    OWN_PROCESS_GROUP.store(true, Ordering::Relaxed);
}

fn start() -> std::io::Result<Child> {
    let mut command = Command::new(std::env::current_exe()?);
    #[cfg(unix)]
    if OWN_PROCESS_GROUP.load(Ordering::Relaxed) {
        use std::os::unix::process::CommandExt;
        command.process_group(0);
    }
    command
        .arg(SANDBOX_WORKER)
        .env_clear()
        // Memory that the allocator reserves in advance counts against the limit, so
        // it must ask only for what it needs.
        .env("MIMALLOC_ARENA_EAGER_COMMIT", "0")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
}

fn read_answer(
    child: &mut Child,
    task: Task,
    longest: Duration,
    message: &[u8],
) -> Result<Vec<u8>, SandboxError> {
    let (Some(mut stdin), Some(stdout), Some(stderr)) =
        (child.stdin.take(), child.stdout.take(), child.stderr.take())
    else {
        return Err(SandboxError::NotStarted("it has no pipes".to_owned()));
    };
    let (send, receive) = channel();
    let (answer, stderr_text) = thread::scope(|scope| {
        // A worker that crashed does not read to the end.
        scope.spawn(move || stdin.write_all(message));
        let stderr_text = scope.spawn(move || read_up_to(stderr, MOST_STDERR));
        scope.spawn(move || send.send(read_up_to(stdout, LONGEST_ANSWER)));
        let answer = receive.recv_timeout(longest);
        // That closes its pipes, which ends the threads.
        if answer.is_err() {
            let _ = child.kill();
        }
        (answer, stderr_text.join().unwrap_or_default())
    });
    let answer = answer.map_err(|_| SandboxError::TooLong(longest))?;
    if unpack::<serde_json::Value>(&answer).is_some() {
        return Ok(answer);
    }
    // What the standard library prints when an allocation fails.
    let stderr_text = String::from_utf8_lossy(&stderr_text);
    Err(if stderr_text.contains("memory allocation of") {
        SandboxError::TooMuchMemory(task.most_memory())
    } else if ran_out_of_cpu_time(child) {
        SandboxError::TooLong(LONGEST_TO_READ)
    } else {
        SandboxError::BrokeDown
    })
}

/// Whether the system ended a process because of its processor time.
#[cfg(unix)]
fn ran_out_of_cpu_time(child: &mut Child) -> bool {
    use std::os::unix::process::ExitStatusExt;
    let signal = child.wait().ok().and_then(|status| status.signal());
    signal == Some(rustix::process::Signal::XCPU.as_raw())
}

#[cfg(not(unix))]
fn ran_out_of_cpu_time(_: &mut Child) -> bool {
    false
}

fn read_up_to(from: impl Read, most: u64) -> Vec<u8> {
    let mut bytes = Vec::new();
    // An answer that breaks off fails to unpack.
    let _ = from.take(most).read_to_end(&mut bytes);
    bytes
}

/// The worker: answers the message on standard input.
pub(crate) fn run_worker() -> ExitCode {
    if let Err(error) = limit_process() {
        super::print_error(&format!("cannot limit what this process may take: {error}"));
        return ExitCode::from(2);
    }
    let answered = thread::Builder::new().stack_size(STACK).spawn(|| {
        let mut message = Vec::new();
        let mut stdin = std::io::stdin().lock();
        stdin.read_to_end(&mut message).ok()?;
        let answer = answer(&message)?;
        let mut stdout = std::io::stdout().lock();
        stdout.write_all(&answer).ok()?;
        stdout.flush().ok()
    });
    let answered = answered
        .ok()
        .and_then(|thread| thread.join().ok().flatten());
    match answered {
        Some(()) => ExitCode::SUCCESS,
        None => ExitCode::from(2),
    }
}

fn answer(message: &[u8]) -> Option<Vec<u8>> {
    let ((task, question), bytes): ((Task, serde_json::Value), _) = unpack(message)?;
    if task.is_reading() {
        limit_reading(LONGEST_TO_READ).ok()?;
    }
    // In case the process that asked was killed.
    thread::spawn(move || {
        thread::sleep(task.longest() + Duration::from_secs(5));
        std::process::exit(2);
    });
    let packed = match task {
        Task::Typeset => {
            let sent: PrintMessage = serde_json::from_value(question).ok()?;
            let made = typeset::typeset(&sent.print(&bytes)?);
            let pdf = made.as_ref().map_or(&[][..], Vec::as_slice);
            pack(&made.as_ref().map(|_| ()), &[pdf])
        }
        Task::Pictures => {
            let sent: PrintMessage = serde_json::from_value(question).ok()?;
            let pages = typeset::pictures(&sent.print(&bytes)?);
            let drawn = |pages: Vec<Picture>| pages.into_iter().map(Picture::drawn).collect();
            pack::<Result<Vec<_>, _>>(&pages.map(drawn), &[])
        }
        Task::Pixels => {
            let dots_per_inch = serde_json::from_value(question).ok()?;
            let drawn = typeset::drawn(bytes.first()?, dots_per_inch);
            let pictures = drawn.iter().flatten().map(Vec::as_slice);
            let pictures: Vec<_> = pictures.collect();
            pack(&drawn.as_ref().map(|_| ()), &pictures)
        }
        Task::Logo => {
            let path: String = serde_json::from_value(question).ok()?;
            pack(&typeset::try_logo(&path, bytes.first()?, None), &[])
        }
        Task::Attachment => pack(&compile::try_attachment(bytes.first()?), &[]),
        Task::Verify => {
            let contents = verify::read_paper(bytes.first()?, |pages| {
                // A second more for each page: scans take long.
                let more = Duration::from_secs(u64::try_from(pages).unwrap_or(u64::MAX));
                // If that fails, the earlier limit holds.
                let _ = limit_reading(LONGEST_TO_READ.saturating_add(more));
            });
            let (names, attached) = { contents.as_ref() }
                .map(verify::PaperContents::attached)
                .unwrap_or_default();
            pack(
                &contents.as_ref().map(|contents| (contents, names)),
                &attached,
            )
        }
    };
    packed.ok()
}

/// Limits this process: no matter what a hostile file makes it do, it can neither
/// open files nor write them.
#[cfg(unix)]
fn limit_process() -> std::io::Result<()> {
    use rustix::process::{Resource, Rlimit, setrlimit};
    let to = |most: u64| Rlimit {
        current: Some(most),
        maximum: Some(most),
    };
    // The pipes are already open. A core dump would contain the files.
    setrlimit(Resource::Nofile, to(3))?;
    setrlimit(Resource::Fsize, to(0))?;
    setrlimit(Resource::Core, to(0))?;
    setrlimit(Resource::As, to(crate::core::sandbox::MOST_MEMORY))?;
    Ok(())
}

/// Limits memory and processor time to what reading a file may take, or to the
/// limits the program was started with if they are lower.
#[cfg(unix)]
fn limit_reading(longest: Duration) -> std::io::Result<()> {
    use rustix::process::{Resource, Rlimit, getrlimit, setrlimit};
    let to = |resource, most: u64| {
        let maximum = getrlimit(resource).maximum;
        let current = Some(maximum.map_or(most, |maximum| most.min(maximum)));
        // Below the maximum, the system sends the signal that tells why it ends.
        setrlimit(resource, Rlimit { current, maximum })
    };
    // This limit does not count memory that is only reserved.
    to(Resource::Data, MOST_MEMORY_TO_READ)?;
    to(Resource::Cpu, longest.as_secs())?;
    Ok(())
}

/// Other systems only limit wall-clock time.
#[cfg(not(unix))]
fn limit_reading(_: Duration) -> std::io::Result<()> {
    Ok(())
}

/// Other systems only limit wall-clock time.
#[cfg(not(unix))]
fn limit_process() -> std::io::Result<()> {
    Ok(())
}

#[cfg(all(test, unix))]
mod tests {
    use std::time::Instant;

    use super::*;

    fn answer_of(script: &str, longest: Duration) -> Result<Vec<u8>, SandboxError> {
        let mut child = Command::new("sh")
            .args(["-c", script])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let answer = read_answer(&mut child, Task::Verify, longest, b"");
        let _ = child.kill();
        let _ = child.wait();
        answer
    }

    #[test]
    fn one_that_does_not_answer_is_ended() {
        let started = Instant::now();
        let longest = Duration::from_millis(200);
        assert_eq!(
            answer_of("exec sleep 600", longest),
            Err(SandboxError::TooLong(longest))
        );
        assert!(started.elapsed() < Duration::from_secs(60));
    }

    #[test]
    fn one_that_breaks_down_is_told_from_one_that_wants_memory() {
        let longest = Duration::from_secs(60);
        assert_eq!(answer_of("exit 1", longest), Err(SandboxError::BrokeDown));
        assert_eq!(
            answer_of("kill -9 $$", longest),
            Err(SandboxError::BrokeDown)
        );
        assert_eq!(
            answer_of("echo half an answer", longest),
            Err(SandboxError::BrokeDown)
        );
        let memory = "echo 'memory allocation of 9 bytes failed' >&2; exit 1";
        let most = Task::Verify.most_memory();
        assert_eq!(
            answer_of(memory, longest),
            Err(SandboxError::TooMuchMemory(most))
        );
        let turns = "ulimit -St 1; while :; do :; done";
        assert_eq!(
            answer_of(turns, longest),
            Err(SandboxError::TooLong(LONGEST_TO_READ))
        );
    }
}
