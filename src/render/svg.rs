//! A drawing as SVG: 1 user unit is 1 mm, arcs stay arcs, one group for each run of shapes of a role.
//! The machine's file holds the lines to cut and nothing else.

use std::collections::BTreeMap;

use svg::Document;
use svg::node::element::{Circle, Definitions, Description, Group, Line, Path as PathElement, Pattern, Text, Title};

use super::decimal::decimal;
use crate::packet::drawing::{Anchor, Drawing, Path, Point, Role, Shape};
use crate::packet::drawings::text::width;
use crate::packet::sheet::Packet;

/// Height of a capital letter in em, for turning letter heights into font sizes.
const CAP_HEIGHT: f64 = 0.66;

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
    let mut document = frame.document(&Drawing { title, ..drawing.clone() });
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
    let mut document = frame.document(drawing).add(patterns(prefix));
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
    let line = |group: Group, width: &str| {
        group.set("fill", "none").set("stroke", "#000").set("stroke-width", width.to_string())
    };
    match role {
        Role::Outline => line(group, "0.35"),
        Role::Cut | Role::Engrave | Role::Dimension | Role::Bar => line(group, "0.25"),
        Role::Hidden => line(group, "0.25").set("stroke-dasharray", "1.6 1"),
        Role::Axis => line(group, "0.25").set("stroke-dasharray", "5 1 0.8 1"),
        Role::Wire => line(group, "0.5"),
        Role::MainsHatch => group.set("fill", format!("url(#{prefix}hatch)")),
        Role::HeatDots => group.set("fill", format!("url(#{prefix}dots)")),
        Role::Solid => line(group, "0.25").set("fill", "#dedede"),
        Role::Ink => group.set("fill", "#000"),
        Role::Blank => group.set("fill", "#fff"),
        Role::Label => group.set("fill", "#000").set("font-family", "sans-serif"),
    }
    .set("fill-rule", "evenodd")
}

fn patterns(prefix: &str) -> Definitions {
    let tile = |id: &str, side: &str| {
        Pattern::new()
            .set("id", format!("{prefix}{id}"))
            .set("patternUnits", "userSpaceOnUse")
            .set("width", side.to_string())
            .set("height", side.to_string())
    };
    let stroke = Line::new().set("x1", 0).set("y1", "0.65").set("x2", "1.3").set("y2", "0.65");
    let stroke = stroke.set("stroke", "#000").set("stroke-width", "0.25");
    let dot = |x: &str, y: &str| Circle::new().set("cx", x.to_string()).set("cy", y.to_string()).set("r", "0.28");
    Definitions::new()
        .add(tile("hatch", "1.3").set("patternTransform", "rotate(-45)").add(stroke))
        .add(tile("dots", "2").add(dot("0.5", "0.5")).add(dot("1.5", "1.5")))
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

    fn document(&self, drawing: &Drawing) -> Document {
        let (width, height) = (number(drawing.width), number(drawing.height));
        Document::new()
            .set("viewBox", format!("0 0 {width} {height}"))
            .set("width", format!("{width}mm"))
            .set("height", format!("{height}mm"))
            .add(Title::new(drawing.title.clone()))
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
