//! Many lamps to one cut list: pieces of one stuff and thickness together, and how they lie on sheets of one stock.

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::{Value, json};

use crate::Compiled;
use crate::packet::drawing::{Anchor, Drawing, Path, Role, Scale, Shape, at};
use crate::packet::sheet::DataTable;
use crate::physics::mechanics::nesting::Stock;
use crate::physics::mechanics::shelves::{Laid, shelves};
use crate::quantity::{Metres, Quantity as _};
use crate::schema::words::Word as _;

/// Widest and highest a sheet of stock is drawn, mm.
const ROOM: (f64, f64) = (150.0, 100.0);
/// Height of a label on a piece, mm.
const LABEL: f64 = 2.6;
const MARGIN: f64 = 3.0;
/// Sheets that are drawn; the table has all.
const MOST_DRAWN: usize = 12;

/// One piece to cut, as often as it is wanted.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Piece {
    /// The letter it has in the drawings.
    pub letter: String,
    /// The lamp it is of, with its variant.
    pub lamp: String,
    /// What it is of: `opal-acrylic, 3 mm`.
    pub stuff: String,
    /// Width and height over everything, as printed.
    pub size: String,
    /// How many, spares included; as on the lamp's own papers.
    pub pieces: u32,
    /// The sheet it is cut from, as printed; empty where no stock is stated.
    pub stock: String,
    /// Sheets when this lamp's pieces are cut alone; empty where that is not known.
    pub alone: String,
}

/// Pieces of several lamps that share their sheets.
pub struct Shared {
    stuff: String,
    stock: Stock,
    /// Sheets when all lie together, and when each design has sheets of its own.
    together: usize,
    apart: u32,
    laid: Vec<(Laid, String)>,
}

struct Wanted {
    piece: Piece,
    size: (Metres, Metres),
    stock: Option<Stock>,
    turn: bool,
    alone: Option<u32>,
}

/// Everything to cut for these lamps, and which of it can share sheets.
pub fn list(lamps: &[&Compiled]) -> (Vec<Piece>, Vec<Shared>) {
    let wanted: Vec<Wanted> = lamps.iter().filter_map(|lamp| wanted(lamp)).collect();
    let wanted: Vec<Wanted> = wanted
        .into_iter()
        .enumerate()
        .map(|(n, w)| Wanted { piece: Piece { letter: letter(n), ..w.piece }, ..w })
        .collect();
    // Sheets are shared where stuff, size, gap, margin and grain are the same; a BTreeMap keeps the order steady.
    let mut groups: BTreeMap<(String, String), Vec<&Wanted>> = BTreeMap::new();
    for one in wanted.iter().filter(|w| w.stock.is_some()) {
        let key = (one.piece.stuff.clone(), format!("{} {:?} {}", one.piece.stock, one.stock, one.turn));
        groups.entry(key).or_default().push(one);
    }
    let shared = groups.into_values().filter(|group| group.len() > 1).filter_map(|group| share(&group)).collect();
    (wanted.into_iter().map(|w| w.piece).collect(), shared)
}

/// `A` to `Z`, then `A2` and so on.
fn letter(number: usize) -> String {
    let sign = char::from(b'A' + (number % 26) as u8);
    if number < 26 { sign.to_string() } else { format!("{sign}{}", number / 26 + 1) }
}

fn wanted(lamp: &Compiled) -> Option<Wanted> {
    let sheet = lamp.solution.sheet.as_ref()?.as_ref().ok()?;
    let net = sheet.net.as_ref().ok().filter(|net| net.faults.is_empty())?;
    let pieces = *sheet.pieces.as_ref().ok()?;
    let diffuser = lamp.lamp.diffuser.as_ref()?;
    let material = diffuser.material.value.map_or("?", |m| m.word());
    let thickness = lamp.solution.ledger.shown("diffuser.thickness").unwrap_or("?");
    let variant = lamp.identity().variant.as_ref().map_or_else(String::new, |v| format!(", {v}"));
    let nest = sheet.nest.as_ref().and_then(|nest| nest.as_ref().ok());
    let turn = diffuser.stock.as_ref().and_then(|s| s.turn.value).unwrap_or(false);
    Some(Wanted {
        piece: Piece {
            letter: String::new(),
            lamp: format!("{}{variant}", lamp.identity().lamp),
            stuff: format!("{material}, {thickness}"),
            size: format!("{} x {}", net.width.show(), net.height.show()),
            pieces,
            stock: nest.map_or_else(String::new, |n| format!("{} x {}", n.stock.width.show(), n.stock.height.show())),
            alone: nest.and_then(|n| n.wanted).map_or_else(String::new, |n| n.to_string()),
        },
        size: (net.width, net.height),
        stock: nest.map(|n| n.stock),
        turn,
        alone: nest.and_then(|n| n.wanted),
    })
}

fn share(group: &[&Wanted]) -> Option<Shared> {
    let first = group.first()?;
    let stock = first.stock?;
    let all: Vec<(&Wanted, (Metres, Metres))> =
        group.iter().flat_map(|w| (0..w.piece.pieces).map(move |_| (*w, w.size))).collect();
    let sizes: Vec<(Metres, Metres)> = all.iter().map(|(_, size)| *size).collect();
    let laid = shelves(stock, &sizes, first.turn)?;
    let together = laid.iter().map(|l| l.sheet + 1).max()?;
    let apart: Option<u32> = group.iter().map(|w| w.alone).sum();
    let name = |l: &Laid| all.get(l.piece).map_or_else(String::new, |(w, _)| w.piece.letter.clone());
    let laid = laid.into_iter().map(|l| (l, name(&l))).collect();
    Some(Shared { stuff: first.piece.stuff.clone(), stock, together, apart: apart?, laid })
}

impl Shared {
    /// Whether it saves a sheet to cut them together: discs that nest closely alone may need fewer sheets so.
    fn pays(&self) -> bool {
        self.together < self.apart as usize
    }

    /// For the template; the drawings that belong to it are named in it.
    fn data(&self, number: usize) -> Value {
        let drawn = if self.pays() { self.together.min(MOST_DRAWN) } else { 0 };
        json!({
            "stuff": self.stuff,
            "stock": format!("{} x {}", self.stock.width.show(), self.stock.height.show()),
            "together": self.together, "apart": self.apart, "pays": self.pays(),
            "drawings": (0..drawn).map(|sheet| name(number, sheet)).collect::<Vec<_>>(),
        })
    }

    /// One sheet to scale: a box for each piece, with its letter.
    fn drawing(&self, number: usize, sheet: usize) -> Drawing {
        let (w, h) = (self.stock.width.value() * 1e3, self.stock.height.value() * 1e3);
        let by = (w / ROOM.0).max(h / ROOM.1).max(1.0);
        let boxed = |x: f64, y: f64, w: f64, h: f64| Path::rectangle(at(x / by, y / by), w / by, h / by);
        let mut shapes = vec![Shape::Paths { role: Role::Outline, paths: vec![boxed(0.0, 0.0, w, h)] }];
        let here: Vec<&(Laid, String)> = self.laid.iter().filter(|(l, _)| l.sheet == sheet).collect();
        for (laid, letter) in &here {
            let (x, y) = (laid.x.value() * 1e3, laid.y.value() * 1e3);
            let (w, h) = (laid.size.0.value() * 1e3, laid.size.1.value() * 1e3);
            shapes.push(Shape::Paths { role: Role::Outline, paths: vec![boxed(x, y, w, h)] });
            shapes.push(Shape::Text {
                at: at((x + w / 2.0) / by, (y + h / 2.0) / by - LABEL / 2.0),
                height: LABEL,
                anchor: Anchor::Middle,
                angle: 0.0,
                text: letter.clone(),
                strong: false,
            });
        }
        Drawing {
            name: name(number, sheet),
            title: format!("Sheet {} of {}, {}", sheet + 1, self.together, self.stuff),
            description: format!(
                "{} pieces as boxes on one sheet of {} by {}, in shelves; the letters are those of the list",
                here.len(),
                self.stock.width.show(),
                self.stock.height.show()
            ),
            corner: at(-MARGIN, -MARGIN),
            width: w / by + 2.0 * MARGIN,
            height: h / by + 2.0 * MARGIN,
            scale: Scale::Reduced,
            shapes,
        }
    }
}

fn name(number: usize, sheet: usize) -> String {
    format!("cut-{}-{}", number + 1, sheet + 1)
}

/// The data of the cut list's template.
pub fn data(pieces: &[Piece], shared: &[Shared]) -> Value {
    let shared: Vec<Value> = shared.iter().enumerate().map(|(n, s)| s.data(n)).collect();
    json!({ "pieces": pieces, "shared": shared })
}

/// Every sheet that is shared, where that saves one.
pub fn drawings(shared: &[Shared]) -> BTreeMap<String, Drawing> {
    let paying = shared.iter().enumerate().filter(|(_, s)| s.pays());
    let all = paying.flat_map(|(n, s)| (0..s.together.min(MOST_DRAWN)).map(move |sheet| s.drawing(n, sheet)));
    all.map(|d| (d.name.clone(), d)).collect()
}

/// The cut list as a table for machines.
pub fn table(pieces: &[Piece]) -> DataTable {
    let columns = ["letter", "lamp", "stuff", "size", "pieces", "stock", "sheets alone"];
    let row = |p: &Piece| {
        let p = p.clone();
        vec![p.letter, p.lamp, p.stuff, p.size, p.pieces.to_string(), p.stock, p.alone]
    };
    DataTable {
        name: "cut".into(),
        columns: columns.map(str::to_owned).to_vec(),
        rows: pieces.iter().map(row).collect(),
    }
}
