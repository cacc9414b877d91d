//! What the dead tests must show: insulation, electric strength for a laboratory, the earth path.

use crate::lamp::given::Found;
use crate::lamp::mains::Mains;
use crate::ledger::{Formula, Ledger};
use crate::physics::conductors::insulation::{
    EARTH_LIMIT, EARTH_TEST_CURRENT, Insulation, expected_earth_resistance, resistance_test, strength_test,
};
use crate::physics::conductors::wire::{Stranding, Surface, resistance_at, resistance_per_length};
use crate::quantity::{Metres, Ohms, SquareMetres, Temperature, Volts};
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

/// What the dead tests must show.
#[derive(Debug, Clone)]
pub struct Proof {
    /// Test voltage of the insulation test.
    pub voltage: Volts,
    /// Least insulation between joined line and neutral and anything touchable.
    pub touchable: Ohms,
    /// Least insulation between mains and the extra-low side.
    pub low_side: Ohms,
    /// The earth path; class I only.
    pub earth: Option<Earth>,
}

/// The earth path from the plug's pin to a bonded part.
#[derive(Debug, Clone)]
pub struct Earth {
    /// Most it may be.
    pub most: Ohms,
}

pub(super) fn solve(mains: &Mains, ledger: &mut Ledger) -> Found<Proof> {
    let class = mains.class.get()?;
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
    let earth = (class == Class::I).then(|| earth(ledger));
    Ok(Proof { voltage: touch.voltage, touchable: touch.least, low_side: low.least, earth })
}

fn earth(ledger: &mut Ledger) -> Earth {
    let most =
        ledger.looked_up("line.earth-most", "most resistance of the earth path", EARTH_LIMIT, "any", EARTH_SOURCE);
    let title = "least current of the earth test";
    ledger.looked_up("line.earth-current", title, EARTH_TEST_CURRENT, "from at most 12 V, a minute", EARTH_SOURCE);
    Earth { most }
}

/// From the plug's pin where there is a cord, from the inlet's pin where there is none, through the inner bond.
///
/// Entered once the bonds have their lengths: the shortest gives the least, the longest the most.
pub(in crate::solve) fn expected(mains: &Mains, bonds: &[&Wire], ledger: &mut Ledger) -> Found<Spread<Ohms>> {
    let cold = Temperature::from_celsius(20.0);
    let (area, length) = match &mains.cord {
        Some(cord) => (cord.core_area.low()?, cord.length.high()?),
        None => (SquareMetres::si(0.75e-6), Metres::ZERO),
    };
    let per_length = resistance_per_length(area, Stranding::Flexible, Surface::Plain);
    let (low, high) = expected_earth_resistance(per_length, length, cold);
    let bond = |wire: &&Wire| {
        resistance_at(resistance_per_length(wire.area, Stranding::Flexible, Surface::Plain), cold) * wire.length
    };
    let (least, most) = bonds
        .iter()
        .map(bond)
        .fold((None::<Ohms>, Ohms::ZERO), |(least, most), r| (Some(least.map_or(r, |l| l.min(r))), most.max(r)));
    let (low, high) = (low + least.unwrap_or(Ohms::ZERO), high + most);
    let spread = Spread { low, nominal: (low + high) * 0.5, high };
    let paths: Vec<[String; 2]> =
        bonds.iter().map(|w| [format!("wire.{}.length", w.name), format!("wire.{}.area", w.name)]).collect();
    let mut inputs = vec![("L", "mains.cord.length"), ("A of R'", "mains.cord.core-area")];
    for [length, area] in &paths {
        inputs.extend([("l of a bond", length.as_str()), ("A of its R'", area.as_str())]);
    }
    Ok(ledger.computed_spread("line.earth-expected", "earth path as it should read", spread, EARTH, &inputs))
}
