//! Loss of the switch of a hysteretic sink: conduction when hot, and the two edges of each cycle.
//! Turns currents of the cycle and charges of the data sheet into watts; what drives the gate, too.

use crate::lamp::given::Found;
use crate::physics::electrical::hysteretic::SwitchedCycle;
use crate::physics::electrical::parts::switch::{GateDrive, gate_level, switching_loss};
use crate::quantity::{Amperes, Ohms, Volts, Watts};

use super::desk::{Desk, by};
use super::outcome::absent;

/// Conduction and switching loss of the nominal cycle.
pub(super) fn switch_loss(desk: &mut Desk<'_>, cycle: &SwitchedCycle, supply: Volts) -> Found<Watts> {
    let engine = desk.engine;
    let transistor =
        engine.driver.transistor.as_ref().ok_or_else(|| absent("driver.transistor.gate-charge", engine.driver.span))?;
    let diode = engine.driver.diode.as_ref().ok_or_else(|| absent("driver.diode.drop", engine.driver.span))?;
    let (drive, _) = gate_drive(desk)?;
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

/// Voltage that drives the gate, as stated, else the controller's level; with its path.
fn gate_drive(desk: &Desk<'_>) -> Found<(Volts, String)> {
    let own = desk.engine.driver.transistor.as_ref().map(|transistor| &transistor.gate_drive);
    let drive = match own.filter(|drive| !drive.is_left_out()) {
        Some(drive) => drive,
        None => &super::reference::controller(desk)?.logic,
    };
    Ok((drive.low()?, drive.path.clone()))
}

/// What the gate gets of it: the sense resistor in the source, where there is one, takes its part at the highest peak.
pub(super) fn gate(desk: &mut Desk<'_>, lifted: Option<(Amperes, Ohms)>) -> Found<Volts> {
    let (drive, path) = gate_drive(desk)?;
    let level = lifted.map_or(drive, |(peak, sense)| gate_level(drive, peak, sense));
    let inputs = [("V_drv", path.as_str()), ("I_pk", ".peak"), ("Rs", ".sense")];
    let (formula, inputs) = match lifted {
        Some(_) => (by("V_GS = V_drv − I_pk·Rs, lowest drive, highest peak", "Kirchhoff's voltage law"), &inputs[..]),
        None => (by("V_GS = V_drv, at its lowest", "the source lies on 0 V"), &inputs[..1]),
    };
    Ok(desk.enter("gate", "voltage that the gate gets", level, formula, inputs))
}
