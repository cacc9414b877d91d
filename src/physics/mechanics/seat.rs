//! A disc or sheet in its seat: the gap over all states of heat and damp, the seat it needs, the lip that holds it.
//! Sizes are diameters, or lengths between two opposite walls.

use crate::quantity::{Kelvin, Metres, PerKelvin};

/// A size with its tolerance, which is the same up and down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Size {
    /// As drawn.
    pub nominal: Metres,
    /// Half of the tolerance field.
    pub tolerance: Metres,
}

/// One state of the lamp, as differences to the making.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    /// Temperature of the disc against the making.
    pub disc_rise: Kelvin,
    /// Temperature of the seat against the making.
    pub seat_rise: Kelvin,
    /// Growth of the disc by water, a part of its size.
    pub disc_swelling: f64,
    /// Growth of the seat by water, a part of its size.
    pub seat_swelling: f64,
}

impl State {
    /// Only heat.
    pub const fn heat(disc_rise: Kelvin, seat_rise: Kelvin) -> Self {
        Self { disc_rise, seat_rise, disc_swelling: 0.0, seat_swelling: 0.0 }
    }
}

/// Expansion of the two partners.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    /// α of the disc.
    pub disc: PerKelvin,
    /// α of the seat.
    pub seat: PerKelvin,
}

impl Pair {
    /// k = (1 + α ΔT)(1 + e) of disc and seat.
    fn growth(self, state: State) -> (f64, f64) {
        let disc = (1.0 + self.disc * state.disc_rise) * (1.0 + state.disc_swelling);
        let seat = (1.0 + self.seat * state.seat_rise) * (1.0 + state.seat_swelling);
        (disc, seat)
    }
}

/// Worst clearance in one state, over the diameter: C = (S − t_S) k_S − (D + t_D) k_D; negative when it jams.
pub fn least_clearance(disc: Size, seat: Size, pair: Pair, state: State) -> Metres {
    let (kd, ks) = pair.growth(state);
    (seat.nominal - seat.tolerance) * ks - (disc.nominal + disc.tolerance) * kd
}

/// Largest clearance in one state, over the diameter: (S + t_S) k_S − (D − t_D) k_D; what the lip has to cover.
pub fn greatest_clearance(disc: Size, seat: Size, pair: Pair, state: State) -> Metres {
    let (kd, ks) = pair.growth(state);
    (seat.nominal + seat.tolerance) * ks - (disc.nominal - disc.tolerance) * kd
}

/// Least clearance over all states with the number of the state that gives it; `None` without states.
pub fn tightest(disc: Size, seat: Size, pair: Pair, states: &[State]) -> Option<(usize, Metres)> {
    let each = states.iter().enumerate().map(|(n, state)| (n, least_clearance(disc, seat, pair, *state)));
    each.reduce(|best, one| if one.1 < best.1 { one } else { best })
}

/// Greatest clearance over all states with the number of the state that gives it; `None` without states.
pub fn loosest(disc: Size, seat: Size, pair: Pair, states: &[State]) -> Option<(usize, Metres)> {
    let each = states.iter().enumerate().map(|(n, state)| (n, greatest_clearance(disc, seat, pair, *state)));
    each.reduce(|best, one| if one.1 > best.1 { one } else { best })
}

/// Clearance that 99.87 % of pieces keep when both tolerances are three standard deviations of independent normal
/// errors: C = S k_S − D k_D − √((t_S k_S)² + (t_D k_D)²).
pub fn statistical_clearance(disc: Size, seat: Size, pair: Pair, state: State) -> Metres {
    let (kd, ks) = pair.growth(state);
    let spread = libm::hypot(disc.tolerance.value() * kd, seat.tolerance.value() * ks);
    seat.nominal * ks - disc.nominal * kd - Metres::si(spread)
}

/// Seat size that leaves `wanted` in the worst case: S = ((D + t_D) k_D + c)/k_S + t_S; print this for a single lamp.
pub fn seat_worst_case(disc: Size, seat_tolerance: Metres, pair: Pair, state: State, wanted: Metres) -> Metres {
    let (kd, ks) = pair.growth(state);
    ((disc.nominal + disc.tolerance) * kd + wanted) / ks + seat_tolerance
}

/// Seat size when both tolerances are three standard deviations of independent normal errors (99.87 % fit):
/// S = (D k_D + c + √((t_D k_D)² + (t_S k_S)²))/k_S.
pub fn seat_statistical(disc: Size, seat_tolerance: Metres, pair: Pair, state: State, wanted: Metres) -> Metres {
    let (kd, ks) = pair.growth(state);
    let spread = libm::hypot(disc.tolerance.value() * kd, seat_tolerance.value() * ks);
    (disc.nominal * kd + wanted + Metres::si(spread)) / ks
}

/// What a lip of width w still covers on the far side when the disc lies fully to one side: w − C_max.
pub fn lip_overlap_shifted(lip: Metres, greatest_clearance: Metres) -> Metres {
    lip - greatest_clearance
}

/// Least overlap to plan for: 1.0 mm, from 300 mm on 1.5 mm (our guideline).
pub fn overlap_wanted(disc: Metres) -> Metres {
    Metres::si(if disc.value() >= 0.3 { 0.0015 } else { 0.001 })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::conductors::mm;

    const GLASS_IN_ALUMINIUM: Pair = Pair { disc: PerKelvin::si(9.0e-6), seat: PerKelvin::si(23.1e-6) };

    #[test]
    fn glass_in_metal_is_tightest_when_cold() {
        let disc = Size { nominal: mm(120.0), tolerance: mm(0.1) };
        let seat = Size { nominal: mm(120.6), tolerance: mm(0.2) };
        let states = [35.0, 0.0, -35.0].map(|rise| State::heat(Kelvin::si(rise), Kelvin::si(rise)));
        let (tight, least) = tightest(disc, seat, GLASS_IN_ALUMINIUM, &states).unwrap();
        let (loose, most) = loosest(disc, seat, GLASS_IN_ALUMINIUM, &states).unwrap();
        assert_eq!((tight, loose), (2, 0));
        assert!(least < most && least > mm(0.2));
        assert_eq!(tightest(disc, seat, GLASS_IN_ALUMINIUM, &[]), None);
    }

    #[test]
    fn the_seat_asked_for_leaves_what_was_wanted() {
        let disc = Size { nominal: mm(200.0), tolerance: mm(0.15) };
        let pair = Pair { disc: PerKelvin::si(70e-6), seat: PerKelvin::si(4e-6) };
        let damp = State { disc_swelling: 0.001, ..State::heat(Kelvin::si(30.0), Kelvin::si(10.0)) };
        let states = [State::heat(Kelvin::ZERO, Kelvin::ZERO), damp];
        let each = states.iter().map(|state| seat_worst_case(disc, mm(0.2), pair, *state, mm(0.1)));
        let nominal = each.reduce(Metres::max).unwrap();
        let (state, left) = tightest(disc, Size { nominal, tolerance: mm(0.2) }, pair, &states).unwrap();
        assert_eq!(state, 1);
        assert!((left - mm(0.1)).abs() < mm(1e-9));
        assert!(seat_statistical(disc, mm(0.2), pair, damp, mm(0.1)) < nominal);
    }
}
