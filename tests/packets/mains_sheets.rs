//! The sheets of the mains side: order and colours of the wires, which steps and tests a lamp gets, when no label.

use std::collections::BTreeSet;

use lampwright::Compiled;
use lampwright::physics::conductors::colour::reserved_for;
use lampwright::schema::words::Region;
use lampwright::solve::line::terms;
use lampwright::solve::wires::{Role, WireZone};

use crate::support::{example, examples, findings, sheet, sheets, text_of, unplaced, varied};

fn slate(statements: &str) -> Compiled {
    varied(&unplaced(&text_of("slate-wall")), statements)
}

#[test]
fn wires_are_in_order_and_none_is_named_twice() {
    for name in examples() {
        let compiled = example(&name, None);
        let wires = &compiled.solution.wires;
        let names: BTreeSet<&str> = wires.iter().map(|w| w.name.as_str()).collect();
        let numbers: BTreeSet<&str> = wires.iter().map(|w| w.number.as_str()).collect();
        assert!(names.len() == wires.len() && numbers.len() == wires.len(), "{name}");
        assert!(wires.windows(2).all(|two| two[0].zone <= two[1].zone), "{name}: zones");
        let first_other = wires.iter().position(|w| w.role != Role::Earth).expect("a wire");
        assert!(wires[first_other..].iter().all(|w| w.role != Role::Earth), "{name}: earth comes first");
        for wire in wires.iter().filter(|w| w.zone != WireZone::Mains) {
            let region = terms::region(compiled.lamp.identity.region.value.unwrap_or(Region::Eu));
            let kept = reserved_for(region, terms::marking(wire.colour), compiled.lamp.mains.is_some());
            assert_eq!(kept, None, "{name}: {}", wire.name);
        }
    }
}

#[test]
fn a_run_replaces_what_was_worked_out() {
    let compiled = slate("wiring { run warm-plus { length 400 mm; area 0.34 mm²; colour black } }");
    let wire = compiled.solution.wires.iter().find(|w| w.name == "warm-plus").expect("the wire");
    assert!((wire.length.value() - 0.4).abs() < 1e-12 && (wire.area.value() - 0.34e-6).abs() < 1e-15);
    // 22 AWG is 0.326 mm², so the even gauge not below 0.34 mm² is 20.
    assert_eq!(wire.gauge, "20 AWG");
    let other = compiled.solution.wires.iter().find(|w| w.name == "warm-minus").expect("the wire");
    // 250 mm by default and 50 mm of loop.
    assert!((other.length.value() - 0.3).abs() < 1e-12);
}

#[test]
fn earth_is_the_longest_mains_wire_at_the_entry() {
    let compiled = slate("");
    let of = |role: Role| compiled.solution.wires.iter().find(move |w| w.role == role).expect("a wire").length.value();
    // The example writes 15 mm of slack.
    assert!((of(Role::Earth) - of(Role::Line) - 0.015).abs() < 1e-12);
}

#[test]
fn steps_follow_the_class() {
    let first = sheet(&example("slate-wall", None), "safety");
    let second = sheet(&example("alder-table", None), "safety");
    let third = sheet(&example("heron-head", None), "safety");
    for (step, shown) in [("E6", [true, false, false]), ("E7", [false, true, false]), ("E1", [true, true, false])] {
        for (text, shown) in [&first, &second, &third].into_iter().zip(shown) {
            assert_eq!(text.contains(&format!("| {step} |")), shown, "{step}");
        }
    }
    // Each touchable part has its row, and every figure of the steps is filled in.
    assert!(first.contains("| body | yes | bonded to earth") && first.contains("| cover | yes | bonded to earth"));
    for text in [first, second, third] {
        let steps = text.lines().filter(|line| line.starts_with("| ☐ |"));
        assert!(steps.clone().count() > 0 && steps.clone().all(|line| !line.contains("not known")));
        let ticks = text.matches("| ☐ |").count();
        assert!(ticks >= 30, "{ticks}");
    }
}

#[test]
fn what_the_owner_cannot_test_is_for_others() {
    let poor = sheet(&slate("workshop { instruments [meter] }"), "dead-tests");
    let rich = sheet(
        &slate("workshop { instruments [meter, insulation-tester, earth-tester, spring-balance] }"),
        "dead-tests",
    );
    assert!(poor.contains("Have it done") && !rich.contains("Have it done"));
    for text in [&poor, &rich] {
        assert_eq!(text.matches("live and neutral pins joined").count(), 3, "body, cover, low side");
    }
}

#[test]
fn no_label_while_a_danger_stands_that_is_never_waived() {
    let live = slate("mains { metal cover { bonded no } }");
    assert!(findings(&live).contains(&"mains/metal-unbonded".to_owned()));
    let packet_of = sheets(&live, &["label"]);
    assert!(!packet_of.drawings.contains_key("label"));
    assert!(packet_of.sheets[0].markdown.contains("gets no label"));
    // A DANGER that may be waived keeps the packet a draft and leaves the label.
    let thin = slate("mains { fuse { rating 6.1 A } }");
    assert!(findings(&thin).contains(&"mains/no-fuse".to_owned()));
    assert!(sheets(&thin, &["label"]).drawings.contains_key("label"));
}

#[test]
fn tables_have_a_row_for_each_wire_and_part() {
    let compiled = example("alder-table", None);
    let packet = sheets(&compiled, &["wiring"]);
    let wiring = packet.tables.iter().find(|t| t.name == "wiring").expect("wiring.csv");
    assert_eq!(wiring.rows.len(), compiled.solution.wires.len());
    assert!(
        wiring
            .rows
            .iter()
            .all(|r| r.len() == wiring.columns.len() && r.iter().take(13).filter(|c| c.is_empty()).count() <= 1)
    );
    let parts = packet.tables.iter().find(|t| t.name == "parts").expect("parts.csv");
    let cell =
        |part: &str, column: usize| parts.rows.iter().find(|r| r[1].starts_with(part)).map(|r| r[column].clone());
    // Two lamps: two cords, and a spare fuse for each fuse.
    assert_eq!(cell("cord H03VV-F", 4).as_deref(), Some("2"));
    assert_eq!(cell("fuse", 4).as_deref(), Some("4"));
}

/// Names of the steps on a safety sheet.
fn steps(compiled: &Compiled) -> BTreeSet<String> {
    let text = sheet(compiled, "safety");
    let rows = text.lines().filter_map(|line| line.strip_prefix("| ☐ | "));
    rows.filter_map(|row| Some(row.split_once(" | ")?.0.to_owned())).collect()
}

#[test]
fn two_checklists_differ_where_the_specs_differ_and_nowhere_else() {
    let base = steps(&slate(""));
    assert!(base.len() >= 45, "{}", base.len());
    // Change to the spec, steps it takes away, steps it adds.
    for (change, gone, new) in [
        ("lamp { children yes }", &[][..], &["K5"][..]),
        ("lamp { mount table }", &[], &["F10"]),
        ("lamp { mount table; children yes }", &[], &["F13", "K5"]),
        ("lamp { mount pendant }", &[], &["A6", "K2"]),
        ("lamp { place indoor-damp }", &["K3"], &["C11", "E26", "F14", "J6", "K8"]),
        ("board { size 80 x 50 mm }", &[], &["D5"]),
        ("mains { class II }", &["E5", "E6", "F1", "J5", "L6"], &["E7", "J4", "L5"]),
        ("enclosure { material oak }", &["C5"], &["A8", "C10", "C7"]),
        ("enclosure { material asa; printed yes }", &["C5"], &["A8", "C1", "C3", "C4"]),
        ("diffuser { cut { method laser } }", &["B4", "B5"], &["B1", "B2", "B3"]),
        ("lamp { quantity 3 }", &[], &[]),
    ] {
        let other = steps(&slate(change));
        assert_eq!(base.difference(&other).collect::<Vec<_>>(), gone, "{change}: gone");
        assert_eq!(other.difference(&base).collect::<Vec<_>>(), new, "{change}: new");
    }
}

#[test]
fn a_step_stands_on_one_of_two_lists_only_where_its_figures_differ() {
    let file: serde_json::Value = serde_json::from_str(include_str!("../../templates/checklist.json")).expect("JSON");
    let conditions = |id: &str| -> Vec<String> {
        let stages = file["stages"].as_array().expect("stages").iter();
        let step = stages.flat_map(|s| s["items"].as_array().expect("items")).find(|i| i["id"] == id);
        let when = step.expect("the step")["when"].as_array().expect("conditions").clone();
        when.iter().map(|c| c.as_str().expect("words").to_owned()).collect()
    };
    let figure = |compiled: &Compiled, condition: &str| {
        let path = condition.trim_start_matches('!').split(" = ").next().expect("a path").to_owned();
        compiled.solution.ledger.shown(&path).map(str::to_owned)
    };
    let lamps = examples().into_iter().map(|name| example(&name, None)).map(|lamp| (steps(&lamp), lamp));
    let lamps: Vec<_> = lamps.collect();
    for ((mine, one), (theirs, other)) in lamps.iter().flat_map(|a| lamps.iter().map(move |b| (a, b))) {
        for id in mine.symmetric_difference(theirs) {
            let differs = conditions(id).iter().any(|c| figure(one, c) != figure(other, c));
            assert!(differs, "{} and {}: {id}", one.lamp.name, other.lamp.name);
        }
    }
}

#[test]
fn every_wire_end_has_its_flag_and_every_terminal_its_row() {
    for name in examples() {
        let compiled = example(&name, None);
        let packet = sheets(&compiled, &["wire-labels"]);
        let texts = lampwright::packet::drawings::text::rooms(&packet.drawings["wire-labels"]);
        for wire in &compiled.solution.wires {
            // Each flag has two halves, each wire two flags.
            assert_eq!(texts.iter().filter(|(t, _)| *t == wire.number).count(), 4, "{name}: {}", wire.number);
            for end in [&wire.from, &wire.to] {
                assert!(packet.sheets[0].markdown.contains(&format!("| {end} | ")), "{name}: {end}");
            }
        }
    }
}

#[test]
fn the_cut_list_counts_all_lamps_and_groups_alike_pieces() {
    let text = sheet(&slate("lamp { quantity 3 }"), "wire-labels");
    // Earth wires: 120 mm and 15 mm of slack, two a lamp.
    assert!(text.contains("| 6 | 135 mm | M1 M2 |"), "{text}");
    let inches = sheet(&slate("lamp { region us }"), "wire-labels");
    // 135 mm over 25.4 mm is 5.315 in.
    assert!(inches.contains("| 2 | 5 5/16 in (135 mm) | M1 M2 |"), "{inches}");
}

#[test]
fn a_spare_earth_core_and_spare_pins_are_declared_empty() {
    let text = sheet(&slate("mains { class II }"), "wire-labels");
    assert!(text.contains("| entry.PE | empty |"));
    assert!(!sheet(&slate(""), "wire-labels").contains("| entry.PE | empty |"));
}

#[test]
fn papers_of_a_finished_lamp_follow_the_lamp() {
    let several = slate("lamp { quantity 3 }");
    assert_eq!(sheets(&slate(""), &["batch"]).sheets.len(), 0);
    let batch = sheet(&several, "batch");
    assert!(batch.contains("| **3** |") && !batch.contains("| **4** |"));
    let (mains, low) = (example("slate-wall", None), example("heron-head", None));
    for (name, text) in [("repair", "Trips the RCD"), ("handover", "socket with earth")] {
        assert!(sheet(&mains, name).contains(text) && !sheet(&low, name).contains(text), "{name}");
    }
    let unit = sheet(&mains, "unit");
    let ledger = &mains.solution.ledger;
    for path in ["line.earth-most", "heat.judged.sink"] {
        assert!(unit.contains(&format!("at most {}", ledger.shown(path).expect("a figure"))), "{path}");
    }
    // One box for each touchable part, one mechanism for all bands.
    assert!(unit.contains("earth pin to body") && unit.contains("earth pin to cover"));
    assert!(unit.contains(&format!("{} ± 10 %", ledger.shown("feed.idle").expect("a figure"))));
    for path in ["drive.warm.string", "drive.cool.current", "line.earth-expected"] {
        assert!(unit.contains(&ledger.band(path).expect("a band")), "{path}");
    }
    assert!(!sheet(&low, "unit").contains("earth pin"));
}

/// Where mains enters, class III claims what is not so: it stands as a DANGER, and no rule about mains falls silent.
#[test]
fn class_three_does_not_silence_the_mains_rules() {
    let compiled = slate("mains { class III; shared-board yes; entry { anchorage knot } }");
    let found = findings(&compiled);
    for rule in ["mains/class-mismatch", "mains/shared-board", "mains/cord-not-held"] {
        assert!(found.iter().any(|f| f == rule), "{rule} is silent; found {found:?}");
    }
    assert!(compiled.identity().draft, "a DANGER that no waiver lets through makes every page a draft");
}
