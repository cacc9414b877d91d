//! Light of whole examples against hand figures: what the sheets print must follow from what the spec gives.
//! Hand figures: luminance by L = Φ/πA, lux of a disc and a square of the distance, colours by summing the channels.

use std::f64::consts::PI;

use lampwright::Compiled;
use lampwright::physics::light::beam::blur;
use lampwright::physics::light::chromaticity::Chromaticity;
use lampwright::quantity::Metres;

use super::csv_rows::close;
use super::light_vectors::near;
use crate::support::figure;

/// Light of the dice that leaves the lamp is what the targets may use; each mix has the wanted chromaticity by
/// X = x/y Φ summed over the channels, and the flux that is printed. Alder and Heron dim currents, whose light goes with
/// i^0.9; Alder's follow its level by the curve that `light_box.rs` holds against scipy. Slate gates full light.
#[test]
fn printed_levels_mix_the_printed_colour() {
    let lamps = [
        ("alder-table", &["candle", "evening", "paper", "dusk"][..], 0.9),
        ("heron-head", &["evening", "desk"], 0.9),
        ("slate-wall", &["evening", "day"], 1.0),
    ];
    for (name, targets, bend) in lamps {
        let lamp = crate::support::example(name, None);
        let out = figure(&lamp, "light.out") / figure(&lamp, "light.dice");
        for target in targets {
            let (mut x, mut y, mut z) = (0.0, 0.0, 0.0);
            for (channel, solved) in lamp.lamp.driver.channels.iter().zip(&lamp.solution.channels) {
                let of = |what: &str| figure(&lamp, &format!("light.channel.{}{what}", channel.name));
                let level = figure(&lamp, &format!("light.target.{target}.level.{}", channel.name));
                let flux = of("") * libm::pow(solved.transfer().share(level), bend);
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

/// Alder: a disc of 103.4 mm between its lips (112 − 0.6 − 8); nineteen diameters off it is a point to 0.1 %.
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

/// Slate at the distance that the endless grid calls soft: the dots of one channel by hand, E = Φh²/π(r² + h²)² of its
/// four dice and what the box throws back, each pair against the straight line between its spots. A short row in a white
/// box is a little softer than the endless grid.
#[test]
fn dots_of_a_row_agree_with_the_endless_grid() {
    let lamp = crate::support::example("slate-wall", None);
    let soft = figure(&lamp, "light.even.soft-at") * 1e3;
    let text = include_str!("../../examples/slate-wall.lamp");
    let nearer = text.replace("distance    45 mm", &format!("distance    {soft:.3} mm"));
    assert_ne!(nearer, text);
    let nearer = crate::support::compile(&nearer, None).unwrap();
    let dots = figure(&nearer, "light.even.warm.dots");
    let (h, flux) = (soft * 1e-3, figure(&nearer, "light.channel.warm"));
    let back = figure(&nearer, "light.channel.warm.on-sheet") - figure(&nearer, "light.channel.warm.direct");
    let even = flux * back / figure(&nearer, "light.face.area");
    let at = |x: f64| {
        let die = |k: f64| (x - k * 0.02) * (x - k * 0.02) + h * h;
        even + [-3.0, -1.0, 1.0, 3.0].map(|k| flux / 4.0 * h * h / PI / (die(k) * die(k))).iter().sum::<f64>()
    };
    let dip = |a: f64, b: f64, t: f64| {
        let (line, found) = (at(a) + (at(b) - at(a)) * t, at(a + (b - a) * t));
        (line - found) / (line + found)
    };
    let pairs = [(-0.06, -0.02), (-0.02, 0.02)];
    let most = pairs.iter().flat_map(|(a, b)| [0.25, 0.5, 0.75].map(|t| dip(*a, *b, t))).fold(0.0, f64::max);
    let kept = blur(Metres::si(0.04), Metres::si(0.5e-3), Metres::si(3e-3));
    close(dots, most * kept, 5e-3, "by hand");
    assert!((0.07..0.105).contains(&dots), "{dots} where the endless grid has 0.10");
    assert!(dots > 3.0 * figure(&lamp, "light.even.warm.dots"));
}

/// Heron: eight bits hold 1/255; a lower current is more efficient by l^0.9, and cool dice give e^((T_j − 25 °C)/570 K)
/// more than hot ones. One count more looks brighter by the difference of two cube roots.
#[test]
fn the_dark_end_follows_droop_and_heat() {
    let lamp = crate::support::example("heron-head", None);
    let junction = figure(&lamp, "heat.junction.warm") - 298.15;
    let share = |counts: f64| libm::pow(counts / 255.0, 0.9) * libm::exp(junction / 570.0);
    close(figure(&lamp, "light.low.warm.share"), share(1.0), 1e-9, "share");
    let lightness = |y: f64| if y > 216.0 / 24389.0 { 116.0 * libm::cbrt(y) - 16.0 } else { y * 24389.0 / 27.0 };
    close(figure(&lamp, "light.low.warm.step"), lightness(share(2.0)) - lightness(share(1.0)), 1e-9, "step");
    let out = figure(&lamp, "light.out") / figure(&lamp, "light.dice") * figure(&lamp, "light.channel.warm");
    close(figure(&lamp, "light.low.warm.flux"), out * share(1.0), 1e-9, "flux");
}

/// Alder without its opal sheet: dice 3√2 mm off the middle, 95 mm behind an opening of 103.4 mm.
#[test]
fn an_edge_hides_bare_dice_by_its_angle() {
    let text = include_str!("../../examples/alder-table.lamp").replace("opal-acrylic", "clear-acrylic");
    let lamp = crate::support::compile(&text, None).unwrap();
    let angle = libm::atan(95.0 / (51.7 + 3.0 * 2f64.sqrt()));
    close(figure(&lamp, "light.cutoff.angle"), angle, 1e-9, "angle");
    close(figure(&lamp, "light.cutoff.needed"), PI / 6.0, 1e-12, "dice of millions of cd/m² want 30°");
    let brightest = ["red", "green", "blue", "warm"].map(|name| figure(&lamp, &format!("light.channel.{name}")));
    let most = brightest.into_iter().fold(0.0, f64::max) / (PI * 1e-6);
    close(figure(&lamp, "light.cutoff.luminance"), most, 1e-9, "a square of 1 mm");
}

/// One law for light and heat: flux and radiant power of a white fall alike, from the temperature that is written.
#[test]
fn a_stated_temperature_moves_light_and_heat_alike() {
    let slate = include_str!("../../examples/slate-wall.lamp");
    let warm = slate.replace("efficiency  40 %", "efficiency  40 %\n        stated-at 85 °C");
    let (cold, warm) = (crate::support::compile(slate, None).unwrap(), crate::support::compile(&warm, None).unwrap());
    for (lamp, stated) in [(&cold, 25.0), (&warm, 85.0)] {
        let left = libm::exp(-(figure(lamp, "heat.junction.warm") - 273.15 - stated) / 570.0);
        close(figure(lamp, "light.channel.warm") / figure(lamp, "light.channel.warm.stated"), left, 1e-9, "light");
        close(figure(lamp, "heat.light.warm"), left, 1e-9, "radiant power");
    }
    assert!(figure(&warm, "light.out") > 1.08 * figure(&cold, "light.out"));
    assert!(figure(&warm, "heat.judged.hottest") < figure(&cold, "heat.judged.hottest"));
}

/// Slate at half of `day`: pulses that start together, 2l of one channel and 2l' of the other, against pulses one after
/// the other. By hand from the printed levels; the index is the light above the mean by all light.
#[test]
fn mixed_light_flickers_by_levels_and_phases() {
    let slate = include_str!("../../examples/slate-wall.lamp");
    let apart = slate.replace("channel cool { feeds cool;", "channel cool { phase 50 %; feeds cool;");
    assert_ne!(slate, apart);
    let [together, apart] = [slate, &apart].map(|text| crate::support::compile(text, None).unwrap());
    let level = |name: &str| figure(&together, &format!("light.target.day.level.{name}"));
    let full = |name: &str| figure(&together, &format!("light.channel.{name}"));
    let (warm, cool) = (level("warm"), level("cool"));
    assert!(warm.min(cool) > 0.0 && warm.min(cool) < 1.0);
    let depth = |lamp: &Compiled| figure(lamp, "light.together.day.asked.modulation");
    // The channel at the lower level goes dark for the end of the period, the other shines on.
    let goes = if warm < cool { full("warm") } else { full("cool") };
    let all = full("warm") + full("cool");
    assert!(warm.max(cool) > 1.0 - 1e-9);
    close(depth(&together), goes / (2.0 * all - goes), 1e-9, "(max - min)/(max + min)");
    close(depth(&apart), depth(&together), 1e-9, "where the other shines on, its phase says nothing");

    let index = |lamp: &Compiled| figure(lamp, "light.together.day.half.index");
    let (a, b) = (warm / 2.0, cool / 2.0);
    let (both, mean) = (a.min(b), a * full("warm") + b * full("cool"));
    let (alone, rest) = if a < b { (full("cool"), b - a) } else { (full("warm"), a - b) };
    let above = both * (all - mean) + rest * (alone - mean).max(0.0);
    close(index(&together), above / mean, 1e-9, "one on the other");
    let above = a * (full("warm") - mean).max(0.0) + b * (full("cool") - mean).max(0.0);
    close(index(&apart), above / mean, 1e-9, "one after the other");
    let shimmer = |lamp: &Compiled| figure(lamp, "light.together.day.half.stroboscopic");
    assert!(shimmer(&apart) < 0.5 * shimmer(&together));
}

/// Heron with a light filter: a channel's ripple r at half is of low risk alone, but rides on less light in a dark mix:
/// r/l of the current at l/2, light by (l/2)^0.9 and its ripple 0.9 as deep, with 0.08 %·f as the limit.
#[test]
fn a_dark_mix_flickers_where_its_channels_do_not() {
    let heron = include_str!("../../examples/heron-head.lamp");
    let light = |c: &str| format!("pwm 400 Hz\n    filter {{ resistor 10 kΩ; capacitor {c}; stages 1 }}");
    for (capacitor, raised) in [("8 µF", true), ("20 µF", false)] {
        let text = heron.replace("pwm         20 kHz", &light(capacitor));
        let lamp = crate::support::compile(&text, None).unwrap();
        let ripple = figure(&lamp, "light.flicker.warm.modulation");
        let full = |name: &str| figure(&lamp, &format!("light.channel.{name}"));
        let level = |name: &str| figure(&lamp, &format!("light.target.desk.level.{name}"));
        let lit = |name: &str| full(name) * libm::pow(level(name) / 2.0, 0.9);
        let rides = |name: &str| lit(name) * 0.9 * ripple / level(name);
        let by_hand = (rides("warm") + rides("cool")) / (lit("warm") + lit("cool"));
        let found = figure(&lamp, "light.together.desk.half.modulation");
        close(found, by_hand, 1e-6, capacitor);
        assert!(ripple < 0.32 && (found > 0.32) == raised, "{capacitor}: {ripple} alone, {found} mixed");
        let of_flicker = crate::support::findings(&lamp).into_iter().filter(|n| n == "light/flicker").count();
        assert_eq!(of_flicker, usize::from(raised), "{capacitor}");
    }
}
