//! Places for parts that the author leaves to the program: the free place nearest the back, live parts near the cord.

use crate::physics::mechanics::hollow::{Hollow, Solid};
use crate::quantity::Metres;
use crate::schema::words::{Face, Turn, Zone};

use super::Part;
use super::judge::Need;
use super::parts::turned;

/// Step of the grid that is searched.
const STEP: f64 = 4e-3;
/// Most steps along the longest side: a body of metres is searched on a coarser grid, or the search would take minutes.
const MOST_STEPS: f64 = 128.0;
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
    let mut best: Option<(f64, Solid, Turn)> = None;
    for turn in turns {
        let start = turned(size, part.round, *turn, [Metres::ZERO; 3])?;
        let [xs, ys, zs] = grid(need, &start, front);
        for z in zs {
            let at = |x, y| Solid { centre: [x, y, z].map(Metres::si), ..start };
            // Every place of this level costs at least its depth, and the levels behind it cost more.
            let deep = depth(&at(0.0, 0.0), need.hollow);
            if best.is_some_and(|(least, ..)| least <= deep) {
                break;
            }
            let cost = Cost { deep, entry: entry.filter(|_| part.zone == Some(Zone::Mains)), z };
            for y in &ys {
                if best.is_some_and(|(least, ..)| least <= cost.of_row(*y)) {
                    continue;
                }
                for x in &xs {
                    let cost = cost.of(*x, *y);
                    // Of two that cost the same the earlier stays. Cost is asked first: it is much the cheapest question.
                    let solid = at(*x, *y);
                    if best.is_none_or(|(least, ..)| cost < least) && free(&solid) && need.lacks(&solid).is_empty() {
                        best = Some((cost, solid, *turn));
                    }
                }
            }
        }
    }
    best.map(|(_, solid, turn)| (solid, turn))
}

/// Step of the grid in this space.
fn step(hollow: &Hollow) -> f64 {
    let (across, up, depth) = hollow.around();
    STEP.max((across * 2.0).max(up * 2.0).max(depth).value() / MOST_STEPS)
}

/// Whether that is coarser than in a body of ordinary size.
pub(super) fn is_coarse(hollow: &Hollow) -> bool {
    step(hollow) > STEP
}

/// Middles of the part along x, y and z, on a grid that starts where it keeps its gap to the back.
fn grid(need: &Need<'_>, part: &Solid, front: Metres) -> [Vec<f64>; 3] {
    let ((across, up, depth), step) = (need.hollow.around(), step(need.hollow));
    let half = part.half.map(Metres::value);
    let gap = if need.fixed == Some(Face::Back) { 0.0 } else { need.wall.value() };
    let aside = |outer: Metres, half: f64| {
        let most = libm::floor((outer.value() - half) / step) as i32;
        (-most..=most).map(|n| f64::from(n) * step).collect::<Vec<_>>()
    };
    let start = -depth.value() + half[2] + gap;
    let room = front.value() - half[2] - start;
    let most = if room < 0.0 { -1 } else { libm::floor(room / step) as i32 };
    let zs = (0..=most).map(|n| start + f64::from(n) * step).collect();
    [aside(across, half[0]), aside(up, half[1]), zs]
}

/// How far a part stands off the back.
fn depth(solid: &Solid, hollow: &Hollow) -> f64 {
    hollow.around().2.value() + solid.centre[2].value() + solid.half[2].value()
}

/// What a place of one level costs: how far off the back, off the middle and, for a live part, off the cord.
struct Cost {
    deep: f64,
    /// The cord's hole, where it matters.
    entry: Option<[Metres; 3]>,
    z: f64,
}

impl Cost {
    fn of(&self, x: f64, y: f64) -> f64 {
        self.sum(x, self.entry.map_or(0.0, |[entry, ..]| x - entry.value()), y)
    }

    /// No place of the row costs less: rounding keeps the order of sums and roots.
    fn of_row(&self, y: f64) -> f64 {
        self.sum(0.0, 0.0, y)
    }

    fn sum(&self, x: f64, x_to_entry: f64, y: f64) -> f64 {
        let aside = (x * x + y * y).sqrt();
        let to_entry = self.entry.map_or(0.0, |[_, up, deep]| {
            let (up, deep) = (y - up.value(), self.z - deep.value());
            (x_to_entry * x_to_entry + up * up + deep * deep).sqrt()
        });
        self.deep + 0.3 * aside + 0.5 * to_entry
    }
}
