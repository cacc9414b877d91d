//! What shows that a state is one: heat left over, network against circuits, and the passes it took, to the ledger.
//! Residuals are entered by the first bound above them, since their own digits are chance.

use crate::lamp::engine::Engine;
use crate::lamp::given::Missing;
use crate::ledger::{Formula, Ledger};
use crate::quantity::{Kelvin, Quantity, Watts};

use super::super::drive::by;
use super::MODEL;
use super::states::State;

/// Bounds that a residual of heat is held against.
const SIZES: [(f64, &str); 3] = [(1e-9, "less than 1 nW"), (1e-6, "less than 1 µW"), (1e-3, "less than 1 mW")];
/// The same for a share of power.
const SHARES: [(f64, &str); 3] =
    [(1e-6, "less than 0.0001 %"), (1e-5, "less than 0.001 %"), (1e-4, "less than 0.01 %")];
/// The same for junctions.
const STEPS: [(f64, &str); 3] = [(1e-4, "less than 0.1 mK"), (1e-3, "less than 1 mK"), (1e-2, "less than 0.01 K")];

/// A residual by the first bound above it: its own digits are chance, and would change the page with nothing changed.
fn below(value: f64, bounds: &[(f64, &str)]) -> Option<String> {
    bounds.iter().find(|(bound, _)| value < *bound).map(|(_, text)| (*text).to_owned())
}

/// What all states leave over, and how far their junctions are from where the passes lead: `heat.residual`,
/// `heat.agreement`.
pub(super) fn of_all(warm: &[State], cold: &[State], ledger: &mut Ledger) {
    let all = || warm.iter().chain(cold);
    let most = all().fold(Watts::ZERO, |m, s| m.max(s.residual));
    let proof = by("max|Σq − Q| over all nodes, states and rooms", "Newton's method; accepted below a millionth of Q");
    let inputs = [("Q", "heat.inside-power")];
    let title = "what the balance of heat leaves over";
    ledger.computed_text(
        "heat.residual",
        title,
        below(most.value(), &SIZES).unwrap_or_else(|| most.show()),
        proof,
        &inputs,
    );
    let apart = all().fold(0.0, |m: f64, s| m.max(s.apart.value()));
    let agree = by(
        "max|ΔT_j|·q/(1 − q) of the last passes, q the ratio of two steps",
        "network and dice solved in turn until they agree to 0.01 K",
    );
    let title = "how far the junctions are from where the passes of network and dice lead";
    ledger.computed_text(
        "heat.agreement",
        title,
        below(apart, &STEPS[2..]).unwrap_or_else(|| Kelvin::si(apart).show()),
        agree,
        &inputs,
    );
}

/// The proof that network and circuits agree: `heat.electrics`, `heat.turns`.
pub(super) fn electrics(apart: f64, turns: u32, ledger: &mut Ledger) {
    let proof = by(
        "max|P in the network − P of the circuit at its T_j| over P_in; channels, states and rooms",
        "network and circuits solved in turn until they agree to 0.01 %",
    );
    let text = below(apart, &SHARES).unwrap_or_else(|| crate::figures::percent(apart));
    ledger.computed_text("heat.electrics", "how far network and circuits are apart", text, proof, &[]);
    let counted = by("turns until both agree", "counted");
    let title = "turns of network and circuits";
    ledger.computed_number("heat.turns", title, (f64::from(turns), 0), counted, &[("ΔP", "heat.electrics")]);
}

/// Network and circuits that do not come together: the message stands where the rule of the balance reads it.
pub(super) fn disagree(engine: &Engine<'_>, apart: f64, ledger: &mut Ledger) -> Missing {
    let text =
        format!("no balance of heat and current: network and circuits stay {} apart", crate::figures::percent(apart));
    let runs = by("max|P in the network − P of the circuit at its T_j| over P_in, at most 0.01 % after 4 turns", MODEL);
    ledger.computed_text("heat.balance", "balance of heat", text, runs, &[]);
    Missing { path: "heat.balance".into(), span: engine.enclosure.span, unknown: false }
}

/// What shows that a state is one: heat left over, the last pass, network against circuits, and the passes it took.
pub(super) fn of_state(at: &dyn Fn(&str) -> String, when: &str, state: &State, ledger: &mut Ledger) {
    let mut enter = |what: &str, title: &str, shown: String, formula: Formula| {
        ledger.computed_text(at(what), &format!("{title}, {when}"), shown, formula, &[("Q", &at("dice"))]);
    };
    let over = state.residual.max(state.imbalance.abs());
    let left = by("max|Σq − Q| over all nodes and the room", "accepted below a millionth of Q");
    enter("over", "heat left over", below(over.value(), &SIZES).unwrap_or_else(|| over.show()), left);
    let apart = state.apart.value();
    let last = by("max|ΔT_j|·q/(1 − q), q the ratio of the last two steps", "network and dice in turn, to 0.01 K");
    enter(
        "step",
        "junctions from where the passes lead",
        below(apart, &STEPS).unwrap_or_else(|| state.apart.show()),
        last,
    );
    let circuits = by("max|P in the network − P of the circuit at its T_j| over P_in", "accepted below 0.01 %");
    let shown = below(state.electrics, &SHARES).unwrap_or_else(|| crate::figures::percent(state.electrics));
    enter("electrics", "network and circuits apart", shown, circuits);
    let counted = by("passes of the network and of network and dice", "counted");
    let title = format!("passes, {when}");
    ledger.computed_number(at("passes"), &title, (f64::from(state.passes), 0), counted, &[("ΔT", &at("step"))]);
}
