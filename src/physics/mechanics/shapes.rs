//! Constructors of outlines: disc, rounded rectangle, slot, regular polygon, bolt circle, and the notch in an edge.
//! All are centred on the origin and counter-clockwise.

use std::f64::consts::PI;

use cavalier_contours::polyline::{BooleanOp, PlineSource};

use super::curve::Point;
use super::offset::{from_polyline, polyline};
use super::outline::{Outline, Vertex};
use crate::quantity::Metres;

/// Why a shape cannot be made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ShapeFault {
    /// A size is not positive; the size.
    NotPositive(Metres),
    /// The corner radius is more than half of the smaller side; the largest that fits.
    RadiusTooLarge(Metres),
    /// The opening of a ring is not smaller than the ring; the ring's diameter.
    OpeningTooLarge(Metres),
    /// A polygon or bolt circle needs more corners; the number given.
    TooFew(usize),
    /// A notch is cut where the outline is not, or cuts it in two.
    NotchMisses,
    /// A tab does not grow out of one edge of the outline.
    TabMisses,
    /// An arc's radius is less than half of the way it spans; the least that reaches.
    ArcTooTight(Metres),
    /// A run of points encloses nothing.
    NoArea,
    /// The neck of a keyhole is not narrower than its head; the head.
    NeckTooWide(Metres),
    /// The neck of a keyhole does not leave its head; the reach at which it would begin to.
    NeckTooShort(Metres),
    /// A slot is shorter than it is wide; its width.
    SlotTooShort(Metres),
    /// The tolerance of an arc fit cannot be met.
    Tolerance(Metres),
}

impl std::fmt::Display for ShapeFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::NotPositive(size) => write!(f, "a size of {size} makes no outline; give one above zero"),
            Self::RadiusTooLarge(most) => write!(f, "corner radius larger than half of a side; at most {most}"),
            Self::OpeningTooLarge(outside) => {
                write!(f, "its opening leaves no ring; make it smaller than {outside}")
            }
            Self::TooFew(count) => write!(f, "{count} corners make no shape; give three or more"),
            Self::NotchMisses => write!(f, "the notch does not stay in one edge; move it or make it shallower"),
            Self::TabMisses => write!(f, "the tab does not grow out of one edge; move it or make it narrower"),
            Self::ArcTooTight(least) => {
                write!(f, "an arc does not reach its point; give it a radius of {least} or more")
            }
            Self::NoArea => write!(f, "its points enclose nothing; write three that are not in line"),
            Self::NeckTooWide(head) => write!(f, "its neck is as wide as its head of {head}; make the neck narrower"),
            Self::NeckTooShort(least) => write!(f, "its neck stays in its head; give it a reach of more than {least}"),
            Self::SlotTooShort(width) => {
                write!(f, "its length is less than its width; give a length over all of {width} or more")
            }
            Self::Tolerance(least) => write!(f, "arc fit cannot reach the tolerance; give {least} or more"),
        }
    }
}

pub(super) fn positive(size: Metres) -> Result<Metres, ShapeFault> {
    if size.value() > 0.0 && size.value().is_finite() { Ok(size) } else { Err(ShapeFault::NotPositive(size)) }
}

/// A circle about `centre`, as two half arcs.
///
/// # Errors
/// [`ShapeFault::NotPositive`].
pub fn circle(centre: Point, diameter: Metres) -> Result<Outline, ShapeFault> {
    let radius = positive(diameter)? / 2.0;
    let vertex = |x| Vertex { point: Point { x, y: centre.y }, bulge: 1.0 };
    Ok(Outline::new(vec![vertex(centre.x + radius), vertex(centre.x - radius)]))
}

/// A disc: A = π R², P = 2π R.
///
/// # Errors
/// [`ShapeFault::NotPositive`].
pub fn disc(diameter: Metres) -> Result<Outline, ShapeFault> {
    circle(Point::ORIGIN, diameter)
}

/// A rectangle with rounded corners: A = w h − (4 − π) r², P = 2(w + h) − (8 − 2π) r. `radius` may be zero.
///
/// # Errors
/// [`ShapeFault::NotPositive`] and [`ShapeFault::RadiusTooLarge`].
pub fn rounded_rectangle(width: Metres, height: Metres, radius: Metres) -> Result<Outline, ShapeFault> {
    let (w, h, r) = (positive(width)?.value() / 2.0, positive(height)?.value() / 2.0, radius.value());
    if !(0.0..=w.min(h)).contains(&r) {
        return Err(ShapeFault::RadiusTooLarge(Metres::si(w.min(h))));
    }
    // Each corner: where its arc starts and ends.
    let corners = [
        ((w - r, -h), (w, -h + r)),
        ((w, h - r), (w - r, h)),
        ((-w + r, h), (-w, h - r)),
        ((-w, -h + r), (-w + r, -h)),
    ];
    let quarter = libm::tan(PI / 8.0);
    let mut vertices: Vec<Vertex> = Vec::with_capacity(8);
    for (start, end) in corners {
        vertices.push(Vertex { point: Point::from_xy(start.0, start.1), bulge: if r > 0.0 { quarter } else { 0.0 } });
        vertices.push(Vertex { point: Point::from_xy(end.0, end.1), bulge: 0.0 });
    }
    Ok(Outline::new(without_repeats(vertices)))
}

/// Drops a vertex whose piece to the next has no length; a shape whose arcs touch has such pieces.
fn without_repeats(vertices: Vec<Vertex>) -> Vec<Vertex> {
    let next: Vec<Point> = vertices.iter().cycle().skip(1).take(vertices.len()).map(|v| v.point).collect();
    let kept = vertices.into_iter().zip(next).filter(|(vertex, next)| vertex.point.distance(*next).value() > 0.0);
    kept.map(|(vertex, _)| vertex).collect()
}

/// A slot with round ends: A = w(L − w) + π w²/4, P = 2(L − w) + π w, with the length over all.
///
/// # Errors
/// [`ShapeFault::NotPositive`]; a slot shorter than its width is [`ShapeFault::SlotTooShort`].
pub fn slot(length: Metres, width: Metres) -> Result<Outline, ShapeFault> {
    if length < width {
        return Err(ShapeFault::SlotTooShort(width));
    }
    rounded_rectangle(length, width, width / 2.0)
}

/// A regular polygon with a side at the bottom, R to its corners: A = n R² sin(2π/n)/2, P = 2 n R sin(π/n).
///
/// # Errors
/// [`ShapeFault::NotPositive`] and [`ShapeFault::TooFew`].
pub fn regular_polygon(sides: usize, across_corners: Metres) -> Result<Outline, ShapeFault> {
    if sides < 3 {
        return Err(ShapeFault::TooFew(sides));
    }
    let half = PI / sides as f64;
    let radius = positive(across_corners)? / 2.0;
    let corner = |k: usize| Point::polar(radius, -PI / 2.0 + half + 2.0 * half * k as f64);
    Ok(Outline::polygon(&(0..sides).map(corner).collect::<Vec<_>>()))
}

/// Round holes on a circle about the origin, the first at `first_angle` radians from the x axis.
///
/// # Errors
/// [`ShapeFault::NotPositive`] and [`ShapeFault::TooFew`] for none.
pub fn bolt_circle(
    count: usize,
    circle_diameter: Metres,
    hole_diameter: Metres,
    first_angle: f64,
) -> Result<Vec<Outline>, ShapeFault> {
    if count == 0 {
        return Err(ShapeFault::TooFew(count));
    }
    let radius = positive(circle_diameter)? / 2.0;
    let step = 2.0 * PI / count as f64;
    (0..count).map(|k| circle(Point::polar(radius, first_angle + step * k as f64), hole_diameter)).collect()
}

/// A rectangular notch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Notch {
    /// Direction from the origin in which the edge is cut, radians from the x axis.
    pub angle: f64,
    /// Width along the edge.
    pub width: Metres,
    /// Depth from the point where that direction meets the edge.
    pub depth: Metres,
    /// Radius of the two inside corners; zero leaves them sharp.
    pub radius: Metres,
}

/// Cuts a notch into the edge of an outline that holds the origin. Arcs stay arcs.
///
/// # Errors
/// [`ShapeFault`]; [`ShapeFault::NotchMisses`] when the notch splits the outline or does not reach it.
pub fn notched(outline: &Outline, notch: Notch) -> Result<Outline, ShapeFault> {
    let (width, depth) = (positive(notch.width)?, positive(notch.depth)?);
    if !notch.angle.is_finite() {
        return Err(ShapeFault::NotchMisses);
    }
    if !(Metres::ZERO..=(width / 2.0).min(depth)).contains(&notch.radius) {
        return Err(ShapeFault::RadiusTooLarge((width / 2.0).min(depth)));
    }
    let edge = edge_in_direction(outline, notch.angle).ok_or(ShapeFault::NotchMisses)?;
    let extents = outline.extents();
    let beyond = extents.width() + extents.height();
    let cutter = pocket(edge - depth, edge + beyond, width, notch.radius)?.turned(notch.angle);
    let result = polyline(outline).boolean(&polyline(&cutter), BooleanOp::Not);
    match (result.pos_plines.as_slice(), result.neg_plines.as_slice()) {
        ([one], []) => Ok(from_polyline(&one.pline)),
        _ => Err(ShapeFault::NotchMisses),
    }
}

/// A rectangle from x = `near` to `far`, `width` high, with the two near corners rounded.
pub(super) fn pocket(near: Metres, far: Metres, width: Metres, radius: Metres) -> Result<Outline, ShapeFault> {
    let (x0, x1, h, r) = (near.value(), far.value(), width.value() / 2.0, radius.value());
    let bulge = if r > 0.0 { libm::tan(PI / 8.0) } else { 0.0 };
    let at = |x, y, bulge| Vertex { point: Point::from_xy(x, y), bulge };
    let vertices = vec![
        at(x1, -h, 0.0),
        at(x1, h, 0.0),
        at(x0 + r, h, bulge),
        at(x0, h - r, 0.0),
        at(x0, -h + r, bulge),
        at(x0 + r, -h, 0.0),
    ];
    Ok(Outline::new(without_repeats(vertices)))
}

/// Distance from the origin to the edge along a direction: the farthest crossing of the ray.
pub(super) fn edge_in_direction(outline: &Outline, angle: f64) -> Option<Metres> {
    let mut farthest: Option<f64> = None;
    for segment in outline.turned(-angle).segments() {
        let mut note = |x: f64| farthest = Some(farthest.map_or(x, |best| best.max(x)));
        let ((x0, y0), (x1, y1)) = (segment.from, segment.to);
        if segment.is_straight() {
            if (y0 <= 0.0) != (y1 <= 0.0) {
                note(x0 + (x1 - x0) * (0.0 - y0) / (y1 - y0));
            }
            continue;
        }
        let ((cx, cy), r) = (segment.centre(), segment.radius()?.value());
        if cy.abs() > r {
            continue;
        }
        let half = libm::sqrt(r * r - cy * cy);
        for x in [cx - half, cx + half] {
            if segment.distance_to(Point::from_xy(x, 0.0)).value() < 1e-9 * r {
                note(x);
            }
        }
    }
    farthest.filter(|x| *x > 0.0).map(Metres::si)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::conductors::mm;

    #[test]
    fn faults_name_what_fits() {
        assert_eq!(disc(Metres::ZERO), Err(ShapeFault::NotPositive(Metres::ZERO)));
        let fault = rounded_rectangle(mm(120.0), mm(80.0), mm(41.0)).unwrap_err();
        assert!((matches!(fault, ShapeFault::RadiusTooLarge(most) if (most.value() - 0.04).abs() < 1e-12)));
        assert_eq!(regular_polygon(2, mm(1.0)), Err(ShapeFault::TooFew(2)));
        assert_eq!(bolt_circle(0, mm(1.0), mm(1.0), 0.0), Err(ShapeFault::TooFew(0)));
    }

    #[test]
    fn a_full_radius_leaves_no_empty_pieces() {
        let slot = slot(mm(50.0), mm(8.0)).unwrap();
        assert_eq!(slot.vertices.len(), 6);
        let (_, radius) = rounded_rectangle(mm(8.0), mm(8.0), mm(4.0)).unwrap().as_circle().unwrap();
        assert!((radius - mm(4.0)).abs() < mm(1e-9));
        assert_eq!(rounded_rectangle(mm(8.0), mm(6.0), Metres::ZERO).unwrap().vertices.len(), 4);
    }

    #[test]
    fn a_notch_in_a_straight_edge_takes_its_rectangle() {
        let plate = rounded_rectangle(mm(100.0), mm(60.0), Metres::ZERO).unwrap();
        let notch = Notch { angle: PI / 2.0, width: mm(10.0), depth: mm(5.0), radius: mm(1.5) };
        let cut = notched(&plate, notch).unwrap();
        let expected = 100.0 * 60.0 - (10.0 * 5.0 - 2.0 * 1.5 * 1.5 * (1.0 - PI / 4.0));
        assert!((cut.area().value() * 1e6 - expected).abs() < 1e-6, "{}", cut.area().value() * 1e6);
        assert!(cut.centroid().y < Metres::ZERO && cut.centroid().x.value().abs() < 1e-9);
    }

    #[test]
    fn a_notch_that_is_too_deep_is_refused() {
        let strip = rounded_rectangle(mm(100.0), mm(10.0), Metres::ZERO).unwrap();
        let notch = Notch { angle: PI / 2.0, width: mm(10.0), depth: mm(12.0), radius: Metres::ZERO };
        assert_eq!(notched(&strip, notch), Err(ShapeFault::NotchMisses));
    }
}
