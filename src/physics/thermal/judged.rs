//! Calculated temperatures to those that are held against limits, with the margin that the correlations need; and the
//! searches that turn a limit into a current, a room, a sink or an opening.

use crate::quantity::Temperature;

/// What a temperature is of; inside, more correlations stand one behind the other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Where {
    /// Shell, front, a sink in the room.
    Exposed,
    /// A sink, the air or a supply inside.
    Inside,
}

/// Factor on the rise over the room for parts that stand in it (our margin, from a table of varied lamps).
const EXPOSED: f64 = 1.15;
/// The same for parts inside (our margin).
const INSIDE: f64 = 1.20;

impl Where {
    /// Its factor.
    pub const fn factor(self) -> f64 {
        match self {
            Self::Exposed => EXPOSED,
            Self::Inside => INSIDE,
        }
    }
}

/// T̂ = T_room + f (T − T_room): what a limit is compared with. A part colder than the room stays as it is.
pub fn judged(calculated: Temperature, room: Temperature, place: Where) -> Temperature {
    let rise = calculated - room;
    if rise.value() <= 0.0 { calculated } else { room + rise * place.factor() }
}

/// A value this near to nothing is the crossing itself.
const MET: f64 = 1e-4;

/// Where a function that rises through nothing does so, within `tolerance`: regula falsi with halving (Illinois).
/// `None` where both ends lie on one side.
pub fn crossing(low: f64, high: f64, tolerance: f64, mut rises: impl FnMut(f64) -> f64) -> Option<f64> {
    let (mut a, mut b) = (low, high);
    let (mut fa, mut fb) = (rises(a), rises(b));
    if fa > 0.0 || fb < 0.0 {
        return None;
    }
    let mut side = 0;
    for _ in 0..60 {
        if b - a <= tolerance {
            break;
        }
        let weighed = (a * fb - b * fa) / (fb - fa);
        let x = if weighed > a && weighed < b { weighed } else { 0.5 * (a + b) };
        let f = rises(x);
        if f.abs() < MET {
            return Some(x);
        }
        if f > 0.0 {
            (b, fb) = (x, f);
            fa = if side == 1 { fa * 0.5 } else { fa };
            side = 1;
        } else {
            (a, fa) = (x, f);
            fb = if side == -1 { fb * 0.5 } else { fb };
            side = -1;
        }
    }
    Some(0.5 * (a + b))
}

/// What is known of a rising function before a search: a point, its value, and about how steeply it rises there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Known {
    /// The point.
    pub at: f64,
    /// The value.
    pub value: f64,
    /// The slope, above nothing; a guess will do.
    pub slope: f64,
}

/// A value this near to nothing ends the search; one more secant, without a look, then gives the point.
const ENOUGH: f64 = 0.02;

/// The largest argument in `range` at which a rising function is not yet above nothing: the end where it never is, `None`
/// where it is from the start. From a known point on it takes three or four looks where the function is nearly straight:
/// secants, halved where they would leave what is already known to hold the crossing.
pub fn most_near(known: Known, range: (f64, f64), tolerance: f64, mut rises: impl FnMut(f64) -> f64) -> Option<f64> {
    let (low, high) = range;
    let Known { at: mut x, value: mut f, mut slope } = known;
    let (mut under, mut over) = (low, high);
    let (mut beneath, mut above) = (false, false);
    let (mut width, mut idle) = (f64::INFINITY, 0);
    for _ in 0..100 {
        if f > 0.0 {
            (over, above) = (over.min(x), true);
        } else {
            (under, beneath) = (under.max(x), true);
        }
        idle = if over - under <= 0.51 * width { 0 } else { idle + 1 };
        width = width.min(over - under);
        let secant = x - f / slope;
        let next = match secant {
            _ if beneath && above && idle > 2 => 0.5 * (under + over),
            s if s >= over && above => 0.5 * (under + over),
            s if s <= under && beneath => 0.5 * (under + over),
            s => s.clamp(low, high),
        };
        let value = rises(next);
        if next >= high && value <= 0.0 {
            return Some(high);
        }
        if next <= low && value > 0.0 {
            return None;
        }
        let rise = (value - f) / (next - x);
        if rise > 0.0 && rise.is_finite() {
            slope = rise;
        }
        let near = value.abs() <= ENOUGH || over - under <= tolerance;
        (x, f) = (next, value);
        if near {
            break;
        }
    }
    Some((x - f / slope).clamp(under, over))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn margins_stretch_the_rise() {
        let c = Temperature::from_celsius;
        assert!((judged(c(75.0), c(25.0), Where::Exposed).celsius() - 82.5).abs() < 1e-9);
        assert!((judged(c(75.0), c(25.0), Where::Inside).celsius() - 85.0).abs() < 1e-9);
        assert_eq!(judged(c(20.0), c(25.0), Where::Inside), c(20.0));
    }

    #[test]
    fn a_limit_is_found_from_below() {
        let found = crossing(0.0, 10.0, 1e-9, |x| x * x - 2.0).unwrap();
        assert!((found - 2f64.sqrt()).abs() < 1e-6, "{found}");
        assert_eq!(crossing(0.0, 1.0, 1e-9, |x| x - 2.0), None);
        assert_eq!(crossing(3.0, 4.0, 1e-9, |x| x - 2.0), None);
    }

    #[test]
    fn a_known_point_shortens_the_search() {
        let mut looks = 0;
        let curved = |x: f64| libm::exp(x) - 2.0;
        let known = Known { at: 1.0, value: curved(1.0), slope: 2.0 };
        let found = most_near(known, (0.0, 10.0), 1e-6, |x| {
            looks += 1;
            curved(x)
        });
        assert!((found.unwrap() - core::f64::consts::LN_2).abs() < 1e-3 && looks <= 4, "{found:?} in {looks}");
        assert_eq!(most_near(known, (0.8, 10.0), 1e-6, curved), None);
        let low = Known { at: 0.0, value: curved(0.0), slope: 0.1 };
        assert_eq!(most_near(low, (0.0, 0.5), 1e-6, curved), Some(0.5));
        // A step: secants alone would never land.
        let step = |x: f64| if x < 0.3 { -1.0 } else { 500.0 };
        let found = most_near(Known { at: 0.0, value: -1.0, slope: 1.0 }, (0.0, 1.0), 1e-6, step).unwrap();
        assert!((found - 0.3).abs() < 1e-5, "{found}");
    }
}
