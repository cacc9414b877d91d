//! A screening for blue light after IEC 62471: weighted radiance at 200 mm, the group it suggests, and times.
//! A calculation from a modelled spectrum; no measurement and no classification.

use std::f64::consts::PI;

use crate::quantity::{
    CandelasPerSquareMetre, Lux, Metres, Seconds, WattsPerLumen, WattsPerSquareMetre, WattsPerSquareMetreSteradian,
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
    /// E_B at the eye.
    pub irradiance: WattsPerSquareMetre,
    /// Illuminance at the eye.
    pub illuminance: Lux,
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
    let illuminance = illuminance(glow, distance);
    let irradiance = small_source(glow, distance);
    let by_radiance = [Group::Exempt, Group::Low, Group::Moderate];
    let kept = averaged.iter().zip(ENDS).zip(by_radiance).find(|((l, end), _)| l.value() <= *end);
    let mut group = kept.map_or(Group::High, |(_, group)| group);
    if angle < SMALL {
        group = group.max(by_irradiance(irradiance));
    }
    Screening {
        radiance,
        averaged,
        irradiance,
        illuminance,
        angle,
        group,
        longest: longest(radiance, averaged[1], angle),
    }
}

/// E_B = K_B I/d² of a source seen as a point for the small-source rule; of a disc by its illuminance.
fn small_source(glow: &Glow, distance: Metres) -> WattsPerSquareMetre {
    glow.blue * illuminance(glow, distance)
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
    Lux::si(1.0 / blue.value())
}

/// Where a disc falls to that illuminance, √(π R² L K_B − R²); zero where it never reaches it.
pub fn threshold_distance(glow: &Glow) -> Metres {
    let (r, l) = (glow.diameter.value() / 2.0, glow.luminance.value());
    Metres::si(r * libm::sqrt((PI * l * glow.blue.value() - 1.0).max(0.0)))
}

/// K_B of lights together, Σ Y K_B/Σ Y; `None` for darkness.
pub fn of_mix(lights: &[(crate::quantity::Lumens, WattsPerLumen)]) -> Option<WattsPerLumen> {
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
