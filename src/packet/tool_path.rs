//! The way of the router as a program of ISO 6983 words: units, zero, heights and order stand in its comments.
//! Compensation is in the figures, so the machine's own stays off.

use super::bench::Bench;
use crate::physics::mechanics::curve::Point;
use crate::physics::mechanics::outline::{Extents, Outline, Vertex};
use crate::physics::mechanics::router::{EdgeRun, Move, Step};
use crate::quantity::{Metres, MetresPerSecond, Quantity};
use crate::schema::words::{PathOrigin, Word};
use crate::solve::sheet::{Net, Routed};

/// File name.
pub(super) const NAME: &str = "diffuser-router.nc";

/// The tool path of the bench's diffuser; none where there is no router or it cannot cut the piece.
pub(super) fn routed<'a>(bench: &Bench<'a>) -> Option<(&'a Net, &'a Routed)> {
    let solved = bench.solution.sheet.as_ref()?.as_ref().ok()?;
    let (net, _) = solved.path()?;
    Some((net, solved.routed.as_ref()?.as_ref().ok()?.as_ref().ok()?))
}

/// The program.
pub(super) fn program(bench: &Bench<'_>) -> Option<String> {
    let (net, routed) = routed(bench)?;
    let mut writer = Writer { lines: Vec::new(), zero: routed.zero, routed };
    writer.head(bench);
    for run in &routed.runs {
        writer.run(run, &name(net, run));
    }
    writer.lines.extend(["M5", "M30", "%"].map(str::to_owned));
    Some(writer.lines.join("\n") + "\n")
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
    /// A comment: in round brackets, without any inside, of plain letters that every machine reads.
    fn note(&mut self, text: &str) {
        let plain = |c: char| match c {
            '(' | '[' | '{' => '<',
            ')' | ']' | '}' => '>',
            '×' => 'x',
            c if c.is_ascii() && !c.is_ascii_control() => c,
            _ => '?',
        };
        self.lines.push(format!("({})", text.chars().map(plain).collect::<String>()));
    }

    fn head(&mut self, bench: &Bench<'_>) {
        let Routed { work, spindle, feed, plunge, origin, .. } = self.routed;
        let bench_lamp = bench.lamp;
        let revision = bench.identity.revision.as_deref().unwrap_or("none, draft");
        self.lines.push("%".into());
        if bench.identity.draft {
            self.note("DRAFT: do not cut");
        }
        self.note(&format!("{}, diffuser, revision {revision}, digest {}", bench.lamp.name, bench.identity.digest));
        let material = bench_lamp.diffuser.as_ref().and_then(|d| d.material.value).map_or("", Word::word);
        self.note(&format!("{material}, {} thick; one piece", work.thickness.show()));
        self.note("units: millimetres, feeds in millimetres a minute");
        self.note(match origin {
            PathOrigin::Corner => "X0 Y0: lower left corner of the box around the finished piece",
            PathOrigin::Centre => "X0 Y0: centre of the sheet",
        });
        self.note("Z0: upper face of the sheet, up is positive");
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
        self.note("dry run first: no cutter, or Z0 set well above the sheet");
        self.note(&format!("feed {}, straight down {}", per_minute(*feed), per_minute(*plunge)));
        self.lines.push("G21 G90 G17 G94 G40".into());
        self.lines.push(format!("G0 Z{}", mm(work.clear)));
        self.lines.push(format!("S{spindle} M3"));
        self.note("the spindle runs up: P is in seconds; where the machine reads milliseconds, write P3000");
        self.lines.push("G4 P3.".into());
    }

    fn run(&mut self, run: &EdgeRun, name: &str) {
        self.note(&format!("{name}: {} bridges, leads of {} mm", run.tabs, mm(run.lead)));
        let mut pass = 0;
        for step in &run.steps {
            if step.what == Move::Plunge && step.rise < -self.routed.work.clear {
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

fn per_minute(speed: MetresPerSecond) -> String {
    crate::figures::trimmed(speed.value() * 6e4, 1)
}
