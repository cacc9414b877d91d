//! The lit face: how bright it looks, and how much light it gives at a distance.
//! Turns light out of the lamp and the map of the sheet into luminance and lux.

use std::f64::consts::PI;

use crate::lamp::Lamp;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::physics::light::face::{Panel, disc_on_axis, mean_luminance, rectangle_illuminance};
use crate::quantity::{CandelasPerSquareMetre, Lux, Metres, SquareMetres};
use crate::solve::drive::{absent, by};

use super::Budget;
use super::even::{Evenness, Visible};

/// The face; ledger entries under `light.face.` and `light.lux.`.
#[derive(Debug, Clone)]
pub struct Face {
    /// What can be seen of the sheet.
    pub visible: Visible,
    /// Its area.
    pub area: SquareMetres,
    /// Mean luminance, all on.
    pub luminance: CandelasPerSquareMetre,
    /// Luminance of the brightest part; missing where the places of the dice are.
    pub brightest: Found<CandelasPerSquareMetre>,
    /// Distance, ledger path and illuminance straight in front of it.
    pub lux: Vec<(Metres, String, Lux)>,
}

/// Distances that the sheet prints, in metres.
const DISTANCES: [f64; 5] = [0.3, 0.5, 1.0, 2.0, 3.0];

/// Luminance and illuminance with all channels on.
pub(super) fn solve(lamp: &Lamp, light: &Found<Budget>, even: &Found<Evenness>, ledger: &mut Ledger) -> Found<Face> {
    let diffuser = lamp.diffuser.as_ref().ok_or_else(|| absent("diffuser", lamp.enclosure.span))?;
    let visible = Visible::of(diffuser)?;
    let budget = light.as_ref()?;
    let area = visible.area();
    let size = [("lip", diffuser.seat.as_ref().map_or(diffuser.outline.path.as_str(), |seat| seat.lip.path.as_str()))];
    ledger.computed(
        "light.face.area",
        "visible part of the sheet",
        area,
        by("outline less the lip", "geometry"),
        &size,
    );
    let luminance = mean_luminance(budget.out, area);
    let lambert = by("L = Φ/(π·A)", "Lambertian face");
    let inputs = [("Φ", "light.out"), ("A", "light.face.area")];
    ledger.computed("light.face.luminance", "mean luminance of the face, all on", luminance, lambert, &inputs);
    let brightest = even.as_ref().map_err(Clone::clone).map(|even| {
        let most = luminance * even.all.measures.hot_spot();
        let inputs = [("L", "light.face.luminance"), ("E_max/E_mean", "light.even.all.hot-spot")];
        let scaled = by("L·E_max/E_mean", "Lambertian face");
        ledger.computed("light.face.brightest", "luminance of its brightest part, all on", most, scaled, &inputs)
    });
    let lux = DISTANCES.into_iter().map(Metres::si).map(|distance| {
        let path = format!("light.lux.{}mm", libm::round(distance.value() * 1e3));
        let found = in_front(&visible, area, luminance, distance);
        let title = format!("illuminance {distance} straight in front");
        let exact = by("π·L times the form factor of the face", "form factors of disc and rectangle, handbooks");
        ledger.computed(path.as_str(), &title, found, exact, &[("L", "light.face.luminance")]);
        (distance, path, found)
    });
    Ok(Face { visible, area, luminance, brightest, lux: lux.collect() })
}

/// Straight before the middle; round faces as a disc of their area.
fn in_front(visible: &Visible, area: SquareMetres, luminance: CandelasPerSquareMetre, distance: Metres) -> Lux {
    if visible.round {
        return disc_on_axis(luminance, Metres::si(libm::sqrt(area.value() / PI)), distance);
    }
    let (w, h) = (visible.width / 2.0, visible.height / 2.0);
    let panel = Panel { x: (-w, w), y: (-h, h) };
    rectangle_illuminance(luminance, panel, (Metres::ZERO, Metres::ZERO), distance)
}
