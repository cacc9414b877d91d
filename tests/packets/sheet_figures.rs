//! Figures of the diffuser in the shipped examples against hand calculation.

use crate::support::{example, sheets, text_of, varied};

/// Example, figure, its value in SI units by hand, tolerance, and how it was found.
const BY_HAND: [(&str, &str, f64, f64, &str); 19] = [
    ("alder-table", "cut.diameter", 0.1114, 1e-12, "104 + 8 − 0.6"),
    ("alder-table", "cut.area", 9.746_760e-3, 1e-9, "π/4 · 111.4²"),
    ("alder-table", "cut.mass", 0.034_795_9, 1e-7, "1190 · 3e−3 · A"),
    ("alder-table", "cut.seat.width-hot", 1.915_602e-4, 1e-9, "111.9 · 1.002375 − 111.55 · 1.0028 · 1.001"),
    ("alder-table", "cut.seat.width-cold", 2.103_081e-4, 1e-9, "111.9 · 0.99905 − 111.55 · 0.9993 · 1.001"),
    ("alder-table", "cut.seat.largest", 8.2138e-4, 1e-9, "112.1 · 0.99905 − 111.25 · 0.9993"),
    ("alder-table", "cut.seat.overlap", 3.17862e-3, 1e-8, "4 − 0.82138"),
    ("alder-table", "cut.sag-limit", 3.7133e-4, 1e-8, "111.4/300"),
    ("slate-wall", "cut.area", 0.028_025_388_5, 1e-10, "238 · 118 − (4 − π) 6² − 2 · π/4 · 4.2²"),
    ("slate-wall", "cut.path-width", 0.241_175, 1e-10, "238 + 3.175"),
    ("slate-wall", "cut.left.path", 1.025e-3, 1e-12, "4.2 − 3.175"),
    ("slate-wall", "cut.left.edge", 0.014, 1e-12, "119 − 105"),
    ("slate-wall", "cut.left.web", 0.0119, 1e-12, "14 − 2.1"),
    ("slate-wall", "cut.left.edge-wanted", 0.0084, 1e-12, "2 · 4.2"),
    ("heron-head", "cut.rim.web", 0.0064, 1e-12, "71 − 63 − 1.6"),
    ("heron-head", "cut.opening.web", 0.0464, 1e-12, "63 − 15 − 1.6"),
    ("longsill-linear", "cut.seat.height-fitted", 1e-3, 1e-12, "49 − 48"),
    ("longsill-linear", "cut.seat.least", 2.103_524e-4, 1e-9, "926.3 · 1.0017 − 924.15 · 1.0028 · 1.001"),
    ("longsill-linear", "cut.seat.overlap", 2.625_191_5e-3, 1e-9, "5.5 − (926.7 · 0.99898 − 923.85 · 0.99895)"),
];

#[test]
fn figures_meet_the_hand_calculation() {
    for (name, path, expected, tolerance, by) in BY_HAND {
        let compiled = example(name, None);
        let entry = compiled.solution.ledger.get(path).unwrap_or_else(|| panic!("{name} has no {path}"));
        let value = entry.value.unwrap_or(f64::NAN);
        assert!((value - expected).abs() <= tolerance, "{name} {path}: {value:e}, by hand {expected:e} = {by}");
    }
}

#[test]
fn spares_are_counted_for_every_lamp() {
    let compiled = example("alder-table", None);
    assert_eq!(compiled.solution.ledger.shown("cut.pieces"), Some("4"), "2 lamps, one spare for each");
}

#[test]
fn a_size_nobody_gave_is_missing_and_nothing_passes() {
    let compiled = varied(&text_of("alder-table"), "diffuser { diameter unknown }");
    let missing = compiled.solution.sheet.as_ref().and_then(|sheet| sheet.as_ref().err()).expect("it is missing");
    assert_eq!(missing.path, "diffuser.diameter");
    let not_checked: Vec<&str> = compiled.report.not_checked().iter().map(|(rule, _, _)| rule.name).collect();
    for rule in ["make/diffuser-jams", "make/diffuser-drops", "make/sag", "make/offset-crosses", "make/web-thin"] {
        assert!(not_checked.contains(&rule), "{rule}: {not_checked:?}");
    }
    assert!(!not_checked.contains(&"make/cut-hazard"), "what needs no size is still checked");
    let cut = &sheets(&compiled, &["cut"]).sheets[0].markdown;
    assert!(cut.contains("diffuser.diameter") && !cut.contains("diffuser.svg)"));
}

#[test]
fn every_outline_makes_a_piece() {
    // Outline, area of one piece less its two holes of 4.2 mm, m².
    let holes = 2.0 * std::f64::consts::PI / 4.0 * 4.2e-3 * 4.2e-3;
    for (statement, area) in [
        ("outline ellipse; width 238 mm; height 118 mm", std::f64::consts::PI / 4.0 * 0.238 * 0.118),
        (
            "outline polygon; diameter 250 mm; sides 6",
            6.0 * 0.125 * 0.125 * libm::sin(std::f64::consts::PI / 3.0) / 2.0,
        ),
        ("outline disc; diameter 250 mm", std::f64::consts::PI / 4.0 * 0.25 * 0.25),
    ] {
        let compiled = varied(&text_of("slate-wall"), &format!("diffuser {{ {statement} }}"));
        let found = compiled.solution.ledger.get("cut.area").and_then(|entry| entry.value).unwrap_or(f64::NAN);
        assert!((found - (area - holes)).abs() < 1e-6 * area, "{statement}: {found}");
        let packet = sheets(&compiled, &["cut"]);
        assert!(packet.machine_drawings.contains_key("diffuser-cut"), "{statement}");
    }
}

#[test]
fn every_sheet_and_body_has_the_figures_its_seat_needs() {
    use lampwright::schema::words::{BodyMaterial, SheetMaterial};
    let base = text_of("alder-table");
    // Each body once, and with it the sheets in turn: every one of both is met.
    for (body, sheet) in BodyMaterial::CHOICES.iter().zip(SheetMaterial::CHOICES.iter().cycle()) {
        let materials = format!("diffuser {{ material {} }} enclosure {{ material {} }}", sheet.word, body.word);
        let compiled = varied(&base, &materials);
        let solved = compiled.solution.sheet.as_ref().and_then(|s| s.as_ref().ok()).expect("a sheet");
        let seat = solved.seat.as_ref().and_then(|s| s.as_ref().ok()).unwrap_or_else(|| panic!("{materials}"));
        assert!(seat.least < seat.largest && seat.largest.value() < 0.01, "{materials}: {seat:?}");
        let sag = solved.sag.as_ref().and_then(|s| s.as_ref().ok()).unwrap_or_else(|| panic!("{materials}"));
        assert!(sag.middle.value() > 0.0, "{materials}");
    }
}
