//! Worked examples of heat transfer textbooks: inputs as printed, the printed answer, the largest deviation allowed.
//! The air properties are those each book uses, so that its arithmetic is compared and not its tables.

use lampwright::physics::thermal::convection::Law;
use lampwright::physics::thermal::radiation::{parallel, perpendicular};
use lampwright::physics::thermal::sink::fin_efficiency;
use lampwright::quantity::{Metres, WattsPerMetreKelvin, WattsPerSquareMetreKelvin};

use super::csv_rows::close;

/// The textbooks' own constants.
const G: f64 = 9.81;
const SIGMA: f64 = 5.67e-8;

/// Pr of water at 37.5 °C and 1 atm by CoolProp 8.0.
const WATER: f64 = 4.5768;

/// k, ν, Pr, β as a book prints them.
struct Air(f64, f64, f64, f64);

impl Air {
    fn rayleigh(&self, difference: f64, length: f64) -> f64 {
        G * self.3 * difference * length * length * length * self.2 / (self.1 * self.1)
    }
    fn h(&self, law: Law, difference: f64, length: f64) -> f64 {
        law.nusselt(self.rayleigh(difference, length), self.2) * self.0 / length
    }
}

fn radiated(emissivity: f64, warm: f64, cold: f64) -> f64 {
    emissivity * SIGMA * (libm::pow(warm, 4.0) - libm::pow(cold, 4.0))
}

#[test]
fn plates() {
    // Lienhard, example 8.1: a plate of 0.4 m, 313 K in air of 287 K, g 9.8; the book takes the law of Squire and Eckert,
    // ours for laminar flow gives 5.1 % less.
    let ra = 9.8 / 287.0 * 26.0 * 0.4 * 0.4 * 0.4 / (1.566e-5 * 2.203e-5);
    close(Law::UprightLaminar.nusselt(ra, 0.711) * 0.02614 / 0.4, 4.059 * (1.0 - 0.051), 0.0005, "Lienhard 8.1, h");
    // Sukhatme, example 6.1: upright plate of 0.5 m, 100 °C in air of 40 °C, laminar law.
    let air = Air(0.0297, 20.02e-6, 0.694, 1.0 / 343.0);
    close(Law::UprightLaminar.nusselt(air.rayleigh(60.0, 0.5), 0.694), 71.887, 0.0005, "Sukhatme 6.1");
}

#[test]
fn a_duct() {
    // Incropera 6e, example 9.3: a duct 0.75 m × 0.3 m, 45 °C in air of 15 °C.
    let (nu, alpha, k) = (16.2e-6, 22.9e-6, 26.5e-3);
    let ra = |l: f64| G * 3.3e-3 * 30.0 * l * l * l / (nu * alpha);
    let side = Law::UprightLaminar.nusselt(ra(0.3), 0.71) * k / 0.3;
    // Top and bottom by the book's own laws, which are not ours.
    let top = 0.15 * libm::cbrt(ra(0.375)) * k / 0.375;
    let bottom = 0.27 * libm::pow(ra(0.375), 0.25) * k / 0.375;
    close((2.0 * side * 0.3 + (top + bottom) * 0.75) * 30.0, 246.0, 0.001, "Incropera 9.3, W/m");
}

#[test]
fn pipes_and_spheres() {
    // Incropera 6e, example 9.4: a pipe of 0.1 m, 165 °C in a room of 23 °C, ε 0.85.
    let ra = G * 2.725e-3 * 142.0 * 1e-3 / (22.8e-6 * 32.8e-6);
    let h = Law::LyingCylinder.nusselt(ra, 0.697) * 0.0313 / 0.1;
    let per_metre = std::f64::consts::PI * 0.1 * (h * 142.0 + radiated(0.85, 438.0, 296.0));
    close(per_metre, 763.0, 0.001, "Incropera 9.4, W/m");
    // Çengel, example 9-1: a pipe of 8 cm, 6 m long, 70 °C in a room of 20 °C.
    let air = Air(0.02699, 1.750e-5, 0.7241, 1.0 / 318.0);
    let ra = air.rayleigh(50.0, 0.08);
    close(ra, 1.869e6, 0.001, "Çengel 9-1, Ra");
    close(Law::LyingCylinder.nusselt(ra, 0.7241), 17.40, 0.0005, "Çengel 9-1, Nu");
    let area = std::f64::consts::PI * 0.08 * 6.0;
    close(air.h(Law::LyingCylinder, 50.0, 0.08) * area * 50.0, 443.0, 0.002, "Çengel 9-1, W");
    close(radiated(1.0, 343.0, 293.0) * area, 553.0, 0.001, "Çengel 9-1, radiated");
    // Spheres of the documentation of an equation solver's library: Ra 1.5e6, Pr 2, and one in water of 37.5 °C.
    close(Law::Sphere.nusselt(1.5e6, 2.0), 19.52, 0.0002, "sphere");
    close(Law::Sphere.nusselt(3.780_489e8, WATER), 75.66, 0.0002, "sphere in water");
}

#[test]
fn fin_spacing() {
    // A published lecture solution: base 0.12 × 0.18 m, fins 24 mm × 1 mm, 80 °C in air of 30 °C.
    let (k, nu, pr) = (0.02772, 1.847e-5, 0.704);
    let ra_length = G / 328.0 * 50.0 * 0.18 * 0.18 * 0.18 / (nu * nu) * pr;
    let best = 2.714 * 0.18 / libm::pow(ra_length, 0.25);
    close(best, 0.0075, 0.0005, "best gap");
    close(1.307 * k / best, 4.83, 0.0005, "h at the best gap");
    let h = WattsPerSquareMetreKelvin::si(4.83);
    let eta = fin_efficiency(h, WattsPerMetreKelvin::si(240.0), Metres::si(1e-3), Metres::si(0.024));
    close(eta, 0.992, 0.0005, "efficiency of the fins");
    // Its fourteen fins with their tips, and the base between them.
    let fins = 14.0 * (2.0 * 0.18 * 0.024 + 0.18 * 1e-3);
    let between = (0.12 - 14.0 * 1e-3) * 0.18;
    close(eta * 4.83 * fins * 50.0 + 4.83 * between * 50.0, 34.2, 0.0005, "watts of the sink");
    // Bar-Cohen and Rohsenow 1984: the composite law has its optimum at S P^(1/4) = 2.714 with Nu 1.307.
    let heat = |s: f64| Law::Channel.nusselt(s * s * s * s, 0.7) / (s * s);
    let top = (2000..3500).map(|i| f64::from(i) * 1e-3).max_by(|a, b| heat(*a).total_cmp(&heat(*b))).unwrap_or(0.0);
    close(top, 2.714, 0.001, "optimum");
    close(Law::Channel.nusselt(libm::pow(top, 4.0), 0.7), 1.307, 0.002, "Nu at the optimum");
}

#[test]
fn fins_of_textbooks() {
    let (h, k) = (WattsPerSquareMetreKelvin::si, WattsPerMetreKelvin::si);
    let m = Metres::si;
    // Çengel, chapter 3: plate fins 2 mm × 20 mm, k 386, h 45.
    close(fin_efficiency(h(45.0), k(386.0), m(2e-3), m(0.02 - 1e-3)), 0.985, 0.0005, "plate fins, bare length");
    // Its plate-fin sink: 15 W, air of 37 °C, 0.126 m² of fins, 0.0090 m² between them.
    close(37.0 + 15.0 / (45.0 * (0.985 * 0.126 + 0.0090)), 39.5, 0.0005, "plate fins, °C of the base");
    // Incropera 6e, example 3.2: a chip with a joint of 0.9e-4 m²·K/W to a plate of 8 mm, k 239, cooled on both sides by
    // h 100 in 25 °C, 10⁴ W/m².
    let joined = 0.9e-4 + 0.008 / 239.0 + 1.0 / 100.0;
    close(25.0 + 1e4 / (1.0 / joined + 100.0), 75.3, 0.0005, "Incropera 3.2, °C");
    // Incropera 6e, example 3.11: a fuel cell of 50 mm square between two sinks with 22 fins of 1 mm x 8 mm in all, k 200,
    // h 19.1, bases of 2 mm, joints of 1e-3 m²·K/W, 11.25 W, air of 25.15 °C; tips that give off nothing.
    let (face, fins_of) = (0.05 * 0.05, 22.0);
    let eta = fin_efficiency(h(19.1), k(200.0), m(1e-3), m(8e-3 - 0.5e-3));
    let fin = 2.0 * (0.05 + 1e-3) * 8e-3;
    let to_air = 19.1 * (fins_of * fin * eta + 2.0 * face - fins_of * 1e-3 * 0.05);
    let rise = 11.25 * ((1e-3 + 2e-3 / 200.0) / (2.0 * face) + 1.0 / to_air);
    close(25.15 + rise, 54.47, 0.0001, "Incropera 3.11, °C");
}

#[test]
fn view_factors_of_textbooks() {
    let one = Metres::si(1.0);
    close(parallel(one, one, one), 0.1998, 0.0002, "aligned squares at their own distance (Incropera, table 13.2)");
    close(perpendicular(one, one, one), 0.20, 0.0003, "squares with a common edge (from memory)");
}
