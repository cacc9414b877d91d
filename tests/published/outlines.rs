//! Outlines, offsets and tool paths against polygons of an independent library and Steiner's laws.
//! Tables in tests/reference/mains; lengths there are in mm.

#![allow(clippy::unwrap_used, reason = "helpers of tests, outside of a test function")]

use std::f64::consts::PI;

use lampwright::physics::mechanics::chord::chords_needed;
use lampwright::physics::mechanics::curve::Point;
use lampwright::physics::mechanics::ellipse::ellipse;
use lampwright::physics::mechanics::kerf::{KerfFault, tool_path};
use lampwright::physics::mechanics::offset::offset;
use lampwright::physics::mechanics::outline::Outline;
use lampwright::physics::mechanics::plate::{Edge, Plate};
use lampwright::physics::mechanics::shapes::{
    Notch, bolt_circle, disc, notched, regular_polygon, rounded_rectangle, slot,
};
use lampwright::quantity::{Metres, SquareMetres};

use super::csv_rows::{close, rows};

fn mm(millimetres: f64) -> Metres {
    Metres::si(millimetres * 1e-3)
}

fn area(outline: &Outline) -> f64 {
    outline.area().value() * 1e6
}

fn perimeter(outline: &Outline) -> f64 {
    outline.perimeter().value() * 1e3
}

fn polygon(points: &[(f64, f64)]) -> Outline {
    Outline::polygon(&points.iter().map(|&(x, y)| Point { x: mm(x), y: mm(y) }).collect::<Vec<_>>())
}

/// Area and perimeter of a convex outline grown by r (Steiner): A + P r + π r², P + 2π r.
pub(crate) fn grown_convex(area: SquareMetres, perimeter: Metres, r: Metres) -> (SquareMetres, Metres) {
    (area + perimeter * r + r * r * PI, perimeter + r * (2.0 * PI))
}

/// Area of a polygon grown by r, inside corners too: A + P r + r² (Σ₊ φ/2 − Σ₋ tan(|φ|/2)) with φ the turning angles;
/// perimeter P + r (Σ₊ φ − 2 Σ₋ tan(|φ|/2)). Valid while no edge vanishes.
fn grown_polygon(polygon: &Outline, r: Metres) -> (SquareMetres, Metres) {
    let mut strip = 0.0;
    for turn in polygon.corners() {
        strip += if turn > 0.0 { turn / 2.0 } else { -libm::tan(-turn / 2.0) };
    }
    let area = polygon.area() + polygon.perimeter() * r + r * r * strip;
    (area, polygon.perimeter() + r * (2.0 * strip))
}

/// Area of a convex polygon shrunk by r: A − P r + r² Σ cot(αᵢ/2), perimeter P − 2 r Σ cot(αᵢ/2), αᵢ inside angles.
/// Valid while no edge vanishes.
fn shrunk_polygon(polygon: &Outline, r: Metres) -> (SquareMetres, Metres) {
    // cot(α/2) = tan(φ/2) with φ = π − α.
    let cotangents: f64 = polygon.corners().iter().map(|turn| libm::tan(turn / 2.0)).sum();
    let area = polygon.area() - polygon.perimeter() * r + r * r * cotangents;
    (area, polygon.perimeter() - r * (2.0 * cotangents))
}

/// What a tool of radius r leaves in one inside corner of angle α: r² (cot(α/2) − (π − α)/2).
pub(crate) fn corner_left_standing(r: Metres, inside_angle: f64) -> SquareMetres {
    let half = inside_angle / 2.0;
    r * r * (libm::cos(half) / libm::sin(half) - (PI - inside_angle) / 2.0)
}

fn named(shape: &str) -> Outline {
    match shape {
        "disc" => disc(mm(200.0)).unwrap(),
        "rounded_rect" => rounded_rectangle(mm(120.0), mm(80.0), mm(10.0)).unwrap(),
        "hexagon" => regular_polygon(6, mm(150.0)).unwrap(),
        // 120 mm across its flats.
        "octagon" => regular_polygon(8, mm(120.0 / libm::cos(PI / 8.0))).unwrap(),
        "ellipse" => ellipse(mm(120.0), mm(80.0), mm(1e-4)).unwrap(),
        "slot" => slot(mm(50.0), mm(8.0)).unwrap(),
        "triangle" => polygon(&[(0.0, 0.0), (40.0, 0.0), (0.0, 30.0)]),
        other => panic!("no shape {other}"),
    }
}

#[test]
fn outlines_and_their_offsets_have_their_areas() {
    for row in rows(include_str!("../reference/mains/outline.csv")) {
        let (outline, r) = (named(row.text("shape")), mm(row.number("offset")));
        close(area(&outline), row.number("area"), 1e-6, &row.line());
        close(perimeter(&outline), row.number("perimeter"), 1e-6, &row.line());
        let grown = offset(&outline, r);
        assert_eq!(grown.len(), 1, "{}", row.line());
        close(area(&grown[0]), row.number("area_off"), 2e-6, &row.line());
        close(perimeter(&grown[0]), row.number("perim_off"), 2e-6, &row.line());
        // Steiner's law for convex outlines, exact.
        let (steiner_area, steiner_perimeter) = grown_convex(outline.area(), outline.perimeter(), r);
        close(area(&grown[0]), steiner_area.value() * 1e6, 1e-9, &row.line());
        close(perimeter(&grown[0]), steiner_perimeter.value() * 1e3, 1e-9, &row.line());
        // There and back is the part again.
        let back = offset(&grown[0], -r);
        assert_eq!(back.len(), 1);
        close(area(&back[0]), area(&outline), 1e-8, &row.line());
    }
}

#[test]
fn offsets_of_lines_and_arcs_stay_few_pieces() {
    for (shape, pieces) in [("disc", 2), ("rounded_rect", 8), ("slot", 6), ("hexagon", 12), ("triangle", 6)] {
        let grown = offset(&named(shape), mm(1.0));
        assert_eq!(grown[0].vertices.len(), pieces, "{shape}: arcs stay arcs");
    }
}

#[test]
fn inside_corners_follow_their_law() {
    // An L of two arms, 60 long and 20 wide, offset by 4: A 3006.832, P 263.416.
    let l = polygon(&[(0.0, 0.0), (60.0, 0.0), (60.0, 20.0), (20.0, 20.0), (20.0, 60.0), (0.0, 60.0)]);
    close(area(&l), 2000.0, 1e-12, "area");
    let grown = offset(&l, mm(4.0));
    let (law_area, law_perimeter) = grown_polygon(&l, mm(4.0));
    close(area(&grown[0]), 3006.832, 1e-6, "area");
    close(perimeter(&grown[0]), 263.416, 1e-5, "perimeter");
    close(area(&grown[0]), law_area.value() * 1e6, 1e-9, "law");
    close(perimeter(&grown[0]), law_perimeter.value() * 1e3, 1e-9, "law");
}

#[test]
fn shrinking_keeps_corners_sharp() {
    for shape in ["hexagon", "octagon", "triangle"] {
        let outline = named(shape);
        let small = offset(&outline, mm(-3.0));
        let (law_area, law_perimeter) = shrunk_polygon(&outline, mm(3.0));
        close(area(&small[0]), law_area.value() * 1e6, 1e-9, shape);
        close(perimeter(&small[0]), law_perimeter.value() * 1e3, 1e-9, shape);
    }
}

fn plate(name: &str) -> Plate {
    let notch = |angle: f64, width, depth, radius| Notch {
        angle: angle.to_radians(),
        width: mm(width),
        depth: mm(depth),
        radius: mm(radius),
    };
    let box_ = || rounded_rectangle(mm(100.0), mm(60.0), mm(5.0)).unwrap();
    match name {
        "disc notched" => Plate::solid(notched(&disc(mm(200.0)).unwrap(), notch(90.0, 12.0, 6.0, 2.0)).unwrap()),
        "disc notched twice" => {
            let once = notched(&disc(mm(150.0)).unwrap(), notch(0.0, 8.0, 5.0, 1.6)).unwrap();
            Plate::solid(notched(&once, notch(120.0, 8.0, 5.0, 1.6)).unwrap())
        }
        "disc sharp notch" => Plate::solid(notched(&disc(mm(120.0)).unwrap(), notch(45.0, 10.0, 4.0, 0.0)).unwrap()),
        "rectangle notched" => {
            let outer = rounded_rectangle(mm(120.0), mm(80.0), mm(10.0)).unwrap();
            Plate::solid(notched(&outer, notch(90.0, 20.0, 8.0, 3.0)).unwrap())
        }
        "disc with bolts" => {
            Plate { outer: disc(mm(200.0)).unwrap(), holes: bolt_circle(4, mm(180.0), mm(4.2), PI / 4.0).unwrap() }
        }
        "ring" => Plate::ring(mm(200.0), mm(80.0)).unwrap(),
        "plate with slot" => Plate { outer: box_(), holes: vec![slot(mm(30.0), mm(6.0)).unwrap()] },
        "plate with window" => {
            let window = rounded_rectangle(mm(40.0), mm(20.0), Metres::ZERO).unwrap();
            Plate { outer: box_(), holes: vec![window] }
        }
        other => panic!("no plate {other}"),
    }
}

#[test]
fn plates_and_tool_paths_meet_the_polygons() {
    for row in rows(include_str!("../reference/mains/offsets.csv")) {
        let plate = plate(row.text("plate"));
        assert_eq!(plate.faults(), [], "{}", row.line());
        close(plate.area().value() * 1e6, row.number("area"), 3e-6, &row.line());
        close(perimeter(&plate.outer), row.number("outer_perimeter"), 3e-6, &row.line());
        let tool = tool_path(&plate, mm(2.0 * row.number("r"))).unwrap();
        close(area(&tool.path.outer), row.number("outer_path_area"), 3e-6, &row.line());
        close(perimeter(&tool.path.outer), row.number("outer_path_perimeter"), 3e-6, &row.line());
        let holes: f64 = tool.path.holes.iter().map(area).sum();
        let edges: f64 = tool.path.holes.iter().map(perimeter).sum();
        assert!((holes - row.number("hole_path_area")).abs() < 5e-3, "{}: {holes}", row.line());
        assert!((edges - row.number("hole_path_perimeter")).abs() < 5e-3, "{}: {edges}", row.line());
        let left = tool.left_standing.value() * 1e6;
        assert!((left - row.number("left_standing")).abs() < 3e-3, "{}: {left}", row.line());
        assert_eq!(tool.path.faults(), [], "{}", row.line());
    }
}

#[test]
fn what_a_tool_leaves_in_corners_follows_the_law() {
    let tool = tool_path(&plate("plate with window"), mm(6.0)).unwrap();
    let four = corner_left_standing(mm(3.0), PI / 2.0).value() * 4.0;
    close(tool.left_standing.value(), four, 1e-6, "four right angles");
    close(four * 1e6, 4.0 * 9.0 * (1.0 - PI / 4.0), 1e-12, "r² (1 - π/4) each");
}

#[test]
fn a_feature_that_vanishes_is_an_error() {
    let bolts = plate("disc with bolts");
    assert_eq!(tool_path(&bolts, mm(5.0)).unwrap_err(), KerfFault::Vanishes(Edge::Hole(0)));
    // Two wide chambers joined by a neck of 4 mm: a tool of 6 mm cannot pass.
    let bone = polygon(&[
        (-30.0, -15.0),
        (-10.0, -15.0),
        (-10.0, -2.0),
        (10.0, -2.0),
        (10.0, -15.0),
        (30.0, -15.0),
        (30.0, 15.0),
        (10.0, 15.0),
        (10.0, 2.0),
        (-10.0, 2.0),
        (-10.0, 15.0),
        (-30.0, 15.0),
    ]);
    let pocket = Plate { outer: disc(mm(200.0)).unwrap(), holes: vec![bone] };
    assert_eq!(tool_path(&pocket, mm(6.0)).unwrap_err(), KerfFault::Splits(Edge::Hole(0), 2));
    assert!(tool_path(&pocket, mm(3.0)).is_ok());
    assert_eq!(tool_path(&pocket, mm(-1.0)).unwrap_err(), KerfFault::Kerf);
}

#[test]
fn a_notch_narrower_than_the_tool_is_no_path() {
    let narrow = Notch { angle: 0.0, width: mm(2.0), depth: mm(5.0), radius: Metres::ZERO };
    let plate = Plate::solid(notched(&disc(mm(100.0)).unwrap(), narrow).unwrap());
    let Err(KerfFault::Missed(Edge::Outer, deep)) = tool_path(&plate, mm(3.175)) else { panic!("it stays whole") };
    // The round of 1.5875 mm rests on both lips of the notch: (r − √(r² − 1)) below them, about 0.354 mm of 5 mm.
    let dips = 1.5875 - libm::sqrt(1.5875 * 1.5875 - 1.0);
    assert!((deep - mm(5.0 - dips)).abs() < mm(0.03), "{deep}");
    assert!(tool_path(&plate, mm(1.9)).is_ok());
}

#[test]
fn kerf_moves_diameters_by_itself() {
    for row in rows(include_str!("../reference/mains/kerf.csv")) {
        let hole = Plate::ring(mm(row.number("part_D")), mm(row.number("hole_d"))).unwrap();
        let path = tool_path(&hole, mm(row.number("kerf_or_tool"))).unwrap().path;
        let diameter = |outline: &Outline| outline.as_circle().unwrap().1.value() * 2e3;
        close(diameter(&path.outer), row.number("path_D_outer"), 1e-9, &row.line());
        close(diameter(&path.holes[0]), row.number("path_d_hole"), 1e-9, &row.line());
    }
}

#[test]
fn ellipses_have_their_perimeter() {
    for row in rows(include_str!("../reference/mains/ellipse_perimeter.csv")) {
        let (a, b) = (mm(row.number("a")), mm(row.number("b")));
        let arcs = ellipse(a * 2.0, b * 2.0, mm(1e-4)).unwrap();
        close(perimeter(&arcs), row.number("perimeter_exact"), 1e-6, &row.line());
        close(area(&arcs), PI * row.number("a") * row.number("b"), 1e-6, &row.line());
    }
}

#[test]
fn chords_are_as_few_as_their_sagitta_allows() {
    for row in rows(include_str!("../reference/mains/chords_needed.csv")) {
        let (radius, tolerance) = (mm(row.number("r")), mm(row.number("eps")));
        let n = chords_needed(radius, tolerance);
        assert_eq!(n, row.count("n"), "{}", row.line());
        let sagitta = |n: usize| radius * (1.0 - libm::cos(PI / n as f64));
        assert!(sagitta(n) <= tolerance && sagitta(n - 1) > tolerance, "{}", row.line());
    }
}
