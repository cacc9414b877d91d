//! The rating label at full size with the mark of the class, drawn from our own geometry and named by its number.

use super::marks;
use super::pen::Pen;
use super::text::width;
use crate::figures::stated;
use crate::packet::bench::Bench;
use crate::packet::drawing::{Anchor, Drawing, Path, Point, Role, Scale, at};
use crate::schema::words::{Class, Place, Region};
use crate::solve::label::class;

/// Height of capital letters, mm: at least the 2 mm of IEC 60598-1, section 3.
const LETTERS: f64 = 2.2;
/// Height of the model's name, mm.
const NAME: f64 = 3.0;
/// Side or diameter of the class mark, mm: at least the 5 mm of IEC 60598-1, section 3.
const MARK: f64 = 8.0;
/// Space between lines and to the edge, mm.
const LEADING: f64 = 4.6;
const EDGE: f64 = 3.0;
/// Length of the line that the unit's number is written on, mm.
const NUMBER: f64 = 16.0;

/// A line of the label.
struct Line {
    text: String,
    /// Height of its capital letters, mm.
    height: f64,
    /// The unit's number is written behind it by hand.
    numbered: bool,
}

impl Line {
    fn of(text: impl Into<String>) -> Self {
        Self { text: text.into(), height: LETTERS, numbered: false }
    }

    fn strong(&self) -> bool {
        self.height == NAME
    }

    /// Width of its words, and of what is written behind them.
    fn width(&self) -> f64 {
        let number = if self.numbered { NUMBER + 1.5 } else { 0.0 };
        width(&self.text, self.height, self.strong()) + number
    }
}

/// The label, unless a DANGER stands that no waiver lets through.
pub(super) fn rating(bench: &Bench<'_>) -> Option<Drawing> {
    if !bench.refused().is_empty() {
        return None;
    }
    let lines = lines(bench);
    let class = class(bench.lamp);
    let texts = lines.iter().map(Line::width).fold(0.0, f64::max);
    let marked = matches!(class, Some(Class::II | Class::III));
    let wide = texts + 2.0 * EDGE + if marked { MARK + 2.0 * EDGE } else { 0.0 };
    let worn = marks::all(bench);
    let foot = marks::SIZE + EDGE;
    let high = LEADING * lines.len() as f64 + EDGE + foot;
    let mut pen = Pen::default();
    let base = |row: usize| high - LEADING * (row as f64 + 1.0);
    for (row, line) in lines.iter().enumerate().filter(|(_, line)| line.numbered) {
        let (x, y) = (EDGE + line.width(), base(row) - 0.6);
        pen.line(Role::Dimension, &[at(x - NUMBER, y), at(x, y)]);
    }
    pen.rectangle(Role::Cut, at(0.0, 0.0), wide, high);
    for (row, line) in lines.iter().enumerate() {
        pen.words(at(EDGE, base(row)), line.height, Anchor::Start, 0.0, line.text.as_str(), line.strong());
    }
    for (k, mark) in worn.iter().enumerate() {
        let x = EDGE + marks::SIZE / 2.0 + k as f64 * (marks::SIZE + EDGE);
        (mark.draw)(&mut pen, at(x, EDGE + marks::SIZE / 2.0));
    }
    let centre = at(wide - EDGE - MARK / 2.0, high / 2.0);
    match class {
        Some(Class::II) => two(&mut pen, centre),
        Some(Class::III) => three(&mut pen, centre),
        Some(Class::I) => {
            let corner = at(wide + EDGE, 0.0);
            pen.rectangle(Role::Cut, corner, MARK + 2.0 * EDGE, MARK + 2.0 * EDGE);
            earth(&mut pen, at(corner.x + EDGE + MARK / 2.0, corner.y + EDGE + MARK / 2.0));
        }
        None => {}
    }
    let words: Vec<&str> = lines.iter().map(|line| line.text.as_str()).collect();
    let description = format!("Rating label: {}", words.join("; "));
    Some(pen.finish("label", "Rating label".into(), description, Scale::Full))
}

/// What the label says, line by line.
fn lines(bench: &Bench<'_>) -> Vec<Line> {
    let identity = &bench.lamp.identity;
    let said = |text: &Option<String>| text.clone().filter(|text| !text.is_empty());
    let model = said(&identity.model.value).unwrap_or_else(|| bench.lamp.name.clone());
    let mut lines = vec![Line { height: NAME, ..Line::of(model) }];
    lines.extend(said(&identity.maker.value).map(Line::of));
    lines.push(Line::of(rated(bench)));
    lines.extend(bench.known("line.fuse-marking").map(|marking| Line::of(format!("fuse {marking}"))));
    lines.extend(bench.known("line.plug-fuse").map(|rating| Line::of(format!("fuse in the plug {rating}"))));
    if let Some(fuse) = bench.lamp.supply.battery.as_ref().and_then(|b| b.fuse.as_ref()) {
        let [rating, voltage, breaking] =
            [&fuse.rating.path, &fuse.voltage.path, &fuse.breaking.path].map(|path| bench.shown(path));
        lines.push(Line::of(format!("fuse {rating}, {voltage} d.c., breaks {breaking}")));
    }
    let behind = match bench.region() {
        Region::Us => "behind a GFCI",
        _ => "behind 30 mA",
    };
    let place = match identity.place.value {
        Some(Place::IndoorDry) => Some("dry rooms only".to_owned()),
        Some(Place::IndoorDamp) if bench.mains() => Some(format!("for damp rooms, {behind}")),
        Some(Place::Outdoor) if bench.mains() => Some(format!("for outdoors, {behind}")),
        _ => None,
    };
    let room = identity.room.high().ok().map(|t| format!("ta {}", stated(t.value(), "°C")));
    let surroundings: Vec<String> = place.into_iter().chain(room).collect();
    if !surroundings.is_empty() {
        lines.push(Line::of(surroundings.join(", ")));
    }
    // IEC 60598-1, section 3, from memory: who may change a light source that its owner may not.
    lines.push(Line::of("light source: changed by a skilled person only"));
    let revision = identity.revision.value.as_deref().unwrap_or("none");
    let date = identity.date.value.map_or_else(String::new, |d| format!(", {d}"));
    lines.push(Line { numbered: true, ..Line::of(format!("revision {revision}{date}    unit")) });
    lines
}

fn rated(bench: &Bench<'_>) -> String {
    let figures = if bench.mains() {
        vec![bench.shown("mains.voltage"), bench.shown("mains.frequency")]
    } else {
        let output = bench.lamp.supply.output.nominal();
        vec![output.map_or_else(|_| "–".to_owned(), |u| format!("{} d.c.", stated(u.value(), "V")))]
    };
    let power = [bench.shown("label.power"), bench.shown("label.current")];
    figures.into_iter().chain(power).collect::<Vec<_>>().join("   ")
}

fn square(centre: Point, side: f64) -> Path {
    Path::rectangle(at(centre.x - side / 2.0, centre.y - side / 2.0), side, side)
}

/// IEC 60417-5172, our sketch: a square of side a and one of a/2 inside it.
fn two(pen: &mut Pen, centre: Point) {
    pen.paths(Role::Outline, vec![square(centre, MARK), square(centre, MARK / 2.0)]);
}

/// IEC 60417-5180, our sketch: a square on its corner with three upright bars.
fn three(pen: &mut Pen, centre: Point) {
    let half = MARK / 2.0;
    let Point { x, y } = centre;
    pen.path(Role::Outline, Path::polygon(&[at(x + half, y), at(x, y + half), at(x - half, y), at(x, y - half)]));
    for offset in [-0.2, 0.0, 0.2] {
        let bar = x + offset * MARK;
        pen.line(Role::Outline, &[at(bar, y - 0.18 * MARK), at(bar, y + 0.18 * MARK)]);
    }
}

/// IEC 60417-5019, our sketch: the earth sign in a circle, bars 0.6, 0.4 and 0.2 d wide and 0.12 d apart.
fn earth(pen: &mut Pen, centre: Point) {
    let Point { x, y } = centre;
    pen.path(Role::Outline, Path::circle(centre, MARK / 2.0));
    pen.line(Role::Outline, &[at(x, y + 0.5 * MARK), at(x, y)]);
    for (row, share) in [0.6, 0.4, 0.2].iter().enumerate() {
        let (level, half) = (y - 0.12 * MARK * row as f64, share * MARK / 2.0);
        pen.line(Role::Outline, &[at(x - half, level), at(x + half, level)]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::packet::drawings::pen::extent;

    #[test]
    fn marks_keep_their_size() {
        // IEC 60598-1, section 3: letters at least 2 mm, marks at least 5 mm high.
        const { assert!(LETTERS >= 2.0 && MARK >= 5.0) };
        for draw in [two, three, earth] {
            let mut pen = Pen::default();
            draw(&mut pen, at(10.0, 10.0));
            let drawing = pen.finish("mark", String::new(), String::new(), Scale::Full);
            let boxes: Vec<_> = drawing.shapes.iter().filter_map(extent).collect();
            let high = boxes.iter().map(|r| r.most.y).fold(f64::MIN, f64::max)
                - boxes.iter().map(|r| r.least.y).fold(f64::MAX, f64::min);
            assert!((high - MARK).abs() < 1e-9, "{high}");
        }
    }
}
