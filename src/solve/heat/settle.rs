//! Junctions to where network and dice agree: passes of one after the other, and where those creep, a bracket.
//! Tells a lamp whose loop of warmth has a gain near one from a lamp that warms without end.

use std::fmt;

use crate::physics::thermal::air::ATMOSPHERE;
use crate::physics::thermal::assembly::{Built, STIFF, Sources};
use crate::physics::thermal::network::Room;
use crate::physics::thermal::solver::{NoBalance, Steady, steady};
use crate::quantity::{Kelvin, Temperature, Watts};

use super::cooler::Parts;
use super::load::{Fixed, Load, Point, rise};
use super::states::{AGREEMENT, Answer, Ask, board, state};

/// Passes before the bracket. They shrink what is left by the loop's gain each; a gain of one half needs fifteen.
const PASSES: u32 = 40;
/// Where a search upwards ends: dice, solder and plastic are long gone, and no law of ours holds.
const END: Temperature = Temperature::from_celsius(1000.0);
/// Longest step of that search where the heat itself says less, K: two balances nearer than this are taken for none.
const STRIDE: f64 = 2.0;
/// Width of a bracket at which its ends are one answer. A string on a voltage may change its power by a tenth in a
/// kelvin, so that this is finer than the junctions need.
const WIDTH: f64 = 1e-5;

/// Why a lamp has no steady temperatures.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Unsettled {
    /// The network itself has no answer.
    Network(NoBalance),
    /// The dice make more heat than their board needs, as hot as it may be.
    Endless,
}

impl fmt::Display for Unsettled {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Network(none) => write!(f, "{none}"),
            Self::Endless => {
                write!(f, "even at {END} the dice make more heat than the lamp carries off")
            }
        }
    }
}

impl From<NoBalance> for Unsettled {
    fn from(none: NoBalance) -> Self {
        Self::Network(none)
    }
}

/// One state's network with what is asked of it.
struct Search<'a> {
    parts: &'a Parts,
    fixed: &'a Fixed,
    ask: &'a Ask<'a>,
    built: Built,
    /// Where the next pass starts: the nearer, the quicker.
    start: Option<Vec<Temperature>>,
    passes: u32,
}

/// Heat of the dice at these junctions carried through the network, and the junctions that follow.
struct Pass {
    points: Vec<Point>,
    sources: Sources,
    heat: Vec<Watts>,
    found: Steady,
    board: Temperature,
    junctions: Vec<Temperature>,
}

/// Solves one state.
///
/// # Errors
/// `Unsettled` where the network has no answer, or the warmth no end.
pub(super) fn solve(parts: &Parts, fixed: &Fixed, ask: &Ask<'_>) -> Result<Answer, Unsettled> {
    let room = Room { air: ask.room, walls: ask.room, pressure: ATMOSPHERE };
    let built = parts.assembly.network(room, STIFF);
    let start = ask.nodes(built.network.nodes.len());
    let mut search = Search { parts, fixed, ask, built, start, passes: 0 };
    let (mut junctions, mut last) = (ask.junctions(), None);
    for count in 0..PASSES {
        let pass = match search.pass(&junctions) {
            Ok(pass) => pass,
            Err(none) if count == 0 => return Err(none.into()),
            // The passes ran away to where the network has no answer; whether they passed a balance is still open.
            Err(_) => break,
        };
        // What is no number is no junction either.
        if !pass.junctions.iter().all(|t| *t <= END) {
            break;
        }
        let step = farthest(&pass.junctions, &junctions);
        let apart = left_to_go(step, last);
        last = Some(step);
        junctions.clone_from(&pass.junctions);
        if apart < AGREEMENT.value() && powers_settled(&ask.loads, &pass.points, &junctions, ask.share) {
            return Ok(search.answer(pass, apart));
        }
    }
    search.bracket()
}

impl Search<'_> {
    fn pass(&mut self, junctions: &[Temperature]) -> Result<Pass, NoBalance> {
        let (ask, built) = (self.ask, &self.built);
        let points: Vec<Point> = ask.loads.iter().zip(junctions).map(|(load, t)| load.at(*t, ask.share)).collect();
        let sources = self.fixed.sources(&points, built.zones.len());
        let heat = built.heat(&sources);
        let found = steady(&built.network, &heat, self.start.as_deref())?;
        self.passes += 1 + found.passes;
        self.start = Some(found.temperatures.clone());
        let board = board(self.parts, built, &found, &sources);
        let junctions = ask.loads.iter().zip(&points).map(|(load, point)| board + rise(load, point)).collect();
        Ok(Pass { points, sources, heat, found, board, junctions })
    }

    fn answer(self, pass: Pass, apart: f64) -> Answer {
        let Self { parts, fixed, ask, built, passes, .. } = self;
        let met = (passes, Kelvin::si(apart));
        let state = state(parts, &built, &pass.found, &pass.sources, ask, pass.board, &pass.points, fixed, met);
        Answer { state, heat: pass.heat, steady: pass.found.temperatures, built, share: ask.share }
    }

    /// How far this board is above where the heat of dice on it would bring it: below nothing where it warms on.
    fn over(&mut self, board: f64) -> f64 {
        let Some(junctions) = self.upon(board) else { return f64::NEG_INFINITY };
        // Heat for which the network has no answer below its own end leaves the board warming.
        self.pass(&junctions).map_or(f64::NEG_INFINITY, |pass| board - pass.board.value())
    }

    /// Junctions of the dice on a board of this temperature; none where one of them warms without end on it.
    fn upon(&self, board: f64) -> Option<Vec<Temperature>> {
        self.ask.loads.iter().map(|load| junction(load, Temperature::si(board), self.ask.share)).collect()
    }

    /// The lowest board that stays as warm as it is. From the room upwards the dice make more than the board needs
    /// until there: the first change of sign is a balance that holds, and without one there is none.
    fn bracket(mut self) -> Result<Answer, Unsettled> {
        // What the passes ran away to is no place to start from.
        self.start = None;
        let room = self.ask.room.value();
        let bracket = first_change(room, |board| self.over(board)).ok_or(Unsettled::Endless)?;
        let (low, high) = halved(bracket, WIDTH, |board| self.over(board));
        let junctions = self.upon(low).ok_or(Unsettled::Endless)?;
        let pass = self.pass(&junctions)?;
        if !pass.junctions.iter().all(|t| t.value().is_finite()) {
            return Err(Unsettled::Endless);
        }
        Ok(self.answer(pass, high - low))
    }
}

/// The lowest junction over this board at which a die gives off what it makes; none below the end of the search.
fn junction(load: &Load, board: Temperature, share: f64) -> Option<Temperature> {
    let over = |t: f64| {
        let at = Temperature::si(t);
        (at - (board + rise(load, &load.at(at, share)))).value()
    };
    let (low, _) = halved(first_change(board.value(), over)?, 0.01 * WIDTH, over);
    Some(Temperature::si(low))
}

/// From `low` upwards to where `over` is first no longer below nothing, as a bracket; none below [`END`].
///
/// A step is what is missing, which never leads past a balance of rising heat, and at most [`STRIDE`] where that creeps.
fn first_change(low: f64, mut over: impl FnMut(f64) -> f64) -> Option<(f64, f64)> {
    let (mut low, mut missing) = (low, -over(low));
    while low < END.value() {
        let creep = if missing.is_finite() { missing.max(STRIDE) } else { STRIDE };
        let next = (low + creep).min(END.value());
        let there = over(next);
        if there >= 0.0 {
            return Some((low, next));
        }
        (low, missing) = (next, -there);
    }
    None
}

/// A bracket halved until it is no wider than this.
fn halved((mut low, mut high): (f64, f64), width: f64, mut over: impl FnMut(f64) -> f64) -> (f64, f64) {
    while high - low > width {
        let middle = 0.5 * (low + high);
        if middle <= low || middle >= high {
            break;
        }
        if over(middle) < 0.0 { low = middle } else { high = middle }
    }
    (low, high)
}

/// How far two sets of junctions are apart, K. What is no number is as far as can be: `max` alone would pass it over.
fn farthest(one: &[Temperature], other: &[Temperature]) -> f64 {
    let apart = one.iter().zip(other).map(|(a, b)| (*a - *b).value().abs());
    apart.map(|apart| if apart.is_nan() { f64::INFINITY } else { apart }).fold(0.0, f64::max)
}

/// How far passes whose steps shrink in proportion still have to go, K: `step·q/(1 − q)` with q the last two steps'
/// ratio, and never less than the step. A loop of heat whose gain is near one takes small steps far from its end.
fn left_to_go(step: f64, last: Option<f64>) -> f64 {
    match last {
        // Far below what is asked no ratio is needed, and rounding would give a false one.
        _ if step < 1e-3 * AGREEMENT.value() => step,
        Some(last) if step < last && last.is_finite() => step.max(step * step / (last - step)),
        _ => f64::INFINITY,
    }
}

/// Whether every channel takes at the junctions found what it took in the pass that found them. A string on a voltage
/// may change its current by much within what is small for a temperature.
fn powers_settled(loads: &[&Load], points: &[Point], junctions: &[Temperature], share: f64) -> bool {
    loads.iter().zip(points).zip(junctions).all(|((load, took), junction)| {
        let now = load.at(*junction, share);
        let most = (now.string - took.string).abs().max((now.input - took.input).abs());
        most <= took.input.max(now.input) * (0.5 * super::electric::AGREEMENT)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A board that warms by `gain` for each kelvin it is warm: t − (20 + 0.1 + gain·(t − 20)), zero at 20 + 0.1/(1 − gain).
    fn creeping(gain: f64) -> impl Fn(f64) -> f64 {
        move |t| t - (20.1 + gain * (t - 20.0))
    }

    fn found(over: impl Fn(f64) -> f64) -> Option<f64> {
        let (low, high) = halved(first_change(20.0, &over)?, WIDTH, &over);
        Some(0.5 * (low + high))
    }

    #[test]
    fn a_gain_near_one_has_a_balance_and_one_above_has_none() {
        for gain in [0.0, 0.5, 0.9, 0.99, 0.999, 0.9998] {
            let exact = 20.0 + 0.1 / (1.0 - gain);
            let found = found(creeping(gain)).unwrap();
            assert!((found - exact).abs() < WIDTH, "{gain}: {found}, {exact}");
        }
        // 20 + 0.1/(1 − 0.99993) lies beyond the end of the search; at 1 and above there is none anywhere.
        for gain in [0.99993, 1.0, 1.001, 1.5, 8.0] {
            assert_eq!(found(creeping(gain)), None, "{gain}");
        }
    }

    #[test]
    fn what_is_no_number_never_settles() {
        let at = |values: &[f64]| values.iter().map(|t| Temperature::si(*t)).collect::<Vec<_>>();
        let apart = farthest(&at(&[300.0, f64::NAN]), &at(&[300.0, 310.0]));
        assert_eq!(apart, f64::INFINITY);
        assert_eq!(farthest(&at(&[f64::NAN]), &at(&[f64::NAN])), f64::INFINITY);
        assert_eq!(left_to_go(apart, Some(1.0)), f64::INFINITY);
        assert_eq!(left_to_go(1e-3, Some(apart)), f64::INFINITY, "one step tells no ratio");
        assert_eq!(farthest(&at(&[300.0, 311.0]), &at(&[300.5, 310.0])), 1.0);
    }

    #[test]
    fn of_several_balances_the_coldest_is_found() {
        // Balances at 60, 90 and 300 °C; the middle one does not hold. The heat rises all the way: `over` by less than t.
        let over = |t: f64| (t - 60.0) * (t - 90.0) * (t - 300.0) * 1e-5;
        assert!((found(over).unwrap() - 60.0).abs() < WIDTH);
        // A loop that touches its limit without crossing it warms on; what has no number on the way does too.
        let shy = |t: f64| if t > 500.0 { f64::NEG_INFINITY } else { -0.01 - (t - 60.0) * (t - 60.0) * 1e-3 };
        assert_eq!(found(shy), None);
    }
}
