//! A network with heat capacities to its warm-up: the curve, the time constants, and how long a soak must last.
//! Faster parts of a lamp settle in minutes while its shell needs hours, so one exponential does not tell the curve.

use super::network::Network;
use super::solver::{factorise, substitute};
use crate::quantity::{Kelvin, Seconds, Temperature, Watts};

/// A curve: a row for each moment.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// Moments.
    pub times: Vec<Seconds>,
    /// Temperatures of all nodes at each.
    pub temperatures: Vec<Vec<Temperature>>,
}

/// The time step was driven to nothing: something in the network is not a number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stuck {
    /// Where it stopped.
    pub at: Seconds,
}

/// γ and the coefficients of RODAS3: four stages, order 3, stiffly accurate, so that nodes without capacity are
/// handled as equations (Sandu, Verwer, Blom, Spee, Carmichael and Potra 1997).
const GAMMA: f64 = 0.5;
const A: [[f64; 3]; 4] = [[0.0; 3], [0.0; 3], [2.0, 0.0, 0.0], [2.0, 0.0, 1.0]];
const C: [[f64; 3]; 4] = [[0.0; 3], [4.0, 0.0, 0.0], [1.0, -1.0, 0.0], [1.0, -1.0, -8.0 / 3.0]];
const M: [f64; 4] = [2.0, 0.0, 1.0, 1.0];

/// Where each node of the network is at each of these moments (rising, from 0), from `start` on.
///
/// # Errors
/// `Stuck` where the step shrinks to nothing.
pub fn warm_up(
    network: &Network,
    heat: &[Watts],
    start: &[Temperature],
    moments: &[Seconds],
    tolerance: Kelvin,
) -> Result<Curve, Stuck> {
    let mut run = Run::new(network, heat, start, tolerance.value());
    let mut curve = Curve { times: Vec::new(), temperatures: Vec::new() };
    for moment in moments {
        run.advance_to(moment.value())?;
        curve.times.push(*moment);
        curve.temperatures.push(run.state.iter().map(|t| Temperature::si(*t)).collect());
    }
    Ok(curve)
}

struct Run<'a> {
    network: &'a Network,
    heat: Vec<f64>,
    capacity: Vec<f64>,
    state: Vec<f64>,
    time: f64,
    step: f64,
    tolerance: f64,
    jacobian: Vec<f64>,
    flows: Vec<f64>,
}

impl<'a> Run<'a> {
    fn new(network: &'a Network, heat: &[Watts], start: &[Temperature], tolerance: f64) -> Self {
        let n = network.nodes.len();
        let mut heat: Vec<f64> = heat.iter().map(|q| q.value()).collect();
        heat.resize(n, 0.0);
        Self {
            network,
            heat,
            capacity: network.nodes.iter().map(|node| node.capacity.value()).collect(),
            state: start.iter().map(|t| t.value()).collect(),
            time: 0.0,
            step: 0.05,
            tolerance,
            jacobian: vec![0.0; n * n],
            flows: Vec::new(),
        }
    }

    fn advance_to(&mut self, end: f64) -> Result<(), Stuck> {
        while end - self.time > 1e-9 * (1.0 + end) {
            let h = self.step.min(end - self.time);
            let clipped = h < self.step;
            let tried = self.stages(h).and_then(|(next, error)| error.is_finite().then_some((next, error)));
            let (next, error) = tried.unwrap_or((Vec::new(), f64::INFINITY));
            let grow = if error > 0.0 { 0.9 * libm::pow(self.tolerance / error, 1.0 / 3.0) } else { 5.0 };
            if error <= self.tolerance {
                self.state = next;
                self.time += h;
                if !clipped {
                    self.step = h * grow.clamp(0.2, 5.0);
                }
            } else {
                self.step = h * grow.clamp(0.1, 0.8);
                if self.step < 1e-9 {
                    return Err(Stuck { at: Seconds::si(self.time) });
                }
            }
        }
        Ok(())
    }

    /// One step: (C/(hγ) − J) K = F(Y) + (C/h) Σ c K for each stage.
    fn stages(&mut self, h: f64) -> Option<(Vec<f64>, f64)> {
        let n = self.state.len();
        let mut first = vec![0.0; n];
        self.network.residual(&self.heat, &self.state, &mut self.flows, &mut first);
        self.network.jacobian(&self.state, &self.flows, &mut self.jacobian);
        let mut base = self.jacobian.clone();
        for (at, cell) in base.iter_mut().enumerate() {
            let own = if at % (n + 1) == 0 { self.capacity.get(at / n).map_or(0.0, |c| c / (h * GAMMA)) } else { 0.0 };
            *cell = own - *cell;
        }
        let swaps = factorise(&mut base, n)?;
        let mut stages: Vec<Vec<f64>> = Vec::with_capacity(4);
        for stage in 0..4 {
            let mut right = first.clone();
            // The second stage looks where the first did.
            if A[stage] != [0.0; 3] {
                let place = self.mixed(&self.state, &stages, &A[stage], 1.0);
                self.network.residual(&self.heat, &place, &mut self.flows, &mut right);
            }
            let pulled = self.mixed(&vec![0.0; n], &stages, &C[stage], 1.0 / h);
            for ((cell, pull), capacity) in right.iter_mut().zip(&pulled).zip(&self.capacity) {
                *cell += capacity * pull;
            }
            if !substitute(&base, &swaps, &mut right) {
                return None;
            }
            stages.push(right);
        }
        let mut next = self.state.clone();
        for (weight, stage) in M.iter().zip(&stages) {
            next.iter_mut().zip(stage).for_each(|(t, k)| *t += weight * k);
        }
        // The embedded solution of order 2 differs by the last stage alone.
        let error = stages.last().map_or(0.0, |k| k.iter().fold(0.0, |m: f64, x| m.max(x.abs())));
        Some((next, error))
    }

    fn mixed(&self, from: &[f64], stages: &[Vec<f64>], weights: &[f64; 3], scale: f64) -> Vec<f64> {
        let mut sum = from.to_vec();
        for (weight, stage) in weights.iter().zip(stages) {
            sum.iter_mut().zip(stage).for_each(|(t, k)| *t += scale * weight * k);
        }
        sum
    }
}

/// τ_E = Σ C (T − T_room)/Σ Q at the steady state: the heat stored by the heat that flows.
pub fn energy_time(network: &Network, heat: &[Watts], steady: &[Temperature]) -> Seconds {
    let room = network.room.air.value();
    let stored: f64 =
        network.nodes.iter().zip(steady).map(|(node, t)| node.capacity.value() * (t.value() - room)).sum();
    Seconds::si(stored / heat.iter().map(|q| q.value()).sum::<f64>())
}

/// The slowest time constant near the steady state: the largest eigenvalue of (−J)⁻¹ C, by power iteration.
pub fn slowest_time(network: &Network, steady: &[Temperature]) -> Option<Seconds> {
    let n = network.nodes.len();
    let kelvin: Vec<f64> = steady.iter().map(|t| t.value()).collect();
    let mut jacobian = vec![0.0; n * n];
    let (mut flows, mut short) = (Vec::new(), vec![0.0; n]);
    network.residual(&vec![0.0; n], &kelvin, &mut flows, &mut short);
    network.jacobian(&kelvin, &flows, &mut jacobian);
    jacobian.iter_mut().for_each(|cell| *cell = -*cell);
    let swaps = factorise(&mut jacobian, n)?;
    let mut shape = vec![1.0; n];
    let mut tau = 0.0;
    for _ in 0..400 {
        let mut next: Vec<f64> = shape.iter().zip(&network.nodes).map(|(v, node)| v * node.capacity.value()).collect();
        if !substitute(&jacobian, &swaps, &mut next) {
            return None;
        }
        let most = next.iter().fold(0.0, |m: f64, x| m.max(x.abs()));
        if most <= 0.0 || most.is_nan() {
            return None;
        }
        next.iter_mut().for_each(|x| *x /= most);
        let settled = (most - tau).abs() <= 1e-12 * most;
        (tau, shape) = (most, next);
        if settled {
            break;
        }
    }
    Some(Seconds::si(tau))
}

/// How long a soak must last: five of the slowest time constants, an hour at least. The slowest node then has made
/// 98.5 % of its rise or more (ten lamps solved by an independent script; our rule).
pub fn soak_time(slowest: Seconds) -> Seconds {
    (slowest * 5.0).max(Seconds::si(3600.0))
}
