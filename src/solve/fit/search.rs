//! Places for parts that the author leaves to the program: the free place nearest the back, live parts near the cord.

use std::cmp::{Ordering, Reverse};
use std::collections::BinaryHeap;

use crate::physics::mechanics::hollow::{Hollow, Solid};
use crate::quantity::Metres;
use crate::schema::words::{Face, Turn, Zone};

use super::Part;
use super::judge::Need;
use super::parts::turned;

/// Step of the grid that is searched.
const STEP: f64 = 4e-3;
const TURNS: [Turn; 6] = [Turn::Xyz, Turn::Xzy, Turn::Yxz, Turn::Yzx, Turn::Zxy, Turn::Zyx];

/// The best place for a part: deep in the body, near its middle, and near the cord where it is live.
pub(super) fn place(
    part: &Part,
    need: &Need<'_>,
    front: Metres,
    entry: Option<[Metres; 3]>,
    free: impl Fn(&Solid) -> bool,
) -> Option<(Solid, Turn)> {
    let size = part.size.as_ref().ok()?;
    let turns: &[Turn] = match &part.turn {
        Some(turn) => std::slice::from_ref(turn),
        None => &TURNS,
    };
    let mut found: Vec<(Rank, Solid, Turn)> = Vec::new();
    for turn in turns {
        let start = turned(size, part.round, *turn, [Metres::ZERO; 3])?;
        for centre in grid(need, &start, front) {
            let solid = Solid { centre: centre.map(Metres::si), ..start };
            found.push((Rank(cost(&solid, need.hollow, part.zone, entry), found.len()), solid, *turn));
        }
    }
    // Most lamps take one of the first of many thousand places, so they are brought into order only as they are asked.
    let mut ranks: BinaryHeap<Reverse<Rank>> = found.iter().map(|(rank, ..)| Reverse(*rank)).collect();
    let in_order = std::iter::from_fn(|| ranks.pop().map(|Reverse(rank)| rank.1));
    in_order
        .filter_map(|at| found.get(at))
        .map(|(_, solid, turn)| (*solid, *turn))
        .find(|(solid, _)| free(solid) && need.lacks(solid).is_empty())
}

/// The cost of a place, and its number among those of one part: of two that cost the same the earlier comes first.
#[derive(Clone, Copy, PartialEq)]
struct Rank(f64, usize);

impl Eq for Rank {}

impl PartialOrd for Rank {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Rank {
    fn cmp(&self, other: &Self) -> Ordering {
        self.0.total_cmp(&other.0).then(self.1.cmp(&other.1))
    }
}

/// Middles of the part on a grid that starts where it keeps its gap to the back.
fn grid(need: &Need<'_>, part: &Solid, front: Metres) -> Vec<[f64; 3]> {
    let (across, up, depth) = need.hollow.around();
    let half = part.half.map(Metres::value);
    let gap = if need.fixed == Some(Face::Back) { 0.0 } else { need.wall.value() };
    let aside = |outer: Metres, half: f64| {
        let most = libm::floor((outer.value() - half) / STEP) as i32;
        (-most..=most).map(|n| f64::from(n) * STEP).collect::<Vec<_>>()
    };
    let (xs, ys) = (aside(across, half[0]), aside(up, half[1]));
    let start = -depth.value() + half[2] + gap;
    let room = front.value() - half[2] - start;
    let most = if room < 0.0 { -1 } else { libm::floor(room / STEP) as i32 };
    let zs = (0..=most).map(|n| start + f64::from(n) * STEP);
    let levels = zs.flat_map(|z| ys.iter().map(move |y| (*y, z)));
    levels.flat_map(|(y, z)| xs.iter().map(move |x| [*x, y, z])).collect()
}

fn cost(solid: &Solid, hollow: &Hollow, zone: Zone, entry: Option<[Metres; 3]>) -> f64 {
    let [x, y, z] = solid.centre.map(Metres::value);
    let deep = hollow.around().2.value() + z + solid.half[2].value();
    let aside = libm::hypot(x, y);
    let to_entry = entry.filter(|_| zone == Zone::Mains).map_or(0.0, |entry| {
        let away = entry.map(Metres::value);
        libm::sqrt((x - away[0]) * (x - away[0]) + (y - away[1]) * (y - away[1]) + (z - away[2]) * (z - away[2]))
    });
    deep + 0.3 * aside + 0.5 * to_entry
}
