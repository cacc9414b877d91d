//! The diffuser: its net outline, the path of the cutter, how it sits hot and cold, its sag, and what the edges leave.
//! What the geometry cannot do is kept as a value, so that a rule can name it.

mod engraving;
mod hazard;
mod marks;
mod net;
mod recess;
mod sag;
mod seat;
mod shape;
mod stock;
mod tool;

pub use engraving::Engraving;
pub use hazard::{Hazard, hazard};
pub use marks::Engraved;
pub use net::is_brittle;
pub use recess::{Lip, Recess, lip};
pub use shape::outline_within;
pub(in crate::solve) use shape::{Extent, extent};
pub use stock::Nest;
pub use tool::{Routed, ToolFault};

use crate::diag::Span;
use crate::lamp::Lamp;
use crate::lamp::diffuser::{Diffuser, Seat as Seating};
use crate::lamp::given::Found;
use crate::ledger::{Formula, Ledger};
use crate::physics::mechanics::kerf::{KerfFault, ToolPath};
use crate::physics::mechanics::materials::{self, Material};
use crate::physics::mechanics::plate::{Plate, PlateFault};
use crate::physics::mechanics::shapes::ShapeFault;
use crate::quantity::{Kilograms, Metres, SquareMetres};
use crate::schema::words::SheetMaterial;

/// The sheet worked out; ledger entries under `cut.`.
#[derive(Debug, Clone)]
pub struct SheetSolution {
    /// The finished piece, or why the figures make no piece.
    pub net: Result<Net, NetFault>,
    /// How it sits in its recess.
    pub seat: Option<Found<Seat>>,
    /// Where its recess lies in the body; none where the figures make no sound piece, or no wall runs round it.
    pub recess: Found<Option<Recess>>,
    /// How far its middle hangs when it lies flat on its edge; none where there is no piece.
    pub sag: Option<Found<Sag>>,
    /// Pieces to cut for all lamps and spares.
    pub pieces: Found<u32>,
    /// What is engraved; empty where the figures make no piece.
    pub marks: Vec<Found<Engraved>>,
    /// The way of the router, or what it cannot do; none without a router or a path for its cutter.
    pub routed: Option<Found<Result<Routed, Vec<ToolFault>>>>,
    /// How they lie on the stock; none where the spec names no stock or the figures make no piece.
    pub nest: Option<Found<Nest>>,
}

/// The finished piece; the cutter's path is beside it.
#[derive(Debug, Clone)]
pub struct Net {
    /// Outer edge and holes, centred on the origin of the spec's coordinates.
    pub plate: Plate,
    /// Edges that do not make one part.
    pub faults: Vec<PlateFault>,
    /// Holes, groups of holes and the opening of a ring, each with the numbers its edges have in the plate.
    pub features: Vec<Feature>,
    /// The tightest inside corner of the outline and of each cut-out that has one.
    pub inside: Vec<InsideCorner>,
    /// Width and height of the outline without tabs: what lies in the recess.
    pub seated: (Metres, Metres),
    /// Of a disc, ring or polygon: what turns in a round recess, whatever a notch takes away.
    pub diameter: Option<Metres>,
    /// Diameter of the least circle around the outline without tabs; none where the recess is not round or `diameter` is it.
    pub around: Option<Metres>,
    /// Its narrowest place, where that is less than a web should be.
    pub neck: Option<Metres>,
    /// Width over everything.
    pub width: Metres,
    /// Height over everything.
    pub height: Metres,
    /// Area of one piece, holes taken out.
    pub area: SquareMetres,
    /// Length of all its edges: what the cutter travels.
    pub edges: Metres,
    /// Mass of one piece.
    pub mass: Found<Kilograms>,
    /// Path of the middle of the cutter.
    pub path: Found<Result<ToolPath, KerfFault>>,
}

/// What an opening is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FeatureKind {
    /// The opening of a ring.
    Opening,
    /// A round hole or a circle of them.
    Round,
    /// A slot with round ends.
    Slot,
    /// A keyhole.
    Keyhole,
    /// Any closed run.
    Cutout,
}

/// The tightest inside corner of an edge.
#[derive(Debug, Clone)]
pub struct InsideCorner {
    /// `outline`, or the cut-out's name.
    pub name: String,
    /// Where the spec says so.
    pub span: Span,
    /// Its radius; zero where it is sharp.
    pub radius: Metres,
}

/// An opening of the sheet: a hole, a circle of equal holes, a slot, a keyhole, a cut-out, the opening of a ring.
#[derive(Debug, Clone)]
pub struct Feature {
    /// Its name in the spec; `opening` for that of a ring.
    pub name: String,
    /// Where the spec says so.
    pub span: Span,
    /// Numbers of its edges in the plate.
    pub edges: std::ops::Range<usize>,
    /// What it is.
    pub kind: FeatureKind,
    /// Diameter of each hole; of what is not round its narrowest width.
    pub diameter: Metres,
    /// Least distance from a centre to the outer edge.
    pub centre_to_edge: Metres,
    /// Least material left to the outer edge or to another hole.
    pub web: Metres,
}

/// Why the figures make no piece.
#[derive(Debug, Clone)]
pub struct NetFault {
    /// What it is about: `outline`, or the hole's or notch's name.
    pub name: String,
    /// Where the spec says so.
    pub span: Span,
    /// What is wrong.
    pub fault: ShapeFault,
}

/// Clearance between sheet and recess, over the whole width, in the worst case of all tolerances.
#[derive(Debug, Clone, Copy)]
pub struct Seat {
    /// Clearance across the width of the recess, or its diameter.
    pub width: Clearance,
    /// Clearance across its height, where it is not round.
    pub height: Option<Clearance>,
    /// Least clearance, over every state and direction.
    pub least: Metres,
    /// Largest clearance, over every state and direction.
    pub largest: Metres,
    /// Clearance that must remain.
    pub wanted: Metres,
    /// What moisture makes of it; none where the body is not of wood.
    pub wood: Option<Wood>,
    /// What the lip covers with the sheet pushed to the other side; none without a lip.
    pub overlap: Option<Metres>,
    /// Overlap to plan for.
    pub overlap_wanted: Metres,
}

/// A wooden recess that dries and gets damp.
#[derive(Debug, Clone, Copy)]
pub struct Wood {
    /// How much its size changes each way, as a share, across the grain.
    pub growth: f64,
    /// Least clearance when it has dried.
    pub least: Metres,
    /// Largest clearance when it is damp.
    pub largest: Metres,
    /// What the lip covers then; none without a lip.
    pub overlap: Option<Metres>,
}

/// Clearance in one direction.
#[derive(Debug, Clone, Copy)]
pub struct Clearance {
    /// As fitted, nominal sizes.
    pub fitted: Metres,
    /// Least: lamp on in the warmest room, sheet damp.
    pub hot: Metres,
    /// Least: lamp off in the coldest room, sheet damp.
    pub cold: Metres,
    /// Least over every state.
    pub least: Metres,
    /// Least over every state where the tolerances add as independent errors do.
    pub statistical: Metres,
    /// Largest over every state.
    pub largest: Metres,
    /// Recess that leaves the clearance wanted, tolerances in the worst case and as independent errors.
    pub recess: (Metres, Metres),
}

/// Sag of the sheet under its own weight, lying flat.
#[derive(Debug, Clone, Copy)]
pub struct Sag {
    /// In its middle, or at the opening of a ring; long-term stiffness.
    pub middle: Metres,
    /// Most to plan for.
    pub limit: Metres,
}

impl SheetSolution {
    /// The piece where its edges are sound and the cutter's path exists: what may be drawn to be cut.
    pub fn path(&self) -> Option<(&Net, &ToolPath)> {
        let net = self.net.as_ref().ok().filter(|net| net.faults.is_empty())?;
        match &net.path {
            Ok(Ok(path)) if path.path.faults().is_empty() => Some((net, path)),
            _ => None,
        }
    }
}

/// Mechanical figures of a sheet material.
pub fn material_of(sheet: SheetMaterial) -> Option<&'static Material> {
    materials::find(match sheet {
        SheetMaterial::OpalAcrylic | SheetMaterial::ClearAcrylic => "acrylic",
        SheetMaterial::Polycarbonate => "polycarbonate",
        SheetMaterial::Polystyrene => "polystyrene",
        SheetMaterial::Petg => "petg",
        SheetMaterial::Pvc => "pvc",
        SheetMaterial::Glass => "glass",
    })
}

const PIECES: Formula = Formula { text: "n (1 + spares)", source: "counting" };

/// Works the sheet out. A dimension that its outline needs and nobody gave is what is missing.
pub fn solve(lamp: &Lamp, diffuser: &Diffuser, ledger: &mut Ledger) -> Found<SheetSolution> {
    let net = net::solve(diffuser, ledger)?;
    let sizes = net.as_ref().ok().map(|net| (net.width, net.height));
    let across = net.as_ref().ok().and_then(|net| net.diameter.or(net.around));
    let seat = diffuser.seat.as_ref().zip(sizes);
    let lies = net.as_ref().ok().map(|net| net.seated);
    let seat = seat.map(|(seat, sizes)| {
        seat::solve(lamp, diffuser, seat, seat_sizes(seat, lies.unwrap_or(sizes), across), ledger)
    });
    let sag = sizes.map(|sizes| sag::solve(diffuser, sizes, ledger));
    let pieces = pieces(lamp, diffuser, ledger);
    let sound = net.as_ref().ok().filter(|net| net.faults.is_empty());
    let stock = diffuser.stock.as_ref().zip(sound);
    let nest = stock.map(|(stock, net)| stock::solve(diffuser, stock, net, pieces.clone()?, ledger));
    let marks = sound.map_or_else(Vec::new, |net| marks::solve(lamp, diffuser, &net.plate, ledger));
    let recess = sound.map_or(Ok(None), |net| recess::solve(lamp, diffuser, net.seated, ledger));
    let mut solved = SheetSolution { net, seat, recess, sag, pieces, marks, routed: None, nest };
    solved.routed = routed(diffuser, &solved, ledger);
    Ok(solved)
}

type MaybeRouted = Option<Found<Result<Routed, Vec<ToolFault>>>>;

fn routed(diffuser: &Diffuser, solved: &SheetSolution, ledger: &mut Ledger) -> MaybeRouted {
    let (net, path) = solved.path()?;
    tool::time(diffuser, path, &solved.pieces, ledger);
    let router = diffuser.cut.router.as_ref()?;
    Some(tool::solve(diffuser, router, (net, path), (&solved.marks, &solved.pieces), ledger))
}

/// What meets the recess: in a round one the diameter, or that of the circle around the sheet; else width and height.
fn seat_sizes(seat: &Seating, sizes: (Metres, Metres), diameter: Option<Metres>) -> (Metres, Metres) {
    diameter.filter(|_| !seat.height.is_known()).map_or(sizes, |d| (d, d))
}

fn pieces(lamp: &Lamp, diffuser: &Diffuser, ledger: &mut Ledger) -> Found<u32> {
    let (quantity, spares) = (&lamp.identity.quantity, &diffuser.cut.spares);
    let count = quantity.get()?.saturating_mul(spares.get()?.saturating_add(1));
    let inputs = [("n", quantity.path.as_str()), ("spares", spares.path.as_str())];
    let title = "pieces to cut for all lamps, spares included";
    ledger.computed_text("cut.pieces", title, count.to_string(), PIECES, &inputs);
    Ok(count)
}
