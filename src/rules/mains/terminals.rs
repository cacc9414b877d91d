//! Terminals: no more conductors under one than it takes.

use crate::diag::Signal;
use crate::rules::rule::{Case, Finding, Judgement, Outcome, Rule, Skip, each, once, unless};
use crate::solve::wires::{Terminal, terminals};

pub(super) static TERMINAL_SHARED: Rule = Rule {
    name: "mains/terminal-shared",
    signal: Signal::Warning,
    waivable: true,
    title: "more conductors under one terminal than it takes",
    source: "IEC 60598-1, section 14, from memory: one conductor a terminal unless its maker says more",
    why: "under one screw the thinner of two strands stays loose, comes out or heats",
    fix: "lead one wire to a terminal block and branch there, or join the two in a twin ferrule the terminal is made for",
    check: |case| {
        let all = terminals(case.lamp, &case.solution.wires);
        let shared: Vec<Terminal> = all.into_iter().filter(|t| t.holds() > 1).collect();
        if shared.is_empty() {
            return once(|| Ok(Outcome::Pass(None)));
        }
        each(&shared, |t| t.name.clone(), |terminal| judge(case, terminal))
    },
};

fn judge(case: &Case<'_>, terminal: &Terminal) -> Judgement {
    let takes = &case.lamp.wiring.terminal_takes;
    let most = usize::try_from(*takes.known()?).map_err(|_| Skip::NotApplicable)?;
    unless(terminal.holds() > most, || {
        let (name, wires) = (&terminal.name, terminal.held("cord's").join(", "));
        let message = format!("`{name}` holds {wires}: {} conductors, and takes {most}", terminal.holds());
        Finding::new(message, takes.span, "terminal-takes")
            .fix(format!("branch {wires} at a terminal block, one wire on to `{name}`"))
    })
}
