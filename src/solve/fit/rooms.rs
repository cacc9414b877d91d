//! Rooms that the program keeps free when it places a part: a hand before a terminal, the air before an antenna.

use crate::physics::mechanics::hollow::{Solid, gap};
use crate::quantity::Metres;
use crate::schema::words::Face;

use super::corridor::{keep_out, wall_room};
use super::{Part, Room};

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
