//! Sinks, view factors, spreading, vents and shapes against stored vectors of an independent script.
//! Files in tests/reference/thermal; how they were made stands in its ORIGIN.md.

use std::f64::consts::PI;

use lampwright::physics::thermal::air::ATMOSPHERE;
use lampwright::physics::thermal::faces::{Face, Stance, area, conductance};
use lampwright::physics::thermal::radiation::Channel;
use lampwright::physics::thermal::shapes::{Facing, Shape, wall_conductance};
use lampwright::physics::thermal::sink::PlateFins;
use lampwright::physics::thermal::spreading::{self, Spread};
use lampwright::physics::thermal::vents::{Openings, SHARP, Vents};
use lampwright::quantity::{Metres, SquareMetres, Temperature, WattsPerMetreKelvin, WattsPerSquareMetreKelvin};
use serde_json::Value;

use super::csv_rows::{close, rows};
use super::heat_network::{fins, standing};

const fn m(value: f64) -> Metres {
    Metres::si(value)
}

#[test]
fn sinks_in_every_position() {
    let sinks: Value = serde_json::from_str(include_str!("../reference/thermal/sink_defs.json")).expect("sinks");
    for row in rows(include_str!("../reference/thermal/sink_vectors.csv")) {
        let sink = PlateFins { attached: SquareMetres::ZERO, ..fins(&sinks["sinks"][row.text("sink")]) };
        let way = standing(row.text("orient"));
        let cold = Temperature::si(298.15);
        let warm = Temperature::si(298.15 + row.number("dT_K"));
        let found = sink.convection(way, warm, cold, ATMOSPHERE);
        for (value, column) in [
            (sink.gap().value(), "S_m"),
            (found.number, "El_or_RaS"),
            (found.channel.value(), "h_channel"),
            (found.efficiency, "eta_fin"),
            (found.by_fins.value(), "G_fin"),
            (found.by_envelope.value(), "G_env"),
            (found.total.value(), "G_conv"),
            (sink.effective().value(), "EA_rad"),
        ] {
            close(value, row.number(column), 2e-6, &format!("{column} {}", row.line()));
        }
    }
}

#[test]
fn the_channel_between_fins_sees_what_rays_see() {
    for row in rows(include_str!("../reference/thermal/viewfactor_channel.csv")) {
        let side = |column| m(row.number(column) * 1e-3);
        let view = Channel { gap: side("S_mm"), height: side("H_mm"), length: side("L_mm") }.view();
        close(view, row.number("F_exact"), 4e-6, &row.line());
        let rays = (view - row.number("F_montecarlo")).abs() / row.number("mc_sigma");
        assert!(rays < 2.5, "{rays} sigma from 400000 rays: {}", row.line());
    }
}

#[test]
fn spreading_is_near_the_exact_series() {
    for row in rows(include_str!("../reference/thermal/spreading_check.csv")) {
        let found = spreading::thick(&Spread {
            source: SquareMetres::si(row.number("A_src_m2")),
            plate: SquareMetres::si(row.number("A_base_m2")),
            thickness: m(row.number("t_m")),
            conductivity: WattsPerMetreKelvin::si(row.number("k")),
            transfer: WattsPerSquareMetreKelvin::si(row.number("h")),
        });
        close(found.value(), row.number("Rmax_formula"), 1e-5, &row.line());
        close(found.value(), row.number("Rmax_exact"), 0.055, &row.line());
    }
}

#[test]
fn small_holes_draw_little() {
    // Twelve holes of 6 mm, their area rounded as the script had it.
    let level = Openings { area: SquareMetres::si(3.393e-4), width: m(6e-3) };
    let vents = Vents { rise: m(0.11), low: level, high: level, wall: m(2e-3), discharge: SHARP };
    for row in rows(include_str!("../reference/thermal/vent_vectors.csv")) {
        let room = Temperature::si(298.15);
        let found = vents.draught(Temperature::si(298.15 + row.number("dT_K")), room, ATMOSPHERE);
        close(found.flow.value(), row.number("mdot_kg_s"), 1e-7, &row.line());
        close(found.pressure.value(), row.number("dp_Pa"), 1e-7, &row.line());
        close(found.neutral.value(), row.number("h_neutral_m"), 1e-7, &row.line());
        close(found.heat.value(), row.number("Q_W"), 1e-7, &row.line());
        // The stack equation of handbooks has no loss by viscosity: an upper bound.
        assert!(found.flow.value() < row.number("mdot_stack_eq"));
    }
}

fn shape(name: &str, p: &Value) -> Shape {
    let of = |key: &str| m(p[key].as_f64().expect("a size"));
    let twice = |key: &str| of(key) * 2.0;
    match name.split([' ', ',']).next().expect("a word") {
        "sphere" => Shape::Sphere { diameter: of("D") },
        "box" => Shape::Box { width: of("a"), depth: of("b"), height: of("h") },
        "vertical" if name.contains("disk") => Shape::Disc { diameter: twice("r"), facing: Facing::Side },
        "vertical" => Shape::StandingCylinder { diameter: of("D"), height: of("H") },
        "truncated" => Shape::Cone { top: twice("r1"), bottom: twice("r2"), height: of("h") },
        "part" => Shape::PartSphere { diameter: of("D"), opening: twice("a") },
        "horizontal" => Shape::Disc { diameter: twice("r"), facing: Facing::Down },
        other => panic!("{other}"),
    }
}

fn same_faces(found: &[Face], expected: &Value, what: &str) {
    let expected = expected.as_array().expect("faces");
    assert_eq!(found.len(), expected.len(), "{what}");
    for (face, want) in found.iter().zip(expected) {
        let of = |key: &str| want[key].as_f64();
        close(face.area.value(), of("A").expect("an area"), 1e-12, what);
        let (kind, length) = match face.stance {
            Stance::Upright { height, slope } => {
                close(slope, of("gc").unwrap_or(1.0), 1e-12, what);
                ("vplate", Some(height))
            }
            Stance::Up { length } => ("up", Some(length)),
            Stance::Down { length } => ("dn", Some(length)),
            Stance::StandingCylinder { height, .. } => ("vcyl", Some(height)),
            Stance::LyingCylinder { .. } => ("hcyl", None),
            Stance::Sphere { .. } => ("sphere", None),
        };
        assert_eq!(want["kind"], kind, "{what}");
        if let (Some(length), Some(expected)) = (length, of("L").or(of("Lc"))) {
            close(length.value(), expected, 1e-12, what);
        }
    }
}

#[test]
fn shapes_have_their_faces() {
    let all: Value = serde_json::from_str(include_str!("../reference/thermal/geometry_vectors.json")).expect("shapes");
    for row in all.as_array().expect("a list") {
        let name = row["shape"].as_str().expect("a name");
        let (body, wall) = (shape(name, &row["params"]), m(row["params"]["t"].as_f64().expect("t")));
        let (outer, inner) = (body.faces(), body.inner_faces(wall));
        same_faces(&outer, &row["faces_out"], name);
        same_faces(&inner, &row["faces_in"], name);
        close(area(&outer).value(), row["A_out"].as_f64().expect("A"), 1e-12, name);
        let k = WattsPerMetreKelvin::si(row["params"]["k"].as_f64().expect("k"));
        let through = wall_conductance(&inner, &outer, wall, k);
        close(through.value(), row["U_wall"].as_f64().expect("U"), 1e-12, name);
    }
}

#[test]
fn one_air_inside_is_near_the_law_of_concentric_spheres() {
    // Two films in series through one mixed air, against Raithby and Hollands: 0.84 to 1.10 of it.
    for row in rows(include_str!("../reference/thermal/concentric_sphere_check.csv")) {
        let (inner, outer) = (row.number("Di_m"), row.number("Do_m"));
        let of = |d: f64, stance| vec![Face { stance, area: SquareMetres::si(PI * d * d) }];
        let ball = of(inner, Stance::Sphere { diameter: m(inner) });
        let shell = of(outer, Stance::Upright { height: m(outer), slope: 1.0 });
        let wall = Temperature::si(310.0);
        let hot = Temperature::si(310.0 + row.number("dT_K"));
        let (mut low, mut high) = (wall.value(), hot.value());
        let mut flow = 0.0;
        for _ in 0..80 {
            let air = Temperature::si(0.5 * (low + high));
            let into = conductance(&ball, hot, air, ATMOSPHERE).value() * (hot - air).value();
            flow = conductance(&shell, wall, air, ATMOSPHERE).value() * (air - wall).value();
            if into > flow { low = air.value() } else { high = air.value() }
        }
        let ratio = flow / row.number("q_RaithbyHollands_W");
        assert!((0.83..1.11).contains(&ratio), "{ratio} {}", row.line());
        close(ratio, row.number("ratio_plateD"), 1e-4, &row.line());
    }
}

/// A shell whose inside air gives it all the heat: outer and inner skin, and the air.
#[test]
fn shells_alone_have_their_temperatures() {
    let room = Temperature::si(298.15);
    for row in rows(include_str!("../reference/thermal/shell_vectors.csv")) {
        let name = row.text("shell");
        let (body, wall, k, emissivity) = match name {
            "sphere_D150" => (Shape::Sphere { diameter: m(0.15) }, 2e-3, 0.13, 0.92),
            "sphere_D300" => (Shape::Sphere { diameter: m(0.3) }, 2e-3, 0.13, 0.92),
            "box_200x200x80" => (Shape::Box { width: m(0.2), depth: m(0.2), height: m(0.08) }, 6e-3, 0.13, 0.90),
            "albox_300x200x100" => (Shape::Box { width: m(0.3), depth: m(0.2), height: m(0.1) }, 2e-3, 200.0, 0.80),
            "cyl_D120_H200" => (Shape::StandingCylinder { diameter: m(0.12), height: m(0.2) }, 5e-3, 1.5, 0.92),
            other => panic!("{other}"),
        };
        let (outer, inner) = (body.faces(), body.inner_faces(m(wall)));
        close(area(&outer).value(), row.number("A_out_m2"), 1e-8, name);
        let heat = row.number("Q_W");
        // At the stored temperatures each stretch carries the heat; a nanokelvin was printed.
        let [skin, lining, air] =
            ["T_outer_C", "T_inner_C", "T_air_all_convected_C"].map(|c| Temperature::from_celsius(row.number(c)));
        let radiated = emissivity * area(&outer).value() * 5.670_374_419e-8 * (fourth(skin) - fourth(room));
        let off = conductance(&outer, skin, room, ATMOSPHERE).value() * (skin - room).value() + radiated;
        close(off, heat, 1e-6, &row.line());
        let through = wall_conductance(&inner, &outer, m(wall), WattsPerMetreKelvin::si(k));
        let drop = (lining - skin).value();
        assert!((drop - heat / through.value()).abs() < 2e-7, "{}", row.line());
        let into = conductance(&inner, lining, air, ATMOSPHERE).value() * (air - lining).value();
        close(into, heat, 1e-6, &row.line());
    }
}

fn fourth(t: Temperature) -> f64 {
    t.value() * t.value() * t.value() * t.value()
}
