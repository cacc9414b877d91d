//! `Lamp` to `Solution`: component values, currents, power, heat, light, distances, outlines, wires.
//! Alone works figures out with `physics`; enters every one it finds in the ledger.

pub mod battery;
pub mod board;
pub mod drill;
pub mod drive;
pub mod engine;
pub mod feed;
pub mod fit;
pub mod given;
pub mod heat;
pub mod label;
pub mod light;
pub mod line;
pub mod print;
pub mod sheet;
pub mod wires;

use std::sync::Arc;

use crate::lamp::Lamp;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::schema::words::Class;

use engine::{EngineSolution, SharedEngine};

/// What follows from a lamp.
#[derive(Debug, Clone)]
pub struct Solution {
    /// Every figure with its origin.
    pub ledger: Ledger,
    /// Each channel, in the order of the spec.
    pub channels: Vec<drive::ChannelSolution>,
    /// The extra-low voltage supply and what it carries.
    pub feed: feed::Feed,
    /// Temperatures with all channels on, in the warmest room.
    pub heat: Found<heat::Ladder>,
    /// Light from die to room.
    pub light: Found<light::Budget>,
    /// What reaches the eye: colour, evenness, flicker.
    pub look: Arc<light::Look>,
    /// The mains side; none where mains stays outside.
    pub line: Option<line::Line>,
    /// The battery side; none where no battery feeds the lamp.
    pub battery: Option<battery::BatterySide>,
    /// The diffuser sheet.
    pub sheet: Option<Found<sheet::SheetSolution>>,
    /// The lip that the front opening leaves the sheet; none where either is not written.
    pub lip: Option<Found<sheet::Lip>>,
    /// What stands where in the body; none without a layout.
    pub fit: Option<Found<fit::Fit>>,
    /// Holes to drill, one template a side.
    pub drill: Found<Vec<drill::Template>>,
    /// The printed body.
    pub print: Option<Found<print::PrintSolution>>,
    /// The perforated board.
    pub board: Option<Found<board::BoardSolution>>,
    /// Centre of mass and tipping; none where neither matters.
    pub balance: Option<Found<fit::Balance>>,
    /// Every conductor, mains first, protective earth first of all.
    pub wires: Vec<wires::Wire>,
}

/// Works everything out. `ledger` already holds the given figures; `shared` has an engine that may serve this lamp too.
///
/// The order matters: the mains current needs the supply's load, wires need the currents, headroom needs wires.
pub fn solve(lamp: &Lamp, mut ledger: Ledger, shared: &SharedEngine) -> Solution {
    let ledger_mut = &mut ledger;
    let EngineSolution { mut channels, feed, heat, light, look } = shared.solution(&lamp.engine(), ledger_mut);
    let line = lamp.mains.as_ref().map(|mains| line::solve(lamp, mains, &feed, ledger_mut));
    label::solve(lamp, line.as_ref(), &feed, ledger_mut);
    let fit = lamp.layout.as_ref().map(|layout| fit::solve(lamp, layout, line.as_ref(), ledger_mut));
    let placed = fit.as_ref().and_then(|fit| fit.as_ref().ok());
    let wires = wires::solve(lamp, &channels, &feed, line.as_ref(), &heat, placed, ledger_mut);
    if let Some(mains) = lamp.mains.as_ref().filter(|m| m.class.value == Some(Class::I)) {
        let bonds: Vec<&wires::Wire> = wires.iter().filter(|w| w.role == wires::Role::Earth).collect();
        // Where the cord's figures are missing there is nothing to expect, and the sheet prints a dash.
        let _ = line::earth_expected(mains, &bonds, ledger_mut);
    }
    let battery = lamp.supply.battery.as_ref().map(|b| battery::solve(lamp, b, &feed, &wires, ledger_mut));
    drive::headroom(&lamp.engine(), &wires, &heat, &mut channels, ledger_mut);
    let sheet = lamp.diffuser.as_ref().map(|diffuser| sheet::solve(lamp, diffuser, ledger_mut));
    let lip = sheet::lip(lamp, ledger_mut);
    let printed = lamp.enclosure.print.as_ref().filter(|_| lamp.enclosure.printed.value == Some(true));
    let print = printed.map(|print| print::solve(lamp, print, ledger_mut));
    let standing = lamp.layout.as_ref().zip(placed);
    let balance =
        standing.and_then(|(layout, fit)| fit::balance(lamp, layout, fit, sheet.as_ref(), print.as_ref(), ledger_mut));
    let board = lamp.board.as_ref().map(|board| board::solve(lamp, board, ledger_mut));
    let drill = drill::solve(lamp, placed, ledger_mut);
    Solution {
        ledger,
        channels,
        feed,
        heat,
        light,
        look,
        line,
        battery,
        sheet,
        lip,
        fit,
        drill,
        print,
        board,
        balance,
        wires,
    }
}
