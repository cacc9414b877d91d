//! Block `driver`: topology, channels and the filter of the reference.

use crate::diag::Span;
use crate::quantity::{Amperes, Farads, Hertz, Ohms, Seconds, Temperature, Volts, Watts};
use crate::schema::words::{Pull, Reference, ShutoffKind, Topology};
use crate::spread::Spread;

use super::given::Given;
use super::parts::{Amplifier, Comparator, Diode, Inductor, Module, Transistor};
use super::read::Block;

/// The current drive.
#[derive(Debug, Clone, PartialEq)]
pub struct Driver {
    /// Where the block opens.
    pub span: Span,
    /// `topology`.
    pub topology: Given<Topology>,
    /// `reference`.
    pub reference: Given<Reference>,
    /// `pwm`.
    pub pwm: Given<Spread<Hertz>>,
    /// `bits`.
    pub bits: Given<u32>,
    /// `cap`.
    pub cap: Given<Spread<Watts>>,
    /// `gain`.
    pub gain: Given<f64>,
    /// `sense-voltage`.
    pub sense_voltage: Given<Spread<Volts>>,
    /// `off-time`.
    pub off_time: Given<Spread<Seconds>>,
    /// `ripple`.
    pub ripple: Given<f64>,
    /// `switching`.
    pub switching: Given<Spread<Hertz>>,
    /// `bulk`.
    pub bulk: Given<Spread<Farads>>,
    /// `air`.
    pub air: Given<Spread<Temperature>>,
    /// `spare`.
    pub spare: Given<Spread<Volts>>,
    /// `amplifier`.
    pub amplifier: Option<Amplifier>,
    /// `comparator`.
    pub comparator: Option<Comparator>,
    /// `inductor`.
    pub inductor: Option<Inductor>,
    /// `diode`.
    pub diode: Option<Diode>,
    /// `transistor`.
    pub transistor: Option<Transistor>,
    /// `module`.
    pub module: Option<Module>,
    /// `filter`.
    pub filter: Filter,
    /// `channel`.
    pub channels: Vec<Channel>,
    /// `shutoff`.
    pub shutoff: Option<Shutoff>,
}

impl Driver {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            span: block.span(),
            topology: block.word("topology"),
            reference: block.word("reference"),
            pwm: block.quantity("pwm"),
            bits: block.count("bits"),
            cap: block.quantity("cap"),
            gain: block.ratio("gain"),
            sense_voltage: block.quantity("sense-voltage"),
            off_time: block.quantity("off-time"),
            ripple: block.ratio("ripple"),
            switching: block.quantity("switching"),
            bulk: block.quantity("bulk"),
            air: block.quantity("air"),
            spare: block.quantity("spare"),
            amplifier: block.optional("amplifier", Amplifier::read),
            comparator: block.optional("comparator", Comparator::read),
            inductor: block.optional("inductor", Inductor::read),
            diode: block.optional("diode", Diode::read),
            transistor: block.optional("transistor", Transistor::read),
            module: block.optional("module", Module::read),
            filter: Filter::read(&block.inner("filter")),
            channels: block.named("channel", Channel::read),
            shutoff: block.optional("shutoff", Shutoff::read),
        }
    }
}

/// One separately dimmed string with its driver.
#[derive(Debug, Clone, PartialEq)]
pub struct Channel {
    /// Where the block opens.
    pub span: Span,
    /// Its name.
    pub name: String,
    /// `feeds`.
    pub feeds: Given<String>,
    /// `pin`.
    pub pin: Given<String>,
    /// `current`.
    pub current: Given<Spread<Amperes>>,
    /// `phase`.
    pub phase: Given<f64>,
    /// `strings`.
    pub strings: Given<u32>,
    /// `balanced`.
    pub balanced: Given<bool>,
    /// `sense`.
    pub sense: Given<Spread<Ohms>>,
    /// `sense-rating`.
    pub sense_rating: Given<Spread<Watts>>,
    /// `ballast`.
    pub ballast: Given<Spread<Ohms>>,
    /// `ballast-rating`.
    pub ballast_rating: Given<Spread<Watts>>,
    /// `pull`.
    pub pull: Given<Spread<Ohms>>,
    /// `pull-to`.
    pub pull_to: Given<Pull>,
}

impl Channel {
    pub(super) fn read(name: String, block: &Block<'_>) -> Self {
        Self {
            name,
            span: block.span(),
            feeds: block.text("feeds"),
            pin: block.text("pin"),
            current: block.quantity("current"),
            phase: block.ratio("phase"),
            strings: block.count("strings"),
            balanced: block.yes_no("balanced"),
            sense: block.quantity("sense"),
            sense_rating: block.quantity("sense-rating"),
            ballast: block.quantity("ballast"),
            ballast_rating: block.quantity("ballast-rating"),
            pull: block.quantity("pull"),
            pull_to: block.word("pull-to"),
        }
    }
}

/// The low-pass filter of the reference.
#[derive(Debug, Clone, PartialEq)]
pub struct Filter {
    /// Where the block opens.
    pub span: Span,
    /// `resistor`.
    pub resistor: Given<Spread<Ohms>>,
    /// `capacitor`.
    pub capacitor: Given<Spread<Farads>>,
    /// `stages`.
    pub stages: Given<u32>,
}

impl Filter {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            span: block.span(),
            resistor: block.quantity("resistor"),
            capacitor: block.quantity("capacitor"),
            stages: block.count("stages"),
        }
    }
}

/// What takes all current away when the lamp is off.
#[derive(Debug, Clone, PartialEq)]
pub struct Shutoff {
    /// Where the block opens.
    pub span: Span,
    /// `kind`.
    pub kind: Given<ShutoffKind>,
    /// `pin`.
    pub pin: Given<String>,
}

impl Shutoff {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self { span: block.span(), kind: block.word("kind"), pin: block.text("pin") }
    }
}
