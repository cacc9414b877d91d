//! Conductors: colours kept for mains and earth, thickness, tinned ends under screws, the earth wire the longest, no
//! more of them under one terminal than it takes.

use crate::diag::Signal;
use crate::lamp::given::Given;
use crate::lamp::wiring::Run;
use crate::physics::conductors::Region;
use crate::physics::conductors::colour::{Colour as Paint, Conductor, Marking, conductor_colour, reserved_for};
use crate::quantity::{Amperes, Metres, SquareMetres};
use crate::rules::rule::{Case, Finding, Judgement, Measure, Outcome, Rule, Skip, each, once, unless};
use crate::schema::words::{Class, Terminals, WireEnds, Word};
use crate::solve::line::terms;
use crate::solve::wires::{Role, Terminal, Wire, WireZone, terminals};
use crate::spread::Spread;

use super::{mains, of_class};

/// How much longer the inner earth must be than line and neutral (our margin).
const EARTH_SLACK: Metres = Metres::si(8e-3);

pub(super) static COLOURS: Rule = Rule {
    name: "mains/colours",
    signal: Signal::Warning,
    waivable: true,
    title: "a wire in a colour that means something else",
    source: "IEC 60445 and HD 308; NEC 200.6, 210.5 and 250.119; keeping line and neutral colours off low voltage is our margin",
    why: "the next person reads the colour before the label",
    fix: "choose a colour that neither earth nor mains keeps for itself",
    check: |case| {
        let region = match case.lamp.identity.region.get() {
            Ok(region) => terms::region(region),
            Err(missing) => return once(|| Err(missing.into())),
        };
        let wires = case.solution.wires.iter();
        let wrong: Vec<_> = wires.filter_map(|wire| Some((wire, meaning(case, region, wire)?))).collect();
        if wrong.is_empty() {
            return once(|| Ok(Outcome::Pass(None)));
        }
        each(&wrong, |(wire, _)| wire.name.clone(), |(wire, meaning)| colour(case, wire, meaning))
    },
};

/// What the wire's colour says that the wire is not.
fn meaning(case: &Case<'_>, region: Region, wire: &Wire) -> Option<&'static str> {
    let marking = terms::marking(wire.colour);
    let own = match wire.role {
        Role::Earth => Some(Conductor::ProtectiveEarth),
        Role::Line => Some(Conductor::Line),
        Role::Neutral => Some(Conductor::Neutral),
        _ => None,
    };
    match own {
        Some(own) => {
            let proper = conductor_colour(region, own);
            let worn = proper.marking == marking || proper.also.contains(&marking.code().as_str());
            (!worn).then_some("not the colour of its kind")
        }
        // A further wire of the mains may wear line's or neutral's colour, and never earth's.
        None if wire.zone == WireZone::Mains && !earthy(marking) => None,
        None => reserved_for(region, marking, case.lamp.mains.is_some()).map(|kept| match kept {
            Conductor::Line => "kept for line",
            Conductor::Neutral => "kept for neutral",
            _ => "kept for earth",
        }),
    }
}

fn earthy(marking: Marking) -> bool {
    [marking.first, marking.second.unwrap_or(marking.first)].iter().any(|c| matches!(c, Paint::Green | Paint::Yellow))
}

fn colour(case: &Case<'_>, wire: &Wire, meaning: &str) -> Judgement {
    let span = of_run(case, wire, |run| &run.colour).map_or(case.lamp.wiring.span, |given| given.span);
    unless(true, || {
        let zone = if wire.zone == WireZone::Mains { "mains" } else { "low-voltage" };
        let message = format!("the {zone} wire `{}` is {}, {meaning}", wire.name, wire.colour.word());
        Finding::new(message, span, "colour")
            .fix("take the colour out of its `run`, and the wiring sheet chooses one that is free")
    })
}

/// What the author said of this wire alone.
fn of_run<'a, T>(case: &Case<'a>, wire: &Wire, property: fn(&'a Run) -> &'a Given<T>) -> Option<&'a Given<T>> {
    let run = case.lamp.wiring.runs.iter().find(|run| run.name == wire.name);
    run.map(property).filter(|given| !given.is_left_out())
}

/// The area a wire is cut from: its own, or that of its zone.
fn area<'a>(case: &Case<'a>, wire: &Wire) -> &'a Given<Spread<SquareMetres>> {
    let wiring = &case.lamp.wiring;
    let zone = if wire.zone == WireZone::Mains { &wiring.mains_area } else { &wiring.area };
    of_run(case, wire, |run| &run.area).unwrap_or(zone)
}

pub(super) static WIRE_TOO_THIN: Rule = Rule {
    name: "mains/wire-too-thin",
    signal: Signal::Warning,
    waivable: true,
    title: "a wire inside carries more than it may where it lies",
    source: "our margin of 5 A/mm², below IEC 60204-1 table 6; bunching by IEC 60364-5-52, from memory",
    why: "a warm bundle in a warm box ages its own insulation, and the wire beside it",
    fix: "use a thicker wire, or insulation for a higher temperature",
    check: |case| once(|| thinnest(case)),
};

/// Judges the wire that is nearest to what it may carry; a control line's current is a bound of its pin, not a load.
fn thinnest(case: &Case<'_>) -> Judgement {
    let loaded = case.solution.wires.iter().filter(|w| w.role != Role::Earth && w.zone != WireZone::Signal);
    let mut all = Vec::new();
    for wire in loaded {
        area(case, wire).known()?;
        all.push((wire, wire.current.clone()?, wire.ampacity.clone()?));
    }
    let use_of = |(_, current, most): &(&Wire, Amperes, Amperes)| current.value() / most.value();
    let nearest = all.into_iter().max_by(|a, b| use_of(a).total_cmp(&use_of(b)));
    let (wire, current, most) = nearest.ok_or(Skip::NotApplicable)?;
    let path = Some(format!("wire.{}.current", wire.name));
    Measure::at_most(format!("current in {}", wire.name), path, current, most).judge(|m| {
        let lies = "where it lies it may carry";
        let message = format!("`{}` of {} carries {}; {lies} {}", wire.name, wire.area, m.value, m.limit);
        let fix = "use a thicker wire, or write a higher `temperature` in `wiring` and buy wire made for it";
        Finding::new(message, area(case, wire).span, "area").fix(fix)
    })
}

pub(super) static TERMINATION: Rule = Rule {
    name: "mains/termination",
    signal: Signal::Warning,
    waivable: true,
    title: "tinned strands under a screw or spring",
    source: "IEC 60598-1, sections 14 and 15, from memory; common practice for spring clamps",
    why: "solder creeps away under pressure; the joint loosens and heats",
    fix: "crimp ferrules on the strands instead of tinning them",
    check: |case| {
        once(|| {
            let mains = mains(case)?;
            let (ends, terminals) = (mains.ends.get()?, mains.terminals.get()?);
            let pressed = matches!(terminals, Terminals::Screw | Terminals::Spring);
            unless(ends == WireEnds::Tinned && pressed, || {
                let message = format!("tinned strands under a {} terminal work loose", terminals.word());
                Finding::new(message, mains.ends.span, "ends")
                    .also(mains.terminals.span, "terminals")
                    .fix("write `ends ferrule` and crimp them")
            })
        })
    },
};

pub(super) static EARTH_SHORTEST: Rule = Rule {
    name: "mains/earth-shortest",
    signal: Signal::Warning,
    waivable: true,
    title: "the inner earth is not the longest",
    source: "IEC 60598-1, section 7, from memory; the 8 mm are our margin",
    why: "when the cord is torn out, the wire that lets go last must be the earth",
    fix: "cut the earth longer than line and neutral",
    check: |case| {
        let earths: Vec<&Wire> = case.solution.wires.iter().filter(|w| w.role == Role::Earth).collect();
        if earths.is_empty() {
            return once(|| Err(Skip::NotApplicable));
        }
        each(earths, |w| w.name.clone(), |earth| longest(case, earth))
    },
};

/// The wires that leave the entry are what a pull on the cord loads.
fn longest(case: &Case<'_>, earth: &Wire) -> Judgement {
    let mains = of_class(case, Class::I)?;
    let length = of_run(case, earth, |run| &run.length).unwrap_or(&mains.earth_slack);
    length.known()?;
    let live = case.solution.wires.iter().filter(|w| w.from.starts_with("entry.") && w.role != Role::Earth);
    let live = live.filter(|w| w.zone == WireZone::Mains).map(|w| w.length).fold(Metres::ZERO, Metres::max);
    let need = live + EARTH_SLACK;
    let path = Some(format!("wire.{}.length", earth.name));
    Measure::at_least("inner earth", path, earth.length, need).judge(|m| {
        let message = format!("`{}` is {}; line or neutral is {live}, so earth must be {need}", earth.name, m.value);
        Finding::new(message, length.span, "earth").fix("write `earth-slack 15 mm`, or lengthen its run")
    })
}

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
        each(&shared, |t| t.name.clone(), |terminal| crowded(case, terminal))
    },
};

fn crowded(case: &Case<'_>, terminal: &Terminal) -> Judgement {
    let takes = &case.lamp.wiring.terminal_takes;
    let most = takes.get()? as usize;
    unless(terminal.holds() > most, || {
        let (name, wires) = (&terminal.name, terminal.held("cord's").join(", "));
        let message = format!("`{name}` holds {wires}: {} conductors, and takes {most}", terminal.holds());
        Finding::new(message, takes.span, "terminal-takes")
            .fix(format!("branch {wires} at a terminal block, one wire on to `{name}`"))
    })
}
