//! Independent work to a few threads, and what it gave back in its order: no result says on how many it was done.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};
use std::thread;

/// Room for the deepest spec that the language allows; a thread of its own gets less than the first one.
pub(crate) const STACK: usize = 16 << 20;

/// Threads for the things of one call at most (our limit): calls stand inside one another, and each thing is small.
const MOST: usize = 8;

/// How many threads have work: as many as the machine runs at once, and no more than there are things to do.
pub(crate) fn workers(things: usize) -> usize {
    thread::available_parallelism().map_or(1, usize::from).min(things)
}

/// What `job` makes of each of `things`, in their order. One thing needs no thread.
pub(crate) fn each<A: Sync, T: Send>(things: &[A], job: impl Fn(&A) -> T + Sync) -> Vec<T> {
    let workers = workers(things.len()).min(MOST);
    if workers < 2 {
        return things.iter().map(job).collect();
    }
    let next = AtomicUsize::new(0);
    let made: Mutex<BTreeMap<usize, T>> = Mutex::new(BTreeMap::new());
    thread::scope(|scope| {
        let work = || {
            loop {
                let at = next.fetch_add(1, Ordering::Relaxed);
                let Some(thing) = things.get(at) else { break };
                let given = job(thing);
                made.lock().unwrap_or_else(PoisonError::into_inner).insert(at, given);
            }
        };
        for _ in 1..workers {
            // Where the system gives no thread, this one does the work.
            drop(thread::Builder::new().stack_size(STACK).spawn_scoped(scope, work));
        }
        work();
    });
    made.into_inner().unwrap_or_else(PoisonError::into_inner).into_values().collect()
}

#[cfg(test)]
mod tests {
    use super::each;

    #[test]
    fn results_come_in_the_order_of_the_things() {
        for count in [0, 1, 2, 3, 1000] {
            let things: Vec<usize> = (0..count).collect();
            let squares: Vec<usize> = things.iter().map(|n| n * n).collect();
            assert_eq!(each(&things, |n| n * n), squares, "{count}");
        }
    }
}
