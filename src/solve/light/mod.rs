//! Light from die to room: what each channel makes, what the box and the sheet let through, and per watt at the wall.

pub mod blue;
pub mod colour;
pub mod cutoff;
pub mod even;
pub mod face;
pub(crate) mod fading;
pub mod flicker;
pub mod low;
pub mod targets;
pub mod together;

use crate::lamp::Lamp;
use crate::lamp::driver::Channel;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::quantity::{Lumens, LumensPerWatt, Watts};
use fading::Fading;

use super::drive::{ChannelSolution, by};
use super::feed::Feed;
use super::heat::Ladder;

/// The light budget at full; ledger entries under `light.`.
#[derive(Debug, Clone)]
pub struct Budget {
    /// Light of each channel's dice, hot, by channel.
    pub channels: Vec<(String, Lumens)>,
    /// The same at the junction temperature that the dice are stated at.
    pub stated: Vec<(String, Lumens)>,
    /// Light of all dice.
    pub dice: Lumens,
    /// Light that reaches the sheet.
    pub at_sheet: Lumens,
    /// Light that leaves the lamp.
    pub out: Lumens,
    /// Radiant power of all dice.
    pub radiant: Watts,
    /// Radiant power that leaves the lamp; the rest stays inside as heat.
    pub radiant_out: Watts,
    /// Light out over power from the mains.
    pub efficacy: Found<LumensPerWatt>,
}

const MODEL: &str =
    "light budget in one chain of shares; our simplification, light reflected by the sheet counts as lost";

/// Adds up the light of all channels on, hot, in the warmest room.
pub fn solve(
    lamp: &Lamp,
    channels: &[ChannelSolution],
    feed: &Feed,
    heat: &Found<Ladder>,
    ledger: &mut Ledger,
) -> Found<Budget> {
    let (mut each, mut stated) = (Vec::new(), Vec::new());
    for (channel, solved) in lamp.driver.channels.iter().zip(channels) {
        let (as_stated, hot) = of_channel(lamp, channel, solved, heat.as_ref()?, ledger)?;
        stated.push((channel.name.clone(), as_stated));
        each.push((channel.name.clone(), hot));
    }
    let dice: Lumens = each.iter().map(|(_, l)| *l).sum();
    let paths: Vec<String> = each.iter().map(|(name, _)| format!("light.channel.{name}")).collect();
    let inputs: Vec<(&'static str, &str)> = paths.iter().map(|p| ("Φ", p.as_str())).collect();
    ledger.computed("light.dice", "light of all dice", dice, by("ΣΦ", MODEL), &inputs);
    let (reaches, passes) = shares(lamp)?;
    let (at_sheet, out) = (dice * reaches, dice * (reaches * passes));
    enter_ways(lamp, at_sheet, out, ledger);
    let radiant = heat.as_ref()?.radiant;
    let radiant_out = radiant * (reaches * passes);
    let leaving = [("Φe", "heat.radiant"), ("Φ_out", "light.out"), ("Φ", "light.dice")];
    ledger.computed(
        "light.radiant-out",
        "radiant power that leaves the lamp",
        radiant_out,
        by("Φe·Φ_out/Φ", MODEL),
        &leaving,
    );
    let efficacy = feed.mains.clone().map(|mains| {
        let efficacy = LumensPerWatt::si(out.value() / mains.value());
        let inputs = [("Φ", "light.out"), ("P", "feed.mains")];
        ledger.computed(
            "light.efficacy",
            "light out per watt from the mains",
            efficacy,
            by("Φ/P", "definition"),
            &inputs,
        )
    });
    Ok(Budget { channels: each, stated, dice, at_sheet, out, radiant, radiant_out, efficacy })
}

/// Light of a channel's dice at the temperature they are stated at, and hot.
fn of_channel(
    lamp: &Lamp,
    channel: &Channel,
    solved: &ChannelSolution,
    heat: &Ladder,
    ledger: &mut Ledger,
) -> Found<(Lumens, Lumens)> {
    let die = lamp.die(channel).ok_or_else(|| channel.feeds.missing())?;
    let (flux, at) = die.flux.get()?;
    let strings = f64::from(channel.strings.get()?.max(1));
    let current = solved.set.clone()?.mean.nominal / strings;
    let droop = libm::pow(current / at, die.droop.get()?);
    let stated = flux.nominal * (f64::from(die.count.get()?) * strings * droop);
    let power_law =
        by("Φ = n·Φ_die·(I/I_stated)^b", "power law through one point; 0.85 to 0.95 usual for b, from memory");
    let current = format!("drive.{}.current", channel.name);
    let inputs = [
        ("n", die.count.path.as_str()),
        ("Φ_die", die.flux.path.as_str()),
        ("I", current.as_str()),
        ("b", die.droop.path.as_str()),
    ];
    let path = format!("light.channel.{}", channel.name);
    let at_stated = format!("{path}.stated");
    let title = "light of the channel's dice at the temperature they are stated at";
    ledger.computed(at_stated.as_str(), title, stated, power_law, &inputs);
    let junction = heat.junctions.iter().find(|(name, _)| *name == channel.name).map(|(_, t)| t.clone());
    let junction = junction.ok_or_else(|| die.thermal.missing())??;
    // The current follows the string, which follows its junction.
    let (cold_path, warm_path) =
        (format!("drive.{}.current", channel.name), format!("drive.{}.warm-current", channel.name));
    let warm_current = ledger.get(&warm_path).and_then(|entry| entry.value).ok_or_else(|| die.drift.missing())?;
    let cold_current = solved.set.clone()?.mean.nominal.value();
    let more = if cold_current > 0.0 { libm::pow(warm_current / cold_current, die.droop.get()?) } else { 1.0 };
    let hot = stated * more * Fading::of(die)?.light(junction);
    let fades = by("Φ·(I_warm/I)^b·e^(−(T_j − T_stated)/T₁), with the wander of the peak", fading::SOURCE);
    let warm = format!("heat.junction.{}", channel.name);
    let inputs = [
        ("Φ", at_stated.as_str()),
        ("I_warm", warm_path.as_str()),
        ("I", cold_path.as_str()),
        ("b", die.droop.path.as_str()),
        ("T_j", warm.as_str()),
        ("T_stated", die.stated_at.path.as_str()),
    ];
    Ok((stated, ledger.computed(path, "light of the channel's dice, hot", hot, fades, &inputs)))
}

fn enter_ways(lamp: &Lamp, at_sheet: Lumens, out: Lumens, ledger: &mut Ledger) {
    let (reach, pass) = match &lamp.diffuser {
        Some(d) => (d.box_.path.clone(), d.transmission.path.clone()),
        None => ("light.dice".to_owned(), "light.at-sheet".to_owned()),
    };
    let inputs = [("Φ", "light.dice"), ("share", reach.as_str())];
    ledger.computed(
        "light.at-sheet",
        "light that reaches the sheet",
        at_sheet,
        by("Φ·share of the walls", MODEL),
        &inputs,
    );
    let inputs = [("Φ", "light.at-sheet"), ("τ", pass.as_str())];
    ledger.computed("light.out", "light that leaves the lamp", out, by("Φ·τ", MODEL), &inputs);
}

/// Share of the light that reaches the sheet, and of that, the share that passes; both 1 without a sheet.
pub(super) fn shares(lamp: &Lamp) -> Found<(f64, f64)> {
    match &lamp.diffuser {
        None => Ok((1.0, 1.0)),
        Some(diffuser) => Ok((diffuser.box_.get()?, diffuser.transmission.get()?)),
    }
}

/// What reaches the eye: colour, targets, evenness, the face, flicker, blue light.
#[derive(Debug, Clone)]
pub struct Look {
    /// Colour of each channel, in the order of the spec.
    pub channels: Vec<(String, Found<colour::ChannelColour>)>,
    /// Whites and colours to mix, in the order of the spec.
    pub targets: Vec<targets::Target>,
    /// Evenness of the lit sheet.
    pub even: Found<even::Evenness>,
    /// The lit face and what it lights.
    pub face: Found<face::Face>,
    /// Flicker of each channel.
    pub flicker: Vec<(String, Found<flicker::Flicker>)>,
    /// Flicker of each target's mix; nothing where nothing is dimmed.
    pub together: Vec<together::Together>,
    /// The screening for blue light.
    pub blue: Found<blue::Blue>,
    /// The dark end of each channel that is dimmed.
    pub low: Vec<(String, Found<low::Low>)>,
    /// The shielding of bare dice; none where an opal sheet hides them.
    pub cutoff: Option<Found<cutoff::Cutoff>>,
}

/// Works out what reaches the eye once heat and light are known.
pub fn look(
    lamp: &Lamp,
    channels: &[ChannelSolution],
    feed: &Feed,
    heat: &Found<Ladder>,
    light: &Found<Budget>,
    ledger: &mut Ledger,
) -> Look {
    let colours = colour::solve(lamp, heat, light, ledger);
    let targets = targets::solve(lamp, channels, feed, light, &colours, ledger);
    let even = even::solve(lamp, light, ledger);
    let face = face::solve(lamp, light, &even, ledger);
    let flicker = flicker::solve(lamp, channels, ledger);
    let together = together::solve(lamp, channels, light, &targets, ledger);
    let blue = blue::solve(lamp, light, &colours, &even, &face, ledger);
    let low = low::solve(lamp, channels, light, ledger);
    let cutoff = cutoff::solve(lamp, light, ledger);
    Look { channels: colours, targets, even, face, flicker, together, blue, low, cutoff }
}
