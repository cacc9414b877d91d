//! Notes for the cutter: what a sheet of this material and this tool ask for, in the order of the work.
//! Common practice of workshops, no single source.

use crate::lamp::diffuser::Diffuser;
use crate::schema::words::{Cutter, SheetMaterial};
use crate::solve::sheet::{FeatureKind, Net, hazard};

/// What a note is about: where the sheet has no such thing, the note is left out.
#[derive(Clone, Copy, PartialEq, Eq)]
enum About {
    /// Every sheet.
    Any,
    /// Openings of any kind.
    Holes,
    /// Round holes and slots, which are drilled.
    Drilled,
    /// Openings that are sawn.
    Sawn,
    /// A piece that the router leaves in its sheet.
    Bridged,
}

use About::{Any, Bridged, Drilled, Holes, Sawn};

type Note = (About, &'static str);

/// What a cutter of this sheet and tool has to know, in the order of the work.
///
/// `sent`: there is something to cut, and files for it; `routed`: a router's program is among them.
pub(super) fn notes(given: &Diffuser, net: Option<&Net>, (sent, routed): (bool, bool)) -> Vec<&'static str> {
    let kinds: Vec<FeatureKind> = net.map_or_else(Vec::new, |net| net.features.iter().map(|f| f.kind).collect());
    let drilled = |kind: &FeatureKind| matches!(kind, FeatureKind::Round | FeatureKind::Slot | FeatureKind::Keyhole);
    let sawn = |kind: &FeatureKind| !matches!(kind, FeatureKind::Round | FeatureKind::Slot);
    let asked = |about: About| match about {
        Any => true,
        Holes => !kinds.is_empty(),
        Drilled => kinds.iter().any(drilled),
        Sawn => kinds.iter().any(sawn),
        Bridged => given.cut.router.as_ref().and_then(|router| router.tabs.value).is_some_and(|tabs| tabs > 0),
    };
    all(given, sent, routed).into_iter().filter(|(about, _)| asked(*about)).map(|(_, note)| note).collect()
}

fn all(given: &Diffuser, sent: bool, routed: bool) -> Vec<Note> {
    let mut notes = Vec::new();
    let (method, material) = (given.cut.method.value, given.material.value);
    // What must not be cut so is not told how to be sent there.
    let forbidden = material.zip(method).and_then(|(material, method)| hazard(material, method));
    if let Some(hazard) = forbidden {
        notes.push((Any, hazard.note));
    } else if let Some(method) = method.filter(|_| sent) {
        notes.extend(by_method(method, routed));
        if !given.marks.is_empty() {
            notes.push((Any, by_marks(method, routed)));
        }
    }
    if let Some(material) = given.material.value {
        notes.extend(by_material(material));
        if let Some(method) = method.filter(|_| forbidden.is_none()) {
            notes.extend(fumes(material, method));
        }
    }
    notes.push((
        Any,
        "Mark on the film which face looks out. Keep that face up in the drawing: it is seen from outside.",
    ));
    notes
}

const fn by_method(method: Cutter, routed: bool) -> &'static [Note] {
    match method {
        Cutter::Laser => &[
            (
                Any,
                "Send `diffuser-cut.svg` and turn the machine's own kerf correction off; or send `diffuser.svg` and set \
             its correction to this kerf. Never both.",
            ),
            (Holes, "Cut the holes first and the outer edge last, so that the piece cannot shift."),
            (Any, "Run the extraction, and stay at the machine until the last flame is out."),
        ],
        Cutter::Router if routed => &[
            (
                Any,
                "Run `diffuser-router.nc`: holes first, the outer edge last, the cutter's width in its figures. A machine \
             that takes drawings gets `diffuser-cut.svg` for a path on the line. Never both.",
            ),
            (
                Any,
                "Take a sharp single-flute cutter for plastics, feed fast enough to make chips, and blow them away: a \
             cutter that rubs melts the edge.",
            ),
            (
                Bridged,
                "Cut the bridges with a fine saw when the piece is done, and scrape them flush. Never break them off.",
            ),
        ],
        Cutter::Router => &[
            (
                Any,
                "Send `diffuser-cut.svg` for a path on the line; or `diffuser.svg` with the tool correction set to \
             outside for the edge and inside for holes. Never both.",
            ),
            (
                Any,
                "Take a sharp single-flute cutter for plastics, feed fast enough to make chips, and blow them away: a \
             cutter that rubs melts the edge.",
            ),
            (Any, "Hold the piece with tabs or vacuum, holes first, outer edge last."),
        ],
        Cutter::Glazier => &[(
            Any,
            "Send `diffuser.svg`, the finished edge in true size, with the thickness and the tolerance. Measure what comes \
             back before it is fitted.",
        )],
        Cutter::Saw => &[
            (
                Any,
                "Stick the drawing on the film. Saw outside the line by half a millimetre, then file and scrape to it.",
            ),
            (
                Drilled,
                "Drill round holes and the ends of slots before the outer edge is sawn, on a flat backing, slowly.",
            ),
            (
                Sawn,
                "Start an opening of any other shape from a hole in its waste. Round its inside corners with a drill.",
            ),
            (Any, "Support the sheet right up to the blade; a sheet that flutters cracks."),
        ],
    }
}

const fn by_marks(method: Cutter, routed: bool) -> &'static str {
    match method {
        Cutter::Laser => {
            "Engrave first, then cut. The marks are the group `engrave` of both files, drawn blue; the edges are the \
             group `cut`, drawn black."
        }
        Cutter::Router if routed => {
            "Engrave the marks first: `diffuser-engrave.nc`, with a pointed cutter. In the drawings they are the group \
             `engrave`."
        }
        Cutter::Router => {
            "Engrave the marks with a pointed cutter before the edges are cut. They are the group `engrave` of both files."
        }
        Cutter::Glazier => "Have the marks etched or engraved with the cut: they are the group `engrave` of the file.",
        Cutter::Saw => "Scribe the marks through the paper before you saw.",
    }
}

const fn by_material(material: SheetMaterial) -> &'static [Note] {
    match material {
        SheetMaterial::OpalAcrylic | SheetMaterial::ClearAcrylic => &[
            (
                Any,
                "Leave the film on both faces until the lamp is closed. Peel back only a finger's width along the cut.",
            ),
            (
                Drilled,
                "Drill with a point of 60° to 90° and its cutting edges stoned flat, so that it scrapes and does not bite. \
             Lift often; cool with air or a drop of soapy water.",
            ),
            (Any, "Break every edge with a scraper; a nick starts a crack."),
            (
                Any,
                "Clean with water and a drop of washing-up liquid. Alcohol, thread lock and window cleaner make acrylic \
             craze, most of all at a cut edge.",
            ),
            (
                Drilled,
                "Use no countersunk screws. Put a washer under each head and turn it finger-tight and a little more.",
            ),
        ],
        SheetMaterial::Polycarbonate => &[
            (
                Any,
                "Leave the film on until the lamp is closed. One face may be treated against sunlight: it looks out.",
            ),
            (
                Drilled,
                "An ordinary drill point does; drill slowly and lift often, for it gets hot and grabs. Cool with air, not \
             with cutting oil.",
            ),
            (Any, "Clean with water and a drop of washing-up liquid; no solvents, no ammonia, no thread lock."),
        ],
        SheetMaterial::Polystyrene => &[
            (Any, "Leave the film on until the lamp is closed. Saw slowly: it melts early and cracks easily."),
            (Drilled, "Drill with a point of 60° to 90°, slowly, the sheet clamped between two boards."),
            (Any, "Clean with water only; solvents, thinners and many glues dissolve it."),
        ],
        SheetMaterial::Petg => &[
            (Any, "Leave the film on until the lamp is closed. Keep the cut cool with air: it turns soft early."),
            (Drilled, "An ordinary drill point does; drill slowly and lift often."),
            (Any, "Clean with water and a drop of washing-up liquid; no solvents."),
        ],
        SheetMaterial::Pvc => &[
            (Any, "Leave the film on until the lamp is closed. Saw slowly; cool with air."),
            (Drilled, "An ordinary drill point does; drill slowly and lift often."),
            (Any, "Collect the chips; do not burn them."),
            (Any, "Clean with water; no solvents."),
        ],
        SheetMaterial::Glass => &[
            (
                Any,
                "Have it cut, drilled and its edges ground by a glazier. Drilled glass breaks at the hole when it is screwed \
             down: put soft washers on both faces.",
            ),
            (
                Any,
                "Carry it with gloves. Write which face is etched or flashed; it looks inwards unless the order says else.",
            ),
        ],
    }
}

/// What leaves the cut and must not be breathed.
const fn fumes(material: SheetMaterial, method: Cutter) -> &'static [Note] {
    match (material, method) {
        (SheetMaterial::OpalAcrylic | SheetMaterial::ClearAcrylic, Cutter::Laser) => {
            &[(Any, "Its fumes smell sharp and irritate: extract them to the outside. It catches fire easily.")]
        }
        (SheetMaterial::Polystyrene, Cutter::Laser) => {
            &[(Any, "It burns with much soot and gives off styrene: extract to the outside and keep watch, or saw it.")]
        }
        (SheetMaterial::Petg, Cutter::Laser) => &[(Any, "Extract its fumes to the outside; the edge may yellow.")],
        (SheetMaterial::Polycarbonate | SheetMaterial::Pvc, Cutter::Laser) => &[],
        (SheetMaterial::Glass, _) | (_, Cutter::Glazier) => &[],
        (_, Cutter::Router | Cutter::Saw) => &[(
            Any,
            "Wear eye protection; draw chips and dust off. Where it smells of hot plastic, the tool is blunt or slow.",
        )],
    }
}
