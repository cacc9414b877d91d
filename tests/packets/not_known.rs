//! What nobody knows, and what is not what it seems: nothing goes to a machine for a sheet of which nobody knows the
//! material, an inlet turns where its kind lets it, a purple's wavelength is its complement's.

use lampwright::Compiled;
use lampwright::ledger::Origin;
use lampwright::packet::sheet::Packet;

use crate::support::{compile, example, sheet, sheets, text_of, varied};

fn cut(compiled: &Compiled) -> Packet {
    sheets(compiled, &["cut"])
}

#[test]
fn a_sheet_that_nobody_knows_goes_to_no_machine() {
    let known = cut(&example("slate-wall", None));
    assert!(known.machine_drawings.len() == 2 && !known.programs.is_empty());
    for (change, path) in [
        ("diffuser { material unknown }", "diffuser.material"),
        ("diffuser { cut { method unknown } }", "diffuser.cut.method"),
    ] {
        let lamp = varied(&text_of("slate-wall"), change);
        let packet = cut(&lamp);
        assert!(packet.machine_drawings.is_empty() && packet.programs.is_empty(), "{change}");
        let said = sheet(&lamp, "cut");
        assert!(said.contains("The cut is not ready") && said.contains(path), "{said}");
        assert!(said.contains("No file for a machine was written") && !said.contains("Before the cut"), "{said}");
    }
}

/// IEC 60320-1: three pins go in one way, a C8 takes its cord either way round.
#[test]
fn the_cord_of_an_inlet_turns_where_its_kind_lets_it() {
    let with = |kind: &str| {
        let text = text_of("longsill-linear");
        let from = text.find("    cord is two-core").expect("the cord");
        let until = from + text[from..].find("    fuse is").expect("the fuse");
        let text = format!("{}    inlet {{ kind {kind} }}\n{}", &text[..from], &text[until..]);
        compile(&text, None).expect("a lamp")
    };
    for (kind, turns) in [("c8", true), ("c18", false), ("c14", false)] {
        let lamp = with(kind);
        let (safety, dead) = (sheet(&lamp, "safety"), sheet(&lamp, "dead-tests"));
        assert_eq!(safety.contains("The cord goes into its inlet either way round"), turns, "{kind}: {safety}");
        assert_eq!(safety.contains("plug of a loose cord may go in either way round"), !turns, "{kind}: {safety}");
        assert_eq!(dead.contains("pin on the brown core"), turns, "{kind}: {dead}");
        assert_eq!(dead.contains("both pins of the inlet"), turns, "{kind}: {dead}");
    }
}

#[test]
fn a_purple_has_a_complementary_wavelength() {
    // Alder's red die moved across the line of purples.
    let text = text_of("alder-table");
    let channel = "emitter { die red { x 0.35; y 0.15 } }";
    let light = sheet(&varied(&text, channel), "light");
    assert!(light.contains("complementary: it is a purple"), "{light}");
    assert!(!sheet(&example("alder-table", None), "light").contains("complementary"));
}

/// Mass, length and time of a print follow from its plastic, and that from walls and infill.
#[test]
fn filament_follows_from_the_plastic() {
    let lamp = example("alder-table", None);
    let ledger = &lamp.solution.ledger;
    let value = |path: &str| ledger.get(path).and_then(|e| e.value).expect("a figure");
    assert!(value("print.plastic") <= value("print.volume"));
    assert!((value("print.mass") - value("print.plastic") * value("print.density")).abs() < 1e-9);
    let Origin::Computed { inputs, .. } = &ledger.get("print.filament").expect("filament").origin else {
        panic!("a formula")
    };
    assert_eq!(inputs.iter().map(|i| i.path.as_str()).collect::<Vec<_>>(), ["print.plastic"]);
}

/// Twelve digits are more than any figure has; what floating numbers leave over behind them is dropped, what the author
/// wrote goes out as it is.
#[test]
fn machines_read_no_leftovers() {
    for name in ["alder-table", "heron-head"] {
        let packet = sheets(&example(name, None), &["pins"]);
        let settings = &packet.data_files.first().expect("settings").value;
        let mut open = vec![settings];
        while let Some(next) = open.pop() {
            match next {
                serde_json::Value::Array(all) => open.extend(all),
                serde_json::Value::Object(all) => open.extend(all.values()),
                serde_json::Value::Number(number) if number.is_f64() => {
                    let value = number.as_f64().expect("a number");
                    let digits = format!("{value:e}");
                    let digits = digits.split('e').next().expect("digits").replace(['.', '-'], "");
                    assert!(digits.len() <= 12, "{name}: {value}");
                }
                _ => {}
            }
        }
    }
}
