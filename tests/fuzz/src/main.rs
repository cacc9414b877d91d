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

/// An input that takes more of the processor, in seconds, is a fault: a short text that is slow can hang the program.
const SLOWEST: f64 = 4.0;

/// Seconds of the processor that this process has had, all threads together; a busy machine does not count.
fn worked() -> f64 {
    let stat = fs::read_to_string("/proc/self/stat").unwrap_or_default();
    // Behind the name in parentheses: user and system time are the 12th and 13th field, in hundredths (proc(5)).
    let fields = stat.rsplit(')').next().unwrap_or("").split_whitespace();
    fields.skip(11).take(2).filter_map(|ticks| ticks.parse::<f64>().ok()).sum::<f64>() / 100.0
}

/// Inputs that the corpus keeps of one target.
const MOST_KEPT: usize = 64;

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
        let started = worked();
        let ended = catch_unwind(AssertUnwindSafe(|| (self.test)(text)));
        let place = match ended {
            Err(_) => LAST.lock().map(|l| l.clone()).unwrap_or_default(),
            Ok(()) if worked() - started > SLOWEST => "slow".to_owned(),
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

/// The corpus' files in the order of their names.
fn files(folder: &Path) -> Vec<PathBuf> {
    let Ok(entries) = fs::read_dir(folder) else { return Vec::new() };
    let mut paths: Vec<PathBuf> = entries.flatten().map(|e| e.path()).filter(|p| p.is_file()).collect();
    paths.sort();
    paths
}

/// Whether the fuzzer named a file; one with a name of its own was put there by hand and stays.
fn is_ours(path: &Path) -> bool {
    fs::read(path).is_ok_and(|input| path.file_name().is_some_and(|name| *name == *name_of(&input)))
}

/// Keeps inputs that take what shorter ones do not, those that add most, so that the corpus stays small.
fn fewest(run: &mut Run, mut pool: Vec<Vec<u8>>) -> Vec<Vec<u8>> {
    pool.sort_by_key(Vec::len);
    let mut seen = Seen::new();
    let mut added: Vec<(usize, Vec<u8>)> = Vec::new();
    for input in pool {
        seen.clear();
        run.one(&input);
        added.push((seen.add(), input));
    }
    added.retain(|(new, _)| *new > 0);
    added.sort_by_key(|(new, _)| std::cmp::Reverse(*new));
    added.into_iter().take(MOST_KEPT).map(|(_, input)| input).collect()
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
        let words =
            words.or_else(|| info.payload().downcast_ref::<&str>().map(|s| (*s).to_owned())).unwrap_or_default();
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
    for input in files(&kept).iter().filter_map(|path| fs::read(path).ok()) {
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
        if seen.add() > 0 {
            pool.push(input);
        }
    }
    println!(
        "{target}: {} tried, {stored} kept before, {} now; {first} branches at the start, {} now of {}; {} faults",
        run.tried,
        pool.len(),
        seen.taken(),
        seen.counters(),
        run.faults.len()
    );
    if keep {
        let (ours, by_hand): (Vec<_>, Vec<_>) = files(&kept).into_iter().partition(|path| is_ours(path));
        let by_hand: Vec<Vec<u8>> = by_hand.iter().filter_map(|path| fs::read(path).ok()).collect();
        let mut few = fewest(&mut run, pool);
        few.retain(|input| !by_hand.contains(input));
        for path in &ours {
            let _ = fs::remove_file(path);
        }
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
