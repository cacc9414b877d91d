//! What cools the emitter and what else is warm inside: the sink with or without its fins, the layer under the board,
//! the supply, and all of it assembled.

use crate::diag::Span;
use crate::lamp::body::Sink;
use crate::lamp::engine::Engine;
use crate::lamp::given::{Found, Missing};
use crate::ledger::Ledger;
use crate::physics::thermal::air::ATMOSPHERE;
use crate::physics::thermal::assembly::{Assembly, Block, Cooler, PLAIN};
use crate::physics::thermal::sink::{PlateFins, Standing};
use crate::physics::thermal::spreading::layer_resistance;
use crate::quantity::{
    JoulesPerKelvin, Kelvin, KelvinPerWatt, Metres, SquareMetres, WattsPerKelvin, WattsPerMetreKelvin,
};
use crate::schema::words::{FinsStand, Side, Word};

use super::super::drive::{absent, by};
use super::FinsWork;
use super::body::{Walls, material};
use super::states::State;

/// Heat per volume and kelvin of bought electronics, J/(m³·K) (our estimate: plastics, ferrite and potting mixed).
const ELECTRONICS: f64 = 1.3e6;
/// Heat per volume and kelvin of aluminium, 2700 kg/m³ · 900 J/(kg·K).
const ALUMINIUM: f64 = 2700.0 * 900.0;
/// The same of room air, 1.2 kg/m³ · 1005 J/(kg·K).
const AIR: f64 = 1.2 * 1005.0;
/// Share of a sink's block that is metal, where its fins are not described (our estimate).
const FILLED: f64 = 0.4;
/// Emissivity of a plastic case.
const CASE: f64 = 0.9;

/// The way from board to sink or wall.
#[derive(Debug, Clone, Copy)]
pub(super) struct Seat {
    /// Layer between board and sink; nothing where the emitter sits on the wall.
    pub(super) layer: KelvinPerWatt,
    /// Area that carries the heat.
    pub(super) source: SquareMetres,
}

/// The whole lamp, and the way from its board.
#[derive(Debug)]
pub(super) struct Parts {
    pub(super) assembly: Assembly,
    pub(super) seat: Seat,
    /// Thickness and conductivity of the sheet under an emitter without a sink.
    pub(super) sheet: Option<(Metres, WattsPerMetreKelvin)>,
    /// The heat capacities rest on given sizes.
    pub(super) capacities: Found<()>,
}

/// Puts everything together.
pub(super) fn assemble(engine: &Engine<'_>, walls: &Walls, ledger: &mut Ledger) -> Found<Parts> {
    let (cooler, seat, capacity, sheet) = cooler(engine, ledger)?;
    let inside = engine.supply.place.get()? == Side::Inside;
    let supply = if inside { block(engine) } else { None };
    let capacities = match (&capacity, inside && supply.is_none()) {
        (Err(missing), _) => Err(missing.clone()),
        (_, true) => Err(engine.supply.size.missing()),
        _ => Ok(()),
    };
    let assembly = Assembly {
        cooler,
        sink_capacity: capacity.unwrap_or(JoulesPerKelvin::si(1.0)),
        supply,
        zones: walls.zones.clone(),
        vents: walls.vents,
        air_capacity: JoulesPerKelvin::si(walls.volume * AIR),
        factors: PLAIN,
    };
    Ok(Parts { assembly, seat, sheet, capacities })
}

type Cooling = (Cooler, Seat, Found<JoulesPerKelvin>, Option<(Metres, WattsPerMetreKelvin)>);

fn cooler(engine: &Engine<'_>, ledger: &mut Ledger) -> Found<Cooling> {
    let enclosure = &engine.enclosure;
    // What has no service temperature of its own is metal: it takes a sink's place.
    let metal = material(enclosure.material.get()?.word()).filter(|row| row.service.is_none());
    match (engine.sink, metal) {
        (None, Some(row)) => {
            let (source, k) = (engine.emitter.board.low()?, row.conductivity);
            let seat = Seat { layer: KelvinPerWatt::ZERO, source };
            Ok((Cooler::Wall(0), seat, Ok(JoulesPerKelvin::ZERO), Some((enclosure.wall.nominal()?, k))))
        }
        (None, None) => Err(absent("sink.thermal", engine.emitter.span)),
        (Some(sink), _) => {
            let seat = interface(engine, sink, ledger)?;
            let outside = sink.place.get()? == Side::Outside;
            let (cooler, capacity) = match fins(sink, seat.source)? {
                Some((fins, standing)) => {
                    let metal = JoulesPerKelvin::si(fins.volume() * ALUMINIUM);
                    (Cooler::Fins { sink: fins, standing, outside }, Ok(metal))
                }
                None => {
                    let conductance = WattsPerKelvin::si(1.0 / sink.thermal.high()?.value());
                    (Cooler::Stated { conductance, outside }, stated_capacity(sink))
                }
            };
            Ok((cooler, seat, capacity, None))
        }
    }
}

/// A sink of which only the outside is known.
fn stated_capacity(sink: &Sink) -> Found<JoulesPerKelvin> {
    match sink.size.known()?.as_slice() {
        [a, b, c] => Ok(JoulesPerKelvin::si(a.value() * b.value() * c.value() * FILLED * ALUMINIUM)),
        _ => Err(sink.size.missing()),
    }
}

/// The sink as its fins make it.
fn fins(sink: &Sink, attached: SquareMetres) -> Found<Option<(PlateFins, Standing)>> {
    let Some(given) = &sink.fins else { return Ok(None) };
    let [width, length, height] = sink.size.known()?.as_slice() else { return Err(sink.size.missing()) };
    let fins = PlateFins {
        count: given.count.get()?,
        thickness: given.thickness.nominal()?,
        width: *width,
        length: *length,
        height: *height,
        base: given.base.nominal()?,
        conductivity: given.conductivity.low()?,
        emissivity: given.emissivity.get()?,
        attached,
    };
    let standing = match given.stand.get()? {
        FinsStand::Vertical => Standing::Vertical,
        FinsStand::Up => Standing::Up,
        FinsStand::Down => Standing::Down,
        FinsStand::Cross => Standing::Cross,
    };
    let wrong = fins.gap() <= Metres::ZERO || fins.fin_height() <= Metres::ZERO;
    // Fins that fill or overtop their block are no sink; the size is what must be said anew.
    if wrong {
        Err(Missing { path: sink.size.path.clone(), span: sink.size.span, unknown: false })
    } else {
        Ok(Some((fins, standing)))
    }
}

/// `R = t/(k·A)` of the layer between emitter and sink.
fn interface(engine: &Engine<'_>, sink: &Sink, ledger: &mut Ledger) -> Found<Seat> {
    let missing = || absent("sink.interface.thickness", sink.span);
    let layer = sink.interface.as_ref().ok_or_else(missing)?;
    let (t, k, a) = (layer.thickness.high()?, layer.conductivity.low()?, layer.area.low()?);
    let resistance = layer_resistance(t, k, a);
    let inputs = [
        ("t", layer.thickness.path.as_str()),
        ("k", layer.conductivity.path.as_str()),
        ("A", layer.area.path.as_str()),
    ];
    let slab = by("R = t/(k·A)", "Fourier's law for a thin layer");
    ledger.computed("heat.interface", "layer between emitter and sink", resistance, slab, &inputs);
    let source = engine.emitter.board.low().unwrap_or(a);
    Ok(Seat { layer: resistance, source })
}

/// The supply as a warm block.
fn block(engine: &Engine<'_>) -> Option<Block> {
    let [a, b, c] = engine.supply.size.value.as_deref()? else { return None };
    let surface = (*a * *b + *b * *c + *a * *c) * 2.0;
    let capacity = JoulesPerKelvin::si(a.value() * b.value() * c.value() * ELECTRONICS);
    Some(Block { surface, emissivity: CASE, contacts: Vec::new(), capacity })
}

/// Rise above its air that a sink needs for a draught worth speaking of (our margin).
const DRAUGHT: Kelvin = Kelvin::si(1.0);

/// How the fins work; `span` is where they are described.
pub(super) fn enter_fins(parts: &Parts, state: &State, span: Span, ledger: &mut Ledger) -> Option<FinsWork> {
    let Cooler::Fins { sink, standing, outside } = parts.assembly.cooler else { return None };
    let air = if outside { state.room } else { state.inside };
    let at = |standing| sink.convection(standing, state.sink, air, ATMOSPHERE);
    let (now, upright) = (at(standing), at(Standing::Vertical).total);
    let gap = sink.gap();
    let size = [("W", "sink.size"), ("n", "sink.fins.count"), ("t", "sink.fins.thickness")];
    ledger.computed("heat.fins.gap", "gap between the fins", gap, by("S = (W − n·t)/(n − 1)", "geometry"), &size);
    let optimum = by("S = 2.714·P^(−1/4)", "Bar-Cohen and Rohsenow 1984");
    let inputs = [("T_sink", "heat.sink"), ("L", "sink.size")];
    let title = "best gap for upright fins this long";
    let best = if (state.sink - air).abs() < DRAUGHT {
        let cool = "the sink is as cool as its air, and none rises between the fins";
        ledger.computed_text("heat.fins.best-gap", title, cool, optimum, &inputs[1..]);
        Err(Missing::of("heat.fins.best-gap", span))
    } else {
        Ok(ledger.computed("heat.fins.best-gap", title, sink.best_gap(state.sink, air, ATMOSPHERE), optimum, &inputs))
    };
    let film = by("channels and faces, at least the solid block", "Bar-Cohen and Rohsenow 1984, Jones and Smith 1970");
    ledger.computed("heat.fins.conductance", "conductance of the sink to its air", now.total, film, &inputs);
    let tanh = by("η = tanh(m·L_c)/(m·L_c)", "Incropera, ch. 3");
    ledger.computed_share("heat.fins.efficiency", "efficiency of a fin", now.efficiency, tanh, &inputs);
    Some(FinsWork { gap, best, now, upright, sink, standing })
}
