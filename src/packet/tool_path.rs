//! The way of the router as programs of ISO 6983 words, one for the edges and one for the marks: units, zero, heights
//! and order stand in their comments. Compensation is in the figures, so the machine's own stays off.

use std::collections::BTreeMap;

use super::bench::Bench;
use crate::physics::mechanics::curve::Point;
use crate::physics::mechanics::outline::{Extents, Outline, Vertex};
use crate::physics::mechanics::router::{EdgeRun, Move, Step};
use crate::quantity::{Metres, MetresPerSecond, Quantity};
use crate::schema::words::{PathOrigin, Word};
use crate::solve::sheet::{Engraving, Net, Routed};

/// File of the edges.
const EDGES: &str = "diffuser-router.nc";
/// File of the marks, for another cutter.
const MARKS: &str = "diffuser-engrave.nc";

/// The tool path of the bench's diffuser;
/// none where there is no router, it cannot cut the piece, or nobody knows what the piece is.
pub(super) fn routed<'a>(bench: &Bench<'a>) -> Option<(&'a Net, &'a Routed)> {
    if bench.cut_unknown().is_some() {
        return None;
    }
    let solved = bench.solution.sheet.as_ref()?.as_ref().ok()?;
    let (net, _) = solved.path()?;
    Some((net, solved.routed.as_ref()?.as_ref().ok()?.as_ref().ok()?))
}

/// The programs by their file names: of the edges, and of the marks where there are any.
pub(super) fn programs(bench: &Bench<'_>) -> BTreeMap<String, String> {
    let Some((net, routed)) = routed(bench) else { return BTreeMap::new() };
    let writer = || Writer { lines: Vec::new(), zero: routed.zero, routed };
    let mut edges = writer();
    edges.head(bench);
    edges.edges();
    for run in &routed.runs {
        edges.run(run, &name(net, run));
    }
    let mut made = BTreeMap::from([(EDGES.to_owned(), edges.finish())]);
    if let Some(engraving) = &routed.engraving {
        let mut marks = writer();
        marks.head(bench);
        marks.marks(engraving);
        for (name, strokes) in &engraving.marks {
            marks.mark(name, strokes, engraving.depth);
        }
        made.insert(MARKS.to_owned(), marks.finish());
    }
    made
}

/// Bridges on an edge in words; none where there are none.
pub(super) fn bridges(run: &EdgeRun) -> Option<String> {
    match run.tabs {
        0 => None,
        1 => Some("1 bridge".to_owned()),
        many => Some(format!("{many} bridges")),
    }
}

/// What the edge is called.
pub(super) fn name(net: &Net, run: &EdgeRun) -> String {
    let Some(hole) = run.hole else { return "outer edge".to_owned() };
    let feature = net.features.iter().find(|f| f.edges.contains(&hole));
    feature.map_or_else(
        || "hole".to_owned(),
        |f| match f.edges.len() {
            1 => f.name.clone(),
            _ => format!("{} {}", f.name, hole - f.edges.start + 1),
        },
    )
}

/// Lower left and upper right end of all that the middle of the cutter passes, arcs with their crowns.
fn reach(routed: &Routed) -> (Point, Point) {
    let steps = routed.runs.iter().flat_map(|run| &run.steps);
    let boxes = steps.map(|step| {
        let bulge = if step.way.is_straight() { 0.0 } else { libm::tan(step.way.sweep() / 4.0) };
        let ends = [(step.way.point_at(0.0), bulge), (step.way.point_at(1.0), 0.0)];
        Outline::new(ends.map(|(point, bulge)| Vertex { point, bulge }).to_vec()).extents()
    });
    let both = boxes.reduce(|a, b| Extents {
        least: Point { x: a.least.x.min(b.least.x), y: a.least.y.min(b.least.y) },
        most: Point { x: a.most.x.max(b.most.x), y: a.most.y.max(b.most.y) },
    });
    both.map_or((Point::ORIGIN, Point::ORIGIN), |all| (all.least, all.most))
}

struct Writer<'a> {
    lines: Vec<String>,
    zero: Point,
    routed: &'a Routed,
}

impl Writer<'_> {
    /// A comment: in round brackets, without any inside, of plain letters that every machine reads. A sign of per cent
    /// would end the program. The lamp's name never begins one: some machines obey a comment that begins with a word of
    /// theirs and a comma.
    fn note(&mut self, text: &str) {
        let plain = |c: char| match c {
            '(' | '[' | '{' => '<',
            ')' | ']' | '}' => '>',
            '×' => 'x',
            c if c.is_ascii() && !c.is_ascii_control() && c != '%' => c,
            _ => '?',
        };
        self.lines.push(format!("({})", text.chars().map(plain).collect::<String>()));
    }

    fn finish(mut self) -> String {
        self.lines.extend(["M5", "M30", "%"].map(str::to_owned));
        self.lines.join("\n") + "\n"
    }

    /// What both programs say first.
    fn head(&mut self, bench: &Bench<'_>) {
        let Routed { work, origin, .. } = self.routed;
        let revision = bench.identity.revision.as_deref().unwrap_or("none, draft");
        self.lines.push("%".into());
        if bench.identity.draft {
            self.note("DRAFT: do not cut");
        }
        self.note(&format!("diffuser of {}, revision {revision}, digest {}", bench.lamp.name, bench.identity.digest));
        let material = bench.lamp.diffuser.as_ref().and_then(|d| d.material.value).map_or("", Word::word);
        self.note(&format!("{material}, {} thick; one piece", work.thickness.show()));
        self.note("units: millimetres, feeds in millimetres a minute");
        self.note(match origin {
            PathOrigin::Corner => "X0 Y0: lower left corner of the box around the finished piece",
            PathOrigin::Centre => "X0 Y0: centre of the sheet",
        });
        self.note("Z0: upper face of the sheet, up is positive");
    }

    /// What the program of the edges says of itself, then what sets the machine up.
    fn edges(&mut self) {
        let Routed { work, .. } = self.routed;
        if self.routed.engraving.is_some() {
            self.note(&format!("the marks are not in this program: {MARKS} engraves them, before this one"));
        }
        let (least, most) = reach(self.routed);
        let span = |low: Metres, high: Metres, zero: Metres| format!("{} to {}", mm(low - zero), mm(high - zero));
        self.note(&format!(
            "middle of the cutter, with its leads: X {} and Y {}, down to Z {}",
            span(least.x, most.x, self.zero.x),
            span(least.y, most.y, self.zero.y),
            mm(-work.depth())
        ));
        self.note(&format!("cutter {}, turning clockwise, climbing", work.cutter.show()));
        self.note("compensation is in the path: leave the machine's own off");
        self.note(&format!(
            "{} passes; bridges {} wide, {} high; travels at Z {}",
            work.passes(),
            work.tab_width.show(),
            work.tab_height.show(),
            mm(work.clear)
        ));
        self.begin();
    }

    /// What the program of the marks says of itself, then what sets the machine up.
    fn marks(&mut self, engraving: &Engraving) {
        let work = self.routed.work;
        self.note(&format!("marks only, {} deep, with a pointed cutter; run it first", engraving.depth.show()));
        self.note(&format!("then change to the cutter of {}, set Z0 anew, and run {EDGES}", work.cutter.show()));
        self.note("X0 and Y0 stay where they are for both");
        let points: Vec<Point> = engraving.marks.iter().flat_map(|(_, runs)| runs.iter().flatten()).copied().collect();
        let span = |way: fn(&Point) -> Metres, zero: Metres| {
            let each = || points.iter().map(way);
            let low = each().fold(Metres::si(f64::INFINITY), Metres::min);
            let high = each().fold(Metres::si(f64::NEG_INFINITY), Metres::max);
            format!("{} to {}", mm(low - zero), mm(high - zero))
        };
        self.note(&format!(
            "middle of the point: X {} and Y {}, down to Z {}; travels at Z {}",
            span(|p| p.x, self.zero.x),
            span(|p| p.y, self.zero.y),
            mm(-engraving.depth),
            mm(work.clear)
        ));
        self.begin();
    }

    /// Units, heights, spindle.
    fn begin(&mut self) {
        let Routed { work, spindle, feed, plunge, .. } = self.routed;
        self.note("dry run first: no cutter, or Z0 set well above the sheet");
        self.note(&format!("feed {}, straight down {}", per_minute(*feed), per_minute(*plunge)));
        // The standard's own word for millimetres is G71, from memory; the machines of small workshops read G21.
        self.note("G21 is millimetres; where the machine does not know it, write G71");
        self.lines.push("G21 G90 G17 G94 G40".into());
        self.lines.push(format!("G0 Z{}", mm(work.clear)));
        self.lines.push(format!("S{spindle} M3"));
        self.note("the spindle runs up: P is in seconds; where the machine reads milliseconds, write P3000");
        self.lines.push("G4 P3.".into());
    }

    /// Down at the start of each stroke, along it, and up.
    fn mark(&mut self, name: &str, strokes: &[Vec<Point>], depth: Metres) {
        self.note(name);
        let (feed, plunge) = (per_minute(self.routed.feed), per_minute(self.routed.plunge));
        for stroke in strokes {
            for (k, point) in stroke.iter().enumerate() {
                let (x, y) = (mm(point.x - self.zero.x), mm(point.y - self.zero.y));
                if k == 0 {
                    self.lines.push(format!("G0 X{x} Y{y}"));
                    self.lines.push(format!("G1 Z{} F{plunge}", mm(-depth)));
                } else {
                    self.lines.push(format!("G1 X{x} Y{y} F{feed}"));
                }
            }
            self.lines.push(format!("G0 Z{}", mm(self.routed.work.clear)));
        }
    }

    fn run(&mut self, run: &EdgeRun, name: &str) {
        let lead = run.lead.show();
        self.note(&match bridges(run) {
            Some(bridges) => format!("{name}: {bridges}, leads of {lead}"),
            None => format!("{name}: leads of {lead}"),
        });
        let mut pass = 0;
        for step in &run.steps {
            // From above the sheet; over a bridge it goes down from inside the cut.
            if step.what == Move::Plunge && step.height - step.rise > Metres::ZERO {
                pass += 1;
                self.note(&format!("pass {pass}"));
            }
            self.step(step);
        }
    }

    fn step(&mut self, step: &Step) {
        let end = step.way.point_at(1.0);
        let (x, y) = (mm(end.x - self.zero.x), mm(end.y - self.zero.y));
        let (feed, plunge) = (per_minute(self.routed.feed), per_minute(self.routed.plunge));
        let vertical = step.way.length() == Metres::ZERO;
        self.lines.push(match (step.what, step.way.arc_centre()) {
            (Move::Travel, _) if step.rise != Metres::ZERO => format!("G0 Z{}", mm(step.height)),
            (Move::Travel, _) => format!("G0 X{x} Y{y}"),
            (Move::Plunge, _) => format!("G1 Z{} F{plunge}", mm(step.height)),
            (_, None) if vertical => return,
            (_, None) => format!("G1 X{x} Y{y} F{feed}"),
            (_, Some(centre)) => {
                let start = step.way.point_at(0.0);
                // From the rounded start, so that the machine finds both radii alike.
                let word = if step.way.sweep() > 0.0 { "G3" } else { "G2" };
                let (i, j) = (offset(start.x, centre.x, self.zero.x), offset(start.y, centre.y, self.zero.y));
                format!("{word} X{x} Y{y} I{i} J{j} F{feed}")
            }
        });
    }
}

/// Way from a rounded start to the centre.
fn offset(start: Metres, centre: Metres, zero: Metres) -> String {
    let rounded = libm::round((start - zero).value() * 1e6) / 1e6;
    mm((centre - zero) - Metres::si(rounded))
}

/// Millimetres to a micrometre, always with a point.
fn mm(length: Metres) -> String {
    let text = crate::figures::trimmed(length.value() * 1e3, 3);
    if text.contains('.') { text } else { format!("{text}.") }
}

/// Millimetres a minute.
pub(super) fn per_minute(speed: MetresPerSecond) -> String {
    crate::figures::trimmed(speed.value() * 6e4, 1)
}
