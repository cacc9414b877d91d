//! A channel's circuit at any junction: what its string takes, what it draws, what flows.
//! The network of heat and the warm figures of the drive sheet both ask here, so that they cannot disagree.

use crate::lamp::engine::Engine;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::physics::electrical::ballast::Ballast as Branch;
use crate::physics::electrical::string::StringModel;
use crate::quantity::{Amperes, Ohms, Temperature, Volts, VoltsPerKelvin, Watts};

use super::outcome::absent;
use super::solution::{ChannelSolution, Drive};
use super::stage::{Corner, Stage};
use super::string::Lines;

/// The temperature at which data sheets state forward voltages, resistances and offsets.
pub(in crate::solve) const STATED: Temperature = Temperature::from_celsius(25.0);

/// String and supply of a channel at one junction.
#[derive(Debug, Clone, Copy)]
pub(in crate::solve) struct Running {
    pub(in crate::solve) current: Amperes,
    pub(in crate::solve) string: Watts,
    pub(in crate::solve) input: Watts,
}

/// The circuit with its string as it is at 25 °C, and by how much a kelvin changes that string.
#[derive(Debug, Clone)]
pub(in crate::solve) struct Circuit {
    line: StringModel,
    drift: VoltsPerKelvin,
    kind: Kind,
}

#[derive(Debug, Clone)]
enum Kind {
    /// Holds its current and takes as much from the supply.
    Linear { current: Amperes, supply: Volts },
    /// Holds its current and takes the string's power over its efficiency.
    Module { current: Amperes, efficiency: f64 },
    /// The current follows the string.
    Ballast { supply: Volts, resistor: Ohms, on: Ohms },
    /// The cycle follows the string; edges and gain resistors lose what they lose.
    Switched { stage: Box<Stage>, beside: Watts },
}

impl Circuit {
    /// The circuit of a solved channel; `drift` is that of the whole string, V/K.
    ///
    /// # Errors
    /// The figure that is missing.
    pub(in crate::solve) fn of(
        engine: &Engine<'_>,
        solved: &ChannelSolution,
        drift: VoltsPerKelvin,
        ledger: &Ledger,
    ) -> Found<Self> {
        let line = solved.string.clone()?.typical();
        let supply = engine.supply.output.nominal()?;
        let current = solved.set.clone()?.mean.nominal;
        let kind = match solved.drive.as_ref().map_err(Clone::clone)? {
            Drive::Linear(_) => Kind::Linear { current, supply },
            Drive::Module(_) => {
                let module = engine.driver.module.as_ref();
                let module = module.ok_or_else(|| absent("driver.module.efficiency", solved.span))?;
                Kind::Module { current, efficiency: module.efficiency.get()? }
            }
            Drive::Ballast(ballast) => {
                let on = ledger.get(&format!("drive.{}.on-resistance", solved.name)).and_then(|e| e.value);
                Kind::Ballast { supply, resistor: ballast.resistor, on: on.map_or(Ohms::ZERO, Ohms::si) }
            }
            Drive::Hysteretic(_) => {
                let stage = solved.notes.stage.ok_or_else(|| engine.driver.off_time.missing())?;
                Kind::Switched { stage: Box::new(stage), beside: solved.notes.beside }
            }
        };
        Ok(Self { line, drift, kind })
    }

    /// The string at this junction temperature.
    pub(in crate::solve) fn line(&self, junction: Temperature) -> StringModel {
        self.line.warmed(self.drift, junction - STATED)
    }

    /// Whether a junction costs a whole cycle to work out.
    pub(in crate::solve) const fn switched(&self) -> bool {
        matches!(self.kind, Kind::Switched { .. })
    }

    /// What runs at this junction temperature; `None` where no steady cycle is found.
    pub(in crate::solve) fn at(&self, junction: Temperature) -> Option<Running> {
        let line = self.line(junction);
        let held = |current: Amperes| line.power(current, current).max(Watts::ZERO);
        Some(match &self.kind {
            Kind::Linear { current, supply } => {
                Running { current: *current, string: held(*current), input: *supply * *current }
            }
            Kind::Module { current, efficiency } => {
                let string = held(*current);
                Running { current: *current, string, input: string / *efficiency }
            }
            Kind::Ballast { supply, resistor, on } => {
                let current = Branch { supply: *supply, string: line, resistor: *resistor, other: *on }.current();
                Running { current, string: line.power(current, current), input: *supply * current }
            }
            Kind::Switched { stage, beside } => {
                let lines = Lines { low: line, typical: line, high: line };
                let cycle = stage.with_lines(lines).cycle(&Corner::NOMINAL)?;
                Running { current: cycle.mean, string: cycle.led_power, input: cycle.input_power + *beside }
            }
        })
    }
}
