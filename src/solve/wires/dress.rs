//! Colours, ends and sleeves of conductors, and the voltage their insulation must be made for.

use crate::lamp::Lamp;
use crate::physics::conductors::colour::{Conductor, Marking, conductor_colour, reserved_for};
use crate::quantity::{Metres, SquareMetres, Volts};
use crate::schema::words::{Class, Colour, Region, Terminals, WireEnds, Word};
use crate::solve::line::terms;

use super::ends::{Join, dressed, join, stripped};
use super::route::Route;
use super::size::region;
use super::{Role, WireZone};

/// Area where the author says that it is not known.
pub(super) const STANDARD_AREA: SquareMetres = SquareMetres::si(0.5e-6);
/// Length of a low-voltage wire where the author says that it is not known.
pub(super) const STANDARD_LENGTH: Metres = Metres::si(0.250);
/// Length of a mains wire where the author says that it is not known.
pub(super) const STANDARD_MAINS_LENGTH: Metres = Metres::si(0.120);

/// Colours for strings whose channel's name is not a colour that is free.
const CYCLE: [Colour; 5] = [Colour::Orange, Colour::Turquoise, Colour::Pink, Colour::Red, Colour::White];

/// Strip of a mains wire under a spring, in a push-on receptacle, under a screw (common practice, no source; the
/// terminal's own sheet comes first).
const MAINS_STRIPS: [Metres; 3] = [Metres::si(0.010), Metres::si(0.006), Metres::si(0.008)];

/// How the ends look.
pub(super) struct Ends {
    pub(super) strip: [Metres; 2],
    pub(super) termination: String,
    pub(super) sleeve: String,
}

/// What decides colours and ends.
pub(super) struct Dress<'a> {
    lamp: &'a Lamp,
    region: Region,
}

impl<'a> Dress<'a> {
    pub(super) fn new(lamp: &'a Lamp) -> Self {
        Self { lamp, region: region(lamp) }
    }

    fn free(&self, colour: Colour) -> bool {
        let mains = self.lamp.mains.is_some();
        reserved_for(terms::region(self.region), terms::marking(colour), mains).is_none()
    }

    fn first_free(&self, wanted: &[Colour]) -> Colour {
        wanted.iter().copied().find(|&c| self.free(c)).unwrap_or(Colour::Violet)
    }

    /// Mains by the region; low voltage never in a colour that mains or earth keeps for itself.
    pub(super) fn colour(&self, route: &Route) -> Colour {
        let of = |conductor| word(conductor_colour(terms::region(self.region), conductor).marking);
        match &route.role {
            Role::Earth => of(Conductor::ProtectiveEarth),
            Role::Line => of(Conductor::Line),
            Role::Neutral => of(Conductor::Neutral),
            Role::Plus => self.first_free(&[of(Conductor::DirectPlus)]),
            Role::Minus => self.minus(),
            // Black is an old line colour, so it stays out of a box that mains enters.
            Role::StringMinus(_) if self.lamp.mains.is_none() => self.first_free(&[Colour::Black]),
            // A string's minus tied to 0 V burns at full: the two never wear one colour.
            Role::StringMinus(_) if self.minus() == Colour::Violet => {
                self.first_free(&self.unworn(&[Colour::Brown, Colour::Turquoise]))
            }
            Role::StringMinus(_) => Colour::Violet,
            Role::StringPlus(channel) | Role::Control(channel) => self.channel(channel),
            Role::Shutoff => {
                let wanted = [Colour::Pink, Colour::Grey, Colour::White, Colour::Turquoise, Colour::Orange];
                self.first_free(&self.unworn(&wanted))
            }
            Role::Extra if route.zone == WireZone::Mains => of(Conductor::Line),
            Role::Extra => self.first_free(&[Colour::Grey, Colour::White, Colour::Turquoise]),
        }
    }

    /// 0 V of the extra-low side; violet where neutral keeps white and grey for itself, as in North America.
    fn minus(&self) -> Colour {
        let direct = word(conductor_colour(terms::region(self.region), Conductor::DirectMinus).marking);
        self.first_free(&[direct, Colour::White, Colour::Grey, Colour::Violet])
    }

    /// Those of these colours that no channel wears.
    fn unworn(&self, wanted: &[Colour]) -> Vec<Colour> {
        let worn: Vec<Colour> = self.lamp.driver.channels.iter().map(|c| self.channel(&c.name)).collect();
        wanted.iter().copied().filter(|c| !worn.contains(c)).collect()
    }

    /// The channel's name where it is a colour that is free, else one of a fixed cycle by its place.
    fn channel(&self, name: &str) -> Colour {
        let named = |name: &str| Colour::from_word(name).filter(|&c| self.free(c) && c != Colour::Violet);
        if let Some(colour) = named(name) {
            return colour;
        }
        let channels = &self.lamp.driver.channels;
        let worn: Vec<Colour> = channels.iter().filter_map(|c| named(&c.name)).collect();
        let others = channels.iter().filter(|c| named(&c.name).is_none());
        let place = others.take_while(|c| c.name != name).count();
        let left: Vec<Colour> = CYCLE.into_iter().filter(|&c| self.free(c) && !worn.contains(&c)).collect();
        left.get(place % left.len().max(1)).copied().unwrap_or(Colour::Orange)
    }

    /// Where mains shares the box every wire is made for mains voltage; else for the extra-low voltage alone.
    ///
    /// 300/500 V and 300 V are the usual builds (IEC 60227-3, UL 758); one rating for all is common practice.
    pub(super) fn voltage(&self) -> Volts {
        match (self.lamp.mains.is_some(), self.region) {
            (true, Region::Us) | (false, _) => Volts::si(300.0),
            (true, _) => Volts::si(500.0),
        }
    }

    /// What one end wears, then the other. Its size is the wire's own.
    pub(super) fn ends(&self, route: &Route, shared: &dyn Fn(&str) -> bool) -> Ends {
        let mains = self.lamp.mains.as_ref();
        if route.zone != WireZone::Mains {
            let joins = [&route.from, &route.to].map(|end| (join(self.lamp, end), shared(end)));
            let [from, to] = joins.map(|(join, shared)| dressed(join, shared));
            let solder = joins.iter().any(|(join, _)| matches!(join, Join::Soldered | Join::Lead));
            let sleeve = if solder { "heat-shrink over the soldered joint" } else { "" };
            let strip = joins.map(|(join, _)| stripped(join));
            return Ends { strip, termination: format!("{from} / {to}"), sleeve: sleeve.into() };
        }
        let [spring, push_on, screw] = MAINS_STRIPS;
        let strip = match mains.and_then(|m| m.terminals.value) {
            Some(Terminals::Spring) => spring,
            Some(Terminals::PushOn) => push_on,
            _ => screw,
        };
        let end = match mains.and_then(|m| m.ends.value) {
            Some(WireEnds::Bare) => "bare strands, twisted".to_owned(),
            Some(WireEnds::Tinned) => "tinned strands".to_owned(),
            Some(WireEnds::Crimped) => "crimped receptacle".to_owned(),
            _ => "ferrule".to_owned(),
        };
        // An inlet has tabs, whatever the terminals of the mains side are.
        let tab = |end: &str| mains.is_some_and(|m| m.inlet.is_some()) && end.starts_with("entry.");
        let worn = |at: &str| if tab(at) { "push-on receptacle".to_owned() } else { end.clone() };
        let [from, to] = [worn(&route.from), worn(&route.to)];
        let termination = match route.role {
            Role::Earth => format!("{from} / ring crimp, toothed washer, bare metal"),
            _ if from == to => from,
            _ => format!("{from} / {to}"),
        };
        let strip = [&route.from, &route.to].map(|at| if tab(at) { push_on } else { strip });
        // The second layer that class II asks for where a mains wire may come near anything else.
        let second = route.role != Role::Earth && mains.is_some_and(|m| m.class.value == Some(Class::II));
        let sleeve = if second { "whole length" } else { "" };
        Ends { strip, termination, sleeve: sleeve.into() }
    }
}

/// The language's word for a marking.
fn word(marking: Marking) -> Colour {
    let of = |c: &&crate::schema::Choice| c.doc == marking.code();
    Colour::CHOICES.iter().find(of).and_then(|c| Colour::from_word(c.word)).unwrap_or(Colour::GreenYellow)
}
