//! Block `diffuser`: outline, cut, seat, holes and notches.

use crate::diag::Span;
use crate::quantity::{Kelvin, Metres, MetresPerSecond, Radians, Temperature};
use crate::schema::words::{Cutter, OutlineKind, SheetMaterial};
use crate::spread::Spread;

use super::cutting::{Cutout, Keyhole, Mark, Router, Slot, Stock, Tab};
use super::given::Given;
use super::read::Block;

/// The sheet that closes the lamp.
#[derive(Debug, Clone, PartialEq)]
pub struct Diffuser {
    /// Where the block opens.
    pub span: Span,
    /// `outline`.
    pub outline: Given<OutlineKind>,
    /// `diameter`.
    pub diameter: Given<Spread<Metres>>,
    /// `inner`.
    pub inner: Given<Spread<Metres>>,
    /// `width`.
    pub width: Given<Spread<Metres>>,
    /// `height`.
    pub height: Given<Spread<Metres>>,
    /// `corner`.
    pub corner: Given<Spread<Metres>>,
    /// `sides`.
    pub sides: Given<u32>,
    /// `points`.
    pub points: Given<Vec<Vec<Metres>>>,
    /// `thickness`.
    pub thickness: Given<Spread<Metres>>,
    /// `material`.
    pub material: Given<SheetMaterial>,
    /// `transmission`.
    pub transmission: Given<f64>,
    /// `box`.
    pub box_: Given<f64>,
    /// `tolerance`.
    pub tolerance: Given<Spread<Metres>>,
    /// `cut`.
    pub cut: Cut,
    /// `seat`.
    pub seat: Option<Seat>,
    /// `hole`.
    pub hole: Vec<Hole>,
    /// `holes`.
    pub holes: Vec<Holes>,
    /// `slot`.
    pub slots: Vec<Slot>,
    /// `keyhole`.
    pub keyholes: Vec<Keyhole>,
    /// `cutout`.
    pub cutouts: Vec<Cutout>,
    /// `notch`.
    pub notches: Vec<Notch>,
    /// `tab`.
    pub tabs: Vec<Tab>,
    /// `mark`.
    pub marks: Vec<Mark>,
    /// `stock`.
    pub stock: Option<Stock>,
}

impl Diffuser {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            span: block.span(),
            outline: block.word("outline"),
            diameter: block.quantity("diameter"),
            inner: block.quantity("inner"),
            width: block.quantity("width"),
            height: block.quantity("height"),
            corner: block.quantity("corner"),
            sides: block.count("sides"),
            points: block.points("points"),
            thickness: block.quantity("thickness"),
            material: block.word("material"),
            transmission: block.ratio("transmission"),
            box_: block.ratio("box"),
            tolerance: block.quantity("tolerance"),
            cut: Cut::read(&block.inner("cut")),
            seat: block.optional("seat", Seat::read),
            hole: block.named("hole", Hole::read),
            holes: block.named("holes", Holes::read),
            slots: block.named("slot", Slot::read),
            keyholes: block.named("keyhole", Keyhole::read),
            cutouts: block.named("cutout", Cutout::read),
            notches: block.named("notch", Notch::read),
            tabs: block.named("tab", Tab::read),
            marks: block.named("mark", Mark::read),
            stock: block.optional("stock", Stock::read),
        }
    }
}

/// How the sheet is cut.
#[derive(Debug, Clone, PartialEq)]
pub struct Cut {
    /// `method`.
    pub method: Given<Cutter>,
    /// `kerf`.
    pub kerf: Given<Spread<Metres>>,
    /// `spares`.
    pub spares: Given<u32>,
    /// `feed`.
    pub feed: Given<Spread<MetresPerSecond>>,
    /// `router`.
    pub router: Option<Router>,
}

impl Cut {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            method: block.word("method"),
            kerf: block.quantity("kerf"),
            spares: block.count("spares"),
            feed: block.quantity("feed"),
            router: block.optional("router", Router::read),
        }
    }
}

/// The recess the sheet lies in.
#[derive(Debug, Clone, PartialEq)]
pub struct Seat {
    /// `width`.
    pub width: Given<Spread<Metres>>,
    /// `height`.
    pub height: Given<Spread<Metres>>,
    /// `tolerance`.
    pub tolerance: Given<Spread<Metres>>,
    /// `gap`.
    pub gap: Given<Spread<Metres>>,
    /// `lip`.
    pub lip: Given<Spread<Metres>>,
    /// `sheet-rise`.
    pub sheet_rise: Given<Spread<Kelvin>>,
    /// `body-rise`.
    pub body_rise: Given<Spread<Kelvin>>,
    /// `moisture`.
    pub moisture: Given<f64>,
    /// `fitted-at`.
    pub fitted_at: Given<Spread<Temperature>>,
}

impl Seat {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            width: block.quantity("width"),
            height: block.quantity("height"),
            tolerance: block.quantity("tolerance"),
            gap: block.quantity("gap"),
            lip: block.quantity("lip"),
            sheet_rise: block.quantity("sheet-rise"),
            body_rise: block.quantity("body-rise"),
            moisture: block.ratio("moisture"),
            fitted_at: block.quantity("fitted-at"),
        }
    }
}

/// A round hole in the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Hole {
    /// Where the block opens.
    pub span: Span,
    /// Its name.
    pub name: String,
    /// `at`.
    pub at: Given<Vec<Metres>>,
    /// `diameter`.
    pub diameter: Given<Spread<Metres>>,
}

impl Hole {
    pub(super) fn read(name: String, block: &Block<'_>) -> Self {
        Self { name, span: block.span(), at: block.lengths("at"), diameter: block.quantity("diameter") }
    }
}

/// Equal holes on a circle round the centre.
#[derive(Debug, Clone, PartialEq)]
pub struct Holes {
    /// Where the block opens.
    pub span: Span,
    /// Its name.
    pub name: String,
    /// `count`.
    pub count: Given<u32>,
    /// `circle`.
    pub circle: Given<Spread<Metres>>,
    /// `diameter`.
    pub diameter: Given<Spread<Metres>>,
    /// `start`.
    pub start: Given<Spread<Radians>>,
}

impl Holes {
    pub(super) fn read(name: String, block: &Block<'_>) -> Self {
        Self {
            name,
            span: block.span(),
            count: block.count("count"),
            circle: block.quantity("circle"),
            diameter: block.quantity("diameter"),
            start: block.quantity("start"),
        }
    }
}

/// A notch in the edge of the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Notch {
    /// Where the block opens.
    pub span: Span,
    /// Its name.
    pub name: String,
    /// `towards`.
    pub towards: Given<Spread<Radians>>,
    /// `width`.
    pub width: Given<Spread<Metres>>,
    /// `depth`.
    pub depth: Given<Spread<Metres>>,
    /// `corner`.
    pub corner: Given<Spread<Metres>>,
}

impl Notch {
    pub(super) fn read(name: String, block: &Block<'_>) -> Self {
        Self {
            name,
            span: block.span(),
            towards: block.quantity("towards"),
            width: block.quantity("width"),
            depth: block.quantity("depth"),
            corner: block.quantity("corner"),
        }
    }
}
