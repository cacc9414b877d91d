//! What is solved in a packet, by us and by scipy: the steady switching cycle, a filtered reference that settles, heat
//! networks in balance, lamps that warm up. Both solve the stored lamps of `tests/reference`, to the same answer.

use lampwright::physics::electrical::hysteretic::{DiodeDrop, PeakTiming, SwitchedSink, peak_controlled};
use lampwright::physics::electrical::reference::{PwmPin, RcSection, settling_time};
use lampwright::physics::electrical::string::StringModel;
use lampwright::quantity::{Amperes, Farads, Henries, Hertz, Ohms, Seconds, Volts};
use serde_json::{Value, json};

use crate::{Line, clock, lamps, python};

pub(crate) fn number(row: &Value, key: &str) -> f64 {
    row[key].as_f64().unwrap_or_else(|| panic!("{key} in {row}"))
}

/// The lines of the table: one kind of solve each.
pub(crate) fn lines(interpreter: &str) -> Vec<Line> {
    let answer = python::ask(interpreter, "solves.py", &json!({}));
    let by = format!("scipy {}", answer["version"].as_str().unwrap());
    let line = |what: &str, key: &str, by: &str, ours: f64| Line {
        what: what.into(),
        by: format!("{by} {}", answer[key]["by"].as_str().unwrap()),
        ours,
        theirs: number(&answer[key], "seconds"),
    };
    vec![
        line("a steady switching cycle", "cycle", &by, cycle(&answer["cycle"])),
        line("a filtered reference from rest to its ripple", "filter", &by, filter(&answer["filter"])),
        line("fifteen heat networks in balance", "balance", &by, lamps::balance(&answer["balance"])),
        line("ten lamps warming up", "warmup", &by, lamps::warmup(&answer["warmup"])),
    ]
}

pub(crate) fn agree(found: f64, theirs: f64, within: f64, what: &str) {
    assert!((found - theirs).abs() <= within, "{what}: {found} by us, {theirs} by scipy");
}

fn cycle(answer: &Value) -> f64 {
    let p = &answer["given"];
    let ohms = |key: &str| Ohms::si(number(p, key));
    let volts = |key: &str| Volts::si(number(p, key));
    let sink = SwitchedSink {
        supply: volts("Vs"),
        string: StringModel { offset: volts("V0"), slope: ohms("Rd") },
        inductance: Henries::si(number(p, "L")),
        winding: ohms("RL"),
        on_resistance: ohms("Ron"),
        sense: ohms("Rs"),
        diode: DiodeDrop { offset: volts("VD0"), slope: ohms("RD") },
        gain: number(p, "A"),
        reference: volts("Vref"),
    };
    let timing = PeakTiming { delay: Seconds::si(number(p, "td")), off_time: Seconds::si(number(p, "toff")) };
    let mean: Amperes = peak_controlled(&sink, &timing).mean;
    agree(mean.value(), number(answer, "mean"), 1e-6, "mean current");
    clock::seconds(|| peak_controlled(std::hint::black_box(&sink), std::hint::black_box(&timing)))
}

fn filter(answer: &Value) -> f64 {
    let p = &answer["given"];
    let section = RcSection {
        resistance: Ohms::si(number(p, "R") + number(p, "Ro")),
        capacitance: Farads::si(number(p, "C")),
        load: p["RL"].as_f64().map(Ohms::si),
    };
    let pin = PwmPin {
        high: Volts::si(number(p, "VH")),
        low: Volts::si(number(p, "VL")),
        duty: number(p, "D"),
        frequency: Hertz::si(number(p, "f")),
    };
    let solve = || (std::hint::black_box(&section).worst_ripple(&pin), settling_time(section.time_constant(), 12, 0.5));
    let (ripple, settled) = solve();
    agree(ripple.value(), number(answer, "most") - number(answer, "least"), 2e-7, "ripple at half duty");
    // Half a step of 4096, from rest: theirs is the first period that ends within it.
    agree(settled.value(), number(answer, "settled"), 1.01 * number(answer, "period"), "settling");
    clock::seconds(solve)
}
