//! What every topology hands back, and the figures they all have: power, rating, hot switch, missing blocks.
//! Turns currents and voltages into the channel's power entries.

use crate::diag::Span;
use crate::lamp::given::{Found, Given, Missing};
use crate::physics::electrical::parts::switch::typical_hot_factor;
use crate::quantity::{Amperes, Ohms, Quantity, Volts, Watts};
use crate::spread::Spread;

use super::desk::{Desk, by};
use super::solution::{ChannelPower, Drive, Filter, SetCurrent};

/// A channel's topology worked out.
pub(super) struct Outcome {
    pub(super) drive: Drive,
    pub(super) set: SetCurrent,
    pub(super) power: ChannelPower,
    pub(super) filter: Option<Found<Filter>>,
}

/// A figure of a block that is not there.
pub(in crate::solve) fn absent(path: &str, span: Span) -> Missing {
    Missing { path: path.to_owned(), span, unknown: false }
}

/// The switch's on-resistance when hot; zero where the spec has no transistor.
pub(super) fn hot_on_resistance(desk: &mut Desk<'_>) -> Found<Ohms> {
    let Some(transistor) = &desk.engine.driver.transistor else { return Ok(Ohms::ZERO) };
    let cold = transistor.on_resistance.nominal()?;
    let hottest = transistor.hottest.nominal()?;
    let hot = cold * typical_hot_factor(hottest);
    let inputs = [("Ron", transistor.on_resistance.path.as_str()), ("T", transistor.hottest.path.as_str())];
    let grows = by(
        "Ron,hot = Ron·(1 + 0.006/K·(T − 25 °C))",
        "slope that data sheets typically draw; common practice, no source",
    );
    Ok(desk.enter("on-resistance", "on-resistance of the hot transistor", hot, grows, &inputs))
}

/// The power a resistor is rated for: its own, else the drawer's; missing where the author says that its own is not known.
pub(super) fn rating(desk: &mut Desk<'_>, figure: &str, title: &str, own: &Given<Spread<Watts>>) -> Found<Watts> {
    let given = if own.is_known() || own.unknown { own } else { &desk.engine.stock.resistor_rating };
    let said = by("as the spec states it; the drawer's where it does not", "the spec");
    Ok(desk.enter(figure, title, given.low()?, said, &[("P", &given.path)]))
}

/// A rating as the values sheet prints it.
pub(super) fn rated(rating: &Found<Watts>) -> String {
    rating.as_ref().map_or_else(|_| "–".to_owned(), |rating| rating.show())
}

/// Power of the string and of what feeds it, nominal.
///
/// `how` is the formula of the input's power and the entries it is made from.
pub(super) fn power(
    desk: &mut Desk<'_>,
    string: Watts,
    input: Watts,
    how: &'static str,
    made_from: &[(&'static str, &str)],
) -> Found<ChannelPower> {
    let efficiency = desk.die()?.efficiency.get()?;
    let efficiency_path = &desk.die()?.efficiency.path;
    let output = desk.engine.supply.output.nominal()?;
    let output_path = &desk.engine.supply.output.path;
    let balance = "conservation of power";
    desk.enter(
        "power",
        "power of the string at full",
        string,
        by("P = V0·I + Rd·I_rms²", balance),
        &[("V0", ".string-offset"), ("Rd", ".string-slope"), ("I", ".current")],
    );
    desk.enter("input", "power taken from the supply at full", input, by(how, balance), made_from);
    let current = input / output;
    desk.enter(
        "input-current",
        "mean current taken from the supply",
        current,
        by("I = P/V", balance),
        &[("P", ".input"), ("V", output_path)],
    );
    let radiant = string * efficiency;
    desk.enter(
        "radiant",
        "radiant power of the string",
        radiant,
        by("Φe = η·P", "the die's data sheet"),
        &[("η", efficiency_path), ("P", ".power")],
    );
    Ok(ChannelPower { string, input, current, radiant })
}

/// Lowest, nominal and highest of three currents, in order whatever the corners gave.
pub(super) fn ordered(a: Amperes, nominal: Amperes, b: Amperes) -> Spread<Amperes> {
    Spread { low: a.min(b).min(nominal), nominal, high: a.max(b).max(nominal) }
}

/// What flows, nominal and as a band, as a row of the values sheet says it.
pub(super) fn flows(current: &Spread<Amperes>) -> String {
    format!("{}: {}", current.nominal.show(), current.show())
}

/// The author's supply at the driver.
pub(super) fn supply(desk: &Desk<'_>) -> Found<(Spread<Volts>, String)> {
    let output = &desk.engine.supply.output;
    Ok((output.get()?, output.path.clone()))
}
