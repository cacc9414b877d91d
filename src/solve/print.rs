//! The printed body: plastic, filament, time, what its screws want, and what hangs free on the printer.
//! Turns the body's outside and inside into entries of the print card and the few figures that rules judge.

use crate::lamp::Lamp;
use crate::lamp::body::Print;
use crate::lamp::given::Found;
use crate::ledger::{Formula, Ledger};
use crate::physics::mechanics::hollow::Hollow;
use crate::physics::mechanics::print::{
    FILAMENT, LEAST_LIVE_WALL, LEAST_WALL, PrintSettings, PrintedSolid, filament_length, plastic_volume, print_time,
    screw_boss,
};
use crate::physics::mechanics::shell::shell;
use crate::physics::thermal::materials;
use crate::quantity::{Kilograms, Metres, MetresPerSecond, Radians};
use crate::schema::words::{Face, Word};

use super::fit::{inside, opening, outside};

/// Speed along the line (our guideline; the slicer knows better).
const SPEED: MetresPerSecond = MetresPerSecond::si(60e-3);
/// Hole for a heat-set insert over the thread's diameter, and least wall around it (our guideline, from memory).
const INSERT: (f64, Metres) = (1.33, Metres::si(1.6e-3));
/// Holes and bosses are given to the nearest of this: no printer makes less.
const STEP: f64 = 0.1e-3;

const VOLUME: Formula = Formula { text: "outside less inside, the opening taken out", source: "geometry" };
const PLASTIC: Formula = Formula {
    text: "skin + f (V − skin), skin two lines thick on both faces",
    source: "our guideline; the slicer knows better",
};
const MASS: Formula = Formula { text: "ρ V_p", source: "geometry" };
const LENGTH: Formula = Formula { text: "V_p/(π d²/4), d = 1.75 mm, to 0.1 m", source: "geometry" };
const TIME: Formula = Formula {
    text: "1.2 V_p/(line · layer · 60 mm/s) + 4 s a layer",
    source: "our guideline; the slicer knows better",
};
const HANGS: Formula = Formula { text: "inside less opening, halved", source: "geometry" };
const LEANS: Formula = Formula { text: "atan((r_front − r_back)/h)", source: "geometry" };
const CROWN: Formula =
    Formula { text: "90°: whichever side lies on the bed, a ball begins or ends level", source: "geometry" };
const LYING: Formula =
    Formula { text: "90°: a round wall that lies on its side begins and ends level", source: "geometry" };
const PILOT: Formula =
    Formula { text: "0.83 d into plastic, 1.33 d for an insert, to 0.1 mm", source: "our guideline" };
const BOSS: Formula =
    Formula { text: "2.2 d, or the insert's hole and 1.6 mm all round, to 0.1 mm", source: "our guideline" };
const DEEP: Formula = Formula { text: "2.5 d", source: "our guideline" };

/// The print; ledger entries under `print.`.
#[derive(Debug, Clone)]
pub struct PrintSolution {
    /// Mass of one body.
    pub mass: Kilograms,
    /// Least wall for what it holds; missing where nobody says whether that is live.
    pub least_wall: Found<Metres>,
    /// Width of the lip that hangs free with the back on the bed; none where nothing hangs.
    pub lip: Option<Metres>,
    /// How far the wall leans outwards from the upright, as it stands on the bed.
    pub leans: Radians,
}

/// Works the print out.
pub fn solve(lamp: &Lamp, print: &Print, ledger: &mut Ledger) -> Found<PrintSolution> {
    let body = &lamp.enclosure;
    let (outer, before) = outside(&lamp.enclosure)?;
    let walls = shell(&outer, before, &inside(lamp)?, opening(lamp)?);
    let wall = body.wall.nominal()?;
    let size = [("size", body.size.path.as_str()), ("wall", body.wall.path.as_str())];
    ledger.computed("print.volume", "volume of the walls", walls.volume, VOLUME, &size);
    let row = materials::find(body.material.get()?.word()).ok_or_else(|| body.material.missing())?;
    ledger.looked_up("print.density", "density of the plastic", row.density, row.name, row.source);
    let line = print.line.nominal()?;
    // Both faces of a wall this thin: A = 2 V/w.
    let surface = walls.volume / wall * 2.0;
    let solid = PrintedSolid { volume: walls.volume, surface, skin: line * 2.0, infill: print.infill.get()? };
    let plastic = plastic_volume(&solid);
    let from = [
        ("V", "print.volume"),
        ("f", print.infill.path.as_str()),
        ("line", print.line.path.as_str()),
        ("wall", body.wall.path.as_str()),
    ];
    ledger.computed("print.plastic", "volume of the plastic, walls with their infill", plastic, PLASTIC, &from);
    let from = [("V_p", "print.plastic"), ("ρ", "print.density")];
    let mass = ledger.computed("print.mass", "plastic for one body, no support", row.density * plastic, MASS, &from);
    // The infill is a guess: a tenth of a metre is more than it is worth.
    let filament = Metres::si(libm::round(filament_length(plastic, FILAMENT).value() * 10.0) / 10.0);
    ledger.computed(
        "print.filament",
        "filament of 1.75 mm for one body",
        filament,
        LENGTH,
        &[("V_p", "print.plastic")],
    );
    let high = height(&outer, print.bed.get()?);
    let layer = print.layer.nominal()?;
    let time = print_time(plastic, high, PrintSettings { line, layer, speed: SPEED });
    let from = [("V_p", "print.plastic"), ("line", print.line.path.as_str()), ("layer", print.layer.path.as_str())];
    ledger.computed("print.time", "time on the printer, roughly", time, TIME, &from);
    let least_wall = least_wall(lamp, ledger);
    screws(print, ledger);
    let lip = lip(lamp, &outer, before, print, ledger)?;
    let leans = leans(lamp, &outer, print, ledger)?;
    Ok(PrintSolution { mass, least_wall, lip, leans })
}

fn least_wall(lamp: &Lamp, ledger: &mut Ledger) -> Found<Metres> {
    // A lamp without mains holds nothing live, whatever is written.
    let live = lamp.mains.is_some() && lamp.enclosure.holds_live.get()?;
    let (least, row) = if live { (LEAST_LIVE_WALL, "it holds live parts, printed solid") } else { (LEAST_WALL, "any") };
    Ok(ledger.looked_up("print.least-wall", "least wall of a print", least, row, "our guideline"))
}

fn height(outer: &Hollow, bed: Face) -> Metres {
    let (across, up, depth) = outer.around();
    match bed {
        Face::Back | Face::Front => depth,
        Face::Left | Face::Right => across * 2.0,
        Face::Bottom | Face::Top => up * 2.0,
    }
}

fn screws(print: &Print, ledger: &mut Ledger) {
    let (Ok(_), Ok(screw), Ok(inserts)) = (print.screws.get(), print.screw.nominal(), print.inserts.get()) else {
        return;
    };
    let (pilot, boss, deep) = screw_boss(screw);
    let (hole, boss) = if inserts { (screw * INSERT.0, screw * INSERT.0 + INSERT.1 * 2.0) } else { (pilot, boss) };
    let round = |length: Metres| Metres::si(libm::round(length.value() / STEP) * STEP);
    let from = [("d", print.screw.path.as_str())];
    ledger.computed("print.pilot", "hole for a screw or insert", round(hole), PILOT, &from);
    ledger.computed("print.boss", "outside of the boss around it, at least", round(boss), BOSS, &from);
    ledger.computed("print.engaged", "depth of thread, at least", deep, DEEP, &from);
}

/// The front wall around the opening hangs free where the back lies on the bed.
fn lip(lamp: &Lamp, outer: &Hollow, before: Metres, print: &Print, ledger: &mut Ledger) -> Found<Option<Metres>> {
    let body = &lamp.enclosure;
    if print.bed.get()? != Face::Back || before <= Metres::ZERO || !body.opening.is_known() {
        return Ok(None);
    }
    let (across, up, _) = outer.around();
    let inner = across.min(up) - body.wall.nominal()?;
    let lip = inner - body.opening.nominal()? / 2.0;
    let from = [("inside", body.size.path.as_str()), ("opening", body.opening.path.as_str())];
    Ok(Some(ledger.computed("print.lip", "lip that hangs free around the opening", lip, HANGS, &from)))
}

/// Outwards from the upright, the way it stands on the bed; inwards counts as nothing.
fn leans(lamp: &Lamp, outer: &Hollow, print: &Print, ledger: &mut Ledger) -> Found<Radians> {
    let (title, bed) = ("wall from the upright, hanging over", print.bed.get()?);
    let level = match outer {
        Hollow::Ball { .. } => Some(CROWN),
        Hollow::Round { .. } if !matches!(bed, Face::Back | Face::Front) => Some(LYING),
        _ => None,
    };
    if let Some(formula) = level {
        let from = [("shape", lamp.enclosure.shape.path.as_str())];
        let right = Radians::si(std::f64::consts::FRAC_PI_2);
        return Ok(ledger.computed("print.leans", title, right, formula, &from));
    }
    let Hollow::Round { back, front, depth } = *outer else { return Ok(Radians::ZERO) };
    if back == front {
        return Ok(Radians::ZERO);
    }
    let out = if bed == Face::Front { back - front } else { front - back };
    let angle = Radians::si(libm::atan2(out.value(), depth.value()).max(0.0));
    let from = [("size", lamp.enclosure.size.path.as_str())];
    Ok(ledger.computed("print.leans", title, angle, LEANS, &from))
}
