//! Parts in a body: how far a box or cylinder reaches in a sphere, cylinder or box, and the gap between parts.
//! Axes are those of the body, its centre the origin; shelves place parts on a floor.

use crate::quantity::Metres;

/// A place or a half size in space: x, y, z.
pub type Triple = [Metres; 3];

/// A part, upright.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Part {
    /// A box by centre and half sizes.
    Block {
        /// Centre.
        centre: Triple,
        /// Half of each size.
        half: Triple,
    },
    /// A cylinder along z.
    Upright {
        /// Centre.
        centre: Triple,
        /// Radius.
        radius: Metres,
        /// Half of its length.
        half: Metres,
    },
}

/// The space inside a body, less its walls.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Space {
    /// A sphere of this radius.
    Sphere(Metres),
    /// A cylinder along z, by radius and half height.
    Cylinder(Metres, Metres),
    /// A box by half sizes.
    Block(Triple),
}

fn values(triple: Triple) -> [f64; 3] {
    triple.map(Metres::value)
}

impl Part {
    fn centre(&self) -> [f64; 3] {
        match self {
            Self::Block { centre, .. } | Self::Upright { centre, .. } => values(*centre),
        }
    }
    /// Half of the upright box around the part.
    fn half(&self) -> [f64; 3] {
        match self {
            Self::Block { half, .. } => values(*half),
            Self::Upright { radius, half, .. } => [radius.value(), radius.value(), half.value()],
        }
    }
    /// Farthest distance of the part from the z axis.
    fn reach_aside(&self) -> f64 {
        let ([x, y, _], [hx, hy, _]) = (self.centre(), self.half());
        match self {
            Self::Block { .. } => libm::hypot(x.abs() + hx, y.abs() + hy),
            Self::Upright { radius, .. } => libm::hypot(x, y) + radius.value(),
        }
    }
}

/// Room left between a part and the wall of the space, negative when it does not fit. Exact.
///
/// Sphere: R − √(Σ(|cᵢ| + hᵢ)²), a cylinder by its farther rim. Cylinder and box: the least of the sides.
pub fn margin(part: &Part, space: &Space) -> Metres {
    let (c, h) = (part.centre(), part.half());
    let up = c[2].abs() + h[2];
    Metres::si(match space {
        Space::Sphere(radius) => radius.value() - libm::hypot(part.reach_aside(), up),
        Space::Cylinder(radius, half) => (radius.value() - part.reach_aside()).min(half.value() - up),
        Space::Block(half) => {
            let sides = values(*half);
            (0..3).map(|axis| sides[axis] - c[axis].abs() - h[axis]).fold(f64::INFINITY, f64::min)
        }
    })
}

/// Half sizes of the upright box around a cylinder of half length l and radius r along a unit vector u:
/// l |uᵢ| + r √(1 − uᵢ²).
pub fn tilted_cylinder_half(axis: [f64; 3], half_length: Metres, radius: Metres) -> Triple {
    axis.map(|u| half_length * u.abs() + radius * libm::sqrt((1.0 - u * u).max(0.0)))
}

/// Farthest point of such a cylinder from the origin: √((|c·u| + l)² + (p + r)²), p the distance of its axis.
pub fn tilted_cylinder_reach(centre: Triple, axis: [f64; 3], half_length: Metres, radius: Metres) -> Metres {
    let c = values(centre);
    let along: f64 = (0..3).map(|k| c[k] * axis[k]).sum();
    let square: f64 = (0..3).map(|k| (c[k] - along * axis[k]) * (c[k] - along * axis[k])).sum();
    Metres::si(libm::hypot(along.abs() + half_length.value(), libm::sqrt(square) + radius.value()))
}

/// Gap between two parts, zero when they touch or overlap. Exact for upright parts.
pub fn gap(one: &Part, other: &Part) -> Metres {
    let (c1, h1, c2, h2) = (one.centre(), one.half(), other.centre(), other.half());
    let apart = |axis: usize| ((c1[axis] - c2[axis]).abs() - h1[axis] - h2[axis]).max(0.0);
    let aside = match (one, other) {
        (Part::Block { .. }, Part::Block { .. }) => libm::hypot(apart(0), apart(1)),
        (Part::Upright { radius: r1, .. }, Part::Upright { radius: r2, .. }) => {
            (libm::hypot(c1[0] - c2[0], c1[1] - c2[1]) - r1.value() - r2.value()).max(0.0)
        }
        // A cylinder and a box: from its axis to the box, less its radius.
        (Part::Upright { radius, .. }, Part::Block { .. }) => axis_to_block(c1, c2, h2, radius.value()),
        (Part::Block { .. }, Part::Upright { radius, .. }) => axis_to_block(c2, c1, h1, radius.value()),
    };
    Metres::si(libm::hypot(aside, apart(2)))
}

fn axis_to_block(axis: [f64; 3], centre: [f64; 3], half: [f64; 3], radius: f64) -> f64 {
    let out = |k: usize| ((axis[k] - centre[k]).abs() - half[k]).max(0.0);
    (libm::hypot(out(0), out(1)) - radius).max(0.0)
}

/// A part on a floor, by name, width and depth.
#[derive(Debug, Clone, PartialEq)]
pub struct Footprint {
    /// Name; decides between equals, so that the order of the specification does not.
    pub name: String,
    /// Along the shelf.
    pub width: Metres,
    /// Across the shelf.
    pub depth: Metres,
}

/// Where a part stands: its lower left corner.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// Name of the part.
    pub name: String,
    /// From the left wall's outside.
    pub x: Metres,
    /// From the lower wall's outside.
    pub y: Metres,
}

/// A shelf that is being filled.
struct Shelf {
    y: f64,
    used: f64,
}

/// First fit by decreasing depth (Coffman, Garey, Johnson and Tarjan 1980): parts by depth, width and name, each on the
/// first shelf with room; `width` of the floor and `wall` around it, `gap` between parts.
///
/// Gives places and the depth used with both walls; `None` when a part is wider than the floor. At most 1.7 times
/// the best depth and one part more.
pub fn shelves(parts: &[Footprint], width: Metres, gap: Metres, wall: Metres) -> Option<(Vec<Placed>, Metres)> {
    let (inner, gap, wall) = (width.value() - 2.0 * wall.value(), gap.value(), wall.value());
    let mut order: Vec<&Footprint> = parts.iter().collect();
    order.sort_by(|a, b| {
        let sizes = (b.depth.value().total_cmp(&a.depth.value())).then(b.width.value().total_cmp(&a.width.value()));
        sizes.then_with(|| a.name.cmp(&b.name))
    });
    let (mut shelves, mut placed, mut top): (Vec<Shelf>, Vec<Placed>, f64) = (Vec::new(), Vec::new(), wall);
    for part in order {
        let (w, d) = (part.width.value(), part.depth.value());
        if w > inner + 1e-12 {
            return None;
        }
        let free = shelves.iter().position(|shelf| shelf.used + gap + w <= inner + 1e-12);
        let (x, y) = match free.and_then(|n| shelves.get_mut(n)) {
            Some(shelf) => {
                let x = shelf.used + gap;
                shelf.used = x + w;
                (x, shelf.y)
            }
            None => {
                let y = if shelves.is_empty() { top } else { top + gap };
                shelves.push(Shelf { y, used: w });
                top = y + d;
                (0.0, y)
            }
        };
        placed.push(Placed { name: part.name.clone(), x: Metres::si(wall + x), y: Metres::si(y) });
    }
    Some((placed, Metres::si(top + wall)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::conductors::mm;

    fn upright(x: f64, y: f64, z: f64) -> Part {
        Part::Upright { centre: [mm(x), mm(y), mm(z)], radius: mm(5.0), half: mm(10.0) }
    }

    #[test]
    fn parts_fit_as_long_as_the_margin_is_not_negative() {
        let part = upright(10.0, 0.0, 5.0);
        for (space, left) in [
            (Space::Cylinder(mm(20.0), mm(20.0)), 5.0),
            (Space::Cylinder(mm(14.0), mm(20.0)), -1.0),
            (Space::Block([mm(20.0), mm(6.0), mm(20.0)]), 1.0),
            (Space::Sphere(mm(25.0)), 25.0 - libm::hypot(15.0, 15.0)),
        ] {
            assert!((margin(&part, &space) - mm(left)).abs() < mm(1e-9), "{space:?}");
        }
    }

    #[test]
    fn gaps_do_not_depend_on_the_order() {
        let block = Part::Block { centre: [mm(20.0), mm(3.0), mm(0.0)], half: [mm(5.0), mm(5.0), mm(5.0)] };
        let post = upright(0.0, 0.0, 0.0);
        assert_eq!(gap(&post, &block), gap(&block, &post));
        assert!((gap(&post, &block) - mm(10.0)).abs() < mm(1e-9));
        assert!((gap(&post, &upright(8.0, 6.0, 30.0)) - mm(10.0)).abs() < mm(1e-9));
        assert_eq!(gap(&post, &post), Metres::ZERO);
    }

    #[test]
    fn a_part_wider_than_the_floor_is_refused() {
        let part = Footprint { name: "a".into(), width: mm(50.0), depth: mm(5.0) };
        assert_eq!(shelves(std::slice::from_ref(&part), mm(52.0), mm(2.0), mm(2.0)), None);
        assert!(shelves(&[part], mm(54.0), mm(2.0), mm(2.0)).is_some());
    }
}
