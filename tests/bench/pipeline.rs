//! How long each stage takes: `cargo bench`. The machine is noisy: compare ratios of one run, not days.

#![allow(
    clippy::disallowed_methods,
    missing_docs,
    reason = "a bench reads its example; its functions are made by a macro"
)]

mod examples;

use std::hint::black_box;
use std::sync::Arc;

use criterion::{BatchSize, Criterion, Throughput, criterion_group, criterion_main};

use examples::Examples;
use lampwright::ledger::Scope;
use lampwright::packet::templates::Overrides;
use lampwright::solve::engine::SharedEngine;
use lampwright::{Reading, compile, lamp, language, render, rules, solve};

const SPEC: &str = include_str!("../../examples/alder-table.lamp");

fn parse(c: &mut Criterion) {
    // The example's own text repeated, up to just below the limit of one file.
    let text = SPEC.repeat((1 << 20) / SPEC.len() - 1);
    let mut group = c.benchmark_group("parse");
    group.throughput(Throughput::Bytes(text.len() as u64));
    group.sample_size(20);
    group.bench_function("a MiB of spec", |b| b.iter(|| language::parse::parse(0, black_box(&text), &mut Vec::new())));
    group.finish();
}

fn stages(c: &mut Criterion) {
    let mut group = c.benchmark_group("alder-table");
    group.bench_function("compile", |b| b.iter(|| compile("alder.lamp", black_box(SPEC), &mut Examples, None)));
    let compiled = compile("alder.lamp", SPEC, &mut Examples, None).compiled;
    let Some(compiled) = compiled else { panic!("the example does not compile") };
    let reading = || Reading::new("alder.lamp", SPEC, &mut Examples, &[]);
    group.bench_function("resolve", |b| {
        b.iter_batched(reading, |reading| reading.said(None).errors().len(), BatchSize::SmallInput)
    });
    let given = |scope| solve::given::ledger(&compiled.document, &compiled.sources, scope);
    let solved = |scope| {
        let lamp = &compiled.lamp;
        solve::solve(black_box(lamp), given(scope), &SharedEngine::of(Arc::clone(lamp))).wires.len()
    };
    group.bench_function("read", |b| b.iter(|| lamp::read(black_box(&compiled.document), &[])));
    group.bench_function("solve", |b| b.iter(|| solved(Scope::Papers)));
    group.bench_function("solve for rules", |b| b.iter(|| solved(Scope::Rules)));
    group.bench_function("judge", |b| {
        b.iter(|| rules::report::judge(rules::ALL, &compiled.lamp, None, black_box(&compiled.solution)))
    });
    group.bench_function("compose", |b| b.iter(|| compiled.packet(&Overrides::new(), None).map(|p| p.sheets.len())));
    let Ok(packet) = compiled.packet(&Overrides::new(), None) else { panic!("the example does not compose") };
    group.sample_size(20);
    group.bench_function("pdf", |b| b.iter(|| render::pdf(black_box(&packet)).map(|bytes| bytes.len())));
    group.bench_function("all files", |b| b.iter(|| render::files(black_box(&packet)).map(|files| files.len())));
    group.finish();
}

criterion_group!(benches, parse, stages);
criterion_main!(benches);
