//! Evenness of the lit sheet, per channel and all on: places of the dice, light thrown back by the box, blur of the sheet.
//! Turns places, beams and reflectances into a map and its measures.

use std::f64::consts::PI;

use crate::lamp::Lamp;
use crate::lamp::diffuser::Diffuser;
use crate::lamp::driver::Channel;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::physics::light::beam::{SOFT, Source, blur, distance_for, exponent, illuminance};
use crate::physics::light::cavity::{Cavity, usual_reflection};
use crate::physics::light::evenness::{Grid, Map, Measures, Seen, direct};
use crate::quantity::{Lumens, Lux, Metres, Ratio, SquareMetres};
use crate::schema::words::{OutlineKind, SheetMaterial};
use crate::solve::drive::{absent, by};

use super::Budget;

/// Evenness of the sheet; ledger entries under `light.even.`.
#[derive(Debug, Clone)]
pub struct Evenness {
    /// What can be seen of the sheet.
    pub visible: Visible,
    /// All channels on.
    pub all: Lit,
    /// Each channel alone.
    pub channels: Vec<Lit>,
    /// Distance of the sheet at which the dots would be soft, where there are dots in a grid.
    pub soft_at: Option<Metres>,
}

/// The sheet lit by some of the dice.
#[derive(Debug, Clone)]
pub struct Lit {
    /// The channel, or `all`.
    pub name: String,
    /// Light on the sheet, blurred as its outer face shows it.
    pub map: Map,
    /// Least, most and mean.
    pub measures: Measures,
    /// Contrast of a die's spot against the middle between it and its nearest neighbour, as the outer face shows it.
    pub dots: f64,
}

/// The part of the sheet that lights the room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Visible {
    /// Width.
    pub width: Metres,
    /// Height.
    pub height: Metres,
    /// Round or elliptic.
    pub round: bool,
    /// Diameter of an opening in its middle; zero for none.
    pub inner: Metres,
}

impl Visible {
    /// From the sheet's outline, less the lip that covers its edge.
    pub fn of(diffuser: &Diffuser) -> Found<Self> {
        let lip = diffuser.seat.as_ref().and_then(|seat| seat.lip.nominal().ok()).unwrap_or(Metres::ZERO) * 2.0;
        let outline = diffuser.outline.get()?;
        let inner = if outline == OutlineKind::Ring { diffuser.inner.nominal()? } else { Metres::ZERO };
        let (width, height, round) = match outline {
            OutlineKind::Disc | OutlineKind::Ring => (diffuser.diameter.nominal()?, diffuser.diameter.nominal()?, true),
            OutlineKind::Polygon => {
                // As wide as its inscribed circle; the corners are left out.
                let across = diffuser.diameter.nominal()? * libm::cos(PI / f64::from(diffuser.sides.get()?));
                (across, across, true)
            }
            OutlineKind::Ellipse => (diffuser.width.nominal()?, diffuser.height.nominal()?, true),
            OutlineKind::Path => {
                let (width, height) = crate::solve::sheet::path_size(diffuser)?;
                (width, height, false)
            }
            OutlineKind::RoundedRectangle => (diffuser.width.nominal()?, diffuser.height.nominal()?, false),
        };
        let left = |side: Metres| (side - lip).max(Metres::si(1e-3));
        Ok(Self { width: left(width), height: left(height), round, inner })
    }

    /// Whether a place is part of it.
    pub fn holds(&self, x: Metres, y: Metres) -> bool {
        let (a, b) = (x / (self.width / 2.0), y / (self.height / 2.0));
        let outside = if self.round { a * a + b * b > 1.0 } else { a.abs() > 1.0 || b.abs() > 1.0 };
        let (x, y, inner) = (x.value(), y.value(), self.inner.value() / 2.0);
        !outside && x * x + y * y >= inner * inner
    }

    /// Its area.
    pub fn area(&self) -> SquareMetres {
        let full = self.width * self.height * if self.round { PI / 4.0 } else { 1.0 };
        full - self.inner * self.inner * (PI / 4.0)
    }
}

/// Fewest and most cells along the longer side: the drawing takes 80, and more than 240 would show on no print.
const CELLS: (f64, f64) = (120.0, 240.0);
/// Cells by the distance of the sheet. The spot of a die is about as wide as that distance, so that the brightest and
/// the darkest place move by less than a thousandth.
const CELLS_BY_DISTANCE: f64 = 12.0;
const MODEL: &str = "direct light of points with a cosine-power beam, light thrown back by three even zones; blur of an \
     opal sheet by diffusion, which is less than measured; our models";

struct Box_<'a> {
    lamp: &'a Lamp,
    diffuser: &'a Diffuser,
    visible: Visible,
    distance: Metres,
    seen: Seen,
}

/// Maps of every channel and of all.
pub(super) fn solve(lamp: &Lamp, light: &Found<Budget>, ledger: &mut Ledger) -> Found<Evenness> {
    let diffuser = lamp.diffuser.as_ref().ok_or_else(|| absent("diffuser", lamp.enclosure.span))?;
    let visible = Visible::of(diffuser)?;
    let distance = lamp.emitter.distance.nominal()?;
    let grid = grid(&visible, distance);
    let seen = Seen::of(&grid, |x, y| visible.holds(x, y));
    let lit = Box_ { lamp, diffuser, visible, distance, seen };
    let budget = light.as_ref()?;
    let mut channels = Vec::new();
    let (mut everything, mut together) = (Vec::new(), None::<Map>);
    for channel in &lamp.driver.channels {
        let flux = budget.channels.iter().find(|(n, _)| *n == channel.name).map(|(_, flux)| *flux);
        let sources = lit.sources(channel, flux.ok_or_else(|| channel.feeds.missing())?)?;
        let sharp = direct(&sources, distance, grid);
        channels.push(lit.lit(&channel.name, &sources, sharp.clone())?);
        together = Some(together.map_or_else(|| sharp.clone(), |sum| sum.with(&sharp)));
        everything.extend(sources);
    }
    let together = together.ok_or_else(|| absent("light.even.all", lamp.emitter.span))?;
    let all = lit.lit("all", &everything, together)?;
    for one in channels.iter().chain([&all]) {
        enter(lamp, one, ledger);
    }
    let soft_at = lit.soft_at(&everything);
    if let Some(distance) = soft_at {
        let root =
            by("least h with 4·G((m+1)/2, 2πh/p)·blur ≤ 10 %", "Poisson sum of an endless grid; limit our scale");
        let inputs = [("p", lamp.emitter.pitch.path.as_str())];
        ledger.computed("light.even.soft-at", "distance of the sheet at which dots are soft", distance, root, &inputs);
        if let Ok(pitch) = lamp.emitter.pitch.nominal() {
            let same = by("p·h/h_soft", "the same pattern, scaled; the blur of the sheet taken as at the pitch given");
            let inputs = [
                ("p", lamp.emitter.pitch.path.as_str()),
                ("h", lamp.emitter.distance.path.as_str()),
                ("h_soft", "light.even.soft-at"),
            ];
            let title = "pitch up to which dots are soft at the distance given";
            ledger.computed("light.even.soft-pitch", title, pitch * (lit.distance / distance), same, &inputs);
        }
    }
    Ok(Evenness { visible, all, channels, soft_at })
}

fn grid(visible: &Visible, distance: Metres) -> Grid {
    let longer = visible.width.max(visible.height);
    let finest = (longer / distance * CELLS_BY_DISTANCE).clamp(CELLS.0, CELLS.1);
    let cells = |side: Metres| libm::ceil(side / longer * finest).max(9.0) as usize;
    Grid::centred(visible.width, visible.height, cells(visible.width), cells(visible.height))
}

fn enter(lamp: &Lamp, one: &Lit, ledger: &mut Ledger) {
    let path = |figure: &str| format!("light.even.{}.{figure}", one.name);
    let model = by("over the visible sheet, direct and thrown back", MODEL);
    let inputs = [
        ("h", lamp.emitter.distance.path.as_str()),
        ("ρ_wall", lamp.enclosure.reflectance.path.as_str()),
        ("ρ_board", lamp.emitter.reflectance.path.as_str()),
    ];
    let m = &one.measures;
    ledger.computed_share(
        path("least-by-most"),
        "darkest over brightest part of the sheet",
        m.least_by_most(),
        model,
        &inputs,
    );
    ledger.computed_share(path("least-by-mean"), "darkest part over the mean", m.least_by_mean(), model, &inputs);
    ledger.computed(path("hot-spot"), "brightest part over the mean", Ratio::si(m.hot_spot()), model, &inputs);
    ledger.computed_share(path("dots"), "contrast of the dice as dots", one.dots, model, &inputs);
}

impl Box_<'_> {
    /// The dice of a channel, each with its share of the light.
    fn sources(&self, channel: &Channel, flux: Lumens) -> Found<Vec<Source>> {
        let die = self.lamp.die(channel).ok_or_else(|| channel.feeds.missing())?;
        let count = die.count.get()? * channel.strings.get()?.max(1);
        let point =
            |v: &[Metres]| (v.first().copied().unwrap_or(Metres::ZERO), v.get(1).copied().unwrap_or(Metres::ZERO));
        let first = point(die.first.known()?);
        let none = (Metres::ZERO, Metres::ZERO);
        let step = if count > 1 { point(die.step.known()?) } else { none };
        let row = die.row.get().unwrap_or(count).max(1);
        let row_step = if count > row { point(die.row_step.known()?) } else { none };
        let exponent = exponent(die.beam.nominal()? / 2.0);
        let place = |k: u32| {
            let (along, up) = (f64::from(k % row), f64::from(k / row));
            (first.0 + step.0 * along + row_step.0 * up, first.1 + step.1 * along + row_step.1 * up)
        };
        let share = flux / f64::from(count);
        Ok((0..count).map(place).map(|(x, y)| Source { x, y, flux: share, exponent }).collect())
    }

    /// The sheet lit by these dice, `sharp` being their direct light.
    fn lit(&self, name: &str, sources: &[Source], sharp: Map) -> Found<Lit> {
        let dark = || absent(&format!("light.even.{name}"), self.lamp.emitter.span);
        let mean = sharp.measures(&self.seen).ok_or_else(dark)?.mean;
        let flux: Lumens = sources.iter().map(|s| s.flux).sum();
        let area = self.visible.area();
        let share = (mean * area / flux).min(1.0);
        let yielded = self.cavity(area)?.solve(share).ok_or_else(dark)?;
        let even = Lux::si(flux.value() * (yielded.on_sheet - share).max(0.0) / area.value());
        let pitch = pitch(sources);
        let kept = self.kept(pitch)?;
        let shown = sharp.plus_even(even);
        let shown = match pitch {
            Some(pitch) if kept < 1.0 => shown.blurred(pitch, kept),
            _ => shown,
        };
        let measures = shown.measures(&self.seen).ok_or_else(dark)?;
        let dots = self.dots(sources, even) * kept;
        Ok(Lit { name: name.to_owned(), map: shown, measures, dots })
    }

    /// The space between board and sheet; a round one as a square of its area.
    fn cavity(&self, area: SquareMetres) -> Found<Cavity> {
        let v = &self.visible;
        let side = Metres::si(libm::sqrt(area.value()));
        let (width, height) = if v.round { (side, side) } else { (v.width, v.height) };
        let transmission = self.diffuser.transmission.get()?;
        Ok(Cavity {
            width,
            height,
            depth: self.distance,
            walls: self.lamp.enclosure.reflectance.get()?,
            board: self.lamp.emitter.reflectance.get()?,
            sheet: usual_reflection(transmission),
            transmission,
        })
    }

    /// What the sheet leaves of a pattern.
    fn kept(&self, pitch: Option<Metres>) -> Found<f64> {
        let Some(pitch) = pitch.filter(|_| is_opal(self.diffuser)) else { return Ok(1.0) };
        let lit = self.lamp.emitter.dice.iter().find_map(|d| d.lit.nominal().ok()).unwrap_or(Metres::ZERO);
        Ok(blur(pitch, lit / 2.0, self.diffuser.thickness.nominal()?))
    }

    /// Greatest contrast of the spot of a die against the middle of the way to its nearest neighbour.
    fn dots(&self, sources: &[Source], even: Lux) -> f64 {
        let at = |x: Metres, y: Metres| (illuminance(sources, self.distance, x, y) + even).value();
        let contrast = |(i, s): (usize, &Source)| {
            let near = nearest(sources, i)?;
            let (x, y) = ((s.x + near.x) / 2.0, (s.y + near.y) / 2.0);
            let seen = self.visible.holds(s.x, s.y) && self.visible.holds(x, y);
            let (spot, middle) = (at(s.x, s.y), at(x, y));
            seen.then(|| (spot - middle) / (spot + middle))
        };
        sources.iter().enumerate().filter_map(contrast).fold(0.0, f64::max)
    }

    fn soft_at(&self, sources: &[Source]) -> Option<Metres> {
        let strings = self.lamp.emitter.dice.iter().any(|die| die.count.value.is_some_and(|count| count > 1));
        let pitch = self.lamp.emitter.pitch.nominal().ok().filter(|_| strings)?;
        let kept = self.kept(Some(pitch)).ok()?;
        let widest = sources.iter().map(|s| s.exponent).fold(0.0, f64::max);
        distance_for(widest, kept, SOFT).map(|h| pitch * h)
    }
}

/// Scatters in its bulk, so that no die is seen through it.
pub fn is_opal(diffuser: &Diffuser) -> bool {
    !matches!(diffuser.material.value, Some(SheetMaterial::ClearAcrylic) | None)
}

/// The nearest other place among the dice.
fn nearest(sources: &[Source], of: usize) -> Option<&Source> {
    let here = sources.get(of)?;
    let away = |s: &Source| libm::hypot((s.x - here.x).value(), (s.y - here.y).value());
    let others = sources.iter().filter(|s| away(s) > 1e-6);
    others.min_by(|a, b| away(a).total_cmp(&away(b)))
}

/// Least distance of two dice; nothing for one.
fn pitch(sources: &[Source]) -> Option<Metres> {
    let first = sources.first()?;
    let near = nearest(sources, 0)?;
    Some(Metres::si(libm::hypot((near.x - first.x).value(), (near.y - first.y).value())))
}
