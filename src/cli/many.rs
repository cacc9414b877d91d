//! Many specs at once: a few threads share the work, the results come out in the order the specs were named,
//! and a spec that cannot be read does not stop the rest.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc;
use std::thread;

use crate::threads::{STACK, workers};

use super::Exit;
use super::laid::tell;
use super::output::{Trouble, complaint, narrate_messages, on_terminal, rewrite_line};

/// What one spec gave.
pub(super) struct Done {
    /// For standard error: printable, perhaps with colours of ours.
    pub(super) err: String,
    /// For standard output.
    pub(super) out: String,
    /// How it ended.
    pub(super) exit: Exit,
}

/// Runs `job` for every name and says what each gave as soon as those before it are said. The worst exit counts.
pub(super) fn each(names: &[String], job: impl Fn(&str) -> Result<Done, Trouble> + Sync) -> Exit {
    let mut worst = Exit::Clean;
    let unread = |trouble| Done { err: complaint(&trouble), out: String::new(), exit: Exit::Usage };
    gather(
        names,
        |name| job(name).unwrap_or_else(unread),
        |done: Done| {
            narrate_messages(&done.err);
            tell(&done.out);
            worst = worst.max(done.exit);
        },
    );
    worst
}

/// The same for results that are put together before they are said.
pub(super) fn gather<T: Send>(names: &[String], job: impl Fn(&str) -> T + Sync, mut take: impl FnMut(T)) {
    // One spec needs no thread.
    if let [name] = names {
        return take(job(name));
    }
    let next = AtomicUsize::new(0);
    let (sender, receiver) = mpsc::channel();
    let work = |sender: mpsc::Sender<(usize, T)>| {
        loop {
            let at = next.fetch_add(1, Ordering::Relaxed);
            let Some(name) = names.get(at) else { break };
            if sender.send((at, job(name))).is_err() {
                break;
            }
        }
    };
    let work = &work;
    thread::scope(|scope| {
        for _ in 0..workers(names.len()) {
            let own = sender.clone();
            if thread::Builder::new().stack_size(STACK).spawn_scoped(scope, move || work(own)).is_err() {
                work(sender.clone());
            }
        }
        // Only the workers hold one now: where all of them have ended, nothing is waited for.
        drop(sender);
        let (mut waiting, mut due) = (BTreeMap::new(), 0usize);
        let progress = Progress::of(names.len());
        for done in 1.. {
            if due >= names.len() {
                break;
            }
            progress.show(done - 1);
            let Ok((at, result)) = receiver.recv() else { break };
            progress.clear();
            waiting.insert(at, result);
            while let Some(result) = waiting.remove(&due) {
                take(result);
                due += 1;
            }
        }
    });
}

/// How far the work is, on one line of a terminal that is wiped before anything else is said.
struct Progress {
    of: Option<usize>,
}

impl Progress {
    /// Nothing is shown for one spec, nor where nobody watches.
    fn of(specs: usize) -> Self {
        Self { of: (specs > 1 && on_terminal()).then_some(specs) }
    }

    fn show(&self, done: usize) {
        if let Some(of) = self.of {
            rewrite_line(&format!("{done} of {of} specs done"));
        }
    }

    fn clear(&self) {
        if self.of.is_some() {
            rewrite_line("");
        }
    }
}
