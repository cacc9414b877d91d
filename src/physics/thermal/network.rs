//! A lamp as nodes and the ways heat goes between them: temperatures to the heat that each node is short of.

use super::faces::{self, Face};
use super::radiation::{STEFAN_BOLTZMANN, fourth};
use super::sink::{PlateFins, Standing};
use super::vents::Vents;
use crate::quantity::{JoulesPerKelvin, Pascals, SquareMetres, Temperature, Watts, WattsPerKelvin};

/// One end of a way: a node, or the room.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// A node by its number.
    Node(usize),
    /// The air of the room.
    Air,
    /// What the lamp radiates to: walls of the room.
    Walls,
}

/// A law by which heat goes from one end to the other. Each grows with the first temperature, falls with the second
/// and is nothing where they are equal; on that rests that the network has just one answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Law {
    /// G ΔT: conduction, contact, or a stated thermal resistance.
    Conduction(WattsPerKelvin),
    /// ε A σ (T1⁴ − T2⁴).
    Radiation(SquareMetres),
    /// Σ h A ΔT of a surface in air; a factor for what-if questions, usually 1.
    Faces(Vec<Face>, f64),
    /// h A ΔT of a compact body with this whole surface.
    Body(SquareMetres),
    /// Fins in air; a factor for what-if questions, usually 1.
    Fins(PlateFins, Standing, f64),
    /// Warm air that leaves by the openings; the other end is the room.
    Draught(Vents),
}

/// A way of heat: `from` is the surface where there is one, `to` the air or the other body.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// From here.
    pub from: End,
    /// To there.
    pub to: End,
    /// How.
    pub law: Law,
    /// In a few words.
    pub what: &'static str,
}

/// A node: something with one temperature.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// Its name.
    pub name: String,
    /// Its heat capacity; nothing for a mean of radiation.
    pub capacity: JoulesPerKelvin,
}

/// The room around.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// Its air.
    pub air: Temperature,
    /// Its walls, usually as warm.
    pub walls: Temperature,
    /// Pressure of the air.
    pub pressure: Pascals,
}

/// Nodes and ways.
#[derive(Debug, Clone, PartialEq)]
pub struct Network {
    /// The room.
    pub room: Room,
    /// The nodes.
    pub nodes: Vec<Node>,
    /// The ways.
    pub ways: Vec<Way>,
}

impl Network {
    /// An empty network in this room.
    pub fn new(room: Room) -> Self {
        Self { room, nodes: Vec::new(), ways: Vec::new() }
    }

    /// Adds a node and gives its number.
    pub fn node(&mut self, name: impl Into<String>, capacity: JoulesPerKelvin) -> usize {
        self.nodes.push(Node { name: name.into(), capacity });
        self.nodes.len() - 1
    }

    /// Adds a way.
    pub fn way(&mut self, from: End, to: End, law: Law, what: &'static str) {
        self.ways.push(Way { from, to, law, what });
    }

    pub(super) fn kelvin(&self, end: End, temperatures: &[f64]) -> f64 {
        match end {
            End::Node(n) => temperatures.get(n).copied().unwrap_or(f64::NAN),
            End::Air => self.room.air.value(),
            End::Walls => self.room.walls.value(),
        }
    }

    /// Heat along a way, W, with its ends at these kelvin.
    pub(super) fn flow(&self, law: &Law, from: f64, to: f64) -> f64 {
        let (warm, cold, p) = (Temperature::si(from), Temperature::si(to), self.room.pressure);
        match law {
            Law::Conduction(g) => g.value() * (from - to),
            Law::Radiation(area) => area.value() * STEFAN_BOLTZMANN * (fourth(from) - fourth(to)),
            Law::Faces(all, factor) => factor * faces::conductance(all, warm, cold, p).value() * (from - to),
            Law::Body(area) => faces::body_transfer(*area, warm, cold, p).value() * area.value() * (from - to),
            Law::Fins(sink, standing, factor) => {
                factor * sink.convection(*standing, warm, cold, p).total.value() * (from - to)
            }
            Law::Draught(vents) => vents.draught(warm, cold, p).heat.value(),
        }
    }

    /// ∂q/∂T_from and ∂q/∂T_to, W/K, where `here` flows: exact for the linear and radiant ways, by a difference over
    /// 10 µK else. The room's own temperature is no unknown: nobody asks for a slope by it, and it is left at nothing.
    fn slopes(&self, way: &Way, from: f64, to: f64, here: f64) -> (f64, f64) {
        const STEP: f64 = 1e-5;
        match &way.law {
            Law::Conduction(g) => (g.value(), -g.value()),
            Law::Radiation(area) => {
                let slope = |t: f64| 4.0 * area.value() * STEFAN_BOLTZMANN * t * t * t;
                (slope(from), -slope(to))
            }
            law => {
                let moves = |end: End| matches!(end, End::Node(_));
                let by_from = if moves(way.from) { (self.flow(law, from + STEP, to) - here) / STEP } else { 0.0 };
                let by_to = if moves(way.to) { (self.flow(law, from, to + STEP) - here) / STEP } else { 0.0 };
                (by_from, by_to)
            }
        }
    }

    /// F_i = Q_i − Σ q_ij: what each node is short of, into `short`, and what flows along each way, into `flows`. Gives
    /// Σ|q|, the size of what was added up.
    pub(super) fn residual(&self, heat: &[f64], temperatures: &[f64], flows: &mut Vec<f64>, short: &mut [f64]) -> f64 {
        short.copy_from_slice(heat);
        flows.clear();
        let mut moved = 0.0;
        for way in &self.ways {
            let (from, to) = (self.kelvin(way.from, temperatures), self.kelvin(way.to, temperatures));
            let q = self.flow(&way.law, from, to);
            flows.push(q);
            moved += q.abs();
            if let End::Node(n) = way.from {
                add(short, n, -q);
            }
            if let End::Node(n) = way.to {
                add(short, n, q);
            }
        }
        moved
    }

    /// J = ∂F/∂T, row after row, at temperatures at which these flows were found.
    pub(super) fn jacobian(&self, temperatures: &[f64], flows: &[f64], jacobian: &mut [f64]) {
        let n = self.nodes.len();
        jacobian.fill(0.0);
        for (way, here) in self.ways.iter().zip(flows) {
            let (from, to) = (self.kelvin(way.from, temperatures), self.kelvin(way.to, temperatures));
            let (by_from, by_to) = self.slopes(way, from, to, *here);
            for (end, sign) in [(way.from, -1.0), (way.to, 1.0)] {
                let End::Node(row) = end else { continue };
                if let End::Node(column) = way.from {
                    add(jacobian, row * n + column, sign * by_from);
                }
                if let End::Node(column) = way.to {
                    add(jacobian, row * n + column, sign * by_to);
                }
            }
        }
    }

    /// Heat along each way at these temperatures, in the order of the ways.
    pub fn flows(&self, temperatures: &[Temperature]) -> Vec<Watts> {
        let kelvin: Vec<f64> = temperatures.iter().map(|t| t.value()).collect();
        let flow = |way: &Way| self.flow(&way.law, self.kelvin(way.from, &kelvin), self.kelvin(way.to, &kelvin));
        self.ways.iter().map(|way| Watts::si(flow(way))).collect()
    }

    /// Heat that reaches the room at these temperatures.
    pub fn to_room(&self, temperatures: &[Temperature]) -> Watts {
        let flows = self.flows(temperatures);
        let outward = self.ways.iter().zip(flows).map(|(way, q)| match (way.from, way.to) {
            (End::Node(_), End::Air | End::Walls) => q,
            (End::Air | End::Walls, End::Node(_)) => -q,
            _ => Watts::ZERO,
        });
        outward.sum()
    }
}

fn add(to: &mut [f64], at: usize, what: f64) {
    if let Some(cell) = to.get_mut(at) {
        *cell += what;
    }
}
