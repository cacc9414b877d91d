//! The sense resistor of linear and hysteretic sinks: the author's, or the one of the drawer near the aim
//! whose gain can be made best from two resistors of the same drawer.

use crate::lamp::given::Found;
use crate::physics::electrical::parts::resistor::sense_resistance;
use crate::physics::electrical::preferred::{Series, gain_network};
use crate::quantity::Ohms;

use super::desk::{Desk, Fitted, by};

/// The sense resistor the aim asks for, before anything is chosen. A gain that stands already asks for another.
pub(super) fn wanted(desk: &mut Desk<'_>) -> Found<Ohms> {
    let aim = &desk.engine.driver.sense_voltage;
    let exact = sense_resistance(aim.nominal()?, desk.channel.current.nominal()?);
    let (aim, own) = (&aim.path, &desk.channel.current.path);
    let ohm = by("Rs = V_sense/I", "Ohm's law");
    Ok(desk.enter("sense-exact", "sense resistor aimed at", exact, ohm, &[("V_sense", aim), ("I", own)]))
}

/// Chooses the sense resistor; `transfer` is A·Rs, the voltage at the reference for each ampere, and `gain` is A
/// where it is not ours to choose.
pub(super) fn choose(desk: &mut Desk<'_>, aim: Ohms, transfer: Ohms, gain: Option<f64>) -> Found<Fitted<Ohms>> {
    let exact = gain.map_or(aim, |gain| transfer / gain);
    if gain.is_some() {
        let (pinned, own) = (&desk.engine.driver.gain.path, &desk.channel.current.path);
        let shared =
            by("Rs = K/A, K = A·Rs the volts at the reference for each ampere of the current wanted", "Ohm's law");
        desk.enter("sense-exact", "sense resistor wanted", exact, shared, &[("A", pinned), ("I", own)]);
    }
    let pinned = desk.channel.sense.clone();
    let (series, tolerance) = desk.resistors()?;
    let title = "sense resistor";
    match best(series, exact, transfer).filter(|_| pinned.value.is_none() && gain.is_none()) {
        None => desk.resistor("sense", title, exact, &pinned),
        Some(near) => {
            let from = by(
                "the value of the series from 3/4 to 4/3 of it whose gain A comes nearest with two resistors",
                "IEC 60063, compared with public tables; the range is our margin",
            );
            Ok(desk.chosen("sense", title, near, exact, tolerance, from))
        }
    }
}

/// The value whose gain pair misses least; between equals the one nearest to the aim.
fn best(series: Series, exact: Ohms, transfer: Ohms) -> Option<Ohms> {
    let miss = |rs: Ohms| -> Option<f64> {
        let gain = transfer / rs;
        Some(libm::log(gain_network(series, gain)?.gain / gain).abs())
    };
    let far = |rs: Ohms| libm::log(rs / exact).abs();
    let all = series.between(exact * (3.0 / 4.0), exact * (4.0 / 3.0));
    let scored = all.into_iter().filter_map(|rs| Some((rs, miss(rs)?)));
    // Misses under 0.2 % are alike beside the tolerance of the parts.
    let key = |&(rs, m): &(Ohms, f64)| (m.max(0.002), far(rs));
    scored.min_by(|a, b| key(a).0.total_cmp(&key(b).0).then(key(a).1.total_cmp(&key(b).1))).map(|(rs, _)| rs)
}
