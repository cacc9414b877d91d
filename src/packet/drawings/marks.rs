//! Marks of the rating label besides that of the class: our own sketches, each named by its number in the register.

use super::pen::Pen;
use crate::packet::bench::Bench;
use crate::packet::drawing::{Path, Point, Role, at};
use crate::physics::conductors::marks::{Mark, by_number};
use crate::schema::words::Place;

/// Height and width of a mark, mm: at least the 5 mm of IEC 60598-1, section 3.
pub(super) const SIZE: f64 = 5.0;

/// One mark: its number, and how it is drawn around its centre.
pub(super) struct Drawn {
    number: &'static str,
    pub(super) draw: fn(&mut Pen, Point),
}

/// The marks this lamp's label wears, from left to right.
pub(super) fn all(bench: &Bench<'_>) -> Vec<Drawn> {
    let mains = bench.mains();
    let current = match mains {
        true => Drawn { number: "IEC 60417-5032", draw: alternating },
        false => Drawn { number: "IEC 60417-5031", draw: direct },
    };
    let battery_fuse = bench.lamp.supply.battery.as_ref().is_some_and(|b| b.fuse.is_some());
    let fused = bench.solution.ledger.get("line.fuse-marking").is_some() || battery_fuse;
    let fuse = fused.then_some(Drawn { number: "IEC 60417-5016", draw: fuse });
    let indoors = matches!(bench.lamp.identity.place.value, Some(Place::IndoorDry | Place::IndoorDamp));
    let indoors = indoors.then_some(Drawn { number: "IEC 60417-5957", draw: house });
    [Some(current), fuse, indoors].into_iter().flatten().collect()
}

/// What each of them says, by the register's number.
pub(crate) fn named(bench: &Bench<'_>) -> Vec<&'static Mark> {
    all(bench).iter().filter_map(|drawn| by_number(drawn.number)).collect()
}

/// One period of a sine.
fn alternating(pen: &mut Pen, centre: Point) {
    let steps = 24;
    let point = |k: i32| {
        let share = f64::from(k) / f64::from(steps);
        let rise = libm::sin(share * std::f64::consts::TAU) * SIZE / 2.0;
        at(centre.x + (share - 0.5) * SIZE, centre.y + rise)
    };
    let points: Vec<Point> = (0..=steps).map(point).collect();
    pen.line(Role::Outline, &points);
}

/// A long bar over three dashes, in a field of the mark's height.
fn direct(pen: &mut Pen, centre: Point) {
    let Point { x, y } = centre;
    let half = SIZE / 2.0;
    pen.line(Role::Outline, &[at(x - half, y + 0.15 * SIZE), at(x + half, y + 0.15 * SIZE)]);
    for start in [-0.5, -0.125, 0.25] {
        let from = x + start * SIZE;
        pen.line(Role::Outline, &[at(from, y - 0.15 * SIZE), at(from + 0.25 * SIZE, y - 0.15 * SIZE)]);
    }
}

/// A flat box with a line through it lengthwise.
fn fuse(pen: &mut Pen, centre: Point) {
    let Point { x, y } = centre;
    let half = SIZE / 2.0;
    pen.rectangle(Role::Outline, at(x - 0.8 * half, y - 0.4 * half), 1.6 * half, 0.8 * half);
    pen.line(Role::Outline, &[at(x - half, y), at(x + half, y)]);
}

/// A house with an arrow that points into it.
fn house(pen: &mut Pen, centre: Point) {
    let Point { x, y } = centre;
    let half = SIZE / 2.0;
    let walls = [
        at(x - 0.8 * half, y - half),
        at(x - 0.8 * half, y + 0.1 * half),
        at(x, y + half),
        at(x + 0.8 * half, y + 0.1 * half),
        at(x + 0.8 * half, y - half),
    ];
    pen.path(Role::Outline, Path::polygon(&walls));
    pen.line(Role::Outline, &[at(x - 1.1 * half, y - 0.4 * half), at(x + 0.3 * half, y - 0.4 * half)]);
    pen.arrow(at(x + 0.35 * half, y - 0.4 * half), 0.0);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::packet::drawing::Scale;
    use crate::packet::drawings::pen::extent;

    #[test]
    fn marks_keep_their_width() {
        for draw in [alternating, direct, fuse, house] {
            let mut pen = Pen::default();
            draw(&mut pen, at(10.0, 10.0));
            let drawing = pen.finish("mark", String::new(), String::new(), Scale::Full);
            let boxes: Vec<_> = drawing.shapes.iter().filter_map(extent).collect();
            let wide = boxes.iter().map(|r| r.most.x).fold(f64::MIN, f64::max)
                - boxes.iter().map(|r| r.least.x).fold(f64::MAX, f64::min);
            assert!((SIZE * 0.9..SIZE * 1.1).contains(&wide), "{wide}");
        }
        for number in ["IEC 60417-5032", "IEC 60417-5031", "IEC 60417-5016", "IEC 60417-5957"] {
            assert!(by_number(number).is_some(), "{number}");
        }
    }
}
