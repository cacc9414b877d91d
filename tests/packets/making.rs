//! Pieces, parts and holes that no shop can make, or that stand where they must not: each is found by its rule, in words
//! with its number, and the papers and files say no more than is true.

use lampwright::Compiled;
use lampwright::packet::sheet::Packet;
use lampwright::packet::templates::Overrides;

use crate::support::{self, example, sheet, text_of};

fn packet(compiled: &Compiled) -> Packet {
    compiled.packet(&Overrides::default(), None).unwrap_or_else(|e| panic!("{e:?}"))
}

/// An example with these lines taken out, and a variant laid over it.
fn varied(name: &str, without: &[&str], statements: &str) -> Compiled {
    let base = text_of(name);
    let base: Vec<&str> = base.lines().filter(|line| !without.contains(&line.trim())).collect();
    support::varied(&base.join("\n"), statements)
}

/// Messages of one rule.
fn said(compiled: &Compiled, rule: &str) -> Vec<String> {
    let findings = compiled.report.findings();
    findings.iter().filter(|f| f.rule.name == rule).map(|f| f.finding.message.clone()).collect()
}

#[test]
fn each_fault_is_found_and_said_with_its_number() {
    // Statement on the wall light, the rule, what its message says; by hand from the example's sizes.
    let slit = "diffuser { outline path; points [(-115 mm, -50 mm), (115 mm, -50 mm), (115 mm, 50 mm), (3 mm, 50 mm), \
                (3 mm, 20 mm), (0 mm, 20 mm), (0 mm, 50 mm), (-115 mm, 50 mm)] }";
    let neck = "diffuser { outline path; points [(-115 mm, -50 mm), (-10 mm, -50 mm), (-10 mm, -20.5 mm), \
                (10 mm, -20.5 mm), (10 mm, -50 mm), (115 mm, -50 mm), (115 mm, 10 mm), (10 mm, 10 mm), \
                (10 mm, -19.5 mm), (-10 mm, -19.5 mm), (-10 mm, 10 mm), (-115 mm, 10 mm)] }";
    for (statement, rule, words) in [
        // The dice stand 48 mm behind the front plane, the sheet fills the first 3 mm.
        (
            "layout { place controller { at (0 mm, 0 mm, -20 mm) } }",
            "make/does-not-fit",
            "in the light between dice and diffuser",
        ),
        ("layout { place controller { at (-60 mm, 40 mm, -6.2 mm) } }", "make/does-not-fit", "into the diffuser"),
        // 68.8 mm to the wall, the fuse holder's lower side at -57 mm.
        ("layout { place fuse { service 40 mm; service-side bottom } }", "make/no-service-access", "11.8 mm"),
        ("layout { place entry { at (60 mm, 20 mm, -30 mm) } }", "make/cord-hole-off-wall", "off the"),
        (slit, "make/offset-crosses", "does not go into a slit"),
        (neck, "make/web-thin", "the outline is 1 mm wide at its narrowest"),
        ("diffuser { material glass }", "make/cut-hazard", "shatters glass"),
        ("diffuser { material glass; cut { method saw; kerf 1 mm } }", "make/cut-hazard", "shatters glass"),
        ("diffuser { material glass; cut { method laser; kerf 0.2 mm } }", "make/cut-hazard", "cracks"),
    ] {
        let compiled = varied("slate-wall", &[], statement);
        let found = said(&compiled, rule);
        assert!(found.iter().any(|message| message.contains(words)), "{statement}\n{rule}: {found:?}");
    }
}

#[test]
fn every_fault_of_the_edges_is_said_and_no_file_is_written() {
    let statement = "diffuser { hole left { at (-118 mm, 0 mm) }; hole right { at (118 mm, 0 mm) } }";
    let compiled = varied("slate-wall", &[], &statement.replace("};", "}\n"));
    let found = said(&compiled, "make/offset-crosses");
    assert!(found.len() == 2 && found[0].contains("left") && found[1].contains("right"), "{found:?}");
    let packet = packet(&compiled);
    assert!(packet.machine_drawings.is_empty() && packet.programs.is_empty());
    let cut = sheet(&compiled, "cut");
    assert!(!cut.contains("Send `") && !cut.contains("Before the cut"), "{cut}");
    // Every drawing that a sheet asks for is there, or no paper can be set.
    for sheet in &packet.sheets {
        for asked in sheet.markdown.split("](").skip(1).filter_map(|rest| rest.split_once(".svg)")) {
            assert!(packet.drawings.contains_key(asked.0), "sheet {} asks for {}", sheet.name, asked.0);
        }
    }
}

#[test]
fn a_sheet_that_is_not_round_meets_a_round_recess_with_its_corners() {
    let without = ["height  120 mm"];
    for (statement, jams) in [
        // Corners of 6 mm: √(226² + 106²) + 12 = 261.6 mm in 240 mm.
        ("diffuser { seat { width 240 mm } }", true),
        ("diffuser { seat { width 264 mm } }", false),
        ("diffuser { outline ellipse; width 200 mm; height 118 mm; seat { width 202 mm } }", false),
        ("diffuser { outline ellipse; width 118 mm; height 200 mm; seat { width 120 mm } }", true),
    ] {
        let compiled = varied("slate-wall", &without, statement);
        let found = said(&compiled, "make/diffuser-jams");
        assert_eq!(!found.is_empty(), jams, "{statement}: {found:?}");
    }
    let compiled = varied("slate-wall", &without, "diffuser { seat { width 264 mm } }");
    let around = compiled.solution.ledger.get("cut.around").and_then(|entry| entry.value).unwrap_or_default();
    assert!((around - (libm::hypot(0.226, 0.106) + 0.012)).abs() < 3e-6, "{around}");
}

#[test]
fn a_sheet_that_no_machine_may_cut_is_not_told_how_to_be_sent() {
    let laser = "diffuser { material polycarbonate; cut { method laser; kerf 0.2 mm } }";
    for statement in [laser, "diffuser { material glass }"] {
        let packet = support::sheets(&varied("slate-wall", &[], statement), &["cut"]);
        assert!(packet.machine_drawings.is_empty() && packet.programs.is_empty(), "{statement}");
        let cut = &packet.sheets[0].markdown;
        assert!(!cut.contains("Send `") && cut.contains("**DANGER**"), "{cut}");
    }
    let glazier = varied("slate-wall", &[], "diffuser { material glass; cut { method glazier } }");
    let glazier = support::sheets(&glazier, &["cut"]);
    assert_eq!(glazier.machine_drawings.keys().collect::<Vec<_>>(), ["diffuser"]);
}

#[test]
fn a_path_without_an_area_is_one_fault_and_not_a_missing_figure() {
    let statement = "diffuser { outline path; points [(0 mm, 0 mm), (50 mm, 0 mm), (100 mm, 0 mm)] }";
    let compiled = varied("slate-wall", &[], statement);
    assert_eq!(said(&compiled, "make/offset-crosses").len(), 1);
    let missing = compiled.report.not_checked();
    assert!(missing.iter().all(|(_, _, missing)| missing.path != "diffuser.points"), "the points are written");
    assert!(compiled.solution.ledger.shown("cut.piece").is_some_and(|shown| shown.starts_with("none")));
}

#[test]
fn parts_that_overlap_are_said_to_overlap() {
    let compiled = varied("alder-table", &[], "layout { place fuse { at (-12 mm, 0 mm, -180 mm); turn yxz } }");
    let found = said(&compiled, "make/zone-gap");
    assert!(found.iter().any(|message| message.contains("into each other")), "{found:?}");
}

#[test]
fn the_way_of_the_cord_ends_at_the_sheet() {
    // The back's inner face lies at -77.6 mm, the sheet's at -3 mm.
    let compiled = example("slate-wall", None);
    assert_eq!(compiled.solution.ledger.shown("fit.cord-room"), Some("74.6 mm"));
}

#[test]
fn a_lamp_on_a_battery_has_no_mains_on_its_section() {
    let packet = support::packet("lantern-trail", None);
    let section = sheet(&example("lantern-trail", None), "section");
    for word in ["mains", "live", "with its cord", "hatch"] {
        assert!(!section.contains(word), "{word}: {section}");
    }
    use lampwright::packet::drawing::{Role, Shape};
    let hatched = |shape: &Shape| matches!(shape, Shape::Paths { role: Role::MainsHatch, .. });
    for name in ["fit-section", "fit-plan", "fit-front"] {
        assert!(!packet.drawings[name].shapes.iter().any(hatched), "{name}");
    }
}

#[test]
fn no_layout_of_hexagons_beats_the_bound_and_the_honeycomb_is_found() {
    // Side on side in rows of 86.60 + 5: 4 and 4 by rows of 79.33 mm, or along the other side.
    let statement = "diffuser { outline polygon; sides 6; diameter 100 mm; stock { size 600 x 400 mm; gap 2 mm } }";
    let without =
        ["hole left { at (-105 mm, 0 mm); diameter 4.2 mm }", "hole right { at (105 mm, 0 mm); diameter 4.2 mm }"];
    let compiled = varied("slate-wall", &without, statement);
    let sheet = compiled.solution.sheet.as_ref().unwrap_or_else(|| panic!("a sheet"));
    let sheet = sheet.as_ref().unwrap_or_else(|missing| panic!("{missing:?}"));
    let nest = sheet.nest.as_ref().and_then(|nest| nest.as_ref().ok()).unwrap_or_else(|| panic!("a layout"));
    let net = sheet.net.as_ref().unwrap_or_else(|fault| panic!("{fault:?}"));
    let number = |path: &str| compiled.solution.ledger.shown(path).and_then(|n| n.parse::<usize>().ok()).unwrap_or(0);
    let (each, bound) = (number("cut.stock.each"), number("cut.stock.bound"));
    assert!(each <= bound && each == nest.layout.places.len() && bound <= 240_000 / 6495, "{each} {bound}");
    // Outlines at their places keep their gap and their margin, measured exactly.
    let turn = |turned: bool| if turned { std::f64::consts::FRAC_PI_2 } else { 0.0 };
    let places = nest.layout.places.iter().map(|p| net.plate.outer.turned(turn(p.turned)).shifted(p.centre));
    let places: Vec<_> = places.collect();
    for (k, one) in places.iter().enumerate() {
        let e = one.extents();
        let m = nest.stock.margin.value() - 1e-9;
        assert!(e.least.x.value() >= m && e.most.x.value() <= nest.stock.width.value() - m, "{e:?}");
        assert!(e.least.y.value() >= m && e.most.y.value() <= nest.stock.height.value() - m, "{e:?}");
        for other in places.iter().skip(k + 1) {
            assert!(one.distance_between(other).value() >= nest.stock.gap.value() - 1e-9);
        }
    }
}

#[test]
fn a_printed_ball_hangs_over_whichever_side_lies_on_the_bed() {
    for bed in ["back", "front"] {
        let statement = format!("enclosure {{ shape sphere; size 220 mm; opening 120 mm; print {{ bed {bed} }} }}");
        let compiled = varied("alder-table", &[], &statement);
        let found = said(&compiled, "make/print-overhang");
        assert!(found.iter().any(|message| message.contains("ball") && message.contains("90°")), "{bed}: {found:?}");
    }
}
