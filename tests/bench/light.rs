//! How long a map of the lit sheet takes: 24 dice, every millimetre of 600 x 400 mm, one core: `cargo bench --bench light`.

#![allow(missing_docs, reason = "made by a macro of the bench harness")]

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};

use lampwright::physics::light::beam::Source;
use lampwright::physics::light::evenness::{Grid, direct};
use lampwright::quantity::{Lumens, Metres};

/// Six by four dice with this beam, 100 mm apart.
fn dice(exponent: f64) -> Vec<Source> {
    let place = |i: u32, n: u32| Metres::si((f64::from(i) - f64::from(n - 1) / 2.0) * 0.1);
    let one = |k: u32| Source { x: place(k % 6, 6), y: place(k / 6, 4), flux: Lumens::si(100.0), exponent };
    (0..24).map(one).collect()
}

fn maps(c: &mut Criterion) {
    let mut group = c.benchmark_group("evenness map, 24 dice, 600 x 400 mm by 1 mm");
    group.sample_size(10);
    let grid = Grid::centred(Metres::si(0.6), Metres::si(0.4), 600, 400);
    for (name, exponent) in [("bare dice", 1.0), ("lenses of 40 degrees", 11.14)] {
        let dice = dice(exponent);
        group.bench_function(name, |b| b.iter(|| direct(black_box(&dice), Metres::si(0.06), grid)));
    }
    group.finish();
}

criterion_group!(benches, maps);
criterion_main!(benches);
