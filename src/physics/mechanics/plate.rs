//! A sheet with holes: area, webs, edge distances and inside radii, and whether its edges are sound.
//! Distances are exact for lines and arcs.

use cavalier_contours::polyline::{PlineContainsResult, PlineSource};

use super::curve::Point;
use super::offset::polyline;
use super::outline::Outline;
use super::shapes::{ShapeFault, circle, disc};
use crate::quantity::{Kilograms, KilogramsPerCubicMetre, Metres, SquareMetres};

/// An outer edge and the holes in it, all counter-clockwise.
#[derive(Debug, Clone, PartialEq)]
pub struct Plate {
    /// The outside.
    pub outer: Outline,
    /// Holes and cut-outs.
    pub holes: Vec<Outline>,
}

/// Which edge of a plate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Edge {
    /// The outside.
    Outer,
    /// A hole, by its number from 0.
    Hole(usize),
}

/// Why the edges of a plate do not make one part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PlateFault {
    /// A hole is not inside the outer edge.
    HoleOutside(usize),
    /// Two holes run into each other.
    HolesMeet(usize, usize),
    /// An edge crosses itself.
    CrossesItself(Edge),
    /// An edge with fewer than two vertices encloses nothing.
    Empty(Edge),
}

/// Distances of one hole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HoleDistances {
    /// Number of the hole from 0.
    pub hole: usize,
    /// Diameter of a round hole, else its smaller extent.
    pub size: Metres,
    /// From the hole's centre to the outer edge.
    pub centre_to_edge: Metres,
    /// Material between hole and outer edge.
    pub web_to_edge: Metres,
    /// Material between this hole and the nearest other.
    pub web_to_hole: Option<Metres>,
}

impl Plate {
    /// A plate without holes.
    pub fn solid(outer: Outline) -> Self {
        Self { outer, holes: Vec::new() }
    }

    /// A ring: A = π (R² − r²), P = 2π (R + r).
    ///
    /// # Errors
    /// [`ShapeFault`]; a hole that is not smaller is [`ShapeFault::OpeningTooLarge`].
    pub fn ring(diameter: Metres, hole: Metres) -> Result<Self, ShapeFault> {
        if hole >= diameter {
            return Err(ShapeFault::OpeningTooLarge(diameter));
        }
        Ok(Self { outer: disc(diameter)?, holes: vec![circle(Point::ORIGIN, hole)?] })
    }

    /// Area without the holes.
    pub fn area(&self) -> SquareMetres {
        self.outer.area() - self.holes.iter().map(Outline::area).sum()
    }

    /// Length of all edges: how far the tool travels.
    pub fn edge_length(&self) -> Metres {
        self.outer.perimeter() + self.holes.iter().map(Outline::perimeter).sum()
    }

    /// m = ρ A t.
    pub fn mass(&self, thickness: Metres, density: KilogramsPerCubicMetre) -> Kilograms {
        density * (self.area() * thickness)
    }

    /// Everything that is wrong with the edges.
    pub fn faults(&self) -> Vec<PlateFault> {
        let edges = std::iter::once((Edge::Outer, &self.outer));
        let edges: Vec<_> = edges.chain(self.holes.iter().enumerate().map(|(n, hole)| (Edge::Hole(n), hole))).collect();
        let empty = edges.iter().filter(|(_, outline)| outline.vertices.len() < 2);
        let mut faults: Vec<_> = empty.map(|(edge, _)| PlateFault::Empty(*edge)).collect();
        if !faults.is_empty() {
            return faults;
        }
        let crossing = edges.iter().filter(|(_, outline)| polyline(outline).scan_for_self_intersect());
        faults.extend(crossing.map(|(edge, _)| PlateFault::CrossesItself(*edge)));
        let outer = polyline(&self.outer);
        let holes: Vec<_> = self.holes.iter().map(polyline).collect();
        for (a, hole) in holes.iter().enumerate() {
            if outer.contains(hole) != PlineContainsResult::Pline2InsidePline1 {
                faults.push(PlateFault::HoleOutside(a));
            }
            for (b, other) in holes.iter().enumerate().skip(a + 1) {
                if hole.contains(other) != PlineContainsResult::Disjoint {
                    faults.push(PlateFault::HolesMeet(a, b));
                }
            }
        }
        faults
    }

    /// Distances of every hole; meaningful when [`Plate::faults`] finds nothing.
    pub fn hole_distances(&self) -> Vec<HoleDistances> {
        let row = |(number, hole): (usize, &Outline)| {
            let (centre, size) = hole.as_circle().map_or_else(
                || (hole.centroid(), hole.extents().width().min(hole.extents().height())),
                |(centre, radius)| (centre, radius * 2.0),
            );
            let others = self.holes.iter().enumerate().filter(|(other, _)| *other != number);
            HoleDistances {
                hole: number,
                size,
                centre_to_edge: self.outer.distance_to(centre),
                web_to_edge: hole.distance_between(&self.outer),
                web_to_hole: others.map(|(_, other)| hole.distance_between(other)).reduce(Metres::min),
            }
        };
        self.holes.iter().enumerate().map(row).collect()
    }

    /// The smallest inside radius, which a round tool has to enter: zero at a sharp inside corner; `None` when there
    /// is no inside corner at all.
    pub fn least_inside_radius(&self) -> Option<Metres> {
        let outer = inside_radii(&self.outer, -1.0);
        let holes = self.holes.iter().flat_map(|hole| inside_radii(hole, 1.0));
        outer.into_iter().chain(holes).reduce(Metres::min)
    }
}

/// Radii of arcs and sharp corners that bow to the side of the waste; `side` −1 for the outside, 1 for a hole.
pub(super) fn inside_radii(edge: &Outline, side: f64) -> Vec<Metres> {
    let arcs = edge.segments().into_iter().filter(|s| s.bulge * side > 0.0).filter_map(|s| s.radius());
    let sharp = edge.corners().into_iter().filter(|turn| turn * side > 0.0).map(|_| Metres::ZERO);
    arcs.chain(sharp).collect()
}

/// The smallest inside radius of an outer edge or of a hole, as a tool finds it; `None` without an inside corner.
pub fn least_inside_radius(edge: &Outline, hole: bool) -> Option<Metres> {
    inside_radii(edge, if hole { 1.0 } else { -1.0 }).into_iter().reduce(Metres::min)
}

/// Least web to plan for: the larger of the thickness and 3 mm (our guideline; shops ask for the thickness).
pub fn web_wanted(thickness: Metres) -> Metres {
    thickness.max(Metres::si(0.003))
}

/// Least distance from a hole's centre to an edge: 1.5 d, 2 d in brittle sheet such as acrylic (our guideline).
pub fn edge_distance_wanted(hole_diameter: Metres, brittle: bool) -> Metres {
    hole_diameter * if brittle { 2.0 } else { 1.5 }
}

/// A slot has to be at least as wide as the tool that cuts it.
pub fn slot_fits(width: Metres, kerf: Metres) -> bool {
    width >= kerf
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::conductors::mm;
    use crate::physics::mechanics::shapes::{Notch, bolt_circle, notched, rounded_rectangle};

    #[test]
    fn distances_of_a_bolt_circle() {
        let plate = Plate { outer: disc(mm(200.0)).unwrap(), holes: bolt_circle(4, mm(180.0), mm(4.2), 0.3).unwrap() };
        assert_eq!(plate.faults(), []);
        for row in plate.hole_distances() {
            assert!((row.centre_to_edge - mm(10.0)).abs() < mm(1e-9));
            assert!((row.web_to_edge - mm(7.9)).abs() < mm(1e-9), "{:?}", row.web_to_edge);
            let chord = 180.0 * libm::sin(std::f64::consts::FRAC_PI_4);
            assert!((row.web_to_hole.unwrap() - mm(chord - 4.2)).abs() < mm(1e-9));
        }
    }

    #[test]
    fn bad_edges_are_named() {
        let outer = rounded_rectangle(mm(100.0), mm(60.0), mm(5.0)).unwrap();
        let hole = |x: f64, d: f64| circle(Point { x: mm(x), y: Metres::ZERO }, mm(d)).unwrap();
        let plate = Plate { outer, holes: vec![hole(0.0, 10.0), hole(8.0, 10.0), hole(48.0, 10.0)] };
        assert_eq!(plate.faults(), [PlateFault::HolesMeet(0, 1), PlateFault::HoleOutside(2)]);
        let bow = Outline::polygon(
            &[(0.0, 0.0), (20.0, 20.0), (20.0, 0.0), (0.0, 20.0)].map(|(x, y)| Point { x: mm(x), y: mm(y) }),
        );
        assert_eq!(Plate::solid(bow).faults(), [PlateFault::CrossesItself(Edge::Outer)]);
        assert_eq!(Plate::solid(Outline::new(Vec::new())).faults(), [PlateFault::Empty(Edge::Outer)]);
    }

    #[test]
    fn only_inside_corners_count_for_the_tool() {
        let square = rounded_rectangle(mm(40.0), mm(40.0), Metres::ZERO).unwrap();
        assert_eq!(Plate::solid(square.clone()).least_inside_radius(), None);
        let notch = Notch { angle: 0.0, width: mm(8.0), depth: mm(4.0), radius: mm(1.5) };
        let with_notch = Plate::solid(notched(&square, notch).unwrap());
        assert!((with_notch.least_inside_radius().unwrap() - mm(1.5)).abs() < mm(1e-6));
        let window = Plate { outer: disc(mm(200.0)).unwrap(), holes: vec![square] };
        assert_eq!(window.least_inside_radius(), Some(Metres::ZERO));
    }

    #[test]
    fn a_ring_weighs_what_it_is() {
        let ring = Plate::ring(mm(100.0), mm(60.0)).unwrap();
        let expected = std::f64::consts::PI * (50.0 * 50.0 - 30.0 * 30.0) * 3.0 * 1e-9 * 1190.0;
        let mass = ring.mass(mm(3.0), KilogramsPerCubicMetre::si(1190.0));
        assert!((mass.value() - expected).abs() < 1e-12);
        assert!(Plate::ring(mm(60.0), mm(60.0)).is_err());
        assert!((edge_distance_wanted(mm(4.2), true) - mm(8.4)).abs() < mm(1e-12) && web_wanted(mm(5.0)) == mm(5.0));
    }
}
