//! Runs the same work over many items on all cores, with scoped threads that
//! each take the next item. There is no thread pool: typst lays out on its own
//! pool and takes up other work while it waits there, so documents started from
//! inside the pool pile up on one stack until it overflows.

use std::num::NonZero;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::channel;
use std::thread;

/// As much as a main thread has: layout nests deeply.
const STACK: usize = 8 * 1024 * 1024;

/// How many threads are worth while.
pub(crate) fn cores() -> usize {
    thread::available_parallelism().map_or(1, NonZero::get)
}

/// The results of `work` in the order of the items, whichever was done first.
pub(crate) fn map<T: Sync, R: Send>(items: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    map_on(cores(), items, work)
}

/// The same on so many threads.
pub(crate) fn map_on<T: Sync, R: Send>(
    threads: usize,
    items: &[T],
    work: impl Fn(&T) -> R + Sync,
) -> Vec<R> {
    let helpers = threads.min(items.len()).saturating_sub(1);
    let next = AtomicUsize::new(0);
    let (send, receive) = channel();
    let run = |done: std::sync::mpsc::Sender<(usize, R)>| {
        loop {
            let place = next.fetch_add(1, Ordering::Relaxed);
            let Some(item) = items.get(place) else { break };
            // The other end outlives every thread.
            let _ = done.send((place, work(item)));
        }
    };
    thread::scope(|scope| {
        for _ in 0..helpers {
            let (run, send) = (&run, send.clone());
            let builder = thread::Builder::new().stack_size(STACK);
            // Where no thread can be had, this one does all.
            let _ = builder.spawn_scoped(scope, move || run(send));
        }
        run(send);
    });
    let mut results: Vec<_> = receive.into_iter().collect();
    results.sort_by_key(|(place, _)| *place);
    results.into_iter().map(|(_, result)| result).collect()
}

#[cfg(test)]
mod tests {
    use super::{map, map_on};

    #[test]
    fn results_keep_the_order_of_the_items() {
        let items: Vec<u64> = (0..1000).collect();
        // The first take longest, so that they are done last.
        let slow = |item: &u64| {
            std::thread::sleep(std::time::Duration::from_micros(200 / (item + 1)));
            item * item
        };
        let squares: Vec<_> = items.iter().map(|item| item * item).collect();
        assert_eq!(map(&items, slow), squares);
        for threads in [0, 1, 7, 2000] {
            assert_eq!(map_on(threads, &items, slow), squares, "{threads}");
        }
        assert_eq!(map(&[] as &[u64], slow), Vec::<u64>::new());
    }
}
