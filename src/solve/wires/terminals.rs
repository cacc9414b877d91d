//! Terminals with the wires on each, and the terminals that stay empty.

use crate::lamp::Lamp;
use crate::schema::words::Class;

use super::Wire;

/// One terminal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Terminal {
    /// `part.terminal`.
    pub name: String,
    /// Numbers of the wires that end there; none where it stays empty.
    pub wires: Vec<String>,
}

/// Every terminal that a wire ends at, in the order of the wires, then those that are declared and stay empty: spare
/// pins of the controller, and the earth core of a three-core cord in class II.
pub fn terminals(lamp: &Lamp, wires: &[Wire]) -> Vec<Terminal> {
    let mut all: Vec<Terminal> = Vec::new();
    for (end, number) in wires.iter().flat_map(|w| [(&w.from, &w.number), (&w.to, &w.number)]) {
        match all.iter_mut().find(|t| &t.name == end) {
            Some(terminal) => terminal.wires.push(number.clone()),
            None => all.push(Terminal { name: end.clone(), wires: vec![number.clone()] }),
        }
    }
    let pins = lamp.controller.iter().flat_map(|c| &c.pins).map(|p| format!("controller.{}", p.name));
    let mains = lamp.mains.as_ref().filter(|m| m.class.value == Some(Class::II));
    let core = mains.and_then(|m| m.cord.as_ref()).filter(|c| c.cores.value == Some(3));
    for name in pins.chain(core.map(|_| "entry.PE".to_owned())) {
        if all.iter().all(|t| t.name != name) {
            all.push(Terminal { name, wires: Vec::new() });
        }
    }
    all
}
