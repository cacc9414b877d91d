//! Drawings `current-NAME` and `pulses`: the inductor's current over two cycles, and the pin at 1, 10 and 50 %.

use super::pen::Pen;
use crate::figures::engineering;
use crate::packet::bench::Bench;
use crate::packet::drawing::{Anchor, Drawing, Path, Role, Scale, at};
use crate::quantity::Quantity;
use crate::solve::drive::{ChannelSolution, Drive};

/// Width and height of the plot of a current, mm.
const PLOT: (f64, f64) = (120.0, 45.0);
/// Height of the plot of one level, and from one to the next, mm.
const PULSE: (f64, f64) = (12.0, 22.0);
/// Levels drawn, per cent.
const LEVELS: [u32; 3] = [1, 10, 50];
/// Steps an axis may have, in the leading digit.
const STEPS: [f64; 4] = [1.0, 2.0, 5.0, 10.0];

/// Round steps, about `count` of them up to `most`.
fn step(most: f64, count: f64) -> f64 {
    let rough = most / count;
    let decade = libm::pow(10.0, libm::floor(libm::log10(rough)));
    STEPS.into_iter().map(|s| s * decade).find(|s| *s >= rough * 0.999).unwrap_or(10.0 * decade)
}

/// The axes with their ticks; `width` and `height` are the plot's, mm.
fn axes(pen: &mut Pen, (time, most): (f64, f64), (width, height): (f64, f64), (across, unit): (&str, &str)) {
    pen.line(Role::Outline, &[at(0.0, height + 3.0), at(0.0, 0.0), at(width + 3.0, 0.0)]);
    let (dt, dy) = (step(time, 6.0), step(most, 4.0));
    let mut k = 0.0;
    while k * dt <= time * 1.001 {
        let x = k * dt / time * width;
        pen.line(Role::Dimension, &[at(x, 0.0), at(x, -1.2)]);
        pen.text(at(x, -4.6), Anchor::Middle, engineering(k * dt, "s"));
        k += 1.0;
    }
    k = 1.0;
    while k * dy <= most * 1.001 {
        let y = k * dy / most * height;
        pen.line(Role::Dimension, &[at(0.0, y), at(-1.2, y)]);
        pen.text(at(-2.0, y - 0.9), Anchor::End, engineering(k * dy, unit));
        k += 1.0;
    }
    pen.text(at(width, -9.0), Anchor::End, across);
}

/// The inductor's current over two cycles with its limits; none where the channel does not switch.
pub(in crate::packet) fn current(bench: &Bench<'_>, solved: &ChannelSolution) -> Option<Drawing> {
    let Ok(Drive::Hysteretic(drive)) = &solved.drive else { return None };
    let wave = &solved.notes.wave;
    let period = wave.last()?.0.value();
    let limit = bench.lamp.driver.inductor.as_ref().and_then(|i| i.saturation.low().ok());
    let ledger = |figure: &str| bench.said(&format!("drive.{}.{figure}", solved.name));
    // A limit far above the current would press the wave flat: it is then only said.
    let close = limit.filter(|l| l.value() < 2.0 * drive.peak.value());
    let most = close.map_or(drive.peak.value(), |l| l.value().max(drive.peak.value())) * 1.08;
    let (time, (width, height)) = (2.0 * period, PLOT);
    let mut pen = Pen::default();
    axes(&mut pen, (time, most), PLOT, ("time from the closing of the switch", "A"));
    pen.text(at(2.0, height + 4.5), Anchor::Start, "current in inductor and string");
    let place = |t: f64, i: f64| at(t / time * width, i / most * height);
    let twice = [0.0, period].into_iter().flat_map(|from| wave.iter().map(move |(t, i)| (from + t.value(), i.value())));
    pen.line(Role::Wire, &twice.map(|(t, i)| place(t, i)).collect::<Vec<_>>());
    let mut levels = vec![
        (drive.nominal.peak.value(), format!("peak {}", ledger("peak")), Role::Hidden),
        (drive.nominal.mean.value(), format!("mean {}", ledger("current")), Role::Axis),
        (drive.nominal.valley.value(), format!("valley {}", ledger("valley")), Role::Hidden),
        (drive.peak.value(), format!("worst peak {}", drive.peak.show()), Role::Dimension),
    ];
    if let Some(limit) = close {
        levels.push((limit.value(), format!("inductor saturates {}", limit.show()), Role::Outline));
    }
    levels.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut free = f64::NEG_INFINITY;
    for (value, words, role) in levels {
        let y = value / most * height;
        pen.line(role, &[at(0.0, y), at(width, y)]);
        let text = (y - 0.9).max(free);
        pen.line(Role::Dimension, &[at(width, y), at(width + 3.0, text + 0.9)]);
        pen.text(at(width + 4.0, text), Anchor::Start, words);
        free = text + 3.8;
    }
    let title = format!("Channel {}: current over two cycles at full, nominal", solved.name);
    let description = format!(
        "The current rises from {} to {} while the switch conducts for {}, and falls back while the diode does.",
        ledger("valley"),
        ledger("peak"),
        ledger("on-time")
    );
    Some(pen.finish(&format!("current-{}", solved.name), title, description, Scale::Reduced))
}

/// The pin over two periods at three levels; none where nothing is modulated.
pub(in crate::packet) fn pulses(bench: &Bench<'_>) -> Option<Drawing> {
    let solved = bench.solution.channels.iter().find(|c| c.notes.levels.contains(&1))?;
    let period = 1.0 / bench.lamp.driver.pwm.nominal().ok()?.value();
    let logic = bench.lamp.controller.as_ref()?.logic.nominal().ok()?.value();
    let shown = |figure: String| bench.solution.ledger.shown(&format!("drive.{}.{figure}", solved.name));
    let (width, mut pen) = (PLOT.0, Pen::default());
    let (lowest, mut filtered) = (LEVELS.len() - 1, false);
    for (row, level) in LEVELS.into_iter().enumerate() {
        let base = PULSE.1 * (lowest - row) as f64;
        let share = f64::from(level) / 100.0;
        let path: Vec<_> = [0.0, 0.5]
            .into_iter()
            .flat_map(|from| {
                let end = from + share * 0.5;
                [(from, 0.0), (from, 1.0), (end, 1.0), (end, 0.0), (from + 0.5, 0.0)]
            })
            .map(|(t, v)| at(t * width, base + v * PULSE.0))
            .collect();
        pen.line(Role::Outline, &[at(0.0, base + PULSE.0 + 2.0), at(0.0, base), at(width + 3.0, base)]);
        pen.path(Role::Wire, Path::line(&path));
        pen.text(at(-2.0, base + PULSE.0 - 0.9), Anchor::End, engineering(logic, "V"));
        pen.text(at(-2.0, base - 0.9), Anchor::End, "0 V");
        let high = shown(format!("at-{level}-high")).unwrap_or("a time not known");
        pen.text(at(width + 4.0, base + 7.0), Anchor::Start, format!("{level} %: high for {high}"));
        let reference = bench.solution.ledger.get(&format!("drive.{}.at-{level}-reference", solved.name));
        if let Some((entry, volts)) = reference.and_then(|e| Some((e, e.value?))) {
            // The filtered reference stands on the pin's axis, a chain line at its mean.
            let y = base + volts / logic * PULSE.0;
            pen.line(Role::Axis, &[at(0.0, y), at(width, y)]);
            pen.text(at(width + 4.0, base + 3.0), Anchor::Start, format!("reference {}", entry.shown));
            filtered = true;
        }
    }
    for (x, t) in [(0.0, 0.0), (0.5, period), (1.0, 2.0 * period)] {
        pen.line(Role::Dimension, &[at(x * width, 0.0), at(x * width, -1.2)]);
        pen.text(at(x * width, -4.6), Anchor::Middle, engineering(t, "s"));
    }
    pen.text(at(width, -9.0), Anchor::End, "time");
    let what = if filtered { "Pin and reference" } else { "Pin" };
    let title = format!("{what} at 1, 10 and 50 %, channel {}", solved.name);
    let description = "The pin is high for 1, 10 and 50 % of each period; two periods are drawn.".to_owned();
    Some(pen.finish("pulses", title, description, Scale::Reduced))
}

/// The current of every channel that switches.
pub(super) fn currents(bench: &Bench<'_>) -> Vec<Drawing> {
    bench.solution.channels.iter().filter_map(|c| current(bench, c)).collect()
}
