//! Channels and supply as sources of heat that follow the junction: forward voltage falls and light fades with it.

use crate::lamp::engine::Engine;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::physics::thermal::assembly::Sources;
use crate::quantity::{Kelvin, KelvinPerWatt, Temperature, Volts, VoltsPerKelvin, Watts};
use crate::schema::words::{Side, Topology};

use super::super::drive::{ChannelSolution, Circuit};
use super::super::light::fading::Fading;
use super::super::light::ways::{Way, ways_for_heat};
use super::electric::Electric;

/// A channel's electrical side.
#[derive(Debug, Clone)]
pub(super) struct Load {
    pub(super) name: String,
    /// Power of the string at 25 °C.
    string: Watts,
    /// What it takes at any junction.
    pub(super) electric: Electric,
    /// Radiant by electrical power, at `stated_at`.
    efficiency: f64,
    /// Junction temperature that the efficiency is stated at.
    stated_at: Temperature,
    /// Rate at which radiant power fades, of e^(−r ΔT), 1/K.
    fade: f64,
    /// Where its light goes.
    way: Way,
    /// From junction to board, for all the channel's heat; missing where the die's is.
    pub(super) to_board: Found<KelvinPerWatt>,
    /// Highest junction temperature.
    pub(super) limit: Found<Temperature>,
    /// How power and light follow the set current.
    bends: Bends,
    /// Current by the set one; other than 1 only where a question asks so.
    driven: f64,
}

/// How a channel would fare at another current.
#[derive(Debug, Clone, Copy)]
struct Bends {
    /// Part of the string's voltage that grows with its current.
    ohmic: f64,
    /// Exponent of light over current.
    droop: f64,
    /// The supply gives the string's current at its own voltage, so that its power grows with the current alone.
    at_supply: bool,
}

/// What is the same in every state.
#[derive(Debug, Clone, Copy)]
pub(super) struct Fixed {
    /// Of the controller.
    pub(super) controller: Watts,
    /// Output by input of the supply; none where it stands outside.
    pub(super) supply: Option<f64>,
}

/// A channel at one junction temperature and level.
#[derive(Debug, Clone, Copy)]
pub(super) struct Point {
    pub(super) string: Watts,
    pub(super) dice: Watts,
    pub(super) driver: Watts,
    pub(super) input: Watts,
    pub(super) radiant: Watts,
    /// Of that, what box and front take up.
    pub(super) taken: [Watts; 2],
}

/// No die radiates more of its power than this.
const MOST_RADIANT: f64 = 0.9;

/// Every channel's load.
pub(super) fn loads(engine: &Engine<'_>, channels: &[ChannelSolution], ledger: &Ledger) -> Found<Vec<Load>> {
    let ways = ways_for_heat(engine)?;
    let pairs = engine.driver.channels.iter().zip(channels).zip(ways);
    pairs
        .map(|((channel, solved), way)| {
            let power = solved.power.clone()?;
            let die = engine.die(channel).ok_or_else(|| channel.feeds.missing())?;
            let strings = f64::from(channel.strings.get()?.max(1));
            let dice = f64::from(die.count.get()?) * strings;
            // Without a drift the string keeps its power, which is the most it has; a ballast's current would rise.
            let drift = match engine.driver.topology.get()? {
                Topology::BallastResistor => die.drift.nominal()?,
                _ => die.drift.nominal().unwrap_or(VoltsPerKelvin::ZERO),
            };
            let circuit = Circuit::of(engine, solved, drift * f64::from(die.count.get()?), ledger)?;
            let electric = Electric::new(circuit).ok_or_else(|| engine.driver.off_time.missing())?;
            let fading = Fading::of(die)?;
            let (line, current) = (solved.string.clone()?.typical(), solved.set.clone()?.mean.nominal);
            let volts = line.forward_voltage(current);
            let bends = Bends {
                ohmic: if volts > Volts::ZERO { line.slope * current / volts } else { 0.0 },
                droop: die.droop.get().unwrap_or(1.0),
                at_supply: matches!(engine.driver.topology.get()?, Topology::BallastResistor | Topology::LinearSink),
            };
            Ok(Load {
                name: channel.name.clone(),
                string: power.string,
                electric,
                efficiency: if power.string > Watts::ZERO { power.radiant / power.string } else { 0.0 },
                stated_at: fading.stated_at(),
                fade: fading.radiant_rate(),
                way,
                to_board: die.thermal.high().map(|r| r / dice),
                limit: die.hottest.nominal(),
                bends,
                driven: 1.0,
            })
        })
        .collect()
}

/// What does not change.
pub(super) fn fixed(engine: &Engine<'_>) -> Found<Fixed> {
    let controller = engine.controller.map_or(Ok(Watts::ZERO), |c| c.power.nominal())?;
    let inside = engine.supply.place.get()? == Side::Inside;
    let supply = inside.then(|| engine.supply.efficiency.get()).transpose()?;
    Ok(Fixed { controller, supply })
}

impl Load {
    /// Power of the string at 25 °C and full.
    pub(super) fn full(&self) -> Watts {
        self.string
    }

    /// The same with the string as it is at 25 °C, whatever the junction.
    pub(super) fn held(&self) -> Option<Self> {
        Some(Self { electric: self.electric.held()?, ..self.clone() })
    }

    /// The same with its set current by this factor: the string's voltage rises by its slope, its light droops.
    pub(super) fn driven(&self, by: f64) -> Self {
        Self { driven: by, ..self.clone() }
    }

    /// At this junction temperature; `share` is the level.
    pub(super) fn at(&self, junction: Temperature, share: f64) -> Point {
        let (string, input) = self.electric.at(junction);
        let (by, bends) = (self.driven, &self.bends);
        let more = by * (1.0 + bends.ohmic * (by - 1.0));
        let (string, input) = (string * more, input * if bends.at_supply { by } else { more });
        let droops = if by > 0.0 { libm::pow(by, bends.droop - 1.0) } else { 1.0 };
        // Counted back from a warm data sheet to a cold die, the law would soon make light from nothing.
        let efficiency = (self.light(junction) * self.efficiency * droops).min(MOST_RADIANT);
        let radiant = string * efficiency;
        let lit = radiant * share;
        Point {
            string: string * share,
            dice: (string - radiant) * share,
            driver: (input - string) * share,
            input: input * share,
            radiant: lit,
            taken: [lit * self.way.in_box(), lit * self.way.in_sheet],
        }
    }

    /// Heat gained for each kelvin at this junction temperature by light that fades, W/K.
    pub(super) fn feedback(&self, junction: Temperature) -> f64 {
        self.string.value() * self.efficiency * self.light(junction) * self.fade
    }

    /// Its radiant power by that at the stated temperature.
    pub(super) fn light(&self, junction: Temperature) -> f64 {
        libm::exp(-self.fade * (junction - self.stated_at).value())
    }
}

impl Fixed {
    /// Light of these channels that gets out of the lamp.
    pub(super) fn leaves(&self, points: &[Point]) -> Watts {
        points.iter().map(|p| p.radiant - p.taken[0] - p.taken[1]).sum()
    }

    /// Where the heat of these channels is set free, with this many zones.
    pub(super) fn sources(&self, points: &[Point], zones: usize) -> Sources {
        let sum = |what: fn(&Point) -> Watts| points.iter().map(what).sum::<Watts>();
        let output = sum(|p| p.input) + self.controller;
        let supply = self.supply.map_or(Watts::ZERO, |efficiency| output * (1.0 / efficiency - 1.0));
        let mut absorbed = vec![Watts::ZERO; zones];
        let taken = [sum(|p| p.taken[0]), sum(|p| p.taken[1])];
        // Without a front, what would end there ends in the shell.
        for (n, watts) in taken.into_iter().enumerate() {
            if let Some(zone) = absorbed.get_mut(n.min(zones.saturating_sub(1))) {
                *zone = *zone + watts;
            }
        }
        Sources { dice: sum(|p| p.dice), supply, air: sum(|p| p.driver) + self.controller, zones: absorbed }
    }
}

/// The rise from board to junction.
pub(super) fn rise(load: &Load, point: &Point) -> Kelvin {
    load.to_board.clone().map_or(Kelvin::ZERO, |r| point.dice * r)
}
