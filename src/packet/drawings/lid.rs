//! Drawing `lid-card`: the card for the inside of the lid at full size, cut to the body, with lines that wrap inside it.
//! Where the body has no size, or is too small for the words, the card folds at a dashed line.

use super::body::{Shell, shell};
use super::pen::Pen;
use super::text::width;
use crate::figures::trimmed;
use crate::packet::bench::Bench;
use crate::packet::drawing::{Anchor, Drawing, Role, Scale, at};
use crate::schema::words::Word;
use crate::solve::label::class;

/// Height of capitals, mm; the name's, mm (common practice: read at arm's length).
const LETTERS: f64 = 2.2;
const NAME: f64 = 3.0;
/// Distance of lines, and room to the edge, mm.
const LEADING: f64 = 4.2;
const EDGE: f64 = 3.0;
/// Room left free round the card inside the walls, mm (our margin).
const FREE: f64 = 6.0;
/// Widest card, and card for a body without a size, mm.
const WIDEST: f64 = 120.0;
const USUAL: (f64, f64) = (100.0, 70.0);
/// Narrowest card, mm: below it words would break inside.
const NARROWEST: f64 = 55.0;

/// Room for a card on the inside of the lid: for a round one the rectangle 4 by 3 inside its circle.
fn room(shell: &Shell) -> (f64, f64) {
    let inside = |side: f64| side - 2.0 * (shell.wall + FREE);
    match shell.round {
        true => (inside(shell.width) * 0.8, inside(shell.height) * 0.6),
        false => (inside(shell.width), inside(shell.height)),
    }
}

/// What the card says: heading and words of each line.
fn rows(bench: &Bench<'_>) -> Vec<(String, String)> {
    let shown = |path: &str, instead: &str| bench.known(path).unwrap_or(instead).to_owned();
    let revision = bench.identity.revision.as_deref().unwrap_or("none");
    let mut rows = vec![
        ("revision".to_owned(), format!("{revision} · {}", bench.identity.digest)),
        ("unit no.".to_owned(), String::new()),
    ];
    let mut add = |what: &str, words: String| rows.push((what.to_owned(), words));
    if bench.mains() {
        let wait = shown("supply.discharge", "five minutes");
        let out = match bench.lamp.mains.as_ref().is_some_and(|m| m.cord.is_some() || m.inlet.is_some()) {
            true => "plug out and in sight",
            false => "circuit off and locked",
        };
        add("before you open", format!("{out}, wait {wait}, measure below 34 V"));
        let class = class(bench.lamp).map_or("not known", Word::word);
        add(bench.term("mains"), format!("{}, class {class}", shown("mains.voltage", "not known")));
        add("fuse", shown("line.fuse-marking", "none inside"));
        if let Some(rating) = bench.known("line.plug-fuse") {
            add("fuse in the plug", rating.to_owned());
        }
    } else if bench.battery() {
        add("before you open", "fuse out first, then the battery off, its two ends taped over".to_owned());
        let battery = |what: &str| shown(&format!("supply.battery.{what}"), "not known");
        let cells = format!("{}, {} cells", battery("chemistry"), battery("cells"));
        add("battery", format!("{cells}; lets go at {}", battery("cutoff")));
        let (rating, voltage) = (battery("fuse.rating"), battery("fuse.voltage"));
        let breaking = battery("fuse.breaking");
        let fuse = match bench.lamp.supply.battery.as_ref().is_some_and(|b| b.fuse.is_some()) {
            true => format!("{rating}, {voltage} d.c., breaks {breaking}"),
            false => "none".to_owned(),
        };
        add("fuse", fuse);
    } else {
        add("before you open", "supply unplugged".to_owned());
    }
    let feed = if bench.battery() { "battery's voltage" } else { "supply" };
    let (output, open) = (shown("supply.output", "not known"), shown("supply.open-circuit", "not known"));
    add(feed, format!("{output}, without load {open}"));
    let strings: Vec<String> =
        bench.solution.channels.iter().map(|c| format!("{} {}", c.name, current(bench, &c.name))).collect();
    add("strings, up to", strings.join(", "));
    add("after any repair", "as \"Repair\" says; without it all of \"Dead tests\", then \"First power\"".to_owned());
    rows
}

/// Highest current of a string; where the emitter shares its anodes, of the wire on the other side.
fn current(bench: &Bench<'_>, channel: &str) -> String {
    let ends = ["plus", "minus"].map(|end| format!("wire.{channel}-{end}.current"));
    ends.iter().find_map(|path| bench.known(path)).unwrap_or("not known").to_owned()
}

/// Words in lines no wider than `wide`; a longer word breaks where it must.
fn wrapped(text: &str, wide: f64) -> Vec<String> {
    let fits = |line: &str| width(line, LETTERS, false) <= wide;
    let mut lines = vec![String::new()];
    for word in text.split(' ') {
        let last = lines.last().cloned().unwrap_or_default();
        let longer = if last.is_empty() { word.to_owned() } else { format!("{last} {word}") };
        if fits(&longer) {
            lines.pop();
            lines.push(longer);
            continue;
        }
        let mut piece = String::new();
        for c in word.chars() {
            if !piece.is_empty() && !fits(&format!("{piece}{c}")) {
                lines.push(std::mem::take(&mut piece));
            }
            piece.push(c);
        }
        lines.push(piece);
    }
    lines.retain(|line| !line.is_empty());
    lines
}

/// The card.
pub(super) fn card(bench: &Bench<'_>) -> Option<Drawing> {
    // A body without a flat lid takes the card on some part in it.
    let flat = shell(bench.lamp).ok().filter(|shell| shell.before > 0.0);
    let (wide, most) = flat.map_or(USUAL, |shell| room(&shell));
    let wide = wide.clamp(NARROWEST, WIDEST);
    let inner = wide - 2.0 * EDGE;
    let mut lines: Vec<(String, f64, bool)> = Vec::new();
    let name = width(&bench.lamp.name, NAME, true);
    lines.push((bench.lamp.name.clone(), NAME * (inner / name.max(1e-9)).min(1.0), true));
    for (what, words) in rows(bench) {
        let text = if words.is_empty() { what } else { format!("{what}: {words}") };
        lines.extend(wrapped(&text, inner).into_iter().map(|line| (line, LETTERS, false)));
    }
    let high = LEADING * lines.len() as f64 + 2.0 * EDGE;
    let mut pen = Pen::default();
    pen.rectangle(Role::Cut, at(0.0, 0.0), wide, high);
    for (row, (text, height, strong)) in lines.iter().enumerate() {
        let y = high - EDGE - LEADING * (row as f64 + 1.0) + (LEADING - LETTERS) / 2.0;
        pen.words(at(EDGE, y), *height, Anchor::Start, 0.0, text.as_str(), *strong);
        if text == "unit no." {
            pen.line(Role::Dimension, &[at(EDGE + 16.0, y - 0.6), at(EDGE + 40.0, y - 0.6)]);
        }
    }
    let folds = if most > 3.0 * LEADING { libm::ceil(high / most) } else { 1.0 };
    for fold in 1..folds.clamp(1.0, 6.0) as u32 {
        // Between two lines, so that no word is creased.
        let y = high - EDGE - LEADING * libm::round((high * f64::from(fold) / folds - EDGE) / LEADING);
        pen.line(Role::Hidden, &[at(0.0, y), at(wide, y)]);
    }
    let size = format!("{} x {} mm", trimmed(wide, 0), trimmed(high, 0));
    let title = match folds > 1.0 {
        true => format!("Card for the lid, {size}; fold it at the dashed lines"),
        false => format!("Card for the lid, {size}"),
    };
    let said: Vec<&str> = lines.iter().map(|(text, ..)| text.as_str()).collect();
    let description = format!("A card to cut out: {}.", said.join("; "));
    Some(pen.finish("lid-card", bench.local(&title), description, Scale::Full))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::mechanics::hollow::Hollow;

    #[test]
    fn lines_stay_inside_the_card_and_lose_no_word() {
        let text = "every row of the dead tests and averyveryverylongnamethatnobodywouldeverwriteonalampcard";
        for wide in [20.0, 49.0, 80.0] {
            let lines = wrapped(text, wide);
            assert!(lines.iter().all(|l| width(l, LETTERS, false) <= wide), "{lines:?}");
            let said: String = lines.concat().replace(' ', "");
            assert_eq!(said, text.replace(' ', ""));
        }
    }

    #[test]
    fn a_round_lid_holds_the_corners_of_its_card() {
        let mm = |length: f64| crate::quantity::Metres::si(length * 1e-3);
        let space = |r: f64, depth: f64| Hollow::Round { back: mm(r), front: mm(r), depth: mm(depth) };
        let (outer, inner) = (space(60.0, 220.0), space(57.6, 215.2));
        let (width, wall) = (120.0, 2.4);
        let shell = Shell { round: true, width, height: width, depth: 220.0, wall, before: wall, outer, inner };
        let (wide, high) = room(&shell);
        assert!(libm::hypot(wide, high) <= 120.0 - 2.0 * 2.4);
    }
}
