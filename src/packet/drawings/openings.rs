//! Openings, notches and tabs of the sheet in its drawing: a letter at each, and the line that says what it is.

use super::fit::letter;
use super::pen::{Pen, mm};
use super::text::{self, LABEL};
use crate::lamp::diffuser::Diffuser;
use crate::lamp::given::Given;
use crate::packet::drawing::{Anchor, Path, Point, Role, at};
use crate::physics::mechanics::outline::Outline;
use crate::quantity::{Metres, Quantity, Radians};
use crate::schema::words::Word;
use crate::solve::sheet::{Feature, FeatureKind, Net};
use crate::spread::Spread;

const CENTRE: Point = at(0.0, 0.0);

/// Marks each hole and notch with a letter; gives the lines that say what the letters are.
pub(super) fn lettered(pen: &mut Pen, given: &Diffuser, net: &Net) -> Vec<String> {
    let mut lines = Vec::new();
    for group in &given.holes {
        if let Ok(circle) = group.circle.nominal() {
            pen.path(Role::Axis, Path::circle(CENTRE, mm(circle) / 2.0));
        }
    }
    let edges = |feature: &Feature| net.plate.holes.get(feature.edges.clone()).unwrap_or_default();
    for feature in &net.features {
        edges(feature).iter().for_each(|edge| crosses(pen, given, edge, feature));
    }
    // Letters come last, so that they find room between all the lines.
    let capital = |k: usize| letter(k).to_uppercase();
    for (k, feature) in net.features.iter().enumerate() {
        let letter = capital(k);
        edges(feature).iter().for_each(|edge| mark(pen, edge, feature, &letter));
        lines.push(format!("{letter}  {}: {}", feature.name, told(given, feature)));
    }
    lines.extend(tabs(given));
    lines.extend(given.marks.iter().filter_map(engraved));
    for (k, notch) in given.notches.iter().enumerate() {
        let (Ok(width), Ok(depth), Ok(way)) = (notch.width.nominal(), notch.depth.nominal(), notch.towards.nominal())
        else {
            continue;
        };
        let letter = capital(net.features.len() + k);
        // Outside the sheet, where the edge was before the notch took it away.
        let reach = edge_towards(&net.plate.outer, way.value()) + mm(depth) + 2.5;
        let half = text::width(&letter, LABEL, true) / 2.0;
        let place = at(reach * libm::cos(way.value()) - half, reach * libm::sin(way.value()) - LABEL / 2.0);
        free(pen, place, &letter);
        let corner = notch.corner.nominal().unwrap_or(Metres::ZERO);
        lines.push(format!(
            "{letter}  {}: notch {} wide, {} deep, inside radius {}, towards {}",
            notch.name,
            width.show(),
            depth.show(),
            corner.show(),
            way.show()
        ));
    }
    lines
}

/// Distance of the outer edge from the centre in a direction, mm.
fn edge_towards(outer: &Outline, angle: f64) -> f64 {
    use crate::physics::mechanics::curve::Point as P;
    let far = outer.extents();
    let mut reach = (far.width() + far.height()).value();
    // Steps towards the centre by the distance that is surely free, until the edge is met.
    for _ in 0..200 {
        let gap = outer.distance_to(P::polar(Metres::si(reach), angle)).value();
        if gap < 1e-6 || reach - gap <= 0.0 {
            break;
        }
        reach -= gap;
    }
    reach * 1e3
}

/// Middle of an edge and how far it reaches from it, mm.
fn reach(edge: &Outline) -> (Point, (f64, f64)) {
    match edge.as_circle() {
        Some((centre, radius)) => (at(mm(centre.x), mm(centre.y)), (mm(radius), mm(radius))),
        None => {
            let bounds = edge.extents();
            let middle = |low: Metres, high: Metres| mm(low + high) / 2.0;
            let centre = at(middle(bounds.least.x, bounds.most.x), middle(bounds.least.y, bounds.most.y));
            (centre, (mm(bounds.width()) / 2.0, mm(bounds.height()) / 2.0))
        }
    }
}

/// Crosses at the places that the spec measures an opening from: of a keyhole the middle of its wide end, and where
/// the shaft rests. A cut-out has its corners in a table.
fn crosses(pen: &mut Pen, given: &Diffuser, edge: &Outline, feature: &Feature) {
    let (centre, (wide, high)) = reach(edge);
    match feature.kind {
        FeatureKind::Cutout => {}
        FeatureKind::Slot => pen.centre(centre, mm(feature.diameter) / 2.0 + 1.5),
        FeatureKind::Keyhole => {
            let keyhole = given.keyholes.iter().find(|keyhole| keyhole.name == feature.name);
            let figures = keyhole.and_then(|k| {
                let [x, y] = k.at.value.as_deref()? else { return None };
                let (head, neck) = (k.head.nominal().ok()?, k.neck.nominal().ok()?);
                Some((at(mm(*x), mm(*y)), mm(head), mm(neck), mm(k.reach.nominal().ok()?), k.towards.nominal().ok()?))
            });
            let Some((head_at, head, neck, far, way)) = figures else { return };
            pen.centre(head_at, head / 2.0 + 1.5);
            let (sin, cos) = (libm::sin(way.value()), libm::cos(way.value()));
            pen.centre(at(head_at.x + far * cos, head_at.y + far * sin), neck / 2.0 + 1.0);
        }
        FeatureKind::Opening | FeatureKind::Round => pen.centre(centre, wide.max(high).min(20.0) + 1.5),
    }
}

fn mark(pen: &mut Pen, edge: &Outline, feature: &Feature, letter: &str) {
    let (centre, (wide, high)) = reach(edge);
    let letters = text::width(letter, LABEL, true);
    let inside = feature.kind == FeatureKind::Opening;
    let beside = |reach: f64| if inside { reach * 0.5 } else { reach + 1.2 };
    let (right, left) = (centre.x + beside(wide), centre.x - beside(wide) - letters);
    let (up, down) = (centre.y + beside(high), centre.y - beside(high) - LABEL);
    free_of(pen, &[at(right, up), at(left, up), at(right, down), at(left, down)], letter);
}

/// Sets a text at the place, or at the nearest of its turns about it where no text lies yet and no line runs; where
/// every place is crossed by a line, at the first without a text.
pub(super) fn free(pen: &mut Pen, place: Point, text: &str) {
    free_of(pen, &[place], text);
}

/// The same at the first of several places that is free, or near one of them.
pub(super) fn free_of(pen: &mut Pen, places: &[Point], text: &str) {
    let size = (text::width(text, LABEL, true), LABEL);
    let near = (1..40).flat_map(|k| {
        let (turn, reach) = (f64::from(k) * 0.785, 3.0 * f64::from((k + 7) / 8));
        let by = at(reach * libm::cos(turn), reach * libm::sin(turn));
        places.iter().map(move |place| at(place.x + by.x, place.y + by.y))
    });
    let room = |p: &Point| text::Room { least: at(p.x, p.y - 0.8), most: at(p.x + size.0, p.y + size.1) }.grown(0.5);
    if let Some(found) = pen.free_place(places.iter().copied().chain(near), room) {
        pen.words(found, LABEL, Anchor::Start, 0.0, text, true);
    }
}

/// Diameter and place of a hole or group of holes, in words.
pub(in crate::packet) fn told(given: &Diffuser, feature: &Feature) -> String {
    let diameter = feature.diameter.show();
    if let Some(group) = given.holes.iter().find(|group| group.name == feature.name) {
        let (circle, start) = (group.circle.nominal(), group.start.nominal());
        let on = circle.map_or_else(|_| String::new(), |c| format!(" on a circle of Ø {}", c.show()));
        let first = start.map_or_else(|_| String::new(), |s| format!(", the first at {}", s.show()));
        return format!("{} × Ø {diameter}{on}{first}", feature.edges.len());
    }
    if let Some(hole) = given.hole.iter().find(|hole| hole.name == feature.name) {
        return format!("Ø {diameter} at {}", place(&hole.at));
    }
    if given.tabs.iter().any(|tab| tab.name == feature.name) {
        return format!("Ø {diameter} in its tab, half the tab's width from the tip");
    }
    long(given, feature).unwrap_or_else(|| format!("Ø {diameter}"))
}

/// Slot, keyhole or cut-out in words.
fn long(given: &Diffuser, feature: &Feature) -> Option<String> {
    let show = |length: &Given<Spread<Metres>>| length.nominal().map_or_else(|_| "not known".into(), |l| l.show());
    let angle = |way: &Given<Spread<Radians>>| way.nominal().map_or_else(|_| "not known".into(), |a| a.show());
    if let Some(s) = given.slots.iter().find(|s| s.name == feature.name) {
        let (length, width) = (show(&s.length), show(&s.width));
        return Some(format!(
            "slot {length} long, {width} wide, towards {}, middle at {}",
            angle(&s.towards),
            place(&s.at)
        ));
    }
    if let Some(k) = given.keyholes.iter().find(|k| k.name == feature.name) {
        let (head, neck, reach) = (show(&k.head), show(&k.neck), show(&k.reach));
        return Some(format!(
            "keyhole Ø {head}, neck {neck} wide towards {}, rest {reach} from the head at {}",
            angle(&k.towards),
            place(&k.at)
        ));
    }
    let c = given.cutouts.iter().find(|c| c.name == feature.name)?;
    let corners = c.points.known().map_or(0, Vec::len);
    Some(format!("cut-out with {corners} corners, {} at its narrower side over all", feature.diameter.show()))
}

fn place(at: &Given<Vec<Metres>>) -> String {
    match at.value.as_deref() {
        Some([x, y]) => format!("({}, {}) from the centre", x.show(), y.show()),
        _ => "a place not known".to_owned(),
    }
}

/// Tabs in words; they stand out where they cannot be missed and take no letter.
fn tabs(given: &Diffuser) -> Vec<String> {
    let line = |tab: &crate::lamp::cutting::Tab| {
        let (width, reach) = (tab.width.nominal().ok()?, tab.reach.nominal().ok()?);
        let (corner, root) = (tab.corner.nominal().ok()?, tab.root.nominal().ok()?);
        Some(format!(
            "{}: tab {} wide, stands out {}, corners {}, root {}, towards {}",
            tab.name,
            width.show(),
            reach.show(),
            corner.show(),
            root.show(),
            tab.towards.nominal().ok()?.show()
        ))
    };
    given.tabs.iter().filter_map(line).collect()
}

/// A mark to engrave in words.
fn engraved(mark: &crate::lamp::cutting::Mark) -> Option<String> {
    let (shows, height) = (mark.shows.value?, mark.height.nominal().ok()?);
    Some(format!("{}: engrave {}, {} high, middle at {}", mark.name, shows.word(), height.show(), place(&mark.at)))
}
