//! The body's sizes to the space inside it and the solid outside of it, in the lamp's coordinates.

use crate::lamp::Lamp;
use crate::lamp::body::Enclosure;
use crate::lamp::given::Found;
use crate::physics::mechanics::hollow::Hollow;
use crate::physics::mechanics::shell::Opening;
use crate::quantity::Metres;
use crate::schema::words::{Body, OutlineKind};

/// The space inside. A cylinder or a box has a wall in front, behind which the sheet lies; the other shapes are open
/// there, in the plane of their opening.
pub fn inside(lamp: &Lamp) -> Found<Hollow> {
    let wall = lamp.enclosure.wall.nominal()?;
    let outer = outside(&lamp.enclosure)?.0;
    Ok(match outer {
        Hollow::Block { across, up, depth } => {
            Hollow::Block { across: across - wall, up: up - wall, depth: depth - wall * 2.0 }
        }
        Hollow::Round { back, front, depth } if back == front => {
            Hollow::Round { back: back - wall, front: front - wall, depth: depth - wall * 2.0 }
        }
        Hollow::Round { back, front, depth } => cone(back, front, depth, wall),
        Hollow::Ball { radius, behind } => Hollow::Ball { radius: radius - wall, behind },
    })
}

/// A leaning wall takes wall/cos α of the radius; the back plate takes the wall's thickness of the depth.
fn cone(back: Metres, front: Metres, depth: Metres, wall: Metres) -> Hollow {
    let slope = (front - back) / depth;
    let less = wall * libm::hypot(1.0, slope);
    Hollow::Round { back: back + wall * slope - less, front: front - less, depth: depth - wall }
}

/// The opening in front: round behind a round sheet, else of the body's own shape.
pub fn opening(lamp: &Lamp) -> Found<Option<Opening>> {
    let outline = lamp.diffuser.as_ref().and_then(|diffuser| diffuser.outline.value);
    let round = matches!(outline, Some(OutlineKind::Disc | OutlineKind::Ring | OutlineKind::Polygon));
    let given = &lamp.enclosure.opening;
    if given.is_left_out() { Ok(None) } else { Ok(Some(Opening { smallest: given.nominal()?, round })) }
}

/// The outside, and how far its front plane lies before the origin.
pub fn outside(body: &Enclosure) -> Found<(Hollow, Metres)> {
    let wall = body.wall.nominal()?;
    let half = |d: &Metres| *d / 2.0;
    Ok(match (body.shape.get()?, body.size.known()?.as_slice()) {
        (Body::Cylinder, [d, l]) => (Hollow::Round { back: half(d), front: half(d), depth: *l }, wall),
        (Body::Box, [w, h, d]) => (Hollow::Block { across: half(w), up: half(h), depth: *d }, wall),
        (Body::Sphere, [d, ..]) => {
            let radius = half(d);
            let open =
                if body.opening.is_left_out() { Metres::ZERO } else { body.opening.nominal()? / 2.0 }.min(radius);
            let behind = libm::sqrt((radius * radius - open * open).value());
            (Hollow::Ball { radius, behind: Metres::si(behind) }, Metres::ZERO)
        }
        (Body::Dome, [d, ..]) => (Hollow::Ball { radius: half(d), behind: Metres::ZERO }, Metres::ZERO),
        (Body::Cone, [above, below, height]) => {
            (Hollow::Round { back: half(above), front: half(below), depth: *height }, Metres::ZERO)
        }
        _ => return Err(body.size.missing()),
    })
}
