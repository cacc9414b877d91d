//! `compare` and names: variants that change or are called otherwise, blocks and lets with another name, unused parts.

use super::compare::{alder, json, list, revisions};
use super::{run, write};

/// A change inside a variant is no change of the lamp without it, and is said all the same.
#[test]
fn a_change_of_a_variant_is_told() {
    let folder = revisions("compare-variant", &[("voltage 120 V", "voltage 110 V")]);
    let ran = run(&folder, &["compare", "old.lamp", "new.lamp", "--exit-code"]);
    assert_eq!(ran.code, 1, "its tests have to be done again: {}", ran.err);
    assert!(!ran.out.contains("no effect on lamp or papers"), "{}", ran.out);
    assert!(ran.out.contains("In its variants\n\n  north-america: nothing worse;"), "{}", ran.out);
    let found = json(&folder);
    assert_eq!((&found["reach"], &found["variants"][0]["fate"]), (&"none".into(), &"changed".into()));
    // What is changed for all is changed in the variant as in the lamp; another name for it is none of that.
    let both = json(&revisions("compare-variant-too", &[("pin p4; current 320 mA", "pin p4; current 380 mA")]));
    assert_eq!(both["variants"][0]["fate"], "as-the-lamp", "{:#}", both["variants"]);
    let edits = [("variant north-america", "variant na"), ("white candle", "white wick"), ("seat-gap", "gap")];
    let renamed = json(&revisions("compare-variant-name", &edits));
    let kinds: Vec<&str> = list(&renamed, "renames").iter().filter_map(|r| r["kind"].as_str()).collect();
    assert_eq!(kinds, ["white", "let", "variant"]);
    assert!(list(&renamed, "variants").is_empty(), "{:#}", renamed["variants"]);
    let gone =
        json(&revisions("compare-variant-gone", &[("variant north-america {", "variant more {\n lamp { mass 2 kg }")]));
    let fates: Vec<&str> = list(&gone, "variants").iter().filter_map(|v| v["fate"].as_str()).collect();
    assert_eq!(fates, ["new", "gone"]);
}

/// Of two guesses at a name each is the cause of its own sheets; an unused part is the cause of what is said of it.
#[test]
fn each_name_is_the_cause_of_its_own_sheets() {
    let edits = [("hole button", "hole knob"), ("white candle", "white wick")];
    let found = json(&revisions("compare-two-names", &edits));
    let causes = |name: &str| -> Vec<String> {
        let sheet = list(&found, "sheets").iter().find(|s| s["name"] == name).unwrap_or_else(|| panic!("no {name}"));
        let causes = sheet["because"].as_array().expect("causes").iter();
        causes.map(|c| c["change"]["new"].as_str().expect("a name").to_owned()).collect()
    };
    assert_eq!(causes("drill"), ["knob"]);
    assert_eq!(causes("colour"), ["wick"]);
    let folder = revisions("compare-unused", &[]);
    write(&folder, "new.lamp", format!("{}\npart cord spare is two-core {{ length 3 m }}\n", alder()));
    let found = json(&folder);
    let finding = &list(&found, "findings")[0];
    assert_eq!(finding["because"][0]["change"]["path"], "part cord spare", "{finding:#}");
    // A file of parts is no lamp: what to do instead is said in one line.
    let parts = run(&folder, &["compare", "parts/drawer.lamp", "parts/drawer.lamp"]);
    assert_eq!(parts.code, 3);
    assert!(parts.err.contains("holds parts and no lamp"), "{}", parts.err);
}

/// Nothing but a temperature asks for a new soak: a time that moved by a second does not.
#[test]
fn a_time_is_no_temperature() {
    let found = json(&revisions("compare-soak", &[("stock { size 400 x 300 mm }", "stock { size 500 x 300 mm }")]));
    assert!(list(&found, "tests").is_empty(), "{:#}", found["tests"]);
    let found = json(&revisions("compare-soak-outline", &[("outline disc", "outline polygon\n sides 30")]));
    let soak = list(&found, "tests").iter().find(|t| t["test"] == "soak");
    assert!(soak.is_none(), "{soak:#?}");
}
