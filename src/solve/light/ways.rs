//! The way of each channel's light from its dice to the sheet and through it: at once, and thrown back by box and board.
//! One model of the box for the budget, for the heat that stays inside, and for the evenness of the sheet.

use crate::lamp::diffuser::Diffuser;
use crate::lamp::driver::Channel;
use crate::lamp::engine::Engine;
use crate::lamp::given::Found;
use crate::physics::light::beam::Source;
use crate::physics::light::cavity::{Cavity, usual_reflection};
use crate::physics::light::evenness::{Grid, Seen, direct};
use crate::quantity::{Lumens, Metres};
use crate::solve::drive::absent;

use super::dice::sources;
use super::visible::Visible;

/// Shares of a channel's light.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Way {
    /// Falls on the sheet at once; none where the author states the whole share.
    pub direct: Option<f64>,
    /// Falls on the sheet, at once or thrown back. What the sheet itself throws back and gets again counts again, so
    /// that this may be above 1.
    pub on_sheet: f64,
    /// Leaves the lamp.
    pub out: f64,
    /// Ends as heat in the sheet.
    pub in_sheet: f64,
}

impl Way {
    /// No sheet: all leaves.
    const BARE: Self = Self { direct: None, on_sheet: 1.0, out: 1.0, in_sheet: 0.0 };
    /// All ends inside: the bound for heat where the way is not known.
    const KEPT: Self = Self { direct: None, on_sheet: 0.0, out: 0.0, in_sheet: 0.0 };

    /// What passes of it and what the sheet takes up: out = τ·G, in the sheet (1 − τ − ρ)·G.
    fn through(direct: Option<f64>, on_sheet: f64, transmission: f64) -> Self {
        let absorbed = (1.0 - transmission - usual_reflection(transmission)).max(0.0);
        Self { direct, on_sheet, out: transmission * on_sheet, in_sheet: absorbed * on_sheet }
    }

    /// Ends as heat in the box: what neither leaves nor stays in the sheet.
    pub fn in_box(&self) -> f64 {
        (1.0 - self.out - self.in_sheet).max(0.0)
    }
}

/// Every channel's way, in the order of the spec.
pub(in crate::solve) fn ways(engine: &Engine<'_>) -> Found<Vec<Way>> {
    let channels = &engine.driver.channels;
    let Some(diffuser) = engine.diffuser else { return Ok(vec![Way::BARE; channels.len()]) };
    let transmission = diffuser.transmission.get()?;
    if let Some(stated) = diffuser.box_.value {
        return Ok(vec![Way::through(None, stated, transmission); channels.len()]);
    }
    let space = Space::of(engine, diffuser, COARSE)?;
    let way = |channel: &Channel| {
        let dark = || absent(&format!("light.channel.{}.direct", channel.name), diffuser.span);
        let share = space.direct(&sources(engine, channel, Lumens::si(1.0))?);
        let on_sheet = space.cavity.on_sheet(share).ok_or_else(dark)?;
        Ok(Way::through(Some(share), on_sheet, transmission))
    };
    channels.iter().map(way).collect()
}

/// The same for heat: where places or beams are not known all light stays inside, which is the warm side.
pub(in crate::solve) fn ways_for_heat(engine: &Engine<'_>) -> Found<Vec<Way>> {
    if let Some(diffuser) = engine.diffuser {
        diffuser.transmission.get()?;
    }
    Ok(ways(engine).unwrap_or_else(|_| vec![Way::KEPT; engine.driver.channels.len()]))
}

/// How finely a grid covers the sheet.
#[derive(Debug, Clone, Copy)]
pub(super) struct Fineness {
    /// Fewest cells along its longer side.
    pub(super) fewest: f64,
    /// Most cells there.
    pub(super) most: f64,
    /// Cells along a way as long as the distance from dice to sheet.
    pub(super) by_distance: f64,
}

/// For a mean: the light of a die is smooth over a quarter of the distance.
const COARSE: Fineness = Fineness { fewest: 24.0, most: 240.0, by_distance: 4.0 };

/// The space between board and sheet.
pub(super) struct Space<'a> {
    pub(super) diffuser: &'a Diffuser,
    pub(super) visible: Visible,
    /// Dice to sheet.
    pub(super) distance: Metres,
    pub(super) cavity: Cavity,
    pub(super) grid: Grid,
    pub(super) seen: Seen,
}

impl<'a> Space<'a> {
    pub(super) fn of(engine: &Engine<'_>, diffuser: &'a Diffuser, fineness: Fineness) -> Found<Self> {
        let visible = Visible::of(diffuser)?;
        let distance = engine.emitter.distance.nominal()?;
        let transmission = diffuser.transmission.get()?;
        // A box of the sheet's area and of its proportions; a round one as a square.
        let fill = libm::sqrt(visible.area() / (visible.width * visible.height));
        let cavity = Cavity {
            width: visible.width * fill,
            height: visible.height * fill,
            depth: distance,
            walls: engine.enclosure.reflectance.get()?,
            board: engine.emitter.reflectance.get()?,
            sheet: usual_reflection(transmission),
        };
        let grid = grid(&visible, distance, fineness);
        let seen = Seen::of(&grid, |x, y| visible.holds(x, y));
        Ok(Self { diffuser, visible, distance, cavity, grid, seen })
    }

    /// Share of the light of these dice that falls on the visible sheet at once.
    pub(super) fn direct(&self, sources: &[Source]) -> f64 {
        let flux: Lumens = sources.iter().map(|s| s.flux).sum();
        let mean = direct(sources, self.distance, self.grid).measures(&self.seen).map_or(0.0, |m| m.mean.value());
        if flux > Lumens::ZERO { (mean * self.visible.area().value() / flux.value()).min(1.0) } else { 0.0 }
    }
}

fn grid(visible: &Visible, distance: Metres, fineness: Fineness) -> Grid {
    let longer = visible.width.max(visible.height);
    let finest = (longer / distance * fineness.by_distance).clamp(fineness.fewest, fineness.most);
    let cells = |side: Metres| libm::ceil(side / longer * finest).max(9.0) as usize;
    let mut grid = Grid::centred(visible.width, visible.height, cells(visible.width), cells(visible.height));
    (grid.left, grid.bottom) = (grid.left + visible.middle.x, grid.bottom + visible.middle.y);
    grid
}

/// What the box throws back follows from, as inputs of an entry.
pub(super) fn inside(engine: &Engine<'_>, diffuser: &Diffuser) -> [(&'static str, String); 4] {
    [
        ("A", "light.face.area".to_owned()),
        ("ρ_wall", engine.enclosure.reflectance.path.clone()),
        ("ρ_board", engine.emitter.reflectance.path.clone()),
        ("τ", diffuser.transmission.path.clone()),
    ]
}
