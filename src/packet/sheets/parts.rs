//! Sheet `parts`: what to buy and lay out, for all lamps of the batch, and what matters in each part.

use serde::Serialize;
use serde_json::{Value, json};

use super::parts_wire as wires;
use crate::lamp::supply::Battery;
use crate::packet::bench::{Bench, SheetKind};
use crate::packet::plain::plain;
use crate::packet::sheet::{DataTable, TextSize};
use crate::packet::terms::in_terms;
use crate::schema::words::{Anchorage, OutlineKind, Pole, ShutoffKind, SwitchPlace, Word};
use crate::solve::line::terms;
use crate::solve::wires::battery_plug;

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "parts",
    title: "Parts",
    moment: "buying, and laying out before the work",
    template_name: "sheets/parts.md",
    template: include_str!("../../../templates/sheets/parts.md"),
    size: TextSize::Dense,
    landscape: true,
    applies: |_| true,
    data,
    required: |bench| items(bench).into_iter().map(|i| i.what).collect(),
};

/// One line of the list.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Item {
    pub(super) group: &'static str,
    pub(super) what: String,
    pub(super) rating: String,
    /// Pieces for one lamp, or an amount in words.
    pub(super) each: String,
    /// For all lamps.
    pub(super) all: String,
    pub(super) matters: String,
}

const MAINS: &str = "[Mains]";
const BOUGHT: &str = "Bought boards and light";
const BOARD: &str = "Driver board";
const BODY: &str = "Body and light";
pub(super) const WIRE: &str = "Wire and ends";

fn data(bench: &Bench<'_>) -> Value {
    let items = items(bench);
    let group = |name: &str| {
        let rows: Vec<&Item> = items.iter().filter(|item| item.group == name).collect();
        json!({ "name": in_terms(bench.region(), name), "rows": rows })
    };
    let groups = [MAINS, BOUGHT, BOARD, BODY, WIRE].map(group);
    json!({ "groups": groups, "quantity": bench.lamps() })
}

fn items(bench: &Bench<'_>) -> Vec<Item> {
    let all = [mains(bench), bought(bench), board(bench), body(bench), wires::wire(bench)].into_iter().flatten();
    let local = |item: Item| {
        let [what, rating, matters] = [&item.what, &item.rating, &item.matters].map(|text| bench.local(text));
        Item { what, rating, matters, ..item }
    };
    all.map(local).collect()
}

pub(super) fn pieces(
    bench: &Bench<'_>,
    group: &'static str,
    n: u32,
    what: String,
    rating: String,
    matters: impl Into<String>,
) -> Item {
    let all = u64::from(n) * u64::from(bench.lamps());
    Item { group, what, rating, each: n.to_string(), all: all.to_string(), matters: matters.into() }
}

fn named(what: &str, part: Option<&String>) -> String {
    part.map_or_else(|| what.to_owned(), |part| format!("{what} \"{part}\""))
}

fn mains(bench: &Bench<'_>) -> Vec<Item> {
    let Some(mains) = &bench.lamp.mains else { return Vec::new() };
    let one = |what: String, rating: String, matters: String| pieces(bench, MAINS, 1, what, rating, matters);
    let (shown, said) = (|path: &str| bench.shown(path), |path: &str| bench.said(path));
    let mut items = Vec::new();
    if let Some(cord) = &mains.cord {
        let build = cord.build.value.map_or("of a build not known", terms::build);
        let rating =
            format!("{} x {}, {}", said("mains.cord.cores"), said("mains.cord.core-area"), said("mains.cord.length"));
        let outside = bench.range("line.outer-least", "line.outer-greatest");
        let matters = format!("outside {outside}, plug {}", bench.plain("mains.cord.plug"));
        items.push(one(format!("{} {build} with plug", bench.term("cord")), rating, matters));
    }
    if bench.plug_fused() {
        let matters = "for the plug, in place of the one it is sold with; a second one taped inside the lid";
        items.push(pieces(bench, MAINS, 2, "fuse in the plug".into(), shown("line.plug-fuse"), matters));
    }
    if let Some(entry) = &mains.entry {
        let what =
            if entry.anchorage.value == Some(Anchorage::Gland) { "cable gland" } else { bench.term("cord clamp") };
        let (pull, twist) = (shown("line.pull"), shown("line.twist"));
        let matters = format!("of insulating material, takes the {}, holds {pull} and {twist}", bench.term("cord"));
        items.push(one(what.into(), shown("mains.entry.clamp-range"), matters));
        if entry.bushing.value == Some(true) {
            items.push(one(
                "bushing".into(),
                format!("passes {}", said("mains.entry.hole")),
                "grips the wall it sits in".into(),
            ));
        }
    }
    if mains.inlet.is_some() {
        let matters = "solder or push-on tabs covered".to_owned();
        items.push(one(format!("inlet {}", bench.plain("mains.inlet.kind")), shown("line.inlet-rating"), matters));
    }
    if mains.entry.is_some() && mains.inlet.is_none() {
        let takes = format!("each takes {} conductors by its own paper", said("wiring.terminal-takes"));
        let poles = wires::entry_poles(bench);
        items.push(pieces(
            bench,
            MAINS,
            1,
            format!("terminal block at the entry, {poles}"),
            shown("mains.voltage"),
            takes,
        ));
    }
    if let Some(fuse) = &mains.fuse {
        // One in each pole that it opens, and a spare.
        let (poles, spare) = if fuse.pole.value == Some(Pole::Both) { (2, "third") } else { (1, "second") };
        let matters = format!("marking as printed; a {spare} one taped inside the lid");
        items.push(pieces(bench, MAINS, poles + 1, "fuse".into(), shown("line.fuse-marking"), matters));
        let matters = "no finger reaches its contacts, fuse in or out";
        items.push(pieces(bench, MAINS, poles, "fuse holder".into(), shown("mains.voltage"), matters));
    }
    if let Some(switch) = &mains.switch {
        let rating = format!("{} pole, {}", said("mains.switch.poles"), said("mains.switch.rating"));
        let in_cord = switch.place.value == Some(SwitchPlace::Cord);
        let place = if in_cord { format!("in the {}, by its own paper; ", bench.term("cord")) } else { String::new() };
        let matters = format!("{place}for {}, and for the supply's inrush", said("mains.voltage"));
        items.push(one(format!("switch for {}", bench.term("mains")), rating, matters));
    }
    items
}

fn bought(bench: &Bench<'_>) -> Vec<Item> {
    let lamp = bench.lamp;
    let (shown, said) = (|path: &str| bench.shown(path), |path: &str| bench.said(path));
    let rating = format!("{}, {}", bench.said_band("supply.output"), said("supply.power"));
    let matters =
        format!("closed, isolation {}, without load at most {}", said("supply.isolation"), said("supply.open-circuit"));
    let mut items = match &lamp.supply.battery {
        Some(battery) => battery_and_fuse(bench, battery),
        None => vec![pieces(bench, BOUGHT, 1, named("supply", lamp.supply.part.as_ref()), rating, matters)],
    };
    if let Some(controller) = &lamp.controller {
        let all = lamp.driver.channels.iter().map(|c| &c.pin).chain(lamp.driver.shutoff.iter().map(|s| &s.pin));
        let pins: Vec<&str> = all.filter_map(|pin| pin.value.as_deref()).collect();
        let matters = format!("pins {} brought out", pins.join(", "));
        items.push(pieces(
            bench,
            BOUGHT,
            1,
            named("controller", controller.part.as_ref()),
            format!("logic {}", said("controller.logic")),
            matters,
        ));
        let rating = format!("{} to the controller's input", bench.said_band("supply.output"));
        items.push(pieces(
            bench,
            BOUGHT,
            1,
            "converter for the controller, unless it has its own".into(),
            rating,
            shown("controller.power"),
        ));
    }
    if !bench.mains() && !bench.battery() {
        let rating = format!("{}, {}", bench.said_band("feed.alone"), said("feed.current-most"));
        let matters = format!("takes the plug of the outside supply; terminals {}", wires::entry_poles(bench));
        items.push(pieces(bench, BOUGHT, 1, "socket at the entry".into(), rating, matters));
    }
    if lamp.driver.shutoff.as_ref().is_some_and(|s| s.kind.value == Some(ShutoffKind::SupplySwitch)) {
        let rating = format!("{}, {}", bench.said_band("feed.alone"), said("feed.channels-most"));
        let matters =
            format!("in the plus wire, steered by {}, open while nothing steers it", said("controller.logic"));
        items.push(pieces(bench, BOUGHT, 1, "shut-off switch, electronic".into(), rating, matters));
    }
    items.extend(emitter(bench));
    items
}

/// Battery, its plug, its fuse with a spare, and the holder.
fn battery_and_fuse(bench: &Bench<'_>, battery: &Battery) -> Vec<Item> {
    let said = |path: &str| bench.said(path);
    let what = format!("battery, {}, {} cells", said("supply.battery.chemistry"), said("supply.battery.cells"));
    let rating = format!("{}, {}", bench.said_band("supply.output"), said("supply.battery.capacity"));
    let matters = format!("gives at least {}; its charger is bought with it", said("supply.power"));
    let mut items = vec![pieces(bench, BOUGHT, 1, what, rating, matters)];
    if battery.fuse.is_some() {
        let rating = format!("{}, {}", said("supply.battery.fuse.rating"), said("supply.battery.fuse.voltage"));
        let matters = format!("direct voltage, breaks {}; a second one in the lamp", said("supply.battery.fault"));
        items.push(pieces(bench, BOUGHT, 2, "fuse for the battery".into(), rating, matters));
        let matters = format!("within {} of plus", said("battery.fuse-within"));
        items.push(pieces(
            bench,
            BOUGHT,
            1,
            "fuse holder with its lead".into(),
            format!("{}, {}", said("supply.battery.fuse.rating"), said("supply.battery.fuse.voltage")),
            matters,
        ));
    }
    let rating = format!("{}, {}", bench.said_band("feed.alone"), said("battery.current"));
    items.push(match battery_plug(bench.lamp) {
        true => pieces(
            bench,
            BOUGHT,
            1,
            "keyed plug and socket for the battery".into(),
            rating,
            "goes in one way only; contacts crimped with their own tool",
        ),
        false => pieces(
            bench,
            BOUGHT,
            2,
            "receptacle or ring for the battery's poles".into(),
            rating,
            "crimped, fits the pole",
        ),
    });
    items
}

/// One board where the emitter starts from a part, else the dice one by one.
fn emitter(bench: &Bench<'_>) -> Vec<Item> {
    let lamp = bench.lamp;
    let of = |die: &crate::lamp::emitter::Die| die.colour.value.clone().unwrap_or_else(|| die.name.clone());
    if let Some(part) = &lamp.emitter.part {
        let dice: Vec<String> = lamp.emitter.dice.iter().map(of).collect();
        let most: Vec<String> =
            lamp.emitter.dice.iter().map(|d| bench.shown(&format!("emitter.{}.most", d.name))).collect();
        // What all dice bear is said once; where they differ, in the order of the dice beside it.
        let alike = most.windows(2).all(|pair| pair.first() == pair.last());
        let most = if alike { most.into_iter().take(1).collect() } else { most };
        let rating = format!("at most {}", most.join(", "));
        let matters = format!("dice: {}; shared terminal: {}", dice.join(", "), bench.said("emitter.common"));
        return vec![pieces(bench, BOUGHT, 1, named("emitter", Some(part)), rating, matters)];
    }
    let feeds = lamp.driver.channels.iter().filter_map(|c| Some((c, lamp.die(c)?)));
    feeds
        .map(|(channel, die)| {
            let n = die.count.value.unwrap_or(1).saturating_mul(channel.strings.value.unwrap_or(1));
            let what = format!("die, {}, for channel {}", of(die), channel.name);
            let rating = format!("at most {}", bench.said(&format!("emitter.{}.most", die.name)));
            let forward = bench.band(&format!("emitter.{}.forward", die.name));
            pieces(bench, BOUGHT, n, what, rating, format!("forward {forward}"))
        })
        .collect()
}

fn board(bench: &Bench<'_>) -> Vec<Item> {
    let driver = &bench.lamp.driver;
    let n = u32::try_from(driver.channels.len()).unwrap_or(u32::MAX);
    let mut items = Vec::new();
    let mut part = |what: &str, name: Option<&String>, rating: String, matters: &str| {
        items.push(pieces(bench, BOARD, n, named(what, name), rating, matters));
    };
    let (shown, said) = (|path: &str| bench.shown(path), |path: &str| bench.said(path));
    if let Some(p) = &driver.module {
        part(
            "current module",
            p.part.as_ref(),
            format!("in {}, to {}", bench.said_band("driver.module.input"), said("driver.module.most")),
            "dimming input as stated",
        );
    }
    if let Some(p) = &driver.amplifier {
        part(
            "amplifier",
            p.part.as_ref(),
            shown("driver.amplifier.bandwidth"),
            "inputs down to ground, offset as stated",
        );
    }
    if let Some(p) = &driver.comparator {
        part("comparator", p.part.as_ref(), shown("driver.comparator.delay"), "delay as stated: it sets the ripple");
    }
    if let Some(p) = &driver.transistor {
        part(
            "transistor",
            p.part.as_ref(),
            format!("{}, {}", said("driver.transistor.voltage"), said("driver.transistor.on-resistance")),
            "fully on at the gate voltage it gets",
        );
    }
    if let Some(p) = &driver.diode {
        part(
            "diode",
            p.part.as_ref(),
            format!("{}, {}", said("driver.diode.voltage"), said("driver.diode.current")),
            "fast, low drop",
        );
    }
    if let Some(p) = &driver.inductor {
        part("inductor", p.part.as_ref(), shown("driver.inductor.inductance"), "saturation current as stated, hot");
    }
    items.extend(components(bench));
    // What the author wrote stands in place of what would be chosen.
    let bulk = ["feed.bulk", "driver.bulk"].into_iter().find(|path| bench.solution.ledger.get(path).is_some());
    if let Some(path) = bulk.filter(|path| *path == "feed.bulk" || driver.bulk.is_known()) {
        let rating = bench.solution.ledger.shown("feed.bulk-voltage").unwrap_or("–").to_owned();
        let what = format!("capacitor {}", bench.said(path));
        items.push(pieces(bench, BOARD, 1, what, rating, "across the supply's output, mind its polarity".to_owned()));
    }
    items
}

/// Computed components of all channels, those alike on one line.
fn components(bench: &Bench<'_>) -> Vec<Item> {
    let mut lines: Vec<(String, String, String, Vec<String>)> = Vec::new();
    for component in bench.solution.channels.iter().flat_map(|c| &c.components) {
        let value = bench.shown(&component.chosen);
        let alike = |l: &&mut (String, String, String, Vec<String>)| {
            l.0 == value && l.1 == component.code && l.2 == component.rating
        };
        match lines.iter_mut().find(alike) {
            Some(line) => line.3.push(component.designation.clone()),
            None => lines.push((
                value,
                component.code.clone(),
                component.rating.clone(),
                vec![component.designation.clone()],
            )),
        }
    }
    let item = |(value, code, rating, places): (String, String, String, Vec<String>)| {
        let n = u32::try_from(places.len()).unwrap_or(u32::MAX);
        let read = if code.is_empty() { String::new() } else { format!(", read as {code}") };
        let rating = if rating.is_empty() { "–".to_owned() } else { rating };
        pieces(bench, BOARD, n, format!("{value}{read}"), rating, places.join(", "))
    };
    lines.into_iter().map(item).collect()
}

fn body(bench: &Bench<'_>) -> Vec<Item> {
    let lamp = bench.lamp;
    let (shown, said) = (|path: &str| bench.shown(path), |path: &str| bench.said(path));
    let flame = lamp.enclosure.flame.value.map_or("nothing stated", |f| plain(f.word()));
    let mut items = vec![pieces(
        bench,
        BODY,
        1,
        match bench.has("enclosure.material") {
            true => format!("body of {}", bench.plain("enclosure.material")),
            false => "body, material not known".to_owned(),
        },
        shown("enclosure.size"),
        format!("wall {}, in fire: {}", said("enclosure.wall"), flame),
    )];
    if lamp.sink.is_some() {
        items.push(pieces(bench, BODY, 1, "heatsink".into(), shown("sink.thermal"), shown("sink.size")));
        let layer = format!("{} at {}", said("sink.interface.thickness"), said("sink.interface.conductivity"));
        items.push(pieces(bench, BODY, 1, "layer between emitter and sink".into(), layer, "thin and even"));
    }
    if lamp.diffuser.is_some() {
        let what = format!(
            "sheet of {}, {}",
            bench.known("diffuser.material").unwrap_or("a material not known"),
            bench.known("diffuser.thickness").unwrap_or("thickness not known")
        );
        let round = matches!(lamp.diffuser.as_ref().and_then(|d| d.outline.value), Some(OutlineKind::Disc));
        let rating = match (bench.known("cut.width"), bench.known("cut.height")) {
            (Some(width), Some(_)) if round => format!("Ø {width} net"),
            (Some(width), Some(height)) => format!("{width} x {height} net"),
            _ => "net size not known".to_owned(),
        };
        let share = lamp.diffuser.as_ref().and_then(|d| d.transmission.value);
        let share = share.map_or_else(|| "not known".to_owned(), crate::figures::percent);
        let matters = format!("share of light it lets through: {share}; spares are counted");
        items.push(Item { all: shown("cut.pieces"), ..pieces(bench, BODY, 1, what, rating, matters) });
    }
    items
}

/// The same list as `parts.csv`.
pub(crate) fn table(bench: &Bench<'_>) -> DataTable {
    let columns = ["group", "part", "rating", "for one lamp", "for all lamps", "what matters"];
    let cells = |i: Item| vec![in_terms(bench.region(), i.group), i.what, i.rating, i.each, i.all, i.matters];
    DataTable {
        name: "parts".into(),
        columns: columns.map(str::to_owned).to_vec(),
        rows: items(bench).into_iter().map(cells).collect(),
    }
}
