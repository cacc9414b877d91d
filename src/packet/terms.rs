//! Words of the trade by region, in one table: the papers say `earth` or `ground`, `live` or `hot`, as the reader does.
//! Templates ask by `term("earth")`, where a word that is not here is an error; steps of the checklist by `[earth]`.

use crate::figures::{fixed, significant};
use crate::physics::conductors::awg;
use crate::quantity::{Metres, Quantity, SquareMetres};
use crate::schema::words::Region;

/// A thing, with its name on the continent, in the UK and in North America.
type Row = (&'static str, [&'static str; 3]);

/// The table. Usage from memory; figures of residual-current devices by IEC 61008 and, in North America, UL 943.
static TERMS: &[Row] = &[
    ("mains", ["mains", "mains", "line voltage"]),
    ("Mains", ["Mains", "Mains", "Line voltage"]),
    ("line", ["line", "live", "hot"]),
    ("Line", ["Line", "Live", "Hot"]),
    ("neutral", ["neutral", "neutral", "neutral"]),
    ("earth", ["earth", "earth", "ground"]),
    ("Earth", ["Earth", "Earth", "Ground"]),
    ("earthed", ["earthed", "earthed", "grounded"]),
    ("protective earth", ["protective earth", "protective earth", "equipment ground"]),
    ("earth colour", ["Green-and-yellow", "Green-and-yellow", "Green, or green-and-yellow,"]),
    ("line pin", ["line pin", "live pin", "hot (narrow) blade"]),
    ("neutral pin", ["neutral pin", "neutral pin", "neutral (wide) blade"]),
    ("earth pin", ["earth pin", "earth pin", "ground pin"]),
    ("line and neutral pins", ["line and neutral pins", "live and neutral pins", "hot and neutral blades"]),
    ("cord", ["cord", "flex", "cord"]),
    ("Cord", ["Cord", "Flex", "Cord"]),
    ("cord clamp", ["cord clamp", "cord grip", "strain relief"]),
    ("socket", ["socket", "socket", "receptacle"]),
    ("switched socket", ["switched socket", "switched socket", "receptacle or power strip with a switch"]),
    ("residual device", ["residual-current device", "RCD", "GFCI"]),
    ("a residual device", ["a residual-current device", "an RCD", "a GFCI"]),
    (
        "residual devices",
        ["a residual-current device of 30 mA or less", "an RCD of 30 mA or less", "a GFCI, 6 mA or less"],
    ),
    ("residual standard", ["IEC 61008-1", "IEC 61008-1", "UL 943"]),
    ("residual source", ["IEC 60364-4-41, 415.1", "BS 7671, 415.1", "UL 943"]),
    ("colour source", ["IEC 60445", "IEC 60445", "NEC 200.6 and 250.119"]),
    ("residual limit", ["30 mA or less", "30 mA or less", "6 mA or less"]),
    ("insulation tester", ["insulation tester", "insulation tester", "megohmmeter"]),
    ("earth tester", ["earth tester", "earth bond tester", "ground bond tester"]),
    ("licensed person", ["licensed person", "registered electrician", "licensed electrician"]),
    ("fixed wiring", ["fixed wiring of the house", "fixed wiring of the house", "branch circuit of the building"]),
    ("toothed washer", ["toothed washer", "toothed washer", "star washer"]),
    ("from mains", ["from the mains", "from the mains", "at the receptacle"]),
    ("grey", ["grey", "grey", "gray"]),
];

/// Our own words in messages of rules and titles of figures, which are written for the continent, and the thing of the
/// table that each means; longer ones first.
static SPOKEN: &[(&str, &str)] = &[
    ("from the mains", "from mains"),
    ("protective earth", "protective earth"),
    ("residual-current device", "residual device"),
    ("cord clamp", "cord clamp"),
    ("line pin", "line pin"),
    ("mains", "mains"),
    ("Mains", "Mains"),
    ("earthed", "earthed"),
    ("earth", "earth"),
    ("Earth", "Earth"),
    ("socket", "socket"),
    ("cord", "cord"),
    ("Cord", "Cord"),
    ("grey", "grey"),
];

const fn column(region: Region) -> usize {
    match region {
        Region::Eu => 0,
        Region::Uk => 1,
        Region::Us => 2,
    }
}

/// A message of ours in the words of the region; what stands between backticks or quotes is somebody's name and stays.
pub fn spoken(region: Region, text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let (mut rest, mut quoted) = (text, None);
    while let Some(first) = rest.chars().next() {
        let taken = match (quoted, first) {
            (None, '`' | '"') => {
                quoted = Some(first);
                None
            }
            (Some(mark), c) if c == mark => {
                quoted = None;
                None
            }
            (Some(_), _) => None,
            (None, _) if out.ends_with(|c: char| c.is_alphanumeric() || "-/.".contains(c)) => None,
            (None, _) => SPOKEN.iter().find(|(ours, _)| rest.strip_prefix(ours).is_some_and(ends_word)),
        };
        match taken {
            Some((ours, thing)) => {
                out.push_str(term(region, thing).unwrap_or(ours));
                rest = rest.get(ours.len()..).unwrap_or("");
            }
            None => {
                out.push(first);
                rest = rest.get(first.len_utf8()..).unwrap_or("");
            }
        }
    }
    out
}

/// Whether a word ends before this text: not inside a longer word, nor inside a path or the name of a rule.
fn ends_word(tail: &str) -> bool {
    let mut next = tail.chars();
    match next.next() {
        None => true,
        Some('.') => next.next().is_none_or(|c| !c.is_alphanumeric()),
        Some(c) => !(c.is_alphanumeric() || c == '/' || c == '-'),
    }
}

/// Pins of what goes in either way round: none of them is line or neutral, only the core behind it is known.
static TURNING: &[Row] = &[
    ("line pin", ["pin on the brown core", "pin on the brown core", "blade on the smooth or black core"]),
    ("neutral pin", ["pin on the blue core", "pin on the blue core", "blade on the ribbed or white core"]),
    ("line and neutral pins", ["both pins of the plug", "both pins of the plug", "both blades of the plug"]),
];
/// The same of an inlet.
static TURNING_INLET: &[Row] = &[
    ("line pin", ["pin on the brown core", "pin on the brown core", "pin on the black core"]),
    ("neutral pin", ["pin on the blue core", "pin on the blue core", "pin on the white core"]),
    ("line and neutral pins", ["both pins of the inlet", "both pins of the inlet", "both pins of the inlet"]),
];

/// What decides the word for a thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Words {
    /// Where the reader lives.
    pub region: Region,
    /// The lamp's plug, or the cord in its inlet, goes in either way round.
    pub plug_turns: bool,
    /// Mains enters by an inlet.
    pub inlet: bool,
}

impl Words {
    /// The word for a thing; none for what is not in the table.
    pub fn term(self, thing: &str) -> Option<&'static str> {
        let table = if self.inlet { TURNING_INLET } else { TURNING };
        let turning = if self.plug_turns { find(table, self.region, thing) } else { None };
        turning.or_else(|| term(self.region, thing))
    }
}

/// The word for a thing in a region, of a lamp with any plug.
fn term(region: Region, thing: &str) -> Option<&'static str> {
    find(TERMS, region, thing)
}

fn find(table: &[Row], region: Region, thing: &str) -> Option<&'static str> {
    let column = column(region);
    table.iter().find(|(name, _)| *name == thing).and_then(|(_, words)| words.get(column).copied())
}

/// `[thing]` in a text becomes its word; brackets round anything else stay.
pub fn in_terms(region: Region, text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('[') {
        out.push_str(before);
        match after.split_once(']').and_then(|(thing, tail)| Some((term(region, thing)?, tail))) {
            Some((word, tail)) => {
                out.push_str(word);
                rest = tail;
            }
            None => {
                out.push('[');
                rest = after;
            }
        }
    }
    out + rest
}

/// One inch, exact.
pub const INCH: Metres = Metres::si(0.0254);

/// One foot, exact.
const FOOT: Metres = Metres::si(0.3048);
/// One pound-force, exact: 0.45359237 kg · 9.80665 m/s².
const POUND_FORCE: f64 = 4.448_221_615_260_5;

/// A length to cut with a tape: in North America the nearest sixteenth of an inch, with the exact millimetres beside it.
pub fn length(region: Region, length: Metres) -> String {
    match region {
        Region::Us => format!("{} ({})", taped(length), length.show()),
        _ => length.show(),
    }
}

/// A length in inches as a caliper shows it, to a thousandth.
fn calipered(length: Metres) -> String {
    fixed(length / INCH, 3)
}

/// Inches before a band of lengths that is already written out.
pub fn band_beside(low: Metres, high: Metres, shown: &str) -> String {
    format!("{} in to {} in ({shown})", calipered(low), calipered(high))
}

/// A length to buy: in North America in whole feet, rounded up.
pub fn bought(region: Region, length: Metres, shown: &str) -> String {
    match region {
        Region::Us => format!("{} ft ({shown})", libm::ceil(length / FOOT - 1e-9)),
        _ => shown.to_owned(),
    }
}

/// To the nearest sixteenth of an inch, as a tape shows it: `2 15/16 in`.
fn taped(length: Metres) -> String {
    let sixteenths = libm::round(length / INCH * 16.0) as i64;
    let (whole, mut over, mut under) = (sixteenths / 16, sixteenths % 16, 16);
    while over > 0 && over % 2 == 0 {
        (over, under) = (over / 2, under / 2);
    }
    match (whole, over) {
        (0, 0) => format!("{} in", calipered(length)),
        (_, 0) => format!("{whole} in"),
        (0, _) => format!("{over}/{under} in"),
        _ => format!("{whole} {over}/{under} in"),
    }
}

/// Inches before a length that is already written out.
pub fn beside(length: Metres, shown: &str) -> String {
    format!("{} in ({shown})", calipered(length))
}

/// Inches with as many decimals as a caliper or a rule shows.
fn inches(millimetres: f64) -> String {
    let inches = millimetres * 1e-3 / INCH.value();
    fixed(inches, if inches.abs() < 1.0 { 3 } else { 2 })
}

/// In North America the units of its tools before those written: inches, feet, gauges, pounds; elsewhere the text as
/// it is. Numbers that belong together (`3 x 4 mm`) are turned together.
pub fn local(region: Region, text: &str) -> String {
    if region != Region::Us {
        return text.to_owned();
    }
    let mut out: Vec<String> = Vec::new();
    for word in text.split(' ') {
        let unit = word.trim_end_matches([',', ';', '.', ':', ')']);
        let tail = word.get(unit.len()..).unwrap_or("");
        let numbers = if ["mm", "m", "mm²", "N", "N·m"].contains(&unit) { numbers(&out, unit == "mm") } else { None };
        match numbers.and_then(|(lead, numbers)| Some((lead, turned(&numbers, unit)?, numbers.len()))) {
            Some((lead, turned, count)) => {
                out.truncate(out.len() + 1 - 2 * count);
                out.push(format!("{lead}{turned}{tail}"));
            }
            None => out.push(word.to_owned()),
        }
    }
    out.join(" ")
}

/// The number that ends these words, with those joined to it by a sign of times where they share its unit, and what
/// opens before the first. None where they stand in brackets behind a unit of North America: those are turned already.
fn numbers(words: &[String], joined: bool) -> Option<(String, Vec<String>)> {
    let split = |word: &String| {
        let bare = word.trim_start_matches(['(', 'Ø']);
        let lead = word.get(..word.len() - bare.len()).unwrap_or("").to_owned();
        bare.parse::<f64>().is_ok().then(|| (lead, bare.to_owned()))
    };
    let (mut lead, last) = split(words.last()?)?;
    let (mut numbers, mut rest) = (vec![last], words.get(..words.len() - 1)?);
    while let [before @ .., number, times] = rest
        && joined
        && times == "x"
        && let Some((opens, number)) = split(number)
    {
        (lead, rest) = (opens, before);
        numbers.insert(0, number);
    }
    let behind = rest.last().is_some_and(|word| ["in", "ft", "lbf", "lbf·in", "AWG"].contains(&word.as_str()));
    (!(behind && lead.starts_with('('))).then_some((lead, numbers))
}

/// Numbers of one unit as North America has them, with what was written in brackets.
fn turned(numbers: &[String], unit: &str) -> Option<String> {
    let values: Vec<f64> = numbers.iter().map(|n| n.parse().ok()).collect::<Option<_>>()?;
    let value = *values.first()?;
    let written = numbers.join(" x ");
    Some(match unit {
        "mm" => format!("{} in ({written} mm)", values.iter().map(|v| inches(*v)).collect::<Vec<_>>().join(" x ")),
        "m" => format!("{} ft ({written} m)", fixed(value / FOOT.value(), 2)),
        "mm²" => {
            let gauge = awg::not_smaller_even(SquareMetres::si(value * 1e-6));
            format!("{} ({})", awg::name(gauge), awg::area(f64::from(gauge)).show())
        }
        "N" => format!("{} lbf ({written} N)", significant(value / POUND_FORCE, 3)),
        "N·m" => {
            let pounds = value / (POUND_FORCE * INCH.value());
            format!("{} lbf·in ({written} N·m)", significant(pounds, 3))
        }
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_thing_stands_once_and_has_a_word_everywhere() {
        for (k, (name, words)) in TERMS.iter().enumerate() {
            assert!(TERMS.iter().skip(k + 1).all(|(other, _)| other != name), "{name}");
            assert!(words.iter().all(|w| !w.is_empty() && !w.contains(['[', ']', '|'])), "{name}");
        }
    }

    #[test]
    fn a_band_has_both_its_ends_in_inches() {
        let (low, high) = (Metres::si(0.23785), Metres::si(0.23815));
        let text = band_beside(low, high, "237.85 mm to 238.15 mm");
        assert_eq!(text, "9.364 in to 9.376 in (237.85 mm to 238.15 mm)");
    }

    #[test]
    fn texts_speak_the_region() {
        for (region, expected) in
            [(Region::Eu, "Fit the earth first [see]."), (Region::Us, "Fit the ground first [see].")]
        {
            assert_eq!(in_terms(region, "Fit the [earth] first [see]."), expected);
        }
        assert_eq!(in_terms(Region::Uk, "[line pin] to [neutral"), "live pin to [neutral");
        assert_eq!(term(Region::Eu, "ground"), None);
        let turning = |region| Words { region, plug_turns: true, inlet: false };
        assert_eq!(turning(Region::Eu).term("line pin"), Some("pin on the brown core"));
        assert_eq!(turning(Region::Uk).term("earth pin"), term(Region::Uk, "earth pin"));
        assert!(TURNING.iter().chain(TURNING_INLET).all(|(name, _)| term(Region::Eu, name).is_some()));
        // What is written for the continent is what the continent reads.
        assert!(SPOKEN.iter().all(|&(ours, thing)| term(Region::Eu, thing) == Some(ours)));
    }

    #[test]
    fn inches_stand_before_millimetres_in_north_america() {
        // One inch is 25.4 mm by definition; 75 mm is 2.953 in, and 47.2 sixteenths.
        for (metres, expected) in [
            (0.0508, "2 in (50.8 mm)"),
            (0.075, "2 15/16 in (75 mm)"),
            (0.120, "4 3/4 in (120 mm)"),
            (0.005, "3/16 in (5 mm)"),
            (0.0005, "0.020 in (0.5 mm)"),
        ] {
            assert_eq!(length(Region::Us, Metres::si(metres)), expected);
        }
        assert_eq!(length(Region::Eu, Metres::si(0.0508)), "50.8 mm");
        // 1.5 m is 4.92 ft.
        assert_eq!(bought(Region::Us, Metres::si(1.5), "1.5 m"), "5 ft (1.5 m)");
    }

    #[test]
    fn units_of_the_tools_at_hand_stand_first() {
        // ASTM B258: 18 AWG is 0.823 mm²; 60 N is 13.49 lbf; 0.25 N·m is 2.213 lbf·in.
        for (text, expected) in [
            ("creepage 3.2 mm, clearance 1.6 mm", "creepage 0.126 in (3.2 mm), clearance 0.063 in (1.6 mm)"),
            ("3.6 mm to 7.1 mm", "0.142 in (3.6 mm) to 0.280 in (7.1 mm)"),
            ("60 x 40 x 25 mm.", "2.36 x 1.57 x 0.984 in (60 x 40 x 25 mm)."),
            ("(10 x 20 mm)", "(0.394 x 0.787 in (10 x 20 mm))"),
            ("2 x 0.823 mm², 1.8 m", "2 x 18 AWG (0.823 mm²), 5.91 ft (1.8 m)"),
            ("ferrule 0.75 mm²", "ferrule 18 AWG (0.823 mm²)"),
            ("to hold 60 N and 0.25 N·m", "to hold 13.5 lbf (60 N) and 2.21 lbf·in (0.25 N·m)"),
            ("rod of 12 mm", "rod of 0.472 in (12 mm)"),
            ("at 30 °C, in mm", "at 30 °C, in mm"),
        ] {
            assert_eq!(local(Region::Us, text), expected);
            assert_eq!(local(Region::Us, expected), expected, "what is turned stays");
            assert_eq!(local(Region::Uk, text), text);
        }
    }

    #[test]
    fn messages_speak_the_region_and_leave_names_alone() {
        for (region, text, expected) in [
            (
                Region::Us,
                "keep mains off `mains.cord` and \"earth\"",
                "keep line voltage off `mains.cord` and \"earth\"",
            ),
            (Region::Us, "no protective earth", "no equipment ground"),
            (Region::Us, "power from the mains, all at full", "power at the receptacle, all at full"),
            (Region::Uk, "the cord clamp holds the cord", "the cord grip holds the flex"),
            (Region::Us, "cordless earthenware of mains/fuse", "cordless earthenware of mains/fuse"),
            (Region::Us, "joined to earth.", "joined to ground."),
            (Region::Eu, "mains and earth", "mains and earth"),
        ] {
            assert_eq!(spoken(region, text), expected);
        }
    }
}
