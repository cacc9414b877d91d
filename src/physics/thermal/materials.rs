//! Thermal data of materials: conductivity, density, heat, emissivity and the service temperature we design with.
//! A data sheet takes the place of any of them; wet or printed parts scatter by 5 K.

use crate::quantity::{KilogramsPerCubicMetre, Temperature, WattsPerMetreKelvin};

/// One material.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThermalMaterial {
    /// Word for it in a specification.
    pub name: &'static str,
    /// Conductivity, k.
    pub conductivity: WattsPerMetreKelvin,
    /// Density, ρ.
    pub density: KilogramsPerCubicMetre,
    /// Specific heat, J/(kg·K).
    pub specific_heat: f64,
    /// Emissivity of the usual surface, named in the note.
    pub emissivity: f64,
    /// Service temperature; `None` where the material sets none.
    pub service: Option<Temperature>,
    /// What the service temperature or emissivity rests on.
    pub note: &'static str,
    /// Where the figures stand.
    pub source: &'static str,
    /// Whether any of them is from memory.
    pub from_memory: bool,
}

const LIBRARY: &str = "conductivity by an open thermal library; service temperature from memory";
const MEMORY: &str = "usual handbook values; from memory";

const fn row(
    name: &'static str,
    k_rho_cp: (f64, f64, f64),
    emissivity: f64,
    service: Option<Temperature>,
    note: &'static str,
    source: &'static str,
) -> ThermalMaterial {
    ThermalMaterial {
        name,
        conductivity: WattsPerMetreKelvin::si(k_rho_cp.0),
        density: KilogramsPerCubicMetre::si(k_rho_cp.1),
        specific_heat: k_rho_cp.2,
        emissivity,
        service,
        note,
        source,
        from_memory: true,
    }
}

const fn to(celsius: f64) -> Option<Temperature> {
    Some(Temperature::from_celsius(celsius))
}

/// Materials a lamp is made of.
const MATERIALS: [ThermalMaterial; 17] = [
    row("pla", (0.13, 1240.0, 1800.0), 0.92, to(50.0), "glass transition 55 to 60 °C", MEMORY),
    row("petg", (0.20, 1270.0, 1200.0), 0.92, to(65.0), "glass transition 75 to 80 °C, deflection about 70 °C", MEMORY),
    row("abs", (0.17, 1040.0, 1400.0), 0.92, to(80.0), "deflection 90 °C at 0.45 MPa", MEMORY),
    row("asa", (0.17, 1070.0, 1400.0), 0.92, to(85.0), "deflection about 95 °C at 0.45 MPa", MEMORY),
    row(
        "acrylic",
        (0.18, 1190.0, 1500.0),
        0.92,
        to(70.0),
        "deflection 80 to 95 °C; 5 K below the usual 75 °C, our margin",
        LIBRARY,
    ),
    row("polycarbonate", (0.20, 1200.0, 1200.0), 0.92, to(115.0), "deflection 138 °C at 0.45 MPa", LIBRARY),
    row("pa12", (0.25, 1150.0, 1600.0), 0.92, to(90.0), "deflection 95 °C at 1.8 MPa, powder-fused", LIBRARY),
    row("polystyrene", (0.16, 1050.0, 1300.0), 0.92, to(70.0), "usual service limit", LIBRARY),
    row("plywood", (0.12, 545.0, 1215.0), 0.90, to(90.0), "limit of wood in luminaires", MEMORY),
    row("softwood", (0.12, 510.0, 1380.0), 0.90, to(90.0), "limit of wood in luminaires", MEMORY),
    row("oak", (0.17, 705.0, 1630.0), 0.90, to(90.0), "limit of wood in luminaires", LIBRARY),
    row("glass", (1.0, 2500.0, 750.0), 0.92, to(110.0), "thermal shock, not strength", LIBRARY),
    row("ceramic", (1.3, 2300.0, 840.0), 0.91, to(200.0), "glazed surface", LIBRARY),
    row("aluminium", (200.0, 2700.0, 900.0), 0.85, None, "extruded alloy, anodised surface", MEMORY),
    row("aluminium-sheet", (160.0, 2800.0, 880.0), 0.09, None, "rolled alloy, bare surface", LIBRARY),
    row("steel", (50.0, 7800.0, 450.0), 0.90, None, "painted surface", LIBRARY),
    row("brass", (120.0, 8400.0, 380.0), 0.06, None, "bright surface", LIBRARY),
];

/// The material of this name.
pub fn find(name: &str) -> Option<&'static ThermalMaterial> {
    MATERIALS.iter().find(|row| row.name == name)
}

/// Emissivity below which a metal surface counts as shiny: it radiates less than half of what a painted one does.
pub const SHINY: f64 = 0.3;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_stand_once_and_figures_make_sense() {
        for (n, row) in MATERIALS.iter().enumerate() {
            assert!(MATERIALS.iter().skip(n + 1).all(|other| other.name != row.name), "{}", row.name);
            assert!((0.0..=1.0).contains(&row.emissivity));
            assert_eq!(find(row.name), Some(row));
            // Heat capacity per volume of solids lies between 0.5 and 4 MJ/(m³·K).
            let per_volume = row.density.value() * row.specific_heat;
            assert!((5e5..4e6).contains(&per_volume), "{} {per_volume}", row.name);
        }
    }

    #[test]
    fn plastics_and_wood_conduct_badly_and_radiate_well() {
        for row in MATERIALS.iter().filter(|row| row.conductivity.value() < 0.5) {
            assert!(row.emissivity >= 0.9 && row.service.is_some(), "{}", row.name);
        }
        assert!(find("brass").is_some_and(|row| row.emissivity < SHINY));
    }
}
