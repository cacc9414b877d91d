//! Tristimulus values and chromaticity: x, y and the even-handed u', v' in which distances are taken.
//! Turns what the eye sums up into points of a plane.

use crate::quantity::Lumens;

/// X, Y, Z scaled so that Y is luminous flux.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tristimulus {
    /// X.
    pub x: Lumens,
    /// Y, the luminous flux.
    pub y: Lumens,
    /// Z.
    pub z: Lumens,
}

impl Tristimulus {
    /// Nothing.
    pub const ZERO: Self = Self { x: Lumens::ZERO, y: Lumens::ZERO, z: Lumens::ZERO };

    pub(crate) const fn new(x: f64, y: f64, z: f64) -> Self {
        Self { x: Lumens::si(x), y: Lumens::si(y), z: Lumens::si(z) }
    }

    /// Light of this chromaticity and flux: X = x/y Φ, Z = (1 − x − y)/y Φ; nothing where y is no more than zero.
    pub fn of(at: Chromaticity, flux: Lumens) -> Self {
        if at.y <= 0.0 {
            return Self::ZERO;
        }
        Self { x: flux * (at.x / at.y), y: flux, z: flux * ((1.0 - at.x - at.y) / at.y) }
    }

    /// X + Y + Z.
    pub fn sum(&self) -> f64 {
        self.x.value() + self.y.value() + self.z.value()
    }

    /// All three times a share.
    #[must_use]
    pub fn times(&self, share: f64) -> Self {
        Self { x: self.x * share, y: self.y * share, z: self.z * share }
    }

    /// Both lights together.
    #[must_use]
    pub fn plus(&self, other: &Self) -> Self {
        Self { x: self.x + other.x, y: self.y + other.y, z: self.z + other.z }
    }

    /// x = X/(X + Y + Z), y likewise; `None` for darkness.
    pub fn chromaticity(&self) -> Option<Chromaticity> {
        let sum = self.sum();
        (sum > 0.0).then(|| Chromaticity { x: self.x.value() / sum, y: self.y.value() / sum })
    }
}

/// CIE 1931 x, y.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Chromaticity {
    /// x.
    pub x: f64,
    /// y.
    pub y: f64,
}

/// CIE 1976 u', v': equal distances look roughly equal.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Uniform {
    /// u'.
    pub u: f64,
    /// v'.
    pub v: f64,
}

/// Equal energy, the white from which dominant wavelengths of dice are counted (CIE 15).
pub const EQUAL_ENERGY: Chromaticity = Chromaticity { x: 1.0 / 3.0, y: 1.0 / 3.0 };
/// One step of the circles that lamps are sorted by, in u'v' (CIE TN 001:2014, from memory).
pub const STEP: f64 = 0.0011;
/// Seven steps: plainly another colour.
pub const PLAINLY_SEEN: f64 = 7.0 * STEP;

impl Chromaticity {
    /// u' = 4x/(−2x + 12y + 3), v' = 9y/(−2x + 12y + 3). Source: CIE 15.
    pub fn uniform(&self) -> Uniform {
        let d = -2.0 * self.x + 12.0 * self.y + 3.0;
        Uniform { u: 4.0 * self.x / d, v: 9.0 * self.y / d }
    }

    /// Distance in u'v'.
    pub fn distance(&self, other: Self) -> f64 {
        self.uniform().distance(other.uniform())
    }
}

impl Uniform {
    /// x = 9u'/(6u' − 16v' + 12), y = 4v'/(6u' − 16v' + 12). Source: CIE 15.
    pub fn chromaticity(&self) -> Chromaticity {
        let d = 6.0 * self.u - 16.0 * self.v + 12.0;
        Chromaticity { x: 9.0 * self.u / d, y: 4.0 * self.v / d }
    }

    /// Straight distance.
    pub fn distance(&self, other: Self) -> f64 {
        libm::hypot(self.u - other.u, self.v - other.v)
    }

    /// v of the CIE 1960 diagram, 2v'/3; its u is u'. Only colour temperatures are taken there.
    pub(crate) fn v_1960(&self) -> f64 {
        self.v * 2.0 / 3.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn planes_turn_into_each_other() {
        for (x, y) in [(0.3127, 0.3290), (0.7, 0.29), (0.15, 0.02), (0.2, 0.7)] {
            let back = Chromaticity { x, y }.uniform().chromaticity();
            assert!((back.x - x).abs() < 1e-14 && (back.y - y).abs() < 1e-14);
        }
    }

    #[test]
    fn a_flux_and_a_point_give_its_light_back() {
        let at = Chromaticity { x: 0.45, y: 0.41 };
        let light = Tristimulus::of(at, Lumens::si(80.0));
        let back = light.chromaticity().unwrap();
        assert!((back.x - at.x).abs() < 1e-15 && (back.y - at.y).abs() < 1e-15 && light.y == Lumens::si(80.0));
        assert_eq!(Tristimulus::ZERO.chromaticity(), None);
    }
}
