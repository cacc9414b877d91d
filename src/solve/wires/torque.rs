//! How tight the screws of mains terminals are turned, by their thread.
//! Turns the usual threads into entries of the ledger, where mains wires end under screws.

use crate::lamp::Lamp;
use crate::ledger::Ledger;
use crate::physics::conductors::marks::terminal_torque;
use crate::quantity::Metres;
use crate::schema::words::Terminals;

/// Threads of usual terminals, mm.
const THREADS: [f64; 4] = [2.5, 3.0, 3.5, 4.0];
const SOURCE: &str = "IEC 60335-1, table 14, screws with a head; from memory";

/// Enters a torque for each thread under `torque.`, where mains wires end under screws.
pub(super) fn enter(lamp: &Lamp, ledger: &mut Ledger) {
    let screws = lamp.mains.as_ref().is_some_and(|m| m.terminals.value == Some(Terminals::Screw));
    for thread in THREADS.into_iter().filter(|_| screws) {
        if let Some(torque) = terminal_torque(Metres::si(thread * 1e-3), false) {
            let title = format!("torque of a terminal screw of {thread} mm");
            ledger.looked_up(format!("torque.{thread}"), &title, torque, format!("thread {thread} mm"), SOURCE);
        }
    }
}
