//! Mechanical data of sheet and body materials: expansion, stiffness, density and growth by water.
//! Design values with the range seen; a data sheet takes their place.

use crate::quantity::{KilogramsPerCubicMetre, Pascals, PerKelvin};

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

/// Which way across the grain.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grain {
    /// Towards the bark.
    Radial,
    /// Along the rings.
    Tangential,
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
    fn density_is_the_same_for_weight_and_for_heat() {
        for row in MATERIALS {
            if let Some(thermal) = thermal::materials::find(row.name) {
                assert_eq!(thermal.density, row.density, "{}", row.name);
            }
        }
    }
}
