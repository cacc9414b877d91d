//! Colours of conductors: the letter codes of IEC 60757, who wears which in each region, and which are kept for whom.
//! A marking is one colour, or the green-and-yellow that only the protective earth wears.

use super::Region;

/// A colour of insulation, in the order of IEC 60757; gold and silver, which no wire here wears, are left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
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
    /// TQ.
    Turquoise,
}

impl Colour {
    /// The two letters of IEC 60757.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Black => "BK",
            Self::Brown => "BN",
            Self::Red => "RD",
            Self::Orange => "OG",
            Self::Yellow => "YE",
            Self::Green => "GN",
            Self::Blue => "BU",
            Self::Violet => "VT",
            Self::Grey => "GY",
            Self::White => "WH",
            Self::Pink => "PK",
            Self::Turquoise => "TQ",
        }
    }
}

/// Marking of one core: one colour, or two (green-and-yellow is `GNYE`).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Marking {
    /// The only or the first colour.
    pub first: Colour,
    /// The second colour of a two-colour core.
    pub second: Option<Colour>,
}

impl Marking {
    /// Green-and-yellow, kept for the protective earth.
    pub const GREEN_YELLOW: Self = Self { first: Colour::Green, second: Some(Colour::Yellow) };

    /// One colour.
    pub const fn plain(colour: Colour) -> Self {
        Self { first: colour, second: None }
    }

    /// The code; `GNYE` is out of the order of single colours, for the standard names it as a colour of its own.
    pub fn code(self) -> String {
        format!("{}{}", self.first.code(), self.second.map_or("", Colour::code))
    }
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
    fn mains_keeps_its_colours_to_itself() {
        let is = |region, colour, mains| reserved_for(region, Marking::plain(colour), mains);
        assert_eq!(is(Region::Eu, Colour::Blue, true), Some(Conductor::Neutral));
        assert_eq!(is(Region::Eu, Colour::Blue, false), None);
        assert_eq!(is(Region::Eu, Colour::Yellow, false), Some(Conductor::ProtectiveEarth));
        assert_eq!(reserved_for(Region::Us, Marking::GREEN_YELLOW, false), Some(Conductor::ProtectiveEarth));
        assert_eq!(is(Region::Us, Colour::White, true), Some(Conductor::Neutral));
        // NEC 200.6: white or grey is the grounded conductor.
        assert_eq!(is(Region::Us, Colour::Grey, true), Some(Conductor::Neutral));
        assert_eq!(is(Region::Us, Colour::Grey, false), None);
        assert_eq!(is(Region::Eu, Colour::Grey, true), None);
        assert_eq!(is(Region::Us, Colour::Brown, true), None);
        assert_eq!(is(Region::Eu, Colour::Red, true), None);
    }

    #[test]
    fn earth_has_a_code_of_its_own() {
        assert_eq!(Marking::GREEN_YELLOW.code(), "GNYE");
        assert_eq!(Marking::plain(Colour::Brown).code(), "BN");
    }
}
