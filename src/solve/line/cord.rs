//! The cord: what it may carry, how thin it may be, how thick it is, how it bends, pulls, twists and hangs.

use crate::lamp::Lamp;
use crate::lamp::given::Found;
use crate::lamp::mains::Cord;
use crate::ledger::{Formula, Ledger};
use crate::physics::conductors as wires;
use crate::physics::conductors::cord::{CordRow, cord as sheet};
use crate::physics::conductors::current::{CordCurrentRow, Duty, cord_current, least_section};
use crate::physics::conductors::hang::{anchorage, design_bend_radius, entry_room, mass_on_cord};
use crate::physics::conductors::wire::{Run, resistance_per_length, voltage_drop};
use crate::quantity::{Amperes, Kilograms, Metres, NewtonMetres, Newtons, SquareMetres, Temperature, Volts};
use crate::schema::words::{Place, Region};

use super::terms;

const BEND: Formula = Formula {
    text: "r = 5 D, D the small side of a flat cord",
    source: "our margin; DIN VDE 0298-3 asks for 3 to 5 D",
};
const HANG: Formula = Formula {
    text: "m = min(5 kg, 15 N/mm² · n A / g), earth core not counted",
    source: "IEC 60598-1, 4.14, from memory; leaving the earth out is our margin",
};
const DROP: Formula =
    Formula { text: "ΔU = 2 L I R'(30 °C)", source: "resistance by IEC 60228 class 5, α by IEC 60028" };
const ENTRY: Formula =
    Formula { text: "s + r + D", source: "geometry; bend by our margin, DIN VDE 0298-3 asks for 3 to 5 D" };
const INSIDE: Formula = Formula { text: "l − 2 t, l the longest side", source: "geometry" };

const STRICTER: Formula =
    Formula { text: "min(I_1, I_2)", source: "our margin: the smaller of NEC 400.5(A) and BS 7671 table 4F3A" };

/// What the cord is and may do.
#[derive(Debug, Clone)]
pub struct CordFigures {
    /// Current it may carry, by the table of the region.
    pub rating: Found<Amperes>,
    /// Least area of its cores for this lamp.
    pub least_area: Found<SquareMetres>,
    /// Its outside: measured, or of its standard sheet.
    pub outer: Found<Outer>,
    /// Smallest inner bend radius.
    pub bend: Found<Metres>,
    /// Pull the anchorage must stand.
    pub pull: Found<Newtons>,
    /// Twist the anchorage must stand.
    pub twist: Found<NewtonMetres>,
    /// Most mass that may hang on it.
    pub hang: Found<Kilograms>,
    /// Room to come in and bend; none where the body has no length.
    pub way_in: Found<Option<WayIn>>,
    /// Voltage lost in it at the highest running current.
    pub drop: Found<Volts>,
}

/// What the cord needs behind its entry, and the longest way that the body has.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WayIn {
    /// Straight piece, bend and the cord's own thickness.
    pub need: Metres,
    /// Longest side of the space inside.
    pub inside: Metres,
}

/// Outside of a cord; a flat one has two sides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outer {
    /// Smallest size a clamp may meet.
    pub least: Metres,
    /// Largest size a hole must pass.
    pub greatest: Metres,
    /// Diameter, or the small side of a flat cord, at its greatest: what bends.
    pub thickness: Metres,
    /// The author measured it.
    pub measured: bool,
}

pub(super) fn solve(lamp: &Lamp, cord: &Cord, current: &Found<Amperes>, ledger: &mut Ledger) -> CordFigures {
    let outer = outer(cord, ledger);
    let (pull, twist) = anchorage_loads(cord, ledger);
    let bend = outer.clone().map(|o| {
        let bend = design_bend_radius(o.thickness);
        ledger.computed("line.bend", "smallest bend radius of the cord", bend, BEND, &[("D", "line.outer-small")])
    });
    CordFigures {
        rating: rating(lamp, cord, ledger),
        least_area: least_area(lamp, ledger),
        way_in: way_in(lamp, cord, (&outer, &bend), ledger),
        bend,
        outer,
        pull,
        twist,
        hang: hang(cord, ledger),
        drop: drop(cord, current, ledger),
    }
}

/// Straight piece, bend and the cord's own thickness must fit inside the body in some direction.
fn way_in(
    lamp: &Lamp,
    cord: &Cord,
    (outer, bend): (&Found<Outer>, &Found<Metres>),
    ledger: &mut Ledger,
) -> Found<Option<WayIn>> {
    let thickness = outer.as_ref()?.thickness;
    let need = entry_room(thickness, cord.depth.high()?, bend.clone()?).depth;
    let body = &lamp.enclosure;
    let longest = body.size.known()?.iter().copied().fold(Metres::ZERO, Metres::max);
    let inside = longest - body.wall.high()? * 2.0;
    if longest <= Metres::ZERO {
        return Ok(None);
    }
    let from = [("s", cord.depth.path.as_str()), ("r", "line.bend"), ("D", "line.outer-small")];
    ledger.computed("line.entry-room", "way the cord needs to come in and bend", need, ENTRY, &from);
    let from = [("l", body.size.path.as_str()), ("t", body.wall.path.as_str())];
    ledger.computed("line.inside", "longest way inside the body", inside, INSIDE, &from);
    Ok(Some(WayIn { need, inside }))
}

fn rating(lamp: &Lamp, cord: &Cord, ledger: &mut Ledger) -> Found<Amperes> {
    let region = terms::region(lamp.identity.region.get()?);
    // A core thinner than the table's first row has no rating, which is a missing figure and not a pass.
    let area = cord.core_area.low()?;
    let row = cord_current(region, area).ok_or_else(|| cord.core_area.missing())?;
    if region == wires::Region::Us
        && let Some(other) = cord_current(wires::Region::Eu, area)
    {
        return Ok(stricter(row, other, ledger));
    }
    Ok(ledger.looked_up("line.cord-rating", "current the cord may carry", row.current, row.size, row.source))
}

/// In North America a cord keeps both its own table and the harmonised one: the smaller current holds.
fn stricter(nec: &CordCurrentRow, iec: &CordCurrentRow, ledger: &mut Ledger) -> Amperes {
    for (path, title, row) in [
        ("line.cord-rating-nec", "current of the cord by the North American table", nec),
        ("line.cord-rating-iec", "current of the cord by the harmonised table", iec),
    ] {
        ledger.looked_up(path, title, row.current, row.size, row.source);
    }
    let inputs = [("I_1", "line.cord-rating-nec"), ("I_2", "line.cord-rating-iec")];
    let least = nec.current.min(iec.current);
    ledger.computed("line.cord-rating", "current the cord may carry", least, STRICTER, &inputs)
}

/// IEC 60598-1 tells ordinary lamps from those for damp places; the US has one least gauge for lamp cords.
fn least_area(lamp: &Lamp, ledger: &mut Ledger) -> Found<SquareMetres> {
    let duty = match (lamp.identity.region.get()?, lamp.identity.place.get()?) {
        (Region::Us, _) => Duty::AmericanCord,
        (_, Place::IndoorDry) => Duty::OrdinaryCord,
        _ => Duty::OtherCord,
    };
    let row = least_section(duty);
    let words = match duty {
        Duty::AmericanCord => "lamp cord in the US, 18 AWG",
        Duty::OrdinaryCord => "supply cord of a lamp for dry rooms",
        _ => "supply cord of a lamp for damp places",
    };
    Ok(ledger.looked_up("line.cord-area", "least area of the cord's cores", row.area, words, row.source))
}

/// Least area of wires inside that nothing but the fuse limits.
pub(super) fn inner_area(ledger: &mut Ledger) -> SquareMetres {
    let row = least_section(Duty::InternalMains);
    ledger.looked_up(
        "line.inner-area",
        "least area of inner mains wires",
        row.area,
        "inside, tied to the mains",
        row.source,
    )
}

fn outer(cord: &Cord, ledger: &mut Ledger) -> Found<Outer> {
    let (outer, row, source) = match cord.outer.value.as_deref() {
        Some([diameter]) => (measured(*diameter, *diameter), "measured", "the author's own measurement"),
        Some([one, other, ..]) => (measured(*one, *other), "measured", "the author's own measurement"),
        _ => {
            let row = standard_row(cord)?;
            let (least, greatest) = row.clamp_range();
            (Outer { least, greatest, thickness: row.minor.1, measured: false }, row.word, row.source)
        }
    };
    ledger.looked_up("line.outer-least", "smallest outside of the cord", outer.least, row, source);
    ledger.looked_up("line.outer-greatest", "largest outside of the cord", outer.greatest, row, source);
    ledger.looked_up("line.outer-small", "what bends: diameter, or small side", outer.thickness, row, source);
    Ok(outer)
}

fn measured(one: Metres, other: Metres) -> Outer {
    Outer { least: one.min(other), greatest: one.max(other), thickness: one.min(other), measured: true }
}

/// A cord that no sheet lists must be measured.
fn standard_row(cord: &Cord) -> Found<&'static CordRow> {
    let word = terms::build(cord.build.get()?);
    let cores = cord.cores.get()? as usize;
    sheet(word, cores, cord.core_area.nominal()?).ok_or_else(|| cord.outer.missing())
}

fn anchorage_loads(cord: &Cord, ledger: &mut Ledger) -> (Found<Newtons>, Found<NewtonMetres>) {
    let row = cord.cores.get().and_then(|n| {
        // Above 8 mm² in total the table ends; such a cord does not belong on a small lamp.
        anchorage(n as usize, cord.core_area.high()?).ok_or_else(|| cord.core_area.missing())
    });
    let words = |total: SquareMetres| format!("total of all cores up to {total}");
    let pull = row.clone().map(|r| {
        ledger.looked_up(
            "line.pull",
            "pull the anchorage must stand, 25 times a second",
            r.pull,
            words(r.total_area),
            r.source,
        )
    });
    let twist = row.map(|r| {
        ledger.looked_up(
            "line.twist",
            "twist the anchorage must stand for a minute",
            r.torque,
            words(r.total_area),
            r.source,
        )
    });
    (pull, twist)
}

fn hang(cord: &Cord, ledger: &mut Ledger) -> Found<Kilograms> {
    let conductors = cord.cores.get()?.min(2) as usize;
    let mass = mass_on_cord(conductors, cord.core_area.low()?);
    let inputs = [("n", "mains.cord.cores"), ("A", "mains.cord.core-area")];
    Ok(ledger.computed("line.hang", "most mass that may hang on the cord", mass, HANG, &inputs))
}

fn drop(cord: &Cord, current: &Found<Amperes>, ledger: &mut Ledger) -> Found<Volts> {
    let run = Run {
        length: cord.length.high()?,
        per_length: resistance_per_length(cord.core_area.low()?),
        temperature: Temperature::from_celsius(30.0),
        current: current.clone()?,
    };
    let inputs = [("L", "mains.cord.length"), ("I", "line.current"), ("A of R'", "mains.cord.core-area")];
    Ok(ledger.computed("line.drop", "voltage lost in the cord", voltage_drop(run), DROP, &inputs))
}
