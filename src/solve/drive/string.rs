//! The voltage of a channel's string: dice in series, spread of the die, cold start and hottest junction.
//! Turns the die's figures into the straight-line model that every topology reads.

use crate::lamp::given::Found;
use crate::physics::electrical::string::StringModel;
use crate::quantity::{Amperes, Volts};
use crate::spread::Spread;

use super::circuit::STATED;
use super::desk::{Desk, by};
use super::solution::StringVoltage;

const LINE: &str =
    "straight-line diode model of any circuits text; valid from 20 % to 120 % of the die's stated current";

/// Works out the string at the wanted current.
pub(super) fn solve(desk: &mut Desk<'_>) -> Found<StringVoltage> {
    let die = desk.die()?;
    let (forward, at) = die.forward.get()?;
    let count = die.count.get()?;
    let parallel = desk.channel.strings.get()?;
    let wanted = desk.channel.current.nominal()?;
    let each = wanted / f64::from(parallel.max(1));
    let slope = die.slope.nominal()?;
    let line = |v: Volts| StringModel { offset: v - slope * at, slope }.in_series(count);
    let typical = line(forward.nominal);
    let voltage = forward.map(|v| line(v).forward_voltage(each));
    let inputs: [(&'static str, &str); 5] = [
        ("n", &die.count.path),
        ("Vf", &die.forward.path),
        ("Rd", &die.slope.path),
        ("I", &desk.channel.current.path),
        ("strings", &desk.channel.strings.path),
    ];
    desk.enter_band(
        "string",
        "string at the wanted current, 25 °C",
        voltage,
        by("V = n·(Vf + Rd·(I/strings − I_stated))", LINE),
        &inputs,
    );
    let slope_all = slope * (f64::from(count) / f64::from(parallel.max(1)));
    desk.enter(
        "string-offset",
        "string's offset voltage, 25 °C",
        typical.offset,
        by("V0 = n·(Vf − Rd·I_stated)", LINE),
        &inputs[..3],
    );
    desk.enter(
        "string-slope",
        "string's dynamic resistance",
        slope_all,
        by("Rd = n·Rd_die/strings", LINE),
        &[inputs[0], ("Rd_die", &die.slope.path), inputs[4]],
    );
    let (coldest, hottest) = limits(desk, voltage, count)?;
    Ok(StringVoltage { count, offset: typical.offset, slope: slope_all, at_current: voltage, coldest, hottest })
}

/// Highest die in the coldest room, and lowest die at its highest permitted junction temperature.
fn limits(desk: &mut Desk<'_>, voltage: Spread<Volts>, count: u32) -> Found<(Volts, Volts)> {
    let die = desk.die()?;
    let drift = die.drift.get()?;
    // The coefficient that falls most gives both extremes.
    let most = drift.low * f64::from(count);
    let cold = desk.engine.room.low()?;
    let hot = die.hottest.nominal()?;
    let coldest = voltage.high + most * (cold - STATED);
    let hottest = voltage.low + most * (hot - STATED);
    let inputs: [(&'static str, &str); 5] = [
        ("V", ".string"),
        ("n", &die.count.path),
        ("k", &die.drift.path),
        ("T_room", &desk.engine.room.path),
        ("T_j", &die.hottest.path),
    ];
    let drifted = "linear drift of the forward voltage, data-sheet practice";
    desk.enter(
        "string-coldest",
        "highest string at the coldest start",
        coldest,
        by("V = V_high + n·k·(T_room,low − 25 °C)", drifted),
        &inputs[..4],
    );
    desk.enter(
        "string-hottest",
        "lowest string at its hottest",
        hottest,
        by("V = V_low + n·k·(T_j,max − 25 °C)", drifted),
        &[inputs[0], inputs[1], inputs[2], inputs[4]],
    );
    Ok((coldest, hottest))
}

impl StringVoltage {
    /// The typical string as a straight line.
    pub fn typical(&self) -> StringModel {
        StringModel { offset: self.offset, slope: self.slope }
    }

    /// The line that passes through `voltage` at `current`.
    pub(super) fn through(&self, voltage: Volts, current: Amperes) -> StringModel {
        StringModel { offset: voltage - self.slope * current, slope: self.slope }
    }

    /// Lines of lowest, typical and highest string; `lowest` and `highest` are voltages at `current`.
    pub(super) fn lines(&self, lowest: Volts, highest: Volts, current: Amperes) -> Lines {
        Lines { low: self.through(lowest, current), typical: self.typical(), high: self.through(highest, current) }
    }
}

/// The straight lines of the lowest, the typical and the highest string.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Lines {
    /// Lowest offset.
    pub(super) low: StringModel,
    /// Typical.
    pub(super) typical: StringModel,
    /// Highest offset.
    pub(super) high: StringModel,
}

impl Lines {
    /// The line at a position, −1 to 1.
    pub(super) fn at(&self, position: f64) -> StringModel {
        let end = if position < 0.0 { self.low } else { self.high };
        let offset = self.typical.offset + (end.offset - self.typical.offset) * position.abs();
        StringModel { offset, slope: self.typical.slope }
    }
}
