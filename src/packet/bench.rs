//! What a sheet is made from, and what a kind of sheet is.

use crate::diag::{Sources, Span};
use crate::figures::{between, stated};
use crate::lamp::Lamp;
use crate::lamp::given::Missing;
use crate::language::document::Document;
use crate::rules::report::{Report, lacking};
use crate::solve::Solution;

use super::plain;
use super::sheet::{Identity, TextSize};
use super::terms::{self, Words};
use crate::schema::words::{Instrument, Region, Word};
use crate::solve::line::terms::{inlet as inlet_row, plug as plug_facts};

/// Everything known of one lamp, for the sheets to read.
pub struct Bench<'a> {
    /// What the author said.
    pub lamp: &'a Lamp,
    /// What follows from it.
    pub solution: &'a Solution,
    /// What the rules say.
    pub report: &'a Report,
    /// The resolved spec.
    pub document: &'a Document,
    /// The files it came from.
    pub sources: &'a Sources,
    /// Header and footer.
    pub identity: &'a Identity,
}

/// One kind of sheet: a template and the function that makes its data.
pub struct SheetKind {
    /// Name, also of its file.
    pub name: &'static str,
    /// File name of its template: `sheets/NAME.md`.
    pub template_name: &'static str,
    /// Title as printed.
    pub title: &'static str,
    /// One line for the index: the moment at the bench it serves.
    pub moment: &'static str,
    /// The shipped template.
    pub template: &'static str,
    /// Text size.
    pub size: TextSize,
    /// Set across the long side.
    pub landscape: bool,
    /// Whether this lamp has it; a sheet without a subject is left out and the cover says so.
    pub applies: fn(&Bench<'_>) -> bool,
    /// The template's data.
    pub data: fn(&Bench<'_>) -> serde_json::Value,
    /// Texts that a template may not drop; compared without spaces and markup.
    pub required: fn(&Bench<'_>) -> Vec<String>,
}

impl Bench<'_> {
    /// The region; taken as continental where nobody says.
    pub fn region(&self) -> Region {
        self.lamp.identity.region.value.unwrap_or(Region::Eu)
    }
    /// A thing in the words of the region's trade.
    pub fn term(&self, thing: &'static str) -> &'static str {
        self.words().term(thing).unwrap_or(thing)
    }
    /// What decides the word for a thing.
    pub fn words(&self) -> Words {
        Words { region: self.region(), plug_turns: self.plug_turns(), inlet: self.inlet() }
    }
    /// Whether the lamp's plug goes into its socket, or a cord into its inlet, either way round, so that no pin of it is
    /// the line's.
    pub fn plug_turns(&self) -> bool {
        let Some(mains) = &self.lamp.mains else { return false };
        let plug = mains.cord.as_ref().and_then(|cord| cord.plug.value);
        let inlet = mains.inlet.as_ref().and_then(|inlet| inlet_row(inlet.kind.value?));
        plug.is_some_and(|plug| plug_facts(plug).reversible) || inlet.is_some_and(|row| row.turns)
    }
    /// What keeps anybody from saying whether this cutter may meet this sheet: then nothing is written for a machine.
    pub fn cut_unknown(&self) -> Option<Missing> {
        let diffuser = self.lamp.diffuser.as_ref()?;
        diffuser.material.get().err().or_else(|| diffuser.cut.method.get().err())
    }
    /// Whether the owner has this instrument.
    pub fn owns(&self, instrument: Instrument) -> bool {
        self.lamp.workshop.instruments.value.as_ref().is_some_and(|all| all.contains(&instrument))
    }
    /// An instrument in the words of the region's trade.
    pub fn instrument(&self, word: Instrument) -> String {
        match (word, self.region()) {
            (Instrument::InsulationTester, Region::Us) => "a megohmmeter, 500 V".to_owned(),
            (Instrument::EarthTester, Region::Us) => "a ground bond tester, 10 A or more".to_owned(),
            _ => self.local(Instrument::CHOICES.iter().find(|c| c.word == word.word()).map_or("", |c| c.doc)),
        }
    }
    /// A message of ours in the words of the region's trade.
    pub fn spoken(&self, message: &str) -> String {
        terms::spoken(self.region(), message)
    }
    /// A text with its lengths, forces and areas as the region's tools show them.
    pub fn local(&self, text: &str) -> String {
        terms::local(self.region(), text)
    }
    /// A word of the spec as people write it: `EU`, `BS 1363`; a dash where nobody gave it.
    pub fn plain(&self, path: &str) -> String {
        plain::plain(&self.shown(path)).to_owned()
    }
    /// From one figure to another; one figure where both look alike.
    pub fn range(&self, from: &str, to: &str) -> String {
        between(&self.said(from), &self.said(to))
    }
    /// What keeps a figure from being known, in words that name what the author can do something about.
    pub fn lacks(&self, missing: &Missing) -> String {
        self.spoken(&lacking(missing, &self.solution.ledger))
    }
    /// Whether mains enters the lamp.
    pub fn mains(&self) -> bool {
        self.lamp.mains.is_some()
    }
    /// Whether the lamp is fed by a battery, whatever else is known of it.
    pub fn battery(&self) -> bool {
        self.lamp.supply.battery.is_some()
    }
    /// Whether mains comes in by an inlet, and so over a loose cord with a plug that nobody knows.
    pub fn inlet(&self) -> bool {
        self.lamp.mains.as_ref().is_some_and(|mains| mains.inlet.is_some())
    }
    /// Whether a fuse sits in the lamp's plug.
    pub fn plug_fused(&self) -> bool {
        self.has("line.plug-fuse")
    }
    /// Metal parts that a hand may reach, or of which nobody says that it may not.
    pub fn touchable(&self) -> Vec<&str> {
        let metals = self.lamp.mains.iter().flat_map(|m| &m.metal);
        metals.filter(|m| m.touchable.value != Some(false)).map(|m| m.name.as_str()).collect()
    }
    /// Lamps in this batch.
    pub fn lamps(&self) -> u32 {
        self.lamp.identity.quantity.value.unwrap_or(1)
    }
    /// Messages of the DANGERs that stand, or were not checked, and are never waived: with one of them the lamp gets no
    /// label, no card and no leaflet.
    pub fn refused(&self) -> Vec<String> {
        self.report.refusals().into_iter().map(|(_, message)| self.spoken(&message)).collect()
    }
    /// The file a figure was written in; papers name no line, so that a comment changes no byte.
    pub fn file(&self, span: Span) -> String {
        self.sources.on_paper(span.file)
    }
    /// A figure as printed; none where nobody gave it, or said that it is not known.
    pub fn known(&self, path: &str) -> Option<&str> {
        self.solution.ledger.get(path).filter(|entry| !entry.is_unknown()).map(|entry| entry.shown.as_str())
    }
    /// Whether a figure is known.
    pub fn has(&self, path: &str) -> bool {
        self.known(path).is_some()
    }
    /// A figure as printed; a dash where nobody gave it.
    pub fn shown(&self, path: &str) -> String {
        self.solution.ledger.shown(path).unwrap_or("–").to_owned()
    }
    /// A figure inside a sentence: in words where nobody knows it.
    pub fn said(&self, path: &str) -> String {
        self.known(path).unwrap_or("not known").to_owned()
    }
    /// A figure's band inside a sentence, likewise.
    pub fn said_band(&self, path: &str) -> String {
        if self.has(path) { self.band(path) } else { "not known".to_owned() }
    }
    /// The upper end of a figure's band as printed, or the figure where it has none; none where it is not known.
    pub fn highest(&self, path: &str) -> Option<String> {
        let entry = self.solution.ledger.get(path)?;
        let highest = entry.band.map_or(entry.value, |(_, high)| Some(high))?;
        Some(stated(highest, entry.unit))
    }
    /// A figure's band as printed; a dash where nobody gave it.
    pub fn band(&self, path: &str) -> String {
        self.solution.ledger.band(path).unwrap_or_else(|| "–".to_owned())
    }
}
