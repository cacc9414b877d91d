//! The sense resistor of linear and hysteretic sinks: the author's, or the drawer's nearest to the aim.

use crate::lamp::given::Found;
use crate::physics::electrical::parts::resistor::sense_resistance;
use crate::quantity::Ohms;

use super::desk::{Desk, Fitted, by};

/// Chooses the sense resistor for the voltage aimed at.
pub(super) fn sense(desk: &mut Desk<'_>) -> Found<Fitted<Ohms>> {
    let aim = &desk.lamp.driver.sense_voltage;
    let exact = sense_resistance(aim.nominal()?, desk.channel.current.nominal()?);
    let (aim, own) = (aim.path.clone(), desk.channel.current.path.clone());
    let ohm = by("Rs = V_sense/I", "Ohm's law");
    desk.enter("sense-exact", "sense resistor wanted", exact, ohm, &[("V_sense", &aim), ("I", &own)]);
    let pinned = desk.channel.sense.clone();
    desk.resistor("sense", "sense resistor", exact, &pinned)
}
