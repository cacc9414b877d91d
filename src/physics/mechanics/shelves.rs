//! Pieces of several sizes on sheets of one size: in shelves, the tallest first, each in the first shelf that has room.

use super::nesting::Stock;
use crate::quantity::Metres;

/// Where a piece lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Laid {
    /// Its number in the list that was given.
    pub piece: usize,
    /// The sheet, from 0.
    pub sheet: usize,
    /// Left edge, from the left edge of the sheet.
    pub x: Metres,
    /// Lower edge, from the lower edge of the sheet.
    pub y: Metres,
    /// Width and height as it lies.
    pub size: (Metres, Metres),
    /// Turned a quarter.
    pub turned: bool,
}

struct Shelf {
    sheet: usize,
    y: f64,
    height: f64,
    /// Where the next piece begins.
    next: f64,
}

/// Places for pieces of these widths and heights, in as many sheets as they need; nothing where one of them fits in no
/// way. First fit by decreasing height (Coffman et al. 1980, from memory): never more than 1.7 times the least height
/// of one endless strip, and no promise for sheets. Between pieces lies the gap of `stock`, along its edge the margin.
/// `turn` says whether a piece may lie a quarter turned; it is turned where it lies flatter so.
pub fn shelves(stock: Stock, pieces: &[(Metres, Metres)], turn: bool) -> Option<Vec<Laid>> {
    let (m, g) = (stock.margin.value(), stock.gap.value());
    let (w, h) = (stock.width.value() - 2.0 * m, stock.height.value() - 2.0 * m);
    let fits = |(a, b): (f64, f64)| a <= w + 1e-9 && b <= h + 1e-9;
    let mut sized: Vec<(usize, f64, f64, bool)> = Vec::new();
    for (number, (width, height)) in pieces.iter().enumerate() {
        let (a, b) = (width.value(), height.value());
        let flat = turn && b > a && fits((b, a));
        let stood = turn && !fits((a, b)) && fits((b, a));
        match (flat || stood, fits((a, b))) {
            (true, _) => sized.push((number, b, a, true)),
            (false, true) => sized.push((number, a, b, false)),
            (false, false) => return None,
        }
    }
    sized.sort_by(|a, b| b.2.total_cmp(&a.2).then(b.1.total_cmp(&a.1)).then(a.0.cmp(&b.0)));
    let (mut shelves, mut tops, mut laid): (Vec<Shelf>, Vec<f64>, Vec<Laid>) = (Vec::new(), Vec::new(), Vec::new());
    for (piece, width, height, turned) in sized {
        let room = |s: &&mut Shelf| height <= s.height + 1e-9 && s.next + width <= w + 1e-9;
        let at = match shelves.iter_mut().find(room) {
            Some(shelf) => {
                let at = (shelf.sheet, shelf.next, shelf.y);
                shelf.next += width + g;
                at
            }
            None => {
                let sheet = tops.iter().position(|top| top + height <= h + 1e-9).unwrap_or(tops.len());
                if sheet == tops.len() {
                    tops.push(0.0);
                }
                let y = tops.get(sheet).copied().unwrap_or(0.0);
                if let Some(top) = tops.get_mut(sheet) {
                    *top = y + height + g;
                }
                shelves.push(Shelf { sheet, y, height, next: width + g });
                (sheet, 0.0, y)
            }
        };
        let (sheet, x, y) = at;
        let size = (Metres::si(width), Metres::si(height));
        laid.push(Laid { piece, sheet, x: Metres::si(m + x), y: Metres::si(m + y), size, turned });
    }
    laid.sort_by_key(|l| (l.sheet, l.piece));
    Some(laid)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::conductors::mm;

    #[test]
    fn pieces_lie_apart_within_the_margin_and_each_once() {
        let stock = Stock { width: mm(600.0), height: mm(400.0), gap: mm(3.0), margin: mm(5.0) };
        let sizes = [(238.0, 118.0), (142.0, 142.0), (100.0, 300.0), (60.0, 40.0)];
        let pieces: Vec<(Metres, Metres)> =
            (0..23).map(|n| sizes[n % sizes.len()]).map(|(w, h)| (mm(w), mm(h))).collect();
        for turn in [false, true] {
            let laid = shelves(stock, &pieces, turn).expect("every piece fits");
            let mut seen: Vec<usize> = laid.iter().map(|l| l.piece).collect();
            seen.sort_unstable();
            assert_eq!(seen, (0..pieces.len()).collect::<Vec<_>>());
            let edges = |l: &Laid| {
                let (x, y) = (l.x.value() * 1e3, l.y.value() * 1e3);
                (x, y, x + l.size.0.value() * 1e3, y + l.size.1.value() * 1e3)
            };
            for (n, one) in laid.iter().enumerate() {
                let (x, y, right, top) = edges(one);
                assert!(x > 4.999 && y > 4.999 && right < 595.001 && top < 395.001, "{one:?}");
                for other in laid.iter().skip(n + 1).filter(|o| o.sheet == one.sheet) {
                    let (a, b, c, d) = edges(other);
                    let apart = a > right + 2.999 || x > c + 2.999 || b > top + 2.999 || y > d + 2.999;
                    assert!(apart, "{one:?} {other:?}");
                }
            }
        }
        // By hand: four squares of 142 mm with 3 mm between are 577 mm of 590 mm, two rows of them 287 mm of 390 mm.
        let squares = [(mm(142.0), mm(142.0)); 8];
        let sheets = |n: usize| shelves(stock, &squares[..n], true).expect("fit").last().expect("one").sheet + 1;
        assert_eq!(sheets(8), 1);
        assert_eq!(shelves(stock, &[(mm(142.0), mm(142.0)); 9], true).expect("fit").last().expect("one").sheet, 1);
        assert_eq!(shelves(stock, &[(mm(595.0), mm(10.0))], true), None);
        assert_eq!(shelves(stock, &[(mm(10.0), mm(500.0))], false), None);
        assert!(shelves(stock, &[(mm(10.0), mm(500.0))], true).is_some());
    }
}
