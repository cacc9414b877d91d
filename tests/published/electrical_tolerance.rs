//! Tolerance of the set current against stored vectors (tolerance.json) and published examples of uncertainty.

use lampwright::physics::electrical::sampling::{Positions, SplitMix64, root_sum_square};
use lampwright::quantity::{Amperes, Ratio};
use serde_json::Value;

use super::electrical::{CLOSED_FORM, close, number, rows};

fn vectors() -> Value {
    serde_json::from_str(include_str!("../reference/electrical/tolerance.json")).expect("vectors")
}

/// `I = (VDD·D − Vos_c)/((1 + Rf/Rg)·Rs) − Vos_a/Rs` with each parameter at its position within its tolerance, −1 to 1,
/// in the order VDD, Rf, Rg, Rs, Vos_a, Vos_c: from a PWM pin through a filter to a sink with a sense amplifier.
fn chain(vectors: &Value, duty: f64) -> impl Fn(&[f64]) -> Amperes {
    let list = |key: &str| -> Vec<f64> { rows(vectors, key).iter().map(|v| v.as_f64().expect("a number")).collect() };
    let (nominal, half_width) = (list("nominal"), list("half_width"));
    move |positions| {
        let at = |index: usize| nominal[index] + half_width[index] * positions[index];
        let gain = 1.0 + at(1) / at(2);
        Amperes::si((at(0) * duty - at(5)) / (gain * at(3)) - at(4) / at(3))
    }
}

#[test]
fn roots_of_the_sum_of_squares() {
    for case in rows(&vectors(), "cases") {
        let each: Vec<Amperes> = rows(case, "contrib").iter().map(|c| Amperes::si(c.as_f64().unwrap())).collect();
        close("root sum square", root_sum_square(&each).value(), number(case, "rss_of_tolerances"), CLOSED_FORM);
    }
}

#[test]
fn the_generator_gives_its_public_reference_vector() {
    let vectors = vectors();
    let mut generator = SplitMix64::new(vectors["splitmix64"]["seed"].as_u64().unwrap());
    for expected in rows(&vectors["splitmix64"], "first5") {
        assert_eq!(generator.next_bits(), expected.as_u64().unwrap());
    }
    assert_eq!(SplitMix64::new(0).next_bits(), 0xe220_a839_7b1d_cdaf);
}

#[test]
fn sampled_quantiles_with_the_same_draws() {
    let vectors = vectors();
    for case in rows(&vectors, "cases") {
        let chain = chain(&vectors, number(case, "D"));
        let mut first = SplitMix64::new(42);
        let draws: Vec<f64> = (0..6).map(|_| 2.0 * first.next_unit() - 1.0).collect();
        close("first", chain(&draws).value(), number(case, "first_I"), 2e-12);
        let mc = &case["mc"];
        let mut sample = Positions::draw(6, mc["N"].as_u64().unwrap() as usize, 42).sample(&chain);
        for (p, key) in [(0.0, "min"), (0.001, "q0p1"), (0.025, "q2p5"), (0.5, "q50"), (1.0, "max")] {
            close(key, sample.quantile(p).value(), number(mc, key), 2e-12);
        }
        for (p, key) in [(0.975, "q97p5"), (0.999, "q99p9")] {
            close(key, sample.quantile(p).value(), number(mc, key), 2e-12);
        }
    }
}

#[test]
fn examples_of_the_guide_on_uncertainty() {
    let root3 = 3f64.sqrt();
    // JCGM 101:2008, 9.2.3: four rectangular inputs of unit deviation, 95 % within ±3.88.
    let sum = |p: &[f64]| Ratio::si(root3 * p.iter().sum::<f64>());
    let published = &vectors()["jcgm101"];
    let mut sample = Positions::draw(4, 200_000, 7).sample(sum);
    let (low, high) = (sample.quantile(0.025).value(), sample.quantile(0.975).value());
    // At 200 000 samples a quantile here scatters by 0.007.
    assert!((low + 3.88).abs() < 0.025 && (high - 3.88).abs() < 0.025, "{low} to {high}");
    close("closed form", 2.0 * root3 * (2.0 - 0.6f64.sqrt().sqrt()), number(published, "c9_2_3_exact"), CLOSED_FORM);
    // 9.2.4: the fourth input ten times as wide, 95 % within ±17.0; the straight rule gives ±19.9.
    let wide = |p: &[f64]| Ratio::si(root3 * (p[0] + p[1] + p[2] + 10.0 * p[3]));
    let high = Positions::draw(4, 200_000, 7).sample(wide).quantile(0.975).value();
    assert!((high - 17.0).abs() < 0.05, "{high}");
    let widths = [1.0, 1.0, 1.0, 10.0].map(|w| Ratio::si(w * root3));
    let coverage = 1.959_963_984_540_054 * root_sum_square(&widths).value() / root3;
    close("straight rule", coverage, number(published, "c9_2_4_GUF"), CLOSED_FORM);
    assert!((coverage - 19.9).abs() < 0.05);
}
