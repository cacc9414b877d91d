//! A screening for blue light after IEC 62471: weighted radiance at 200 mm, the group it suggests, and times.
//! A calculation from a modelled spectrum; no measurement and no classification.

use std::f64::consts::PI;

use crate::quantity::{
    CandelasPerSquareMetre, Lumens, Lux, Metres, Seconds, WattsPerLumen, WattsPerSquareMetre,
    WattsPerSquareMetreSteradian,
};

/// Fields over which radiance is averaged for the groups, in radians.
const FIELDS: [f64; 3] = [0.1, 0.011, 0.0017];
/// Radiance that ends groups 0, 1 and 2 over those fields, W/m²sr. IEC 62471:2006, from memory and an instrument's manual.
const ENDS: [f64; 3] = [100.0, 10_000.0, 4.0e6];
/// Below this angle a source counts as small, in radians.
const SMALL: f64 = 0.011;
/// Irradiance that ends groups 0 and 1 for a small source, W/m² (from memory).
const SMALL_END: f64 = 1.0;
/// Irradiance that ends group 2 for a small source, W/m² (from memory).
const SMALL_END_TWO: f64 = 400.0;
/// Distance at which lamps are judged.
pub const JUDGED_AT: Metres = Metres::si(0.2);

/// The group that a screening suggests.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
pub enum Group {
    /// No hazard within 10 000 s.
    Exempt,
    /// Low: none in usual behaviour.
    Low,
    /// Moderate: the eye turns away in time.
    Moderate,
    /// High: even a short glance.
    High,
}

impl Group {
    /// As printed.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Exempt => "group 0",
            Self::Low => "group 1",
            Self::Moderate => "group 2",
            Self::High => "group 3",
        }
    }
}

/// A glowing disc seen along its axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Glow {
    /// Its luminance, at the brightest spot.
    pub luminance: CandelasPerSquareMetre,
    /// Its diameter, or that of the disc of equal area.
    pub diameter: Metres,
    /// K_B of its light.
    pub blue: WattsPerLumen,
}

/// What the screening finds at one distance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Screening {
    /// L_B = K_B L, not averaged.
    pub radiance: WattsPerSquareMetreSteradian,
    /// Averaged over 100, 11 and 1.7 mrad.
    pub averaged: [WattsPerSquareMetreSteradian; 3],
    /// E_B = K_B E at the eye.
    pub irradiance: WattsPerSquareMetre,
    /// Angle of the source, in radians.
    pub angle: f64,
    /// The worse of the groups by radiance and, for a small source, by irradiance.
    pub group: Group,
    /// Longest look, where there is a limit.
    pub longest: Option<Seconds>,
}

/// Illuminance on the axis of a disc, E = π L R²/(R² + d²).
fn illuminance(glow: &Glow, distance: Metres) -> Lux {
    super::face::disc_on_axis(glow.luminance, glow.diameter / 2.0, distance)
}

/// Screens a disc at a distance.
///
/// L_avg = L_B min(1, (α/γ)²) over each field γ; groups by the first field whose limit is kept. Limits: IEC 62471:2006.
pub fn screen(glow: &Glow, distance: Metres) -> Screening {
    let radiance = glow.blue * glow.luminance;
    let angle = glow.diameter / distance;
    let averaged = FIELDS.map(|field| radiance * (angle / field * (angle / field)).min(1.0));
    let irradiance = glow.blue * illuminance(glow, distance);
    let mut group = of_radiance(&averaged);
    if angle < SMALL {
        group = group.max(by_irradiance(irradiance));
    }
    Screening { radiance, averaged, irradiance, angle, group, longest: longest(radiance, averaged[1], angle) }
}

/// A glowing die at a place of its board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// What glows.
    pub glow: Glow,
    /// To the right of and above the middle of the board.
    pub at: (Metres, Metres),
}

impl Spot {
    /// The same with its luminance by this divisor: its mean, where it is stated at its brightest.
    pub fn dimmed(&self, by: f64) -> Self {
        Self { glow: Glow { luminance: self.glow.luminance / by, ..self.glow }, ..*self }
    }
}

/// Spots that two fields hold between them above which all of those count as in one: a bound, and never less.
const CROWD: usize = 300;

/// Σ L_B min(1, (α/γ)²) of the spots within a field, the field where that is most: about a spot, or between two.
fn averaged(spots: &[Spot], field: f64, distance: Metres) -> f64 {
    let light = |spot: &Spot| {
        let angle = spot.glow.diameter / distance;
        let own = (spot.glow.blue * spot.glow.luminance).value() * (angle / field * (angle / field)).min(1.0);
        ((spot.at.0.value(), spot.at.1.value()), own)
    };
    let lights: Vec<((f64, f64), f64)> = spots.iter().map(light).collect();
    let away = |a: (f64, f64), b: (f64, f64)| libm::hypot(a.0 - b.0, a.1 - b.1);
    let reach = distance.value() * field / 2.0 * (1.0 + 1e-9);
    let mut most = 0.0_f64;
    for (i, &(a, _)) in lights.iter().enumerate() {
        // A field that holds this one holds nothing farther off, and two that are farther apart have no field between them.
        let near: Vec<(usize, (f64, f64), f64)> = lights
            .iter()
            .enumerate()
            .filter(|(_, (b, _))| away(a, *b) <= 2.0 * reach)
            .map(|(k, (b, own))| (k, *b, *own))
            .collect();
        let sum = |centre: (f64, f64), reach: f64| -> f64 {
            near.iter().filter(|(_, b, _)| away(centre, *b) <= reach).map(|(_, _, own)| own).sum()
        };
        if near.len() > CROWD {
            most = most.max(sum(a, f64::INFINITY));
            continue;
        }
        most = most.max(sum(a, reach));
        for (_, b, _) in near.iter().filter(|(k, _, _)| *k > i) {
            most = most.max(sum(((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0), reach));
        }
    }
    most
}

/// Screens dice side by side at a distance: what falls into one field of view adds up. `None` without dice.
///
/// One die alone is a disc: [`screen`]. Source of fields and limits: IEC 62471:2006.
pub fn screen_spots(spots: &[Spot], distance: Metres) -> Option<Screening> {
    let single = |spot: &Spot| screen(&spot.glow, distance);
    let brightest = spots.iter().map(single).max_by(|a, b| a.radiance.value().total_cmp(&b.radiance.value()))?;
    if spots.len() == 1 {
        return Some(brightest);
    }
    let fields = FIELDS.map(|field| WattsPerSquareMetreSteradian::si(averaged(spots, field, distance)));
    // Dice that the small field holds count as one small source: E_B = L_avg · π γ²/4.
    let together = WattsPerSquareMetre::si(fields[1].value() * PI / 4.0 * SMALL * SMALL);
    let irradiance = brightest.irradiance.max(together);
    let mut group = of_radiance(&fields);
    if brightest.angle < SMALL {
        group = group.max(by_irradiance(irradiance));
    }
    let longest = longest_of_spots(spots, distance, fields[1]).or(brightest.longest);
    Some(Screening { averaged: fields, irradiance, group, longest, ..brightest })
}

/// The first time at which the dose in a field that grows with it passes 10⁶ J/m²sr: 11 mrad to 100 s, then 1.1 √t mrad.
fn longest_of_spots(spots: &[Spot], distance: Metres, near: WattsPerSquareMetreSteradian) -> Option<Seconds> {
    let first = 1e6 / near.value();
    if first <= 100.0 {
        return Some(Seconds::si(first));
    }
    // The dose only grows with time: bisection.
    let past = |t: f64| averaged(spots, 1.1e-3 * libm::sqrt(t), distance) * t > 1e6 * (1.0 + 1e-9);
    let (mut low, mut high) = (100.0, 1e4);
    if !past(high) {
        return None;
    }
    for _ in 0..20 {
        let middle = (low + high) / 2.0;
        if past(middle) { high = middle } else { low = middle }
    }
    Some(Seconds::si(low))
}

/// Where dice side by side give 500 lx on their axis, √(Σ π L R²/500 lx), no nearer than 200 mm.
pub fn five_hundred_lux_of_spots(spots: &[Spot]) -> Metres {
    if let [one] = spots {
        return five_hundred_lux(&one.glow);
    }
    let intensity: f64 = spots.iter().map(|spot| intensity(&spot.glow)).sum();
    Metres::si(libm::sqrt(intensity / 500.0).max(JUDGED_AT.value()))
}

/// Where dice side by side end group 1, √(Σ π L R² K_B) to 1 W/m², all of them taken as one small source.
pub fn threshold_distance_of_spots(spots: &[Spot]) -> Metres {
    if let [one] = spots {
        return threshold_distance(&one.glow);
    }
    let weighted: f64 = spots.iter().map(|spot| intensity(&spot.glow) * spot.glow.blue.value()).sum();
    Metres::si(libm::sqrt(weighted / SMALL_END))
}

/// π L R², cd.
fn intensity(glow: &Glow) -> f64 {
    let r = glow.diameter.value() / 2.0;
    PI * glow.luminance.value() * r * r
}

/// The first field whose limit is kept.
fn of_radiance(averaged: &[WattsPerSquareMetreSteradian; 3]) -> Group {
    let by_radiance = [Group::Exempt, Group::Low, Group::Moderate];
    let kept = averaged.iter().zip(ENDS).zip(by_radiance).find(|((l, end), _)| l.value() <= *end);
    kept.map_or(Group::High, |(_, group)| group)
}

fn by_irradiance(irradiance: WattsPerSquareMetre) -> Group {
    match irradiance.value() {
        e if e <= SMALL_END => Group::Exempt,
        e if e <= SMALL_END_TWO => Group::Moderate,
        _ => Group::High,
    }
}

/// t = 10⁶/L_B, over the field that grows with time: 11 mrad to 100 s, then 1.1 √t mrad (ICNIRP 2013).
fn longest(radiance: WattsPerSquareMetreSteradian, near: WattsPerSquareMetreSteradian, angle: f64) -> Option<Seconds> {
    let first = 1e6 / near.value();
    if first <= 100.0 {
        return Some(Seconds::si(first));
    }
    if angle <= SMALL {
        return None;
    }
    // Beyond this time the field is wider than the source, and the dose no longer grows.
    let filled = if angle >= 0.1 { 1e4 } else { (angle / 1.1e-3) * (angle / 1.1e-3) };
    let t = 1e6 / radiance.value();
    (t <= filled.min(1e4)).then_some(Seconds::si(t))
}

/// Where a disc gives 500 lx on its axis, no nearer than 200 mm: how lamps for general lighting are also judged.
pub fn five_hundred_lux(glow: &Glow) -> Metres {
    let (r, l) = (glow.diameter.value() / 2.0, glow.luminance.value());
    Metres::si((r * libm::sqrt((PI * l / 500.0 - 1.0).max(0.0))).max(JUDGED_AT.value()))
}

/// Illuminance at which a small source of this light ends group 1: 1 W/m² by K_B.
pub fn threshold_illuminance(blue: WattsPerLumen) -> Lux {
    Lux::si(SMALL_END / blue.value())
}

/// Where a disc falls to that illuminance, √(π R² L K_B − R²); zero where it never reaches it.
pub fn threshold_distance(glow: &Glow) -> Metres {
    let (r, l) = (glow.diameter.value() / 2.0, glow.luminance.value());
    Metres::si(r * libm::sqrt((PI * l * glow.blue.value() / SMALL_END - 1.0).max(0.0)))
}

/// K_B of lights together, Σ Y K_B/Σ Y; `None` for darkness.
pub fn of_mix(lights: &[(Lumens, WattsPerLumen)]) -> Option<WattsPerLumen> {
    let flux: f64 = lights.iter().map(|(y, _)| y.value()).sum();
    let blue: f64 = lights.iter().map(|(y, k)| y.value() * k.value()).sum();
    (flux > 0.0).then(|| WattsPerLumen::si(blue / flux))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_opal_white_face_is_group_zero() {
        let face = Glow {
            luminance: CandelasPerSquareMetre::si(20_000.0),
            diameter: Metres::si(0.1),
            blue: WattsPerLumen::si(0.514e-3),
        };
        let found = screen(&face, JUDGED_AT);
        assert_eq!((found.group, found.longest), (Group::Exempt, None));
        assert!(five_hundred_lux(&face) > JUDGED_AT && threshold_distance(&face) > Metres::ZERO);
    }

    #[test]
    fn dice_in_one_field_add_up() {
        let glow = Glow {
            luminance: CandelasPerSquareMetre::si(7e6),
            diameter: Metres::si(1.13e-3),
            blue: WattsPerLumen::si(1e-3),
        };
        let row = |pitch: f64| -> Vec<Spot> {
            (0..4).map(|i| Spot { glow, at: (Metres::si(f64::from(i) * pitch), Metres::ZERO) }).collect()
        };
        let one = screen(&glow, JUDGED_AT);
        let times = |pitch: f64, field: usize| {
            screen_spots(&row(pitch), JUDGED_AT).unwrap().averaged[field].value() / one.averaged[field].value()
        };
        // 100 mrad at 200 mm is a field of 20 mm, 11 mrad one of 2.2 mm.
        assert!((times(3e-3, 0) - 4.0).abs() < 1e-9 && (times(3e-3, 1) - 1.0).abs() < 1e-9);
        assert!((times(15e-3, 0) - 2.0).abs() < 1e-9 && (times(1.2e-3, 1) - 2.0).abs() < 1e-9);
        assert!((times(50e-3, 0) - 1.0).abs() < 1e-9);
        // More than are looked at one by one count as in one place, and are.
        let crowd = vec![Spot { glow, at: (Metres::ZERO, Metres::ZERO) }; CROWD + 1];
        let together = screen_spots(&crowd, JUDGED_AT).unwrap();
        for (all, single) in together.averaged.iter().zip(one.averaged) {
            assert!((all.value() / single.value() / (CROWD + 1) as f64 - 1.0).abs() < 1e-9);
        }
        assert_eq!(screen_spots(&row(3e-3)[..1], JUDGED_AT), Some(one));
        assert_eq!(screen_spots(&[], JUDGED_AT), None);
        let far = five_hundred_lux_of_spots(&row(3e-3)).value();
        assert!((far / (4.0 * intensity(&glow) / 500.0).sqrt() - 1.0).abs() < 1e-9 || far == 0.2);
    }

    #[test]
    fn a_source_as_wide_as_the_field_is_not_diluted() {
        let glow = Glow {
            luminance: CandelasPerSquareMetre::si(1e6),
            diameter: Metres::si(0.021),
            blue: WattsPerLumen::si(1e-3),
        };
        let found = screen(&glow, JUDGED_AT);
        assert!((found.averaged[0].value() / found.radiance.value() - 1.0).abs() < 1e-12);
        assert_eq!(of_mix(&[]), None);
    }
}
