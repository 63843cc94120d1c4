//! Waits for the next thing a watch must react to: a change in a folder that holds
//! a watched file, as the system reports it; a poll every two seconds, since
//! network drives report nothing; and Ctrl-C.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::thread;
use std::time::{Duration, Instant};

use notify::event::{AccessKind, AccessMode};
use notify::{Event, EventKind, RecommendedWatcher, RecursiveMode, Watcher};

use crate::cli::{print_error, print_stderr};

/// How long it must be quiet before a change is handled: an editor saves in several
/// steps, and a checkout writes many files.
const DEBOUNCE: Duration = Duration::from_millis(100);
/// How long to wait for that at most.
const LONGEST_DEBOUNCE: Duration = Duration::from_secs(2);
/// How often files are read though the system reported no change.
const POLL_INTERVAL: Duration = Duration::from_secs(2);

/// What a watch waits for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum WatchEvent {
    /// Files may have changed.
    FilesChanged,
    /// The user wants it to end.
    Stop,
}

/// Reports changes of files, and the wish to stop.
pub(crate) struct FileWatcher {
    events: Receiver<WatchEvent>,
    /// None where the system cannot report changes; then files are only polled.
    watcher: Option<RecommendedWatcher>,
    folders: BTreeSet<PathBuf>,
}

impl FileWatcher {
    /// Catches Ctrl-C from now on.
    pub(crate) fn new() -> Self {
        let (send, events) = channel();
        send_stop_on_signal(send.clone());
        Self::with_channel(send, events)
    }

    fn with_channel(send: Sender<WatchEvent>, events: Receiver<WatchEvent>) -> Self {
        let changed = move |event: notify::Result<Event>| {
            // An error may have hidden a change.
            if event.map_or(true, |event| may_change_files(event.kind)) {
                // The receiver is gone once the watch has ended.
                let _ = send.send(WatchEvent::FilesChanged);
            }
        };
        let watcher = notify::recommended_watcher(changed);
        Self {
            events,
            watcher: watcher
                .map_err(|error| {
                    let every = POLL_INTERVAL.as_secs();
                    print_error(&format!(
                        "the system does not tell of changes ({error}); looking every {every} s"
                    ));
                })
                .ok(),
            folders: BTreeSet::new(),
        }
    }

    /// Watches these files and no others. It watches their folders: an editor
    /// replaces a file rather than writing into it.
    pub(crate) fn watch(&mut self, files: Vec<PathBuf>) {
        let Some(watcher) = &mut self.watcher else {
            return;
        };
        let mut wanted = BTreeSet::new();
        for file in files {
            // A link can change in its own folder, and its target in another.
            wanted.extend(
                file.canonicalize()
                    .iter()
                    .filter_map(|real| nearest_folder(real)),
            );
            wanted.extend(nearest_folder(&file));
        }
        for gone in self.folders.difference(&wanted) {
            // A removed folder is no longer watched anyway.
            let _ = watcher.unwatch(gone);
        }
        for folder in &wanted {
            // Again each time: a folder of this name may have been replaced. One that
            // cannot be watched is polled.
            let _ = watcher.watch(folder, RecursiveMode::NonRecursive);
        }
        self.folders = wanted;
    }

    /// Waits for an event, and then until it is quiet again.
    pub(crate) fn wait(&self) -> WatchEvent {
        match self.events.recv_timeout(POLL_INTERVAL) {
            Err(RecvTimeoutError::Timeout) => return WatchEvent::FilesChanged,
            Ok(WatchEvent::Stop) | Err(RecvTimeoutError::Disconnected) => return WatchEvent::Stop,
            Ok(WatchEvent::FilesChanged) => {}
        }
        let since = Instant::now();
        while since.elapsed() < LONGEST_DEBOUNCE {
            match self.events.recv_timeout(DEBOUNCE) {
                Ok(WatchEvent::FilesChanged) => {}
                Ok(WatchEvent::Stop) => return WatchEvent::Stop,
                Err(_) => break,
            }
        }
        WatchEvent::FilesChanged
    }
}

/// Whether an event can mean that a file changed; reading one is an event too.
fn may_change_files(kind: EventKind) -> bool {
    match kind {
        EventKind::Access(kind) => kind == AccessKind::Close(AccessMode::Write),
        _ => true,
    }
}

/// The folder of a file, or the nearest one above it that exists.
fn nearest_folder(file: &Path) -> Option<PathBuf> {
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

/// Sends a stop when the program is interrupted or terminated. A second signal
/// ends it at once.
fn send_stop_on_signal(send: Sender<WatchEvent>) {
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
                print_stderr(
                    "ending when what is being written is whole; Ctrl-C again ends at once",
                );
                let _ = send.send(WatchEvent::Stop);
            };
            // Fails where the system has no such signals.
            let _ = listen_for_signals(end, listening).await;
        });
    });
    // Until it is listening, or has failed.
    let _ = ready.recv();
}

/// Calls `end` at each interrupt or terminate signal.
#[cfg(unix)]
async fn listen_for_signals(end: impl Fn(), listening: Sender<()>) -> std::io::Result<()> {
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

/// Calls `end` at each Ctrl-C, the only signal other systems have.
#[cfg(not(unix))]
async fn listen_for_signals(end: impl Fn(), listening: Sender<()>) -> std::io::Result<()> {
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
        let (send, events) = channel();
        let mut watcher = FileWatcher::with_channel(send, events);
        let late = folder.path().join("later/r.yaml");
        let expect_change = |watcher: &FileWatcher| {
            assert_eq!(
                watcher.events.recv_timeout(LONG),
                Ok(WatchEvent::FilesChanged)
            );
            while watcher.events.recv_timeout(DEBOUNCE).is_ok() {}
        };
        watcher.watch(vec![file.clone(), late.clone()]);
        fs::write(&file, "2").unwrap();
        expect_change(&watcher);
        let beside = folder.path().join("s.new");
        fs::write(&beside, "3").unwrap();
        fs::rename(&beside, &file).unwrap();
        expect_change(&watcher);
        fs::remove_file(&file).unwrap();
        expect_change(&watcher);
        fs::create_dir(folder.path().join("later")).unwrap();
        expect_change(&watcher);
        watcher.watch(vec![file, late.clone()]);
        fs::write(&late, "4").unwrap();
        expect_change(&watcher);
        // Reading is no change.
        assert_eq!(fs::read(&late).unwrap(), b"4");
        let event = watcher.events.recv_timeout(Duration::from_millis(500));
        assert_eq!(event, Err(RecvTimeoutError::Timeout));
    }

    #[test]
    fn a_folder_that_is_not_there_is_waited_for_above_it() {
        let folder = tempfile::tempdir().unwrap();
        let missing = folder.path().join("a/b/c.yaml");
        assert_eq!(nearest_folder(&missing).as_deref(), Some(folder.path()));
        assert_eq!(
            nearest_folder(Path::new("c.yaml")).as_deref(),
            Some(Path::new("."))
        );
    }
}
