//! Colours of conductors: the letter codes of IEC 60757, their combinations, and who wears which in each region.
//! A code is checked and put in the standard's order before it is compared.

use super::Region;

/// A colour in the order of IEC 60757, which is also the order inside a combined code.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Colour {
    /// BK.
    Black,
    /// BN.
    Brown,
    /// RD.
    Red,
    /// OG.
    Orange,
    /// YE.
    Yellow,
    /// GN.
    Green,
    /// BU, light blue included.
    Blue,
    /// VT.
    Violet,
    /// GY.
    Grey,
    /// WH.
    White,
    /// PK.
    Pink,
    /// GD.
    Gold,
    /// TQ.
    Turquoise,
    /// SR.
    Silver,
}

/// Codes and names in the order of IEC 60757.
pub const COLOURS: [(Colour, &str, &str); 14] = [
    (Colour::Black, "BK", "black"),
    (Colour::Brown, "BN", "brown"),
    (Colour::Red, "RD", "red"),
    (Colour::Orange, "OG", "orange"),
    (Colour::Yellow, "YE", "yellow"),
    (Colour::Green, "GN", "green"),
    (Colour::Blue, "BU", "blue"),
    (Colour::Violet, "VT", "violet"),
    (Colour::Grey, "GY", "grey"),
    (Colour::White, "WH", "white"),
    (Colour::Pink, "PK", "pink"),
    (Colour::Gold, "GD", "gold"),
    (Colour::Turquoise, "TQ", "turquoise"),
    (Colour::Silver, "SR", "silver"),
];

impl Colour {
    /// The two letters of IEC 60757.
    pub fn code(self) -> &'static str {
        COLOURS.iter().find(|(colour, ..)| *colour == self).map_or("", |(_, code, _)| code)
    }
    /// The English word.
    pub fn word(self) -> &'static str {
        COLOURS.iter().find(|(colour, ..)| *colour == self).map_or("", |(.., word)| word)
    }
    /// From two letters.
    pub fn from_code(code: &str) -> Option<Self> {
        COLOURS.iter().find(|(_, known, _)| *known == code).map(|(colour, ..)| *colour)
    }
    /// From an English word, `gray` included.
    pub fn from_word(word: &str) -> Option<Self> {
        let word = if word == "gray" { "grey" } else { word };
        COLOURS.iter().find(|(.., known)| *known == word).map(|(colour, ..)| *colour)
    }
}

/// Marking of one core: one colour, or two in the order of the standard (green-and-yellow is `GNYE`).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Marking {
    /// The only or the first colour.
    pub first: Colour,
    /// The second colour of a two-colour core.
    pub second: Option<Colour>,
}

/// Why a code is not a marking.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ColourFault {
    /// Letters that IEC 60757 does not name.
    Unknown,
    /// The same colour twice.
    Doubled,
    /// Green with something other than yellow, or yellow with something other than green: kept for earth alone.
    EarthColour,
    /// More than two colours on one core, or half a code.
    Length,
}

impl Marking {
    /// Green-and-yellow, kept for the protective earth.
    pub const GREEN_YELLOW: Self = Self { first: Colour::Green, second: Some(Colour::Yellow) };

    /// One colour.
    pub const fn plain(colour: Colour) -> Self {
        Self { first: colour, second: None }
    }

    /// Two colours, put in order; green goes with yellow only (IEC 60757, IEC 60445; `YEGN` becomes `GNYE`).
    ///
    /// # Errors
    /// [`ColourFault::Doubled`] and [`ColourFault::EarthColour`].
    pub fn pair(one: Colour, other: Colour) -> Result<Self, ColourFault> {
        use Colour::{Green, Yellow};
        let earthy = |colour| matches!(colour, Green | Yellow);
        match (one, other) {
            _ if one == other => Err(ColourFault::Doubled),
            _ if earthy(one) && earthy(other) => Ok(Self::GREEN_YELLOW),
            _ if earthy(one) || earthy(other) => Err(ColourFault::EarthColour),
            _ => Ok(Self { first: one.min(other), second: Some(one.max(other)) }),
        }
    }

    /// Reads `BK`, `RDBU` or `GNYE`, in either order.
    ///
    /// # Errors
    /// See [`ColourFault`].
    pub fn parse(code: &str) -> Result<Self, ColourFault> {
        let colour = |range| code.get(range).and_then(Colour::from_code).ok_or(ColourFault::Unknown);
        match code.len() {
            2 => colour(0..2).map(Self::plain),
            4 => Self::pair(colour(0..2)?, colour(2..4)?),
            _ => Err(ColourFault::Length),
        }
    }

    /// The code in the standard's order.
    pub fn code(self) -> String {
        // GNYE breaks the order of single colours: the standard names it as a colour of its own.
        format!("{}{}", self.first.code(), self.second.map_or("", Colour::code))
    }
}

/// Reads the cores of a cord, joined by `+`: `BN+BU+GNYE`.
///
/// # Errors
/// The number of the core from 0 and its fault.
pub fn parse_cores(code: &str) -> Result<Vec<Marking>, (usize, ColourFault)> {
    code.split('+').enumerate().map(|(n, core)| Marking::parse(core).map_err(|fault| (n, fault))).collect()
}

/// What a conductor is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Conductor {
    /// L.
    Line,
    /// N.
    Neutral,
    /// PE.
    ProtectiveEarth,
    /// L+.
    DirectPlus,
    /// L−.
    DirectMinus,
    /// FE, functional earth.
    FunctionalEarth,
}

/// The colour of a conductor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConductorColour {
    /// The colour to use.
    pub marking: Marking,
    /// Others that the region takes as well, by code.
    pub also: &'static [&'static str],
    /// Where it stands.
    pub source: &'static str,
    /// Whether it is from memory.
    pub from_memory: bool,
}

const IEC: &str = "IEC 60445 and HD 308";
const IEC_DIRECT: &str = "IEC 60445:2017 (a requirement since 2021); from memory";
const NEC: &str = "NEC 200.6, 210.5 and 250.119";
const US_DIRECT: &str = "usual practice in the US, no fixed colour below 60 V; from memory";

/// The colour of `conductor` in `region`.
pub fn conductor_colour(region: Region, conductor: Conductor) -> ConductorColour {
    use Conductor as C;
    let row = |marking, also, source, from_memory| ConductorColour { marking, also, source, from_memory };
    let plain = Marking::plain;
    match (region, conductor) {
        (Region::Us, C::Line) => row(plain(Colour::Black), &["RD"], NEC, false),
        (Region::Us, C::Neutral) => row(plain(Colour::White), &["GY"], NEC, false),
        (Region::Us, C::ProtectiveEarth) => row(plain(Colour::Green), &["GNYE"], NEC, false),
        (Region::Us, C::DirectPlus) => row(plain(Colour::Red), &[], US_DIRECT, true),
        (Region::Us, C::DirectMinus) => row(plain(Colour::Black), &[], US_DIRECT, true),
        (_, C::Line) => row(plain(Colour::Brown), &["BK", "GY"], IEC, false),
        (_, C::Neutral) => row(plain(Colour::Blue), &[], IEC, false),
        (_, C::ProtectiveEarth) => row(Marking::GREEN_YELLOW, &[], IEC, false),
        (_, C::DirectPlus) => row(plain(Colour::Red), &[], IEC_DIRECT, true),
        (_, C::DirectMinus) => row(plain(Colour::White), &[], IEC_DIRECT, true),
        (_, C::FunctionalEarth) => row(plain(Colour::Pink), &[], IEC_DIRECT, true),
    }
}

/// What a low-voltage wire's colour is kept for, when mains is in the same box; `None` when it is free.
///
/// Earth colours are kept always (IEC 60445, NEC 250.119); line and neutral where mains is near (our guideline).
pub fn reserved_for(region: Region, marking: Marking, mains_in_box: bool) -> Option<Conductor> {
    let has = |colour| marking.first == colour || marking.second == Some(colour);
    if has(Colour::Green) || has(Colour::Yellow) {
        return Some(Conductor::ProtectiveEarth);
    }
    if !mains_in_box {
        return None;
    }
    let (line, neutral) = (conductor_colour(region, Conductor::Line), conductor_colour(region, Conductor::Neutral));
    // Both colours of the neutral say neutral; what else the line may wear is free where nothing else wears it.
    if neutral.marking == marking || neutral.also.contains(&marking.code().as_str()) {
        return Some(Conductor::Neutral);
    }
    (line.marking == marking).then_some(Conductor::Line)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_put_in_order_or_refused() {
        let norm = |code| Marking::parse(code).map(Marking::code);
        assert_eq!(norm("BURD"), Ok("RDBU".into()));
        assert_eq!(norm("YEGN"), Ok("GNYE".into()));
        assert_eq!(norm("BUGN"), Err(ColourFault::EarthColour));
        assert_eq!(norm("RDRD"), Err(ColourFault::Doubled));
        assert_eq!(norm("XX"), Err(ColourFault::Unknown));
        assert_eq!(norm("RDB"), Err(ColourFault::Length));
        assert_eq!(norm("é1é"), Err(ColourFault::Length));
        assert_eq!(norm("aéb"), Err(ColourFault::Unknown));
    }

    #[test]
    fn a_cord_lists_its_cores() {
        let cores = parse_cores("BN+BU+YEGN").unwrap();
        assert_eq!(cores.iter().map(|core| core.code()).collect::<Vec<_>>(), ["BN", "BU", "GNYE"]);
        assert_eq!(parse_cores("BN+ZZ"), Err((1, ColourFault::Unknown)));
    }

    #[test]
    fn mains_keeps_its_colours_to_itself() {
        let is = |region, code: &str, mains| reserved_for(region, Marking::parse(code).unwrap(), mains);
        assert_eq!(is(Region::Eu, "BU", true), Some(Conductor::Neutral));
        assert_eq!(is(Region::Eu, "BU", false), None);
        assert_eq!(is(Region::Eu, "YE", false), Some(Conductor::ProtectiveEarth));
        assert_eq!(is(Region::Us, "WH", true), Some(Conductor::Neutral));
        // NEC 200.6: white or grey is the grounded conductor.
        assert_eq!(is(Region::Us, "GY", true), Some(Conductor::Neutral));
        assert_eq!(is(Region::Us, "GY", false), None);
        assert_eq!(is(Region::Eu, "GY", true), None);
        assert_eq!(is(Region::Us, "BN", true), None);
        assert_eq!(is(Region::Eu, "RD", true), None);
    }

    #[test]
    fn words_and_codes_are_one_table() {
        for (colour, code, word) in COLOURS {
            assert_eq!(Colour::from_code(code), Some(colour));
            assert_eq!(Colour::from_word(word), Some(colour));
        }
        assert!(COLOURS.windows(2).all(|pair| pair[0].0 < pair[1].0));
    }
}
