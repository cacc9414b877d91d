//! Circuits as the network of heat sees them, and the proof that both say the same at the temperatures found.
//! A closed circuit is asked itself; a switched one is a parabola through three exact cycles, laid anew until it fits.

use crate::quantity::{Kelvin, Temperature, Watts};

use super::super::drive::{Circuit, Running, STATED};
use super::load::Load;
use super::states::{Answer, Drawn};

/// How far network and circuits may be apart, as a share of what a channel draws.
///
/// The junctions of the network are known to 0.01 K, which moves a string by about a hundred thousandth.
pub(super) const AGREEMENT: f64 = 1e-4;
/// Turns of network and circuits; a parabola over the span of the states itself is met by the second.
pub(super) const TURNS: u32 = 4;
/// The middle and the end of the first parabola, before any temperature is known.
const WARM: [Temperature; 2] = [Temperature::from_celsius(65.0), Temperature::from_celsius(105.0)];
/// Nearer points would make a parabola of rounding.
const LEAST_SPAN: Kelvin = Kelvin::si(5.0);

/// Power of string and supply at any junction.
#[derive(Debug, Clone)]
pub(super) struct Electric {
    circuit: Circuit,
    /// Only where a junction costs a whole cycle.
    curve: Option<Curve>,
}

/// A parabola through three cycles, in Newton's form.
#[derive(Debug, Clone, Copy)]
struct Curve {
    at: [Temperature; 3],
    string: [f64; 3],
    input: [f64; 3],
}

impl Curve {
    fn through(circuit: &Circuit, at: [Temperature; 3]) -> Option<Self> {
        let [a, b, c]: [Running; 3] = [circuit.at(at[0])?, circuit.at(at[1])?, circuit.at(at[2])?];
        let newton = |[p, q, r]: [Watts; 3]| {
            let (first, second) =
                ((q - p).value() / (at[1] - at[0]).value(), (r - q).value() / (at[2] - at[1]).value());
            [p.value(), first, (second - first) / (at[2] - at[0]).value()]
        };
        let (string, input) = (newton([a.string, b.string, c.string]), newton([a.input, b.input, c.input]));
        Some(Self { at, string, input })
    }

    fn at(&self, junction: Temperature) -> (Watts, Watts) {
        let [x, y] = [0, 1].map(|n: usize| (junction - self.at[n]).value());
        let value = |[p, first, second]: [f64; 3]| Watts::si((p + x * (first + y * second)).max(0.0));
        (value(self.string), value(self.input))
    }
}

impl Electric {
    /// `None` where no steady cycle is found.
    pub(super) fn new(circuit: Circuit) -> Option<Self> {
        let curve = match circuit.switched() {
            true => Some(Curve::through(&circuit, [STATED, WARM[0], WARM[1]])?),
            false => None,
        };
        Some(Self { circuit, curve })
    }

    /// The circuit as if its string never warmed.
    pub(super) fn held(&self) -> Option<Self> {
        let cold = self.circuit.at(STATED)?;
        let flat = |power: Watts| [power.value(), 0.0, 0.0];
        let curve = Curve { at: [STATED; 3], string: flat(cold.string), input: flat(cold.input) };
        Some(Self { circuit: self.circuit.clone(), curve: Some(curve) })
    }

    /// Power of the string and power from the supply at full.
    pub(super) fn at(&self, junction: Temperature) -> (Watts, Watts) {
        let exact = || self.circuit.at(junction).map_or((Watts::ZERO, Watts::ZERO), |r| (r.string, r.input));
        self.curve.as_ref().map_or_else(exact, |curve| curve.at(junction))
    }

    /// How far what the network took is from the circuit itself; endless where the circuit finds no cycle.
    fn apart(&self, took: &Drawn, share: f64) -> f64 {
        let Some(exact) = self.circuit.at(took.junction) else { return f64::INFINITY };
        let (string, input) = (exact.string * share, exact.input * share);
        let most = (took.string - string).abs().max((took.input - input).abs());
        if most > Watts::ZERO { most / input.max(took.input) } else { 0.0 }
    }

    /// The curve laid anew over the temperatures found.
    fn over(&mut self, coldest: Temperature, warmest: Temperature) -> Option<()> {
        if self.curve.is_some() {
            let span = (warmest - coldest).max(LEAST_SPAN);
            let at = [coldest, coldest + span / 2.0, coldest + span];
            self.curve = Some(Curve::through(&self.circuit, at)?);
        }
        Some(())
    }
}

/// The most that network and circuits are apart in this state.
pub(super) fn apart(loads: &[Load], answer: &Answer) -> f64 {
    let of = |name: &String| loads.iter().find(|load| load.name == *name);
    let each = answer.state.channels.iter().filter_map(|took| Some(of(&took.name)?.electric.apart(took, answer.share)));
    each.fold(0.0, f64::max)
}

/// Lays every curve anew over the junctions found; `None` where a circuit finds no cycle there.
pub(super) fn anew<'a>(loads: &mut [Load], answers: impl Iterator<Item = &'a Answer> + Clone) -> Option<()> {
    for load in loads {
        let own = answers.clone().flat_map(|answer| answer.state.channels.iter()).filter(|took| took.name == load.name);
        let (coldest, warmest) =
            own.map(|took| took.junction).fold((STATED, STATED), |(low, high), hot| (low.min(hot), high.max(hot)));
        load.electric.over(coldest, warmest)?;
    }
    Some(())
}
