//! Laws that hold for every spec, tried on many made at random from fixed seeds, and the fuzzer's corpus run again.

mod agreement;
mod corpus;
mod engineering;
mod figures;
mod order;
pub(crate) mod shared;
mod unknown;

/// The generator of Steele, Lea and Flood (2014), so that a failure can be run again.
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }
    fn below(&mut self, end: usize) -> usize {
        (self.next() % end.max(1) as u64) as usize
    }
    /// Evenly between two numbers.
    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }
    fn shuffle<T>(&mut self, list: &mut [T]) {
        for i in (1..list.len()).rev() {
            list.swap(i, self.below(i + 1));
        }
    }
}
