//! `batch`: travellers with a code of their own that `which` knows, and one pick list over several designs.

use super::{new_spec, place, run, write};

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
    // Three lamps of two channels: six modules, a quarter more laid out, rounded up; two packs of four.
    assert_eq!(line("current module")[..3], ["2", "8", "6"]);
    // One supply a lamp, none of them lost.
    assert_eq!(line(",supply,")[..3], ["", "3", "3"]);
    assert!(pick.contains("\"My lamp, Other lamp\""), "{pick}");
    let sheet = std::fs::read_to_string(folder.join("made/sheets/pick.md")).expect("the pick list");
    assert!(sheet.contains("25 %") && sheet.contains("packs of 4"), "{sheet}");
    // Written again: the travellers' folders beside it stay.
    assert_eq!(run(&folder, &["batch", "one.lamp", "two.lamp", "-o", "made"]).code, 0);
    assert!(folder.join("made/one/packet.pdf").exists() && folder.join("made/two/packet.pdf").exists());
    write(&folder, "two.lamp", "language 1\n");
    let broken = run(&folder, &["batch", "one.lamp", "two.lamp", "-o", "none"]);
    assert_eq!(broken.code, 2);
    assert!(broken.out.contains("nothing was written") && !folder.join("none").exists(), "{}", broken.out);
}
