//! The fuzzer: inputs of the kept corpus changed at random; what takes a new branch is kept and changed again.
//! `lampwright-fuzz TARGET SECONDS [--keep]`; faults are written to `target/fuzz/faults/`, and end it with 1.

mod coverage;
mod mutate;
mod targets;

use std::collections::BTreeSet;
use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::time::{Duration, Instant};

use coverage::Seen;
use mutate::Mutator;

/// An input that takes longer is a fault: a short text that is slow is a way to make the program hang.
const SLOWEST: Duration = Duration::from_secs(4);

/// Where the last panic was, for one file a fault and not a thousand.
static LAST: Mutex<String> = Mutex::new(String::new());

struct Run {
    target: &'static str,
    test: fn(&str),
    folder: PathBuf,
    tried: u64,
    faults: BTreeSet<String>,
}

impl Run {
    /// Runs one input; a fault is written down once for each place it comes from.
    fn one(&mut self, input: &[u8]) {
        let Ok(text) = std::str::from_utf8(input) else { return };
        self.tried += 1;
        // What ends the process (a full stack, an abort) leaves its input here.
        let _ = fs::write(self.folder.join(format!("running-{}", self.target)), text);
        let started = Instant::now();
        let ended = catch_unwind(AssertUnwindSafe(|| (self.test)(text)));
        let place = match ended {
            Err(_) => LAST.lock().map(|l| l.clone()).unwrap_or_default(),
            Ok(()) if started.elapsed() > SLOWEST => "slow".to_owned(),
            Ok(()) => return,
        };
        let name: String = place.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).take(120).collect();
        if self.faults.insert(name.clone()) {
            eprintln!("FAULT {}: {place}", self.target);
            let _ = fs::create_dir_all(self.folder.join("faults"));
            let _ = fs::write(self.folder.join("faults").join(format!("{}-{name}", self.target)), text);
        }
    }
}

fn corpus(folder: &Path) -> Vec<Vec<u8>> {
    let Ok(entries) = fs::read_dir(folder) else { return Vec::new() };
    let mut paths: Vec<PathBuf> = entries.flatten().map(|e| e.path()).filter(|p| p.is_file()).collect();
    paths.sort();
    paths.iter().filter_map(|p| fs::read(p).ok()).collect()
}

/// Keeps the fewest inputs, the shortest first, that together take all that was taken.
fn fewest(run: &mut Run, mut pool: Vec<Vec<u8>>) -> Vec<Vec<u8>> {
    pool.sort_by_key(Vec::len);
    let mut seen = Seen::new();
    pool.retain(|input| {
        seen.clear();
        run.one(input);
        seen.add()
    });
    pool
}

fn name_of(input: &[u8]) -> String {
    let hash = input.iter().fold(0xCBF2_9CE4_8422_2325u64, |h, b| (h ^ u64::from(*b)).wrapping_mul(0x100_0000_01B3));
    format!("{hash:016x}")
}

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let wanted = arguments.first().map_or("", String::as_str);
    let Some((target, test)) = targets::ALL.into_iter().find(|(name, _)| *name == wanted) else {
        eprintln!("usage: lampwright-fuzz parse|resolve|pipeline|template SECONDS [--keep]");
        std::process::exit(3);
    };
    let seconds = arguments.get(1).and_then(|s| s.parse().ok()).unwrap_or(20);
    let keep = arguments.iter().any(|a| a == "--keep");
    std::panic::set_hook(Box::new(|info| {
        let place = info.location().map_or_else(String::new, ToString::to_string);
        let words = info.payload().downcast_ref::<String>().cloned();
        let words = words.or_else(|| info.payload().downcast_ref::<&str>().map(|s| (*s).to_owned())).unwrap_or_default();
        if let Ok(mut last) = LAST.lock() {
            *last = format!("{place} {}", words.chars().take(160).collect::<String>());
        }
    }));
    let home = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    let folder = home.join("../../target/fuzz");
    let _ = fs::create_dir_all(&folder);
    let kept = home.join("corpus").join(target);
    let mut run = Run { target, test, folder, tried: 0, faults: BTreeSet::new() };

    let mut seen = Seen::new();
    let mut pool = Vec::new();
    for input in corpus(&kept) {
        seen.clear();
        run.one(&input);
        seen.add();
        pool.push(input);
    }
    let (stored, first) = (pool.len(), seen.taken());
    // Each run of the same length walks the same way; `--keep` walks on from where the time stands.
    let walk = if keep { std::process::id().into() } else { 1 };
    let mut mutator = Mutator::new(walk);
    let end = Instant::now() + Duration::from_secs(seconds);
    while Instant::now() < end && !pool.is_empty() {
        // The newest finds are changed more often than the old ones.
        let back = mutator.random.below(pool.len()).min(mutator.random.below(pool.len()));
        let other = mutator.random.below(pool.len());
        let input = mutator.change(&pool[pool.len() - 1 - back], &pool[other]);
        seen.clear();
        run.one(&input);
        if seen.add() {
            pool.push(input);
        }
    }
    println!(
        "{target}: {} tried, {stored} kept before, {} now; {first} branches at the start, {} now of {}; {} faults",
        run.tried, pool.len(), seen.taken(), seen.counters(), run.faults.len()
    );
    if keep {
        let few = fewest(&mut run, pool);
        let _ = fs::remove_dir_all(&kept);
        let _ = fs::create_dir_all(&kept);
        for input in &few {
            let _ = fs::write(kept.join(name_of(input)), input);
        }
        println!("{target}: {} inputs kept, {} bytes", few.len(), few.iter().map(Vec::len).sum::<usize>());
    }
    if seen.counters() == 0 {
        eprintln!("built without counters: use tests/fuzz/run");
        std::process::exit(3);
    }
    std::process::exit(i32::from(!run.faults.is_empty()));
}
