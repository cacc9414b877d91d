//! The box between dice and sheet in whole lamps: what reaches the sheet and leaves it, faces of odd outlines, dots.
//! Hand figures: a box of three zones solved apart from the program (numpy), areas of polygons inset by plane geometry.

use std::f64::consts::PI;

use lampwright::Compiled;

use super::csv_rows::{close, rows};
use super::light_vectors::near;
use crate::support::{example, examples, figure, findings, text_of, varied};

/// An example with these statements laid over it.
fn with(name: &str, statements: &str) -> Compiled {
    varied(&text_of(name), statements)
}

/// Alder: a round face of 103.4 mm is a square of 91.6 mm; dice in the middle put R²/(R² + h²) = 0.2285 on it. Three
/// zones by numpy: G 0.4468, 0.6451, 0.7251 for walls of 60 %, 80 %, 85 %.
#[test]
fn the_budget_follows_the_box() {
    let mut last = 0.0;
    for (walls, expected) in [("60 %", 0.4468), ("80 %", 0.6451), ("85 %", 0.7251)] {
        let lamp = with("alder-table", &format!("enclosure {{ reflectance {walls} }}"));
        near(figure(&lamp, "light.channel.warm.direct"), 0.2285, 0.002, "at once");
        near(figure(&lamp, "light.channel.warm.on-sheet"), expected, 0.004, walls);
        let out = figure(&lamp, "light.out");
        close(out, figure(&lamp, "light.at-sheet") * 0.62, 1e-9, "through the sheet");
        assert!(out > last, "a whiter box gives more light");
        last = out;
    }
    let at = |mm: f64| figure(&with("alder-table", &format!("emitter {{ distance {mm} mm }}")), "light.out");
    let (near_by, far) = (at(30.0), at(300.0));
    assert!(near_by > 1.2 * last && far < 0.8 * last, "{near_by} {last} {far}");
    // The author's own share stands in place of the box.
    let stated = with("alder-table", "diffuser { box 85 % }");
    close(figure(&stated, "light.at-sheet"), 0.85 * figure(&stated, "light.dice"), 1e-12, "stated");
}

/// One model: the map's mean is the light on the sheet by its area, and no box gives out more than its dice make.
#[test]
fn no_box_makes_light() {
    for (walls, board, sheet, mm) in
        [(3, 3, 40, 95.0), (98, 98, 30, 20.0), (98, 98, 95, 200.0), (90, 10, 62, 12.0), (99, 99, 100, 60.0)]
    {
        let lamp = with(
            "alder-table",
            &format!(
                "enclosure {{ reflectance {walls} % }} emitter {{ reflectance {board} %; distance {mm} mm }} \
                 diffuser {{ transmission {sheet} % }}"
            ),
        );
        let (dice, on, out) =
            (figure(&lamp, "light.dice"), figure(&lamp, "light.at-sheet"), figure(&lamp, "light.out"));
        assert!(out < dice * (1.0 + 1e-12), "{walls} {board} {sheet} {mm}: {out} of {dice}");
        assert!((out / on / (f64::from(sheet) / 100.0) - 1.0).abs() < 1e-9);
        let (radiant, kept) = (figure(&lamp, "heat.radiant"), figure(&lamp, "heat.trapped-light"));
        close(figure(&lamp, "light.radiant-out") + kept, radiant, 1e-9, "what does not leave stays");
        assert!(kept >= -1e-12 * radiant);
    }
    for name in examples() {
        let lamp = example(&name, None);
        let even = lamp.solution.look.even.as_ref().expect("evenness");
        let mean = figure(&lamp, "light.at-sheet") / figure(&lamp, "light.face.area");
        close(even.all.measures.mean.value(), mean, 0.02, &name);
    }
}

/// A right-angled triangle of 100 mm legs, r = 29.29 mm, and an equilateral one in a circle of 112 mm, r = 28 mm: what a
/// lip of 4 mm leaves is A (1 − 4/r)².
#[test]
fn faces_of_corners_are_inset_exactly() {
    let right = 5e-3 * (1.0 - 4.0 / (100.0 * (1.0 - 0.5_f64.sqrt()))).powi(2);
    let even = 3.0 * 3f64.sqrt() / 4.0 * 0.056 * 0.056 * (1.0 - 4.0_f64 / 28.0).powi(2);
    for (outline, area) in [
        ("outline path; points [(-35 mm, -35 mm), (65 mm, -35 mm), (-35 mm, 65 mm)]", right),
        ("outline polygon; sides 3; diameter 112 mm", even),
        ("outline rounded-rectangle; width 100 mm; height 60 mm; corner 10 mm", 0.092 * 0.052 - (4.0 - PI) * 36e-6),
    ] {
        let lamp = with("alder-table", &format!("diffuser {{ {outline} }}"));
        close(figure(&lamp, "light.face.area"), area, 1e-6, outline);
        // Far away a face is a point of its area.
        close(figure(&lamp, "light.lux.3000mm"), figure(&lamp, "light.out") / PI / 9.0, 2e-3, outline);
    }
}

/// Pairs of dice 3 mm apart, 60 mm from pair to pair, 15 mm behind the sheet: the pairs are plain dots.
#[test]
fn pairs_of_dice_are_dots() {
    let pairs = "step (3 mm, 0 mm); row 2; row-step (60 mm, 0 mm)";
    let lamp =
        with("slate-wall", &format!("emitter {{ distance 15 mm; die warm {{ {pairs} }} die cool {{ {pairs} }} }}"));
    assert!(figure(&lamp, "light.even.warm.dots") > 0.3, "{}", figure(&lamp, "light.even.warm.dots"));
    assert!(findings(&lamp).contains(&"light/hot-spot".to_owned()), "{:?}", findings(&lamp));
}

/// Three bare dice 3 mm apart are in one field of 20 mm, 34 mm apart they are not.
#[test]
fn bare_dice_in_one_field_are_screened_together() {
    let lamp = |step: &str| {
        let dice = format!("die warm {{ first (-3 mm, 40 mm); {step} }} die cool {{ first (-3 mm, -40 mm); {step} }}");
        with("heron-head", &format!("diffuser {{ material clear-acrylic }} emitter {{ {dice} }}"))
    };
    let (close_by, apart) = (lamp("step (3 mm, 0 mm)"), lamp("step (30 mm, 0 mm)"));
    let over = |lamp: &Compiled| figure(lamp, "light.blue.over-100") / figure(lamp, "light.blue.radiance");
    close(over(&close_by), 3.0 * over(&apart), 1e-9, "over 100 mrad");
}

/// The table lamp's filtered reference holds the peak of a switched current; scipy `solve_ivp` (DOP853, rtol 1e-12) over
/// string, inductor, switch, diode, amplifier and comparator with the parts of the values sheet.
#[test]
fn levels_make_up_for_a_peak_that_is_held() {
    let alder = example("alder-table", None);
    for row in rows(include_str!("../reference/electrical/held.csv")) {
        let name = row.text("channel");
        let part = |what: &str| figure(&alder, &format!("drive.{name}.{what}"));
        for (what, column) in
            [("string-offset", "offset_V"), ("string-slope", "slope_ohm"), ("sense", "sense_ohm"), ("gain", "gain")]
        {
            close(part(what), row.number(column), 1e-12, &format!("{name}: {what} is another part"));
        }
        let channel = alder.solution.channels.iter().find(|c| c.name == name).expect("a channel");
        let (level, share) = (row.number("level"), row.number("share"));
        close(channel.transfer().share(level), share, 1e-9, &row.line());
        close(channel.transfer().level(share), level, 1e-9, &row.line());
    }
}

/// Filtered currents give light by l^0.9: half of the lightness, 18.42 % of the light, is 15.3 % of the current.
#[test]
fn even_steps_follow_the_droop() {
    let heron = example("heron-head", None);
    let bent = libm::pow(figure(&heron, "dimming.50.share"), 1.0 / 0.9);
    close(figure(&heron, "dimming.50.warm.level"), bent, 1e-12, "level");
    let counts = heron.solution.ledger.shown("dimming.50.warm.counts").expect("counts");
    assert_eq!(counts, "39", "255 · 0.1842^(1/0.9)");
    let slate = example("slate-wall", None);
    close(figure(&slate, "dimming.50.warm.level"), figure(&slate, "dimming.50.share"), 1e-12, "gated");
    // One definition of a step on both sheets.
    for name in examples() {
        let lamp = example(&name, None);
        for (channel, low) in &lamp.solution.look.low {
            let low = low.as_ref().unwrap_or_else(|m| panic!("{name}: {m:?}"));
            let step = figure(&lamp, &format!("drive.{channel}.step"));
            assert!(if low.by_step { low.level == step } else { low.level > step }, "{name}, {channel}");
        }
    }
}

/// What a figure of light says it comes from stands in the ledger, and nothing that moves it is left out.
#[test]
fn origins_of_light_are_whole() {
    use lampwright::ledger::Origin;
    for name in examples() {
        let lamp = example(&name, None);
        let ledger = &lamp.solution.ledger;
        for entry in ledger.iter().filter(|e| e.path.starts_with("light.")) {
            let Origin::Computed { inputs, .. } = &entry.origin else { continue };
            for input in inputs {
                assert!(ledger.get(&input.path).is_some(), "{name}: {} comes from {}", entry.path, input.path);
            }
        }
    }
    let lamp = example("alder-table", None);
    let comes_from = |path: &str| -> Vec<String> {
        match &lamp.solution.ledger.get(path).unwrap_or_else(|| panic!("no {path}")).origin {
            Origin::Computed { inputs, .. } => inputs.iter().map(|i| i.path.clone()).collect(),
            _ => Vec::new(),
        }
    };
    for (path, input) in [
        ("light.target.candle.level.red", "aim.candle.flux"),
        ("light.target.candle.flux", "light.channel.warm.out"),
        ("light.target.candle.power", "drive.warm.input"),
        ("light.target.candle.drift", "light.channel.red.cold"),
        ("light.channel.red.x", "emitter.red.width"),
        ("light.even.warm.least-by-most", "emitter.warm.first"),
        ("light.even.warm.least-by-most", "emitter.warm.beam"),
        ("light.even.warm.least-by-most", "diffuser.thickness"),
        ("light.face.area", "diffuser.diameter"),
        ("light.face.area", "diffuser.seat.lip"),
        ("light.blue.weight", "light.channel.blue.blue"),
    ] {
        assert!(comes_from(path).iter().any(|p| p == input), "{path} does not name {input}: {:?}", comes_from(path));
    }
}
