//! Channels with a linear sink: sense resistor, divider of the reference, the current that then flows, its heat.
//! The transistor's junction follows in `after`, once the air inside is known.

use crate::lamp::given::Found;
use crate::physics::electrical::linear::LinearSink;
use crate::physics::electrical::preferred::gain_network;
use crate::quantity::{Amperes, Ohms, Ratio, Volts, Watts};
use crate::schema::words::Reference;
use crate::spread::Spread;

use super::desk::{Desk, Fitted, at, by};
use super::drift::AWAY;
use super::dummy;
use super::notes::Reading;
use super::outcome::{Outcome, absent, flows, hot_on_resistance, ordered, power, rated, rating, supply};
use super::reference::{Low, filter, level};
use super::solution::{Drive, Linear, SetCurrent, StringVoltage};

const SINK: &str = "amplifier current sink, Horowitz and Hill, The Art of Electronics, 3rd ed.";

/// What sets the current: level of the pin, divider, sense resistor, offset of the amplifier.
#[derive(Debug, Clone, Copy)]
pub(super) struct Chain {
    pub(super) level: Spread<Volts>,
    pub(super) pin: Ohms,
    pub(super) upper: Spread<Ohms>,
    pub(super) lower: Spread<Ohms>,
    pub(super) sense: Spread<Ohms>,
    pub(super) offset: Volts,
    /// What the amplifier's output asks of its inputs: that output over the least gain without feedback.
    pub(super) behind: Volts,
}

impl Chain {
    /// Reference at the amplifier: lowest, nominal, highest.
    pub(super) fn reference(&self) -> Spread<Volts> {
        let at = |level: Volts, upper: Ohms, lower: Ohms| level * (lower / (lower + upper + self.pin));
        Spread {
            low: at(self.level.low, self.upper.high, self.lower.low),
            nominal: at(self.level.nominal, self.upper.nominal, self.lower.nominal),
            high: at(self.level.high, self.upper.low, self.lower.high),
        }
    }

    /// The chain with this share of the pin's level.
    fn at(&self, share: f64) -> Self {
        Self { level: self.level.map(|v| v * share), ..*self }
    }

    /// `I = (Vref ± Vos − V_out/A)/Rs`: the extremes are corners, since the current is monotone in each figure.
    /// The amplifier is only ever behind: no gain is nominal, the least the low end.
    pub(super) fn current(&self) -> Spread<Amperes> {
        let reference = self.reference();
        Spread {
            low: ((reference.low - self.offset - self.behind) / self.sense.high).max(Amperes::ZERO),
            nominal: reference.nominal / self.sense.nominal,
            high: (reference.high + self.offset) / self.sense.low,
        }
    }
}

/// Chooses sense resistor and divider, and works out what flows.
pub(super) fn solve(desk: &mut Desk<'_>, string: &StringVoltage) -> Found<Outcome> {
    let (fitted, chain) = choose(desk)?;
    let wanted = desk.channel.current.nominal()?;
    let (output, output_path) = supply(desk)?;
    let on = hot_on_resistance(desk)?;
    let sink = |vs: Volts, at: Volts, i: Amperes, rs: Ohms| LinearSink {
        supply: vs,
        string: string.through(at, wanted),
        sense: rs,
        on_resistance: on,
        reference: rs * i,
        offset: Volts::ZERO,
    };
    let set = chain.current();
    let typical = sink(output.nominal, string.at_current.nominal, set.nominal, chain.sense.nominal);
    let worst = sink(output.high, string.hottest, set.high, chain.sense.low);
    let starved = sink(output.low, string.coldest, set.low, chain.sense.high);
    let mean = ordered(starved.current(), typical.current(), worst.current());
    let flowing = by(
        "I = (Vref ± Vos − V_behind)/Rs, no more than (Vs − V0)/(Rd + Rs + Ron); band: every tolerance and drift together",
        SINK,
    );
    let offset_path = desk.engine.driver.amplifier.as_ref().map_or("", |a| a.offset.path.as_str());
    desk.enter_band(
        "current",
        "current that really flows at full",
        mean,
        flowing,
        &[
            ("Vref", ".reference"),
            ("Rs", ".sense"),
            ("Vos", offset_path),
            ("V_behind", ".behind"),
            ("Vs", &output_path),
            ("V0", ".string-offset"),
            ("Rd", ".string-slope"),
            ("Ron", ".on-resistance"),
            ("ΔT", AWAY),
        ],
    );
    let heat = worst.worst_power();
    let worst_of = by(
        "P = I·(Vs − V0 − (Rd + Rs)·I), the most over all levels; highest supply, lowest string",
        "maximum of the parabola, derived by us",
    );
    desk.enter(
        "transistor-power",
        "most heat of the transistor over all levels",
        heat,
        worst_of,
        &[("I", ".current"), ("Vs", &output_path), ("V", ".string-hottest"), ("Rs", ".sense")],
    );
    let sense_power = chain.sense.nominal.power_at(mean.high);
    desk.enter(
        "sense-power",
        "power of the sense resistor at the worst current",
        sense_power,
        by("P = I²·Rs", SINK),
        &[("I", ".current"), ("Rs", ".sense")],
    );
    let own = &desk.channel.sense_rating;
    let sense_rating = rating(desk, "sense-rating", "rating of the sense resistor", own);
    let floor = chain.offset / chain.sense.low;
    desk.enter(
        "floor",
        "current that the amplifier's offset alone may set",
        floor,
        by("I = Vos/Rs", SINK),
        &[("Vos", offset_path), ("Rs", ".sense")],
    );
    let filter = rows(desk, &fitted, &chain, rated(&sense_rating), flows(&mean));
    let (_, level_path) = level(desk, false)?;
    reference(desk, &chain, &level_path);
    let input = output.nominal * mean.nominal;
    let string_power = typical.string.power(mean.nominal, mean.nominal);
    let power = power(desk, string_power, input, "P = Vs·I", &[("Vs", &output_path), ("I", ".current")])?;
    let drop = output.nominal - typical.string.forward_voltage(mean.nominal) - chain.sense.nominal * mean.nominal;
    details(desk, &chain, typical.saturation_current(), (string_power, drop * mean.nominal));
    let steered = desk.engine.driver.reference.value != Some(Reference::PwmGate);
    let r = dummy::choose(desk, string, mean.nominal);
    // Held at its share, or all that the supply drives through where that is less.
    let through = |held: Spread<Amperes>| {
        let most = |supply: Volts, dummy: Ohms, sense: Ohms| supply / (dummy + sense + on);
        Spread {
            low: held.low.min(most(output.low, r.high, chain.sense.high)),
            nominal: held.nominal.min(most(output.nominal, r.nominal, chain.sense.nominal)),
            high: held.high.min(most(output.high, r.low, chain.sense.low)),
        }
    };
    let full = through(chain.current());
    dummy::enter(desk, Some(full.nominal), power.current, |share| {
        Some(if steered { through(chain.at(share).current()) } else { full.map(|i| i * share) })
    });
    let gate = gate(desk, &chain, mean.high);
    let linear = Linear {
        gate,
        sense: chain.sense.nominal,
        sense_power,
        sense_rating,
        transistor_power: heat,
        junction: Err(absent("heat.inside", desk.engine.driver.span)),
        floor: Ok(floor),
    };
    let set = SetCurrent { wanted, mean, peak: mean.high };
    Ok(Outcome { drive: Drive::Linear(linear), set, power, filter })
}

/// What the amplifier must put out so that the most current flows: the gate's full voltage over the sense voltage.
fn gate(desk: &mut Desk<'_>, chain: &Chain, most: Amperes) -> Found<Volts> {
    let driver = &desk.engine.driver;
    let transistor = driver.transistor.as_ref().ok_or_else(|| absent("driver.transistor.gate-full", driver.span))?;
    let full = &transistor.gate_full;
    let output = chain.sense.nominal * most + full.high()?;
    let over = by("V = Rs·I + V_gate, highest current", "Kirchhoff's voltage law");
    let inputs = [("Rs", ".sense"), ("I", ".current"), ("V_gate", full.path.as_str())];
    Ok(desk.enter("amplifier-output", "what the amplifier must put out at full", output, over, &inputs))
}

/// Losses, meter readings and tolerances for the drive sheet; `powers` are the string's and the transistor's.
fn details(desk: &mut Desk<'_>, chain: &Chain, most: Amperes, powers: (Watts, Watts)) {
    let current = chain.current().nominal.min(most);
    let source = [("I", ".current"), ("Rs", ".sense")];
    let all = [
        ("loss-transistor", "linear transistor", powers.1, "P = I·(Vs − V_string − Rs·I)", &source[..]),
        ("loss-sense", "sense resistor", chain.sense.nominal.power_at(current), "P = Rs·I²", &source[..]),
    ];
    super::notes::losses(desk, powers.0, &all);
    let filtered = desk.engine.driver.reference.value == Some(Reference::FilteredPwm);
    let steered = desk.engine.driver.reference.value != Some(Reference::PwmGate);
    super::notes::readings(desk, ".sense", "V = Rs·I, held at the reference by the amplifier", |share| {
        let at = chain.at(if steered { share } else { 1.0 });
        let share = if steered { 1.0 } else { share };
        let current = at.current().map(|i| i.min(most) * share);
        let (low, high) = (at.sense.low * current.low, at.sense.high * current.high);
        let sense = Spread { low, nominal: at.sense.nominal * current.nominal, high };
        Some(Reading { reference: filtered.then(|| at.reference()), current, sense })
    });
    let parts = [
        ("adds-level", "level of the pin", "controller.logic"),
        ("adds-upper", "upper resistor of the divider", ".divider-upper"),
        ("adds-lower", "lower resistor of the divider", ".divider-lower"),
        ("adds-sense", "sense resistor", ".sense"),
        ("adds-amplifier", "offset of the amplifier", "driver.amplifier.offset"),
        ("adds-open-gain", "gain of the amplifier without feedback", ".behind"),
    ];
    super::notes::contributions(desk, &parts, |p| {
        let x = |index: usize| p.get(index).copied().unwrap_or(0.0);
        let (upper, lower) = (at(&chain.upper, x(1)), at(&chain.lower, x(2)));
        let reference = at(&chain.level, x(0)) * (lower / (lower + upper + chain.pin));
        let behind = chain.behind * (0.5 + 0.5 * x(5));
        ((reference + chain.offset * x(4) - behind) / at(&chain.sense, x(3))).min(most)
    });
}

struct Parts {
    sense: Fitted<Ohms>,
    upper: Fitted<Ohms>,
    lower: Fitted<Ohms>,
}

fn choose(desk: &mut Desk<'_>) -> Found<(Parts, Chain)> {
    let (level, level_path) = level(desk, false)?;
    let pin = super::reference::pin_resistance(desk)?;
    let wanted = desk.channel.current.nominal()?;
    let aim = super::sense::wanted(desk)?;
    let sense = super::sense::choose(desk, aim, level.nominal / wanted, desk.engine.driver.gain.value)?;
    let pinned_gain = desk.engine.driver.gain.clone();
    let exact = pinned_gain.value.unwrap_or(level.nominal / (sense.value.nominal * wanted));
    let own = &desk.channel.current.path;
    let wants = by("A = V_pin/(I·Rs); the author's where pinned", SINK);
    desk.enter(
        "gain-exact",
        "division of the reference wanted",
        Ratio::si(exact),
        wants,
        &[("V_pin", &level_path), ("I", own), ("Rs", ".sense"), ("A", &pinned_gain.path)],
    );
    let (upper, lower) = divider(desk, exact, pin)?;
    let amplifier = desk
        .engine
        .driver
        .amplifier
        .as_ref()
        .ok_or_else(|| absent("driver.amplifier.offset", desk.engine.driver.span))?;
    let offset = desk.offset(&amplifier.offset, &amplifier.offset_drift)?;
    let [upper_warm, lower_warm, sense_warm] = [upper.value, lower.value, sense.value].map(|r| desk.warmed(r));
    let gain = 1.0 + (upper.value.nominal + pin) / lower.value.nominal;
    let behind = behind(desk, level.nominal / gain)?;
    let chain = Chain { level, pin, upper: upper_warm?, lower: lower_warm?, sense: sense_warm?, offset, behind };
    desk.enter(
        "gain",
        "division of the reference",
        Ratio::si(gain),
        by("A = 1 + (R_upper + R_pin)/R_lower", "voltage divider"),
        &[("R_upper", ".divider-upper"), ("R_lower", ".divider-lower"), ("R_pin", ".pin-resistance")],
    );
    reference(desk, &chain, &level_path);
    Ok((Parts { sense, upper, lower }, chain))
}

/// How far the amplifier's inputs are apart so that its output reaches the gate: `V = V_out/A_0`, worst case.
///
/// The output stands at the gate's full voltage over the sense voltage at most, where that is stated, and never above
/// its own highest.
fn behind(desk: &mut Desk<'_>, reference: Volts) -> Found<Volts> {
    let driver = &desk.engine.driver;
    let amplifier = driver.amplifier.as_ref().ok_or_else(|| absent("driver.amplifier.open-gain", driver.span))?;
    let gate = driver.transistor.as_ref().map(|t| &t.gate_full);
    let highest = amplifier.output_high.high()?;
    let output = gate.and_then(|g| g.high().ok()).map_or(highest, |full| (full + reference).min(highest));
    let behind = output / amplifier.open_gain.get()?;
    let gate_path = gate.map_or("", |g| g.path.as_str());
    let inputs = [
        ("A_0", amplifier.open_gain.path.as_str()),
        ("V_gate", gate_path),
        ("V_high", amplifier.output_high.path.as_str()),
    ];
    let last = by("V = V_out/A_0, V_out = V_gate + V_ref, no more than V_high", SINK);
    Ok(desk.enter("behind", "what the amplifier lacks because its gain ends", behind, last, &inputs))
}

/// Enters the divided reference; again once the filter's capacitor is known.
fn reference(desk: &mut Desk<'_>, chain: &Chain, level_path: &str) {
    let divided = "V = D·V_pin/A, D = 1 at full; divider, and the filter passes the mean";
    super::reference::full(desk, chain.reference(), divided, &[("V_pin", level_path), ("A", ".gain")]);
}

/// Upper and lower resistor of the divider; the upper one is the filter's own.
fn divider(desk: &mut Desk<'_>, gain: f64, pin: Ohms) -> Found<(Fitted<Ohms>, Fitted<Ohms>)> {
    let pinned = desk.engine.driver.filter.resistor.clone();
    let (series, _) = desk.resistors()?;
    let network = gain_network(series, gain);
    let wanted_upper = network.map_or(Ohms::si(22e3), |n| n.feedback);
    let pair =
        by("the pair of the series with R_upper/R_lower nearest to A − 1", "IEC 60063, compared with public tables");
    desk.enter(
        "divider-upper-exact",
        "upper resistor of the divider wanted",
        wanted_upper,
        pair,
        &[("A", ".gain-exact")],
    );
    let upper =
        desk.resistor("divider-upper", "upper resistor of the divider, also the filter's", wanted_upper, &pinned)?;
    let exact = (upper.value.nominal + pin) / (gain - 1.0).max(1e-6);
    let rest = by("R_lower = (R_upper + R_pin)/(A − 1)", "voltage divider");
    desk.enter(
        "divider-lower-exact",
        "lower resistor of the divider wanted",
        exact,
        rest,
        &[("R_upper", ".divider-upper"), ("R_pin", ".pin-resistance"), ("A", ".gain-exact")],
    );
    let none = crate::lamp::given::Given { value: None, path: "stock.resistors".into(), ..pinned };
    let lower = desk.resistor("divider-lower", "lower resistor of the divider", exact, &none)?;
    Ok((upper, lower))
}

fn rows(
    desk: &mut Desk<'_>,
    parts: &Parts,
    chain: &Chain,
    rating: String,
    result: String,
) -> Option<Found<super::solution::Filter>> {
    let mut sense = desk.row("sense", "sense: its voltage is held at the reference", &parts.sense);
    sense.power = Some(desk.path("sense-power"));
    sense.rating = rating;
    sense.result = result;
    desk.components.push(sense);
    for (figure, purpose, fitted) in [
        ("divider-upper", "divider, upper: pin to reference", &parts.upper),
        ("divider-lower", "divider, lower: reference to 0 V", &parts.lower),
    ] {
        let mut row = desk.row(figure, purpose, fitted);
        row.result = format!("reference {}", chain.reference().show());
        desk.components.push(row);
    }
    filter(
        desk,
        &Low {
            figure: ".divider-upper",
            resistor: chain.upper,
            pin: chain.pin,
            load: Some(chain.lower.nominal),
            full: chain.level.nominal,
        },
    )
}
