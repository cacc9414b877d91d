//! A function to the seconds of processor time that it takes: median of several batches, each long enough for the clock.
//! And seconds to words. What else runs on the machine is not counted.

use std::hint::black_box;

use rustix::time::{ClockId, clock_gettime};

/// Batches whose median counts.
const BATCHES: usize = 9;
/// A batch runs at least this long, in seconds.
const BATCH: f64 = 0.1;

/// Processor time of this process so far, in seconds.
fn spent() -> f64 {
    let time = clock_gettime(ClockId::ProcessCPUTime);
    time.tv_sec as f64 + time.tv_nsec as f64 * 1e-9
}

/// Seconds of one call.
pub(crate) fn seconds<T>(mut call: impl FnMut() -> T) -> f64 {
    let mut calls = 1_u32;
    // How many calls fill a batch; this warms the caches too.
    loop {
        let begin = spent();
        for _ in 0..calls {
            black_box(call());
        }
        if spent() - begin >= BATCH {
            break;
        }
        calls *= 2;
    }
    let mut batches: Vec<f64> = (0..BATCHES)
        .map(|_| {
            let begin = spent();
            for _ in 0..calls {
                black_box(call());
            }
            (spent() - begin) / f64::from(calls)
        })
        .collect();
    batches.sort_by(f64::total_cmp);
    batches[BATCHES / 2]
}

/// Three digits with the unit that fits.
pub(crate) fn shown(seconds: f64) -> String {
    let (value, unit) = [(1e9, "ns"), (1e6, "µs"), (1e3, "ms")]
        .into_iter()
        .map(|(by, unit)| (seconds * by, unit))
        .find(|(value, _)| *value < 1000.0)
        .unwrap_or((seconds, "s"));
    let digits = if value >= 100.0 {
        0
    } else if value >= 10.0 {
        1
    } else {
        2
    };
    format!("{value:.digits$} {unit}")
}
