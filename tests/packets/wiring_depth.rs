//! Wiring and safety papers in depth: battery, words of the region, places and extra runs, both tables, waivers.

use lampwright::Compiled;
use lampwright::solve::wires::{Role, WireZone};

use crate::support::{compile, example, examples, figure, findings, sheet, sheets, unplaced, varied};

const SLATE: &str = include_str!("../../examples/slate-wall.lamp");
const LANTERN: &str = include_str!("../../examples/lantern-trail.lamp");

fn with(base: &str, statements: &str) -> Compiled {
    varied(&unplaced(base), statements)
}

#[test]
fn a_battery_takes_the_mains_out_of_the_papers_and_brings_its_own_rows() {
    let lamp = example("lantern-trail", None);
    for name in
        ["safety", "wiring", "diagram", "dead-tests", "first-power", "repair", "handover", "label", "lid", "parts"]
    {
        let text = sheet(&lamp, name);
        for word in ["residual", "insulation tester", "isolating transformer", "Mains", "230 V", "not known"] {
            assert!(!text.contains(word), "{name}: {word}");
        }
    }
    for (name, words) in [
        ("safety", &["| A10 |", "| E20 |", "| F11 |", "wrong polarity", "surge", "kept the right way round"][..]),
        ("wiring", &["battery.+", "fuse.in", "fuse.out"]),
        ("dead-tests", &["no minus sign", "probes changed over", "open with the fuse out"]),
        ("first-power", &["fuse in last", "lets go at", "plus of the meter on plus"]),
        ("parts", &["fuse for the battery"]),
        ("lid", &["battery"]),
    ] {
        let text = sheet(&lamp, name);
        for word in words {
            assert!(text.contains(word), "{name}: {word}");
        }
    }
    // The other lamps have none of it.
    for name in ["slate-wall", "heron-head"] {
        assert!(!sheet(&example(name, None), "safety").contains("battery's fuse"), "{name}");
    }
}

#[test]
fn figures_of_the_battery_follow_from_it() {
    let lamp = with(LANTERN, "supply { battery { capacity 5 Ah; chemistry lead-acid; cells 6 } }");
    let (power, most, lowest) = (figure(&lamp, "feed.uncapped"), figure(&lamp, "feed.most"), 10.8);
    // By hand, of modules that hold their power: I = P_most/V, I/0.75; 0.8 · 5 Ah · 3600 s/h · 12.8 V / P; six cells of 1.75 V.
    for (path, want) in [
        ("battery.current", most / lowest),
        ("battery.fuse-least", most / lowest / 0.75),
        ("battery.lasts", 0.8 * 5.0 * 3600.0 * 12.8 / power),
        ("battery.empty", 10.5),
    ] {
        assert!((figure(&lamp, path) / want - 1.0).abs() < 1e-9, "{path}");
    }
    let wires = &lamp.solution.wires;
    let behind = wires.iter().filter(|w| matches!(w.role, Role::Plus | Role::Minus));
    let least = behind.map(|w| w.ampacity.clone().expect("a figure").value()).fold(f64::MAX, f64::min);
    assert!((figure(&lamp, "battery.fuse-most") - least).abs() < 1e-12);
    assert_eq!(wires.first().map(|w| (w.from.as_str(), w.to.as_str())), Some(("battery.+", "fuse.in")));
}

#[test]
fn nothing_is_taken_for_granted_of_a_battery() {
    let bare = with(LANTERN, "supply { battery { surge unknown; polarity unknown; fault unknown } }");
    let missing: Vec<&str> = bare.report.not_checked().iter().map(|(rule, ..)| rule.name).collect();
    for rule in ["battery/surge", "battery/polarity", "battery/fuse-breaking"] {
        assert!(missing.contains(&rule), "{rule}: {missing:?}");
    }
    let unfused = LANTERN.replace("fuse {", "fuse-gone {");
    let start = unfused.find("        fuse-gone {").expect("the fuse");
    let end = start + unfused[start..].find("        }\n").expect("its end") + 10;
    let unfused = format!("{}{}", &unfused[..start], &unfused[end..]);
    let unfused = compile(&unfused, None).unwrap_or_else(|diags| panic!("{diags}"));
    assert!(findings(&unfused).contains(&"battery/no-fuse".to_owned()));
    assert!(sheet(&unfused, "first-power").contains("This card is not printed"));
    assert!(sheet(&unfused, "label").contains("gets no label"));
}

#[test]
fn papers_speak_the_trade_of_the_region() {
    let us = with(
        SLATE,
        "lamp { region us } mains { voltage 120 V; frequency 60 Hz
         cord { build light-jacketed; core-area 18 AWG; plug nema-5-15; outer 6.1 mm } }",
    );
    let (uk, eu) = (example("slate-wall", None), with(SLATE, "lamp { region eu } mains { cord { plug cee-7-7 } }"));
    for (name, american, british, continental) in [
        ("wiring", "equipment ground", "protective earth", "protective earth"),
        ("wiring", "| hot |", "| live |", "| line |"),
        ("safety", "GFCI", "RCD", "residual-current device"),
        // The continental plug of class I turns over in its socket: only the core tells.
        ("dead-tests", "hot (narrow) blade", "live pin", "pin on the brown core"),
        ("dead-tests", "cord", "flex", "cord"),
        ("first-power", "receptacle", "socket", "socket"),
    ] {
        for (lamp, word) in [(&us, american), (&uk, british), (&eu, continental)] {
            assert!(sheet(lamp, name).contains(word), "{name}: {word}");
        }
    }
    for word in [" earth", "residual-current", " live pin", "socket"] {
        for name in ["dead-tests", "first-power"] {
            assert!(!sheet(&us, name).contains(word), "{name}: {word}");
        }
    }
    // Cores of the cord by NEC 250.119 and 200.6, by IEC 60445, and of a parallel lamp cord by its ribs.
    let flat = example("alder-table", Some("north-america"));
    for (lamp, cores) in [
        (&us, "BK to entry.L, WH to entry.N, GN or GNYE to entry.PE"),
        (&uk, "BN to entry.L, BU to entry.N, GNYE to entry.PE"),
        (&flat, "the smooth core to entry.L, the ribbed or striped core to entry.N"),
    ] {
        assert!(sheet(lamp, "wiring").contains(cores), "{cores}");
    }
    // 120 mm is 4.72 in, 4 3/4 in on a tape; 238 mm is 9.370 in.
    for name in ["wiring", "diagram"] {
        assert!(sheet(&us, name).contains("4 3/4 in (120 mm)"), "{name}");
    }
    assert!(sheet(&us, "cut").contains("9.370 in (238 mm)"));
    assert!(!sheet(&uk, "wiring").contains(" in ("));
}

#[test]
fn at_120_volts_both_tables_stand_on_paper_and_the_stricter_holds() {
    let us = example("alder-table", Some("north-america"));
    let text = sheet(&us, "safety");
    for name in ["NEC 400.5(A)", "BS 7671 table 4F3A", "UL 248-14", "IEC 60127", "IEC 60664-1", "IEC 60598-1"] {
        assert!(text.contains(name), "{name}");
    }
    // 18 AWG: 10 A by NEC 400.5(A); 0.823 mm² counts as 0.75 mm², 6 A. Reinforced at 120 V: 3.2 and 3.0 mm, 1.6 and
    // 1.5 mm (tests/reference/mains/lamp_examples.json has those of IEC 60664-1).
    for (path, want) in [
        ("line.cord-rating-nec", 10.0),
        ("line.cord-rating-iec", 6.0),
        ("line.cord-rating", 6.0),
        ("line.fuse-loading", 0.75),
        ("line.creepage-lamp", 3.2e-3),
        ("line.creepage-general", 3.0e-3),
        ("line.creepage", 3.2e-3),
        ("line.clearance-lamp", 1.6e-3),
        ("line.clearance-general", 1.5e-3),
        ("line.clearance", 1.6e-3),
    ] {
        assert!((figure(&us, path) - want).abs() < 1e-9, "{path}: {}", figure(&us, path));
    }
    assert!(!sheet(&example("alder-table", None), "safety").contains("NEC 400.5"));
}

#[test]
fn wires_between_placed_parts_are_cut_to_the_way() {
    let lamp = with(
        SLATE,
        "layout { place entry { at (0 mm, -70 mm, -60 mm) } place fuse { at (60 mm, -50 mm, -55 mm); size 10 x 30 x 12 mm }
         place supply { at (-60 mm, -40 mm, -60 mm) } place body { at (20 mm, -60 mm, -70 mm); size 8 x 8 x 8 mm }
         place driver { at (40 mm, 30 mm, -60 mm); size 50 x 30 x 15 mm } }",
    );
    let length = |name: &str| {
        let wire = lamp.solution.wires.iter().find(|w| w.name == name);
        wire.unwrap_or_else(|| panic!("no {name}")).length.value() * 1e3
    };
    // By hand, mm, up to the next 5: 1.2 ways and 30 for ends, or 50 of loop; earth outlasts the longest line or
    // neutral by 15, also where its part has no place.
    for (name, want) in [
        ("line", 135.0),        // 1.2 · (60 + 20 + 5) + 30 = 132
        ("fused-line", 195.0),  // 1.2 · (120 + 10 + 5) + 30 = 192
        ("neutral", 140.0),     // 1.2 · (60 + 30) + 30 = 138
        ("earth-body", 155.0),  // 140 + 15; its own way is shorter
        ("earth-cover", 155.0), // 140 + 15
        ("supply-plus", 255.0), // 1.2 · (100 + 70) + 50 = 254
    ] {
        assert!((length(name) - want).abs() < 1e-9, "{name}: {}, by hand {want}", length(name));
    }
    assert!(!findings(&lamp).contains(&"mains/earth-shortest".to_owned()));
    assert!(sheet(&lamp, "wiring").contains("Lengths follow the places of the layout"));
}

#[test]
fn an_extra_run_is_a_wire_like_the_others() {
    let lamp = with(
        SLATE,
        "wiring { run probe { from \"controller.p0\"; to \"sink.probe\"; carries \"temperature probe\"; current 1 mA } }",
    );
    let wire = lamp.solution.wires.iter().find(|w| w.name == "probe").expect("the wire");
    assert!(wire.role == Role::Extra && wire.zone == WireZone::Signal && wire.number.starts_with('S'));
    let text = sheet(&lamp, "wiring");
    assert!(text.contains("temperature probe") && text.contains("sink.probe"));
    assert!(!findings(&lamp).contains(&"spec/unused-run".to_owned()));
    // One end alone is no wire.
    let half = with(SLATE, "wiring { run probe { from \"controller.p0\" } }");
    assert!(findings(&half).contains(&"spec/unused-run".to_owned()));
    // A further mains wire may wear the line's colour and never earth's.
    let green = with(
        SLATE,
        "wiring { run second { from \"entry.L\"; to \"supply.L2\"; lane mains; current 0.1 A; colour green-yellow } }",
    );
    assert!(findings(&green).contains(&"mains/colours".to_owned()));
    let brown = with(SLATE, "wiring { run second { from \"entry.L\"; to \"supply.L2\"; lane mains; current 0.1 A } }");
    assert!(!findings(&brown).contains(&"mains/colours".to_owned()));
}

#[test]
fn a_waiver_stands_on_every_sheet_it_touches() {
    let text = format!(
        "{SLATE}\nwaive mains/fuse-wrong {{ reason \"the socket is behind its own breaker\"; by \"the maker\" }}\n\
         variant test {{ mains {{ fuse {{ melting 0.1 A²·s }} }} }}\n"
    );
    let lamp = compile(&text, Some("test")).unwrap_or_else(|diags| panic!("{diags}"));
    for name in ["safety", "wiring", "dead-tests", "first-power", "repair"] {
        let text = sheet(&lamp, name);
        assert!(text.contains("mains/fuse-wrong") && text.contains("behind its own breaker"), "{name}");
    }
    for name in ["cut", "light", "values"] {
        assert!(!sheet(&lamp, name).contains("fuse-wrong"), "{name}");
    }
}

#[test]
fn every_step_names_its_source() {
    for name in examples() {
        let text = sheet(&example(&name, None), "safety");
        let key = text.lines().find_map(|l| l.strip_prefix("Where the steps come from: ")).expect("the key");
        let rows = text.lines().filter_map(|line| line.strip_prefix("| ☐ | "));
        for id in rows.filter_map(|row| row.split_once(" | ")).map(|(id, _)| id) {
            let stands = key.split([' ', ':', ';']).any(|word| word == id);
            assert!(stands, "{name}: {id} has no source");
        }
    }
}

#[test]
fn every_terminal_is_drawn_with_its_wires() {
    for name in examples() {
        let compiled = example(&name, None);
        let packet = sheets(&compiled, &["wiring"]);
        let faces = packet.drawings.get("connector-faces").unwrap_or_else(|| panic!("{name}: no faces"));
        assert!(faces.title.contains("seen from the side"), "{name}");
        let shapes = serde_json::to_string(&faces.shapes).expect("JSON");
        for wire in &compiled.solution.wires {
            assert!(shapes.contains(&format!("\"{} ", wire.number)), "{name}: {}", wire.number);
        }
    }
}

#[test]
fn no_wire_of_an_example_crosses_another() {
    for name in examples() {
        let packet = sheets(&example(&name, None), &["diagram"]);
        let said = &packet.drawings["wiring-diagram"].description;
        assert!(said.contains(" 0 crossings"), "{name}: {said}");
    }
}

/// The order at the bench: wires are fitted, dead tests are made, and only "First power" joins the strings.
#[test]
fn strings_are_joined_to_the_driver_last_on_every_sheet() {
    for (name, words) in [
        ("slate-wall", "the driver's ends of L5, L6, L7, L8 stay off it, taped apart"),
        ("alder-table", "the strings' plug stays out of the driver"),
    ] {
        let lamp = example(name, None);
        assert!(sheet(&lamp, "wiring").contains(words), "{name}");
        let first = sheet(&lamp, "first-power");
        assert!(
            first.contains("Strings off the driver") || first.contains("Strings unplugged from the driver"),
            "{name}"
        );
    }
}

#[test]
fn what_is_bought_is_what_is_fitted() {
    let parts = sheet(&example("slate-wall", None), "parts");
    assert!(parts.contains("pins p4, p5, p15 brought out"), "the shut-off's pin is one of them");
    // Five mains wires with a ring at two ends, and three cores of the cord.
    assert!(parts.contains("| ends of wires for mains: ferrule | 0.75 mm² | 11 |"), "{parts}");
    let inlet = SLATE.replace("    fuse is small", "    inlet { kind c14 }\n    fuse is small");
    let inlet = with(&without(&without(&inlet, "cord is three-core"), "entry {"), "lamp { quantity 1 }");
    let parts = sheet(&inlet, "parts");
    // Four wires end at the inlet's tabs: line, neutral and two bonds.
    assert!(parts.contains("| push-on receptacle for the inlet | 0.75 mm² | 4 |"), "{parts}");
    assert!(sheet(&inlet, "wiring").contains("push-on receptacle / ferrule"));
    let steps = sheet(&inlet, "safety");
    for (step, there) in [("D10", true), ("L13", true), ("L1", false), ("L2", false), ("A7", false), ("E3", false)] {
        assert_eq!(steps.contains(&format!("| ☐ | {step} |")), there, "{step}");
    }
}

/// A text without the block that begins with these words.
fn without(text: &str, block: &str) -> String {
    let from = text.find(block).expect("the block");
    let until = from + text[from..].find("\n    }\n").expect("its end") + 7;
    format!("{}{}", &text[..from], &text[until..])
}

/// EN 50525 and BS 1363 for Europe and the UK, NEC table 400.4 and NEMA for North America.
#[test]
fn cord_and_plug_belong_to_the_region() {
    for (change, raised) in [
        ("", false),
        ("mains { cord { plug cee-7-7 } }", true),
        ("mains { cord { plug nema-5-15 } }", true),
        ("mains { cord { build jacketed } }", true),
        ("lamp { region eu } mains { cord { plug cee-7-7 } }", false),
        ("lamp { region eu }", true),
        ("lamp { region us } mains { voltage 120 V; frequency 60 Hz; cord { plug nema-5-15 } }", true),
        ("lamp { region us } mains { voltage 120 V; frequency 60 Hz; cord { plug nema-5-15; build jacketed } }", false),
    ] {
        let lamp = with(SLATE, change);
        assert_eq!(findings(&lamp).contains(&"mains/region".to_owned()), raised, "{change}");
    }
}
