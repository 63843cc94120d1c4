//! One thread that checks and lays out the text of each tab. Only the newest text of
//! a tab counts: an older one that waits is dropped, and one that is being laid out
//! is given up at the next paper.

use std::collections::{HashMap, VecDeque};
use std::io::Error;
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::Duration;

use tokio::sync::mpsc::{UnboundedReceiver, UnboundedSender, unbounded_channel};

use super::STACK;
use super::spec_file::SpecFile;
use crate::cli::internal_error;
use crate::cli::report::without_identity;
use crate::page::messages::{PreviewMessage, PreviewRequest, paper_by_id};
use crate::papers::compile::{Options, PaperKind, Preview, PreviewEvent};
use crate::papers::typeset::Picture;
use crate::process::socket::heat::advice::EstimateCache;

/// How many tabs are tracked; with more, an outdated text is laid out to the end.
const MOST_TABS: usize = 64;

/// How many pictures are kept for the page to fetch; a procedure has some twenty
/// pages, and each is fetched at once or not at all.
const MOST_PICTURES: usize = 400;

/// How long to wait for the next keystroke.
const BETWEEN_KEYSTROKES: Duration = Duration::from_millis(300);

/// A text to check and lay out, and where the messages about it go.
struct Job {
    number: u64,
    request: PreviewRequest,
    options: Options,
    messages: UnboundedSender<String>,
}

#[derive(Default)]
struct Queue {
    waiting: VecDeque<Job>,
    /// The newest job of each tab.
    newest: HashMap<String, Newest>,
    jobs: u64,
}

/// The newest job of a tab, and the tab's own count of it.
#[derive(Clone, Copy)]
struct Newest {
    number: u64,
    count: u64,
}

impl Queue {
    /// Adds a text in place of an older one of its tab. One that is itself older than what
    /// the tab has sent is dropped, and its response ends without a message.
    fn add(
        &mut self,
        request: PreviewRequest,
        options: Options,
        messages: UnboundedSender<String>,
    ) {
        let (tab, count) = (&request.tab, request.count);
        if self
            .newest
            .get(tab)
            .is_some_and(|newest| count < newest.count)
        {
            return;
        }
        self.jobs += 1;
        let number = self.jobs;
        self.waiting.retain(|job| job.request.tab != *tab);
        if self.newest.len() >= MOST_TABS {
            self.newest.clear();
        }
        self.newest.insert(tab.clone(), Newest { number, count });
        self.waiting.push_back(Job {
            number,
            request,
            options,
            messages,
        });
    }
}

#[derive(Default)]
struct Pictures {
    by_id: HashMap<String, Arc<Picture>>,
    order: VecDeque<String>,
}

/// The thread and its pictures.
pub(crate) struct PreviewWorker {
    shared: Arc<Shared>,
}

#[derive(Default)]
struct Shared {
    queue: Mutex<Queue>,
    more: Condvar,
    pictures: Mutex<Pictures>,
}

impl PreviewWorker {
    /// Starts the thread, which ends with the program.
    ///
    /// # Errors
    /// Why there is none.
    pub(crate) fn start(spec_file: Arc<SpecFile>) -> Result<Self, Error> {
        let shared = Arc::new(Shared::default());
        let thread_shared = Arc::clone(&shared);
        let builder = thread::Builder::new().stack_size(STACK);
        builder.spawn(move || {
            let known = EstimateCache::default();
            loop {
                thread_shared.run_job(thread_shared.next_job(), &spec_file, &known);
            }
        })?;
        Ok(Self { shared })
    }

    /// Queues a text; returns the messages about it, each a line of JSON.
    pub(crate) fn submit(
        &self,
        request: PreviewRequest,
        options: Options,
    ) -> UnboundedReceiver<String> {
        let (sender, receiver) = unbounded_channel();
        lock(&self.shared.queue).add(request, options, sender);
        self.shared.more.notify_one();
        receiver
    }

    pub(crate) fn picture(&self, id: &str) -> Option<Arc<Picture>> {
        lock(&self.shared.pictures).by_id.get(id).cloned()
    }
}

impl Shared {
    fn next_job(&self) -> Job {
        let mut queue = lock(&self.queue);
        loop {
            match queue.waiting.pop_front() {
                Some(job) => return job,
                None => {
                    let woken = self.more.wait(queue);
                    queue = woken.unwrap_or_else(PoisonError::into_inner);
                }
            }
        }
    }

    /// Waits for the next keystroke before papers that are not in view are laid out.
    fn wait_for_keystroke(&self) {
        let queue = lock(&self.queue);
        if queue.waiting.is_empty() {
            let _ = self.more.wait_timeout(queue, BETWEEN_KEYSTROKES);
        }
    }

    /// Whether a newer text of the tab is queued, or the page is gone.
    fn is_outdated(&self, job: &Job) -> bool {
        let newest = lock(&self.queue).newest.get(&job.request.tab).copied();
        job.messages.is_closed() || newest.is_some_and(|newest| newest.number != job.number)
    }

    fn run_job(&self, job: Job, spec_file: &SpecFile, known: &EstimateCache) {
        let message = internal_error::catch_panic(|| self.preview(&job, spec_file, known));
        let last = match message {
            Ok(Ok(())) => PreviewMessage::Done,
            Ok(Err(message)) => PreviewMessage::Fault { message },
            Err(message) => PreviewMessage::Fault {
                message: internal_error::message(&message, 0),
            },
        };
        send(&job, &last);
    }

    fn preview(
        &self,
        job: &Job,
        spec_file: &SpecFile,
        known: &EstimateCache,
    ) -> Result<(), String> {
        let sources = match spec_file.sources(&job.request.text) {
            Ok(sources) => sources,
            Err((sources, finding)) => {
                let checked = without_identity(&sources, vec![*finding]);
                send(job, &PreviewMessage::findings(&checked, &sources));
                return Ok(());
            }
        };
        let first = paper_by_id(&job.request.in_view).unwrap_or((PaperKind::Procedure, None));
        let mut preview = Preview::new(sources, job.options.clone());
        let mut paused = false;
        while let Some(event) = { preview.step(first, spec_file.as_of(), known) }
            .map_err(|error| crate::cli::build::template_error(preview.sources(), &error))?
        {
            let message = PreviewMessage::from_event(&event, &preview);
            if let PreviewEvent::Paper(paper) = event {
                for picture in paper.pages.into_iter().flatten() {
                    self.keep_picture(picture);
                }
            }
            send(job, &message);
            if matches!(message, PreviewMessage::Paper { .. }) && !paused {
                paused = true;
                self.wait_for_keystroke();
            }
            if self.is_outdated(job) {
                break;
            }
        }
        Ok(())
    }

    fn keep_picture(&self, picture: Picture) {
        let pictures = &mut *lock(&self.pictures);
        let id = picture.id.clone();
        if pictures.by_id.contains_key(&id) {
            return;
        }
        pictures.by_id.insert(id.clone(), Arc::new(picture));
        pictures.order.push_back(id);
        if pictures.order.len() > MOST_PICTURES
            && let Some(oldest) = pictures.order.pop_front()
        {
            pictures.by_id.remove(&oldest);
        }
    }
}

/// Sends a message, if the page is still there.
fn send(job: &Job, message: &PreviewMessage) {
    if let Ok(line) = serde_json::to_string(message) {
        let _ = job.messages.send(line + "\n");
    }
}

/// Locks it even after a panic: each change is one assignment, so nothing is half done.
fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn request(tab: &str, count: u64) -> PreviewRequest {
        let request = serde_json::json!({ "tab": tab, "count": count, "text": "" });
        serde_json::from_value(request).unwrap()
    }

    /// Adds a text; returns where its messages arrive.
    fn add(queue: &mut Queue, tab: &str, count: u64) -> UnboundedReceiver<String> {
        let (sender, receiver) = unbounded_channel();
        queue.add(request(tab, count), Options::default(), sender);
        receiver
    }

    #[test]
    fn an_older_text_that_arrives_late_does_not_displace_the_newer_one() {
        let mut queue = Queue::default();
        let first = add(&mut queue, "a", 1);
        let third = add(&mut queue, "a", 3);
        let second = add(&mut queue, "a", 2);
        let other = add(&mut queue, "b", 1);
        for (of, receiver, waits) in [
            ("the first", first, false),
            ("the late one", second, false),
            ("the newest", third, true),
            ("another tab's", other, true),
        ] {
            assert_eq!(!receiver.is_closed(), waits, "{of}");
        }
        let waiting = queue.waiting.iter().map(|job| job.request.count);
        assert_eq!(waiting.collect::<Vec<_>>(), [3, 1]);
    }
}
