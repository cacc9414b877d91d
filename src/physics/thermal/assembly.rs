//! Sink, supply, walls and vents to the network of a lamp: which body gives its heat where.
//!
//! Inside, everything exchanges heat with one air and with one mean of radiation. Real air is layered: under the top
//! it may be warmer than the mean by a third of its rise over the wall, which the margins must hold.

use super::faces::Face;
use super::network::{End, Law, Network, Room};
use super::sink::{PlateFins, Standing};
use super::vents::Vents;
use crate::quantity::{JoulesPerKelvin, SquareMetres, Watts, WattsPerKelvin, WattsPerSquareMetreKelvin};

/// A part of the body with one temperature outside and one inside: the shell, the front.
#[derive(Debug, Clone, PartialEq)]
pub struct Zone {
    /// Its name.
    pub name: &'static str,
    /// Faces towards the room.
    pub outer: Vec<Face>,
    /// Faces towards the inside.
    pub inner: Vec<Face>,
    /// ε outside and inside.
    pub emissivity: (f64, f64),
    /// Through the wall.
    pub wall: WattsPerKelvin,
    /// Heat given off by the outside, where it is stated: radiation counted in.
    pub film: Option<WattsPerSquareMetreKelvin>,
    /// Of the wall.
    pub capacity: JoulesPerKelvin,
}

/// What cools the emitter.
#[derive(Debug, Clone, PartialEq)]
pub enum Cooler {
    /// A sink with fins.
    Fins {
        /// The sink.
        sink: PlateFins,
        /// How it stands.
        standing: Standing,
        /// Whether it stands in the room.
        outside: bool,
    },
    /// A sink by its stated resistance to the air around it, radiation counted in.
    Stated {
        /// 1/R.
        conductance: WattsPerKelvin,
        /// Whether it stands in the room.
        outside: bool,
    },
    /// The emitter sits on the wall of this zone.
    Wall(usize),
}

/// A warm block inside: the supply.
#[derive(Debug, Clone, PartialEq)]
pub struct Block {
    /// Its whole surface.
    pub surface: SquareMetres,
    /// ε.
    pub emissivity: f64,
    /// Conductance of its contact to the wall of a zone.
    pub contacts: Vec<(usize, WattsPerKelvin)>,
    /// Heat capacity.
    pub capacity: JoulesPerKelvin,
}

/// Factors on the two families of convection, for what-if questions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Factors {
    /// On the convection of the sink.
    pub sink: f64,
    /// On the convection of the walls, inside and outside.
    pub walls: f64,
}

/// As calculated.
pub const PLAIN: Factors = Factors { sink: 1.0, walls: 1.0 };

/// A lamp's thermal parts.
#[derive(Debug, Clone, PartialEq)]
pub struct Assembly {
    /// What cools the emitter.
    pub cooler: Cooler,
    /// Heat capacity of the sink and the emitter on it.
    pub sink_capacity: JoulesPerKelvin,
    /// The supply, where it is inside and its size is known.
    pub supply: Option<Block>,
    /// Shell, front and so on.
    pub zones: Vec<Zone>,
    /// Openings at two levels.
    pub vents: Option<Vents>,
    /// Heat capacity of the air inside.
    pub air_capacity: JoulesPerKelvin,
    /// Factors.
    pub factors: Factors,
}

/// Where heat is set free.
#[derive(Debug, Clone, PartialEq)]
pub struct Sources {
    /// Of the dice.
    pub dice: Watts,
    /// Of the supply.
    pub supply: Watts,
    /// Of small parts that give it to the air inside.
    pub air: Watts,
    /// Light that is taken up by each zone.
    pub zones: Vec<Watts>,
}

/// The network with the numbers of its nodes.
#[derive(Debug, Clone, PartialEq)]
pub struct Built {
    /// The network.
    pub network: Network,
    /// The sink.
    pub sink: Option<usize>,
    /// The air inside.
    pub air: usize,
    /// The mean of radiation inside.
    pub radiation: usize,
    /// The supply.
    pub supply: Option<usize>,
    /// Inner and outer face of each zone; the same node where the wall hardly resists.
    pub zones: Vec<(usize, usize)>,
    mounted: Option<usize>,
}

/// A wall that conducts better than this is one node: its two faces differ by less than 1 mK for each watt.
pub const STIFF: WattsPerKelvin = WattsPerKelvin::si(1000.0);

impl Assembly {
    /// The network in this room. Walls better than `merge` become one node.
    pub fn network(&self, room: Room, merge: WattsPerKelvin) -> Built {
        let mut net = Network::new(room);
        let mounted = match self.cooler {
            Cooler::Wall(zone) => Some(zone),
            _ => None,
        };
        let sink = mounted.is_none().then(|| net.node("sink", self.sink_capacity));
        let air = net.node("air", self.air_capacity);
        let radiation = net.node("radiation", JoulesPerKelvin::ZERO);
        let supply = self.supply.as_ref().map(|block| net.node("supply", block.capacity));
        let zones = self.zones.iter().map(|zone| zone_nodes(&mut net, zone, merge)).collect();
        let mut built = Built { network: net, sink, air, radiation, supply, zones, mounted };
        self.cool(&mut built);
        self.warm_block(&mut built);
        self.walls(&mut built);
        if let Some(vents) = self.vents {
            built.network.way(End::Node(air), End::Air, Law::Draught(vents), "vents");
        }
        built
    }

    fn cool(&self, built: &mut Built) {
        let Some(sink) = built.sink.map(End::Node) else { return };
        let (inside, star) = (End::Node(built.air), End::Node(built.radiation));
        let net = &mut built.network;
        match &self.cooler {
            Cooler::Fins { sink: fins, standing, outside } => {
                let (air, walls) = if *outside { (End::Air, End::Walls) } else { (inside, star) };
                net.way(sink, air, Law::Fins(*fins, *standing, self.factors.sink), "sink to air");
                net.way(sink, walls, Law::Radiation(fins.effective()), "sink by radiation");
            }
            Cooler::Stated { conductance, outside } => {
                let air = if *outside { End::Air } else { inside };
                net.way(sink, air, Law::Conduction(*conductance * self.factors.sink), "sink to air");
            }
            Cooler::Wall(_) => {}
        }
    }

    fn warm_block(&self, built: &mut Built) {
        let (Some(block), Some(node)) = (&self.supply, built.supply) else { return };
        let net = &mut built.network;
        net.way(End::Node(node), End::Node(built.air), Law::Body(block.surface), "supply to air");
        let radiates = Law::Radiation(block.surface * block.emissivity);
        net.way(End::Node(node), End::Node(built.radiation), radiates, "supply by radiation");
        for (zone, conductance) in &block.contacts {
            if let Some((inner, _)) = built.zones.get(*zone) {
                net.way(End::Node(node), End::Node(*inner), Law::Conduction(*conductance), "supply to wall");
            }
        }
    }

    fn walls(&self, built: &mut Built) {
        for (zone, &(inner, outer)) in self.zones.iter().zip(&built.zones) {
            let net = &mut built.network;
            let (a, x) = (End::Node(built.air), End::Node(built.radiation));
            let areas = (super::faces::area(&zone.outer), super::faces::area(&zone.inner));
            let (i, o) = (End::Node(inner), End::Node(outer));
            net.way(i, a, Law::Faces(zone.inner.clone(), self.factors.walls), "wall from air");
            net.way(i, x, Law::Radiation(areas.1 * zone.emissivity.1), "wall by radiation");
            if inner != outer {
                net.way(i, o, Law::Conduction(zone.wall), "through the wall");
            }
            if let Some(film) = zone.film {
                net.way(o, End::Air, Law::Conduction(film * areas.0), "wall to room, as stated");
                continue;
            }
            net.way(o, End::Air, Law::Faces(zone.outer.clone(), self.factors.walls), "wall to room");
            net.way(o, End::Walls, Law::Radiation(areas.0 * zone.emissivity.0), "wall to room by radiation");
        }
    }
}

fn zone_nodes(net: &mut Network, zone: &Zone, merge: WattsPerKelvin) -> (usize, usize) {
    if zone.wall > merge {
        let one = net.node(zone.name, zone.capacity);
        return (one, one);
    }
    let inner = net.node(format!("{} inside", zone.name), zone.capacity * 0.5);
    let outer = net.node(format!("{} outside", zone.name), zone.capacity * 0.5);
    (inner, outer)
}

impl Built {
    /// The heat of each node.
    pub fn heat(&self, sources: &Sources) -> Vec<Watts> {
        let mut heat = vec![Watts::ZERO; self.network.nodes.len()];
        let mut put = |node: Option<usize>, watts: Watts| {
            if let Some(cell) = node.and_then(|n| heat.get_mut(n)) {
                *cell = *cell + watts;
            }
        };
        let inner = |zone: usize| self.zones.get(zone).map(|(inner, _)| *inner);
        put(self.sink.or_else(|| self.mounted.and_then(inner)), sources.dice);
        put(self.supply.or(Some(self.air)), sources.supply);
        put(Some(self.air), sources.air);
        for (zone, watts) in sources.zones.iter().enumerate() {
            put(inner(zone), *watts);
        }
        heat
    }
    /// The node that the emitter sits on.
    pub fn seat(&self) -> usize {
        let wall = || self.mounted.and_then(|zone| self.zones.get(zone)).map(|(inner, _)| *inner);
        self.sink.or_else(wall).unwrap_or(self.air)
    }
}
