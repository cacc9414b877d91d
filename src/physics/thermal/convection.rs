//! Rayleigh and Prandtl number to the Nusselt number of free convection, each law with its range and source as data.
//! Face-up plates differ by 15 to 35 % between handbooks; every law here is good for 15 to 25 %.

/// Laws of free convection.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Law {
    /// Upright plate, laminar; length: its height.
    UprightLaminar,
    /// Warm face up or cold face down, smooth over all ranges; length: area by perimeter.
    FaceUp,
    /// Warm face down or cold face up; length: area by perimeter.
    FaceDown,
    /// Lying cylinder; length: its diameter.
    LyingCylinder,
    /// Sphere; length: its diameter.
    Sphere,
    /// Any compact convex body; length: the square root of its whole surface.
    Body,
    /// Channel between upright parallel plates; length: the gap, and Ra is Elenbaas' number Ra·S/L.
    Channel,
    /// Fins on a lying base, pointing up; length: the gap.
    FinsUp,
}

/// What a law holds for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Validity {
    /// The body, in words.
    pub body: &'static str,
    /// Lowest and highest Rayleigh number it was made for.
    pub rayleigh: (f64, f64),
    /// Whose it is.
    pub source: &'static str,
}

const fn holds(body: &'static str, low: f64, high: f64, source: &'static str) -> Validity {
    Validity { body, rayleigh: (low, high), source }
}

impl Law {
    /// Range and source.
    pub const fn validity(self) -> Validity {
        const HANDBOOK: &str = "Raithby and Hollands, Handbook of Heat Transfer, ch. 4; from memory";
        match self {
            Self::UprightLaminar => holds("upright plate, laminar", 0.0, 1e9, "Churchill and Chu 1975"),
            Self::FaceUp => holds("warm face up", 0.0, 1e11, HANDBOOK),
            Self::FaceDown => holds("warm face down", 1e3, 1e10, HANDBOOK),
            Self::LyingCylinder => holds("lying cylinder", 1e-5, 1e12, "Churchill and Chu 1975"),
            Self::Sphere => holds("sphere", 0.0, 1e11, "Churchill 1983"),
            Self::Body => holds("compact body", 0.0, 1e8, "Yovanovich and Jafarpur; from memory"),
            Self::Channel => holds("upright channel", 0.0, f64::INFINITY, "Bar-Cohen and Rohsenow 1984"),
            Self::FinsUp => holds("fins pointing up", 2e2, 6e5, "Jones and Smith 1970; from memory"),
        }
    }

    /// Whether this Rayleigh number lies in the law's range.
    pub fn covers(self, rayleigh: f64) -> bool {
        let (low, high) = self.validity().rayleigh;
        (low..=high).contains(&rayleigh)
    }

    /// Nu at this Rayleigh number (Elenbaas' number for a channel) and Prandtl number.
    pub fn nusselt(self, rayleigh: f64, prandtl: f64) -> f64 {
        let ra = rayleigh.max(1e-12);
        match self {
            Self::UprightLaminar => 0.68 + 0.670 * root4(ra) / laminar(0.492, prandtl),
            Self::FaceUp => face_up(ra, prandtl),
            Self::FaceDown => face_down(ra, prandtl),
            Self::LyingCylinder => square(0.60 + 0.387 * power(ra, 1.0 / 6.0) / turbulent(0.559, prandtl)),
            Self::Sphere => 2.0 + 0.589 * root4(ra) / laminar(0.469, prandtl),
            Self::Body => 3.47 + 0.670 * root4(ra) / laminar(0.5, prandtl),
            // Both walls equally warm: C1 = 576, C2 = 2.87.
            Self::Channel => 1.0 / (576.0 / (ra * ra) + 2.87 / ra.sqrt()).sqrt(),
            Self::FinsUp => {
                let rest = -libm::expm1(-libm::pow(7460.0 / ra, 0.44));
                6.7e-4 * ra * libm::pow(rest, 1.7)
            }
        }
    }
}

fn square(x: f64) -> f64 {
    x * x
}

fn root4(x: f64) -> f64 {
    x.sqrt().sqrt()
}

/// x^p of a positive number: a digit or two coarser than the library's power and three times as quick, where the solver
/// asks ten thousand times a lamp.
fn power(x: f64, p: f64) -> f64 {
    libm::exp(p * libm::log(x))
}

/// 1 + (c/Pr)^(9/16), the form that all these laws share.
fn blend(c: f64, prandtl: f64) -> f64 {
    1.0 + power(c / prandtl, 9.0 / 16.0)
}

/// [1 + (c/Pr)^(9/16)]^(4/9).
fn laminar(c: f64, prandtl: f64) -> f64 {
    power(blend(c, prandtl), 4.0 / 9.0)
}

/// [1 + (c/Pr)^(9/16)]^(8/27).
fn turbulent(c: f64, prandtl: f64) -> f64 {
    power(blend(c, prandtl), 8.0 / 27.0)
}

/// Laminar and turbulent part blended: Nu = (Nu_l^10 + Nu_t^10)^(1/10).
fn face_up(ra: f64, prandtl: f64) -> f64 {
    let thin = 0.835 * 0.671 / laminar(0.492, prandtl) * root4(ra);
    let low = 1.4 / libm::log1p(1.4 / thin);
    let high = 0.14 * (1.0 + 0.0107 * prandtl) / (1.0 + 0.01 * prandtl) * power(ra, 1.0 / 3.0);
    let (low, high) = if low < high { (low, high) } else { (high, low) };
    let share = square(square(low / high)) * square(square(low / high)) * square(low / high);
    high * power(1.0 + share, 0.1)
}

fn face_down(ra: f64, prandtl: f64) -> f64 {
    let thin = 0.527 * power(ra, 0.2) / power(1.0 + power(1.9 / prandtl, 0.9), 2.0 / 9.0);
    2.5 / libm::log1p(2.5 / thin)
}

/// How much better an upright cylinder is than a plate of its height (Popiel, Wojtkowiak and Bober 2007,
/// 0.01 < Pr < 100): 1 + B [√32 Gr^(−1/4) L/D]^C with L/D its slenderness.
pub fn curvature(rayleigh: f64, prandtl: f64, slenderness: f64) -> f64 {
    let grashof = (rayleigh / prandtl).max(1e-12);
    let b = 0.057_132_2 + 0.203_05 * libm::pow(prandtl, -0.43);
    let c = 0.9165 - 0.0043 * prandtl.sqrt() + 0.013_33 * libm::log(prandtl) + 0.000_480_9 / prandtl;
    1.0 + b * libm::pow(32f64.sqrt() * slenderness / root4(grashof), c)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_warmer_body_never_gives_less() {
        for law in [Law::UprightLaminar, Law::FaceUp, Law::FaceDown, Law::Sphere, Law::Body, Law::Channel] {
            let all: Vec<f64> = (-12..11).map(|e| law.nusselt(libm::pow(10.0, f64::from(e)), 0.71)).collect();
            assert!(all.windows(2).all(|two| two[1] >= two[0]), "{law:?} {all:?}");
            assert!(all.iter().all(|nu| nu.is_finite() && *nu > 0.0));
        }
    }

    #[test]
    fn quick_powers_are_powers() {
        for e in -120..130 {
            let x = libm::pow(10.0, f64::from(e) / 10.0) * 1.37;
            for p in [0.2, 1.0 / 3.0, 4.0 / 9.0, 0.9] {
                assert!((power(x, p) / libm::pow(x, p) - 1.0).abs() < 1e-14, "{x} to the {p}");
            }
        }
    }

    #[test]
    fn ranges_are_data() {
        assert!(Law::UprightLaminar.covers(1e9) && !Law::UprightLaminar.covers(1.1e9));
        assert!(!Law::FaceDown.covers(500.0) && Law::FinsUp.covers(2e2));
        assert!(Law::Body.validity().source.contains("from memory"));
    }
}
