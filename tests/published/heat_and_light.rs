//! Life of capacitors against the table in tests/reference/thermal, and light of faces against those in light.

use std::f64::consts::PI;

use lampwright::physics::light::face::{Panel, disc_on_axis, rectangle_illuminance};
use lampwright::physics::thermal::life::capacitor_life;
use lampwright::quantity::{CandelasPerSquareMetre, Metres, Seconds, Temperature};

use super::csv_rows::{close, rows};

#[test]
fn capacitors_age_by_their_rule() {
    let hours = |h: f64| Seconds::si(h * 3600.0);
    for row in rows(include_str!("../reference/thermal/capacitor_life.csv")) {
        let c = |column| Temperature::from_celsius(row.number(column));
        let life = capacitor_life(hours(row.number("L0")), c("T0"), c("T"));
        close(life.value() / 3600.0, row.number("L"), 1e-9, &row.line());
    }
}

#[test]
fn faces_light_what_lies_before_them() {
    let l = |value| CandelasPerSquareMetre::si(value);
    let m = Metres::si;
    for row in rows(include_str!("../reference/light/disc.csv")) {
        let (lum, r, d) = (l(row.number("L_cd_m2")), m(row.number("R_m")), m(row.number("d_m")));
        let found = disc_on_axis(lum, r, d).value();
        close(found, row.number("E_exact_lx"), 1e-7, &row.line());
        close(found, row.number("E_quad_lx"), 1e-6, &row.line());
    }
}

#[test]
fn panels_light_what_lies_before_them() {
    let m = Metres::si;
    for row in rows(include_str!("../reference/light/rect.csv")) {
        let (w, h) = (row.number("half_w"), row.number("half_h"));
        let panel = Panel { x: (m(-w), m(w)), y: (m(-h), m(h)) };
        let luminance = CandelasPerSquareMetre::si(row.number("L"));
        let found = rectangle_illuminance(luminance, panel, (Metres::ZERO, Metres::ZERO), m(row.number("d")));
        close(found.value(), row.number("E_axis"), 1e-8, &row.line());
    }
    for row in rows(include_str!("../reference/light/rect_off_axis.csv")) {
        let list = |column| -> Vec<Metres> {
            row.text(column).trim_matches(['[', ']']).split(", ").map(|n| m(n.parse().unwrap())).collect()
        };
        let (rect, foot) = (list("rect"), list("p"));
        let panel = Panel { x: (rect[0], rect[1]), y: (rect[2], rect[3]) };
        let luminance = CandelasPerSquareMetre::si(row.number("L"));
        let found = rectangle_illuminance(luminance, panel, (foot[0], foot[1]), m(row.number("h")));
        close(found.value(), row.number("quad"), 1e-8, &row.line());
    }
    for row in rows(include_str!("../reference/light/captured_rect.csv")) {
        // What a die catches of a rectangle is what it sends there: E = π L F.
        let (w, h) = (row.number("half_w"), row.number("half_h"));
        let panel = Panel { x: (m(-w), m(w)), y: (m(-h), m(h)) };
        let luminance = CandelasPerSquareMetre::si(1.0 / PI);
        let found = rectangle_illuminance(luminance, panel, (Metres::ZERO, Metres::ZERO), m(row.number("h")));
        close(found.value(), row.number("centre_lambertian_fraction"), 1e-8, &row.line());
    }
}
