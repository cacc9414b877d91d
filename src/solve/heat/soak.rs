//! The warm-up of the lamp from a cold start: its curve over the hours, its slowest part, how long a soak must last.

use crate::diag::Span;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::physics::thermal::warmup::{energy_time, slowest_time, soak_time, warm_up};
use crate::quantity::{Kelvin, Seconds, Temperature};

use super::super::drive::{absent, by};
use super::cooler::Parts;
use super::load::Load;
use super::states::Answer;

/// The predicted soak, all channels on, in the warmest room.
#[derive(Debug, Clone)]
pub struct Soak {
    /// How long the soak must last.
    pub needed: Seconds,
    /// The warm-up; none where no paper is to show it.
    pub curve: Option<Found<Curve>>,
}

/// The warm-up, followed through the soak.
#[derive(Debug, Clone)]
pub struct Curve {
    /// Moments of the curve.
    pub times: Vec<Seconds>,
    /// Names of what is followed: `sink`, `inside`, `wall`, `supply`, `front`.
    pub points: Vec<&'static str>,
    /// Temperature of each point at each moment.
    pub rows: Vec<Vec<Temperature>>,
}

/// Moments on the sheet's grid, as shares of the soak.
const GRID: [f64; 9] = [0.0, 1.0 / 24.0, 1.0 / 12.0, 1.0 / 6.0, 0.25, 1.0 / 3.0, 0.5, 0.75, 1.0];
/// Points between them on the curve; before the first moment they crowd towards the start, where thin air rises fast.
const BETWEEN: usize = 6;

/// How long the soak must last, and the warm-up, followed where a paper is to show it; entries `heat.soak.*`.
pub(super) fn solve(parts: &Parts, answer: &Answer, loads: &[Load], span: Span, ledger: &mut Ledger) -> Found<Soak> {
    parts.capacities.clone()?;
    let net = &answer.built.network;
    let slowest = slowest_time(net, &answer.steady).ok_or_else(|| absent("heat.soak.slowest", span))?;
    let energy = energy_time(net, &answer.heat, &answer.steady);
    let needed = rounded(soak_time(slowest));
    enter(energy, slowest, needed, ledger);
    let curve = ledger.is_for_papers().then(|| follow(answer, loads, needed, span, ledger));
    Ok(Soak { needed, curve })
}

fn follow(answer: &Answer, loads: &[Load], needed: Seconds, span: Span, ledger: &mut Ledger) -> Found<Curve> {
    let net = &answer.built.network;
    let times = moments(needed);
    let still = vec![net.room.air; net.nodes.len()];
    let curve = warm_up(net, &answer.heat, &still, &times, Kelvin::si(0.02));
    let curve = curve.map_err(|_| absent("heat.soak.curve", span))?;
    let (points, nodes) = followed(answer);
    let pick = |row: &Vec<Temperature>| nodes.iter().filter_map(|n| row.get(*n).copied()).collect();
    let rows: Vec<Vec<Temperature>> = curve.temperatures.iter().map(pick).collect();
    enter_grid(needed, &points, &rows, ledger);
    sink_most(answer, loads, ledger);
    Ok(Curve { times, points, rows })
}

impl Soak {
    /// The warm-up, where it is known.
    pub fn followed(&self) -> Option<&Curve> {
        self.curve.as_ref()?.as_ref().ok()
    }
}

/// Enters how warm the sink may be read before a die is too hot: its limit less what lies between the two, all on.
fn sink_most(answer: &Answer, loads: &[Load], ledger: &mut Ledger) {
    let state = &answer.state;
    let each = state.junctions.iter().zip(loads).filter_map(|((name, hot), load)| {
        let above = *hot.as_ref().ok()? - state.sink;
        Some((*load.limit.as_ref().ok()? - above, name))
    });
    let Some((most, name)) = each.reduce(|a, b| if b.0 < a.0 { b } else { a }) else { return };
    let junction = format!("heat.junction.{name}");
    let inputs = [("T_j", junction.as_str()), ("T_sink", "heat.sink")];
    let less = by("min(T_max − (T_j − T_sink)) over the channels, all on", "conduction is in proportion to the heat");
    ledger.computed("heat.soak.sink-most", "sink at which the hottest dice reach their limit", most, less, &inputs);
}

fn enter(energy: Seconds, slowest: Seconds, needed: Seconds, ledger: &mut Ledger) {
    let stored = by("τ = Σ C·(T − T_room)/Σ Q", "conservation of energy");
    let inputs = [("Q", "heat.inside-power"), ("T", "heat.wall"), ("T_room", "lamp.room")];
    ledger.computed("heat.soak.energy-time", "heat stored by heat that flows", energy, stored, &inputs);
    let largest = by("largest eigenvalue of (−J)⁻¹·C", "linear theory of lumped bodies");
    ledger.computed("heat.soak.slowest", "slowest time constant", slowest, largest, &inputs);
    let five = by("5·τ, at least 1 h, rounded up to 10 min", "our rule: 98.5 % of the rise or more");
    ledger.computed("heat.soak.needed", "how long the soak must last", needed, five, &[("τ", "heat.soak.slowest")]);
}

/// Every moment of the grid and a few between, rising.
fn moments(needed: Seconds) -> Vec<Seconds> {
    let steps = GRID.windows(2).flat_map(|two| match two {
        [from, to] => {
            let first = *from == 0.0;
            let (from, to) = (moment(needed, *from), moment(needed, *to));
            let part = |k: usize| k as f64 / BETWEEN as f64;
            let part = |k: usize| if first { part(k) * part(k) } else { part(k) };
            (0..BETWEEN).map(|k| from + (to - from) * part(k)).collect::<Vec<_>>()
        }
        _ => Vec::new(),
    });
    steps.chain(std::iter::once(needed)).collect()
}

/// A share of the soak in whole minutes, as a clock on the wall shows it.
fn moment(needed: Seconds, share: f64) -> Seconds {
    Seconds::si(libm::round(needed.value() * share / 60.0) * 60.0)
}

fn rounded(time: Seconds) -> Seconds {
    Seconds::si(libm::ceil(time.value() / 600.0 - 1e-9) * 600.0)
}

fn followed(answer: &Answer) -> (Vec<&'static str>, Vec<usize>) {
    let built = &answer.built;
    let zone = |n: usize| built.zones.get(n).map(|(_, outer)| *outer);
    let all = [
        ("sink", Some(built.seat())),
        ("inside", Some(built.air)),
        ("supply", built.supply),
        ("wall", zone(0)),
        ("front", zone(1)),
    ];
    all.into_iter().filter_map(|(name, node)| Some((name, node?))).unzip()
}

/// The grid's figures: `heat.soak.3.sink`, with `heat.soak.3.time`.
fn enter_grid(needed: Seconds, points: &[&'static str], rows: &[Vec<Temperature>], ledger: &mut Ledger) {
    let inputs = [("t", "heat.soak.needed"), ("τ", "heat.soak.slowest")];
    for (n, share) in GRID.iter().enumerate() {
        let Some(row) = rows.get(n * BETWEEN) else { continue };
        let share_of = by("share of the soak, to the minute", "our grid");
        let title = format!("moment {n} of the soak");
        let path = format!("heat.soak.{n}.time");
        ledger.computed(path, &title, moment(needed, *share), share_of, &inputs[..1]);
        for (point, t) in points.iter().zip(row) {
            let integrated = by("C·dT/dt = Q − Σq, from a cold start", "Rosenbrock method of order 3");
            let title = format!("{point} at moment {n} of the soak");
            ledger.computed(format!("heat.soak.{n}.{point}"), &title, *t, integrated, &inputs);
        }
    }
}

/// How many moments the grid has.
pub const MOMENTS: usize = GRID.len();
