//! Seats, lips, sag, nesting, stability and printed bodies against the tables in tests/reference/mains.
//! Lengths in the tables are in mm.

#![allow(clippy::unwrap_used, reason = "helpers of tests, outside of a test function")]

use lampwright::physics::conductors::hang;
use lampwright::physics::mechanics::layout::rectangle_layout;
use lampwright::physics::mechanics::nesting::{Stock, discs};
use lampwright::physics::mechanics::plate::Plate;
use lampwright::physics::mechanics::sag::{Sheet, disc_sag, rectangle_coefficient, rectangle_sag};
use lampwright::physics::mechanics::seat::{Pair, Size, State};
use lampwright::physics::mechanics::shapes::disc;
use lampwright::physics::mechanics::{materials, print, seat, stability};
use lampwright::quantity::{CubicMetres, Kelvin, Metres, SquareMetres};

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
fn materials_grow_with_heat() {
    for row in rows(include_str!("../reference/mains/expansion.csv")) {
        let alpha = material(row.text("material")).expansion;
        close(alpha.value() * 1e6, row.number("alpha_1e-6"), 1e-9, &row.line());
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
fn lips_cover_what_is_loose() {
    for row in rows(include_str!("../reference/mains/lip.csv")) {
        let gap = mm(row.number("seat_max")) - mm(row.number("disc_min"));
        let lip = mm(row.number("lip_w"));
        close(gap.value() * 1e3, row.number("C_max"), 1e-9, &row.line());
        let shifted = seat::lip_overlap_shifted(lip, gap);
        close(shifted.value() * 1e3, row.number("overlap_shifted"), 1e-9, &row.line());
        let wanted = seat::overlap_wanted(mm(row.number("seat_max")));
        close(wanted.value() * 1e3, row.number("min_overlap"), 1e-9, &row.line());
        assert_eq!(shifted >= wanted, row.text("ok") == "True", "{}", row.line());
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
        close(disc_sag(&sheet, d).value() * 1e3, row.number("w_ss_mm"), 1e-6, &row.line());
        let mass = Plate::solid(disc(d).unwrap()).mass(sheet.thickness, sheet.density);
        close(mass.value() * 1e3, row.number("mass_g"), 1e-6, &row.line());
    }
}

#[test]
fn sag_of_rectangles() {
    for row in rows(include_str!("../reference/mains/plate_coef.csv")) {
        let ratio = row.text("ratio").parse().unwrap_or(f64::INFINITY);
        if ratio.is_finite() {
            close(rectangle_coefficient(ratio), row.number("ss_exact_series"), 1e-6, &row.line());
        }
    }
    for row in rows(include_str!("../reference/mains/rect_sag.csv")) {
        let (sheet, a, b) = (sheet(&row), mm(row.number("a_mm")), mm(row.number("b_mm")));
        let sag = rectangle_sag(&sheet, a, b);
        close(sag.value() * 1e3, row.number("w_ss_mm"), 1e-6, &row.line());
        assert_eq!(sag, rectangle_sag(&sheet, b, a));
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
        let (w, h) = (mm(row.number("w")), mm(row.number("h")));
        let laid = |w, h, turn| rectangle_layout(stock(&row), w, h, turn).places.len();
        let counts = [laid(w, h, false).max(laid(h, w, false)), laid(w, h, true)];
        assert_eq!(counts, ["one_way", "one_cut"].map(|column| row.count(column)), "{}", row.line());
        assert!(counts[1] <= row.count("area_bound"), "{}", row.line());
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
        let volume = CubicMetres::si(row.number("volume_mm3") * 1e-9);
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
        let mass = material(row.text("mat")).density * print::plastic_volume(&solid);
        close(mass.value() * 1e3, row.number("mass_g"), 1e-6, &row.line());
    }
}

fn number(value: &serde_json::Value) -> f64 {
    value.as_f64().unwrap()
}

fn placement(key: &str) -> Vec<serde_json::Value> {
    let all: serde_json::Value = serde_json::from_str(include_str!("../reference/mains/placement.json")).unwrap();
    let list = all[key].as_array().unwrap().clone();
    assert!(!list.is_empty());
    list
}

#[test]
fn cords_bend_in_the_room_they_have() {
    for row in placement("cord_bend") {
        let (od, radius) = (mm(number(&row["od"])), mm(number(&row["inner_r"])));
        let straight = mm(number(&row["depth_from_wall"])) - radius - od;
        let room = hang::entry_room(od, straight, radius);
        close(room.side.value() * 1e3, number(&row["side_run"]), 1e-9, &row.to_string());
    }
}
