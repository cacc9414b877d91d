//! Sheet `first-power`: read a step aloud, do it, compare, stop or go on; low voltage first, mains last.

use serde_json::{Value, json};

use super::wiring::colour;
use crate::lamp::driver::Channel;
use crate::packet::bench::{Bench, SheetKind};
use crate::packet::sheet::TextSize;
use crate::schema::words::{Instrument, PowerReturn, Topology};
use crate::solve::wires::{Role, battery_plug, strings_plug};

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "first-power",
    title: "First power (read and do)",
    moment: "the first volt, and every volt after it: one reads, one does",
    template_name: "sheets/first-power.md",
    template: include_str!("../../../templates/sheets/first-power.md"),
    size: TextSize::Card,
    landscape: true,
    applies: |_| true,
    data,
    required,
};

/// Findings that no waiver lets through.
fn refused(bench: &Bench<'_>) -> Vec<Value> {
    let refusals = bench.report.refusals().into_iter();
    refusals.map(|(rule, message)| json!({ "rule": rule.name, "message": bench.spoken(&message) })).collect()
}

/// The rows that nobody may drop: the reason, or the limits and the words to stop at.
fn required(bench: &Bench<'_>) -> Vec<String> {
    let refused = bench.refused();
    if !refused.is_empty() {
        return refused;
    }
    let mut rows = vec!["STOP IF".to_owned()];
    rows.extend(bench.lamp.driver.channels.iter().map(|c| c.name.clone()));
    rows.extend(bench.solution.ledger.shown("feed.idle-limit").map(str::to_owned));
    if bench.mains() {
        rows.push(bench.term("residual device").to_owned());
    }
    rows
}

fn data(bench: &Bench<'_>) -> Value {
    let lamp = bench.lamp;
    let channels: Vec<Value> = lamp.driver.channels.iter().map(channel).collect();
    json!({
        "refused": refused(bench),
        "channels": channels,
        "mains": bench.mains(),
        "battery": bench.battery(),
        "switch": bench.lamp.mains.as_ref().is_some_and(|mains| mains.switch.is_some()),
        "bench_supply": bench.owns(Instrument::BenchSupply),
        "residual_device": bench.owns(Instrument::ResidualCurrentDevice),
        "power_meter": bench.owns(Instrument::PowerMeter),
        "second_meter": bench.owns(Instrument::SecondMeter),
        "strings_plug": strings_plug(lamp),
        "battery_plug": battery_plug(lamp),
        "plus_wires": leaving(bench, &Role::Plus),
        "minus_wires": leaving(bench, &Role::Minus),
        "switched": lamp.driver.topology.value == Some(Topology::HystereticSink),
        "module": lamp.driver.topology.value == Some(Topology::BuckModule),
        "scope": bench.owns(Instrument::Oscilloscope),
        "shutoff": lamp.driver.shutoff.is_some(),
        "power_return": after_cut(bench),
        "output": lamp.supply.output.path,
        "discharge": lamp.supply.discharge.path,
    })
}

/// What the light does when power returns.
pub(super) fn after_cut(bench: &Bench<'_>) -> &'static str {
    match bench.lamp.aim.power_return.value {
        Some(PowerReturn::Off) => "stays dark until it is switched on",
        Some(PowerReturn::Last) => "comes back at the level it had",
        Some(PowerReturn::On) => "comes on at full",
        None => "does what nobody has written down: try it",
    }
}

/// Wires by which a bench supply feeds the lamp, with their colours: `L1 and L3 (red RD)`.
///
/// They are those that leave where the driver's own wire leaves; a lead before the battery's fuse is not among them.
fn leaving(bench: &Bench<'_>, role: &Role) -> String {
    let wires = &bench.solution.wires;
    let name = if *role == Role::Plus { "supply-plus" } else { "supply-minus" };
    let Some(first) = wires.iter().find(|w| w.name == name) else { return String::new() };
    let alike: Vec<&str> =
        wires.iter().filter(|w| w.role == *role && w.from == first.from).map(|w| w.number.as_str()).collect();
    format!("{} ({})", alike.join(" and "), colour(bench, first.colour))
}

/// Levels of the two tables, per cent, and where each finds its current.
fn steps(path: &dyn Fn(u32) -> String) -> Vec<Value> {
    [25, 50, 100].into_iter().map(|level| json!({ "level": level, "current": path(level) })).collect()
}

fn channel(channel: &Channel) -> Value {
    let at = |figure: &str| format!("drive.{}.{figure}", channel.name);
    json!({
        "name": channel.name,
        "dummy": at("dummy"),
        "dummy_rating": at("dummy-rating"),
        "dummy_current": at("dummy-current"),
        "dummy_limit": at("dummy-limit"),
        "limit": at("bench-limit"),
        "current": at("current"),
        "floor": at("floor"),
        "string": at("string"),
        "dummy_steps": steps(&|level| match level {
            100 => at("dummy-current"),
            _ => at(&format!("dummy-{level}-current")),
        }),
        "steps": steps(&|level| at(&format!("at-{level}-current"))),
        "frequency": at("frequency"),
        "boot_level": at("boot-level"),
        "off_below": at("off-below"),
    })
}
