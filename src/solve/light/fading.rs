//! How the light of a die follows its junction: one law for light and for heat, counted from the one temperature that
//! the die's flux and efficiency are stated at.

use crate::lamp::emitter::Die;
use crate::lamp::given::Found;
use crate::physics::light::emission::{Family, left_when_warm};
use crate::physics::light::spectrum::Spectrum;
use crate::quantity::{Kelvin, LumensPerWatt, Metres, Temperature};

/// Room temperature: peaks are stated for it, and a lamp that is switched on has it.
pub(crate) const COLD: Temperature = Temperature::from_celsius(25.0);
/// Where the second figure of a rate is taken.
const WARM: Temperature = Temperature::from_celsius(85.0);

/// Where the law of a die comes from.
pub(crate) const SOURCE: &str = "the die's own `fade`, else characteristic temperatures from memory, \
     Schubert, Light-Emitting Diodes, 2nd ed.; 570 K for white, our default";

/// The law of one die.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Fading {
    family: Family,
    /// T₁ of e^(−ΔT/T₁).
    characteristic: Kelvin,
    /// That is a loss of luminous flux; else of radiant power.
    photometric: bool,
    stated_at: Temperature,
    /// Peak and width, where it has one colour.
    line: Option<(Metres, Metres)>,
}

impl Fading {
    /// From what the die says of itself; a die that does not say what colour it is counts as white.
    pub(crate) fn of(die: &Die) -> Found<Self> {
        let measured = die.x.is_known() || die.y.is_known();
        let line = match (die.peak.nominal(), die.width.nominal()) {
            (Ok(peak), Ok(width)) if !measured => Some((peak, width)),
            _ => None,
        };
        let family = die.peak.nominal().map_or(Family::White, Family::of_peak);
        let stated_at = die.stated_at.nominal()?;
        let own = die.fade.nominal().ok().map(|fade| Kelvin::si(1.0 / fade.value().max(1e-6)));
        let (characteristic, photometric) = match own {
            Some(own) => (own, true),
            None => (family.characteristic(), family.is_photometric()),
        };
        Ok(Self { family, characteristic, photometric, stated_at, line })
    }

    /// The temperature its flux and efficiency are stated at.
    pub(crate) const fn stated_at(&self) -> Temperature {
        self.stated_at
    }

    /// Lumens by radiant watt at a junction temperature, as its peak wanders; nothing for whites, which keep theirs.
    fn efficacy(&self, junction: Temperature) -> Option<LumensPerWatt> {
        let (peak, width) = self.line?;
        Some(Spectrum::die(self.family.peak_at(peak, junction, COLD), width).efficacy())
    }

    fn efficacy_ratio(&self, junction: Temperature, from: Temperature) -> f64 {
        match (self.efficacy(junction), self.efficacy(from)) {
            (Some(there), Some(here)) => there / here,
            _ => 1.0,
        }
    }

    /// Its luminous flux at a junction temperature by the stated one.
    pub(crate) fn light(&self, junction: Temperature) -> f64 {
        let left = left_when_warm(self.characteristic, junction, self.stated_at);
        if self.photometric { left } else { left * self.efficacy_ratio(junction, self.stated_at) }
    }

    /// Share of its radiant power lost for each kelvin, as the rate r of e^(−r ΔT); between 25 °C and 85 °C, where the
    /// lumens of a watt change with the peak.
    pub(crate) fn radiant_rate(&self) -> f64 {
        let rate = 1.0 / self.characteristic.value();
        let wander = libm::log(self.efficacy_ratio(WARM, COLD)) / (WARM - COLD).value();
        if self.photometric { rate + wander } else { rate }
    }
}
