//! Resistance of copper conductors by IEC 60228, its rise with temperature, and the drop along a run.
//! Below the sizes of the standard a formula with our margin stands in.

use super::{mm, mm2, same_area};
use crate::quantity::{Amperes, Metres, Ohms, OhmsPerMetre, SquareMetres, Temperature, Volts, Watts};

/// How a conductor is built, IEC 60228.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stranding {
    /// Class 1, one solid wire.
    Solid,
    /// Class 2, stranded for fixed wiring; same greatest resistance as class 1 at these sizes.
    Stranded,
    /// Class 5, fine strands for cords.
    Flexible,
}

/// Surface of the copper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Surface {
    /// Bare copper.
    Plain,
    /// Metal-coated (tinned) copper.
    Tinned,
}

/// One size of IEC 60228, greatest direct-current resistance at 20 °C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConductorRow {
    /// Nominal cross-section.
    pub area: SquareMetres,
    /// Class 1 and 2, plain.
    pub rigid_plain: OhmsPerMetre,
    /// Class 1 and 2, tinned.
    pub rigid_tinned: OhmsPerMetre,
    /// Class 5, plain.
    pub flexible_plain: OhmsPerMetre,
    /// Class 5, tinned.
    pub flexible_tinned: OhmsPerMetre,
    /// Greatest strand diameter, class 5 (from memory).
    pub strand: Metres,
    /// Greatest diameter of the bare class 5 conductor (from memory); what a terminal or ferrule must take.
    pub diameter: Metres,
    /// Where the resistances stand.
    pub source: &'static str,
    /// Whether the resistances are from memory.
    pub from_memory: bool,
}

const fn row(area: f64, ohm_per_km: [f64; 4], strand: f64, diameter: f64) -> ConductorRow {
    let [rigid_plain, rigid_tinned, flexible_plain, flexible_tinned] = ohm_per_km;
    ConductorRow {
        area: mm2(area),
        rigid_plain: OhmsPerMetre::si(rigid_plain * 1e-3),
        rigid_tinned: OhmsPerMetre::si(rigid_tinned * 1e-3),
        flexible_plain: OhmsPerMetre::si(flexible_plain * 1e-3),
        flexible_tinned: OhmsPerMetre::si(flexible_tinned * 1e-3),
        strand: mm(strand),
        diameter: mm(diameter),
        source: "IEC 60228, tables 1 to 3; resistances agree in three published copies, diameters from memory",
        from_memory: false,
    }
}

/// IEC 60228 at the sizes a small lamp uses.
const CONDUCTORS: [ConductorRow; 6] = [
    row(0.5, [36.0, 36.7, 39.0, 40.1], 0.21, 1.1),
    row(0.75, [24.5, 24.8, 26.0, 26.7], 0.21, 1.3),
    row(1.0, [18.1, 18.2, 19.5, 20.0], 0.21, 1.5),
    row(1.5, [12.1, 12.2, 13.3, 13.7], 0.26, 1.8),
    row(2.5, [7.41, 7.56, 7.98, 8.21], 0.26, 2.4),
    row(4.0, [4.61, 4.70, 4.95, 5.09], 0.31, 3.0),
];

/// Conductivity of annealed copper at 20 °C, m/(Ω·mm²): 100 % IACS, IEC 60028.
const COPPER_CONDUCTIVITY: f64 = 58.0;
/// What a thin hook-up wire exceeds the ideal by; ratio of class 5 at 0.5 to 1 mm² (our guideline).
const THIN_WIRE_FACTOR: f64 = 1.13;
/// The largest ratio of any class 5 row to the ideal, rounded up (our guideline, for sizes between the rows).
const OTHER_SIZE_FACTOR: f64 = 1.16;
/// What a tinned wire of such a size exceeds a plain one by: the largest ratio of the class 5 rows (our guideline).
const TINNED_FACTOR: f64 = 1.03;

/// R'₂₀ = 1/(58 A), the resistance per length of ideal annealed copper at 20 °C; A in mm², R' in Ω/m.
pub fn ideal_resistance(area: SquareMetres) -> OhmsPerMetre {
    OhmsPerMetre::si(1.0 / (COPPER_CONDUCTIVITY * area.value() * 1e6))
}

/// Greatest resistance per length at 20 °C.
///
/// IEC 60228 where the size is one of its rows; below 0.5 mm² 1.13/(58 A), between rows 1.16/(58 A), tinned 3 % more
/// (all our guideline). Valid for A > 0 of copper.
pub fn resistance_per_length(area: SquareMetres, stranding: Stranding, surface: Surface) -> OhmsPerMetre {
    if let Some(row) = CONDUCTORS.iter().find(|row| same_area(area, row.area)) {
        return match (stranding, surface) {
            (Stranding::Flexible, Surface::Plain) => row.flexible_plain,
            (Stranding::Flexible, Surface::Tinned) => row.flexible_tinned,
            (_, Surface::Plain) => row.rigid_plain,
            (_, Surface::Tinned) => row.rigid_tinned,
        };
    }
    let factor = if area < mm2(0.5) { THIN_WIRE_FACTOR } else { OTHER_SIZE_FACTOR };
    let tinned = if surface == Surface::Tinned { TINNED_FACTOR } else { 1.0 };
    ideal_resistance(area) * (factor * tinned)
}

/// α₂₀ of copper, 1/K (IEC 60028, text of IEC 60228).
const COPPER_COEFFICIENT: f64 = 0.00393;

/// R(T) = R₂₀ [1 + α₂₀ (T − 20 °C)], the law used everywhere in the program. Valid about −20 to 200 °C.
pub fn resistance_at(at_20: OhmsPerMetre, temperature: Temperature) -> OhmsPerMetre {
    at_20 * (1.0 + COPPER_COEFFICIENT * (temperature.celsius() - 20.0))
}

/// K_t = 250/(230 + T), the rounded correction *to* 20 °C that IEC 60228 tabulates (α = 0.004).
///
/// Differs from [`resistance_at`] by 0.3 % at 70 °C; for turning a measurement into the table's terms.
pub fn table_correction(temperature: Temperature) -> f64 {
    250.0 / (230.0 + temperature.celsius())
}

/// A pair of conductors that feeds something.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// Length one way, L.
    pub length: Metres,
    /// Resistance per length of one conductor at 20 °C, R'.
    pub per_length: OhmsPerMetre,
    /// Temperature of the conductor.
    pub temperature: Temperature,
    /// Current, I.
    pub current: Amperes,
}

/// What a run costs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunLoss {
    /// Resistance there and back.
    pub resistance: Ohms,
    /// ΔV = 2 L I R'(T).
    pub drop: Volts,
    /// ΔV I.
    pub loss: Watts,
}

/// ΔV = 2 L I R'(T), both conductors counted; resistive part only, which is all there is below 10 mm².
pub fn voltage_drop(run: Run) -> RunLoss {
    let resistance = resistance_at(run.per_length, run.temperature) * run.length * 2.0;
    let drop = run.current * resistance;
    RunLoss { resistance, drop, loss: drop * run.current }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_lies_a_little_above_ideal_copper() {
        for row in CONDUCTORS {
            let ideal = ideal_resistance(row.area);
            let (rigid, flexible) = (row.rigid_plain / ideal, row.flexible_plain / ideal);
            assert!((1.04..1.08).contains(&rigid), "{rigid}");
            assert!((1.13..1.16).contains(&flexible), "{flexible}");
            assert!(row.rigid_tinned > row.rigid_plain && row.flexible_tinned > row.flexible_plain);
            assert!(row.flexible_tinned < row.flexible_plain * (TINNED_FACTOR + 5e-4));
        }
    }

    #[test]
    fn an_untabled_size_is_not_better_than_its_neighbours() {
        let awg_18 = resistance_per_length(mm2(0.823), Stranding::Flexible, Surface::Plain);
        assert!(awg_18.value() > 0.0195 && awg_18.value() < 0.026, "{awg_18}");
        let thin = resistance_per_length(mm2(0.25), Stranding::Flexible, Surface::Plain);
        assert!((thin.value() - 0.07793).abs() < 1e-5, "{thin}");
    }
}
