//! Colour of each channel: what its dice were said to be, at the junction temperature they reach, and cold.
//! Turns peak, white or measured point into tristimulus values that targets and screening use.

use crate::lamp::emitter::Die;
use crate::lamp::engine::Engine;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::physics::light::chromaticity::{Chromaticity, Tristimulus};
use crate::physics::light::emission::Family;
use crate::physics::light::gamut::{dominant, greatest_efficacy, is_a_light};
use crate::physics::light::spectrum::Spectrum;
use crate::physics::light::temperature::{correlated, usual_duv, white};
use crate::quantity::{LumensPerWatt, Metres, Temperature, WattsPerLumen};
use crate::solve::drive::by;
use crate::solve::heat::Ladder;

use super::fading::{self, COLD, Fading};
use super::{Budget, known};

/// A channel's light at full; ledger entries under `light.channel.NAME.`.
#[derive(Debug, Clone)]
pub struct ChannelColour {
    /// Its name.
    pub name: String,
    /// Light of its dice, hot.
    pub hot: Tristimulus,
    /// The same current at 25 °C.
    pub cold: Tristimulus,
    /// Chromaticity, hot.
    pub at: Chromaticity,
    /// Chromaticity at 25 °C.
    pub cold_at: Chromaticity,
    /// Lumens by radiant watt at the temperature the die is stated at, where a spectrum is known.
    pub rated: Option<LumensPerWatt>,
    /// Most that light of its colour can carry, where no spectrum is known.
    pub bound: Option<LumensPerWatt>,
    /// K_B of its light, where a spectrum is known.
    pub blue: Option<WattsPerLumen>,
    /// Blue with phosphor, or a measured point near the locus.
    pub is_white: bool,
}

/// Peak of the blue leak of a phosphor white.
const BLUE_LEAK: Metres = Metres::si(450e-9);
const CIE: &str = "CIE 15 sums over the 1931 observer, DOI 10.25039/CIE.DS.xvudnb9b";

/// Every channel's colour.
pub(super) fn solve(
    engine: &Engine<'_>,
    heat: &Found<Ladder>,
    light: &Found<Budget>,
    ledger: &mut Ledger,
) -> Vec<(String, Found<ChannelColour>)> {
    let each = engine.driver.channels.iter().map(|channel| {
        let die = engine.die(channel).ok_or_else(|| channel.feeds.missing());
        let found = die.and_then(|die| of_channel(&channel.name, die, heat, light, ledger));
        (channel.name.clone(), found)
    });
    each.collect()
}

/// A die's light by one lumen, hot or cold.
struct Shade {
    at: Chromaticity,
    spectrum: Option<Spectrum>,
    family: Family,
}

fn shade(die: &Die, junction: Temperature) -> Found<Shade> {
    if die.x.is_known() || die.y.is_known() {
        let at = Chromaticity { x: die.x.get()?, y: die.y.get()? };
        // A point that no light has is no colour; its rule says so.
        if !is_a_light(at) {
            return Err(die.x.missing());
        }
        let family = die.peak.nominal().map_or(Family::White, Family::of_peak);
        return Ok(Shade { at, spectrum: Spectrum::phosphor_white(at, BLUE_LEAK), family });
    }
    if let (false, Ok(kelvin)) = (die.peak.is_known(), die.white.nominal()) {
        let at = white(kelvin, die.duv.get().unwrap_or_else(|_| usual_duv(kelvin)));
        return Ok(Shade { at, spectrum: Spectrum::phosphor_white(at, BLUE_LEAK), family: Family::White });
    }
    let cold = die.peak.nominal()?;
    let family = Family::of_peak(cold);
    let spectrum = Spectrum::die(family.peak_at(cold, junction, COLD), die.width.nominal()?);
    let at = spectrum.tristimulus().chromaticity().ok_or_else(|| die.peak.missing())?;
    Ok(Shade { at, spectrum: Some(spectrum), family })
}

fn of_channel(
    name: &str,
    die: &Die,
    heat: &Found<Ladder>,
    light: &Found<Budget>,
    ledger: &mut Ledger,
) -> Found<ChannelColour> {
    let cool = shade(die, COLD)?;
    let ladder = heat.as_ref()?;
    let junction = ladder.junctions.iter().find(|(n, _)| n == name).map(|(_, t)| t.clone());
    let junction = junction.ok_or_else(|| die.thermal.missing())??;
    let flux = light.as_ref()?.channels.iter().find(|(n, _)| n == name).map(|(_, flux)| *flux);
    let flux = flux.ok_or_else(|| die.flux.missing())?;
    let warm = shade(die, junction)?;
    let efficacy = |s: &Shade| s.spectrum.as_ref().map(Spectrum::efficacy);
    let fading = Fading::of(die)?;
    let stated = light.as_ref()?.stated.iter().find(|(n, _)| n == name).map(|(_, flux)| *flux);
    let cold_flux = stated.ok_or_else(|| die.flux.missing())? * fading.light(COLD);
    enter(name, die, &warm, &cool, ledger);
    let stated_path = format!("light.channel.{name}.stated");
    let of = [("Φ", stated_path.as_str()), ("T_stated", die.stated_at.path.as_str())];
    let fade = by("Φ·e^((T_stated − 25 °C)/T₁), with the wander of the peak", fading::SOURCE);
    ledger.computed(
        format!("light.channel.{name}.cold"),
        "light of its dice as it is switched on, at 25 °C",
        cold_flux,
        fade,
        &of,
    );
    let spectrum = warm.spectrum.as_ref();
    let rated = efficacy(&shade(die, fading.stated_at())?);
    let bound = if rated.is_none() { greatest_efficacy(warm.at) } else { None };
    carries(name, rated, bound, ledger);
    Ok(ChannelColour {
        name: name.to_owned(),
        hot: Tristimulus::of(warm.at, flux),
        cold: Tristimulus::of(cool.at, cold_flux),
        at: warm.at,
        cold_at: cool.at,
        rated,
        bound,
        blue: spectrum.map(Spectrum::blue_light),
        is_white: warm.family == Family::White,
    })
}

/// What a watt of its light carries: what its stated flux is held against.
fn carries(name: &str, rated: Option<LumensPerWatt>, bound: Option<LumensPerWatt>, ledger: &mut Ledger) {
    let path = |figure: &str| format!("light.channel.{name}.{figure}");
    let (x, y) = (path("x"), path("y"));
    let own = [("x", x.as_str()), ("y", y.as_str())];
    let (title, found, formula) = match (rated, bound) {
        (Some(rated), _) => ("lumens by radiant watt of its spectrum, as stated", rated, by("683 lm/W·Σ S·V/Σ S", CIE)),
        (None, Some(bound)) => {
            let text = "most of 683 lm/W·Σ S·V/Σ S over all light of x, y";
            ("most lumens that a watt of its colour carries", bound, by(text, CIE))
        }
        (None, None) => return,
    };
    ledger.computed(path("carries"), title, found, formula, &own);
}

fn enter(name: &str, die: &Die, warm: &Shade, cool: &Shade, ledger: &mut Ledger) {
    let path = |figure: &str| format!("light.channel.{name}.{figure}");
    let mut inputs = known(&[
        ("λp", die.peak.is_known(), &die.peak.path),
        ("Δλ", die.width.is_known(), &die.width.path),
        ("T", die.white.is_known(), &die.white.path),
        ("Duv", die.duv.is_known(), &die.duv.path),
        ("x", die.x.is_known(), &die.x.path),
        ("y", die.y.is_known(), &die.y.path),
    ]);
    let junction = format!("heat.junction.{name}");
    inputs.push(("T_j", &junction));
    let model = by("sums of its model spectrum, hot", CIE);
    ledger.computed_number(path("x"), "chromaticity x, hot", (warm.at.x, 4), model, &inputs);
    ledger.computed_number(path("y"), "chromaticity y, hot", (warm.at.y, 4), model, &inputs);
    let (x, y) = (path("x"), path("y"));
    let own = [("x", x.as_str()), ("y", y.as_str())];
    if warm.family == Family::White {
        if let Some(found) = correlated(warm.at) {
            let ohno = by("nearest point of the Planck locus", "Ohno, LEUKOS 10 (2014) 47");
            ledger.computed(path("temperature"), "colour temperature, hot", found.temperature, ohno, &own);
            ledger.computed_number(path("duv"), "distance from the locus, Duv", (found.duv, 4), ohno, &own);
        }
    } else if let Some(found) = dominant(warm.at) {
        let ray = by("ray from equal energy through x, y to the spectral locus", "CIE 15");
        // A purple has none: what its ray meets, turned round, is the wavelength that makes white with it.
        let (figure, title) = match found.complementary {
            true => ("complementary", "complementary wavelength, hot"),
            false => ("dominant", "dominant wavelength, hot"),
        };
        ledger.computed(path(figure), title, found.wavelength, ray, &own);
    }
    let apart = by("distance in u', v'", "CIE 15");
    ledger.computed_number(
        path("drift"),
        "shift of colour from cold to hot, Δu'v'",
        (warm.at.distance(cool.at), 4),
        apart,
        &own,
    );
    if let Some(spectrum) = &warm.spectrum {
        ledger.computed(path("efficacy"), "lumens by radiant watt, hot", spectrum.efficacy(), model, &own);
        let weight = by("Σ S·B/(683·Σ S·V)", "ICNIRP (2013), IEC 62471:2006");
        ledger.computed(path("blue"), "blue-light weight of its light", spectrum.blue_light(), weight, &own);
    }
}
