//! Evenness of the lit sheet, per channel and all on: places of the dice, light thrown back by the box, blur of the sheet.
//! Turns places, beams and reflectances into a map and its measures.

use crate::lamp::diffuser::Diffuser;
use crate::lamp::engine::Engine;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::physics::light::beam::{SOFT, Source, blur, distance_for, illuminance};
use crate::physics::light::evenness::{Map, Measures, direct};
use crate::quantity::{Lumens, Lux, Metres, Ratio};
use crate::schema::words::SheetMaterial;
use crate::solve::drive::{absent, by};

use super::dice::{geometry, sources};
use super::visible::Visible;
use super::ways::{Fineness, Space};
use super::{Budget, refs};

/// Evenness of the sheet; ledger entries under `light.even.`.
#[derive(Debug, Clone)]
pub struct Evenness {
    /// What can be seen of the sheet.
    pub visible: Visible,
    /// All channels on.
    pub all: Lit,
    /// Each channel alone.
    pub channels: Vec<Lit>,
    /// Distance of the sheet from which on the dots would be soft, to the millimetre, where there are dots in a grid.
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
    /// Contrast of the spots of two neighbours against the darkest place between them, as the outer face shows it; the
    /// greatest of all neighbours.
    pub dots: f64,
}

/// Fewest and most cells along the longer side, and cells by the distance of the sheet: the drawing takes 80, and more
/// than 240 would show on no print. The spot of a die is about as wide as that distance, so that the brightest and the
/// darkest place move by less than a thousandth.
const FINE: Fineness = Fineness { fewest: 120.0, most: 240.0, by_distance: 12.0 };
const MODEL: &str = "direct light of points with a cosine-power beam, light thrown back by three even zones; blur of an \
     opal sheet by diffusion, which is less than measured; our models";
/// Nearest others of a die that can be its neighbours.
const NEAREST: usize = 24;
/// Where the way between two neighbours is looked at.
const BETWEEN: [f64; 3] = [0.25, 0.5, 0.75];

/// The lamp and the space that its dice light.
struct Chamber<'a> {
    engine: &'a Engine<'a>,
    space: Space<'a>,
}

/// Dice of some channels, with all that they put on the sheet by what they give.
struct Dice {
    sources: Vec<Source>,
    on_sheet: Lumens,
}

/// Maps of every channel and of all.
pub(super) fn solve(engine: &Engine<'_>, light: &Found<Budget>, ledger: &mut Ledger) -> Found<Evenness> {
    let diffuser = engine.diffuser.ok_or_else(|| absent("diffuser", engine.enclosure.span))?;
    let chamber = Chamber { engine, space: Space::of(engine, diffuser, FINE)? };
    let budget = light.as_ref()?;
    let mut channels = Vec::new();
    let (mut everything, mut together) = (Dice { sources: Vec::new(), on_sheet: Lumens::ZERO }, None::<Map>);
    for ((channel, (_, flux)), way) in engine.driver.channels.iter().zip(&budget.channels).zip(&budget.ways) {
        let dice = Dice { sources: sources(engine, channel, *flux)?, on_sheet: *flux * way.on_sheet };
        let sharp = direct(&dice.sources, chamber.space.distance, chamber.space.grid);
        match &mut together {
            Some(sum) => sum.add(&sharp),
            None => together = Some(sharp.clone()),
        }
        channels.push(chamber.lit(&channel.name, &dice, sharp)?);
        everything.on_sheet = everything.on_sheet + dice.on_sheet;
        everything.sources.extend(dice.sources);
    }
    let together = together.ok_or_else(|| absent("light.even.all", engine.emitter.span))?;
    let all = chamber.lit("all", &everything, together)?;
    for one in channels.iter().chain([&all]) {
        enter(engine, diffuser, one, ledger);
    }
    let soft_at = chamber.soft_at(&everything.sources);
    if let Some(distance) = soft_at {
        let root =
            by("least h with 4·G((m+1)/2, 2πh/p)·blur ≤ 10 %", "Poisson sum of an endless grid; limit our scale");
        let mut inputs = vec![("p", engine.emitter.pitch.path.as_str()), ("t", diffuser.thickness.path.as_str())];
        inputs.extend(
            engine.emitter.dice.iter().flat_map(|die| [("θ", die.beam.path.as_str()), ("a", die.lit.path.as_str())]),
        );
        ledger.computed("light.even.soft-at", "distance of the sheet at which dots are soft", distance, root, &inputs);
        if let Ok(pitch) = engine.emitter.pitch.nominal() {
            let same = by("p·h/h_soft", "the same pattern, scaled; the blur of the sheet taken as at the pitch given");
            let inputs = [
                ("p", engine.emitter.pitch.path.as_str()),
                ("h", engine.emitter.distance.path.as_str()),
                ("h_soft", "light.even.soft-at"),
            ];
            let title = "pitch up to which dots are soft at the distance given";
            let most = whole(pitch * (chamber.space.distance / distance), libm::floor);
            ledger.computed("light.even.soft-pitch", title, most, same, &inputs);
        }
    }
    Ok(Evenness { visible: chamber.space.visible, all, channels, soft_at })
}

fn enter(engine: &Engine<'_>, diffuser: &Diffuser, one: &Lit, ledger: &mut Ledger) {
    let path = |figure: &str| format!("light.even.{}.{figure}", one.name);
    let model = by("over the visible sheet, direct and thrown back", MODEL);
    let mut from: Vec<(&'static str, String)> = Vec::new();
    for channel in engine.driver.channels.iter().filter(|c| one.name == "all" || c.name == one.name) {
        from.push(("Φ", format!("light.channel.{}", channel.name)));
        from.push(("G", format!("light.channel.{}.on-sheet", channel.name)));
        from.extend(geometry(engine, channel).into_iter().filter(|(symbol, _)| *symbol != "h"));
    }
    from.push(("h", engine.emitter.distance.path.clone()));
    from.push(("A", "light.face.area".to_owned()));
    from.push(("t", diffuser.thickness.path.clone()));
    let inputs = refs(&from);
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

impl Chamber<'_> {
    /// The sheet lit by these dice, `sharp` being their direct light.
    fn lit(&self, name: &str, dice: &Dice, sharp: Map) -> Found<Lit> {
        let dark = || {
            let path = match (dice.on_sheet > Lumens::ZERO, name) {
                (true, _) => format!("light.even.{name}"),
                (false, "all") => "light.at-sheet".to_owned(),
                (false, _) => format!("light.channel.{name}"),
            };
            absent(&path, self.engine.emitter.span)
        };
        let mean = sharp.measures(&self.space.seen).ok_or_else(dark)?.mean;
        // What does not come straight from the dice lies evenly on all of the sheet.
        let all = Lux::si(dice.on_sheet.value() / self.space.visible.area().value());
        let even = (all - mean).max(Lux::ZERO);
        let pitch = pitch(&dice.sources);
        let kept = self.kept(pitch)?;
        let shown = sharp.plus_even(even);
        let shown = match pitch {
            Some(pitch) if kept < 1.0 => shown.blurred(pitch, kept),
            _ => shown,
        };
        let measures = shown.measures(&self.space.seen).ok_or_else(dark)?;
        let dots = self.dots(&dice.sources, even)?;
        Ok(Lit { name: name.to_owned(), map: shown, measures, dots })
    }

    /// What the sheet leaves of a pattern.
    fn kept(&self, pitch: Option<Metres>) -> Found<f64> {
        let Some(pitch) = pitch.filter(|_| is_opal(self.space.diffuser)) else { return Ok(1.0) };
        let lit = self.engine.emitter.dice.iter().find_map(|d| d.lit.nominal().ok()).unwrap_or(Metres::ZERO);
        Ok(blur(pitch, lit / 2.0, self.space.diffuser.thickness.nominal()?))
    }

    /// Greatest contrast of two neighbours' spots against the darkest place between them, each pair blurred by the sheet
    /// as a pattern of its own distance.
    fn dots(&self, sources: &[Source], even: Lux) -> Found<f64> {
        let at = |x: Metres, y: Metres| (illuminance(sources, self.space.distance, x, y) + even).value();
        let seen: Vec<Option<f64>> =
            sources.iter().map(|s| self.space.visible.holds(s.x, s.y).then(|| at(s.x, s.y))).collect();
        let mut greatest = 0.0_f64;
        for (i, k) in neighbours(sources) {
            let (Some(a), Some(b)) = (sources.get(i), sources.get(k)) else { continue };
            let (Some(Some(here)), Some(Some(there))) = (seen.get(i), seen.get(k)) else { continue };
            // Against the straight line from one to the other: light that falls off towards an edge is no dot.
            let dips = BETWEEN.iter().filter_map(|t| {
                let (x, y) = (a.x + (b.x - a.x) * *t, a.y + (b.y - a.y) * *t);
                let line = here + (there - here) * *t;
                self.space.visible.holds(x, y).then(|| {
                    let found = at(x, y);
                    (line - found) / (line + found)
                })
            });
            let Some(dip) = dips.reduce(f64::max) else { continue };
            greatest = greatest.max(dip * self.kept(Some(Metres::si(away(a, b))))?);
        }
        Ok(greatest)
    }

    fn soft_at(&self, sources: &[Source]) -> Option<Metres> {
        let strings = self.engine.emitter.dice.iter().any(|die| die.count.value.is_some_and(|count| count > 1));
        let pitch = self.engine.emitter.pitch.nominal().ok().filter(|_| strings)?;
        let kept = self.kept(Some(pitch)).ok()?;
        // The narrowest beam makes the plainest dots.
        let narrowest = sources.iter().map(|s| s.exponent).fold(0.0, f64::max);
        distance_for(narrowest, kept, SOFT).map(|h| whole(pitch * h, libm::ceil))
    }
}

/// Scatters in its bulk, so that no die is seen through it.
pub fn is_opal(diffuser: &Diffuser) -> bool {
    !matches!(diffuser.material.value, Some(SheetMaterial::ClearAcrylic) | None)
}

/// To the whole millimetre on its safe side: the model knows no more.
fn whole(length: Metres, to: fn(f64) -> f64) -> Metres {
    Metres::si(to(length.value() * 1e3) * 1e-3)
}

/// Distance of two dice.
fn away(a: &Source, b: &Source) -> f64 {
    libm::hypot((a.x - b.x).value(), (a.y - b.y).value())
}

/// Pairs of dice with no third one in the circle that has them at its ends (Gabriel's graph): what the eye sees as
/// neighbours, near ones and the next pair alike.
fn neighbours(sources: &[Source]) -> Vec<(usize, usize)> {
    let mut pairs = Vec::new();
    for (i, here) in sources.iter().enumerate() {
        let mut near: Vec<(f64, usize)> =
            sources.iter().enumerate().map(|(k, s)| (away(here, s), k)).filter(|(d, _)| *d > TOUCHING).collect();
        near.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        near.truncate(NEAREST);
        for (n, &(distance, k)) in near.iter().enumerate() {
            let Some(there) = sources.get(k).filter(|_| i < k) else { continue };
            let (x, y) = ((here.x + there.x) / 2.0, (here.y + there.y) / 2.0);
            let inside = |&(_, other): &(f64, usize)| {
                let off = sources.get(other).map(|s| libm::hypot((s.x - x).value(), (s.y - y).value()));
                off.is_some_and(|off| off < distance / 2.0 * (1.0 - 1e-9))
            };
            // Who is inside is nearer than the other end, and comes before it.
            if !near.iter().take(n).any(inside) {
                pairs.push((i, k));
            }
        }
    }
    pairs
}

/// Dice nearer than this are one place.
const TOUCHING: f64 = 1e-6;

/// Least distance of two dice; nothing for one.
fn pitch(sources: &[Source]) -> Option<Metres> {
    let others = |(i, a): (usize, &Source)| sources.iter().skip(i + 1).map(|b| away(a, b)).collect::<Vec<_>>();
    let all = sources.iter().enumerate().flat_map(others).filter(|d| *d > TOUCHING);
    all.reduce(f64::min).map(Metres::si)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(places: &[(f64, f64)]) -> Vec<Source> {
        let die = |&(x, y): &(f64, f64)| Source {
            x: Metres::si(x * 1e-3),
            y: Metres::si(y * 1e-3),
            flux: Lumens::si(1.0),
            exponent: 1.0,
        };
        places.iter().map(die).collect()
    }

    #[test]
    fn pairs_have_the_next_pair_as_neighbours_too() {
        let row = at(&[(0.0, 0.0), (3.0, 0.0), (60.0, 0.0), (63.0, 0.0)]);
        assert_eq!(neighbours(&row), [(0, 1), (1, 2), (2, 3)]);
        assert!((pitch(&row).unwrap().value() - 3e-3).abs() < 1e-12);
        let square = at(&[(0.0, 0.0), (10.0, 0.0), (0.0, 10.0), (10.0, 10.0)]);
        // The middle of the square is on the way of its diagonals.
        assert!(neighbours(&square).contains(&(0, 3)));
        assert_eq!(pitch(&at(&[(1.0, 2.0)])), None);
    }
}
