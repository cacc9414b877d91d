//! Whites and colours to mix: levels of the channels, the codes that come nearest, and how the mix starts cold.
//! A target that cannot be mixed gets the nearest colour that can.

use crate::diag::Span;
use crate::lamp::engine::Engine;
use crate::lamp::given::Found;
use crate::lamp::identity::{Colour, White};
use crate::ledger::Ledger;
use crate::physics::light::chromaticity::{Chromaticity, Uniform};
use crate::physics::light::gamut::{Gamut, Reach, is_a_light};
use crate::physics::light::mixing::{self, Amount, MOST_CHANNELS, Mix, Unmixed};
use crate::physics::light::temperature::{correlated, white};
use crate::quantity::{Kelvin, Lumens, Watts};
use crate::schema::words::Reference;
use crate::solve::drive::{ChannelSolution, Transfer, absent, by};
use crate::solve::feed::Feed;

use super::colour::ChannelColour;
use super::{Budget, refs};

/// One target; ledger entries under `light.target.NAME.`.
#[derive(Debug, Clone)]
pub struct Target {
    /// Its name.
    pub name: String,
    /// Where the spec declares it.
    pub span: Span,
    /// Wanted as a white.
    pub is_white: bool,
    /// What was wanted.
    pub wanted: Found<Chromaticity>,
    /// What was written of it: symbols and paths.
    pub given: Vec<(&'static str, String)>,
    /// Flux wanted out of the lamp.
    pub flux: Option<Lumens>,
    /// What comes of it.
    pub mix: Found<Blend>,
}

/// Levels and light of a target.
#[derive(Debug, Clone)]
pub struct Blend {
    /// Where it stands to what the channels can mix.
    pub reach: Reach,
    /// Level of each channel, in the order of the spec.
    pub levels: Vec<f64>,
    /// Code of each channel at its resolution, where it has one.
    pub codes: Option<Vec<u32>>,
    /// Light out of the lamp, hot.
    pub flux: Lumens,
    /// The most light of this colour, where the wanted flux is more.
    pub short: Option<Lumens>,
    /// Power from the supply for it.
    pub power: Watts,
    /// Shift of colour by rounding to codes, in u'v'.
    pub rounding: f64,
    /// Chromaticity as it is switched on, at 25 °C.
    pub start: Chromaticity,
    /// Shift of colour from cold to hot, in u'v'.
    pub drift: f64,
    /// Colour temperature as it is switched on cold, for whites.
    pub cold: Option<Kelvin>,
    /// Duv of the mix, for whites.
    pub duv: Option<f64>,
}

/// Within this distance in u'v' a target counts as reached.
pub const REACHED: f64 = 0.001;
/// A share of a channel's light below this is none: a thousandth of the finest code.
const NOTHING: f64 = 1e-6;
const PROGRAMME: &str = "linear programme over the channels' tristimulus values, every vertex looked at; light by current to \
     the power of the die's droop where the current is dimmed, else in proportion; level by the drive's own cycle where a peak is held";

/// Every target.
pub(super) fn solve(
    engine: &Engine<'_>,
    channels: &[ChannelSolution],
    feed: &Feed,
    light: &Found<Budget>,
    colours: &[(String, Found<ChannelColour>)],
    ledger: &mut Ledger,
) -> Vec<Target> {
    let whites = engine.aim.whites.iter().map(of_white);
    let mut targets: Vec<Target> = whites.chain(engine.aim.colours.iter().map(of_colour)).collect();
    for target in &mut targets {
        target.mix = target
            .wanted
            .clone()
            .and_then(|wanted| {
                // A colour that no light has cannot be near anything; its rule says so.
                let light = is_a_light(wanted);
                if light { Ok(wanted) } else { Err(absent(&format!("light.target.{}", target.name), target.span)) }
            })
            .and_then(|wanted| Mixer::new(engine, channels, feed, light, colours)?.blend(target, wanted, ledger));
    }
    targets
}

fn of_white(given: &White) -> Target {
    let wanted = given.temperature.nominal().and_then(|t| Ok(white(t, given.duv.get()?)));
    let mix = Err(given.temperature.missing());
    let written = [("T", given.temperature.path.clone()), ("Duv", given.duv.path.clone())].to_vec();
    let (name, flux) = (given.name.clone(), given.flux.nominal().ok());
    Target { name, span: given.span, is_white: true, wanted, given: written, flux, mix }
}

fn of_colour(given: &Colour) -> Target {
    let wanted = match (given.u.get(), given.v.get()) {
        (Ok(u), Ok(v)) => Ok(Uniform { u, v }.chromaticity()),
        _ => given.x.get().and_then(|x| Ok(Chromaticity { x, y: given.y.get()? })),
    };
    let mix = Err(given.x.missing());
    let own = [("x", &given.x), ("y", &given.y), ("u'", &given.u), ("v'", &given.v)];
    let written = own.into_iter().filter(|(_, g)| g.is_known()).map(|(s, g)| (s, g.path.clone())).collect();
    let (name, flux) = (given.name.clone(), given.flux.nominal().ok());
    Target { name, span: given.span, is_white: false, wanted, given: written, flux, mix }
}

struct Mixer<'a> {
    engine: &'a Engine<'a>,
    colours: Vec<&'a ChannelColour>,
    full: Vec<mixing::Channel>,
    /// The same light at 25 °C.
    cold: Vec<mixing::Channel>,
    cap: Option<Watts>,
    /// Exponent of light over level: the droop where the current is dimmed, 1 where the light is gated.
    bends: Vec<f64>,
    /// Level over current, by channel.
    transfers: Vec<Transfer<'a>>,
    /// Codes of a full period, by channel.
    scale: Option<Vec<u32>>,
}

impl<'a> Mixer<'a> {
    fn new(
        engine: &'a Engine<'a>,
        channels: &'a [ChannelSolution],
        feed: &Feed,
        light: &Found<Budget>,
        colours: &'a [(String, Found<ChannelColour>)],
    ) -> Found<Self> {
        let known: Found<Vec<&ChannelColour>> = colours.iter().map(|(_, c)| c.as_ref().map_err(Clone::clone)).collect();
        let known = known?;
        let fixed = engine.driver.reference.value == Some(Reference::Fixed);
        let budget = light.as_ref()?;
        if budget.out <= Lumens::ZERO {
            return Err(absent("light.out", engine.emitter.span));
        }
        let (mut full, mut cold, mut bends) = (Vec::new(), Vec::new(), Vec::new());
        let each = known.iter().zip(channels).zip(&engine.driver.channels).zip(&budget.ways);
        for (((colour, channel), given), way) in each {
            let power = channel.power.clone()?.input;
            // What counts is the light that leaves the lamp: dice near a wall give less of theirs.
            full.push(mixing::Channel { light: colour.hot.times(way.out), power, most: 1.0, fixed });
            cold.push(mixing::Channel { light: colour.cold.times(way.out), power, most: 1.0, fixed });
            let die = engine.die(given).ok_or_else(|| given.feeds.missing())?;
            bends.push(if channel.filter.is_some() { die.droop.get()? } else { 1.0 });
        }
        let scales = channels.iter().map(|c| match &c.modulation {
            Some(Ok(modulation)) => Some(u32::try_from((1_u64 << modulation.bits.min(31)) - 1).unwrap_or(u32::MAX)),
            _ => None,
        });
        let scale = scales.collect();
        let cap = feed.left_for(engine, channels);
        let transfers = channels.iter().map(ChannelSolution::transfer).collect();
        Ok(Self { engine, colours: known, full, cold, cap, bends, transfers, scale })
    }

    fn blend(&self, target: &Target, wanted: Chromaticity, ledger: &mut Ledger) -> Found<Blend> {
        let all_on = || mixing::light(&self.full, &vec![1.0; self.full.len()]).chromaticity();
        // Channels that cannot be dimmed have one mix, not a gamut.
        let own: Vec<Chromaticity> = match self.full.iter().all(|c| c.fixed) {
            true => all_on().into_iter().collect(),
            // A channel that gives no light adds no colour.
            false => {
                let lit = self.colours.iter().zip(&self.full).filter(|(_, full)| full.light.y > Lumens::ZERO);
                lit.map(|(colour, _)| colour.at).collect()
            }
        };
        let none = || absent(&format!("light.target.{}", target.name), target.span);
        let reach = Gamut::of(&own).reach(wanted).ok_or_else(none)?;
        let at = reach.nearest;
        let amount = target.flux.map_or(Amount::Most, Amount::Flux);
        let (mix, short) = match self.levels(at, amount) {
            Ok(mix) => (mix, None),
            Err(Unmixed::Flux(most)) => (most.clone(), Some(most.flux)),
            Err(Unmixed::Colour) => return Err(none()),
            Err(Unmixed::TooMany) => {
                let text = format!(
                    "{} channels are more than the {MOST_CHANNELS} a mix is worked out for: build the lamp as two, or set `{}` by eye",
                    self.full.len(),
                    target.name
                );
                let why = by("every vertex of the programme is looked at", "our limit");
                ledger.computed_text(format!("light.target.{}", target.name), "mix of a target", text, why, &[]);
                return Err(none());
            }
        };
        let blend = self.shown(target, reach, &mix, short);
        self.enter(target, &blend, wanted, ledger);
        Ok(blend)
    }

    /// Shares of each channel's light. A dimmed current takes less power for its share than the share of full power, so
    /// the programme is solved anew with the power of the last shares until they stay.
    fn levels(&self, at: Chromaticity, amount: Amount) -> Result<Mix, Unmixed> {
        let mut full = self.full.clone();
        let mut mix = mixing::levels(&full, at, amount, self.cap);
        for _ in 0..20 {
            let (Ok(last) | Err(Unmixed::Flux(last))) = &mix else { break };
            let before = last.levels.clone();
            for ((channel, own), (share, bend)) in full.iter_mut().zip(&self.full).zip(before.iter().zip(&self.bends)) {
                let less = if *share > 0.0 { libm::pow(*share, 1.0 / bend - 1.0) } else { 1.0 };
                channel.power = own.power * less;
            }
            mix = mixing::levels(&full, at, amount, self.cap);
            let (Ok(now) | Err(Unmixed::Flux(now))) = &mix else { break };
            if before.iter().zip(&now.levels).all(|(a, b)| (a - b).abs() < 1e-6) {
                break;
            }
        }
        mix
    }

    /// Levels that give these shares of light: light goes by a power of the current, and the current by the drive.
    fn to_levels(&self, shares: &[f64]) -> Vec<f64> {
        let each = shares.iter().zip(&self.bends).zip(&self.transfers);
        each.map(|((share, bend), transfer)| transfer.level(libm::pow(*share, 1.0 / bend))).collect()
    }

    /// The other way round.
    fn to_shares(&self, levels: &[f64]) -> Vec<f64> {
        let each = levels.iter().zip(&self.bends).zip(&self.transfers);
        each.map(|((level, bend), transfer)| libm::pow(transfer.share(*level), *bend)).collect()
    }

    fn shown(&self, target: &Target, reach: Reach, mix: &Mix, short: Option<Lumens>) -> Blend {
        // What rounding leaves of nothing is nothing.
        let shares: Vec<f64> = mix.levels.iter().map(|share| if *share < NOTHING { 0.0 } else { *share }).collect();
        let levels = self.to_levels(&shares);
        let codes: Option<Vec<u32>> = self.scale.as_ref().map(|scale| {
            let pairs = levels.iter().zip(scale);
            pairs.map(|(level, full)| libm::round(level * f64::from(*full)) as u32).collect()
        });
        let at = reach.nearest;
        let rounded: Option<Vec<f64>> = codes.as_ref().zip(self.scale.as_ref()).map(|(codes, scale)| {
            codes.iter().zip(scale).map(|(code, full)| f64::from(*code) / f64::from((*full).max(1))).collect()
        });
        let real = rounded.map(|levels| self.to_shares(&levels));
        let real = real.and_then(|shares| mixing::light(&self.full, &shares).chromaticity());
        let start = mixing::light(&self.cold, &mix.levels).chromaticity().unwrap_or(at);
        let white = |at| if target.is_white { correlated(at) } else { None };
        Blend {
            reach,
            levels,
            codes,
            flux: mix.flux,
            short,
            power: mix.power,
            rounding: real.map_or(0.0, |real| real.distance(at)),
            start,
            drift: start.distance(at),
            cold: white(start).map(|c| c.temperature),
            duv: white(at).map(|c| c.duv),
        }
    }

    fn enter(&self, target: &Target, blend: &Blend, wanted: Chromaticity, ledger: &mut Ledger) {
        let path = |figure: &str| format!("light.target.{}.{figure}", target.name);
        let from = refs(&target.given);
        let point = by("square to the Planck locus, or as given", "Ohno, LEUKOS 10 (2014) 47");
        ledger.computed_number(path("x"), "wanted chromaticity x", (wanted.x, 4), point, &from);
        ledger.computed_number(path("y"), "wanted chromaticity y", (wanted.y, 4), point, &from);
        let (x, y) = (path("x"), path("y"));
        let hulled = by("nearest point of the hull in u', v'", "CIE 15");
        let away = if blend.reach.inside { 0.0 } else { blend.reach.distance };
        let wished = [("x", x.as_str()), ("y", y.as_str())];
        let channels = self.inputs(target);
        let mixed = refs(&channels);
        let hull: Vec<(&'static str, &str)> = wished
            .into_iter()
            .chain(mixed.iter().copied().filter(|(symbol, _)| ["x_i", "y_i"].contains(symbol)))
            .collect();
        ledger.computed_number(
            path("distance"),
            "distance to the nearest colour that can be mixed, Δu'v'",
            (away, 4),
            hulled,
            &hull,
        );
        ledger.computed_number(
            path("reached-x"),
            "chromaticity x of the mix",
            (blend.reach.nearest.x, 4),
            hulled,
            &hull,
        );
        ledger.computed_number(
            path("reached-y"),
            "chromaticity y of the mix",
            (blend.reach.nearest.y, 4),
            hulled,
            &hull,
        );
        let programme = by("most light, or the wanted light at least power", PROGRAMME);
        for (i, channel) in self.engine.driver.channels.iter().enumerate() {
            let (Some(level), name) = (blend.levels.get(i), &channel.name) else { continue };
            ledger.computed_share(path(&format!("level.{name}")), "level of a channel", *level, programme, &mixed);
            if let Some(code) = blend.codes.as_ref().and_then(|codes| codes.get(i)) {
                let round = by("level·(2ⁿ − 1), rounded", "definition");
                let level = path(&format!("level.{name}"));
                let of = [("level", level.as_str()), ("n", self.engine.driver.bits.path.as_str())];
                ledger.computed_text(path(&format!("code.{name}")), "code of a channel", code.to_string(), round, &of);
            }
        }
        ledger.computed(path("flux"), "light of the mix, out of the lamp", blend.flux, programme, &mixed);
        ledger.computed(path("power"), "power from the supply for it", blend.power, programme, &mixed);
        let apart = by("distance in u', v'", "CIE 15");
        ledger.computed_number(
            path("rounding"),
            "shift of colour by rounding to codes, Δu'v'",
            (blend.rounding, 4),
            apart,
            &refs(&self.parts(target, "code", "code", "x", "x_i")),
        );
        ledger.computed_number(
            path("drift"),
            "shift of colour from cold to hot, Δu'v'",
            (blend.drift, 4),
            apart,
            &refs(&self.parts(target, "level", "l", "cold", "Φ_cold")),
        );
        let ohno = by("nearest point of the Planck locus", "Ohno, LEUKOS 10 (2014) 47");
        if let Some(duv) = blend.duv {
            let (x, y) = (path("reached-x"), path("reached-y"));
            let title = "tint of the mix: distance from the Planck locus, Duv";
            ledger.computed_number(path("duv"), title, (duv, 4), ohno, &[("x", &x), ("y", &y)]);
        }
        if let Some(cold) = blend.cold {
            ledger.computed(
                path("cold"),
                "colour temperature as it is switched on, at 25 °C",
                cold,
                ohno,
                &refs(&self.parts(target, "level", "l", "cold", "Φ_cold")),
            );
        }
    }
}

impl Mixer<'_> {
    /// What the programme works on: the colour wanted and how much of it, each channel's colour, light and power.
    fn inputs(&self, target: &Target) -> Vec<(&'static str, String)> {
        let own = |figure: &str| format!("light.target.{}.{figure}", target.name);
        let mut all = vec![("x", own("reached-x")), ("y", own("reached-y"))];
        if target.flux.is_some() {
            all.push(("Φ", format!("aim.{}.flux", target.name)));
        }
        for ((channel, bend), transfer) in self.engine.driver.channels.iter().zip(&self.bends).zip(&self.transfers) {
            let figure = |figure: &str| format!("light.channel.{}.{figure}", channel.name);
            all.extend([("x_i", figure("x")), ("y_i", figure("y")), ("Φ_i", figure("out"))]);
            all.push(("P_i", format!("drive.{}.input", channel.name)));
            all.extend(self.engine.die(channel).filter(|_| *bend != 1.0).map(|die| ("b", die.droop.path.clone())));
            if !transfer.proportional() {
                let own = |figure: &str| format!("drive.{}.{figure}", channel.name);
                all.extend([("V_full", own("reference")), ("A", own("gain")), ("L", own("inductance"))]);
            }
        }
        all
    }

    /// One figure of the target and one of the light for each channel.
    fn parts(
        &self,
        target: &Target,
        figure: &str,
        symbol: &'static str,
        of_light: &str,
        light: &'static str,
    ) -> Vec<(&'static str, String)> {
        let each = self.engine.driver.channels.iter().flat_map(|channel| {
            let name = &channel.name;
            let mut own = Vec::new();
            if figure != "code" || self.scale.is_some() {
                own.push((symbol, format!("light.target.{}.{figure}.{name}", target.name)));
            }
            own.extend([
                (light, format!("light.channel.{name}.{of_light}")),
                ("Φ_i", format!("light.channel.{name}.out")),
            ]);
            own
        });
        each.collect()
    }
}
