//! Terminals with all that they hold: the lamp's wires, the cores of its cord, and those that stay empty.

use crate::lamp::Lamp;
use crate::lamp::mains::Mains;
use crate::physics::conductors::colour::{Conductor, conductor_colour};
use crate::schema::words::Class;
use crate::solve::line::terms;

use super::Wire;
use super::size::region;

/// One terminal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Terminal {
    /// `part.terminal`.
    pub name: String,
    /// Colour code of the cord's core that ends there.
    pub core: Option<String>,
    /// Numbers of the wires that end there; none where it stays empty.
    pub wires: Vec<String>,
}

impl Terminal {
    /// Conductors that it holds.
    pub fn holds(&self) -> usize {
        self.wires.len() + usize::from(self.core.is_some())
    }

    /// The core and the wires as papers name them, the core first as it is fitted first; `cord` in the region's word.
    pub fn held(&self, cord: &str) -> Vec<String> {
        let core = self.core.iter().map(|code| format!("{cord} {code}"));
        core.chain(self.wires.iter().cloned()).collect()
    }
}

/// Every terminal that a wire ends at, in the order of the wires, then those that are declared and stay empty: spare
/// pins of the controller, and the earth core of a three-core cord in class II.
///
/// An outside supply comes by its own plug, so it has no core under a terminal.
pub fn terminals(lamp: &Lamp, wires: &[Wire]) -> Vec<Terminal> {
    let mut all: Vec<Terminal> = Vec::new();
    for (end, number) in wires.iter().flat_map(|w| [(&w.from, &w.number), (&w.to, &w.number)]) {
        match all.iter_mut().find(|t| &t.name == end) {
            Some(terminal) => terminal.wires.push(number.clone()),
            None => all.push(Terminal { name: end.clone(), core: None, wires: vec![number.clone()] }),
        }
    }
    for (name, code) in lamp.mains.iter().flat_map(|mains| cores(lamp, mains)) {
        if let Some(terminal) = all.iter_mut().find(|t| t.name == name) {
            terminal.core = Some(code);
        }
    }
    let pins = lamp.controller.iter().flat_map(|c| &c.pins).map(|p| format!("controller.{}", p.name));
    let mains = lamp.mains.as_ref().filter(|m| m.class.value == Some(Class::II));
    let core = mains.and_then(|m| m.cord.as_ref()).filter(|c| c.cores.value == Some(3));
    for name in pins.chain(core.map(|_| "entry.PE".to_owned())) {
        if all.iter().all(|t| t.name != name) {
            all.push(Terminal { name, core: None, wires: Vec::new() });
        }
    }
    all
}

/// The cord's cores with the terminals they go to, in the colours of the region; none for a lamp with an inlet.
fn cores(lamp: &Lamp, mains: &Mains) -> Vec<(&'static str, String)> {
    if mains.cord.is_none() {
        return Vec::new();
    }
    let code = |conductor| conductor_colour(terms::region(region(lamp)), conductor).marking.code();
    let live = [("entry.L", code(Conductor::Line)), ("entry.N", code(Conductor::Neutral))];
    let earth = (mains.class.value == Some(Class::I)).then(|| ("entry.PE", code(Conductor::ProtectiveEarth)));
    live.into_iter().chain(earth).collect()
}
