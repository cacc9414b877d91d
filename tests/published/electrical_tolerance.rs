//! Tolerance of the set current against stored vectors (tolerance.json) and published examples of uncertainty.

use lampwright::physics::electrical::sampling::{SplitMix64, monte_carlo};
use lampwright::physics::electrical::set_current::{SetCurrentChain, Toleranced};
use lampwright::physics::electrical::tolerance::{root_sum_square, standard_uncertainty};
use lampwright::quantity::{Amperes, Ohms, Ratio, Volts};
use serde_json::Value;

use super::electrical::{CLOSED_FORM, close, number, rows};

fn vectors() -> Value {
    serde_json::from_str(include_str!("../reference/electrical/tolerance.json")).expect("vectors")
}

fn chain(vectors: &Value, duty: f64) -> SetCurrentChain {
    let at = |index: usize| {
        let value = |key: &str| vectors[key][index].as_f64().expect("a number");
        (value("nominal"), value("half_width"))
    };
    let volts = |index| {
        let (nominal, half_width) = at(index);
        Toleranced { nominal: Volts::si(nominal), half_width: Volts::si(half_width) }
    };
    let ohms = |index| {
        let (nominal, half_width) = at(index);
        Toleranced { nominal: Ohms::si(nominal), half_width: Ohms::si(half_width) }
    };
    SetCurrentChain {
        duty,
        pin_supply: volts(0),
        feedback: ohms(1),
        ground: ohms(2),
        sense: ohms(3),
        amplifier_offset: volts(4),
        comparator_offset: volts(5),
    }
}

#[test]
fn guaranteed_limits_and_contributions() {
    let vectors = vectors();
    for case in rows(&vectors, "cases") {
        let chain = chain(&vectors, number(case, "D"));
        close("nominal", chain.nominal_current().value(), number(case, "nominal"), CLOSED_FORM);
        let extremes = chain.extremes();
        assert!(extremes.monotone, "all 64 corners lie within the two of the slopes");
        close("low", extremes.low.value(), number(case, "worst_lo"), CLOSED_FORM);
        close("high", extremes.high.value(), number(case, "worst_hi"), CLOSED_FORM);
        let contributions = chain.contributions();
        for (found, expected) in contributions.iter().zip(rows(case, "contrib")) {
            close("contribution", found.value(), expected.as_f64().unwrap(), CLOSED_FORM);
        }
        let rss: Amperes = root_sum_square(&contributions);
        close("root sum square", rss.value(), number(case, "rss_of_tolerances"), CLOSED_FORM);
        close("u", standard_uncertainty(&contributions).value(), number(case, "u_rect"), CLOSED_FORM);
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
        close("first", chain.current_at(&draws).value(), number(case, "first_I"), 2e-12);
        let mc = &case["mc"];
        let mut sample = monte_carlo(6, mc["N"].as_u64().unwrap() as usize, 42, |p| chain.current_at(p));
        close("mean", sample.mean.value(), number(mc, "mean"), CLOSED_FORM);
        for (p, key) in [(0.0, "min"), (0.001, "q0p1"), (0.025, "q2p5"), (0.5, "q50"), (1.0, "max")] {
            close(key, sample.quantile(p).value(), number(mc, key), 2e-12);
        }
        for (p, key) in [(0.975, "q97p5"), (0.999, "q99p9")] {
            close(key, sample.quantile(p).value(), number(mc, key), 2e-12);
        }
        close("deviation", sample.deviation.value(), number(mc, "std"), 1e-11);
    }
}

#[test]
fn quantiles_on_halton_points() {
    let vectors = vectors();
    for row in rows(&vectors["conditional_halton"], "results") {
        let chain = chain(&vectors, number(row, "D"));
        let found = chain.quantiles([0.001, 0.025, 0.975, 0.999], number(row, "N") as u32).unwrap();
        for (value, key) in found.into_iter().zip(["0.001", "0.025", "0.975", "0.999"]) {
            close(key, value.value(), number(&row["quantiles"], key), 1e-10);
        }
    }
}

#[test]
fn examples_of_the_guide_on_uncertainty() {
    let root3 = 3f64.sqrt();
    // JCGM 101:2008, 9.2.3: four rectangular inputs of unit deviation, 95 % within ±3.88.
    let sum = |p: &[f64]| Ratio::si(root3 * p.iter().sum::<f64>());
    let published = &vectors()["jcgm101"];
    let mut sample = monte_carlo(4, 200_000, 7, sum);
    let (low, high) = (sample.quantile(0.025).value(), sample.quantile(0.975).value());
    // At 200 000 samples a quantile here scatters by 0.007.
    assert!((low + 3.88).abs() < 0.025 && (high - 3.88).abs() < 0.025, "{low} to {high}");
    close("deviation", sample.deviation.value(), 2.0, 5e-3);
    close("closed form", 2.0 * root3 * (2.0 - 0.6f64.sqrt().sqrt()), number(published, "c9_2_3_exact"), CLOSED_FORM);
    // 9.2.4: the fourth input ten times as wide, 95 % within ±17.0; the straight rule gives ±19.9.
    let wide = |p: &[f64]| Ratio::si(root3 * (p[0] + p[1] + p[2] + 10.0 * p[3]));
    let high = monte_carlo(4, 200_000, 7, wide).quantile(0.975).value();
    assert!((high - 17.0).abs() < 0.05, "{high}");
    let widths = [1.0, 1.0, 1.0, 10.0].map(|w| Ratio::si(w * root3));
    let coverage = 1.959_963_984_540_054 * standard_uncertainty(&widths).value();
    close("straight rule", coverage, number(published, "c9_2_4_GUF"), CLOSED_FORM);
    assert!((coverage - 19.9).abs() < 0.05);
}
