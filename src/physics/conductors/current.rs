//! What current a conductor may carry: cords by the tables of the region, hook-up wire by our rule,
//! and the least cross-sections that IEC 60598-1 asks for.

use super::{Region, awg, mm2};
use crate::quantity::{Amperes, SquareMetres, Temperature};

/// One size of flexible cord.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CordCurrentRow {
    /// Least cross-section of the row.
    pub area: SquareMetres,
    /// The size as written in its table.
    pub size: &'static str,
    /// Current with two conductors loaded.
    pub current: Amperes,
    /// Where it stands.
    pub source: &'static str,
    /// Whether the figure is from memory.
    pub from_memory: bool,
}

const fn harmonised(size: &'static str, area: f64, amperes: f64, from_memory: bool) -> CordCurrentRow {
    let source = if from_memory {
        "BS 7671, table 4F3A; row from memory, lower of two figures"
    } else {
        "BS 7671, table 4F3A, and BS 1363; PVC flexible cord, one phase"
    };
    CordCurrentRow { area: mm2(area), size, current: Amperes::si(amperes), source, from_memory }
}

/// Flexible PVC cords, one phase, by mm².
const HARMONISED: [CordCurrentRow; 6] = [
    harmonised("0.5 mm²", 0.5, 3.0, false),
    harmonised("0.75 mm²", 0.75, 6.0, false),
    harmonised("1.0 mm²", 1.0, 10.0, false),
    harmonised("1.25 mm²", 1.25, 13.0, false),
    harmonised("1.5 mm²", 1.5, 15.0, false),
    harmonised("2.5 mm²", 2.5, 20.0, true),
];

const fn american(size: &'static str, area: f64, amperes: f64) -> CordCurrentRow {
    let source = "NEC 400.5(A), two current-carrying conductors";
    CordCurrentRow { area: mm2(area), size, current: Amperes::si(amperes), source, from_memory: false }
}

/// Flexible cords in the US, two conductors carrying current; areas by ASTM B258.
const AMERICAN: [CordCurrentRow; 5] = [
    american("18 AWG", 0.82305, 10.0),
    american("17 AWG", 1.0378, 12.0),
    american("16 AWG", 1.3087, 13.0),
    american("14 AWG", 2.0809, 18.0),
    american("12 AWG", 3.3088, 25.0),
];

/// The row of the largest size that is not larger than `area`, in the table of `region`; `None` below the first.
///
/// An area within 0.5 % below a row still means that row, because sizes are quoted rounded.
pub fn cord_current(region: Region, area: SquareMetres) -> Option<&'static CordCurrentRow> {
    let table: &'static [CordCurrentRow] = match region {
        Region::Eu | Region::Uk => &HARMONISED,
        Region::Us => &AMERICAN,
    };
    table.iter().rev().find(|row| area.value() >= 0.995 * row.area.value())
}

/// Current density of our rule for hook-up wire, A/mm² (our guideline; 44 to 68 % of IEC 60204-1 table 6).
const HOOK_UP_DENSITY: f64 = 5.0;
/// Surroundings that the rule assumes, °C.
const RULE_SURROUNDINGS: f64 = 30.0;

/// Factors for loaded circuits bunched in air or on a surface, IEC 60364-5-52 table B.52.17 (from memory).
const BUNCHING: [(usize, f64); 12] = [
    (1, 1.00),
    (2, 0.80),
    (3, 0.70),
    (4, 0.65),
    (5, 0.60),
    (6, 0.57),
    (7, 0.54),
    (8, 0.52),
    (9, 0.50),
    (12, 0.45),
    (16, 0.41),
    (20, 0.38),
];

/// The factor for `circuits` loaded pairs in one bundle: the row reached or the next larger one.
fn bunching_factor(circuits: usize) -> f64 {
    BUNCHING.iter().find(|(count, _)| *count >= circuits).map_or(0.38, |(_, factor)| *factor)
}

/// √((T_wire − T_box)/(T_wire − 30 °C)): heat a wire may still give off in a warm box; 0 when the box is hotter
/// than the insulation, never above 1. Steady heat goes with I², the balance with the temperature difference.
fn warm_box_factor(insulation: Temperature, inside: Temperature) -> f64 {
    let (limit, here) = (insulation.celsius(), inside.celsius());
    if here >= limit || limit <= RULE_SURROUNDINGS {
        return 0.0;
    }
    libm::sqrt((limit - here) / (limit - RULE_SURROUNDINGS)).min(1.0)
}

/// A wire inside the lamp.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HookUp {
    /// Cross-section.
    pub area: SquareMetres,
    /// What its insulation stands, T_wire: PVC 70 °C, or 90 and 105; silicone rubber 180.
    pub insulation: Temperature,
    /// Temperature where it lies, T_box.
    pub inside: Temperature,
    /// Loaded circuits bundled with it, itself included.
    pub circuits: usize,
}

/// Allowed current of a hook-up wire: 5 A/mm² · A, never above the cord of its size, times the factors for a warm
/// box and for bunching (our guideline, conservative on purpose).
pub fn hook_up_current(wire: HookUp) -> Amperes {
    let by_density = Amperes::si(HOOK_UP_DENSITY * wire.area.value() * 1e6);
    let by_cord = cord_current(Region::Eu, wire.area).map_or(by_density, |row| row.current);
    by_density.min(by_cord) * warm_box_factor(wire.insulation, wire.inside) * bunching_factor(wire.circuits)
}

/// What a wire is for, as IEC 60598-1 tells its sizes apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Duty {
    /// Supply cord of an ordinary lamp (indoors, dry).
    OrdinaryCord,
    /// Supply cord of a lamp with protection against moisture or for outdoors.
    OtherCord,
    /// Inside, tied to the mains with nothing that limits its current.
    InternalMains,
    /// Portable lamp cord in the US.
    AmericanCord,
}

/// Least size of a wire.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeastSection {
    /// Least cross-section.
    pub area: SquareMetres,
    /// Where it stands.
    pub source: &'static str,
    /// Whether any of it is from memory.
    pub from_memory: bool,
}

/// The least cross-section for a duty.
pub fn least_section(duty: Duty) -> LeastSection {
    let row = |area, source, from_memory| LeastSection { area, source, from_memory };
    match duty {
        Duty::OrdinaryCord => row(mm2(0.75), "IEC 60598-1, 5.2.2", false),
        Duty::OtherCord => row(mm2(1.0), "IEC 60598-1, 5.2.2", false),
        Duty::InternalMains => row(mm2(0.5), "IEC 60598-1, 5.3.1.1; area from memory", true),
        Duty::AmericanCord => row(awg::area(18.0), "UL 153 and NEC article 400, 18 AWG", false),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const COOL: Temperature = Temperature::from_celsius(25.0);
    const PVC: Temperature = Temperature::from_celsius(70.0);

    #[test]
    fn hook_up_wire_follows_five_amperes_per_square_millimetre() {
        // mm² -> A, the guideline itself.
        for (area, amperes) in [(0.14, 0.7), (0.22, 1.1), (0.34, 1.7), (0.5, 2.5), (0.75, 3.75), (1.5, 7.5)] {
            let wire = HookUp { area: mm2(area), insulation: PVC, inside: COOL, circuits: 1 };
            assert!((hook_up_current(wire).value() - amperes).abs() < 1e-12, "{area}");
        }
    }

    #[test]
    fn heat_and_company_take_current_away() {
        let wire = HookUp { area: mm2(0.5), insulation: PVC, inside: Temperature::from_celsius(60.0), circuits: 4 };
        // √(10/40) · 0.65 · 2.5 A.
        assert!((hook_up_current(wire).value() - 0.8125).abs() < 1e-12);
        assert_eq!(warm_box_factor(PVC, PVC), 0.0);
        assert_eq!(bunching_factor(40), 0.38);
        assert_eq!(bunching_factor(10), 0.45);
    }

    #[test]
    fn a_cord_between_two_sizes_counts_as_the_smaller() {
        assert_eq!(cord_current(Region::Eu, mm2(0.823)).map(|r| r.current.value()), Some(6.0));
        assert_eq!(cord_current(Region::Us, mm2(0.823)).map(|r| r.current.value()), Some(10.0));
        assert_eq!(cord_current(Region::Us, mm2(0.75)), None);
        assert_eq!(cord_current(Region::Uk, mm2(0.34)), None);
    }

    #[test]
    fn american_areas_are_those_of_the_gauge_law() {
        for row in AMERICAN {
            let gauge: f64 = row.size.trim_end_matches(" AWG").parse().unwrap();
            assert!((awg::area(gauge) / row.area - 1.0).abs() < 1e-4, "{}", row.size);
        }
    }
}
