//! The screening for blue light: the brightest thing that can be looked into, at 200 mm and where it gives 500 lx.
//! An opal sheet is screened by its face, all on and each channel alone; else the bare dice are.

use std::f64::consts::PI;

use crate::lamp::engine::Engine;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::physics::light::blue_light::{
    Glow, Group, JUDGED_AT, Screening, Spot, five_hundred_lux_of_spots, of_mix, screen_spots,
    threshold_distance_of_spots, threshold_illuminance,
};
use crate::quantity::{Lumens, Metres, WattsPerLumen};
use crate::solve::drive::{absent, by};

use super::colour::ChannelColour;
use super::dice::{brightness, count, geometry, luminance, places};
use super::even::{Evenness, is_opal};
use super::face::Face;
use super::{Budget, refs};

/// The worst of what was screened; ledger entries under `light.blue.`.
#[derive(Debug, Clone, PartialEq)]
pub struct Blue {
    /// What it was: all channels, or one alone.
    pub of: String,
    /// The bare dice, not the sheet.
    pub bare: bool,
    /// How many dice were looked at together; one for a sheet.
    pub dice: usize,
    /// At 200 mm.
    pub near: Screening,
    /// Where it gives 500 lx.
    pub far: Screening,
    /// A die peaks below 420 nm: its violet is not assessed.
    pub violet: bool,
}

const STANDARD: &str = "screening after IEC 62471:2006 and ICNIRP (2013) from a modelled spectrum; limits from memory";

/// Screens the lamp.
pub(super) fn solve(
    engine: &Engine<'_>,
    light: &Found<Budget>,
    colours: &[(String, Found<ChannelColour>)],
    even: &Found<Evenness>,
    face: &Found<Face>,
    ledger: &mut Ledger,
) -> Found<Blue> {
    let mut known = Vec::new();
    for (_, colour) in colours {
        let colour = colour.as_ref()?;
        let blue =
            colour.blue.ok_or_else(|| absent(&format!("light.channel.{}.blue", colour.name), engine.emitter.span))?;
        known.push((colour, blue));
    }
    let budget = light.as_ref()?;
    let bare = !engine.diffuser.is_some_and(is_opal);
    let glows =
        if bare { dice(engine, budget, &known)? } else { faces(budget, &known, even.as_ref()?, face.as_ref()?)? };
    let worst = glows.into_iter().filter_map(|(of, spots, peak)| {
        let near = screen_spots(&spots, JUDGED_AT)?;
        Some((of, (spots, peak), near))
    });
    // One channel comes before all together where they are no worse.
    let worse = |a: &Screening, b: &Screening| {
        let key = |s: &Screening| [s.averaged[0].value(), s.averaged[1].value(), s.radiance.value()];
        let pairs = key(a).into_iter().zip(key(b));
        a.group > b.group
            || a.group == b.group && pairs.map(|(a, b)| a.total_cmp(&b)).find(|o| o.is_ne()).is_some_and(|o| o.is_gt())
    };
    let worst = worst.reduce(|best, one| if worse(&one.2, &best.2) { one } else { best });
    let dark = light.as_ref().is_ok_and(|budget| budget.out <= Lumens::ZERO);
    let none = || absent(if dark { "light.out" } else { "light.blue" }, engine.emitter.span);
    let (of, (spots, peak), near) = worst.ok_or_else(none)?;
    // The whole of a face lights a place, not its brightest spot alone.
    let mean: Vec<Spot> = spots.iter().map(|spot| spot.dimmed(peak)).collect();
    let away = Metres::si(libm::round(five_hundred_lux_of_spots(&mean).value() * 1e3) * 1e-3);
    let far = screen_spots(&spots, away).ok_or_else(none)?;
    let violet = engine.emitter.dice.iter().any(|d| d.peak.nominal().is_ok_and(|p| p < Metres::si(420e-9)));
    let found = Blue { of, bare, dice: spots.len(), near, far, violet };
    enter(engine, &found, &spots, away, ledger);
    Ok(found)
}

/// What is lit by every channel together is called so.
const ALL: &str = "all channels";

/// What glows: its name, its spots at their brightest, and by how much that is brighter than their mean.
type Glows = Vec<(String, Vec<Spot>, f64)>;

/// The face lit by all channels, and by each alone; nothing where no light leaves the lamp.
fn faces(budget: &Budget, known: &[(&ChannelColour, WattsPerLumen)], even: &Evenness, face: &Face) -> Found<Glows> {
    let diameter = Metres::si(libm::sqrt(face.area.value() * 4.0 / PI));
    let lit = |share: f64, hot_spot: f64| face.luminance * (share * hot_spot);
    let seen = |glow: Glow| vec![Spot { glow, at: (Metres::ZERO, Metres::ZERO) }];
    let mix: Vec<(Lumens, WattsPerLumen)> =
        known.iter().enumerate().map(|(place, (_, blue))| (budget.out_of(place), *blue)).collect();
    let mut glows = Vec::new();
    if let Some(blue) = of_mix(&mix) {
        let peak = even.all.measures.hot_spot();
        glows.push((ALL.to_owned(), seen(Glow { luminance: lit(1.0, peak), diameter, blue }), peak));
    }
    for (place, ((colour, blue), map)) in known.iter().zip(&even.channels).enumerate() {
        let (out, peak) = (budget.out_of(place), map.measures.hot_spot());
        if out <= Lumens::ZERO {
            continue;
        }
        let luminance = lit(out / budget.out, peak);
        glows.push((colour.name.clone(), seen(Glow { luminance, diameter, blue: *blue }), peak));
    }
    Ok(glows)
}

/// The dice of each channel, and of all, L = Φ/(π·A) each. Where their places are not known they count as one place,
/// which is the worst there is.
fn dice(engine: &Engine<'_>, budget: &Budget, known: &[(&ChannelColour, WattsPerLumen)]) -> Found<Glows> {
    let (mut glows, mut all) = (Vec::new(), Vec::new());
    for ((channel, (_, flux)), (colour, blue)) in engine.driver.channels.iter().zip(&budget.channels).zip(known) {
        let die = engine.die(channel).ok_or_else(|| channel.feeds.missing())?;
        // The disc of the same area.
        let diameter = die.lit.nominal()? * (2.0 / libm::sqrt(PI));
        let glow = Glow { luminance: luminance(channel, die, *flux)?, diameter, blue: *blue };
        let count = count(channel, die)? as usize;
        let places = places(engine, channel).unwrap_or_else(|_| vec![(Metres::ZERO, Metres::ZERO); count]);
        let spots: Vec<Spot> = places.into_iter().map(|at| Spot { glow, at }).collect();
        all.extend(spots.iter().copied());
        glows.push((colour.name.clone(), spots, 1.0));
    }
    if glows.len() > 1 {
        glows.push((ALL.to_owned(), all, 1.0));
    }
    Ok(glows)
}

/// Symbols with the paths of what they stand for.
type Origins = Vec<(&'static str, String)>;

/// What the luminance and the weight that are screened follow from.
fn origins(engine: &Engine<'_>, found: &Blue) -> (Origins, Origins) {
    let (mut luminance, mut weight) = (Vec::new(), Vec::new());
    let channels = engine.driver.channels.iter().filter(|c| found.of == ALL || c.name == found.of);
    for channel in channels {
        let path = |figure: &str| format!("light.channel.{}.{figure}", channel.name);
        weight.push(("K_B", path("blue")));
        if found.bare {
            luminance.extend(brightness(engine, channel));
        } else if found.of != ALL {
            luminance.push(("L", "light.face.luminance".to_owned()));
            luminance.push(("Φ_out", path("out")));
            luminance.push(("Φ", "light.out".to_owned()));
            luminance.push(("E_max/E_mean", format!("light.even.{}.hot-spot", channel.name)));
        }
        if found.of == ALL && !found.bare {
            weight.push(("Φ", path("out")));
        }
    }
    if found.of == ALL && !found.bare {
        luminance.push(("L", "light.face.brightest".to_owned()));
    }
    (luminance, weight)
}

fn enter(engine: &Engine<'_>, found: &Blue, spots: &[Spot], lit: Metres, ledger: &mut Ledger) {
    let standard = |text| by(text, STANDARD);
    let (luminance, weight) = origins(engine, found);
    let brightest = spots.iter().map(|spot| spot.glow);
    let Some(glow) = brightest.max_by(|a, b| (a.blue * a.luminance).value().total_cmp(&(b.blue * b.luminance).value()))
    else {
        return;
    };
    let how = match (found.bare, found.of == ALL) {
        (true, _) => "Φ/(n·π·a²) of the die with most blue-light radiance",
        (false, true) => "L_max",
        (false, false) => "L·Φ_out/Φ·E_max/E_mean",
    };
    let title = "luminance that is screened";
    ledger.computed("light.blue.luminance", title, glow.luminance, standard(how), &refs(&luminance));
    let from = [("L", "light.blue.luminance")];
    let mean = [("L", if found.of == ALL { "light.face.luminance" } else { "light.blue.luminance" })];
    let sum = if found.of == ALL && !found.bare { "Σ Φ·K_B/Σ Φ" } else { "K_B = Σ S·B/(683·Σ S·V)" };
    ledger.computed("light.blue.weight", "blue-light weight of its light", glow.blue, standard(sum), &refs(&weight));
    let both = [("L", "light.blue.luminance"), ("K_B", "light.blue.weight")];
    ledger.computed("light.blue.radiance", "blue-light radiance", found.near.radiance, standard("L_B = K_B·L"), &both);
    let fields = standard("Σ L_B·min(1, (α/γ)²) of what the field holds, where that is most");
    let mut placed = vec![("L_B", "light.blue.radiance".to_owned())];
    if found.bare {
        for channel in engine.driver.channels.iter().filter(|c| found.of == ALL || c.name == found.of) {
            placed.extend(geometry(engine, channel).into_iter().filter(|(symbol, _)| !["h", "θ"].contains(symbol)));
        }
    }
    let of = [("L_B", "light.blue.radiance")];
    for (averaged, field) in found.near.averaged.iter().zip(["100", "11"]) {
        let title = format!("over a field of {field} mrad at 200 mm");
        ledger.computed(format!("light.blue.over-{field}"), &title, *averaged, fields, &refs(&placed));
    }
    let groups = standard("first field whose limit is kept");
    ledger.computed_text(
        "light.blue.group",
        "what the screening suggests at 200 mm",
        found.near.group.name(),
        groups,
        &[of[0], ("L_100", "light.blue.over-100"), ("L_11", "light.blue.over-11")],
    );
    ledger.computed_text("light.blue.group-500", "what it suggests at 500 lx", found.far.group.name(), groups, &of);
    ledger.computed(
        "light.blue.at-500",
        "where it gives 500 lx, 200 mm at least",
        lit,
        standard(match (found.bare, spots.len() > 1) {
            (_, true) => "√(Σ πR²·L/500 lx), to the millimetre",
            (true, false) => "R·√(πL/500 lx − 1), to the millimetre",
            (false, false) => "R·√(πL/500 lx − 1) with the mean of the face, to the millimetre",
        }),
        if found.bare { &from } else { &mean },
    );
    if found.near.group >= Group::Moderate {
        let weight = [("K_B", "light.blue.weight")];
        ledger.computed(
            "light.blue.threshold",
            "illuminance at which group 1 ends",
            threshold_illuminance(glow.blue),
            standard("1 W/m²/K_B"),
            &weight,
        );
        ledger.computed(
            "light.blue.away",
            "distance from which it is group 1",
            Metres::si(libm::ceil(threshold_distance_of_spots(spots).value() * 1e3) * 1e-3),
            standard(if spots.len() > 1 { "√(Σ πR²·L·K_B)" } else { "√(πR²·L·K_B − R²)" }),
            &both,
        );
    }
    if let Some(longest) = found.near.longest {
        ledger.computed("light.blue.longest", "longest look at 200 mm", longest, standard("10⁶/L_B"), &of);
    }
}
