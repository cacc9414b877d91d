//! Levels of channels for a colour: the most flux of it, or a wished flux at least power, under limits and a supply cap.
//! A linear programme of up to eight unknowns, solved exactly by looking at every vertex.

use super::chromaticity::{Chromaticity, Tristimulus};
use crate::quantity::{Lumens, Watts};

/// Most channels that are solved: 2900 small systems then.
pub const MOST_CHANNELS: usize = 8;
/// Flux below which a mix is darkness.
const DARK: f64 = 1e-9;
/// Levels this far outside 0 to 1 are put to the bound.
const SLACK: f64 = 1e-9;
/// Smallest pivot of a system that counts as solvable.
const PIVOT: f64 = 1e-13;
/// A right side of an equation without unknowns, each scaled to 1, that still counts as nothing.
const SAME: f64 = 1e-6;
/// Smallest minor of the two colour equations, each scaled to 1, that count as two.
const TWO: f64 = 1e-9;

/// One channel at full.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Channel {
    /// Its light at full, hot.
    pub light: Tristimulus,
    /// What it draws at full.
    pub power: Watts,
    /// Highest level it may have, 0 to 1.
    pub most: f64,
    /// Cannot be dimmed: always at `most`.
    pub fixed: bool,
}

/// How much light is wanted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Amount {
    /// As much as can be.
    Most,
    /// This flux, at the least power.
    Flux(Lumens),
}

/// Levels of a mix.
#[derive(Debug, Clone, PartialEq)]
pub struct Mix {
    /// Level of each channel, 0 to 1.
    pub levels: Vec<f64>,
    /// Flux of the mix.
    pub flux: Lumens,
    /// What the channels draw.
    pub power: Watts,
}

/// Why there is no mix.
#[derive(Debug, Clone, PartialEq)]
pub enum Unmixed {
    /// More than eight channels.
    TooMany,
    /// No levels but darkness give this colour.
    Colour,
    /// The colour can be mixed, but not with this flux; the most of it.
    Flux(Mix),
}

/// Levels for a colour; `cap` is the most the channels may draw together.
///
/// Σ d (X − x S) = 0, Σ d (Y − y S) = 0, 0 ≤ d ≤ most, Σ d P ≤ cap; most Σ d Y, or Σ d Y given and least Σ d P.
///
/// # Errors
/// [`Unmixed`]. A colour outside the gamut gives `Colour`: ask for the nearest in it ([`super::gamut`]).
pub fn levels(channels: &[Channel], at: Chromaticity, amount: Amount, cap: Option<Watts>) -> Result<Mix, Unmixed> {
    if channels.len() > MOST_CHANNELS {
        return Err(Unmixed::TooMany);
    }
    let problem = Problem::new(channels, at, cap);
    let most = || problem.best(None).filter(|mix| mix.flux.value() >= DARK).ok_or(Unmixed::Colour);
    match amount {
        Amount::Most => most(),
        Amount::Flux(flux) => match problem.best(Some(flux)) {
            Some(mix) => Ok(mix),
            None => Err(Unmixed::Flux(most()?)),
        },
    }
}

/// One equality Σ a d = b over the dimmable channels.
#[derive(Debug, Clone)]
struct Row {
    a: Vec<f64>,
    b: f64,
}

impl Row {
    /// Divided by the largest coefficient. Where all are nothing by `scale` it says nothing, if its right side is nothing
    /// too; else no levels keep it.
    fn scaled(mut self, scale: f64) -> Scaled {
        let largest = self.a.iter().fold(0.0_f64, |m, v| m.max(v.abs()));
        if largest <= TWO * scale {
            return if self.b.abs() <= SAME * scale { Scaled::Empty } else { Scaled::Impossible };
        }
        self.a.iter_mut().for_each(|v| *v /= largest);
        self.b /= largest;
        Scaled::Row(self)
    }
}

/// What is left of an equation.
#[derive(Debug, Clone)]
enum Scaled {
    /// 0 = 0.
    Empty,
    /// 0 = something.
    Impossible,
    Row(Row),
}

struct Problem<'a> {
    channels: &'a [Channel],
    /// Indices of the channels that can be dimmed.
    free: Vec<usize>,
    /// The colour equations; none where no levels keep them.
    colour: Option<Vec<Row>>,
    cap: Option<Watts>,
}

impl<'a> Problem<'a> {
    fn new(channels: &'a [Channel], at: Chromaticity, cap: Option<Watts>) -> Self {
        let free = channels.iter().enumerate().filter(|(_, c)| !c.fixed).map(|(i, _)| i).collect();
        let mut problem = Self { channels, free, colour: None, cap };
        let scale = channels.iter().map(|c| c.light.sum()).fold(0.0, f64::max);
        let x = problem.row(|c| c.light.x.value() - at.x * c.light.sum(), 0.0).scaled(scale);
        let y = problem.row(|c| c.light.y.value() - at.y * c.light.sum(), 0.0).scaled(scale);
        problem.colour = independent(x, y);
        problem
    }

    /// Σ f(channel) d = `b`, with the fixed channels on the right.
    fn row(&self, f: impl Fn(&Channel) -> f64, b: f64) -> Row {
        let fixed: f64 = self.channels.iter().filter(|c| c.fixed).map(|c| f(c) * c.most).sum();
        let a = self.free.iter().filter_map(|&i| self.channels.get(i)).map(|c| f(c) * c.most).collect();
        Row { a, b: b - fixed }
    }

    /// The best vertex; with a flux the one of least power, else that of most flux.
    fn best(&self, flux: Option<Lumens>) -> Option<Mix> {
        let mut rows = self.colour.clone()?;
        if let Some(flux) = flux {
            match self.row(|c| c.light.y.value(), flux.value()).scaled(flux.value()) {
                Scaled::Row(row) => rows.push(row),
                // Nothing can be dimmed, and what there is gives just this.
                Scaled::Empty => {}
                Scaled::Impossible => return None,
            }
        }
        let mut mixes = self.vertices(&rows);
        if let Some(cap) = self.cap {
            // Where nothing can be dimmed, whether the cap is kept shows at the one vertex.
            if let Scaled::Row(row) = self.row(|c| c.power.value(), cap.value()).scaled(0.0) {
                rows.push(row);
                mixes.extend(self.vertices(&rows));
            }
        }
        let rounded = |v: f64| libm::round(v * 1e9);
        let key = |m: &Mix| {
            let (f, p) = (rounded(-m.flux.value()), rounded(m.power.value()));
            let first = if flux.is_some() { [p, f] } else { [f, p] };
            first.into_iter().chain(m.levels.iter().map(|d| rounded(*d))).collect::<Vec<f64>>()
        };
        mixes.into_iter().min_by(|a, b| {
            let (a, b) = (key(a), key(b));
            a.iter().zip(&b).map(|(x, y)| x.total_cmp(y)).find(|o| o.is_ne()).unwrap_or(std::cmp::Ordering::Equal)
        })
    }

    /// Every basic solution within the bounds: as many channels between them as there are rows, the others at 0 or 1.
    fn vertices(&self, rows: &[Row]) -> Vec<Mix> {
        let n = self.free.len();
        let mut found = Vec::new();
        for basis in (0..1_u32 << n).filter(|b| b.count_ones() as usize == rows.len()) {
            // Every assignment of the others: subsets of the complement.
            let others = !basis & ((1 << n) - 1);
            let mut full = others;
            loop {
                found.extend(self.vertex(rows, basis, full));
                if full == 0 {
                    break;
                }
                full = (full - 1) & others;
            }
        }
        found
    }

    fn vertex(&self, rows: &[Row], basis: u32, full: u32) -> Option<Mix> {
        let columns: Vec<usize> = (0..self.free.len()).filter(|i| basis >> i & 1 == 1).collect();
        let mut system: Vec<Vec<f64>> = rows
            .iter()
            .map(|row| {
                let at_full: f64 = row.a.iter().enumerate().filter(|(i, _)| full >> i & 1 == 1).map(|(_, a)| a).sum();
                let mut line: Vec<f64> = columns.iter().filter_map(|&c| row.a.get(c).copied()).collect();
                line.push(row.b - at_full);
                line
            })
            .collect();
        let solved = gauss_jordan(&mut system)?;
        if solved.iter().any(|d| !(-SLACK..=1.0 + SLACK).contains(d)) {
            return None;
        }
        let mut level: Vec<f64> = self.channels.iter().map(|c| c.most).collect();
        for (place, &channel) in self.free.iter().enumerate() {
            let at = columns.iter().position(|c| *c == place).and_then(|k| solved.get(k).copied());
            let share = at.unwrap_or(if full >> place & 1 == 1 { 1.0 } else { 0.0 });
            if let Some(level) = level.get_mut(channel) {
                *level *= share.clamp(0.0, 1.0);
            }
        }
        let mix = mix(self.channels, level);
        let allowed = self.cap.is_none_or(|cap| mix.power.value() <= cap.value() * (1.0 + SLACK));
        allowed.then_some(mix)
    }
}

fn mix(channels: &[Channel], levels: Vec<f64>) -> Mix {
    let flux = channels.iter().zip(&levels).map(|(c, d)| c.light.y * *d).sum();
    let power = channels.iter().zip(&levels).map(|(c, d)| c.power * *d).sum();
    Mix { levels, flux, power }
}

/// The colour equations that say something: for channels on one line through the target both say the same. `None` where
/// they contradict each other, or what cannot be dimmed contradicts them.
fn independent(x: Scaled, y: Scaled) -> Option<Vec<Row>> {
    Some(match (x, y) {
        (Scaled::Impossible, _) | (_, Scaled::Impossible) => return None,
        (Scaled::Row(x), Scaled::Row(y)) => {
            let minor = (0..x.a.len())
                .flat_map(|i| (0..i).map(move |j| (i, j)))
                .filter_map(|(i, j)| Some((x.a.get(i)? * y.a.get(j)? - x.a.get(j)? * y.a.get(i)?).abs()));
            let two = minor.fold(0.0, f64::max) > TWO;
            let sum = |row: &Row| row.a.iter().map(|v| v.abs()).sum::<f64>();
            if two {
                vec![x, y]
            } else {
                let (kept, other) = if sum(&x) >= sum(&y) { (x, y) } else { (y, x) };
                // Along one line the right sides must stand to each other as the left sides do.
                let by = kept.a.iter().zip(&other.a).max_by(|p, q| p.0.abs().total_cmp(&q.0.abs()));
                let ratio = by.map_or(0.0, |(k, o)| o / k);
                if (other.b - ratio * kept.b).abs() > SAME {
                    return None;
                }
                vec![kept]
            }
        }
        (Scaled::Row(row), Scaled::Empty) | (Scaled::Empty, Scaled::Row(row)) => vec![row],
        (Scaled::Empty, Scaled::Empty) => Vec::new(),
    })
}

/// Solution of a square system with its right-hand side as the last column; `None` where a pivot is too small.
fn gauss_jordan(system: &mut [Vec<f64>]) -> Option<Vec<f64>> {
    let size = system.len();
    for step in 0..size {
        let pivot = (step..size).max_by(|a, b| {
            let at = |r: usize| system.get(r).and_then(|l| l.get(step)).map_or(0.0, |v| v.abs());
            at(*a).total_cmp(&at(*b))
        })?;
        system.swap(step, pivot);
        let head = system.get(step)?.clone();
        let by = *head.get(step)?;
        if by.abs() < PIVOT {
            return None;
        }
        for (row, line) in system.iter_mut().enumerate() {
            let factor = if row == step { 0.0 } else { *line.get(step)? / by };
            line.iter_mut().zip(&head).for_each(|(v, h)| *v -= factor * h);
        }
    }
    system.iter().enumerate().map(|(i, line)| Some(line.last()? / line.get(i)?)).collect()
}

/// The light of channels at these levels.
pub fn light(channels: &[Channel], levels: &[f64]) -> Tristimulus {
    channels.iter().zip(levels).fold(Tristimulus::ZERO, |sum, (c, d)| sum.plus(&c.light.times(*d)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn channel(x: f64, y: f64, flux: f64, power: f64) -> Channel {
        let light = Tristimulus::of(Chromaticity { x, y }, Lumens::si(flux));
        Channel { light, power: Watts::si(power), most: 1.0, fixed: false }
    }

    #[test]
    fn a_single_channel_gives_its_own_colour_only() {
        let one = [channel(0.45, 0.41, 100.0, 1.0)];
        let own = levels(&one, Chromaticity { x: 0.45, y: 0.41 }, Amount::Most, None).unwrap();
        assert_eq!(own.levels, [1.0]);
        assert_eq!(levels(&one, Chromaticity { x: 0.4, y: 0.4 }, Amount::Most, None), Err(Unmixed::Colour));
        let half = levels(&one, Chromaticity { x: 0.45, y: 0.41 }, Amount::Flux(Lumens::si(50.0)), None).unwrap();
        assert!((half.levels[0] - 0.5).abs() < 1e-12);
    }

    #[test]
    fn limits_and_fixed_channels_are_kept() {
        let mut pair = [channel(0.46, 0.41, 100.0, 1.0), channel(0.32, 0.33, 100.0, 1.0)];
        let middle = light(&pair, &[1.0, 1.0]).chromaticity().unwrap();
        pair[0].most = 0.5;
        let mix = levels(&pair, middle, Amount::Most, None).unwrap();
        assert!((mix.levels[0] - 0.5).abs() < 1e-9 && (mix.levels[1] - 0.5).abs() < 1e-9);
        pair[0].fixed = true;
        let dim = levels(&pair, middle, Amount::Flux(Lumens::si(20.0)), None);
        assert!(matches!(dim, Err(Unmixed::Flux(most)) if (most.flux.value() - 100.0).abs() < 1e-6));
    }

    #[test]
    fn what_cannot_be_dimmed_mixes_one_colour() {
        let mut pair = [channel(0.46, 0.41, 100.0, 1.0), channel(0.32, 0.33, 100.0, 1.0)];
        pair.iter_mut().for_each(|c| c.fixed = true);
        let own = light(&pair, &[1.0, 1.0]).chromaticity().unwrap();
        let whole = levels(&pair, own, Amount::Most, None).unwrap();
        assert_eq!((whole.levels.as_slice(), whole.flux), (&[1.0, 1.0][..], Lumens::si(200.0)));
        for other in [Chromaticity { x: 0.4, y: 0.4 }, Chromaticity { x: own.x + 1e-3, y: own.y }] {
            assert_eq!(levels(&pair, other, Amount::Most, None), Err(Unmixed::Colour), "{other:?}");
        }
        assert!(levels(&pair, own, Amount::Flux(Lumens::si(200.0)), None).is_ok());
        let less = levels(&pair, own, Amount::Flux(Lumens::si(150.0)), None);
        assert!(matches!(less, Err(Unmixed::Flux(most)) if most.flux == Lumens::si(200.0)));
        assert_eq!(levels(&pair, own, Amount::Most, Some(Watts::si(1.5))), Err(Unmixed::Colour));
        // One fixed, one free: only colours on their line, and there only one.
        pair[1].fixed = false;
        assert!(levels(&pair, own, Amount::Most, None).is_ok());
        let off = Chromaticity { x: own.x, y: own.y + 2e-3 };
        assert_eq!(levels(&pair, off, Amount::Most, None), Err(Unmixed::Colour));
    }

    #[test]
    fn eight_channels_are_mixed_and_nine_are_too_many() {
        let nine = [channel(0.4, 0.4, 1.0, 1.0); 9];
        let eight = levels(&nine[..8], Chromaticity { x: 0.4, y: 0.4 }, Amount::Most, None).unwrap();
        assert!((eight.flux.value() - 8.0).abs() < 1e-9);
        assert_eq!(levels(&nine, Chromaticity { x: 0.4, y: 0.4 }, Amount::Most, None), Err(Unmixed::TooMany));
    }
}
