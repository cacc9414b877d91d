//! Worked examples of heat transfer textbooks: inputs as printed, the printed answer, the largest deviation allowed.
//! The air properties are those each book uses, so that its arithmetic is compared and not its tables.

use lampwright::physics::thermal::convection::{Law, between_cylinders, between_spheres};
use lampwright::physics::thermal::fins;
use lampwright::physics::thermal::radiation::{parallel, perpendicular};
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
    // Incropera 6e, example 9.2: a glass screen, 232 °C in air of 23 °C, 0.71 m high, 1.02 m wide.
    let (nu, alpha) = (26.4e-6, 38.3e-6);
    let ra = G * 2.5e-3 * 209.0 * 0.71 * 0.71 * 0.71 / (nu * alpha);
    close(ra, 1.81e9, 0.0025, "Incropera 9.2, Ra");
    let nusselt = Law::Upright.nusselt(ra, 0.69);
    close(nusselt, 147.16, 0.0001, "Incropera 9.2, Nu");
    close(nusselt * 33.8e-3 / 0.71 * 1.02 * 0.71 * 209.0, 1060.0, 0.001, "Incropera 9.2, W");
    // Çengel, example 9-2: a plate of 0.6 m square, 90 °C in air of 30 °C; warm face up by the law below 10⁷.
    let air = Air(0.02808, 1.896e-5, 0.7202, 1.0 / 333.0);
    let watts = |law, length| air.h(law, 60.0, length) * 0.36 * 60.0;
    close(watts(Law::Upright, 0.6), 115.0, 0.005, "Çengel 9-2, upright");
    close(watts(Law::FaceDownTextbook, 0.15), 64.2, 0.001, "Çengel 9-2, face down");
    close(radiated(1.0, 363.0, 303.0) * 0.36, 182.0, 0.003, "Çengel 9-2, radiated");
    // Çengel, problem 9-41: a plate of 0.24 m × 0.20 m, 50 °C in air of 20 °C.
    let air = Air(0.02625, 1.655e-5, 0.7268, 0.003247);
    let length = 0.24 * 0.20 / (2.0 * 0.44);
    close(air.rayleigh(30.0, length), 411_500.0, 0.0001, "Çengel 9-41, Ra");
    close(air.h(Law::FaceUpTextbook, 30.0, length), 6.581, 0.0005, "Çengel 9-41, face up");
    close(air.h(Law::FaceDownTextbook, 30.0, length), 3.291, 0.0005, "Çengel 9-41, face down");
    // Çengel, problem 9-19E: a plate of 2 ft, 130 °F in air of 75 °F, in the book's own units.
    let ra = 32.2 * 0.001_778 * 55.0 * 8.0 * 0.7256 / (0.1823e-3 * 0.1823e-3);
    close(ra, 5.503e8, 0.001, "Çengel 9-19E, Ra");
    close(Law::Upright.nusselt(5.503e8, 0.7256), 102.6, 0.0006, "Çengel 9-19E, Nu");
    // Çengel, problem 9-26: a board of 0.15 m × 0.20 m that gives off 8 W in a room of 20 °C, ε 0.8; upright (the answer
    // from memory) and face up. As the book has it: h at the first guess of 45 °C, then the surface that carries 8 W.
    let air = Air(0.02607, 1.631e-5, 0.7275, 0.003_273);
    let surface = |h: f64| {
        let carried = |t: f64| (h * (t - 20.0) + radiated(0.8, t + 273.0, 293.0)) * 0.03;
        let (mut low, mut high) = (20.1, 90.0);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if carried(middle) < 8.0 { low = middle } else { high = middle }
        }
        low
    };
    let (upright, flat) = (air.h(Law::Upright, 25.0, 0.20), air.h(Law::FaceUpTextbook, 25.0, 0.03 / 0.7));
    close(surface(upright), 46.6, 0.001, "Çengel 9-26, upright, °C");
    close(flat, 6.696, 0.0005, "Çengel 9-26, face up, h");
    close(surface(flat), 42.6, 0.001, "Çengel 9-26, face up, °C");
    // Lienhard, example 8.1: a plate of 0.4 m, 313 K in air of 287 K, g 9.8; the book takes the law of Squire and Eckert,
    // ours for laminar flow gives 5.1 % less.
    let ra = 9.8 / 287.0 * 26.0 * 0.4 * 0.4 * 0.4 / (1.566e-5 * 2.203e-5);
    close(Law::UprightLaminar.nusselt(ra, 0.711) * 0.02614 / 0.4, 4.059 * (1.0 - 0.051), 0.0005, "Lienhard 8.1, h");
    // Sukhatme, example 6.1: upright plate of 0.5 m, 100 °C in air of 40 °C, laminar law.
    let air = Air(0.0297, 20.02e-6, 0.694, 1.0 / 343.0);
    close(Law::UprightLaminar.nusselt(air.rayleigh(60.0, 0.5), 0.694), 71.887, 0.0005, "Sukhatme 6.1");
}

#[test]
fn a_duct_and_a_sealed_box() {
    // Incropera 6e, example 9.3: a duct 0.75 m × 0.3 m, 45 °C in air of 15 °C.
    let (nu, alpha, k) = (16.2e-6, 22.9e-6, 26.5e-3);
    let ra = |l: f64| G * 3.3e-3 * 30.0 * l * l * l / (nu * alpha);
    let side = Law::UprightLaminar.nusselt(ra(0.3), 0.71) * k / 0.3;
    let top = 0.15 * libm::cbrt(ra(0.375)) * k / 0.375;
    let bottom = Law::FaceDownTextbook.nusselt(ra(0.375), 0.71) * k / 0.375;
    close((2.0 * side * 0.3 + (top + bottom) * 0.75) * 30.0, 246.0, 0.001, "Incropera 9.3, W/m");
    // Çengel, sealed electronic box 0.5 × 0.5 × 0.15 m: 32 °C in air of 25 °C, ε 0.85.
    let air = Air(0.02577, 1.594e-5, 0.7286, 0.003317);
    close(air.h(Law::FaceUpTextbook, 7.0, 0.125), 3.741, 0.0005, "box, top");
    close(air.h(Law::Upright, 7.0, 0.15), 3.53, 0.001, "box, sides");
    close(radiated(0.85, 305.0, 298.0) * (0.25 + 0.3), 20.34, 0.001, "box, radiated");
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
fn gaps() {
    // Incropera 6e, example 9.5: tubes of 0.1 and 0.12 m, 120 and 35 °C.
    let ra = G * 2.85e-3 * 85.0 * 1e-6 / (20.92e-6 * 29.9e-6);
    let k = 0.030 * between_cylinders(ra, 0.7, 0.1, 0.12);
    let per_metre = 2.0 * std::f64::consts::PI * k * 85.0 / libm::log(1.2);
    close(per_metre, 100.0, 0.005, "Incropera 9.5, W/m");
    // Çengel, tubes of 40 and 70 mm, 45 and 33.34 °C.
    let air = Air(0.02656, 1.694e-5, 0.7257, 0.003203);
    let ra = air.rayleigh(11.66, 0.015);
    close(ra, 3125.0, 0.001, "Çengel tubes, Ra");
    close(0.02656 * between_cylinders(ra, 0.7257, 0.04, 0.07), 0.03751, 0.0005, "Çengel tubes, k_eff");
    // Çengel, spheres of 20 and 30 cm, 320 and 280 K; the answer from memory.
    let air = Air(0.02566, 1.580e-5, 0.7290, 1.0 / 300.0);
    let ra = air.rayleigh(40.0, 0.05);
    close(ra, 477_600.0, 0.0005, "Çengel spheres, Ra");
    let k = 0.02566 * between_spheres(ra, 0.7290, 0.2, 0.3);
    close(k, 0.1104, 0.001, "Çengel spheres, k_eff");
    close(k * std::f64::consts::PI * 0.06 / 0.05 * 40.0, 16.7, 0.003, "Çengel spheres, W");
    // Elenbaas, as printed by the documentation of an equation solver's library: gap 0.09 m, length 3 m.
    close(Law::ChannelElenbaas.nusselt(931_211.0 * 0.09 / 3.0, 0.7), 7.748, 0.0001, "channel");
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
    let eta = fins::straight(h, WattsPerMetreKelvin::si(240.0), Metres::si(1e-3), Metres::si(0.024));
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
    close(fins::straight(h(45.0), k(386.0), m(2e-3), m(0.02 - 1e-3)), 0.985, 0.0005, "plate fins, bare length");
    // Its pin fins as printed: m 14.40 1/m, 20 mm, 0.973; a pin so thin that its tip does not count has m² = 4h/(k·d).
    let thin = 1e-7;
    close(fins::pin(h(14.40 * 14.40 * 100.0 * thin / 4.0), k(100.0), m(thin), m(0.02)), 0.973, 0.0005, "pin fins");
    // Its plate-fin sink: 15 W, air of 37 °C, 0.126 m² of fins, 0.0090 m² between them.
    close(37.0 + 15.0 / (45.0 * (0.985 * 0.126 + 0.0090)), 39.5, 0.0005, "plate fins, °C of the base");
    // Incropera 6e, example 3.2: a chip with a joint of 0.9e-4 m²·K/W to a plate of 8 mm, k 239, cooled on both sides by
    // h 100 in 25 °C, 10⁴ W/m².
    let joined = 0.9e-4 + 0.008 / 239.0 + 1.0 / 100.0;
    close(25.0 + 1e4 / (1.0 / joined + 100.0), 75.3, 0.0005, "Incropera 3.2, °C");
    // Incropera 6e, example 3.10: annular fins, 25 to 45 mm, 6 mm thick, k 186, h 50; the book reads 0.95 off a chart.
    let eta = fins::annular(h(50.0), k(186.0), m(6e-3), m(0.025), m(0.045));
    close(eta, 0.978_552_200_842_048_6, 1e-9, "annular fins by scipy's Bessel functions");
    close(eta, 0.95, 0.031, "annular fins by the book's chart");
    let per_fin = 2.0 * std::f64::consts::PI * (0.048 * 0.048 - 0.025 * 0.025);
    let bare = (0.15 - 5.0 * 6e-3) * 2.0 * std::f64::consts::PI * 0.025;
    close(50.0 * 200.0 * (5.0 * 0.95 * per_fin + bare), 689.6, 0.001, "Incropera 3.10 with the book's efficiency");
    // Incropera 6e, example 3.11: a fuel cell of 50 mm square between two sinks with 22 fins of 1 mm x 8 mm in all, k 200,
    // h 19.1, bases of 2 mm, joints of 1e-3 m²·K/W, 11.25 W, air of 25.15 °C; tips that give off nothing.
    let (face, fins_of) = (0.05 * 0.05, 22.0);
    let eta = fins::straight(h(19.1), k(200.0), m(1e-3), m(8e-3 - 0.5e-3));
    let fin = 2.0 * (0.05 + 1e-3) * 8e-3;
    let to_air = 19.1 * (fins_of * fin * eta + 2.0 * face - fins_of * 1e-3 * 0.05);
    let rise = 11.25 * ((1e-3 + 2e-3 / 200.0) / (2.0 * face) + 1.0 / to_air);
    close(25.15 + rise, 54.47, 0.0001, "Incropera 3.11, °C");
    // Incropera 6e, example 3.9: rods of 5 mm, 100 °C in air of 25 °C, h 100: a long pin is an endless rod.
    for (conductivity, watts) in [(398.0, 8.33), (180.0, 5.60), (14.0, 1.56)] {
        let length = 3.0;
        let eta = fins::pin(h(100.0), k(conductivity), m(5e-3), m(length));
        let area = std::f64::consts::PI * 5e-3 * (length + 1.25e-3);
        close(eta * 100.0 * area * 75.0, watts, 0.003, "Incropera 3.9");
    }
}

#[test]
fn view_factors_of_textbooks() {
    let one = Metres::si(1.0);
    close(parallel(one, one, one), 0.1998, 0.0002, "aligned squares at their own distance (Incropera, table 13.2)");
    close(perpendicular(one, one, one), 0.20, 0.0003, "squares with a common edge (from memory)");
}
