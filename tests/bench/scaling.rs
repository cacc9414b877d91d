//! What more channels, dice and wires cost, and many specs on two cores: `cargo bench --bench scaling`.

#![allow(
    clippy::disallowed_methods,
    missing_docs,
    reason = "a bench reads its example; its functions are made by a macro"
)]

mod examples;

use std::hint::black_box;

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};

use examples::Examples;
use lampwright::packet::templates::Overrides;
use lampwright::{compile, render};

const SMALL: &str = include_str!("../../templates/new.lamp");
const TABLE: &str = include_str!("../../examples/alder-table.lamp");

/// The spec of `new` with this many channels, each with its own kind of die, its pin and its wires.
fn with_channels(count: usize) -> String {
    let cut = |text: &str, from: &str, to: &str| -> (String, String) {
        let start = text.find(from).unwrap_or(text.len());
        let end = text[start..].find(to).map_or(text.len(), |i| start + i + to.len());
        (format!("{}{}", &text[..start], &text[end..]), text[start..end].to_owned())
    };
    let (text, _) = cut(SMALL, "    channel warm", "\n");
    let (text, _) = cut(&text, "    channel cool", "\n");
    let (text, die) = cut(&text, "    die warm {", "\n    }\n");
    let (text, _) = cut(&text, "    die cool {", "\n    }\n");
    let each = |line: &dyn Fn(usize) -> String| (0..count).map(line).collect::<String>();
    let pins = each(&|i| format!("    pin q{i} {{ boot floating }}\n"));
    let channels = each(&|i| format!("    channel x{i} {{ feeds x{i}; pin q{i}; current {} mA }}\n", 100 + i));
    let dice = each(&|i| die.replace("die warm", &format!("die x{i}")));
    text.replacen("    pin p4", &format!("{pins}    pin p4"), 1)
        .replacen("    shutoff", &format!("{channels}    shutoff"), 1)
        .replacen("    pitch       25 mm\n", &format!("    pitch       25 mm\n{dice}"), 1)
}

fn channels(c: &mut Criterion) {
    let mut group = c.benchmark_group("channels");
    group.sample_size(10);
    for count in [1usize, 2, 4, 8, 16, 32] {
        let text = with_channels(count);
        let compiled = compile("many.lamp", &text, &mut Examples, None).compiled;
        let Some(compiled) = compiled else { panic!("{count} channels do not compile") };
        group.throughput(Throughput::Elements(count as u64));
        group.bench_with_input(BenchmarkId::new("judge", count), &text, |b, text| {
            b.iter(|| compile("many.lamp", black_box(text), &mut Examples, None).compiled.is_some())
        });
        group.bench_with_input(BenchmarkId::new("packet", count), &compiled, |b, compiled| {
            b.iter(|| compiled.packet(&Overrides::new(), None).map(|p| render::files(&p).map(|f| f.len())))
        });
    }
    group.finish();
}

fn many_specs(c: &mut Criterion) {
    const COUNT: usize = 100;
    let specs: Vec<String> =
        (0..COUNT).map(|i| TABLE.replace("1.1 kg", &format!("{} kg", 1.0 + i as f64 / 1e3))).collect();
    let mut group = c.benchmark_group("many specs");
    group.sample_size(10);
    group.throughput(Throughput::Elements(COUNT as u64));
    let all = |specs: &[String]| {
        specs.iter().filter(|s| compile("many.lamp", s, &mut Examples, None).compiled.is_some()).count()
    };
    group.bench_function("judged on one core", |b| b.iter(|| all(black_box(&specs))));
    group.bench_function("judged on two cores", |b| {
        b.iter(|| {
            let (one, two) = specs.split_at(COUNT / 2);
            std::thread::scope(|scope| {
                let other = scope.spawn(|| all(one));
                all(two) + other.join().unwrap_or(0)
            })
        })
    });
    group.finish();
}

criterion_group!(benches, channels, many_specs);
criterion_main!(benches);
