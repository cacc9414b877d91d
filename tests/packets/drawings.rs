//! Every drawing of every example, as geometry: bars true, kerf on the waste side, labels apart, nothing clipped.

use std::sync::Arc;

use lampwright::packet::drawing::{Drawing, Path, Point, Role, Scale, Shape};
use lampwright::packet::drawings::text::rooms;
use lampwright::packet::sheet::Packet;
use lampwright::packet::terms::spoken;
use lampwright::physics::mechanics::curve;
use lampwright::physics::mechanics::outline::{self, Outline};
use lampwright::quantity::Metres;

use super::crowded::assert_apart;
use crate::support::{example, examples, sheets, text_of, varied};

fn packet(name: &str) -> Arc<Packet> {
    crate::support::packet(name, None)
}

/// Every drawing of every example, those for machines too.
fn each(check: impl Fn(&str, &Drawing)) {
    for name in examples() {
        let packet = packet(&name);
        assert!(!packet.drawings.is_empty(), "{name} has drawings");
        for drawing in packet.drawings.values().chain(packet.machine_drawings.values()) {
            check(&format!("{name}, {}", drawing.name), drawing);
        }
    }
}

fn paths(drawing: &Drawing, wanted: Role) -> Vec<&Path> {
    let of_role = drawing.shapes.iter().filter_map(|shape| match shape {
        Shape::Paths { role, paths } if *role == wanted => Some(paths),
        _ => None,
    });
    of_role.flatten().collect()
}

/// Points of a path, 64 on each arc, worked out from the bulge alone.
fn sampled(path: &Path) -> Vec<Point> {
    let next = path.vertices.iter().cycle().skip(1);
    let count = if path.closed { path.vertices.len() } else { path.vertices.len() - 1 };
    let mut points: Vec<Point> = path.vertices.iter().map(|v| v.point).collect();
    for (a, b) in path.vertices.iter().zip(next).take(count).filter(|(a, _)| a.bulge != 0.0) {
        let (dx, dy) = (b.point.x - a.point.x, b.point.y - a.point.y);
        let k = (1.0 - a.bulge * a.bulge) / (4.0 * a.bulge);
        let centre = ((a.point.x + b.point.x) / 2.0 - k * dy, (a.point.y + b.point.y) / 2.0 + k * dx);
        let sweep = 4.0 * libm::atan(a.bulge);
        for step in 1..64 {
            let turn = sweep * f64::from(step) / 64.0;
            let (x, y) = (a.point.x - centre.0, a.point.y - centre.1);
            let (sin, cos) = (libm::sin(turn), libm::cos(turn));
            points.push(Point { x: centre.0 + x * cos - y * sin, y: centre.1 + x * sin + y * cos });
        }
    }
    points
}

fn metres(p: Point) -> curve::Point {
    curve::Point { x: Metres::si(p.x / 1e3), y: Metres::si(p.y / 1e3) }
}

fn outline(path: &Path) -> Outline {
    let vertex = |v: &lampwright::packet::drawing::Vertex| outline::Vertex { point: metres(v.point), bulge: v.bulge };
    Outline::new(path.vertices.iter().map(vertex).collect())
}

#[test]
fn labels_never_lie_on_each_other() {
    each(assert_apart);
}

#[test]
fn frames_hold_everything() {
    each(|name, drawing| {
        let (left, low) = (drawing.corner.x, drawing.corner.y);
        let (right, top) = (left + drawing.width, low + drawing.height);
        let inside = |p: Point| p.x >= left && p.x <= right && p.y >= low && p.y <= top;
        for shape in &drawing.shapes {
            if let Shape::Paths { paths, role } = shape {
                let points = paths.iter().flat_map(sampled);
                for point in points {
                    assert!(inside(point), "{name}: {role:?} at {point:?} is clipped");
                }
            }
        }
        for (text, room) in rooms(drawing) {
            assert!(inside(room.least) && inside(room.most), "{name}: `{text}` is clipped");
        }
    });
}

#[test]
fn letters_can_be_read() {
    each(|name, drawing| {
        for shape in &drawing.shapes {
            if let Shape::Text { height, text, .. } = shape {
                assert!(*height >= 2.0, "{name}: `{text}` is {height} mm high");
            }
        }
    });
}

#[test]
fn the_sheet_carries_true_bars_both_ways() {
    for name in examples() {
        let packet = packet(&name);
        let drawing = &packet.drawings["diffuser"];
        assert_eq!(drawing.scale, Scale::Full, "{name}");
        let lines: Vec<(Point, Point)> = paths(drawing, Role::Bar)
            .iter()
            .filter(|path| path.vertices.len() == 2)
            .map(|path| (path.vertices[0].point, path.vertices[1].point))
            .collect();
        let long = |a: f64, b: f64, c: f64, d: f64| ((a - b).abs() - 100.0).abs() < 1e-9 && (c - d).abs() < 1e-9;
        let lying: Vec<_> = lines.iter().filter(|(a, b)| long(a.x, b.x, a.y, b.y)).collect();
        let standing: Vec<_> = lines.iter().filter(|(a, b)| long(a.y, b.y, a.x, b.x)).collect();
        assert!(!lying.is_empty() && !standing.is_empty(), "{name}: no bars");
        let ticks = |along: fn(&Point) -> f64, across: fn(&Point) -> f64, origin: &Point| -> usize {
            let on_tick = |p: &Point| {
                let u = along(p) - along(origin);
                (-1e-9..=100.0 + 1e-9).contains(&u) && (u / 10.0 - libm::round(u / 10.0)).abs() < 1e-9
            };
            let square = |a: &Point, b: &Point| (along(a) - along(b)).abs() < 1e-9 && a != b;
            let here = |p: &Point| (across(p) - across(origin)).abs() < 1e-9;
            lines.iter().filter(|(a, b)| square(a, b) && here(a) && on_tick(a)).count()
        };
        assert!(lying.iter().any(|(start, _)| ticks(|p| p.x, |p| p.y, start) == 11), "{name}: no ticks");
        assert!(standing.iter().any(|(start, _)| ticks(|p| p.y, |p| p.x, start) == 11), "{name}: no ticks");
    }
}

#[test]
fn the_cutter_runs_half_a_kerf_in_the_waste() {
    for (name, kerf) in [("alder-table", 0.2), ("slate-wall", 3.175), ("heron-head", 0.18), ("longsill-linear", 1.0)] {
        let packet = packet(name);
        let (net, cut) = (&packet.machine_drawings["diffuser"], &packet.machine_drawings["diffuser-cut"]);
        for drawing in [net, cut] {
            assert_eq!(drawing.scale, Scale::Full);
            let wanted = |s: &Shape| matches!(s, Shape::Paths { role: Role::Cut | Role::Engrave, .. });
            assert!(drawing.shapes.iter().all(wanted), "{name}");
        }
        let (net, cut) = (paths(net, Role::Cut), paths(cut, Role::Cut));
        assert_eq!(net.len(), cut.len(), "{name}");
        for (k, (edge, path)) in net.iter().zip(&cut).enumerate() {
            let (finished, travelled) = (outline(edge), outline(path));
            for point in sampled(path) {
                let off = finished.distance_to(metres(point)).value() * 1e3;
                assert!((off - kerf / 2.0).abs() < 1e-6, "{name}, edge {k}: {off} mm");
            }
            // The outer path is cut last and lies outside, every other inside its hole.
            assert_eq!(travelled.area() > finished.area(), k + 1 == net.len(), "{name}, edge {k}");
            assert_eq!(finished.as_circle().is_some(), travelled.as_circle().is_some(), "{name}: arcs stay arcs");
        }
    }
}

#[test]
fn the_paper_shows_the_finished_edge() {
    for name in examples() {
        let packet = packet(&name);
        let printed = paths(&packet.drawings["diffuser"], Role::Cut);
        assert_eq!(printed, paths(&packet.machine_drawings["diffuser"], Role::Cut), "{name}");
    }
}

#[test]
fn unsound_edges_give_no_file_for_a_machine() {
    for statement in [
        "diffuser { hole left { at (-118 mm, 0 mm) } }",
        "diffuser { corner 70 mm }",
        "diffuser { hole left { diameter 3 mm } }",
    ] {
        let packet = sheets(&varied(&text_of("slate-wall"), statement), &["cut"]);
        assert!(packet.machine_drawings.is_empty(), "{statement}");
        assert!(packet.sheets[0].markdown.contains("WARNING"), "{statement}");
    }
}

#[test]
fn bars_of_margins_run_from_the_nearest() {
    for name in examples() {
        let compiled = example(&name, None);
        let packet = packet(&name);
        let texts: Vec<String> =
            rooms(&packet.drawings["margins"]).iter().map(|(text, _)| (*text).to_owned()).collect();
        let margins = compiled.report.margins();
        let region = compiled.lamp.identity.region.value.expect("a region");
        let shown: Vec<String> = margins.iter().take(12).map(|(_, _, m)| spoken(region, &m.what)).collect();
        let places: Vec<usize> = shown
            .iter()
            .map(|what| {
                texts
                    .iter()
                    .position(|t| t.starts_with(&what.replace('`', "")))
                    .unwrap_or_else(|| panic!("{name}: {what}"))
            })
            .collect();
        assert!(places.is_sorted(), "{name}: {shown:?}");
    }
}

/// Level and upright pieces of each wire of the wiring diagram, bows left out.
fn pieces(path: &Path) -> Vec<(Point, Point)> {
    let pairs = path.vertices.windows(2).filter(|pair| pair[0].bulge == 0.0);
    pairs.map(|pair| (pair[0].point, pair[1].point)).collect()
}

#[test]
fn the_wiring_diagram_has_every_wire_once_with_both_its_numbers() {
    for name in examples() {
        let compiled = example(&name, None);
        let packet = packet(&name);
        let drawing = &packet.drawings["wiring-diagram"];
        let wires = &compiled.solution.wires;
        assert_eq!(paths(drawing, Role::Wire).len(), wires.len(), "{name}");
        let texts: Vec<&str> = rooms(drawing).into_iter().map(|(text, _)| text).collect();
        for wire in wires {
            let near = texts.iter().filter(|t| t.starts_with(&format!("{} ", wire.number))).count();
            let far = texts.iter().filter(|t| **t == wire.number).count();
            assert_eq!((near, far), (1, 1), "{name}: {}", wire.number);
        }
    }
}

#[test]
fn wires_of_the_diagram_run_square_and_never_on_each_other() {
    for name in examples() {
        let packet = packet(&name);
        let wires: Vec<Vec<(Point, Point)>> =
            paths(&packet.drawings["wiring-diagram"], Role::Wire).into_iter().map(pieces).collect();
        for (k, wire) in wires.iter().enumerate() {
            for (a, b) in wire {
                assert!(a.x == b.x || a.y == b.y, "{name}: wire {k} runs askew");
                for (c, d) in wires.iter().skip(k + 1).flatten() {
                    let shared = |p: f64, q: f64, r: f64, s: f64| p.max(q).min(r.max(s)) - p.min(q).max(r.min(s));
                    let level =
                        a.y == b.y && c.y == d.y && (a.y - c.y).abs() < 0.5 && shared(a.x, b.x, c.x, d.x) > 1e-6;
                    let upright =
                        a.x == b.x && c.x == d.x && (a.x - c.x).abs() < 0.5 && shared(a.y, b.y, c.y, d.y) > 1e-6;
                    assert!(!(level || upright), "{name}: wire {k} lies on another at {a:?}");
                }
            }
        }
    }
}

#[test]
fn low_voltage_wires_stay_out_of_the_mains_zone() {
    let compiled = example("slate-wall", None);
    let packet = packet("slate-wall");
    let drawing = &packet.drawings["wiring-diagram"];
    let band = paths(drawing, Role::MainsHatch);
    let inner = band.last().expect("a band").vertices.iter().map(|v| v.point.x).fold(f64::MIN, f64::max);
    for (wire, path) in compiled.solution.wires.iter().zip(paths(drawing, Role::Wire)) {
        let mains = wire.zone == lampwright::solve::wires::WireZone::Mains;
        let inside = path.vertices.iter().all(|v| v.point.x < inner);
        let outside = path.vertices.iter().all(|v| v.point.x > inner);
        assert!(if mains { inside } else { outside }, "{}", wire.name);
    }
}

#[test]
fn the_wiring_diagram_follows_the_places_of_the_parts_where_it_says_so() {
    // Left edges of names: a part whose whole extent lies nearer to the side named first never stands at the right.
    for (name, caption, left, right) in [
        ("slate-wall", "bottom of the lamp on the left, top on the right", "supply", "controller"),
        ("slate-wall", "bottom of the lamp on the left, top on the right", "emitter", "driver"),
        ("alder-table", "back of the lamp on the left, front on the right", "fuse", "emitter"),
        ("heron-head", "in the order of the circuit", "entry", "emitter"),
    ] {
        let packet = packet(name);
        let drawing = &packet.drawings["wiring-diagram"];
        assert!(drawing.title.contains(caption), "{name}: {}", drawing.title);
        let x = |part: &str| {
            let place = drawing.shapes.iter().find_map(|shape| match shape {
                Shape::Text { at, text, .. } if text == part => Some(at.x),
                _ => None,
            });
            place.unwrap_or_else(|| panic!("{name}: no {part}"))
        };
        assert!(x(left) < x(right), "{name}: {left} {right}");
    }
}
