//! Surfaces to the heat they radiate: the law of Stefan and Boltzmann, view factors, and the channel between fins.

use crate::quantity::{Metres, SquareMetres};

/// σ, W/(m²·K⁴) (CODATA 2018).
pub const STEFAN_BOLTZMANN: f64 = 5.670_374_419e-8;

pub(super) fn fourth(t: f64) -> f64 {
    t * t * t * t
}

/// View factor between two equal parallel rectangles a × b at distance c (Incropera, table 13.2).
pub fn parallel(a: Metres, b: Metres, c: Metres) -> f64 {
    let (x, y) = (a / c, b / c);
    let (x2, y2) = (x * x, y * y);
    let log = 0.5 * libm::log((1.0 + x2) * (1.0 + y2) / (1.0 + x2 + y2));
    let (wx, wy) = ((1.0 + x2).sqrt(), (1.0 + y2).sqrt());
    let arcs = x * wy * libm::atan(x / wy) + y * wx * libm::atan(y / wx) - x * libm::atan(x) - y * libm::atan(y);
    2.0 / (std::f64::consts::PI * x * y) * (log + arcs)
}

/// View factor from a rectangle `from` × `edge` to one of `to` × `edge` at right angles on the common `edge`
/// (Incropera, table 13.2).
pub fn perpendicular(edge: Metres, from: Metres, to: Metres) -> f64 {
    let (h, w) = (to / edge, from / edge);
    let (h2, w2) = (h * h, w * w);
    let both = (h2 + w2).sqrt();
    let arcs = w * libm::atan(1.0 / w) + h * libm::atan(1.0 / h) - both * libm::atan(1.0 / both);
    let a = (1.0 + w2) * (1.0 + h2) / (1.0 + w2 + h2);
    let b = w2 * (1.0 + w2 + h2) / ((1.0 + w2) * (w2 + h2));
    let c = h2 * (1.0 + h2 + w2) / ((1.0 + h2) * (h2 + w2));
    (arcs + 0.25 * (libm::log(a) + w2 * libm::log(b) + h2 * libm::log(c))) / (std::f64::consts::PI * w)
}

/// A channel between two fins: gap S, fin height H, length L.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Channel {
    /// S.
    pub gap: Metres,
    /// H.
    pub height: Metres,
    /// L.
    pub length: Metres,
}

impl Channel {
    /// Its two walls and its floor: L (2H + S).
    pub fn area(&self) -> SquareMetres {
        self.length * (self.height * 2.0 + self.gap)
    }

    /// Mean view factor of walls and floor to the outside, exact, by reciprocity with its three openings:
    /// F = {S L + 2 S H − 4 S L F⊥ − 2 S H F∥}/A (derived by us; Monte Carlo agrees).
    pub fn view(&self) -> f64 {
        let (s, h, l) = (self.gap.value(), self.height.value(), self.length.value());
        let top_to_end = perpendicular(self.gap, self.length, self.height);
        let end_to_end = parallel(self.gap, self.height, self.length);
        let out = s * l + 2.0 * s * h - 4.0 * s * l * top_to_end - 2.0 * s * h * end_to_end;
        out / self.area().value()
    }

    /// ε·A of the channel: 1/[(1 − ε)/(ε A) + 1/(A F)], its grey walls taken as one (within 0.6 % of three).
    pub fn effective(&self, emissivity: f64) -> SquareMetres {
        let a = self.area().value();
        SquareMetres::si(1.0 / ((1.0 - emissivity) / (emissivity * a) + 1.0 / (a * self.view())))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn printed_view_factors() {
        let one = Metres::si(1.0);
        assert!((parallel(one, one, one) - 0.1998).abs() < 5e-5);
        assert!((perpendicular(one, one, one) - 0.2000).abs() < 1e-4);
    }

    #[test]
    fn a_wide_shallow_channel_sees_the_room() {
        let flat = Channel { gap: Metres::si(0.1), height: Metres::si(1e-4), length: Metres::si(0.1) };
        assert!((flat.view() - 1.0).abs() < 0.01);
        let deep = Channel { gap: Metres::si(0.002), height: Metres::si(0.05), length: Metres::si(0.1) };
        assert!(deep.view() < 0.05);
        assert!(deep.effective(0.9) < deep.area() * 0.05);
    }
}
