//! Words of the trade by region, in one table: the papers say `earth` or `ground`, `live` or `hot`, as the reader does.
//! Templates ask by `term("earth")`, steps of the checklist by `[earth]`; a word that is not here is an error.

use crate::quantity::{Metres, Quantity};
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
    ("protective earth", ["protective earth", "protective earth", "equipment ground"]),
    ("earth colour", ["Green-and-yellow", "Green-and-yellow", "Green, or green-and-yellow,"]),
    ("line pin", ["line pin", "live pin", "hot (narrow) blade"]),
    ("neutral pin", ["neutral pin", "neutral pin", "neutral (wide) blade"]),
    ("earth pin", ["earth pin", "earth pin", "ground pin"]),
    ("line and neutral pins", ["line and neutral pins", "live and neutral pins", "hot and neutral blades"]),
    ("cord", ["cord", "flex", "cord"]),
    ("cord clamp", ["cord clamp", "cord grip", "strain relief"]),
    ("socket", ["socket", "socket", "receptacle"]),
    ("switched socket", ["switched socket", "switched socket", "receptacle or power strip with a switch"]),
    ("residual device", ["residual-current device", "RCD", "GFCI"]),
    ("a residual device", ["a residual-current device", "an RCD", "a GFCI"]),
    (
        "residual devices",
        ["a residual-current device of 30 mA or less", "an RCD of 30 mA or less", "a GFCI, 6 mA or less"],
    ),
    ("residual limit", ["30 mA or less", "30 mA or less", "6 mA or less"]),
    ("insulation tester", ["insulation tester", "insulation tester", "megohmmeter"]),
    ("earth tester", ["earth tester", "earth bond tester", "ground bond tester"]),
    ("licensed person", ["licensed person", "registered electrician", "licensed electrician"]),
    ("fixed wiring", ["fixed wiring of the house", "fixed wiring of the house", "branch circuit of the building"]),
    ("toothed washer", ["toothed washer", "toothed washer", "star washer"]),
    ("bench supply", ["bench supply", "bench supply", "bench supply"]),
];

/// Pins of a plug that goes in either way round: none of them is line or neutral, only the core behind it is known.
static TURNING: &[Row] = &[
    ("line pin", ["pin on the brown core", "pin on the brown core", "blade on the smooth or black core"]),
    ("neutral pin", ["pin on the blue core", "pin on the blue core", "blade on the ribbed or white core"]),
    ("line and neutral pins", ["both pins of the plug", "both pins of the plug", "both blades of the plug"]),
];

/// The word for a pin of a plug that goes in either way round; for everything else the usual one.
pub fn turning_term(region: Region, thing: &str) -> Option<&'static str> {
    find(TURNING, region, thing).or_else(|| term(region, thing))
}

/// The word for a thing in a region.
pub fn term(region: Region, thing: &str) -> Option<&'static str> {
    find(TERMS, region, thing)
}

fn find(table: &[Row], region: Region, thing: &str) -> Option<&'static str> {
    let column = match region {
        Region::Eu => 0,
        Region::Uk => 1,
        Region::Us => 2,
    };
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

/// A length as the region measures it: in North America with inches before the millimetres.
pub fn length(region: Region, length: Metres, decimals: usize) -> String {
    match region {
        Region::Us => beside(length, &length.show(), decimals),
        _ => length.show(),
    }
}

/// Inches before a length that is already written out.
pub fn beside(length: Metres, shown: &str, decimals: usize) -> String {
    format!("{} in ({shown})", crate::figures::fixed(length / INCH, decimals))
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
    fn texts_speak_the_region() {
        for (region, expected) in
            [(Region::Eu, "Fit the earth first [see]."), (Region::Us, "Fit the ground first [see].")]
        {
            assert_eq!(in_terms(region, "Fit the [earth] first [see]."), expected);
        }
        assert_eq!(in_terms(Region::Uk, "[line pin] to [neutral"), "live pin to [neutral");
        assert_eq!(term(Region::Eu, "ground"), None);
        assert_eq!(turning_term(Region::Eu, "line pin"), Some("pin on the brown core"));
        assert_eq!(turning_term(Region::Uk, "earth pin"), term(Region::Uk, "earth pin"));
        assert!(TURNING.iter().all(|(name, _)| term(Region::Eu, name).is_some()));
    }

    #[test]
    fn inches_stand_before_millimetres_in_north_america() {
        // One inch is 25.4 mm by definition.
        assert_eq!(length(Region::Us, Metres::si(0.0508), 2), "2.00 in (50.8 mm)");
        assert_eq!(length(Region::Eu, Metres::si(0.0508), 2), "50.8 mm");
    }
}
