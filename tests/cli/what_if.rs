//! `what-if`: figures changed without editing, and sweeps.

use serde_json::Value;

use super::run;
use crate::support::root;

#[test]
fn a_figure_is_changed_and_the_spec_is_not() {
    let folder = root().join("examples");
    let before = std::fs::read(folder.join("heron-head.lamp")).expect("an example");
    let ran = run(&folder, &["what-if", "heron-head.lamp", "driver.warm.current=500 mA", "--fail-on", "never"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.contains("what if driver.warm.current = 500 mA"), "{}", ran.out);
    assert!(ran.out.contains("left now") && ran.out.contains("left then"), "{}", ran.out);
    assert_eq!(std::fs::read(folder.join("heron-head.lamp")).expect("an example"), before);
    let json = run(&folder, &["what-if", "heron-head.lamp", "driver.warm.current=500mA", "--format", "json"]);
    let found: Value = serde_json::from_str(&json.out).expect("JSON");
    let margins = found["runs"][0]["margins"].as_array().expect("margins");
    let by_current = |m: &&Value| m["because"][0]["change"]["path"] == "driver.warm.current";
    assert!(margins.iter().any(|m| by_current(&m) && m["new_margin"].as_f64() < m["old_margin"].as_f64()), "{found:#}");
}

#[test]
fn the_same_checks_apply() {
    let folder = root().join("examples");
    let slip = run(&folder, &["what-if", "heron-head.lamp", "driver.warm.curent=300mA"]);
    assert_eq!(slip.code, 3);
    assert!(slip.err.contains("did you mean `driver.warm.current`?"), "{}", slip.err);
    let unit = run(&folder, &["what-if", "heron-head.lamp", "driver.warm.current=300 mV"]);
    assert_eq!(unit.code, 2, "{}", unit.out);
    assert!(unit.err.contains("voltage"), "{}", unit.err);
    let variant =
        run(&folder, &["what-if", "alder-table.lamp", "mains.cord.core-area=20 AWG", "--variant", "north-america"]);
    assert!(variant.out.contains("now:") && variant.out.contains("20 AWG"), "{}{}", variant.out, variant.err);
    assert_eq!(run(&folder, &["what-if", "heron-head.lamp", "nothing"]).code, 3);
    assert_eq!(run(&folder, &["what-if", "heron-head.lamp", "a=1..2/3", "b=1..2/3"]).code, 3);
}

#[test]
fn a_let_and_a_sweep_with_table_and_plot() {
    let folder = root().join("examples");
    let ran = run(
        &folder,
        &["what-if", "alder-table.lamp", "seat-gap=0.2mm..1mm/5", "--figure", "cut.seat.least", "--fail-on", "never"],
    );
    assert_eq!(ran.code, 0, "{}", ran.err);
    for value in ["0.2 mm", "0.4 mm", "0.6 mm", "0.8 mm", "1 mm"] {
        let rows = ran.out.lines().filter(|l| l.trim_start().starts_with(&format!("{value} "))).count();
        assert!(rows >= 1, "{value}: {}", ran.out);
    }
    let plot: Vec<&str> = ran.out.lines().filter(|l| l.contains('|')).collect();
    assert_eq!(plot.len(), 5, "{}", ran.out);
    let marks: Vec<usize> = plot.iter().map(|l| l.find('*').expect("a mark")).collect();
    assert!(marks.windows(2).all(|m| m[0] < m[1]), "more gap, more clearance: {}", ran.out);
    let wrong = run(&folder, &["what-if", "alder-table.lamp", "seat-gap=0.2mm..1mm/5", "--figure", "cut.seat.lest"]);
    assert_eq!(wrong.code, 3);
    assert!(wrong.err.contains("did you mean `cut.seat.least`?"), "{}", wrong.err);
}

/// What prints the same before and then has not moved, and no finding is better by nothing.
#[test]
fn what_looks_the_same_is_not_told() {
    let folder = root().join("examples");
    let ran = run(&folder, &["what-if", "alder-table.lamp", "seat-gap=1mm", "--fail-on", "never"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let rows: Vec<Vec<&str>> = ran
        .out
        .lines()
        .filter(|l| l.contains(" % "))
        .map(|l| l.split("  ").map(str::trim).filter(|c| !c.is_empty()).collect())
        .collect();
    for row in rows.iter().filter(|r| r.len() >= 6) {
        assert!(row[1] != row[2] || row[4] != row[5], "{row:?}");
    }
    assert!(!ran.out.contains("better: NOTICE light/drift"), "{}", ran.out);
}

#[test]
fn a_sweep_shows_each_figure_with_its_own_limit() {
    let folder = root().join("examples");
    let sweep = "driver.red.current=200mA..320mA/3";
    let asked = [
        "what-if",
        "alder-table.lamp",
        sweep,
        "--figure",
        "drive.red.power",
        "--figure",
        "heat.junction.red",
        "--fail-on",
        "never",
    ];
    let ran = run(&folder, &asked);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let head = ran.out.lines().next().expect("a head");
    assert!(head.contains("drive.red.power") && head.contains("heat.junction.red"), "{head}");
    assert_eq!(ran.out.lines().filter(|l| l.contains('|')).count(), 6, "two plots of three rows: {}", ran.out);
    assert!(
        !ran.out.contains(" %"),
        "neither has a limit of its own, and another rule's margin is not theirs: {}",
        ran.out
    );
    let plain = run(&folder, &["what-if", "alder-table.lamp", sweep, "--fail-on", "never"]);
    assert!(
        !plain.out.lines().skip(1).any(|l| l.contains("light/drift")),
        "a NOTICE that stands anyway: {}",
        plain.out
    );
}

#[test]
fn a_supply_that_is_too_weak_is_said_to_leave_nothing() {
    let folder = root().join("examples");
    let ran = run(&folder, &["what-if", "alder-table.lamp", "driver.topology=linear-sink", "--fail-on", "never"]);
    assert_eq!(ran.out.matches("leaves nothing for the channels").count(), 4, "{}", ran.out);
    assert!(!ran.out.contains("`light.target.candle` is missing"), "{}", ran.out);
    let bare = run(&folder, &["what-if", "slate-wall.lamp", "driver.topology=linear-sink", "--fail-on", "never"]);
    assert_eq!(bare.out.matches("`driver.amplifier.offset` is missing").count(), 1, "told once: {}", bare.out);
}
