//! The finished piece from the spec's outline, holes and notches; its measures; and the path of the cutter.

use crate::diag::Span;
use crate::lamp::diffuser::Diffuser;
use crate::lamp::given::Found;
use crate::ledger::{Formula, Ledger};
use crate::physics::mechanics::curve::Point;
use crate::physics::mechanics::ellipse::ellipse;
use crate::physics::mechanics::kerf::{KerfFault, ToolPath, tool_path};
use crate::physics::mechanics::outline::Outline;
use crate::physics::mechanics::plate::{Plate, edge_distance_wanted, web_wanted};
use crate::physics::mechanics::shapes::{
    Across, Notch, ShapeFault, bolt_circle, circle, disc, notched, regular_polygon, rounded_rectangle,
};
use crate::quantity::{Kilograms, Metres};
use crate::schema::words::OutlineKind;
use crate::spread::Spread;

use super::{Feature, Net, NetFault, material_of};

/// An ellipse is cut as arcs that lie nowhere farther from it than this: a hundredth of the finest kerf.
const ELLIPSE_TOLERANCE: Metres = Metres::si(1e-6);

const EXTENT: Formula =
    Formula { text: "largest less smallest coordinate of the net outline, ± tolerance", source: "geometry" };
const DIAMETER: Formula = Formula { text: "d ± tolerance", source: "as given" };
const AREA: Formula = Formula { text: "A of lines and arcs, exact, holes taken out", source: "geometry" };
const EDGES: Formula = Formula { text: "outer edge and all holes", source: "geometry" };
const MASS: Formula = Formula { text: "m = ρ A t", source: "geometry" };
const HALF: Formula = Formula { text: "k/2, outer edge outwards, holes inwards", source: "geometry" };
const PATH: Formula = Formula { text: "net + k", source: "geometry" };
const HOLE_PATH: Formula = Formula { text: "d − k", source: "geometry" };
const STANDING: Formula =
    Formula { text: "area of the path brought back by k/2, less the net area", source: "geometry" };
const NEAREST: Formula = Formula { text: "least distance, exact for lines and arcs", source: "geometry" };
const WEB: Formula = Formula { text: "max(t, 3 mm)", source: "our margin; workshops ask for the thickness" };
const EDGE: Formula = Formula { text: "2 d in brittle sheet, else 1.5 d", source: "our margin" };

/// The piece, or why the figures make none. A hole's place is measured from the centre of the sheet.
pub(super) fn solve(d: &Diffuser, ledger: &mut Ledger) -> Found<Result<Net, NetFault>> {
    let (outer, opening) = match outline(d)? {
        Ok(found) => found,
        Err(fault) => return Ok(Err(NetFault { name: "outline".into(), span: d.outline.span, fault })),
    };
    let outer = match with_notches(d, outer)? {
        Ok(outer) => outer,
        Err(fault) => return Ok(Err(fault)),
    };
    let holes = match holes(d, opening)? {
        Ok(holes) => holes,
        Err(fault) => return Ok(Err(fault)),
    };
    Ok(Ok(measured(d, outer, holes, ledger)))
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
            regular_polygon(sides as usize, Across::Corners(across)).map(|o| (o, None))
        }
        OutlineKind::Ellipse => ellipse(d.width.nominal()?, d.height.nominal()?, ELLIPSE_TOLERANCE).map(|o| (o, None)),
    })
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
            Err(fault) => return Ok(Err(NetFault { name: n.name.clone(), span: n.span, fault })),
        };
    }
    Ok(Ok(outer))
}

/// Edges of one feature, before their distances are known.
struct Cutout {
    name: String,
    span: Span,
    edges: Vec<Outline>,
    diameter: Metres,
    opening: bool,
}

fn holes(d: &Diffuser, opening: Opening) -> Found<Result<Vec<Cutout>, NetFault>> {
    let mut found = Vec::new();
    if let Some((edge, diameter)) = opening {
        let (name, span) = ("opening".to_owned(), d.inner.span);
        found.push(Cutout { name, span, edges: vec![edge], diameter, opening: true });
    }
    let mut all = Vec::new();
    for hole in &d.hole {
        let (at, diameter) = (hole.at.known()?, hole.diameter.nominal()?);
        let centre = match at.as_slice() {
            [x, y] => Point { x: *x, y: *y },
            _ => return Err(hole.at.missing()),
        };
        all.push((&hole.name, hole.span, diameter, circle(centre, diameter).map(|edge| vec![edge])));
    }
    for group in &d.holes {
        let (count, diameter) = (group.count.get()? as usize, group.diameter.nominal()?);
        let edges = bolt_circle(count, group.circle.nominal()?, diameter, group.start.nominal()?.value());
        all.push((&group.name, group.span, diameter, edges));
    }
    for (name, span, diameter, edges) in all {
        match edges {
            Ok(edges) => found.push(Cutout { name: name.clone(), span, edges, diameter, opening: false }),
            Err(fault) => return Ok(Err(NetFault { name: name.clone(), span, fault })),
        }
    }
    Ok(Ok(found))
}

fn measured(d: &Diffuser, outer: Outline, cutouts: Vec<Cutout>, ledger: &mut Ledger) -> Net {
    let mut plate = Plate::solid(outer);
    let mut features = Vec::new();
    for cut in cutouts {
        let first = plate.holes.len();
        plate.holes.extend(cut.edges);
        features.push(Feature {
            name: cut.name,
            span: cut.span,
            edges: first..plate.holes.len(),
            diameter: cut.diameter,
            opening: cut.opening,
            centre_to_edge: Metres::ZERO,
            web: Metres::ZERO,
        });
    }
    let faults = plate.faults();
    if faults.is_empty() {
        distances(d, &plate, &mut features, ledger);
    }
    let extents = plate.outer.extents();
    let shape = [("outline", d.outline.path.as_str())];
    let width = extent(d, "cut.width", "width over everything", extents.width(), ledger);
    let height = extent(d, "cut.height", "height over everything", extents.height(), ledger);
    let turns = matches!(d.outline.value, Some(OutlineKind::Disc | OutlineKind::Ring | OutlineKind::Polygon));
    let diameter = d.diameter.nominal().ok().filter(|_| turns);
    let diameter = diameter.map(|size| {
        let inputs = [("d", d.diameter.path.as_str()), ("tolerance", d.tolerance.path.as_str())];
        let title = "diameter, of a polygon across corners";
        ledger.computed_spread("cut.diameter", title, cut_to(d, size), DIAMETER, &inputs).nominal
    });
    let area = ledger.computed("cut.area", "area of one piece", plate.area(), AREA, &shape);
    let edges = ledger.computed("cut.edges", "length of all edges of one piece", plate.edge_length(), EDGES, &shape);
    let mass = mass(d, &plate, ledger);
    let path = path(d, &plate, &features, ledger);
    Net { plate, faults, features, diameter, width, height, area, edges, mass, path }
}

/// One size over everything, with the band its tolerance leaves.
fn extent(d: &Diffuser, path: &str, title: &str, size: Metres, ledger: &mut Ledger) -> Metres {
    let inputs = [("outline", d.outline.path.as_str()), ("tolerance", d.tolerance.path.as_str())];
    ledger.computed_spread(path, title, cut_to(d, size), EXTENT, &inputs).nominal
}

/// A size as it comes out of the cut.
fn cut_to(d: &Diffuser, size: Metres) -> Spread<Metres> {
    let band = |t| Spread { low: size - t, nominal: size, high: size + t };
    d.tolerance.nominal().map_or_else(|_| Spread::exact(size), band)
}

fn distances(d: &Diffuser, plate: &Plate, features: &mut [Feature], ledger: &mut Ledger) {
    let rows = plate.hole_distances();
    if let Ok(t) = d.thickness.nominal() {
        let inputs = [("t", d.thickness.path.as_str())];
        ledger.computed("cut.web-wanted", "least web to plan for", web_wanted(t), WEB, &inputs);
    }
    let brittle = d.material.value.is_some_and(is_brittle);
    for feature in features {
        let mine = rows.get(feature.edges.clone()).unwrap_or_default();
        let least = |of: fn(&crate::physics::mechanics::plate::HoleDistances) -> Option<Metres>| {
            mine.iter().filter_map(of).fold(Metres::si(f64::INFINITY), Metres::min)
        };
        feature.centre_to_edge = least(|row| Some(row.centre_to_edge));
        feature.web = least(|row| Some(row.web_to_edge)).min(least(|row| row.web_to_hole));
        let path = |what: &str| format!("cut.{}.{what}", feature.name);
        let title = |what: &str| format!("{}: {what}", feature.name);
        ledger.computed(path("edge"), &title("centre to outer edge"), feature.centre_to_edge, NEAREST, &[]);
        ledger.computed(path("web"), &title("material left around it"), feature.web, NEAREST, &[]);
        if !feature.opening {
            let wanted = edge_distance_wanted(feature.diameter, brittle);
            let title = title("least from centre to edge");
            ledger.computed(path("edge-wanted"), &title, wanted, EDGE, &[("material", d.material.path.as_str())]);
        }
    }
}

/// Sheet that cracks from a hole instead of yielding.
pub fn is_brittle(sheet: crate::schema::words::SheetMaterial) -> bool {
    use crate::schema::words::SheetMaterial as S;
    matches!(sheet, S::OpalAcrylic | S::ClearAcrylic | S::Polystyrene | S::Glass)
}

fn mass(d: &Diffuser, plate: &Plate, ledger: &mut Ledger) -> Found<Kilograms> {
    let material = material_of(d.material.get()?).ok_or_else(|| d.material.missing())?;
    let thickness = d.thickness.nominal()?;
    ledger.looked_up("cut.density", "density of the sheet", material.density, material.name, material.other_source);
    let inputs = [("ρ", "cut.density"), ("A", "cut.area"), ("t", d.thickness.path.as_str())];
    let mass = plate.mass(thickness, material.density);
    Ok(ledger.computed("cut.mass", "mass of one piece", mass, MASS, &inputs))
}

fn path(d: &Diffuser, plate: &Plate, features: &[Feature], ledger: &mut Ledger) -> Found<Result<ToolPath, KerfFault>> {
    let kerf = d.cut.kerf.nominal()?;
    let k = [("k", d.cut.kerf.path.as_str())];
    ledger.computed("cut.offset", "how far the middle of the cut lies in the waste", kerf / 2.0, HALF, &k);
    let made = tool_path(plate, kerf);
    if let Ok(tool) = &made {
        let extents = tool.path.outer.extents();
        for (name, title, size, net) in [
            ("cut.path-width", "width of the cutter's path", extents.width(), "cut.width"),
            ("cut.path-height", "height of the cutter's path", extents.height(), "cut.height"),
        ] {
            ledger.computed(name, title, size, PATH, &[("net", net), k[0]]);
        }
        for feature in features {
            let title = format!("{}: diameter of the cutter's path", feature.name);
            let name = format!("cut.{}.path", feature.name);
            ledger.computed(name, &title, feature.diameter - kerf, HOLE_PATH, &k);
        }
        let title = "waste that the round of the cutter leaves in inside corners";
        ledger.computed("cut.left-standing", title, tool.left_standing, STANDING, &k);
    }
    Ok(made)
}
