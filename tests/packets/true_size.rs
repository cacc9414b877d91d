//! True size in the files themselves: bars, outlines and marks measured in the SVG by a general XML reader and in the
//! PDF by a general PDF reader; layers; tiles that fit together.

#![allow(clippy::unwrap_used, reason = "helpers of tests, outside of a test function")]

use lampwright::packet::sheet::Packet;
use lampwright::packet::templates::Overrides;
use lampwright::render;

use super::pdf_reading::{ReadPage, read};
use crate::support::{compile, example, examples};

fn packet(name: &str) -> Packet {
    let only = ["cut".to_owned()];
    example(name, None).packet(&Overrides::default(), Some(&only)).unwrap_or_else(|e| panic!("{name}: {e:?}"))
}

/// Straight pieces of a path's data as x, y, u, v.
fn lines(data: &str) -> Vec<[f64; 4]> {
    let mut found = Vec::new();
    let (mut here, mut start) = ((0.0, 0.0), (0.0, 0.0));
    let mut rest = data;
    while let Some(at) = rest.find(|c: char| c.is_ascii_alphabetic()) {
        let command = rest[at..].chars().next().unwrap();
        rest = &rest[at + 1..];
        let end = rest.find(|c: char| c.is_ascii_alphabetic()).unwrap_or(rest.len());
        let numbers: Vec<f64> = rest[..end].split_whitespace().map(|n| n.parse().unwrap()).collect();
        let to = match (command, numbers.as_slice()) {
            ('M' | 'L', [x, y]) => (*x, *y),
            ('A', [_, _, _, _, _, x, y]) => (*x, *y),
            ('Z', []) => start,
            other => panic!("{other:?} in {data}"),
        };
        match command {
            'M' => start = to,
            'L' | 'Z' => found.push([here.0, here.1, to.0, to.1]),
            _ => {}
        }
        here = to;
    }
    found
}

fn count(lines: &[[f64; 4]], dx: f64, dy: f64) -> usize {
    let alike = |l: &&[f64; 4]| ((l[2] - l[0]).abs() - dx).abs() < 0.002 && ((l[3] - l[1]).abs() - dy).abs() < 0.002;
    lines.iter().filter(alike).count()
}

#[test]
fn svg_bars_and_outlines_measure_true() {
    for name in examples() {
        let packet = packet(&name);
        let files = render::files(&packet).unwrap();
        let file = files.into_iter().find(|file| file.path == "drawings/diffuser.svg").unwrap();
        let text = String::from_utf8(file.bytes).unwrap();
        let tree = roxmltree::Document::parse(&text).unwrap();
        let svg = tree.root_element();
        let view: Vec<f64> = svg.attribute("viewBox").unwrap().split(' ').map(|n| n.parse().unwrap()).collect();
        assert_eq!(svg.attribute("width").unwrap(), format!("{}mm", view[2]), "{name}: a unit is a millimetre");
        assert_eq!(svg.attribute("height").unwrap(), format!("{}mm", view[3]));
        let all: Vec<[f64; 4]> = tree.descendants().filter_map(|n| n.attribute("d")).flat_map(lines).collect();
        assert!(count(&all, 100.0, 0.0) >= 1 && count(&all, 0.0, 100.0) >= 1, "{name}: bars both ways");
    }
    // The straight edges between the corners of 6 and of 3 mm.
    for (name, width, height) in [("slate-wall", 226.0, 106.0), ("longsill-linear", 918.0, 42.0)] {
        let text = render::svg::machine(&packet(name).machine_drawings["diffuser"], false);
        let tree = roxmltree::Document::parse(&text).unwrap();
        let cut = tree.descendants().find(|n| n.attribute("id") == Some("cut")).unwrap();
        let edges: Vec<[f64; 4]> = cut.descendants().filter_map(|n| n.attribute("d")).flat_map(lines).collect();
        assert_eq!((count(&edges, width, 0.0), count(&edges, 0.0, height)), (2, 2), "{name}");
    }
}

#[test]
fn marks_lie_on_a_layer_of_their_own() {
    let packet = packet("slate-wall");
    for name in ["diffuser", "diffuser-cut"] {
        let text = render::svg::machine(&packet.machine_drawings[name], false);
        let tree = roxmltree::Document::parse(&text).unwrap();
        let groups: Vec<_> = tree.descendants().filter(|n| n.has_tag_name("g")).collect();
        let ids: Vec<_> = groups.iter().filter_map(|g| g.attribute("id")).collect();
        assert_eq!(ids, ["engrave", "cut"]);
        assert_ne!(groups[0].attribute("stroke"), groups[1].attribute("stroke"));
        // TOP with its arrow is 2, 2, 1 and 1 strokes, REV C 2, 2, 1 and 1; the cut is an edge and two holes.
        let paths = |k: usize| groups[k].children().filter(|n| n.has_tag_name("path")).count();
        assert_eq!((paths(0), paths(1)), (12, 3), "{name}");
    }
    let bytes = render::pdf(&packet).unwrap();
    let file = lopdf::Document::load_mem(&bytes).unwrap();
    let layers = file.catalog().unwrap().get(b"OCProperties").unwrap().as_dict().unwrap();
    let groups = layers.get(b"OCGs").unwrap().as_array().unwrap();
    let title = |group: &lopdf::Object| {
        let group = file.get_dictionary(group.as_reference().unwrap()).unwrap();
        String::from_utf8(group.get(b"Name").unwrap().as_str().unwrap().to_vec()).unwrap()
    };
    assert_eq!(groups.iter().map(title).collect::<Vec<_>>(), ["Cut", "Engrave"]);
}

/// Pages that hold one tile of the diffuser each.
fn tiles(name: &str) -> Vec<ReadPage> {
    let bytes = render::pdf(&packet(name)).unwrap();
    read(&bytes).into_iter().filter(|page| page.has("1 : 1. Lay the crosses")).collect()
}

#[test]
fn pdf_tiles_measure_true_and_fit_together() {
    // The sheet of 926 mm is turned: it takes five tiles down instead of six across.
    for (name, width, count_of, turned) in [("slate-wall", 226.0, 2, false), ("longsill-linear", 918.0, 5, true)] {
        let pages = tiles(name);
        let (along, across) = if turned { (1, 0) } else { (0, 1) };
        assert_eq!(pages.len(), count_of, "{name}");
        let mut left = Vec::new();
        for page in &pages {
            // On every tile a bar of its own each way, and no second pair that its edges would cut.
            assert_eq!((count(&page.lines, 100.0, 0.0), count(&page.lines, 0.0, 100.0)), (1, 1), "{name}");
            let edges: Vec<&[f64; 4]> = page
                .lines
                .iter()
                .filter(|l| {
                    (l[2 + across] - l[across]).abs() < 1e-3 && ((l[2 + along] - l[along]).abs() - width).abs() < 2e-3
                })
                .collect();
            // One long edge is a line of its own, the other closes the run.
            assert!(!edges.is_empty(), "{name}: the long edge is drawn in true size on each tile");
            left.push(edges[0][along].min(edges[0][2 + along]));
        }
        // From tile to tile the drawing moves by the same way: what a tile shows less the strip of 12 mm they share.
        let step = (left[0] - left[1]).abs();
        assert!(left.windows(2).all(|pair| ((pair[0] - pair[1]).abs() - step).abs() < 2e-3), "{name}: {left:?}");
        // What an A4 page leaves between its margins, above caption and bar.
        let shown = if turned { 239.0 } else { 174.0 };
        assert!((step - (shown - 12.0)).abs() < 2e-3, "{name}: {step}");
    }
}

#[test]
fn a_sheet_of_hundreds_of_pages_is_drawn_small() {
    let spec = std::fs::read_to_string(crate::support::root().join("examples/heron-head.lamp")).unwrap();
    for (side, tiled) in [("2 m", true), ("20 m", false)] {
        let text = spec.replacen("enclosure.opening + 5 mm", side, 1).replacen(
            "diameter        142 mm",
            &format!("diameter {side}"),
            1,
        );
        assert_ne!(text, spec);
        let only = ["cut".to_owned()];
        let packet = compile(&text, None).unwrap().packet(&Overrides::default(), Some(&only)).unwrap();
        let pages = read(&render::pdf(&packet).unwrap());
        assert_eq!(pages.iter().any(|page| page.has("1 : 1. Lay the crosses")), tiled, "{side}");
        assert_eq!(pages.iter().any(|page| page.has("Drawn small: in true size it")), !tiled, "{side}");
        assert_eq!(pages.len() < 20, !tiled, "{side}: {} pages", pages.len());
    }
}

#[test]
fn pdf_pages_of_one_drawing_carry_true_bars_both_ways() {
    for name in ["alder-table", "heron-head", "lantern-trail"] {
        let sheets = ["cut".to_owned(), "drill".to_owned()];
        let packet =
            example(name, None).packet(&Overrides::default(), Some(&sheets)).unwrap_or_else(|e| panic!("{e:?}"));
        let pages = read(&render::pdf(&packet).unwrap());
        let full: Vec<&ReadPage> = pages.iter().filter(|page| page.has("Full size, 1 : 1.")).collect();
        assert!(!full.is_empty(), "{name}");
        for page in full {
            assert_eq!((count(&page.lines, 100.0, 0.0), count(&page.lines, 0.0, 100.0)), (1, 1), "{name}");
        }
    }
}

#[test]
fn places_on_the_map_of_tiles_lie_on_no_line() {
    for (name, columns, rows) in [("slate-wall", 2, 1), ("longsill-linear", 1, 5)] {
        let pages = read(&render::pdf(&packet(name)).unwrap());
        let map = pages.iter().find(|page| page.has("Drawn small. In true size")).expect("a map");
        for place in (1..=rows).flat_map(|row| (1..=columns).map(move |column| format!("{row}/{column}"))) {
            let text = map.texts.iter().find(|text| text.text == place).expect("the place of a tile");
            // The letters are 2 mm high and less than 5 mm wide.
            let (x, y) = (text.x + 2.2, text.y + 1.0);
            let through = |l: &&[f64; 4]| {
                let (low, high) = ((l[0].min(l[2]), l[1].min(l[3])), (l[0].max(l[2]), l[1].max(l[3])));
                low.0 < x + 2.2 && high.0 > x - 2.2 && low.1 < y + 1.0 && high.1 > y - 1.0
            };
            assert_eq!(map.lines.iter().filter(through).count(), 0, "{name}: {place}");
        }
    }
}

#[test]
fn crosses_of_neighbouring_tiles_lie_on_one_another() {
    let pages = tiles("longsill-linear");
    // A cross is two lines of 7 mm with one middle.
    let crosses = |page: &ReadPage| -> Vec<(f64, f64)> {
        let middle = |l: &[f64; 4]| ((l[0] + l[2]) / 2.0, (l[1] + l[3]) / 2.0);
        let level =
            page.lines.iter().filter(|l| (l[3] - l[1]).abs() < 1e-3 && ((l[2] - l[0]).abs() - 7.0).abs() < 0.01);
        level.map(middle).collect()
    };
    // The tiles lie below each other, for the sheet is turned.
    let edge = |page: &ReadPage| {
        let long = page.lines.iter().find(|l| ((l[3] - l[1]).abs() - 918.0).abs() < 2e-3).unwrap();
        long[1].min(long[3])
    };
    for pair in pages.windows(2) {
        let upper: Vec<(f64, f64)> = crosses(&pair[0]).iter().map(|c| (c.0, c.1 - edge(&pair[0]))).collect();
        let lower: Vec<(f64, f64)> = crosses(&pair[1]).iter().map(|c| (c.0, c.1 - edge(&pair[1]))).collect();
        let shared =
            upper.iter().filter(|a| lower.iter().any(|b| (a.0 - b.0).abs() < 0.01 && (a.1 - b.1).abs() < 0.01));
        assert_eq!(shared.count(), 2, "{upper:?} {lower:?}");
    }
}
