//! Parts in a body against stored reference vectors, and against points sampled on their surfaces: no formula of ours
//! stands on both sides.

#![allow(clippy::unwrap_used, reason = "helpers of tests, outside of a test function")]

use lampwright::physics::mechanics::hollow::{Hollow, Solid, Wall, gap};
use lampwright::physics::mechanics::shell::shell;
use lampwright::quantity::Metres;

fn mm(millimetres: f64) -> Metres {
    Metres::si(millimetres * 1e-3)
}

fn solid(centre: [f64; 3], half: [f64; 3], axis: Option<usize>) -> Solid {
    Solid { centre: centre.map(mm), half: half.map(mm), axis }
}

fn placement(key: &str) -> Vec<serde_json::Value> {
    let all: serde_json::Value = serde_json::from_str(include_str!("../reference/mains/placement.json")).unwrap();
    all[key].as_array().unwrap().clone()
}

fn triple(value: &serde_json::Value) -> [f64; 3] {
    [0, 1, 2].map(|k| value[k].as_f64().unwrap())
}

fn round_room(hollow: &Hollow, part: &Solid) -> f64 {
    hollow.rooms(part).iter().find(|(wall, _)| *wall == Wall::Round).unwrap().1.value() * 1e3
}

#[test]
fn parts_in_a_ball_by_the_stored_vectors() {
    let mut seen = 0;
    for row in placement("cyl_in_sphere") {
        let Some(axis) = triple(&row["u"]).iter().position(|u| *u == 1.0) else { continue };
        let (l, r) = (row["l"].as_f64().unwrap(), row["r"].as_f64().unwrap());
        let mut half = [r; 3];
        half[axis] = l;
        let ball = Hollow::Ball { radius: mm(row["R"].as_f64().unwrap()), behind: mm(0.0) };
        let room = round_room(&ball, &solid(triple(&row["c"]), half, Some(axis)));
        assert!((room - row["margin"].as_f64().unwrap()).abs() < 1e-5, "{row}");
        seen += 1;
    }
    for row in placement("box_in_sphere") {
        let ball = Hollow::Ball { radius: mm(row["R"].as_f64().unwrap()), behind: mm(0.0) };
        let room = round_room(&ball, &solid(triple(&row["c"]), triple(&row["h"]), None));
        assert!((room - row["margin"].as_f64().unwrap()).abs() < 1e-5, "{row}");
        seen += 1;
    }
    assert!(seen >= 6);
}

#[test]
fn gaps_by_the_stored_vectors() {
    for row in placement("aabb") {
        let a = &row["a"];
        let found = gap(&solid(triple(&a[0]), triple(&a[1]), None), &solid(triple(&a[2]), triple(&a[3]), None));
        let wanted = row["dist"].as_f64().unwrap();
        assert!((found.value().max(0.0) * 1e3 - wanted).abs() < 1e-5, "{row}");
    }
    for row in placement("vcyl_aabb") {
        let a = &row["a"];
        let (r, l) = (a[1].as_f64().unwrap(), a[2].as_f64().unwrap());
        let post = solid(triple(&a[0]), [r, r, l], Some(2));
        let found = gap(&post, &solid(triple(&a[3]), triple(&a[4]), None));
        assert!((found.value() * 1e3 - row["dist"].as_f64().unwrap()).abs() < 1e-4, "{row}");
    }
}

/// Points on the surface of a solid: corners and edges of a box, both rims of a cylinder.
fn surface(part: &Solid) -> Vec<[f64; 3]> {
    let (c, h) = (part.centre.map(|v| v.value() * 1e3), part.half.map(|v| v.value() * 1e3));
    let mut points = Vec::new();
    match part.axis {
        Some(axis) => {
            let (u, v) = ((axis + 1) % 3, (axis + 2) % 3);
            for k in 0..2000 {
                let turn = f64::from(k) * std::f64::consts::TAU / 2000.0;
                for end in [-1.0, 1.0] {
                    let mut p = c;
                    p[axis] += end * h[axis];
                    p[u] += h[u] * libm::cos(turn);
                    p[v] += h[v] * libm::sin(turn);
                    points.push(p);
                }
            }
        }
        None => {
            for k in 0..8 {
                let sign = |bit: i32| if k & bit == 0 { -1.0 } else { 1.0 };
                points.push([c[0] + sign(1) * h[0], c[1] + sign(2) * h[1], c[2] + sign(4) * h[2]]);
            }
        }
    }
    points
}

/// Room of a point to the wall of a frustum, by projecting it on the line of the wall.
fn point_room(p: [f64; 3], back: f64, front: f64, depth: f64) -> f64 {
    let reach = libm::hypot(p[0], p[1]);
    let (dx, dy) = (depth, front - back);
    let length = libm::hypot(dx, dy);
    // From (z = -depth, r = back) to (0, front): cross product over length.
    (dx * (back - reach) + dy * (p[2] + depth)) / length
}

#[test]
fn rooms_in_cylinders_and_cones_are_those_of_sampled_points() {
    let parts = [
        solid([10.0, -6.0, -40.0], [12.0, 8.0, 15.0], None),
        solid([-14.0, 3.0, -35.0], [7.0, 7.0, 20.0], Some(2)),
        solid([4.0, 9.0, -50.0], [18.0, 6.0, 6.0], Some(0)),
        solid([-5.0, -8.0, -30.0], [5.0, 16.0, 5.0], Some(1)),
    ];
    for (back, front) in [(50.0, 50.0), (30.0, 60.0), (70.0, 35.0)] {
        let hollow = Hollow::Round { back: mm(back), front: mm(front), depth: mm(90.0) };
        for part in &parts {
            let sampled =
                surface(part).into_iter().map(|p| point_room(p, back, front, 90.0)).fold(f64::INFINITY, f64::min);
            let found = round_room(&hollow, part);
            assert!((found - sampled).abs() < 2e-3, "{part:?} in {back} to {front}: {found}, sampled {sampled}");
        }
    }
}

#[test]
fn walls_have_the_volume_and_middle_that_counting_cells_finds() {
    // A cone open in front, counted in cells of half a millimetre along the axis and exact rings across it.
    let outer = Hollow::Round { back: mm(30.0), front: mm(60.0), depth: mm(80.0) };
    let inner = Hollow::Round { back: mm(28.0), front: mm(58.0), depth: mm(77.0) };
    let made = shell(&outer, mm(0.0), &inner, None);
    let radius = |back: f64, front: f64, depth: f64, z: f64| front + (front - back) / depth * z;
    let (mut volume, mut moment) = (0.0, 0.0);
    for k in 0..8000 {
        let z = -80.0 + (f64::from(k) + 0.5) * 0.01;
        let out = radius(30.0, 60.0, 80.0, z);
        let hollow = if z > -77.0 { radius(28.0, 58.0, 77.0, z) } else { 0.0 };
        let cell = std::f64::consts::PI * (out * out - hollow * hollow) * 0.01;
        volume += cell;
        moment += cell * z;
    }
    assert!((made.volume.value() * 1e9 / volume - 1.0).abs() < 1e-5);
    assert!((made.centre.value() * 1e3 - moment / volume).abs() < 1e-3);
}
