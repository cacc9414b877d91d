//! The ladder against lamps worked by hand, and light of faces against the tables in tests/reference/light.

use std::f64::consts::PI;

use lampwright::physics::light::face::{Panel, disc_on_axis, rectangle_illuminance};
use lampwright::physics::thermal::budget::{Budget, Die, Feed, heat_budget};
use lampwright::physics::thermal::ladder::{Body, FILM_PLASTIC, Ladder, Rung, Sink, climb};
use lampwright::physics::thermal::life::{Decay, capacitor_life, decay_between, maintained_time};
use lampwright::physics::thermal::{limits, materials};
use lampwright::quantity::{
    Amperes, CandelasPerSquareMetre, KelvinPerWatt, Metres, Seconds, SquareMetres, Temperature, Volts, Watts,
};

use super::csv_rows::{close, rows};

/// A bedside lamp worked by hand: red, green, blue and white dice at 350 mA on one star, supply inside.
fn bedside() -> (Vec<Die>, Budget) {
    let die = |volts, efficiency| Die {
        voltage: Volts::si(volts),
        current: Amperes::si(0.35),
        radiant_efficiency: efficiency,
    };
    let dice = vec![die(2.15, 0.42), die(3.15, 0.20), die(3.10, 0.45), die(3.00, 0.33)];
    let feed = Feed {
        driver_efficiency: 0.85,
        control: Watts::si(0.9),
        supply_efficiency: 0.82,
        supply_inside: true,
        light_leaves: 0.85,
    };
    let budget = heat_budget(&dice, &feed);
    (dice, budget)
}

#[test]
fn a_bedside_lamp_uses_what_it_draws() {
    let (_, budget) = bedside();
    for (found, by_hand, digits) in [
        (budget.dice, 3.99, 0.005),
        (budget.die_heat, 2.62, 0.005),
        (budget.low_side, 5.59, 0.005),
        (budget.mains, 6.8, 0.05),
    ] {
        assert!((found.value() - by_hand).abs() <= digits, "{found} {by_hand}");
    }
    assert!(budget.imbalance().value().abs() < 1e-12);
}

#[test]
fn a_bedside_lamp_is_as_warm_as_worked_by_hand() {
    let (dice, budget) = bedside();
    let (r, height) = (0.060, 0.220);
    let ladder = Ladder {
        room: Temperature::from_celsius(30.0),
        body: Body {
            // The side and one end of a cylinder; the foot does not count.
            area: SquareMetres::si(2.0 * PI * r * height + PI * r * r),
            film: FILM_PLASTIC,
            wall: None,
            inner_film: None,
        },
        other_heat: budget.heat_inside - budget.die_heat,
        sink: Sink::Inside(KelvinPerWatt::si(9.0)),
        interface: KelvinPerWatt::si(0.5),
        dice: dice.iter().map(|die| Rung { heat: die.heat(), to_board: KelvinPerWatt::si(7.0) }).collect(),
    };
    let rungs = climb(&ladder);
    for (what, found, by_hand) in [
        ("inside", rungs.inside, 37.5),
        ("sink", rungs.sink, 61.1),
        ("white junction", rungs.junctions[3], 67.3),
        ("green junction", rungs.junctions[1], 68.6),
    ] {
        assert!((found.celsius() - by_hand).abs() < 0.06, "{what}: {found}, by hand {by_hand}");
    }
    // PETG posts are close to their limit, PLA posts beyond it.
    let service = |name| materials::find(name).unwrap().service.unwrap();
    let margin = service("petg") - rungs.sink;
    assert!(margin.value() > 0.0 && margin.value() < 5.0);
    assert!(rungs.sink > service("pla"));
    assert!(rungs.junctions.iter().all(|junction| *junction < limits::find("junction").unwrap().limit));
}

#[test]
fn capacitors_and_light_age_by_their_rules() {
    let hours = |h: f64| Seconds::si(h * 3600.0);
    for row in rows(include_str!("../reference/thermal/capacitor_life.csv")) {
        let c = |column| Temperature::from_celsius(row.number(column));
        let life = capacitor_life(hours(row.number("L0")), c("T0"), c("T"));
        close(life.value() / 3600.0, row.number("L"), 1e-9, &row.line());
    }
    for row in rows(include_str!("../reference/thermal/lumen_maintenance.csv")) {
        let c = |column| Temperature::from_celsius(row.number(column));
        let cool = Decay { temperature: c("T1"), per_hour: row.number("alpha1"), start: row.number("B1") };
        let warm = Decay { temperature: c("T2"), per_hour: row.number("alpha2"), start: row.number("B2") };
        let between = decay_between(cool, warm, c("Ti")).unwrap();
        close(between.per_hour, row.number("alpha_i"), 1e-9, &row.line());
        close(between.start, row.number("B0"), 1e-9, &row.line());
        close(maintained_time(between, row.number("p")).value() / 3600.0, row.number("L_p_h"), 1e-9, &row.line());
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
