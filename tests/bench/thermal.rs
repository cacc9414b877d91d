//! How long one lamp takes in every state and both rooms: `cargo bench --bench thermal`. The goal is 2 ms.
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
use lampwright::solve;

const SPEC: &str = include_str!("../../examples/alder-table.lamp");

fn states(c: &mut Criterion) {
    let compiled = compile("alder.lamp", SPEC, &mut Examples, None).compiled;
    let Some(compiled) = compiled else { panic!("the example does not compile") };
    let (lamp, solution) = (&compiled.lamp.engine(), &compiled.solution);
    let mut group = c.benchmark_group("heat");
    group.bench_function("every state in both rooms", |b| {
        b.iter(|| solve::heat::every_state(black_box(lamp), &solution.channels, None, &mut Ledger::default()))
    });
    group.bench_function("with soak and answers", |b| {
        b.iter(|| solve::heat::solve(black_box(lamp), &solution.channels, &solution.feed, &mut Ledger::default()))
    });
    group.finish();
}

criterion_group!(benches, states);
criterion_main!(benches);
