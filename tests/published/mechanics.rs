//! Seats, lips, sag, nesting, tiling, stability and printed bodies against the tables in tests/reference/mains.
//! Lengths in the tables are in mm.

#![allow(clippy::unwrap_used, reason = "helpers of tests, outside of a test function")]

use lampwright::physics::conductors::hang;
use lampwright::physics::mechanics::fit::{
    Footprint, Part, Space, gap, margin, shelves, tilted_cylinder_half, tilted_cylinder_reach,
};
use lampwright::physics::mechanics::nesting::{Stock, discs, rectangles};
use lampwright::physics::mechanics::plate::Plate;
use lampwright::physics::mechanics::sag::{
    Sheet, Support, clamped_rectangle_coefficient, disc_sag, disc_stress, is_small, largest_disc,
    rectangle_coefficient, rectangle_sag,
};
use lampwright::physics::mechanics::seat::{Pair, Size, State};
use lampwright::physics::mechanics::shapes::disc;
use lampwright::physics::mechanics::{materials, print, seat, stability, tiling};
use lampwright::quantity::{CubicMetres, Kelvin, Metres, PerKelvin, SquareMetres};

use super::csv_rows::{Row, close, rows};

fn mm(millimetres: f64) -> Metres {
    Metres::si(millimetres * 1e-3)
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
        if let Some(clamped) = row.text("clamped").parse::<f64>().ok().filter(|c| c.is_finite() && ratio <= 2.0) {
            close(clamped_rectangle_coefficient(ratio), clamped, 1e-6, &row.line());
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
        let density = material(row.text("mat")).density;
        close((density * volume).value() * 1e3, row.number("mass_g_100pct"), 1e-6, &row.line());
        let length = print::filament_length(volume, print::FILAMENT);
        close(length.value(), row.number("filament_m_1.75"), 1e-6, &row.line());
    }
    for row in rows(include_str!("../reference/mains/print_infill.csv")) {
        let solid = print::PrintedSolid {
            volume: CubicMetres::si(row.number("V_mm3") * 1e-9),
            surface: SquareMetres::si(row.number("A_mm2") * 1e-6),
            skin: mm(row.number("wall")),
            infill: row.number("infill"),
        };
        let mass = print::printed_mass(&solid, material(row.text("mat")).density);
        close(mass.value() * 1e3, row.number("mass_g"), 1e-6, &row.line());
    }
}

fn number(value: &serde_json::Value) -> f64 {
    value.as_f64().unwrap()
}

fn triple(value: &serde_json::Value) -> [f64; 3] {
    [0, 1, 2].map(|axis| number(&value[axis]))
}

fn placement(key: &str) -> Vec<serde_json::Value> {
    let all: serde_json::Value = serde_json::from_str(include_str!("../reference/mains/placement.json")).unwrap();
    let list = all[key].as_array().unwrap().clone();
    assert!(!list.is_empty());
    list
}

#[test]
fn parts_in_a_sphere() {
    for row in placement("cyl_in_sphere") {
        let centre = triple(&row["c"]).map(mm);
        let (axis, half, radius) = (triple(&row["u"]), mm(number(&row["l"])), mm(number(&row["r"])));
        let reach = tilted_cylinder_reach(centre, axis, half, radius);
        close(reach.value() * 1e3, number(&row["far"]), 1e-6, &row.to_string());
        if axis == [0.0, 0.0, 1.0] {
            let left = margin(&Part::Upright { centre, radius, half }, &Space::Sphere(mm(number(&row["R"]))));
            close(left.value() * 1e3, number(&row["margin"]), 1e-5, &row.to_string());
        }
    }
    for row in placement("box_in_sphere") {
        let part = Part::Block { centre: triple(&row["c"]).map(mm), half: triple(&row["h"]).map(mm) };
        let left = margin(&part, &Space::Sphere(mm(number(&row["R"]))));
        close(left.value() * 1e3, number(&row["margin"]), 1e-5, &row.to_string());
    }
    for row in placement("cyl_extent") {
        let half = tilted_cylinder_half(triple(&row["u"]), mm(number(&row["l"])), mm(number(&row["r"])));
        for (found, expected) in half.iter().zip(triple(&row["half"])) {
            close(found.value() * 1e3, expected, 1e-6, &row.to_string());
        }
    }
}

#[test]
fn gaps_between_parts() {
    let block = |a: &serde_json::Value, at: usize| Part::Block {
        centre: triple(&a[at]).map(mm),
        half: triple(&a[at + 1]).map(mm),
    };
    for row in placement("aabb") {
        let found = gap(&block(&row["a"], 0), &block(&row["a"], 2));
        close(found.value() * 1e3, number(&row["dist"]), 1e-6, &row.to_string());
    }
    for row in placement("vcyl_aabb") {
        let a = &row["a"];
        let post = Part::Upright { centre: triple(&a[0]).map(mm), radius: mm(number(&a[1])), half: mm(number(&a[2])) };
        let found = gap(&post, &block(a, 3));
        close(found.value() * 1e3, number(&row["dist"]), 1e-6, &row.to_string());
    }
}

#[test]
fn parts_on_shelves() {
    for row in placement("ffdh") {
        let part = |p: &serde_json::Value| Footprint {
            name: p[0].as_str().unwrap().into(),
            width: mm(number(&p[1])),
            depth: mm(number(&p[2])),
        };
        let parts: Vec<Footprint> = row["parts"].as_array().unwrap().iter().map(part).collect();
        let side = |key: &str| mm(number(&row[key]));
        let (placed, depth) = shelves(&parts, side("W"), side("gap"), side("wall")).unwrap();
        close(depth.value() * 1e3, number(&row["height"]), 1e-9, &row.to_string());
        assert_eq!(placed.len(), parts.len());
        for one in placed {
            let expected = &row["pos"][&one.name];
            close(one.x.value() * 1e3, number(&expected[0]), 1e-9, &one.name);
            close(one.y.value() * 1e3, number(&expected[1]), 1e-9, &one.name);
        }
    }
    for row in placement("cord_bend") {
        let (od, radius) = (mm(number(&row["od"])), mm(number(&row["inner_r"])));
        let straight = mm(number(&row["depth_from_wall"])) - radius - od;
        let room = hang::entry_room(od, straight, radius);
        close(room.side.value() * 1e3, number(&row["side_run"]), 1e-9, &row.to_string());
    }
}
