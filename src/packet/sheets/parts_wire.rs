//! The last group of sheet `parts`: wire by colour and length, and what its ends wear, counted end by end.

use super::parts::{Item, WIRE, pieces};
use super::wire_labels::buy;
use super::wiring::{colour, size};
use crate::figures::stated;
use crate::packet::bench::Bench;
use crate::schema::words::{Terminals, WireEnds};
use crate::solve::wires::{Join, Role, Wire, WireZone, join, reels, terminals};

/// Wire to buy, then ends for the mains side, then ends for the rest.
pub(super) fn wire(bench: &Bench<'_>) -> Vec<Item> {
    let mut items = Vec::new();
    for reel in reels(&bench.solution.wires) {
        let zone = match reel.wire.zone {
            WireZone::Mains => format!("wire for {}", bench.term("mains")),
            _ => "wire".to_owned(),
        };
        items.push(Item {
            group: WIRE,
            what: format!("{zone}, {}", colour(bench, reel.wire.colour)),
            rating: size(bench, reel.wire),
            each: reel.numbers.join(" "),
            all: buy(bench, &reel),
            matters: format!(
                "fine strands, for {} and {}",
                bench.said("wiring.temperature"),
                stated(reel.wire.voltage.value(), "V")
            ),
        });
    }
    // An earth bond wears a ring at its metal part and the usual end at the entry.
    let of_mains: Vec<&Wire> = bench.solution.wires.iter().filter(|w| w.zone == WireZone::Mains).collect();
    let bonds = count(of_mains.iter().filter(|w| w.role == Role::Earth).count());
    let at_entry = of_mains.iter().flat_map(|w| [&w.from, &w.to]).filter(|end| end.starts_with("entry.")).count();
    let tabs = if bench.inlet() { count(at_entry) } else { 0 };
    let mains = 2 * count(of_mains.len()) - bonds - tabs;
    // The cores of the cord wear at the entry what the wires wear there.
    let cores = terminals(bench.lamp, &bench.solution.wires).iter().filter(|t| t.core.is_some()).count();
    let given = bench.lamp.mains.as_ref();
    // Strands that go under the terminal as they are take no part.
    let worn = !matches!(given.and_then(|m| m.ends.value), Some(WireEnds::Bare | WireEnds::Tinned));
    if mains > 0 && worn {
        let terminals = given.and_then(|m| m.terminals.value);
        let matters = if terminals == Some(Terminals::PushOn) {
            "insulated, crimped with their own tool"
        } else {
            "crimped, not soldered"
        };
        let what = format!("ends of wires for {}: {}", bench.term("mains"), bench.said("mains.ends"));
        let (own, cord) = (bench.shown("wiring.mains-area"), bench.shown("mains.cord.core-area"));
        let together = if own == cord { count(cores) } else { 0 };
        items.push(pieces(bench, WIRE, mains + together, what, own, matters));
        if cores > 0 && together == 0 {
            let what = format!("ends of the {}'s cores: {}", bench.term("cord"), bench.said("mains.ends"));
            items.push(pieces(bench, WIRE, count(cores), what, cord, matters));
        }
    }
    if tabs > 0 {
        let area = bench.shown("wiring.mains-area");
        let matters = "insulated, crimped with its own tool, of the width of the inlet's tabs";
        items.push(pieces(bench, WIRE, tabs, "push-on receptacle for the inlet".into(), area, matters));
    }
    if bonds > 0 {
        let washer = bench.term("toothed washer");
        let area = bench.shown("wiring.mains-area");
        items.push(pieces(bench, WIRE, bonds, "ring crimp".into(), area, "for each bond's screw at its metal part"));
        items.push(pieces(bench, WIRE, bonds, washer.into(), "for that screw".into(), "bites into bare metal"));
    }
    let sleeved: Vec<&str> = of_mains.iter().filter(|w| !w.sleeve.is_empty()).map(|w| w.number.as_str()).collect();
    if !sleeved.is_empty() {
        let (each, all) = (sleeved.join(" "), "as long as these wires".to_owned());
        let (what, rating) = ("sleeve, the second layer".to_owned(), bench.shown("wiring.temperature"));
        items.push(Item { group: WIRE, what, rating, each, all, matters: "over the whole length of each".into() });
    }
    items.extend(low_ends(bench));
    items
}

fn count(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}

/// Ends of the wires outside the mains, counted by how each is joined.
fn low_ends(bench: &Bench<'_>) -> Vec<Item> {
    let low = bench.solution.wires.iter().filter(|w| w.zone != WireZone::Mains);
    let ends: Vec<&str> = low.flat_map(|w| [w.from.as_str(), w.to.as_str()]).collect();
    let joined = |wanted: Join| ends.iter().filter(move |end| join(bench.lamp, end) == wanted);
    let held = |end: &str| ends.iter().filter(|other| **other == end).count();
    let single = joined(Join::Terminal).filter(|end| held(end) == 1).count();
    let mut shared: Vec<&&str> = joined(Join::Terminal).filter(|end| held(end) > 1).collect();
    shared.sort_unstable();
    shared.dedup();
    let soldered = joined(Join::Soldered).count() + joined(Join::Lead).count();
    let area = bench.shown("wiring.area");
    let rows = [
        (single, "ferrule for low voltage", area.clone(), "crimped, not soldered"),
        (shared.len(), "twin ferrule for low voltage", format!("2 x {area}"), "two wires under one terminal"),
        (
            joined(Join::Header).count(),
            "contact for the board's headers",
            area.clone(),
            "with its housings, crimped with its own tool",
        ),
        (soldered, "piece of heat-shrink", "to fit the wire".to_owned(), "over each soldered joint"),
    ];
    let some = rows.into_iter().filter(|(n, ..)| *n > 0);
    some.map(|(n, what, rating, matters)| pieces(bench, WIRE, count(n), what.into(), rating, matters)).collect()
}

/// The terminals of the entry, by their letters.
pub(super) fn entry_poles(bench: &Bench<'_>) -> String {
    let all = terminals(bench.lamp, &bench.solution.wires);
    all.iter().filter_map(|t| t.name.strip_prefix("entry.")).collect::<Vec<_>>().join(" ")
}
