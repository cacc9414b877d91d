//! The parts of a driver: amplifier, comparator, inductor, diode, transistor, bought module.

use crate::diag::Span;
use crate::quantity::{
    Amperes, Coulombs, Henries, Hertz, KelvinPerWatt, Ohms, PerKelvin, Seconds, Temperature, Volts, VoltsPerKelvin,
    VoltsPerSecond,
};
use crate::schema::words::OpenInput;
use crate::spread::Spread;

use super::given::Given;
use super::read::Block;

/// The amplifier of the sense signal, or of the linear sink.
#[derive(Debug, Clone, PartialEq)]
pub struct Amplifier {
    /// Where the block opens.
    pub span: Span,
    /// The part it starts from.
    pub part: Option<String>,
    /// `bandwidth`.
    pub bandwidth: Given<Spread<Hertz>>,
    /// `slew`.
    pub slew: Given<Spread<VoltsPerSecond>>,
    /// `offset`.
    pub offset: Given<Spread<Volts>>,
    /// `offset-drift`.
    pub offset_drift: Given<Spread<VoltsPerKelvin>>,
    /// `open-gain`.
    pub open_gain: Given<f64>,
    /// `output-low`.
    pub output_low: Given<Spread<Volts>>,
    /// `output-high`.
    pub output_high: Given<Spread<Volts>>,
    /// `ground-input`.
    pub ground_input: Given<bool>,
}

impl Amplifier {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            span: block.span(),
            part: block.part(),
            bandwidth: block.quantity("bandwidth"),
            slew: block.quantity("slew"),
            offset: block.quantity("offset"),
            offset_drift: block.quantity("offset-drift"),
            open_gain: block.ratio("open-gain"),
            output_low: block.quantity("output-low"),
            output_high: block.quantity("output-high"),
            ground_input: block.yes_no("ground-input"),
        }
    }
}

/// The comparator of the hysteretic sink.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparator {
    /// The part it starts from.
    pub part: Option<String>,
    /// `delay`.
    pub delay: Given<Spread<Seconds>>,
    /// `offset`.
    pub offset: Given<Spread<Volts>>,
    /// `offset-drift`.
    pub offset_drift: Given<Spread<VoltsPerKelvin>>,
    /// `input-high`.
    pub input_high: Given<Spread<Volts>>,
}

impl Comparator {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            part: block.part(),
            delay: block.quantity("delay"),
            offset: block.quantity("offset"),
            offset_drift: block.quantity("offset-drift"),
            input_high: block.quantity("input-high"),
        }
    }
}

/// The inductor of each channel.
#[derive(Debug, Clone, PartialEq)]
pub struct Inductor {
    /// The part it starts from.
    pub part: Option<String>,
    /// `inductance`.
    pub inductance: Given<Spread<Henries>>,
    /// `drift`.
    pub drift: Given<Spread<PerKelvin>>,
    /// `resistance`.
    pub resistance: Given<Spread<Ohms>>,
    /// `saturation`.
    pub saturation: Given<Spread<Amperes>>,
}

impl Inductor {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            part: block.part(),
            inductance: block.quantity("inductance"),
            drift: block.quantity("drift"),
            resistance: block.quantity("resistance"),
            saturation: block.quantity("saturation"),
        }
    }
}

/// The freewheel diode of each channel.
#[derive(Debug, Clone, PartialEq)]
pub struct Diode {
    /// The part it starts from.
    pub part: Option<String>,
    /// `drop`.
    pub drop: Given<Spread<Volts>>,
    /// `current`.
    pub current: Given<Spread<Amperes>>,
    /// `voltage`.
    pub voltage: Given<Spread<Volts>>,
}

impl Diode {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            part: block.part(),
            drop: block.quantity("drop"),
            current: block.quantity("current"),
            voltage: block.quantity("voltage"),
        }
    }
}

/// The switch or linear transistor of each channel.
#[derive(Debug, Clone, PartialEq)]
pub struct Transistor {
    /// The part it starts from.
    pub part: Option<String>,
    /// `on-resistance`.
    pub on_resistance: Given<Spread<Ohms>>,
    /// `voltage`.
    pub voltage: Given<Spread<Volts>>,
    /// `gate-full`.
    pub gate_full: Given<Spread<Volts>>,
    /// `gate-drive`.
    pub gate_drive: Given<Spread<Volts>>,
    /// `threshold`.
    pub threshold: Given<Spread<Volts>>,
    /// `gate-charge`.
    pub gate_charge: Given<Spread<Coulombs>>,
    /// `gate-resistance`.
    pub gate_resistance: Given<Spread<Ohms>>,
    /// `thermal`.
    pub thermal: Given<Spread<KelvinPerWatt>>,
    /// `hottest`.
    pub hottest: Given<Spread<Temperature>>,
}

impl Transistor {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            part: block.part(),
            on_resistance: block.quantity("on-resistance"),
            voltage: block.quantity("voltage"),
            gate_full: block.quantity("gate-full"),
            gate_drive: block.quantity("gate-drive"),
            threshold: block.quantity("threshold"),
            gate_charge: block.quantity("gate-charge"),
            gate_resistance: block.quantity("gate-resistance"),
            thermal: block.quantity("thermal"),
            hottest: block.quantity("hottest"),
        }
    }
}

/// The bought constant-current module, one a channel.
#[derive(Debug, Clone, PartialEq)]
pub struct Module {
    /// The part it starts from.
    pub part: Option<String>,
    /// `input`.
    pub input: Given<Spread<Volts>>,
    /// `dropout`.
    pub dropout: Given<Spread<Volts>>,
    /// `output-low`.
    pub output_low: Given<Spread<Volts>>,
    /// `sense-voltage`.
    pub sense_voltage: Given<Spread<Volts>>,
    /// `tolerance`.
    pub tolerance: Given<f64>,
    /// `drift`.
    pub drift: Given<Spread<PerKelvin>>,
    /// `most`.
    pub most: Given<Spread<Amperes>>,
    /// `efficiency`.
    pub efficiency: Given<f64>,
    /// `dim-most`.
    pub dim_most: Given<Spread<Hertz>>,
    /// `on-least`.
    pub on_least: Given<Spread<Seconds>>,
    /// `dim-high`.
    pub dim_high: Given<Spread<Volts>>,
    /// `dim-low`.
    pub dim_low: Given<Spread<Volts>>,
    /// `open`.
    pub open: Given<OpenInput>,
    /// `open-current`.
    pub open_current: Given<Spread<Amperes>>,
}

impl Module {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            part: block.part(),
            input: block.quantity("input"),
            dropout: block.quantity("dropout"),
            output_low: block.quantity("output-low"),
            sense_voltage: block.quantity("sense-voltage"),
            tolerance: block.ratio("tolerance"),
            drift: block.quantity("drift"),
            most: block.quantity("most"),
            efficiency: block.ratio("efficiency"),
            dim_most: block.quantity("dim-most"),
            on_least: block.quantity("on-least"),
            dim_high: block.quantity("dim-high"),
            dim_low: block.quantity("dim-low"),
            open: block.word("open"),
            open_current: block.quantity("open-current"),
        }
    }
}
