//! The way of a milling cutter round the edges of a plate: passes in depth, arcs that lead in and out through the
//! waste, bridges that hold the piece. The paths are already offset to the cutter's middle.

use super::curve::{Point, Segment};
use super::offset::holds;
use super::outline::Outline;
use super::plate::Plate;
use crate::quantity::Metres;

/// How the cutter works. Heights are measured from the upper face of the sheet, downwards negative.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Work {
    /// Diameter of the cutter.
    pub cutter: Metres,
    /// Thickness of the sheet.
    pub thickness: Metres,
    /// How far it cuts into the board below.
    pub through: Metres,
    /// Most depth in one pass.
    pub pass: Metres,
    /// Height at which it travels.
    pub clear: Metres,
    /// Radius of the arcs that lead in and out.
    pub lead: Metres,
    /// Bridges on the outer edge.
    pub tabs: usize,
    /// Width of a bridge that stays.
    pub tab_width: Metres,
    /// Height of a bridge above the board.
    pub tab_height: Metres,
}

impl Work {
    /// Full depth below the upper face.
    pub fn depth(&self) -> Metres {
        self.thickness + self.through
    }
    /// Passes: ⌈depth/pass⌉, all equally deep.
    pub fn passes(&self) -> usize {
        (libm::ceil(self.depth() / self.pass - 1e-9) as usize).max(1)
    }
    /// Height of a pass, from 1.
    fn height(&self, pass: usize) -> Metres {
        -(self.depth() * (pass as f64 / self.passes() as f64))
    }
    /// Height of the upper side of a bridge.
    pub fn tab_top(&self) -> Metres {
        self.tab_height - self.thickness
    }
    /// Way of the cutter's middle over one bridge: it clears the bridge's width by its own radius on each side.
    pub fn tab_way(&self) -> Metres {
        self.tab_width + self.cutter
    }
}

/// What the cutter does on a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Move {
    /// Travels above the sheet, or straight up to where it may.
    Travel,
    /// Goes straight down, or straight up inside a cut.
    Plunge,
    /// Leads in or out through the waste.
    Lead,
    /// Cuts the edge.
    Cut,
    /// Passes over a bridge.
    Bridge,
}

/// One step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// What it does.
    pub what: Move,
    /// Its way in plan; a point for a step straight up or down.
    pub way: Segment,
    /// Height at its end.
    pub height: Metres,
    /// How far it goes up or down.
    pub rise: Metres,
}

impl Step {
    /// Length of its way.
    pub fn length(&self) -> Metres {
        let flat = self.way.length();
        Metres::si(libm::hypot(flat.value(), self.rise.value()))
    }
}

/// The work on one edge.
#[derive(Debug, Clone, PartialEq)]
pub struct EdgeRun {
    /// Number of the hole; none for the outer edge.
    pub hole: Option<usize>,
    /// Radius of its leads: less than asked where the waste has no room; zero where it has none.
    pub lead: Metres,
    /// Bridges on it.
    pub tabs: usize,
    /// Steps of all passes.
    pub steps: Vec<Step>,
}

/// Least width of a piece that falls out of a hole and is held by bridges.
const HELD: Metres = Metres::si(0.02);
/// Bridges that hold it.
const BRIDGES: usize = 2;

/// Holes first, the outer edge last. The cutter turns clockwise and cuts with its feed (climbs): clockwise round the
/// outside, anti-clockwise inside holes; so the waste lies on the left of its way, and leads come from there.
pub fn runs(path: &Plate, work: &Work) -> Vec<EdgeRun> {
    let holes = path.holes.iter().enumerate().map(|(number, hole)| {
        let extents = hole.extents();
        let large = extents.width().min(extents.height()) - work.cutter >= HELD;
        // Bridges wider than that would leave no cut between them.
        let apart = work.tab_way() * (2.0 * BRIDGES as f64) <= hole.perimeter();
        run(hole, Some(number), if work.tabs > 0 && large && apart { BRIDGES } else { 0 }, work)
    });
    holes.chain(std::iter::once_with(|| run(&path.outer, None, work.tabs, work))).collect()
}

/// A round trip from the middle of the longest piece.
struct Route {
    pieces: Vec<Segment>,
    length: f64,
}

impl Route {
    fn of(edge: &Outline, backwards: bool) -> Self {
        let mut pieces = edge.segments();
        if backwards {
            pieces.reverse();
            pieces = pieces.iter().map(Segment::reversed).collect();
        }
        let longest = pieces.iter().enumerate().map(|(k, piece)| (k, piece.length()));
        let longest = longest.fold((0, Metres::ZERO), |best, one| if one.1 > best.1 * 1.000_001 { one } else { best });
        pieces.rotate_left(longest.0);
        if let Some(first) = pieces.first().copied() {
            pieces.remove(0);
            pieces.insert(0, first.part(0.5, 1.0));
            pieces.push(first.part(0.0, 0.5));
        }
        let length = pieces.iter().map(|piece| piece.length().value()).sum();
        Self { pieces, length }
    }

    /// The place nearest to this one, no farther off than `most`, where a bridge lies on one piece of the edge: a bridge
    /// round a corner breaks out of it, and one in an inside corner is not reached by a knife. This one where there is none.
    fn on_one_piece(&self, middle: f64, half: f64, most: f64) -> f64 {
        let mut start = 0.0;
        let mut best: Option<f64> = None;
        for piece in &self.pieces {
            let end = start + piece.length().value();
            if end - start >= 2.0 * half {
                let place = middle.clamp(start + half, end - half);
                let nearer = best.is_none_or(|best| (place - middle).abs() < (best - middle).abs());
                if (place - middle).abs() <= most && nearer {
                    best = Some(place);
                }
            }
            start = end;
        }
        best.unwrap_or(middle)
    }

    /// The pieces between two places along the way.
    fn between(&self, from: f64, to: f64) -> Vec<Segment> {
        let mut found = Vec::new();
        let mut start = 0.0;
        for piece in &self.pieces {
            let length = piece.length().value();
            let (a, b) = ((from - start).max(0.0), (to - start).min(length));
            if b - a > 1e-9 {
                found.push(if b - a >= length - 1e-12 { *piece } else { piece.part(a / length, b / length) });
            }
            start += length;
        }
        found
    }
}

fn run(edge: &Outline, hole: Option<usize>, tabs: usize, work: &Work) -> EdgeRun {
    let route = Route::of(edge, hole.is_none());
    let (start, heading) =
        route.pieces.first().map_or((Point::ORIGIN, 0.0), |first| (first.point_at(0.0), first.headings().0));
    let lead = lead_that_fits(edge, start, heading, work.lead, hole.is_some());
    let (lead_in, lead_out) = leads(start, heading, lead);
    let begin = lead_in.map_or(start, |arc| arc.point_at(0.0));
    let end = lead_out.map_or(start, |arc| arc.point_at(1.0));
    let mut steps = Vec::new();
    for pass in 1..=work.passes() {
        let depth = work.height(pass);
        let last = steps.last().map_or(begin, |step: &Step| step.way.point_at(1.0));
        steps.push(Step {
            what: Move::Travel,
            way: Segment::new(last, begin, 0.0),
            height: work.clear,
            rise: Metres::ZERO,
        });
        steps.push(vertical(Move::Plunge, begin, work.clear, depth));
        steps.extend(lead_in.map(|way| Step { what: Move::Lead, way, height: depth, rise: Metres::ZERO }));
        steps.extend(round(&route, depth, tabs, work));
        steps.extend(lead_out.map(|way| Step { what: Move::Lead, way, height: depth, rise: Metres::ZERO }));
        steps.push(vertical(Move::Travel, end, depth, work.clear));
    }
    EdgeRun { hole, lead, tabs, steps }
}

fn vertical(what: Move, at: Point, from: Metres, to: Metres) -> Step {
    Step { what, way: Segment::new(at, at, 0.0), height: to, rise: to - from }
}

/// Once round at this depth; bridges are passed over at their height.
fn round(route: &Route, depth: Metres, tabs: usize, work: &Work) -> Vec<Step> {
    let cut = |what, height| move |way| Step { what, way, height, rise: Metres::ZERO };
    let top = work.tab_top();
    if tabs == 0 || depth >= top {
        return route.between(0.0, route.length).into_iter().map(cut(Move::Cut, depth)).collect();
    }
    let mut steps = Vec::new();
    let (mut done, half) = (0.0, work.tab_way().value() / 2.0);
    for tab in 0..tabs {
        let share = route.length / tabs as f64;
        // Bridges that move towards each other still keep a tenth of their share between them.
        let middle = route.on_one_piece(share * (tab as f64 + 0.5), half, share * 0.45 - half);
        steps.extend(route.between(done, middle - half).into_iter().map(cut(Move::Cut, depth)));
        done = middle + half;
        let over = route.between(middle - half, done);
        steps.extend(over.first().map(|first| vertical(Move::Plunge, first.point_at(0.0), depth, top)));
        steps.extend(over.iter().copied().map(cut(Move::Bridge, top)));
        steps.extend(over.last().map(|last| vertical(Move::Plunge, last.point_at(1.0), top, depth)));
    }
    steps.extend(route.between(done, route.length).into_iter().map(cut(Move::Cut, depth)));
    steps
}

/// Quarter circles on the left of the way that touch it at its start.
fn leads(start: Point, heading: f64, radius: Metres) -> (Option<Segment>, Option<Segment>) {
    if radius <= Metres::ZERO {
        return (None, None);
    }
    let along = Point::polar(radius, heading);
    let left = Point { x: -along.y, y: along.x };
    let behind = Point { x: start.x - along.x + left.x, y: start.y - along.y + left.y };
    let ahead = Point { x: start.x + along.x + left.x, y: start.y + along.y + left.y };
    let quarter = libm::tan(std::f64::consts::PI / 8.0);
    (Some(Segment::new(behind, start, quarter)), Some(Segment::new(start, ahead, quarter)))
}

/// The radius asked, halved until both leads stay in the waste; zero where a sixteenth still does not.
fn lead_that_fits(edge: &Outline, start: Point, heading: f64, asked: Metres, inside: bool) -> Metres {
    let fits = |radius: &Metres| {
        let (one, other) = leads(start, heading, *radius);
        let arcs: Vec<Segment> = one.into_iter().chain(other).collect();
        // The shares nearest to the edge itself are left out: there the arc touches it.
        let points = arcs.iter().flat_map(|arc| [0.0, 0.2, 0.4, 0.6, 0.8, 1.0].map(|share| arc.point_at(share)));
        points.filter(|p| p.distance(start) > *radius * 0.05).all(|p| holds(edge, p) == inside)
    };
    let tries = [1.0, 0.5, 0.25, 0.125, 0.0625].map(|share| asked * share);
    tries.into_iter().find(|radius| *radius > Metres::ZERO && fits(radius)).unwrap_or(Metres::ZERO)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::conductors::mm;
    use crate::physics::mechanics::kerf::tool_path;
    use crate::physics::mechanics::shapes::{circle, rounded_rectangle};

    fn work() -> Work {
        Work {
            cutter: mm(3.0),
            thickness: mm(3.0),
            through: mm(0.3),
            pass: mm(1.6),
            clear: mm(5.0),
            lead: mm(2.0),
            tabs: 4,
            tab_width: mm(5.0),
            tab_height: mm(1.0),
        }
    }

    fn plate() -> Plate {
        let outer = rounded_rectangle(mm(100.0), mm(60.0), mm(5.0)).unwrap();
        let hole = circle(Point { x: mm(20.0), y: mm(5.0) }, mm(4.2)).unwrap();
        let window = circle(Point { x: mm(-20.0), y: mm(0.0) }, mm(40.0)).unwrap();
        Plate { outer, holes: vec![hole, window] }
    }

    #[test]
    fn passes_are_equal_and_reach_the_board() {
        let work = work();
        assert_eq!(work.passes(), 3);
        let made = runs(&tool_path(&plate(), mm(3.0)).unwrap().path, &work);
        assert_eq!(made.iter().map(|run| run.hole).collect::<Vec<_>>(), [Some(0), Some(1), None]);
        for run in &made {
            let mut depths: Vec<f64> =
                run.steps.iter().filter(|s| s.what == Move::Cut).map(|s| s.height.value() * 1e3).collect();
            depths.dedup();
            assert!(depths.iter().zip([-1.1, -2.2, -3.3]).all(|(a, b)| (a - b).abs() < 1e-9), "{depths:?}");
        }
    }

    #[test]
    fn the_way_is_the_path_and_climbs() {
        let path = tool_path(&plate(), mm(3.0)).unwrap().path;
        for run in runs(&path, &work()) {
            let edge = run.hole.map_or(&path.outer, |n| &path.holes[n]);
            let first: Vec<&Step> = run.steps.iter().filter(|s| s.what == Move::Cut).collect();
            let once: Metres = first.iter().filter(|s| s.height == first[0].height).map(|s| s.length()).sum();
            assert!((once - edge.perimeter()).abs() < mm(1e-6));
            // The waste lies on the left: a point a little to the left is outside the outer path, inside a hole's.
            for step in first {
                let (at, heading) = (step.way.point_at(0.5), (step.way.headings().0 + step.way.headings().1) / 2.0);
                let left = at.shifted(Point::polar(mm(0.01), heading + std::f64::consts::FRAC_PI_2));
                assert_eq!(holds(edge, left), run.hole.is_some());
            }
        }
    }

    #[test]
    fn steps_join_and_nothing_travels_in_the_sheet() {
        for run in runs(&tool_path(&plate(), mm(3.0)).unwrap().path, &work()) {
            for pair in run.steps.windows(2) {
                assert!(pair[0].way.point_at(1.0).distance(pair[1].way.point_at(0.0)) < mm(1e-6));
                assert!((pair[1].height - pair[0].height - pair[1].rise).abs() < mm(1e-9));
            }
            let flat = |s: &&Step| s.what == Move::Travel && s.way.length() > Metres::ZERO;
            assert!(run.steps.iter().filter(flat).all(|s| s.height == mm(5.0)));
        }
    }

    #[test]
    fn bridges_stay_where_the_cut_is_deeper_than_their_top() {
        let path = tool_path(&plate(), mm(3.0)).unwrap().path;
        let made = runs(&path, &work());
        assert_eq!(made.iter().map(|run| run.tabs).collect::<Vec<_>>(), [0, 2, 4]);
        for run in &made {
            let over: Metres = run.steps.iter().filter(|s| s.what == Move::Bridge).map(Step::length).sum();
            // The passes at 2.2 and 3.3 mm are deeper than the bridge's top at 2 mm.
            assert!((over - mm(8.0) * (2.0 * run.tabs as f64)).abs() < mm(1e-6), "{over}");
            assert!(run.steps.iter().filter(|s| s.what == Move::Bridge).all(|s| (s.height + mm(2.0)).abs() < mm(1e-9)));
        }
    }

    #[test]
    fn bridges_that_would_leave_no_cut_hold_no_hole() {
        let hole = circle(Point::ORIGIN, mm(30.0)).unwrap();
        let plate = Plate { outer: plate().outer, holes: vec![hole] };
        let path = tool_path(&plate, mm(3.0)).unwrap().path;
        for (width, held) in [(5.0, 2), (30.0, 0)] {
            let made = runs(&path, &Work { tab_width: mm(width), ..work() });
            assert_eq!(made.first().map(|run| run.tabs), Some(held), "{width}");
        }
    }

    #[test]
    fn bridges_keep_off_corners() {
        // An L whose inside corner would get one of four bridges if they were only shared out along the way.
        let points = [(0., 0.), (80., 0.), (80., 30.), (30., 30.), (30., 80.), (0., 80.)];
        let edge = Outline::polygon(&points.map(|(x, y)| Point { x: mm(x), y: mm(y) }));
        for tabs in [3, 4, 5, 6, 7, 8] {
            let work = Work { tabs, ..work() };
            let path = tool_path(&Plate::solid(edge.clone()), mm(3.0)).unwrap().path;
            for run in runs(&path, &work) {
                let bridges: Vec<&Step> = run.steps.iter().filter(|s| s.what == Move::Bridge).collect();
                // The two deepest passes have them; each is one straight step.
                assert_eq!(bridges.len(), 2 * tabs, "{tabs}");
                assert!(bridges.iter().all(|s| s.way.is_straight() && (s.length() - mm(8.0)).abs() < mm(1e-6)));
            }
        }
    }

    #[test]
    fn leads_shrink_to_the_room_in_a_hole() {
        let made = runs(&tool_path(&plate(), mm(3.0)).unwrap().path, &work());
        // The path in the hole of 4.2 mm has a radius of 0.6 mm.
        assert_eq!(made.iter().map(|run| run.lead).collect::<Vec<_>>(), [mm(0.5), mm(2.0), mm(2.0)]);
    }
}
