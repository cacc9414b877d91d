//! Heat from a small source to resistances: of the layer below it, and of spreading into thick bases and thin sheets.

use std::f64::consts::PI;

use crate::quantity::{KelvinPerWatt, Metres, SquareMetres, WattsPerMetreKelvin, WattsPerSquareMetreKelvin};

/// R = t/(k A): a layer between two faces, such as tape or paste.
pub fn layer_resistance(thickness: Metres, conductivity: WattsPerMetreKelvin, area: SquareMetres) -> KelvinPerWatt {
    let conductance = conductivity * (area / thickness);
    KelvinPerWatt::si(1.0 / conductance.value())
}

/// A source on a plate; both are taken as discs of their area.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Area of the source.
    pub source: SquareMetres,
    /// Area of the plate.
    pub plate: SquareMetres,
    /// Thickness of the plate.
    pub thickness: Metres,
    /// k of the plate.
    pub conductivity: WattsPerMetreKelvin,
    /// h per area of the plate, all that it gives off.
    pub transfer: WattsPerSquareMetreKelvin,
}

/// Spreading resistance of a thick plate, to the hottest point of the source; its rear gives off heat evenly (Lee, Song, Au and Moran 1995; from memory, within 7 % of the exact series):
/// λ = π + 1/(√π ε), φ = [tanh(λτ) + λ/Bi]/[1 + (λ/Bi) tanh(λτ)], R_max = (1 − ε)φ/(π k a).
pub fn thick(spread: &Spread) -> KelvinPerWatt {
    let (a, b) = radii(spread);
    let (k, h) = (spread.conductivity.value(), spread.transfer.value());
    let epsilon = (a / b).min(1.0);
    let (tau, biot) = (spread.thickness.value() / b, h * b / k);
    let lambda = PI + 1.0 / (PI.sqrt() * epsilon);
    let tanh = libm::tanh(lambda * tau);
    // Multiplied out by Bi, so that a plate that gives off nothing has its limit and not 0/0.
    let phi = (biot * tanh + lambda) / (biot + lambda * tanh);
    KelvinPerWatt::si((1.0 - epsilon) * phi / (PI * k * a))
}

/// Spreading resistance of a thin sheet: what lies between its middle and the surroundings above that of a sheet at one
/// temperature. A disc of source on a disc of sheet as an annular fin, for sheets thinner than about a third of the
/// source's radius (derived by us from the fin equation); `transfer` counts both faces together.
pub fn thin(spread: &Spread) -> KelvinPerWatt {
    let (a, b) = radii(spread);
    let (k, h, t) = (spread.conductivity.value(), spread.transfer.value(), spread.thickness.value());
    let even = 1.0 / (h * PI * b * b);
    if a >= b {
        return KelvinPerWatt::ZERO;
    }
    let m = (h / (k * t)).sqrt();
    // Beyond m b of 25 the rim is as cold as the surroundings and the rest of the sheet does nothing.
    let (x, y) = ((m * a).min(25.0), (m * b).min(25.0));
    let top = bessel_i(0, x) * bessel_k(1, y) + bessel_k(0, x) * bessel_i(1, y);
    let bottom = 2.0 * PI * k * t * x * (bessel_k(1, x) * bessel_i(1, y) - bessel_i(1, x) * bessel_k(1, y));
    let total = 1.0 / (bottom / top + h * PI * a * a);
    KelvinPerWatt::si(total - even)
}

fn radii(spread: &Spread) -> (f64, f64) {
    ((spread.source.value() / PI).sqrt(), (spread.plate.value() / PI).sqrt())
}

/// I_n(x) = (1/π)∫₀^π e^(x cos θ) cos(nθ) dθ, by the trapezoid rule, which is exact to rounding here; 0 < x < 30.
fn bessel_i(order: u32, x: f64) -> f64 {
    const STEPS: u32 = 64;
    let n = f64::from(order);
    let value = |k: u32| {
        let theta = PI * f64::from(k) / f64::from(STEPS);
        libm::exp(x * libm::cos(theta)) * libm::cos(n * theta)
    };
    let inner: f64 = (1..STEPS).map(value).sum();
    (0.5 * (value(0) + value(STEPS)) + inner) / f64::from(STEPS)
}

/// K_n(x) = ∫₀^∞ e^(−x cosh t) cosh(nt) dt, by the trapezoid rule; x > 10⁻⁴.
fn bessel_k(order: u32, x: f64) -> f64 {
    const STEP: f64 = 1.0 / 32.0;
    let n = f64::from(order);
    let value = |t: f64| libm::exp(-x * libm::cosh(t)) * libm::cosh(n * t);
    let mut sum = 0.5 * value(0.0);
    let mut k = 1.0;
    loop {
        let part = value(k * STEP);
        sum += part;
        k += 1.0;
        // The integrand has died away; cosh makes it do so before t = 16 for any x in range.
        if part < 1e-17 * sum || k > 1024.0 {
            return sum * STEP;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bessel_functions_by_table() {
        // Abramowitz and Stegun, table 9.8.
        for (found, printed) in [
            (bessel_i(0, 1.0), 1.266_065_877_752),
            (bessel_i(1, 1.0), 0.565_159_103_992),
            (bessel_i(0, 5.0), 27.239_871_823_604),
            (bessel_k(0, 1.0), 0.421_024_438_241),
            (bessel_k(1, 1.0), 0.601_907_230_197),
            (bessel_k(0, 0.1), 2.427_069_024_702),
            (bessel_k(1, 5.0), 0.004_044_613_445),
        ] {
            assert!((found / printed - 1.0).abs() < 2e-10, "{found} {printed}");
        }
        // The Wronskian: I0 K1 + I1 K0 = 1/x.
        for x in [1e-3, 0.3, 2.0, 9.0] {
            let sum = bessel_i(0, x) * bessel_k(1, x) + bessel_i(1, x) * bessel_k(0, x);
            assert!((sum * x - 1.0).abs() < 1e-12, "{x}");
        }
    }

    #[test]
    fn tape_under_a_star() {
        // 0.15 mm at 0.8 W/(m·K) on 20 x 20 mm: 0.46875 K/W.
        let r = layer_resistance(Metres::si(0.15e-3), WattsPerMetreKelvin::si(0.8), SquareMetres::si(4e-4));
        assert!((r.value() - 0.46875).abs() < 1e-12);
    }

    fn disc(a: f64, b: f64, t: f64, k: f64, h: f64) -> Spread {
        Spread {
            source: SquareMetres::si(PI * a * a),
            plate: SquareMetres::si(PI * b * b),
            thickness: Metres::si(t),
            conductivity: WattsPerMetreKelvin::si(k),
            transfer: WattsPerSquareMetreKelvin::si(h),
        }
    }

    #[test]
    fn thin_sheets_against_a_boundary_value_solver() {
        // Solved as a two-point boundary value problem by an independent script.
        for (spread, excess) in
            [(disc(0.0178, 0.138, 2e-3, 200.0, 7.0), 0.51553), (disc(0.0113, 0.06, 1e-3, 50.0, 8.0), 2.95429)]
        {
            let found = thin(&spread);
            assert!((found.value() - excess).abs() < 1e-4, "{found:?}");
        }
    }

    #[test]
    fn a_plate_that_gives_off_nothing_has_a_resistance() {
        let at = |h| thick(&disc(0.01, 0.03, 3e-3, 200.0, h)).value();
        assert!((at(0.0) / at(1e-6) - 1.0).abs() < 1e-6, "{}", at(0.0));
    }

    #[test]
    fn a_source_as_large_as_its_plate_need_not_spread() {
        let even = disc(0.03, 0.03, 3e-3, 200.0, 500.0);
        assert_eq!(thick(&even), KelvinPerWatt::ZERO);
        assert_eq!(thin(&even), KelvinPerWatt::ZERO);
    }
}
