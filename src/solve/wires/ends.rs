//! How a wire's end is joined, by the part it comes to: under a screw, to a board's header, by a plug, or soldered.
//! Papers ask here before they say "plug": where nothing parts, nothing is unplugged.

use crate::lamp::Lamp;
use crate::lamp::board::Item;
use crate::quantity::Metres;
use crate::schema::words::{Package, Polarity};

/// How an end of a low-voltage or signal wire is joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Join {
    /// Under a screw or spring: supply, entry, screw terminal of the driver's board.
    Terminal,
    /// A contact in a housing that is pushed onto a header of the driver's board.
    Header,
    /// A contact of the battery's keyed plug.
    Plug,
    /// A receptacle or ring on a pole of the battery.
    Pole,
    /// Soldered to the lead of the battery's fuse holder.
    Lead,
    /// Soldered to a pad.
    Soldered,
}

impl Join {
    /// Whether it comes apart by hand, without a tool.
    pub fn is_plug(self) -> bool {
        matches!(self, Self::Header | Self::Plug)
    }
}

/// Items of the driver's board that take its wires, by their names: power, control lines, strings.
const POWER: &str = "power-in";
const CONTROL: &str = "control";
const STRINGS: &str = "strings";

/// How a wire is joined at `part.terminal`.
pub fn join(lamp: &Lamp, end: &str) -> Join {
    let (part, terminal) = end.split_once('.').unwrap_or((end, ""));
    match part {
        "supply" | "entry" => Join::Terminal,
        "battery" => match lamp.supply.battery.as_ref().and_then(|b| b.polarity.value) {
            Some(Polarity::Keyed) => Join::Plug,
            _ => Join::Pole,
        },
        "fuse" => Join::Lead,
        "driver" => {
            let item = match terminal {
                "+" | "-" => POWER,
                "enable" => CONTROL,
                _ if terminal.ends_with("-in") => CONTROL,
                _ => STRINGS,
            };
            board(lamp, item)
        }
        _ => Join::Soldered,
    }
}

/// How wires come to the board: by its connector where it has one of that name, else soldered.
fn board(lamp: &Lamp, name: &str) -> Join {
    let items = lamp.board.iter().flat_map(|board| &board.items);
    let package = |item: &Item| item.package.value;
    match items.filter(|item| item.name == name).find_map(package) {
        Some(Package::ScrewTerminal) => Join::Terminal,
        Some(Package::Header) => Join::Header,
        _ => Join::Soldered,
    }
}

/// Whether the strings come off the driver by a plug.
pub fn strings_plug(lamp: &Lamp) -> bool {
    board(lamp, STRINGS) == Join::Header
}

/// Whether the battery comes off by a plug.
pub fn battery_plug(lamp: &Lamp) -> bool {
    join(lamp, "battery.+") == Join::Plug
}

/// What the end wears, in the size of its wire; `shared` where another wire ends at the same terminal.
pub(super) fn dressed(join: Join, shared: bool) -> String {
    match join {
        Join::Terminal if shared => "twin ferrule".into(),
        Join::Terminal => "ferrule".into(),
        Join::Header => "crimped contact for its header".into(),
        Join::Plug if shared => "both wires in one contact of the keyed plug".into(),
        Join::Plug => "contact of the keyed plug".into(),
        Join::Pole => "crimped receptacle or ring".into(),
        Join::Lead => "soldered to the holder's lead".into(),
        Join::Soldered => "soldered".into(),
    }
}

/// Length to strip for it.
///
/// Source: common practice, no source; a ferrule of DIN 46228-4 with a 6 mm tube takes 8 mm of strand (from memory). The
/// contact's or terminal's own sheet comes first.
pub(super) fn stripped(join: Join) -> Metres {
    match join {
        Join::Terminal => Metres::si(0.008),
        Join::Pole => Metres::si(0.006),
        Join::Lead | Join::Soldered => Metres::si(0.005),
        Join::Header | Join::Plug => Metres::si(0.003),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_wires_under_one_terminal_share_a_twin_ferrule() {
        assert_eq!(dressed(Join::Terminal, true), "twin ferrule");
        assert_eq!(dressed(Join::Terminal, false), "ferrule");
        assert!(dressed(Join::Plug, true).starts_with("both wires"));
        // Solder does not care how many meet.
        assert_eq!(dressed(Join::Soldered, true), "soldered");
        assert!(Join::Header.is_plug() && Join::Plug.is_plug());
        assert!(![Join::Terminal, Join::Pole, Join::Lead, Join::Soldered].into_iter().any(Join::is_plug));
    }
}
