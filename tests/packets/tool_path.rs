//! The router's program read back word by word (ISO 6983-1) and held against the piece: where the cutter's middle
//! runs, which way round, how deep, what stays as bridges; and the refusal of what it cannot cut.

#![allow(clippy::unwrap_used, reason = "helpers of tests, outside of a test function")]

use lampwright::Compiled;
use lampwright::packet::sheet::Packet;
use lampwright::physics::mechanics::curve::{Point, Segment};
use lampwright::quantity::Metres;

use crate::support::{example, sheets, text_of, varied};

const NAME: &str = "diffuser-router.nc";

fn packet(compiled: &Compiled) -> Packet {
    sheets(compiled, &["cut"])
}

fn variant(statements: &str) -> Compiled {
    varied(&text_of("slate-wall"), statements)
}

/// One move: its way in plan, the height at its end, whether it is rapid, its feed.
#[derive(Debug, Clone, Copy)]
struct Moved {
    way: Segment,
    from: f64,
    to: f64,
    rapid: bool,
    feed: f64,
    number: u32,
}

fn at(x: f64, y: f64) -> Point {
    Point { x: Metres::si(x * 1e-3), y: Metres::si(y * 1e-3) }
}

/// Runs the program as a machine would; knows no word beyond those the program may use.
fn run(program: &str) -> Vec<Moved> {
    let (mut x, mut y, mut z, mut feed) = (0.0, 0.0, f64::NAN, f64::NAN);
    let mut moves = Vec::new();
    let (mut turning, mut ended) = (false, false);
    for line in program.lines() {
        if line == "%" {
            continue;
        }
        assert!(!ended, "nothing after the end: {line}");
        if let Some(comment) = line.strip_prefix('(') {
            assert!(comment.ends_with(')') && comment.matches(['(', ')']).count() == 1 && comment.is_ascii(), "{line}");
            continue;
        }
        let words: Vec<(char, f64)> = line
            .split_whitespace()
            .map(|word| (word.chars().next().unwrap(), word[1..].parse().unwrap_or_else(|_| panic!("{line}"))))
            .collect();
        let word = |letter: char| words.iter().find(|(l, _)| *l == letter).map(|(_, value)| *value);
        match word('G') {
            Some(21.0) => assert_eq!(line, "G21 G90 G17 G94 G40", "millimetres, absolute, plane, feed, no correction"),
            Some(g) if g <= 3.0 => {
                let (u, v, w) = (word('X').unwrap_or(x), word('Y').unwrap_or(y), word('Z').unwrap_or(z));
                feed = word('F').unwrap_or(feed);
                assert!(g == 0.0 || (turning && feed > 0.0), "{line}");
                let bulge = if g >= 2.0 {
                    let (i, j) = (word('I').unwrap(), word('J').unwrap());
                    let (cx, cy) = (x + i, y + j);
                    let (r, s) = (libm::hypot(i, j), libm::hypot(u - cx, v - cy));
                    assert!((r - s).abs() < 2e-3, "radii {r} and {s} of {line}");
                    let mut sweep = libm::atan2(v - cy, u - cx) - libm::atan2(y - cy, x - cx);
                    let whole = 2.0 * std::f64::consts::PI;
                    sweep = if g == 3.0 { sweep.rem_euclid(whole) } else { -(-sweep).rem_euclid(whole) };
                    libm::tan(sweep / 4.0)
                } else {
                    0.0
                };
                let way = Segment::new(at(x, y), at(u, v), bulge);
                moves.push(Moved { way, from: z, to: w, rapid: g == 0.0, feed, number: g as u32 });
                (x, y, z) = (u, v, w);
            }
            Some(4.0) => assert!(turning && word('P') == Some(3.0), "{line}: it waits for the spindle"),
            Some(other) => panic!("G{other} in {line}"),
            None => match word('M') {
                Some(3.0) => turning = word('S').is_some_and(|s| s > 0.0),
                Some(5.0) => turning = false,
                Some(30.0) => ended = true,
                _ => panic!("{line}"),
            },
        }
    }
    assert!(ended && !turning, "the spindle stops and the program ends");
    moves
}

#[test]
fn the_cutter_runs_its_radius_beside_the_finished_edge() {
    let compiled = example("slate-wall", None);
    let program = packet(&compiled).programs[NAME].clone();
    let sheet = compiled.solution.sheet.as_ref().unwrap().as_ref().unwrap();
    let net = sheet.net.as_ref().unwrap();
    let zero = net.plate.outer.extents().least;
    let (mut on_path, mut length) = (0, 0.0);
    for moved in run(&program).iter().filter(|m| !m.rapid && m.to < 0.0) {
        for share in [0.0, 0.25, 0.5, 0.75, 1.0] {
            let p = moved.way.point_at(share).shifted(zero);
            let edges = std::iter::once(&net.plate.outer).chain(&net.plate.holes);
            let off = edges.map(|edge| edge.distance_to(p).value() * 1e3).fold(f64::MAX, f64::min);
            // Never nearer than the cutter's radius, which a lead through the waste keeps too.
            assert!(off > 3.175 / 2.0 - 2e-3, "{off} mm at {p:?}");
            on_path += usize::from((off - 3.175 / 2.0).abs() < 2e-3);
        }
        length += moved.way.length().value();
    }
    assert!(on_path > 100);
    // Three passes round the path of the outer edge (241.175 by 121.175, corners 7.5875) and of two holes of 1.025,
    // and two quarter circles of 2 or 0.5 mm to each.
    let outer = 2.0 * (241.175 + 121.175) - (8.0 - 2.0 * std::f64::consts::PI) * 7.5875;
    let pi = std::f64::consts::PI;
    let expected = 3.0 * (outer + 2.0 * pi * 1.025 + pi * 2.0 + 2.0 * pi * 0.5);
    assert!((length * 1e3 - expected).abs() < 0.1, "{} {expected}", length * 1e3);
}

#[test]
fn it_travels_high_dives_in_equal_passes_and_leaves_its_bridges() {
    let moves = run(&packet(&example("slate-wall", None)).programs[NAME]);
    for moved in &moves {
        let flat = moved.way.length().value() > 0.0;
        assert!(!(moved.rapid && flat) || (moved.from == 5.0 && moved.to == 5.0), "{moved:?} travels in the sheet");
        assert!(!moved.rapid || moved.to >= 5.0 || moved.from.is_nan(), "{moved:?} dives at full speed");
        assert!(moved.rapid || moved.feed == if flat { 1200.0 } else { 300.0 }, "{moved:?}");
    }
    let mut depths: Vec<i64> = moves.iter().filter(|m| m.to < 0.0).map(|m| (m.to * 1e3).round() as i64).collect();
    depths.sort_unstable();
    depths.dedup();
    // Three passes of 1.1 mm, and the upper side of the bridges, 1 mm above a board 3 mm down.
    assert_eq!(depths, [-3300, -2200, -2000, -1100]);
    let over: f64 = moves.iter().filter(|m| m.to == -2.0 && m.from == -2.0).map(|m| m.way.length().value() * 1e3).sum();
    // Four bridges of 5 mm and the cutter's width, in the two passes below their upper side.
    assert!((over - 2.0 * 4.0 * (5.0 + 3.175)).abs() < 0.05, "{over}");
}

#[test]
fn it_climbs_clockwise_outside_and_anti_clockwise_in_holes() {
    let moves = run(&packet(&example("slate-wall", None)).programs[NAME]);
    let arcs = |of: &dyn Fn(&Moved) -> bool| {
        let found = moves.iter().filter(|m| m.number >= 2 && m.to == -1.1 && of(m));
        found.map(|m| m.number).collect::<Vec<_>>()
    };
    // Corners of the outer path have a radius of 7.5875; everything in a hole is smaller than 3 mm.
    let radius = |m: &Moved| m.way.radius().map_or(0.0, |r| r.value() * 1e3);
    assert_eq!(arcs(&|m| radius(m) > 5.0), [2, 2, 2, 2]);
    assert!(arcs(&|m| radius(m) < 5.0).iter().all(|number| *number == 3), "holes and leads turn left");
}

#[test]
fn zero_lies_where_the_spec_says() {
    for (statement, least) in [("", (-1.588, -1.588)), ("origin centre", (-120.588, -60.588))] {
        let moves =
            run(&packet(&variant(&format!("diffuser {{ cut {{ router {{ {statement} }} }} }}"))).programs[NAME]);
        let ends = moves
            .iter()
            .filter(|m| m.number == 1 && m.way.length().value() > 0.0)
            .flat_map(|m| [m.way.point_at(0.0), m.way.point_at(1.0)]);
        let (x, y) = ends.fold((f64::MAX, f64::MAX), |(x, y), p| (x.min(p.x.value() * 1e3), y.min(p.y.value() * 1e3)));
        assert!((x - least.0).abs() < 2e-3, "{statement}: {x}");
        assert!((y - least.1).abs() < 2e-3, "{statement}: {y}");
    }
}

#[test]
fn what_the_cutter_cannot_do_is_refused_at_its_line() {
    for (statement, rule, words) in [
        ("cut { router { flute 3 mm } }", "make/router-cannot", "3.3 mm deep"),
        ("cut { router { cutter 6 mm } }", "make/router-cannot", "cutter of 6 mm"),
        ("cut { router { tabs 60 } }", "make/router-cannot", "60 bridges"),
        ("cut { router { tab-height 3 mm } }", "make/router-cannot", "as high as the sheet"),
        ("cut { method saw }", "make/router-cannot", "for a router"),
        ("hole left { diameter 3 mm }", "make/slot-narrower-than-kerf", "3 mm wide"),
        (
            "cutout window { points [(-10 mm, -5 mm), (10 mm, -5 mm), (10 mm, 5 mm), (-10 mm, 5 mm)] }",
            "make/inside-radius",
            "sharp inside corner of `window`",
        ),
    ] {
        let compiled = variant(&format!("diffuser {{ {statement} }}"));
        let reported = compiled.report.findings();
        let said = reported.iter().find(|r| r.rule.name == rule).map(|r| r.finding.message.clone());
        let all: Vec<&str> = reported.iter().map(|r| r.rule.name).collect();
        assert!(said.as_ref().is_some_and(|message| message.contains(words)), "{statement}: {said:?} {all:?}");
        assert!(!packet(&compiled).programs.contains_key(NAME), "{statement}");
    }
}

#[test]
fn the_area_in_its_comment_is_where_the_cutter_goes() {
    // As it is, and with a cut wider than its cutter.
    for statement in ["diffuser { thickness 3 mm }", "diffuser { cut { kerf 3.3 mm } }"] {
        let program = packet(&variant(statement)).programs[NAME].clone();
        let line = program.lines().find(|line| line.starts_with("(middle of the cutter")).expect("the comment");
        let said: Vec<f64> = line
            .split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'))
            .filter_map(|word| word.parse().ok())
            .collect();
        let mut box_ = [f64::MAX, f64::MIN, f64::MAX, f64::MIN];
        for moved in run(&program).iter().filter(|m| m.to < 0.0) {
            for k in 0..=64 {
                let p = moved.way.point_at(f64::from(k) / 64.0);
                let (x, y) = (p.x.value() * 1e3, p.y.value() * 1e3);
                box_ = [box_[0].min(x), box_[1].max(x), box_[2].min(y), box_[3].max(y)];
            }
        }
        for (told, found) in said.iter().zip(box_) {
            assert!((told - found).abs() < 2e-3, "{line}: {box_:?}");
        }
        assert_eq!(said.len(), 5, "{line}");
        assert!(program.contains("M3\n(the spindle runs up"), "it waits after the spindle starts");
    }
}

#[test]
fn the_marks_have_a_program_of_their_own() {
    let compiled = variant("diffuser { cut { router { engrave 0.3 mm } } }");
    let made = packet(&compiled);
    let program = &made.programs["diffuser-engrave.nc"];
    assert!(made.programs[NAME].contains("the marks are not in this program: diffuser-engrave.nc"));
    assert!(program.contains("with a pointed cutter"));
    let sheet = compiled.solution.sheet.as_ref().unwrap().as_ref().unwrap();
    let zero = sheet.net.as_ref().unwrap().plate.outer.extents().least;
    let marks: Vec<_> = sheet.marks.iter().map(|mark| mark.as_ref().unwrap()).collect();
    let strokes: Vec<&Vec<Point>> = marks.iter().flat_map(|mark| &mark.runs).collect();
    let moves = run(program);
    // Every cut lies at the depth and goes from one point of a stroke to its next, and none is left out.
    let cuts: Vec<&Moved> = moves.iter().filter(|m| !m.rapid && m.way.length() > Metres::si(1e-9)).collect();
    let wanted: Vec<(Point, Point)> =
        strokes.iter().flat_map(|run| run.iter().copied().zip(run.iter().copied().skip(1))).collect();
    assert_eq!(cuts.len(), wanted.len());
    for (cut, (from, to)) in cuts.iter().zip(&wanted) {
        let off = |share: f64, p: &Point| cut.way.point_at(share).shifted(zero).distance(*p);
        assert!(off(0.0, from) < Metres::si(2e-6) && off(1.0, to) < Metres::si(2e-6));
        assert!((cut.from + 0.3).abs() < 1e-9 && (cut.to + 0.3).abs() < 1e-9 && cut.feed == 1200.0);
    }
    let dives = moves.iter().filter(|m| !m.rapid && m.to < m.from).count();
    assert_eq!(dives, strokes.len(), "down once for each stroke");
    assert!(
        moves.iter().filter(|m| m.rapid && m.way.length() > Metres::si(1e-9)).all(|m| m.from == 5.0 && m.to == 5.0)
    );
    // Without marks there is no such program, and marks through the sheet are refused.
    let deep = variant("diffuser { cut { router { engrave 3 mm } } }");
    let found = deep.report.findings();
    let refused = found.iter().find(|f| f.rule.name == "make/router-cannot").expect("refused");
    assert!(refused.finding.message.contains("marks 3 mm deep go through"), "{}", refused.finding.message);
    assert!(packet(&deep).programs.is_empty());
}
