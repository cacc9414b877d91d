//! The screening for blue light: the brightest thing that can be looked into, at 200 mm and where it gives 500 lx.
//! An opal sheet is screened by its face, all on and each channel alone; else the bare dice are.

use std::f64::consts::PI;

use crate::lamp::Lamp;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::physics::light::blue_light::{
    Glow, Group, JUDGED_AT, Screening, five_hundred_lux, of_mix, screen, threshold_distance, threshold_illuminance,
};
use crate::quantity::{CandelasPerSquareMetre, Lumens, Metres, WattsPerLumen};
use crate::solve::drive::{absent, by};

use super::Budget;
use super::colour::ChannelColour;
use super::even::{Evenness, is_opal};
use super::face::Face;

/// The worst of what was screened; ledger entries under `light.blue.`.
#[derive(Debug, Clone, PartialEq)]
pub struct Blue {
    /// What it was: all channels, or one alone.
    pub of: String,
    /// The bare die, not the sheet.
    pub bare: bool,
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
    lamp: &Lamp,
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
            colour.blue.ok_or_else(|| absent(&format!("light.channel.{}.blue", colour.name), lamp.emitter.span))?;
        known.push((colour, blue));
    }
    let budget = light.as_ref()?;
    let bare = !lamp.diffuser.as_ref().is_some_and(is_opal);
    let glows = if bare { dice(lamp, &known)? } else { faces(budget, &known, even.as_ref()?, face.as_ref()?)? };
    let worst = glows.into_iter().map(|(of, glow)| (of, glow, screen(&glow, JUDGED_AT)));
    let worst = worst.max_by(|a, b| {
        (a.2.group, a.2.radiance.value())
            .partial_cmp(&(b.2.group, b.2.radiance.value()))
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    let (of, glow, near) = worst.ok_or_else(|| absent("light.blue", lamp.emitter.span))?;
    let far = screen(&glow, five_hundred_lux(&glow));
    let violet = lamp.emitter.dice.iter().any(|d| d.peak.nominal().is_ok_and(|p| p < Metres::si(420e-9)));
    let found = Blue { of, bare, near, far, violet };
    enter(&found, &glow, ledger);
    Ok(found)
}

/// The face lit by all channels, and by each alone.
fn faces(
    budget: &Budget,
    known: &[(&ChannelColour, WattsPerLumen)],
    even: &Evenness,
    face: &Face,
) -> Found<Vec<(String, Glow)>> {
    let diameter = Metres::si(libm::sqrt(face.area.value() * 4.0 / PI));
    let lit = |share: f64, hot_spot: f64| face.luminance * (share * hot_spot);
    let mix: Vec<(Lumens, WattsPerLumen)> = known.iter().map(|(c, blue)| (c.hot.y, *blue)).collect();
    let mut glows = Vec::new();
    if let Some(blue) = of_mix(&mix) {
        let luminance = lit(1.0, even.all.measures.hot_spot());
        glows.push(("all channels".to_owned(), Glow { luminance, diameter, blue }));
    }
    for ((colour, blue), map) in known.iter().zip(&even.channels) {
        let luminance = lit(colour.hot.y / budget.dice, map.measures.hot_spot());
        glows.push((colour.name.clone(), Glow { luminance, diameter, blue: *blue }));
    }
    Ok(glows)
}

/// Each die by itself, L = Φ/(π·A).
fn dice(lamp: &Lamp, known: &[(&ChannelColour, WattsPerLumen)]) -> Found<Vec<(String, Glow)>> {
    let mut glows = Vec::new();
    for (channel, (colour, blue)) in lamp.driver.channels.iter().zip(known) {
        let die = lamp.die(channel).ok_or_else(|| channel.feeds.missing())?;
        let side = die.lit.nominal()?.value();
        let count = f64::from(die.count.get()? * channel.strings.get()?.max(1));
        let luminance = CandelasPerSquareMetre::si(colour.hot.y.value() / count / (PI * side * side));
        let diameter = Metres::si(2.0 * side / libm::sqrt(PI));
        glows.push((colour.name.clone(), Glow { luminance, diameter, blue: *blue }));
    }
    Ok(glows)
}

fn enter(found: &Blue, glow: &Glow, ledger: &mut Ledger) {
    let by_face = [("L", "light.face.brightest")];
    let inputs: &[(&'static str, &str)] = if found.bare { &[] } else { &by_face };
    let standard = |text| by(text, STANDARD);
    ledger.computed(
        "light.blue.luminance",
        "luminance that is screened",
        glow.luminance,
        standard("brightest part of what is screened"),
        inputs,
    );
    let from = [("L", "light.blue.luminance")];
    ledger.computed(
        "light.blue.weight",
        "blue-light weight of its light",
        glow.blue,
        standard("K_B = Σ S·B/(683·Σ S·V)"),
        &[],
    );
    let both = [("L", "light.blue.luminance"), ("K_B", "light.blue.weight")];
    ledger.computed("light.blue.radiance", "blue-light radiance", found.near.radiance, standard("L_B = K_B·L"), &both);
    let fields = standard("L_B·min(1, (α/γ)²)");
    let of = [("L_B", "light.blue.radiance")];
    for (averaged, field) in found.near.averaged.iter().zip(["100", "11"]) {
        let title = format!("over a field of {field} mrad at 200 mm");
        ledger.computed(format!("light.blue.over-{field}"), &title, *averaged, fields, &of);
    }
    let groups = standard("first field whose limit is kept");
    ledger.computed_text(
        "light.blue.group",
        "what the screening suggests at 200 mm",
        found.near.group.name(),
        groups,
        &of,
    );
    ledger.computed_text("light.blue.group-500", "what it suggests at 500 lx", found.far.group.name(), groups, &of);
    ledger.computed(
        "light.blue.at-500",
        "where it gives 500 lx, 200 mm at least",
        five_hundred_lux(glow),
        standard("R·√(πL/500 lx − 1)"),
        &from,
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
            threshold_distance(glow),
            standard("√(πR²·L·K_B − R²)"),
            &both,
        );
    }
    if let Some(longest) = found.near.longest {
        ledger.computed("light.blue.longest", "longest look at 200 mm", longest, standard("10⁶/L_B"), &of);
    }
}
