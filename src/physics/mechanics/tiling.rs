//! A drawing at full size over several sheets of paper: how many, which way round, and the check of the scale.
//! Tiles overlap so that their crosses can be laid on one another.

use crate::quantity::Metres;

/// A sheet of paper, upright.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Page {
    /// Name of the size.
    pub name: &'static str,
    /// Width upright.
    pub width: Metres,
    /// Height upright.
    pub height: Metres,
    /// Where it stands.
    pub source: &'static str,
}

const fn page(name: &'static str, width: f64, height: f64, source: &'static str) -> Page {
    Page { name, width: Metres::si(width * 1e-3), height: Metres::si(height * 1e-3), source }
}

/// Paper sizes of offices and copy shops.
pub const PAGES: [Page; 4] = [
    page("A4", 210.0, 297.0, "ISO 216"),
    page("A3", 297.0, 420.0, "ISO 216"),
    page("Letter", 215.9, 279.4, "ANSI Y14.1"),
    page("Tabloid", 279.4, 431.8, "ANSI Y14.1"),
];

/// The page of this name.
pub fn find(name: &str) -> Option<&'static Page> {
    PAGES.iter().find(|page| page.name == name)
}

/// Tiles of a drawing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tiling {
    /// Across.
    pub columns: usize,
    /// Down.
    pub rows: usize,
    /// Paper on its side.
    pub landscape: bool,
}

impl Tiling {
    /// Sheets in all.
    pub fn sheets(&self) -> usize {
        self.columns * self.rows
    }
}

/// Tiles along one axis: one when it fits, else ⌈(L − o)/(u − o)⌉; `None` when the overlap leaves nothing.
pub fn tiles(length: Metres, usable: Metres, overlap: Metres) -> Option<usize> {
    if length.value() <= usable.value() + 1e-9 {
        return Some(1);
    }
    let step = usable - overlap;
    (step.value() > 0.0).then(|| libm::ceil((length - overlap) / step - 1e-9) as usize)
}

/// Tiles of a drawing on this page one way round.
pub fn tiling_of(
    width: Metres,
    height: Metres,
    page: &Page,
    landscape: bool,
    margin: Metres,
    overlap: Metres,
) -> Option<Tiling> {
    let (w, h) = if landscape { (page.height, page.width) } else { (page.width, page.height) };
    let columns = tiles(width, w - margin * 2.0, overlap)?;
    let rows = tiles(height, h - margin * 2.0, overlap)?;
    Some(Tiling { columns, rows, landscape })
}

/// The way round with fewer sheets; upright when it makes no difference. `None` when margins and overlap leave nothing.
pub fn best_tiling(width: Metres, height: Metres, page: &Page, margin: Metres, overlap: Metres) -> Option<Tiling> {
    let upright = tiling_of(width, height, page, false, margin, overlap);
    let on_its_side = tiling_of(width, height, page, true, margin, overlap);
    match (upright, on_its_side) {
        (Some(a), Some(b)) => Some(if b.sheets() < a.sheets() { b } else { a }),
        (a, b) => a.or(b),
    }
}

/// Lower left corner of a tile on the drawing, counted from 0, and what it must still show.
pub fn tile_origin(column: usize, row: usize, usable: (Metres, Metres), overlap: Metres) -> (Metres, Metres) {
    ((usable.0 - overlap) * column as f64, (usable.1 - overlap) * row as f64)
}

/// Length of the bar printed along both axes.
pub const SCALE_BAR: Metres = Metres::si(0.1);
/// How far the printed bar may be off (our guideline).
pub const SCALE_BAR_TOLERANCE: Metres = Metres::si(0.0005);

/// By what to scale the print: drawn/measured; `None` when the bar is within its tolerance.
pub fn scale_correction(measured: Metres) -> Option<f64> {
    let off = (measured - SCALE_BAR).abs();
    (off.value() > SCALE_BAR_TOLERANCE.value() + 1e-12).then(|| SCALE_BAR / measured)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::conductors::mm;

    #[test]
    fn tiles_cover_the_drawing() {
        for length in [100.0, 190.0, 191.0, 370.0, 371.0, 1800.0] {
            let count = tiles(mm(length), mm(190.0), mm(10.0)).unwrap() as f64;
            let covered = 190.0 + (count - 1.0) * 180.0;
            assert!(covered >= length - 1e-9 && covered - length < 180.0 || count == 1.0, "{length}");
        }
        assert_eq!(tiles(mm(300.0), mm(10.0), mm(10.0)), None);
    }

    #[test]
    fn a_page_without_room_gives_nothing() {
        let a4 = find("A4").unwrap();
        assert_eq!(best_tiling(mm(300.0), mm(300.0), a4, mm(104.0), mm(10.0)), None);
        assert_eq!(find("B5"), None);
    }

    #[test]
    fn the_last_tile_starts_one_step_before_the_end() {
        let (x, y) = tile_origin(2, 1, (mm(190.0), mm(277.0)), mm(10.0));
        assert!((x - mm(360.0)).abs() < mm(1e-9) && (y - mm(267.0)).abs() < mm(1e-9));
    }

    #[test]
    fn a_bar_a_little_off_is_left_alone() {
        assert_eq!(scale_correction(mm(100.5)), None);
        assert!(scale_correction(mm(97.0)).is_some_and(|k| (k - 1.0309278).abs() < 1e-6));
    }
}
