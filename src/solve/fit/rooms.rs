//! Rooms that the program keeps free when it places a part: a hand before a terminal, the air before an antenna. Once all
//! stand, how much of each there is.

use crate::lamp::given::Found;
use crate::lamp::layout::Place;
use crate::physics::mechanics::hollow::{Solid, gap};
use crate::quantity::Metres;
use crate::schema::words::Face;

use super::corridor::{keep_out, service_room, wall_room};
use super::{Part, Room};

/// Room before a side of a part, as far as it is asked for.
#[derive(Debug, Clone)]
pub struct Before {
    /// How much there is.
    pub room: Metres,
    /// The part that ends it; none where a wall or the sheet does, or nothing.
    pub by: Option<String>,
}

/// Each part before which the layout wants room for a hand, with what there is.
pub(super) fn hands(room: &Room<'_>, parts: &[Part]) -> Vec<(String, Found<Before>)> {
    let asked = room.layout.places.iter().filter(|place| !place.service.is_left_out());
    each(asked, parts, |place, part| {
        let (wanted, side, solid) = (place.service.nominal()?, place.service_side.get()?, part.solid.as_ref()?);
        let (free, by) = service_room(solid, side, wanted, &others(part, parts, |_| true));
        // The side that comes off leaves room for hands without end.
        if room.lamp.enclosure.opens.get()? == side {
            return Ok(Before { room: free, by });
        }
        let to_wall = wall_room(room.hollow, room.kept.inner_face()?, solid, side);
        Ok(if to_wall < free { Before { room: to_wall, by: None } } else { Before { room: free, by } })
    })
}

/// Each part with an antenna, with the room free of metal before it.
pub(super) fn antennas(room: &Room<'_>, parts: &[Part]) -> Vec<(String, Found<Before>)> {
    let asked = room.layout.places.iter().filter(|place| !place.antenna.is_left_out());
    each(asked, parts, |place, part| {
        let metal = others(part, parts, |other| other.metal);
        let (room, by) = service_room(part.solid.as_ref()?, place.antenna.get()?, ANTENNA_ROOM, &metal);
        Ok(Before { room, by })
    })
}

fn each<'p>(
    places: impl Iterator<Item = &'p Place>,
    parts: &[Part],
    find: impl Fn(&Place, &Part) -> Found<Before>,
) -> Vec<(String, Found<Before>)> {
    let here = |place: &'p Place| Some((place, parts.iter().find(|part| part.name == place.name)?));
    places.filter_map(here).map(|(place, part)| (place.name.clone(), find(place, part))).collect()
}

/// Other parts that stand somewhere.
fn others<'p>(part: &Part, parts: &'p [Part], counts: impl Fn(&Part) -> bool) -> Vec<(&'p str, Solid)> {
    let others = parts.iter().filter(|other| other.name != part.name && counts(other));
    others.filter_map(|other| Some((other.name.as_str(), *other.solid.as_ref().ok()?))).collect()
}

/// Room that a radio antenna wants before it, free of metal (common practice of module makers' layout papers, from memory).
pub const ANTENNA_ROOM: Metres = Metres::si(15e-3);

/// What one part and those that stand already want free.
pub(super) struct Rooms<'a> {
    room: &'a Room<'a>,
    /// Room before the part itself: side, depth.
    hand: Option<(Face, Metres)>,
    antenna: Option<Face>,
    metal: bool,
    /// Other parts, each with whether it shades an antenna.
    others: Vec<(Solid, bool)>,
    /// Rooms before other parts: of a hand, of an antenna.
    hands: Vec<Solid>,
    antennas: Vec<Solid>,
}

impl<'a> Rooms<'a> {
    pub(super) fn of(room: &'a Room<'a>, part: &Part, parts: &[Part]) -> Self {
        let hand = |name: &str| {
            let place = room.layout.place(name)?;
            place.service_side.value.zip(place.service.nominal().ok())
        };
        let antenna = |name: &str| room.layout.place(name)?.antenna.value;
        let standing = parts.iter().filter(|other| other.name != part.name);
        let standing: Vec<(&Part, Solid)> = standing.filter_map(|o| Some((o, *o.solid.as_ref().ok()?))).collect();
        let before = |o: &Part, solid: &Solid| hand(&o.name).map(|(side, deep)| keep_out(solid, side, deep));
        let air = |o: &Part, solid: &Solid| antenna(&o.name).map(|side| keep_out(solid, side, ANTENNA_ROOM));
        Self {
            room,
            hand: hand(&part.name),
            antenna: antenna(&part.name),
            metal: part.metal,
            others: standing.iter().map(|(o, solid)| (*solid, o.metal)).collect(),
            hands: standing.iter().filter_map(|(o, solid)| before(o, solid)).collect(),
            antennas: standing.iter().filter_map(|(o, solid)| air(o, solid)).collect(),
        }
    }

    /// Whether every room stays free with the part here.
    pub(super) fn stay_free(&self, solid: &Solid) -> bool {
        let clear = |room: &Solid, by: &Solid| gap(room, by) >= Metres::ZERO;
        let others_keep = self.hands.iter().all(|room| clear(room, solid))
            && (!self.metal || self.antennas.iter().all(|room| clear(room, solid)));
        let own_hand = self.hand.is_none_or(|(side, deep)| {
            let room = keep_out(solid, side, deep);
            let comes_off = self.room.lamp.enclosure.opens.value == Some(side);
            let face = self.room.kept.inner_face().unwrap_or(Metres::ZERO);
            self.others.iter().all(|(other, _)| clear(&room, other))
                && (comes_off || wall_room(self.room.hollow, face, solid, side) >= deep)
        });
        let own_air = self.antenna.is_none_or(|side| {
            let room = keep_out(solid, side, ANTENNA_ROOM);
            self.others.iter().filter(|(_, metal)| *metal).all(|(other, _)| clear(&room, other))
        });
        others_keep && own_hand && own_air
    }
}
