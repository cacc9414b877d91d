//! One view of the body and what stands in it: two of the lamp's axes laid on paper.

use crate::packet::bench::Bench;
use crate::packet::drawing::{Path, Point, Role, at};
use crate::packet::drawings::body::{net, profile};
use crate::packet::drawings::callouts::Callout;
use crate::packet::drawings::pen::{ARROW, Pen, mm};
use crate::packet::drawings::text::Room;
use crate::physics::mechanics::hollow::{Hollow, Solid};
use crate::quantity::Metres;
use crate::schema::words::Zone;
use crate::solve::fit::Fit;

use super::Gap;

/// Cost of a leader that runs across the edge of a part, in mm of its length.
const ACROSS: f64 = 60.0;
/// Least distance between two points that are named, mm.
const ASUNDER: f64 = 3.0;

/// The axes of the lamp that lie level and upright on the paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct View {
    level: usize,
    upright: usize,
}

impl View {
    /// z to the right, y up: the light leaves to the right.
    pub(super) const SECTION: Self = Self { level: 2, upright: 1 };
    /// z to the right, x up.
    pub(super) const PLAN: Self = Self { level: 2, upright: 0 };
    /// x to the right, y up.
    pub(super) const FRONT: Self = Self { level: 0, upright: 1 };
}

/// A view in the making.
pub(super) struct Sketch<'a> {
    fit: &'a Fit,
    view: View,
    pen: Pen,
    labels: Vec<Callout>,
    /// Edges of the parts on paper.
    edges: Vec<Room>,
    /// Lines that no gap may lie on.
    lines: Vec<(Point, Point)>,
    /// Denominator of the reduction.
    by: f64,
}

impl<'a> Sketch<'a> {
    pub(super) fn new(fit: &'a Fit, view: View, by: f64) -> Self {
        let mut sketch =
            Self { fit, view, pen: Pen::default(), labels: Vec::new(), edges: Vec::new(), lines: Vec::new(), by };
        sketch.edges = fit.standing().map(|(_, solid)| sketch.room(&solid)).collect();
        sketch
    }

    /// The box around a solid on paper.
    fn room(&self, solid: &Solid) -> Room {
        let centre = self.on(solid.centre.map(Metres::value));
        let (w, h) = (mm(solid.half[self.view.level]) / self.by, mm(solid.half[self.view.upright]) / self.by);
        Room { least: at(centre.x - w, centre.y - h), most: at(centre.x + w, centre.y + h) }
    }

    /// A place of the lamp, metres, on paper.
    fn on(&self, place: [f64; 3]) -> Point {
        at(place[self.view.level] * 1e3 / self.by, place[self.view.upright] * 1e3 / self.by)
    }

    /// Left and right end of the body on paper.
    pub(super) fn span(&self) -> (f64, f64) {
        let (across, _, depth) = self.fit.outer.0.around();
        let before = mm(self.fit.outer.1);
        match self.view.level {
            2 => ((before - mm(depth)) / self.by, before / self.by),
            _ => (-mm(across) / self.by, mm(across) / self.by),
        }
    }

    fn say(&mut self, target: Point, text: impl Into<String>) {
        self.labels.push(Callout { target, text: text.into() });
    }

    /// The walls, grey.
    pub(super) fn body(&mut self) {
        let (outer, before) = self.fit.outer;
        let inner = self.fit.hollow;
        let paths = vec![self.outline(&outer, mm(before)), self.outline(&inner, 0.0)];
        self.pen.paths(Role::Solid, paths);
        let (least, most) = self.span();
        if self.view.level == 2 {
            let axis = (at(least - 3.0, 0.0), at(most + 5.0, 0.0));
            self.pen.line(Role::Axis, &[axis.0, axis.1]);
            self.lines.push(axis);
        } else {
            self.pen.centre(at(0.0, 0.0), 3.0);
        }
    }

    /// The edge of a space in this view; its front plane lies `before` the origin, mm.
    fn outline(&self, space: &Hollow, before: f64) -> Path {
        let by = self.by;
        if self.view.level == 2 {
            return profile(space, before, self.view.upright == 1, by);
        }
        match *space {
            Hollow::Block { across, up, .. } => {
                let (w, h) = (mm(across) / by, mm(up) / by);
                Path::rectangle(at(-w, -h), 2.0 * w, 2.0 * h)
            }
            _ => Path::circle(at(0.0, 0.0), mm(space.around().0) / by),
        }
    }

    /// The sheet, and the plane of the dice.
    pub(super) fn sheet(&mut self, bench: &Bench<'_>) {
        if self.view.level != 2 {
            return;
        }
        let given = bench.lamp.diffuser.as_ref();
        if let Some((net, thickness)) = net(bench).zip(given.and_then(|d| d.thickness.nominal().ok())) {
            let half = mm(if self.view.upright == 1 { net.height } else { net.width }) / 2.0 / self.by;
            let thick = mm(thickness) / self.by;
            self.pen.rectangle(Role::Outline, at(-thick, -half), thick, 2.0 * half);
            self.say(at(-thick / 2.0, half * 0.6), "diffuser");
            if let Ok(distance) = bench.lamp.emitter.distance.nominal() {
                let x = -(mm(thickness) + mm(distance)) / self.by;
                let plane = (at(x, -half * 0.5), at(x, half * 0.5));
                self.pen.line(Role::Axis, &[plane.0, plane.1]);
                self.lines.push(plane);
                self.say(at(x, half * 0.45), "dice");
            }
        }
    }

    /// Live parts, with half the gap between the zones around those that are not closed.
    pub(super) fn zone(&mut self, bench: &Bench<'_>) {
        let half = bench.lamp.layout.as_ref().and_then(|l| l.zone_gap.nominal().ok()).map_or(Metres::ZERO, |g| g / 2.0);
        let live: Vec<Solid> = self
            .fit
            .standing()
            .filter(|(part, _)| part.zone == Some(Zone::Mains))
            .map(|(part, solid)| if part.closed { solid } else { solid.grown(half) })
            .collect();
        let live = live.into_iter().chain(self.cord_way(bench));
        for solid in &live.collect::<Vec<_>>() {
            let path = self.edge(solid);
            self.pen.path(Role::MainsHatch, path);
        }
    }

    /// The cord from its hole to its bend, or as far as it is free: mains is in it too.
    fn cord_way(&self, bench: &Bench<'_>) -> Option<Solid> {
        let (entry, corridor) = (self.fit.entry?, self.fit.corridor.as_ref()?.as_ref().ok()?);
        let line = bench.solution.line.as_ref()?;
        let thick = line.cord.as_ref()?.outer.as_ref().ok()?.thickness;
        let (axis, way) = corridor.inwards;
        let long = corridor.wanted.depth.min(corridor.free.max(Metres::ZERO));
        let (mut centre, mut half) = (entry, [thick / 2.0; 3]);
        centre[axis] = centre[axis] + long / 2.0 * way;
        half[axis] = long / 2.0;
        Some(Solid { centre, half, axis: None })
    }

    /// Each part with its name.
    pub(super) fn parts(&mut self) {
        let standing: Vec<(String, Option<Zone>, Solid)> =
            self.fit.standing().map(|(part, solid)| (part.name.clone(), part.zone, solid)).collect();
        let all: Vec<Solid> = standing.iter().map(|(_, _, solid)| *solid).collect();
        for (name, zone, solid) in standing {
            let before: Vec<Room> =
                all.iter().filter(|other| self.hides(other, &solid)).map(|other| self.room(other)).collect();
            let path = self.edge(&solid);
            self.pen.path(if before.is_empty() { Role::Outline } else { Role::Hidden }, path);
            let text = match zone {
                Some(Zone::Mains) => format!("{name}, live"),
                Some(Zone::LowVoltage) => name,
                None => format!("{name}, live or not: unknown"),
            };
            let place = self.named_at(&solid, &before);
            self.say(place, text);
        }
    }

    /// Where a part is named: a place on it that no other part stands before, nor behind if that can be, away from the
    /// places that are named already, and near the middle of its upper half.
    fn named_at(&self, solid: &Solid, before: &[Room]) -> Point {
        const STEPS: i32 = 9;
        let room = self.room(solid);
        let holds = |room: &Room, p: Point| {
            (room.least.x..=room.most.x).contains(&p.x) && (room.least.y..=room.most.y).contains(&p.y)
        };
        let cost = |p: Point, share: (f64, f64)| {
            let hidden = before.iter().filter(|other| holds(other, p)).count() as f64;
            let beside = self.edges.iter().filter(|other| holds(other, p)).count() as f64;
            let near = self.labels.iter().map(|label| libm::hypot(label.target.x - p.x, label.target.y - p.y));
            let crowd: f64 = near.map(|far| (ASUNDER - far).max(0.0)).sum();
            8.0 * hidden + 2.0 * beside + 3.0 * crowd + libm::hypot(share.0, share.1 - 0.25)
        };
        let share = |n: i32| (f64::from(n) + 0.5) / f64::from(STEPS) - 0.5;
        let places = (0..STEPS).flat_map(|u| (0..STEPS).map(move |v| (share(u), share(v)))).map(|share| {
            let (w, h) = (room.most.x - room.least.x, room.most.y - room.least.y);
            let middle = at((room.least.x + room.most.x) / 2.0, (room.least.y + room.most.y) / 2.0);
            // On the circle of a cylinder seen along its axis the corners of the box are not on the part.
            let within = if solid.axis == Some(self.looking()) { std::f64::consts::FRAC_1_SQRT_2 } else { 1.0 };
            let place = at(middle.x + share.0 * w * within, middle.y + share.1 * h * within);
            (cost(place, share), place)
        });
        let best = places.min_by(|a, b| a.0.total_cmp(&b.0));
        best.map_or_else(|| self.on(solid.centre.map(Metres::value)), |(_, place)| place)
    }

    /// The axis that the view looks along.
    const fn looking(&self) -> usize {
        3 - self.view.level - self.view.upright
    }

    /// Whether one solid stands before another: seen from the left, from above, from the front.
    fn hides(&self, one: &Solid, other: &Solid) -> bool {
        let looking = self.looking();
        let meets = |k: usize| (one.centre[k] - other.centre[k]).abs() < one.half[k] + other.half[k];
        // z to the right and y up is the view of one who stands at negative x.
        let (near, far) = if self.view == View::SECTION { (other, one) } else { (one, other) };
        let before = near.centre[looking] - near.half[looking] >= far.centre[looking] + far.half[looking];
        before && meets(self.view.level) && meets(self.view.upright)
    }

    /// A solid's edge: a circle where the view looks along a cylinder.
    fn edge(&self, solid: &Solid) -> Path {
        let room = self.room(solid);
        let (w, h) = (room.most.x - room.least.x, room.most.y - room.least.y);
        if solid.axis == Some(self.looking()) {
            return Path::circle(self.on(solid.centre.map(Metres::value)), w / 2.0);
        }
        Path::rectangle(room.least, w, h)
    }

    /// The cord from outside through its hole, as far as it needs to bend.
    pub(super) fn cord(&mut self, bench: &Bench<'_>) {
        let (Some(entry), Some(Ok(corridor))) = (self.fit.entry, &self.fit.corridor) else { return };
        let (axis, way) = corridor.inwards;
        if axis != self.view.level && axis != self.view.upright {
            let place = self.on(entry.map(Metres::value));
            self.pen.centre(place, 2.0);
            self.say(place, format!("hole for the {}", bench.term("cord")));
            return;
        }
        let along = |by: f64| {
            let mut place = entry.map(Metres::value);
            place[axis] += way * by;
            self.on(place)
        };
        let (outside, inside) = (along(-0.006 * self.by), along(corridor.wanted.depth.value()));
        self.pen.line(Role::Wire, &[outside, inside]);
        self.lines.push((outside, inside));
        let wanted = bench.shown("fit.cord-wanted");
        self.say(
            at((outside.x + inside.x) / 2.0, (outside.y + inside.y) / 2.0),
            format!("{}, {wanted} to bend", bench.term("cord")),
        );
    }

    /// Dimension lines of the gaps that this view shows in true length.
    pub(super) fn gaps(&mut self, gaps: &[Gap]) {
        for gap in gaps {
            let shown = match gap.axis {
                // Along z it is true in section and plan, along x and y in two views each: one of them has it.
                Some(2) => self.view == View::SECTION,
                Some(axis) => self.view.level == 2 && axis == self.view.upright,
                None if gap.corner => self.view == View::FRONT,
                None => self.true_length(gap),
            };
            if !shown {
                continue;
            }
            let text = format!("{} {}", gap.letter, gap.room);
            if gap.corner {
                self.say(self.on(gap.ends.0), text);
                continue;
            }
            let (from, to) = self.clear_line(gap);
            let (dx, dy) = (to.x - from.x, to.y - from.y);
            let direction = libm::atan2(dy, dx);
            let inside = self.pen.between(from, to, direction);
            self.lines.push((from, to));
            // The arrows of a short gap stand outside of it: its figure hangs on the end behind the wall.
            let target = if inside || gap.to_part {
                at((from.x + to.x) / 2.0, (from.y + to.y) / 2.0)
            } else {
                at(to.x + 2.0 * ARROW.0 * libm::cos(direction), to.y + 2.0 * ARROW.0 * libm::sin(direction))
            };
            self.say(target, text);
        }
    }

    /// The ends of a gap on paper, moved along its face to where no other line lies: the axis of the body, the cord,
    /// another gap.
    fn clear_line(&self, gap: &Gap) -> (Point, Point) {
        let ends = (self.on(gap.ends.0), self.on(gap.ends.1));
        let View { level, upright } = self.view;
        // Along the axis of the paper that the gap does not lie along.
        let (along, play) = match gap.axis {
            Some(axis) if axis == level => (at(0.0, 1.0), gap.play[upright]),
            Some(_) => (at(1.0, 0.0), gap.play[level]),
            None => return ends,
        };
        let play = play * 1e3 / self.by * 0.85;
        let moved = |by: f64, p: Point| at(p.x + along.x * by, p.y + along.y * by);
        // Lines that lie along the gap: by their place across it, and where they run.
        let across = |p: Point| p.x * along.x + p.y * along.y;
        let run = |p: Point| p.x * along.y + p.y * along.x;
        let reach = 2.0 * ARROW.0;
        let (low, high) = (run(ends.0).min(run(ends.1)) - reach, run(ends.0).max(run(ends.1)) + reach);
        let nearest = |place: f64| {
            let level = |(a, b): &&(Point, Point)| (across(*a) - across(*b)).abs() < 1e-6;
            let beside = |(a, b): &&(Point, Point)| run(*a).max(run(*b)) > low && run(*a).min(run(*b)) < high;
            let lines = self.lines.iter().filter(level).filter(beside);
            lines.map(|(a, _)| (across(*a) - place).abs()).fold(f64::INFINITY, f64::min)
        };
        let steps = (0..=20).flat_map(|n| [f64::from(n), -f64::from(n)]).map(|n| n / 20.0 * play);
        let middle = across(ends.0);
        let by = steps.clone().find(|by| nearest(middle + by) >= ASUNDER).or_else(|| {
            let far = |by: &f64| nearest(middle + by);
            steps.clone().max_by(|a, b| far(a).total_cmp(&far(b)))
        });
        by.map_or(ends, |by| (moved(by, ends.0), moved(by, ends.1)))
    }

    /// A slanting gap: shown where the axis looked along takes the least of it, in one view only.
    fn true_length(&self, gap: &Gap) -> bool {
        let step: Vec<f64> = (0..3).map(|k| (gap.ends.1[k] - gap.ends.0[k]).abs()).collect();
        let looked_along = |view: View| step[3 - view.level - view.upright];
        let best = [View::FRONT, View::SECTION, View::PLAN]
            .into_iter()
            .min_by(|a, b| looked_along(*a).total_cmp(&looked_along(*b)));
        best == Some(self.view)
    }

    /// Labels left and right, each on the side that its leader reaches past fewer parts, and sooner.
    pub(super) fn finish(self) -> (Vec<Callout>, Vec<Callout>, Pen) {
        let (least, most) = self.span();
        let cost = |target: Point, end: f64| {
            let level = |room: &&Room| (room.least.y..=room.most.y).contains(&target.y);
            let (low, high) = (target.x.min(end), target.x.max(end));
            let edges = self.edges.iter().filter(level).flat_map(|room| [room.least.x, room.most.x]);
            let crossed = edges.filter(|x| *x > low + 1e-9 && *x < high - 1e-9).count();
            (high - low) + ACROSS * crossed as f64
        };
        let (left, right) =
            self.labels.into_iter().partition(|label| cost(label.target, least) <= cost(label.target, most));
        (left, right, self.pen)
    }
}
