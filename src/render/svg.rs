//! A drawing as SVG: 1 user unit is 1 mm, arcs stay arcs, one group for each run of shapes of a role.
//! The machine's file holds the lines to cut and to engrave and nothing else.

use std::collections::BTreeMap;

use svg::Document;
use svg::node::element::{Circle, Definitions, Description, Group, Line, Path as PathElement, Pattern, Text, Title};

use super::decimal::decimal;
use super::roles::{DOT_RADIUS, DOT_STEP, HAIR, HATCH_STEP, Style, style};
use crate::packet::drawing::{Anchor, Drawing, Path, Point, Role, Shape};
use crate::packet::drawings::text::{CAP_HEIGHT, width};
use crate::packet::sheet::Packet;

const HEAD: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";

/// The drawing as a file of its own, from what stands inside a page; of a draft it says so across its corner.
pub(super) fn file(inline: &str, draft: bool) -> String {
    match inline.rsplit_once("</svg>").filter(|_| draft) {
        Some((body, _)) => format!("{HEAD}{body}{DRAFT}</svg>\n"),
        None => format!("{HEAD}{inline}\n"),
    }
}

/// The word over a drawing of a draft: grey enough for a copier, pale enough to read what lies below.
const DRAFT: &str =
    "<text x=\"1\" y=\"7\" font-family=\"sans-serif\" font-size=\"7\" font-weight=\"600\" fill=\"#888\">DRAFT</text>\n";

/// What a machine follows, at its true size and 0.1 mm wide: one group of lines to engrave, where there are any, and
/// one of lines to cut, each of a colour of its own, for machines that order their work by it. Nothing else is in the
/// file; of a draft its title says so, since a word among the lines would be cut.
pub fn machine(drawing: &Drawing, draft: bool) -> String {
    let frame = Frame::of(drawing);
    let title = if draft { format!("DRAFT, do not cut: {}", drawing.title) } else { drawing.title.clone() };
    let mut document = frame.document(drawing, title);
    for (wanted, colour) in [(Role::Engrave, "#00f"), (Role::Cut, "#000")] {
        let group = Group::new().set("id", name(wanted)).set("fill", "none").set("stroke", colour);
        let mut group = group.set("stroke-width", "0.1");
        let mut any = false;
        for shape in &drawing.shapes {
            if let Shape::Paths { role, paths } = shape
                && *role == wanted
            {
                any |= !paths.is_empty();
                for path in paths {
                    group = group.add(PathElement::new().set("d", frame.data(path)));
                }
            }
        }
        if any {
            document = document.add(group);
        }
    }
    file(&document.to_string(), false)
}

/// Every drawing of the packet, to stand inside an HTML page or in a file of its own; ids begin with the drawing's
/// name so that they stay single in a page.
pub(super) fn all(packet: &Packet) -> BTreeMap<&str, String> {
    packet.drawings.iter().map(|(name, drawing)| (name.as_str(), inline(drawing))).collect()
}

fn inline(drawing: &Drawing) -> String {
    document(drawing, &format!("{}-", drawing.name)).set("role", "img").to_string()
}

fn document(drawing: &Drawing, prefix: &str) -> Document {
    let frame = Frame::of(drawing);
    let mut document = frame.document(drawing, drawing.title.clone()).add(patterns(prefix));
    let mut seen: Vec<Role> = Vec::new();
    for run in drawing.shapes.chunk_by(|a, b| role(a) == role(b)) {
        let Some(first) = run.first() else { continue };
        let role = role(first);
        let count = seen.iter().filter(|&&one| one == role).count();
        seen.push(role);
        let id = if count == 0 { name(role).to_string() } else { format!("{}-{}", name(role), count + 1) };
        let mut group = styled(Group::new().set("id", format!("{prefix}{id}")), role, prefix);
        for shape in run {
            group = frame.add(group, shape);
        }
        document = document.add(group);
    }
    document
}

const fn role(shape: &Shape) -> Role {
    match shape {
        Shape::Paths { role, .. } => *role,
        Shape::Text { .. } => Role::Label,
    }
}

const fn name(role: Role) -> &'static str {
    match role {
        Role::Outline => "outline",
        Role::Cut => "cut",
        Role::Engrave => "engrave",
        Role::Hidden => "hidden",
        Role::Axis => "axis",
        Role::Dimension => "dimension",
        Role::Bar => "bar",
        Role::Wire => "wire",
        Role::MainsHatch => "mains-hatch",
        Role::HeatDots => "heat-dots",
        Role::Solid => "solid",
        Role::Ink => "ink",
        Role::Blank => "blank",
        Role::Label => "label",
    }
}

fn styled(group: Group, role: Role, prefix: &str) -> Group {
    let group = group.set("fill-rule", "evenodd");
    match role {
        Role::MainsHatch => group.set("fill", format!("url(#{prefix}hatch)")),
        Role::HeatDots => group.set("fill", format!("url(#{prefix}dots)")),
        Role::Label => group.set("fill", "#000").set("font-family", "sans-serif"),
        _ => {
            let Style { fill, stroke, dash } = style(role);
            let mut group = group.set("fill", fill.map_or_else(|| "none".to_owned(), grey));
            if let Some(width) = stroke {
                group = group.set("stroke", "#000").set("stroke-width", number(width));
            }
            if !dash.is_empty() {
                let parts: Vec<String> = dash.iter().copied().map(number).collect();
                group = group.set("stroke-dasharray", parts.join(" "));
            }
            group
        }
    }
}

/// A grey from 0 (black) to 1 (white) as a colour in as few digits as will do.
fn grey(share: f64) -> String {
    let level = format!("{:02x}", (share * 255.0).round() as u8);
    let digit = level.get(..1).filter(|first| level.ends_with(first));
    format!("#{}", digit.unwrap_or(&level).repeat(3))
}

fn patterns(prefix: &str) -> Definitions {
    let tile = |id: &str, side: f64| {
        Pattern::new()
            .set("id", format!("{prefix}{id}"))
            .set("patternUnits", "userSpaceOnUse")
            .set("width", number(side))
            .set("height", number(side))
    };
    let middle = number(HATCH_STEP / 2.0);
    let stroke = Line::new().set("x1", 0).set("y1", middle.clone()).set("x2", number(HATCH_STEP)).set("y2", middle);
    let stroke = stroke.set("stroke", "#000").set("stroke-width", number(HAIR));
    let dot = |share: f64| {
        let place = number(share * DOT_STEP);
        Circle::new().set("cx", place.clone()).set("cy", place).set("r", number(DOT_RADIUS))
    };
    Definitions::new()
        .add(tile("hatch", HATCH_STEP).set("patternTransform", "rotate(-45)").add(stroke))
        .add(tile("dots", DOT_STEP).add(dot(0.25)).add(dot(0.75)))
}

/// Turns drawing coordinates (y up) into the file's (y down, upper left corner 0 0).
struct Frame {
    left: f64,
    top: f64,
}

impl Frame {
    fn of(drawing: &Drawing) -> Self {
        Self { left: drawing.corner.x, top: drawing.corner.y + drawing.height }
    }

    fn document(&self, drawing: &Drawing, title: String) -> Document {
        let (width, height) = (number(drawing.width), number(drawing.height));
        Document::new()
            .set("viewBox", format!("0 0 {width} {height}"))
            .set("width", format!("{width}mm"))
            .set("height", format!("{height}mm"))
            .add(Title::new(title))
            .add(Description::new().add(svg::node::Text::new(drawing.description.clone())))
    }

    fn place(&self, point: Point) -> (String, String) {
        (number(point.x - self.left), number(self.top - point.y))
    }

    fn add(&self, group: Group, shape: &Shape) -> Group {
        match shape {
            Shape::Paths { paths, role } => {
                let one =
                    |path| (*role == Role::Ink).then(|| self.dot(path)).flatten().unwrap_or_else(|| self.data(path));
                let data: Vec<String> = paths.iter().map(one).collect();
                group.add(PathElement::new().set("d", data.join(" ")))
            }
            Shape::Text { at, height, anchor, angle, text, strong } => {
                group.add(self.text(*at, *height, *anchor, *angle, text, *strong))
            }
        }
    }

    fn text(&self, at: Point, height: f64, anchor: Anchor, angle: f64, words: &str, strong: bool) -> Text {
        let (x, y) = self.place(at);
        let anchor = match anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let mut text = Text::new(words).set("font-size", number(height / CAP_HEIGHT)).set("text-anchor", anchor);
        if strong {
            text = text.set("font-weight", "600");
        }
        // A viewer with another face still keeps each label in the room it was placed in.
        let width = width(words, height, strong);
        if width > 0.0 {
            text = text.set("textLength", number(width)).set("lengthAdjust", "spacingAndGlyphs");
        }
        if angle != 0.0 {
            text = text.set("transform", format!("rotate({} {x} {y})", number(-angle)));
        }
        text.set("x", x).set("y", y)
    }

    /// An upright rectangle in few characters, for a halftone has thousands.
    fn dot(&self, path: &Path) -> Option<String> {
        let [a, b, c, d] = path.vertices.as_slice() else { return None };
        let straight = path.closed && path.vertices.iter().all(|vertex| vertex.bulge == 0.0);
        let (a, b, c, d) = (a.point, b.point, c.point, d.point);
        let upright = straight && a.y == b.y && b.x == c.x && c.y == d.y && d.x == a.x;
        let ((x, y), (right, up)) = (self.place(a), self.place(c));
        upright.then(|| format!("M{x} {y}H{right}V{up}H{x}Z"))
    }

    fn data(&self, path: &Path) -> String {
        let Some(first) = path.vertices.first() else { return String::new() };
        let (x, y) = self.place(first.point);
        let mut data = format!("M{x} {y}");
        for (vertex, next) in path.sides() {
            let (x, y) = self.place(next.point);
            if vertex.bulge == 0.0 {
                data.push_str(&format!(" L{x} {y}"));
            } else {
                // The file's y runs down, so an anti-clockwise arc has sweep flag 0.
                let radius = number(radius(vertex.point, next.point, vertex.bulge));
                let large = u8::from(vertex.bulge.abs() > 1.0);
                let sweep = u8::from(vertex.bulge < 0.0);
                data.push_str(&format!(" A{radius} {radius} 0 {large} {sweep} {x} {y}"));
            }
        }
        if path.closed {
            data.push_str(" Z");
        }
        data
    }
}

/// Radius of the arc over a chord: chord (1 + b²) / (4 b).
fn radius(from: Point, to: Point, bulge: f64) -> f64 {
    let chord = libm::hypot(to.x - from.x, to.y - from.y);
    chord * (1.0 + bulge * bulge) / (4.0 * bulge.abs())
}

/// A number to a tenth of a micrometre, without trailing zeros and without a negative zero.
fn number(value: f64) -> String {
    let tenths = (value * 1e4).round();
    if tenths.abs() > 1e15 {
        return crate::figures::trimmed(value, 4);
    }
    decimal(tenths as i64, 4).text().to_owned()
}
