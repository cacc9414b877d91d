//! The sheet in its recess: clearance over all states of heat and damp, and what the lip still covers.

use crate::lamp::Lamp;
use crate::lamp::diffuser::{Diffuser, Seat as GivenSeat};
use crate::lamp::given::Found;
use crate::ledger::{Formula, Ledger};
use crate::physics::mechanics::materials::{self, Grain, Material, wood_moisture_growth};
use crate::physics::mechanics::seat::{
    Pair, Size, State, least_clearance, lip_overlap_shifted, loosest, overlap_wanted, seat_statistical,
    seat_worst_case, statistical_clearance, tightest,
};
use crate::quantity::{Kelvin, Metres, Ratio};
use crate::schema::words::BodyMaterial;

use super::{Clearance, Seat, Wood, material_of};

const FITTED: Formula = Formula { text: "S − D", source: "geometry" };
const LEAST: Formula =
    Formula { text: "(S − t_S)(1 + α_S ΔT_S) − (D + t_D)(1 + α_D ΔT_D)(1 + e_D)", source: "thermal expansion" };
const LARGEST: Formula =
    Formula { text: "(S + t_S)(1 + α_S ΔT_S) − (D − t_D)(1 + α_D ΔT_D)", source: "thermal expansion" };
const RSS: Formula = Formula {
    text: "S k_S − D k_D − √((t_S k_S)² + (t_D k_D)²), least over all states",
    source: "root sum square of tolerances taken as three standard deviations",
};
const RECESS: Formula = Formula { text: "((D + t_D) k_D + gap)/k_S + t_S, most over all states", source: "worst case" };
const RECESS_RSS: Formula = Formula {
    text: "(D k_D + gap + √((t_D k_D)² + (t_S k_S)²))/k_S, most over all states",
    source: "root sum square of tolerances taken as three standard deviations",
};
const WOOD: Formula =
    Formula { text: "0.25 % for each 1 % of moisture, along the rings", source: "wood handbooks; from memory" };
const DRIED: Formula = Formula { text: "least over all states with S (1 − growth)", source: "geometry" };
const DAMP: Formula = Formula { text: "largest over all states with S (1 + growth)", source: "geometry" };
const OVER_ALL: Formula = Formula { text: "over hot, damp and cold, and both directions", source: "worst case" };
const OVERLAP: Formula = Formula { text: "lip − largest clearance, sheet pushed to one side", source: "geometry" };
const OVERLAP_WANTED: Formula = Formula { text: "1 mm, from 300 mm on 1.5 mm", source: "our margin" };

/// States of heat and damp against the fitting.
struct States {
    /// Lamp on for long, warmest room, sheet still damp: it is dry only after days.
    hot: State,
    /// Lamp off, coldest room, sheet damp.
    cold: State,
    /// Every state in which the sheet is widest or narrowest.
    all: [State; 4],
}

/// Clearances of a sheet of these outer sizes.
pub(super) fn solve(
    lamp: &Lamp,
    d: &Diffuser,
    seat: &GivenSeat,
    (sheet_width, sheet_height): (Metres, Metres),
    ledger: &mut Ledger,
) -> Found<Seat> {
    let (sheet, bodies) = partners(lamp, d, ledger)?;
    let states = states(lamp, seat, sheet)?;
    let pairs: Vec<Pair> = bodies.iter().map(|body| Pair { disc: sheet.expansion, seat: body.expansion }).collect();
    let (wanted, growth) = (seat.gap.nominal()?, wood_growth(lamp, seat, ledger)?);
    let direction = |sheet: Metres, seat_size: Metres| -> Found<(Clearance, Option<Wood>)> {
        let disc = Size { nominal: sheet, tolerance: d.tolerance.nominal()? };
        let seat = Size { nominal: seat_size, tolerance: seat.tolerance.nominal()? };
        Ok((clearance(disc, seat, &pairs, &states, wanted), wood(disc, seat, &pairs, &states, growth)))
    };
    let (width, wide) = direction(sheet_width, seat.width.nominal()?)?;
    let both = match seat.height.nominal() {
        Ok(size) => Some(direction(sheet_height, size)?),
        // A recess without a height is round; a sheet that is not has to turn freely in it.
        Err(_) if !seat.height.unknown => None,
        Err(missing) => return Err(missing),
    };
    let height = both.map(|(height, _)| height);
    let wood = wide.map(|wide| match both.and_then(|(_, high)| high) {
        Some(high) => Wood { least: wide.least.min(high.least), largest: wide.largest.max(high.largest), ..wide },
        None => wide,
    });
    let room = lamp.identity.room.path.as_str();
    enter(d, seat, room, "width", &width, ledger);
    if let Some(height) = &height {
        enter(d, seat, room, "height", height, ledger);
    }
    let wood = wood.map(|wood| Wood {
        overlap: seat.lip.nominal().ok().map(|lip| lip_overlap_shifted(lip, wood.largest)),
        ..wood
    });
    enter_wood(seat, wood, ledger);
    summary(seat, width, height, (sheet_width.max(sheet_height), wood), ledger)
}

/// Share by which a wooden recess grows or shrinks with the change of moisture that is allowed for; none elsewhere.
fn wood_growth(lamp: &Lamp, seat: &GivenSeat, ledger: &mut Ledger) -> Found<Option<f64>> {
    if !matches!(lamp.enclosure.material.get()?, BodyMaterial::Softwood | BodyMaterial::Oak) {
        return Ok(None);
    }
    let growth = wood_moisture_growth(seat.moisture.get()?, Grain::Tangential);
    let inputs = [("Δm", seat.moisture.path.as_str())];
    let title = "change of the recess across the grain, each way";
    Ok(Some(ledger.computed_share("cut.seat.wood-growth", title, growth, WOOD, &inputs)))
}

fn wood(disc: Size, seat: Size, pairs: &[Pair], states: &States, growth: Option<f64>) -> Option<Wood> {
    let growth = growth?;
    let moved = |by: f64| states.all.map(|state| State { seat_swelling: by, ..state });
    let (dry, damp) = (moved(-growth), moved(growth));
    let least = pairs.iter().filter_map(|pair| tightest(disc, seat, *pair, &dry)).map(|(_, gap)| gap);
    let largest = pairs.iter().filter_map(|pair| loosest(disc, seat, *pair, &damp)).map(|(_, gap)| gap);
    Some(Wood { growth, least: least.reduce(Metres::min)?, largest: largest.reduce(Metres::max)?, overlap: None })
}

fn enter_wood(seat: &GivenSeat, wood: Option<Wood>, ledger: &mut Ledger) {
    let Some(wood) = wood else { return };
    let inputs = [("growth", "cut.seat.wood-growth"), ("S", seat.width.path.as_str())];
    ledger.computed("cut.seat.wood-least", "least clearance, recess dried out", wood.least, DRIED, &inputs);
    ledger.computed("cut.seat.wood-largest", "largest clearance, recess damp", wood.largest, DAMP, &inputs);
    if let Some(overlap) = wood.overlap {
        let inputs = [("lip", seat.lip.path.as_str()), ("largest clearance", "cut.seat.wood-largest")];
        ledger.computed("cut.seat.wood-overlap", "what the lip covers, recess damp", overlap, OVERLAP, &inputs);
    }
}

/// The sheet's material and those the body may be: wood moves along or across its grain, so both are tried.
fn partners(lamp: &Lamp, d: &Diffuser, ledger: &mut Ledger) -> Found<(&'static Material, Vec<&'static Material>)> {
    let body = &lamp.enclosure.material;
    let sheet = material_of(d.material.get()?).ok_or_else(|| d.material.missing())?;
    let names: &[&str] = match body.get()? {
        BodyMaterial::Softwood | BodyMaterial::Oak => &["wood-along", "wood-across"],
        BodyMaterial::Plywood => &["plywood"],
        BodyMaterial::Pla => &["pla"],
        BodyMaterial::Petg => &["petg"],
        BodyMaterial::Abs => &["abs"],
        BodyMaterial::Asa => &["asa"],
        BodyMaterial::Polycarbonate => &["polycarbonate"],
        BodyMaterial::Pa12 => &["pa12"],
        BodyMaterial::Ceramic => &["ceramic"],
        BodyMaterial::Glass => &["glass"],
        BodyMaterial::Aluminium => &["aluminium"],
        BodyMaterial::Steel => &["steel"],
        BodyMaterial::Brass => &["brass"],
    };
    let bodies: Vec<&Material> = names.iter().filter_map(|name| materials::find(name)).collect();
    ledger.looked_up("cut.expansion", "expansion of the sheet", sheet.expansion, sheet.name, sheet.source);
    let swelling = Ratio::si(sheet.swelling);
    ledger.looked_up("cut.swelling", "growth of the sheet by damp", swelling, sheet.name, sheet.other_source);
    let most = bodies.last().ok_or_else(|| body.missing())?;
    let row = if bodies.len() > 1 { "wood across its grain; along it 4 ppm/K, both tried" } else { most.name };
    ledger.looked_up("cut.expansion-body", "expansion of the body", most.expansion, row, most.source);
    Ok((sheet, bodies))
}

fn states(lamp: &Lamp, seat: &GivenSeat, sheet: &Material) -> Found<States> {
    let (room, fitted) = (&lamp.identity.room, seat.fitted_at.nominal()?);
    let (warm, cool) = (room.high()? - fitted, room.low()? - fitted);
    let (on_sheet, on_body) = (warm + seat.sheet_rise.nominal()?, warm + seat.body_rise.nominal()?);
    let state = |sheet_rise: Kelvin, body_rise: Kelvin, damp: bool| State {
        disc_swelling: if damp { sheet.swelling } else { 0.0 },
        ..State::heat(sheet_rise, body_rise)
    };
    let (hot, cold) = (state(on_sheet, on_body, true), state(cool, cool, true));
    Ok(States { hot, cold, all: [hot, cold, state(on_sheet, on_body, false), state(cool, cool, false)] })
}

fn clearance(disc: Size, seat: Size, pairs: &[Pair], states: &States, wanted: Metres) -> Clearance {
    let least =
        |of: &dyn Fn(Pair) -> Metres| pairs.iter().map(|pair| of(*pair)).fold(Metres::si(f64::INFINITY), Metres::min);
    let largest = pairs.iter().filter_map(|pair| loosest(disc, seat, *pair, &states.all).map(|(_, gap)| gap));
    let tight = pairs.iter().filter_map(|pair| tightest(disc, seat, *pair, &states.all).map(|(_, gap)| gap));
    let each = || pairs.iter().flat_map(|pair| states.all.iter().map(move |state| (*pair, *state)));
    let statistical = each().map(|(pair, state)| statistical_clearance(disc, seat, pair, state));
    let most = |of: &dyn Fn(Pair, State) -> Metres| each().map(|(p, s)| of(p, s)).fold(Metres::ZERO, Metres::max);
    let recess = (
        most(&|pair, state| seat_worst_case(disc, seat.tolerance, pair, state, wanted)),
        most(&|pair, state| seat_statistical(disc, seat.tolerance, pair, state, wanted)),
    );
    Clearance {
        statistical: statistical.fold(Metres::si(f64::INFINITY), Metres::min),
        recess,
        fitted: seat.nominal - disc.nominal,
        hot: least(&|pair| least_clearance(disc, seat, pair, states.hot)),
        cold: least(&|pair| least_clearance(disc, seat, pair, states.cold)),
        least: tight.fold(Metres::si(f64::INFINITY), Metres::min),
        largest: largest.fold(Metres::si(f64::NEG_INFINITY), Metres::max),
    }
}

fn enter(d: &Diffuser, seat: &GivenSeat, room: &str, way: &str, c: &Clearance, ledger: &mut Ledger) {
    let round = ["cut.diameter", "cut.around"].into_iter().find(|path| ledger.get(path).is_some());
    let round = round.filter(|_| !seat.height.is_known());
    let across = round.unwrap_or("cut.width");
    let tabbed = round.is_none() && ledger.get("cut.seated-width").is_some();
    let (size, net) = match (way, tabbed) {
        ("width", true) => (&seat.width, "cut.seated-width"),
        ("width", false) => (&seat.width, across),
        (_, true) => (&seat.height, "cut.seated-height"),
        (_, false) => (&seat.height, "cut.height"),
    };
    let inputs = [
        ("S", size.path.as_str()),
        ("D", net),
        ("t_S", seat.tolerance.path.as_str()),
        ("t_D", d.tolerance.path.as_str()),
        ("α_D", "cut.expansion"),
        ("α_S", "cut.expansion-body"),
        ("e_D", "cut.swelling"),
        ("room", room),
        ("fitted at", seat.fitted_at.path.as_str()),
        ("rise of the sheet", seat.sheet_rise.path.as_str()),
        ("rise of the body", seat.body_rise.path.as_str()),
    ];
    let mut put = |what: &str, title: &str, value, formula, inputs: &[(&'static str, &str)]| {
        ledger.computed(format!("cut.seat.{way}-{what}"), &format!("{title}, {way}"), value, formula, inputs);
    };
    put("fitted", "clearance as fitted", c.fitted, FITTED, &inputs[..2]);
    put("hot", "least clearance, lamp on in the warmest room", c.hot, LEAST, &inputs);
    put("cold", "least clearance, lamp off in the coldest room", c.cold, LEAST, &inputs);
    put("largest", "largest clearance", c.largest, LARGEST, &inputs);
    put("rss", "least clearance, tolerances as independent errors", c.statistical, RSS, &inputs);
    put("recess", "recess for the clearance wanted, worst case", c.recess.0, RECESS, &inputs);
    put("recess-rss", "recess for the clearance wanted, independent errors", c.recess.1, RECESS_RSS, &inputs);
}

fn summary(
    seat: &GivenSeat,
    width: Clearance,
    height: Option<Clearance>,
    (sheet, wood): (Metres, Option<Wood>),
    ledger: &mut Ledger,
) -> Found<Seat> {
    let least = height.map_or(width.least, |h| h.least.min(width.least));
    let largest = height.map_or(width.largest, |h| h.largest.max(width.largest));
    let tight = [
        ("width", "cut.seat.width-hot"),
        ("width", "cut.seat.width-cold"),
        ("height", "cut.seat.height-hot"),
        ("height", "cut.seat.height-cold"),
    ];
    let wide = [("width", "cut.seat.width-largest"), ("height", "cut.seat.height-largest")];
    let ways = if height.is_some() { 2 } else { 1 };
    let title = "least clearance of the sheet";
    let least = ledger.computed("cut.seat.least", title, least, OVER_ALL, &tight[..2 * ways]);
    let title = "largest clearance of the sheet";
    let largest = ledger.computed("cut.seat.largest", title, largest, OVER_ALL, &wide[..ways]);
    let overlap_wanted = overlap_wanted(sheet);
    let overlap = match seat.lip.nominal() {
        Ok(lip) => {
            let inputs = [("lip", seat.lip.path.as_str()), ("largest clearance", "cut.seat.largest")];
            let title = "what the lip covers at worst";
            let overlap = lip_overlap_shifted(lip, largest);
            ledger.computed("cut.seat.overlap-wanted", "overlap to plan for", overlap_wanted, OVERLAP_WANTED, &[]);
            Some(ledger.computed("cut.seat.overlap", title, overlap, OVERLAP, &inputs))
        }
        Err(_) => None,
    };
    Ok(Seat { width, height, least, largest, wanted: seat.gap.nominal()?, wood, overlap, overlap_wanted })
}
