//! The finished piece from the spec's outline, holes and notches; its measures; and the path of the cutter.

use crate::lamp::diffuser::Diffuser;
use crate::lamp::given::Found;
use crate::ledger::{Formula, Ledger};
use crate::physics::mechanics::enclosing::around;
use crate::physics::mechanics::kerf::{KerfFault, ToolPath, neck, tool_path};
use crate::physics::mechanics::outline::Outline;
use crate::physics::mechanics::plate::{Plate, edge_distance_wanted, least_inside_radius, web_wanted};
use crate::quantity::{Kilograms, Metres};
use crate::schema::words::OutlineKind;
use crate::spread::Spread;

use super::shape::{Shaped, shape};
use super::{Feature, FeatureKind, InsideCorner, Net, NetFault, material_of};

const EXTENT: Formula =
    Formula { text: "largest less smallest coordinate of the net outline, ± tolerance", source: "geometry" };
const DIAMETER: Formula = Formula { text: "d ± tolerance", source: "as given" };
const AREA: Formula = Formula { text: "A of lines and arcs, exact, holes taken out", source: "geometry" };
const EDGES: Formula = Formula { text: "outer edge and all holes", source: "geometry" };
const MASS: Formula = Formula { text: "m = ρ A t", source: "geometry" };
const HALF: Formula = Formula { text: "k/2, outer edge outwards, holes inwards", source: "geometry" };
const PATH: Formula = Formula { text: "net + k", source: "geometry" };
const HOLE_PATH: Formula = Formula { text: "d − k, of a slot its width", source: "geometry" };
const STANDING: Formula =
    Formula { text: "area of the path brought back by k/2, less the net area", source: "geometry" };
const NEAREST: Formula = Formula { text: "least distance, exact for lines and arcs", source: "geometry" };
const WEB: Formula = Formula { text: "max(t, 3 mm)", source: "our margin; workshops ask for the thickness" };
const EDGE: Formula = Formula { text: "2 d in brittle sheet, else 1.5 d", source: "our margin" };

const AROUND: Formula =
    Formula { text: "2 r of the least circle around the outline, without tabs and notches", source: "geometry" };
const NECK: Formula = Formula {
    text: "twice the largest offset inwards that neither parts the outline nor loses a piece of its edge",
    source: "geometry",
};
const TIGHTEST: Formula = Formula {
    text: "least radius of the corners that the cutter meets from within; 0 where one is sharp",
    source: "geometry",
};
const GIVEN: Formula = Formula { text: "as written ± tolerance", source: "as given" };
const NONE: Formula = Formula { text: "outline, holes, tabs and notches as written", source: "geometry" };

/// The piece, or why the figures make none.
pub(super) fn solve(d: &Diffuser, ledger: &mut Ledger) -> Found<Result<Net, NetFault>> {
    let shaped = shape(d)?;
    if let Err(fault) = &shaped {
        let text = format!("none: `{}`, {}", fault.name, fault.fault);
        ledger.computed_text(super::shape::NO_PIECE, "the piece", text, NONE, &[("outline", d.outline.path.as_str())]);
    }
    Ok(shaped.map(|shaped| measured(d, shaped, ledger)))
}

fn measured(d: &Diffuser, shaped: Shaped, ledger: &mut Ledger) -> Net {
    let seated = shaped.base.extents();
    let mut plate = Plate::solid(shaped.outer);
    let mut features = Vec::new();
    for cut in shaped.cuts {
        let first = plate.holes.len();
        plate.holes.extend(cut.edges);
        features.push(Feature {
            name: cut.name,
            span: cut.span,
            edges: first..plate.holes.len(),
            kind: cut.kind,
            diameter: cut.width,
            centre_to_edge: Metres::ZERO,
            web: Metres::ZERO,
        });
    }
    let faults = plate.faults();
    let mut narrow = None;
    if faults.is_empty() {
        distances(d, &plate, &mut features, ledger);
        narrow = d.thickness.nominal().ok().and_then(|t| neck(&plate.outer, web_wanted(t)));
        if let Some(width) = narrow {
            ledger.computed(
                "cut.neck",
                "narrowest place of the outline",
                width,
                NECK,
                &[("t", d.thickness.path.as_str())],
            );
        }
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
    let in_round = d.seat.as_ref().is_some_and(|seat| !seat.height.is_known() && !seat.height.unknown);
    let around = (in_round && diameter.is_none()).then(|| {
        let title = "circle around the sheet: what turns in a round recess";
        ledger.computed("cut.around", title, around(&shaped.base), AROUND, &shape)
    });
    let area = ledger.computed("cut.area", "area of one piece", plate.area(), AREA, &shape);
    let edges = ledger.computed("cut.edges", "length of all edges of one piece", plate.edge_length(), EDGES, &shape);
    let mass = mass(d, &plate, ledger);
    let path = path(d, &plate, &features, ledger);
    let seated = (seated.width(), seated.height());
    if !d.tabs.is_empty() {
        extent(d, "cut.seated-width", "width without tabs: what lies in the recess", seated.0, ledger);
        extent(d, "cut.seated-height", "height without tabs: what lies in the recess", seated.1, ledger);
    }
    let inside = inside_corners(d, &shaped.whole, &plate, &features);
    for corner in &inside {
        let (path, title) = (format!("cut.{}.inside-radius", corner.name), format!("inside radius of {}", corner.name));
        ledger.computed(path, &title, corner.radius, TIGHTEST, &shape);
    }
    Net {
        plate,
        faults,
        features,
        inside,
        seated,
        diameter,
        around,
        neck: narrow,
        width,
        height,
        area,
        edges,
        mass,
        path,
    }
}

/// The tightest inside corner of each edge that may have one; a notch says its own.
fn inside_corners(d: &Diffuser, whole: &Outline, plate: &Plate, features: &[Feature]) -> Vec<InsideCorner> {
    // A radius that comes back from an offset is exact to far less than a nanometre.
    let settled = |r: Metres| Metres::si(libm::round(r.value() * 1e9) / 1e9);
    let mut found = Vec::new();
    let path = d.outline.value == Some(OutlineKind::Path);
    if path || !d.tabs.is_empty() {
        let span = if path { d.points.span } else { d.tabs.first().map_or(d.span, |tab| tab.root.span) };
        let radius = least_inside_radius(whole, false).map(settled);
        found.extend(radius.map(|radius| InsideCorner { name: "outline".into(), span, radius }));
    }
    for feature in features.iter().filter(|f| f.kind == FeatureKind::Cutout) {
        let edges = plate.holes.get(feature.edges.clone()).unwrap_or_default();
        let radius = edges.iter().filter_map(|edge| least_inside_radius(edge, true)).reduce(Metres::min).map(settled);
        let (name, span) = (feature.name.clone(), feature.span);
        found.extend(radius.map(|radius| InsideCorner { name, span, radius }));
    }
    found
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
        let inputs = [("tolerance", d.tolerance.path.as_str())];
        let round = matches!(feature.kind, FeatureKind::Round | FeatureKind::Opening);
        let size = title(if round { "diameter" } else { "narrowest width" });
        ledger.computed_spread(path("size"), &size, cut_to(d, feature.diameter), GIVEN, &inputs);
        ledger.computed(path("edge"), &title("centre to outer edge"), feature.centre_to_edge, NEAREST, &[]);
        ledger.computed(path("web"), &title("material left around it"), feature.web, NEAREST, &[]);
        if feature.kind == FeatureKind::Round {
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
            let round = matches!(feature.kind, FeatureKind::Round | FeatureKind::Opening);
            let what = if round { "diameter" } else { "width" };
            let title = format!("{}: {what} of the cutter's path", feature.name);
            let name = format!("cut.{}.path", feature.name);
            ledger.computed(name, &title, feature.diameter - kerf, HOLE_PATH, &k);
        }
        let title = "waste that the round of the cutter leaves in inside corners";
        ledger.computed("cut.left-standing", title, tool.left_standing, STANDING, &k);
    }
    Ok(made)
}
