//! How long a map of the lit sheet takes: 24 dice, every millimetre of 600 x 400 mm, one core; the goal is 100 ms.
//! Beside it all that reaches the eye of one lamp: `cargo bench --bench light`.

#![allow(
    clippy::disallowed_methods,
    missing_docs,
    reason = "a bench reads its example; its functions are made by a macro"
)]

mod examples;

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};

use examples::Examples;
use lampwright::compile;
use lampwright::ledger::Ledger;
use lampwright::physics::light::beam::Source;
use lampwright::physics::light::evenness::{Grid, direct};
use lampwright::quantity::{Lumens, Metres};
use lampwright::solve;

const SPEC: &str = include_str!("../../examples/alder-table.lamp");

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

fn look(c: &mut Criterion) {
    let compiled = compile("alder.lamp", SPEC, &mut Examples, None).compiled;
    let Some(compiled) = compiled else { panic!("the example does not compile") };
    let (lamp, found) = (&compiled.lamp.engine(), &compiled.solution);
    c.bench_function("what reaches the eye of one lamp", |b| {
        b.iter(|| {
            solve::light::look(
                black_box(lamp),
                &found.channels,
                &found.feed,
                &found.heat,
                &found.light,
                &mut Ledger::default(),
            )
        })
    });
}

criterion_group!(benches, maps, look);
criterion_main!(benches);
