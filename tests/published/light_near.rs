//! Arrays, boxes, blur and evenness behind the sheet, against series and ray simulations.
//! Tolerances: formulas 1e-7 (the vectors' digits); simulations as stated at each test.

use lampwright::physics::light::beam::{Source, blur, distance_for, exponent, first_harmonic, illuminance, remainder};
use lampwright::physics::light::cavity::Cavity;
use lampwright::physics::light::evenness::{Grid, Seen, direct};
use lampwright::physics::light::face::{Panel, mean_luminance, rectangle_illuminance};
use lampwright::quantity::{CandelasPerSquareMetre, Lumens, Metres, Radians, SquareMetres};

use super::csv_rows::close;
use super::light_vectors::{list, near, number, numbers, vectors};

const fn mm(value: f64) -> Metres {
    Metres::si(value * 1e-3)
}

#[test]
fn beams_have_the_exponent_of_their_half_angle() {
    for row in list(&vectors("vectors_final.json"), "m_from_half_angle") {
        let m = exponent(Radians::si(number(row, "half_angle_deg").to_radians()));
        close(m, number(row, "m"), 1e-7, &row.to_string());
    }
}

/// Bessel functions by quadrature there, by trapezoids here.
#[test]
fn what_is_left_of_a_pattern() {
    for row in list(&vectors("vectors_extra.json")["bessel"], "samples") {
        close(remainder(number(row, "nu"), number(row, "z")), number(row, "G"), 1e-9, &row.to_string());
    }
}

#[test]
fn endless_grids_have_their_first_harmonic() {
    for row in list(&vectors("vectors_near.json"), "infinite_arrays") {
        let found = first_harmonic(number(row, "m"), number(row, "h_over_p"));
        near(found, number(row, "square_first_harm"), 2e-8, &row.to_string());
    }
}

#[test]
fn blur_shrinks_the_first_harmonic() {
    for row in list(&vectors("vectors_near.json"), "blur") {
        let pitch = number(row, "pitch");
        let kept = blur(mm(pitch), mm(number(row, "patch_radius")), mm(number(row, "sheet_blur_length")));
        close(kept, number(row, "jinc") * number(row, "slab"), 1e-7, &row.to_string());
        let left = first_harmonic(1.0, number(row, "h") / pitch) * kept;
        close(left, number(row, "first_harmonic_pk_over_mean"), 1e-7, &row.to_string());
        let far = distance_for(1.0, kept, left).unwrap();
        near(far, number(row, "h") / pitch, 1e-7, &row.to_string());
    }
}

/// Photons through scattering slabs: the formula never predicts less contrast than they leave.
#[test]
fn the_sheet_blurs_more_than_is_counted_on() {
    let stored = vectors("vectors_slab_mtf.json");
    for slab in stored.as_array().unwrap() {
        for row in list(slab, "mtf") {
            let pitch = 2.0 * std::f64::consts::PI / number(row, "k_t");
            let kept = blur(mm(pitch), Metres::ZERO, mm(1.0));
            near(kept, number(row, "kt_sinh"), 1e-5, &row.to_string());
            assert!(kept >= number(row, "mc") - 5e-3, "{row}");
        }
    }
}

/// Small arrays on a plate, 41 by 41 cells: measures of an independent script.
#[test]
fn arrays_on_a_plate_have_their_measures() {
    for row in list(&vectors("vectors_near.json"), "finite") {
        let h = mm(number(row, "h_mm"));
        let plate = numbers(row, "plate_mm");
        let dice: Vec<Source> = list(row, "points")
            .iter()
            .map(|p| {
                let at = |i: usize| p[i].as_f64().unwrap();
                Source { x: mm(at(0)), y: mm(at(1)), flux: Lumens::si(at(2)), exponent: number(row, "m") }
            })
            .collect();
        let map = direct(&dice, h, Grid::centred(mm(plate[0]), mm(plate[1]), 41, 41));
        let found = map.measures(&Seen::of(&map.grid, |_, _| true)).unwrap();
        let what = row["name"].as_str().unwrap();
        close(found.mean.value(), number(row, "mean_lx"), 1e-7, what);
        close(found.least_by_mean(), number(row, "min_over_mean"), 1e-7, what);
        close(found.least_by_most(), number(row, "min_over_max"), 1e-7, what);
        let centre = illuminance(&dice, h, Metres::ZERO, Metres::ZERO);
        close(centre.value(), number(row, "E_centre_lx"), 1e-7, what);
        let corner = illuminance(&dice, h, mm(plate[0] / 2.0), mm(plate[1] / 2.0));
        close(corner.value(), number(row, "E_corner_lx"), 1e-7, what);
    }
}

/// Share of the light of a bare die at this place of the board that falls on the sheet at once: a form factor.
fn at_once(cavity: &Cavity, x: Metres, y: Metres) -> f64 {
    let (w, h) = (cavity.width / 2.0, cavity.height / 2.0);
    let sheet = Panel { x: (-w, w), y: (-h, h) };
    let luminance = CandelasPerSquareMetre::si(std::f64::consts::FRAC_1_PI);
    rectangle_illuminance(luminance, sheet, (x, y), cavity.depth).value()
}

/// Boxes against a ray simulation (4e5 rays): three zones within 1.7 %.
#[test]
fn boxes_throw_back_what_rays_say() {
    let stored = vectors("vectors_cavity.json");
    for row in list(&stored, "cavity") {
        let cavity = Cavity {
            width: mm(number(row, "W")),
            height: mm(number(row, "D")),
            depth: mm(number(row, "H")),
            walls: number(row, "rho_wall"),
            board: number(row, "rho_floor"),
            sheet: number(row, "rho_plate"),
        };
        let what = row.to_string();
        let direct = at_once(&cavity, Metres::ZERO, Metres::ZERO);
        close(direct, number(row, "p_direct"), 1e-7, &what);
        close(cavity.board_to_sheet(), number(row, "F_floor_plate"), 1e-7, &what);
        let out = cavity.on_sheet(direct).unwrap() * number(row, "tau_plate");
        close(out, number(row, "eta_3zone"), 1e-7, &what);
        close(out, number(row, "eta_montecarlo"), 0.017, &what);
    }
}

/// Dice spread over the board: direct share by four quadrants, and what the walls leave of the pattern.
#[test]
fn walls_dilute_a_pattern() {
    for row in list(&vectors("vectors_extra.json"), "cavity_dilution") {
        let rho = numbers(row, "rho");
        let cavity = Cavity {
            width: mm(number(row, "W")),
            height: mm(number(row, "D")),
            depth: mm(number(row, "H")),
            walls: rho[0],
            board: rho[1],
            sheet: rho[2],
        };
        // Sixteen in a square, three in a line.
        let (across, up) = if number(row, "n") == 16.0 { (4, 4) } else { (3, 1) };
        let place = |i: i32, n: i32| mm((f64::from(i) - f64::from(n - 1) / 2.0) * number(row, "pitch"));
        let all = (0..across * up).map(|i| at_once(&cavity, place(i % across, across), place(i / across, up)));
        let mean = all.sum::<f64>() / f64::from(across * up);
        close(mean, number(row, "p_d"), 1e-7, &row.to_string());
        let found = cavity.on_sheet(mean).unwrap();
        close(found, number(row, "G_d"), 1e-7, &row.to_string());
        close(mean / found, number(row, "dilution"), 1e-7, &row.to_string());
    }
}

#[test]
fn faces_have_their_luminance() {
    for row in list(&vectors("vectors_final.json"), "face") {
        let flux = Lumens::si(number(row, "flux_in") * number(row, "eta"));
        let luminance = mean_luminance(flux, SquareMetres::si(number(row, "area_m2")));
        close(luminance.value(), number(row, "L_cd_m2"), 1e-7, &row.to_string());
    }
}
