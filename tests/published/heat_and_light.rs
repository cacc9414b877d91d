//! The ladder against lamps worked by hand, and light against the tables in tests/reference/light.
//! Array evenness is compared with a series of another kind than the one in the program.

use std::f64::consts::PI;

use lampwright::physics::light::array::{Layout, distance_needed, evenness, grid_illuminance, line_illuminance};
use lampwright::physics::light::face::{
    Panel, disc_off_axis, disc_on_axis, globe_illuminance, globe_intensity, rectangle_illuminance, share_on_disc,
    share_on_rectangle,
};
use lampwright::physics::light::flux::{Chain, Passage, chain_yield, flux_budget};
use lampwright::physics::thermal::budget::{Budget, Die, Feed, heat_budget};
use lampwright::physics::thermal::ladder::{Body, FILM_PLASTIC, Ladder, Rung, Sink, climb};
use lampwright::physics::thermal::life::{Decay, capacitor_life, decay_between, maintained_time};
use lampwright::physics::thermal::{limits, materials};
use lampwright::quantity::{
    Amperes, CandelasPerSquareMetre, KelvinPerWatt, Lumens, LumensPerWatt, Metres, Seconds, SquareMetres, Temperature,
    Volts, Watts,
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
fn the_chain_from_mains_to_room() {
    for row in rows(include_str!("../reference/light/efficacy.csv")) {
        let found = chain_yield(&Chain {
            electrical: Watts::si(row.number("P_led_W")),
            wall_plug: row.number("wpe"),
            warm: row.number("thermal"),
            efficacy_of_radiation: LumensPerWatt::si(row.number("LER")),
            optics: row.number("eta_optical"),
            driver: row.number("eta_driver"),
            auxiliary: Watts::si(row.number("P_aux_W")),
        });
        close(found.mains.value(), row.number("P_mains_W"), 1e-8, &row.line());
        close(found.flux.value(), row.number("flux_lm"), 1e-8, &row.line());
        close(found.at_the_wall.value(), row.number("eta_system_lm_W"), 1e-8, &row.line());
        close(found.die_heat.value(), row.number("heat_led_W"), 1e-8, &row.line());
        close(found.heat.value(), row.number("heat_total_W"), 1e-8, &row.line());
    }
}

#[test]
fn a_bedside_lamp_gives_its_light() {
    // 52 + 92 + 21 + 108 lm, box and sheet together 0.55: 150 lm; 6.8 W at the wall.
    let passage = Passage { box_efficiency: 1.0, transmission: 0.55, cover: 1.0 };
    let budget = flux_budget(Lumens::si(52.0 + 92.0 + 21.0 + 108.0), &passage, bedside().1.mains);
    assert!((budget.room.value() - 150.0).abs() < 0.5);
    assert!((budget.at_the_wall.value() - 22.0).abs() < 0.1, "{}", budget.at_the_wall);
}

#[test]
fn arrays_meet_the_series() {
    for row in rows(include_str!("../reference/light/arrays.csv")) {
        let h = row.number("h_over_p");
        for (found, column) in [
            (grid_illuminance(0.0, 0.0, h), "square_max"),
            (grid_illuminance(0.5, 0.5, h), "square_min"),
            (grid_illuminance(0.5, 0.0, h), "square_saddle"),
            (evenness(Layout::SquareGrid, h), "square_min_over_max"),
            (line_illuminance(0.0, h), "line_max"),
            (line_illuminance(0.5, h), "line_min"),
            (evenness(Layout::Line, h), "line_min_over_max"),
        ] {
            close(found, row.number(column), 1e-8, &format!("{column} {}", row.line()));
        }
    }
    for row in rows(include_str!("../reference/light/distance_needed.csv")) {
        for (layout, column) in [(Layout::SquareGrid, "square_h_over_p"), (Layout::Line, "line_h_over_p")] {
            let found = distance_needed(layout, row.number("min_over_max")).unwrap();
            close(found, row.number(column), 1e-7, &row.line());
        }
    }
}

#[test]
fn evenness_as_printed_for_the_bench() {
    // Distance by pitch, square grid, line; two digits, worked out by direct sums.
    for (d, grid, line) in [
        (0.4, 0.25, 0.30),
        (0.5, 0.44, 0.48),
        (0.6, 0.62, 0.64),
        (0.7, 0.76, 0.77),
        (0.8, 0.85, 0.85),
        (1.0, 0.95, 0.95),
    ] {
        assert!((evenness(Layout::SquareGrid, d) - grid).abs() < 0.011, "{d}: {}", evenness(Layout::SquareGrid, d));
        assert!((evenness(Layout::Line, d) - line).abs() < 0.011, "{d}: {}", evenness(Layout::Line, d));
    }
    close(evenness(Layout::Line, 0.33), 0.19, 0.03, "a shelf light too close to its sheet");
}

#[test]
fn faces_light_what_lies_before_them() {
    let l = |value| CandelasPerSquareMetre::si(value);
    let m = Metres::si;
    for row in rows(include_str!("../reference/light/disc.csv")) {
        let (lum, r, d) = (l(row.number("L_cd_m2")), m(row.number("R_m")), m(row.number("d_m")));
        let found = disc_off_axis(lum, r, d, m(row.number("offset_m")));
        close(found.value(), row.number("E_exact_lx"), 1e-7, &row.line());
        close(found.value(), row.number("E_quad_lx"), 1e-6, &row.line());
        if row.number("offset_m") == 0.0 {
            close(disc_on_axis(lum, r, d).value(), row.number("E_exact_lx"), 1e-7, &row.line());
        }
    }
    for row in rows(include_str!("../reference/light/sphere.csv")) {
        let (lum, r, d) = (l(row.number("L")), m(row.number("R")), m(row.number("d")));
        close(globe_illuminance(lum, r, d).value(), row.number("E"), 1e-8, &row.line());
        close(globe_intensity(Lumens::si(row.number("flux"))).value(), row.number("I"), 1e-8, &row.line());
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
        let side = |column| m(2.0 * row.number(column));
        let found = share_on_rectangle(side("half_w"), side("half_h"), m(row.number("h")));
        close(found, row.number("centre_lambertian_fraction"), 1e-8, &row.line());
    }
    // R 40 at 30 catches 0.64, R 30 at 30 half.
    close(share_on_disc(m(40.0), m(30.0)), 0.64, 1e-12, "disc");
    close(share_on_disc(m(30.0), m(30.0)), 0.5, 1e-12, "disc");
}
