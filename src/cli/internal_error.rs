//! Faults of the program itself end with exit code 2 and say what to send to
//! the maintainers. The panic hook only records: over an untrusted file a panic
//! is a finding, so whoever waits for the work decides what to report. A full
//! disk behind standard output is exit code 2 too; a reader that went away is
//! not. A stack overflow cannot be caught, which is why texts have budgets and
//! PDFs are read in a separate process.

use std::any::Any;
use std::panic::{AssertUnwindSafe, PanicHookInfo, catch_unwind, set_hook};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};

use super::ExitStatus;

/// Messages of panics, oldest first: a thread that waits for one that panicked
/// panics after it, with less to say.
static PANICS: Mutex<Vec<String>> = Mutex::new(Vec::new());

static FILES_WRITTEN: AtomicUsize = AtomicUsize::new(0);

static PRINT_FAILED: AtomicBool = AtomicBool::new(false);

pub(crate) fn count_written_file() {
    FILES_WRITTEN.fetch_add(1, Ordering::Relaxed);
}

/// Records that something could not be printed, and reports it once.
pub(crate) fn print_failed(error: &std::io::Error) {
    if !PRINT_FAILED.swap(true, Ordering::Relaxed) {
        super::print_error(&format!(
            "standard output did not take what was printed, so what it holds is not whole: \
             {error}; free some space where it goes, and run again"
        ));
    }
}

/// Runs a command. A panic becomes a message and [`ExitStatus::CouldNotRun`].
pub(crate) fn run_catching_panics(command: impl FnOnce() -> ExitStatus) -> ExitStatus {
    set_hook(Box::new(record_panic));
    let status = catch_unwind(AssertUnwindSafe(command)).unwrap_or_else(|payload| {
        let what = panics().first().cloned();
        let what = what.unwrap_or_else(|| payload_text(payload.as_ref()).to_owned());
        super::print_error(&message(&what, FILES_WRITTEN.load(Ordering::Relaxed)));
        ExitStatus::CouldNotRun
    });
    if PRINT_FAILED.load(Ordering::Relaxed) {
        ExitStatus::CouldNotRun
    } else {
        status
    }
}

/// Does work whose panic must not end the program.
///
/// # Errors
/// The message of the panic.
pub(crate) fn catch_panic<T>(work: impl FnOnce() -> T) -> Result<T, String> {
    catch_unwind(AssertUnwindSafe(work)).map_err(|payload| {
        let noted = std::mem::take(&mut *panics());
        let first = noted.into_iter().next();
        first.unwrap_or_else(|| payload_text(payload.as_ref()).to_owned())
    })
}

/// The message about a fault of the program after so many files were written.
pub(crate) fn message(what: &str, written: usize) -> String {
    let papers = match written {
        0 => "No file was changed.".to_owned(),
        1 => "One file was written before, whole; no other was changed.".to_owned(),
        count => format!("{count} files were written before, each whole; no other was changed."),
    };
    format!(
        "a fault of this program, not of your files: {what}\n{papers}\n{}",
        PLEASE_REPORT
    )
}

/// What to send to the maintainers.
pub(crate) const PLEASE_REPORT: &str = concat!(
    "Please send this message (coldring ",
    env!("CARGO_PKG_VERSION"),
    ", ",
    "the command as you gave it, and the files it read) to the maintainers; replace the names \
     of people first."
);

fn record_panic(info: &PanicHookInfo<'_>) {
    let place = info.location();
    let place = place.map_or_else(String::new, |place| format!(" ({place})"));
    panics().push(format!("{}{place}", payload_text(info.payload())));
}

fn payload_text(payload: &(dyn Any + Send)) -> &str {
    let text = payload.downcast_ref::<&str>().copied();
    text.or_else(|| payload.downcast_ref::<String>().map(String::as_str))
        .unwrap_or("it did not say what happened")
}

fn panics() -> std::sync::MutexGuard<'static, Vec<String>> {
    PANICS.lock().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(test)]
mod tests {
    use std::process::{Command, exit};

    use super::*;

    #[test]
    fn a_fault_says_what_was_written_and_what_to_send() {
        let text = message("an odd thing (src/x.rs:1:2)", 0);
        assert!(text.contains("an odd thing (src/x.rs:1:2)"), "{text}");
        assert!(text.contains("No file was changed"), "{text}");
        assert!(text.contains(env!("CARGO_PKG_VERSION")), "{text}");
        assert!(text.contains("to the maintainers"), "{text}");
        assert!(message("x", 1).contains("One file was written"));
        assert!(message("x", 7).contains("7 files were written"));
        assert!(!message("x", 7).contains("No file was changed"));
    }

    /// Runs one of the tests below, each of which ends its process.
    fn in_own_process(name: &str) -> (Option<i32>, String) {
        let ran = Command::new(std::env::current_exe().unwrap())
            .args(["--ignored", "--exact", "--nocapture", "--test-threads=1"])
            .arg(format!("cli::internal_error::tests::{name}"))
            .output()
            .unwrap();
        (ran.status.code(), String::from_utf8(ran.stderr).unwrap())
    }

    fn exit_with(status: ExitStatus) -> ! {
        exit(status as i32)
    }

    #[test]
    #[ignore = "ends its process; run by a_panic_ends_as_a_message"]
    fn breaks_down() {
        exit_with(run_catching_panics(|| {
            count_written_file();
            panic!("four is not {}", 5)
        }));
    }

    #[test]
    #[ignore = "ends its process; run by a_panic_ends_as_a_message"]
    fn breaks_down_in_a_thread() {
        exit_with(run_catching_panics(|| {
            std::thread::scope(|scope| {
                scope.spawn(|| panic!("deep inside"));
            });
            ExitStatus::Clean
        }));
    }

    #[test]
    fn a_panic_ends_as_a_message() {
        let (code, said) = in_own_process("breaks_down");
        assert_eq!(code, Some(2), "{said}");
        assert!(
            said.starts_with("coldring: a fault of this program"),
            "{said}"
        );
        assert!(
            said.contains("four is not 5 (src/cli/internal_error.rs:"),
            "{said}"
        );
        assert!(said.contains("One file was written before"), "{said}");
        assert!(!said.contains("panicked"), "{said}");

        let (code, said) = in_own_process("breaks_down_in_a_thread");
        assert_eq!(code, Some(2), "{said}");
        assert!(said.contains("deep inside"), "{said}");
        assert!(said.contains("No file was changed"), "{said}");
    }
}
