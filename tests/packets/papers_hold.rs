//! What the papers say of one thing on two sheets: battery fuse, colours, poles, currents, cores, plugs, drafts, parts.

use lampwright::Compiled;
use lampwright::packet::templates::Overrides;
use lampwright::physics::conductors::colour::reserved_for;
use lampwright::render;
use lampwright::solve::line::terms;
use lampwright::solve::wires::{WireZone, join};

use crate::support::{example, examples, figure, files, findings, sheet, sheets, varied as with};

const ALDER: &str = include_str!("../../examples/alder-table.lamp");
const LANTERN: &str = include_str!("../../examples/lantern-trail.lamp");
const SLATE: &str = include_str!("../../examples/slate-wall.lamp");

const EVERYTHING: &str = "workshop { instruments [meter, second-meter, bench-supply, insulation-tester, earth-tester, \
                          residual-current-device, power-meter, thermometer, spring-balance] }";

fn shown(compiled: &Compiled, path: &str) -> String {
    compiled.solution.ledger.shown(path).unwrap_or_else(|| panic!("no figure {path}")).to_owned()
}

/// The row of a sheet's table that begins so.
fn row<'a>(text: &'a str, start: &str) -> &'a str {
    text.lines().find(|line| line.starts_with(start)).unwrap_or_else(|| panic!("no row {start}:\n{text}"))
}

#[test]
fn the_wire_before_the_batterys_fuse_is_what_is_cut() {
    let long = with(LANTERN, "wiring { run battery-plus { length 260 mm } }");
    assert!(findings(&long).contains(&"battery/fuse-far".to_owned()));
    assert!(row(&sheet(&long, "safety"), "| wire from plus to fuse").contains("| 260 mm |"));
    let short = example("lantern-trail", None);
    assert!(!findings(&short).contains(&"battery/fuse-far".to_owned()));
    // What is said counts where it is the longer.
    let said = with(LANTERN, "supply { battery { fuse { distance 190 mm } } }");
    assert!((figure(&said, "battery.fuse-wire") - 0.19).abs() < 1e-12);
}

#[test]
fn no_low_voltage_wire_wears_a_colour_of_the_neutral() {
    let lamp = example("alder-table", Some("north-america"));
    let region = terms::region(lamp.lamp.identity.region.value.expect("a region"));
    for wire in lamp.solution.wires.iter().filter(|w| w.zone != WireZone::Mains) {
        assert_eq!(reserved_for(region, terms::marking(wire.colour), true), None, "{}", wire.name);
    }
    let of = |name: &str| lamp.solution.wires.iter().find(|w| w.name == name).expect("the wire").colour;
    assert_ne!(of("supply-minus"), of("red-minus"), "0 V and a string's minus");
    let grey = with(ALDER, "lamp { region us } mains { voltage 120 V } wiring { run supply-minus { colour grey } }");
    assert!(findings(&grey).contains(&"mains/colours".to_owned()));
}

#[test]
fn each_pole_is_proved_by_what_opens_it() {
    let two = sheet(&example("alder-table", None), "dead-tests");
    assert!(
        row(&two, "| pin on the blue core | supply, neutral terminal").contains("joined; open with the switch off")
    );
    assert!(
        row(&two, "| pin on the brown core | supply, line terminal").contains("fuse out; open with the switch off")
    );
    let turned = with(SLATE, "mains { fuse { pole neutral } }");
    let text = sheet(&turned, "dead-tests");
    assert!(row(&text, "| neutral pin | supply, neutral terminal").contains("open with the fuse out"));
    assert!(!row(&text, "| live pin | supply, live terminal").contains("fuse out"));
    let steps = sheet(&turned, "safety");
    for (step, there) in [("E8", false), ("F6", false), ("E9", false), ("E10", true)] {
        assert_eq!(steps.contains(&format!("| {step} |")), there, "{step}");
    }
    assert!(sheet(&with(SLATE, "mains { fuse { pole both } }"), "safety").contains("| E9 |"));
}

#[test]
fn up_to_is_the_upper_end_of_every_band() {
    // By hand: two channels at the top of their bands of 240 mA, and 0.9 W at 11.64 V.
    let heron = example("heron-head", None);
    let band = |name: &str| {
        let entry = heron.solution.ledger.get(&format!("drive.{name}.current")).expect("a current");
        entry.band.expect("a band").1
    };
    let most = band("warm") + band("cool") + 0.9 / 11.64;
    assert!((figure(&heron, "feed.current-most") - most).abs() < 1e-9, "{most}");
    assert!(figure(&heron, "label.current") >= most && figure(&heron, "label.current") < most + 0.01);
    for name in examples() {
        let lamp = example(&name, None);
        let at = |path: &str| figure(&lamp, path);
        assert!(at("feed.current-most") > at("feed.current"), "{name}");
        assert!(at("feed.most") > at("feed.uncapped"), "{name}");
        // Driver and controller leave the supply by wires of their own: together they carry what it gives.
        let together = at("wire.supply-plus.current") + at("wire.controller-plus.current");
        assert!((together - at("feed.current-most")).abs() < 1e-9, "{name}");
        assert!((at("wire.supply-minus.current") - at("wire.supply-plus.current")).abs() < 1e-12, "{name}");
        if lamp.solution.battery.is_some() {
            assert!((at("wire.battery-plus.current") - at("battery.current")).abs() < 1e-12, "{name}");
        }
        if lamp.solution.line.is_some() {
            assert!(at("line.power") > at("feed.mains"), "{name}");
        }
    }
}

#[test]
fn a_supply_without_load_may_read_up_to_its_open_voltage() {
    for (name, sheets) in [
        ("heron-head", &["dead-tests", "repair", "first-power"][..]),
        ("alder-table", &["repair", "first-power"]),
        ("slate-wall", &["repair", "first-power"]),
        ("lantern-trail", &["dead-tests", "repair", "first-power"]),
    ] {
        let lamp = example(name, None);
        let band = lamp.solution.ledger.band("feed.alone").expect("a band");
        assert!(band.ends_with(&shown(&lamp, "supply.open-circuit")), "{name}: {band}");
        for at in sheets {
            assert!(sheet(&lamp, at).contains(&band), "{name}, {at}");
        }
    }
}

#[test]
fn the_earth_path_goes_through_the_inner_bond() {
    let lamp = example("slate-wall", None);
    let (low, high) = lamp.solution.ledger.get("line.earth-expected").and_then(|e| e.band).expect("a band");
    // By hand: 26 mΩ/m of 0.75 mm²; 2 m of cord, 20 to 50 mΩ of contacts, the shortest and the longest bond.
    let bonds: Vec<f64> = ["earth-body", "earth-cover"].map(|n| figure(&lamp, &format!("wire.{n}.length"))).to_vec();
    let (short, long) = (bonds[0].min(bonds[1]), bonds[0].max(bonds[1]));
    assert!((low - (0.072 + 0.026 * short)).abs() < 1e-6, "{low}");
    assert!((high - (0.102 + 0.026 * long)).abs() < 1e-6, "{high}");
}

#[test]
fn the_fuse_in_the_plug_is_on_every_paper_that_names_fuses() {
    let lamp = example("slate-wall", None);
    let fuse = shown(&lamp, "line.plug-fuse");
    assert!(fuse.ends_with("BS 1362"));
    for name in ["safety", "parts", "repair", "handover"] {
        assert!(sheet(&lamp, name).contains(&fuse), "{name}");
    }
    for (name, drawing) in [("label", "label"), ("lid", "lid-card")] {
        let shapes = serde_json::to_string(&sheets(&lamp, &[name]).drawings[drawing].shapes).expect("JSON");
        assert!(shapes.contains(&fuse), "{name}");
    }
    assert!(row(&sheet(&lamp, "repair"), "| **Dark**").contains("plug"), "the first look");
}

#[test]
fn papers_unplug_only_what_has_a_plug() {
    let alder = example("alder-table", None);
    let ends = |lamp: &Compiled, name: &str| {
        lamp.solution.wires.iter().find(|w| w.name == name).expect("the wire").termination.clone()
    };
    // Two wires under one terminal of the supply; a screw terminal and headers on the board.
    assert!(
        ends(&alder, "supply-plus").starts_with("twin ferrule") && ends(&alder, "supply-plus").contains("/ ferrule")
    );
    assert!(ends(&alder, "red-plus").starts_with("crimped contact"));
    assert!(sheet(&alder, "first-power").contains("Strings unplugged from the driver"));
    let lantern = example("lantern-trail", None);
    assert_eq!(ends(&lantern, "battery-plus"), "contact of the keyed plug / soldered to the holder's lead");
    assert!(ends(&lantern, "supply-plus").starts_with("soldered to the holder's lead"));
    assert!(sheet(&lantern, "parts").contains("keyed plug and socket"));
    for name in examples() {
        let lamp = example(&name, None);
        let headers = lamp.solution.wires.iter().flat_map(|w| [&w.from, &w.to]);
        let plugs = headers.filter(|end| end.starts_with("driver.") && join(&lamp.lamp, end).is_plug()).count();
        for at in ["first-power", "dead-tests", "repair"] {
            let text = sheet(&lamp, at);
            for words in ["trings unplugged", "Plug a string", "driver unplugged", "its plug and both"] {
                assert!(plugs > 0 || !text.contains(words), "{name}, {at}: {words}");
            }
        }
    }
    let bare = with(LANTERN, "supply { battery { polarity blocked } }");
    for at in ["first-power", "dead-tests", "repair", "lid", "parts"] {
        assert!(!sheet(&bare, at).contains("plug"), "{at}");
    }
}

#[test]
fn the_cords_cores_are_conductors_under_their_terminals() {
    let lamp = example("slate-wall", None);
    assert!(sheet(&lamp, "wire-labels").contains("| entry.PE | flex GNYE, M1, M2 |"));
    let tight = with(SLATE, "wiring { terminal-takes 2 }");
    assert!(findings(&tight).contains(&"mains/terminal-shared".to_owned()));
    // One bond and the core are two.
    let one = with(SLATE, "mains { metal cover { touchable no; bonded no } } wiring { terminal-takes 1 }");
    let raised = one.report.findings();
    assert!(raised.iter().any(|r| r.rule.name == "mains/terminal-shared" && r.finding.message.contains("entry.PE")));
    let faces = &sheets(&lamp, &["wiring"]).drawings["connector-faces"];
    let shapes = serde_json::to_string(&faces.shapes).expect("JSON");
    for words in ["\"body\"", "\"cover\"", "\"flex GNYE\""] {
        assert!(shapes.contains(words), "{words}");
    }
    let diagram = serde_json::to_string(&sheets(&lamp, &["diagram"]).drawings["wiring-diagram"].shapes).expect("JSON");
    assert!(diagram.contains("PE + flex GNYE"));
}

#[test]
fn a_battery_is_held_to_what_its_cells_stand() {
    let limit = |lamp: &Compiled| {
        let margins = lamp.report.margins();
        let found = margins.iter().find(|(_, _, m)| m.path.as_deref() == Some("heat.judged.supply"));
        found.map(|(_, _, m)| m.limit.clone())
    };
    for (words, expected) in [("iron-phosphate", "60.0 °C"), ("lead-acid; cells 6", "50.0 °C")] {
        let lamp = with(LANTERN, &format!("supply {{ battery {{ chemistry {words} }} }}"));
        assert_eq!(limit(&lamp).as_deref(), Some(expected), "{words}");
    }
    let unknown = with(LANTERN, "supply { battery { chemistry unknown } }");
    assert_eq!(limit(&unknown), None);
    assert!(unknown.report.not_checked().iter().any(|(rule, ..)| rule.name == "heat/supply-too-warm"));
}

#[test]
fn every_wire_is_proved_before_the_first_volt() {
    for name in examples() {
        let lamp = example(&name, None);
        let text = sheet(&lamp, "dead-tests");
        for wire in lamp.solution.wires.iter().filter(|w| w.zone != WireZone::Mains) {
            assert!(text.contains(&format!("joined ({})", wire.number)), "{name}: {}", wire.number);
        }
        let card = sheet(&lamp, "first-power");
        let number = |name: &str| lamp.solution.wires.iter().find(|w| w.name == name).expect("the wire").number.clone();
        for wire in ["supply-plus", "controller-plus", "supply-minus", "controller-minus"] {
            assert!(card.contains(&number(wire)), "{name}: {wire}");
        }
        assert!(card.contains("no minus sign"), "{name}: polarity of its own supply");
    }
    let card = sheet(&example("lantern-trail", None), "first-power");
    assert!(row(&card, "| Meter away, fuse in last").ends_with("| ☐ |"), "no meter is left in the circuit");
}

#[test]
fn what_the_owner_has_decides_what_is_asked() {
    let poor = with(SLATE, "workshop { instruments [meter, bench-supply] }");
    let rich = with(SLATE, EVERYTHING);
    for step in ["F1", "F3", "F4", "F9", "H6", "J2", "J5", "L6"] {
        let start = format!("| ☐ | {step} |");
        assert!(row(&sheet(&poor, "safety"), &start).contains("Have it done by someone who owns"), "{step}");
        assert!(!row(&sheet(&rich, "safety"), &start).contains("Have it done"), "{step}");
    }
    for (name, words) in [
        ("first-power", "to be read by someone who owns"),
        ("soak", "is not among your instruments"),
        ("unit", "have it read by someone who owns"),
        ("repair", "have it read by someone who owns"),
        ("dead-tests", "Have it done by someone"),
    ] {
        assert!(sheet(&poor, name).contains(words), "{name}");
        assert!(!sheet(&rich, name).contains(words), "{name}");
    }
    // With nothing at hand every reading is somebody else's, and what comes apart first is not lost.
    let bare = with(SLATE, "workshop { instruments [] }");
    for step in ["D7", "F5", "F6", "G1", "G3"] {
        let start = format!("| ☐ | {step} |");
        assert!(row(&sheet(&bare, "safety"), &start).contains("Have it done by someone who owns"), "{step}");
        assert!(!row(&sheet(&poor, "safety"), &start).contains("Have it done"), "{step}");
    }
    let last = row(&sheet(&bare, "dead-tests"), "| warm string + | cool string + |").to_owned();
    assert!(last.contains("a multimeter, 20 MΩ, before their wires are joined to the driver"), "{last}");
    // Two instruments for one step: only the one that is not at hand is asked for.
    let half = with(SLATE, "workshop { instruments [meter, bench-supply, insulation-tester] }");
    let step = row(&sheet(&half, "safety"), "| ☐ | J5 |").to_owned();
    assert!(step.contains("owns an earth continuity tester") && !step.contains("insulation tester, 500"), "{step}");
    assert!(sheet(&rich, "first-power").contains("▭ W") && !sheet(&poor, "first-power").contains("▭ W"));
    assert!(sheet(&rich, "first-power").contains("second the voltage"));
}

#[test]
fn a_draft_says_so_on_every_file_that_leaves_the_folder() {
    let live = with(SLATE, "mains { metal cover { bonded no } }");
    let whole = live.packet(&Overrides::new(), None).expect("a packet");
    assert!(whole.identity.draft);
    let drafts = render::files(&whole).unwrap_or_else(|errors| panic!("{errors:?}"));
    let mut kinds = std::collections::BTreeMap::<&str, usize>::new();
    for file in &drafts {
        let Ok(text) = std::str::from_utf8(&file.bytes) else { continue };
        let ending = file.path.rsplit('.').next().expect("an ending");
        if ["md", "svg", "csv", "nc", "html"].contains(&ending) {
            assert!(text.contains("DRAFT"), "{}", file.path);
            *kinds.entry(ending).or_default() += 1;
        }
        if file.path == "packet.html" {
            assert!(text.matches(">DRAFT</p>").count() > whole.sheets.len());
        }
    }
    assert_eq!(kinds.len(), 5, "{kinds:?}");
    assert!(sheet(&live, "cover").contains("**DANGER** This is a draft"));
    for name in ["lid", "handover"] {
        let text = sheet(&live, name);
        assert!(text.contains("while this stands") && !text.contains("Cut out") && !text.contains("## Use"), "{name}");
    }
    let plain = files("slate-wall", None);
    let csv = plain.iter().find(|f| f.path.ends_with(".csv")).expect("a table");
    assert!(!String::from_utf8_lossy(&csv.bytes).contains("DRAFT"));
}

#[test]
fn a_plug_that_turns_over_has_no_line_pin() {
    let alder = example("alder-table", None);
    for name in ["safety", "repair"] {
        let text = sheet(&alder, name);
        assert!(text.contains("may still be live") && !text.contains("line pin"), "{name}");
    }
    assert!(!sheet(&alder, "dead-tests").contains("line pin"));
    assert!(sheet(&alder, "safety").contains("| E11 |"));
    assert!(!sheet(&example("slate-wall", None), "safety").contains("| E11 |"));
    // The step names the plugs by their words: they are those that turn.
    let file = include_str!("../../templates/checklist.json");
    let step = file.lines().find(|l| l.contains("\"id\": \"E11\"")).expect("the step");
    use lampwright::schema::words::{Plug, Word};
    for choice in Plug::CHOICES {
        let plug = Plug::from_word(choice.word).expect("a word of its own list");
        let named = step.split(['|', ' ', '"']).any(|word| word == choice.word);
        assert_eq!(named, terms::plug(plug).reversible, "{}", choice.word);
    }
}

#[test]
fn the_parts_list_has_what_the_wiring_asks_for() {
    for (name, words) in [
        (
            "heron-head",
            &["shut-off switch", "socket at the entry", "capacitor 100 µF", "twin ferrule", "heat-shrink"][..],
        ),
        ("longsill-linear", &["shut-off switch", "terminal block at the entry, L N", "capacitor 47", "sleeve"]),
        ("alder-table", &["terminal block at the entry", "capacitor 220 µF", "contact for the board's headers"]),
        ("slate-wall", &["ring crimp", "toothed washer", "fuse in the plug", "terminal block at the entry, PE L N"]),
        ("lantern-trail", &["keyed plug", "capacitor 220 µF", "fuse holder"]),
    ] {
        let text = sheet(&example(name, None), "parts");
        for word in words {
            assert!(text.contains(word), "{name}: {word}");
        }
    }
    // Five mains wires, two of them bonds with a ring at one end: eight ferrules.
    assert!(row(&sheet(&example("slate-wall", None), "parts"), "| ends of wires for mains").contains("| 11 | 11 |"));
}

#[test]
fn every_part_that_may_be_touched_has_its_tests_again() {
    for (name, words) in [
        ("lantern-trail", &["the battery, its fuse or holder"][..]),
        ("heron-head", &["the entry, or the outside supply", "the shut-off was touched"]),
        ("slate-wall", &["the fuse holder, the entry or the supply was touched"]),
    ] {
        let text = sheet(&example(name, None), "repair");
        for word in words {
            assert!(text.contains(word), "{name}: {word}");
        }
    }
}
