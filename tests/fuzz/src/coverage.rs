//! Which branches a run took: the counters that the compiler puts in, folded to one bit a branch and order of count.
//! Without the flags of `tests/fuzz/run` there are no counters, and the driver says so.

use std::sync::Mutex;

/// Address and length of each region of counters, as the start-up code names them.
static REGIONS: Mutex<Vec<(usize, usize)>> = Mutex::new(Vec::new());

/// Called by the start-up code of each instrumented object, many times for the same region.
#[unsafe(no_mangle)]
extern "C" fn __sanitizer_cov_8bit_counters_init(start: *mut u8, stop: *mut u8) {
    let region = (start as usize, stop as usize - start as usize);
    if let Ok(mut regions) = REGIONS.lock()
        && region.1 > 0
        && !regions.contains(&region)
    {
        regions.push(region);
    }
}

/// What all runs so far have taken.
pub(crate) struct Seen {
    /// One byte a counter, one bit an order of count.
    bits: Vec<u8>,
}

impl Seen {
    pub(crate) fn new() -> Self {
        let total = REGIONS.lock().map_or(0, |r| r.iter().map(|(_, len)| len).sum());
        Self { bits: vec![0; total] }
    }

    pub(crate) fn counters(&self) -> usize {
        self.bits.len()
    }

    /// Branches taken at least once.
    pub(crate) fn taken(&self) -> usize {
        self.bits.iter().filter(|b| **b != 0).count()
    }

    /// Sets the counters to nought, before a run.
    pub(crate) fn clear(&self) {
        each(|counters| counters.fill(0));
    }

    /// Adds what the run took; true where something is new.
    pub(crate) fn add(&mut self) -> bool {
        let mut new = false;
        let mut at = 0;
        each(|counters| {
            for counter in counters.iter() {
                let bit = order(*counter);
                if bit != 0 && self.bits[at] & bit == 0 {
                    self.bits[at] |= bit;
                    new = true;
                }
                at += 1;
            }
        });
        new
    }
}

/// Once, twice, three times, a few, many: a loop that turns once more is not news for ever.
fn order(count: u8) -> u8 {
    match count {
        0 => 0,
        1 => 1,
        2 => 2,
        3 => 4,
        4..=7 => 8,
        8..=15 => 16,
        16..=31 => 32,
        32..=127 => 64,
        128..=255 => 128,
    }
}

fn each(mut visit: impl FnMut(&mut [u8])) {
    let regions = REGIONS.lock().map(|r| r.clone()).unwrap_or_default();
    for (start, len) in regions {
        // SAFETY: the linker lays the counters there for the whole life of the program. Threads of the program under
        // test may count at the same time; a lost count is no harm.
        visit(unsafe { std::slice::from_raw_parts_mut(start as *mut u8, len) });
    }
}
