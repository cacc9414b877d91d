//! Sag of the sheet lying flat on its edge, with the stiffness that plastic keeps over years.

use crate::lamp::diffuser::Diffuser;
use crate::lamp::given::Found;
use crate::ledger::{Formula, Ledger};
use crate::physics::mechanics::materials::creep_modulus;
use crate::physics::mechanics::sag::{Sheet, disc_sag, rectangle_sag, ring_sag, sag_wanted};
use crate::quantity::{Metres, Pascals, Quantity};
use crate::schema::words::{OutlineKind, SheetMaterial};

use super::{Sag, material_of};

const PLATES: &str = "Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, articles 16, 17 and 30";
const LASTING: Formula = Formula { text: "E/3 for plastic that lies for years", source: "our margin" };
const DISC: Formula = Formula { text: "w = (5 + ν) q a⁴/(64 (1 + ν) D), q = ρ g t", source: PLATES };
const RING: Formula = Formula { text: "thin ring under q = ρ g t, both edges free to turn", source: PLATES };
const RECTANGLE: Formula = Formula { text: "w = c(a/b) q b⁴/D, q = ρ g t", source: PLATES };
const LIMIT: Formula =
    Formula { text: "min(1 mm, span/300, t/2), span the diameter or the smaller side", source: "our margin" };

/// The least sag that is printed as a figure.
const SHOWN: Metres = Metres::si(1e-5);

/// Sag of a sheet of this width and height. A polygon is taken as the disc around it and an ellipse or a path as the
/// rectangle around it, both of which sag more; holes other than a ring's opening are neglected.
pub(super) fn solve(d: &Diffuser, (width, height): (Metres, Metres), ledger: &mut Ledger) -> Found<Sag> {
    let kind = d.outline.get()?;
    let sheet = sheet(d, ledger)?;
    let (span, middle, formula) = match kind {
        OutlineKind::Disc | OutlineKind::Polygon => {
            let across = d.diameter.nominal()?;
            (across, disc_sag(&sheet, across), DISC)
        }
        OutlineKind::Ring => {
            let across = d.diameter.nominal()?;
            (across, ring_sag(&sheet, across, d.inner.nominal()?), RING)
        }
        OutlineKind::RoundedRectangle | OutlineKind::Ellipse | OutlineKind::Path => {
            (width.min(height), rectangle_sag(&sheet, width, height), RECTANGLE)
        }
    };
    let mut inputs = vec![("E", "cut.modulus"), ("ρ", "cut.density"), ("t", d.thickness.path.as_str())];
    inputs.extend(match kind {
        OutlineKind::Disc | OutlineKind::Polygon => &[("2 a", "cut.diameter")][..],
        OutlineKind::Ring => &[("outside", "cut.diameter"), ("inside", "diffuser.inner")][..],
        OutlineKind::RoundedRectangle | OutlineKind::Ellipse | OutlineKind::Path => {
            &[("width", "cut.width"), ("height", "cut.height")][..]
        }
    });
    let title = "sag of the sheet lying flat, after years";
    if middle < SHOWN {
        // Less than any rule shows; nanometres would claim what no sheet keeps.
        let text = format!("under {}", SHOWN.show());
        ledger.computed_text("cut.sag", title, text, formula, &inputs);
    } else {
        ledger.computed("cut.sag", title, middle, formula, &inputs);
    }
    let limit = sag_wanted(span, sheet.thickness);
    // What lies inside a ring does not make its span.
    let spans = inputs.iter().skip(2).filter(|(symbol, _)| *symbol != "inside").copied();
    let limit = ledger.computed("cut.sag-limit", "sag to plan for at most", limit, LIMIT, &spans.collect::<Vec<_>>());
    Ok(Sag { middle, limit })
}

fn sheet(d: &Diffuser, ledger: &mut Ledger) -> Found<Sheet> {
    let word = d.material.get()?;
    let missing = || d.material.missing();
    let material = material_of(word).ok_or_else(missing)?;
    let short = material.modulus.ok_or_else(missing)?;
    // A sheet of nothing sags without end, which is no figure.
    let thickness = d.thickness.nominal().ok().filter(|t| *t > Metres::ZERO).ok_or_else(|| d.thickness.missing())?;
    let row = material.name;
    let source = material.other_source;
    let short = ledger.looked_up("cut.modulus-short", "Young's modulus of the sheet", short, row, source);
    let lasting = if word == SheetMaterial::Glass { short } else { creep_modulus(short) };
    let title = "Young's modulus after years";
    let lasting: Pascals = ledger.computed("cut.modulus", title, lasting, LASTING, &[("E", "cut.modulus-short")]);
    let poisson = material.poisson.ok_or_else(missing)?;
    Ok(Sheet { thickness, modulus: lasting, poisson, density: material.density })
}
