//! The sheet and the light behind it as bodies that no part may reach into.

use crate::lamp::Lamp;
use crate::lamp::given::Found;
use crate::physics::mechanics::hollow::Solid;
use crate::quantity::Metres;
use crate::solve::sheet::{Extent, extent};

/// What must stay free of parts, in the lamp's coordinates.
#[derive(Debug, Clone)]
pub struct Kept {
    /// The sheet: its outer face in the plane z = 0. None without a sheet.
    pub sheet: Option<Found<Solid>>,
    /// From the plane of the dice to the inner face of the sheet, over the sheet's outline. None without a sheet.
    pub light: Option<Found<Solid>>,
}

impl Kept {
    /// Inner face of the sheet along z; the front plane where there is none.
    pub fn inner_face(&self) -> Found<Metres> {
        match &self.sheet {
            Some(sheet) => sheet.as_ref().map(|s| s.centre[2] - s.half[2]).map_err(Clone::clone),
            None => Ok(Metres::ZERO),
        }
    }
}

/// Both bodies; a size that nobody gave is what is missing.
pub(super) fn kept(lamp: &Lamp) -> Kept {
    let Some(diffuser) = &lamp.diffuser else { return Kept { sheet: None, light: None } };
    let sheet = extent(diffuser).and_then(|extent| {
        let t = diffuser.thickness.nominal()?;
        // An ellipse or a path by the box around it, on the careful side.
        let (w, h, axis) = match extent {
            Extent::Round(across) => (across, across, Some(2)),
            Extent::Box(w, h) => (w, h, None),
        };
        Ok(Solid { centre: [Metres::ZERO, Metres::ZERO, t * -0.5], half: [w / 2.0, h / 2.0, t / 2.0], axis })
    });
    let light = sheet.clone().and_then(|sheet| {
        let distance = lamp.emitter.distance.nominal()?;
        let mut light = sheet;
        light.centre[2] = sheet.half[2] * -2.0 - distance / 2.0;
        light.half[2] = distance / 2.0;
        Ok(light)
    });
    Kept { sheet: Some(sheet), light: Some(light) }
}
