//! Sheet `dead-tests`: what a meter must read with the plug on the table, and what only others can test.

use serde::Serialize;
use serde_json::{Value, json};

use crate::lamp::driver::Channel;
use crate::packet::bench::{Bench, SheetKind};
use crate::packet::sheet::TextSize;
use crate::packet::terms;
use crate::physics::mechanics::stability::{Place, tilt_wanted};
use crate::quantity::Quantity;
use crate::schema::words::{Class, Common, Instrument, Mount, Place as Surroundings, Pole, Pull};
use crate::solve::fit::tilt;
use crate::solve::wires::{Role, Wire, WireZone, battery_plug, strings_plug};

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "dead-tests",
    title: "Dead tests",
    moment: "meter in hand, no power on the lamp",
    template_name: "sheets/dead-tests.md",
    template: include_str!("../../../templates/sheets/dead-tests.md"),
    size: TextSize::Body,
    landscape: false,
    applies: |_| true,
    data,
    required: |bench| {
        tests(bench).into_iter().map(|t| format!("{} {}", bench.local(&t.a), bench.local(&t.b))).collect()
    },
};

/// One test.
#[derive(Debug, Clone, Serialize)]
struct Test {
    group: &'static str,
    a: String,
    b: String,
    range: &'static str,
    expect: String,
    unit: &'static str,
    #[serde(skip)]
    needs: Option<Instrument>,
}

const EARTH: &str = "[Earth]";
const APART: &str = "[Mains] kept apart";
const THROUGH: &str = "[Mains] led where it belongs";
const BATTERY: &str = "Battery, its fuse and its two wires";
const HAND: &str = "By hand";
const LOW: &str = "Low-voltage side";

fn data(bench: &Bench<'_>) -> Value {
    let (own, others): (Vec<Test>, Vec<Test>) =
        tests(bench).into_iter().partition(|t| t.needs.is_none_or(|i| bench.owns(i)));
    let group = |name: &str| {
        let rows: Vec<&Test> = own.iter().filter(|t| t.group == name).collect();
        json!({ "name": terms::in_terms(bench.region(), name), "rows": rows })
    };
    let groups = [EARTH, APART, THROUGH, BATTERY, LOW, HAND].map(group);
    let others: Vec<Value> = others.iter().map(|t| json!({ "test": t, "needs": needed(bench, t) })).collect();
    let battery = bench.battery();
    // A pin of such a plug is named by the core behind it.
    let hot = bench.term("line pin").split_once(" on the ").map_or("line's core", |(_, core)| core);
    let turns = bench.plug_turns() && bench.lamp.mains.as_ref().is_some_and(|m| m.fuse.is_some());
    json!({
        "groups": groups, "others": others, "mains": bench.mains(), "battery": battery,
        "turns": turns, "hot": hot, "inlet": bench.inlet(),
    })
}

/// The instrument that a test takes, and for a meter how it is set and what comes apart first.
fn needed(bench: &Bench<'_>, test: &Test) -> String {
    match test.needs {
        Some(Instrument::Meter) => format!("{}, {}", bench.instrument(Instrument::Meter), test.range),
        Some(other) => bench.instrument(other),
        None => String::new(),
    }
}

/// Whether the owner has every instrument that the tests ask for.
pub(super) fn all_at_hand(bench: &Bench<'_>) -> bool {
    tests(bench).iter().all(|t| t.needs.is_none_or(|i| bench.owns(i)))
}

fn tests(bench: &Bench<'_>) -> Vec<Test> {
    let mut all = Vec::new();
    if bench.mains() {
        all.extend(earth(bench));
        all.extend(apart(bench));
        all.extend(through(bench));
    }
    all.extend(battery(bench));
    all.extend(low_side(bench));
    all.extend(by_hand(bench));
    all
}

fn test(
    group: &'static str,
    a: &str,
    b: &str,
    range: &'static str,
    expect: impl Into<String>,
    unit: &'static str,
) -> Test {
    Test { group, a: a.into(), b: b.into(), range, expect: expect.into(), unit, needs: Some(Instrument::Meter) }
}

/// Class I: first roughly with a meter, then properly with the current the standard asks for.
fn earth(bench: &Bench<'_>) -> Vec<Test> {
    let class = bench.lamp.mains.as_ref().and_then(|m| m.class.value);
    if class != Some(Class::I) {
        return Vec::new();
    }
    let (expected, most) = (bench.said_band("line.earth-expected"), bench.said("line.earth-most"));
    let parts = bench.touchable();
    let pin = bench.term("earth pin");
    let rough =
        parts.iter().map(|part| test(EARTH, pin, part, "200 Ω, leads taken off", format!("at most {most}"), "Ω"));
    let proper = parts.iter().map(|part| Test {
        needs: Some(Instrument::EarthTester),
        ..test(
            EARTH,
            &format!("{pin}, at the tester's current"),
            part,
            bench.term("earth tester"),
            format!("{expected}, at most {most}"),
            "Ω",
        )
    });
    rough.chain(proper).collect()
}

fn apart(bench: &Bench<'_>) -> Vec<Test> {
    let (line, neutral) = (bench.term("line pin"), bench.term("neutral pin"));
    let mut rows = vec![test(
        APART,
        line,
        neutral,
        if bench.lamp.mains.as_ref().is_some_and(|m| m.switch.is_some()) { "2 MΩ, switches on" } else { "2 MΩ" },
        format!("no short: above {} once it settles", bench.known("line.short-least").unwrap_or("a value not known")),
        "kΩ",
    )];
    let mut targets: Vec<String> = bench.touchable().into_iter().map(str::to_owned).collect();
    if targets.is_empty() {
        targets.push("foil pressed on the body".into());
    }
    for part in &targets {
        rows.push(test(APART, line, part, "20 MΩ", "over range", "MΩ"));
        rows.push(test(APART, neutral, part, "20 MΩ", "over range", "MΩ"));
    }
    let voltage = bench.said("line.test-voltage");
    let insulation = |b: &str, path: &str| Test {
        needs: Some(Instrument::InsulationTester),
        ..test(
            APART,
            &format!("{} joined", bench.term("line and neutral pins")),
            b,
            bench.term("insulation tester"),
            format!("{voltage} direct, a minute: at least {}", bench.said(path)),
            "MΩ",
        )
    };
    rows.extend(targets.iter().map(|part| insulation(part, "line.insulation")));
    rows.push(insulation("supply's + and - joined, its low-voltage wires taken off", "line.insulation-low"));
    rows
}

/// Each mains conductor that ends at the supply, from the pin it comes from, with what must open it.
fn through(bench: &Bench<'_>) -> Vec<Test> {
    let (line, neutral) = (bench.term("line pin"), bench.term("neutral pin"));
    let hot = format!("supply, {} terminal", bench.term("line"));
    vec![
        test(THROUGH, line, &hot, "200 Ω", opened(bench, Pole::Line), "Ω"),
        test(THROUGH, neutral, "supply, neutral terminal", "200 Ω", opened(bench, Pole::Neutral), "Ω"),
        test(THROUGH, line, "supply, neutral terminal", "2 MΩ", "not joined", "kΩ"),
    ]
}

/// Joined, and open with whatever stands in this conductor: the fuse, the switch.
fn opened(bench: &Bench<'_>, pole: Pole) -> String {
    let mains = bench.lamp.mains.as_ref();
    let fused = mains.and_then(|m| m.fuse.as_ref()).is_some_and(|fuse| fuse.opens(pole));
    let switched = mains.and_then(|m| m.switch.as_ref()).is_some_and(|switch| switch.opens(pole));
    let mut words = vec!["joined"];
    words.extend(fused.then_some("open with the fuse out"));
    words.extend(switched.then_some("open with the switch off"));
    words.join("; ")
}

/// Battery out for all but the first row: what would short it, and whether each pole leads where it belongs.
fn battery(bench: &Bench<'_>) -> Vec<Test> {
    let Some(given) = &bench.lamp.supply.battery else { return Vec::new() };
    let fused = given.fuse.is_some();
    let volts = format!("{}, no minus sign", bench.said_band("feed.alone"));
    let (plus, minus) = ("lamp's battery wire +", "lamp's battery wire -");
    let (own_plus, own_minus) = if battery_plug(bench.lamp) {
        ("battery alone, plug +", "battery alone, plug -")
    } else {
        ("battery alone, its +", "battery alone, its -")
    };
    vec![
        test(BATTERY, own_plus, own_minus, "20 V or more, direct", volts, "V"),
        test(
            BATTERY,
            plus,
            minus,
            if fused { "200 kΩ, fuse in" } else { "200 kΩ" },
            "no short, rises as capacitors charge",
            "kΩ",
        ),
        test(BATTERY, minus, plus, "200 kΩ, probes changed over", "no short", "kΩ"),
        test(BATTERY, plus, "driver +", "200 Ω", if fused { "joined; open with the fuse out" } else { "joined" }, "Ω"),
        test(BATTERY, minus, "driver -", "200 Ω", "joined", "Ω"),
        test(BATTERY, plus, "bare metal of body or sink", "20 MΩ", "over range", "MΩ"),
    ]
}

fn low_side(bench: &Bench<'_>) -> Vec<Test> {
    let mut rows = Vec::new();
    if !bench.mains() && !bench.battery() {
        let volts = format!("{}, no minus sign", bench.said_band("feed.alone"));
        let (plus, minus) = ("outside supply alone, its +", "its -");
        rows.push(test(LOW, plus, minus, "20 V or more, direct", volts, "V"));
    }
    rows.push(test(LOW, "driver +", "driver -", "200 kΩ", "no short, rises as capacitors charge", "kΩ"));
    let sink = if bench.lamp.sink.is_some() { "bare metal of the sink" } else { "emitter's metal base" };
    for channel in &bench.lamp.driver.channels {
        let (plus, minus) = (format!("{} string +", channel.name), format!("{} string -", channel.name));
        rows.push(test(LOW, &plus, &minus, "diode test", "over range or a faint glow, never a short", "V"));
        rows.push(test(LOW, &plus, sink, "20 MΩ", "over range", "MΩ"));
    }
    let apart = match strings_plug(bench.lamp) {
        true => "20 MΩ, strings unplugged from the driver",
        false => "20 MΩ, before their wires are joined to the driver",
    };
    if bench.lamp.emitter.common.value == Some(Common::None) {
        let pairs = bench.lamp.driver.channels.windows(2);
        rows.extend(pairs.filter_map(|pair| match pair {
            [one, other] => {
                let (a, b) = (format!("{} string +", one.name), format!("{} string +", other.name));
                Some(test(LOW, &a, &b, apart, "over range", "MΩ"))
            }
            _ => None,
        }));
    }
    rows.extend(held(bench));
    // Every wire by its number: the ones that carry power first, since a wrong one of them costs most.
    let wires = bench.solution.wires.iter().filter(|w| w.zone != WireZone::Mains);
    rows.extend(wires.map(|w| {
        let [from, to] = [&w.from, &w.to].map(|end| probed(bench, w, end));
        test(LOW, &from, &to, "200 Ω", format!("joined ({})", w.number), "Ω")
    }));
    rows.extend(crossed(bench));
    rows
}

/// The resistors that hold control lines down, through the driver's own terminals.
fn held(bench: &Bench<'_>) -> Vec<Test> {
    let pairs = bench.lamp.driver.channels.iter().zip(&bench.solution.channels);
    let pulled = pairs.filter_map(|(channel, solved)| {
        let pull = solved.pull.as_ref()?.as_ref().ok()?;
        let ohms = pull.value.value();
        (ohms > 0.0 && channel.pull_to.value == Some(Pull::Down)).then_some((channel, ohms))
    });
    let row = |(channel, ohms): (&Channel, f64)| {
        let range = match ohms {
            ohms if ohms < 19e3 => "20 kΩ, controller off its wires",
            ohms if ohms < 190e3 => "200 kΩ, controller off its wires",
            _ => "2 MΩ, controller off its wires",
        };
        let expect = bench.band(&format!("drive.{}.pull", channel.name));
        test(LOW, &format!("driver.{}-in", channel.name), "driver.-", range, expect, "kΩ")
    };
    pulled.map(row).collect()
}

/// Where a wire is probed: at its terminal, or at its bare end where a string is soldered to the driver only later.
fn probed(bench: &Bench<'_>, wire: &Wire, end: &str) -> String {
    let string = matches!(wire.role, Role::StringPlus(_) | Role::StringMinus(_));
    match string && end.starts_with("driver.") && !strings_plug(bench.lamp) {
        true => format!("{}, its end for {end}", wire.number),
        false => end.to_owned(),
    }
}

/// Polarity: the plus end of each consumer leads to no minus of the source.
fn crossed(bench: &Bench<'_>) -> Vec<Test> {
    let wires = &bench.solution.wires;
    let Some(minus) = wires.iter().find(|w| w.role == Role::Minus).map(|w| w.from.as_str()) else { return Vec::new() };
    let taken = wires.iter().filter(|w| w.role == Role::Minus).filter_map(|w| w.to.strip_suffix('-'));
    let plus = taken.map(|part| format!("{part}+"));
    plus.map(|plus| test(LOW, &plus, minus, "200 kΩ, red lead on +", "not joined, rises as capacitors charge", "kΩ"))
        .collect()
}

fn by_hand(bench: &Bench<'_>) -> Vec<Test> {
    let free =
        |a: &str, b: &str, range, expect: String, unit| Test { needs: None, ..test(HAND, a, b, range, expect, unit) };
    let cord = bench.term("cord");
    let mut rows = Vec::new();
    if bench.lamp.mains.as_ref().is_some_and(|m| m.cord.is_some()) && bench.mains() {
        let (pull, twist) = (bench.shown("line.pull"), bench.shown("line.twist"));
        rows.push(Test {
            needs: Some(Instrument::SpringBalance),
            ..free(
                &format!("{cord}, marked 20 mm out"),
                &format!("pull {pull}, 25 times"),
                "spring balance",
                "moves at most 2 mm".into(),
                "mm",
            )
        });
        rows.push(free(cord, &format!("twist {twist}, a minute"), "by hand", "does not turn in its clamp".into(), ""));
        rows.push(free(cord, "push inwards", "by hand", "does not slide in".into(), ""));
    }
    if bench.mains() {
        rows.push(free("each opening", "rod of 12 mm", "by hand", "does not enter".into(), ""));
        rows.push(free(
            &format!("each opening over {}", bench.term("mains")),
            "rod of 2.5 mm",
            "by hand",
            "reaches nothing live".into(),
            "",
        ));
        if bench.lamp.identity.place.value != Some(Surroundings::IndoorDry) {
            rows.push(free("each opening", "wire of 1 mm", "by hand", "does not enter".into(), ""));
        }
    }
    rows.push(free("each terminal", "tug of each wire", "by hand", "none moves, no stray strand".into(), ""));
    if bench.lamp.identity.mount.value == Some(Mount::Pendant) {
        let load = "four times the lamp's mass, an hour";
        rows.push(free("fixing and what it hangs on", load, "by hand", "nothing stretches, slips or tears".into(), ""));
    }
    if matches!(bench.lamp.identity.mount.value, Some(Mount::Table | Mount::Floor)) {
        // Where it is not known who it stands with, the stricter angle.
        let angle = tilt(bench.lamp).unwrap_or_else(|_| tilt_wanted(Place::Children)).angle.show();
        rows.push(free("lamp", &format!("tilt {angle} to every side"), "by hand", "comes back".into(), ""));
    }
    rows.push(free("lid or diffuser", "by hand", "by hand", "sits without force".into(), ""));
    rows
}
