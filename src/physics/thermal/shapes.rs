//! Shapes of lamp bodies to their faces, outside and inside, and the conductance of the wall between.

use std::f64::consts::PI;

use super::faces::{Face, Stance, area};
use crate::quantity::{Metres, SquareMetres, WattsPerKelvin, WattsPerMetreKelvin};

/// Where a plane face looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Facing {
    /// To the ceiling.
    Up,
    /// To the floor.
    Down,
    /// To a side.
    Side,
}

/// A shape by its outer sizes, as it stands or hangs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shape {
    /// Whole sphere.
    Sphere {
        /// D.
        diameter: Metres,
    },
    /// Box.
    Box {
        /// One lying edge.
        width: Metres,
        /// The other lying edge.
        depth: Metres,
        /// The standing edge.
        height: Metres,
    },
    /// Cylinder with an upright axis.
    StandingCylinder {
        /// D.
        diameter: Metres,
        /// H.
        height: Metres,
    },
    /// Cylinder with a lying axis.
    LyingCylinder {
        /// D.
        diameter: Metres,
        /// L.
        length: Metres,
    },
    /// Cut cone with an upright axis: mantle and the disc on its top; below it is open for a front.
    Cone {
        /// Diameter above.
        top: Metres,
        /// Diameter below.
        bottom: Metres,
        /// H.
        height: Metres,
    },
    /// Sphere with a flat opening, more than half of it kept; a half sphere where the opening is its diameter.
    PartSphere {
        /// D.
        diameter: Metres,
        /// Diameter of the opening.
        opening: Metres,
    },
    /// Flat round front; a wall does not make it smaller inside.
    Disc {
        /// D.
        diameter: Metres,
        /// Where it looks.
        facing: Facing,
    },
    /// Flat rectangular front; a wall does not make it smaller inside.
    Plane {
        /// Lying edge.
        width: Metres,
        /// Standing edge, or the other lying edge.
        height: Metres,
        /// Where it looks.
        facing: Facing,
    },
}

/// A rectangle; an upright one is as high as `height`.
fn plane(width: Metres, height: Metres, facing: Facing) -> Face {
    let area = width * height;
    let length = area / ((width + height) * 2.0);
    let stance = match facing {
        Facing::Up => Stance::Up { length },
        Facing::Down => Stance::Down { length },
        Facing::Side => Stance::Upright { height, slope: 1.0 },
    };
    Face { stance, area }
}

/// A disc; an upright one counts as a plate of its mean height πD/4.
fn disc(diameter: Metres, facing: Facing) -> Face {
    let length = diameter / 4.0;
    let stance = match facing {
        Facing::Up => Stance::Up { length },
        Facing::Down => Stance::Down { length },
        Facing::Side => Stance::Upright { height: diameter * (PI / 4.0), slope: 1.0 },
    };
    Face { stance, area: diameter * diameter * (PI / 4.0) }
}

impl Shape {
    /// Its faces from outside.
    pub fn faces(&self) -> Vec<Face> {
        match *self {
            Self::Sphere { diameter } => vec![round(diameter, diameter * diameter * PI)],
            Self::Box { width, depth, height } => {
                let sides = Face { stance: upright(height, 1.0), area: height * (width + depth) * 2.0 };
                vec![sides, plane(width, depth, Facing::Up), plane(width, depth, Facing::Down)]
            }
            Self::StandingCylinder { diameter, height } => {
                let mantle =
                    Face { stance: Stance::StandingCylinder { height, diameter }, area: diameter * height * PI };
                vec![mantle, disc(diameter, Facing::Up), disc(diameter, Facing::Down)]
            }
            Self::LyingCylinder { diameter, length } => {
                let mantle = Face { stance: Stance::LyingCylinder { diameter }, area: diameter * length * PI };
                vec![mantle, disc(diameter, Facing::Side), disc(diameter, Facing::Side)]
            }
            Self::Cone { top, bottom, height } => {
                let slant = Metres::si(libm::hypot(0.5 * (bottom - top).value(), height.value()));
                let mantle = Face { stance: upright(slant, height / slant), area: slant * (top + bottom) * (PI / 2.0) };
                vec![mantle, disc(top, Facing::Up)]
            }
            Self::PartSphere { diameter, opening } => {
                let (r, a) = (0.5 * diameter.value(), 0.5 * opening.value());
                let kept = 2.0 * PI * r * (r + (r * r - a * a).max(0.0).sqrt());
                vec![round(diameter, SquareMetres::si(kept))]
            }
            Self::Disc { diameter, facing } => vec![disc(diameter, facing)],
            Self::Plane { width, height, facing } => vec![plane(width, height, facing)],
        }
    }

    /// The shape of the space inside a wall this thick.
    pub fn within(&self, wall: Metres) -> Self {
        let less = |size: Metres| (size - wall * 2.0).max(Metres::si(1e-4));
        match *self {
            Self::Sphere { diameter } => Self::Sphere { diameter: less(diameter) },
            Self::Box { width, depth, height } => {
                Self::Box { width: less(width), depth: less(depth), height: less(height) }
            }
            Self::StandingCylinder { diameter, height } => {
                Self::StandingCylinder { diameter: less(diameter), height: less(height) }
            }
            Self::LyingCylinder { diameter, length } => {
                Self::LyingCylinder { diameter: less(diameter), length: less(length) }
            }
            Self::Cone { top, bottom, height } => Self::Cone { top: less(top), bottom: less(bottom), height },
            Self::PartSphere { diameter, opening } => {
                Self::PartSphere { diameter: less(diameter), opening: less(opening) }
            }
            front @ (Self::Disc { .. } | Self::Plane { .. }) => front,
        }
    }

    /// Its faces from inside a wall this thick: a ceiling looks down, a floor up, round walls count as upright.
    pub fn inner_faces(&self, wall: Metres) -> Vec<Face> {
        self.within(wall).faces().into_iter().map(inside_out).collect()
    }
}

fn upright(height: Metres, slope: f64) -> Stance {
    Stance::Upright { height, slope }
}

fn round(diameter: Metres, area: SquareMetres) -> Face {
    Face { stance: Stance::Sphere { diameter }, area }
}

fn inside_out(face: Face) -> Face {
    let stance = match face.stance {
        Stance::Up { length } => Stance::Down { length },
        Stance::Down { length } => Stance::Up { length },
        Stance::StandingCylinder { height, .. } => upright(height, 1.0),
        Stance::LyingCylinder { diameter } | Stance::Sphere { diameter } => upright(diameter, 1.0),
        stance @ Stance::Upright { .. } => stance,
    };
    Face { stance, ..face }
}

fn facing(face: &Face) -> Option<Facing> {
    match face.stance {
        Stance::Up { .. } => Some(Facing::Up),
        Stance::Down { .. } => Some(Facing::Down),
        Stance::Upright { .. } => Some(Facing::Side),
        _ => None,
    }
}

/// Takes this area off the faces that look there, or off the first face where none does: a covered side, or the place
/// of a front.
pub fn take(faces: &mut Vec<Face>, towards: Facing, area: SquareMetres) {
    let at = faces.iter().position(|face| facing(face) == Some(towards)).unwrap_or(0);
    if let Some(face) = faces.get_mut(at) {
        face.area = (face.area - area).max(SquareMetres::ZERO);
    }
    faces.retain(|face| face.area > SquareMetres::ZERO);
}

/// The inner side of a face list that was cut with `take`: towards the same place from inside.
pub fn from_inside(towards: Facing) -> Facing {
    match towards {
        Facing::Up => Facing::Down,
        Facing::Down => Facing::Up,
        Facing::Side => Facing::Side,
    }
}

/// U A = k √(A_in A_out)/t: exact for a spherical shell; for a cylinder 0.03 % low at t/r of 8 %.
pub fn wall_conductance(
    inner: &[Face],
    outer: &[Face],
    wall: Metres,
    conductivity: WattsPerMetreKelvin,
) -> WattsPerKelvin {
    let mean = (area(inner).value() * area(outer).value()).sqrt();
    WattsPerKelvin::si(conductivity.value() * mean / wall.value())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_covered_back_gives_no_heat() {
        let m = Metres::si;
        let lamp = Shape::Box { width: m(0.2), depth: m(0.1), height: m(0.3) };
        let mut faces = lamp.faces();
        let whole = area(&faces);
        take(&mut faces, Facing::Side, m(0.2) * m(0.3));
        assert!((whole - area(&faces) - m(0.2) * m(0.3)).value().abs() < 1e-12);
        take(&mut faces, Facing::Up, m(0.2) * m(0.1));
        assert!(faces.iter().all(|face| facing(face) != Some(Facing::Up)));
    }

    #[test]
    fn a_half_sphere_has_half_the_surface() {
        let d = Metres::si(0.2);
        let (half, whole) = (Shape::PartSphere { diameter: d, opening: d }, Shape::Sphere { diameter: d });
        assert!((area(&half.faces()) / area(&whole.faces()) - 0.5).abs() < 1e-12);
    }
}
