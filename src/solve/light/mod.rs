//! Light from die to room: what each channel makes, what the box and the sheet let through, and per watt at the wall.

pub mod blue;
pub mod colour;
pub mod even;
pub mod face;
pub mod flicker;
pub mod targets;

use crate::lamp::Lamp;
use crate::lamp::driver::Channel;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::quantity::{Lumens, LumensPerWatt, Watts};

use super::drive::{ChannelSolution, by};
use super::feed::Feed;
use super::heat::Ladder;

/// The light budget at full; ledger entries under `light.`.
#[derive(Debug, Clone)]
pub struct Budget {
    /// Light of each channel's dice, by channel.
    pub channels: Vec<(String, Lumens)>,
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

/// Adds up the light.
pub fn solve(lamp: &Lamp, channels: &[ChannelSolution], feed: &Feed, ledger: &mut Ledger) -> Found<Budget> {
    let mut each = Vec::new();
    for (channel, solved) in lamp.driver.channels.iter().zip(channels) {
        each.push((channel.name.clone(), of_channel(lamp, channel, solved, ledger)?));
    }
    let dice: Lumens = each.iter().map(|(_, l)| *l).sum();
    let paths: Vec<String> = each.iter().map(|(name, _)| format!("light.channel.{name}")).collect();
    let inputs: Vec<(&'static str, &str)> = paths.iter().map(|p| ("Φ", p.as_str())).collect();
    ledger.computed("light.dice", "light of all dice", dice, by("ΣΦ", MODEL), &inputs);
    let (reaches, passes) = shares(lamp)?;
    let (at_sheet, out) = (dice * reaches, dice * (reaches * passes));
    enter_ways(lamp, at_sheet, out, ledger);
    let radiant = radiant(channels)?;
    let radiant_out = radiant * (reaches * passes);
    let watts: Vec<String> = channels.iter().map(|c| format!("drive.{}.radiant", c.name)).collect();
    let inputs: Vec<(&'static str, &str)> = watts.iter().map(|p| ("Φe", p.as_str())).collect();
    ledger.computed("light.radiant", "radiant power of all dice", radiant, by("ΣΦe", MODEL), &inputs);
    let leaving = [("Φe", "light.radiant"), ("Φ_out", "light.out"), ("Φ", "light.dice")];
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
    Ok(Budget { channels: each, dice, at_sheet, out, radiant, radiant_out, efficacy })
}

fn of_channel(lamp: &Lamp, channel: &Channel, solved: &ChannelSolution, ledger: &mut Ledger) -> Found<Lumens> {
    let die = lamp.die(channel).ok_or_else(|| channel.feeds.missing())?;
    let (flux, at) = die.flux.get()?;
    let strings = f64::from(channel.strings.get()?.max(1));
    let current = solved.set.clone()?.mean.nominal / strings;
    let droop = libm::pow(current / at, die.droop.get()?);
    let light = flux.nominal * (f64::from(die.count.get()?) * strings * droop);
    let linear = by("Φ = n·Φ_die·(I/I_stated)^b", "power law through one point; 0.85 to 0.95 usual for b, from memory");
    let inputs = [
        ("n", die.count.path.as_str()),
        ("Φ_die", die.flux.path.as_str()),
        ("I", &format!("drive.{}.current", channel.name)),
        ("b", die.droop.path.as_str()),
    ];
    Ok(ledger.computed(
        format!("light.channel.{}", channel.name),
        "light of the channel's dice",
        light,
        linear,
        &inputs,
    ))
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

/// Radiant power of all dice.
pub(super) fn radiant(channels: &[ChannelSolution]) -> Found<Watts> {
    let mut sum = Watts::ZERO;
    for channel in channels {
        sum = sum + channel.power.clone()?.radiant;
    }
    Ok(sum)
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
    /// The screening for blue light.
    pub blue: Found<blue::Blue>,
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
    let blue = blue::solve(lamp, light, &colours, &even, &face, ledger);
    Look { channels: colours, targets, even, face, flicker, blue }
}
