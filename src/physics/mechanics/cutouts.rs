//! Outlines beyond disc and rectangle: closed runs of lines and arcs, slots and keyholes at a place, tabs on an edge.
//! All come out counter-clockwise, arcs as arcs.

use std::f64::consts::PI;

use cavalier_contours::polyline::{BooleanOp, PlineSource};

use super::curve::Point;
use super::offset::{from_polyline, holds, offset, polyline};
use super::outline::{Outline, Vertex};
use super::shapes::{ShapeFault, edge_in_direction, pocket, positive, slot};
use crate::quantity::Metres;

/// One corner of a closed run, with the radius of the arc that reaches it: positive turns to the left, negative to
/// the right, none is a line. The arc is the short one, at most half a circle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corner {
    /// Where it is.
    pub point: Point,
    /// Radius of the arc from the corner before.
    pub radius: Option<Metres>,
}

/// An area below this encloses nothing: a square of ten micrometres.
const NOTHING: f64 = 1e-10;

/// The outline through these corners, whatever way round they are written; the radius at the first corner belongs to
/// the piece that closes the run.
///
/// # Errors
/// [`ShapeFault::TooFew`], [`ShapeFault::ArcTooTight`] for a chord longer than the diameter, [`ShapeFault::NoArea`].
pub fn closed_run(corners: &[Corner]) -> Result<Outline, ShapeFault> {
    if corners.len() < 2 {
        return Err(ShapeFault::TooFew(corners.len()));
    }
    let next = corners.iter().cycle().skip(1);
    let mut vertices = Vec::with_capacity(corners.len());
    for (from, to) in corners.iter().zip(next) {
        let bulge = to.radius.map_or(Ok(0.0), |radius| bulge(from.point.distance(to.point), radius))?;
        vertices.push(Vertex { point: from.point, bulge });
    }
    let outline = from_polyline(&polyline(&Outline::new(vertices)));
    if outline.vertices.len() < 2 || !(outline.area().value() > NOTHING) {
        return Err(ShapeFault::NoArea);
    }
    Ok(outline)
}

/// tan(sweep/4) with sweep = 2 asin(c/(2 r)); a chord within a nanometre of the diameter is half a circle.
fn bulge(chord: Metres, radius: Metres) -> Result<f64, ShapeFault> {
    let (half, r) = (chord.value() / 2.0, radius.value().abs());
    if half > r + 1e-9 || r == 0.0 {
        return Err(ShapeFault::ArcTooTight(chord / 2.0));
    }
    let sweep = 2.0 * libm::asin((half / r).min(1.0));
    Ok(libm::tan(sweep / 4.0).copysign(radius.value()))
}

/// A slot with its middle at a place, running in a direction.
///
/// # Errors
/// As [`slot`].
pub fn slot_at(centre: Point, length: Metres, width: Metres, towards: f64) -> Result<Outline, ShapeFault> {
    Ok(slot(length, width)?.turned(towards).shifted(centre))
}

/// A keyhole: a circle of diameter `head` about `centre` and a neck of width `neck` that ends round about a point
/// `reach` away. A = π R² − (R² asin(w/2R) − (w/2) x₀) + w (L − x₀) + π w²/8 with x₀ = √(R² − w²/4).
///
/// # Errors
/// [`ShapeFault::NotPositive`]; [`ShapeFault::NeckTooWide`], [`ShapeFault::NeckTooShort`] with the least reach.
pub fn keyhole(centre: Point, head: Metres, neck: Metres, reach: Metres, towards: f64) -> Result<Outline, ShapeFault> {
    let (r, half, end) = (positive(head)?.value() / 2.0, positive(neck)?.value() / 2.0, positive(reach)?.value());
    if half >= r {
        return Err(ShapeFault::NeckTooWide(head));
    }
    let start = libm::sqrt(r * r - half * half);
    if end <= start {
        return Err(ShapeFault::NeckTooShort(Metres::si(start)));
    }
    let at = |x, y, bulge| Vertex { point: Point::from_xy(x, y), bulge };
    // Two arcs round the head, so that neither is more than half a circle.
    let side = libm::tan((PI - libm::asin(half / r)) / 4.0);
    let vertices =
        vec![at(start, half, side), at(-r, 0.0, side), at(start, -half, 0.0), at(end, -half, 1.0), at(end, half, 0.0)];
    Ok(Outline::new(vertices).turned(towards).shifted(centre))
}

/// A tab or ear.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tab {
    /// Direction from the origin in which it stands out, radians from the x axis.
    pub angle: f64,
    /// Width along the edge.
    pub width: Metres,
    /// How far it stands out from the point where that direction meets the edge.
    pub reach: Metres,
    /// Radius of its outer corners.
    pub corner: Metres,
    /// Least radius of the inside corners where it meets the edge; tighter ones of the outline become as round.
    pub root: Metres,
}

/// The outline with a tab on it, and the middle of the tab's end, half its width from its tip.
///
/// # Errors
/// [`ShapeFault`]; [`ShapeFault::TabMisses`] when it does not grow out of one edge.
pub fn tabbed(outline: &Outline, tab: Tab) -> Result<(Outline, Point), ShapeFault> {
    let (width, reach) = (positive(tab.width)?, positive(tab.reach)?);
    if !(Metres::ZERO..=(width / 2.0).min(reach)).contains(&tab.corner) {
        return Err(ShapeFault::RadiusTooLarge((width / 2.0).min(reach)));
    }
    let edge = edge_in_direction(outline, tab.angle).ok_or(ShapeFault::TabMisses)?;
    let tip = edge + reach;
    // A pocket's mirror: its rounded end points outwards, its plain one lies in the sheet.
    let length = reach + edge.min(width);
    // Both corners of its foot lie in the sheet: one that is wider than its edge would stand out beside it.
    let foot = [-0.5, 0.5].map(|side| Point { x: tip - length, y: width * side }.turned(tab.angle));
    if !foot.iter().all(|corner| holds(outline, *corner)) {
        return Err(ShapeFault::TabMisses);
    }
    let shape = pocket(Metres::ZERO, length, width, tab.corner)?.turned(PI);
    let shape = shape.shifted(Point { x: tip, y: Metres::ZERO }).turned(tab.angle);
    let joined = polyline(outline).boolean(&polyline(&shape), BooleanOp::Or);
    let grown = match (joined.pos_plines.as_slice(), joined.neg_plines.as_slice()) {
        ([one], []) => from_polyline(&one.pline),
        _ => return Err(ShapeFault::TabMisses),
    };
    let grown = if tab.root > Metres::ZERO { closed_by(&grown, tab.root)? } else { grown };
    Ok((grown, Point::polar(tip - width / 2.0, tab.angle)))
}

/// Out by r and back: every inside corner gets at least this radius, outside corners stay.
fn closed_by(outline: &Outline, r: Metres) -> Result<Outline, ShapeFault> {
    let [out] = offset(outline, r).try_into().map_err(|_| ShapeFault::TabMisses)?;
    let [back] = offset(&out, -r).try_into().map_err(|_| ShapeFault::TabMisses)?;
    Ok(back)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::conductors::mm;
    use crate::physics::mechanics::shapes::{disc, rounded_rectangle};

    fn corner(x: f64, y: f64) -> Corner {
        Corner { point: Point { x: mm(x), y: mm(y) }, radius: None }
    }

    fn arc(x: f64, y: f64, radius: f64) -> Corner {
        Corner { radius: Some(mm(radius)), ..corner(x, y) }
    }

    fn area(outline: &Outline) -> f64 {
        outline.signed_area().value() * 1e6
    }

    #[test]
    fn a_run_is_counter_clockwise_whatever_way_it_is_written() {
        let square = [corner(0.0, 0.0), corner(20.0, 0.0), corner(20.0, 10.0), corner(0.0, 10.0)];
        let mut back = square;
        back.reverse();
        for run in [square, back] {
            assert!((area(&closed_run(&run).unwrap()) - 200.0).abs() < 1e-9);
        }
    }

    #[test]
    fn arcs_turn_left_or_right() {
        // A square of 20 by 10 whose right side bows out or in by half a circle of radius 5.
        for (radius, sign) in [(5.0, 1.0), (-5.0, -1.0)] {
            let run = [corner(0.0, 0.0), corner(20.0, 0.0), arc(20.0, 10.0, radius), corner(0.0, 10.0)];
            let found = area(&closed_run(&run).unwrap());
            assert!((found - (200.0 + sign * PI * 12.5)).abs() < 1e-8, "{found}");
        }
        // The radius at the first corner shapes the piece that closes the run.
        let run = [arc(0.0, 0.0, 5.0), corner(20.0, 0.0), corner(20.0, 10.0), corner(0.0, 10.0)];
        assert!((area(&closed_run(&run).unwrap()) - (200.0 + PI * 12.5)).abs() < 1e-8);
    }

    #[test]
    fn a_run_that_makes_nothing_is_refused() {
        let line = [corner(0.0, 0.0), corner(20.0, 0.0)];
        assert_eq!(closed_run(&line), Err(ShapeFault::NoArea));
        assert_eq!(closed_run(&line[..1]), Err(ShapeFault::TooFew(1)));
        let tight = [corner(0.0, 0.0), corner(20.0, 0.0), arc(20.0, 10.0, 4.0)];
        assert!(
            matches!(closed_run(&tight), Err(ShapeFault::ArcTooTight(least)) if (least - mm(5.0)).abs() < mm(1e-9))
        );
    }

    #[test]
    fn a_keyhole_has_its_area() {
        let (r, half, end) = (4.0_f64, 2.0_f64, 9.0);
        let start = libm::sqrt(r * r - half * half);
        let segment = r * r * libm::asin(half / r) - half * start;
        let expected = PI * r * r - segment + 2.0 * half * (end - start) + PI * half * half / 2.0;
        let found = keyhole(Point { x: mm(7.0), y: mm(-3.0) }, mm(8.0), mm(4.0), mm(9.0), 1.0).unwrap();
        assert!((area(&found) - expected).abs() < 1e-9, "{} {expected}", area(&found));
        assert_eq!(keyhole(Point::ORIGIN, mm(8.0), mm(8.0), mm(9.0), 0.0), Err(ShapeFault::NeckTooWide(mm(8.0))));
        assert!(matches!(
            keyhole(Point::ORIGIN, mm(8.0), mm(4.0), mm(3.4), 0.0),
            Err(ShapeFault::NeckTooShort(least)) if (least.value() * 1e3 - start).abs() < 1e-9
        ));
    }

    #[test]
    fn a_tab_adds_its_rectangle() {
        let plate = rounded_rectangle(mm(100.0), mm(60.0), Metres::ZERO).unwrap();
        let tab = Tab { angle: PI / 2.0, width: mm(20.0), reach: mm(12.0), corner: mm(3.0), root: Metres::ZERO };
        let (found, end) = tabbed(&plate, tab).unwrap();
        let expected = 6000.0 + 240.0 - 2.0 * 9.0 * (1.0 - PI / 4.0);
        assert!((area(&found) - expected).abs() < 1e-6, "{}", area(&found));
        assert!((end.y - mm(32.0)).abs() < mm(1e-9));
        // Its two inside corners, rounded: each gains r² (1 − π/4).
        let (round, _) = tabbed(&plate, Tab { root: mm(2.0), ..tab }).unwrap();
        assert!((area(&round) - expected - 2.0 * 4.0 * (1.0 - PI / 4.0)).abs() < 1e-5, "{}", area(&round));
        let ear = Tab { corner: mm(10.0), ..tab };
        assert!(tabbed(&disc(mm(100.0)).unwrap(), ear).is_ok());
        assert_eq!(tabbed(&plate, Tab { corner: mm(11.0), ..tab }), Err(ShapeFault::RadiusTooLarge(mm(10.0))));
        // As wide as the side is long it has no edge left to grow out of.
        assert_eq!(tabbed(&plate, Tab { angle: 0.0, width: mm(62.0), ..tab }), Err(ShapeFault::TabMisses));
    }
}
