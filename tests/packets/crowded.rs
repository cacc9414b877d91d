//! Bodies of every shape and parts that crowd each other: the packet is set whole, its labels lie apart, gaps too short
//! for their arrows keep them, and a part that no short move helps is told a place where it fits.

#![allow(clippy::unwrap_used, reason = "helpers of tests, outside of a test function")]

use lampwright::Compiled;
use lampwright::packet::drawing::{Drawing, Path, Point, Role, Shape};
use lampwright::packet::drawings::text::rooms;
use lampwright::packet::sheet::Packet;
use lampwright::packet::templates::Overrides;
use lampwright::render;

use crate::support::{self, text_of};

fn packet(compiled: &Compiled) -> Packet {
    compiled.packet(&Overrides::default(), None).unwrap_or_else(|e| panic!("{e:?}"))
}

fn varied(name: &str, statements: &str) -> Compiled {
    support::varied(&text_of(name), statements)
}

/// The reading head in other bodies, with parts in them; the sheet small enough for all.
fn body(size: &str) -> Compiled {
    let round = !size.starts_with("shape box");
    let holes =
        "hole a { diameter 8 mm; towards 20 °; level 30 mm }; hole b { diameter 5 mm; towards 200 °; level 15 mm }";
    let holes = if round { holes } else { "" };
    varied(
        "heron-head",
        &format!(
            "enclosure {{ {size}; wall 2 mm; opening 90 mm; {holes} }} \
             diffuser {{ outline disc; diameter 96 mm; seat {{ width 97 mm; lip 3 mm }} }} \
             layout {{ place controller {{ mass 12 g }}; place driver {{ size 40 x 30 x 14 mm; mass 40 g }}; \
             place sink {{ mass 70 g }}; foot 90 mm }}"
        ),
    )
}

pub(super) fn assert_apart(name: &str, drawing: &Drawing) {
    let rooms = rooms(drawing);
    for (k, (one, room)) in rooms.iter().enumerate() {
        for (other, beside) in rooms.iter().skip(k + 1) {
            assert!(!room.overlaps(beside), "{name}, {}: `{one}` lies on `{other}`", drawing.name);
        }
    }
}

#[test]
fn a_body_of_any_shape_has_its_views_and_is_set() {
    for name in [
        "shape cylinder; size 150 x 90 mm",
        "shape box; size 150 x 130 x 90 mm",
        "shape sphere; size 150 mm",
        "shape dome; size 170 mm",
        "shape cone; size 100 x 140 x 100 mm",
    ] {
        let packet = packet(&body(name));
        for view in ["cover-front", "cover-section", "fit-section", "fit-plan", "fit-front"] {
            assert!(packet.drawings.contains_key(view), "{name}: no {view}");
        }
        packet.drawings.values().for_each(|drawing| assert_apart(name, drawing));
        // What a template names and no drawing has is refused here.
        render::pdf(&packet).unwrap_or_else(|e| panic!("{name}: {e:?}"));
    }
}

#[test]
fn parts_that_clash_in_a_ball_keep_their_labels_apart() {
    let statement = "enclosure { shape sphere; size 150 mm; wall 2.4 mm; opening 104 mm } \
                     emitter { distance 45 mm } \
                     layout { place supply { at (10 mm, 0 mm, -70 mm); turn xyz } \
                     place controller { at (-10 mm, 5 mm, -72 mm); turn xyz } \
                     place driver { at (0 mm, 30 mm, -90 mm); turn xyz } \
                     place extra { at (60 mm, 0 mm, -60 mm); size 40 x 20 mm; round yes } }";
    let packet = packet(&varied("alder-table", statement));
    for name in ["fit-section", "fit-plan", "fit-front", "cover-section"] {
        assert_apart(name, &packet.drawings[name]);
    }
    assert_apart("board", &packet.drawings["board-component"]);
}

/// Tips of the arrow heads: the first corner of each filled triangle.
fn tips(drawing: &Drawing) -> Vec<Point> {
    let filled = drawing.shapes.iter().filter_map(|shape| match shape {
        Shape::Paths { role: Role::Ink, paths } => Some(paths),
        _ => None,
    });
    filled.flatten().filter(|path: &&Path| path.vertices.len() == 3).map(|path| path.vertices[0].point).collect()
}

#[test]
fn every_gap_of_the_views_has_its_figure_and_both_arrows() {
    // Gaps of the examples, mm, and the view that shows them; as the gap table has them.
    for (name, view, letter, gap) in [
        ("alder-table", "fit-section", "c", 3.2),
        ("alder-table", "fit-section", "e", 2.3),
        ("slate-wall", "fit-section", "a", 2.1),
        ("slate-wall", "fit-section", "b", 5.6),
        ("slate-wall", "fit-section", "d", 4.6),
        ("lantern-trail", "fit-section", "a", 6.0),
        ("lantern-trail", "fit-plan", "d", 12.5),
    ] {
        let packet = support::packet(name, None);
        let drawing = &packet.drawings[view];
        let by: f64 = drawing.title.rsplit("1 : ").next().unwrap().parse().unwrap();
        let words = format!("{letter} {gap} mm");
        let said = drawing.shapes.iter().any(|s| matches!(s, Shape::Text { text, .. } if *text == words));
        assert!(said, "{name}, {view}: no label `{words}`");
        let tips = tips(drawing);
        let apart = |a: &Point, b: &Point| libm::hypot(a.x - b.x, a.y - b.y);
        let found = tips.iter().any(|a| tips.iter().any(|b| (apart(a, b) - gap / by).abs() < 0.02));
        assert!(found, "{name}, {view}: no arrows {gap} mm apart at 1 : {by}");
    }
}

#[test]
fn a_part_that_no_short_move_helps_is_told_a_place_where_it_fits() {
    // A bar of 150 mm does not lie across a body of 115 mm inside, wherever it is moved; on end it has room enough.
    let longer = "enclosure { size 120 x 320 mm }";
    let bar =
        |place: &str| format!("{longer} layout {{ place bar {{ size 150 x 12 x 12 mm; zone low-voltage; {place} }} }}");
    let compiled = varied("alder-table", &bar("at (0 mm, -30 mm, -150 mm); turn xyz"));
    let findings = compiled.report.findings();
    let of_bar = |f: &&_| -> bool {
        let f: &lampwright::rules::report::Raised<'_> = f;
        f.rule.name == "make/does-not-fit" && f.finding.message.contains("the bar")
    };
    let fix = findings.iter().find(|f| of_bar(f)).expect("it does not fit").finding.fix.clone();
    let words: Vec<&str> = fix.split('`').collect();
    let (place, turn) = (words[1], words[3]);
    assert!(place.starts_with("at (") && turn.starts_with("turn "), "{fix}");
    let moved = varied("alder-table", &bar(&format!("{place}; {turn}")));
    let left: Vec<_> =
        moved.report.findings().into_iter().filter(|f| of_bar(&f)).map(|f| f.finding.message.clone()).collect();
    assert!(left.is_empty(), "{fix}: {left:?}");
}

#[test]
fn two_parts_that_meet_are_one_finding_and_the_sink_is_not_moved() {
    let compiled = varied("slate-wall", "layout { place controller { at (0 mm, 0 mm, -66 mm) } }");
    let findings = compiled.report.findings();
    let clash: Vec<_> = findings.iter().filter(|f| f.rule.name == "make/does-not-fit").collect();
    assert_eq!(clash.len(), 1, "{:?}", clash.iter().map(|f| &f.finding.message).collect::<Vec<_>>());
    assert!(clash[0].finding.message.starts_with("the controller and the sink run"), "{}", clash[0].finding.message);
    assert!(clash[0].finding.fix.starts_with("move the controller"), "{}", clash[0].finding.fix);
}

#[test]
fn a_printed_body_without_mains_needs_no_word_about_live_parts() {
    let compiled = varied(
        "heron-head",
        "enclosure { shape cone; size 90 x 160 x 90 mm; material pla; printed yes; print { screws 3; bed front } }",
    );
    let packet = packet(&compiled);
    let card = &packet.sheets.iter().find(|sheet| sheet.name == "print").expect("a card").markdown;
    assert!(card.contains("at least 1.2 mm") && !card.contains("Live parts"), "{card}");
}
