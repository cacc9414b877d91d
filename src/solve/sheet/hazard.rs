//! Sheets that must not meet a cutter: what burns, poisons or shatters. No file for that machine is written then.

use crate::schema::words::{Cutter, SheetMaterial};

/// Why a sheet must not be cut so.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hazard {
    /// What happens, in a maker's words.
    pub said: &'static str,
    /// The way out.
    pub fix: &'static str,
    /// For the one at the machine.
    pub note: &'static str,
}

const ANOTHER: &str = "write `method saw` or `method router` with its kerf, or take `material opal-acrylic`";
const GLAZIER: &str = "write `method glazier` and have it cut to the net outline, or take `material opal-acrylic`";
const POISON: &str = "Never bring it to a laser: what it gives off is poison.";
const SHATTERS: &str =
    "Do not cut it on this machine: it breaks into sharp pieces. A glazier cuts, drills and grinds it.";

/// What forbids this cut; none where nothing does (common practice of workshops, no source).
pub fn hazard(material: SheetMaterial, method: Cutter) -> Option<Hazard> {
    let hazard = |said, fix, note| Some(Hazard { said, fix, note });
    match (material, method) {
        (SheetMaterial::Pvc, Cutter::Laser) => hazard("PVC gives off hydrogen chloride under a laser", ANOTHER, POISON),
        (SheetMaterial::Polycarbonate, Cutter::Laser) => {
            hazard("polycarbonate burns and gives off harmful fumes under a laser", ANOTHER, POISON)
        }
        (SheetMaterial::Glass, Cutter::Laser) => {
            hazard("glass cracks under a laser that cuts sheet", GLAZIER, SHATTERS)
        }
        (SheetMaterial::Glass, Cutter::Router) => hazard("a milling cutter shatters glass", GLAZIER, SHATTERS),
        (SheetMaterial::Glass, Cutter::Saw) => hazard("a saw for plastics shatters glass", GLAZIER, SHATTERS),
        _ => None,
    }
}
