//! Where a figure is not known, or two rules could hold, the papers take the stricter; and what a waiver lets through
//! stands where its work is done.

use lampwright::Compiled;
use lampwright::packet::drawing::{Role, Shape};
use lampwright::packet::sheet::Packet;
use lampwright::packet::templates::Overrides;

use crate::support::{compile, unplaced};

const ALDER: &str = include_str!("../../examples/alder-table.lamp");
const HERON: &str = include_str!("../../examples/heron-head.lamp");
const SLATE: &str = include_str!("../../examples/slate-wall.lamp");

fn with(base: &str, variant: &str) -> Compiled {
    let text = format!("{}\nvariant test {{ {variant} }}\n", unplaced(base));
    compile(&text, Some("test")).unwrap_or_else(|diags| panic!("{diags}"))
}

fn packet(compiled: &Compiled) -> Packet {
    compiled.packet(&Overrides::new(), None).expect("a packet")
}

fn sheet<'a>(packet: &'a Packet, name: &str) -> &'a str {
    &packet.sheets.iter().find(|s| s.name == name).unwrap_or_else(|| panic!("no sheet {name}")).markdown
}

#[test]
fn an_unknown_waiting_time_is_five_minutes() {
    let papers = packet(&with(SLATE, "supply { discharge unknown }"));
    for (name, words) in [
        ("safety", "not known; wait five minutes. Then measure"),
        ("safety", "wait five minutes, then measure"),
        ("repair", "Wait five minutes"),
        ("first-power", "Wait five minutes"),
    ] {
        assert!(sheet(&papers, name).contains(words), "{name}: {words}");
    }
    let card = serde_json::to_string(&papers.drawings["lid-card"]).expect("JSON");
    assert!(card.contains("five minutes") && !card.contains("wait unknown"));
}

#[test]
fn a_lamp_outdoors_stands_on_the_slope_of_garden_lamps() {
    // IEC 60598-2-4: 6°; IEC 60598-2-7 and 60598-2-10: 15°.
    for (statement, angle, step) in [
        ("lamp { mount table }", "6°", "| F10 |"),
        ("lamp { mount table; place outdoor }", "15°", "| F15 |"),
        ("lamp { mount table; children yes }", "15°", "| F13 |"),
        ("lamp { mount table; children unknown }", "15°", "| F13 |"),
        ("lamp { mount table; place unknown }", "15°", "| F15 |"),
    ] {
        let papers = packet(&with(HERON, statement));
        assert!(sheet(&papers, "dead-tests").contains(&format!("tilt {angle} to every side")), "{statement}");
        let safety = sheet(&papers, "safety");
        let tilts: Vec<&str> = safety.lines().filter(|line| line.contains("Tilt it to every side")).collect();
        assert!(
            matches!(tilts.as_slice(), [one] if one.contains(step) && one.contains(angle)),
            "{statement}: {tilts:?}"
        );
    }
}

#[test]
fn a_fuse_in_each_pole_is_two_fuses_and_two_holders() {
    for (pole, fuses, holders) in [("line", "2", "1"), ("both", "3", "2")] {
        let parts = with(SLATE, &format!("mains {{ fuse {{ pole {pole} }} }}")).parts();
        let each = |part: &str| parts.rows.iter().find(|row| row[1] == part).map(|row| row[3].clone());
        assert_eq!(each("fuse").as_deref(), Some(fuses), "{pole}");
        assert_eq!(each("fuse holder").as_deref(), Some(holders), "{pole}");
    }
}

#[test]
fn the_number_of_the_unit_is_written_behind_its_own_word() {
    let papers = packet(&with(HERON, "lamp { place indoor-damp; model \"Desk unit\" }"));
    let label = &papers.drawings["label"];
    let texts = label.shapes.iter().filter_map(|shape| match shape {
        Shape::Text { at, text, .. } => Some((text.as_str(), at.y)),
        Shape::Paths { .. } => None,
    });
    let texts: Vec<(&str, f64)> = texts.collect();
    assert!(texts.iter().all(|(text, _)| !text.starts_with(',')), "{texts:?}");
    let lines = label.shapes.iter().filter_map(|shape| match shape {
        Shape::Paths { role: Role::Dimension, paths } => Some(paths[0].vertices[0].point.y),
        _ => None,
    });
    let revision = texts.iter().find(|(text, _)| text.starts_with("revision")).expect("the revision").1;
    assert!(matches!(lines.collect::<Vec<_>>().as_slice(), [y] if (revision - y - 0.6).abs() < 1e-9));
}

#[test]
fn a_waiver_of_making_stands_on_the_sheet_by_which_that_is_made() {
    let text = format!(
        "{ALDER}\nwaive make/print-wall {{ reason \"a sleeve stands behind it\"; by \"the maker\" }}\n\
         variant test {{ enclosure {{ wall 0.8 mm }} }}\n"
    );
    let papers = packet(&compile(&text, Some("test")).unwrap_or_else(|diags| panic!("{diags}")));
    assert!(sheet(&papers, "print").contains("a sleeve stands behind it"));
    for other in ["cut", "section", "board", "drill"] {
        assert!(!sheet(&papers, other).contains("a sleeve stands behind it"), "{other}");
    }
}
