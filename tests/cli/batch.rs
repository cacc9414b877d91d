//! `batch`: travellers with a code of their own that `which` knows, and one pick list over several designs.

use super::{new_spec, place, run, with_parts, write};
use crate::support::text_of;

#[test]
fn travellers_carry_the_code_that_which_reads_back() {
    let folder = place("batch");
    write(&folder, "one.lamp", new_spec().replace("quantity    1", "quantity    3"));
    let ran = run(&folder, &["batch", "one.lamp", "--first", "5", "-o", "made"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.contains("travellers of units 5 to 7: made/one/packet.pdf"), "{}", ran.out);
    let sheet = std::fs::read_to_string(folder.join("made/one/sheets/unit-6.md")).expect("a traveller");
    let code = sheet.split("code ").nth(1).and_then(|t| t.split_whitespace().next()).expect("a code");
    assert!(code.ends_with("-6"), "{code}");
    let which = run(&folder, &["which", code, "one.lamp"]);
    assert_eq!(which.code, 0, "{}", which.err);
    assert!(which.out.contains("unit 6") && which.out.contains("current"), "{}", which.out);
    assert!(!folder.join("made/one/sheets/unit-8.md").exists());
}

#[test]
fn a_serial_stands_on_the_traveller_and_in_the_as_built_file() {
    let folder = place("batch-serial");
    write(&folder, "one.lamp", new_spec().replace("quantity    1", "quantity    12"));
    let ran = run(&folder, &["batch", "one.lamp", "--serial", "AL-26-", "-o", "made"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let sheet = std::fs::read_to_string(folder.join("made/one/sheets/unit-7.md")).expect("a traveller");
    assert!(sheet.contains("serial **AL-26-07**"), "{sheet}");
    let begun = run(&folder, &["unit", "one.lamp", "--start", "7", "--serial", "AL-26-07", "-o", "7.built"]);
    assert_eq!(begun.code, 0, "{}", begun.err);
    let judged = run(&folder, &["unit", "7.built"]);
    assert!(judged.out.contains("unit 7, serial AL-26-07, of My lamp"), "{}{}", judged.out, judged.err);
    let one = run(&folder, &["batch", "one.lamp", "--first", "3", "-o", "more"]);
    assert!(one.out.contains("travellers of units 3 to 14"), "{}", one.out);
    write(&folder, "single.lamp", new_spec());
    let single = run(&folder, &["batch", "single.lamp", "--first", "3", "-o", "single"]);
    assert!(single.out.contains("traveller of unit 3:") && !single.out.contains("3 to 3"), "{}", single.out);
}

/// Numbers run on from design to design where serials are wanted: no two lamps of a batch have one serial.
#[test]
fn no_two_lamps_of_a_batch_get_one_serial() {
    let folder = place("batch-serials");
    for (name, lamp, quantity) in [("one.lamp", "One", 3), ("two.lamp", "Two", 8)] {
        let text = new_spec().replace("\"My lamp\"", &format!("\"{lamp}\""));
        write(&folder, name, text.replace("quantity    1", &format!("quantity    {quantity}")));
    }
    let ran = run(&folder, &["batch", "one.lamp", "two.lamp", "--first", "5", "--serial", "AL-", "-o", "made"]);
    assert_eq!(ran.code, 0, "{}{}", ran.err, ran.out);
    let mut serials = Vec::new();
    for design in ["one", "two"] {
        for entry in std::fs::read_dir(folder.join("made").join(design).join("sheets")).expect("travellers").flatten() {
            let sheet = std::fs::read_to_string(entry.path()).expect("a traveller");
            serials
                .push(sheet.split("serial **").nth(1).and_then(|t| t.split("**").next()).expect("a serial").to_owned());
        }
    }
    serials.sort();
    let expected: Vec<String> = (5..=15).map(|n| format!("AL-{n:02}")).collect();
    assert_eq!(serials, expected);
    let apart = run(&folder, &["batch", "one.lamp", "two.lamp", "--first", "5", "-o", "apart"]);
    assert!(apart.out.contains("units 5 to 7:") && apart.out.contains("units 5 to 12:"), "{}", apart.out);
}

/// Two designs of one stuff share their sheets of stock, and the list says whether that saves one.
#[test]
fn one_cut_list_and_one_layout_over_several_designs() {
    let folder = place("batch-cut");
    with_parts(&folder);
    for (file, name) in [("one.lamp", "One"), ("two.lamp", "Two")] {
        let text = text_of("slate-wall").replacen("lamp \"Slate\"", &format!("lamp \"{name}\""), 1);
        assert!(text.contains("    stock { size"), "{text}");
        write(&folder, file, text);
    }
    let ran = run(&folder, &["batch", "one.lamp", "two.lamp", "-o", "made"]);
    assert_eq!(ran.code, 0, "{}{}", ran.err, ran.out);
    let list = std::fs::read_to_string(folder.join("made/cut.csv")).expect("the cut list");
    assert_eq!(list.lines().count(), 3, "{list}");
    assert!(list.contains("A,One,") && list.contains("B,Two,"), "{list}");
    let sheet = std::fs::read_to_string(folder.join("made/sheets/cut-list.md")).expect("the cut list");
    assert!(sheet.contains("1 sheet; each design alone: 2"), "{sheet}");
    assert!(folder.join("made/drawings/cut-1-1.svg").exists());
}

#[test]
fn one_pick_list_adds_up_equal_parts_of_several_designs() {
    let folder = place("batch-pick");
    let two = new_spec().replace("quantity    1", "quantity    2");
    write(&folder, "one.lamp", format!("{two}\nstock {{ loss 25 %; pack 4 }}\n"));
    write(&folder, "two.lamp", new_spec().replace("\"My lamp\"", "\"Other lamp\""));
    let ran = run(&folder, &["batch", "one.lamp", "two.lamp", "-o", "made"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let pick = std::fs::read_to_string(folder.join("made/pick.csv")).expect("the pick list");
    let line = |part: &str| {
        let found = pick.lines().find(|l| l.contains(part)).unwrap_or_else(|| panic!("no {part} in\n{pick}"));
        found.rsplit(',').map(str::to_owned).collect::<Vec<_>>()
    };
    // Three lamps of two channels: six modules. One drawer loses a quarter of its four, the other nothing of its two.
    assert_eq!(line("current module")[..3], ["2 of 4", "7", "6"]);
    // One supply a lamp, none of them lost.
    assert_eq!(line(",supply,")[..3], ["", "3", "3"]);
    assert!(pick.contains("\"My lamp, Other lamp\""), "{pick}");
    let sheet = std::fs::read_to_string(folder.join("made/sheets/pick.md")).expect("the pick list");
    let design = |name: &str| sheet.lines().find(|l| l.starts_with(&format!("| {name} "))).expect("a design");
    assert!(design("My lamp").ends_with("| 25 % | 4 |") && design("Other lamp").ends_with("| 0 % | – |"), "{sheet}");
    // Written again: the travellers' folders beside it stay.
    assert_eq!(run(&folder, &["batch", "one.lamp", "two.lamp", "-o", "made"]).code, 0);
    assert!(folder.join("made/one/packet.pdf").exists() && folder.join("made/two/packet.pdf").exists());
    write(&folder, "two.lamp", "language 1\n");
    let broken = run(&folder, &["batch", "one.lamp", "two.lamp", "-o", "none"]);
    assert_eq!(broken.code, 2);
    assert!(broken.out.contains("nothing was written") && !folder.join("none").exists(), "{}", broken.out);
}
