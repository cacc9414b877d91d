//! Loss of the switch of a hysteretic sink: conduction when hot, and the two edges of each cycle.
//! Turns currents of the cycle and charges of the data sheet into watts; what drives the gate, too.

use crate::lamp::given::Found;
use crate::physics::electrical::hysteretic::SwitchedCycle;
use crate::physics::electrical::parts::switch::{GateDrive, switching_loss};
use crate::quantity::{Volts, Watts};

use super::desk::{Desk, by};
use super::outcome::absent;

/// Conduction and switching loss of the nominal cycle.
pub(super) fn switch_loss(desk: &mut Desk<'_>, cycle: &SwitchedCycle, supply: Volts) -> Found<Watts> {
    let lamp = desk.lamp;
    let transistor =
        lamp.driver.transistor.as_ref().ok_or_else(|| absent("driver.transistor.gate-charge", lamp.driver.span))?;
    let diode = lamp.driver.diode.as_ref().ok_or_else(|| absent("driver.diode.drop", lamp.driver.span))?;
    let drive = gate_drive(desk)?;
    let (threshold, full) = (transistor.threshold.nominal()?, transistor.gate_full.nominal()?);
    let gate = GateDrive {
        drive,
        // The plateau is seldom stated; it lies between the threshold and the level of full conduction.
        plateau: (threshold + full) / 2.0,
        switching_charge: transistor.gate_charge.nominal()?,
        resistance: transistor.gate_resistance.nominal()?,
    };
    let edges = switching_loss(supply + diode.drop.nominal()?, cycle.valley, cycle.peak, &gate, cycle.frequency);
    let loss = cycle.switch_power + edges.max(Watts::ZERO);
    let sum = by(
        "P = Ron,hot·I_rms² + ½(Vs + V_D)(I_valley·t_r + I_peak·t_f)·f, t = Q·R_g/V, plateau half-way from threshold to full",
        "straight edges, Mohan, Undeland and Robbins, Power Electronics; plateau is our estimate",
    );
    desk.enter(
        "switch-loss",
        "loss of the switch",
        loss,
        sum,
        &[
            ("Ron,hot", ".on-resistance"),
            ("I_peak", ".peak"),
            ("I_valley", ".valley"),
            ("f", ".frequency"),
            ("Q", &transistor.gate_charge.path),
            ("R_g", &transistor.gate_resistance.path),
        ],
    );
    Ok(loss)
}

/// Voltage the gate gets: as stated, else the controller's level.
fn gate_drive(desk: &Desk<'_>) -> Found<Volts> {
    let own = desk.lamp.driver.transistor.as_ref().map(|transistor| &transistor.gate_drive);
    match own.filter(|drive| drive.is_known() || drive.unknown) {
        Some(drive) => drive.low(),
        None => super::reference::controller(desk)?.logic.low(),
    }
}
