//! Fins to their efficiency: straight, pin and annular, and the modified Bessel functions that the last one needs.

use std::f64::consts::PI;

use crate::quantity::{Metres, WattsPerMetreKelvin, WattsPerSquareMetreKelvin};

/// tanh(x)/x, 1 where x is nothing.
fn fin(x: f64) -> f64 {
    if x < 1e-9 { 1.0 } else { libm::tanh(x) / x }
}

/// η of a straight fin of even thickness t: m = √(2h/(k t)), L_c = L + t/2, η = tanh(m L_c)/(m L_c)
/// (Incropera, ch. 3).
pub fn straight(
    h: WattsPerSquareMetreKelvin,
    conductivity: WattsPerMetreKelvin,
    thickness: Metres,
    length: Metres,
) -> f64 {
    let m = (2.0 * h.value() / (conductivity.value() * thickness.value())).sqrt();
    fin(m * (length.value() + 0.5 * thickness.value()))
}

/// η of a round pin of diameter d: m = √(4h/(k d)), L_c = L + d/4 (Incropera, ch. 3).
pub fn pin(h: WattsPerSquareMetreKelvin, conductivity: WattsPerMetreKelvin, diameter: Metres, length: Metres) -> f64 {
    let m = (4.0 * h.value() / (conductivity.value() * diameter.value())).sqrt();
    fin(m * (length.value() + 0.25 * diameter.value()))
}

/// η of an annular fin from radius r1 to r2, with r2c = r2 + t/2 (Incropera, ch. 3).
pub fn annular(
    h: WattsPerSquareMetreKelvin,
    conductivity: WattsPerMetreKelvin,
    thickness: Metres,
    inner: Metres,
    outer: Metres,
) -> f64 {
    let m = (2.0 * h.value() / (conductivity.value() * thickness.value())).sqrt();
    let (r1, r2) = (inner.value(), outer.value() + 0.5 * thickness.value());
    let (a, b) = (m * r1, m * r2);
    let top = bessel_k(1, a) * bessel_i(1, b) - bessel_i(1, a) * bessel_k(1, b);
    let bottom = bessel_i(0, a) * bessel_k(1, b) + bessel_k(0, a) * bessel_i(1, b);
    2.0 * r1 / (m * (r2 * r2 - r1 * r1)) * top / bottom
}

/// I_n(x) = (1/π)∫₀^π e^(x cos θ) cos(nθ) dθ, by the trapezoid rule, which is exact to rounding here; 0 < x < 30.
pub fn bessel_i(order: u32, x: f64) -> f64 {
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
pub fn bessel_k(order: u32, x: f64) -> f64 {
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
    fn a_narrow_ring_is_a_straight_fin() {
        let (h, k) = (WattsPerSquareMetreKelvin::si(20.0), WattsPerMetreKelvin::si(180.0));
        let m = Metres::si;
        let ring = annular(h, k, m(1e-3), m(2.0), m(2.02));
        assert!((ring - straight(h, k, m(1e-3), m(0.02))).abs() < 1e-3);
        assert!((straight(h, k, m(1e-3), m(0.0)) - 1.0).abs() < 1e-3);
    }
}
