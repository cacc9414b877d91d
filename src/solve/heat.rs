//! The one-dimensional ladder of temperatures: junction, board, sink, air inside, wall, room.
//! A network may take its place: everything after it reads `Ladder` only.

use crate::lamp::Lamp;
use crate::lamp::driver::Channel;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::physics::thermal::ladder::{self as rungs, FILM_METAL, FILM_PLASTIC, Rung, climb, layer_resistance};
use crate::physics::thermal::materials;
use crate::quantity::{
    KelvinPerWatt, Metres, SquareMetres, Temperature, Watts, WattsPerMetreKelvin, WattsPerSquareMetreKelvin,
};
use crate::schema::words::{Body, BodyMaterial, Side, Word};

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
    let (sink, interface) = emitter(lamp, ledger)?;
    let dice: Vec<Found<Rung>> = pairs(lamp, channels).map(|(channel, solved)| rung(lamp, channel, solved)).collect();
    let inside_dice = if sink_outside(lamp) { Watts::ZERO } else { die_heat };
    let ladder = rungs::Ladder {
        room,
        body: body(lamp, ledger)?,
        other_heat: inside_heat - inside_dice,
        sink,
        interface,
        dice: pairs(lamp, channels).zip(&dice).map(|((_, solved), rung)| known(solved, rung)).collect(),
    };
    let found = climb(&ladder);
    enter_rungs(lamp, &found, ledger);
    let junctions = pairs(lamp, channels).zip(&dice).zip(&found.junctions).map(|(((channel, _), rung), &hot)| {
        let hot = rung.clone().map(|_| enter_junction(lamp, channel, hot, ledger));
        (channel.name.clone(), hot)
    });
    let own_resistance = interface
        + match sink {
            rungs::Sink::Inside(r) | rungs::Sink::Outside(r) => r,
            rungs::Sink::Body => KelvinPerWatt::ZERO,
        };
    Ok(Ladder {
        room,
        inside_heat,
        die_heat,
        wall: found.wall_outside,
        inside: found.inside,
        sink: found.sink,
        board: found.board,
        own_resistance,
        junctions: junctions.collect(),
    })
}

fn pairs<'a>(
    lamp: &'a Lamp,
    channels: &'a [ChannelSolution],
) -> impl Iterator<Item = (&'a Channel, &'a ChannelSolution)> {
    lamp.driver.channels.iter().zip(channels)
}

/// A channel whose die has no stated resistance still heats the board.
fn known(solved: &ChannelSolution, rung: &Found<Rung>) -> Rung {
    let heat = solved.power.as_ref().map_or(Watts::ZERO, |p| p.string - p.radiant);
    rung.clone().unwrap_or(Rung { heat, to_board: KelvinPerWatt::ZERO })
}

/// All dice of a channel share its heat evenly, so they stand for one die of their resistance over their count.
fn rung(lamp: &Lamp, channel: &Channel, solved: &ChannelSolution) -> Found<Rung> {
    let die = lamp.die(channel).ok_or_else(|| channel.feeds.missing())?;
    let power = solved.power.clone()?;
    let dice = f64::from(die.count.get()?) * f64::from(channel.strings.get()?.max(1));
    Ok(Rung { heat: power.string - power.radiant, to_board: die.thermal.high()? / dice })
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

/// The wall between inside and room; the film inside is left out.
fn body(lamp: &Lamp, ledger: &mut Ledger) -> Found<rungs::Body> {
    let enclosure = &lamp.enclosure;
    let area = outside_area(lamp)?;
    let faces = by("all faces of the body but the front", "geometry; the front left out, our margin");
    ledger.computed("heat.area", "outside of the body", area, faces, &[("size", &enclosure.size.path)]);
    let film = transfer(lamp, ledger)?;
    let material = enclosure.material.get()?.word();
    let row = materials::find(material).ok_or_else(|| enclosure.material.missing())?;
    let k: WattsPerMetreKelvin = row.conductivity;
    ledger.looked_up("heat.wall-conductivity", "conductivity of the wall", k, material, row.source);
    let wall = Some((enclosure.wall.nominal()?, k));
    Ok(rungs::Body { area, film, wall, inner_film: None })
}

fn enter_rungs(lamp: &Lamp, found: &rungs::Rungs, ledger: &mut Ledger) {
    let room = lamp.identity.room.path.as_str();
    let given = &lamp.enclosure.heat_transfer;
    let film = if given.is_known() { given.path.as_str() } else { "heat.transfer" };
    let wall = [("T_room", room), ("Q", "heat.inside-power"), ("h", film), ("A", "heat.area")];
    ledger.computed(
        "heat.wall",
        "outer face of the wall",
        found.wall_outside,
        by("T = T_room + Q/(h·A)", MODEL),
        &wall,
    );
    let through = [
        ("T_wall", "heat.wall"),
        ("Q", "heat.inside-power"),
        ("t", lamp.enclosure.wall.path.as_str()),
        ("k", "heat.wall-conductivity"),
        ("A", "heat.area"),
    ];
    let up = by("T = T_wall + Q·t/(k·A)", MODEL);
    ledger.computed("heat.inside", "air inside, warmest room", found.inside, up, &through);
    let air = if sink_outside(lamp) { room } else { "heat.inside" };
    let resistance = lamp.sink.as_ref().map_or("heat.wall", |s| s.thermal.path.as_str());
    let rises = by("T = T_air + Q·R", MODEL);
    ledger.computed(
        "heat.sink",
        "the sink",
        found.sink,
        rises,
        &[("T_air", air), ("Q", "heat.dice"), ("R", resistance)],
    );
    let mut board = vec![("T_sink", "heat.sink"), ("Q", "heat.dice")];
    if ledger.get("heat.interface").is_some() {
        board.push(("R", "heat.interface"));
    }
    ledger.computed("heat.board", "the emitter's board", found.board, by("T = T_sink + Q·R", MODEL), &board);
}

/// Outside of the body without its front, which lets the light out and little of the heat: our margin, to the warm side.
fn outside_area(lamp: &Lamp) -> Found<SquareMetres> {
    let enclosure = &lamp.enclosure;
    let size: Vec<Metres> = enclosure.size.known()?.clone();
    let pi = std::f64::consts::PI;
    match (enclosure.shape.get()?, size.as_slice()) {
        (Body::Cylinder, [d, l, ..]) => Ok(*d * *l * pi + *d * *d * (pi / 4.0)),
        (Body::Box, [w, h, d, ..]) => Ok(*w * *h + (*h * *d + *w * *d) * 2.0),
        _ => Err(enclosure.size.missing()),
    }
}

/// Heat transfer from the outside to the room: the author's, else by material.
fn transfer(lamp: &Lamp, ledger: &mut Ledger) -> Found<WattsPerSquareMetreKelvin> {
    if let Some(h) = lamp.enclosure.heat_transfer.value {
        return Ok(h.low);
    }
    let metal = metal(lamp.enclosure.material.get()?);
    let (h, row) =
        if metal { (FILM_METAL, "metal body") } else { (FILM_PLASTIC, "body of plastic, wood, glass or ceramic") };
    let source = "radiation and free convection together, common practice for small bodies in still air, no source";
    Ok(ledger.looked_up("heat.transfer", "heat transfer from the body to the room", h, row, source))
}

const fn metal(material: BodyMaterial) -> bool {
    matches!(material, BodyMaterial::Aluminium | BodyMaterial::Steel | BodyMaterial::Brass)
}

/// Sink and layer. A metal body without a sink is the sink.
fn emitter(lamp: &Lamp, ledger: &mut Ledger) -> Found<(rungs::Sink, KelvinPerWatt)> {
    match &lamp.sink {
        None if metal(lamp.enclosure.material.get()?) => Ok((rungs::Sink::Body, KelvinPerWatt::ZERO)),
        None => Err(absent("sink.thermal", lamp.emitter.span)),
        Some(sink) => {
            let resistance = sink.thermal.high()?;
            let place = if sink_outside(lamp) { rungs::Sink::Outside } else { rungs::Sink::Inside };
            Ok((place(resistance), interface(lamp, ledger)?))
        }
    }
}

/// `R = t/(k·A)` of the layer between emitter and sink.
fn interface(lamp: &Lamp, ledger: &mut Ledger) -> Found<KelvinPerWatt> {
    let missing = || absent("sink.interface.thickness", lamp.sink.as_ref().map_or(lamp.emitter.span, |s| s.span));
    let layer = lamp.sink.as_ref().and_then(|s| s.interface.as_ref()).ok_or_else(missing)?;
    let (t, k, a) = (layer.thickness.high()?, layer.conductivity.low()?, layer.area.low()?);
    let resistance = layer_resistance(t, k, a);
    let inputs = [
        ("t", layer.thickness.path.as_str()),
        ("k", layer.conductivity.path.as_str()),
        ("A", layer.area.path.as_str()),
    ];
    let slab = by("R = t/(k·A)", "Fourier's law for a thin layer");
    Ok(ledger.computed("heat.interface", "layer between emitter and sink", resistance, slab, &inputs))
}

fn enter_junction(lamp: &Lamp, channel: &Channel, hot: Temperature, ledger: &mut Ledger) -> Temperature {
    let (thermal, count) =
        lamp.die(channel).map_or_else(Default::default, |d| (d.thermal.path.clone(), d.count.path.clone()));
    let (string, light) = (format!("drive.{}.power", channel.name), format!("drive.{}.radiant", channel.name));
    let inputs = [("T_board", "heat.board"), ("R", &thermal), ("P", &string), ("Φe", &light), ("n", &count)]
        .map(|(s, p)| (s, p as &str));
    let climbs = by("T = T_board + R·(P − Φe)/n", MODEL);
    ledger.computed(format!("heat.junction.{}", channel.name), "junction of the channel's dice", hot, climbs, &inputs)
}
