//! What the dead tests must show: insulation, electric strength for a laboratory, the earth path.

use crate::lamp::given::Found;
use crate::lamp::mains::Mains;
use crate::ledger::{Formula, Ledger};
use crate::physics::conductors::insulation::{
    EARTH_LIMIT, EARTH_TEST_CURRENT, Insulation, expected_earth_resistance, resistance_test, strength_test,
};
use crate::physics::conductors::wire::{Stranding, Surface, resistance_per_length};
use crate::quantity::{Metres, Ohms, Temperature, Volts};
use crate::schema::words::Class;
use crate::spread::Spread;

const STRENGTH_BASIC: Formula = Formula { text: "2 U + 1000 V", source: "IEC 60598-1, 10.2.2; for a laboratory only" };
const STRENGTH_REINFORCED: Formula =
    Formula { text: "4 U + 2000 V", source: "IEC 60598-1, 10.2.2, from memory; for a laboratory only" };
const EARTH: Formula = Formula {
    text: "R = R'(20 °C) L + 20 to 50 mΩ of contacts",
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
    /// What it should read.
    pub expected: Found<Spread<Ohms>>,
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
    let earth = (class == Class::I).then(|| earth(mains, ledger));
    Ok(Proof { voltage: touch.voltage, touchable: touch.least, low_side: low.least, earth })
}

fn earth(mains: &Mains, ledger: &mut Ledger) -> Earth {
    let most =
        ledger.looked_up("line.earth-most", "most resistance of the earth path", EARTH_LIMIT, "any", EARTH_SOURCE);
    let title = "least current of the earth test";
    ledger.looked_up("line.earth-current", title, EARTH_TEST_CURRENT, "from at most 12 V, a minute", EARTH_SOURCE);
    Earth { most, expected: expected(mains, ledger) }
}

/// From the plug's pin where there is a cord, from the inlet's pin where there is none.
fn expected(mains: &Mains, ledger: &mut Ledger) -> Found<Spread<Ohms>> {
    let (area, length) = match &mains.cord {
        Some(cord) => (cord.core_area.low()?, cord.length.high()?),
        None => (crate::quantity::SquareMetres::si(0.75e-6), Metres::ZERO),
    };
    let per_length = resistance_per_length(area, Stranding::Flexible, Surface::Plain);
    let (low, high) = expected_earth_resistance(per_length, length, Temperature::from_celsius(20.0));
    let spread = Spread { low, nominal: (low + high) * 0.5, high };
    let inputs = [("L", "mains.cord.length"), ("A of R'", "mains.cord.core-area")];
    Ok(ledger.computed_spread("line.earth-expected", "earth path as it should read", spread, EARTH, &inputs))
}
