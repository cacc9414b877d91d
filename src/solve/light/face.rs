//! The lit face: how bright it looks, and how much light it gives at a distance.
//! Turns light out of the lamp and the map of the sheet into luminance and lux.

use crate::lamp::diffuser::Diffuser;
use crate::lamp::engine::Engine;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::physics::light::face::mean_luminance;
use crate::quantity::{CandelasPerSquareMetre, Lux, Metres, SquareMetres};
use crate::solve::drive::{absent, by};

use super::even::Evenness;
use super::visible::Visible;
use super::{Budget, known};

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
pub(super) fn solve(
    engine: &Engine<'_>,
    light: &Found<Budget>,
    even: &Found<Evenness>,
    ledger: &mut Ledger,
) -> Found<Face> {
    let diffuser = engine.diffuser.ok_or_else(|| absent("diffuser", engine.enclosure.span))?;
    let visible = Visible::of(diffuser)?;
    let budget = light.as_ref()?;
    let area = visible.area();
    let size = sizes(diffuser);
    ledger.computed(
        "light.face.area",
        "visible part of the sheet",
        area,
        by("outline offset inwards by the lip", "geometry, exact"),
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
    let lux: Vec<(Metres, String, Lux)> = DISTANCES
        .into_iter()
        .map(Metres::si)
        .map(|distance| {
            let path = format!("light.lux.{}mm", libm::round(distance.value() * 1e3));
            let found = visible.lights(luminance, distance);
            let title = format!("illuminance {distance} straight in front");
            let exact = by("π·L times the form factor of the face", "form factors of disc and rectangle, handbooks");
            ledger.computed(
                path.as_str(),
                &title,
                found,
                exact,
                &[("L", "light.face.luminance"), ("A", "light.face.area")],
            );
            (distance, path, found)
        })
        .collect();
    Ok(Face { visible, area, luminance, brightest, lux })
}

/// What the outline was made from, as inputs of an entry.
fn sizes(diffuser: &Diffuser) -> Vec<(&'static str, &str)> {
    let lip = diffuser.seat.as_ref().map(|seat| &seat.lip);
    let outline = [
        ("outline", diffuser.outline.is_known(), &diffuser.outline.path),
        ("d", diffuser.diameter.is_known(), &diffuser.diameter.path),
        ("d_in", diffuser.inner.is_known(), &diffuser.inner.path),
        ("n", diffuser.sides.is_known(), &diffuser.sides.path),
        ("w", diffuser.width.is_known(), &diffuser.width.path),
        ("h", diffuser.height.is_known(), &diffuser.height.path),
        ("r", diffuser.corner.is_known(), &diffuser.corner.path),
        ("points", diffuser.points.is_known(), &diffuser.points.path),
    ];
    let lip = lip.map(|lip| ("lip", lip.is_known(), &lip.path));
    known(&outline.into_iter().chain(lip).collect::<Vec<_>>())
}
