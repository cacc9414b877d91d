//! Which given figure touches what: parts to buy, places to work at, settings, tests. One table, read from the top.

use serde::Serialize;

/// A kind of test that has to be done again.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Test {
    /// Everything measured with the plug out.
    Dead,
    /// First power on a current-limited supply.
    LowVoltage,
    /// First power from the mains.
    Mains,
    /// Dark while the controller starts, off, power cut.
    BootAndOff,
    /// Hours in the real position, lid and diffuser on.
    Soak,
    /// Light, colour and evenness.
    Light,
}

impl Test {
    /// As printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Dead => "dead tests, plug out",
            Self::LowVoltage => "first power on a current-limited supply",
            Self::Mains => "first power from the mains",
            Self::BootAndOff => "dark at start, off, power cut",
            Self::Soak => "soak, lid and diffuser on",
            Self::Light => "light, colour, evenness",
        }
    }
}

/// What a change of a given figure touches.
#[derive(Debug, Clone, Copy)]
pub struct Effect {
    /// Path of the figure or of the block; `*` stands for one name.
    pub path: &'static str,
    /// The bought part, if the figure is a property of one.
    pub part: Option<&'static str>,
    /// What is cut, drilled or printed anew.
    pub make: Option<&'static str>,
    /// What is set anew.
    pub set: Option<&'static str>,
    /// What is tested again.
    pub tests: &'static [Test],
    /// Nothing but words on paper.
    pub text: bool,
}

const fn on(path: &'static str, tests: &'static [Test]) -> Effect {
    Effect { path, part: None, make: None, set: None, tests, text: false }
}

impl Effect {
    const fn part(mut self, part: &'static str) -> Self {
        self.part = Some(part);
        self
    }
    const fn make(mut self, make: &'static str) -> Self {
        self.make = Some(make);
        self
    }
    const fn set(mut self, set: &'static str) -> Self {
        self.set = Some(set);
        self
    }
    const fn text(mut self) -> Self {
        self.text = true;
        self
    }
}

use Test::{BootAndOff, Dead, Light, LowVoltage, Mains, Soak};

const DRIVE: &[Test] = &[LowVoltage, Soak, Light];
const LIVE: &[Test] = &[Dead, Mains];
const WHOLE: &[Test] = &[Dead, LowVoltage, Mains, BootAndOff, Soak, Light];

/// The first row whose path covers a figure speaks of it. Common practice, no source: what a maker would test again.
static EFFECTS: &[Effect] = &[
    on("lamp.revision", &[]).text(),
    on("lamp.date", &[]).text(),
    on("lamp.maker", &[]).text(),
    on("lamp.model", &[]).text(),
    on("lamp.quantity", &[]),
    on("lamp.region", WHOLE),
    on("lamp.place", LIVE),
    on("lamp.mass", &[]),
    on("lamp.room", &[Soak]),
    on("lamp", &[]),
    on("aim.power-return", &[BootAndOff]).set("firmware: what it does when power returns"),
    on("aim.lowest", &[Light]).set("firmware: lowest level"),
    on("aim.settle", &[Light]),
    on("aim.*.*", &[Light]).set("firmware: codes of a white or colour"),
    on("aim", &[]),
    on("mains.cord", LIVE).part("mains cord"),
    on("mains.entry.hole", LIVE).make("hole for the cord"),
    on("mains.entry", LIVE).part("bushing and clamp of the cord"),
    on("mains.fuse", LIVE).part("fuse"),
    on("mains.switch", LIVE).part("mains switch"),
    on("mains.inlet", LIVE).part("appliance inlet"),
    on("mains", LIVE),
    on("supply.battery.fuse", &[Dead, LowVoltage]).part("battery fuse"),
    on("supply.battery", &[Dead, LowVoltage, Soak]).part("battery"),
    on("supply.place", LIVE),
    on("supply.derate", &[]),
    on("supply.discharge", &[]),
    on("supply", &[Dead, LowVoltage, Mains, Soak]).part("supply"),
    on("controller", &[LowVoltage, BootAndOff]).part("controller"),
    on("driver.pwm", &[LowVoltage, Light]).set("firmware: frequency of the modulation"),
    on("driver.bits", &[LowVoltage, Light]).set("firmware: resolution of the modulation"),
    on("driver.cap", &[Soak]).set("firmware: cap of the LED power"),
    on("driver.amplifier", DRIVE).part("amplifier"),
    on("driver.comparator", DRIVE).part("comparator"),
    on("driver.inductor", DRIVE).part("inductor, one a channel"),
    on("driver.diode", DRIVE).part("diode, one a channel"),
    on("driver.transistor", DRIVE).part("transistor, one a channel"),
    on("driver.module", DRIVE).part("current module, one a channel"),
    on("driver.filter", &[LowVoltage]),
    on("driver.shutoff.pin", &[BootAndOff]).set("firmware: pin of the shut-off"),
    on("driver.shutoff", &[LowVoltage, BootAndOff]),
    on("driver.*.pin", &[LowVoltage, BootAndOff]).set("firmware: pin of a channel"),
    on("driver.*.phase", &[LowVoltage, Light]).set("firmware: phase of a channel's pulses"),
    on("driver.*.pull", &[BootAndOff]),
    on("driver.*.pull-to", &[BootAndOff]),
    on("driver", DRIVE),
    on("emitter.distance", &[Light]).make("seat of the emitter in the body"),
    on("emitter.pitch", &[Light]),
    on("emitter", DRIVE).part("emitter"),
    on("sink.interface", &[Soak]).part("layer between emitter and sink"),
    on("sink.*.at", &[Soak]).make("holes of the heatsink"),
    on("sink.*.diameter", &[Soak]).make("holes of the heatsink"),
    on("sink", &[Soak]).part("heatsink"),
    on("enclosure.print", &[]).set("printer: layer, line, side on the bed"),
    on("enclosure.*.*", &[Dead, Soak]).make("openings of the body"),
    on("enclosure.heat-transfer", &[]),
    on("enclosure.terminals-covered", &[Dead]).make("cover of the terminals"),
    on("enclosure", &[Dead, Soak]).make("body"),
    on("board", &[Dead, LowVoltage]).make("driver board"),
    on("layout.*.mass", &[]),
    on("layout.*.at", &[Dead, Soak]).make("seats of the parts in the body"),
    on("layout", &[Dead, Soak]),
    on("diffuser.transmission", &[Light]),
    on("diffuser.box", &[Light]),
    on("diffuser.seat.width", &[]).make("recess of the diffuser"),
    on("diffuser.seat.height", &[]).make("recess of the diffuser"),
    on("diffuser.seat.lip", &[]).make("recess of the diffuser"),
    on("diffuser.seat", &[]),
    on("diffuser.cut", &[]),
    on("diffuser.stock", &[]),
    on("diffuser.tolerance", &[]),
    on("diffuser.material", &[Light]).part("sheet of the diffuser"),
    on("diffuser.thickness", &[Light]).part("sheet of the diffuser"),
    on("diffuser", &[Light]),
    on("wiring.mains-area", LIVE),
    on("wiring.mains-length", LIVE),
    on("wiring", &[]),
    on("stock", &[]),
    on("workshop", &[]).text(),
];

/// The row that speaks of a given figure.
pub fn of(path: &str) -> Option<&'static Effect> {
    EFFECTS.iter().find(|e| covers(e.path, path))
}

/// Every row, for those who look at all bought parts.
pub fn all() -> impl Iterator<Item = &'static Effect> {
    EFFECTS.iter()
}

fn covers(pattern: &str, path: &str) -> bool {
    let mut steps = path.split('.');
    pattern.split('.').all(|wanted| steps.next().is_some_and(|step| wanted == "*" || wanted == step))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::schema::Block;
    use crate::schema::tables::ROOT;

    fn paths(block: &'static Block, at: &str, out: &mut Vec<String>) {
        out.extend(block.properties.iter().map(|p| format!("{at}{}", p.name)));
        for inner in block.blocks {
            let name = if inner.arity == crate::schema::Arity::Named { "some-name" } else { inner.kind };
            paths(inner, &format!("{at}{name}."), out);
        }
    }

    #[test]
    fn every_property_of_the_language_has_a_row() {
        let mut all = Vec::new();
        paths(&ROOT, "", &mut all);
        let bare: Vec<&String> = all.iter().filter(|p| of(p).is_none()).collect();
        assert!(bare.is_empty(), "{bare:?}");
    }

    #[test]
    fn the_first_row_that_covers_speaks() {
        for (path, part, make, tests) in [
            ("mains.entry.hole", None, Some("hole for the cord"), LIVE),
            ("driver.red.current", None, None, DRIVE),
            ("supply.output", Some("supply"), None, &[Dead, LowVoltage, Mains, Soak]),
            ("lamp.revision", None, None, &[]),
            ("aim.flux", None, None, &[]),
            ("aim.evening.temperature", None, None, &[Light]),
        ] {
            let found = of(path).expect(path);
            assert_eq!((found.part, found.make, found.tests), (part, make, tests), "{path}");
        }
        assert!(of("aim.dusk.x").is_some_and(|row| row.set.is_some()), "a target is codes in the firmware");
    }
}
