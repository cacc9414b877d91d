//! One view of the body and what stands in it: two of the lamp's axes laid on paper.

use crate::packet::bench::Bench;
use crate::packet::drawing::{Path, Point, Role, Vertex, at};
use crate::packet::drawings::body::{mm, reduction_in};
use crate::packet::drawings::callouts::Callout;
use crate::packet::drawings::pen::Pen;
use crate::physics::mechanics::hollow::{Hollow, Solid};
use crate::quantity::Metres;
use crate::schema::words::Zone;
use crate::solve::fit::Fit;

use super::Gap;

/// Room of a view on the section sheet, labels on both sides not counted, mm.
const ROOM: (f64, f64) = (105.0, 105.0);

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
    left: Vec<Callout>,
    right: Vec<Callout>,
    /// Denominator of the reduction.
    pub(super) by: f64,
}

impl<'a> Sketch<'a> {
    pub(super) fn new(fit: &'a Fit, view: View) -> Self {
        let (across, up, depth) = fit.outer.0.around();
        let sizes = [mm(across) * 2.0, mm(up) * 2.0, mm(depth)];
        let by = reduction_in(ROOM, sizes[view.level], sizes[view.upright]);
        Self { fit, view, pen: Pen::default(), left: Vec::new(), right: Vec::new(), by }
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
        let (least, most) = self.span();
        let side = if target.x < (least + most) / 2.0 { &mut self.left } else { &mut self.right };
        side.push(Callout { target, text: text.into() });
    }

    /// The walls, grey.
    pub(super) fn body(&mut self) {
        let (outer, before) = self.fit.outer;
        let inner = self.fit.hollow;
        let paths = vec![self.outline(&outer, mm(before)), self.outline(&inner, 0.0)];
        self.pen.paths(Role::Solid, paths);
        let (least, most) = self.span();
        if self.view.level == 2 {
            self.pen.line(Role::Axis, &[at(least - 3.0, 0.0), at(most + 5.0, 0.0)]);
        } else {
            self.pen.centre(at(0.0, 0.0), 3.0);
        }
    }

    /// The edge of a space in this view; its front plane lies `before` the origin, mm.
    fn outline(&self, space: &Hollow, before: f64) -> Path {
        let by = self.by;
        if self.view.level != 2 {
            return match *space {
                Hollow::Block { across, up, .. } => {
                    let (w, h) = (mm(across) / by, mm(up) / by);
                    Path::rectangle(at(-w, -h), 2.0 * w, 2.0 * h)
                }
                _ => Path::circle(at(0.0, 0.0), mm(space.around().0) / by),
            };
        }
        let (back, front, depth) = match *space {
            Hollow::Block { across, up, depth } => {
                let half = if self.view.upright == 1 { up } else { across };
                (half, half, depth)
            }
            Hollow::Round { back, front, depth } => (back, front, depth),
            Hollow::Ball { radius, behind } => return ball(mm(radius) / by, mm(behind) / by),
        };
        let (b, f) = (mm(back) / by, mm(front) / by);
        let (rear, face) = ((before - mm(depth)) / by, before / by);
        Path::polygon(&[at(rear, -b), at(face, -f), at(face, f), at(rear, b)])
    }

    /// The sheet, and the plane of the dice.
    pub(super) fn sheet(&mut self, bench: &Bench<'_>) {
        if self.view.level != 2 {
            return;
        }
        let net = bench.solution.sheet.as_ref().and_then(|s| s.as_ref().ok()?.net.as_ref().ok());
        let given = bench.lamp.diffuser.as_ref();
        if let Some((net, thickness)) = net.zip(given.and_then(|d| d.thickness.nominal().ok())) {
            let half = mm(if self.view.upright == 1 { net.height } else { net.width }) / 2.0 / self.by;
            let thick = mm(thickness) / self.by;
            self.pen.rectangle(Role::Outline, at(-thick, -half), thick, 2.0 * half);
            self.say(at(-thick / 2.0, half * 0.6), "diffuser");
            if let Ok(distance) = bench.lamp.emitter.distance.nominal() {
                let x = -(mm(thickness) + mm(distance)) / self.by;
                self.pen.line(Role::Axis, &[at(x, -half * 0.5), at(x, half * 0.5)]);
                self.say(at(x, half * 0.45), "plane of the dice");
            }
        }
    }

    /// Live parts, with half the gap between the zones around those that are not closed.
    pub(super) fn zone(&mut self, bench: &Bench<'_>) {
        let half = bench.lamp.layout.as_ref().and_then(|l| l.zone_gap.nominal().ok()).map_or(Metres::ZERO, |g| g / 2.0);
        let live: Vec<Solid> = self
            .fit
            .standing()
            .filter(|(part, _)| part.zone == Zone::Mains)
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
        let standing: Vec<(String, Zone, Solid)> =
            self.fit.standing().map(|(part, solid)| (part.name.clone(), part.zone, solid)).collect();
        let all: Vec<Solid> = standing.iter().map(|(_, _, solid)| *solid).collect();
        for (name, zone, solid) in standing {
            let path = self.edge(&solid);
            let role = if all.iter().any(|other| self.hides(other, &solid)) { Role::Hidden } else { Role::Outline };
            self.pen.path(role, path);
            let centre = self.on(solid.centre.map(Metres::value));
            let half = mm(solid.half[self.view.upright]) / self.by;
            let text = if zone == Zone::Mains { format!("{name}, live") } else { name };
            self.say(at(centre.x, centre.y + half * 0.5), text);
        }
    }

    /// Whether one solid stands before another: seen from the left, from above, from the front.
    fn hides(&self, one: &Solid, other: &Solid) -> bool {
        let looking = 3 - self.view.level - self.view.upright;
        let meets = |k: usize| (one.centre[k] - other.centre[k]).abs() < one.half[k] + other.half[k];
        // z to the right and y up is the view of one who stands at negative x.
        let (near, far) = if self.view == View::SECTION { (other, one) } else { (one, other) };
        let before = near.centre[looking] - near.half[looking] >= far.centre[looking] + far.half[looking];
        before && meets(self.view.level) && meets(self.view.upright)
    }

    /// A solid's edge: a circle where the view looks along a cylinder.
    fn edge(&self, solid: &Solid) -> Path {
        let centre = self.on(solid.centre.map(Metres::value));
        let (w, h) = (mm(solid.half[self.view.level]) / self.by, mm(solid.half[self.view.upright]) / self.by);
        let looking = 3 - self.view.level - self.view.upright;
        if solid.axis == Some(looking) {
            return Path::circle(centre, w);
        }
        Path::rectangle(at(centre.x - w, centre.y - h), 2.0 * w, 2.0 * h)
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
        let wanted = bench.shown("fit.cord-wanted");
        self.say(
            at((outside.x + inside.x) / 2.0, (outside.y + inside.y) / 2.0),
            format!("{}, {wanted} to its bend", bench.term("cord")),
        );
    }

    /// Dimension lines of the gaps that this view shows in true length.
    pub(super) fn gaps(&mut self, gaps: &[Gap]) {
        for gap in gaps {
            let shown = match gap.axis {
                Some(axis) => axis == self.view.level || (axis == self.view.upright && self.view.level == 2),
                None => self.true_length(gap),
            };
            // A gap along z is true in section and plan; the section has it.
            let twice = gap.axis == Some(2) && self.view == View::PLAN;
            if !shown || twice || (gap.axis == Some(0) && self.view == View::FRONT) {
                continue;
            }
            let (from, to) = (self.on(gap.ends.0), self.on(gap.ends.1));
            self.pen.line(Role::Dimension, &[from, to]);
            let direction = libm::atan2(to.y - from.y, to.x - from.x);
            if libm::hypot(to.x - from.x, to.y - from.y) > 5.0 {
                self.pen.arrow(to, direction);
                self.pen.arrow(from, direction + std::f64::consts::PI);
            }
            let middle = at((from.x + to.x) / 2.0, (from.y + to.y) / 2.0);
            self.say(middle, format!("{} {}", gap.letter, gap.room));
        }
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

    pub(super) fn finish(self) -> (Vec<Callout>, Vec<Callout>, Pen) {
        (self.left, self.right, self.pen)
    }
}

/// A ball behind the plane z = 0, its centre `behind` it.
fn ball(radius: f64, behind: f64) -> Path {
    let open = libm::sqrt((radius * radius - behind * behind).max(0.0));
    // From the lower rim round the back to the upper rim, clockwise; the chord closes it.
    let sweep = 2.0 * std::f64::consts::PI - 2.0 * libm::atan2(open, behind);
    let bulge = -libm::tan(sweep / 8.0);
    let half = Vertex { point: at(-behind - radius, 0.0), bulge };
    let vertices = vec![Vertex { point: at(0.0, -open), bulge }, half, Vertex { point: at(0.0, open), bulge: 0.0 }];
    Path { vertices, closed: true }
}
