//! Arrays, boxes, blur and evenness behind the sheet, against series, published optima and ray simulations.
//! Tolerances: formulas 1e-7 (the vectors' digits); simulations as stated at each test.

use lampwright::physics::light::array::evenness;
use lampwright::physics::light::array::{Layout, distance_needed};
use lampwright::physics::light::beam::{
    Source, blur, distance_for, exponent, first_harmonic, grid_illuminance, illuminance, line_illuminance, remainder,
};
use lampwright::physics::light::cavity::{Cavity, globe};
use lampwright::physics::light::evenness::{Grid, Seen, direct};
use lampwright::physics::light::face::{flat_face_intensity, globe_intensity, mean_luminance};
use lampwright::physics::light::optimum::{Receiver, grid, line, middle_of_ring, pair, ring, square};
use lampwright::quantity::{Lumens, Metres, Radians, SquareMetres};

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
fn endless_arrays_have_their_extremes() {
    for row in list(&vectors("vectors_near.json"), "infinite_arrays") {
        let (m, h) = (number(row, "m"), number(row, "h_over_p"));
        let what = row.to_string();
        // Values are by the mean, so places between the dice keep the digits of 1.
        close(grid_illuminance(m, 0.0, 0.0, h), number(row, "square_max"), 1e-7, &what);
        near(grid_illuminance(m, 0.5, 0.5, h), number(row, "square_min"), 3e-7, &what);
        near(grid_illuminance(m, 0.5, 0.0, h), number(row, "square_saddle"), 3e-7, &what);
        close(line_illuminance(m, 0.0, h), number(row, "line_max"), 1e-7, &what);
        near(line_illuminance(m, 0.5, h), number(row, "line_min"), 3e-7, &what);
        near(first_harmonic(m, h), number(row, "square_first_harm"), 2e-8, &what);
    }
}

/// The same arrays added up die by die, 4e-7.
#[test]
fn series_agree_with_direct_sums() {
    for row in list(&vectors("vectors_near.json"), "series_vs_direct") {
        let (m, h) = (number(row, "m"), number(row, "h_over_p"));
        close(grid_illuminance(m, 0.0, 0.0, h), number(row, "sq_max_direct"), 4e-7, &row.to_string());
        close(line_illuminance(m, 0.5, h), number(row, "line_min_direct"), 4e-7, &row.to_string());
    }
    for row in list(&vectors("vectors_near.json"), "h_over_p_needed").iter().filter(|r| number(r, "m") == 1.0) {
        let wanted = number(row, "min_over_max");
        near(distance_needed(Layout::SquareGrid, wanted).unwrap(), number(row, "square_h_over_p"), 1e-7, "square");
        near(evenness(Layout::Line, number(row, "line_h_over_p")), wanted, 1e-6, "line");
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

/// Flattest small arrays as published (Appl. Opt. 45 (2006) 2265), and for a flat sheet by root finding.
#[test]
fn small_arrays_are_flattest_at_the_published_spacing() {
    for row in list(&vectors("vectors_final.json"), "moreno") {
        let m = number(row, "m");
        let receiver = if row["kernel"] == "moreno" { Receiver::Facing } else { Receiver::Flat };
        let what = row.to_string();
        near(pair(m, receiver), number(row, "two"), 2e-7, &what);
        near(square(m, receiver), number(row, "square"), 2e-7, &what);
        near(ring(m, receiver), number(row, "ring6"), 2e-7, &what);
        near(line(4, m, receiver).unwrap(), number(row, "line4"), 2e-7, &what);
        near(grid(4, m, receiver).unwrap(), number(row, "square4x4"), 2e-7, &what);
        if receiver == Receiver::Facing {
            // The closed forms that the paper prints.
            near(pair(m, receiver), (4.0 / (m + 3.0)).sqrt(), 1e-12, &what);
            near(square(m, receiver), (4.0 / (m + 2.0)).sqrt(), 1e-12, &what);
        }
    }
    for row in list(&vectors("vectors_near.json"), "ring_with_centre") {
        let n = number(row, "N") as u32;
        let ratio = middle_of_ring(n, number(row, "radius_over_h"), number(row, "m"));
        near(ratio, number(row, "centre_to_ring_flux_ratio"), 1e-8, &row.to_string());
    }
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
            transmission: number(row, "tau_plate"),
        };
        let what = row.to_string();
        let direct = cavity.direct(Metres::ZERO, Metres::ZERO);
        close(direct, number(row, "p_direct"), 1e-7, &what);
        close(cavity.board_to_sheet(), number(row, "F_floor_plate"), 1e-7, &what);
        close(cavity.by_sphere(direct), number(row, "eta_sphere_formula"), 1e-7, &what);
        let found = cavity.solve(direct).unwrap();
        close(found.out, number(row, "eta_3zone"), 1e-7, &what);
        close(found.out, number(row, "eta_montecarlo"), 0.017, &what);
    }
    for row in list(&stored, "globe") {
        close(globe(number(row, "tau"), number(row, "rho")), number(row, "eta"), 1e-8, &row.to_string());
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
            transmission: number(row, "tau"),
        };
        // Sixteen in a square, three in a line.
        let (across, up) = if number(row, "n") == 16.0 { (4, 4) } else { (3, 1) };
        let place = |i: i32, n: i32| mm((f64::from(i) - f64::from(n - 1) / 2.0) * number(row, "pitch"));
        let all = (0..across * up).map(|i| cavity.direct(place(i % across, across), place(i / across, up)));
        let mean = all.sum::<f64>() / f64::from(across * up);
        close(mean, number(row, "p_d"), 1e-7, &row.to_string());
        let found = cavity.solve(mean).unwrap();
        close(found.on_sheet, number(row, "G_d"), 1e-7, &row.to_string());
        close(found.direct_share, number(row, "dilution"), 1e-7, &row.to_string());
    }
}

#[test]
fn faces_have_their_luminance() {
    for row in list(&vectors("vectors_final.json"), "face") {
        let flux = Lumens::si(number(row, "flux_in") * number(row, "eta"));
        let luminance = mean_luminance(flux, SquareMetres::si(number(row, "area_m2")));
        close(luminance.value(), number(row, "L_cd_m2"), 1e-7, &row.to_string());
        let intensity = match row["shape"].as_str().unwrap() {
            shape if shape.starts_with("globe") => globe_intensity(flux),
            shape if shape.starts_with("hemisphere") => continue,
            _ => flat_face_intensity(flux),
        };
        close(intensity.value(), number(row, "I0_flat"), 1e-7, &row.to_string());
    }
}
