//! The one-dimensional ladder of temperatures: junction, board, sink, air inside, wall, room.
//! A network may take its place: everything after it reads `Ladder` only.

use crate::lamp::Lamp;
use crate::lamp::driver::Channel;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::quantity::{
    Kelvin, KelvinPerWatt, Metres, SquareMetres, Temperature, Watts, WattsPerMetreKelvin, WattsPerSquareMetreKelvin,
};
use crate::schema::words::{Body, BodyMaterial, Side};

use super::drive::{ChannelSolution, absent, by};
use super::feed::Feed;
use super::light::{Budget, radiant, shares};

/// Steady temperatures, all channels on and uncapped, in the warmest room; ledger entries under `heat.`.
#[derive(Debug, Clone)]
pub struct Ladder {
    /// The warmest room.
    pub room: Temperature,
    /// All heat set free inside the body.
    pub inside_heat: Watts,
    /// Heat of the dice alone.
    pub die_heat: Watts,
    /// Outer face of the wall.
    pub wall: Temperature,
    /// Air inside.
    pub inside: Temperature,
    /// The sink.
    pub sink: Temperature,
    /// The emitter's board.
    pub board: Temperature,
    /// From the emitter's board to the air the sink stands in.
    pub own_resistance: KelvinPerWatt,
    /// Junction of each channel's die, by channel; missing where its thermal resistance is.
    pub junctions: Vec<(String, Found<Temperature>)>,
}

const MODEL: &str = "one-dimensional, steady; our simplification";

/// Climbs the ladder from the room.
pub fn solve(
    lamp: &Lamp,
    channels: &[ChannelSolution],
    feed: &Feed,
    _light: &Found<Budget>,
    ledger: &mut Ledger,
) -> Found<Ladder> {
    let room = lamp.identity.room.high()?;
    let mut die_heat = Watts::ZERO;
    for channel in channels {
        let power = channel.power.clone()?;
        die_heat = die_heat + power.string - power.radiant;
    }
    enter_die_heat(channels, die_heat, ledger);
    let inside_heat = inside_heat(lamp, channels, feed, die_heat, ledger)?;
    let (wall, inside) = body(lamp, room, inside_heat, ledger)?;
    let (sink, board, own_resistance) = emitter(lamp, room, inside, die_heat, ledger)?;
    let pairs = lamp.driver.channels.iter().zip(channels);
    let junctions =
        pairs.map(|(channel, solved)| (channel.name.clone(), junction(lamp, channel, solved, board, ledger))).collect();
    Ok(Ladder { room, inside_heat, die_heat, wall, inside, sink, board, own_resistance, junctions })
}

fn enter_die_heat(channels: &[ChannelSolution], heat: Watts, ledger: &mut Ledger) {
    let paths: Vec<String> = channels
        .iter()
        .flat_map(|c| [format!("drive.{}.power", c.name), format!("drive.{}.radiant", c.name)])
        .collect();
    let symbols = ["P", "Φe"].into_iter().cycle();
    let inputs: Vec<(&'static str, &str)> = symbols.zip(paths.iter().map(String::as_str)).collect();
    ledger.computed("heat.dice", "heat of the dice, all on", heat, by("Σ(P − Φe)", "conservation of power"), &inputs);
}

/// Everything that stays inside: dice (unless their sink stands outside), drivers, controller, supply, trapped light.
fn inside_heat(
    lamp: &Lamp,
    channels: &[ChannelSolution],
    feed: &Feed,
    dice: Watts,
    ledger: &mut Ledger,
) -> Found<Watts> {
    let mut sum = Watts::ZERO;
    let mut inputs: Vec<(&'static str, String)> = Vec::new();
    for channel in channels {
        let power = channel.power.clone()?;
        sum = sum + power.input - power.string;
        inputs.push(("P_in", format!("drive.{}.input", channel.name)));
        inputs.push(("P", format!("drive.{}.power", channel.name)));
    }
    if let Some(controller) = &lamp.controller {
        sum = sum + controller.power.nominal()?;
        inputs.push(("P_controller", controller.power.path.clone()));
    }
    if !sink_outside(lamp) {
        sum = sum + dice;
        inputs.push(("Q_dice", "heat.dice".into()));
    }
    if lamp.supply.place.get()? == Side::Inside {
        sum = sum + feed.loss.clone()?;
        inputs.push(("P_supply", "feed.loss".into()));
    }
    let (reaches, passes) = shares(lamp)?;
    let trapped = radiant(channels)? * (1.0 - reaches * passes);
    let stays = by("radiant power that does not leave", MODEL);
    let light: Vec<String> = channels.iter().map(|c| format!("drive.{}.radiant", c.name)).collect();
    let from: Vec<(&'static str, &str)> = light.iter().map(|p| ("Φe", p.as_str())).collect();
    ledger.computed("heat.trapped-light", "light that ends as heat inside", trapped, stays, &from);
    inputs.push(("Φ_trapped", "heat.trapped-light".into()));
    let inputs: Vec<(&'static str, &str)> = inputs.iter().map(|(s, p)| (*s, p.as_str())).collect();
    let total = by(
        "electrical power less the light that leaves; a supply or sink outside adds nothing",
        "conservation of power",
    );
    Ok(ledger.computed("heat.inside-power", "heat set free inside the body", sum + trapped, total, &inputs))
}

fn sink_outside(lamp: &Lamp) -> bool {
    lamp.sink.as_ref().is_some_and(|s| s.place.value == Some(Side::Outside))
}

/// Wall and air inside.
fn body(lamp: &Lamp, room: Temperature, heat: Watts, ledger: &mut Ledger) -> Found<(Temperature, Temperature)> {
    let enclosure = &lamp.enclosure;
    let area = outside_area(lamp)?;
    let faces = by("all faces of the body", "geometry");
    ledger.computed("heat.area", "outside of the body", area, faces, &[("size", &enclosure.size.path)]);
    let (h, h_path) = transfer(lamp, ledger)?;
    let rise = Kelvin::si(heat.value() / (h * area).value());
    let room_path = lamp.identity.room.path.as_str();
    let up = by("T = T_room + Q/(h·A)", MODEL);
    let inputs = [("T_room", room_path), ("Q", "heat.inside-power"), ("h", h_path.as_str()), ("A", "heat.area")];
    let inside = ledger.computed("heat.inside", "air inside, warmest room", room + rise, up, &inputs);
    let (k, wall) = (conductivity(enclosure.material.get()?), enclosure.wall.nominal()?);
    ledger.looked_up(
        "heat.wall-conductivity",
        "conductivity of the wall",
        k,
        "by material of the body",
        "handbook values, from memory",
    );
    let across = Kelvin::si(heat.value() * wall.value() / (k.value() * area.value()));
    // The inner film is left out, which errs to the warm side for a hand on the wall.
    let wall = inside - across.min(rise);
    let down = by("T = T_inside − Q·d/(k·A): the inner film left out, to the warm side", MODEL);
    let inputs = [
        ("T_inside", "heat.inside"),
        ("Q", "heat.inside-power"),
        ("d", enclosure.wall.path.as_str()),
        ("k", "heat.wall-conductivity"),
        ("A", "heat.area"),
    ];
    ledger.computed("heat.wall", "outer face of the wall", wall, down, &inputs);
    Ok((wall, inside))
}

/// Outside of the body; all six faces or mantle and both ends.
fn outside_area(lamp: &Lamp) -> Found<SquareMetres> {
    let enclosure = &lamp.enclosure;
    let size: Vec<Metres> = enclosure.size.known()?.clone();
    let pi = std::f64::consts::PI;
    match (enclosure.shape.get()?, size.as_slice()) {
        (Body::Cylinder, [d, l, ..]) => Ok(*d * *l * pi + *d * *d * (pi / 2.0)),
        (Body::Box, [w, h, d, ..]) => Ok((*w * *h + *h * *d + *w * *d) * 2.0),
        _ => Err(enclosure.size.missing()),
    }
}

/// Heat transfer from the air inside to the room, over the outside: the author's, else by material.
fn transfer(lamp: &Lamp, ledger: &mut Ledger) -> Found<(WattsPerSquareMetreKelvin, String)> {
    let given = &lamp.enclosure.heat_transfer;
    if let Some(h) = given.value {
        return Ok((h.low, given.path.clone()));
    }
    let metal = metal(lamp.enclosure.material.get()?);
    let (h, row) = if metal { (10.0, "metal body") } else { (8.0, "body of plastic, wood, glass or ceramic") };
    let source = "both films and the wall together, common practice for small bodies in still air, no source";
    let h = ledger.looked_up(
        "heat.transfer",
        "heat transfer from inside air to room",
        WattsPerSquareMetreKelvin::si(h),
        row,
        source,
    );
    Ok((h, "heat.transfer".into()))
}

const fn metal(material: BodyMaterial) -> bool {
    matches!(material, BodyMaterial::Aluminium | BodyMaterial::Steel | BodyMaterial::Brass)
}

/// Handbook conductivities, from memory; printed plastics scatter by a third.
const fn conductivity(material: BodyMaterial) -> WattsPerMetreKelvin {
    WattsPerMetreKelvin::si(match material {
        BodyMaterial::Pla => 0.13,
        BodyMaterial::Petg | BodyMaterial::Polycarbonate => 0.2,
        BodyMaterial::Abs | BodyMaterial::Asa | BodyMaterial::Oak => 0.17,
        BodyMaterial::Pa12 => 0.25,
        BodyMaterial::Plywood | BodyMaterial::Softwood => 0.12,
        BodyMaterial::Ceramic => 1.3,
        BodyMaterial::Glass => 1.0,
        BodyMaterial::Aluminium => 160.0,
        BodyMaterial::Steel => 50.0,
        BodyMaterial::Brass => 120.0,
    })
}

/// Sink, board, and the resistance from board to the sink's air. A metal body without a sink is the sink.
fn emitter(
    lamp: &Lamp,
    room: Temperature,
    inside: Temperature,
    heat: Watts,
    ledger: &mut Ledger,
) -> Found<(Temperature, Temperature, KelvinPerWatt)> {
    let (resistance, layer) = match &lamp.sink {
        None if metal(lamp.enclosure.material.get()?) => (KelvinPerWatt::ZERO, KelvinPerWatt::ZERO),
        None => return Err(absent("sink.thermal", lamp.emitter.span)),
        Some(sink) => (sink.thermal.high()?, interface(lamp, ledger)?),
    };
    let outside = sink_outside(lamp);
    let air = if outside { room } else { inside };
    let air_path = if outside { lamp.identity.room.path.as_str() } else { "heat.inside" };
    let sink_path = lamp.sink.as_ref().map_or("sink.thermal", |s| s.thermal.path.as_str());
    let inputs = [("T_air", air_path), ("Q", "heat.dice"), ("R", sink_path)];
    let sink = ledger.computed("heat.sink", "the sink", air + heat * resistance, by("T = T_air + Q·R", MODEL), &inputs);
    let inputs = [("T_sink", "heat.sink"), ("Q", "heat.dice"), ("R", "heat.interface")];
    let board = ledger.computed(
        "heat.board",
        "the emitter's board",
        sink + heat * layer,
        by("T = T_sink + Q·R", MODEL),
        &inputs,
    );
    Ok((sink, board, resistance + layer))
}

/// `R = t/(k·A)` of the layer between emitter and sink.
fn interface(lamp: &Lamp, ledger: &mut Ledger) -> Found<KelvinPerWatt> {
    let missing = || absent("sink.interface.thickness", lamp.sink.as_ref().map_or(lamp.emitter.span, |s| s.span));
    let layer = lamp.sink.as_ref().and_then(|s| s.interface.as_ref()).ok_or_else(missing)?;
    let (t, k, a) = (layer.thickness.high()?, layer.conductivity.low()?, layer.area.low()?);
    let resistance = KelvinPerWatt::si(t.value() / (k.value() * a.value()));
    let inputs = [
        ("t", layer.thickness.path.as_str()),
        ("k", layer.conductivity.path.as_str()),
        ("A", layer.area.path.as_str()),
    ];
    let slab = by("R = t/(k·A)", "Fourier's law for a thin layer");
    Ok(ledger.computed("heat.interface", "layer between emitter and sink", resistance, slab, &inputs))
}

/// The hottest die of a channel: all its dice share the heat evenly.
fn junction(
    lamp: &Lamp,
    channel: &Channel,
    solved: &ChannelSolution,
    board: Temperature,
    ledger: &mut Ledger,
) -> Found<Temperature> {
    let die = lamp.die(channel).ok_or_else(|| channel.feeds.missing())?;
    let power = solved.power.clone()?;
    let dice = f64::from(die.count.get()?) * f64::from(channel.strings.get()?.max(1));
    let each = (power.string - power.radiant) / dice;
    let hot = board + each * die.thermal.high()?;
    let (string, light) = (format!("drive.{}.power", channel.name), format!("drive.{}.radiant", channel.name));
    let inputs = [
        ("T_board", "heat.board"),
        ("R", die.thermal.path.as_str()),
        ("P", string.as_str()),
        ("Φe", light.as_str()),
        ("n", die.count.path.as_str()),
    ];
    let climbs = by("T = T_board + R·(P − Φe)/n", MODEL);
    Ok(ledger.computed(
        format!("heat.junction.{}", channel.name),
        "junction of the channel's dice",
        hot,
        climbs,
        &inputs,
    ))
}
