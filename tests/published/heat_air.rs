//! Dry air and the laws of free convection against an equation of state, two handbooks and stored vectors.
//! Files in tests/reference/thermal; how they were made stands in its ORIGIN.md.

use lampwright::physics::thermal::air::{ATMOSPHERE, Air};
use lampwright::physics::thermal::convection::{Law, curvature};
use lampwright::quantity::Temperature;

use super::csv_rows::{close, rows};

fn property(air: &Air, name: &str) -> f64 {
    match name {
        "rho" => air.density.value(),
        "cp" => air.specific_heat.value(),
        "k" => air.conductivity.value(),
        "mu" => air.viscosity.value(),
        "nu" => air.kinematic().value(),
        "alpha" => air.diffusivity().value(),
        "Pr" => air.prandtl(),
        "beta" => air.expansion.value(),
        other => panic!("{other}"),
    }
}

#[test]
fn air_follows_the_equation_of_state() {
    // CoolProp 8.0 with the transport model of Lemmon and Jacobsen 2004; largest deviation of each property.
    let allowed = [
        ("rho", 0.0008),
        ("cp", 0.0001),
        ("k", 0.0022),
        ("mu", 0.0012),
        ("nu", 0.0013),
        ("alpha", 0.0023),
        ("Pr", 0.0011),
        ("beta", 0.0047),
    ];
    for row in rows(include_str!("../reference/thermal/air_properties.csv")) {
        let air = Air::at(Temperature::si(row.number("T_K")), ATMOSPHERE);
        for (name, deviation) in allowed {
            let found = property(&air, name);
            close(found, row.number(&format!("coolprop_{name}")), deviation, &format!("{name} {}", row.line()));
            close(found, row.number(&format!("corr_{name}")), 1e-6, &format!("fit of {name} {}", row.line()));
        }
    }
}

#[test]
fn air_lies_as_near_to_two_handbooks_as_they_to_one_another() {
    // Two textbook tables; beside each property the most that either is off.
    let allowed =
        [("rho", 0.015), ("mu", 0.008), ("cp", 0.003), ("k", 0.032), ("nu", 0.012), ("alpha", 0.031), ("Pr", 0.036)];
    for row in rows(include_str!("../reference/thermal/air_handbook_check.csv")) {
        let air = Air::at(Temperature::si(row.number("T_K")), ATMOSPHERE);
        let name = row.text("prop");
        let Some((_, deviation)) = allowed.iter().find(|(n, _)| *n == name) else { continue };
        close(property(&air, name), row.number("table"), *deviation, &row.line());
    }
}

#[test]
fn laws_by_stored_vectors() {
    for row in rows(include_str!("../reference/thermal/nusselt_vectors.csv")) {
        let ra = row.number("Ra");
        for (law, column) in [
            (Law::UprightLaminar, "vplate_CC_lam"),
            (Law::FaceUp, "hup_RaithbyHollands"),
            (Law::FaceDown, "hdn_RaithbyHollands"),
            (Law::Sphere, "sphere_Churchill"),
            (Law::LyingCylinder, "hcyl_ChurchillChu"),
            (Law::Body, "body_Yovanovich"),
            (Law::Channel, "barcohen_rohsenow(El=Ra)"),
            (Law::FinsUp, "jones_smith(RaS=Ra)"),
        ] {
            close(law.nusselt(ra, 0.71), row.number(column), 1e-7, &format!("{column} at {ra}"));
        }
        if (1e3..=1e5).contains(&ra) {
            // A second form of the same authors' law.
            close(Law::FinsUp.nusselt(ra, 0.71), row.number("jones_smith_RH_form(RaS=Ra)"), 0.03, "fins up");
        }
    }
}

#[test]
fn laws_by_the_ht_library() {
    // ht 1.2, functions of the same name; they take Pr and Gr. Its sphere carries a term for turbulence, 1.3 % here.
    let lying = Law::LyingCylinder.nusselt(0.69 * 2.63e9, 0.69);
    close(lying, 139.134_939_700_735_97, 1e-12, "Nu_horizontal_cylinder_Churchill_Chu");
    close(Law::FaceDown.nusselt(0.71e6, 0.71), 7.109_469_706_504_549, 1e-9, "Nu_horizontal_plate_Rohsenow, down");
    let term = 7.44e-8 * 7e6 / libm::pow(1.0 + libm::pow(0.469 / 0.7, 9.0 / 16.0), 16.0 / 9.0);
    let sphere = 2.0 + (Law::Sphere.nusselt(7e6, 0.7) - 2.0) * libm::pow(1.0 + term, 1.0 / 12.0);
    close(sphere, 25.670_869_440_317_578, 1e-12, "Nu_sphere_Churchill");
    // Gr 10^10, length 2.5, diameter 1: its plate is Churchill and Chu's form for all ranges, which we do not use.
    let ra = 0.7 * 1e10;
    let blend = libm::pow(1.0 + libm::pow(0.492 / 0.7, 9.0 / 16.0), 8.0 / 27.0);
    let plate = 0.825 + 0.387 * libm::pow(ra, 1.0 / 6.0) / blend;
    let cylinder = plate * plate * curvature(ra, 0.7, 2.5);
    close(cylinder, 228.897_900_551_498_9, 1e-9, "Nu_vertical_cylinder_Popiel_Churchill");
}
