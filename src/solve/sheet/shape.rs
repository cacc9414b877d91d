//! The outer edge and every opening of the sheet from what the spec says: base outline, tabs, notches, holes, slots,
//! keyholes and cut-outs. What the figures do not make is a fault with its place.

use crate::diag::Span;
use crate::lamp::diffuser::Diffuser;
use crate::lamp::given::{Found, Given, Missing};
use crate::physics::mechanics::curve::Point;
use crate::physics::mechanics::cutouts::{Corner, Tab, closed_run, keyhole, slot_at, tabbed};
use crate::physics::mechanics::ellipse::ellipse;
use crate::physics::mechanics::offset::offset;
use crate::physics::mechanics::outline::Outline;
use crate::physics::mechanics::plate::Plate;
use crate::physics::mechanics::shapes::{
    Notch, ShapeFault, bolt_circle, circle, disc, notched, regular_polygon, rounded_rectangle,
};
use crate::quantity::Metres;
use crate::schema::words::OutlineKind;

use super::{FeatureKind, NetFault};

/// An ellipse is cut as arcs that lie nowhere farther from it than this: a hundredth of the finest kerf.
const ELLIPSE_TOLERANCE: Metres = Metres::si(1e-6);

/// The outer edge and the openings.
pub(super) struct Shaped {
    /// Outer edge without tabs and notches: what the recess meets.
    pub(super) base: Outline,
    /// Outer edge without notches.
    pub(super) whole: Outline,
    /// Outer edge.
    pub(super) outer: Outline,
    /// Openings by feature.
    pub(super) cuts: Vec<Cut>,
}

/// Edges of one feature, before their distances are known.
pub(super) struct Cut {
    pub(super) name: String,
    pub(super) span: Span,
    pub(super) kind: FeatureKind,
    pub(super) edges: Vec<Outline>,
    /// Its narrowest width.
    pub(super) width: Metres,
}

/// The shape, or why the figures make none. Places are measured from the centre of the sheet.
pub(super) fn shape(d: &Diffuser) -> Found<Result<Shaped, NetFault>> {
    let (base, opening) = match outline(d)? {
        Ok(found) => found,
        Err(fault) => return Ok(Err(fault_of("outline", outline_span(d), fault))),
    };
    let mut cuts = Vec::new();
    if let Some((edge, width)) = opening {
        let (name, span) = ("opening".to_owned(), d.inner.span);
        cuts.push(Cut { name, span, kind: FeatureKind::Opening, edges: vec![edge], width });
    }
    let (outer, ears) = match with_tabs(d, base.clone())? {
        Ok(found) => found,
        Err(fault) => return Ok(Err(fault)),
    };
    let whole = outer.clone();
    let outer = match with_notches(d, outer)? {
        Ok(outer) => outer,
        Err(fault) => return Ok(Err(fault)),
    };
    for made in holes(d)?.into_iter().chain(ears).chain(long_holes(d)?) {
        match made.edges {
            Ok(edges) => {
                cuts.push(Cut { name: made.name, span: made.span, kind: made.kind, edges, width: made.width });
            }
            Err(fault) => return Ok(Err(fault_of(&made.name, made.span, fault))),
        }
    }
    Ok(Ok(Shaped { base, whole, outer, cuts }))
}

fn fault_of(name: &str, span: Span, fault: ShapeFault) -> NetFault {
    NetFault { name: name.to_owned(), span, fault }
}

fn outline_span(d: &Diffuser) -> Span {
    if d.points.is_known() { d.points.span } else { d.outline.span }
}

type Opening = Option<(Outline, Metres)>;

fn outline(d: &Diffuser) -> Found<Result<(Outline, Opening), ShapeFault>> {
    Ok(match d.outline.get()? {
        OutlineKind::Disc => disc(d.diameter.nominal()?).map(|o| (o, None)),
        OutlineKind::Ring => {
            let (outside, inside) = (d.diameter.nominal()?, d.inner.nominal()?);
            Plate::ring(outside, inside)
                .map(|ring| (ring.outer, ring.holes.into_iter().next().map(|hole| (hole, inside))))
        }
        OutlineKind::RoundedRectangle => {
            let (width, height) = (d.width.nominal()?, d.height.nominal()?);
            rounded_rectangle(width, height, d.corner.nominal()?).map(|o| (o, None))
        }
        OutlineKind::Polygon => {
            let (sides, across) = (d.sides.get()?, d.diameter.nominal()?);
            regular_polygon(sides as usize, across).map(|o| (o, None))
        }
        OutlineKind::Ellipse => ellipse(d.width.nominal()?, d.height.nominal()?, ELLIPSE_TOLERANCE).map(|o| (o, None)),
        OutlineKind::Path => closed_run(&corners(&d.points)?).map(|o| (o, None)),
    })
}

/// What a lip of this width leaves of the outline, exact; nothing where it covers all. Where its figures make no
/// outline they are what is missing.
pub fn outline_within(d: &Diffuser, lip: Metres) -> Found<Vec<Outline>> {
    let none = || Missing { path: NO_PIECE.into(), span: d.points.span, unknown: true };
    let wrong = || if d.points.is_known() { none() } else { d.outline.missing() };
    let (base, _) = outline(d)?.map_err(|_| wrong())?;
    Ok(offset(&base, -lip))
}

/// What says in the ledger why there is no piece.
pub(super) const NO_PIECE: &str = "cut.piece";

/// What a sheet covers, without tabs and notches.
#[derive(Debug, Clone, Copy)]
pub(in crate::solve) enum Extent {
    /// A disc of this diameter; of a ring or a polygon the one around it.
    Round(Metres),
    /// Width and height of the box around it.
    Box(Metres, Metres),
}

/// The extent of a sheet. Where the points of a path make no outline, that is what is missing, not they.
pub(in crate::solve) fn extent(d: &Diffuser) -> Found<Extent> {
    Ok(match d.outline.get()? {
        OutlineKind::Disc | OutlineKind::Ring | OutlineKind::Polygon => Extent::Round(d.diameter.nominal()?),
        OutlineKind::RoundedRectangle | OutlineKind::Ellipse => Extent::Box(d.width.nominal()?, d.height.nominal()?),
        OutlineKind::Path => {
            let none = |_| Missing { path: NO_PIECE.into(), span: d.points.span, unknown: true };
            let extents = closed_run(&corners(&d.points)?).map_err(none)?.extents();
            Extent::Box(extents.width(), extents.height())
        }
    })
}

fn corners(points: &Given<Vec<Vec<Metres>>>) -> Found<Vec<Corner>> {
    let corner = |lengths: &Vec<Metres>| match lengths.as_slice() {
        [x, y] => Ok(Corner { point: Point { x: *x, y: *y }, radius: None }),
        [x, y, radius] => Ok(Corner { point: Point { x: *x, y: *y }, radius: Some(*radius) }),
        _ => Err(points.missing()),
    };
    points.known()?.iter().map(corner).collect()
}

/// An opening in the making.
struct Made {
    name: String,
    span: Span,
    kind: FeatureKind,
    width: Metres,
    edges: Result<Vec<Outline>, ShapeFault>,
}

type Eared = Result<(Outline, Vec<Made>), NetFault>;

/// The tabs joined on, and the holes in their ends.
fn with_tabs(d: &Diffuser, mut outer: Outline) -> Found<Eared> {
    let mut holes = Vec::new();
    for t in &d.tabs {
        let tab = Tab {
            angle: t.towards.nominal()?.value(),
            width: t.width.nominal()?,
            reach: t.reach.nominal()?,
            corner: t.corner.nominal()?,
            root: t.root.nominal()?,
        };
        let (grown, end) = match tabbed(&outer, tab) {
            Ok(found) => found,
            Err(fault) => return Ok(Err(fault_of(&t.name, t.span, fault))),
        };
        outer = grown;
        if let Some(hole) = &t.hole.value {
            let (width, span) = (hole.nominal, t.hole.span);
            let edges = circle(end, width).map(|edge| vec![edge]);
            holes.push(Made { name: t.name.clone(), span, kind: FeatureKind::Round, width, edges });
        }
    }
    Ok(Ok((outer, holes)))
}

fn with_notches(d: &Diffuser, mut outer: Outline) -> Found<Result<Outline, NetFault>> {
    for n in &d.notches {
        let cut = Notch {
            angle: n.towards.nominal()?.value(),
            width: n.width.nominal()?,
            depth: n.depth.nominal()?,
            radius: n.corner.nominal()?,
        };
        outer = match notched(&outer, cut) {
            Ok(outer) => outer,
            Err(fault) => return Ok(Err(fault_of(&n.name, n.span, fault))),
        };
    }
    Ok(Ok(outer))
}

pub(super) fn place(at: &Given<Vec<Metres>>) -> Found<Point> {
    match at.known()?.as_slice() {
        [x, y] => Ok(Point { x: *x, y: *y }),
        _ => Err(at.missing()),
    }
}

fn holes(d: &Diffuser) -> Found<Vec<Made>> {
    let mut all = Vec::new();
    for hole in &d.hole {
        let (at, width) = (place(&hole.at)?, hole.diameter.nominal()?);
        let edges = circle(at, width).map(|edge| vec![edge]);
        all.push(Made { name: hole.name.clone(), span: hole.span, kind: FeatureKind::Round, width, edges });
    }
    for group in &d.holes {
        let (count, width) = (group.count.get()? as usize, group.diameter.nominal()?);
        let edges = bolt_circle(count, group.circle.nominal()?, width, group.start.nominal()?.value());
        all.push(Made { name: group.name.clone(), span: group.span, kind: FeatureKind::Round, width, edges });
    }
    Ok(all)
}

fn long_holes(d: &Diffuser) -> Found<Vec<Made>> {
    let mut all = Vec::new();
    for s in &d.slots {
        let (length, width, way) = (s.length.nominal()?, s.width.nominal()?, s.towards.nominal()?.value());
        let edges = slot_at(place(&s.at)?, length, width, way).map(|edge| vec![edge]);
        all.push(Made { name: s.name.clone(), span: s.span, kind: FeatureKind::Slot, width, edges });
    }
    for k in &d.keyholes {
        let (head, neck, reach) = (k.head.nominal()?, k.neck.nominal()?, k.reach.nominal()?);
        let edges = keyhole(place(&k.at)?, head, neck, reach, k.towards.nominal()?.value()).map(|edge| vec![edge]);
        all.push(Made { name: k.name.clone(), span: k.span, kind: FeatureKind::Keyhole, width: neck, edges });
    }
    for c in &d.cutouts {
        let edge = closed_run(&corners(&c.points)?);
        let box_ = edge.as_ref().map(|edge| edge.extents().width().min(edge.extents().height()));
        let width = box_.unwrap_or(Metres::ZERO);
        let (kind, edges) = (FeatureKind::Cutout, edge.map(|edge| vec![edge]));
        all.push(Made { name: c.name.clone(), span: c.points.span, kind, width, edges });
    }
    Ok(all)
}
