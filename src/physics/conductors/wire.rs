//! Resistance of copper conductors by IEC 60228, its rise with temperature, and the drop along a run.
//! Below the sizes of the standard a formula with our margin stands in.

use super::{mm2, same_area};
use crate::quantity::{Amperes, Metres, OhmsPerMetre, SquareMetres, Temperature, Volts};

/// One size of IEC 60228, class 5 (fine strands, as in cords and hook-up wire), plain copper: greatest direct-current
/// resistance at 20 °C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConductorRow {
    /// Nominal cross-section.
    pub area: SquareMetres,
    /// Resistance per length.
    pub resistance: OhmsPerMetre,
    /// Where the resistances stand.
    pub source: &'static str,
    /// Whether the resistances are from memory.
    pub from_memory: bool,
}

const fn row(area: f64, ohm_per_km: f64) -> ConductorRow {
    ConductorRow {
        area: mm2(area),
        resistance: OhmsPerMetre::si(ohm_per_km * 1e-3),
        source: "IEC 60228, table 3; resistances agree in three published copies",
        from_memory: false,
    }
}

/// IEC 60228 at the sizes a small lamp uses.
const CONDUCTORS: [ConductorRow; 6] =
    [row(0.5, 39.0), row(0.75, 26.0), row(1.0, 19.5), row(1.5, 13.3), row(2.5, 7.98), row(4.0, 4.95)];

/// Conductivity of annealed copper at 20 °C, m/(Ω·mm²): 100 % IACS, IEC 60028.
const COPPER_CONDUCTIVITY: f64 = 58.0;
/// What a thin hook-up wire exceeds the ideal by; ratio of class 5 at 0.5 to 1 mm² (our guideline).
const THIN_WIRE_FACTOR: f64 = 1.13;
/// The largest ratio of any class 5 row to the ideal, rounded up (our guideline, for sizes between the rows).
const OTHER_SIZE_FACTOR: f64 = 1.16;

/// R'₂₀ = 1/(58 A), the resistance per length of ideal annealed copper at 20 °C; A in mm², R' in Ω/m.
pub fn ideal_resistance(area: SquareMetres) -> OhmsPerMetre {
    OhmsPerMetre::si(1.0 / (COPPER_CONDUCTIVITY * area.value() * 1e6))
}

/// Greatest resistance per length at 20 °C of a flexible conductor of plain copper, class 5 of IEC 60228.
///
/// IEC 60228 where the size is one of its rows; below 0.5 mm² 1.13/(58 A), between rows 1.16/(58 A) (both our guideline).
/// Valid for A > 0.
pub fn resistance_per_length(area: SquareMetres) -> OhmsPerMetre {
    if let Some(row) = CONDUCTORS.iter().find(|row| same_area(area, row.area)) {
        return row.resistance;
    }
    let factor = if area < mm2(0.5) { THIN_WIRE_FACTOR } else { OTHER_SIZE_FACTOR };
    ideal_resistance(area) * factor
}

/// α₂₀ of copper, 1/K (IEC 60028, text of IEC 60228).
const COPPER_COEFFICIENT: f64 = 0.00393;

/// R(T) = R₂₀ [1 + α₂₀ (T − 20 °C)]. Valid about −20 to 200 °C.
pub fn resistance_at(at_20: OhmsPerMetre, temperature: Temperature) -> OhmsPerMetre {
    at_20 * (1.0 + COPPER_COEFFICIENT * (temperature.celsius() - 20.0))
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

/// ΔV = 2 L I R'(T), both conductors counted; resistive part only, which is all there is below 10 mm².
pub fn voltage_drop(run: Run) -> Volts {
    run.current * (resistance_at(run.per_length, run.temperature) * run.length * 2.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_lies_a_little_above_ideal_copper() {
        for row in CONDUCTORS {
            let ratio = row.resistance / ideal_resistance(row.area);
            assert!((1.13..1.16).contains(&ratio), "{ratio}");
        }
    }

    #[test]
    fn an_untabled_size_is_not_better_than_its_neighbours() {
        let awg_18 = resistance_per_length(mm2(0.823));
        assert!(awg_18.value() > 0.0195 && awg_18.value() < 0.026, "{awg_18}");
        let thin = resistance_per_length(mm2(0.25));
        assert!((thin.value() - 0.07793).abs() < 1e-5, "{thin}");
    }
}
