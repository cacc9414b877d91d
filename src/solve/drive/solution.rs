//! What is known of a channel once it is worked out: plain structs that rules and sheets read.
//! Every figure in them has a ledger entry under `drive.NAME.`.

use crate::diag::Span;
use crate::lamp::given::Found;
use crate::quantity::{Amperes, Farads, Henries, Hertz, Ohms, Ratio, Seconds, Temperature, Volts, Watts};
use crate::spread::Spread;

use super::notes::Notes;

/// One channel worked out. Every figure has a ledger entry under `drive.NAME.`.
#[derive(Debug, Clone)]
pub struct ChannelSolution {
    /// The channel's name.
    pub name: String,
    /// Where the spec declares it.
    pub span: Span,
    /// Voltage of its string.
    pub string: Found<StringVoltage>,
    /// Current that really flows at full.
    pub set: Found<SetCurrent>,
    /// What the topology adds.
    pub drive: Found<Drive>,
    /// The low-pass filter of its reference, where it has one.
    pub filter: Option<Found<Filter>>,
    /// Steps, frequency and lowest level of its modulation, where it has one.
    pub modulation: Option<Found<Modulation>>,
    /// Power at full, nominal.
    pub power: Found<ChannelPower>,
    /// Voltage left for the driver in the worst corner.
    pub headroom: Found<Headroom>,
    /// Least share of full that the drive itself can hold; none where only the steps of the modulation bound it.
    pub floor: Found<Option<Floor>>,
    /// What its resistor carries, and may; set once the heat is known.
    pub loading: Found<Loading>,
    /// What holds its control line while the controller starts, where a pin steers it.
    pub pull: Option<Found<PullSolution>>,
    /// How unequal strings share the current, where several hang on this channel.
    pub parallel: Option<Found<Parallel>>,
    /// Components of the values sheet, in soldering order.
    pub components: Vec<Component>,
    /// Lists for the drive sheet.
    pub notes: Notes,
}

impl ChannelSolution {
    /// Most mean current that it takes: the upper end of its band; on a ballast that of the hot string, where that is more.
    ///
    /// # Errors
    /// The figure that is missing for the current.
    pub fn most_current(&self) -> Found<Amperes> {
        let band = self.set.clone()?.mean.high;
        Ok(self.hot_current().map_or(band, |hot| hot.max(band)))
    }

    /// Ledger path of that current.
    pub(in crate::solve) fn most_current_path(&self) -> String {
        format!("drive.{}.{}", self.name, if self.is_hotter() { "hot-current" } else { "current" })
    }

    /// Whether the hot string takes more than the cold one's band; known once the heat is.
    pub(in crate::solve) fn is_hotter(&self) -> bool {
        self.hot_current().zip(self.set.as_ref().ok()).is_some_and(|(hot, set)| hot > set.mean.high)
    }

    /// Current of the hot string on a ballast; one without end is the runaway's matter.
    fn hot_current(&self) -> Option<Amperes> {
        let Ok(Drive::Ballast(ballast)) = &self.drive else { return None };
        ballast.hot.as_ref().ok().copied().filter(|hot| hot.value().is_finite())
    }
}

/// Voltage of a string.
#[derive(Debug, Clone, Copy)]
pub struct StringVoltage {
    /// Dice in series.
    pub count: u32,
    /// Offset of the linear model at 25 °C, typical.
    pub offset: Volts,
    /// Slope of the linear model.
    pub slope: Ohms,
    /// At the wanted current, 25 °C: lowest, typical and highest die.
    pub at_current: Spread<Volts>,
    /// Highest die at the coldest start.
    pub coldest: Volts,
    /// Lowest die at its highest permitted junction temperature.
    pub hottest: Volts,
}

/// Strings in parallel on one channel.
#[derive(Debug, Clone, Copy)]
pub struct Parallel {
    /// What the lowest string carries among highest ones; missing where each has a balancing resistor of its own.
    pub most: Option<Amperes>,
    /// What each string carries once one of them is open.
    pub survivor: Amperes,
}

/// Current of a channel at full.
#[derive(Debug, Clone, Copy)]
pub struct SetCurrent {
    /// What the author wants.
    pub wanted: Amperes,
    /// Mean current: nominal, and the worst case of every tolerance together.
    pub mean: Spread<Amperes>,
    /// Highest instantaneous current in the worst case.
    pub peak: Amperes,
}

impl SetCurrent {
    /// How far the current that flows is off the one wanted, as a share.
    pub fn error(&self) -> f64 {
        (self.mean.nominal / self.wanted - 1.0).abs()
    }
}

/// What each topology adds.
#[derive(Debug, Clone)]
pub enum Drive {
    /// Ballast resistor.
    Ballast(Ballast),
    /// Linear sink.
    Linear(Linear),
    /// Hysteretic sink.
    Hysteretic(Box<Hysteretic>),
    /// Bought buck module.
    Module(Module),
}

/// String, resistor and switch on a fixed voltage.
#[derive(Debug, Clone)]
pub struct Ballast {
    /// The resistor.
    pub resistor: Ohms,
    /// Its power at the worst current.
    pub power: Watts,
    /// Its rating; missing where the author says that it is not known.
    pub rating: Found<Watts>,
    /// Gain of the loop from junction temperature through current and heat back to temperature.
    pub loop_gain: Found<Ratio>,
    /// Stable current with every tolerance towards more and the junction hot.
    pub hot: Found<Amperes>,
    /// The least that the channel sees of it: tolerance and drift together.
    pub least: Ohms,
    /// Voltage over it, nominal.
    pub drop: Volts,
    /// How deep the supply's ripple modulates the current, (max − min)/(max + min).
    pub rippled: Found<f64>,
    /// What the gate of its switch gets; none where nothing switches it.
    pub gate: Option<Found<Volts>>,
    /// Junction of the switch; set once the heat is known.
    pub switch_junction: Found<Temperature>,
}

/// Amplifier, transistor and sense resistor.
#[derive(Debug, Clone)]
pub struct Linear {
    /// Sense resistor.
    pub sense: Ohms,
    /// Its power at the worst current.
    pub sense_power: Watts,
    /// Its rating; missing where the author says that it is not known.
    pub sense_rating: Found<Watts>,
    /// What the amplifier must put out at full; missing where the gate's voltage is.
    pub gate: Found<Volts>,
    /// Highest power of the transistor over all levels, highest supply and lowest string.
    pub transistor_power: Watts,
    /// Its junction at that power in the air inside the lamp; set once the heat is known.
    pub junction: Found<Temperature>,
    /// Error current of the amplifier's offset: the least that surely flows or surely does not.
    pub floor: Found<Amperes>,
}

/// Comparator, switch, inductor and diode below the string.
#[derive(Debug, Clone)]
pub struct Hysteretic {
    /// Sense resistor.
    pub sense: Ohms,
    /// Its power at the worst current.
    pub sense_power: Watts,
    /// Its rating; missing where the author says that it is not known.
    pub sense_rating: Found<Watts>,
    /// Gain of the sense amplifier.
    pub gain: Ratio,
    /// Inductor.
    pub inductance: Henries,
    /// Switch open to switch closed.
    pub off_time: Seconds,
    /// Current at which the comparator trips at full.
    pub trip: Amperes,
    /// Nominal cycle.
    pub nominal: Cycle,
    /// Highest peak over all corners.
    pub peak: Amperes,
    /// Lowest and highest switching frequency over all corners.
    pub frequency: (Hertz, Hertz),
    /// Whether the loop holds the current in every corner; false where it runs at its delays or never trips.
    pub regulates: bool,
    /// Time the switch is on, nominal.
    pub on_time: Seconds,
    /// Loss in the switch, nominal: conduction hot plus switching.
    pub switch_loss: Found<Watts>,
    /// Junction of the switch; set once the heat is known.
    pub switch_junction: Found<Temperature>,
    /// Highest mean current of the diode.
    pub diode_current: Amperes,
    /// What the gate gets at the highest peak.
    pub gate: Found<Volts>,
    /// Time the amplifier needs to follow the current; none without one.
    pub follow: Option<Found<Seconds>>,
    /// Level at which the comparator trips at full, and that of the peak.
    pub shown: (Volts, Volts),
    /// Error current of offsets and delays: the lowest that the loop can hold; missing where its cycles do not settle.
    pub floor: Found<Amperes>,
}

/// One switching cycle in steady state.
#[derive(Debug, Clone, Copy)]
pub struct Cycle {
    /// Highest current.
    pub peak: Amperes,
    /// Lowest current.
    pub valley: Amperes,
    /// Mean current of the string.
    pub mean: Amperes,
    /// Switching frequency.
    pub frequency: Hertz,
    /// Share of the period the switch conducts.
    pub duty: f64,
}

/// A bought module.
#[derive(Debug, Clone)]
pub struct Module {
    /// Set resistor.
    pub set: Ohms,
    /// Its power at the worst current.
    pub set_power: Watts,
    /// Its rating; missing where the author says that it is not known.
    pub set_rating: Found<Watts>,
    /// Least duty its shortest on-time allows at the modulation's frequency.
    pub least_duty: Found<Ratio>,
}

/// The low-pass filter of a reference.
#[derive(Debug, Clone, Copy)]
pub struct Filter {
    /// Resistor.
    pub resistor: Ohms,
    /// Capacitor.
    pub capacitor: Farads,
    /// Worst peak-to-peak ripple of the reference, in the exact periodic steady state.
    pub ripple: Volts,
    /// One step of the reference.
    pub step: Volts,
    /// Time to settle within one step after a full-scale change.
    pub settling: Seconds,
    /// Longest time constant.
    pub rise: Seconds,
}

/// Modulation of a channel.
#[derive(Debug, Clone, Copy)]
pub struct Modulation {
    /// Frequency.
    pub frequency: Hertz,
    /// Resolution asked for.
    pub bits: u32,
    /// Resolution that clock and frequency allow.
    pub bits_possible: Ratio,
    /// One step as a share of full.
    pub step: Ratio,
}

/// Power of a channel at full.
#[derive(Debug, Clone, Copy)]
pub struct ChannelPower {
    /// Electrical power of the string.
    pub string: Watts,
    /// Power taken from the supply.
    pub input: Watts,
    /// Mean current taken from the supply.
    pub current: Amperes,
    /// Radiant power of the string.
    pub radiant: Watts,
}

/// What a drive can hold, and which figure says so.
#[derive(Debug, Clone, Copy)]
pub struct Floor {
    /// Share of full.
    pub share: f64,
    /// Figure of the channel: `floor-share` or `least-duty`.
    pub figure: &'static str,
}

/// The resistor that the current flows through, in the air inside the lamp.
#[derive(Debug, Clone, Copy)]
pub struct Loading {
    /// Its power at the worst current.
    pub power: Watts,
    /// Its rating.
    pub rating: Watts,
    /// What is wise to let it carry.
    pub allowed: Watts,
    /// The smallest rating sold that would do; none where none is large enough.
    pub larger: Option<Watts>,
    /// The air inside.
    pub air: Temperature,
}

/// Voltage left for the driver: lowest output, less wires, less the highest cold string, less the driver's own drops.
#[derive(Debug, Clone, Copy)]
pub struct Headroom {
    /// Lowest voltage at the driver.
    pub lowest: Volts,
    /// Highest cold string voltage.
    pub string: Volts,
    /// What the driver needs beyond that.
    pub driver: Volts,
    /// What is left; negative where it does not suffice.
    pub spare: Volts,
}

/// The resistor that holds a control line while the controller starts.
#[derive(Debug, Clone)]
pub struct PullSolution {
    /// Its value: pinned or chosen.
    pub value: Ohms,
    /// Largest value that still holds the line off against leakage or a pull inside the controller or module.
    pub most: Found<Ohms>,
    /// Bound that the controller's strapping level sets, where it has one.
    pub strap: Option<StrapBound>,
    /// Level of the line while the controller starts.
    pub level: Found<Volts>,
    /// Level that the pin reads at that time, leakage apart.
    pub passive: Volts,
    /// Level below which the driver is surely off.
    pub off_below: Found<Volts>,
    /// Whether the author wrote or the program chose a resistor at all.
    pub present: bool,
    /// Current of the pin when it drives the line high.
    pub pin_current: Amperes,
}

/// What a strapping pin asks of a pull-down.
#[derive(Debug, Clone, Copy)]
pub enum StrapBound {
    /// At least this, or the controller reads low where it must read high.
    AtLeast(Ohms),
    /// At most this, or it reads high where it must read low.
    AtMost(Ohms),
}

/// One row of the values sheet.
#[derive(Debug, Clone)]
pub struct Component {
    /// Designation on the board: `R1 red`.
    pub designation: String,
    /// What it does.
    pub purpose: String,
    /// Ledger path of the value wanted exactly.
    pub exact: Option<String>,
    /// Ledger path of the value fitted.
    pub chosen: String,
    /// The author pinned it; else it was chosen from the stock.
    pub pinned: bool,
    /// The series it was chosen from, as printed.
    pub series: String,
    /// Letter code of IEC 60062 as read on the part.
    pub code: String,
    /// Colour bands in words, for resistors.
    pub bands: String,
    /// Ledger path of its power, where it matters.
    pub power: Option<String>,
    /// Rating it needs, as printed.
    pub rating: String,
    /// What then really flows or stands, as printed, with its band.
    pub result: String,
    /// How far the chosen value is from the exact one, as a share.
    pub error: f64,
}
