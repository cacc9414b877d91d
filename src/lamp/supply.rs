//! Blocks `supply` and `controller`: the bought boards.

use crate::diag::Span;
use crate::quantity::{
    AmpereSquareSeconds, Amperes, Coulombs, Farads, Hertz, Metres, Ohms, PerKelvin, Seconds, Temperature, Volts, Watts,
};
use crate::schema::words::{Boot, Chemistry, Insulation, PinUse, Polarity, Pull, Side, Strap};
use crate::spread::Spread;

use super::given::Given;
use super::read::Block;

/// The bought supply that gives extra-low voltage.
#[derive(Debug, Clone, PartialEq)]
pub struct Supply {
    /// Where the block opens.
    pub span: Span,
    /// The part it starts from.
    pub part: Option<String>,
    /// `place`.
    pub place: Given<Side>,
    /// `output`.
    pub output: Given<Spread<Volts>>,
    /// `power`.
    pub power: Given<Spread<Watts>>,
    /// `open-circuit`.
    pub open_circuit: Given<Spread<Volts>>,
    /// `isolation`.
    pub isolation: Given<Insulation>,
    /// `derate`.
    pub derate: Given<f64>,
    /// `full-until`.
    pub full_until: Given<Spread<Temperature>>,
    /// `derate-slope`.
    pub derate_slope: Given<Spread<PerKelvin>>,
    /// `efficiency`.
    pub efficiency: Given<f64>,
    /// `power-factor`.
    pub power_factor: Given<f64>,
    /// `inrush`.
    pub inrush: Given<Spread<AmpereSquareSeconds>>,
    /// `ripple`.
    pub ripple: Given<Spread<Volts>>,
    /// `minimum-load`.
    pub minimum_load: Given<Spread<Watts>>,
    /// `start-capacitance`.
    pub start_capacitance: Given<Spread<Farads>>,
    /// `discharge`.
    pub discharge: Given<Spread<Seconds>>,
    /// `case-limit`.
    pub case_limit: Given<Spread<Temperature>>,
    /// `life`.
    pub life: Given<(Spread<Seconds>, Temperature)>,
    /// `size`.
    pub size: Given<Vec<Metres>>,
    /// `battery`.
    pub battery: Option<Battery>,
}

impl Supply {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            span: block.span(),
            part: block.part(),
            place: block.word("place"),
            output: block.quantity("output"),
            power: block.quantity("power"),
            open_circuit: block.quantity("open-circuit"),
            isolation: block.word("isolation"),
            derate: block.ratio("derate"),
            full_until: block.quantity("full-until"),
            derate_slope: block.quantity("derate-slope"),
            efficiency: block.ratio("efficiency"),
            power_factor: block.ratio("power-factor"),
            inrush: block.quantity("inrush"),
            ripple: block.quantity("ripple"),
            minimum_load: block.quantity("minimum-load"),
            start_capacitance: block.quantity("start-capacitance"),
            discharge: block.quantity("discharge"),
            case_limit: block.quantity("case-limit"),
            life: block.quantity_at("life"),
            size: block.lengths("size"),
            battery: block.optional("battery", Battery::read),
        }
    }
}

/// The battery in the supply's place.
#[derive(Debug, Clone, PartialEq)]
pub struct Battery {
    /// Where the block opens.
    pub span: Span,
    /// `chemistry`.
    pub chemistry: Given<Chemistry>,
    /// `cells`.
    pub cells: Given<u32>,
    /// `capacity`.
    pub capacity: Given<Spread<Coulombs>>,
    /// `fault`.
    pub fault: Given<Spread<Amperes>>,
    /// `surge`.
    pub surge: Given<Spread<Volts>>,
    /// `withstand`.
    pub withstand: Given<Spread<Volts>>,
    /// `cutoff`.
    pub cutoff: Given<Spread<Volts>>,
    /// `polarity`.
    pub polarity: Given<Polarity>,
    /// `fuse`.
    pub fuse: Option<BatteryFuse>,
}

impl Battery {
    fn read(block: &Block<'_>) -> Self {
        Self {
            span: block.span(),
            chemistry: block.word("chemistry"),
            cells: block.count("cells"),
            capacity: block.quantity("capacity"),
            fault: block.quantity("fault"),
            surge: block.quantity("surge"),
            withstand: block.quantity("withstand"),
            cutoff: block.quantity("cutoff"),
            polarity: block.word("polarity"),
            fuse: block.optional("fuse", BatteryFuse::read),
        }
    }
}

/// The fuse in a battery's plus wire.
#[derive(Debug, Clone, PartialEq)]
pub struct BatteryFuse {
    /// `rating`.
    pub rating: Given<Spread<Amperes>>,
    /// `voltage`.
    pub voltage: Given<Spread<Volts>>,
    /// `breaking`.
    pub breaking: Given<Spread<Amperes>>,
    /// `distance`.
    pub distance: Given<Spread<Metres>>,
}

impl BatteryFuse {
    fn read(block: &Block<'_>) -> Self {
        Self {
            rating: block.quantity("rating"),
            voltage: block.quantity("voltage"),
            breaking: block.quantity("breaking"),
            distance: block.quantity("distance"),
        }
    }
}

/// The bought controller board.
#[derive(Debug, Clone, PartialEq)]
pub struct Controller {
    /// Where the block opens.
    pub span: Span,
    /// The part it starts from.
    pub part: Option<String>,
    /// `logic`.
    pub logic: Given<Spread<Volts>>,
    /// `power`.
    pub power: Given<Spread<Watts>>,
    /// `logic-drift`.
    pub logic_drift: Given<Spread<PerKelvin>>,
    /// `clock`.
    pub clock: Given<Spread<Hertz>>,
    /// `pin-limit`.
    pub pin_limit: Given<Spread<Amperes>>,
    /// `pin-leak`.
    pub pin_leak: Given<Spread<Amperes>>,
    /// `pin-resistance`.
    pub pin_resistance: Given<Spread<Ohms>>,
    /// `pull-up`.
    pub pull_up: Given<Spread<Ohms>>,
    /// `strap-high`.
    pub strap_high: Given<f64>,
    /// `strap-low`.
    pub strap_low: Given<f64>,
    /// `start`.
    pub start: Given<Spread<Seconds>>,
    /// `size`.
    pub size: Given<Vec<Metres>>,
    /// `pin`.
    pub pins: Vec<Pin>,
}

impl Controller {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            span: block.span(),
            part: block.part(),
            logic: block.quantity("logic"),
            power: block.quantity("power"),
            logic_drift: block.quantity("logic-drift"),
            clock: block.quantity("clock"),
            pin_limit: block.quantity("pin-limit"),
            pin_leak: block.quantity("pin-leak"),
            pin_resistance: block.quantity("pin-resistance"),
            pull_up: block.quantity("pull-up"),
            strap_high: block.ratio("strap-high"),
            strap_low: block.ratio("strap-low"),
            start: block.quantity("start"),
            size: block.lengths("size"),
            pins: block.named("pin", Pin::read),
        }
    }
}

/// A pin that the lamp uses.
#[derive(Debug, Clone, PartialEq)]
pub struct Pin {
    /// Its name.
    pub name: String,
    /// `boot`.
    pub boot: Given<Boot>,
    /// `strap`.
    pub strap: Given<Strap>,
    /// `use`.
    pub use_: Given<PinUse>,
    /// `console`.
    pub console: Given<bool>,
    /// `pull`.
    pub pull: Given<Pull>,
}

impl Pin {
    pub(super) fn read(name: String, block: &Block<'_>) -> Self {
        Self {
            name,
            boot: block.word("boot"),
            strap: block.word("strap"),
            use_: block.word("use"),
            console: block.yes_no("console"),
            pull: block.word("pull"),
        }
    }
}
