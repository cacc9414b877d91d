//! Mechanical data of sheet and body materials: expansion, stiffness, density, fire and water.
//! Design values with the range seen; a data sheet takes their place.

use crate::quantity::{Kelvin, KilogramsPerCubicMetre, Metres, Pascals, PerKelvin, Temperature};

/// One material. Fields are `None` where we know no figure worth printing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Material {
    /// Word for it in a specification.
    pub name: &'static str,
    /// Linear expansion α, design value.
    pub expansion: PerKelvin,
    /// Range of α seen.
    pub expansion_range: (PerKelvin, PerKelvin),
    /// Young's modulus E, short term.
    pub modulus: Option<Pascals>,
    /// Poisson's ratio ν.
    pub poisson: Option<f64>,
    /// Density ρ.
    pub density: KilogramsPerCubicMetre,
    /// Greatest growth by water, worst case, as a part of the length.
    pub swelling: f64,
    /// Where the expansion stands.
    pub source: &'static str,
    /// Whether the expansion is from memory.
    pub from_memory: bool,
    /// Where the other figures stand.
    pub other_source: &'static str,
}

const fn material(name: &'static str, alpha: (f64, f64, f64), density: f64, from_memory: bool) -> Material {
    Material {
        name,
        expansion: PerKelvin::si(alpha.0 * 1e-6),
        expansion_range: (PerKelvin::si(alpha.1 * 1e-6), PerKelvin::si(alpha.2 * 1e-6)),
        modulus: None,
        poisson: None,
        density: KilogramsPerCubicMetre::si(density),
        swelling: 0.0,
        source: if from_memory { "usual handbook value; from memory" } else { "handbook tables, range as published" },
        from_memory,
        other_source: "usual handbook values; from memory",
    }
}

const fn stiff(row: Material, gigapascals: f64, poisson: f64) -> Material {
    Material { modulus: Some(Pascals::si(gigapascals * 1e9)), poisson: Some(poisson), ..row }
}

/// Sheets and bodies a lamp is made of.
pub const MATERIALS: [Material; 18] = [
    Material { swelling: 0.001, ..stiff(material("acrylic", (70.0, 68.0, 77.0), 1190.0, false), 3.1, 0.37) },
    stiff(material("polycarbonate", (68.0, 65.0, 70.0), 1200.0, false), 2.35, 0.37),
    stiff(material("polystyrene", (70.0, 60.0, 80.0), 1050.0, true), 3.2, 0.35),
    stiff(material("glass", (9.0, 9.0, 9.0), 2500.0, false), 70.0, 0.22),
    stiff(material("borosilicate", (3.3, 3.3, 3.3), 2230.0, false), 64.0, 0.20),
    material("pla", (68.0, 60.0, 85.0), 1240.0, true),
    stiff(material("petg", (60.0, 50.0, 70.0), 1270.0, true), 2.1, 0.38),
    material("abs", (90.0, 72.0, 108.0), 1040.0, false),
    material("asa", (95.0, 60.0, 110.0), 1070.0, false),
    stiff(material("pvc", (70.0, 50.0, 80.0), 1400.0, true), 3.0, 0.38),
    material("pa12", (100.0, 80.0, 120.0), 1150.0, true),
    material("aluminium", (23.1, 21.0, 24.0), 2700.0, false),
    material("steel", (12.0, 11.0, 13.0), 7800.0, true),
    material("brass", (19.0, 18.0, 21.0), 8400.0, true),
    material("wood-along", (4.0, 3.0, 5.0), 600.0, false),
    material("wood-across", (35.0, 29.0, 49.0), 600.0, false),
    material("plywood", (8.0, 6.0, 12.0), 545.0, true),
    material("ceramic", (6.0, 4.0, 8.0), 2300.0, true),
];

/// The material of this name.
pub fn find(name: &str) -> Option<&'static Material> {
    MATERIALS.iter().find(|material| material.name == name)
}

/// ΔL = α L ΔT.
pub fn free_growth(expansion: PerKelvin, length: Metres, rise: Kelvin) -> Metres {
    length * (expansion * rise)
}

/// Which way across the grain.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grain {
    /// Towards the bark.
    Radial,
    /// Along the rings.
    Tangential,
}

/// Expansion of dry wood across the grain by specific gravity G, 1e−6/K: radial 32.4 G + 9.9, tangential
/// 32.4 G + 18.4 (Forest Products Laboratory, Wood Handbook chapter 4; from memory). Other forms differ by 30 %.
pub fn wood_expansion(gravity: f64, grain: Grain) -> PerKelvin {
    let ppm = match grain {
        Grain::Radial => 32.4 * gravity + 9.9,
        Grain::Tangential => 32.4 * gravity + 18.4,
    };
    PerKelvin::si(ppm * 1e-6)
}

/// Growth of wood across the grain per 1 % of moisture: radial 0.15 %, tangential 0.25 % (from memory). It outweighs
/// heat in any living room.
pub fn wood_moisture_growth(moisture_change: f64, grain: Grain) -> f64 {
    moisture_change * if grain == Grain::Radial { 0.15 } else { 0.25 }
}

/// Long-term modulus of a plastic: a third of the short-term one (our guideline).
pub fn creep_modulus(modulus: Pascals) -> Pascals {
    modulus / 3.0
}

/// Greatest lasting stress of acrylic at 20 °C (from memory).
pub const ACRYLIC_LASTING_STRESS: Pascals = Pascals::si(5.0e6);

/// What a plastic has to stand in fire and heat, by what it does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// Holds live parts in place.
    HoldsLive,
    /// Outside, protects against touch.
    Outer,
    /// Burns easily and covers without insulating.
    Cover,
}

/// One demand on a part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FireDemand {
    /// Ball pressure temperature, where one is asked: this or 25 K above the working temperature if that is more.
    pub ball_pressure: Option<Temperature>,
    /// Glow-wire temperature, where one is asked.
    pub glow_wire: Option<Temperature>,
    /// Needle flame of 10 s, out in 30 s.
    pub needle_flame: bool,
    /// Least distance from hot parts without a screen.
    pub distance: Option<Metres>,
    /// Where it stands.
    pub source: &'static str,
    /// Whether the ball pressure is from memory.
    pub from_memory: bool,
}

/// Fire and heat demands of IEC 60598-1, 4.15 and section 13 (ball pressure from memory).
pub fn fire_demand(part: Part) -> FireDemand {
    let ball = |celsius| Some(Temperature::from_celsius(celsius));
    let source = "IEC 60598-1, 4.15 and section 13; ball pressure from memory";
    let demand = FireDemand {
        ball_pressure: None,
        glow_wire: None,
        needle_flame: false,
        distance: None,
        source,
        from_memory: true,
    };
    match part {
        Part::HoldsLive => FireDemand { ball_pressure: ball(125.0), needle_flame: true, ..demand },
        Part::Outer => FireDemand { ball_pressure: ball(75.0), glow_wire: ball(650.0), ..demand },
        Part::Cover => {
            FireDemand { distance: Some(Metres::si(0.030)), source: "IEC 60598-1, 4.15", from_memory: false, ..demand }
        }
    }
}

/// Ball pressure temperature for a part at `working`: the demand, or the working temperature + 25 K if more.
pub fn ball_pressure_at(demand: Temperature, working: Temperature) -> Temperature {
    demand.max(working + Kelvin::si(25.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::thermal;

    #[test]
    fn design_values_lie_in_their_range() {
        for row in MATERIALS {
            assert!(row.expansion_range.0 <= row.expansion && row.expansion <= row.expansion_range.1, "{}", row.name);
            assert_eq!(find(row.name), Some(&row));
            assert_eq!(row.modulus.is_some(), row.poisson.is_some());
        }
        assert_eq!(find("unobtainium"), None);
    }

    #[test]
    fn wood_moves_with_its_gravity_and_more_with_damp() {
        // G = 0.6: 29.3 and 37.8.
        assert!((wood_expansion(0.6, Grain::Radial).value() * 1e6 - 29.34).abs() < 1e-9);
        assert!((wood_expansion(0.6, Grain::Tangential).value() * 1e6 - 37.84).abs() < 1e-9);
        // 4 % of moisture against 20 K: 1 % against 0.076 %.
        let damp = wood_moisture_growth(0.04, Grain::Tangential);
        let heat = wood_expansion(0.6, Grain::Tangential) * Kelvin::si(20.0);
        assert!((damp - 0.01).abs() < 1e-15 && damp > 10.0 * heat);
    }

    #[test]
    fn a_carrier_of_live_parts_has_to_stand_more() {
        let live = fire_demand(Part::HoldsLive);
        let outer = fire_demand(Part::Outer);
        assert!(live.ball_pressure > outer.ball_pressure && live.needle_flame && !outer.needle_flame);
        let working = Temperature::from_celsius(60.0);
        let at = outer.ball_pressure.map(|demand| ball_pressure_at(demand, working).celsius());
        assert!(at.is_some_and(|t| (t - 85.0).abs() < 1e-9));
        // Printed plastics that cannot: their service temperature lies below what even an outer part asks.
        for name in ["pla", "petg"] {
            let service = thermal::materials::find(name).and_then(|row| row.service);
            assert!(service.is_some() && service < outer.ball_pressure, "{name}");
        }
    }

    #[test]
    fn density_is_the_same_for_weight_and_for_heat() {
        for row in MATERIALS {
            if let Some(thermal) = thermal::materials::find(row.name) {
                assert_eq!(thermal.density, row.density, "{}", row.name);
            }
        }
    }
}
