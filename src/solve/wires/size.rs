//! What a conductor measures, may carry and loses: area, gauge, cut length, current, drop.

use crate::lamp::Lamp;
use crate::lamp::given::{Found, Given};
use crate::lamp::wiring::Run;
use crate::ledger::{Formula, Ledger};
use crate::physics::conductors::awg;
use crate::physics::conductors::current::{HookUp, hook_up_current};
use crate::physics::conductors::wire::{resistance_at, resistance_per_length};
use crate::quantity::{Amperes, Metres, SquareMetres, Temperature, Volts};
use crate::schema::words::Region;
use crate::solve::fit::Fit;
use crate::solve::heat::Ladder;
use crate::spread::Spread;

use super::dress::{self, Dress};
use super::route::Route;
use super::way;
use super::{Role, Wire, WireZone};

const AREA: Formula = Formula { text: "A as written for its run, else for its zone", source: "the spec" };
const AREA_ASSUMED: Formula = Formula {
    text: "0.5 mm², for nobody says: what the wire may carry and loses stays open",
    source: "common practice, no source",
};
const GAUGE: Formula = Formula { text: "thinnest even gauge not below A", source: "ASTM B258" };
const GIVEN_LENGTH: Formula = Formula { text: "l as written for its run", source: "the spec" };
const MAINS_LENGTH: Formula = Formula {
    text: "l, without a loop: a mains wire is short and fixed",
    source: "our margin; write the run to replace it",
};
const EARTH_LENGTH: Formula = Formula {
    text: "max(l, longest line or neutral at the entry) + slack, so that earth parts last",
    source: "IEC 60598-1, section 7; the slack is the spec's",
};
const PLACED_LENGTH: Formula = Formula {
    text: "way + 50 mm service loop, up to the next 5 mm",
    source: "our margin; write the run to replace it",
};
const PLACED_MAINS: Formula = Formula {
    text: "way + 30 mm for ends and a bend, up to the next 5 mm",
    source: "our margin; write the run to replace it",
};
const LOW_LENGTH: Formula =
    Formula { text: "l + 50 mm service loop", source: "our margin; write the run to replace it" };
const LENGTH_ASSUMED: Formula = Formula {
    text: "120 mm of a mains wire, else 250 mm + 50 mm service loop, for nobody says: what it loses stays open",
    source: "our margin; write the run to replace it",
};
const CURRENT: Formula = Formula { text: "I at full, highest of its band", source: "the circuit it belongs to" };
const AMPACITY: Formula = Formula {
    text: "min(5 A/mm² · A, cord of its size) · √((T_wire − T_inside)/(T_wire − 30 °C)) · bunching",
    source: "our margin, below IEC 60204-1 table 6; bunching by IEC 60364-5-52 table B.52.17, from memory",
};
const DROP: Formula =
    Formula { text: "ΔU = R'(T) l I, one conductor", source: "resistance by IEC 60228 class 5, α by IEC 60028" };

/// Added to each low-voltage wire whose run is not written, for opening and re-terminating.
const SERVICE_LOOP: Metres = Metres::si(0.050);

/// What is the same for all wires of a lamp.
pub(super) struct Site<'a> {
    lamp: &'a Lamp,
    dress: Dress<'a>,
    insulation: Found<Temperature>,
    inside: Found<Temperature>,
    /// Where the parts stand, if the spec lays them out.
    fit: Option<&'a Fit>,
    /// Longest line or neutral at the entry.
    live: Metres,
    /// Loaded circuits that run together on the low-voltage side.
    bunch: usize,
    /// Every end of a wire outside the mains, to see which terminals are shared.
    ends: Vec<String>,
}

impl<'a> Site<'a> {
    pub(super) fn new(
        lamp: &'a Lamp,
        routes: &[Route],
        heat: &Found<Ladder>,
        fit: Option<&'a Fit>,
        ledger: &mut Ledger,
    ) -> Self {
        let count = |is: fn(&Role) -> bool| routes.iter().filter(|r| is(&r.role)).count();
        // Where strings share a terminal, their other ends tell how many there are.
        let strings = count(|r| matches!(r, Role::StringPlus(_))).max(count(|r| matches!(r, Role::StringMinus(_))));
        let bunch = (strings + count(|r| *r == Role::Plus)).max(1);
        ledger.looked_up(
            "wire.loop",
            "service loop added to low-voltage wires without a written run",
            SERVICE_LOOP,
            "fixed",
            "our margin",
        );
        way::enter(fit, ledger);
        let standard = lamp.wiring.mains_length.nominal().unwrap_or(dress::STANDARD_MAINS_LENGTH);
        Self {
            fit,
            live: way::longest_live(fit, &lamp.wiring.runs, routes, standard),
            lamp,
            dress: Dress::new(lamp),
            insulation: lamp.wiring.temperature.low(),
            inside: heat.as_ref().map(|l| l.inside).map_err(Clone::clone),
            bunch,
            ends: routes
                .iter()
                .filter(|r| r.zone != WireZone::Mains)
                .flat_map(|r| [r.from.clone(), r.to.clone()])
                .collect(),
        }
    }

    /// The conductor with all its figures.
    pub(super) fn wire(&self, number: String, route: Route, ledger: &mut Ledger) -> Wire {
        let run = self.lamp.wiring.runs.iter().find(|r| r.name == route.name);
        let given = self.given_area(&route, run);
        let (area, gauge) = Self::area(&route, given, ledger);
        let known = given.low();
        let length = self.length(&route, run, ledger);
        let current = self.current(&route, ledger);
        let ampacity = known.clone().and_then(|area| self.ampacity(&route, area, ledger));
        let drop = known.and_then(|area| {
            self.length_known(&route, run)?;
            self.drop(&route, area, length, &current, ledger)
        });
        let shared = |end: &str| self.ends.iter().filter(|other| *other == end).count() > 1;
        let ends = self.dress.ends(&route, &shared);
        Wire {
            number,
            colour: run.and_then(|r| r.colour.value).unwrap_or_else(|| self.dress.colour(&route)),
            voltage: self.dress.voltage(),
            temperature: self.insulation.clone(),
            strip: ends.strip,
            termination: ends.termination,
            sleeve: ends.sleeve,
            name: route.name,
            from: route.from,
            to: route.to,
            carries: route.carries,
            role: route.role,
            zone: route.zone,
            area,
            gauge,
            length,
            current,
            ampacity,
            drop,
        }
    }

    /// The area of its run where one is written, else that of its zone.
    fn given_area<'s>(&'s self, route: &Route, run: Option<&'s Run>) -> &'s Given<Spread<SquareMetres>> {
        let wiring = &self.lamp.wiring;
        let zone = if route.zone == WireZone::Mains { &wiring.mains_area } else { &wiring.area };
        run.map(|r| &r.area).filter(|area| area.is_known() || area.unknown).unwrap_or(zone)
    }

    fn area(route: &Route, given: &Given<Spread<SquareMetres>>, ledger: &mut Ledger) -> (SquareMetres, String) {
        let (area, formula) = given.low().map_or((dress::STANDARD_AREA, AREA_ASSUMED), |area| (area, AREA));
        let at = |what: &str| format!("wire.{}.{what}", route.name);
        let title = format!("area of {}", route.name);
        let area = ledger.computed(at("area"), &title, area, formula, &[("A", given.path.as_str())]);
        let gauge = awg::name(awg::not_smaller_even(area));
        let title = format!("gauge of {}", route.name);
        ledger.computed_text(at("gauge"), &title, gauge.clone(), GAUGE, &[("A", &at("area"))]);
        (area, gauge)
    }

    fn length(&self, route: &Route, run: Option<&Run>, ledger: &mut Ledger) -> Metres {
        let wiring = &self.lamp.wiring;
        let at = format!("wire.{}.length", route.name);
        let title = format!("cut length of {}", route.name);
        if let Some(run) = run
            && let Ok(length) = run.length.nominal()
        {
            return ledger.computed(at, &title, length, GIVEN_LENGTH, &[("l", run.length.path.as_str())]);
        }
        let way = self.way(route, ledger);
        if route.zone != WireZone::Mains {
            if let Some((way, path)) = way {
                let inputs = [("way", path.as_str()), ("50 mm", "wire.loop")];
                return ledger.computed(at, &title, way::cut(way + SERVICE_LOOP), PLACED_LENGTH, &inputs);
            }
            let length = wiring.length.nominal().unwrap_or(dress::STANDARD_LENGTH) + SERVICE_LOOP;
            let inputs = [("l", "wiring.length"), ("50 mm", "wire.loop")];
            let formula = if wiring.length.is_known() { LOW_LENGTH } else { LENGTH_ASSUMED };
            return ledger.computed(at, &title, length, formula, &inputs);
        }
        let (own, inputs) = match &way {
            Some((way, path)) => {
                (way::cut(*way + way::ENDS), [("way", path.as_str()), ("30 mm", "wire.ends")].to_vec())
            }
            None => {
                let standard = wiring.mains_length.nominal().unwrap_or(dress::STANDARD_MAINS_LENGTH);
                (standard, [("l", "wiring.mains-length")].to_vec())
            }
        };
        let slack = self.lamp.mains.as_ref().and_then(|m| m.earth_slack.low().ok());
        match slack.filter(|_| route.role == Role::Earth) {
            Some(slack) => {
                let inputs: Vec<_> = inputs.into_iter().chain([("slack", "mains.earth-slack")]).collect();
                ledger.computed(at, &title, own.max(self.live) + slack, EARTH_LENGTH, &inputs)
            }
            None if way.is_some() => ledger.computed(at, &title, own, PLACED_MAINS, &inputs),
            None if wiring.mains_length.is_known() => ledger.computed(at, &title, own, MAINS_LENGTH, &inputs),
            None => ledger.computed(at, &title, own, LENGTH_ASSUMED, &inputs),
        }
    }

    /// What is missing where nobody says how long a wire is, and its parts have no places either.
    fn length_known(&self, route: &Route, run: Option<&Run>) -> Found<()> {
        let wiring = &self.lamp.wiring;
        let zone = if route.zone == WireZone::Mains { &wiring.mains_length } else { &wiring.length };
        let said = run.is_some_and(|run| run.length.is_known()) || way::between(self.fit, route).is_some();
        if said { Ok(()) } else { zone.known().map(|_| ()) }
    }

    /// The way between the parts it joins, with its ledger path, where both have a place.
    fn way(&self, route: &Route, ledger: &mut Ledger) -> Option<(Metres, String)> {
        let way = way::between(self.fit, route)?;
        let path = format!("wire.{}.way", route.name);
        let inputs: Vec<(&'static str, &str)> = way.ends.iter().map(|p| ("place", p.as_str())).collect();
        let title = format!("way of {} along the walls", route.name);
        Some((ledger.computed(path.clone(), &title, way.length, way::WAY, &inputs), path))
    }

    fn current(&self, route: &Route, ledger: &mut Ledger) -> Found<Amperes> {
        let current = route.current.clone()?;
        let at = format!("wire.{}.current", route.name);
        let inputs: Vec<(&'static str, &str)> = route.current_from.iter().map(|(s, p)| (*s, p.as_str())).collect();
        Ok(ledger.computed(at, &format!("current in {}", route.name), current, CURRENT, &inputs))
    }

    fn ampacity(&self, route: &Route, area: SquareMetres, ledger: &mut Ledger) -> Found<Amperes> {
        let circuits = if route.zone == WireZone::Mains { 1 } else { self.bunch };
        let hook_up = HookUp { area, insulation: self.insulation.clone()?, inside: self.inside.clone()?, circuits };
        let at = format!("wire.{}.ampacity", route.name);
        let area = format!("wire.{}.area", route.name);
        let inputs = [("A", area.as_str()), ("T_wire", "wiring.temperature"), ("T_inside", "heat.inside")];
        let title = format!("current that {} may carry, {circuits} circuits together", route.name);
        Ok(ledger.computed(at, &title, hook_up_current(hook_up), AMPACITY, &inputs))
    }

    /// At the temperature inside; where that is not known, at the most its insulation stands.
    fn drop(
        &self,
        route: &Route,
        area: SquareMetres,
        length: Metres,
        current: &Found<Amperes>,
        ledger: &mut Ledger,
    ) -> Found<Volts> {
        let current = current.clone()?;
        let (hot, path) = match &self.inside {
            Ok(inside) => (*inside, "heat.inside"),
            Err(_) => (self.insulation.clone()?, "wiring.temperature"),
        };
        let per_length = resistance_per_length(area);
        let drop = resistance_at(per_length, hot) * length * current;
        let at = |what: &str| format!("wire.{}.{what}", route.name);
        let (l, i, a) = (at("length"), at("current"), at("area"));
        let inputs = [("l", l.as_str()), ("I", i.as_str()), ("A of R'", a.as_str()), ("T", path)];
        Ok(ledger.computed(at("drop"), &format!("voltage lost in {}", route.name), drop, DROP, &inputs))
    }
}

/// The region, taken as continental where nobody says.
pub(super) fn region(lamp: &Lamp) -> Region {
    lamp.identity.region.value.unwrap_or(Region::Eu)
}
