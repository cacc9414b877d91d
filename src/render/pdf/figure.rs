//! Drawings on a sheet: at their size or shrunk to fit, and 1:1 drawings larger than a page as numbered tiles.
//! Tiles share a strip with their neighbours; the crosses in it lie on one another when the tiles are taped.

use super::drawing::{Placement, marks};
use super::fonts::{CAP_HEIGHT, Face, MM_PER_PT};
use super::layout::{LINE_GREY, Setter, Slab, cross, missing_character, setting, stack};
use super::marks::{HAIR, Mark, Paint, Step, Words, rectangle};
use super::text::{Setting, wrap};
use crate::packet::drawing::{Drawing, Point, Scale, at};
use crate::packet::drawings::pen::crossed;
use crate::packet::drawings::text::Room;
use crate::packet::sheet::TextSize;
use crate::render::blocks::{Inline, Look};

/// Strip that neighbouring tiles share, mm.
const OVERLAP: f64 = 12.0;
/// Room below a drawing or a tile for caption and scale bar, mm.
const FOOT: f64 = 17.0;
/// Room around a drawing whose bars are left to the page, mm.
const FRAME: f64 = 1.5;
/// Most tiles that anyone would tape together (our limit): a sheet of more is taken to a shop as a file.
const MOST_TILES: usize = 200;
/// Largest size of the map of all tiles, mm.
const MAP: (f64, f64) = (150.0, 110.0);
/// Field of a tile's place on the map, mm.
const PLACE: (f64, f64) = (6.4, 4.2);
/// How far a drawing may reach out of the text area, mm: half a stroke, never into the binder margin.
const SLACK: f64 = 1.0;

impl Setter<'_> {
    /// Sets the drawing of that name.
    pub(super) fn drawing(&mut self, name: &str, alt: &str, left: f64, width: f64) -> Vec<Slab> {
        let packet = self.packet;
        let Some(drawing) = packet.drawings.get(name) else {
            self.refuse(alt, format!("there is no drawing `{name}`; the packet has {}", known(packet)));
            return Vec::new();
        };
        let room = self.area.1 - FOOT;
        if drawing.scale == Scale::Full {
            if drawing.width <= width + 1e-9 && drawing.height <= room + 1e-9 {
                return vec![self.figure(drawing, left, 1.0)];
            }
            // Turned it may need fewer tiles, or none.
            let turned = drawing.turned();
            if turned.width <= width + 1e-9 && turned.height <= room + 1e-9 {
                return vec![self.figure(&turned, left, 1.0)];
            }
            // A page of tiles brings bars of its own: a second pair would be cut in two by its edges.
            let bare = drawing.without_bars(FRAME);
            let turned = bare.turned();
            let count = |of: &Drawing| Grid::of(of, (self.area.0, room)).count();
            return if count(&turned) < count(&bare) { self.tiles(&turned) } else { self.tiles(&bare) };
        }
        let scale = (width / drawing.width).min(room / drawing.height).min(1.0);
        vec![self.figure(drawing, left, scale)]
    }

    fn figure(&mut self, drawing: &Drawing, left: f64, scale: f64) -> Slab {
        let mut note = String::new();
        if drawing.scale == Scale::Full {
            note.push_str("Full size, 1 : 1. Print without scaling and measure before use.");
        } else if scale < 0.995 && drawing.title.contains(" : ") {
            // A drawing without a ratio in its title has no scale that could be lost.
            note = format!("Set at {:.0} % of its stated scale.", scale * 100.0);
        }
        let height = drawing.height * scale;
        let place = Placement { origin: at(left, -height), scale };
        let marks = self.shapes(drawing, place);
        let (low, high) = self.reach(&marks);
        let beyond = (-low.x).max(high.x - self.area.0);
        if beyond > SLACK {
            let message =
                format!("the drawing runs {beyond:.1} mm out of the text area; make its frame as large as it is");
            self.refuse(&drawing.title, message);
        }
        // What stands out above or below the frame gets the room it needs.
        let slab = Slab { height: height.max(-low.y), before: 4.0, marks, ..Slab::default() };
        let mut slab = slab.lowered(high.y.max(0.0));
        self.caption(&drawing.title, &note, (left, self.area.0 - left), &mut slab);
        slab.name.clone_from(&drawing.title);
        slab
    }

    /// Lower left and upper right corner of the box around all marks and the frame's upper left corner.
    fn reach(&self, marks: &[Mark]) -> (Point, Point) {
        let (mut low, mut high) = (at(0.0, 0.0), at(0.0, 0.0));
        for point in marks.iter().flat_map(|mark| self.corners(mark)) {
            low = at(low.x.min(point.x), low.y.min(point.y));
            high = at(high.x.max(point.x), high.y.max(point.y));
        }
        (low, high)
    }

    /// Points between which a mark stands; what a clip hides is counted by the clip alone.
    fn corners(&self, mark: &Mark) -> Vec<Point> {
        match mark {
            Mark::Words(words) => {
                let em = words.size * MM_PER_PT;
                let length = self.fonts.width(words.face, &words.text) * em;
                let turn = words.angle.to_radians();
                let (c, s) = (libm::cos(turn), libm::sin(turn));
                let corner = |u: f64, v: f64| at(words.at.x + u * c - v * s, words.at.y + u * s + v * c);
                let (low, high) = (-0.2 * em, CAP_HEIGHT * em);
                vec![corner(0.0, low), corner(length, low), corner(length, high), corner(0.0, high)]
            }
            Mark::Path(steps, _) | Mark::Clip(steps) => steps.iter().filter_map(|step| step.end()).collect(),
            Mark::Unclip | Mark::Alt(_) | Mark::AltEnd | Mark::Layer(_) | Mark::LayerEnd => Vec::new(),
        }
    }

    /// Whether words may be seen in a window that hangs from the origin; paths are left to the clip.
    fn shows(&self, mark: &Mark, width: f64, height: f64) -> bool {
        if !matches!(mark, Mark::Words(_)) {
            return true;
        }
        let corners = self.corners(mark);
        let any = |inside: fn(Point, (f64, f64)) -> bool| corners.iter().any(|&p| inside(p, (width, height)));
        any(|p, _| p.x > 0.0) && any(|p, s| p.x < s.0) && any(|p, _| p.y < 0.0) && any(|p, s| p.y > -s.1)
    }

    fn shapes(&mut self, drawing: &Drawing, place: Placement) -> Vec<Mark> {
        let mut lost = Vec::new();
        let found = marks(self.fonts, drawing, place, &mut |character| lost.push(character));
        for character in lost {
            self.refuse(&drawing.title, missing_character(character));
        }
        found
    }

    /// Adds title and note below what the slab shows.
    fn caption(&mut self, title: &str, note: &str, (left, width): (f64, f64), slab: &mut Slab) {
        let set = Setting { size: 8.5, ..setting(TextSize::Body) };
        let strong = Look { strong: true, ..Look::default() };
        let run = [
            Inline::Text(title.to_string(), strong),
            Inline::Text(if note.is_empty() { String::new() } else { format!("  {note}") }, Look::default()),
        ];
        let tokens = self.tokens(&run, set);
        let lines = wrap(&tokens, width, set).unwrap_or_else(|word| {
            self.refuse(title, format!("`{word}` is wider than the {width:.0} mm of its caption"));
            Vec::new()
        });
        let below = stack(&lines, left, set);
        let drop = slab.height + 1.5;
        slab.marks.extend(below.marks.into_iter().map(|mark| mark.shifted(0.0, -drop)));
        slab.height = drop + below.height;
    }

    /// One page for each tile, row by row from the upper left, each with its place among the others.
    fn tiles(&mut self, drawing: &Drawing) -> Vec<Slab> {
        let grid = Grid::of(drawing, (self.area.0, self.area.1 - FOOT));
        if grid.count() > MOST_TILES {
            return vec![self.untiled(drawing, grid.count())];
        }
        // One page takes it all once its bars are the page's: there is no map of one tile.
        let mut slabs = if grid.count() == 1 { Vec::new() } else { vec![self.overview(drawing, grid)] };
        for row in 0..grid.rows {
            for column in 0..grid.columns {
                slabs.push(self.tile(drawing, grid, row, column));
            }
        }
        slabs
    }

    /// A drawing too large for tiles: small, and where its true size is to be had.
    fn untiled(&mut self, drawing: &Drawing, tiles: usize) -> Slab {
        let scale = (MAP.0.min(self.area.0) / drawing.width).min(MAP.1.min(self.area.1 - FOOT) / drawing.height);
        let height = drawing.height * scale;
        let shapes = self.shapes(drawing, Placement { origin: at(0.0, -height), scale }).into_iter();
        let marks = shapes.filter(|mark| !matches!(mark, Mark::Words(_))).collect();
        let mut slab = Slab { height, before: 4.0, marks, ..Slab::default() };
        let note = format!(
            "Drawn small: in true size it would take {tiles} pages. Have it printed or cut from {}.svg.",
            drawing.name
        );
        self.caption(&drawing.title, &note, (0.0, self.area.0), &mut slab);
        slab.name.clone_from(&drawing.title);
        slab
    }

    /// Says before the tiles that they come, with a small picture of how they lie.
    fn overview(&mut self, drawing: &Drawing, grid: Grid) -> Slab {
        let (wide, high) = (MAP.0.min(self.area.0), MAP.1.min(self.area.1 - FOOT));
        let scale = (wide / drawing.width).min(high / drawing.height).min(0.5);
        let (width, height) = (drawing.width * scale, drawing.height * scale);
        let place = Placement { origin: at(0.0, -height), scale };
        let shapes = self.shapes(drawing, place).into_iter();
        let marks = shapes.filter(|mark| !matches!(mark, Mark::Words(_))).collect();
        let mut slab = Slab { height, before: 4.0, marks, ..Slab::default() };
        for row in 0..grid.rows {
            for column in 0..grid.columns {
                let (x, y) = grid.offset(row, column);
                let (right, low) = ((x + grid.tile.0) * scale, (y + grid.tile.1) * scale);
                let (left, top) = (x * scale, y * scale);
                let corner = at(left, -low.min(height));
                let paint = Paint { stroke: Some((HAIR, LINE_GREY)), ..Paint::default() };
                slab.marks.push(Mark::rectangle(corner, right.min(width) - left, low.min(height) - top, paint));
                let place = grid.free_place(drawing, scale, row, column);
                slab.marks.push(Mark::rectangle(place, PLACE.0, PLACE.1, Paint::fill(1.0)));
                slab.marks.push(self.tile_id(place, row, column));
            }
        }
        let note = format!(
            "Drawn small. In true size on the next {} pages, {} × {} tiles (row / column) of one sheet.",
            grid.rows * grid.columns,
            grid.rows,
            grid.columns
        );
        self.caption(&drawing.title, &note, (0.0, self.area.0), &mut slab);
        slab.name.clone_from(&drawing.title);
        slab
    }

    /// The place of a tile among the others, in the middle of its field.
    fn tile_id(&self, field: Point, row: usize, column: usize) -> Mark {
        const SIZE: f64 = 8.5;
        let (text, face) = (format!("{}/{}", row + 1, column + 1), Face::SemiBold);
        let em = SIZE * MM_PER_PT;
        let left = (PLACE.0 - self.fonts.width(face, &text) * em) / 2.0;
        let place = at(field.x + left, field.y + (PLACE.1 - CAP_HEIGHT * em) / 2.0);
        Mark::Words(Words { at: place, text, face, size: SIZE, grey: 0.0, slant: false, angle: 0.0 })
    }

    /// A bar of 100 mm to measure before the tile is used, lying (0 degrees) or standing (90).
    fn bar(from: Point, angle: f64) -> [Mark; 2] {
        let (c, s) = if angle == 0.0 { (1.0, 0.0) } else { (0.0, 1.0) };
        let point = |u: f64, v: f64| at(from.x + u * c - v * s, from.y + u * s + v * c);
        let mut steps = vec![Step::Move(point(0.0, 0.0)), Step::Line(point(100.0, 0.0))];
        for end in [0.0, 50.0, 100.0] {
            steps.extend([Step::Move(point(end, -1.2)), Step::Line(point(end, 1.2))]);
        }
        let text = "100 mm: measure before use".to_string();
        let place = point(2.0, 1.0);
        let words = Words { at: place, text, face: Face::Regular, size: 7.5, grey: 0.0, slant: false, angle };
        [Mark::Path(steps, Paint::line(HAIR)), Mark::Words(words)]
    }

    fn tile(&mut self, drawing: &Drawing, grid: Grid, row: usize, column: usize) -> Slab {
        let (width, height) = grid.tile;
        let (shift_x, shift_y) = grid.offset(row, column);
        let upper = at(-shift_x, -drawing.height + shift_y);
        let window = at(0.0, -height);
        let mut slab = Slab { height, fresh: true, ..Slab::default() };
        slab.marks.push(Mark::Clip(rectangle(window, width, height)));
        let shapes = self.shapes(drawing, Placement { origin: upper, scale: 1.0 });
        // Words that the window hides would still be found by a search, on the wrong page.
        slab.marks.extend(shapes.into_iter().filter(|mark| self.shows(mark, width, height)));
        slab.marks.push(Mark::Unclip);
        let edge = Paint { stroke: Some((HAIR, LINE_GREY)), dash: &[2.0, 2.0], ..Paint::default() };
        if grid.count() > 1 {
            slab.marks.push(Mark::rectangle(window, width, height, edge));
        }
        slab.marks.extend(grid.crosses(row, column));
        slab.marks.extend(Self::bar(at(0.0, -height - 14.0), 0.0));
        slab.marks.extend(Self::bar(at(width + 6.0, -height / 2.0 - 50.0), 90.0));
        if grid.count() > 1 {
            grid.map((width - 2.0, -height - 1.5), row, column, &mut slab.marks);
        }
        let id = format!("tile {}/{}", row + 1, column + 1);
        let note = if grid.count() == 1 {
            "Full size, 1 : 1. Print without scaling and measure before use.".to_owned()
        } else {
            format!(
                "{id} (row / column) of {} × {}, 1 : 1. Lay the crosses of neighbouring tiles on one another; \
                 tiles overlap by {OVERLAP:.0} mm.",
                grid.rows, grid.columns
            )
        };
        self.caption(&drawing.title, &note, (0.0, width - 30.0), &mut slab);
        slab.name = if grid.count() == 1 { drawing.title.clone() } else { format!("{}, {id}", drawing.title) };
        // The caption and the map share the foot, so the page is full.
        slab.height = height + FOOT;
        slab
    }
}

fn known(packet: &crate::packet::sheet::Packet) -> String {
    let names: Vec<&str> = packet.drawings.keys().map(String::as_str).collect();
    if names.is_empty() { "none".into() } else { names.join(", ") }
}

#[derive(Clone, Copy)]
struct Grid {
    rows: usize,
    columns: usize,
    tile: (f64, f64),
}

impl Grid {
    fn of(drawing: &Drawing, tile: (f64, f64)) -> Self {
        let count = |whole: f64, part: f64| ((whole - OVERLAP - 1e-9) / (part - OVERLAP)).ceil().max(1.0) as usize;
        Self { rows: count(drawing.height, tile.1), columns: count(drawing.width, tile.0), tile }
    }

    fn count(self) -> usize {
        self.rows * self.columns
    }

    /// Distance of a tile's upper left corner from the drawing's, mm to the right and down.
    fn offset(self, row: usize, column: usize) -> (f64, f64) {
        (column as f64 * (self.tile.0 - OVERLAP), row as f64 * (self.tile.1 - OVERLAP))
    }

    /// Lower left corner, on the map hanging from the origin, of a field for the tile's place: where no line of the
    /// drawing runs, as near the tile's middle as can be. Where lines are everywhere it lies beside the map, or else in the middle.
    fn free_place(self, drawing: &Drawing, scale: f64, row: usize, column: usize) -> Point {
        const STEPS: i32 = 12;
        let (x, y) = self.offset(row, column);
        let shown = (self.tile.0.min(drawing.width - x) * scale, self.tile.1.min(drawing.height - y) * scale);
        let middle = at(x * scale + shown.0 / 2.0, -y * scale - shown.1 / 2.0);
        let reach = ((shown.0 - PLACE.0).max(0.0) / 2.0, (shown.1 - PLACE.1).max(0.0) / 2.0);
        let steps = || -STEPS..=STEPS;
        let mut places: Vec<(i32, Point)> = steps()
            .flat_map(|u| steps().map(move |v| (u, v)))
            .map(|(u, v)| {
                let share = |n: i32, reach: f64| f64::from(n) / f64::from(STEPS) * reach;
                let centre = at(middle.x + share(u, reach.0), middle.y + share(v, reach.1));
                (u * u + v * v, at(centre.x - PLACE.0 / 2.0, centre.y - PLACE.1 / 2.0))
            })
            .collect();
        places.sort_by_key(|(far, _)| *far);
        let back = |p: Point| at(p.x / scale + drawing.corner.x, p.y / scale + drawing.corner.y + drawing.height);
        let open = |p: &Point| {
            let most = back(at(p.x + PLACE.0, p.y + PLACE.1));
            !crossed(&drawing.shapes, &Room { least: back(*p), most }.grown(0.6 / scale))
        };
        let beside = || {
            let last = column + 1 == self.columns;
            last.then(|| at(drawing.width * scale + 1.5, middle.y - PLACE.1 / 2.0))
        };
        let found = places.iter().map(|(_, place)| *place).find(open).or_else(beside);
        found.or(places.first().map(|(_, place)| *place)).unwrap_or(middle)
    }

    /// Crosses in the middle of the strips, at places that are the same in both neighbours.
    fn crosses(self, row: usize, column: usize) -> Vec<Mark> {
        let (width, height) = self.tile;
        let inset = OVERLAP / 2.0;
        let mut found = Vec::new();
        for (x, shared_x) in [(inset, column > 0), (width - inset, column + 1 < self.columns)] {
            for (y, shared_y) in [(inset, row > 0), (height - inset, row + 1 < self.rows)] {
                if shared_x || shared_y {
                    found.push(cross(x, -y, 3.5));
                }
            }
        }
        found
    }

    /// A small map of all tiles with this one grey, hanging from its upper right corner.
    fn map(self, corner: (f64, f64), row: usize, column: usize, marks: &mut Vec<Mark>) {
        let unit = (11.0 / self.rows as f64).min(18.0 / self.columns as f64).min(4.5);
        let left = corner.0 - unit * self.columns as f64;
        for r in 0..self.rows {
            for c in 0..self.columns {
                let place: Point = at(left + unit * c as f64, corner.1 - unit * (r + 1) as f64);
                let fill = if (r, c) == (row, column) { Some(0.85) } else { None };
                marks.push(Mark::rectangle(place, unit, unit, Paint { fill, ..Paint::line(HAIR) }));
            }
        }
    }
}
