//! Words of the language to terms of the physics tables: region, class, fuse, inlet, plug, cord, colour.
//! A lookup and no more; the only facts of its own are two plugs that the tables do not list.

use crate::physics::conductors as wires;
use crate::physics::conductors::colour::Marking;
use crate::physics::conductors::inlet::{InletRow, PlugRow};
use crate::schema::words::{Breaking, Class, Colour, CordBuild, FuseSpeed, InletKind, Plug, Region};

/// The table family of a region.
pub const fn region(word: Region) -> wires::Region {
    match word {
        Region::Eu => wires::Region::Eu,
        Region::Uk => wires::Region::Uk,
        Region::Us => wires::Region::Us,
    }
}

/// The protection class as the tables name it.
pub const fn class(word: Class) -> wires::insulation::Class {
    match word {
        Class::I => wires::insulation::Class::One,
        Class::II => wires::insulation::Class::Two,
        Class::III => wires::insulation::Class::Three,
    }
}

/// How fast a fuse-link melts.
pub const fn speed(word: FuseSpeed) -> wires::fuse::Speed {
    match word {
        FuseSpeed::VeryQuick => wires::fuse::Speed::VeryFast,
        FuseSpeed::Quick => wires::fuse::Speed::Fast,
        FuseSpeed::Medium => wires::fuse::Speed::Medium,
        FuseSpeed::TimeLag => wires::fuse::Speed::TimeLag,
        FuseSpeed::LongTimeLag => wires::fuse::Speed::LongTimeLag,
    }
}

/// What a fuse-link can break.
pub const fn breaking(word: Breaking) -> wires::fuse::Breaking {
    match word {
        Breaking::Low => wires::fuse::Breaking::Low,
        Breaking::Enhanced => wires::fuse::Breaking::Enhanced,
        Breaking::High => wires::fuse::Breaking::High,
    }
}

/// The build word of a cord's standard sheet.
pub const fn build(word: CordBuild) -> &'static str {
    match word {
        CordBuild::LightRound => "H03VV-F",
        CordBuild::FlatTwin => "H03VVH2-F",
        CordBuild::Round => "H05VV-F",
        CordBuild::FlatOrdinary => "H05VVH2-F",
        CordBuild::Rubber => "H07RN-F",
        CordBuild::LampFlat => "SPT-1",
        CordBuild::LampFlatHeavy => "SPT-2",
        CordBuild::LightJacketed => "SVT",
        CordBuild::Jacketed => "SJT",
    }
}

/// The row of an inlet; every word of the language has one.
pub fn inlet(word: InletKind) -> Option<&'static InletRow> {
    wires::inlet::find(match word {
        InletKind::C6 => "C6",
        InletKind::C8 => "C8",
        InletKind::C10 => "C10",
        InletKind::C14 => "C14",
        InletKind::C16 => "C16",
        InletKind::C18 => "C18",
        InletKind::C20 => "C20",
    })
}

/// Whether a plug carries earth, and whether line and neutral may change places in the socket.
///
/// Source: the plug's standard sheet, from memory. A side-earthed 16 A plug turns over in its socket.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PlugFacts {
    /// It carries an earth contact.
    pub earthed: bool,
    /// It goes in either way round.
    pub reversible: bool,
}

/// What is known of a plug.
pub fn plug(word: Plug) -> PlugFacts {
    let row = |name| wires::inlet::plug_named(name);
    let of = |row: Option<&PlugRow>| {
        row.map_or(PlugFacts { earthed: false, reversible: true }, |r| PlugFacts {
            earthed: r.earthed,
            reversible: r.reversible,
        })
    };
    match word {
        Plug::En50075 | Plug::Cee716 => of(row("EN 50075")),
        Plug::Cee74 => PlugFacts { earthed: true, reversible: true },
        Plug::Cee77 => of(row("CEE 7/7")),
        Plug::Cee717 => of(row("CEE 7/17")),
        Plug::Bs1363 => of(row("BS 1363")),
        Plug::Nema115 => PlugFacts { earthed: false, reversible: true },
        Plug::Nema115P => of(row("NEMA 1-15P")),
        Plug::Nema515 => of(row("NEMA 5-15P")),
    }
}

/// The marking that a colour word means.
pub const fn marking(word: Colour) -> Marking {
    use crate::physics::conductors::colour::Colour as C;
    let plain = match word {
        Colour::Black => C::Black,
        Colour::Brown => C::Brown,
        Colour::Red => C::Red,
        Colour::Orange => C::Orange,
        Colour::Yellow => C::Yellow,
        Colour::Green => C::Green,
        Colour::Blue => C::Blue,
        Colour::Violet => C::Violet,
        Colour::Grey => C::Grey,
        Colour::White => C::White,
        Colour::Pink => C::Pink,
        Colour::Turquoise => C::Turquoise,
        Colour::GreenYellow => return Marking::GREEN_YELLOW,
    };
    Marking::plain(plain)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::schema::words::Word;

    #[test]
    fn every_inlet_word_has_its_row() {
        for choice in InletKind::CHOICES {
            let word = InletKind::from_word(choice.word).expect("a word of its own list");
            let row = inlet(word).expect("a row");
            assert_eq!(row.name.to_lowercase(), choice.word);
            // The words say "with earth" where the row has an earth contact.
            assert_eq!(row.earthed, choice.doc.contains("with earth"), "{}", choice.word);
        }
    }

    #[test]
    fn plugs_say_what_their_words_say() {
        for choice in Plug::CHOICES {
            let facts = plug(Plug::from_word(choice.word).expect("a word of its own list"));
            if choice.doc.contains("reversible") {
                assert!(facts.reversible, "{}", choice.word);
            }
            if choice.doc.contains("class II") {
                assert!(!facts.earthed, "{}", choice.word);
            }
        }
        assert!(plug(Plug::Bs1363).earthed && !plug(Plug::Bs1363).reversible);
        assert!(plug(Plug::Nema115).reversible && !plug(Plug::Nema115P).reversible);
    }

    #[test]
    fn colour_words_and_codes_agree() {
        for choice in Colour::CHOICES {
            let word = Colour::from_word(choice.word).expect("a word of its own list");
            assert_eq!(marking(word).code(), choice.doc);
        }
    }
}
