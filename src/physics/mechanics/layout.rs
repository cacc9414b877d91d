//! Where the pieces lie on a sheet of stock: the places behind the counts of `nesting`, discs in square and staggered
//! rows, rectangles in blocks of rows. Regular layouts only.

use super::curve::Point;
use super::nesting::{ROW, Stock, discs, whole};
use crate::quantity::Metres;

/// How pieces are laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rows {
    /// Square rows.
    Square,
    /// Staggered rows, each lying in the gaps of the one before.
    Staggered,
    /// Square rows first, staggered ones on top of them.
    Mixed,
    /// Rectangles in straight rows, all one way.
    Straight,
    /// Rectangles in shelves, those of one shelf turned.
    Shelves,
}

impl Rows {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Square => "square rows",
            Self::Staggered => "staggered (hexagonal) rows",
            Self::Mixed => "square rows, then staggered ones",
            Self::Straight => "straight rows, all one way",
            Self::Shelves => "two blocks of straight rows, one turned",
        }
    }
}

/// One place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Middle of the piece, from the lower left corner of the sheet.
    pub centre: Point,
    /// Turned a quarter.
    pub turned: bool,
}

/// All places of one sheet, in the order they are cut: from the lower left, row by row.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// The places.
    pub places: Vec<Place>,
    /// How they lie.
    pub rows: Rows,
}

/// Discs: the layout with the most places, square rows where it makes no difference.
pub fn disc_layout(stock: Stock, diameter: Metres) -> Layout {
    let counts = discs(stock, diameter);
    let pitch = diameter + stock.gap;
    let inside = |side: Metres| (side - stock.margin * 2.0 + stock.gap) / pitch;
    let (w, h) = (inside(stock.width), inside(stock.height));
    let (rows, centres, upright) = if counts.best() == 0 {
        (Rows::Square, Vec::new(), false)
    } else if counts.grid == counts.best() {
        (Rows::Square, square(w, h), false)
    } else if counts.staggered_along == counts.best() {
        (Rows::Staggered, stacked(w, h, 0, usize::MAX), false)
    } else if counts.staggered_across == counts.best() {
        (Rows::Staggered, stacked(h, w, 0, usize::MAX), true)
    } else {
        let (along, across) = (best_mixed(w, h), best_mixed(h, w));
        if along.len() >= across.len() { (Rows::Mixed, along, false) } else { (Rows::Mixed, across, true) }
    };
    let start = stock.margin + diameter / 2.0;
    let place = |(x, y): (f64, f64)| {
        let (x, y) = if upright { (y, x) } else { (x, y) };
        Place { centre: Point { x: start + pitch * x, y: start + pitch * y }, turned: false }
    };
    Layout { places: centres.into_iter().map(place).collect(), rows }
}

/// Regular hexagons of this width and height over all, side on side: the rows of the circles in them, which touch where
/// the sides do. Rows run along the direction in which two sides face each other.
pub fn honeycomb(stock: Stock, width: Metres, height: Metres) -> Layout {
    let across = width.min(height);
    let pitch = across + stock.gap;
    // Rows along the width where the sides face left and right.
    let upright = height < width;
    let (sheet_w, sheet_h) = if upright { (stock.height, stock.width) } else { (stock.width, stock.height) };
    let tall = width.max(height);
    let w = (sheet_w - stock.margin * 2.0 - across) / pitch + 1.0;
    // The corners stand out of the rows by more than the circles do, above the last row and below the first.
    let h = (sheet_h - stock.margin * 2.0 - tall) / pitch + 1.0;
    let centres = if w < 1.0 - 1e-9 || h < 1.0 - 1e-9 { Vec::new() } else { stacked(w, h, 0, usize::MAX) };
    let place = |(x, y): (f64, f64)| {
        let (x, y) = (stock.margin + across / 2.0 + pitch * x, stock.margin + tall / 2.0 + pitch * y);
        let centre = if upright { Point { x: y, y: x } } else { Point { x, y } };
        Place { centre, turned: false }
    };
    Layout { places: centres.into_iter().map(place).collect(), rows: Rows::Staggered }
}

/// Centres in pitches from the first one.
type Centres = Vec<(f64, f64)>;

fn square(w: f64, h: f64) -> Centres {
    (0..whole(h)).flat_map(|row| (0..whole(w)).map(move |column| (column as f64, row as f64))).collect()
}

/// `aligned` more square rows on the first, then staggered ones as far as they go, at most `steps`.
fn stacked(w: f64, h: f64, aligned: usize, steps: usize) -> Centres {
    let mut centres = Centres::new();
    for row in 0..=aligned {
        centres.extend((0..whole(w)).map(|column| (column as f64, row as f64)));
    }
    let room = whole((h - 1.0 - aligned as f64) / ROW).min(steps);
    for step in 1..=room {
        let (shift, count) = if step % 2 == 1 { (0.5, whole(w - 0.5)) } else { (0.0, whole(w)) };
        let y = aligned as f64 + step as f64 * ROW;
        centres.extend((0..count).map(|column| (column as f64 + shift, y)));
    }
    centres
}

fn best_mixed(w: f64, h: f64) -> Centres {
    let steps = whole((h - 1.0) / ROW);
    let each = (0..=steps).map(|staggered| {
        let aligned = whole(h - 1.0 - staggered as f64 * ROW);
        stacked(w, h, aligned, staggered)
    });
    each.reduce(|best, one| if one.len() > best.len() { one } else { best }).unwrap_or_default()
}

/// Rectangles of this size; `turn` allows a quarter turn.
pub fn rectangle_layout(stock: Stock, width: Metres, height: Metres, turn: bool) -> Layout {
    let g = stock.gap.value();
    let room = |side: Metres| (side - stock.margin * 2.0).value() + g;
    let sheet = Field { x: 0.0, y: 0.0, w: room(stock.width), h: room(stock.height) };
    let part = (width.value() + g, height.value() + g);
    let mut best = sheet.filled(part, false);
    let mut rows = Rows::Straight;
    if turn {
        let turned = sheet.filled(part, true);
        if turned.len() > best.len() {
            best = turned;
        }
        for (one, other) in sheet.cuts(part) {
            let both: Vec<Spot> = one.better(part).into_iter().chain(other.better(part)).collect();
            if both.len() > best.len() {
                (best, rows) = (both, Rows::Shelves);
            }
        }
    }
    let place = |spot: Spot| {
        let (w, h) = if spot.turned { (height, width) } else { (width, height) };
        let corner = |at: f64, side: Metres| stock.margin + Metres::si(at) + side / 2.0;
        Place { centre: Point { x: corner(spot.x, w), y: corner(spot.y, h) }, turned: spot.turned }
    };
    Layout { places: best.into_iter().map(place).collect(), rows }
}

/// Lower left corner of a part with its gap.
#[derive(Clone, Copy)]
struct Spot {
    x: f64,
    y: f64,
    turned: bool,
}

/// A piece of the sheet, metres.
#[derive(Clone, Copy)]
struct Field {
    x: f64,
    y: f64,
    w: f64,
    h: f64,
}

impl Field {
    fn filled(self, part: (f64, f64), turned: bool) -> Vec<Spot> {
        let (w, h) = if turned { (part.1, part.0) } else { part };
        let (columns, rows) = (whole(self.w / w), whole(self.h / h));
        let spot = move |k: usize| {
            let (column, row) = (k % columns.max(1), k / columns.max(1));
            Spot { x: self.x + w * column as f64, y: self.y + h * row as f64, turned }
        };
        (0..columns * rows).map(spot).collect()
    }

    fn better(self, part: (f64, f64)) -> Vec<Spot> {
        let (plain, turned) = (self.filled(part, false), self.filled(part, true));
        if turned.len() > plain.len() { turned } else { plain }
    }

    /// Every straight cut after a whole number of parts.
    fn cuts(self, part: (f64, f64)) -> Vec<(Self, Self)> {
        let mut found = Vec::new();
        for size in [part.0, part.1] {
            for count in 1..=whole(self.w / size) {
                let w = size * count as f64;
                found.push((Self { w, ..self }, Self { x: self.x + w, w: self.w - w, ..self }));
            }
            for count in 1..=whole(self.h / size) {
                let h = size * count as f64;
                found.push((Self { h, ..self }, Self { y: self.y + h, h: self.h - h, ..self }));
            }
        }
        found
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::conductors::mm;

    fn stock(width: f64, height: f64, gap: f64, margin: f64) -> Stock {
        Stock { width: mm(width), height: mm(height), gap: mm(gap), margin: mm(margin) }
    }

    #[test]
    fn discs_lie_apart_on_the_sheet_and_are_as_many_as_counted() {
        // The sheets of tests/reference/mains/nesting.csv and coins on squares.
        for (w, h, d, g, m) in [
            (600.0, 300.0, 100.0, 0.0, 0.0),
            (600.0, 300.0, 100.0, 3.0, 5.0),
            (600.0, 400.0, 80.0, 2.0, 5.0),
            (1000.0, 600.0, 200.0, 5.0, 10.0),
            (500.0, 500.0, 40.0, 1.0, 5.0),
            (420.0, 297.0, 120.0, 2.0, 10.0),
            (100.0, 100.0, 10.0, 0.0, 0.0),
            (90.0, 90.0, 100.0, 0.0, 0.0),
        ] {
            let stock = stock(w, h, g, m);
            let layout = disc_layout(stock, mm(d));
            assert_eq!(layout.places.len(), discs(stock, mm(d)).best(), "{w} {h} {d}");
            for (k, one) in layout.places.iter().enumerate() {
                let (x, y) = (one.centre.x.value() * 1e3, one.centre.y.value() * 1e3);
                let least = m + d / 2.0 - 1e-6;
                assert!(x >= least && y >= least && x <= w - least && y <= h - least, "{x} {y}");
                for other in layout.places.iter().skip(k + 1) {
                    assert!(one.centre.distance(other.centre) >= mm(d + g - 1e-6), "{w} {h} {d}");
                }
            }
        }
    }

    #[test]
    fn rectangles_lie_apart_on_the_sheet_and_are_as_many_as_counted() {
        // All one way as they are, and the best with turning: counted by a script of its own.
        for (w, h, a, b, g, m, fixed, best) in [
            (1200.0, 1000.0, 400.0, 300.0, 0.0, 0.0, 9, 10),
            (600.0, 300.0, 120.0, 80.0, 0.0, 0.0, 15, 17),
            (600.0, 300.0, 120.0, 80.0, 3.0, 5.0, 12, 15),
            (1000.0, 600.0, 170.0, 130.0, 0.0, 0.0, 20, 24),
            (100.0, 100.0, 120.0, 20.0, 0.0, 0.0, 0, 0),
        ] {
            let stock = stock(w, h, g, m);
            assert_eq!(rectangle_layout(stock, mm(a), mm(b), false).places.len(), fixed, "{w} {h} {a} {b}");
            let layout = rectangle_layout(stock, mm(a), mm(b), true);
            assert_eq!(layout.places.len(), best, "{w} {h} {a} {b}");
            let half = |p: &Place| if p.turned { (b / 2.0, a / 2.0) } else { (a / 2.0, b / 2.0) };
            let xy = |p: &Place| (p.centre.x.value() * 1e3, p.centre.y.value() * 1e3);
            for (k, one) in layout.places.iter().enumerate() {
                let ((x, y), (hx, hy)) = (xy(one), half(one));
                assert!(x - hx >= m - 1e-6 && y - hy >= m - 1e-6 && x + hx <= w - m + 1e-6 && y + hy <= h - m + 1e-6);
                for other in layout.places.iter().skip(k + 1) {
                    let ((u, v), (hu, hv)) = (xy(other), half(other));
                    let apart = ((x - u).abs() - hx - hu).max((y - v).abs() - hy - hv);
                    assert!(apart >= g - 1e-6, "{apart}");
                }
            }
        }
    }
}
