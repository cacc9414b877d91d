//! Drawing `cover-section`: the lamp cut along its axis, back on the left, light to the right.

use super::body::{Shell, VIEW, net, profile, reduction, shell};
use super::boxes;
use super::callouts::{Callout, Column, column};
use super::pen::{Pen, mm};
use crate::packet::bench::Bench;
use crate::packet::drawing::{Drawing, Path, Role, Scale, at};
use crate::packet::plain::plain;
use crate::physics::mechanics::hollow::Hollow;
use crate::quantity::{Metres, Quantity};
use crate::schema::words::{Side, Word};

/// Thickness of the emitter's board and depth of a die as drawn, mm of the lamp; neither is given.
const BOARD: f64 = 1.6;
const DIE: f64 = 1.5;

/// The section in the making; x runs from the back wall's outside, y from the axis, both in mm of paper.
pub(super) struct Section {
    /// Shapes so far.
    pub(super) pen: Pen,
    /// The body, mm of the lamp.
    pub(super) shell: Shell,
    /// Denominator of the reduction.
    pub(super) by: f64,
    /// Where the free room behind emitter and sink ends, mm of the lamp from the outside of the back.
    pub(super) free: f64,
    /// Labels left and right.
    pub(super) left: Vec<Callout>,
    /// Labels of what lies in front.
    pub(super) right: Vec<Callout>,
}

/// The section; none where the body's sizes are missing.
pub(super) fn section(bench: &Bench<'_>) -> Option<Drawing> {
    let shell = shell(bench.lamp).ok()?;
    let by = reduction((shell.depth, shell.height), VIEW);
    let free = shell.depth - shell.wall;
    let mut s = Section { pen: Pen::default(), shell, by, free, left: Vec::new(), right: Vec::new() };
    s.walls(bench);
    let behind = s.sheet(bench);
    s.emitter(bench, behind);
    let placed = boxes::boxes(&mut s, bench);
    let (depth, h) = (s.shell.depth / by, s.shell.height / by / 2.0);
    let show = |size: f64| Metres::si(size / 1e3).show();
    s.pen.line(Role::Axis, &[at(-3.0, 0.0), at(depth + 5.0, 0.0)]);
    s.pen.across(at(0.0, h), at(depth, h), h + 5.0, &format!("{} deep", show(s.shell.depth)));
    column(&mut s.pen, Column::Left, -20.0, s.left);
    column(&mut s.pen, Column::Right, depth + 12.0, s.right);
    let (short, long) = if placed {
        ("", "parts where the layout has them")
    } else {
        (
            "; supply, controller and clamp: places not to scale",
            "places of supply, controller and clamp are not to scale",
        )
    };
    let title = format!("Section along the axis, 1 : {by}{short}");
    let description = format!(
        "The lamp cut along its axis at 1 to {by}, the back on the left: walls grey, mains zone hatched, heat path \
         dotted; {long}."
    );
    Some(s.pen.finish("cover-section", title, description, Scale::Reduced))
}

/// Half the height of the outside of a body at a place along its axis, mm; the front plane is at zero.
fn half_height(outer: &Hollow, z: f64) -> f64 {
    match *outer {
        Hollow::Block { up, .. } => mm(up),
        Hollow::Round { back, front, depth } => mm(front) + (mm(front) - mm(back)) / mm(depth) * z,
        Hollow::Ball { radius, behind } => {
            let (r, off) = (mm(radius), z + mm(behind));
            libm::sqrt((r * r - off * off).max(0.0))
        }
    }
}

impl Section {
    /// A rectangle given in mm of the lamp.
    pub(super) fn block(&mut self, role: Role, x: (f64, f64), y: (f64, f64)) {
        let by = self.by;
        self.pen.rectangle(role, at(x.0 / by, y.0 / by), (x.1 - x.0) / by, (y.1 - y.0) / by);
    }

    fn walls(&mut self, bench: &Bench<'_>) {
        let Shell { depth: d, wall: w, before, outer, inner, .. } = self.shell;
        let h = self.shell.height / 2.0;
        let by = self.by;
        if before > 0.0 {
            let inside = h - w;
            let stated = bench.lamp.enclosure.opening.nominal().ok().map(|opening| mm(opening) / 2.0);
            let o = stated.unwrap_or(inside).min(inside);
            let corners = [
                (0.0, -h),
                (d, -h),
                (d, -o),
                (d - w, -o),
                (d - w, -inside),
                (w, -inside),
                (w, inside),
                (d - w, inside),
                (d - w, o),
                (d, o),
                (d, h),
                (0.0, h),
            ];
            let points = corners.map(|(x, y)| at(x / by, y / by));
            self.pen.path(Role::Solid, Path::polygon(&points));
        } else {
            self.pen.paths(Role::Solid, vec![profile(&outer, d, true, by), profile(&inner, d, true, by)]);
        }
        let wall = bench.shown(&bench.lamp.enclosure.wall.path);
        let on_wall = |x: f64| (x, half_height(&outer, x - d));
        self.measure(bench, "wall", on_wall(d * 0.35), false);
        let (x, y) = on_wall(d * 0.6);
        let target = at(x / by, (y - w / 2.0) / by);
        let material = bench.lamp.enclosure.material.value.map_or("", |m| plain(m.word()));
        self.right.push(Callout { target, text: format!("wall {wall}, {material}") });
    }

    /// The sheet behind the front wall; gives the place of its back face, mm of the lamp.
    fn sheet(&mut self, bench: &Bench<'_>) -> f64 {
        let front = self.shell.depth - self.shell.before;
        let (Some(given), Some(net)) = (&bench.lamp.diffuser, net(bench)) else { return front };
        let Ok(thickness) = given.thickness.nominal().map(mm) else { return front };
        let half = mm(net.height) / 2.0;
        let back = front - thickness;
        let seat = given.seat.as_ref().and_then(|seat| seat.height.nominal().or_else(|_| seat.width.nominal()).ok());
        let inside = self.shell.free_in_front();
        if let Some(seat) = seat.map(|seat| mm(seat) / 2.0).filter(|seat| *seat < inside) {
            for (low, high) in [(seat, inside), (-inside, -seat)] {
                self.block(Role::Solid, (back, front), (low, high));
            }
        }
        self.block(Role::Outline, (back, front), (-half, half));
        let target = at((back + thickness / 2.0) / self.by, half * 0.55 / self.by);
        let text = format!("diffuser {}", bench.said(&given.thickness.path));
        self.right.push(Callout { target, text });
        self.measure(bench, "front", (front, 0.0), true);
        back
    }

    /// Dice, board and sink at their distance behind the sheet, the heat path dotted.
    fn emitter(&mut self, bench: &Bench<'_>, sheet: f64) {
        let emitter = &bench.lamp.emitter;
        let Ok(distance) = emitter.distance.nominal() else { return };
        let plane = sheet - mm(distance);
        let by = self.by;
        let inside = self.shell.height / 2.0 - self.shell.wall;
        let sink = bench.lamp.sink.as_ref();
        let size: Option<Vec<f64>> =
            sink.and_then(|s| s.size.value.as_ref()).map(|s| s.iter().map(|v| mm(*v)).collect());
        let (high, deep) = match size.as_deref() {
            Some([_, height, depth]) => (height.min(2.0 * inside) / 2.0, *depth),
            Some([across, depth]) => (across.min(2.0 * inside) / 2.0, *depth),
            _ => (inside * 0.4, 0.0),
        };
        let board = (plane - DIE - BOARD, plane - DIE);
        self.block(Role::Solid, board, (-high, high));
        self.block(Role::Ink, (board.1, plane), (-2.0_f64.min(high), 2.0_f64.min(high)));
        self.right.push(Callout { target: at(plane / by, 0.0), text: "dice".to_owned() });
        let board_at = at((board.0 + BOARD / 2.0) / by, -high * 0.5 / by);
        self.right.push(Callout { target: board_at, text: "emitter board".to_owned() });
        self.free = board.0;
        if deep > 0.0 {
            self.block(Role::Solid, (board.0 - deep, board.0), (-high, high));
            self.block(Role::HeatDots, (board.0 - deep, board.1), (-high, high));
            self.free = board.0 - deep;
            let outside = sink.and_then(|s| s.place.value) == Some(Side::Outside);
            let text = if outside { "heatsink in outside air, heat path" } else { "heatsink, heat path" };
            let target = at((board.0 - deep * 0.5) / by, -high * 0.8 / by);
            self.right.push(Callout { target, text: text.to_owned() });
        }
        // Beside the board on the sink; without a sink the board's own seat on the wall.
        self.measure(bench, "sink", (board.0, high * 0.75), true);
        self.measure(bench, "inside", (self.free * 0.85, inside * 0.85), false);
        let low = -self.shell.height / 2.0 / by - 6.0;
        let text = format!("distance {}", distance.show());
        self.pen.across(at(plane / by, -high.min(inside) / by), at(sheet / by, -inside / by), low, &text);
    }
}
