//! The extra-low voltage supply: what all channels and the controller ask of it, and what it asks of the mains.
//! Turns powers and currents of channels into its load, its loss, its rating once warm, and the capacitor across it.

mod bulk;

use crate::lamp::engine::Engine;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::quantity::{Amperes, Farads, Kelvin, Ratio, Temperature, Volts, Watts};
use crate::schema::words::Side;
use crate::spread::Spread;

use super::drive::{ChannelPower, ChannelSolution, Drive, by};
use super::heat::Ladder;

/// The supply's budget; ledger entries under `feed.`.
#[derive(Debug, Clone)]
pub struct Feed {
    /// Power of all channels at full and uncapped, and of the controller.
    pub uncapped: Found<Watts>,
    /// The larger of that power at 25 °C and once warm; set once the heat is known.
    pub asked: Found<Watts>,
    /// The same with the firmware's cap.
    pub capped: Found<Watts>,
    /// Most power from the supply: every band at its upper end.
    pub most: Found<Watts>,
    /// Most mean current of all channels together, supply at its lowest where they draw more then.
    pub channels_most: Found<Amperes>,
    /// The same with the controller.
    pub current_most: Found<Amperes>,
    /// Most power taken from the mains.
    pub mains_most: Found<Watts>,
    /// Rating at the temperature it works at; set once the heat is known.
    pub rating: Found<Watts>,
    /// The power asked for over that rating.
    pub load: Found<Ratio>,
    /// Lowest output of its tolerance.
    pub lowest: Found<Volts>,
    /// Power taken from the mains, uncapped.
    pub mains: Found<Watts>,
    /// Loss of the supply, uncapped.
    pub loss: Found<Watts>,
    /// Most capacitance across the output: the author's, or what was chosen, with its tolerance.
    pub bulk: Found<Farads>,
}

impl Feed {
    /// The least of what supply and firmware leave for the channels; the firmware's cap is on the dice, and is scaled.
    pub(in crate::solve) fn left_for(&self, engine: &Engine<'_>, channels: &[ChannelSolution]) -> Option<Watts> {
        let controller = engine.controller.and_then(|c| c.power.nominal().ok()).unwrap_or(Watts::ZERO);
        let supply = self.rating.clone().ok().map(|rating| rating - controller);
        let sum = |f: fn(&ChannelPower) -> Watts| -> Option<Watts> {
            channels.iter().map(|c| c.power.as_ref().ok().map(f)).sum()
        };
        let strings = sum(|p| p.string);
        let inputs = sum(|p| p.input);
        let firmware = match (engine.driver.cap.nominal(), strings, inputs) {
            (Ok(cap), Some(strings), Some(inputs)) if strings.value() > 0.0 => Some(cap * (inputs / strings)),
            _ => None,
        };
        match (supply, firmware) {
            (Some(a), Some(b)) => Some(a.min(b)),
            (a, b) => a.or(b),
        }
    }
}

const BALANCE: &str = "conservation of power";

/// Adds up what the supply must give.
pub fn solve(engine: &Engine<'_>, channels: &[ChannelSolution], ledger: &mut Ledger) -> Feed {
    let uncapped = uncapped(engine, channels, ledger);
    let capped = uncapped.clone().and_then(|all| capped(engine, channels, all, ledger));
    let supply = &engine.supply;
    let current = uncapped.clone().and_then(|p| {
        let current = p / supply.output.nominal()?;
        let inputs = [("P", "feed.uncapped"), ("V", supply.output.path.as_str())];
        Ok(ledger.computed(
            "feed.current",
            "output current, all on and uncapped",
            current,
            by("I = P/V", BALANCE),
            &inputs,
        ))
    });
    states(engine, channels, &uncapped, &capped, ledger);
    super::drive::supply_limits(engine, &current, ledger);
    let output = [("V", supply.output.path.as_str())];
    let end = by("end of its tolerance", "the supply's data sheet");
    let lowest = supply.output.low().map(|v| ledger.computed("feed.lowest", "lowest output", v, end, &output));
    if let Ok(highest) = supply.output.high() {
        ledger.computed("feed.highest", "highest output", highest, end, &output);
    }
    let mains = uncapped.clone().and_then(|p| mains(engine, p, ledger));
    let loss = uncapped.clone().and_then(|p| {
        let loss = mains.clone()? - p;
        let inputs = [("P_mains", "feed.mains"), ("P", "feed.uncapped")];
        Ok(ledger.computed("feed.loss", "heat of the supply", loss, by("P_mains − P", BALANCE), &inputs))
    });
    let Most { power: most, channels: channels_most, current: current_most, mains: mains_most } =
        upper(engine, channels, &lowest, ledger);
    alone(engine, ledger);
    let bulk = bulk::solve(engine, channels, ledger);
    let later = super::drive::absent("heat.inside", engine.enclosure.span);
    let asked = Err(later.clone());
    Feed {
        bulk,
        uncapped,
        asked,
        capped,
        most,
        channels_most,
        current_most,
        mains_most,
        rating: Err(later.clone()),
        load: Err(later),
        lowest,
        mains,
        loss,
    }
}

/// What a voltmeter finds on the supply with nothing joined to it: anything from its lowest to its voltage without load.
fn alone(engine: &Engine<'_>, ledger: &mut Ledger) {
    let (output, open) = (&engine.supply.output, &engine.supply.open_circuit);
    if open.unknown {
        return;
    }
    let (Ok(low), Ok(nominal), Ok(high)) = (output.low(), output.nominal(), output.high()) else { return };
    let most = open.high().map_or(high, |open| open.max(high));
    let spread = Spread { low, nominal, high: most };
    let formula = by("lowest output to the highest without load", "the supply's data sheet");
    let inputs = [("V", output.path.as_str()), ("V_open", open.path.as_str())];
    let inputs = if open.is_known() { &inputs[..] } else { &inputs[..1] };
    ledger.computed_spread("feed.alone", "output with nothing joined to it", spread, formula, inputs);
}

/// Power, current of the channels, current with the controller, and power from the mains, every band at its upper end.
struct Most {
    power: Found<Watts>,
    channels: Found<Amperes>,
    current: Found<Amperes>,
    mains: Found<Watts>,
}

/// A channel that holds its current without switching draws that current whatever the supply gives; one that switches
/// holds its power, and draws most where the supply is lowest.
fn upper(engine: &Engine<'_>, channels: &[ChannelSolution], lowest: &Found<Volts>, ledger: &mut Ledger) -> Most {
    let mut sums: Found<(Watts, Amperes)> = Ok((Watts::ZERO, Amperes::ZERO));
    let mut paths = Vec::new();
    for channel in channels {
        sums = sums.and_then(|(power, current)| {
            let (p, i) = channel_most(engine, channel, lowest)?;
            Ok((power + p, current + i))
        });
        paths.push(channel.most_current_path());
        paths.push(format!("drive.{}.string", channel.name));
    }
    let channels_most = sums.clone().map(|(_, current)| current);
    let mut inputs: Vec<(&'static str, &str)> =
        paths.iter().map(|p| (if p.ends_with("string") { "V_string" } else { "I" }, p.as_str())).collect();
    inputs.push(("V_lowest", "feed.lowest"));
    let drawn = by("sum of I_high where the drive does not switch, else of P·(I_high/I)·(V_high/V)/V_lowest", BALANCE);
    if let Ok(current) = channels_most {
        ledger.computed("feed.channels-most", "most current of all channels together", current, drawn, &inputs);
    }
    let controller = engine.controller.map(|c| (c.power.high(), c.power.path.as_str()));
    let own = controller.clone().map_or(Ok(Watts::ZERO), |(power, _)| power);
    let own_path = controller.map(|(_, path)| path);
    let most = sums.and_then(|(power, _)| {
        let power = power + own.clone()?;
        let mut inputs = inputs.clone();
        inputs.extend(own_path.map(|p| ("P_controller", p)));
        let sum = by("sum of all channels and the controller, every band at its upper end", BALANCE);
        Ok(ledger.computed("feed.most", "most power from the supply, every band at its upper end", power, sum, &inputs))
    });
    let all = channels_most.clone().and_then(|channels| Ok(channels + own? / lowest.clone()?));
    let current_most = all.map(|current| {
        let mut inputs = vec![("I_channels", "feed.channels-most"), ("V_lowest", "feed.lowest")];
        inputs.extend(own_path.map(|p| ("P_controller", p)));
        let sum = by("I_channels + P_controller/V_lowest", BALANCE);
        ledger.computed("feed.current-most", "most output current, all on and uncapped", current, sum, &inputs)
    });
    let mains = most.clone().and_then(|p| {
        let efficiency = &engine.supply.efficiency;
        let inputs = [("P", "feed.most"), ("η", efficiency.path.as_str())];
        let title = match engine.supply.battery {
            Some(_) => "most power from the battery's cells, all on and uncapped",
            None => "most power from the mains, all on and uncapped",
        };
        Ok(ledger.computed("feed.mains-most", title, p / efficiency.get()?, by("P/η", BALANCE), &inputs))
    });
    Most { power: most, channels: channels_most, current: current_most, mains }
}

/// Most power and most mean current that one channel takes from the supply.
fn channel_most(engine: &Engine<'_>, channel: &ChannelSolution, lowest: &Found<Volts>) -> Found<(Watts, Amperes)> {
    let (mean, power) = (channel.set.clone()?.mean, channel.power.clone()?);
    if let Drive::Ballast(_) | Drive::Linear(_) = channel.drive.as_ref().map_err(Clone::clone)? {
        let most = channel.most_current()?;
        return Ok((engine.supply.output.high()? * most, most));
    }
    let string = channel.string.clone()?.at_current;
    let share = mean.high.value() / mean.nominal.value() * (string.high.value() / string.nominal.value());
    let input = power.input * share;
    Ok((input, input / lowest.clone()?))
}

fn uncapped(engine: &Engine<'_>, channels: &[ChannelSolution], ledger: &mut Ledger) -> Found<Watts> {
    let mut sum = Watts::ZERO;
    let mut paths = Vec::new();
    for channel in channels {
        sum = sum + channel.power.clone()?.input;
        paths.push(format!("drive.{}.input", channel.name));
    }
    let mut inputs: Vec<(&'static str, &str)> = paths.iter().map(|p| ("P", p.as_str())).collect();
    if let Some(controller) = engine.controller {
        sum = sum + controller.power.nominal()?;
        inputs.push(("P_controller", &controller.power.path));
    }
    let all = by("sum of all channels at full and the controller; the firmware's cap ignored", BALANCE);
    Ok(ledger.computed("feed.uncapped", "power from the supply, all on and uncapped", sum, all, &inputs))
}

/// The cap speaks of LED power, so the channels' input shrinks with it and the controller's does not.
fn capped(engine: &Engine<'_>, channels: &[ChannelSolution], all: Watts, ledger: &mut Ledger) -> Found<Watts> {
    let Ok(cap) = engine.driver.cap.nominal() else { return Ok(all) };
    let mut strings = Watts::ZERO;
    for channel in channels {
        strings = strings + channel.power.clone()?.string;
    }
    let fixed = engine.controller.map_or(Ok(Watts::ZERO), |c| c.power.nominal())?;
    let share = if strings.value() > 0.0 { (cap / strings).min(1.0) } else { 1.0 };
    let capped = (all - fixed) * share + fixed;
    let inputs = [("P", "feed.uncapped"), ("cap", engine.driver.cap.path.as_str())];
    let scaled = by("channels scaled to the cap, plus the controller", BALANCE);
    Ok(ledger.computed("feed.capped", "power from the supply with the firmware's cap", capped, scaled, &inputs))
}

/// Efficiency from the supply's output to the strings: each channel alone, all on, all on and uncapped.
fn states(
    engine: &Engine<'_>,
    channels: &[ChannelSolution],
    all: &Found<Watts>,
    capped: &Found<Watts>,
    ledger: &mut Ledger,
) {
    let Ok(fixed) = engine.controller.map_or(Ok(Watts::ZERO), |c| c.power.nominal()) else { return };
    let controller = engine.controller.map(|c| c.power.path.clone());
    let share = by("P_strings/(P_channels + P_controller)", BALANCE);
    let mut strings = Watts::ZERO;
    for channel in channels {
        let Ok(power) = &channel.power else { return };
        strings = strings + power.string;
        let paths = [format!("drive.{}.power", channel.name), format!("drive.{}.input", channel.name)];
        let mut inputs = vec![("P_strings", paths[0].as_str()), ("P_channels", paths[1].as_str())];
        inputs.extend(controller.as_deref().map(|p| ("P_controller", p)));
        let path = format!("feed.alone.{}", channel.name);
        let title = "drive and controller, this channel alone";
        ledger.computed_share(path, title, power.string / (power.input + fixed), share, &inputs);
    }
    let paths: Vec<String> = channels.iter().map(|c| format!("drive.{}.power", c.name)).collect();
    let mut inputs: Vec<(&'static str, &str)> = paths.iter().map(|p| ("P_strings", p.as_str())).collect();
    if let Ok(all) = all {
        inputs.push(("P", "feed.uncapped"));
        let whole = by("P_strings/P", BALANCE);
        ledger.computed_share(
            "feed.all-uncapped",
            "drive and controller, all on and uncapped",
            strings / *all,
            whole,
            &inputs,
        );
    }
    if let (Ok(capped), Ok(cap)) = (capped, engine.driver.cap.nominal()) {
        let limited = strings.min(cap);
        let inputs = [("cap", engine.driver.cap.path.as_str()), ("P", "feed.capped")];
        let held = by("min(P_strings, cap)/P", BALANCE);
        ledger.computed_share(
            "feed.all-capped",
            "drive and controller, all on under the cap",
            limited / *capped,
            held,
            &inputs,
        );
    }
}

fn mains(engine: &Engine<'_>, power: Watts, ledger: &mut Ledger) -> Found<Watts> {
    let efficiency = &engine.supply.efficiency;
    let mains = power / efficiency.get()?;
    let inputs = [("P", "feed.uncapped"), ("η", efficiency.path.as_str())];
    let title = match engine.supply.battery {
        Some(_) => "power from the battery's cells, all on and uncapped",
        None => "power from the mains, all on and uncapped",
    };
    Ok(ledger.computed("feed.mains", title, mains, by("P/η", BALANCE), &inputs))
}

/// Rating at the temperature of the air around it, and the load on it; `warm` is what warm channels take. Hot strings on
/// ballasts may take more than any cold one, which the most that is asked counts in.
pub fn derate(
    engine: &Engine<'_>,
    channels: &[ChannelSolution],
    (heat, warm): (&Found<Ladder>, &Found<Watts>),
    feed: &mut Feed,
    ledger: &mut Ledger,
) {
    if channels.iter().any(ChannelSolution::is_hotter) {
        let most = upper(engine, channels, &feed.lowest, ledger);
        (feed.most, feed.channels_most) = (most.power, most.channels);
        (feed.current_most, feed.mains_most) = (most.current, most.mains);
    }
    feed.rating = rating(engine, heat, ledger);
    feed.asked = feed.uncapped.clone().map(|cold| {
        let inputs = [("P_25", "feed.uncapped"), ("P_warm", "feed.warm")];
        let inputs = if warm.is_ok() { &inputs[..] } else { &inputs[..1] };
        let more = by("the larger of the two: strings take less once warm, ballasts more", BALANCE);
        let asked = warm.as_ref().map_or(cold, |warm| cold.max(*warm));
        ledger.computed("feed.asked", "most power from the supply, all on and uncapped", asked, more, inputs)
    });
    feed.load = feed.rating.clone().and_then(|rating| {
        let load = feed.asked.clone()? / rating;
        let inputs = [("P", "feed.asked"), ("P_rated", "feed.rating")];
        let (title, of) = ("load on the supply, all on and uncapped", by("P/P_rated", BALANCE));
        if load.is_finite() {
            ledger.computed_share("feed.load", title, load, of, &inputs);
        } else {
            ledger.computed_text("feed.load", title, "above all: this warm it may give nothing", of, &inputs);
        }
        Ok(Ratio::si(load))
    });
}

/// The maker's curve where the spec gives it, else the share that stands for it.
fn rating(engine: &Engine<'_>, heat: &Found<Ladder>, ledger: &mut Ledger) -> Found<Watts> {
    let supply = &engine.supply;
    let rated = supply.power.nominal()?;
    let title = "rating of the supply at the temperature it works at";
    let Ok(full) = supply.full_until.low() else {
        let share = by("P_rated·share: no derating curve was given", "our margin");
        let inputs = [("P_rated", supply.power.path.as_str()), ("share", supply.derate.path.as_str())];
        return Ok(ledger.computed("feed.rating", title, rated * supply.derate.get()?, share, &inputs));
    };
    let around = around(engine, heat)?;
    let above = (around - full).value().max(0.0);
    let left = if above > 0.0 { (1.0 - supply.derate_slope.high()? * Kelvin::si(above)).max(0.0) } else { 1.0 };
    let curve = by("P_rated·(1 − s·(T − T_full)) above T_full", "the supply's data sheet");
    let room = supply.place.value == Some(Side::Outside);
    let inputs = [
        ("P_rated", supply.power.path.as_str()),
        ("s", supply.derate_slope.path.as_str()),
        ("T", if room { engine.room.path.as_str() } else { "heat.inside" }),
        ("T_full", supply.full_until.path.as_str()),
    ];
    Ok(ledger.computed("feed.rating", title, rated * left, curve, &inputs))
}

/// Temperature of the air the supply stands in.
fn around(engine: &Engine<'_>, heat: &Found<Ladder>) -> Found<Temperature> {
    match engine.supply.place.get()? {
        Side::Outside => engine.room.high(),
        Side::Inside => heat.as_ref().map(|h| h.inside).map_err(Clone::clone),
    }
}
