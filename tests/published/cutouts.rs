//! Keyholes, tabs and paths of lines and arcs, with their offsets, against polygons of an independent library.
//! Table tests/reference/mains/cutouts.csv, made by tests/reference/cutouts.py; lengths in mm.

#![allow(clippy::unwrap_used, reason = "helpers of tests, outside of a test function")]

use std::f64::consts::{FRAC_PI_2, PI};

use lampwright::physics::mechanics::curve::Point;
use lampwright::physics::mechanics::cutouts::{Corner, Tab, closed_run, keyhole, slot_at, tabbed};
use lampwright::physics::mechanics::kerf::tool_path;
use lampwright::physics::mechanics::offset::offset;
use lampwright::physics::mechanics::outline::Outline;
use lampwright::physics::mechanics::plate::Plate;
use lampwright::physics::mechanics::shapes::{disc, rounded_rectangle};
use lampwright::quantity::Metres;

use super::csv_rows::{close, rows};
use super::outlines::{corner_left_standing, grown_convex};

fn mm(millimetres: f64) -> Metres {
    Metres::si(millimetres * 1e-3)
}

fn run(corners: &[&[f64]]) -> Outline {
    let corner = |c: &&[f64]| Corner { point: Point { x: mm(c[0]), y: mm(c[1]) }, radius: c.get(2).map(|r| mm(*r)) };
    closed_run(&corners.iter().map(corner).collect::<Vec<_>>()).unwrap()
}

fn tab(outline: Outline, angle: f64, width: f64, reach: f64, corner: f64, root: f64) -> Outline {
    let tab = Tab { angle, width: mm(width), reach: mm(reach), corner: mm(corner), root: mm(root) };
    tabbed(&outline, tab).unwrap().0
}

fn shape(name: &str) -> Outline {
    let plate = || rounded_rectangle(mm(100.0), mm(60.0), Metres::ZERO).unwrap();
    match name {
        "keyhole" => keyhole(Point::ORIGIN, mm(9.0), mm(4.5), mm(12.0), 0.0).unwrap(),
        "keyhole wide" => keyhole(Point { x: mm(3.0), y: mm(4.0) }, mm(8.0), mm(7.0), mm(6.0), 2.0).unwrap(),
        "bow out" => run(&[&[0.0, 0.0], &[20.0, 0.0], &[20.0, 10.0, 5.0], &[0.0, 10.0]]),
        "bow in" => run(&[&[0.0, 0.0], &[40.0, 0.0], &[40.0, 30.0, -20.0], &[0.0, 30.0]]),
        "reflex" => {
            run(&[&[0.0, 0.0], &[60.0, 0.0], &[60.0, 20.0], &[30.0, 20.0, -18.0], &[20.0, 40.0], &[0.0, 40.0, 25.0]])
        }
        "lens" => run(&[&[-15.0, 0.0, 20.0], &[15.0, 0.0, 20.0]]),
        "tab square" => tab(plate(), FRAC_PI_2, 20.0, 12.0, 3.0, 0.0),
        "tab rooted" => tab(plate(), FRAC_PI_2, 20.0, 12.0, 3.0, 4.0),
        "ear on disc" => tab(disc(mm(100.0)).unwrap(), PI / 6.0, 16.0, 9.0, 8.0, 2.0),
        other => panic!("no shape {other}"),
    }
}

#[test]
fn shapes_and_their_offsets_meet_the_polygons() {
    for row in rows(include_str!("../reference/mains/cutouts.csv")) {
        let outline = shape(row.text("shape"));
        close(outline.area().value() * 1e6, row.number("area"), 2e-6, &row.line());
        close(outline.perimeter().value() * 1e3, row.number("perimeter"), 2e-6, &row.line());
        let path = offset(&outline, mm(row.number("r")));
        assert_eq!(path.len(), 1, "{}", row.line());
        close(path[0].area().value() * 1e6, row.number("path_area"), 1e-5, &row.line());
        close(path[0].perimeter().value() * 1e3, row.number("path_perimeter"), 1e-5, &row.line());
    }
}

#[test]
fn convex_runs_grow_by_steiners_law() {
    for name in ["bow out", "lens"] {
        let outline = shape(name);
        let (area, perimeter) = grown_convex(outline.area(), outline.perimeter(), mm(3.0));
        let grown = offset(&outline, mm(3.0));
        close(grown[0].area().value(), area.value(), 1e-9, name);
        close(grown[0].perimeter().value(), perimeter.value(), 1e-9, name);
    }
}

#[test]
fn a_slot_lies_where_it_is_put_and_points_where_it_is_told() {
    let centre = Point { x: mm(12.0), y: mm(-7.0) };
    let slot = slot_at(centre, mm(20.0), mm(6.0), FRAC_PI_2).unwrap();
    let (box_, middle) = (slot.extents(), slot.centroid());
    assert!((box_.width() - mm(6.0)).abs() < mm(1e-9) && (box_.height() - mm(20.0)).abs() < mm(1e-9));
    assert!(middle.distance(centre) < mm(1e-9));
}

#[test]
fn a_sharp_opening_keeps_what_the_law_says() {
    // Four right angles in a path, cut with a tool of radius 2.
    let window = run(&[&[-20.0, -10.0], &[20.0, -10.0], &[20.0, 10.0], &[-20.0, 10.0]]);
    let plate = Plate { outer: disc(mm(100.0)).unwrap(), holes: vec![window] };
    let left = tool_path(&plate, mm(4.0)).unwrap().left_standing;
    close(left.value(), 4.0 * corner_left_standing(mm(2.0), FRAC_PI_2).value(), 1e-6, "four corners");
}
