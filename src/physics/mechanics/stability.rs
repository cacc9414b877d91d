//! Whether a lamp stands: the angle at which it tips, and the angle it is asked to stand.
//! Static, on a hard floor; the cord and a push are not in it.

use crate::quantity::{Metres, Radians};

/// atan(r/h): the angle at which the centre of mass passes over the edge of the support.
///
/// r is the least distance from the foot of the centre of mass to an edge of the support: the radius of a round base,
/// the inradius of a polygon.
pub fn tipping_angle(support_radius: Metres, height_of_mass: Metres) -> Radians {
    Radians::si(libm::atan2(support_radius.value(), height_of_mass.value()))
}

/// Who the lamp stands with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// On a table or floor, for grown people.
    Portable,
    /// For children.
    Children,
    /// In a garden.
    Garden,
}

/// An angle with its source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TiltRow {
    /// Angle it must stand, in every direction.
    pub angle: Radians,
    /// Where it stands.
    pub source: &'static str,
    /// Whether it is from memory.
    pub from_memory: bool,
}

/// The angle a lamp of this place must stand.
pub fn tilt_wanted(place: Place) -> TiltRow {
    let row = |degrees: f64, source| TiltRow { angle: Radians::si(degrees.to_radians()), source, from_memory: false };
    match place {
        Place::Portable => row(6.0, "IEC 60598-2-4"),
        Place::Children => row(15.0, "IEC 60598-2-10"),
        Place::Garden => row(15.0, "IEC 60598-2-7"),
    }
}

/// The support radius that an angle asks for: h tan(angle).
pub fn support_wanted(height_of_mass: Metres, angle: Radians) -> Metres {
    height_of_mass * libm::tan(angle.value())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::conductors::mm;

    #[test]
    fn the_support_asked_for_just_stands() {
        for place in [Place::Portable, Place::Children, Place::Garden] {
            let wanted = tilt_wanted(place).angle;
            let support = support_wanted(mm(300.0), wanted);
            assert!((tipping_angle(support, mm(300.0)).value() - wanted.value()).abs() < 1e-15);
        }
    }
}
