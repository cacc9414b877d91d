//! Light of whole examples against hand figures: what the sheets print must follow from what the spec gives.
//! Hand figures: luminance by L = Φ/πA, lux of a disc and a square of the distance, colours by summing the channels.

use std::f64::consts::PI;

use lampwright::Compiled;
use lampwright::physics::light::chromaticity::Chromaticity;

use super::csv_rows::close;
use super::light_vectors::near;

fn figure(lamp: &Compiled, path: &str) -> f64 {
    let entry = lamp.solution.ledger.get(path).unwrap_or_else(|| panic!("no {path}"));
    entry.value.unwrap_or_else(|| panic!("{path} is no number"))
}

/// Light of the dice that leaves the lamp is what the targets may use; each mix has the wanted chromaticity by
/// X = x/y Φ summed over the channels, and the flux that is printed.
#[test]
fn printed_levels_mix_the_printed_colour() {
    for (name, targets) in
        [("alder-table", &["candle", "evening", "paper", "dusk"][..]), ("slate-wall", &["evening", "day"])]
    {
        let lamp = crate::support::example(name, None);
        let out = figure(&lamp, "light.out") / figure(&lamp, "light.dice");
        for target in targets {
            let (mut x, mut y, mut z) = (0.0, 0.0, 0.0);
            for channel in &lamp.lamp.driver.channels {
                let of = |what: &str| figure(&lamp, &format!("light.channel.{}{what}", channel.name));
                let level = figure(&lamp, &format!("light.target.{target}.level.{}", channel.name));
                let flux = of("") * level;
                x += flux * of(".x") / of(".y");
                y += flux;
                z += flux * (1.0 - of(".x") - of(".y")) / of(".y");
            }
            let sum = x + y + z;
            let wanted = |what: &str| figure(&lamp, &format!("light.target.{target}.reached-{what}"));
            near(x / sum, wanted("x"), 1e-8, target);
            near(y / sum, wanted("y"), 1e-8, target);
            close(y * out, figure(&lamp, &format!("light.target.{target}.flux")), 1e-9, target);
            let apart = Chromaticity { x: wanted("x"), y: wanted("y") }.distance(Chromaticity {
                x: figure(&lamp, &format!("light.target.{target}.x")),
                y: figure(&lamp, &format!("light.target.{target}.y")),
            });
            near(apart, figure(&lamp, &format!("light.target.{target}.distance")), 1e-9, target);
        }
    }
}

/// Alder: a disc of 104 mm between its lips (112 - 0.6 - 8), 137 lm; five diameters off it is a point to 1 %.
#[test]
fn a_round_face_has_the_luminance_of_its_area() {
    let lamp = crate::support::example("alder-table", None);
    let area = figure(&lamp, "light.face.area");
    close(area, PI / 4.0 * 0.1034 * 0.1034, 1e-9, "area");
    let luminance = figure(&lamp, "light.out") / (PI * area);
    close(figure(&lamp, "light.face.luminance"), luminance, 1e-12, "luminance");
    close(figure(&lamp, "light.lux.2000mm"), figure(&lamp, "light.out") / PI / 4.0, 1e-3, "a point at 2 m");
    let bright = figure(&lamp, "light.even.all.hot-spot") * luminance;
    close(figure(&lamp, "light.face.brightest"), bright, 1e-12, "brightest");
}

/// Slate: dots of one channel at the distance that the endless grid calls soft are soft by the map of its own dice too.
#[test]
fn dots_of_a_row_agree_with_the_endless_grid() {
    let lamp = crate::support::example("slate-wall", None);
    let soft = figure(&lamp, "light.even.soft-at") * 1e3;
    let text = include_str!("../../examples/slate-wall.lamp");
    let nearer = text.replace("distance    45 mm", &format!("distance    {soft:.3} mm"));
    assert_ne!(nearer, text);
    let nearer = crate::support::compile(&nearer, None).unwrap();
    let dots = figure(&nearer, "light.even.warm.dots");
    near(dots, 0.10, 0.01, "contrast at the soft distance");
    assert!(dots > 3.0 * figure(&lamp, "light.even.warm.dots"));
}
