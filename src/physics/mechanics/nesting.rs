//! How many discs a sheet gives, with a gap between them and a margin at its edge, and what no layout exceeds.
//! Regular layouts only; the upper bound tells how much a cleverer one could win.

use crate::quantity::{Metres, SquareMetres};

/// A sheet to cut from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stock {
    /// Width, W.
    pub width: Metres,
    /// Height, H.
    pub height: Metres,
    /// Gap between parts, g.
    pub gap: Metres,
    /// Strip along the edge that is not used, m.
    pub margin: Metres,
}

/// Counts of discs by layout.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DiscCounts {
    /// Rows and columns.
    pub grid: usize,
    /// Staggered rows along the width.
    pub staggered_along: usize,
    /// Staggered rows along the height.
    pub staggered_across: usize,
    /// Staggered and aligned rows mixed, the better of both ways.
    pub mixed: usize,
    /// What no layout exceeds (Oler's inequality).
    pub bound: usize,
}

impl DiscCounts {
    /// The best of the layouts.
    pub fn best(&self) -> usize {
        self.grid.max(self.staggered_along).max(self.staggered_across).max(self.mixed)
    }
}

/// ⌊x⌋ that forgives rounding: ten discs of 0.1 m fit on a metre.
pub(super) fn whole(x: f64) -> usize {
    if x > 0.0 { libm::floor(x + 1e-9) as usize } else { 0 }
}

/// Height of a staggered row in pitches.
pub(super) const ROW: f64 = 0.866_025_403_784_438_6;

/// Most discs of diameter d on a sheet, by regular layouts, in units of the pitch d + g:
/// grid; staggered; and staggered rows with some aligned ones between, which wins where a row is left over.
pub fn discs(stock: Stock, diameter: Metres) -> DiscCounts {
    let pitch = diameter + stock.gap;
    let (w, h) = (
        (stock.width - stock.margin * 2.0 + stock.gap) / pitch,
        (stock.height - stock.margin * 2.0 + stock.gap) / pitch,
    );
    if w < 1.0 - 1e-9 || h < 1.0 - 1e-9 {
        return DiscCounts { grid: 0, staggered_along: 0, staggered_across: 0, mixed: 0, bound: 0 };
    }
    DiscCounts {
        grid: whole(w) * whole(h),
        staggered_along: staggered(w, h),
        staggered_across: staggered(h, w),
        mixed: mixed(w, h).max(mixed(h, w)),
        bound: oler(w - 1.0, h - 1.0),
    }
}

fn staggered(w: f64, h: f64) -> usize {
    let rows = 1 + whole((h - 1.0) / ROW);
    whole(w) * rows.div_ceil(2) + whole(w - 0.5) * (rows / 2)
}

/// The best number of staggered steps; the height left is filled with aligned rows.
fn mixed(w: f64, h: f64) -> usize {
    let (full, offset) = (whole(w), whole(w - 0.5));
    let steps = whole((h - 1.0) / ROW);
    let count = |staggered: usize| {
        let aligned = whole(h - 1.0 - staggered as f64 * ROW);
        full * ((staggered + 1).div_ceil(2) + aligned) + offset * staggered.div_ceil(2)
    };
    (0..=steps).map(count).max().unwrap_or(0)
}

/// N ≤ ⌊(2/√3) A' + P'/2 + 1⌋ for the rectangle of centres, in pitches (Oler 1961).
fn oler(w: f64, h: f64) -> usize {
    whole(2.0 / libm::sqrt(3.0) * w * h + (w + h) + 1.0)
}

/// Pieces of any outline that no layout exceeds: N ≤ ⌊(W − 2m + g)(H − 2m + g)/A⌋ with A the area of the outline grown
/// by half of the gap. Grown outlines do not overlap and lie in the used sheet grown as much.
pub fn by_area(stock: Stock, grown: SquareMetres) -> usize {
    let side = |size: Metres| (size - stock.margin * 2.0 + stock.gap).max(Metres::ZERO);
    whole((side(stock.width) * side(stock.height)) / grown)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::conductors::mm;

    fn square_of(side: f64) -> Stock {
        Stock { width: mm(side), height: mm(side), gap: Metres::ZERO, margin: Metres::ZERO }
    }

    #[test]
    fn coins_on_a_square_are_the_published_counts() {
        // Coins of diameter 1 on n by n: grid, best regular. 8: 68; 10: 105 staggered, 106 mixed; 4: grid 16; 7: 49.
        for (side, grid, staggered, best) in
            [(4.0, 16, 14, 16), (7.0, 49, 46, 49), (8.0, 64, 68, 68), (10.0, 100, 105, 106)]
        {
            let counts = discs(square_of(side), mm(1.0));
            assert_eq!((counts.grid, counts.staggered_along, counts.best()), (grid, staggered, best), "{side}");
            assert!(counts.best() <= counts.bound);
        }
    }

    #[test]
    fn a_disc_too_large_gives_none() {
        let counts = discs(square_of(10.0), mm(10.1));
        assert_eq!((counts.best(), counts.bound), (0, 0));
        assert_eq!(discs(square_of(10.0), mm(10.0)).best(), 1);
    }
}
