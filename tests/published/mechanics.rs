//! Outlines, kerf, seats, sag, nesting and tiling against the tables in tests/reference/mains.
//! Areas of offsets come from polygons of an independent library and from Steiner's laws.

use std::f64::consts::PI;

use lampwright::physics::mechanics::chord::{chords_needed, sagitta};
use lampwright::physics::mechanics::curve::Point;
use lampwright::physics::mechanics::ellipse::{ellipse, ellipse_perimeter};
use lampwright::physics::mechanics::kerf::{
    Edge, KerfFault, corner_left_standing, grown_convex, grown_polygon, offset, shrunk_polygon, tool_path,
};
use lampwright::physics::mechanics::nesting::{Stock, discs, rectangles};
use lampwright::physics::mechanics::outline::Outline;
use lampwright::physics::mechanics::plate::Plate;
use lampwright::physics::mechanics::sag::{
    Sheet, Support, clamped_rectangle_coefficient, disc_sag, disc_stress, is_small, largest_disc,
    rectangle_coefficient, rectangle_sag,
};
use lampwright::physics::mechanics::seat::{Pair, Size, State};
use lampwright::physics::mechanics::shapes::{
    Across, Notch, bolt_circle, disc, notched, regular_polygon, rounded_rectangle, slot,
};
use lampwright::physics::mechanics::{materials, print, seat, stability, tiling};
use lampwright::quantity::{Kelvin, KilogramsPerCubicMetre, Metres, PerKelvin, SquareMetres};

use super::csv_rows::{Row, close, rows};

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

fn named(shape: &str) -> Outline {
    match shape {
        "disc" => disc(mm(200.0)).unwrap(),
        "rounded_rect" => rounded_rectangle(mm(120.0), mm(80.0), mm(10.0)).unwrap(),
        "hexagon" => regular_polygon(6, Across::Corners(mm(150.0))).unwrap(),
        "octagon" => regular_polygon(8, Across::Flats(mm(120.0))).unwrap(),
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
        assert!(outline.is_convex() && grown[0].is_convex(), "{}", row.line());
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
    let fault = tool_path(&bolts, mm(5.0)).unwrap_err();
    assert_eq!(fault, KerfFault::Vanishes(Edge::Hole(0), mm(5.0)));
    let text = fault.to_string();
    assert!(text.contains("hole 1") && text.contains("5 mm"), "{text}");
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
    assert_eq!(tool_path(&pocket, mm(-1.0)).unwrap_err(), KerfFault::Kerf(mm(-1.0)));
}

#[test]
fn a_notch_narrower_than_the_tool_is_left_standing() {
    let narrow = Notch { angle: 0.0, width: mm(2.0), depth: mm(5.0), radius: Metres::ZERO };
    let plate = Plate::solid(notched(&disc(mm(100.0)).unwrap(), narrow).unwrap());
    let tool = tool_path(&plate, mm(3.175)).unwrap();
    let notch = disc(mm(100.0)).unwrap().area() - plate.area();
    assert!(tool.left_standing.value() > 0.9 * notch.value(), "nearly the whole notch stays");
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
        close(ellipse_perimeter(a, b).value() * 1e3, row.number("perimeter_exact"), 2e-7, &row.line());
        let arcs = ellipse(a * 2.0, b * 2.0, mm(1e-4)).unwrap();
        close(perimeter(&arcs), row.number("perimeter_exact"), 1e-6, &row.line());
        close(area(&arcs), PI * row.number("a") * row.number("b"), 1e-6, &row.line());
    }
}

#[test]
fn chords_and_their_sagitta() {
    for row in rows(include_str!("../reference/mains/chord_sagitta.csv")) {
        let found = sagitta(mm(row.number("R")), row.count("n"));
        close(found.value() * 1e3, row.number("sagitta"), 1e-6, &row.line());
    }
    for row in rows(include_str!("../reference/mains/chords_needed.csv")) {
        let (radius, tolerance) = (mm(row.number("r")), mm(row.number("eps")));
        let n = chords_needed(radius, tolerance);
        assert_eq!(n, row.count("n"), "{}", row.line());
        assert!(sagitta(radius, n) <= tolerance && sagitta(radius, n - 1) > tolerance, "{}", row.line());
    }
}

/// The words of the tables that differ from ours.
fn material(word: &str) -> &'static materials::Material {
    let ours = match word {
        "PMMA" => "acrylic",
        "PC" => "polycarbonate",
        "wood_par" => "wood-along",
        "wood_perp" => "wood-across",
        other => &other.to_lowercase(),
    };
    materials::find(ours).unwrap_or_else(|| panic!("no material {word}"))
}

#[test]
fn free_growth_of_materials() {
    for row in rows(include_str!("../reference/mains/expansion.csv")) {
        let alpha = material(row.text("material")).expansion;
        close(alpha.value() * 1e6, row.number("alpha_1e-6"), 1e-9, &row.line());
        let growth = materials::free_growth(alpha, mm(row.number("L_mm")), Kelvin::si(row.number("dT")));
        close(growth.value() * 1e3, row.number("delta_mm"), 1e-6, &row.line());
    }
}

#[test]
fn seats_of_discs() {
    for row in rows(include_str!("../reference/mains/thermalfit.csv")) {
        let disc = Size { nominal: mm(row.number("D")), tolerance: mm(row.number("tD")) };
        let (tolerance, wanted) = (mm(row.number("tS")), mm(row.number("c_req")));
        let pair = Pair { disc: material(row.text("disc")).expansion, seat: material(row.text("seat")).expansion };
        let state = State::heat(Kelvin::si(row.number("dT_disc")), Kelvin::si(row.number("dT_seat")));
        let worst = seat::seat_worst_case(disc, tolerance, pair, state, wanted);
        close(worst.value() * 1e3, row.number("S_worst"), 1e-6, &row.line());
        let rss = seat::seat_statistical(disc, tolerance, pair, state, wanted);
        close(rss.value() * 1e3, row.number("S_rss"), 1e-6, &row.line());
        let rounded = seat::rounded_up(worst, mm(0.05));
        close(rounded.value() * 1e3, row.number("S_worst_up_0.05"), 1e-9, &row.line());
        // Loosest when both are 20 K below the making.
        let cold = State::heat(Kelvin::si(-20.0), Kelvin::si(-20.0));
        let size = Size { nominal: worst, tolerance };
        let gap = seat::greatest_clearance(disc, size, pair, cold);
        close(gap.value() * 1e3, row.number("max_clear_at_-20K"), 1e-4, &row.line());
        let lip = row.number("lip_needed_for_1mm_overlap_fully_shifted");
        close((gap + mm(1.0)).value() * 1e3, lip, 1e-4, &row.line());
        assert!(seat::least_clearance(disc, size, pair, state) >= wanted * (1.0 - 1e-9));
    }
}

#[test]
fn lips_and_screw_holes() {
    for row in rows(include_str!("../reference/mains/lip.csv")) {
        let gap = mm(row.number("seat_max")) - mm(row.number("disc_min"));
        let lip = mm(row.number("lip_w"));
        close(gap.value() * 1e3, row.number("C_max"), 1e-9, &row.line());
        let shifted = seat::lip_overlap_shifted(lip, gap);
        close(shifted.value() * 1e3, row.number("overlap_shifted"), 1e-9, &row.line());
        close(seat::lip_overlap_centred(lip, gap).value() * 1e3, row.number("overlap_centred"), 1e-9, &row.line());
        let wanted = seat::overlap_wanted(mm(row.number("seat_max")));
        close(wanted.value() * 1e3, row.number("min_overlap"), 1e-9, &row.line());
        assert_eq!(shifted >= wanted, row.text("ok") == "True", "{}", row.line());
    }
    for row in rows(include_str!("../reference/mains/screw_hole.csv")) {
        let screw = seat::MovingScrew {
            screw: mm(row.number("screw_d")),
            distance: mm(row.number("dist_from_fixed_point")),
            position: mm(row.number("pos_tol")),
        };
        let pair = Pair { disc: PerKelvin::si(row.number("a_sheet")), seat: PerKelvin::si(row.number("a_frame")) };
        let state = State::heat(Kelvin::si(row.number("dT_sheet")), Kelvin::si(row.number("dT_frame")));
        let (moved, hole) = (seat::screw_movement(screw, pair, state), seat::screw_hole(screw, pair, state));
        assert!((moved.value() * 1e3 - row.number("move")).abs() < 6e-5, "{}", row.line());
        assert!((hole.value() * 1e3 - row.number("hole_d_min")).abs() < 6e-5, "{}", row.line());
    }
}

fn sheet(row: &Row) -> Sheet {
    let material = material(row.text("mat"));
    Sheet {
        thickness: mm(row.number("t_mm")),
        modulus: material.modulus.unwrap(),
        poisson: material.poisson.unwrap(),
        density: material.density,
    }
}

#[test]
fn sag_of_discs() {
    for row in rows(include_str!("../reference/mains/disc_sag.csv")) {
        let (sheet, d) = (sheet(&row), mm(row.number("dia_mm")));
        close(sheet.weight_per_area().value(), row.number("q_Pa"), 1e-6, &row.line());
        close(sheet.stiffness().value(), row.number("D_Nm"), 1e-6, &row.line());
        close(disc_sag(&sheet, d, Support::Simple).value() * 1e3, row.number("w_ss_mm"), 1e-6, &row.line());
        close(disc_sag(&sheet, d, Support::Clamped).value() * 1e3, row.number("w_clamped_mm"), 1e-6, &row.line());
        close(disc_stress(&sheet, d, Support::Simple).value() * 1e-6, row.number("sigma_ss_MPa"), 1e-6, &row.line());
        let mass = Plate::solid(disc(d).unwrap()).mass(sheet.thickness, sheet.density);
        close(mass.value() * 1e3, row.number("mass_g"), 1e-6, &row.line());
    }
    for row in rows(include_str!("../reference/mains/max_span.csv")) {
        let (sheet, sag) = (sheet(&row), mm(row.number("sag_mm")));
        close(largest_disc(&sheet, sag).value() * 1e3, row.number("max_dia_ss_mm"), 1e-6, &row.line());
        let old = Sheet { modulus: materials::creep_modulus(sheet.modulus), ..sheet };
        close(largest_disc(&old, sag).value() * 1e3, row.number("max_dia_creep_E/3_mm"), 1e-6, &row.line());
    }
}

#[test]
fn sag_of_rectangles() {
    for row in rows(include_str!("../reference/mains/plate_coef.csv")) {
        let ratio = row.text("ratio").parse().unwrap_or(f64::INFINITY);
        if ratio.is_finite() {
            close(rectangle_coefficient(ratio), row.number("ss_exact_series"), 1e-6, &row.line());
        }
        if let Some(clamped) = row.text("clamped_fd").parse::<f64>().ok().filter(|c| c.is_finite() && ratio <= 2.0) {
            assert!((clamped_rectangle_coefficient(ratio) - clamped).abs() < 3e-6, "{}", row.line());
        }
    }
    for row in rows(include_str!("../reference/mains/rect_sag.csv")) {
        let (sheet, a, b) = (sheet(&row), mm(row.number("a_mm")), mm(row.number("b_mm")));
        let sag = rectangle_sag(&sheet, a, b, Support::Simple);
        close(sag.value() * 1e3, row.number("w_ss_mm"), 1e-6, &row.line());
        assert_eq!(sag, rectangle_sag(&sheet, b, a, Support::Simple));
        assert_eq!(is_small(sag, sheet.thickness), row.number("w_ss_mm") <= row.number("t_mm") / 2.0);
        let area: SquareMetres = a * b;
        close((sheet.density * (area * sheet.thickness)).value() * 1e3, row.number("mass_g"), 1e-6, &row.line());
    }
}

fn stock(row: &Row) -> Stock {
    let side = |column| mm(row.number(column));
    Stock { width: side("W"), height: side("H"), gap: side("gap"), margin: side("margin") }
}

#[test]
fn discs_and_rectangles_on_a_sheet() {
    for row in rows(include_str!("../reference/mains/nesting.csv")) {
        let found = discs(stock(&row), mm(row.number("d")));
        let counts =
            [found.grid, found.staggered_along, found.staggered_across, found.mixed, found.best(), found.bound];
        let columns = ["grid", "hex_rows_along_W", "hex_rows_along_H", "mixed", "best", "oler_upper_bound"];
        assert_eq!(counts, columns.map(|column| row.count(column)), "{}", row.line());
    }
    for row in rows(include_str!("../reference/mains/nesting_rect.csv")) {
        let found = rectangles(stock(&row), mm(row.number("w")), mm(row.number("h")));
        let counts = [found.one_way, found.one_cut];
        assert_eq!(counts, ["one_way", "one_cut"].map(|column| row.count(column)), "{}", row.line());
        // Ours counts the gaps as area too, so it is at most the plain quotient of areas.
        assert!((found.one_cut..=row.count("area_bound")).contains(&found.bound), "{}", row.line());
    }
}

#[test]
fn full_size_drawings_over_pages() {
    for row in rows(include_str!("../reference/mains/tiling.csv")) {
        let page = tiling::find(row.text("page")).unwrap();
        let (w, h) = (mm(row.number("W")), mm(row.number("H")));
        let (margin, overlap) = (mm(row.number("margin")), mm(row.number("overlap")));
        for (landscape, columns) in
            [(false, ["nx_port", "ny_port", "sheets_port"]), (true, ["nx_land", "ny_land", "sheets_land"])]
        {
            let found = tiling::tiling_of(w, h, page, landscape, margin, overlap).unwrap();
            let counts = [found.columns, found.rows, found.sheets()];
            assert_eq!(counts, columns.map(|column| row.count(column)), "{}", row.line());
        }
        let best = tiling::best_tiling(w, h, page, margin, overlap).unwrap();
        assert_eq!(best.landscape, row.text("choose") == "landscape", "{}", row.line());
    }
}

#[test]
fn lamps_that_stand() {
    for row in rows(include_str!("../reference/mains/stability.csv")) {
        let angle = stability::tipping_angle(mm(row.number("r_support")), mm(row.number("h_cog")));
        close(angle.value().to_degrees(), row.number("tip_deg"), 1e-6, &row.line());
        for (place, column) in [(stability::Place::Portable, "ok6"), (stability::Place::Children, "ok15")] {
            let stands = angle >= stability::tilt_wanted(place).angle;
            assert_eq!(stands, row.text(column) == "True", "{}", row.line());
        }
    }
}

#[test]
fn printed_bodies() {
    for row in rows(include_str!("../reference/mains/print_solid.csv")) {
        let sizes: Vec<f64> = row
            .text("param")
            .split(['x', ' '])
            .filter_map(|word| word.trim_start_matches(['R', 'H', 'w']).parse().ok())
            .collect();
        let volume = match (row.text("shape"), sizes.as_slice()) {
            ("box", [l, w, h, wall]) => {
                print::box_volume(mm(*l), mm(*w), mm(*h), mm(*wall), row.text("param").ends_with("True"))
            }
            ("cup", [r, h, wall]) => print::cup_volume(mm(*r), mm(*h), mm(*wall)),
            ("sphere shell", [r, wall]) => print::sphere_shell_volume(mm(*r), mm(*wall)),
            _ => panic!("{}", row.line()),
        };
        close(volume.value() * 1e9, row.number("volume_mm3"), 1e-6, &row.line());
        let density = KilogramsPerCubicMetre::si(material(row.text("mat")).density.value());
        close((density * volume).value() * 1e3, row.number("mass_g_100pct"), 1e-6, &row.line());
        let length = print::filament_length(volume, print::FILAMENT);
        close(length.value(), row.number("filament_m_1.75"), 1e-6, &row.line());
    }
    for row in rows(include_str!("../reference/mains/print_infill.csv")) {
        let solid = print::PrintedSolid {
            volume: lampwright::quantity::CubicMetres::si(row.number("V_mm3") * 1e-9),
            surface: SquareMetres::si(row.number("A_mm2") * 1e-6),
            skin: mm(row.number("wall")),
            infill: row.number("infill"),
        };
        let mass = print::printed_mass(&solid, material(row.text("mat")).density);
        close(mass.value() * 1e3, row.number("mass_g"), 1e-6, &row.line());
    }
}
