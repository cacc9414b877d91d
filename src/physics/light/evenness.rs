//! Evenness of the lit sheet: illuminance on a grid of points from every die, blurred by the sheet, and its measures.
//! Light thrown back by the walls is taken as even and comes from `cavity`.

use std::f64::consts::PI;

use super::beam::Source;
use crate::quantity::{Lux, Metres};

/// A grid of cells over the sheet; values are taken in the middle of each.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grid {
    /// Left edge.
    pub left: Metres,
    /// Lower edge.
    pub bottom: Metres,
    /// Width and height of a cell.
    pub cell: (Metres, Metres),
    /// Cells across.
    pub columns: usize,
    /// Cells up.
    pub rows: usize,
}

impl Grid {
    /// A grid around the middle.
    pub fn centred(width: Metres, height: Metres, columns: usize, rows: usize) -> Self {
        let cell = (width / columns.max(1) as f64, height / rows.max(1) as f64);
        Self { left: -width / 2.0, bottom: -height / 2.0, cell, columns, rows }
    }
    /// Middle of a column.
    pub fn x(&self, column: usize) -> Metres {
        self.left + self.cell.0 * (column as f64 + 0.5)
    }
    /// Middle of a row.
    pub fn y(&self, row: usize) -> Metres {
        self.bottom + self.cell.1 * (row as f64 + 0.5)
    }
}

/// The cells of a grid that count, as runs of neighbours in a row.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    runs: Vec<std::ops::Range<usize>>,
}

impl Seen {
    /// The cells whose middle `visible` holds for.
    pub fn of(grid: &Grid, visible: impl Fn(Metres, Metres) -> bool) -> Self {
        let mut runs = Vec::new();
        for row in 0..grid.rows {
            let (y, from) = (grid.y(row), row * grid.columns);
            let mut open: Option<usize> = None;
            for column in 0..=grid.columns {
                let inside = column < grid.columns && visible(grid.x(column), y);
                match (open, inside) {
                    (None, true) => open = Some(from + column),
                    (Some(start), false) => {
                        runs.push(start..from + column);
                        open = None;
                    }
                    _ => {}
                }
            }
        }
        Self { runs }
    }
}

/// Illuminance over the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Map {
    /// Where the values are.
    pub grid: Grid,
    /// Row by row from the bottom.
    values: Vec<f64>,
}

/// Points of the table of a beam that is no whole power.
const POINTS: usize = 4096;

/// How (h²/(r² + h²))^k is found quickly over many points.
enum Falloff {
    /// k whole or half: products and one root. Twice k.
    Halves(u32),
    /// Values and slopes by r² on even steps, Hermite between: 5e-7 for usual sheets.
    Table(Vec<(f64, f64)>, f64),
}

impl Falloff {
    fn new(power: f64, h2: f64, farthest: f64) -> Self {
        let twice = libm::round(power * 2.0);
        if (power * 2.0 - twice).abs() < 1e-12 && (1.0..=64.0).contains(&twice) {
            return Self::Halves(twice as u32);
        }
        let step = farthest / (POINTS - 1) as f64;
        let value = |i: usize| {
            let q = h2 / (step * i as f64 + h2);
            let value = libm::pow(q, power);
            (value, -power * value * q / h2 * step)
        };
        Self::Table((0..=POINTS).map(value).collect(), step)
    }

    fn add_row(&self, out: &mut [f64], xs: &[f64], dy2: f64, h2: f64, amplitude: f64) {
        match self {
            // A bare die is the usual one, and needs neither root nor loop.
            Self::Halves(4) => {
                for (value, dx) in out.iter_mut().zip(xs) {
                    let q = h2 / (dx * dx + dy2 + h2);
                    *value += amplitude * q * q;
                }
            }
            Self::Halves(twice) => {
                for (value, dx) in out.iter_mut().zip(xs) {
                    let q = h2 / (dx * dx + dy2 + h2);
                    *value += amplitude * halves(q, *twice);
                }
            }
            Self::Table(table, step) => {
                for (value, dx) in out.iter_mut().zip(xs) {
                    *value += amplitude * hermite(table, (dx * dx + dy2) / step);
                }
            }
        }
    }
}

/// q^(twice/2).
fn halves(q: f64, twice: u32) -> f64 {
    let (mut power, mut base, mut left) = (if twice % 2 == 1 { q.sqrt() } else { 1.0 }, q, twice / 2);
    while left > 0 {
        if left % 2 == 1 {
            power *= base;
        }
        base *= base;
        left /= 2;
    }
    power
}

fn hermite(table: &[(f64, f64)], at: f64) -> f64 {
    let i = (at as usize).min(table.len().saturating_sub(2));
    let t = at - i as f64;
    match table.get(i..i + 2) {
        Some(&[(a, sa), (b, sb)]) => {
            let (u, d) = (1.0 - t, b - a);
            u * a + t * b + t * u * (u * (sa - d) + t * (d - sb))
        }
        _ => 0.0,
    }
}

/// Direct illuminance on every cell of a sheet at `distance`: [`super::beam::illuminance`], made quick for many points.
pub fn direct(sources: &[Source], distance: Metres, grid: Grid) -> Map {
    let h2 = distance.value() * distance.value();
    let mut values = vec![0.0; grid.columns * grid.rows];
    for source in sources {
        let xs: Vec<f64> = (0..grid.columns).map(|c| (grid.x(c) - source.x).value()).collect();
        let ys: Vec<f64> = (0..grid.rows).map(|r| (grid.y(r) - source.y).value()).collect();
        let widest = |v: &[f64]| v.iter().fold(0.0_f64, |m, d| m.max(d.abs()));
        let (wx, wy) = (widest(&xs), widest(&ys));
        let falloff = Falloff::new((source.exponent + 3.0) / 2.0, h2, (wx * wx + wy * wy).max(h2));
        let amplitude = (source.exponent + 1.0) * source.flux.value() / (2.0 * PI * h2);
        for (row, dy) in values.chunks_mut(grid.columns.max(1)).zip(ys) {
            falloff.add_row(row, &xs, dy * dy, h2, amplitude);
        }
    }
    Map { grid, values }
}

impl Map {
    /// Value of a cell; zero outside.
    pub fn at(&self, column: usize, row: usize) -> Lux {
        let inside = column < self.grid.columns;
        Lux::si(self.values.get(row * self.grid.columns + column).copied().filter(|_| inside).unwrap_or(0.0))
    }

    /// The same light with even light added, as from walls.
    #[must_use]
    pub fn plus_even(mut self, even: Lux) -> Self {
        self.values.iter_mut().for_each(|v| *v += even.value());
        self
    }

    /// What the outer face of a scattering sheet shows: deviations from the mean over one pitch shrunk to `kept`. Nearer
    /// to an edge than half a pitch the mean is over what lies evenly on both sides.
    #[must_use]
    pub fn blurred(mut self, pitch: Metres, kept: f64) -> Self {
        let half = |cell: Metres| libm::round(pitch / cell / 2.0).max(0.0) as usize;
        let (across, up) = (half(self.grid.cell.0), half(self.grid.cell.1));
        let sums = self.summed();
        let width = self.grid.columns + 1;
        let columns = self.grid.columns;
        // The window is never one-sided: at an edge it would take the brighter inside for the mean, and lift the edge.
        let within = |half: usize, c: usize, count: usize| half.min(c).min(count - 1 - c);
        let reach = |c: usize| {
            let half = within(across, c, columns);
            (c - half, c + half + 1)
        };
        let reaches: Vec<(usize, usize)> = (0..columns).map(reach).collect();
        let count = self.grid.rows;
        for (r, row) in self.values.chunks_mut(columns.max(1)).enumerate() {
            let half = within(up, r, count);
            let (low, high) = (r - half, r + half + 1);
            let (below, above) = (sums.get(low * width..), sums.get(high * width..));
            let (Some(below), Some(above)) = (below, above) else { continue };
            let rows: Vec<f64> = above.iter().zip(below).take(width).map(|(a, b)| a - b).collect();
            for (value, &(left, right)) in row.iter_mut().zip(&reaches) {
                let sum = rows.get(right).copied().unwrap_or(0.0) - rows.get(left).copied().unwrap_or(0.0);
                let mean = sum / ((high - low) * (right - left)) as f64;
                *value = mean + kept * (*value - mean);
            }
        }
        self
    }

    /// Sums of all cells to the left and below, with a border of zeros.
    fn summed(&self) -> Vec<f64> {
        let width = self.grid.columns + 1;
        let mut sums = vec![0.0; width * (self.grid.rows + 1)];
        for (r, row) in self.values.chunks(self.grid.columns.max(1)).enumerate() {
            let mut run = 0.0;
            for (c, value) in row.iter().enumerate() {
                run += value;
                let below = sums.get(r * width + c + 1).copied().unwrap_or(0.0);
                if let Some(sum) = sums.get_mut((r + 1) * width + c + 1) {
                    *sum = below + run;
                }
            }
        }
        sums
    }

    /// Adds the light of another map of the same cells.
    pub fn add(&mut self, other: &Self) {
        self.values.iter_mut().zip(&other.values).for_each(|(v, more)| *v += more);
    }

    /// Measures over these cells; `None` where there is no light on any.
    pub fn measures(&self, seen: &Seen) -> Option<Measures> {
        let (mut least, mut most, mut sum, mut count) = (f64::INFINITY, 0.0_f64, 0.0, 0_usize);
        for run in &seen.runs {
            let Some(row) = self.values.get(run.clone()) else { continue };
            for &value in row {
                // No value is not a number: the plain comparison is the quick one.
                least = if value < least { value } else { least };
                most = if value > most { value } else { most };
                sum += value;
            }
            count += row.len();
        }
        let mean = sum / count.max(1) as f64;
        (mean > 0.0).then(|| Measures { least: Lux::si(least), most: Lux::si(most), mean: Lux::si(mean) })
    }
}

/// Least, most and mean illuminance of a map.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measures {
    /// Least.
    pub least: Lux,
    /// Most.
    pub most: Lux,
    /// Mean.
    pub mean: Lux,
}

impl Measures {
    /// U₀ = least/mean.
    pub fn least_by_mean(&self) -> f64 {
        self.least / self.mean
    }
    /// U₁ = least/most.
    pub fn least_by_most(&self) -> f64 {
        self.least / self.most
    }
    /// (most − least)/(most + least).
    pub fn contrast(&self) -> f64 {
        (self.most - self.least) / (self.most + self.least)
    }
    /// most/mean: how far the brightest spot stands out.
    pub fn hot_spot(&self) -> f64 {
        self.most / self.mean
    }
}

#[cfg(test)]
mod tests {
    use super::super::beam::illuminance;
    use super::*;
    use crate::quantity::Lumens;

    fn mm(v: f64) -> Metres {
        Metres::si(v * 1e-3)
    }

    #[test]
    fn quick_maps_are_the_plain_sum() {
        for exponent in [1.0, 2.0, 4.8188, 11.14] {
            let die = |x, y| Source { x: mm(x), y: mm(y), flux: Lumens::si(50.0), exponent };
            let dice = [die(-12.0, 3.0), die(20.0, -7.0)];
            let map = direct(&dice, mm(25.0), Grid::centred(mm(120.0), mm(80.0), 31, 21));
            for (c, r) in [(0, 0), (15, 10), (30, 20), (7, 16)] {
                let plain = illuminance(&dice, mm(25.0), map.grid.x(c), map.grid.y(r));
                assert!((map.at(c, r) / plain - 1.0).abs() < 1e-6, "{exponent} at {c}, {r}");
            }
        }
    }

    #[test]
    fn blur_leaves_an_edge_as_dark_as_it_is() {
        // A slope has no pattern to blur, out to its ends.
        let grid = Grid::centred(mm(90.0), mm(30.0), 90, 30);
        let values: Vec<f64> = (0..90 * 30).map(|i| 100.0 + f64::from(i % 90) * 2.0 + f64::from(i / 90)).collect();
        let slope = Map { grid, values };
        let soft = slope.clone().blurred(mm(25.0), 0.3);
        for (sharp, shown) in slope.values.iter().zip(&soft.values) {
            assert!((sharp - shown).abs() < 1e-9, "{sharp} {shown}");
        }
    }

    #[test]
    fn blur_keeps_the_mean_and_shrinks_the_rest() {
        let die = |x| Source { x: mm(x), y: Metres::ZERO, flux: Lumens::si(10.0), exponent: 1.0 };
        let dice: Vec<Source> = (-20..=20).map(|i| die(f64::from(i) * 20.0)).collect();
        let sharp = direct(&dice, mm(8.0), Grid::centred(mm(200.0), mm(1.0), 400, 1));
        let soft = sharp.clone().blurred(mm(20.0), 0.25);
        let inner = |x: Metres, _: Metres| x.abs() < mm(60.0);
        let seen = Seen::of(&sharp.grid, inner);
        let (a, b) = (sharp.measures(&seen).unwrap(), soft.measures(&seen).unwrap());
        assert!((a.mean / b.mean - 1.0).abs() < 2e-3);
        let shrunk = (b.most - b.least) / (a.most - a.least);
        assert!((shrunk - 0.25).abs() < 0.02, "{shrunk}");
    }
}
