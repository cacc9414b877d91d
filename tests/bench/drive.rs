//! How long the exact switching cycle takes beside a plain fixed-step integrator, in one run: `cargo bench --bench drive`.
//! Both find the steady cycle of vector P5-24V-100uH of tests/reference/electrical/switched_sink.json.
//! tests/reference/switching.py times an adaptive integrator on the same vector; its header records both.

#![allow(missing_docs, reason = "its functions are made by a macro")]

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};

use lampwright::physics::electrical::hysteretic::{
    ChoppedTiming, DiodeDrop, PeakTiming, SwitchedSink, amplifier_controlled, peak_controlled, start_up,
};
use lampwright::physics::electrical::string::StringModel;
use lampwright::quantity::{Henries, Ohms, Seconds, Volts};

const DELAY: f64 = 200e-9;
const OFF_TIME: f64 = 2e-6;
/// Step of the plain integrator.
const STEP: f64 = 1e-9;
/// Cycles it is given to settle; the current starts at zero.
const CYCLES: usize = 4;

fn sink() -> SwitchedSink {
    SwitchedSink {
        supply: Volts::si(24.0),
        string: StringModel { offset: Volts::si(16.2), slope: Ohms::si(3.6) },
        inductance: Henries::si(100e-6),
        winding: Ohms::si(0.25),
        on_resistance: Ohms::si(0.05),
        sense: Ohms::si(0.47),
        diode: DiodeDrop { offset: Volts::si(0.4), slope: Ohms::si(0.05) },
        gain: 10.0,
        reference: Volts::si(1.645),
    }
}

/// Mean current of the last cycle by straight steps of one nanosecond.
fn stepped(sink: &SwitchedSink) -> f64 {
    let trip = sink.trip_current().value();
    let (string, inductance) = (sink.string, sink.inductance.value());
    let on = (string.slope + sink.winding + sink.on_resistance + sink.sense).value();
    let off = (string.slope + sink.winding + sink.diode.slope).value();
    let rise = |i: f64| ((sink.supply - string.offset).value() - on * i) / inductance;
    let fall = |i: f64| ((string.offset + sink.diode.offset).value() + off * i) / inductance;
    let (mut i, mut mean) = (0.0_f64, 0.0);
    for _ in 0..CYCLES {
        let (mut charge, mut time, mut left) = (0.0, 0.0, f64::INFINITY);
        while left > 0.0 {
            charge += i * STEP;
            i += rise(i) * STEP;
            time += STEP;
            left -= STEP;
            if i >= trip && left.is_infinite() {
                left = DELAY;
            }
        }
        left = OFF_TIME;
        while left > 0.0 {
            charge += i * STEP;
            i = (i - fall(i) * STEP).max(0.0);
            time += STEP;
            left -= STEP;
        }
        mean = charge / time;
    }
    mean
}

fn steady(c: &mut Criterion) {
    let sink = sink();
    let timing = PeakTiming { delay: Seconds::si(DELAY), off_time: Seconds::si(OFF_TIME) };
    let chopped = ChoppedTiming {
        amplifier: Seconds::si(160e-9),
        hysteresis: Volts::ZERO,
        off_delay: Seconds::si(DELAY),
        on_delay: Seconds::si(OFF_TIME),
    };
    let (exact, plain) = (peak_controlled(&sink, &timing).mean.value(), stepped(&sink));
    assert!((plain / exact - 1.0).abs() < 1e-3, "the integrators disagree: {exact} A and {plain} A");
    let mut group = c.benchmark_group("steady cycle");
    group.bench_function("exact", |b| b.iter(|| peak_controlled(black_box(&sink), black_box(&timing))));
    group.bench_function("exact, amplifier with lag", |b| {
        b.iter(|| amplifier_controlled(black_box(&sink), black_box(&chopped)));
    });
    group.bench_function("start from zero, amplifier with lag", |b| {
        b.iter(|| start_up(black_box(&sink), black_box(&chopped), Seconds::ZERO));
    });
    group.sample_size(20);
    group.bench_function("fixed steps of 1 ns", |b| b.iter(|| stepped(black_box(&sink))));
    group.finish();
}

criterion_group!(benches, steady);
criterion_main!(benches);
