//! How long the cut takes, and the way of a router round the edges: or what the cutter cannot do, with its place.

use crate::diag::Span;
use crate::lamp::cutting::Router;
use crate::lamp::diffuser::Diffuser;
use crate::lamp::given::Found;
use crate::ledger::{Formula, Ledger};
use crate::physics::mechanics::curve::Point;
use crate::physics::mechanics::kerf::ToolPath;
use crate::physics::mechanics::router::{EdgeRun, Move, Work, runs};
use crate::quantity::{Metres, MetresPerSecond, Quantity, Seconds};
use crate::schema::words::{Cutter, PathOrigin, Word};

use super::engraving::{self, Engraving};
use super::{Engraved, Net};

const TRAVEL: Formula = Formula { text: "path of the outer edge and of all openings", source: "geometry" };
const TIME: Formula = Formula { text: "length/feed, without loading and travel", source: "kinematics" };
const BATCH: Formula = Formula { text: "time of one × pieces", source: "kinematics" };
const DEPTH: Formula = Formula { text: "t + through", source: "geometry" };
const PASSES: Formula = Formula { text: "depth/pass, rounded up", source: "geometry" };
const EACH: Formula = Formula { text: "depth/passes", source: "geometry" };
const ROUTED: Formula = Formula { text: "all passes, leads and bridges", source: "geometry" };
const ROUTED_TIME: Formula =
    Formula { text: "length/feed + way down/plunge, without travel in the air", source: "kinematics" };

const ENGRAVED_TIME: Formula = Formula {
    text: "(length + strokes)/feed + (way down + way to the strokes)/plunge, without travel in the air",
    source: "kinematics",
};

/// How much wider than the cutter its cut may be: runout and flexing (our margin).
const WIDER: Metres = Metres::si(0.0003);

/// A tool path.
#[derive(Debug, Clone)]
pub struct Routed {
    /// How the cutter works.
    pub work: Work,
    /// Turns a minute.
    pub spindle: u32,
    /// Feed along the edge.
    pub feed: MetresPerSecond,
    /// Feed straight down.
    pub plunge: MetresPerSecond,
    /// Where its zero lies, from the centre of the sheet.
    pub zero: Point,
    /// The word for where zero lies.
    pub origin: PathOrigin,
    /// Edges in the order they are cut.
    pub runs: Vec<EdgeRun>,
    /// What a pointed cutter engraves before; none without marks.
    pub engraving: Option<Engraving>,
}

/// What the cutter cannot do.
#[derive(Debug, Clone)]
pub struct ToolFault {
    /// What it is about.
    pub subject: &'static str,
    /// What is wrong, in a maker's words, without a full stop.
    pub said: String,
    /// Where the spec says so.
    pub span: Span,
    /// The other side of it: place and label.
    pub other: Option<(Span, String)>,
    /// One remedy.
    pub fix: String,
}

impl ToolFault {
    /// Subject of an inside corner that the cutter does not reach.
    pub const CORNER: &'static str = "corner";
    /// Subject of a sheet that no router may cut.
    pub const MATERIAL: &'static str = "material";
}

/// Length and time of the cut where nothing but the feed is known.
pub(super) fn time(d: &Diffuser, tool: &ToolPath, pieces: &Found<u32>, ledger: &mut Ledger) {
    let length = tool.path.edge_length();
    ledger.computed("cut.path-length", "way of the cutter round one piece", length, TRAVEL, &[("k", &d.cut.kerf.path)]);
    if d.cut.router.is_some() {
        return;
    }
    if let Ok(feed) = d.cut.feed.nominal() {
        let inputs = [("length", "cut.path-length"), ("feed", d.cut.feed.path.as_str())];
        let one = Seconds::si(length.value() / feed.value());
        batch(one, TIME, &inputs, pieces, ledger);
    }
}

fn batch(one: Seconds, formula: Formula, inputs: &[(&'static str, &str)], pieces: &Found<u32>, ledger: &mut Ledger) {
    let text = |time: Seconds| {
        let whole = libm::ceil(time.value() - 1e-9);
        format!("{} min {:02} s", libm::floor(whole / 60.0), whole % 60.0)
    };
    ledger.computed_text("cut.time", "cutting time of one piece", text(one), formula, inputs);
    if let Ok(pieces) = pieces {
        let inputs = [("time of one", "cut.time"), ("pieces", "cut.pieces")];
        let all = one * f64::from(*pieces);
        ledger.computed_text("cut.time-all", "cutting time of all pieces", text(all), BATCH, &inputs);
    }
}

/// The way of the router, or all that it cannot do.
pub(super) fn solve(
    d: &Diffuser,
    router: &Router,
    (net, tool): (&Net, &ToolPath),
    (marks, pieces): (&[Found<Engraved>], &Found<u32>),
    ledger: &mut Ledger,
) -> Found<Result<Routed, Vec<ToolFault>>> {
    let work = work(d, router)?;
    let (feed, plunge) = (d.cut.feed.nominal()?, router.plunge.nominal()?);
    let faults = faults(d, router, net, tool, &work)?;
    if !faults.is_empty() {
        return Ok(Err(faults));
    }
    let origin = router.origin.get()?;
    let zero = if origin == PathOrigin::Corner { net.plate.outer.extents().least } else { Point::ORIGIN };
    let runs = runs(&tool.path, &work);
    enter(d, router, &work, ledger);
    let length = |plunging: bool| -> Metres {
        let steps = runs.iter().flat_map(|run| &run.steps).filter(|step| step.what != Move::Travel);
        steps.filter(|step| (step.what == Move::Plunge) == plunging).map(|step| step.length()).sum()
    };
    let path = router.plunge.path.as_str();
    let (along, down) = (length(false), length(true));
    ledger.computed("cut.router.length", "way of the cutter in the sheet, all passes", along, ROUTED, &[]);
    ledger.computed("cut.router.down", "way of the cutter straight down and up", down, ROUTED, &[]);
    let inputs = [
        ("length", "cut.router.length"),
        ("feed", d.cut.feed.path.as_str()),
        ("way down", "cut.router.down"),
        ("plunge", path),
    ];
    let engraving = engraving::solve(router, work.clear, marks, ledger)?;
    let engraved = engraving.as_ref().map(|e| (e.along(), e.dips(work.clear)));
    let (strokes, dips) = engraved.unwrap_or((Metres::ZERO, Metres::ZERO));
    let one = Seconds::si((along + strokes).value() / feed.value() + (down + dips).value() / plunge.value());
    if engraving.is_some() {
        let marks = [("strokes", "cut.router.strokes"), ("way to the strokes", "cut.router.dips")];
        batch(one, ENGRAVED_TIME, &[&inputs[..], &marks[..]].concat(), pieces, ledger);
    } else {
        batch(one, ROUTED_TIME, &inputs, pieces, ledger);
    }
    Ok(Ok(Routed { work, spindle: router.spindle.get()?, feed, plunge, zero, origin, runs, engraving }))
}

fn work(d: &Diffuser, router: &Router) -> Found<Work> {
    Ok(Work {
        cutter: router.cutter.nominal()?,
        thickness: d.thickness.nominal()?,
        through: router.through.nominal()?,
        pass: router.pass.nominal()?,
        clear: router.clear.nominal()?,
        lead: router.lead.nominal()?,
        tabs: router.tabs.get()? as usize,
        tab_width: router.tab_width.nominal()?,
        tab_height: router.tab_height.nominal()?,
    })
}

fn enter(d: &Diffuser, router: &Router, work: &Work, ledger: &mut Ledger) {
    let inputs = [("t", d.thickness.path.as_str()), ("through", router.through.path.as_str())];
    ledger.computed("cut.router.depth", "full depth of the cut", work.depth(), DEPTH, &inputs);
    let inputs = [("depth", "cut.router.depth"), ("pass", router.pass.path.as_str())];
    ledger.computed_text("cut.router.passes", "passes round each edge", work.passes().to_string(), PASSES, &inputs);
    let each = work.depth() / work.passes() as f64;
    let inputs = [("depth", "cut.router.depth"), ("passes", "cut.router.passes")];
    ledger.computed("cut.router.each", "depth of one pass", each, EACH, &inputs);
}

fn faults(d: &Diffuser, router: &Router, net: &Net, tool: &ToolPath, work: &Work) -> Found<Vec<ToolFault>> {
    let mut found = Vec::new();
    let method = d.cut.method.get()?;
    if method != Cutter::Router {
        found.push(ToolFault {
            subject: "method",
            said: format!("a tool path is for a router, and the sheet is cut by {}", method.word()),
            span: router.span,
            other: Some((d.cut.method.span, "what cuts it".into())),
            fix: "write `method router`, or take the `router` block away".into(),
        });
    }
    let material = d.material.get()?;
    if let Some(hazard) = super::hazard(material, Cutter::Router) {
        found.push(ToolFault {
            subject: ToolFault::MATERIAL,
            said: hazard.said.to_owned(),
            span: d.material.span,
            other: None,
            fix: hazard.fix.to_owned(),
        });
    }
    found.extend(cutter(d, router, work)?);
    found.extend(depths(d, router, work)?);
    found.extend(corners(d, net, work)?);
    found.extend(bridges(router, tool, work)?);
    Ok(found)
}

fn cutter(d: &Diffuser, router: &Router, work: &Work) -> Found<Option<ToolFault>> {
    let kerf = d.cut.kerf.nominal()?;
    let off = kerf - work.cutter;
    // Rounding of figures in inches must not count.
    let wrong = off < Metres::si(-1e-9) || off > WIDER;
    Ok(wrong.then(|| ToolFault {
        subject: "cutter",
        said: format!("a cutter of {} does not make a cut of {}", work.cutter.show(), kerf.show()),
        span: router.cutter.span,
        other: Some((d.cut.kerf.span, "the cut".into())),
        fix: format!("write `kerf {}`, or up to {} more as measured", work.cutter.show(), WIDER.show()),
    }))
}

fn depths(d: &Diffuser, router: &Router, work: &Work) -> Found<Vec<ToolFault>> {
    let (flute, depth) = (router.flute.nominal()?, work.depth());
    let mut found = Vec::new();
    if depth > flute {
        found.push(ToolFault {
            subject: "flute",
            said: format!("the cut is {} deep and the cutter's edge {} long", depth.show(), flute.show()),
            span: router.flute.span,
            other: Some((d.thickness.span, "thickness of the sheet".into())),
            fix: format!("take a cutter with an edge of {} or more", depth.show()),
        });
    }
    let engrave = router.engrave.nominal()?;
    if !d.marks.is_empty() && engrave >= work.thickness {
        found.push(ToolFault {
            subject: "engrave",
            said: format!("marks {} deep go through a sheet of {}", engrave.show(), work.thickness.show()),
            span: router.engrave.span,
            other: Some((d.thickness.span, "thickness of the sheet".into())),
            fix: "engrave them 0.2 mm deep".into(),
        });
    }
    for (value, span, name) in [
        (work.pass.value(), router.pass.span, "pass"),
        (work.clear.value(), router.clear.span, "clear"),
        (engrave.value(), router.engrave.span, "engrave"),
        (d.cut.feed.nominal()?.value(), d.cut.feed.span, "feed"),
        (router.plunge.nominal()?.value(), router.plunge.span, "plunge"),
    ] {
        if !(value > 0.0) {
            let said = format!("the cutter does not move with a `{name}` of zero");
            found.push(ToolFault { subject: name, said, span, other: None, fix: format!("give `{name}` a size") });
        }
    }
    Ok(found)
}

/// Inside corners tighter than the cutter.
fn corners(d: &Diffuser, net: &Net, work: &Work) -> Found<Vec<ToolFault>> {
    let least = work.cutter / 2.0;
    let corners = net.inside.iter().map(|c| (c.name.clone(), c.span, Ok(c.radius)));
    let notches = d.notches.iter().map(|n| (n.name.clone(), n.corner.span, n.corner.nominal()));
    let mut found = Vec::new();
    for (name, span, radius) in corners.chain(notches) {
        if radius? < least - Metres::si(1e-9) {
            found.push(ToolFault {
                subject: ToolFault::CORNER,
                said: format!("a cutter of {} leaves the inside corner of `{name}` standing", work.cutter.show()),
                span,
                other: Some((d.cut.kerf.span, format!("inside radius of {} at least", least.show()))),
                fix: format!("round the corner with {} or more", least.show()),
            });
        }
    }
    Ok(found)
}

fn bridges(router: &Router, tool: &ToolPath, work: &Work) -> Found<Vec<ToolFault>> {
    let mut found = Vec::new();
    if work.tabs == 0 {
        return Ok(found);
    }
    let edge = tool.path.outer.perimeter();
    let taken = work.tab_way() * work.tabs as f64;
    if taken > edge / 2.0 {
        found.push(ToolFault {
            subject: "tabs",
            said: format!("{} bridges take {} of an edge of {}", work.tabs, taken.show(), edge.show()),
            span: router.tabs.span,
            other: Some((router.tab_width.span, "width of one".into())),
            fix: "take fewer or narrower bridges".into(),
        });
    }
    if work.tab_height >= work.thickness {
        found.push(ToolFault {
            subject: "tab-height",
            said: format!("a bridge {} high is as high as the sheet is thick", work.tab_height.show()),
            span: router.tab_height.span,
            other: None,
            fix: format!("make it lower than {}", work.thickness.show()),
        });
    }
    Ok(found)
}
