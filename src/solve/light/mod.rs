//! Light from die to room: what each channel makes, what the box and the sheet let through, and per watt at the wall.

pub mod blue;
pub mod colour;
pub mod cutoff;
pub mod dice;
pub mod even;
pub mod face;
pub(crate) mod fading;
pub mod flicker;
pub mod low;
pub mod targets;
pub mod together;
pub mod visible;
pub mod ways;

use crate::lamp::driver::Channel;
use crate::lamp::engine::Engine;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::quantity::{Lumens, LumensPerWatt, Watts};
use dice::geometry;
use fading::Fading;
use ways::{Way, inside};

use super::drive::{ChannelSolution, absent, by};
use super::feed::Feed;
use super::heat::Ladder;

/// The light budget at full; ledger entries under `light.`.
#[derive(Debug, Clone)]
pub struct Budget {
    /// Light of each channel's dice, hot, by channel.
    pub channels: Vec<(String, Lumens)>,
    /// The same at the junction temperature that the dice are stated at.
    pub stated: Vec<(String, Lumens)>,
    /// `stated` by the power that flux and efficiency of the dice say is radiated; missing where that power is.
    pub radiated: Vec<(String, Found<LumensPerWatt>)>,
    /// Light of all dice.
    pub dice: Lumens,
    /// The way of each channel's light, in the order of the spec.
    pub ways: Vec<Way>,
    /// Light that falls on the sheet, what it throws back and gets again counted again.
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

const MODEL: &str = "conservation of light";
const BOX: &str = "box of three evenly lit zones, sheet, walls and board, all bounces; within 1.7 % of a ray simulation of \
     seven boxes; a round box as a square of its area";
const STATED: &str = "the spec's own share of the box";

/// Adds up the light of all channels on, hot, in the warmest room.
pub fn solve(
    engine: &Engine<'_>,
    channels: &[ChannelSolution],
    feed: &Feed,
    heat: &Found<Ladder>,
    ledger: &mut Ledger,
) -> Found<Budget> {
    let (mut each, mut stated, mut radiated) = (Vec::new(), Vec::new(), Vec::new());
    for (channel, solved) in engine.driver.channels.iter().zip(channels) {
        let (as_stated, hot) = of_channel(engine, channel, solved, heat.as_ref()?, ledger)?;
        stated.push((channel.name.clone(), as_stated));
        radiated.push((channel.name.clone(), by_radiant_watt(&channel.name, as_stated, solved, ledger)));
        each.push((channel.name.clone(), hot));
    }
    let dice: Lumens = each.iter().map(|(_, l)| *l).sum();
    let paths: Vec<String> = each.iter().map(|(name, _)| format!("light.channel.{name}")).collect();
    let inputs: Vec<(&'static str, &str)> = paths.iter().map(|p| ("Φ", p.as_str())).collect();
    ledger.computed("light.dice", "light of all dice", dice, by("ΣΦ", MODEL), &inputs);
    let ways = ways::ways(engine)?;
    let total = |share: fn(&Way) -> f64| each.iter().zip(&ways).map(|((_, flux), way)| *flux * share(way)).sum();
    let (at_sheet, out): (Lumens, Lumens) = (total(|w| w.on_sheet), total(|w| w.out));
    enter_ways(engine, &each, &ways, (at_sheet, out), ledger);
    let radiant = heat.as_ref()?.radiant;
    let trapped = heat.as_ref()?.states.last().map_or(Watts::ZERO, |state| state.trapped);
    let radiant_out = radiant - trapped;
    let leaving = [("Φe", "heat.radiant"), ("Φ_in", "heat.trapped-light")];
    ledger.computed(
        "light.radiant-out",
        "radiant power that leaves the lamp",
        radiant_out,
        by("Φe − Φ_in", "conservation of power"),
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
    Ok(Budget { channels: each, stated, radiated, dice, ways, at_sheet, out, radiant, radiant_out, efficacy })
}

/// Light of a channel's dice at the temperature they are stated at, and hot.
fn of_channel(
    engine: &Engine<'_>,
    channel: &Channel,
    solved: &ChannelSolution,
    heat: &Ladder,
    ledger: &mut Ledger,
) -> Found<(Lumens, Lumens)> {
    let die = engine.die(channel).ok_or_else(|| channel.feeds.missing())?;
    let (flux, at) = die.flux.get()?;
    let strings = channel.strings.get()?.max(1);
    let (parallel, droop) = (f64::from(strings), die.droop.get()?);
    let cold_current = solved.set.clone()?.mean.nominal;
    let bent = libm::pow(cold_current / parallel / at, droop);
    let stated = flux.nominal * (f64::from(die.count.get()?) * parallel * bent);
    let one_point = "power law through one point; 0.85 to 0.95 usual for b, from memory";
    let text = if strings > 1 { "Φ = n·s·Φ_die·(I/(s·I_stated))^b" } else { "Φ = n·Φ_die·(I/I_stated)^b" };
    let cold_path = format!("drive.{}.current", channel.name);
    let mut inputs = vec![("n", die.count.path.as_str()), ("Φ_die", die.flux.path.as_str())];
    inputs.extend((strings > 1).then_some(("s", channel.strings.path.as_str())));
    inputs.extend([("I", cold_path.as_str()), ("b", die.droop.path.as_str())]);
    let path = format!("light.channel.{}", channel.name);
    let at_stated = format!("{path}.stated");
    let title = "light of the channel's dice at the temperature they are stated at";
    ledger.computed(at_stated.as_str(), title, stated, by(text, one_point), &inputs);
    let junction = heat.junctions.iter().find(|(name, _)| *name == channel.name).map(|(_, t)| t.clone());
    let junction = junction.ok_or_else(|| die.thermal.missing())??;
    // The current follows the string, which follows its junction.
    let warm_path = format!("drive.{}.warm-current", channel.name);
    let warm_current = ledger.get(&warm_path).and_then(|entry| entry.value).ok_or_else(|| die.drift.missing())?;
    let more = if cold_current.value() > 0.0 { libm::pow(warm_current / cold_current.value(), droop) } else { 1.0 };
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

/// What the dice are said to give by what they are said to radiate: no light of their colour carries much more than its
/// own spectrum does.
fn by_radiant_watt(name: &str, stated: Lumens, solved: &ChannelSolution, ledger: &mut Ledger) -> Found<LumensPerWatt> {
    let radiant = solved.power.clone()?.radiant;
    if !(radiant > Watts::ZERO) {
        return Err(absent(&format!("drive.{name}.radiant"), solved.span));
    }
    let found = LumensPerWatt::si(stated.value() / radiant.value());
    let (flux, power) = (format!("light.channel.{name}.stated"), format!("drive.{name}.radiant"));
    let inputs = [("Φ", flux.as_str()), ("Φe", power.as_str())];
    let title = "lumens by radiant watt, as flux and efficiency of the dice say";
    Ok(ledger.computed(
        format!("light.channel.{name}.by-radiant-watt"),
        title,
        found,
        by("Φ/Φe", "definition"),
        &inputs,
    ))
}

impl Budget {
    /// Light of the channel at this place of the spec, out of the lamp at full and hot.
    pub(super) fn out_of(&self, place: usize) -> Lumens {
        let flux = self.channels.get(place).map_or(Lumens::ZERO, |(_, flux)| *flux);
        flux * self.ways.get(place).map_or(0.0, |way| way.out)
    }
}

fn enter_ways(
    engine: &Engine<'_>,
    each: &[(String, Lumens)],
    ways: &[Way],
    (at_sheet, out): (Lumens, Lumens),
    ledger: &mut Ledger,
) {
    let mut sums: Vec<(String, String)> = Vec::new();
    for ((channel, (name, flux)), way) in engine.driver.channels.iter().zip(each).zip(ways) {
        let path = |figure: &str| format!("light.channel.{name}.{figure}");
        let own = format!("light.channel.{name}");
        if let Some(diffuser) = engine.diffuser {
            let mut from = vec![("G", diffuser.box_.path.clone())];
            if let Some(direct) = way.direct {
                let mut at_once = geometry(engine, channel);
                at_once.push(("A", "light.face.area".to_owned()));
                let beams = by("∫E dA/Φ over the visible sheet", "points with a cosine-power beam");
                let title = "share of its light that falls on the sheet at once";
                ledger.computed_share(path("direct"), title, direct, beams, &refs(&at_once));
                from = vec![("p_d", path("direct")), ("h", engine.emitter.distance.path.clone())];
                from.extend(inside(engine, diffuser));
            }
            let bounces = if way.direct.is_some() { by("G = p_d + Σ F·ρ·G", BOX) } else { by("G", STATED) };
            let title = "its light on the sheet, all returns counted, by what its dice give";
            ledger.computed_share(path("on-sheet"), title, way.on_sheet, bounces, &refs(&from));
            let passes = [("Φ", own.clone()), ("G", path("on-sheet")), ("τ", diffuser.transmission.path.clone())];
            let title = "light of the channel out of the lamp, at full and hot";
            ledger.computed(path("out"), title, *flux * way.out, by("Φ·G·τ", MODEL), &refs(&passes));
        } else {
            let title = "light of the channel out of the lamp, at full and hot";
            ledger.computed(
                path("out"),
                title,
                *flux * way.out,
                by("Φ: nothing before the dice", MODEL),
                &[("Φ", &own)],
            );
        }
        sums.push((own, path("on-sheet")));
    }
    if engine.diffuser.is_some() {
        let inputs: Vec<(&'static str, &str)> =
            sums.iter().flat_map(|(flux, share)| [("Φ", flux.as_str()), ("G", share.as_str())]).collect();
        let title = "light on the sheet, what it throws back and gets again counted again";
        ledger.computed("light.at-sheet", title, at_sheet, by("Σ Φ·G", MODEL), &inputs);
    } else {
        let nothing = by("Σ Φ: nothing before the dice", MODEL);
        ledger.computed("light.at-sheet", "light before the dice", at_sheet, nothing, &[("Φ", "light.dice")]);
    }
    let outs: Vec<String> = each.iter().map(|(name, _)| format!("light.channel.{name}.out")).collect();
    let inputs: Vec<(&'static str, &str)> = outs.iter().map(|path| ("Φ_out", path.as_str())).collect();
    ledger.computed("light.out", "light that leaves the lamp", out, by("Σ Φ_out", MODEL), &inputs);
}

/// Inputs of an entry: of figures that may not be known, each with its symbol, those that are.
pub(super) fn known<'a>(figures: &[(&'static str, bool, &'a String)]) -> Vec<(&'static str, &'a str)> {
    figures.iter().filter(|(_, known, _)| *known).map(|(symbol, _, path)| (*symbol, path.as_str())).collect()
}

/// Inputs of an entry by reference.
pub(super) fn refs<'a>(inputs: &'a [(&'static str, String)]) -> Vec<(&'static str, &'a str)> {
    inputs.iter().map(|(symbol, path)| (*symbol, path.as_str())).collect()
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
    engine: &Engine<'_>,
    channels: &[ChannelSolution],
    feed: &Feed,
    heat: &Found<Ladder>,
    light: &Found<Budget>,
    ledger: &mut Ledger,
) -> Look {
    let colours = colour::solve(engine, heat, light, ledger);
    let targets = targets::solve(engine, channels, feed, light, &colours, ledger);
    let even = even::solve(engine, light, ledger);
    let face = face::solve(engine, light, &even, ledger);
    let flicker = flicker::solve(engine, channels, ledger);
    let together = together::solve(engine, channels, light, &targets, ledger);
    let blue = blue::solve(engine, light, &colours, &even, &face, ledger);
    let low = low::solve(engine, channels, light, ledger);
    let cutoff = cutoff::solve(engine, light, ledger);
    Look { channels: colours, targets, even, face, flicker, together, blue, low, cutoff }
}
