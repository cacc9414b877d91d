//! What the dead tests must show: insulation, electric strength for a laboratory, the earth path.

use crate::lamp::given::Found;
use crate::lamp::mains::Mains;
use crate::ledger::{Formula, Ledger};
use crate::physics::conductors::insulation::{
    EARTH_CONTACTS, EARTH_LIMIT, EARTH_TEST_CURRENT, Insulation, expected_earth_resistance, resistance_test,
    strength_test,
};
use crate::physics::conductors::wire::{resistance_at, resistance_per_length};
use crate::quantity::{Ohms, Temperature};
use crate::schema::words::Class;
use crate::solve::wires::Wire;
use crate::spread::Spread;

const STRENGTH_BASIC: Formula = Formula { text: "2 U + 1000 V", source: "IEC 60598-1, 10.2.2; for a laboratory only" };
const STRENGTH_REINFORCED: Formula =
    Formula { text: "4 U + 2000 V", source: "IEC 60598-1, 10.2.2, from memory; for a laboratory only" };
const EARTH: Formula = Formula {
    text: "R = R'(20 °C) L of the cord + R'(20 °C) l of the inner bond + 20 to 50 mΩ of contacts",
    source: "resistance by IEC 60228 class 5; contacts are our margin",
};
/// Least resistance between the pins that is surely no short, below any bleed resistor of a supply (our margin).
const SHORT_LEAST: Ohms = Ohms::si(10e3);
const EARTH_SOURCE: &str = "IEC 60598-1, 7.2.3";

/// Enters what the dead tests must show; nothing where the class is not known.
pub(super) fn enter(mains: &Mains, ledger: &mut Ledger) {
    let Ok(class) = mains.class.get() else { return };
    let kind = if class == Class::I { Insulation::Basic } else { Insulation::Reinforced };
    let (touch, low) = (resistance_test(kind), resistance_test(Insulation::Reinforced));
    let words = if class == Class::I { "basic insulation" } else { "double or reinforced insulation" };
    ledger.looked_up("line.test-voltage", "direct voltage of the insulation test", touch.voltage, words, touch.source);
    let title = "least insulation, mains to anything touchable";
    ledger.looked_up("line.insulation", title, touch.least, words, touch.source);
    let title = "least insulation, mains to extra-low voltage";
    ledger.looked_up("line.insulation-low", title, low.least, "reinforced insulation", low.source);
    let title = "least resistance between line and neutral pins that is no short";
    ledger.looked_up("line.short-least", title, SHORT_LEAST, "below any bleed resistor", "our margin");
    if let Ok(working) = mains.voltage.high() {
        let basic = strength_test(Insulation::Basic, working).alternating;
        let reinforced = strength_test(Insulation::Reinforced, working).alternating;
        let inputs = [("U", "mains.voltage")];
        let title = "electric strength, basic insulation, for a laboratory";
        ledger.computed("line.strength-basic", title, basic, STRENGTH_BASIC, &inputs);
        let title = "electric strength, reinforced insulation, for a laboratory";
        ledger.computed("line.strength-reinforced", title, reinforced, STRENGTH_REINFORCED, &inputs);
    }
    if class == Class::I {
        ledger.looked_up("line.earth-most", "most resistance of the earth path", EARTH_LIMIT, "any", EARTH_SOURCE);
        let title = "least current of the earth test";
        ledger.looked_up("line.earth-current", title, EARTH_TEST_CURRENT, "from at most 12 V, a minute", EARTH_SOURCE);
    }
}

/// From the plug's pin where there is a cord, from the inlet's pin where there is none, through the inner bond.
///
/// Entered once the bonds have their lengths: the shortest gives the least, the longest the most.
pub(in crate::solve) fn expected(mains: &Mains, bonds: &[&Wire], ledger: &mut Ledger) -> Found<Spread<Ohms>> {
    let cold = Temperature::from_celsius(20.0);
    let per_length = |area| resistance_per_length(area);
    let (low, high) = match &mains.cord {
        Some(cord) => expected_earth_resistance(per_length(cord.core_area.low()?), cord.length.high()?, cold),
        None => EARTH_CONTACTS,
    };
    let inner = || bonds.iter().map(|wire| resistance_at(per_length(wire.area), cold) * wire.length);
    let (least, most) = (inner().reduce(Ohms::min), inner().reduce(Ohms::max));
    let (low, high) = (low + least.unwrap_or(Ohms::ZERO), high + most.unwrap_or(Ohms::ZERO));
    let spread = Spread { low, nominal: (low + high) * 0.5, high };
    let paths: Vec<[String; 2]> =
        bonds.iter().map(|w| [format!("wire.{}.length", w.name), format!("wire.{}.area", w.name)]).collect();
    let mut inputs = match mains.cord {
        Some(_) => vec![("L", "mains.cord.length"), ("A of R'", "mains.cord.core-area")],
        None => Vec::new(),
    };
    for [length, area] in &paths {
        inputs.extend([("l of a bond", length.as_str()), ("A of its R'", area.as_str())]);
    }
    Ok(ledger.computed_spread("line.earth-expected", "earth path as it should read", spread, EARTH, &inputs))
}
