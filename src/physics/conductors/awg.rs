//! American wire gauge by the law of ASTM B258, both ways, and the even size that is not smaller than an area.
//! Gauge numbers are whole; 0 is 1/0 and negative numbers the larger sizes.

use std::f64::consts::PI;

use crate::quantity::{Metres, SquareMetres};

/// Diameter of gauge 36, 0.005 inch in metres (ASTM B258).
const GAUGE_36: f64 = 0.127e-3;
/// Ratio of diameters over 39 steps (ASTM B258: 0.46 inch to 0.005 inch).
const RATIO: f64 = 92.0;
/// A gauge this close to a whole number is that number: areas are quoted to four figures.
const WHOLE: f64 = 1e-3;

/// d = 0.127 mm · 92^((36 − n)/39), ASTM B258.
pub fn diameter(gauge: f64) -> Metres {
    Metres::si(GAUGE_36 * libm::pow(RATIO, (36.0 - gauge) / 39.0))
}

/// A = π d²/4 of a solid wire.
pub fn area(gauge: f64) -> SquareMetres {
    let d = diameter(gauge).value();
    SquareMetres::si(PI * d * d / 4.0)
}

/// n = 36 − 39 ln(√(4A/π)/0.127 mm)/ln 92, generally not whole. Valid for A > 0.
pub fn gauge_of(area: SquareMetres) -> f64 {
    let d = libm::sqrt(4.0 * area.value() / PI);
    36.0 - 39.0 * libm::log(d / GAUGE_36) / libm::log(RATIO)
}

/// The thinnest even gauge that is not smaller than `area`: it may protect somebody, and the odd ones are hard to buy.
pub fn not_smaller_even(area: SquareMetres) -> i32 {
    2 * libm::floor((gauge_of(area) + WHOLE) / 2.0) as i32
}

/// As written on a reel: `18 AWG`, `1/0 AWG`, `2/0 AWG`.
pub fn name(gauge: i32) -> String {
    if gauge > 0 { format!("{gauge} AWG") } else { format!("{}/0 AWG", 1 - gauge) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_defining_sizes_come_back() {
        // ASTM B258: gauge 36 is 0.005 inch, gauge 4/0 is 0.46 inch.
        assert!((diameter(36.0).value() - 0.005 * 0.0254).abs() < 1e-15);
        assert!((diameter(-3.0).value() - 0.46 * 0.0254).abs() < 1e-12);
    }

    #[test]
    fn an_even_gauge_is_its_own_not_smaller() {
        for gauge in -3..=40 {
            let size = area(f64::from(gauge));
            assert_eq!(not_smaller_even(size), if gauge % 2 == 0 { gauge } else { gauge - 1 });
            assert!((gauge_of(size) - f64::from(gauge)).abs() < 1e-10);
        }
    }

    #[test]
    fn a_rounded_area_still_means_its_gauge() {
        assert_eq!(not_smaller_even(SquareMetres::si(0.823e-6)), 18);
        assert_eq!(not_smaller_even(SquareMetres::si(0.83e-6)), 16);
    }

    #[test]
    fn names_follow_the_reel() {
        assert_eq!(name(18), "18 AWG");
        assert_eq!(name(0), "1/0 AWG");
        assert_eq!(name(-3), "4/0 AWG");
    }
}
