//! One thread that checks and lays out what is typed. Of each tab only the newest
//! text counts: an older one that waits is dropped, one that is being laid out is
//! given up at the next paper.

use std::collections::{HashMap, VecDeque};
use std::io::Error;
use std::ops::ControlFlow;
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::Duration;

use tokio::sync::mpsc::{UnboundedReceiver, UnboundedSender, unbounded_channel};

use super::STACK;
use super::desk::Desk;
use super::messages::{Name, Told, Typed, id, named};
use crate::cli::fault;
use crate::heat::advice::EstimateCache;
use crate::papers::compile::{Options, PaperKind, PreviewEvent, pictures};
use crate::papers::typeset::Picture;

/// Most tabs whose newest text is remembered; who has more open sees the oldest
/// laid out to the end.
const MOST_TABS: usize = 64;

/// Most pictures that are kept for the page to fetch; a procedure has some
/// twenty pages, and each is fetched at once or not at all.
const MOST_PICTURES: usize = 400;

/// Whoever types goes on within this time.
const BETWEEN_KEYSTROKES: Duration = Duration::from_millis(300);

/// A text to look at, and where to tell what is seen.
struct Job {
    number: u64,
    typed: Typed,
    options: Options,
    tell: UnboundedSender<String>,
}

#[derive(Default)]
struct Queue {
    waiting: VecDeque<Job>,
    /// The newest job of each tab.
    newest: HashMap<String, u64>,
    count: u64,
}

#[derive(Default)]
struct Pictures {
    by_id: HashMap<String, Arc<Picture>>,
    order: VecDeque<String>,
}

/// The thread, and what it has drawn.
pub struct Work {
    shared: Arc<Shared>,
}

#[derive(Default)]
struct Shared {
    queue: Mutex<Queue>,
    more: Condvar,
    pictures: Mutex<Pictures>,
}

impl Work {
    /// Starts the thread, which ends with the program.
    ///
    /// # Errors
    /// Why there is none.
    pub fn start(desk: Arc<Desk>) -> Result<Self, Error> {
        let shared = Arc::new(Shared::default());
        let theirs = Arc::clone(&shared);
        let builder = thread::Builder::new().stack_size(STACK);
        builder.spawn(move || {
            let known = EstimateCache::default();
            loop {
                theirs.look(theirs.next(), &desk, &known);
            }
        })?;
        Ok(Self { shared })
    }

    /// Has a text looked at; each thing that is told of it, as a line of JSON.
    pub fn look(&self, typed: Typed, options: Options) -> UnboundedReceiver<String> {
        let (tell, told) = unbounded_channel();
        let mut queue = lock(&self.shared.queue);
        queue.count += 1;
        let number = queue.count;
        queue.waiting.retain(|job| job.typed.tab != typed.tab);
        if queue.newest.len() >= MOST_TABS {
            queue.newest.clear();
        }
        queue.newest.insert(typed.tab.clone(), number);
        queue.waiting.push_back(Job {
            number,
            typed,
            options,
            tell,
        });
        self.shared.more.notify_one();
        told
    }

    /// A page that was told of.
    pub fn picture(&self, id: &str) -> Option<Arc<Picture>> {
        lock(&self.shared.pictures).by_id.get(id).cloned()
    }
}

impl Shared {
    fn next(&self) -> Job {
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

    /// Waits for the next keystroke before papers that nobody looks at are laid out.
    fn pause(&self) {
        let queue = lock(&self.queue);
        if queue.waiting.is_empty() {
            let _ = self.more.wait_timeout(queue, BETWEEN_KEYSTROKES);
        }
    }

    /// Whether nobody wants a job any longer.
    fn outdated(&self, job: &Job) -> bool {
        let newest = lock(&self.queue).newest.get(&job.typed.tab).copied();
        job.tell.is_closed() || newest.is_some_and(|newest| newest != job.number)
    }

    fn look(&self, job: Job, desk: &Desk, known: &EstimateCache) {
        let told = fault::survived(|| self.seen(&job, desk, known));
        let last = match told {
            Ok(Ok(())) => Told::Done,
            Ok(Err(message)) => Told::Fault { message },
            Err(message) => Told::Fault {
                message: fault::told(&message, 0),
            },
        };
        tell(&job, &last);
    }

    fn seen(&self, job: &Job, desk: &Desk, known: &EstimateCache) -> Result<(), String> {
        let sources = match desk.sources(&job.typed.text) {
            Ok(sources) => sources,
            Err((sources, finding)) => {
                let checked = crate::cli::check::unread(&sources, *finding);
                tell(job, &Told::findings(&checked, &sources));
                return Ok(());
            }
        };
        let mut paused = false;
        let first = named(&job.typed.in_view).unwrap_or((PaperKind::Procedure, None));
        let looked = pictures(&sources, &job.options, desk.as_of(), known, first, |look| {
            let told = match look {
                PreviewEvent::Checked(checked) => Told::findings(checked, &sources),
                PreviewEvent::Papers(papers) => Told::Papers {
                    papers: papers
                        .into_iter()
                        .map(|(kind, further)| Name::of(kind, further))
                        .collect(),
                },
                PreviewEvent::Paper(paper) => {
                    let told = Told::paper(id(paper.kind, paper.further), &paper.pages);
                    for picture in paper.pages.into_iter().flatten() {
                        self.keep(picture);
                    }
                    told
                }
            };
            tell(job, &told);
            if matches!(told, Told::Paper { .. }) && !paused {
                paused = true;
                self.pause();
            }
            match self.outdated(job) {
                false => ControlFlow::Continue(()),
                true => ControlFlow::Break(()),
            }
        });
        looked.map_err(|error| crate::cli::build::template_failed(&sources, &error))
    }

    fn keep(&self, picture: Picture) {
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

/// Tells the page something, if it is still there to hear it.
fn tell(job: &Job, told: &Told) {
    if let Ok(line) = serde_json::to_string(told) {
        let _ = job.tell.send(line + "\n");
    }
}

/// What a thread that broke down held is whole: each change is one assignment.
fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
