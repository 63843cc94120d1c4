//! What wakes a watch: the system, when something happens in a folder where a
//! file is followed; a look now and then, since drives in a network tell
//! nothing; and the end of it, by Ctrl-C.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::thread;
use std::time::{Duration, Instant};

use notify::event::{AccessKind, AccessMode};
use notify::{Event, EventKind, RecommendedWatcher, RecursiveMode, Watcher};

use crate::cli::{complain, to_stderr};

/// How long nothing may happen before what happened is looked at: an editor
/// saves in several steps, and a checkout writes many files.
const QUIET: Duration = Duration::from_millis(100);
/// The longest that is waited for that.
const PATIENCE: Duration = Duration::from_secs(2);
/// How often files are looked at though nothing is said to have happened.
const NOW_AND_THEN: Duration = Duration::from_secs(2);

/// What a watch is woken by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wake {
    /// Files may have changed.
    Look,
    /// It is to end.
    End,
}

/// Waits for what is to be done next.
pub struct Waker {
    woken: Receiver<Wake>,
    /// None where the system tells of nothing; then there is only the look now
    /// and then.
    watcher: Option<RecommendedWatcher>,
    folders: BTreeSet<PathBuf>,
}

impl Waker {
    /// One that is woken by Ctrl-C from now on.
    pub fn new() -> Self {
        let (wake, woken) = channel();
        end_by_signal(wake.clone());
        Self::of(wake, woken)
    }

    fn of(wake: Sender<Wake>, woken: Receiver<Wake>) -> Self {
        let changed = move |event: notify::Result<Event>| {
            // What went wrong may have hidden a change.
            if event.map_or(true, |event| changes(event.kind)) {
                // Nobody listens any longer once the watch has ended.
                let _ = wake.send(Wake::Look);
            }
        };
        let watcher = notify::recommended_watcher(changed);
        Self {
            woken,
            watcher: watcher
                .map_err(|error| {
                    let every = NOW_AND_THEN.as_secs();
                    complain(&format!(
                        "the system does not tell of changes ({error}); looking every {every} s"
                    ));
                })
                .ok(),
            folders: BTreeSet::new(),
        }
    }

    /// Sees to it that changes of these files wake it. Folders are watched, not
    /// files: an editor puts a new file in the place of the old.
    pub fn watch(&mut self, files: Vec<PathBuf>) {
        let Some(watcher) = &mut self.watcher else {
            return;
        };
        let mut wanted = BTreeSet::new();
        for file in files {
            // A link changes where it stands, and what it leads to elsewhere.
            wanted.extend(file.canonicalize().iter().filter_map(|real| there(real)));
            wanted.extend(there(&file));
        }
        for gone in self.folders.difference(&wanted) {
            // One that was removed is watched no longer anyway.
            let _ = watcher.unwatch(gone);
        }
        for folder in &wanted {
            // Again each time: a folder of the same name may be another by now. One
            // that cannot be watched is looked at now and then.
            let _ = watcher.watch(folder, RecursiveMode::NonRecursive);
        }
        self.folders = wanted;
    }

    /// Waits until something has happened, and then until nothing does.
    pub fn wait(&self) -> Wake {
        match self.woken.recv_timeout(NOW_AND_THEN) {
            Err(RecvTimeoutError::Timeout) => return Wake::Look,
            Ok(Wake::End) | Err(RecvTimeoutError::Disconnected) => return Wake::End,
            Ok(Wake::Look) => {}
        }
        let since = Instant::now();
        while since.elapsed() < PATIENCE {
            match self.woken.recv_timeout(QUIET) {
                Ok(Wake::Look) => {}
                Ok(Wake::End) => return Wake::End,
                Err(_) => break,
            }
        }
        Wake::Look
    }
}

/// Whether files may be others after an event; reading them is one too.
fn changes(kind: EventKind) -> bool {
    match kind {
        EventKind::Access(kind) => kind == AccessKind::Close(AccessMode::Write),
        _ => true,
    }
}

/// The folder a file is in, or the nearest above it that is there.
fn there(file: &Path) -> Option<PathBuf> {
    let folders = file.ancestors().skip(1);
    let named = folders.map(|folder| match folder.as_os_str().is_empty() {
        true => Path::new("."),
        false => folder,
    });
    named
        .into_iter()
        .find(|folder| folder.is_dir())
        .map(Path::to_owned)
}

/// Wakes a watch for its end when it is interrupted or told to end. A second
/// time ends the program at once.
fn end_by_signal(wake: Sender<Wake>) {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build();
    // Without it, Ctrl-C ends the program as it ends any other.
    let Ok(runtime) = runtime else { return };
    let (listening, ready) = channel();
    thread::spawn(move || {
        runtime.block_on(async {
            let asked = AtomicBool::new(false);
            let end = || {
                if asked.swap(true, Ordering::Relaxed) {
                    std::process::exit(130);
                }
                to_stderr("ending when what is being written is whole; Ctrl-C again ends at once");
                let _ = wake.send(Wake::End);
            };
            // It gives up where signals cannot be listened for.
            let _ = listen(end, listening).await;
        });
    });
    // Until it listens, or has given up.
    let _ = ready.recv();
}

/// Calls `end` at each signal that asks a program to end.
#[cfg(unix)]
async fn listen(end: impl Fn(), listening: Sender<()>) -> std::io::Result<()> {
    use std::future::poll_fn;
    use std::task::Poll;
    use tokio::signal::unix::{SignalKind, signal};

    let mut interrupt = signal(SignalKind::interrupt())?;
    let mut terminate = signal(SignalKind::terminate())?;
    let _ = listening.send(());
    loop {
        poll_fn(|context| {
            let interrupted = interrupt.poll_recv(context).is_ready();
            match terminate.poll_recv(context).is_ready() || interrupted {
                true => Poll::Ready(()),
                false => Poll::Pending,
            }
        })
        .await;
        end();
    }
}

/// Calls `end` at each Ctrl-C, which is all there is on other systems.
#[cfg(not(unix))]
async fn listen(end: impl Fn(), listening: Sender<()>) -> std::io::Result<()> {
    let _ = listening.send(());
    loop {
        tokio::signal::ctrl_c().await?;
        end();
    }
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;

    /// Long enough for any machine; nothing is measured.
    const LONG: Duration = Duration::from_secs(60);

    #[test]
    fn the_system_tells_of_a_file_that_is_saved_replaced_or_new() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("s.yaml");
        fs::write(&file, "1").unwrap();
        let (wake, woken) = channel();
        let mut waker = Waker::of(wake, woken);
        let late = folder.path().join("later/r.yaml");
        let told = |waker: &Waker| {
            assert_eq!(waker.woken.recv_timeout(LONG), Ok(Wake::Look));
            while waker.woken.recv_timeout(QUIET).is_ok() {}
        };
        waker.watch(vec![file.clone(), late.clone()]);
        fs::write(&file, "2").unwrap();
        told(&waker);
        let beside = folder.path().join("s.new");
        fs::write(&beside, "3").unwrap();
        fs::rename(&beside, &file).unwrap();
        told(&waker);
        fs::remove_file(&file).unwrap();
        told(&waker);
        fs::create_dir(folder.path().join("later")).unwrap();
        told(&waker);
        waker.watch(vec![file, late.clone()]);
        fs::write(&late, "4").unwrap();
        told(&waker);
        // To look is no change.
        assert_eq!(fs::read(&late).unwrap(), b"4");
        let heard = waker.woken.recv_timeout(Duration::from_millis(500));
        assert_eq!(heard, Err(RecvTimeoutError::Timeout));
    }

    #[test]
    fn a_folder_that_is_not_there_is_waited_for_above_it() {
        let folder = tempfile::tempdir().unwrap();
        let missing = folder.path().join("a/b/c.yaml");
        assert_eq!(there(&missing).as_deref(), Some(folder.path()));
        assert_eq!(there(Path::new("c.yaml")).as_deref(), Some(Path::new(".")));
    }
}
