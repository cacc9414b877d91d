//! Drill templates of cones and balls as drawn: lengths measured on paper against the wall in space; and the bars of every
//! drawing at full size.

use std::sync::Arc;

use lampwright::packet::drawing::{Drawing, Point, Role, Scale, Shape};
use lampwright::packet::drawings::text::rooms;
use lampwright::packet::sheet::Packet;

use super::crowded::assert_apart;
use crate::support::{examples, packet, sheets, text_of, varied};

const CONE: &str = "shape cone; size 110 x 150 x 60 mm; hole a { diameter 8 mm; towards 90 °; level 20 mm }; \
                    hole b { diameter 16 mm; towards 150 °; level 30 mm }";
const NARROW: &str = "shape cone; size 190 x 150 x 60 mm; hole a { diameter 8 mm; towards 350 °; level 20 mm }; \
                      hole b { diameter 16 mm; towards 30 °; level 35 mm }";
const BALL: &str = "shape dome; size 170 mm; hole a { diameter 8 mm; towards 90 °; level 20 mm }; \
                    hole b { diameter 12 mm; towards 300 °; level 40 mm }";

fn with_body(body: &str) -> Packet {
    sheets(&varied(&text_of("heron-head"), &format!("enclosure {{ {body} }}")), &["cut", "drill"])
}

/// Straight runs of two points.
fn lines(drawing: &Drawing) -> Vec<(Point, Point)> {
    let paths = drawing.shapes.iter().filter_map(|shape| match shape {
        Shape::Paths { role: Role::Dimension | Role::Bar, paths } => Some(paths),
        _ => None,
    });
    let two = paths.flatten().filter(|path| path.vertices.len() == 2 && !path.closed);
    two.map(|path| (path.vertices[0].point, path.vertices[1].point)).collect()
}

fn has_line(drawing: &Drawing, dx: f64, dy: f64) -> bool {
    let is = |(a, b): &(Point, Point)| ((a.x - b.x).abs() - dx).abs() < 1e-6 && ((a.y - b.y).abs() - dy).abs() < 1e-6;
    lines(drawing).iter().any(is)
}

fn apart(a: Point, b: Point) -> f64 {
    libm::hypot(a.x - b.x, a.y - b.y)
}

/// Middles of the holes: where a level line is crossed by an upright one as long.
fn middles(drawing: &Drawing) -> Vec<Point> {
    let all = lines(drawing);
    let middle = |(a, b): &(Point, Point)| Point { x: (a.x + b.x) / 2.0, y: (a.y + b.y) / 2.0 };
    let level = all.iter().filter(|(a, b)| (a.y - b.y).abs() < 1e-9);
    let crossed = |line: &&(Point, Point)| {
        all.iter().any(|other| (other.0.x - other.1.x).abs() < 1e-9 && apart(middle(other), middle(line)) < 1e-6)
    };
    level.filter(crossed).map(middle).collect()
}

#[test]
fn every_drawing_at_full_size_carries_true_bars() {
    let packets = examples().into_iter().map(|name| packet(&name, None));
    let mut seen = 0;
    for packet in packets.chain([CONE, NARROW, BALL].map(|body| Arc::new(with_body(body)))) {
        for drawing in packet.drawings.values().filter(|drawing| {
            drawing.scale == Scale::Full && (drawing.name == "diffuser" || drawing.name.starts_with("drill-"))
        }) {
            assert!(has_line(drawing, 100.0, 0.0), "{}: no lying bar", drawing.name);
            assert!(has_line(drawing, 0.0, 100.0), "{}: no standing bar", drawing.name);
            seen += 1;
        }
    }
    assert!(seen >= 8, "{seen} drawings");
}

#[test]
fn places_on_a_cone_are_as_far_apart_on_paper_as_on_the_wall() {
    // (back and front radius, the angle between the holes, their heights), mm; depth 60 mm.
    for (body, back, front, degrees, levels) in
        [(CONE, 55.0, 75.0, 60.0_f64, (20.0, 30.0)), (NARROW, 95.0, 75.0, 40.0, (20.0, 35.0))]
    {
        let packet = with_body(body);
        let drawing = &packet.drawings["drill-round"];
        let found = middles(drawing);
        assert_eq!(found.len(), 2, "{found:?}");
        // Shortest way on a developed cone: the law of cosines about its apex.
        let slant = libm::hypot(60.0, front - back);
        let sine = (front - back) / slant;
        let from_apex = |level: f64| (back + (front - back) * level / 60.0) / f64::abs(sine);
        let (a, b) = (from_apex(levels.0), from_apex(levels.1));
        let turn = degrees.to_radians() * f64::abs(sine);
        let wanted = libm::sqrt(a * a + b * b - 2.0 * a * b * libm::cos(turn));
        assert!((apart(found[0], found[1]) - wanted).abs() < 1e-6, "{} for {wanted}", apart(found[0], found[1]));
    }
}

#[test]
fn chords_on_a_ball_are_drawn_as_long_as_they_are_in_space() {
    let packet = with_body(BALL);
    let drawing = &packet.drawings["drill-ball"];
    for (degrees, level) in [(90.0_f64, 20.0), (300.0, 40.0)] {
        // Points in space on the ball of 85 mm, heights from the middle of its back.
        let reach = libm::sqrt(85.0 * 85.0 - (85.0 - level) * (85.0 - level));
        let (x, y) = (reach * libm::cos(degrees.to_radians()), reach * libm::sin(degrees.to_radians()));
        let pole = libm::hypot(reach, level);
        let step = libm::hypot(x - reach, y);
        assert!(has_line(drawing, pole, 0.0) && has_line(drawing, step, 0.0), "{degrees}°: {pole} and {step}");
    }
    let sheet = packet.sheets.iter().find(|sheet| sheet.name == "drill").expect("the sheet");
    assert!(sheet.markdown.contains("no flat development") && sheet.markdown.contains("clockwise"));
}

#[test]
fn labels_of_curved_walls_lie_apart_and_inside_their_frames() {
    for (body, name) in [(CONE, "drill-round"), (NARROW, "drill-round"), (BALL, "drill-ball")] {
        let packet = with_body(body);
        let drawing = &packet.drawings[name];
        let rooms = rooms(drawing);
        assert_apart(body, drawing);
        for (text, room) in &rooms {
            assert!(room.least.x >= drawing.corner.x && room.most.x <= drawing.corner.x + drawing.width, "{text}");
        }
        for wanted in ["a, Ø 8 mm", "b, Ø"] {
            assert!(rooms.iter().any(|(text, _)| text.starts_with(wanted)), "{name}: {wanted} has no label");
        }
    }
}
