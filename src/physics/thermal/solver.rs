//! A network and its sources of heat to the one set of temperatures at which every node gives off what it gets.
//!
//! All flows grow with the first and fall with the second temperature, so −J is an M-matrix and the answer is single.
//! Newton's method finds it; where its steps fail, steps in pseudo-time do, and where those fail a sweep from the
//! coldest state, which converges from below for such functions (Rheinboldt 1970, from memory).

use super::network::{Law, Network};
use crate::quantity::{Temperature, Watts};

/// Temperatures with the proof that they are an answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Steady {
    /// Temperature of each node.
    pub temperatures: Vec<Temperature>,
    /// The most that any node is short of.
    pub residual: Watts,
    /// Heat put in less heat that reaches the room.
    pub imbalance: Watts,
    /// Passes taken.
    pub passes: u32,
    /// How it was found.
    pub method: Method,
}

/// How an answer was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Method {
    /// Newton's method with damped steps.
    Newton,
    /// Linear implicit steps in pseudo-time.
    PseudoTime,
    /// Sweeps node by node.
    Sweeps,
}

/// No temperatures balance to a millionth of the heat: something in the network is not a number, or a node has no way
/// to the room.
#[derive(Debug, Clone, PartialEq)]
pub struct NoBalance {
    /// The node that is most short.
    pub node: String,
    /// What it is short of.
    pub short: Watts,
    /// Passes taken in all.
    pub passes: u32,
}

impl std::fmt::Display for NoBalance {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "no balance of heat at `{}`: {} left over after {} passes", self.node, self.short, self.passes)
    }
}
impl std::error::Error for NoBalance {}

const COLDEST: f64 = 200.0;
const WARMEST: f64 = 1500.0;

struct Work<'a> {
    network: &'a Network,
    heat: Vec<f64>,
    total: f64,
    jacobian: Vec<f64>,
    /// What flows along each way where `short` was found.
    flows: Vec<f64>,
    short: Vec<f64>,
    step: Vec<f64>,
    /// Conductance of all linear ways: a stiff one carries the difference of two nearly equal temperatures, so that its
    /// rounding grows with G·T.
    stiffness: f64,
    passes: u32,
}

/// The steady state with this heat set free at each node, from 20 K above the room or from `start`.
///
/// # Errors
/// `NoBalance` where no state balances to a millionth of the heat.
pub fn steady(network: &Network, heat: &[Watts], start: Option<&[Temperature]>) -> Result<Steady, NoBalance> {
    let n = network.nodes.len();
    let mut work = Work::new(network, heat);
    let cold = vec![network.room.air.value() + 20.0; n];
    let first = start.filter(|s| s.len() == n).map_or(cold, |s| s.iter().map(|t| t.value()).collect());
    let mut best: Option<(f64, NoBalance)> = None;
    for method in [Method::Newton, Method::PseudoTime, Method::Sweeps] {
        let mut t = first.clone();
        match method {
            Method::Newton => work.newton(&mut t),
            Method::PseudoTime => work.pseudo_time(&mut t),
            Method::Sweeps => work.sweeps(&mut t),
        }
        match work.proof(&t, method) {
            Ok(found) => return Ok(found),
            Err(none) if best.as_ref().is_none_or(|(s, _)| none.short.value().abs() < *s) => {
                best = Some((none.short.value().abs(), none));
            }
            Err(_) => {}
        }
    }
    let none = NoBalance { node: String::new(), short: Watts::ZERO, passes: work.passes };
    Err(best.map_or(none, |(_, found)| NoBalance { passes: work.passes, ..found }))
}

/// The same by one method only, for tests that compare them.
///
/// # Errors
/// As `steady`.
pub fn steady_by(network: &Network, heat: &[Watts], from: &[Temperature], method: Method) -> Result<Steady, NoBalance> {
    let mut work = Work::new(network, heat);
    let mut t: Vec<f64> = from.iter().map(|t| t.value()).collect();
    match method {
        Method::Newton => work.newton(&mut t),
        Method::PseudoTime => work.pseudo_time(&mut t),
        Method::Sweeps => work.sweeps(&mut t),
    }
    work.proof(&t, method)
}

impl<'a> Work<'a> {
    fn new(network: &'a Network, heat: &[Watts]) -> Self {
        let n = network.nodes.len();
        let mut heat: Vec<f64> = heat.iter().map(|q| q.value()).collect();
        heat.resize(n, 0.0);
        let total = heat.iter().map(|q| q.abs()).sum::<f64>().max(1e-6);
        let zeros = vec![0.0; n];
        Self {
            network,
            heat,
            total,
            jacobian: vec![0.0; n * n],
            flows: Vec::new(),
            short: zeros.clone(),
            step: zeros,
            stiffness: network.ways.iter().map(|way| conductance(&way.law)).sum(),
            passes: 0,
        }
    }

    /// |F|₁ at these temperatures, and what rounding alone may make of it.
    fn norm(&mut self, t: &[f64]) -> (f64, f64) {
        let moved = self.network.residual(&self.heat, t, &mut self.flows, &mut self.short);
        let norm = self.short.iter().map(|f| f.abs()).sum();
        (norm, 4.0 * f64::EPSILON * (moved + self.stiffness * 300.0))
    }

    fn newton(&mut self, t: &mut [f64]) {
        let (mut norm, _) = self.norm(t);
        for _ in 0..60 {
            self.passes += 1;
            self.network.jacobian(t, &self.flows, &mut self.jacobian);
            self.step.copy_from_slice(&self.short);
            for cell in &mut self.jacobian {
                *cell = -*cell;
            }
            if !eliminate(&mut self.jacobian, &mut self.step) {
                return;
            }
            let most = self.step.iter().fold(0.0, |m: f64, d| m.max(d.abs()));
            if !most.is_finite() {
                return;
            }
            let mut share = if most > 40.0 { 40.0 / most } else { 1.0 };
            let rounding = loop {
                let tried = stepped(t, &self.step, share);
                let (there, noise) = self.norm(&tried);
                let falls = there <= (1.0 - 1e-4 * share) * norm || there <= noise;
                if falls || share < 1e-6 {
                    t.copy_from_slice(&tried);
                    norm = there;
                    break noise;
                }
                share *= 0.5;
            };
            if norm <= (1e-9 * self.total).max(rounding) && most * share <= 1e-7 {
                return;
            }
            if share < 1e-6 {
                return;
            }
        }
    }

    /// (I/dt − J) d = F with unit capacities: one implicit Euler step of a contraction in the sum norm.
    fn pseudo_time(&mut self, t: &mut [f64]) {
        let n = t.len();
        let mut dt = 1.0;
        let (mut norm, _) = self.norm(t);
        for _ in 0..2000 {
            self.passes += 1;
            self.network.residual(&self.heat, t, &mut self.flows, &mut self.short);
            self.network.jacobian(t, &self.flows, &mut self.jacobian);
            for (at, cell) in self.jacobian.iter_mut().enumerate() {
                *cell = if at % (n + 1) == 0 { 1.0 / dt - *cell } else { -*cell };
            }
            self.step.copy_from_slice(&self.short);
            if !eliminate(&mut self.jacobian, &mut self.step) {
                return;
            }
            let most = self.step.iter().fold(0.0, |m: f64, d| m.max(d.abs()));
            if most > 60.0 || !most.is_finite() {
                dt /= 4.0;
                continue;
            }
            let tried = stepped(t, &self.step, 1.0);
            let (there, noise) = self.norm(&tried);
            if there <= norm || there <= noise {
                t.copy_from_slice(&tried);
                dt *= (norm / there.max(1e-300)).clamp(2.0, 10.0);
                norm = there;
                if norm <= (1e-9 * self.total).max(noise) && most <= 1e-7 {
                    return;
                }
            } else {
                dt /= 4.0;
            }
        }
    }

    /// From the coldest state each node in turn is brought into balance; all rise and none overshoots.
    fn sweeps(&mut self, t: &mut [f64]) {
        let coldest = self.network.room.air.min(self.network.room.walls).value();
        t.fill(coldest);
        for _ in 0..20_000 {
            self.passes += 1;
            let mut most: f64 = 0.0;
            for node in 0..t.len() {
                let before = t.get(node).copied().unwrap_or(coldest);
                let after = self.balance(t, node);
                most = most.max((after - before).abs());
            }
            if most < 1e-9 {
                return;
            }
        }
    }

    /// The temperature at which this node is short of nothing, by halving; the others stay.
    fn balance(&mut self, t: &mut [f64], node: usize) -> f64 {
        let (mut low, mut high) = (COLDEST, WARMEST);
        while high - low > 1e-11 * high {
            let middle = 0.5 * (low + high);
            if let Some(cell) = t.get_mut(node) {
                *cell = middle;
            }
            self.network.residual(&self.heat, t, &mut self.flows, &mut self.short);
            if self.short.get(node).copied().unwrap_or(0.0) > 0.0 { low = middle } else { high = middle }
        }
        let found = 0.5 * (low + high);
        if let Some(cell) = t.get_mut(node) {
            *cell = found;
        }
        found
    }

    /// An answer counts only where every node balances to a millionth and the room gets what was put in.
    fn proof(&mut self, t: &[f64], method: Method) -> Result<Steady, NoBalance> {
        self.norm(t);
        let (mut at, mut most) = (0, 0.0);
        for (node, short) in self.short.iter().enumerate() {
            if short.is_nan() || short.abs() > most {
                (at, most) = (node, short.abs());
            }
        }
        let temperatures: Vec<Temperature> = t.iter().map(|t| Temperature::si(*t)).collect();
        let put_in: f64 = self.heat.iter().sum();
        let imbalance = put_in - self.network.to_room(&temperatures).value();
        if most <= 1e-6 * self.total && imbalance.abs() <= 1e-6 * self.total {
            let (residual, imbalance) = (Watts::si(most), Watts::si(imbalance));
            return Ok(Steady { temperatures, residual, imbalance, passes: self.passes, method });
        }
        let node = self.network.nodes.get(at).map_or_else(String::new, |node| node.name.clone());
        Err(NoBalance { node, short: Watts::si(most), passes: self.passes })
    }
}

fn conductance(law: &Law) -> f64 {
    if let Law::Conduction(g) = law { g.value() } else { 0.0 }
}

/// Temperatures moved by a share of a step, within what any lamp can be.
fn stepped(t: &[f64], step: &[f64], share: f64) -> Vec<f64> {
    t.iter().zip(step).map(|(t, d)| (t + share * d).clamp(COLDEST, WARMEST)).collect()
}

/// Solves A x = b by elimination with row exchange; `b` becomes x. False where A is singular.
pub(super) fn eliminate(a: &mut [f64], b: &mut [f64]) -> bool {
    factorise(a, b.len()).is_some_and(|swaps| substitute(a, &swaps, b))
}

/// Makes the factors L and U of the rows of A in its place, and says which row was exchanged with each. None where A is
/// singular.
pub(super) fn factorise(a: &mut [f64], n: usize) -> Option<Vec<usize>> {
    let mut swaps = Vec::with_capacity(n);
    for k in 0..n {
        let size = |row: usize, a: &[f64]| a.get(row * n + k).map_or(0.0, |x| x.abs());
        let pivot = (k..n).fold(k, |best, row| if size(row, a) > size(best, a) { row } else { best });
        if size(pivot, a) <= 1e-300 || size(pivot, a).is_nan() {
            return None;
        }
        if pivot != k {
            for column in 0..n {
                a.swap(pivot * n + column, k * n + column);
            }
        }
        swaps.push(pivot);
        let (above, below) = a.split_at_mut((k + 1) * n);
        let top = &above[k * n..];
        for row in below.chunks_exact_mut(n) {
            let factor = row[k] / top[k];
            row[k] = factor;
            if factor != 0.0 {
                row[k + 1..].iter_mut().zip(&top[k + 1..]).for_each(|(cell, over)| *cell -= factor * over);
            }
        }
    }
    Some(swaps)
}

/// Solves A x = b by the factors of A; `b` becomes x. False where it is no number.
pub(super) fn substitute(factors: &[f64], swaps: &[usize], b: &mut [f64]) -> bool {
    let n = b.len();
    for (k, &pivot) in swaps.iter().enumerate() {
        b.swap(pivot, k);
    }
    for k in 1..n {
        // Column by column, as they were eliminated: the same sums in the same order.
        let (known, rest) = b.split_at_mut(k);
        let row = &factors[k * n..k * n + k];
        row.iter().zip(known).for_each(|(factor, x)| rest[0] -= factor * *x);
    }
    for k in (0..n).rev() {
        let row = &factors[k * n..(k + 1) * n];
        let known: f64 = (k + 1..n).map(|column| row[column] * b[column]).sum();
        b[k] = (b[k] - known) / row[k];
    }
    b.iter().all(|x| x.is_finite())
}
